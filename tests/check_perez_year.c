// A typical year of a real place, hour by hour, on nine planes: the fast computation against the slow one.
#include "support/checks.h"
#include "support/slow_perez.h"

#include "stillwatt/plane.h"

#include <math.h>
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

enum { HOURS = 8760, HEADER_LINES = 8 };

// Denver International Airport, TMY3: its header says 39.83 N, 104.65 W, zone -7 h.
static const double lat_deg = 39.83, lon_deg = -104.65;
static const int64_t new_year_s = 978307200 + 7 * 3600; // 2001-01-01 00:00 in that zone; a common year
static const char *const denver = SW_SHARED_DIR "/weather-data/USA_CO_Denver.Intl.AP.725650_TMY3.epw";

// Whole W/m2 of a comma-separated field, counted from 1 as the format's description does.
static long field(const char *line, int number)
{
    for (int seen = 1; seen < number; seen++) {
        line = strchr(line, ',');
        ck_assert_ptr_nonnull(line);
        line++;
    }
    return strtol(line, NULL, 10);
}

// Columns 14, 15 and 16 of the EPW rows: global, direct normal and diffuse, Wh/m2 in the hour.
static void read_denver(sw_light hours[HOURS])
{
    FILE *file = fopen(denver, "r");
    ck_assert_ptr_nonnull(file);
    char line[4096];
    for (int skipped = 0; skipped < HEADER_LINES; skipped++)
        ck_assert_ptr_nonnull(fgets(line, sizeof line, file));
    for (int hour = 0; hour < HOURS; hour++) {
        ck_assert_ptr_nonnull(fgets(line, sizeof line, file));
        hours[hour] = (sw_light){(double)field(line, 14), (double)field(line, 15), (double)field(line, 16)};
    }
    fclose(file);
}

typedef struct tally {
    long compared;
    double most_off, energy_kwh_m2;
} tally;

static void compare_hour(const sw_tilt *tilt, int hour, const sw_light *light, tally *sums)
{
    const double albedo = 0.2;
    int64_t middle_s = new_year_s + 3600 * (int64_t)hour + 1800;
    sw_sun_clock clock;
    sw_sun sun;
    sw_plane plane;
    sw_plane_sun view;
    sw_plane_light fast;
    ck_assert_int_eq(sw_sun_clock_at(middle_s, &clock), SW_OK);
    sw_sun_from(&clock, middle_s, lat_deg, lon_deg, &sun);
    sw_plane_prepare(tilt, &plane);
    sw_plane_sun_of(&plane, &clock, &sun, &view);
    sw_plane_light_of(&plane, &view, light, albedo, &fast);

    slow_perez_case c = {.zenith = sun.zenith_deg,
                         .apparent_zenith = sun.apparent_zenith_deg,
                         .sun_azimuth = sun.azimuth_deg,
                         .extraterrestrial = clock.extraterrestrial_w_m2,
                         .tilt = tilt->tilt_deg,
                         .plane_azimuth = tilt->azimuth_deg,
                         .albedo = albedo,
                         .ghi = light->ghi_w_m2,
                         .dni = light->dni_w_m2,
                         .dhi = light->dhi_w_m2};
    slow_perez_light slow = slow_perez(&c);
    double incident = (double)slow.incident, effective = (double)slow.effective;
    // 1e-9 of the value, or of a thousandth of a watt where terms cancel to next to nothing.
    double off = fmax(fabs(fast.incident_w_m2 - incident) / fmax(incident, 1e-3),
                      fabs(fast.effective_w_m2 - effective) / fmax(effective, 1e-3));
    ck_assert_msg(off <= 1e-9,
                  "hour %d, tilt %g facing %g: %.12g for %.12g W/m2, %.12g for %.12g behind the glass", hour,
                  tilt->tilt_deg, tilt->azimuth_deg, fast.incident_w_m2, incident, fast.effective_w_m2,
                  effective);
    sums->compared++;
    sums->most_off = fmax(sums->most_off, off);
    sums->energy_kwh_m2 += fast.incident_w_m2 / 1000.0;
}

START_TEST(a_year_on_nine_planes_is_what_the_slow_computation_says)
{
    if (!sw_shared_present("a year of the sky model against a slow computation"))
        return;
    const sw_tilt tilts[] = {{0, 0},  {30, 0},  {30, 90},  {30, 180}, {30, 237},
                             {90, 0}, {90, 90}, {90, 180}, {90, 303}};
    static sw_light hours[HOURS];
    read_denver(hours);
    for (size_t i = 0; i < sizeof tilts / sizeof tilts[0]; i++) {
        tally sums = {0, 0.0, 0.0};
        for (int hour = 0; hour < HOURS; hour++)
            if (hours[hour].ghi_w_m2 + hours[hour].dni_w_m2 + hours[hour].dhi_w_m2 > 0.0)
                compare_hour(&tilts[i], hour, &hours[hour], &sums);
        printf("tilt %2g facing %3g: %ld hours, most %.1e off, %.0f kWh/m2\n", tilts[i].tilt_deg,
               tilts[i].azimuth_deg, sums.compared, sums.most_off, sums.energy_kwh_m2);
        ck_assert_int_gt(sums.compared, 4000); // half the year is light
    }
}
END_TEST

Suite *sw_suite(void)
{
    const TTest *tests[] = {a_year_on_nine_planes_is_what_the_slow_computation_says, NULL};
    return sw_suite_of("perez_year", tests, 60.0);
}
