// What to do about a day that falls short: what may be done without, what the day before can bring.
#include "report/sheet_parts.h"
#include "report/words.h"

#include "stillwatt/portion.h"

#define TO_SAVE      2    // appliances that a day's advice names
#define WORTH_SAVING 0.05 // of a day's use
#define DAY_S        86400.0

// ---- savings ----

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

// ---- laid up ----

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
int sw_sheet_goes_on(const sw_rehearsal *r, int d)
{
    const sw_leg *store =
        d > 0 && sw_words_is_short(r, d) && sw_words_is_short(r, d - 1) ? store_of(r, d) : NULL;
    return store != NULL && store == store_of(r, d - 1);
}

// ---- advice ----

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
    return f->under || f->short_wh > MISSED_LEAST_WH || SW_IS_UNDER(f->poor_lowest, r->plan->trip->reserve) ||
           f->poor_short_wh > MISSED_LEAST_WH;
}

/* What to do about a day that falls short. */
void sw_sheet_advice(const sw_sheet *s, int d, page *out)
{
    const sw_leg *store = store_of(s->rehearsal, d);
    say_shortage(s, d, out);
    if (!needs_charge(s->rehearsal, d))
        sw_page_add(out, " It is more than the battery may give at once: run less at a time.");
    else if (store == NULL)
        say_savings(s, d, out);
    else if (!store->disconnected && !sw_sheet_goes_on(s->rehearsal, d))
        sw_page_add(out, " Before it is laid up, switch off what need not run, or open the battery's main "
                         "switch.");
    say_cold(s, d, out);
}
