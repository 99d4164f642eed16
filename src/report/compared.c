// What a study comes to: for a terminal and as JSON.
#include "report/tree.h"
#include "report/words.h"

#include "stillwatt/report.h"

#include <inttypes.h>
#include <math.h>
#include <stdio.h>
#include <stdlib.h>

#define ENOUGH       0.9    // share of the cases in which a choice that is recommended holds
#define SOME_GAIN    0.0005 // nights
#define CHOICES_TOLD 16     // of more, only those that no other one beats
#define PER_MONEY    1000.0

static int64_t cases_of(const sw_tally *t)
{
    int64_t cases = 0;
    for (int k = 0; k < t->study->choices; k++)
        cases += t->choice[k].cases;
    return cases;
}

static const char *over_words(sw_limit limit)
{
    static const char *const words[] = {"fits", "is over the payload", "is over the front axle's limit",
                                        "is over the rear axle's limit", "is larger than the free roof"};
    return words[limit];
}

// ---- the table ----

enum { NAME_LEAST = 22, NAME_MOST = 40, OTHER_COLUMNS = 57 };

/* The longest name, where the width has room for it. */
static int name_columns(const sw_tally *t, const sw_report_style *style)
{
    int columns = NAME_LEAST, room = style->width - OTHER_COLUMNS;
    for (int k = 0; k < t->study->choices; k++) {
        int own = sw_page_columns(t->study->choice[k].name);
        columns = own > columns ? own : columns;
    }
    columns = columns < NAME_MOST ? columns : NAME_MOST;
    return columns < room ? columns : room > NAME_LEAST ? room : NAME_LEAST;
}

static void write_cost(const sw_tally *t, int k, sw_units units, page *p)
{
    const sw_choice_cost *c = &t->cost[k];
    char price[24] = "?", mass[64] = "?", size[48];
    if (c->price_known)
        snprintf(price, sizeof price, "%.0f", c->price);
    if (c->mass_known)
        snprintf(mass, sizeof mass, "%s%s", c->mass_kg > 0.0 ? "+" : "",
                 sw_words_quantity(c->mass_kg + 0.0, SW_DIM_MASS, units, size));
    sw_page_add(p, "%7s %8s", k == 0 && c->price == 0.0 ? "-" : price, mass);
}

static void write_row(const sw_tally *t, int k, int columns, sw_units units, page *p)
{
    const sw_choice_tally *c = &t->choice[k];
    sw_page_add(p, "%s ", sw_tally_is_best(t, k) ? "*" : t->cost[k].over != SW_FITS ? "!" : " ");
    sw_page_cell(p, t->study->choice[k].name, columns);
    write_cost(t, k, units, p);
    sw_page_add(p, " %4d %% %4d %4d %4d %% %6.1f %7.1f\n", sw_words_share(sw_tally_share(c)),
                sw_words_percent(sw_tally_lowest(c, 0.05)), sw_words_percent(sw_tally_lowest(c, 0.5)),
                sw_words_percent(sw_tally_lowest(c, 0.95)), sw_tally_under(c), sw_tally_nights(c));
}

static void write_table(const sw_tally *t, const sw_report_style *style, page *p)
{
    const char *money = t->currency[0] != '\0' ? t->currency : "price";
    int columns = name_columns(t, style);
    sw_page_add(p, "\n  %-*s%7s %8s  holds  lowest charge     days  nights\n", columns, "", money, "mass");
    sw_page_add(p, "  %-*s%7s %8s         5%%  50%%  95%%      under    held\n", columns, "", "", "");
    for (int k = 0; k < t->study->choices; k++)
        write_row(t, k, columns, style->units, p);
    sw_page_wrap(
        p, style->width, "  ", "  ",
        "* no other choice that fits is better in price, weight or days under the line without being worse "
        "in "
        "another of them; ! does not fit the vehicle; ? a part that changes does not tell it. Lowest charge, "
        "5 %: one case in twenty falls lower. Days under the line and nights held: of a case in the mean.");
}

/* Whether all choices are judged by one line; choices of other batteries have others. */
static int is_one_line(const sw_tally *t)
{
    for (int k = 1; k < t->study->choices; k++)
        if (t->cost[k].reserve != t->cost[0].reserve)
            return 0;
    return 1;
}

