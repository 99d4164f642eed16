// A van without a trip: stays that are made up for it, as trip files in memory, and what they come to.
#include "stillwatt/card.h"

#include "files/arena.h"
#include "files/growing.h"
#include "stillwatt/civil.h"
#include "stillwatt/reader.h"

#include <math.h>
#include <stdarg.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#define YEAR        2025 // any without a leap day: an average sky knows no years
#define FIRST_DAY   1    // of the month
#define TRIP_NAME   "stay-of-the-card"
#define DAY_S       86400.0
#define LONG_ENOUGH (SW_CARD_NIGHTS * DAY_S)

// ---- a trip in memory ----

/// A loader that has one file more, the trip.
typedef struct with_trip {
    const sw_loader *from;
    const char *text;
} with_trip;

static sw_status load(void *context, sw_resource kind, const char *name, const char *beside, sw_text *out,
                      char *reason)
{
    const with_trip *w = context;
    if (kind != SW_RESOURCE_FILE || strcmp(name, TRIP_NAME) != 0)
        return w->from->load(w->from->context, kind, name, beside, out, reason);
    *out = (sw_text){strdup(w->text), strlen(w->text), strdup(name), 0};
    if (out->bytes != NULL && out->name != NULL)
        return SW_OK;
    sw_text_free(out);
    snprintf(reason, 160, "there is not enough memory");
    return SW_NO_MEMORY;
}

static void add(sw_growing *g, const char *format, ...) __attribute__((format(printf, 2, 3)));

static void add(sw_growing *g, const char *format, ...)
{
    char text[200];
    va_list arguments;
    va_start(arguments, format);
    vsnprintf(text, sizeof text, format, arguments);
    va_end(arguments);
    sw_growing_add(g, text);
}

/* A text of JSON (RFC 8259). */
static void quoted(sw_growing *g, const char *text)
{
    sw_growing_add(g, "\"");
    for (; *text != '\0'; text++)
        add(g, *text == '"' || *text == '\\' || (unsigned char)*text < 0x20 ? "\\u%04x" : "%c",
            (unsigned char)*text);
    sw_growing_add(g, "\"");
}

#define DATE_ROOM 40

/* The date so many days behind the first, as trip files write it. */
static const char *date_of(int month, int days, char out[DATE_ROOM])
{
    int year, then, day;
    sw_civil_from_days(sw_days_from_civil(YEAR, month + 1, FIRST_DAY) + days, &year, &then, &day);
    snprintf(out, DATE_ROOM, "%04d-%02d-%02d", year, then, day);
    return out;
}

/* Thirty nights and half a day, with or without a drive at three in the afternoon. */
static sw_status trip_text(const char *van_file, const char *station, int month, int drives, char **out)
{
    sw_growing g = {0};
    char date[DATE_ROOM];
    date_of(month, 0, date);
    sw_growing_add(&g, "{\"format\": \"stillwatt trip 1\", \"name\": \"thirty nights\",\n \"van\": ");
    quoted(&g, van_file);
    sw_growing_add(&g, ",\n \"places\": {\"here\": {\"station\": ");
    quoted(&g, station);
    add(&g,
        "}},\n \"sky\": {\"kind\": \"average\"}, \"start_charge\": \"100 %%\",\n \"legs\": [{\"stay\": "
        "\"here\", \"from\": \"%s 12:00\", \"to\": ",
        date);
    for (int d = 0; d < SW_CARD_NIGHTS && drives; d++) {
        date_of(month, d, date);
        add(&g,
            "\"%s 15:00\"},\n {\"drive\": [\"here\", \"here\"], \"to\": \"%s 16:00\", \"distance\": \"60 "
            "km\"}, {\"stay\": \"here\", \"to\": ",
            date, date);
    }
    date_of(month, SW_CARD_NIGHTS + 1, date);
    add(&g, "\"%s 00:00\"}]}\n", date);
    return sw_growing_take(&g, out);
}

