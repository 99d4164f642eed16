/// The cabin as one node of heat, and the air that an evaporative cooler makes of the air outside.
#ifndef STILLWATT_CABIN_H
#define STILLWATT_CABIN_H

/// What bears on the cabin during a step; all of it even over the step.
typedef struct sw_cabin_step {
    double hours;     ///< > 0
    double heat_wh_k; ///< that warms the cabin by a kelvin, > 0
    double loss_w_k;  ///< through walls, windows and gaps, to the air outside, > 0
    double outside_c;
    double draft_w_k,
        draft_c;    ///< a stream of other air: its heat capacity flow, and its temperature; 0: none
    double gains_w; ///< sun, people, appliances, heaters (positive), coolers (negative)
} sw_cabin_step;

/// Temperature at the end of a step that begins at `from_c`: the exact exponential of the one node.
double sw_cabin_after_c(double from_c, const sw_cabin_step *step);

/// Power [W] beside the gains that ends the step at `target_c`; negative: it must cool.
double sw_cabin_power_to_w(double from_c, double target_c, const sw_cabin_step *step);

/// Share 0..1 of the draft that ends the step at `target_c`, where the draft is on for that share of the step
/// and its stream is thinned alike; 1 if all of it does not reach so far, 0 if none is needed.
/// @param step with the whole draft
double sw_cabin_draft_to(double from_c, double target_c, const sw_cabin_step *step);

/// Share of its time in which a machine of `most_w` runs that ends the step at the target, as
/// sw_cabin_power_to_w asks it to; 0..1. `most_w` > 0 heats, < 0 cools.
double sw_cabin_share_to(double from_c, double target_c, double most_w, const sw_cabin_step *step);

/// Relative humidity [%] of air with a dew point; 100 at and above it. [allen-1998]
double sw_humidity_pct(double air_c, double dew_c);

/// Wet bulb of air near sea level, for 5 to 99 % and -20 to 50 degC, within 1 K there. [stull-2011]
double sw_wet_bulb_c(double air_c, double humidity_pct);

/// An evaporative cooler at work.
typedef struct sw_cooler_air {
    double supply_c;   ///< of the air that it blows
    double stream_w_k; ///< heat capacity flow of that air
    double water_l_h;  ///< that evaporates
} sw_cooler_air;

/// @param effectiveness 0..1: how far the air comes towards its wet bulb
/// @param air_m3_h at the place; its density follows from the height [standard-atmosphere]
sw_cooler_air sw_cooler_air_of(double air_c, double humidity_pct, double effectiveness, double air_m3_h,
                               double elevation_m);

#endif