static void write_lines(const sw_tally *t, const sw_report_style *style, page *p)
{
    page line = {0};
    char percent[16];
    if (is_one_line(t))
        return;
    sw_page_add(&line, "Reserve lines by which they are judged:");
    for (int k = 0; k < t->study->choices; k++)
        sw_page_add(&line, "%s \"%s\" %s %%", k > 0 ? "," : "", t->study->choice[k].name,
                    sw_words_exact(t->cost[k].reserve, percent));
    sw_page_add(&line, ".");
    sw_page_wrap_page(p, style->width, "  ", "  ", &line);
}

// ---- sentences ----

/* "10 kg", in the units of the answer, and how much of it a mass is. */
static double per_mass(double mass_kg, sw_units units, const char **says)
{
    static const struct {
        const char *says;
        double kg;
    } portions[] = {[SW_UNITS_SI] = {"10 kg", 10.0}, [SW_UNITS_US] = {"20 lb", 20.0 * 0.45359237}};
    *says = portions[units].says;
    return mass_kg / portions[units].kg;
}

/* "gains 0.9 nights a trip: 5.4 for each 1000 USD and 0.9 for each 10 kg" */
static void write_gain(const sw_tally *t, int k, sw_units units, page *line)
{
    const char *portion;
    const sw_choice_cost *cost = &t->cost[k];
    double gain = sw_tally_gain(t, k);
    if (fabs(gain) < SOME_GAIN) {
        sw_page_add(line, "gains no night");
        return;
    }
    sw_page_add(line, "%s %.1f nights a trip", gain > 0.0 ? "gains" : "loses", fabs(gain));
    if (gain > 0.0 && cost->price_known && cost->price > 0.0)
        sw_page_add(line, ": %.1f for each 1000 %s", gain / cost->price * PER_MONEY, t->currency);
    if (gain > 0.0 && cost->mass_known && cost->mass_kg > 0.0) {
        double portions = per_mass(cost->mass_kg, units, &portion);
        sw_page_add(line, "%s %.1f for each %s", cost->price_known && cost->price > 0.0 ? " and" : ":",
                    gain / portions, portion);
    }
}

/* Beside hookups: a trip that is saved would have needed one night at a pedestal, or more. */
static void write_payback(const sw_tally *t, int k, page *line)
{
    double saved = sw_tally_share(&t->choice[k]) - sw_tally_share(&t->choice[0]);
    double a_trip = saved * t->study->hookup_price, price = t->cost[k].price;
    if (!(a_trip > 0.0) || !t->cost[k].price_known || !(price > 0.0))
        return;
    sw_page_add(line,
                " It saves trips that would need a hookup night or more: %.0f %s a trip in the mean, so that "
                "it has paid after %.0f such trips at the latest%s.",
                a_trip, t->currency, ceil(price / a_trip), t->cost[k].labour_s > 0.0 ? ", work apart" : "");
}

static const char *unknown_of(const sw_choice_cost *cost)
{
    return cost->mass_known ? "the price" : cost->price_known ? "the mass" : "price or mass";
}

static void write_choice(const sw_tally *t, int k, const sw_report_style *style, page *p)
{
    const sw_choice_cost *cost = &t->cost[k];
    page line = {0};
    sw_page_add(&line, "\"%s\"", t->study->choice[k].name);
    if (cost->price_known && cost->price != 0.0) {
        sw_page_add(&line, " (%.0f %s%s", fabs(cost->price), t->currency, cost->price < 0.0 ? " less" : "");
        if (cost->labour_s > 0.0)
            sw_page_add(&line, " and %.1f h of work", cost->labour_s / 3600.0);
        sw_page_add(&line, ")");
    }
    sw_page_add(&line, " holds in %d %% of the cases and ", sw_words_share(sw_tally_share(&t->choice[k])));
    write_gain(t, k, style->units, &line);
    sw_page_add(&line, ".");
    write_payback(t, k, &line);
    if (cost->over != SW_FITS)
        sw_page_add(&line, " It %s%s%s: a weighbridge, or a tape measure, decides.", over_words(cost->over),
                    t->vans > 1 ? " of " : "", t->vans > 1 ? cost->over_in : "");
    if (!cost->price_known || !cost->mass_known)
        sw_page_add(&line, " Not of all parts that it changes %s is told.", unknown_of(cost));
    sw_page_wrap_page(p, style->width, "- ", "  ", &line);
}

