/// What reaches the ground: clear sky, cloud, and the split of global light into beam and sky light.
/// Light on the flat is `ghi`, beam on a plane facing the sun `dni`, sky light on the flat `dhi`, all W/m2;
/// closure ghi = dni cos(zenith) + dhi always holds.
#ifndef STILLWATT_SKY_H
#define STILLWATT_SKY_H

#include "stillwatt/sun.h"

typedef struct sw_light {
    double ghi_w_m2;
    double dni_w_m2;
    double dhi_w_m2;
} sw_light;

/// Air pressure over that of sea level, exp(-h/8434.5) (standard atmosphere). elevation_m in [-500, 9000].
double sw_pressure_ratio(double elevation_m);

/// Relative optical air mass [kasten-young-1989]; zenith clamped to [0, 90] deg. 37.92 at the horizon.
double sw_air_mass(double apparent_zenith_deg);

/// Clear sky [ineichen-perez-2002] without its low-sun factor exp(0.01 m^1.8).
/// @param linke_turbidity [1, 10]; below 2 the paper's correction applies
/// The air mass is that of the apparent zenith times the pressure ratio of the elevation.
/// All zero with the sun at or below the horizon. dni = min(both published beam forms, ghi/cos Z,
/// extraterrestrial).
sw_light sw_clear_sky(const sw_sun_clock *clock, const sw_sun *sun, double elevation_m,
                      double linke_turbidity);

/// Share of clear-sky global left under a cloud amount [kasten-czeplak-1980]; okta clamped to [0, 8].
double sw_cloud_factor(double okta);

/// Diffuse share of global from the hourly clearness index [erbs-1982]; kt clamped at 0.
double sw_diffuse_fraction(double kt);

/// Splits a global value by [erbs-1982], beam at most extraterrestrial and at most `dni_limit_w_m2`; exact
/// closure. With the sun at or below the horizon all of it is sky light.
sw_light sw_split(double ghi_w_m2, const sw_sun_clock *clock, const sw_sun *sun, double dni_limit_w_m2);

/// Daily clearness index below which a share `probability` of the days of a month lies, for a month of mean
/// `mean_kt`: the distribution of [hollands-huget-1983], upper limit 0.864. mean_kt clamped to [0.05, 0.80].
/// The exponent of the density is solved from the mean, which the distribution then has exactly (the paper's
/// own fit strays below 0.25). Solved by bisection to 1e-9. @param probability (0, 1)
double sw_clearness_quantile(double mean_kt, double probability);

/// Standard deviation of that distribution. Days of real places are mostly closer together: see
/// trip/sky_chance.c.
double sw_clearness_spread(double mean_kt);

/// A day for the course of its air temperature: its sun and its extremes.
typedef struct sw_air_day {
    sw_sun_times sun;
    double min_c; ///< shortly before sunrise
    double max_c; ///< after noon
} sw_air_day;

/// Outside air temperature at a moment from the extremes of three days on end [parton-logan-1981] (a 1.86 h,
/// b 2.20, c -0.17 h for air at 1.5 m). By day a sine from the minimum at sunrise + c through the maximum at
/// noon + a; from sunset an exponential that ends on the next day's minimum at its time. Each night hangs on
/// nothing but the days on its two sides, so the course is continuous, also where the caller moves on from
/// one day to the next, and each day has exactly its minimum and maximum. Days are taken as 4 to 22 h long,
/// so that polar ones have both as well.
/// @param utc_s from sunset of `yesterday` to the minimum of the day after `today`
double sw_air_temperature_c(int64_t utc_s, const sw_air_day *yesterday, const sw_air_day *today,
                            const sw_air_day *tomorrow);

#endif
