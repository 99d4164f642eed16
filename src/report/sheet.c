// The page of a trip for its client: the verdict, the chart, what to mind day by day, how to live with the
// system. The builder's numbers stand behind it (sheet_numbers.c).
#include "stillwatt/sheet.h"

#include "report/html.h"
#include "report/sheet_parts.h"
#include "report/tide.h"
#include "report/words.h"

#include "stillwatt/civil.h"
#include "stillwatt/portion.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#define MINDED_TOLD   6
#define DAYS_TOLD     14 // of longer trips only those that ask for something
#define REMEDIES_TOLD 3  // of those that are enough, and of those that are not
#define WEIGHTS_TOLD  3
#define TO_SAVE       2    // appliances that a day's advice names
#define WORTH_SAVING  0.05 // of a day's use
#define DAY_S         86400.0
#define NO_MARK       0.005 // over the reserve line: an evening that asks for no more is not told

// ---- top ----

static void write_top(const sw_sheet *s, page *p)
{
    const sw_rehearsal *r = s->rehearsal;
    sw_verdict worst =
        r->has_poor && r->poor.verdict > r->outcome.verdict ? r->poor.verdict : r->outcome.verdict;
    page of = {0}, headline = {0}, verdict = {0}, beside = {0};
    char from[32], to[32];
    sw_words_moment(r->course->itinerary, r->course->itinerary->start_s, from, sizeof from);
    sw_words_end_moment(r->course->itinerary, r->course->itinerary->end_s, to, sizeof to);
    sw_html_element(p, "h1", NULL, r->plan->trip->name);
    sw_page_add(&of, "%s to %s, with %s", from, to, r->plan->van->name);
    sw_html_take(p, "p", "of", &of);
    sw_page_add(p, "<div class=\"verdict %s\">\n", sw_verdict_word(worst));
    sw_words_headline(r, &headline);
    sw_html_take(p, "strong", NULL, &headline);
    sw_words_verdict(r, &verdict);
    sw_html_take(p, "p", NULL, &verdict);
    sw_words_beside(r, &beside);
    sw_html_take(p, "p", NULL, &beside);
    sw_page_add(p, "</div>\n");
}

// ---- chart ----

static void put_hour(const sw_rehearsal *r, int h, page *p)
{
    const double *v = r->hour[h].value;
    double hours = (double)(r->hour[h].end_s - r->hour[h].start_s) / 3600.0;
    double other = v[SW_LEDGER_ALTERNATOR_USED] + v[SW_LEDGER_SHORE_AC] + v[SW_LEDGER_CHARGER_IN];
    double use =
        v[SW_LEDGER_SERVED] + v[SW_LEDGER_INVERTER_LOSS] + v[SW_LEDGER_CONTROLLER_SELF] + v[SW_LEDGER_PAD];
    char moment[32];
    sw_words_moment(r->course->itinerary, r->hour[h].start_s, moment, sizeof moment);
    sw_page_add(p, "%s[", h > 0 ? ",\n" : "");
    sw_html_quoted(p, moment);
    sw_page_add(p, ",%d,%d,%.0f,%.0f,%.0f]", (int)((r->hour[h].end_s - r->trip.start_s) / 60),
                sw_words_percent(v[SW_LEDGER_CHARGE] / 100.0), v[SW_LEDGER_SOLAR_USED] / hours, other / hours,
                use / hours);
}

static void write_hours(const sw_rehearsal *r, page *p)
{
    double wide[2], narrow[2];
    sw_tide_span(0, &wide[0], &wide[1]);
    sw_tide_span(1, &narrow[0], &narrow[1]);
    sw_page_add(p,
                "<script type=\"application/json\" "
                "id=\"hours\">{\"minutes\":%d,\"wide\":[%.0f,%.0f],\"narrow\":[%.0f,%.0f],",
                (int)((r->trip.end_s - r->trip.start_s) / 60), wide[0], wide[1], narrow[0], narrow[1]);
    sw_page_add(p, "\"hours\":[");
    for (int h = 0; h < r->hours; h++)
        put_hour(r, h, p);
    sw_page_add(p, "]}</script>\n");
}

