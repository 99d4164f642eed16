/// The march: battery, chargers and inverter stepped through a forcing, eight variants at a time.
///
/// Memory: everything a step touches stands in columns of SW_TILE doubles, one per variant ("lane"), so that
/// the compiler advances all lanes with the same instructions; names, prices and origins are elsewhere.
/// Nothing in a step branches on a lane, calls libm beyond sqrt, or allocates. One rehearsal is lane 0 of the
/// same code; unused lanes hold copies of it.
#ifndef STILLWATT_MARCH_H
#define STILLWATT_MARCH_H

#include "stillwatt/battery.h"
#include "stillwatt/forcing.h"
#include "stillwatt/inverter.h"
#include "stillwatt/status.h"

#define SW_TILE 8
/// Knots that the curves against temperature and of the charge efficiency may have.
#define SW_SHORT_CURVE_POINTS 8

typedef double sw_column[SW_TILE];

/// A thermal load: a compressor fridge or freezer in the cabin.
/// Power [W] = at_reference_w (dT/dT_ref) (dT + 25)/(dT_ref + 25) with dT = cabin - set point [K]: heat gain
/// and compressor lift both grow with dT (derivation in march_tile.c); at most rated_w.
typedef struct sw_thermal {
    double set_c, reference_dt_k, at_reference_w, rated_w;
    sw_bus bus;
    sw_held held;
} sw_thermal;

/// One variant in engineering terms: what is written into a lane. All values are of the whole bank.
typedef struct sw_variant {
    sw_chemistry chemistry;
    double units_12v;      ///< bank voltage over 12 V (1, 2 or 4; scales the chemistry's voltages)
    double rated_ah;       ///< of the bank at its voltage
    double health;         ///< (0, 1]
    double resistance_ohm; ///< of the bank at 25 degC
    double charge_limit_a, discharge_limit_a;
    double absorption_v, cut_out_v;  ///< of the bank
    double cold_stop_c, cold_full_c; ///< charging: none at and below, all from here on
    double hot_full_c, hot_stop_c;   ///< charging: all up to here, none at and above
    double discharge_stop_c;         ///< no discharge at and below
    double cold_spared; ///< share of the chemistry's loss of capacity in cold that the bank does not show;
                        ///< negative: it loses more
    double pad_w, pad_set_c; ///< heater under the bank: greatest power, temperature that it keeps; 0: none
    int pad_needs_charger;   ///< 1: only what chargers have to spare feeds it; 0: the battery too
    double heat_wh_k;        ///< heat that warms the bank by a kelvin, > 0
    double management_w;
    double self_discharge_month;
    double temperature_lag_h; ///< > 0
    int outside;              ///< 1: the battery follows the outside air, 0: the cabin

    double array_w[SW_ARRAYS_MAX];     ///< rated, all panels of the array
    double array_gamma[SW_ARRAYS_MAX]; ///< power per K of cell temperature, negative
    double array_keep[SW_ARRAYS_MAX];  ///< product of (1 - loss) of the named derates
    /// Of a string at its rated power and 25 degC [V], where a simple controller (PWM) holds the panels at
    /// the battery's voltage; 0: a tracker (MPPT) finds the best voltage.
    double array_held_v[SW_ARRAYS_MAX];
    double controller_efficiency, controller_limit_a, controller_self_w;

    double alternator_cruise_w, alternator_idle_w; ///< at the house side of the converter; 0 without one
    double alternator_cruise_cold_w, alternator_idle_cold_w; ///< what a cold one gives beyond these
    /// Without a converter: a relay joins alternator and bank, and the difference of their voltages drives
    /// the current through cable and battery. `relay_v` 0: there is none.
    double relay_v, relay_ohm, relay_cruise_a, relay_idle_a;
    double relay_cruise_cold_a, relay_idle_cold_a; ///< what a cold alternator has to spare beyond these

    double inlet_va;           ///< 0: no inlet
    double charger_w;          ///< greatest output
    double charger_efficiency; ///< (0, 1]
    double charger_power_factor;

    double inverter_w; ///< continuous rating; 0: no inverter
    sw_inverter_curve inverter;
    double inverter_cut_out_v, inverter_restart_v; ///< of the bank
    double dc_restart_v; ///< the house comes back when the battery is above this after a cut-off
    int comes_back;      ///< sw_comes_back: and what it waits for besides

    double hold_back_below; ///< state of charge under which `can-wait` loads are not run; 0: never

    int thermals;
    sw_thermal thermal[SW_THERMAL_MAX];

    double start_soc;
    double start_c; ///< battery temperature at the start
} sw_variant;

