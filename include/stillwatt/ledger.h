/// The ledger of a trip: what happened hour by hour, in columns.
#ifndef STILLWATT_LEDGER_H
#define STILLWATT_LEDGER_H

#include <stdint.h>

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
    X(ENGINE_IDLE, "engine_idling_wh", ENERGY, "of the alternator while parked")                             \
    X(ENGINE_IDLE_H, "engine_idling_h", ENERGY, "engine at idle to charge")                                  \
    X(SHORE_AC, "shore_to_loads_wh", ENERGY, "inlet to AC loads")                                            \
    X(CHARGER_IN, "shore_to_charger_wh", ENERGY, "inlet to the charger")                                     \
    X(GENERATOR, "generator_wh", ENERGY, "of the inlet by the generator")                                    \
    X(GENERATOR_H, "generator_h", ENERGY, "generator running")                                               \
    X(CHARGER_LOSS, "charger_loss_wh", ENERGY, "charger loss")                                               \
    X(EVAPORATED, "cooler_water_l", ENERGY, "water that a cooler evaporated")                                \
    X(HEATER_FUEL, "heater_fuel_l", ENERGY, "fuel that heaters burnt")                                       \
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
    X(PAD, "battery_heater_wh", ENERGY, "battery heater")                                                    \
    X(COLD_BLOCKED, "cold_blocked_wh", ENERGY, "charging forbidden by cold")                                 \
    X(HOT_BLOCKED, "hot_blocked_wh", ENERGY, "charging forbidden by heat")                                   \
    X(FOOD_WARMING, "fridge_short_wh", ENERGY, "fridge beyond its compressor")                               \
    X(INVERTER_OVERLOAD, "inverter_overload_wh", ENERGY, "asked beyond the inverter")                        \
    X(SHORE_OVERLOAD, "shore_overload_wh", ENERGY, "asked beyond the hookup")                                \
    X(TRIPPED, "inverter_tripped_h", ENERGY, "inverter off by low voltage")                                  \
    X(FROZEN_H, "battery_frozen_h", ENERGY, "cold enough for the battery to freeze")                         \
    X(STORED_H, "stored_h", ENERGY, "laid up")                                                               \
    X(CUT_OFF, "battery_cut_off_h", ENERGY, "battery cut off")                                               \
    X(UNDER, "under_reserve_h", ENERGY, "under the reserve line")                                            \
    X(BATTERY_C, "battery_c", MEAN, "battery temperature")                                                   \
    X(BATTERY_A, "battery_discharge_a", MEAN, "battery current")                                             \
    X(BATTERY_V, "battery_v", LAST, "battery voltage")                                                       \
    X(LOWEST, "charge_lowest_pct", LOWEST, "lowest charge")                                                  \
    X(LOWEST_REACHABLE, "charge_lowest_reachable_pct", LOWEST, "lowest charge that cold and rate leave")     \
    X(CHARGE, "charge_end_pct", LAST, "charge at the end")                                                   \
    X(FRESH, "fresh_l", LAST, "fresh water at the end")                                                      \
    X(GREY, "grey_l", LAST, "waste water at the end")                                                        \
    X(TOILET, "toilet_l", LAST, "in the toilet's tank at the end")                                           \
    X(FUEL, "fuel_l", LAST, "fuel at the end")                                                               \
    X(CAN, "can_l", LAST, "fuel of the generator at the end")

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

/// Whether a charge is under the reserve line: exactly on it is not under it, whatever the rounding.
#define SW_IS_UNDER(soc, reserve) ((soc) < (reserve)-1e-9)

/// A stretch of time and what happened in it: an hour, a day, the trip.
typedef struct sw_account {
    int64_t start_s, end_s; ///< UTC
    int64_t lowest_at_s;    ///< when the charge was lowest: end of that step
    int day;                ///< index of the local day
    double value[SW_LEDGER_COLUMNS];
    double *asked_wh, *served_wh; ///< per load of the van
    double missed_wh;             ///< not served because of the battery
    double rate_wh;               ///< of it, what is more than the battery may give at once
} sw_account;

/// Why a load that was asked for was not served.
typedef enum sw_missed {
    SW_MISSED_NO_SUPPLY,    ///< AC, but there is neither an inverter nor a hookup
    SW_MISSED_SWITCHED_OFF, ///< AC outside the hours in which the inverter is on
    SW_MISSED_OVERLOAD,     ///< inverter or hookup cannot carry all that is asked at once
    SW_MISSED_HELD_BACK,    ///< can wait, and the charge is under the van's hold_back_below
    SW_MISSED_EMPTY, ///< the charge that can be reached does not last for it, or the battery is cut off
    SW_MISSED_COLD,  ///< the battery is too cold to give anything
    SW_MISSED_RATE,  ///< it is more than the battery may give at once
    SW_MISSED_SAG,   ///< the voltage sinks to the inverter's cut-out
    SW_MISSED_REASONS
} sw_missed;

#endif
