// Where the sun stands: against a full theory, and what holds everywhere. Published values:
// tests/published/sun.txt.
#include "support/checks.h"

#include "stillwatt/sun.h"

#include <libnova/libnova.h>
#include <math.h>
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>

static const double degree = 0.017453292519943295;

static int64_t utc_of(int year, int month, int day, int hour, int minute, int second)
{
    struct ln_date date = {year, month, day, 0, 0, 0.0};
    double midnight_days = ln_get_julian_day(&date) - 2440587.5;
    return llround(midnight_days) * 86400 + hour * 3600 + minute * 60 + second;
}

static double turn_between_deg(double a_deg, double b_deg)
{
    return fabs(remainder(a_deg - b_deg, 360.0));
}

typedef struct true_sun {
    double right_ascension_deg, declination_deg; // apparent, of date
    double sidereal_deg;                         // apparent, at Greenwich
    double radius_au;
} true_sun;

static void equatorial_of(double longitude_deg, double latitude_deg, double obliquity_deg,
                          struct ln_equ_posn *out)
{
    double l = longitude_deg * degree, b = latitude_deg * degree, e = obliquity_deg * degree;
    out->ra = atan2(sin(l) * cos(e) - tan(b) * sin(e), cos(l)) / degree;
    out->dec = asin(sin(b) * cos(e) + cos(b) * sin(e) * sin(l)) / degree;
}

// The full theory: VSOP87 by libnova 0.16. Its positions of the sun are of the ecliptic of J2000, so they are
// carried to the date by its precession; nutation and aberration are applied here, because its own call
// applies a 360th of the aberration and adds all of the nutation in longitude, not its part along the
// equator, to sidereal time.
static true_sun true_sun_at(double utc_s)
{
    double jd = 2440587.5 + utc_s / 86400.0, jde = ln_get_jde(jd);
    struct ln_helio_posn sun;
    struct ln_nutation nutation; // its `ecliptic` is the mean obliquity
    ln_get_solar_geom_coords(jde, &sun);
    ln_get_nutation(jde, &nutation);

    struct ln_equ_posn j2000, mean, apparent;
    equatorial_of(sun.L, sun.B, 23.4392911, &j2000);
    ln_get_equ_prec(&j2000, jde, &mean);
    double a = mean.ra * degree, d = mean.dec * degree, e = nutation.ecliptic * degree;
    double longitude_deg = atan2(sin(a) * cos(e) + tan(d) * sin(e), cos(a)) / degree;
    double latitude_deg = asin(sin(d) * cos(e) - cos(d) * sin(e) * sin(a)) / degree;
    double aberration_deg = 20.4898 / 3600.0 / sun.R;
    double true_obliquity_deg = nutation.ecliptic + nutation.obliquity;
    equatorial_of(longitude_deg + nutation.longitude - aberration_deg, latitude_deg, true_obliquity_deg,
                  &apparent);
    double equinoxes_deg = nutation.longitude * cos(true_obliquity_deg * degree);
    return (true_sun){apparent.ra, apparent.dec, ln_get_mean_sidereal_time(jd) * 15.0 + equinoxes_deg, sun.R};
}

// Topocentric, without refraction: the sun is seen lower by its parallax, 8.794 arc seconds at the horizon.
static void true_place(const true_sun *sun, double lat_deg, double lon_deg, double *zenith_deg,
                       double *azimuth_deg)
{
    double hour = (sun->sidereal_deg + lon_deg - sun->right_ascension_deg) * degree;
    double lat = lat_deg * degree, declination = sun->declination_deg * degree;
    double zenith = acos(sin(lat) * sin(declination) + cos(lat) * cos(declination) * cos(hour));
    *azimuth_deg = 180.0 + atan2(sin(hour), cos(hour) * sin(lat) - tan(declination) * cos(lat)) / degree;
    *zenith_deg = zenith / degree + 8.794 / 3600.0 / sun->radius_au * sin(zenith);
}