static int is_enough(const sw_tally *t, int k)
{
    return sw_tally_share(&t->choice[k]) >= ENOUGH;
}

/* The cheapest that is enough; of equally cheap ones the lighter. -1: none */
static int cheapest_enough(const sw_tally *t)
{
    int best = -1;
    for (int k = 0; k < t->study->choices; k++) {
        const sw_choice_cost *c = &t->cost[k];
        if (!sw_tally_fits(c) || !is_enough(t, k))
            continue;
        if (best < 0 || c->price < t->cost[best].price ||
            (c->price == t->cost[best].price && c->mass_kg < t->cost[best].mass_kg))
            best = k;
    }
    return best;
}

/* One that would be enough, but whose price or mass nobody told. -1: none */
static int unpriced_enough(const sw_tally *t)
{
    for (int k = 0; k < t->study->choices; k++)
        if (t->cost[k].over == SW_FITS && is_enough(t, k))
            return k;
    return -1;
}

/* "For 160 USD and 10 kg more" */
static void say_price(const sw_tally *t, int k, sw_units units, page *line)
{
    const sw_choice_cost *c = &t->cost[k];
    char mass[48];
    if (c->price != 0.0)
        sw_page_add(line, "For %.0f %s%s", fabs(c->price), t->currency, c->price < 0.0 ? " less" : "");
    else
        sw_page_add(line, "For no money");
    if (fabs(c->mass_kg) >= 0.05)
        sw_page_add(line, " and %s %s", sw_words_quantity(fabs(c->mass_kg), SW_DIM_MASS, units, mass),
                    c->mass_kg > 0.0 ? "more" : "less");
}

/* "in 4 of 5 cases" */
static void say_holds(const sw_tally *t, int k, page *line)
{
    sw_page_add(line, "in %" PRId64 " of %" PRId64 " cases", sw_tally_holds(&t->choice[k]),
                t->choice[k].cases);
}

static void say_none(const sw_tally *t, page *line)
{
    int unpriced = unpriced_enough(t);
    if (unpriced < 0) {
        sw_page_add(line, "No choice that fits the vehicle holds nine times in ten; \"%s\" holds ",
                    t->study->choice[0].name);
        say_holds(t, 0, line);
        return;
    }
    sw_page_add(line, "No choice whose price and mass are told holds nine times in ten; \"%s\" holds ",
                t->study->choice[unpriced].name);
    say_holds(t, unpriced, line);
    sw_page_add(line, ", but %s of its parts is not told", unknown_of(&t->cost[unpriced]));
}

static void say_best(const sw_tally *t, int best, sw_units units, page *line)
{
    const char *name = t->study->choice[best].name, *as_it_is = t->study->choice[0].name;
    if (best == 0) {
        sw_page_add(line, "\"%s\" is enough: it holds ", name);
        say_holds(t, 0, line);
        return;
    }
    say_price(t, best, units, line);
    if (is_enough(t, 0)) {
        sw_page_add(line, ", \"%s\" is enough as well: it holds ", name);
        say_holds(t, best, line);
        sw_page_add(line, ", and \"%s\" ", as_it_is);
        say_holds(t, 0, line);
        return;
    }
    sw_page_add(line, ", \"%s\" is the cheapest choice that holds nine times in ten: ", name);
    say_holds(t, best, line);
    sw_page_add(line, ", where \"%s\" holds in %" PRId64, as_it_is, sw_tally_holds(&t->choice[0]));
}

static void write_answer(const sw_tally *t, const sw_report_style *style, page *p)
{
    int best = cheapest_enough(t);
    page line = {0};
    if (t->choice[0].cases == 0)
        sw_page_add(&line, "No case has been rehearsed");
    else if (best < 0)
        say_none(t, &line);
    else
        say_best(t, best, style->units, &line);
    sw_page_add(&line, ".");
    sw_page_wrap(p, style->width, "", "", t->study->name);
    sw_page_wrap_page(p, style->width, "", "", &line);
}

static void put_count(page *line, const char *before, int count, const char *one, const char *many)
{
    sw_page_add(line, "%s%d %s", before, count, count == 1 ? one : many);
}

