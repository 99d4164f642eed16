// From the legs of a trip to spans of UTC time: places are found, clocks read, and the itinerary must join
// up.
#include "trip/itinerary_maker.h"

#include "stillwatt/civil.h"
#include "stillwatt/sphere.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#define PI              3.14159265358979323846
#define RAD             (PI / 180.0)
#define FASTEST_M_S     (150.0 / 3.6) // common practice, no source: faster than any van drives on average
#define STRAIGHT_ENOUGH 0.98          // positions and distances are rounded by whoever gives them
#define SAME_VOLTAGE    0.15 // 110 to 127 V, or 220 to 240 V, are one system: common practice, no source
#define ROAD_FACTOR     1.25 // common practice, no source: roads over the great circle

static sw_status no_memory(itinerary_maker *m)
{
    return sw_error(m->messages, SW_NO_MEMORY, NULL, NULL, "there is not enough memory for the itinerary");
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
static sw_status to_utc(itinerary_maker *m, const sw_leg *leg, const sw_stop *stop, int64_t local_s,
                        int64_t *utc_s)
{
    char text[32];
    if (sw_zone_to_utc(stop->zone, local_s, utc_s) != SW_LOCAL_GAP)
        return SW_OK;
    write_local(local_s, text, sizeof text);
    return sw_error(m->messages, SW_BAD_INPUT, &leg->where, "choose a time an hour later",
                    "the clocks of %s skip %s (daylight saving begins)", sw_zone_name(stop->zone), text);
}

static sw_status join(itinerary_maker *m, const sw_leg *leg, const sw_span *before, const sw_span *span)
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

static sw_status check_drive(itinerary_maker *m, const sw_leg *leg, sw_span *span)
{
    const sw_stop *a = &m->it->stop[span->stop], *b = &m->it->stop[span->to_stop];
    double direct = sw_great_circle_m(a->lat_deg, a->lon_deg, b->lat_deg, b->lon_deg, &span->bearing_deg);
    double road = isnan(leg->distance_m) ? ROAD_FACTOR * direct : leg->distance_m;
    span->speed_m_s = road / (double)(span->end_s - span->start_s);
    if (road < 1.0 && direct < 1.0)
        return sw_error(m->messages, SW_BAD_INPUT, &leg->where,
                        "give its \"distance\": \"40 km\", or make it a stay",
                        "this drive goes nowhere: both ends are the same place");
    if (road < STRAIGHT_ENOUGH * direct)
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

static sw_status make_span(itinerary_maker *m, const sw_leg *leg, const sw_span *before, sw_span *span)
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

static sw_status check_hookup(itinerary_maker *m, const sw_leg *leg, sw_span *span)
{
    const sw_shore_spec *shore = m->plan->van->shore;
    if (isnan(leg->shore_a))
        return SW_OK;
    span->pedestal_va = leg->shore_a * leg->shore_v * leg->shore_legs;
    span->pedestal_steady_share = leg->shore_steady;
    if (shore == NULL) {
        sw_warn(m->messages, &leg->where, "add \"shore\" to the van file",
                "the van has no inlet for this hookup, which stays unused");
    } else if (fabs(shore->inlet_v - leg->shore_v) > SAME_VOLTAGE * shore->inlet_v) {
        return sw_error(m->messages, SW_BAD_INPUT, &leg->where,
                        "check the hookup's \"voltage\" and the van's \"inlet_voltage\"",
                        "the van's inlet is for %.0f V, this hookup gives %.0f V", shore->inlet_v,
                        leg->shore_v);
    }
    return SW_OK;
}

/* Goes on over wrong legs where it can, so that all errors are told in one go. */
static sw_status make_spans(itinerary_maker *m)
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
static sw_status make_days(itinerary_maker *m)
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

static sw_status check_length(itinerary_maker *m, int32_t step_s)
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
    itinerary_maker m = {plan, loader, messages, room_for(plan->trip)};
    *out = NULL;
    if (m.it == NULL)
        return no_memory(&m);
    sw_status status = sw_itinerary_find_stops(&m);
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