// The check's own reference is checked first, on the worked example of [reda-andreas-2008]: to the digits
// that table A5.1 (2003-10-17 12:30:30, zone -7 h) shares with a theory of 0.0001 deg (the truncated series
// of the two differ by less than half an arc second).
START_TEST(the_reference_itself_meets_the_worked_example)
{
    true_sun sun = true_sun_at((double)utc_of(2003, 10, 17, 19, 30, 30));
    double zenith_deg, azimuth_deg;
    true_place(&sun, 39.742476, -105.1786, &zenith_deg, &azimuth_deg);
    ck_assert_double_lt(turn_between_deg(sun.right_ascension_deg, 202.22741), 1e-4);
    ck_assert_double_eq_tol(sun.declination_deg, -9.31434, 1e-4);
    ck_assert_double_lt(turn_between_deg(sun.sidereal_deg, 318.511910), 1e-4);
    ck_assert_double_eq_tol(zenith_deg, 90.0 - 39.872046, 1e-4);
    ck_assert_double_lt(turn_between_deg(azimuth_deg, 194.340241), 1e-4);
}
END_TEST

// A fixed sequence of numbers in [0, 1): the same places and times at every run.
static double next_share(uint64_t *state)
{
    *state = *state * 6364136223846793005u + 1442695040888963407u;
    return (double)(*state >> 11) / 9007199254740992.0;
}

static int by_size(const void *a, const void *b)
{
    double x = *(const double *)a, y = *(const double *)b;
    return (x > y) - (x < y);
}

// 0.01 deg for 95 % and 0.02 deg always: the scatter of the calculator itself, whose series for the equation
// of time alone is off by up to 0.0124 deg, and which leaves out parallax (0.0024 deg) and takes UT for TD
// (0.001 deg).
START_TEST(two_thousand_places_and_times_agree_with_a_full_theory)
{
    enum { CASES = 2000 };
    static double zenith_error[CASES], azimuth_error[CASES];
    int64_t from_s = utc_of(1950, 1, 1, 0, 0, 0), to_s = utc_of(2051, 1, 1, 0, 0, 0);
    uint64_t state = 20261106;
    for (int i = 0; i < CASES; i++) {
        int64_t utc_s = from_s + (int64_t)(next_share(&state) * (double)(to_s - from_s));
        double lat_deg = 132.0 * next_share(&state) - 66.0, lon_deg = 360.0 * next_share(&state) - 180.0;
        double zenith_deg, azimuth_deg;
        true_sun truth = true_sun_at((double)utc_s);
        true_place(&truth, lat_deg, lon_deg, &zenith_deg, &azimuth_deg);
        sw_sun sun;
        ck_assert_int_eq(sw_sun_at(utc_s, lat_deg, lon_deg, &sun), SW_OK);
        zenith_error[i] = fabs(sun.zenith_deg - zenith_deg);
        azimuth_error[i] = turn_between_deg(sun.azimuth_deg, azimuth_deg) * sin(zenith_deg * degree);
    }
    qsort(zenith_error, CASES, sizeof zenith_error[0], by_size);
    qsort(azimuth_error, CASES, sizeof azimuth_error[0], by_size);
    printf("against VSOP87, deg: zenith 95 %% %.5f, most %.5f; azimuth x sin zenith 95 %% %.5f, most %.5f\n",
           zenith_error[CASES * 95 / 100], zenith_error[CASES - 1], azimuth_error[CASES * 95 / 100],
           azimuth_error[CASES - 1]);
    ck_assert_double_le(zenith_error[CASES * 95 / 100], 0.01);
    ck_assert_double_le(zenith_error[CASES - 1], 0.02);
    ck_assert_double_le(azimuth_error[CASES - 1], 0.02);
}
END_TEST

/* The calculator's columns as its sheet has them [noaa-solar], one after the other and in long double: what
   they print is met to 1e-10, also where the higher powers of the century count least. */
