// All sentences for people, in one place.
#include "report/words.h"

#include "stillwatt/battery.h"
#include "stillwatt/civil.h"

#include <math.h>
#include <stdio.h>

#define EMPTY_LONG_H 48.0 // from which a cut-off battery is cautioned about: common practice, no source

static const char *const weekdays[] = {"Sun", "Mon", "Tue", "Wed", "Thu", "Fri", "Sat"};
static const char *const months[] = {"Jan", "Feb", "Mar", "Apr", "May", "Jun",
                                     "Jul", "Aug", "Sep", "Oct", "Nov", "Dec"};

void sw_words_date(int64_t date, char *buffer, size_t size)
{
    int year, month, day;
    sw_civil_from_days(date, &year, &month, &day);
    snprintf(buffer, size, "%s %d %s", weekdays[sw_weekday(date)], day, months[month - 1]);
}

static int64_t local_of(const sw_itinerary *it, int64_t utc_s, int64_t *date)
{
    int64_t local = sw_itinerary_local_s(it, utc_s);
    *date = sw_floor_div(local, 86400);
    return local - *date * 86400;
}

void sw_words_clock(const sw_itinerary *it, int64_t utc_s, char *buffer, size_t size)
{
    int64_t date;
    int seconds = (int)local_of(it, utc_s, &date);
    snprintf(buffer, size, "%02d:%02d", seconds / 3600, seconds / 60 % 60);
}

void sw_words_end_clock(const sw_itinerary *it, int64_t utc_s, char *buffer, size_t size)
{
    int64_t date;
    if (local_of(it, utc_s, &date) == 0 && utc_s > it->start_s)
        snprintf(buffer, size, "24:00");
    else
        sw_words_clock(it, utc_s, buffer, size);
}

void sw_words_moment(const sw_itinerary *it, int64_t utc_s, char *buffer, size_t size)
{
    int64_t date;
    char day[24], clock[24];
    local_of(it, utc_s, &date);
    sw_words_date(date, day, sizeof day);
    sw_words_clock(it, utc_s, clock, sizeof clock);
    snprintf(buffer, size, "%s %s", day, clock);
}

void sw_words_end_moment(const sw_itinerary *it, int64_t utc_s, char *buffer, size_t size)
{
    int64_t date;
    char day[24];
    if (local_of(it, utc_s, &date) != 0 || utc_s <= it->start_s) {
        sw_words_moment(it, utc_s, buffer, size);
        return;
    }
    sw_words_date(date - 1, day, sizeof day);
    snprintf(buffer, size, "%s 24:00", day);
}

int sw_words_share(double share)
{
    return (int)floor(100.0 * share + 0.5);
}

int sw_words_percent(double soc)
{
    return (int)floor(soc * 100.0 + 1e-9);
}

const char *sw_words_quantity(double value, sw_dimension dimension, sw_units units, char buffer[48])
{
    sw_quantity_write(value, dimension, units, buffer, 48);
    return buffer;
}

// ---- the verdict ----

/* A share in whole percent, with a decimal where it is not whole: what people set, such as the reserve line.
 */
const char *sw_words_exact(double share, char buffer[16])
{
    double percent = 100.0 * share;
    snprintf(buffer, 16, fabs(percent - floor(percent + 0.5)) < 1e-6 ? "%.0f" : "%.1f", percent);
    return buffer;
}

/* The lowest charge cut down to whole percent, or to tenths where whole ones would hide on which side of the
 * line it is. */
static const char *lowest_percent(double soc, double reserve, char buffer[16])
{
    if (fabs(soc - reserve) < 0.01)
        snprintf(buffer, 16, "%.1f", floor(soc * 1000.0 + 1e-9) / 10.0);
    else
        snprintf(buffer, 16, "%d", sw_words_percent(soc));
    return buffer;
}