/* The slider is there where the script is. */
static void write_chart(const sw_sheet *s, page *p)
{
    sw_page_add(p, "<figure>\n");
    sw_tide_in_page(s->rehearsal, 0, p);
    sw_tide_in_page(s->rehearsal, 1, p);
    sw_page_add(p, "<input type=\"range\" id=\"hour\" min=\"0\" max=\"0\" value=\"0\" aria-label=\"hour of "
                   "the trip\" hidden>\n"
                   "<figcaption id=\"says\" aria-live=\"polite\">Charge of the battery over the trip; below, "
                   "what comes in "
                   "and what is used.</figcaption>\n</figure>\n");
    write_hours(s->rehearsal, p);
}

// ---- day by day ----

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

/* Whether a load hangs on the battery in a step, if it is on: not at a hookup, nor behind a switched-off
   inverter. */
static int is_on_battery(const sw_rehearsal *r, const sw_load_spec *load, int32_t step)
{
    const sw_forcing *f = &r->course->forcing[SW_OUTLOOK_MAIN];
    int has_ac = (f->flags[step] & SW_STEP_INVERTER) != 0 && r->plan->van->inverter != NULL;
    return f->pedestal_va[step] == 0.0 && (load->bus == SW_BUS_DC || has_ac);
}

/* Wh out of the battery that a load asks for between two moments; none of what is never served. A fridge,
   which follows the cabin in the march, is told by its hours. */
static double saving_wh(const sw_rehearsal *r, int64_t from_s, int64_t to_s, int load)
{
    const sw_forcing *f = &r->course->forcing[SW_OUTLOOK_MAIN];
    const double *asked_w = r->course->asked_w[load];
    double wh = 0.0;
    if (!(r->trip.served_wh[load] > 0.0))
        return 0.0;
    for (int h = 0; h < r->hours && asked_w == NULL; h++)
        if (r->hour[h].start_s >= from_s && r->hour[h].start_s < to_s)
            wh += r->hour[h].asked_wh[load];
    for (int32_t i = 0; i < f->steps && asked_w != NULL; i++) {
        int64_t at_s = f->start_s + (int64_t)i * f->step_s;
        if (at_s >= from_s && at_s < to_s && is_on_battery(r, &r->plan->van->load[load], i))
            wh += asked_w[i] * f->step_s / 3600.0;
    }
    return sw_battery_wh(r, load, wh);
}

/// What doing without an appliance saves.
typedef struct saving {
    int load;
    double wh;
} saving;

/* What may wait between two moments, dearest in energy first. @return how many */
static int find_savings(const sw_rehearsal *r, int64_t from_s, int64_t to_s, saving best[TO_SAVE])
{
    double day_wh = r->trip.value[SW_LEDGER_ASKED] * DAY_S / (double)(r->trip.end_s - r->trip.start_s);
    int found = 0;
    for (int i = 0; i < TO_SAVE; i++)
        best[i] = (saving){-1, 0.0};
    for (int k = 0; k < r->course->loads; k++) {
        const sw_load_spec *l = &r->plan->van->load[k];
        saving next = {k, saving_wh(r, from_s, to_s, k)};
        if (l->held == SW_MUST || l->medical || !(next.wh > WORTH_SAVING * day_wh))
            continue;
        found += found < TO_SAVE;
        for (int i = 0; i < TO_SAVE; i++)
            if (next.wh > best[i].wh) {
                saving less = best[i];
                best[i] = next;
                next = less;
            }
    }
    return found;
}

/* @return the leg in which the van is laid up at a moment, NULL: it is not */
static const sw_leg *store_at(const sw_rehearsal *r, int64_t at_s)
{
    const sw_itinerary *it = r->course->itinerary;
    for (int i = 0; i < it->spans; i++)
        if (it->span[i].kind == SW_LEG_STORE && it->span[i].start_s < at_s && it->span[i].end_s >= at_s)
            return &r->plan->trip->leg[i];
    return NULL;
}

