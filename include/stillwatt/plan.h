/// A plan: one van and one trip as plain structs, checked and in SI, with no pointers into the files they
/// came from. Everything hangs on the plan and is released with it. Values that were not given carry their
/// default and stand in the list of assumptions.
#ifndef STILLWATT_PLAN_H
#define STILLWATT_PLAN_H

#include "stillwatt/array.h"
#include "stillwatt/battery.h"
#include "stillwatt/forcing.h"
#include "stillwatt/message.h"
#include "stillwatt/quantity.h"

#include <stdint.h>

/// A value of -1 in an int, NAN in a double and NULL in a text means: not given and without a default.

typedef enum sw_seat {
    SW_SEAT_FRONT,
    SW_SEAT_MIDDLE,
    SW_SEAT_REAR,
    SW_SEAT_ROOF,
    SW_SEAT_UNDER,
    SW_SEAT_COUNT
} sw_seat;

/// Price, labour, mass and seat of a part.
typedef struct sw_cost {
    double price;    ///< in the van's currency, of one unit
    double labour_s; ///< to fit all units
    double mass_kg;  ///< of one unit
    int seat;        ///< sw_seat or -1
} sw_cost;

typedef struct sw_vehicle {
    double payload_kg;          ///< what may still be loaded: parts, water, people, luggage
    double front_axle_spare_kg; ///< as weighed, before the parts
    double rear_axle_spare_kg;
    double free_roof_m2;
    double idle_fuel_l; ///< that the engine burns in an hour at idle; NAN: not known and not needed
} sw_vehicle;

typedef struct sw_battery_spec {
    sw_cost cost;
    int chemistry;         ///< sw_chemistry
    double unit_v;         ///< nominal: 12, 24 or 48
    double capacity_ah;    ///< one unit, at the 20 h rate
    int series, parallel;  ///< units
    double health;         ///< (0, 1]
    double resistance_ohm; ///< one unit at 25 degC, polarisation included
    double charge_limit_a; ///< one unit
    double discharge_limit_a;
    double absorption_v; ///< one unit
    double cut_out_v;    ///< one unit
    double restart_v;    ///< one unit: comes back at
    int comes_back;      ///< sw_comes_back: what else it waits for after its cut-out
    double cold_stop_c, cold_full_c;
    double hot_full_c, hot_stop_c, discharge_stop_c;
    double cold_loss;              ///< share of the chemistry's loss of capacity in cold
    double heater_w, heater_set_c; ///< of the bank; 0 W: none
    int heater_from;               ///< 0: the battery feeds it, 1: only what chargers have to spare
    double management_w;           ///< of the bank
    double lag_s;                  ///< temperature lag
    int place;                     ///< 0 cabin, 1 outside
} sw_battery_spec;

typedef enum sw_fixed_to { SW_FIXED_VAN, SW_FIXED_COMPASS } sw_fixed_to;

/// When an array works: always as it stands, only when parked, or flat on the road and raised when parked.
typedef enum sw_deployed { SW_DEPLOYED_ALWAYS, SW_DEPLOYED_PARKED, SW_DEPLOYED_RAISED } sw_deployed;

typedef struct sw_array_spec {
    const char *name;
    sw_cost cost;
    double rated_w; ///< one panel
    int panels;
    double area_m2; ///< one panel
    double tilt_deg, facing_deg;
    int fixed_to;                   ///< sw_fixed_to: facing is from the van's nose, or from north
    int deployed;                   ///< sw_deployed
    const struct sw_windows *hours; ///< of a portable set: when it stands outside; NULL: it is fitted
    int in_series;                  ///< panels of a string, a divisor of `panels`
    double open_circuit_v, working_v, voltage_per_k; ///< one panel at 25 degC; change of both a kelvin
    int mounting;                                    ///< sw_mounting
    double gamma_per_k;
    double soiling, wiring, mismatch, ageing, roof_shade; ///< losses, 0..1
    double soiling_per_day; ///< by which soiling grows a dry day; 0: it stays as it is
} sw_array_spec;

typedef struct sw_controller_spec {
    sw_cost cost;
    int kind; ///< 0: finds the best voltage (MPPT), 1: holds the panels at the battery's (PWM)
    double efficiency, limit_a, self_w;
    double input_limit_v, starts_over_v; ///< of its panels' side; over the bank's voltage
} sw_controller_spec;