START_TEST(the_clock_is_that_of_the_sheet)
{
    const long double rad = acosl(-1.0L) / 180.0L;
    for (int64_t utc_s = -2208988800; utc_s < 4133980800; utc_s += 30000019) {
        sw_sun_clock clock;
        ck_assert_int_eq(sw_sun_clock_at(utc_s, &clock), SW_OK);
        long double t = (utc_s - 946728000) / 3155760000.0L;
        long double mean_longitude = 280.46646L + t * (36000.76983L + t * 0.0003032L);
        long double anomaly = 357.52911L + t * (35999.05029L - 0.0001537L * t);
        long double orbit = 0.016708634L - t * (0.000042037L + 0.0000001267L * t);
        long double centre = sinl(rad * anomaly) * (1.914602L - t * (0.004817L + 0.000014L * t)) +
                             sinl(2.0L * rad * anomaly) * (0.019993L - 0.000101L * t) +
                             sinl(3.0L * rad * anomaly) * 0.000289L;
        long double radius =
            1.000001018L * (1.0L - orbit * orbit) / (1.0L + orbit * cosl(rad * (anomaly + centre)));
        long double node = 125.04L - 1934.136L * t;
        long double longitude = mean_longitude + centre - 0.00569L - 0.00478L * sinl(rad * node);
        long double seconds = 21.448L - t * (46.815L + t * (0.00059L - t * 0.001813L));
        long double tilt = 23.0L + (26.0L + seconds / 60.0L) / 60.0L + 0.00256L * cosl(rad * node);
        long double declination = asinl(sinl(rad * tilt) * sinl(rad * longitude));
        long double y = powl(tanl(rad * tilt / 2.0L), 2.0L);
        long double equation = y * sinl(2.0L * rad * mean_longitude) - 2.0L * orbit * sinl(rad * anomaly) +
                               4.0L * orbit * y * sinl(rad * anomaly) * cosl(2.0L * rad * mean_longitude) -
                               0.5L * y * y * sinl(4.0L * rad * mean_longitude) -
                               1.25L * orbit * orbit * sinl(2.0L * rad * anomaly);
        ck_assert_double_eq_tol(clock.declination_rad, (double)declination, 1e-11);
        ck_assert_double_eq_tol(clock.equation_of_time_min, (double)(4.0L * equation / rad), 1e-9);
        ck_assert_double_eq_tol(clock.radius_au, (double)radius, 1e-12);
    }
}
END_TEST

START_TEST(the_parts_of_the_sun_are_one_unit_vector)
{
    uint64_t state = 7;
    for (int i = 0; i < 1000; i++) {
        int64_t utc_s = (int64_t)(4e9 * next_share(&state));
        sw_sun sun;
        ck_assert_int_eq(
            sw_sun_at(utc_s, 180.0 * next_share(&state) - 90.0, 400.0 * next_share(&state), &sun), SW_OK);
        double z = sun.zenith_deg * degree,
               a = sun.azimuth_deg * degree; // rounding of angles and cosines: 1e-13
        ck_assert_double_eq_tol(sun.cos_zenith, cos(z), 1e-13);
        ck_assert_double_eq_tol(sun.east, sin(z) * sin(a), 1e-13);
        ck_assert_double_eq_tol(sun.north, sin(z) * cos(a), 1e-13);
        ck_assert(sun.azimuth_deg >= 0.0 && sun.azimuth_deg < 360.0);
    }
}
END_TEST

// At a pole the height is the declination all day, and the azimuth counts from the meridian that is named.
START_TEST(at_the_poles_the_height_is_the_declination)
{
    int64_t utc_s = utc_of(2026, 6, 21, 12, 0, 0);
    sw_sun_clock clock;
    sw_sun north, south;
    ck_assert_int_eq(sw_sun_clock_at(utc_s, &clock), SW_OK);
    double noon_lon_deg = -clock.equation_of_time_min / 4.0; // the sun is over this meridian
    sw_sun_from(&clock, utc_s, 90.0, noon_lon_deg, &north);
    sw_sun_from(&clock, utc_s, -90.0, noon_lon_deg, &south);
    double declination_deg = clock.declination_rad / degree;
    ck_assert_double_eq_tol(north.zenith_deg, 90.0 - declination_deg, 1e-10);
    ck_assert_double_eq_tol(south.zenith_deg, 90.0 + declination_deg, 1e-10);
    ck_assert_double_lt(turn_between_deg(north.azimuth_deg, 180.0), 1e-10);
    ck_assert_double_lt(turn_between_deg(south.azimuth_deg, 0.0), 1e-10);
    sw_sun_from(&clock, utc_s, 90.0, noon_lon_deg + 30.0, &north); // 30 deg on to the east it is afternoon
    ck_assert_double_lt(turn_between_deg(north.azimuth_deg, 210.0), 1e-10);
}
END_TEST