/* When a day is at its lowest, under the poor week where only that falls short. */
static int64_t short_at_s(const sw_rehearsal *r, int d)
{
    return sw_words_falls_short(r, d) ? r->day[d].lowest_at_s : r->day_finding[d].poor_lowest_at_s;
}

/* Laid up when a day falls short, or when it begins: then its charge was lost there. */
static const sw_leg *store_of(const sw_rehearsal *r, int d)
{
    const sw_leg *store = store_at(r, short_at_s(r, d));
    return store != NULL ? store : store_at(r, r->day[d].start_s);
}

/* A day that falls short like the one before, in the same time laid up: nothing new can be done about it. */
static int goes_on(const sw_rehearsal *r, int d)
{
    const sw_leg *store =
        d > 0 && sw_words_is_short(r, d) && sw_words_is_short(r, d - 1) ? store_of(r, d) : NULL;
    return store != NULL && store == store_of(r, d - 1);
}

static void say_shortage(const sw_sheet *s, int d, page *out)
{
    const sw_rehearsal *r = s->rehearsal;
    const sw_day_finding *f = &r->day_finding[d];
    if (f->under)
        sw_page_add(out, " It falls under the reserve line");
    if (f->missed_wh > MISSED_LEAST_WH) {
        sw_page_add(out, "%s", f->under ? "; " : " Short: ");
        sw_words_unserved(f->missed_wh, s->units, out);
    }
    if (sw_words_poor_is_worse(r, d)) {
        sw_page_add(out, "%s", sw_words_falls_short(r, d) ? "; " : " Mind: ");
        sw_words_day_poor(r, d, s->units, out);
    }
    sw_page_add(out, ".");
}

static void say_list(const sw_sheet *s, const saving *best, int savings, page *out)
{
    char saved[48];
    for (int i = 0; i < savings; i++)
        sw_page_add(out, "%s%s (saves %s)", i == 0 ? "" : " and ",
                    s->rehearsal->plan->van->load[best[i].load].name,
                    sw_words_quantity(best[i].wh, SW_DIM_ENERGY, s->units, saved));
}

/* ", or drive or plug in" */
static void say_others(const sw_van *van, int can_charge, page *out)
{
    size_t before = out->length;
    sw_page_add(out, "; or ");
    if (sw_words_ways(van, NULL, can_charge, out) == 0 && out->text != NULL)
        out->text[out->length = before] = '\0';
}

/* "Do without laptop (saves 97 Wh) and kettle (saves 67 Wh); the day before save, drive or plug in.": what is
   asked for until the day's lowest charge; where nothing is, what was on the day before. */
static void say_savings(const sw_sheet *s, int d, page *out)
{
    const sw_rehearsal *r = s->rehearsal;
    const sw_account *day = &r->day[d];
    saving today[TO_SAVE], before[TO_SAVE];
    int now = find_savings(r, day->start_s, short_at_s(r, d), today),
        then = now == 0 && d > 0 ? find_savings(r, day[-1].start_s, day[-1].end_s, before) : 0;
    if (now > 0) {
        sw_page_add(out, " Do without ");
        say_list(s, today, now, out);
    }
    if (d > 0) {
        int can_charge = !sw_words_is_too_cold(r, d - 1, 1);
        sw_page_add(out, "%s", now > 0 ? "; the day before " : " The day before ");
        if (then > 0) {
            sw_page_add(out, "do without ");
            say_list(s, before, then, out);
            say_others(r->plan->van, can_charge, out);
        } else {
            (void)sw_words_ways(r->plan->van, "save", can_charge, out);
        }
    } else if (sw_words_percent(r->plan->trip->start_soc) < 100) {
        sw_page_add(out, "%s", now > 0 ? "; begin with more charge" : " Begin with more charge");
    } else if (now == 0) {
        return;
    }
    sw_page_add(out, ".");
}

