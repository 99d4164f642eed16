/// A rehearsal: the ledger of a trip hour by hour, and what it comes to.
#ifndef STILLWATT_REHEARSAL_H
#define STILLWATT_REHEARSAL_H

#include "stillwatt/course.h"

/// How a column of the ledger goes from steps to hours, and from hours to days and the trip.
typedef enum sw_gather { SW_GATHER_ENERGY, SW_GATHER_MEAN, SW_GATHER_LOWEST, SW_GATHER_LAST } sw_gather;

/// Columns of the ledger: name, heading (the unit is its ending), how it is gathered, words for people.
/// Energy columns are sums of power over time [Wh]; means are weighted with time.
#define SW_LEDGER_LIST(X)                                                                                    \
    X(AIR, "air_c", MEAN, "outside air")                                                                     \
    X(CABIN, "cabin_c", MEAN, "cabin")                                                                       \
    X(SUN, "sun_on_flat_wh_m2", ENERGY, "sun on the flat")                                                   \
    X(SOLAR_OFFERED, "solar_offered_wh", ENERGY, "solar on offer")                                           \
    X(SOLAR_USED, "solar_used_wh", ENERGY, "solar used")                                                     \
    X(SOLAR_SPILLED, "solar_spilled_wh", ENERGY, "solar spilled")                                            \
    X(SOLAR_CLIPPED, "solar_clipped_wh", ENERGY, "solar clipped by the controller")                          \
    X(ALTERNATOR_OFFERED, "alternator_offered_wh", ENERGY, "alternator on offer")                            \
    X(ALTERNATOR_USED, "alternator_used_wh", ENERGY, "alternator used")                                      \
    X(SHORE_AC, "shore_to_loads_wh", ENERGY, "hookup to AC loads")                                           \
    X(CHARGER_IN, "shore_to_charger_wh", ENERGY, "hookup to the charger")                                    \
    X(CHARGER_LOSS, "charger_loss_wh", ENERGY, "charger loss")                                               \
    X(ASKED, "loads_asked_wh", ENERGY, "loads asked")                                                        \
    X(SERVED, "loads_served_wh", ENERGY, "loads served")                                                     \
    X(UNSERVED_MUST, "unserved_must_wh", ENERGY, "unserved must")                                            \
    X(UNSERVED_WANT, "unserved_want_wh", ENERGY, "unserved want")                                            \
    X(UNSERVED_CAN_WAIT, "unserved_can_wait_wh", ENERGY, "unserved can-wait")                                \
    X(INVERTER_LOSS, "inverter_loss_wh", ENERGY, "inverter, idle included")                                  \
    X(CONTROLLER_SELF, "controller_own_wh", ENERGY, "controller's own draw")                                 \
    X(RESISTANCE_LOSS, "battery_heat_wh", ENERGY, "battery heat")                                            \
    X(COULOMBIC_LOSS, "battery_charging_loss_wh", ENERGY, "battery charging loss")                           \
    X(SELF_LOSS, "battery_own_wh", ENERGY, "battery by itself")                                              \
    X(STORED, "stored_wh", ENERGY, "change of what is stored")                                               \
    X(COLD_BLOCKED, "cold_blocked_wh", ENERGY, "charging forbidden by cold")                                 \
    X(FOOD_WARMING, "fridge_short_wh", ENERGY, "fridge beyond its compressor")                               \
    X(INVERTER_OVERLOAD, "inverter_overload_wh", ENERGY, "asked beyond the inverter")                        \
    X(SHORE_OVERLOAD, "shore_overload_wh", ENERGY, "asked beyond the hookup")                                \
    X(TRIPPED, "inverter_tripped_h", ENERGY, "inverter off by low voltage")                                  \
    X(CUT_OFF, "battery_cut_off_h", ENERGY, "battery cut off")                                               \
    X(UNDER, "under_reserve_h", ENERGY, "under the reserve line")                                            \
    X(BATTERY_C, "battery_c", MEAN, "battery temperature")                                                   \
    X(BATTERY_A, "battery_discharge_a", MEAN, "battery current")                                             \
    X(BATTERY_V, "battery_v", LAST, "battery voltage")                                                       \
    X(LOWEST, "charge_lowest_pct", LOWEST, "lowest charge")                                                  \
    X(LOWEST_REACHABLE, "charge_lowest_reachable_pct", LOWEST, "lowest charge that cold and rate leave")     \
    X(CHARGE, "charge_end_pct", LAST, "charge at the end")

typedef enum sw_ledger_column {
#define SW_LEDGER_ENUM(name, heading, gather, words) SW_LEDGER_##name,
    SW_LEDGER_LIST(SW_LEDGER_ENUM)
#undef SW_LEDGER_ENUM
        SW_LEDGER_COLUMNS
} sw_ledger_column;

/// Heading, gathering and words of a column; static.
const char *sw_ledger_heading(sw_ledger_column column);
sw_gather sw_ledger_gather(sw_ledger_column column);
const char *sw_ledger_words(sw_ledger_column column);