typedef struct sw_alternator_spec {
    sw_cost cost;
    int path;                            ///< 0: a converter, 1: a relay
    int is_smart;                        ///< 1: lets its voltage fall while cruising
    int stops;                           ///< 1: the engine stops instead of idling in traffic
    double spare_cruise_a, spare_idle_a; ///< what the engine's alternator has to spare when it is warm
    double cold_cruise_a, cold_idle_a;   ///< the same just after the start; NAN: as when it is warm
    double warms_s;                      ///< time constant of its warming
    double alternator_v;                 ///< with the engine running
    double converter_w, converter_efficiency;
    double cable_ohm; ///< relay: there and back
} sw_alternator_spec;

typedef struct sw_shore_spec {
    sw_cost cost;
    double inlet_a, inlet_v;
    int hot_legs; ///< 1; 2 of a 50 A inlet of 120/240 V: each carries inlet_a at inlet_v
    double charger_w, charger_efficiency, charger_power_factor;
} sw_shore_spec;

/// The battery that starts the engine: lead, 12 V.
typedef struct sw_starter_spec {
    sw_cost cost;
    double capacity_ah; ///< at the 20 h rate
    double charge;      ///< share of it when the trip begins
    double drain_w;     ///< what the parked vehicle itself takes, day and night
    double needs;       ///< share of the capacity under which it does not start the engine at 25 degC
    const char *kept;   ///< name of the load that keeps it filled; NULL: none does
    int kept_by;        ///< its index, -1: none
} sw_starter_spec;

/// A portable generator, plugged into the inlet.
typedef struct sw_generator_spec {
    sw_cost cost;
    double rated_w;        ///< and as many VA
    double idle_fuel_l;    ///< in an hour with nothing plugged in
    double fuel_l_per_kwh; ///< more for each kWh
} sw_generator_spec;

typedef struct sw_inverter_spec {
    sw_cost cost;
    double rated_w, idle_w, peak_efficiency, full_efficiency;
    double cut_out_v, restart_v;    ///< of the bank
    const struct sw_windows *hours; ///< NULL: always on
} sw_inverter_spec;

#define SW_WINDOWS_MAX 8
#define SW_TIMES_MAX   16
#define SW_LOADS_MAX   64
#define SW_PLACES_MAX  32
#define SW_LEGS_MAX    128

/// Stretches of the local day, minutes since midnight, [from, to), to > from; `to` up to 2880 where it
/// crosses midnight.
typedef struct sw_windows {
    int count;
    int from_min[SW_WINDOWS_MAX], to_min[SW_WINDOWS_MAX];
} sw_windows;

/// The share of a breaker that loads may take for three hours and more: 80 % by the continuous-load rule of
/// North American supplies [nec]; European pedestals give their 4 to 16 A. @param volts of the supply
double sw_steady_share(double volts);

/// Whether a minute of the local day lies within windows (NULL: always).
int sw_windows_hold(const sw_windows *windows, int local_min);

typedef struct sw_times {
    int count;
    int at_min[SW_TIMES_MAX];
} sw_times;

/// What a tank holds: fresh water, what runs from sinks and shower, the toilet's, the vehicle's fuel (engine,
/// heater), the can of a generator.
typedef enum sw_tank {
    SW_TANK_FRESH,
    SW_TANK_GREY,
    SW_TANK_TOILET,
    SW_TANK_FUEL,
    SW_TANK_CAN,
    SW_TANKS
} sw_tank;

/// Tanks that end a stay when they are full; the others end it when they are empty.
#define SW_TANK_FILLS(tank) ((tank) == SW_TANK_GREY || (tank) == SW_TANK_TOILET)

typedef struct sw_tank_spec {
    sw_cost cost;
    double capacity_l; ///< NAN: the van has none of this kind, or nobody counts it
    double start;      ///< share of it, when the trip begins
} sw_tank_spec;

typedef enum sw_load_kind {
    SW_LOAD_STEADY,    ///< power in its hours
    SW_LOAD_USE,       ///< so many uses a day, each so long
    SW_LOAD_MEASURED,  ///< so much energy or charge a day, spread over its hours
    SW_LOAD_FRIDGE,    ///< compressor, follows the cabin
    SW_LOAD_HOT_WATER, ///< so many uses a day, each so many litres made warm
    // Thermostats of the cabin.
    SW_LOAD_HEATER,      ///< burns fuel; its fan and pump take power
    SW_LOAD_EVAPORATIVE, ///< blows outside air through wet pads
    SW_LOAD_AIRCON,      ///< compressor
    SW_LOAD_FAN          ///< blows outside air through the cabin
} sw_load_kind;