/// What is fixed for each lane during a march.
typedef struct sw_tile_plan {
    double step_h;
    int thermals;
    sw_bus thermal_bus[SW_THERMAL_MAX];
    sw_held thermal_held[SW_THERMAL_MAX];

    sw_column capacity_ah, inverse_capacity;
    /// Each knot of the open-circuit voltage: the lowest and highest state of charge at which a lane has it.
    double ocv_knot_least[SW_CURVE_POINTS], ocv_knot_most[SW_CURVE_POINTS];
    sw_column ocv0_v, ocv_knot[SW_CURVE_POINTS],
        ocv_bend[SW_CURVE_POINTS]; ///< U = U0 + sum bend max(0, s - knot)
    sw_column eta0, eta_knot[SW_SHORT_CURVE_POINTS], eta_bend[SW_SHORT_CURVE_POINTS];
    sw_column reach0, reach_knot[SW_SHORT_CURVE_POINTS],
        reach_bend[SW_SHORT_CURVE_POINTS]; ///< capacity share against degC
    sw_column ohm0, ohm_knot[SW_SHORT_CURVE_POINTS],
        ohm_bend[SW_SHORT_CURVE_POINTS]; ///< resistance against degC
    sw_column peukert_knot[SW_SHORT_CURVE_POINTS],
        peukert_bend[SW_SHORT_CURVE_POINTS]; ///< share against current, A
    sw_column mean_current_gain;             ///< of the one-hour mean
    sw_column full_v;                        ///< open circuit, fully charged
    sw_column charge_limit_a, discharge_limit_a, absorption_v, absorption_v_per_k, cut_out_v;
    sw_column acceptance_h;
    sw_column cold_stop_c, cold_ramp_per_k, hot_stop_c, hot_ramp_per_k, discharge_stop_c;
    sw_column cold_ends_c; ///< between cold and heat: what is refused under it is refused by cold
    sw_column pad_w, pad_set_c, pad_needs_charger;
    sw_column pad_k_per_w; ///< how much warmer a step's heat leaves the bank
    sw_column management_w, self_discharge_per_h;
    sw_column temperature_gain, outside_share;

    sw_column array_w[SW_ARRAYS_MAX], array_gamma[SW_ARRAYS_MAX];
    sw_column
        array_per_v[SW_ARRAYS_MAX]; ///< one over the voltage it is held at; with a tracker without bound
    sw_column controller_efficiency, controller_limit_a, controller_self_w;
    sw_column alternator_cruise_w, alternator_idle_w, alternator_cruise_cold_w, alternator_idle_cold_w;
    sw_column relay_v, relay_ohm, relay_cruise_a, relay_idle_a, relay_cruise_cold_a, relay_idle_cold_a;
    sw_column inlet_va, charger_w, charger_efficiency, charger_power_factor;
    sw_column inverter_w, inverter_idle_w, inverter_linear, inverter_square;
    sw_column inverter_cut_out_v, inverter_restart_v, dc_restart_v;
    sw_column waits_for_charger, waits_for_hand; ///< after a cut-out
    sw_column hold_back_below;
    sw_column thermal_set_c[SW_THERMAL_MAX], thermal_gain[SW_THERMAL_MAX], thermal_rated_w[SW_THERMAL_MAX];
} sw_tile_plan;

/// What a step changes.
typedef struct sw_tile_state {
    sw_column charge_ah;
    sw_column ocv_v; ///< of that charge
    sw_column battery_c;
    sw_column mean_current_a; ///< discharge, one-hour mean
    sw_column inverter_out;   ///< 1: tripped on low voltage, waiting for its restart level
    sw_column dc_out;         ///< 1: the battery is cut off, waiting for its restart level
} sw_tile_state;