/// A stay that has been rehearsed.
typedef struct stay {
    sw_plan *plan;
    sw_rehearsal *rehearsal;
} stay;

static void release(stay *s)
{
    sw_rehearsal_free(s->rehearsal);
    sw_plan_free(s->plan);
    *s = (stay){NULL, NULL};
}

/* Nobody has the trip that is made up: of what is wrong in it the station alone is the user's. */
static void repeat_errors(const sw_messages *from, sw_messages *to)
{
    static const sw_where station = {.file = "the station of the card"};
    for (size_t i = 0; from != NULL && i < sw_messages_count(from); i++) {
        const sw_message *m = sw_messages_at(from, i);
        int is_made_up = m->where.file != NULL && strcmp(m->where.file, TRIP_NAME) == 0;
        if (m->severity == SW_ERROR)
            (void)sw_error(to, m->status, is_made_up ? &station : &m->where, m->hint, "%s", m->what);
    }
}

/* What is wrong with the van is told of the first stay; warnings of made-up stays tell nobody anything. */
static sw_status rehearse_stay(const sw_card *card, const sw_loader *loader, const char *van_file, int month,
                               int drives, int32_t step_s, sw_messages *messages, stay *out)
{
    char *text = NULL;
    sw_messages *own = sw_messages_create();
    sw_status status = own != NULL ? trip_text(van_file, card->station, month, drives, &text) : SW_NO_MEMORY;
    with_trip with = {loader, text};
    sw_loader both = {load, &with};
    *out = (stay){NULL, NULL};
    if (status == SW_OK)
        status = sw_read_trip(&both, TRIP_NAME, own, &out->plan);
    if (status == SW_OK)
        status = sw_rehearse(out->plan, &both, step_s, own, &out->rehearsal);
    repeat_errors(own, messages);
    sw_messages_free(own);
    free(text);
    if (status != SW_OK)
        release(out);
    return status;
}

// ---- what it comes to ----

/* Nights before it first fails, with their part of the last one. */
static double nights_of(const sw_rehearsal *r, const sw_outcome *o)
{
    double fails = INFINITY;
    const int64_t at[] = {o->under_at_s, o->short_at_s, o->medical >= 0 ? o->medical_at_s : INT64_MIN};
    for (size_t i = 0; i < sizeof at / sizeof at[0]; i++)
        if (at[i] != INT64_MIN)
            fails = fmin(fails, (double)(at[i] - r->trip.start_s));
    return fails < LONG_ENOUGH ? fails / DAY_S : INFINITY;
}

/* Whether a local date lies in a month; the stay goes on into the next one. */
static int is_in(int month, int64_t date)
{
    int year, then, day;
    sw_civil_from_days(date, &year, &then, &day);
    return then == month + 1;
}

static double greatest_mark(const sw_limits *l, int month)
{
    const sw_itinerary *it = l->of->course->itinerary;
    double greatest = 0.0;
    for (int i = 0; i < l->evenings; i++)
        if (is_in(month, sw_floor_div(sw_itinerary_local_s(it, l->evening[i].sunset_s), 86400)))
            greatest = fmax(greatest, l->evening[i].mark);
    return greatest;
}

static double mean_harvest_wh(const sw_rehearsal *r, int month)
{
    double sum = 0.0;
    int days = 0;
    for (int d = 1; d < r->days; d++) // the first one begins at noon
        if (is_in(month, r->course->itinerary->day[r->day[d].day].date)) {
            sum += r->day[d].value[SW_LEDGER_SOLAR_OFFERED];
            days++;
        }
    return sum / days;
}

static void keep_greatest_portions(sw_card *card, const sw_rehearsal *r)
{
    for (int k = 0; k < r->course->loads; k++) {
        sw_portion here = sw_portion_of_load(r, k);
        if (here.battery_wh >= card->portion[k].battery_wh)
            card->portion[k] = here;
    }
}

