// The sky of a trip at any moment, whatever kind of sky the trip has.
#include "trip/sky_inside.h"

#include "stillwatt/civil.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>

/* A told day outside the trip is a slip, mostly of the year. */
static void warn_of_strange_days(const sky *s, sw_messages *messages)
{
    const sw_sky_spec *spec = &s->plan->trip->sky;
    const sw_itinerary *it = s->it;
    for (int i = 1; i < spec->told_days; i++) {
        int year, month, day, met = 0;
        for (int d = 0; d < it->days; d++)
            met = met || it->day[d].date == spec->told[i].day;
        sw_civil_from_days(spec->told[i].day, &year, &month, &day);
        if (!met)
            sw_warn(messages, &(sw_where){.file = s->plan->trip->file, .path = "/sky/days"}, NULL,
                    "%04d-%02d-%02d is told, but is no day of the trip", year, month, day);
    }
}

sw_status sw_sky_open(const sw_plan *plan, const sw_itinerary *it, const sw_loader *loader, int32_t slice_s,
                      sw_messages *messages, sky **out)
{
    sky *s = calloc(1, sizeof *s);
    if (s == NULL)
        return sw_error(messages, SW_NO_MEMORY, NULL, NULL, "there is not enough memory for the sky");
    *s = (sky){.plan = plan, .it = it, .slice_s = slice_s, .hour_start_s = INT64_MIN};
    s->first_day = sw_floor_div(it->start_s, SKY_DAY_S) - 3;
    s->days = (int)(sw_floor_div(it->end_s, SKY_DAY_S) + 4 - s->first_day);
    sw_status status = SW_OK;
    if (plan->trip->sky.kind == SW_SKY_HOURLY) {
        status = sw_sky_record_open(s, loader, messages);
    } else {
        s->nodes = calloc((size_t)it->stops, sizeof *s->nodes);
        s->day = calloc((size_t)it->stops * (size_t)s->days, sizeof *s->day);
        s->poor_week = calloc((size_t)it->stops, sizeof *s->poor_week);
        int drawn = plan->trip->sky.kind != SW_SKY_AVERAGE || sw_sky_draw_weeks(s);
        if (s->nodes == NULL || s->day == NULL || s->poor_week == NULL || !drawn)
            status = sw_error(messages, SW_NO_MEMORY, NULL, NULL, "there is not enough memory for the sky");
        for (int i = 0; i < it->stops && s->nodes != NULL && s->poor_week != NULL; i++) {
            sw_climate_nodes_of(&it->stop[i].climate, it->stop[i].lat_deg, it->stop[i].lon_deg, &s->nodes[i]);
            for (int month = 0; month < 12; month++)
                s->poor_week[i][month] = NAN;
        }
    }
    if (status != SW_OK) {
        sw_sky_close(s);
        return status;
    }
    warn_of_strange_days(s, messages);
    *out = s;
    return SW_OK;
}

int32_t sw_sky_slice_s(const sky *s)
{
    return s->slice_s;
}

void sw_sky_close(sky *s)
{
    if (s == NULL)
        return;
    sw_series_free(s->own_series);
    free(s->nodes);
    free(s->day);
    free(s->poor_week);
    free(s->week_share);
    free(s);
}

// ---- moments ----

void sw_sky_moment_at(const sw_itinerary *it, int64_t utc_s, const sw_position *at, moment *out)
{
    out->utc_s = utc_s;
    out->at = *at;
    (void)sw_sun_clock_at(utc_s, &out->clock); // the reader allows only years that the equations hold for
    sw_sun_from(&out->clock, utc_s, at->lat_deg, at->lon_deg, &out->sun);
    out->clear = sw_clear_sky(&out->clock, &out->sun, at->elevation_m, it->stop[at->stop].turbidity);
}

void sw_sky_moment(const sky *s, int64_t utc_s, moment *out)
{
    sw_position at = sw_itinerary_at(s->it, utc_s);
    sw_sky_moment_at(s->it, utc_s, &at, out);
}

