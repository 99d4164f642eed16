// From the legs of a trip to spans of UTC time: places are found, clocks read, and the itinerary must join
// up.
#include "stillwatt/itinerary.h"

#include "stillwatt/civil.h"
#include "stillwatt/sphere.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#define PI          3.14159265358979323846
#define RAD         (PI / 180.0)
#define FASTEST_M_S (150.0 / 3.6) // common practice, no source: faster than any van drives on average
#define ROAD_FACTOR 1.25          // common practice, no source: roads over the great circle

// ---- places ----

typedef struct maker {
    const sw_plan *plan;
    const sw_loader *loader;
    sw_messages *messages;
    sw_itinerary *it;
} maker;

static sw_status no_memory(maker *m)
{
    return sw_error(m->messages, SW_NO_MEMORY, NULL, NULL, "there is not enough memory for the itinerary");
}

static sw_status open_table(maker *m, const sw_where *where)
{
    char reason[200] = "";
    if (m->it->table != NULL)
        return SW_OK;
    sw_text text;
    sw_status status =
        m->loader->load(m->loader->context, SW_RESOURCE_STATIONS, "stations.csv", NULL, &text, reason);
    if (status != SW_OK) {
        sw_error(m->messages, status, where, "run the program where its weather folder is installed",
                 "the station table %s could not be read: %s", text.name != NULL ? text.name : "", reason);
        sw_text_free(&text);
        return status;
    }
    sw_text_free(&m->it->table_text); // of a place before, if the table could not be opened
    m->it->table_text = text;
    return sw_stations_open(text.bytes, text.length, text.name, m->messages, &m->it->table);
}

static sw_status unknown_station(maker *m, const sw_place *place, const int *near, int count)
{
    char hint[320] = "give latitude, longitude, elevation and zone instead";
    size_t used = 0;
    for (int i = 0; i < count && used < sizeof hint; i++) {
        const sw_station *s = sw_stations_at(m->it->table, near[i]);
        used +=
            (size_t)snprintf(hint + used, sizeof hint - used, "%s\"%s %s\"", i == 0 ? "did you mean " : ", ",
                             s->name, strcmp(s->region, "-") == 0 ? s->country : s->region);
    }
    return sw_error(m->messages, SW_BAD_INPUT, &place->where, hint,
                    "\"%s\" does not name exactly one station of the weather table", place->station);
}

static sw_status find_station(maker *m, const sw_place *place, sw_stop *stop, const char **zone)
{
    int near[3], count = 0;
    sw_status status = open_table(m, &place->where);
    if (status != SW_OK)
        return status;
    int index = sw_stations_find(m->it->table, place->station, near, 3, &count);
    if (index < 0)
        return unknown_station(m, place, near, count);
    const sw_station *station = sw_stations_at(m->it->table, index);
    stop->lat_deg = station->lat_deg;
    stop->lon_deg = station->lon_deg;
    if (isnan(stop->elevation_m))
        stop->elevation_m = station->elevation_m;
    if (*zone == NULL)
        *zone = station->zone;
    return SW_OK;
}

/* What to write for a place without a known zone: the zones nearest to it. */
static void suggest_zone(maker *m, const sw_stop *stop, char *hint, size_t size)
{
    char reason[200], names[3][40];
    sw_text tab = {0};
    int count = 0;
    if (m->loader->load(m->loader->context, SW_RESOURCE_ZONE_TAB, "zone.tab", NULL, &tab, reason) == SW_OK)
        count = sw_zone_suggest(tab.bytes, tab.length, stop->lat_deg, stop->lon_deg, names, 3);
    sw_text_free(&tab);
    if (count == 3)
        snprintf(hint, size, "add \"zone\": \"%s\" (or \"%s\", \"%s\")", names[0], names[1], names[2]);
    else
        snprintf(hint, size, "add its IANA zone, for example \"zone\": \"America/Denver\"");
}

static sw_status missing_zone(maker *m, const sw_place *place, const sw_stop *stop)
{
    char hint[200];
    suggest_zone(m, stop, hint, sizeof hint);
    return sw_error(m->messages, SW_BAD_INPUT, &place->where, hint, "the place \"%s\" has no time zone",
                    place->name);
}

static sw_status unknown_zone(maker *m, const sw_place *place, const sw_stop *stop, const char *name)
{
    char hint[200];
    suggest_zone(m, stop, hint, sizeof hint);
    return sw_error(m->messages, SW_BAD_INPUT, &place->where, hint, "the time zone \"%s\" is not known",
                    name);
}

