// Sentences about days: which fall short, why, and what the poor week makes of them.
#include "report/words.h"

#include <math.h>

// ---- days ----

/* Of a NAN: it has no poor week. */
static int is_under(const sw_rehearsal *r, double lowest)
{
    return SW_IS_UNDER(lowest, r->plan->trip->reserve);
}

days_told sw_words_days_told(const sw_rehearsal *r, int first, int count)
{
    days_told t = {&r->day[first], &r->day[first + count - 1], 0, NAN, 0};
    for (int d = first; d < first + count; d++) {
        t.under = t.under || r->day_finding[d].under;
        t.poor_lowest = fmin(t.poor_lowest, r->day_finding[d].poor_lowest); // of a NAN the other one
        if (r->day[d].value[SW_LEDGER_LOWEST] < t.lowest->value[SW_LEDGER_LOWEST])
            t.lowest = &r->day[d];
    }
    t.poor_under = is_under(r, t.poor_lowest);
    return t;
}

// ---- causes ----

const char *sw_words_engine(const sw_rehearsal *r)
{
    return r->trip.value[SW_LEDGER_ENGINE_IDLE_H] > 0.0 ? "the engine" : "driving";
}

const char *sw_words_inlet(const sw_rehearsal *r)
{
    return r->trip.value[SW_LEDGER_GENERATOR_H] > 0.0 ? "the inlet" : "a hookup";
}

static void say_cause(const sw_rehearsal *r, const sw_cause *cause, sw_units units, page *out)
{
    char size[48];
    sw_words_quantity(cause->worse_wh, SW_DIM_ENERGY, units, size);
    if (cause->column < 0)
        sw_page_add(out, "%s more for %s", size, r->plan->van->load[cause->load].name);
    else if (cause->column == SW_LEDGER_SOLAR_USED)
        sw_page_add(out, "%s less sun taken in", size);
    else if (cause->column == SW_LEDGER_ALTERNATOR_USED)
        sw_page_add(out, "%s less from %s", size, sw_words_engine(r));
    else if (cause->column == SW_LEDGER_CHARGER_IN)
        sw_page_add(out, "%s less from %s", size, sw_words_inlet(r));
    else
        sw_page_add(out, "%s more lost in %s", size, sw_ledger_words((sw_ledger_column)cause->column));
}

#define ALIKE_WH 20.0 // a smaller balance is none

/* Within a tenth of each other: the days are alike. */
static int like_the_day_before(const sw_rehearsal *r, int day)
{
    if (day == 0 || r->day_finding[day].causes > 0)
        return 0;
    double now = r->day_finding[day].balance_wh, before = r->day_finding[day - 1].balance_wh;
    return fabs(now - before) < 0.1 * fabs(before);
}

static void say_balance(const sw_rehearsal *r, int day, sw_units units, page *out)
{
    const sw_day_finding *f = &r->day_finding[day];
    char size[48];
    sw_words_quantity(fabs(f->balance_wh), SW_DIM_ENERGY, units, size);
    if (f->balance_wh <= -ALIKE_WH)
        sw_page_add(out, "%s %s more than it brings",
                    like_the_day_before(r, day) ? "like the day before, it takes" : "the day takes", size);
    else if (f->balance_wh < ALIKE_WH)
        sw_page_add(out, "low from the days before; it takes about as much as it brings");
    else
        sw_page_add(out, "low from the days before; it brings %s more than it takes", size);
    for (int i = 0; i < f->causes; i++) {
        sw_page_add(out, i == 0 ? "; against the trip's mean day " : ", ");
        say_cause(r, &f->cause[i], units, out);
    }
}

int sw_words_falls_short(const sw_rehearsal *r, int day)
{
    return r->day_finding[day].under || r->day_finding[day].missed_wh > MISSED_LEAST_WH;
}

int sw_words_falls_short_poor(const sw_rehearsal *r, int day)
{
    const sw_day_finding *f = &r->day_finding[day];
    return is_under(r, f->poor_lowest) || f->poor_missed_wh > MISSED_LEAST_WH;
}

int sw_words_is_short(const sw_rehearsal *r, int day)
{
    return sw_words_falls_short(r, day) || sw_words_falls_short_poor(r, day);
}

static int is_lower_poor(const sw_rehearsal *r, int day)
{
    return sw_words_percent(r->day_finding[day].poor_lowest) <
           sw_words_percent(r->day[day].value[SW_LEDGER_LOWEST] / 100.0);
}

int sw_words_poor_is_worse(const sw_rehearsal *r, int day)
{
    const sw_day_finding *f = &r->day_finding[day];
    if (!sw_words_falls_short_poor(r, day) || !sw_words_falls_short(r, day))
        return sw_words_falls_short_poor(r, day);
    return is_lower_poor(r, day) || f->poor_missed_wh > f->missed_wh + MISSED_LEAST_WH;
}

void sw_words_unserved(double wh, sw_units units, page *out)
{
    char size[48];
    sw_page_add(out, "the battery leaves %s unserved", sw_words_quantity(wh, SW_DIM_ENERGY, units, size));
}

void sw_words_day_poor(const sw_rehearsal *r, int day, sw_units units, page *out)
{
    const sw_day_finding *f = &r->day_finding[day];
    char when[16];
    sw_words_end_clock(r->course->itinerary, f->poor_lowest_at_s, when, sizeof when);
    int is_lower = is_lower_poor(r, day) || !(f->poor_missed_wh > MISSED_LEAST_WH);
    if (is_lower)
        sw_page_add(out, "in a poor week it falls to %d %% (%s)", sw_words_percent(f->poor_lowest), when);
    if (f->poor_missed_wh > MISSED_LEAST_WH) {
        sw_page_add(out, "%s", is_lower ? ", and " : "in a poor week ");
        sw_words_unserved(f->poor_missed_wh, units, out);
    }
}

void sw_words_day_cause(const sw_rehearsal *r, int day, sw_units units, page *out)
{
    const sw_day_finding *f = &r->day_finding[day];
    char date[24];
    sw_words_date(r->course->itinerary->day[r->day[day].day].date, date, sizeof date);
    sw_page_add(out, "%s: ", date);
    if (f->under)
        say_balance(r, day, units, out);
    if (f->missed_wh > MISSED_LEAST_WH) {
        sw_page_add(out, "%s", f->under ? "; " : "");
        sw_words_unserved(f->missed_wh, units, out);
    }
    if (sw_words_poor_is_worse(r, day)) {
        sw_page_add(out, "%s", sw_words_falls_short(r, day) ? "; " : "");
        sw_words_day_poor(r, day, units, out);
    }
    sw_page_add(out, ".");
}
