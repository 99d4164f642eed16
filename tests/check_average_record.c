// What an average sky puts on tilted planes, against the hour-by-hour record of the same station.
#include "stillwatt/itinerary.h"
#include "stillwatt/plane.h"
#include "stillwatt/reader.h"
#include "support/checks.h"
#include "support/program.h"
#include "trip/sky.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

enum { TILTS = 6, MONTHS = 12, SLICE_S = 900 };
static const double tilts_deg[TILTS] = {0, 15, 30, 45, 60, 90};

static const struct {
    const char *station, *file, *zone;
    int south; // of the equator
} sites[] = {
    {"Moab UT", "USA_UT_Moab-Canyonlands.Field.724776_TMY3.epw", NULL, 0},
    {"Denver International CO", "USA_CO_Denver.Intl.AP.725650_TMY3.epw", NULL, 0},
    {"Portland Intl OR", "USA_OR_Portland.Intl.AP.726980_TMY3.epw", NULL, 0},
    {"Duluth MN", "USA_MN_Duluth.Intl.AP.727450_TMY3.epw", NULL, 0},
    {"Miami International FL", "FL-Miami_Intl_Ap.tmy3", NULL, 0},
    {"Greensboro NC", "723170TYA.CSV", NULL, 0},
    {"Addis Ababa", "ETH_Addis.Ababa-Bole.634500_SWERA.epw", NULL, 0},
    {"Auckland", "NZL_Auckland-Auckland.AK.931190_NIWA.epw", NULL, 1},
};
#define SITES (sizeof sites / sizeof sites[0])

static const char van_text[] =
    "{\"format\": \"stillwatt van 1\", \"name\": \"v\", \"battery\": {\"chemistry\": \"lifepo4\", "
    "\"capacity\": \"100 Ah\"}, \"loads\": {}}";

/* Mean of the light on the planes over a month of a sky, W/m2. */
static void month_means(const char *station, int month, const char *sky_text, int south, double out[TILTS])
{
    char *folder = program_folder(), trip[2048], path[1024];
    int next = month % 12 + 1;
    snprintf(trip, sizeof trip,
             "{\"format\": \"stillwatt trip 1\", \"name\": \"t\", \"van\": \"van.json\", \"places\": {\"p\": "
             "{\"station\": "
             "\"%s\"}}, \"legs\": [{\"stay\": \"p\", \"from\": \"2025-%02d-01 00:00\", \"to\": \"%d-%02d-01 "
             "00:00\"}], "
             "\"sky\": %s}",
             station, month, next == 1 ? 2026 : 2025, next, sky_text);
    program_write(folder, "van.json", van_text);
    program_write(folder, "trip.json", trip);
    snprintf(path, sizeof path, "%s/trip.json", folder);
    sw_loader loader = sw_disk_loader(SW_SOURCE_DIR);
    sw_messages *messages = sw_messages_create();
    sw_plan *plan = NULL;
    sw_itinerary *it = NULL;
    sky *s = NULL;
    sw_status status = sw_read_trip(&loader, path, messages, &plan);
    if (status == SW_OK)
        status = sw_itinerary_make(plan, &loader, SLICE_S, messages, &it);
    if (status == SW_OK)
        status = sw_sky_open(plan, it, &loader, SLICE_S, messages, &s);
    char text[1024] = "";
    if (sw_messages_count(messages) > 0)
        sw_message_format(sw_messages_at(messages, 0), text, sizeof text);
    ck_assert_msg(status == SW_OK, "%s", text);
    sw_plane plane[TILTS];
    int moments = 0;
    for (int k = 0; k < TILTS; k++) {
        sw_plane_prepare(&(sw_tilt){tilts_deg[k], south ? 0.0 : 180.0}, &plane[k]);
        out[k] = 0.0;
    }
    for (int64_t t = it->start_s + SLICE_S / 2; t < it->end_s; t += SLICE_S, moments++) {
        moment m;
        sw_light lights[SW_LEVELS];
        sw_sky_moment(s, t, &m);
        int levels = sw_sky_lights(s, &m, SW_OUTLOOK_MAIN, lights);
        for (int k = 0; k < TILTS; k++) {
            sw_plane_sun sun;
            sw_plane_sun_of(&plane[k], &m.clock, &m.sun, &sun);
            for (int i = 0; i < levels; i++) {
                sw_plane_light light;
                sw_plane_light_of(&plane[k], &sun, &lights[i], 0.2, &light);
                out[k] += light.incident_w_m2 / levels;
            }
        }
    }
    for (int k = 0; k < TILTS; k++)
        out[k] /= moments;
    sw_sky_close(s);
    sw_itinerary_free(it);
    sw_plan_free(plan);
    sw_messages_free(messages);
    program_remove(folder);
}

/* The same albedo on both sides. Bias and root mean square over months and stations, in percent of the
   record's mean. */
START_TEST(an_average_sky_lights_tilted_planes_as_the_record_does)
{
    if (!sw_shared_present("average skies against records on tilted planes"))
        return;
    double sum[TILTS] = {0}, square[TILTS] = {0}, of_record[TILTS] = {0};
    int months = 0;
    for (size_t i = 0; i < SITES; i++) {
        double site_sum[TILTS] = {0}, site_record[TILTS] = {0};
        char record_text[600];
        snprintf(record_text, sizeof record_text, "{\"kind\": \"hourly\", \"file\": \"%s/weather-data/%s\"}",
                 SW_SHARED_DIR, sites[i].file);
        for (int month = 1; month <= MONTHS; month++, months++) {
            double record[TILTS], average[TILTS];
            month_means(sites[i].station, month, record_text, sites[i].south, record);
            month_means(sites[i].station, month, "{\"kind\": \"average\"}", sites[i].south, average);
            for (int k = 0; k < TILTS; k++) {
                double off = average[k] - record[k];
                sum[k] += off;
                square[k] += off * off;
                of_record[k] += record[k];
                site_sum[k] += off;
                site_record[k] += record[k];
            }
        }
        printf("%-20s bias by tilt", sites[i].station);
        for (int k = 0; k < TILTS; k++)
            printf(" %+5.1f %%", 100.0 * site_sum[k] / site_record[k]);
        printf("\n");
    }
    for (int k = 0; k < TILTS; k++) {
        double mean = of_record[k] / months, bias = sum[k] / months / mean,
               rms = sqrt(square[k] / months) / mean;
        printf("tilt %2.0f: bias %+.1f %%, rms %.1f %%\n", tilts_deg[k], 100.0 * bias, 100.0 * rms);
        ck_assert_double_lt(fabs(bias), 0.02);
        ck_assert_double_lt(rms, 0.05);
    }
}
END_TEST

Suite *sw_suite(void)
{
    const TTest *const tests[] = {an_average_sky_lights_tilted_planes_as_the_record_does, NULL};
    return sw_suite_of("average against record", tests, 280);
}
