// Where the sun stands, and when it rises and sets: the equations of the NOAA solar calculator [noaa-solar],
// which follow Meeus, Astronomical Algorithms.
#include "stillwatt/sun.h"

#include <math.h>

// (definition)
#define RAD_PER_DEG 0.017453292519943295
#define DEG_PER_RAD 57.295779513082323
#define HALF_DAY_S  43200

// (definition)
static const int64_t first_s = -2208988800; // 1900-01-01T00:00Z
static const int64_t end_s = 4133980800;    // 2101-01-01T00:00Z
static const int64_t j2000_s = 946728000;   // 2000-01-01T12:00Z

static const double solar_constant_w_m2 = 1361.1;   /* [gueymard-2018] */
static const double upper_limb_zenith_deg = 90.833; /* [noaa-solar] */

// (definition)
static double sin_deg(double angle_deg)
{
    return sin(angle_deg * RAD_PER_DEG);
}

// (definition)
static double cos_deg(double angle_deg)
{
    return cos(angle_deg * RAD_PER_DEG);
}

static int valid_time(int64_t utc_s)
{
    return utc_s >= first_s && utc_s < end_s;
}

// (definition)
static int valid_place(double lat_deg, double lon_deg)
{
    return isfinite(lon_deg) && lat_deg >= -90.0 && lat_deg <= 90.0;
}

/* [noaa-solar] mean obliquity of the ecliptic, corrected by the longitude of the Moon's node for nutation. */
static double obliquity_deg(double t, double node_deg)
{
    double arc_seconds = 21.448 - t * (46.815 + t * (0.00059 - t * 0.001813));
    return 23.0 + (26.0 + arc_seconds / 60.0) / 60.0 + 0.00256 * cos_deg(node_deg);
}

/* [noaa-solar] The multiple angles come from the single ones by identities: this runs at every step of a
 * trip. */
static void clock_of(int64_t utc_s, sw_sun_clock *out)
{
    double t = (double)(utc_s - j2000_s) / (36525.0 * 86400.0);
    double mean_longitude_deg = 280.46646 + t * (36000.76983 + t * 0.0003032);
    double anomaly_deg = 357.52911 + t * (35999.05029 - t * 0.0001537);
    double eccentricity = 0.016708634 - t * (0.000042037 + t * 0.0000001267);
    double node_deg = 125.04 - 1934.136 * t;

    double sin_m = sin_deg(anomaly_deg);
    double sin_2m = 2.0 * sin_m * cos_deg(anomaly_deg);
    double sin_3m = sin_m * (3.0 - 4.0 * sin_m * sin_m);
    double centre_deg = sin_m * (1.914602 - t * (0.004817 + t * 0.000014)) +
                        sin_2m * (0.019993 - t * 0.000101) + sin_3m * 0.000289;
    double apparent_longitude_deg = mean_longitude_deg + centre_deg - 0.00569 - 0.00478 * sin_deg(node_deg);

    double obliquity = obliquity_deg(t, node_deg);
    double tangent = tan(obliquity * RAD_PER_DEG / 2.0);
    double y = tangent * tangent;
    double sin_2l = sin_deg(2.0 * mean_longitude_deg);
    double cos_2l = cos_deg(2.0 * mean_longitude_deg);
    double equation_rad = y * sin_2l - 2.0 * eccentricity * sin_m + 4.0 * eccentricity * y * sin_m * cos_2l -
                          y * y * sin_2l * cos_2l - 1.25 * eccentricity * eccentricity * sin_2m;

    out->declination_rad = asin(sin_deg(obliquity) * sin_deg(apparent_longitude_deg));
    out->equation_of_time_min = 4.0 * DEG_PER_RAD * equation_rad;
    out->radius_au = 1.000001018 * (1.0 - eccentricity * eccentricity) /
                     (1.0 + eccentricity * cos_deg(anomaly_deg + centre_deg));
    out->extraterrestrial_w_m2 = solar_constant_w_m2 / (out->radius_au * out->radius_au);
}

sw_status sw_sun_clock_at(int64_t utc_s, sw_sun_clock *out)
{
    if (!valid_time(utc_s))
        return SW_OUT_OF_RANGE;
    clock_of(utc_s, out);
    return SW_OK;
}

/* [noaa-solar] True solar time as an angle from noon, [-180, 180]: negative in the morning. */
static double hour_angle_deg(const sw_sun_clock *clock, int64_t utc_s, double lon_deg)
{
    double utc_min = (double)(utc_s % 86400) / 60.0;
    return remainder((utc_min + clock->equation_of_time_min) / 4.0 - 180.0 + lon_deg, 360.0);
}

/* [noaa-solar] in sea-level air, piecewise in the height above the horizon; -20.772 is the spreadsheet's
 * constant. */
static double refraction_deg(double height_deg)
{
    double h = height_deg;
    if (h > 85.0)
        return 0.0;
    if (h > -0.575 && h <= 5.0)
        return (1735.0 + h * (-518.2 + h * (103.4 + h * (-12.79 + h * 0.711)))) / 3600.0;
    double cotangent = 1.0 / tan(h * RAD_PER_DEG);
    if (h < 0.0)
        return -20.772 * cotangent / 3600.0;
    double square = cotangent * cotangent;
    return cotangent * (58.1 + square * (-0.07 + square * 0.000086)) / 3600.0;
}