/* The first moment that the battery did not carry, and why. */
static void say_out(const sw_rehearsal *r, const sw_outcome *o, page *out)
{
    char when[32];
    int left = sw_words_percent(o->out_soc);
    if (o->medical >= 0) { // whatever else went wrong before
        sw_words_moment(r->course->itinerary, o->medical_at_s, when, sizeof when);
        sw_page_add(out, "the medical device \"%s\" goes without power, first at %s",
                    r->plan->van->load[o->medical].name, when);
        return;
    }
    sw_words_moment(r->course->itinerary, o->out_at_s, when, sizeof when);
    if (o->out_why == SW_MISSED_COLD)
        sw_page_add(out, "the battery is too cold to give anything, first at %s with %d %% in it", when,
                    left);
    else if (o->out_why == SW_MISSED_RATE)
        sw_page_add(out, "the loads ask more than the battery may give at once, first at %s with %d %% in it",
                    when, left);
    else if (o->out_why == SW_MISSED_SAG)
        sw_page_add(
            out,
            "the loads pull the voltage down to the inverter's cut-out, first at %s with %d %% in the "
            "battery",
            when, left);
    else if (o->out_reachable >= 0.01)
        sw_page_add(out, "what is left does not last for all that is asked, first at %s with %d %% in it",
                    when, left);
    else if (o->out_soc > 0.10)
        sw_page_add(out, "the last %d %% cannot be drawn, for cold or too much at once, first at %s", left,
                    when);
    else
        sw_page_add(out, "the battery runs empty, first at %s", when);
}

/* "the charge stays above 34 % (Thu 12 Nov 06:50)" and so on; a charge that only rises was lowest at the
 * start. */
static void say_lowest(const sw_rehearsal *r, const sw_outcome *o, const char *it_or_charge, page *out)
{
    char when[32], lowest[16];
    lowest_percent(o->lowest_soc, r->plan->trip->reserve, lowest);
    sw_words_end_moment(r->course->itinerary, o->lowest_at_s, when, sizeof when);
    if (sw_words_percent(o->lowest_soc) == 100)
        sw_page_add(out, "%s stays at 100 %%", it_or_charge);
    else if (o->lowest_at_s == r->trip.start_s)
        sw_page_add(out, "%s begins at %s %% and is never lower", it_or_charge, lowest);
    else if (o->verdict == SW_HOLDS || o->verdict == SW_TIGHT)
        sw_page_add(out, "%s stays above %s %% (%s)", it_or_charge, lowest, when);
    else
        sw_page_add(out, "%s falls to %s %% (%s)", it_or_charge, lowest, when);
}

static void say_outcome(const sw_rehearsal *r, const sw_outcome *o, const char *it_or_charge, page *out)
{
    char line[16], length[48];
    double reserve = r->plan->trip->reserve;
    int over = sw_words_percent(o->lowest_soc - reserve);
    sw_words_exact(reserve, line);
    say_lowest(r, o, it_or_charge, out);
    switch (o->verdict) {
    case SW_HOLDS:
        sw_page_add(out, ", clear of the reserve line of %s %%", line);
        break;
    case SW_TIGHT:
        if (over == 0)
            sw_page_add(out, ", less than a point over the reserve line of %s %%", line);
        else
            sw_page_add(out, ", only %d point%s over the reserve line of %s %%", over, over == 1 ? "" : "s",
                        line);
        break;
    case SW_UNDER:
        sw_page_add(out, ", under the reserve line of %s %%", line);
        if (o->under_h > 0.0)
            sw_page_add(out, " for %s",
                        sw_words_quantity(o->under_h * 3600.0, SW_DIM_TIME, SW_UNITS_SI, length));
        break;
    default:
        sw_page_add(out, "; ");
        say_out(r, o, out);
        break;
    }
}

/* The poor week is what one week in ten falls short of; a longer trip would have several such weeks on end.
 */
static const char *poor_says(const sw_rehearsal *r)
{
    return r->trip.end_s - r->trip.start_s <= 8 * 86400 ? "in the poor week of place and month (1 in 10)"
                                                        : "were all of it as poor as one week in ten,";
}

void sw_words_verdict(const sw_rehearsal *r, page *out)
{
    sw_page_add(out, "Under %s ", r->course->sky_says);
    say_outcome(r, &r->outcome, "the charge", out);
    if (r->has_poor) {
        sw_page_add(out, "; %s ", poor_says(r));
        say_outcome(r, &r->poor, "it", out);
    }
    sw_page_add(out, ".");
}

/* Under an average sky never a bare verdict: the poor week stands beside it. */
void sw_words_headline(const sw_rehearsal *r, page *out)
{
    static const char *const says[] = {"HOLDS", "TIGHT", "UNDER THE RESERVE", "OUT"};
    sw_verdict mean = r->outcome.verdict, poor = r->poor.verdict;
    if (!r->has_poor)
        sw_page_add(out, "%s", says[mean]);
    else if (r->medicals > 0 && poor > mean)
        sw_page_add(out, "%s in a poor week, by which a medical device is judged; %s on average", says[poor],
                    says[mean]);
    else if (mean == poor)
        sw_page_add(out, "%s, on average and in a poor week", says[mean]);
    else
        sw_page_add(out, "%s on average, %s in a poor week", says[mean], says[poor]);
}