// A hair west of north the angle is -1e-15 deg, which with 360 added rounds to 360.
START_TEST(the_azimuth_never_reaches_360)
{
    sw_sun_clock clock = {0.0, 0.0, 1.0, 1361.1};
    sw_sun sun;
    sw_sun_from(&clock, 43200, -40.0, 1e-15, &sun);
    ck_assert_double_eq(sun.azimuth_deg, 0.0);
}
END_TEST

START_TEST(any_longitude_is_wrapped)
{
    int64_t utc_s = utc_of(1999, 3, 4, 5, 6, 7);
    sw_sun plain, wrapped;
    ck_assert_int_eq(sw_sun_at(utc_s, -33.0, 151.0, &plain), SW_OK);
    for (int turns = -3; turns <= 3; turns++) { // the sum with 1080 deg keeps 13 digits of the angle
        ck_assert_int_eq(sw_sun_at(utc_s, -33.0, 151.0 + 360.0 * turns, &wrapped), SW_OK);
        ck_assert_double_eq_tol(wrapped.zenith_deg, plain.zenith_deg, 1e-11);
        ck_assert_double_eq_tol(wrapped.azimuth_deg, plain.azimuth_deg, 1e-11);
    }
}
END_TEST

START_TEST(years_and_places_out_of_range_are_refused_and_leave_the_answer_alone)
{
    int64_t first_s = utc_of(1900, 1, 1, 0, 0, 0), end_s = utc_of(2101, 1, 1, 0, 0, 0);
    const int64_t refused[] = {first_s - 1, end_s, INT64_MIN, INT64_MAX};
    sw_sun_clock clock = {-7.0, 0.0, 0.0, 0.0};
    sw_sun sun = {.zenith_deg = -7.0};
    for (size_t i = 0; i < sizeof refused / sizeof refused[0]; i++) {
        ck_assert_int_eq(sw_sun_clock_at(refused[i], &clock), SW_OUT_OF_RANGE);
        ck_assert_int_eq(sw_sun_at(refused[i], 0.0, 0.0, &sun), SW_OUT_OF_RANGE);
    }
    const double places[][2] = {{90.001, 0}, {-90.001, 0}, {NAN, 0}, {0, NAN}, {0, INFINITY}, {0, -INFINITY}};
    for (size_t i = 0; i < sizeof places / sizeof places[0]; i++)
        ck_assert_int_eq(sw_sun_at(0, places[i][0], places[i][1], &sun), SW_OUT_OF_RANGE);
    ck_assert_double_eq(clock.declination_rad, -7.0);
    ck_assert_double_eq(sun.zenith_deg, -7.0);
    ck_assert_int_eq(sw_sun_clock_at(first_s, &clock), SW_OK);
    ck_assert_int_eq(sw_sun_at(end_s - 1, 90.0, 180.0, &sun), SW_OK);
}
END_TEST

Suite *sw_suite(void)
{
    const TTest *tests[] = {
        the_reference_itself_meets_the_worked_example,
        two_thousand_places_and_times_agree_with_a_full_theory,
        the_clock_is_that_of_the_sheet,
        the_parts_of_the_sun_are_one_unit_vector,
        at_the_poles_the_height_is_the_declination,
        the_azimuth_never_reaches_360,
        any_longitude_is_wrapped,
        years_and_places_out_of_range_are_refused_and_leave_the_answer_alone,
        NULL,
    };
    return sw_suite_of("sun", tests, 30.0);
}
