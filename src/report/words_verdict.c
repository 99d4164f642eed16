// Sentences of the verdict, and of what stands beside the charge.
#include "report/words.h"

#include "stillwatt/battery.h"

#include <math.h>
#include <stdio.h>

// ---- the charge ----

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

// ---- what the charge does not show ----

/* A sentence more, behind a blank if one went before. */
static void next(page *out)
{
    sw_page_add(out, "%s", out->length > 0 ? " " : "");
}

static void say_overload(const sw_rehearsal *r, double beyond, sw_dimension dimension, int64_t at_s,
                         const char *what, page *out)
{
    char when[32], size[48];
    if (!(beyond > 0.0))
        return;
    sw_words_moment(r->course->itinerary, at_s, when, sizeof when);
    next(out);
    sw_page_add(out, "The AC loads ask up to %s more than the %s gives (%s).",
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
        if (named == 0)
            next(out);
        sw_page_add(out, "%s", named++ == 0 ? missed_says[reason] : ", ");
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
            next(out);
        sw_page_add(out, "%s %s (%s)", k == first ? "First" : ", then", tank_ends[k], when);
    }
    if (first >= 0)
        sw_page_add(out, ".");
    say_what_goes_on(r, out);
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

/* What cold locks is over its restart voltage all the time; only a battery that is low waits for it. */
static int waits_for_volts(const sw_rehearsal *r)
{
    const sw_battery_spec *b = &r->plan->van->battery;
    const sw_chemistry_data *data = sw_chemistry_of((sw_chemistry)b->chemistry);
    return sw_curve_at(&data->open_circuit_v, r->outcome.lowest_soc) * b->unit_v / 12.0 < b->restart_v;
}

static void say_cut_off(const sw_rehearsal *r, page *out)
{
    static const char *const comes_back[] = {[SW_BACK_BY_ITSELF] = "it comes back by itself",
                                             [SW_BACK_BY_CHARGER] = "it comes back when a charger has it",
                                             [SW_BACK_BY_HAND] =
                                                 "it has to be switched on by hand when it is"};
    const sw_battery_spec *b = &r->plan->van->battery;
    char time[48], volts[48];
    if (!(r->trip.value[SW_LEDGER_CUT_OFF] > 0.0))
        return;
    next(out);
    sw_page_add(out, "The battery is cut off for %s in all",
                sw_words_quantity(r->trip.value[SW_LEDGER_CUT_OFF] * 3600.0, SW_DIM_TIME, SW_UNITS_SI, time));
    if (waits_for_volts(r) || b->comes_back != SW_BACK_BY_ITSELF)
        sw_page_add(out, "; %s over %s", comes_back[b->comes_back],
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