static void say_overload(const sw_rehearsal *r, double beyond, sw_dimension dimension, int64_t at_s,
                         const char *what, page *out)
{
    char when[32], size[48];
    if (!(beyond > 0.0))
        return;
    sw_words_moment(r->course->itinerary, at_s, when, sizeof when);
    sw_page_add(out, "%sThe AC loads ask up to %s more than the %s gives (%s).", out->length > 0 ? " " : "",
                sw_words_quantity(beyond, dimension, SW_UNITS_SI, size), what, when);
}

static const char *const missed_says[SW_MISSED_REASONS] = {
    "With neither inverter nor hookup there is no AC for ",
    "The inverter is switched off when these are asked for: ",
    "Too much at once, so not served: ",
    "Held back to save charge: ",
    "Not served because the battery is empty or cut off: ",
    "Not served because the battery is too cold to give anything: ",
    "Not served because the battery may not give so much at once: ",
    "Not served because the voltage sinks to the inverter's cut-out: "};

static void say_missed(const sw_rehearsal *r, int reason, page *out)
{
    char size[48];
    int named = 0;
    for (int k = 0; k < r->course->loads; k++) {
        double wh = r->missed_wh[k][reason];
        const sw_load_spec *load = &r->plan->van->load[k];
        if (wh <= 0.5)
            continue;
        if (named++ == 0)
            sw_page_add(out, "%s%s", out->length > 0 ? " " : "", missed_says[reason]);
        else
            sw_page_add(out, ", ");
        sw_page_add(out, "%s%s %s", load->name, load->held == SW_MUST ? " (must)" : "",
                    sw_words_quantity(wh, SW_DIM_ENERGY, SW_UNITS_SI, size));
    }
    if (named)
        sw_page_add(out, ".");
}

/* Of a tank, what happens to it first of all that matters to a stay. */
static const char *const tank_ends[SW_TANKS] = {"the fresh water runs out", "the grey tank is full",
                                                "the toilet is full", "the fuel runs out",
                                                "the generator's can is empty"};

const char *sw_words_tank(int tank)
{
    static const char *const names[SW_TANKS] = {"fresh water", "grey water", "toilet", "fuel, parked",
                                                "generator's can"};
    return names[tank];
}

const char *sw_words_tank_ends(int tank)
{
    return tank_ends[tank];
}

int sw_words_next_tank(const sw_rehearsal *r, int64_t after_s, int after_tank)
{
    int next = -1;
    for (int k = 0; k < SW_TANKS; k++) {
        int64_t at = r->tanks.tank[k].ends_at_s;
        int is_later = at > after_s || (at == after_s && k > after_tank);
        if (at != INT64_MIN && is_later && (next < 0 || at < r->tanks.tank[next].ends_at_s))
            next = k;
    }
    return next;
}

/* What hangs on a tank is reckoned on when the tank has ended, and says so. */
static void say_what_goes_on(const sw_rehearsal *r, page *out)
{
    const struct {
        int tank;
        sw_ledger_column user;
        const char *says;
    } users[] = {
        {SW_TANK_FRESH, SW_LEDGER_EVAPORATED,
         "the cooler is reckoned on as if it had water: the cabin will be hotter than told"},
        {SW_TANK_FUEL, SW_LEDGER_HEATER_FUEL,
         "the heater is reckoned on as if it had fuel: the cabin will be colder than told"},
        {SW_TANK_FUEL, SW_LEDGER_ENGINE_IDLE_H, "the engine is reckoned on as if it had fuel"},
        {SW_TANK_CAN, SW_LEDGER_GENERATOR_H,
         "the generator is reckoned on as if it had fuel: without it the charge will be lower than told"}};
    for (size_t i = 0; i < sizeof users / sizeof users[0]; i++)
        if (r->tanks.tank[users[i].tank].ends_at_s != INT64_MIN && r->trip.value[users[i].user] > 0.0)
            sw_page_add(out, " From then on %s.", users[i].says);
}