static sw_status load_zone(maker *m, const sw_place *place, sw_stop *stop, const char *name)
{
    char reason[200] = "";
    sw_text text;
    for (int i = 0; i < m->it->zones; i++) {
        if (strcmp(sw_zone_name(m->it->zone[i]), name) == 0) {
            stop->zone = m->it->zone[i];
            return SW_OK;
        }
    }
    sw_status status = m->loader->load(m->loader->context, SW_RESOURCE_ZONE, name, NULL, &text, reason);
    if (status == SW_NO_MEMORY)
        status = no_memory(m);
    else if (status != SW_OK)
        status = unknown_zone(m, place, stop, name);
    else
        status = sw_zone_read((const unsigned char *)text.bytes, text.length, name, m->messages,
                              &m->it->zone[m->it->zones]);
    sw_text_free(&text);
    if (status == SW_OK)
        stop->zone = m->it->zone[m->it->zones++];
    return status;
}

static void climate_of_normals(const sw_normals *normals, const sw_stop *stop, sw_climate *out)
{
    memset(out, 0, sizeof *out);
    for (int i = 0; i < 12; i++) {
        sw_month *month = &out->month[i];
        month->ghi_kwh_m2_day = normals->daily_sun_kwh_m2[i];
        month->dhi_kwh_m2_day = month->dni_kwh_m2_day = NAN;
        month->daily_min_c = normals->low_c[i];
        month->daily_max_c = normals->high_c[i];
        month->mean_c = 0.5 * (normals->low_c[i] + normals->high_c[i]);
        month->humidity_pct = NAN;
        month->wind_m_s = 3.0; // typical, from memory
        month->kt_sd = normals->spread;
    }
    sw_climate_from_energy(stop->lat_deg, stop->lon_deg, out);
}

/* No month's mean clearness comes near this: the clear sky's own is about 0.75. From memory. */
#define CLEAREST 0.85

static sw_status check_normals(maker *m, const sw_place *place, const sw_climate *climate)
{
    for (int i = 0; i < 12; i++) {
        const sw_month *month = &climate->month[i];
        if (month->kt_mean > CLEAREST)
            return sw_error(
                m->messages, SW_BAD_INPUT, &place->where,
                "give kWh/m2 of a mean day, on the flat; check latitude and the order of the months",
                "in month %d the daily sun of \"%s\", %.1f kWh/m2, is more than reaches the ground there",
                i + 1, place->name, month->ghi_kwh_m2_day);
    }
    return SW_OK;
}

static sw_status find_climate(maker *m, const sw_place *place, sw_stop *stop)
{
    stop->climate_known = 1;
    if (place->normals != NULL) {
        climate_of_normals(place->normals, stop, &stop->climate);
        return check_normals(m, place, &stop->climate);
    }
    sw_status status = open_table(m, &place->where);
    if (status == SW_OK)
        status = sw_climate_at(m->it->table, stop->lat_deg, stop->lon_deg, stop->elevation_m, &place->where,
                               m->messages, &stop->climate);
    return status;
}

static sw_status find_stop(maker *m, const sw_place *place, sw_stop *stop)
{
    const char *zone = place->zone;
    *stop = (sw_stop){.name = place->name,
                      .lat_deg = place->lat_deg,
                      .lon_deg = place->lon_deg,
                      .elevation_m = place->elevation_m,
                      .turbidity = place->turbidity,
                      .albedo = place->albedo};
    sw_status status = place->station != NULL ? find_station(m, place, stop, &zone) : SW_OK;
    if (status == SW_OK)
        status = zone == NULL ? missing_zone(m, place, stop) : load_zone(m, place, stop, zone);
    if (status == SW_OK && m->plan->trip->sky.kind != SW_SKY_HOURLY)
        status = find_climate(m, place, stop);
    return status;
}

/* All places are looked at, so that all their errors are told in one go. */
static sw_status find_stops(maker *m)
{
    const sw_trip *trip = m->plan->trip;
    sw_status first = SW_OK;
    for (int i = 0; i < trip->places; i++) {
        sw_status status = find_stop(m, &trip->place[i], &m->it->stop[i]);
        if (first == SW_OK)
            first = status;
    }
    m->it->stops = trip->places;
    return first;
}

// ---- legs ----

static void write_local(int64_t local_s, char *buffer, size_t size)
{
    int year, month, day;
    int64_t days = sw_floor_div(local_s, 86400);
    int seconds = (int)(local_s - days * 86400);
    sw_civil_from_days(days, &year, &month, &day);
    snprintf(buffer, size, "%04d-%02d-%02d %02d:%02d", year, month, day, seconds / 3600, seconds / 60 % 60);
}