/// Conditions of a load; all that are set must be met.
typedef enum sw_when {
    SW_WHEN_PARKED = 1 << 0,
    SW_WHEN_DRIVING = 1 << 1,
    SW_WHEN_SHORE = 1 << 2,
    SW_WHEN_OFF_GRID = 1 << 3,
    SW_WHEN_DARK = 1 << 4,
    SW_WHEN_LIGHT = 1 << 5
} sw_when;

/// Loads that are asked for at a hookup only.
#define SW_LOAD_OF_HOOKUP(load) (((load)->when & SW_WHEN_SHORE) != 0)

typedef struct sw_load_spec {
    const char *name;
    sw_cost cost;
    int kind;                      ///< sw_load_kind
    int bus;                       ///< sw_bus
    int held;                      ///< sw_held
    int count;                     ///< of the same appliance
    double power_w, duty;          ///< while it runs; share of on-time
    const sw_windows *hours;       ///< NULL: all day
    double uses;                   ///< a day; fractions run on some days
    double each_s;                 ///< of a use
    const sw_times *at;            ///< NULL: spread over its hours
    double per_day_wh, per_day_ah; ///< measured; one of them
    unsigned weekdays;             ///< bit 0 Sunday .. bit 6 Saturday; 127 all
    unsigned when;                 ///< sw_when bits; 0: always
    double outside_above_c, outside_below_c, cabin_above_c, cabin_below_c;
    double set_c, reference_c, reference_wh; ///< fridge: set point; energy a day at an ambient
    double water_l, fuel_l;  ///< of a use, of an hour that it runs, or of a measured day; NAN: none
    int drain;               ///< where its water goes: sw_tank, or SW_TANKS: nowhere
    double cold_c, warm_c;   ///< hot water: from, to
    double keeps_c;          ///< thermostats: cabin temperature
    int stored;              ///< 1: it runs on while the van is laid up
    int medical;             ///< 1: health depends on it
    double heat_w;           ///< heater, air conditioner: into, or out of, the cabin at full power
    double start_w, start_s; ///< heater: what its start takes on top, and for how long; 0 W: nothing
    double airflow_m3_h, effectiveness; ///< evaporative
} sw_load_spec;

/// The cabin as one node of heat.
typedef struct sw_cabin_spec {
    int insulation;   ///< 0 none, 1 some, 2 good
    int glass;        ///< 0 few windows, 1 many
    int covers;       ///< 1: windows are covered while parked
    double loss_w_k;  ///< through walls, windows and gaps
    double glass_m2;  ///< that lets the sun of the flat in, window covers apart
    double heat_wh_k; ///< that warms what is in it by a kelvin
} sw_cabin_spec;

typedef struct sw_van {
    const char *name;
    const char *file;
    char currency[4]; ///< ISO 4217; empty if no price is given
    sw_vehicle vehicle;
    sw_battery_spec battery;
    int arrays;
    sw_array_spec *array;
    sw_controller_spec *controller; ///< NULL: no solar
    sw_alternator_spec *alternator; ///< NULL: no charging while driving
    sw_shore_spec *shore;           ///< NULL: no inlet
    sw_starter_spec *starter;       ///< NULL: nobody looks at it
    sw_generator_spec *generator;   ///< NULL: none aboard
    sw_inverter_spec *inverter;     ///< NULL: no AC off grid
    sw_tank_spec tank[SW_TANKS];
    sw_cabin_spec *cabin; ///< NULL: the trip states its temperature
    int loads;
    sw_load_spec *load;
    double hold_back_below; ///< 0: can-wait loads run until the battery is cut off
} sw_van;

/// Monthly means of a place as its user gives them.
typedef struct sw_normals {
    double daily_sun_kwh_m2[12];
    double low_c[12], high_c[12];
    double spread; ///< standard deviation of the daily clearness index
} sw_normals;

/// A point of the skyline: how high hills or trees stand in a direction.
typedef struct sw_skyline_point {
    double toward_deg; ///< clockwise from north, [0, 360)
    double height_deg; ///< over the level, [0, 85]
} sw_skyline_point;

/// What trees take from the panels of a parked van at some hours.
typedef struct sw_shade {
    const struct sw_windows *hours; ///< NULL: all day
    double beam, sky; ///< shares taken, [0, 1]: of the panels' area for the beam; of the sky's light
} sw_shade;

#define SW_SKYLINE_MAX 72
#define SW_SHADES_MAX  8