/* In the order of time: the stay ends its comfort with the first. */
static void say_tanks(const sw_rehearsal *r, page *out)
{
    char when[32];
    int first = sw_words_next_tank(r, INT64_MIN, -1);
    for (int k = first; k >= 0; k = sw_words_next_tank(r, r->tanks.tank[k].ends_at_s, k)) {
        sw_words_end_moment(r->course->itinerary, r->tanks.tank[k].ends_at_s, when, sizeof when);
        if (k == first)
            sw_page_add(out, "%sFirst %s (%s)", out->length > 0 ? " " : "", tank_ends[k], when);
        else
            sw_page_add(out, ", then %s (%s)", tank_ends[k], when);
    }
    if (first >= 0)
        sw_page_add(out, ".");
    say_what_goes_on(r, out);
}

/* A sentence more, behind a blank if one went before. */
static void next(page *out)
{
    sw_page_add(out, "%s", out->length > 0 ? " " : "");
}

/* Charge that cold or heat kept out, and cold in which the battery may burst. */
static void say_temperature(const sw_rehearsal *r, page *out)
{
    const double *v = r->trip.value;
    char size[48];
    if (v[SW_LEDGER_COLD_BLOCKED] > 1.0) {
        next(out);
        sw_page_add(out, "The battery is too cold to take %s of charge.",
                    sw_words_quantity(v[SW_LEDGER_COLD_BLOCKED], SW_DIM_ENERGY, SW_UNITS_SI, size));
    }
    if (v[SW_LEDGER_FROZEN_H] > 0.0) {
        next(out);
        sw_page_add(out, "With the charge it has, the battery may freeze: for %s it is colder than it bears.",
                    sw_words_quantity(v[SW_LEDGER_FROZEN_H] * 3600.0, SW_DIM_TIME, SW_UNITS_SI, size));
    }
    if (v[SW_LEDGER_HOT_BLOCKED] > 1.0) {
        next(out);
        sw_page_add(out, "The battery is too hot to take %s of charge.",
                    sw_words_quantity(v[SW_LEDGER_HOT_BLOCKED], SW_DIM_ENERGY, SW_UNITS_SI, size));
    }
}

static void say_starter(const sw_rehearsal *r, page *out)
{
    char when[32];
    if (r->starter.has && r->starter.fails_at_s != INT64_MIN) {
        sw_words_moment(r->course->itinerary, r->starter.fails_at_s, when, sizeof when);
        next(out);
        sw_page_add(out, "The starter battery does not start the engine (%s).", when);
    } else if (r->starter.has && !r->starter.starts_at_end) {
        next(out);
        sw_page_add(out, "After the trip the starter battery would not start the engine.");
    }
}

static int any_drive(const sw_rehearsal *r)
{
    const sw_itinerary *it = r->course->itinerary;
    for (int i = 0; i < it->spans; i++)
        if (it->span[i].kind == SW_LEG_DRIVE)
            return 1;
    return 0;
}

/* A relay that overloads the alternator, and one that brings nothing. */
static void say_relay(const sw_rehearsal *r, page *out)
{
    const sw_alternator_spec *a = r->plan->van->alternator;
    char when[32], size[48];
    if (r->greatest_alternator_overload_a > 0.0) {
        sw_words_moment(r->course->itinerary, r->alternator_overload_at_s, when, sizeof when);
        next(out);
        sw_page_add(
            out, "Through the relay the battery pulls up to %s more than the alternator has to spare (%s).",
            sw_words_quantity(r->greatest_alternator_overload_a, SW_DIM_CURRENT, SW_UNITS_SI, size), when);
    } else if (a != NULL && a->path == 1 && any_drive(r) &&
               !(r->trip.value[SW_LEDGER_ALTERNATOR_OFFERED] > 0.0)) {
        next(out);
        sw_page_add(
            out,
            "Driving charges nothing: the alternator's %s are no more than the battery's own voltage, and a "
            "relay lets nothing through; a converter would.",
            sw_words_quantity(a->alternator_v, SW_DIM_VOLTAGE, SW_UNITS_SI, size));
    }
}

#define CLIPPED_TOLD 0.05 // of what the panels offer

static void say_clipped(const sw_rehearsal *r, page *out)
{
    const double *v = r->trip.value;
    char size[48], limit[48];
    if (r->plan->van->controller == NULL ||
        !(v[SW_LEDGER_SOLAR_CLIPPED] >
          CLIPPED_TOLD * (v[SW_LEDGER_SOLAR_OFFERED] + v[SW_LEDGER_SOLAR_CLIPPED])))
        return;
    next(out);
    sw_page_add(out, "The solar controller (%s) holds back %s of the panels' sun.",
                sw_words_quantity(r->plan->van->controller->limit_a, SW_DIM_CURRENT, SW_UNITS_SI, limit),
                sw_words_quantity(v[SW_LEDGER_SOLAR_CLIPPED], SW_DIM_ENERGY, SW_UNITS_SI, size));
}

