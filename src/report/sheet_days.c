// The page of a trip, day by day: sky, charge, what to do, what ends when.
#include "report/html.h"
#include "report/sheet_parts.h"
#include "report/words.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#define MINDED_TOLD 6
#define DAYS_TOLD   14 // of longer trips only those that ask for something

// ---- sky ----

/* By the light against that of a cloudless sky (common practice, no source: the bounds). */
static const char *light_word(const sw_sky_day *day)
{
    static const struct {
        double most;
        const char *says;
    } words[] = {{0.3, "dark, heavy cloud"}, {0.55, "cloudy"}, {0.8, "sun and cloud"}};
    double share = day->flat_kwh_m2 / day->clear_kwh_m2;
    if (!(day->clear_kwh_m2 > 0.05))
        return "little or no daylight";
    for (size_t i = 0; i < sizeof words / sizeof words[0]; i++)
        if (share < words[i].most)
            return words[i].says;
    return "sunny";
}

static const sw_sky_day *sky_of(const sw_sheet *s, int64_t date)
{
    for (int i = 0; s->sky != NULL && i < s->sky->days; i++)
        if (s->sky->day[i].date == date)
            return &s->sky->day[i];
    return NULL;
}

static void say_sky(const sw_sheet *s, int64_t date, page *out)
{
    const sw_sky_day *day = sky_of(s, date);
    int is_mean = s->rehearsal->plan->trip->sky.kind == SW_SKY_AVERAGE;
    char low[48], high[48];
    if (day == NULL)
        return;
    int has_air = !isnan(day->low_c) && !isnan(day->high_c);
    if (!is_mean)
        sw_page_add(out, "%s", light_word(day));
    if (has_air)
        sw_page_add(out, "%s%s to %s", is_mean ? "" : ", ",
                    sw_words_quantity(day->low_c, SW_DIM_TEMPERATURE, s->units, low),
                    sw_words_quantity(day->high_c, SW_DIM_TEMPERATURE, s->units, high));
    if (has_air || !is_mean)
        sw_page_add(out, ". ");
}

// ---- tanks and sunset ----

/* Whether a tank ends after a moment and by another; what is empty at the trip's start ends with it, on the
   first day. */
static int ends_within(const sw_rehearsal *r, int tank, int64_t after_s, int64_t by_s)
{
    int64_t at_s = r->tanks.tank[tank].ends_at_s;
    if (after_s == r->trip.start_s)
        after_s--;
    return !isnan(r->plan->van->tank[tank].capacity_l) && at_s > after_s && at_s <= by_s;
}

static int any_tank_ends_on(const sw_rehearsal *r, const sw_account *day)
{
    for (int k = 0; k < SW_TANKS; k++)
        if (ends_within(r, k, day->start_s, day->end_s))
            return 1;
    return 0;
}

static void say_tanks(const sw_rehearsal *r, int64_t after_s, int64_t by_s, page *out)
{
    char when[16];
    for (int k = 0; k < SW_TANKS; k++) {
        if (!ends_within(r, k, after_s, by_s))
            continue;
        sw_words_end_clock(r->course->itinerary, r->tanks.tank[k].ends_at_s, when, sizeof when);
        sw_page_add(out, " At %s %s.", when, sw_words_tank_ends(k));
    }
}

static const sw_evening *evening_of(const sw_sheet *s, const sw_account *day)
{
    for (int i = 0; s->limits != NULL && i < s->limits->evenings; i++)
        if (s->limits->evening[i].sunset_s >= day->start_s && s->limits->evening[i].sunset_s < day->end_s)
            return &s->limits->evening[i];
    return NULL;
}

static int is_below_mark(const sw_sheet *s, int d)
{
    const sw_evening *e = evening_of(s, &s->rehearsal->day[d]);
    return e != NULL && sw_words_charge_by(s->rehearsal, e->sunset_s) < e->mark;
}

/* Where the day falls short its own advice says what to do. */
static void say_evening_advice(const sw_sheet *s, int d, page *out)
{
    if (!sw_words_is_short(s->rehearsal, d)) {
        sw_page_add(out, ": ");
        (void)sw_words_ways(s->rehearsal->plan->van, "save", !sw_words_is_too_cold(s->rehearsal, d, 1), out);
    }
    sw_page_add(out, ".");
}