static void write_grid(const sw_tally *t, page *p)
{
    const sw_study *s = t->study;
    int months = 0;
    for (unsigned left = s->months; left != 0; left &= left - 1)
        months++;
    sw_page_add(p, "%" PRId64 " rehearsals: ", cases_of(t));
    put_count(p, "", s->choices, "choice", "choices");
    put_count(p, ", ", s->trips, "trip", "trips");
    if (months > 0)
        put_count(p, ", ", months, "month", "months");
    put_count(p, ", ", s->skies, "sky", "skies");
    if (s->starts > 1)
        put_count(p, ", ", s->starts, "charge to start with", "charges to start with");
    sw_page_add(p, "\n");
}

sw_status sw_report_study(const sw_tally *t, const sw_report_style *style, char **out)
{
    page p = {0};
    write_answer(t, style, &p);
    write_grid(t, &p);
    write_table(t, style, &p);
    write_lines(t, style, &p);
    sw_page_add(&p, "\nAgainst \"%s\":\n", t->study->choice[0].name);
    for (int k = 1; k < t->study->choices; k++)
        if (t->study->choices <= CHOICES_TOLD || sw_tally_is_best(t, k))
            write_choice(t, k, style, &p);
    sw_page_wrap(
        &p, style->width, "", "",
        "A weighbridge decides what the vehicle bears. For all electrical work follow local codes and a "
        "licensed practitioner.");
    return sw_growing_take(&p, out);
}

// ---- JSON ----

static void put_choice(tree *t, cJSON *list, const sw_tally *tally, int k)
{
    const sw_choice_tally *c = &tally->choice[k];
    const sw_choice_cost *cost = &tally->cost[k];
    static const char *const limits[] = {NULL, "payload", "front axle", "rear axle", "roof"};
    static const double shares[] = {0.05, 0.5, 0.95};
    static const char *const keys[] = {"5", "50", "95"};
    cJSON *item = sw_put_new(t, list, NULL, cJSON_CreateObject());
    sw_put_text(t, item, "name", tally->study->choice[k].name);
    sw_put_number(t, item, "price", cost->price_known ? cost->price : NAN, 2);
    sw_put_number(t, item, "labour_h", cost->labour_s / 3600.0, 3);
    sw_put_number(t, item, "mass_kg", cost->mass_known ? cost->mass_kg : NAN, 3);
    if (cost->over != SW_FITS)
        sw_put_text(t, item, "over", limits[cost->over]);
    sw_put_number(t, item, "reserve_pct", 100.0 * cost->reserve, 3);
    sw_put_number(t, item, "cases", (double)c->cases, 0);
    for (int v = SW_HOLDS; v <= SW_OUT; v++)
        sw_put_number(t, item, sw_verdict_word((sw_verdict)v), (double)c->verdicts[v], 0);
    cJSON *lowest = sw_put_new(t, item, "lowest_charge_pct", cJSON_CreateObject());
    for (int i = 0; i < 3; i++)
        sw_put_number(t, lowest, keys[i], 100.0 * sw_tally_lowest(c, shares[i]), 1);
    sw_put_number(t, item, "under_days_a_case", sw_tally_under(c), 6);
    sw_put_number(t, item, "nights_held", (double)c->nights_held, 0);
    sw_put_number(t, item, "nights", (double)c->nights, 0);
    sw_put_number(t, item, "nights_gained_a_case", sw_tally_gain(tally, k), 6);
    sw_put_number(t, item, "missed_because_of_battery_wh", c->missed_wh, 1);
    sw_put(t, item, "not_beaten", cJSON_CreateBool(sw_tally_is_best(tally, k)));
}

sw_status sw_report_study_json(const sw_tally *tally, char **out)
{
    tree t = {0};
    cJSON *root = cJSON_CreateObject();
    *out = NULL;
    if (root == NULL)
        return SW_NO_MEMORY;
    sw_put_number(&t, root, "format", 1.0, 0);
    sw_put_text(&t, root, "kind", "study");
    sw_put_text(&t, root, "name", tally->study->name);
    sw_put_text(&t, root, "currency", tally->currency);
    sw_put_number(&t, root, "hookup_price", tally->study->hookup_price, 2);
    cJSON *list = sw_put_new(&t, root, "choices", cJSON_CreateArray());
    for (int k = 0; k < tally->study->choices; k++)
        put_choice(&t, list, tally, k);
    char *text = t.failed ? NULL : cJSON_Print(root);
    cJSON_Delete(root);
    *out = text;
    return text != NULL ? SW_OK : SW_NO_MEMORY;
}
