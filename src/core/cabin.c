// The cabin's heat balance, wet bulbs and evaporative coolers.
#include "stillwatt/cabin.h"

#include <math.h>

// ---- one node ----

/// Where a step leads: the temperature that it tends to, and the share of the way that it goes.
typedef struct tendency {
    double rest_c, went;
} tendency;

/* C dT/dt = UA (Tout - T) + G (Tdraft - T) + P has the rest temperature (UA Tout + G Tdraft + P)/(UA + G) and
   goes 1 - exp(-(UA + G) h/C) of the way to it (own derivation). */
static tendency tendency_of(const sw_cabin_step *s)
{
    double flow_w_k = s->loss_w_k + s->draft_w_k;
    double rest_c = (s->loss_w_k * s->outside_c + s->draft_w_k * s->draft_c + s->gains_w) / flow_w_k;
    return (tendency){rest_c, -expm1(-flow_w_k * s->hours / s->heat_wh_k)};
}

double sw_cabin_after_c(double from_c, const sw_cabin_step *step)
{
    tendency t = tendency_of(step);
    return from_c + (t.rest_c - from_c) * t.went;
}

/* A watt more moves the rest temperature by 1/(UA + G), and the end of the step by its share of that (own
   derivation). */
double sw_cabin_power_to_w(double from_c, double target_c, const sw_cabin_step *step)
{
    tendency t = tendency_of(step);
    double end_c = from_c + (t.rest_c - from_c) * t.went;
    return (target_c - end_c) * (step->loss_w_k + step->draft_w_k) / t.went;
}

double sw_cabin_share_to(double from_c, double target_c, double most_w, const sw_cabin_step *step)
{
    double share = sw_cabin_power_to_w(from_c, target_c, step) / most_w;
    return fmin(1.0, fmax(0.0, share));
}

#define HALVINGS 50 // of a share: to a double's digits (numerics)

static double ends_c(double from_c, const sw_cabin_step *step, double share)
{
    sw_cabin_step part = *step;
    part.draft_w_k *= share;
    return sw_cabin_after_c(from_c, &part);
}

/* The end of the step moves towards the draft's temperature with its share, so the share is found by halving
   (numerics). */
double sw_cabin_draft_to(double from_c, double target_c, const sw_cabin_step *step)
{
    double low = 0.0, high = 1.0;
    if (ends_c(from_c, step, low) <= target_c || ends_c(from_c, step, high) >= ends_c(from_c, step, low))
        return 0.0; // cool enough, or the draft would warm
    if (ends_c(from_c, step, high) >= target_c)
        return 1.0;
    for (int i = 0; i < HALVINGS; i++) {
        double middle = 0.5 * (low + high);
        if (ends_c(from_c, step, middle) > target_c)
            low = middle;
        else
            high = middle;
    }
    return high;
}

// ---- moist air ----

/* [allen-1998] eq. 11, kPa */
static double saturation_kpa(double air_c)
{
    return 0.6108 * exp(17.27 * air_c / (air_c + 237.3));
}

double sw_humidity_pct(double air_c, double dew_c)
{
    return 100.0 * fmin(1.0, saturation_kpa(dew_c) / saturation_kpa(air_c)); // per cent (definition)
}

/* [stull-2011] eq. 1; the humidity in per cent. */
double sw_wet_bulb_c(double air_c, double humidity_pct)
{
    double rh = humidity_pct;
    return air_c * atan(0.151977 * sqrt(rh + 8.313659)) + atan(air_c + rh) - atan(rh - 1.676331) +
           0.00391838 * rh * sqrt(rh) * atan(0.023101 * rh) - 4.686035;
}

/* Air of 1.2 kg/m3 at the sea and 1006 J/kgK (from memory), thinner with height [standard-atmosphere]; water
   takes 2.45 MJ/kg [allen-1998]; a litre of it is a kilogram, an hour 3600 s (definition). */
sw_cooler_air sw_cooler_air_of(double air_c, double humidity_pct, double effectiveness, double air_m3_h,
                               double elevation_m)
{
    double wet_c = fmin(air_c, sw_wet_bulb_c(air_c, humidity_pct));
    double kg_s = air_m3_h / 3600.0 * 1.2 * exp(-elevation_m / 8434.5);
    sw_cooler_air out = {.supply_c = air_c - effectiveness * (air_c - wet_c), .stream_w_k = kg_s * 1006.0};
    out.water_l_h = out.stream_w_k * (air_c - out.supply_c) / 2.45e6 * 3600.0;
    return out;
}