static void say_sunset(const sw_sheet *s, int d, const sw_evening *e, page *out)
{
    char clock[16];
    sw_words_clock(s->rehearsal->course->itinerary, e->sunset_s, clock, sizeof clock);
    if (isinf(e->mark))
        sw_page_add(out, " At sunset (%s) not even a full battery is enough for the day after%s.", clock,
                    s->limits->by_poor_week ? " if that is a poor one" : "");
    else if (is_below_mark(s, d)) {
        sw_page_add(out, " At sunset (%s) it has %d %%, but should have %d %%%s", clock,
                    sw_words_percent(sw_words_charge_by(s->rehearsal, e->sunset_s)),
                    sw_words_percent_up(e->mark), s->limits->by_poor_week ? " for a poor day after it" : "");
        say_evening_advice(s, d, out);
    } else if (e->mark > s->rehearsal->plan->trip->reserve + SHEET_NO_MARK)
        sw_page_add(out, " At sunset (%s) have at least %d %%.", clock, sw_words_percent_up(e->mark));
}

/* Sunset and tanks that end, in the order of time. */
static void say_moments(const sw_sheet *s, int d, page *out)
{
    const sw_rehearsal *r = s->rehearsal;
    const sw_account *day = &r->day[d];
    const sw_evening *e = evening_of(s, day);
    int64_t sunset_s = e != NULL ? e->sunset_s : day->end_s;
    say_tanks(r, day->start_s, sunset_s, out);
    if (e != NULL)
        say_sunset(s, d, e, out);
    if (sunset_s < day->end_s)
        say_tanks(r, sunset_s, day->end_s, out);
}

// ---- a day ----

/* Places of a day, in their order; a drive names where it goes to. */
static void say_places(const sw_rehearsal *r, const sw_account *day, page *out)
{
    const sw_itinerary *it = r->course->itinerary;
    const char *before = "";
    for (int i = 0; i < it->spans; i++) {
        const sw_span *span = &it->span[i];
        const char *name = it->stop[span->kind == SW_LEG_DRIVE ? span->to_stop : span->stop].name;
        if (span->end_s <= day->start_s || span->start_s >= day->end_s || strcmp(name, before) == 0)
            continue;
        sw_page_add(out, "%s%s", before[0] != '\0' ? ", " : "", name);
        before = name;
    }
    sw_page_add(out, ": ");
}

static int is_minded(const sw_sheet *s, int d)
{
    const sw_rehearsal *r = s->rehearsal;
    return sw_words_is_short(r, d) || is_below_mark(s, d) || any_tank_ends_on(r, &r->day[d]);
}

static void write_day(const sw_sheet *s, int d, page *p)
{
    const sw_rehearsal *r = s->rehearsal;
    const sw_account *day = &r->day[d];
    int64_t date = r->course->itinerary->day[day->day].date;
    char name[24], when[16];
    page line = {0};
    char *text = NULL;
    sw_words_date(date, name, sizeof name);
    sw_words_end_clock(r->course->itinerary, day->lowest_at_s, when, sizeof when);
    say_places(r, day, &line);
    say_sky(s, date, &line);
    sw_page_add(&line, "Lowest charge %d %% at %s, %d %% at the end.",
                sw_words_percent(day->value[SW_LEDGER_LOWEST] / 100.0), when,
                sw_words_percent(day->value[SW_LEDGER_CHARGE] / 100.0));
    if (sw_words_is_short(r, d))
        sw_sheet_advice(s, d, &line);
    say_moments(s, d, &line);
    p->failed = sw_growing_take(&line, &text) != SW_OK || p->failed;
    sw_page_add(p, "<li%s><strong>%s</strong> ", is_minded(s, d) ? " class=\"mind\"" : "", name);
    sw_page_escaped(p, text != NULL ? text : "");
    sw_page_add(p, "</li>\n");
    free(text);
}

void sw_sheet_days(const sw_sheet *s, page *p)
{
    const sw_rehearsal *r = s->rehearsal;
    int told = 0, is_long = r->days > DAYS_TOLD;
    page rest = {0};
    sw_html_element(p, "h2", NULL, "Day by day");
    sw_page_add(p, "<ol class=\"days\">\n");
    for (int d = 0; d < r->days; d++) {
        int is_told = !is_long || (is_minded(s, d) && !sw_sheet_goes_on(r, d) && told < MINDED_TOLD);
        if (is_told)
            write_day(s, d, p);
        told += is_told;
    }
    if (told == 0)
        sw_page_add(&rest, "No day asks for anything.");
    else if (told < r->days)
        sw_page_add(&rest, told < MINDED_TOLD ? "No other day asks for anything new."
                                              : "These are the first that ask for something.");
    if (told < r->days)
        sw_page_add(&rest, " All %d days stand in the builder's table%s.", r->days,
                    r->days > SHEET_DAYS_LISTED ? ", week by week" : "");
    sw_html_take(p, "li", NULL, &rest);
    sw_page_add(p, "</ol>\n");
}
