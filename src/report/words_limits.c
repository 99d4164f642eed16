// Sentences about what a van's system can do.
#include "report/words.h"

#include <math.h>

#define NIGHT_H 12.0

static double tenths_down(double x)
{
    return floor(x * 10.0 + 1e-9) / 10.0;
}

int sw_words_percent_up(double share)
{
    return (int)ceil(100.0 * share - 1e-9);
}

void sw_words_nights(const sw_limits *l, sw_units units, page *out)
{
    char date[24], use[48], line[16];
    sw_words_date(l->of->course->itinerary->day[l->of->day[l->ordinary_day].day].date, date, sizeof date);
    sw_words_quantity(l->use_wh, SW_DIM_ENERGY, units, use);
    if (isinf(l->nights))
        sw_page_add(out, "Without any source a full battery lasts longer than 60 days");
    else
        sw_page_add(out, "Without any source a full battery lasts %.1f days%s%s%s", tenths_down(l->nights),
                    l->nights_cold ? "" : " to the reserve line of ",
                    l->nights_cold ? "" : sw_words_exact(l->from, line), l->nights_cold ? "" : " %");
    sw_page_add(out, ", with what an ordinary day takes out of it (%s: %s)%s.", date, use,
                l->nights_cold ? "; then it is too cold to give anything" : "");
}

int sw_words_is_too_cold(const sw_rehearsal *r, int first_day, int days)
{
    const sw_battery_spec *b = &r->plan->van->battery;
    int64_t from_s = r->day[first_day].start_s, to_s = r->day[first_day + days - 1].end_s;
    if (b->heater_w > 0.0)
        return 0;
    for (int h = 0; h < r->hours; h++)
        if (r->hour[h].start_s >= from_s && r->hour[h].end_s <= to_s &&
            r->hour[h].value[SW_LEDGER_BATTERY_C] > b->cold_stop_c)
            return 0;
    return 1;
}

int sw_words_ways(const sw_van *van, const char *first, int can_charge, page *out)
{
    const char *way[4] = {first};
    int ways = first != NULL;
    if (can_charge) {
        if (van->alternator != NULL)
            way[ways++] = "drive";
        if (van->shore != NULL)
            way[ways++] = "plug in";
        if (van->generator != NULL)
            way[ways++] = "run the generator";
    }
    for (int i = 0; i < ways; i++)
        sw_page_add(out, "%s%s", i == 0 ? "" : i + 1 == ways ? " or " : ", ", way[i]);
    return ways;
}

/* What may switch itself on at any time of its hours: nobody can switch the inverter off behind it. */
static int needs_inverter(const sw_load_spec *load)
{
    int is_asked_for = load->kind == SW_LOAD_USE || load->kind == SW_LOAD_MEASURED;
    return load->bus == SW_BUS_AC && load->count > 0 && !SW_LOAD_OF_HOOKUP(load) &&
           (load->medical || !is_asked_for);
}

/* Midnight at its end is 24:00. */
static int end_hour(int to_min)
{
    return to_min == 24 * 60 ? 24 : to_min / 60 % 24;
}

/* "06:30 to 09:00 and 17:00 to 22:00" */
static void say_windows(const sw_windows *hours, page *out)
{
    for (int i = 0; i < hours->count; i++)
        sw_page_add(out, "%s%02d:%02d to %02d:%02d",
                    i == 0                  ? ""
                    : i + 1 == hours->count ? " and "
                                            : ", ",
                    hours->from_min[i] / 60, hours->from_min[i] % 60, end_hour(hours->to_min[i]),
                    hours->to_min[i] % 60);
}

/* All day round is the same as no hours at all. */
static int is_always(const sw_windows *hours)
{
    return hours == NULL || (hours->count == 1 && hours->to_min[0] - hours->from_min[0] >= 24 * 60);
}

/* @return how many loads it has to be on for; `always` is set if one of them has no hours of its own */
static int say_needing(const sw_van *van, int *always, page *out)
{
    int named = 0;
    for (int k = 0; k < van->loads; k++) {
        const sw_load_spec *load = &van->load[k];
        if (!needs_inverter(load))
            continue;
        sw_page_add(out, "%s%s", named++ == 0 ? "Leave the inverter on for " : ", ", load->name);
        if (!is_always(load->hours)) {
            sw_page_add(out, " (");
            say_windows(load->hours, out);
            sw_page_add(out, ")");
        }
        *always = *always || is_always(load->hours);
    }
    return named;
}