/* Charge that cold keeps out. */
static void say_cold(const sw_sheet *s, int d, page *out)
{
    double blocked_wh = s->rehearsal->day[d].value[SW_LEDGER_COLD_BLOCKED];
    char blocked[48];
    if (!(blocked_wh > 1.0))
        return;
    if (sw_words_is_too_cold(s->rehearsal, d, 1))
        sw_page_add(out, " The battery is too cold to be charged: it has to be warmed first.");
    else
        sw_page_add(out, " Cold keeps %s of charge out of the battery: keep it warmer.",
                    sw_words_quantity(blocked_wh, SW_DIM_ENERGY, s->units, blocked));
}

/* What is missing only because it is too much at once no charge helps. */
static int needs_charge(const sw_rehearsal *r, int d)
{
    const sw_day_finding *f = &r->day_finding[d];
    return f->under || f->short_wh > MISSED_LEAST_WH || f->poor_lowest < r->plan->trip->reserve ||
           f->poor_short_wh > MISSED_LEAST_WH;
}

/* What to do about a day that falls short. */
static void say_advice(const sw_sheet *s, int d, page *out)
{
    const sw_leg *store = store_of(s->rehearsal, d);
    say_shortage(s, d, out);
    if (!needs_charge(s->rehearsal, d))
        sw_page_add(out, " It is more than the battery may give at once: run less at a time.");
    else if (store == NULL)
        say_savings(s, d, out);
    else if (!store->disconnected && !goes_on(s->rehearsal, d))
        sw_page_add(out, " Before it is laid up, switch off what need not run, or open the battery's main "
                         "switch.");
    say_cold(s, d, out);
}

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
    } else if (e->mark > s->rehearsal->plan->trip->reserve + NO_MARK)
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
        say_advice(s, d, &line);
    say_moments(s, d, &line);
    p->failed = sw_growing_take(&line, &text) != SW_OK || p->failed;
    sw_page_add(p, "<li%s><strong>%s</strong> ", is_minded(s, d) ? " class=\"mind\"" : "", name);
    sw_page_escaped(p, text != NULL ? text : "");
    sw_page_add(p, "</li>\n");
    free(text);
}

