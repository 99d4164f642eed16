// What the stages of a step share. The stages stand in march_battery.c (the cell and its limits),
// march_house.c (loads, inverter, hookup, who meets whom) and march.c (sources on offer, balance, the loop).
// None calls another. These three files are compiled once as they are and, where the build can, once more for
// each wider vector, under names with a suffix; march_width.c chooses.
#ifndef SW_CORE_MARCH_STEP_H
#define SW_CORE_MARCH_STEP_H

#include "core/march_tile.h"

#ifdef SW_MARCH_SUFFIX
#define SW_JOINED(name, suffix) name##suffix
#define SW_NAMED(name, suffix)  SW_JOINED(name, suffix)
#define sw_battery_begin        SW_NAMED(sw_battery_begin, SW_MARCH_SUFFIX)
#define sw_battery_accepts      SW_NAMED(sw_battery_accepts, SW_MARCH_SUFFIX)
#define sw_battery_gives        SW_NAMED(sw_battery_gives, SW_MARCH_SUFFIX)
#define sw_battery_settles      SW_NAMED(sw_battery_settles, SW_MARCH_SUFFIX)
#define sw_battery_ends         SW_NAMED(sw_battery_ends, SW_MARCH_SUFFIX)
#define sw_house_asks           SW_NAMED(sw_house_asks, SW_MARCH_SUFFIX)
#define sw_house_fits_ac        SW_NAMED(sw_house_fits_ac, SW_MARCH_SUFFIX)
#define sw_house_offers_shore   SW_NAMED(sw_house_offers_shore, SW_MARCH_SUFFIX)
#define sw_house_fits_battery   SW_NAMED(sw_house_fits_battery, SW_MARCH_SUFFIX)
#define sw_house_shares_out     SW_NAMED(sw_house_shares_out, SW_MARCH_SUFFIX)
#define sw_march_steps          SW_NAMED(sw_march_steps, SW_MARCH_SUFFIX)
#endif

/// What the stages of one step hand on to each other. Flags are columns too, 1 or 0, and read as truth.
typedef struct step {
    int32_t row;
    double hours;
    int inverter_on;
    int stored, cut;                    // laid up; with the battery switch open
    int hand;                           // somebody looks after a battery that has cut itself off
    sw_column ocv_v;                    // at the beginning, after self-discharge
    sw_column ocv_v_per_ah;             // slope there
    sw_column ohm, eta;                 // of this step
    sw_column floor_ah;                 // charge that cold and rate lock
    sw_column alternator_w, charger_w;  // on offer
    sw_column peak_w[SW_HELD_COUNT];    // AC, at one moment
    sw_column dc_peak_w[SW_HELD_COUNT]; // DC, at one moment
    sw_column battery_empties;          // flag: it cannot carry the dearest loads that are asked for
    sw_column shore_va;                 // what inlet and pedestal allow
    sw_column inverter_runs;            // flag: AC loads hang on a running inverter
    sw_column house_kept;               // flag: the DC loads that must be are carried
    sw_column accept_w;                 // what the battery would take, at its terminals
    sw_column rate_w;                   // what the battery can give at one moment
    sw_column inverter_rate_w;          // the same above the inverter's cut-out voltage
    sw_column mean_w;                   // what it can give as a mean over the step
    sw_column charge_binds;             // flag: that hangs on the charge that is left, not on the rate
    sw_column voltage_binds;  // flag: the rate hangs on the cut-out voltage, which comes nearer with use
    sw_column pad_wanted_w;   // what the heater would take to reach its set point
    sw_column pad_kept_w;     // what of it hangs on the battery
    sw_column refused_w;      // what it would take besides if it were warm
    sw_column inverter_trips; // flag: it goes off in this step
} step;

/// Power at the terminals of a bank that rests at `open_v`, when it gives a current.
static inline double terminal_power_w(double open_v, double ohm, double current_a)
{
    return (open_v - ohm * current_a) * current_a;
}

/// Current that brings the terminals down to `low_v`, or to half the open-circuit voltage: below that more
/// current gives less power.
static inline double current_down_to_a(double open_v, double ohm, double low_v)
{
    return larger(0.0, open_v - larger(low_v, 0.5 * open_v)) / ohm;
}

// Stages of the battery, in the order in which they run.
void sw_battery_begin(const sw_forcing *f, const sw_tile_plan *p, sw_tile_state *s, step *c,
                      sw_tile_flow *out);
void sw_battery_accepts(const sw_tile_plan *p, const sw_tile_state *s, step *c, const sw_tile_flow *out);
void sw_battery_gives(const sw_tile_plan *p, const sw_tile_state *s, step *c);
void sw_battery_settles(const sw_tile_plan *p, sw_tile_state *s, const step *c, sw_tile_flow *out);
void sw_battery_ends(const sw_forcing *f, const sw_tile_plan *p, sw_tile_state *s, const step *c,
                     sw_tile_flow *out);

// Stages of the house.
void sw_house_asks(const sw_forcing *f, const sw_tile_plan *p, const sw_tile_state *s, step *c,
                   sw_tile_flow *out);
void sw_house_fits_ac(const sw_forcing *f, const sw_tile_plan *p, const sw_tile_state *s, step *c,
                      sw_tile_flow *out);
void sw_house_offers_shore(const sw_forcing *f, const sw_tile_plan *p, step *c, sw_tile_flow *out);
void sw_house_fits_battery(const sw_tile_plan *p, const sw_tile_state *s, step *c, sw_tile_flow *out);
void sw_house_shares_out(const sw_tile_plan *p, step *c, sw_tile_flow *out);

/// The loop over the steps, as sw_march.
sw_status sw_march_steps(const sw_forcing *forcing, const sw_tile_plan *plan, sw_tile_state *state,
                         sw_march_sink *sink, void *context);

#endif
