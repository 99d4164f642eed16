#include "support/tilted_month.h"
#include "support/checks.h"
#include "support/memory_loader.h"
#include "support/small_plan.h"

#include "stillwatt/civil.h"
#include "stillwatt/plane.h"
#include "trip/sky.h"

#include <stdio.h>
#include <stdlib.h>

#define SLICE_S 600

/* Temperatures are invented; light does not ask for them. */
static void trip_text(const tilted_month *of, char *text, size_t size)
{
    char sun[600] = "", low_high[2][200] = {"", ""};
    for (int i = 0, used = 0; i < 12; i++)
        used += snprintf(sun + used, sizeof sun - (size_t)used, "%s\"%.4f kWh/m2\"", i > 0 ? "," : "",
                         of->flat_kwh_m2_day[i]);
    for (int k = 0; k < 2; k++)
        for (int i = 0, used = 0; i < 12; i++)
            used += snprintf(low_high[k] + used, sizeof low_high[k] - (size_t)used, "%s\"%d C\"",
                             i > 0 ? "," : "", 10 * k);
    snprintf(
        text, size,
        "{\"format\": \"stillwatt trip 1\", \"name\": \"month\", \"van\": \"van.json\", \"places\": {\"p\": "
        "{\"latitude\": %.4f, \"longitude\": %.4f, \"elevation\": \"%.0f m\", \"zone\": \"Etc/UTC\", "
        "\"normals\": "
        "{\"daily_sun\": [%s], \"low\": [%s], \"high\": [%s]}}}, \"legs\": [{\"stay\": \"p\", \"from\": "
        "\"2026-%02d-01 00:00\", \"to\": \"%d-%02d-01 00:00\"}], \"sky\": {\"kind\": \"average\"}}",
        of->lat_deg, of->lon_deg, of->elevation_m, sun, low_high[0], low_high[1], of->month,
        2026 + of->month / 12, of->month % 12 + 1);
}

/* Light on the plane at a moment, the mean of its equally likely lights. */
static double light_w_m2(sky *s, int64_t utc_s, const sw_plane *plane, double albedo)
{
    moment m;
    sw_sky_moment(s, utc_s, &m);
    sw_light light[SW_LEVELS];
    int lights = sw_sky_lights(s, &m, SW_OUTLOOK_MAIN, light);
    sw_plane_sun sun;
    sw_plane_sun_of(plane, &m.clock, &m.sun, &sun);
    double sum = 0.0;
    for (int i = 0; i < lights; i++) {
        sw_plane_light on;
        sw_plane_light_of(plane, &sun, &light[i], albedo, &on);
        sum += on.incident_w_m2;
    }
    return sum / lights;
}

double tilted_month_kwh_m2_day(const tilted_month *of)
{
    char text[4000];
    trip_text(of, text, sizeof text);
    sw_plan *plan = plan_of_trip(small_van, text);
    sw_itinerary *it = itinerary_of(plan);
    memory_file file[] = {{NULL, NULL}};
    memory_files files = {.file = file};
    sw_loader loader = memory_loader(&files);
    sw_messages *messages = sw_messages_create();
    sky *s = NULL;
    ck_assert_int_eq(sw_sky_open(plan, it, &loader, SLICE_S, messages, &s), SW_OK);

    sw_plane plane;
    sw_plane_prepare(&(sw_tilt){of->tilt_deg, 180.0}, &plane);
    int64_t days = sw_days_in_month(2026, of->month),
            first_s = sw_days_from_civil(2026, of->month, 1) * 86400;
    double sum_w_m2 = 0.0;
    for (int64_t t = first_s + SLICE_S / 2; t < first_s + days * 86400; t += SLICE_S)
        sum_w_m2 += light_w_m2(s, t, &plane, of->albedo);
    sw_sky_close(s);
    sw_messages_free(messages);
    sw_itinerary_free(it);
    sw_plan_free(plan);
    return sum_w_m2 * SLICE_S / 3600.0 / (double)days / 1000.0;
}