void sw_words_inverter(const sw_van *van, sw_units units, page *out)
{
    char idle[48], night[48];
    int always = 0;
    if (van->inverter == NULL)
        return;
    sw_words_quantity(van->inverter->idle_w, SW_DIM_POWER, units, idle);
    if (!is_always(van->inverter->hours)) {
        sw_page_add(out, "The inverter is on from ");
        say_windows(van->inverter->hours, out);
        sw_page_add(out, ", and AC runs only then; idle it takes %s.", idle);
    } else if (say_needing(van, &always, out) > 0) {
        sw_page_add(out, "; idle it takes %s%s.", idle,
                    always ? "" : ", so switch it off when nothing runs on it");
    } else {
        sw_page_add(
            out,
            "Switch the inverter off when nothing runs on it: idle it takes %s, %s in a night of twelve "
            "hours.",
            idle, sw_words_quantity(van->inverter->idle_w * NIGHT_H, SW_DIM_ENERGY, units, night));
    }
}

static const struct {
    const char *by;
    int days; // told in days, not hours
} refills[SW_REFILLS] = {[SW_REFILL_DRIVE] = {"driving", 0},
                         [SW_REFILL_HOOKUP] = {"at a hookup", 0},
                         [SW_REFILL_SUN] = {"by the trip's sky", 1},
                         [SW_REFILL_POOR_SUN] = {"by a poor sky", 1}};

const char *sw_words_refill_by(sw_refill refill)
{
    return refills[refill].by;
}

void sw_words_refill(const sw_limits *l, sw_refill refill, page *out)
{
    double hours = l->refill_h[refill];
    if (isinf(hours))
        sw_page_add(out, "not within ten days%s", l->refill_cold[refill] ? ": too cold to charge" : "");
    else if (refills[refill].days)
        sw_page_add(out, "%.1f days, from the first light on", ceil(hours / 2.4 - 1e-9) / 10.0);
    else
        sw_page_add(out, "%.1f h", ceil(hours * 10.0 - 1e-9) / 10.0);
    if (isfinite(hours) && l->refill_cold[refill])
        sw_page_add(out, ", slowed by cold");
}

void sw_words_refill_whole(const sw_limits *l, sw_refill refill, page *out)
{
    char from[16], to[16];
    sw_page_add(out, "From %s %% to %s %% %s: ", sw_words_exact(l->from, from), sw_words_exact(l->to, to),
                sw_words_refill_by(refill));
    sw_words_refill(l, refill, out);
    sw_page_add(out, ", with nothing switched on.");
}

/* A hookup, or a generator, which feeds the inlet too. */
static int has_supply(const sw_trip *trip)
{
    for (int i = 0; i < trip->legs; i++)
        if (!isnan(trip->leg[i].shore_a) || trip->leg[i].generator_hours != NULL)
            return 1;
    return 0;
}

int sw_words_is_clash_of_trip(const sw_limits *l, const sw_clash *c)
{
    return c->inverter || c->battery || has_supply(l->of->plan->trip);
}

void sw_words_clash(const sw_limits *l, const sw_clash *c, sw_units units, page *out)
{
    const sw_load_spec *load = l->of->plan->van->load;
    const struct {
        int is_it;
        const char *name;
    } too_much_for[] = {{c->inverter, "inverter"},
                        {c->battery && !c->inverter, "battery"},
                        {c->inlet, l->clashes.hookup_va < l->of->variant.inlet_va ? "hookup" : "inlet"}};
    char power[48];
    int named = 0;
    sw_page_add(out, "%s", load[c->load].name);
    if (c->other >= 0)
        sw_page_add(out, " and %s", load[c->other].name);
    sw_page_add(out, ", %s: too much", sw_words_quantity(c->power_w, SW_DIM_POWER, units, power));
    for (size_t i = 0; i < sizeof too_much_for / sizeof too_much_for[0]; i++)
        if (too_much_for[i].is_it)
            sw_page_add(out, "%s for the %s", named++ > 0 ? " and" : "", too_much_for[i].name);
}