typedef struct sw_place {
    const char *name;
    const char *station; ///< name in the station table, or NULL: then position and zone are given
    double lat_deg, lon_deg, elevation_m;
    const char *zone; ///< IANA
    double turbidity, albedo;
    double dew_c; ///< dew point of its air; NAN: from a record's humidity, or from the night's lowest
                  ///< temperature
    const sw_normals *normals;     ///< NULL: from the station table
    int skyline_points;            ///< 0: the horizon is level
    sw_skyline_point *skyline;     ///< by direction, rising
    const sw_windows *quiet_hours; ///< when neither generator nor engine may run; NULL: never
    sw_where where;
} sw_place;

/// A store is a van laid up: nobody aboard, and only what is meant to runs.
typedef enum sw_leg_kind { SW_LEG_STAY, SW_LEG_DRIVE, SW_LEG_STORE, SW_LEG_KINDS } sw_leg_kind;

#define SW_NO_TIME INT64_MIN

/// One leg. Times are local clock seconds (as if UTC) of the place where they fall.
typedef struct sw_leg {
    int kind;             ///< sw_leg_kind
    int place, to_place;  ///< indices; equal for a stay
    int64_t from_local_s; ///< SW_NO_TIME: when the leg before ends
    int64_t to_local_s;
    double distance_m;                                ///< drive; NAN: from the positions
    double idle_share;                                ///< drive: share of it at idle
    double heading_deg;                               ///< not drive: where the nose points
    int has_heading;                                  ///< 0: nobody said where, and it is north
    double shore_a, shore_v;                          ///< not drive: hookup, NAN without
    int shore_legs;                                   ///< as hot_legs of the inlet
    double shore_steady;                              ///< share of the breaker for three hours and more
    const sw_windows *generator_hours, *engine_hours; ///< stay: when they run to charge; NULL: never
    unsigned services;          ///< stay: bit per sw_tank that is filled, or emptied, on arrival
    int covered, disconnected;  ///< store: panels under a cover; the battery's main switch open
    int64_t snow_until_local_s; ///< panels on the van lie under snow so long; SW_NO_TIME: there is none
    int64_t washed_local_s;     ///< the panels are washed then; SW_NO_TIME: not in this leg
    int shades;                 ///< stay: what trees take, by the hour
    sw_shade *shade;
    sw_where where;
} sw_leg;

typedef enum sw_sky_kind { SW_SKY_AVERAGE, SW_SKY_TOLD, SW_SKY_HOURLY, SW_SKY_CHANCE } sw_sky_kind;

/// Cloud of one told day.
typedef struct sw_told_day {
    int64_t day; ///< days since 1970-01-01 of the local date; INT64_MIN: any other day
    double morning_okta, afternoon_okta;
    double low_c, high_c; ///< NAN: from the average of the place
} sw_told_day;

/// Draws of one seed do not meet those of the next.
#define SW_SEEDS       2000
#define SW_DRAWS_APART 1000000

typedef struct sw_sky_spec {
    int kind; ///< sw_sky_kind
    int told_days;
    sw_told_day *told; ///< [0] holds otherwise, with NAN oktas where nothing is told of other days
    double haze;       ///< share of the light that smoke or haze takes, [0, 0.9]
    const char *file;  ///< hourly: as written; a file, or a folder of years
    const struct sw_series *series; ///< hourly: its record where it is read already, not owned; NULL: it is
                                    ///< read from the file
    int year; ///< hourly: of the record, to stand for the trip's dates; not above 0: the trip's own or the
              ///< latest
    int draw; ///< chance: which one
    sw_where where; ///< hourly: of the file's name
} sw_sky_spec;

typedef struct sw_trip {
    const char *name;
    const char *file;
    double reserve, start_soc;
    double cabin_least_c, cabin_most_c;
    int people;               ///< aboard
    double water_l, toilet_l; ///< of a person and day, beside what loads take
    double drained;           ///< share of that water that runs into the grey tank
    int places;
    sw_place *place;
    int legs;
    sw_leg *leg;
    sw_sky_spec sky;
} sw_trip;

/// A value that nobody gave.
typedef struct sw_assumption {
    const char *path;  ///< in which file and where, such as "van /battery/health"
    const char *says;  ///< what it is
    const char *value; ///< as written for people, SI
    const char *mark;  ///< where the default comes from
    double low, high;  ///< plausible range, held unit; equal if none is stated
    double *at;        ///< the value inside the plan
    sw_dimension dimension;
} sw_assumption;

typedef struct sw_plan {
    sw_van *van;
    sw_trip *trip; ///< NULL if only a van was read
    int assumptions;
    sw_assumption *assumption;
    void *owner; ///< memory of all of it
} sw_plan;

/// Releases a plan and everything that hangs on it; NULL is allowed.
void sw_plan_free(sw_plan *plan);

#endif