/* A local time that a clock skips is an error, and then the moment after; one that it shows twice is the
   first of the two. */
static sw_status to_utc(maker *m, const sw_leg *leg, const sw_stop *stop, int64_t local_s, int64_t *utc_s)
{
    char text[32];
    if (sw_zone_to_utc(stop->zone, local_s, utc_s) != SW_LOCAL_GAP)
        return SW_OK;
    write_local(local_s, text, sizeof text);
    return sw_error(m->messages, SW_BAD_INPUT, &leg->where, "choose a time an hour later",
                    "the clocks of %s skip %s (daylight saving begins)", sw_zone_name(stop->zone), text);
}

static sw_status join(maker *m, const sw_leg *leg, const sw_span *before, const sw_span *span)
{
    const sw_trip *trip = m->plan->trip;
    if (before->to_stop != span->stop)
        return sw_error(m->messages, SW_BAD_INPUT, &leg->where, "add the drive between them",
                        "this leg begins at \"%s\", but the one before ends at \"%s\"",
                        trip->place[span->stop].name, trip->place[before->to_stop].name);
    int64_t gap = span->start_s - before->end_s;
    if (gap == 0)
        return SW_OK;
    long minutes = (long)((gap > 0 ? gap : -gap) / 60);
    return sw_error(m->messages, SW_BAD_INPUT, &leg->where,
                    "leave \"from\" away: a leg then begins where the one before ends",
                    gap > 0 ? "there is a gap of %ld h %02ld min between this leg and the one before"
                            : "this leg overlaps the one before by %ld h %02ld min",
                    minutes / 60, minutes % 60);
}

static sw_status check_drive(maker *m, const sw_leg *leg, sw_span *span)
{
    const sw_stop *a = &m->it->stop[span->stop], *b = &m->it->stop[span->to_stop];
    double direct = sw_great_circle_m(a->lat_deg, a->lon_deg, b->lat_deg, b->lon_deg, &span->bearing_deg);
    double road = isnan(leg->distance_m) ? ROAD_FACTOR * direct : leg->distance_m;
    span->speed_m_s = road / (double)(span->end_s - span->start_s);
    if (road < 1.0 && direct < 1.0)
        return sw_error(m->messages, SW_BAD_INPUT, &leg->where,
                        "give its \"distance\": \"40 km\", or make it a stay",
                        "this drive goes nowhere: both ends are the same place");
    if (road < 0.98 * direct)
        return sw_error(m->messages, SW_BAD_INPUT, &leg->where,
                        "give the length of the road, or leave \"distance\" away",
                        "the distance of %.0f km is shorter than the straight line of %.0f km", road / 1000.0,
                        direct / 1000.0);
    if (span->speed_m_s > FASTEST_M_S)
        return sw_error(m->messages, SW_BAD_INPUT, &leg->where, "check the times and the places",
                        "this drive of %.0f km in %.1f h would average %.0f km/h", road / 1000.0,
                        (double)(span->end_s - span->start_s) / 3600.0, span->speed_m_s * 3.6);
    return SW_OK;
}

static sw_status make_span(maker *m, const sw_leg *leg, const sw_span *before, sw_span *span)
{
    const sw_itinerary *it = m->it;
    *span = (sw_span){.kind = leg->kind,
                      .stop = leg->place,
                      .to_stop = leg->to_place,
                      .bearing_deg = leg->heading_deg,
                      .idle_share = leg->idle_share};
    sw_status status = SW_OK;
    if (leg->from_local_s != SW_NO_TIME)
        status = to_utc(m, leg, &it->stop[leg->place], leg->from_local_s, &span->start_s);
    else
        span->start_s = before->end_s;
    sw_status end_status = to_utc(m, leg, &it->stop[leg->to_place], leg->to_local_s, &span->end_s);
    status = status == SW_OK ? end_status : status;
    if (status == SW_OK && span->end_s <= span->start_s)
        status = sw_error(m->messages, SW_BAD_INPUT, &leg->where, "give a \"to\" after the \"from\"",
                          "this leg takes no time: it ends %s it begins",
                          span->end_s == span->start_s ? "when" : "before");
    if (status == SW_OK && before != NULL)
        status = join(m, leg, before, span);
    if (status == SW_OK && leg->kind == SW_LEG_DRIVE)
        status = check_drive(m, leg, span);
    return status;
}