/// A stretch of time and what happened in it: an hour, a day, the trip.
typedef struct sw_account {
    int64_t start_s, end_s; ///< UTC
    int64_t lowest_at_s;    ///< when the charge was lowest: end of that step
    int day;                ///< index of the local day
    double value[SW_LEDGER_COLUMNS];
    double *asked_wh, *served_wh; ///< per load of the van
    double missed_wh;             ///< not served because of the battery
} sw_account;

typedef enum sw_verdict { SW_HOLDS, SW_TIGHT, SW_UNDER, SW_OUT } sw_verdict;
/// The word of a verdict: holds, tight, under, out; static.
const char *sw_verdict_word(sw_verdict verdict);

/// Why a load that was asked for was not served.
typedef enum sw_missed {
    SW_MISSED_NO_SUPPLY,    ///< AC, but there is neither an inverter nor a hookup
    SW_MISSED_SWITCHED_OFF, ///< AC outside the hours in which the inverter is on
    SW_MISSED_OVERLOAD,     ///< inverter or hookup cannot carry all that is asked at once
    SW_MISSED_HELD_BACK,    ///< can wait, and the charge is under the van's hold_back_below
    SW_MISSED_EMPTY, ///< the charge that can be reached does not last for it, or the battery is cut off
    SW_MISSED_RATE,  ///< it is more than the battery may give at once
    SW_MISSED_SAG,   ///< the voltage sinks to the inverter's cut-out
    SW_MISSED_REASONS
} sw_missed;

/// What a march under one sky came to.
typedef struct sw_outcome {
    sw_verdict verdict;
    double lowest_soc;
    int64_t lowest_at_s;
    double under_h;
    int64_t out_at_s; ///< `out`: begin of the first step in which the battery did not carry what was asked
    double out_soc, out_reachable; ///< `out`: charge then, and the part of it that cold and rate do not lock
    sw_missed out_why;             ///< `out`: SW_MISSED_EMPTY, SW_MISSED_RATE or SW_MISSED_SAG
    double unserved_wh;            ///< of all loads, whatever the reason
} sw_outcome;

/// One reason why a day fell under the reserve: energy against the trip's mean day; positive: worse.
typedef struct sw_cause {
    int column; ///< sw_ledger_column, or -1: load
    int load;
    double worse_wh;
} sw_cause;

#define SW_CAUSES_MAX 3

typedef struct sw_day_finding {
    int under;        ///< the charge fell under the reserve line on that day
    double missed_wh; ///< not served because of the battery
    int causes;
    sw_cause cause[SW_CAUSES_MAX];
    double balance_wh; ///< brought in - used - lost on that day
} sw_day_finding;

/// What an assumption does to the lowest charge when it is moved to the ends of its plausible range.
typedef struct sw_weight {
    int assumption; ///< index in the plan
    double low,
        high; ///< the ends that were marched: those of the assumption, drawn in where the van could not be
    double lowest_at_low, lowest_at_high;     ///< lowest charge
    double unserved_at_low, unserved_at_high; ///< [Wh]
    double points;                            ///< greatest change of the lowest charge, in points (1 = 100 %)
    double unserved_wh; ///< greatest change of what is not served: it counts where the charge cannot fall
                        ///< further
} sw_weight;

#define SW_TIGHT_HOURS 3

typedef struct sw_rehearsal {
    const sw_plan *plan;
    sw_course *course;
    sw_variant variant;
    int hours, days;
    sw_account *hour, *day;
    sw_account trip;
    sw_outcome outcome; ///< under the trip's own sky
    int has_poor;
    sw_outcome poor; ///< under the poor week of an average sky
    sw_day_finding *day_finding;
    int tight_hours;
    int tight[SW_TIGHT_HOURS]; ///< hours of lowest charge, one a day, tightest first
    double greatest_inverter_overload_w, greatest_shore_overload_w;
    int64_t inverter_overload_at_s, shore_overload_at_s;
    double usable_wh_left; ///< above the reserve line at the end
    double days_left;      ///< that over an average day's use
    int weights;
    sw_weight *weight;                      ///< sorted, heaviest first
    double (*missed_wh)[SW_MISSED_REASONS]; ///< per load of the van
    double worst_imbalance;                 ///< greatest |imbalance| over the step's flows
    void *owner;
} sw_rehearsal;

/// Rehearses a trip. @param step_s a divisor of 3600, at least 60
/// @return SW_OK; as sw_course_make; SW_UNBALANCED if the energy of a step did not close (the rehearsal is
/// made all the same)
sw_status sw_rehearse(const sw_plan *plan, const sw_loader *loader, int32_t step_s, sw_messages *messages,
                      sw_rehearsal **out);
/// Releases a rehearsal and its course; the plan stays. NULL is allowed.
void sw_rehearsal_free(sw_rehearsal *rehearsal);

#endif