/* Parked; its limits come with it. */
static sw_status find_parked(sw_card *card, int month, const stay *s, sw_messages *messages,
                             sw_limits **limits)
{
    sw_card_month *m = &card->month[month];
    const sw_rehearsal *r = s->rehearsal;
    m->harvest_wh = mean_harvest_wh(r, month);
    m->nights = nights_of(r, &r->outcome);
    m->poor_nights = nights_of(r, &r->poor);
    keep_greatest_portions(card, r);
    sw_status status = sw_find_limits(r, messages, limits);
    if (status == SW_OK)
        m->evening_mark = greatest_mark(*limits, month);
    return status;
}

/* What is known with the first stay: the station's whole name, how many loads there are. */
static sw_status know_van(sw_card *card, const stay *s)
{
    const sw_itinerary *it = s->rehearsal->course->itinerary;
    int near[1], count = 0, index = sw_stations_find(it->table, card->station, near, 1, &count);
    const sw_station *station = sw_stations_at(it->table, index);
    const char *state = sw_station_state(station);
    size_t size = strlen(station->name) + strlen(state) + 2;
    char *name = sw_arena_alloc(card->owner, size);
    card->portion = sw_arena_alloc(card->owner, (size_t)s->rehearsal->course->loads * sizeof *card->portion);
    if (name == NULL || card->portion == NULL)
        return SW_NO_MEMORY;
    snprintf(name, size, "%s %s", station->name, state);
    card->name = name;
    return SW_OK;
}

/* The stay in which a full battery lasts shortest is kept. */
static void keep_hardest(sw_card *card, int month, stay *s, sw_limits **limits)
{
    if (card->rehearsal != NULL && (*limits)->nights >= card->limits->nights)
        return;
    stay last = {card->plan, card->rehearsal};
    sw_limits *last_limits = card->limits;
    card->hardest = month;
    card->plan = s->plan;
    card->rehearsal = s->rehearsal;
    card->limits = *limits;
    *s = last;
    *limits = last_limits;
}

static sw_status find_month(sw_card *card, const sw_loader *loader, const char *van_file, int month,
                            int32_t step_s, sw_messages *messages)
{
    sw_card_month *m = &card->month[month];
    sw_limits *limits = NULL;
    stay parked, driven;
    sw_status status = rehearse_stay(card, loader, van_file, month, 0, step_s, messages, &parked);
    if (status == SW_OK && month == 0)
        status = know_van(card, &parked);
    if (status == SW_OK)
        status = find_parked(card, month, &parked, messages, &limits);
    if (status == SW_OK)
        keep_hardest(card, month, &parked, &limits);
    sw_limits_free(limits);
    release(&parked);
    if (status == SW_OK)
        status = rehearse_stay(card, loader, van_file, month, 1, step_s, messages, &driven);
    if (status != SW_OK)
        return status;
    m->driven = nights_of(driven.rehearsal, &driven.rehearsal->outcome);
    m->poor_driven = nights_of(driven.rehearsal, &driven.rehearsal->poor);
    release(&driven);
    return SW_OK;
}

sw_status sw_find_card(const sw_loader *loader, const char *van_file, const char *station, int32_t step_s,
                       sw_messages *messages, sw_card **out)
{
    sw_arena *arena = sw_arena_create();
    sw_card *card = arena != NULL ? sw_arena_alloc(arena, sizeof *card) : NULL;
    *out = NULL;
    if (card == NULL) {
        sw_arena_free(arena);
        return sw_error(messages, SW_NO_MEMORY, NULL, NULL, "there is not enough memory for the card");
    }
    *card = (sw_card){.station = station, .owner = arena};
    sw_status status = SW_OK;
    for (int month = 0; month < 12 && status == SW_OK; month++)
        status = find_month(card, loader, van_file, month, step_s, messages);
    if (status == SW_OK)
        *out = card;
    else
        sw_card_free(card);
    return status;
}

void sw_card_free(sw_card *card)
{
    if (card == NULL)
        return;
    sw_limits_free(card->limits);
    sw_rehearsal_free(card->rehearsal);
    sw_plan_free(card->plan);
    sw_arena_free(card->owner);
}