static sw_status check_hookup(maker *m, const sw_leg *leg, sw_span *span)
{
    const sw_shore_spec *shore = m->plan->van->shore;
    if (isnan(leg->shore_a))
        return SW_OK;
    span->pedestal_va = leg->shore_a * leg->shore_v;
    span->pedestal_steady_va = span->pedestal_va * leg->shore_steady;
    if (shore == NULL) {
        sw_warn(m->messages, &leg->where, "add \"shore\" to the van file",
                "the van has no inlet for this hookup, which stays unused");
    } else if (fabs(shore->inlet_v - leg->shore_v) > 0.15 * shore->inlet_v) {
        return sw_error(m->messages, SW_BAD_INPUT, &leg->where,
                        "check the hookup's \"voltage\" and the van's \"inlet_voltage\"",
                        "the van's inlet is for %.0f V, this hookup gives %.0f V", shore->inlet_v,
                        leg->shore_v);
    }
    return SW_OK;
}

/* Goes on over wrong legs where it can, so that all errors are told in one go. */
static sw_status make_spans(maker *m)
{
    const sw_trip *trip = m->plan->trip;
    sw_status first = SW_OK;
    for (int i = 0; i < trip->legs; i++) {
        const sw_span *before = i > 0 ? &m->it->span[i - 1] : NULL;
        sw_status status = make_span(m, &trip->leg[i], before, &m->it->span[i]);
        if (status == SW_OK)
            status = check_hookup(m, &trip->leg[i], &m->it->span[i]);
        if (first == SW_OK)
            first = status;
    }
    m->it->spans = trip->legs;
    return first;
}

// ---- clocks and days ----

static void make_stretches(sw_itinerary *it)
{
    for (int i = 0; i < it->spans; i++) {
        const sw_span *span = &it->span[i];
        const sw_zone *zone = it->stop[span->stop].zone; // on the road, the clock of the place left
        sw_stretch *last = it->stretches > 0 ? &it->stretch[it->stretches - 1] : NULL;
        if (last != NULL && last->zone == zone)
            last->end_s = span->end_s;
        else
            it->stretch[it->stretches++] = (sw_stretch){span->start_s, span->end_s, zone};
    }
}

static const sw_stretch *stretch_at(const sw_itinerary *it, int64_t utc_s)
{
    int i = 0;
    while (i + 1 < it->stretches && utc_s >= it->stretch[i].end_s)
        i++;
    return &it->stretch[i];
}

int64_t sw_itinerary_local_s(const sw_itinerary *it, int64_t utc_s)
{
    return utc_s + sw_zone_offset_s(stretch_at(it, utc_s)->zone, utc_s);
}

static int64_t date_at(const sw_itinerary *it, int64_t utc_s)
{
    int64_t local = sw_itinerary_local_s(it, utc_s);
    return sw_floor_div(local, 86400);
}

/* First moment after `utc_s` at which the clock shows another date: local midnight or the end of the stretch.
   Where clocks put back over midnight show it twice, it is the first. */
static int64_t next_midnight(const sw_itinerary *it, int64_t utc_s)
{
    const sw_stretch *stretch = stretch_at(it, utc_s);
    int64_t midnight;
    sw_zone_to_utc(stretch->zone, (date_at(it, utc_s) + 1) * 86400, &midnight);
    return midnight < stretch->end_s ? midnight : stretch->end_s;
}

/* A westward drive over midnight may turn the date back; the day of the trip then goes on. */
static sw_status make_days(maker *m)
{
    sw_itinerary *it = m->it;
    size_t room = (size_t)((it->end_s - it->start_s) / 86400 + 3 + 2 * it->stretches);
    it->day = calloc(room, sizeof *it->day);
    if (it->day == NULL)
        return no_memory(m);
    for (int64_t at = it->start_s; at < it->end_s; at = next_midnight(it, at)) {
        int64_t date = date_at(it, at);
        sw_day *last = it->days > 0 ? &it->day[it->days - 1] : NULL;
        if (last == NULL || date > last->date)
            it->day[it->days++] = (sw_day){date, at, at};
        it->day[it->days - 1].end_s = next_midnight(it, at);
    }
    return SW_OK;
}

int sw_itinerary_day(const sw_itinerary *it, int64_t utc_s)
{
    int i = 0;
    while (i + 1 < it->days && utc_s >= it->day[i].end_s)
        i++;
    return i;
}

// ---- position ----