/// Why a class of loads was not served in a step.
typedef enum sw_lost {
    SW_KEPT,
    SW_LOST_HELD_BACK, ///< can wait, and the charge is low
    SW_LOST_NO_AC,     ///< neither a hookup nor a running inverter
    SW_LOST_OVERLOAD,  ///< beyond the inverter's rating or the hookup's limit
    SW_LOST_EMPTY,     ///< the charge that can be reached does not last for it, or the battery is cut off
    SW_LOST_RATE,      ///< beyond what the battery may give at one moment
    SW_LOST_SAG        ///< the terminals sink to the inverter's cut-out, or it has not come back from there
} sw_lost;

/// What happened in one step; powers are means over the step [W].
typedef struct sw_tile_flow {
    sw_column solar_clipped_w; ///< lost to the controller's limit, or to the voltage it holds the panels at
    sw_column solar_offered_w; ///< at the controller's output
    sw_column solar_used_w;    ///< offered - used is spilled
    sw_column alternator_offered_w, alternator_used_w;
    sw_column shore_ac_w;   ///< to AC loads
    sw_column charger_in_w; ///< from the hookup into the charger
    sw_column charger_out_w;
    sw_column asked_w[SW_BUS_COUNT][SW_HELD_COUNT];
    sw_column served_share[SW_BUS_COUNT][SW_HELD_COUNT]; ///< 1 served, 0 dropped whole
    sw_column thermal_w[SW_THERMAL_MAX];                 ///< asked (served share as its class)
    sw_column thermal_short_w[SW_THERMAL_MAX];           ///< beyond the compressor's rating: the food warms
    sw_column served_w, unserved_w;                      ///< all loads; asked beyond that
    sw_column inverter_loss_w;                           ///< idle included
    sw_column controller_self_w;
    sw_column pad_w;     ///< heater under the bank
    sw_column battery_w; ///< at the terminals; positive: out of the battery
    sw_column battery_a; ///< as battery_w
    sw_column battery_v; ///< at the terminals, at the end of the step
    sw_column resistance_loss_w, coulombic_loss_w, self_loss_w;
    sw_column stored_w;            ///< change of stored energy
    sw_column soc, soc_reachable;  ///< at the end of the step; reachable: above what cold and rate lock
    sw_column battery_c;           ///< at the beginning of the step
    sw_column inverter_overload_w; ///< asked beyond the rating while it was running
    sw_column shore_overload_w;    ///< asked beyond inlet or pedestal
    sw_column lost[SW_BUS_COUNT][SW_HELD_COUNT]; ///< sw_lost of each class
    sw_column tripped;                           ///< 1: inverter held off by its low-voltage cut-out
    sw_column cut_off;                           ///< 1: battery held off
    sw_column cold_blocked_w, hot_blocked_w;     ///< charging power on offer that cold, or heat, forbade
    sw_column alternator_overload_a;             ///< through a relay, beyond what the alternator has to spare
    sw_column imbalance_w;                       ///< sources - loads - losses - stored; rounding only
    sw_column throughput_w;                      ///< sum of the absolute flows
} sw_tile_flow;

/// Receives each step's flows. `step` counts from 0.
typedef void sw_march_sink(void *context, int32_t step, const sw_tile_flow *flow);

/// Writes a variant into one lane of plan and state. `step_s` must be that of the forcing and equal for all
/// lanes, as must be the number of thermal loads and their buses and classes.
void sw_tile_set(sw_tile_plan *plan, sw_tile_state *state, int lane, const sw_variant *variant,
                 int32_t step_s);

/// Marches all lanes from the first step to the last. `sink` may be NULL.
/// @return SW_OK, or SW_UNBALANCED if in any step of any lane |imbalance| > 1e-9 of the sum of flows + 1e-9
/// Wh
sw_status sw_march(const sw_forcing *forcing, const sw_tile_plan *plan, sw_tile_state *state,
                   sw_march_sink *sink, void *context);

#endif