// ---- questions ----

int sw_sky_lights(sky *s, const moment *m, sw_outlook outlook, sw_light out[SW_LEVELS])
{
    const sw_told_day *told = sw_sky_told_at(s, m);
    if (s->series != NULL &&
        told == NULL) // at night too: a record may have light in the dark, which is counted
        return sw_sky_record_lights(s, m, out);
    if (m->sun.cos_zenith <= 0.0) {
        out[0] = (sw_light){0.0, 0.0, 0.0};
        return 1;
    }
    if (told != NULL) {
        out[0] = sw_sky_told_light(s, told, m);
        return 1;
    }
    return sw_sky_climate_lights(s, m, outlook, out);
}

double sw_sky_air_c(sky *s, const moment *m)
{
    return s->series != NULL ? sw_sky_record_air_c(s, m) : sw_sky_climate_air_c(s, m);
}

double sw_sky_humidity_pct(const sky *s, const moment *m)
{
    return s->series != NULL ? sw_sky_record_humidity_pct(s, m) : NAN;
}

double sw_sky_wind_m_s(sky *s, const moment *m)
{
    return s->series != NULL ? sw_sky_record_wind_m_s(s, m) : sw_sky_climate_wind_m_s(s, m);
}

double sw_sky_albedo(sky *s, const moment *m)
{
    double usual = s->it->stop[m->at.stop].albedo;
    if (s->series == NULL)
        return usual;
    double given = sw_sky_record_albedo(s, m);
    return isnan(given) ? usual : given;
}

double sw_sky_rain_mm_h(const sky *s, const moment *m)
{
    return s->series != NULL ? sw_sky_record_rain_mm_h(s, m) : NAN;
}

int sw_sky_outlooks(const sky *s)
{
    return s->plan->trip->sky.kind == SW_SKY_AVERAGE ? 2 : 1;
}

int sw_sky_unlit_hours(const sky *s)
{
    return (int)((s->unlit_s + 3599) / 3600);
}

/* The local month of a moment, 1..12. */
static int month_at(const sky *s, int64_t utc_s)
{
    int year, month, day;
    sw_civil_from_days(sw_floor_div(sw_itinerary_local_s(s->it, utc_s), SKY_DAY_S), &year, &month, &day);
    return month;
}

void sw_sky_says(const sky *s, char *buffer, size_t size)
{
    int first = month_at(s, s->it->start_s), last = month_at(s, s->it->end_s - 1);
    const sw_sky_spec *spec = &s->plan->trip->sky;
    const char *word = spec->kind == SW_SKY_CHANCE ? "a drawn" : "the average";
    const char *mixed = spec->kind != SW_SKY_TOLD && spec->told_days > 0 ? ", with days as told" : "";
    char draw[40] = "";
    if (spec->kind == SW_SKY_CHANCE)
        snprintf(draw, sizeof draw, " (draw %d)", spec->draw);
    if (spec->kind == SW_SKY_TOLD)
        snprintf(buffer, size, "the sky as told");
    else if (spec->kind == SW_SKY_HOURLY && spec->year > 0 && !s->series->typical_year)
        snprintf(buffer, size, "the hours of %s in %d%s", s->series->place, spec->year, mixed);
    else if (spec->kind == SW_SKY_HOURLY)
        snprintf(buffer, size, "the hours of %s%s%s", s->series->place,
                 s->series->typical_year ? " (typical year)" : "", mixed);
    else if (s->it->end_s - s->it->start_s > 330 * (int64_t)SKY_DAY_S)
        snprintf(buffer, size, "%s sky of the year%s%s", word, draw, mixed);
    else if (first == last)
        snprintf(buffer, size, "%s %s sky%s%s", word, sw_month_name(first), draw, mixed);
    else
        snprintf(buffer, size, "%s sky of %s to %s%s%s", word, sw_month_name(first), sw_month_name(last),
                 draw, mixed);
}