// (definition)
static double azimuth_deg(double east, double north)
{
    return fmod(atan2(east, north) * DEG_PER_RAD + 360.0, 360.0);
}

/* [noaa-solar] The calculator's spherical triangle, as the parts of the unit vector to the sun. */
void sw_sun_from(const sw_sun_clock *clock, int64_t utc_s, double lat_deg, double lon_deg, sw_sun *out)
{
    double hour_rad = hour_angle_deg(clock, utc_s, lon_deg) * RAD_PER_DEG;
    double sin_lat = sin_deg(lat_deg), cos_lat = cos_deg(lat_deg);
    double sin_declination = sin(clock->declination_rad), cos_declination = cos(clock->declination_rad);
    double towards_noon = cos_declination * cos(hour_rad);

    out->east = -cos_declination * sin(hour_rad);
    out->north = cos_lat * sin_declination - sin_lat * towards_noon;
    out->cos_zenith = sin_lat * sin_declination + cos_lat * towards_noon;
    // The arc cosine of the calculator loses digits near the zenith; this angle is the same without the loss.
    double sin_zenith = sqrt(out->east * out->east + out->north * out->north);
    out->zenith_deg = atan2(sin_zenith, out->cos_zenith) * DEG_PER_RAD;
    out->apparent_zenith_deg = out->zenith_deg - refraction_deg(90.0 - out->zenith_deg);
    out->azimuth_deg = azimuth_deg(out->east, out->north);
}

sw_status sw_sun_at(int64_t utc_s, double lat_deg, double lon_deg, sw_sun *out)
{
    if (!valid_time(utc_s) || !valid_place(lat_deg, lon_deg))
        return SW_OUT_OF_RANGE;
    sw_sun_clock clock;
    clock_of(utc_s, &clock);
    sw_sun_from(&clock, utc_s, lat_deg, lon_deg, out);
    return SW_OK;
}

static int limb_is_up(int64_t utc_s, double lat_deg, double lon_deg)
{
    sw_sun_clock clock;
    sw_sun sun;
    clock_of(utc_s, &clock);
    sw_sun_from(&clock, utc_s, lat_deg, lon_deg, &sun);
    return sun.zenith_deg <= upper_limb_zenith_deg;
}

/* Called twice: the first correction can be half a day, in which the equation of time moves by less than 20
   s; the second is exact to well under a second. (own derivation; 240 s of time are a degree) */
static int64_t nearer_noon(int64_t utc_s, double lon_deg)
{
    sw_sun_clock clock;
    clock_of(utc_s, &clock);
    return utc_s - llround(240.0 * hour_angle_deg(&clock, utc_s, lon_deg));
}

/* The second at which the limb crosses the horizon between midnight and noon, from either side; midnight
   itself if the limb is up then. Bisection, because near a polar day the calculator's own iteration does not
   settle. */
static int64_t crossing(int64_t midnight_s, int64_t noon_s, double lat_deg, double lon_deg)
{
    if (limb_is_up(midnight_s, lat_deg, lon_deg))
        return midnight_s;
    int64_t down_s = midnight_s, up_s = noon_s;
    while (fabs((double)(up_s - down_s)) > 1.0) {
        int64_t middle_s = down_s + (up_s - down_s) / 2;
        if (limb_is_up(middle_s, lat_deg, lon_deg))
            up_s = middle_s;
        else
            down_s = middle_s;
    }
    return up_s;
}

sw_status sw_sun_times_near(int64_t around_utc_s, double lat_deg, double lon_deg, sw_sun_times *out)
{
    if (!valid_time(around_utc_s) || !valid_place(lat_deg, lon_deg))
        return SW_OUT_OF_RANGE;
    int64_t noon_s = nearer_noon(nearer_noon(around_utc_s, lon_deg), lon_deg);
    *out = (sw_sun_times){.kind = SW_POLAR_NIGHT, .rise_s = noon_s, .noon_s = noon_s, .set_s = noon_s};
    if (!limb_is_up(noon_s, lat_deg, lon_deg))
        return SW_OK;
    out->rise_s = crossing(noon_s - HALF_DAY_S, noon_s, lat_deg, lon_deg);
    out->set_s = crossing(noon_s + HALF_DAY_S, noon_s, lat_deg, lon_deg);
    int never_down = out->rise_s == noon_s - HALF_DAY_S && out->set_s == noon_s + HALF_DAY_S;
    out->kind = never_down ? SW_POLAR_DAY : SW_DAY_AND_NIGHT;
    return SW_OK;
}

/* [duffie-beckman] eq. 1.10.3 */
double sw_sun_daily_extraterrestrial_wh_m2(const sw_sun_clock *clock_at_noon, double lat_deg)
{
    const double hours_per_rad = 24.0 / (360.0 * RAD_PER_DEG);
    double declination = clock_at_noon->declination_rad, latitude = lat_deg * RAD_PER_DEG;
    double cos_sunset = -tan(latitude) * tan(declination);
    double sunset_rad = acos(fmin(1.0, fmax(-1.0, cos_sunset)));
    double hours =
        2.0 * hours_per_rad *
        (cos(latitude) * cos(declination) * sin(sunset_rad) + sunset_rad * sin(latitude) * sin(declination));
    return clock_at_noon->extraterrestrial_w_m2 * hours;
}