/* What cold locks comes back with warmth; only a battery that is low waits for its voltage. */
static int waits_for_volts(const sw_rehearsal *r)
{
    const sw_battery_spec *b = &r->plan->van->battery;
    const sw_chemistry_data *data = sw_chemistry_of((sw_chemistry)b->chemistry);
    return sw_curve_at(&data->open_circuit_v, r->outcome.out_soc) * b->unit_v / 12.0 < b->restart_v;
}

static void say_cut_off(const sw_rehearsal *r, page *out)
{
    static const char *const comes_back[] = {[SW_BACK_BY_ITSELF] = "comes back by itself",
                                             [SW_BACK_BY_CHARGER] = "comes back when a charger has it",
                                             [SW_BACK_BY_HAND] = "has to be switched on by hand when it has"};
    const sw_battery_spec *b = &r->plan->van->battery;
    char time[48], volts[48];
    if (!(r->trip.value[SW_LEDGER_CUT_OFF] > 0.0))
        return;
    next(out);
    sw_page_add(out, "Once empty it is cut off, for %s in all",
                sw_words_quantity(r->trip.value[SW_LEDGER_CUT_OFF] * 3600.0, SW_DIM_TIME, SW_UNITS_SI, time));
    if (waits_for_volts(r))
        sw_page_add(out, "; it %s at %s", comes_back[b->comes_back],
                    sw_words_quantity(b->restart_v * b->series, SW_DIM_VOLTAGE, SW_UNITS_SI, volts));
    sw_page_add(out, ".");
}

/* What the charge does not show. */
void sw_words_beside(const sw_rehearsal *r, page *out)
{
    say_overload(r, r->greatest_inverter_overload_w, SW_DIM_POWER, r->inverter_overload_at_s, "inverter",
                 out);
    say_overload(r, r->greatest_shore_overload_w, SW_DIM_APPARENT_POWER, r->shore_overload_at_s, "hookup",
                 out);
    say_tanks(r, out);
    for (int reason = 0; reason < SW_MISSED_REASONS; reason++)
        say_missed(r, reason, out);
    say_cut_off(r, out);
    if (r->trip.value[SW_LEDGER_FOOD_WARMING] > 1.0) {
        next(out);
        sw_page_add(out, "The fridge's compressor cannot keep up: the food warms.");
    }
    say_temperature(r, out);
    say_starter(r, out);
    say_clipped(r, out);
    say_relay(r, out);
}

void sw_words_wrap_verdict(const sw_rehearsal *r, int width, page *out)
{
    page verdict = {0}, beside = {0};
    sw_words_verdict(r, &verdict);
    sw_page_wrap_page(out, width, "", "", &verdict);
    sw_words_beside(r, &beside);
    if (beside.length > 0 || beside.failed)
        sw_page_wrap_page(out, width, "", "", &beside);
}

// ---- assumptions ----

#define WEIGHT_POINTS 0.005 // half a point
#define WEIGHT_WH     10.0
#define WEIGHT_SHARE  0.01

/* What goes unserved counts where its change shows beside all of it. */
static int moves_unserved(const sw_weight *w)
{
    return w->unserved_wh >= fmax(WEIGHT_WH, WEIGHT_SHARE * fmax(w->unserved_at_low, w->unserved_at_high));
}

int sw_words_is_heavy(const sw_weight *w)
{
    return w->points >= WEIGHT_POINTS || moves_unserved(w);
}

/* With a decimal where whole percent would hide the change. */
static void say_lowest_change(const sw_weight *w, page *out)
{
    int low = sw_words_percent(w->lowest_at_low), high = sw_words_percent(w->lowest_at_high);
    if (low != high)
        sw_page_add(out, "the lowest charge goes from %d %% to %d %%", low, high);
    else
        sw_page_add(out, "the lowest charge goes from %.1f %% to %.1f %%", 100.0 * w->lowest_at_low,
                    100.0 * w->lowest_at_high);
}

static void say_weight(const sw_weight *w, sw_units units, page *out)
{
    char a[48], b[48];
    if (moves_unserved(w))
        sw_page_add(out, "what is not served goes from %s to %s",
                    sw_words_quantity(w->unserved_at_low, SW_DIM_ENERGY, units, a),
                    sw_words_quantity(w->unserved_at_high, SW_DIM_ENERGY, units, b));
    else
        say_lowest_change(w, out);
}

