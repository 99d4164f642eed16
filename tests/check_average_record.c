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

/* Stations of the table, or positions: these get the monthly means of their record as their own numbers. */
typedef struct site {
    const char *name, *file, *position;
    int south; // of the equator
} site;

static const site sites[] = {
    {"Moab UT", "USA_UT_Moab-Canyonlands.Field.724776_TMY3.epw", NULL, 0},
    {"Denver International CO", "USA_CO_Denver.Intl.AP.725650_TMY3.epw", NULL, 0},
    {"Portland Intl OR", "USA_OR_Portland.Intl.AP.726980_TMY3.epw", NULL, 0},
    {"Duluth MN", "USA_MN_Duluth.Intl.AP.727450_TMY3.epw", NULL, 0},
    {"Miami International FL", "FL-Miami_Intl_Ap.tmy3", NULL, 0},
    {"Greensboro NC", "723170TYA.CSV", NULL, 0},
    {"Addis Ababa", "ETH_Addis.Ababa-Bole.634500_SWERA.epw", NULL, 0},
    {"Auckland", "NZL_Auckland-Auckland.AK.931190_NIWA.epw", NULL, 1},
    {"Phoenix", "AZ-Phoenix_Sky_Harbor_Intl_Ap.tmy3", "33.45 -111.983 337 America/Phoenix", 0},
    {"Sand Point", "703165TY.csv", "55.317 -160.517 7 America/Anchorage", 0},
    {"Boulder", "US_CO_Boulder_AMY_2012.epw", "40.13 -105.22 1615.5 America/Denver", 0},
    {"Glasgow", "GBR_SCT_Glasgow.AP.031400_TMYx.epw", "55.872 -4.433 7.9 Europe/London", 0},
    {"Lyon", "FRA_AR_Lyon-Bron.AP.074800_TMYx.2004-2018.epw", "45.726 4.938 198 Europe/Paris", 0},
};
#define SITES (sizeof sites / sizeof sites[0])

static const char van_text[] =
    "{\"format\": \"stillwatt van 1\", \"name\": \"v\", \"battery\": {\"chemistry\": \"lifepo4\", "
    "\"capacity\": \"100 Ah\"}, \"loads\": {}}";

/* The monthly means of a file, as the key "normals" of a place, from the table beside the files. */
static void write_normals(const char *file, char *out, size_t size)
{
    char sun[512] = "", low[512] = "", high[512] = "", line[512];
    size_t length = strlen(file);
    int month = 1;
    FILE *table = fopen(SW_SHARED_DIR "/weather-data/monthly.csv", "r");
    ck_assert_ptr_nonnull(table);
    while (fgets(line, sizeof line, table) != NULL) {
        int of;
        double ghi, low_c, high_c;
        const char *comma = month > 1 ? "," : "";
        if (strncmp(line, file, length) != 0 ||
            sscanf(line + length, ",%d,%lf,%*[^,],%*[^,],%*[^,],%lf,%lf", &of, &ghi, &low_c, &high_c) != 4)
            continue;
        ck_assert_int_eq(of, month++);
        snprintf(sun + strlen(sun), sizeof sun - strlen(sun), "%s\"%.3f kWh/m2\"", comma, ghi);
        snprintf(low + strlen(low), sizeof low - strlen(low), "%s\"%.2f C\"", comma, low_c);
        snprintf(high + strlen(high), sizeof high - strlen(high), "%s\"%.2f C\"", comma, high_c);
    }
    fclose(table);
    ck_assert_int_eq(month, 13);
    snprintf(out, size, "\"normals\": {\"daily_sun\": [%s], \"low\": [%s], \"high\": [%s]}", sun, low, high);
}

static void write_place(const site *at, char *out, size_t size)
{
    char normals[2048], zone[64];
    double lat_deg, lon_deg, elevation_m;
    if (at->position == NULL) {
        snprintf(out, size, "\"station\": \"%s\"", at->name);
        return;
    }
    ck_assert_int_eq(sscanf(at->position, "%lf %lf %lf %63s", &lat_deg, &lon_deg, &elevation_m, zone), 4);
    write_normals(at->file, normals, sizeof normals);
    snprintf(out, size, "\"latitude\": %g, \"longitude\": %g, \"elevation\": \"%g m\", \"zone\": \"%s\", %s",
             lat_deg, lon_deg, elevation_m, zone, normals);
}

/* Mean of the light on the planes over a month of a sky, W/m2. */
static void month_means(const site *at, int month, const char *sky_text, double out[TILTS])
{
    char *folder = program_folder(), trip[8192], path[1024], place[4096];
    write_place(at, place, sizeof place);
    int next = month % 12 + 1;
    snprintf(trip, sizeof trip,
             "{\"format\": \"stillwatt trip 1\", \"name\": \"t\", \"van\": \"van.json\", \"places\": {\"p\": "
             "{%s}}, \"legs\": [{\"stay\": \"p\", \"from\": \"2025-%02d-01 00:00\", \"to\": \"%d-%02d-01 "
             "00:00\"}], "
             "\"sky\": %s}",
             place, month, next == 1 ? 2026 : 2025, next, sky_text);
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
        sw_plane_prepare(&(sw_tilt){tilts_deg[k], at->south ? 0.0 : 180.0}, &plane[k]);
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
            month_means(&sites[i], month, record_text, record);
            month_means(&sites[i], month, "{\"kind\": \"average\"}", average);
            for (int k = 0; k < TILTS; k++) {
                double off = average[k] - record[k];
                sum[k] += off;
                square[k] += off * off;
                of_record[k] += record[k];
                site_sum[k] += off;
                site_record[k] += record[k];
            }
        }
        printf("%-20s bias by tilt", sites[i].name);
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