/* Along the great circle: the two unit vectors turned into each other. */
static void between_places(const sw_stop *a, const sw_stop *b, double share, sw_position *out)
{
    double arc = sw_great_circle_m(a->lat_deg, a->lon_deg, b->lat_deg, b->lon_deg, NULL) / SW_EARTH_RADIUS_M;
    double from = arc < 1e-9 ? 1.0 - share : sin((1.0 - share) * arc) / sin(arc);
    double to = arc < 1e-9 ? share : sin(share * arc) / sin(arc);
    double x = from * cos(a->lat_deg * RAD) * cos(a->lon_deg * RAD) +
               to * cos(b->lat_deg * RAD) * cos(b->lon_deg * RAD);
    double y = from * cos(a->lat_deg * RAD) * sin(a->lon_deg * RAD) +
               to * cos(b->lat_deg * RAD) * sin(b->lon_deg * RAD);
    double z = from * sin(a->lat_deg * RAD) + to * sin(b->lat_deg * RAD);
    out->lat_deg = atan2(z, hypot(x, y)) / RAD;
    out->lon_deg = atan2(y, x) / RAD;
    out->elevation_m = a->elevation_m + share * (b->elevation_m - a->elevation_m);
}

sw_position sw_itinerary_at(const sw_itinerary *it, int64_t utc_s)
{
    int i = 0;
    while (i + 1 < it->spans && utc_s >= it->span[i].end_s)
        i++;
    const sw_span *span = &it->span[i];
    double share = (double)(utc_s - span->start_s) / (double)(span->end_s - span->start_s);
    share = share < 0.0 ? 0.0 : share > 1.0 ? 1.0 : share;
    sw_position out = {.span = i, .stop = share < 0.5 ? span->stop : span->to_stop};
    const sw_stop *a = &it->stop[span->stop], *b = &it->stop[span->to_stop];
    out.lat_deg = a->lat_deg;
    out.lon_deg = a->lon_deg;
    out.elevation_m = a->elevation_m;
    if (span->kind == SW_LEG_DRIVE)
        between_places(a, b, share, &out);
    return out;
}

// ---- making ----

void sw_itinerary_free(sw_itinerary *it)
{
    if (it == NULL)
        return;
    for (int i = 0; i < it->zones; i++)
        sw_zone_free(it->zone[i]);
    sw_stations_free(it->table);
    sw_text_free(&it->table_text);
    free(it->zone);
    free(it->stop);
    free(it->span);
    free(it->stretch);
    free(it->day);
    free(it);
}

static sw_itinerary *room_for(const sw_trip *trip)
{
    sw_itinerary *it = calloc(1, sizeof *it);
    if (it == NULL)
        return NULL;
    it->stop = calloc((size_t)trip->places, sizeof *it->stop);
    it->zone = calloc((size_t)trip->places, sizeof *it->zone);
    it->span = calloc((size_t)trip->legs, sizeof *it->span);
    it->stretch = calloc((size_t)trip->legs, sizeof *it->stretch);
    if (it->stop == NULL || it->zone == NULL || it->span == NULL || it->stretch == NULL) {
        sw_itinerary_free(it);
        return NULL;
    }
    return it;
}

#define LONGEST_S (400 * (int64_t)86400)

static sw_status check_length(maker *m, int32_t step_s)
{
    sw_itinerary *it = m->it;
    const sw_leg *last = &m->plan->trip->leg[it->spans - 1];
    it->start_s = it->span[0].start_s;
    it->end_s = it->span[it->spans - 1].end_s;
    if (it->end_s - it->start_s < step_s)
        return sw_error(m->messages, SW_BAD_INPUT, &last->where, "give the last leg a later \"to\"",
                        "the trip is shorter than one step of the rehearsal");
    if (it->end_s - it->start_s > LONGEST_S)
        return sw_error(m->messages, SW_BAD_INPUT, &last->where, "check the years of the dates",
                        "the trip is longer than 400 days");
    return SW_OK;
}

sw_status sw_itinerary_make(const sw_plan *plan, const sw_loader *loader, int32_t step_s,
                            sw_messages *messages, sw_itinerary **out)
{
    maker m = {plan, loader, messages, room_for(plan->trip)};
    if (m.it == NULL)
        return no_memory(&m);
    sw_status status = find_stops(&m);
    if (status == SW_OK)
        status = make_spans(&m);
    if (status == SW_OK)
        status = check_length(&m, step_s);
    if (status == SW_OK) {
        make_stretches(m.it);
        status = make_days(&m);
    }
    if (status != SW_OK) {
        sw_itinerary_free(m.it);
        return status;
    }
    *out = m.it;
    return SW_OK;
}