void sw_words_weight(const sw_rehearsal *r, const sw_weight *w, sw_units units, page *out)
{
    const sw_assumption *a = &r->plan->assumption[w->assumption];
    char low[48], high[48], value[48];
    sw_page_add(out, "%s: %s (%s; %s). From %s to %s ", a->says,
                sw_words_quantity(*a->at, a->dimension, units, value), a->mark, a->path,
                sw_words_quantity(w->low, a->dimension, units, low),
                sw_words_quantity(w->high, a->dimension, units, high));
    say_weight(w, units, out);
    sw_page_add(out, ".");
}

// ---- days ----

/* Of a NAN: it has no poor week. */
static int is_under(const sw_rehearsal *r, double lowest)
{
    return lowest < r->plan->trip->reserve - 1e-9;
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

// ---- cautions ----

void sw_words_cautions(const sw_rehearsal *r, sw_units units, page *out)
{
    char cold[48];
    if (r->plan->van->battery.chemistry == SW_LIFEPO4 && r->trip.value[SW_LEDGER_COLD_BLOCKED] > 0.0) {
        sw_words_quantity(r->plan->van->battery.cold_stop_c, SW_DIM_TEMPERATURE, units, cold);
        sw_page_add(out,
                    "Charging lithium cells at or below %s harms them for good: see that the battery's "
                    "protection forbids it.\n",
                    cold);
    }
    if (r->trip.value[SW_LEDGER_FROZEN_H] > 0.0)
        sw_page_add(
            out,
            "A frozen battery may burst, and must not be charged before it has thawed: keep lead batteries "
            "full in the cold.\n");
    if (r->plan->van->battery.chemistry != SW_LIFEPO4)
        sw_page_add(
            out,
            "Lead batteries give off explosive gas when they are charged: let air in, no sparks, nothing "
            "of metal across the poles. Charge them full every few days: left half empty they lose "
            "capacity for good (common practice, no source).\n");
    if (r->trip.value[SW_LEDGER_HOT_BLOCKED] > 0.0)
        sw_page_add(out, "Charging a hot battery ages it fast and may damage it: give it shade and air.\n");
    if (r->greatest_alternator_overload_a > 0.0)
        sw_page_add(out, "An overloaded alternator burns out or sets fire to its cable: charge through a "
                         "converter.\n");
    if (r->greatest_inverter_overload_w > 0.0)
        sw_page_add(out, "An overloaded inverter shuts down or overheats: run fewer AC loads at once.\n");
    if (r->greatest_shore_overload_w > 0.0)
        sw_page_add(out, "An overloaded hookup trips its breaker and heats plug and cable: turn loads down "
                         "before plugging in.\n");
    if (r->trip.value[SW_LEDGER_CUT_OFF] > EMPTY_LONG_H)
        sw_page_add(
            out, "A battery that stands empty for days is damaged for good, lithium and lead alike, and its "
                 "management system may have to be woken: switch off or disconnect before.\n");
    if (r->medicals > 0)
        sw_page_add(
            out, "Health depends on a medical device: keep an independent backup that does not hang on the "
                 "van's battery, and ask clinician and supplier what it takes and what to do when power "
                 "fails.\n");
    for (int k = 0; k < r->plan->van->loads; k++)
        if (r->plan->van->load[k].kind == SW_LOAD_HEATER) {
            sw_page_add(
                out,
                "A fuel heater takes in air and lets out its exhaust outside: keep both ends open and away "
                "from the door, and have a carbon monoxide alarm in the van.\n");
            break;
        }
    if (r->trip.value[SW_LEDGER_ENGINE_IDLE_H] > 0.0 || r->plan->van->generator != NULL)
        sw_page_add(out,
                    "Exhaust kills, also from outside: run engine and generator away from doors, windows and "
                    "neighbours, never while anyone sleeps, and have a carbon monoxide alarm in the van.\n");
    else if (any_drive(r))
        sw_page_add(out,
                    "Engine exhaust kills: never idle the engine to charge where people sleep or exhaust "
                    "can gather.\n");
    if (r->plan->van->inverter != NULL || r->plan->van->shore != NULL)
        sw_page_add(
            out, "Mains voltage kills: for all AC wiring follow local codes and a licensed practitioner.\n");
    sw_page_add(out, "This plans energy; it designs no wiring and certifies nothing.\n");
}
