// The places of a trip: position by station or by coordinates, time zone, and what the climate says of them.
#include "trip/itinerary_maker.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

static sw_status open_table(itinerary_maker *m, const sw_where *where)
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

static sw_status unknown_station(itinerary_maker *m, const sw_place *place, const int *near, int count)
{
    char hint[320] = "give latitude, longitude, elevation and zone instead";
    size_t used = 0;
    for (int i = 0; i < count && used < sizeof hint; i++) {
        const sw_station *s = sw_stations_at(m->it->table, near[i]);
        used += (size_t)snprintf(hint + used, sizeof hint - used, "%s\"%s %s\"",
                                 i == 0 ? "did you mean " : ", ", s->name, sw_station_state(s));
    }
    return sw_error(m->messages, SW_BAD_INPUT, &place->where, hint,
                    "\"%s\" does not name exactly one station of the weather table", place->station);
}

static sw_status find_station(itinerary_maker *m, const sw_place *place, sw_stop *stop, const char **zone)
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
static void suggest_zone(itinerary_maker *m, const sw_stop *stop, char *hint, size_t size)
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

static sw_status missing_zone(itinerary_maker *m, const sw_place *place, const sw_stop *stop)
{
    char hint[200];
    suggest_zone(m, stop, hint, sizeof hint);
    return sw_error(m->messages, SW_BAD_INPUT, &place->where, hint, "the place \"%s\" has no time zone",
                    place->name);
}

static sw_status unknown_zone(itinerary_maker *m, const sw_place *place, const sw_stop *stop,
                              const char *name)
{
    char hint[200];
    suggest_zone(m, stop, hint, sizeof hint);
    return sw_error(m->messages, SW_BAD_INPUT, &place->where, hint, "the time zone \"%s\" is not known",
                    name);
}

static sw_status load_zone(itinerary_maker *m, const sw_place *place, sw_stop *stop, const char *name)
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
        status =
            sw_error(m->messages, SW_NO_MEMORY, NULL, NULL, "there is not enough memory for the itinerary");
    else if (status != SW_OK && text.absent)
        status = unknown_zone(m, place, stop, name);
    else if (status != SW_OK)
        status = sw_error(m->messages, status, &place->where, "install the tzdata package anew",
                          "the data of the time zone \"%s\" could not be read: %s", name, reason);
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
#define CLEAREST        0.85
#define TWILIGHT_KWH_M2 0.2 // what twilight and refraction may add where the sun hardly rises: from memory

static sw_status check_normals(itinerary_maker *m, const sw_place *place, const sw_climate *climate)
{
    for (int i = 0; i < 12; i++) {
        const sw_month *month = &climate->month[i];
        double above_air = month->kt_mean > 0.0 ? month->ghi_kwh_m2_day / month->kt_mean : 0.0;
        if (month->ghi_kwh_m2_day > CLEAREST * above_air + TWILIGHT_KWH_M2)
            return sw_error(
                m->messages, SW_BAD_INPUT, &place->where,
                "give kWh/m2 of a mean day, on the flat; check latitude and the order of the months",
                "in month %d the daily sun of \"%s\", %.1f kWh/m2, is more than reaches the ground there",
                i + 1, place->name, month->ghi_kwh_m2_day);
    }
    return SW_OK;
}

static sw_status find_climate(itinerary_maker *m, const sw_place *place, sw_stop *stop)
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

static sw_status find_stop(itinerary_maker *m, const sw_place *place, sw_stop *stop)
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
sw_status sw_itinerary_find_stops(itinerary_maker *m)
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
