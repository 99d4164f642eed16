/// Where the sun stands, and when it rises and sets.
/// Source: the NOAA solar calculator's equations [noaa-solar], after Meeus; years 1900 to 2100.
#ifndef STILLWATT_SUN_H
#define STILLWATT_SUN_H

#include "stillwatt/status.h"

#include <stdint.h>

/// The sun against the stars at one moment: the same for every place on Earth.
typedef struct sw_sun_clock {
    double declination_rad;
    double equation_of_time_min;
    double radius_au;
    double extraterrestrial_w_m2; ///< on a plane facing the sun: 1361.1 W/m2 [gueymard-2018] / radius^2
} sw_sun_clock;

typedef struct sw_sun {
    double zenith_deg;          ///< unrefracted, centre of the disc, [0, 180]
    double apparent_zenith_deg; ///< with the calculator's refraction (sea-level air), [0, 180]
    double azimuth_deg;         ///< clockwise from north, [0, 360)
    double cos_zenith;          ///< of the unrefracted zenith; the upward part of the unit vector to the sun
    double east, north;         ///< the level parts of that unit vector
} sw_sun;

/// Judged at solar noon and at the midnights 12 h before and after it.
typedef enum sw_daylight { SW_DAY_AND_NIGHT, SW_POLAR_DAY, SW_POLAR_NIGHT } sw_daylight;

typedef struct sw_sun_times {
    sw_daylight kind;
    int64_t rise_s; ///< UTC seconds; the moment the upper limb touches the horizon (zenith 90.833 deg)
    int64_t noon_s; ///< solar noon
    int64_t set_s; ///< rise and set equal noon -/+ 12 h on a polar day, and noon in polar night; on the first
                   ///< or last day of a polar day only one of them is a crossing, the other is noon -/+ 12 h
} sw_sun_times;

/// The sun's clock at a moment. No allocation; safe from any thread. Universal time stands in for dynamical
/// time, as in the calculator.
/// @param utc_s seconds since 1970-01-01T00:00Z; years 1900 to 2100, else SW_OUT_OF_RANGE and `out` untouched
sw_status sw_sun_clock_at(int64_t utc_s, sw_sun_clock *out);

/// The sun seen from a place, given its clock.
/// @param utc_s as for the clock; lat_deg north positive [-90, 90]; lon_deg east positive, any value, wrapped
/// At a pole the azimuth is measured from the meridian lon_deg. Below the horizon is an answer, not an error.
/// The zenith is as seen from the Earth's centre: the calculator leaves out parallax (at most 0.0024 deg).
void sw_sun_from(const sw_sun_clock *clock, int64_t utc_s, double lat_deg, double lon_deg, sw_sun *out);

/// Both in one call. @return SW_OK or SW_OUT_OF_RANGE (year, latitude not in [-90, 90], not finite)
sw_status sw_sun_at(int64_t utc_s, double lat_deg, double lon_deg, sw_sun *out);

/// Sunrise, solar noon and sunset of the solar day whose noon is nearest to `around_utc_s`; the equations are
/// iterated to the moment of each event, to the second. Polar day and night are answers. Within 0.2 deg of a
/// pole, where the sun is ruled by its declination and not by the hour, the day of the equinox is told by its
/// noon alone.
/// @return SW_OK or SW_OUT_OF_RANGE (year, latitude not in [-90, 90], not finite), then `out` is untouched
sw_status sw_sun_times_near(int64_t around_utc_s, double lat_deg, double lon_deg, sw_sun_times *out);

/// Daily extraterrestrial energy on the flat [Wh/m2] of that solar day: the integral over its daylight.
/// Source: [duffie-beckman] eq. 1.10.3 with the clock taken at solar noon.
double sw_sun_daily_extraterrestrial_wh_m2(const sw_sun_clock *clock_at_noon, double lat_deg);

#endif