static void write_days(const sw_sheet *s, page *p)
{
    const sw_rehearsal *r = s->rehearsal;
    int told = 0, is_long = r->days > DAYS_TOLD;
    page rest = {0};
    sw_html_element(p, "h2", NULL, "Day by day");
    sw_page_add(p, "<ol class=\"days\">\n");
    for (int d = 0; d < r->days; d++) {
        int is_told = !is_long || (is_minded(s, d) && !goes_on(r, d) && told < MINDED_TOLD);
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

// ---- living with it ----

static void write_plugging_in(const sw_sheet *s, page *p)
{
    double greatest = 0.0;
    page line = {0};
    for (int i = 0; s->limits != NULL && i < s->limits->evenings; i++)
        greatest = fmax(greatest, s->limits->evening[i].mark);
    if (isinf(greatest))
        sw_page_add(&line, "Not every evening is a full battery enough for the day after: ");
    else if (greatest > s->rehearsal->plan->trip->reserve + NO_MARK)
        sw_page_add(&line, "Evening mark: with less than %d %% at sunset, ", sw_words_percent_up(greatest));
    else
        return;
    (void)sw_words_ways(s->rehearsal->plan->van, "save",
                        !sw_words_is_too_cold(s->rehearsal, 0, s->rehearsal->days), &line);
    sw_page_add(&line, ".");
    sw_html_take(p, "li", NULL, &line);
}

static void write_limits(const sw_sheet *s, page *p)
{
    const sw_limits *l = s->limits;
    page nights = {0};
    if (l == NULL)
        return;
    sw_words_nights(l, s->units, &nights);
    sw_html_take(p, "li", NULL, &nights);
    for (int k = 0; k < SW_REFILLS; k++) {
        page line = {0};
        if (isnan(l->refill_h[k]))
            continue;
        sw_words_refill_whole(l, (sw_refill)k, &line);
        sw_html_take(p, "li", NULL, &line);
    }
    sw_words_clashes(l, s->units, 1, sw_sheet_item, p);
}

/* A list without items would be no list (HTML), nor would its heading tell anything. */
static void write_living(const sw_sheet *s, page *p)
{
    const sw_rehearsal *r = s->rehearsal;
    int is_lived = r->trip.value[SW_LEDGER_STORED_H] * 3600.0 < (double)(r->trip.end_s - r->trip.start_s);
    page list = {0}, inverter = {0};
    char *items = NULL;
    write_plugging_in(s, &list);
    sw_words_inverter(r->plan->van, s->units, &inverter);
    sw_html_take(&list, "li", NULL, &inverter);
    write_limits(s, &list);
    p->failed = sw_growing_take(&list, &items) != SW_OK || p->failed;
    if (is_lived || (items != NULL && items[0] != '\0'))
        sw_html_element(p, "h2", NULL, "How to live with the system");
    if (items != NULL && items[0] != '\0')
        sw_page_add(p, "<ul class=\"pair\">\n%s</ul>\n", items);
    free(items);
    if (is_lived)
        sw_sheet_appliances(r, NULL, s->units, p);
}

// ---- what else hangs on it ----

static void write_medical(const sw_sheet *s, page *p)
{
    const sw_rehearsal *r = s->rehearsal;
    for (int i = 0; i < r->medicals; i++) {
        page title = {0};
        sw_words_medical(r, &r->medical[i], s->units, &title);
        sw_html_take(p, "h2", NULL, &title);
        sw_page_add(p, "<ul>\n");
        for (int n = 0; n < r->medical[i].nights; n++) {
            page night = {0};
            sw_words_night(&r->medical[i].night[n], s->units, &night);
            sw_html_take(p, "li", NULL, &night);
        }
        sw_page_add(p, "</ul>\n");
    }
}

static void write_beside(const sw_sheet *s, page *p)
{
    const sw_rehearsal *r = s->rehearsal;
    const sw_itinerary *it = r->course->itinerary;
    page end = {0}, cabin = {0}, starter = {0};
    sw_html_element(p, "h2", NULL, "At the end, and besides");
    sw_page_add(p, "<ul>\n");
    sw_words_end(r, s->units, &end);
    sw_html_take(p, "li", NULL, &end);
    for (int i = 0; i < it->spans; i++) {
        page store = {0};
        if (it->span[i].kind == SW_LEG_STORE)
            sw_words_store(r, &it->span[i], s->units, &store);
        sw_html_take(p, "li", NULL, &store);
    }
    if (r->starter.has) {
        sw_page_add(&starter, "Starter battery: ");
        sw_words_starter(r, s->units, &starter);
        sw_html_take(p, "li", NULL, &starter);
    }
    if (r->plan->van->cabin != NULL)
        sw_words_cabin(r, s->units, &cabin);
    sw_html_take(p, "li", NULL, &cabin);
    sw_page_add(p, "</ul>\n");
}

// ---- what ends it, what helps, what was assumed ----

static void write_stretch(const sw_sheet *s, page *p)
{
    page line = {0};
    if (s->stretch == NULL)
        return;
    sw_html_element(p, "h2", NULL, "What runs out first");
    sw_words_stretch(s->stretch, &line);
    sw_html_take(p, "p", NULL, &line);
}

/* Under one heading those that are enough, or those that are not; of the dearest so many are left out. */
static void write_group(const sw_sheet *s, int enough, const char *heading, page *p)
{
    const sw_remedies *of = s->remedies;
    int is_answered = of->count > 0 && sw_is_enough(&of->remedy[0].worst); // the best stands first
    int told = 0, most = !enough && is_answered ? 1 : REMEDIES_TOLD;
    for (int i = 0; i < of->count && told < most; i++) {
        page line = {0};
        if (sw_is_enough(&of->remedy[i].worst) != enough)
            continue;
        if (told++ == 0) {
            sw_html_element(p, "h3", NULL, heading);
            sw_page_add(p, "<ul>\n");
        }
        sw_words_remedy(of, &of->remedy[i], s->units, &line);
        sw_sheet_item(p, &line);
    }
    sw_page_add(p, "%s", told > 0 ? "</ul>\n" : "");
}

static void write_pair(const sw_sheet *s, page *p)
{
    page line = {0};
    if (!s->remedies->has_pair)
        return;
    sw_html_element(p, "h3", NULL, "Together enough, and the cheapest two");
    sw_page_add(p, "<ul>\n");
    sw_words_remedy(s->remedies, &s->remedies->pair, s->units, &line);
    sw_sheet_item(p, &line);
    sw_page_add(p, "</ul>\n");
}

/* Where all is well nobody is sold what they do not need. */
static void write_remedies(const sw_sheet *s, page *p)
{
    const sw_remedies *of = s->remedies;
    page answer = {0};
    if (of == NULL || of->count == 0 || of->worst.verdict == SW_HOLDS)
        return;
    sw_html_element(p, "h2", NULL, "What would help");
    sw_page_add(&answer, "%s%s", sw_words_remedies(of),
                of->base->has_poor ? " Each was rehearsed, and is judged by the poor week of place and month."
                                   : "");
    sw_html_take(p, "p", NULL, &answer);
    write_group(s, 1, sw_is_enough(&of->worst) ? "What would add margin" : "Enough by itself", p);
    write_pair(s, p);
    write_group(s, 0, "Helps, but is not enough", p);
}

/* What weighs most of what nobody has given. @return how many */
static int write_weights(const sw_sheet *s, page *p)
{
    const sw_rehearsal *r = s->rehearsal;
    int told = 0;
    for (int i = 0; i < r->weights && told < WEIGHTS_TOLD; i++) {
        page line = {0};
        if (!sw_words_is_heavy(&r->weight[i]))
            continue;
        sw_page_add(p, "%s", told++ == 0 ? "<ul class=\"small\">\n" : "");
        sw_words_weight(r, &r->weight[i], s->units, &line);
        sw_html_take(p, "li", NULL, &line);
    }
    sw_page_add(p, "%s", told > 0 ? "</ul>\n" : "");
    return told;
}

static void write_averages(const sw_sheet *s, page *p)
{
    const sw_itinerary *it = s->rehearsal->course->itinerary;
    for (int i = 0; i < it->stops; i++) {
        page line = {0};
        if (it->stop[i].climate_known)
            sw_words_averages(it, &it->stop[i], s->units, &line);
        sw_html_take(p, "p", "small", &line);
    }
}

static void write_assumed(const sw_sheet *s, page *p)
{
    page rest = {0};
    sw_html_element(p, "h2", NULL, "What was assumed");
    int told = write_weights(s, p);
    sw_page_add(&rest, "%d values were given by nobody; %s", s->rehearsal->plan->assumptions,
                told > 0 ? "these weigh most. Measure them." : "none of the van's weighs much here.");
    sw_html_take(p, "p", "small", &rest);
    write_averages(s, p);
}

sw_status sw_report_sheet(const sw_sheet *s, char **out)
{
    page p = {0};
    sw_html_open(&p, s->rehearsal->plan->trip->name);
    sw_page_add(&p, "<main>\n");
    write_top(s, &p);
    write_chart(s, &p);
    write_days(s, &p);
    write_medical(s, &p);
    write_living(s, &p);
    write_stretch(s, &p);
    write_beside(s, &p);
    write_remedies(s, &p);
    write_assumed(s, &p);
    sw_sheet_cautions(s->rehearsal, s->units, &p);
    sw_sheet_numbers(s, &p);
    sw_page_add(&p, "</main>\n");
    sw_sheet_foot(&s->imprint, &p);
    sw_html_close(&p);
    return sw_growing_take(&p, out);
}
