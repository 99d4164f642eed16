// What the choices of a study cost, sums over its rows, and which choices are worth looking at.
#include "stillwatt/tally.h"

#include "files/arena.h"

#include <math.h>
#include <string.h>

static sw_status no_memory(sw_messages *messages)
{
    return sw_error(messages, SW_NO_MEMORY, NULL, NULL, "there is not enough memory for the sums");
}

// ---- cost ----

static void cost_of(const sw_choice *choice, const sw_van *base, const sw_van *van, sw_choice_cost *out)
{
    sw_burden_change change;
    sw_burden after;
    sw_burden_between(base, van, &change);
    sw_burden_of(van, &after);
    *out = (sw_choice_cost){.price = isnan(choice->price) ? change.price : choice->price,
                            .labour_s = isnan(choice->labour_s) ? change.labour_s : choice->labour_s,
                            .mass_kg = isnan(choice->mass_kg) ? change.mass_kg : choice->mass_kg,
                            .price_known = change.price_known || !isnan(choice->price),
                            .mass_known = change.mass_known || !isnan(choice->mass_kg)};
    // What a choice says that it weighs beyond its parts is of no axle, but of the payload.
    after.mass_kg += out->mass_kg - change.mass_kg;
    out->over = after.mass_kg > van->vehicle.payload_kg ? SW_OVER_PAYLOAD : sw_burden_over(van);
}

/* Of two vans the dearer and heavier change, and the first limit that either goes over. */
static void take_worse(sw_choice_cost *worst, const sw_choice_cost *c)
{
    worst->price = fmax(worst->price, c->price);
    worst->labour_s = fmax(worst->labour_s, c->labour_s);
    worst->mass_kg = fmax(worst->mass_kg, c->mass_kg);
    worst->price_known = worst->price_known && c->price_known;
    worst->mass_known = worst->mass_known && c->mass_known;
    if (worst->over == SW_FITS) {
        worst->over = c->over;
        worst->over_in = c->over_in;
    }
}

/// The vans that the costs have been found of.
typedef struct costing {
    sw_tally *tally;
    const sw_loader *loader;
    sw_messages *messages;
    int vans;
    const char **van_file;
    const char *priced_in; // the file whose currency is the tally's
    int warned;
} costing;

/* All prices are summed and compared, so that all must be in one currency. */
static sw_status check_currency(costing *c, const sw_van *van)
{
    char *currency = c->tally->currency;
    if (van->currency[0] == '\0' || strcmp(van->currency, currency) == 0)
        return SW_OK;
    if (currency[0] != '\0')
        return sw_error(c->messages, SW_BAD_INPUT, &(sw_where){.file = van->file},
                        "give all prices in one currency", "its prices are in %s, those of %s in %s",
                        van->currency, c->priced_in, currency);
    memcpy(currency, van->currency, sizeof c->tally->currency);
    c->priced_in = sw_arena_text(c->tally->owner, van->file);
    return c->priced_in != NULL ? SW_OK : no_memory(c->messages);
}

/* What was warned of while the plans were tried is not told again. */
static sw_status read_plan(const costing *c, int trip, int choice, sw_plan **out)
{
    sw_messages *own = sw_messages_create();
    sw_status status =
        own != NULL ? sw_study_plan(c->tally->study, c->loader, trip, choice, own, out) : SW_NO_MEMORY;
    if (own != NULL)
        (void)sw_messages_repeat_errors(own, c->messages);
    sw_messages_free(own);
    return status;
}

static void warn_of_other_cost(costing *c, int choice, const sw_choice_cost *here)
{
    const sw_study *study = c->tally->study;
    const sw_choice_cost *before = &c->tally->cost[choice];
    if (c->warned ||
        (fabs(here->price - before->price) < 0.005 && fabs(here->mass_kg - before->mass_kg) < 5e-4))
        return;
    c->warned = 1;
    sw_warn(c->messages, &study->choice[choice].where, NULL,
            "\"%s\" costs or weighs more in one van of the study than in another; of price and mass the "
            "greatest count",
            study->choice[choice].name);
}

static sw_status cost_in_van(costing *c, int trip, const sw_plan *base)
{
    sw_tally *t = c->tally;
    sw_status status = check_currency(c, base->van);
    t->vans++;
    for (int k = 0; k < t->study->choices && status == SW_OK; k++) {
        sw_choice_cost here;
        sw_plan *plan = NULL;
        status = read_plan(c, trip, k, &plan);
        if (status == SW_OK)
            status = check_currency(c, plan->van);
        if (status == SW_OK) {
            cost_of(&t->study->choice[k], base->van, plan->van, &here);
            here.over_in = c->van_file[c->vans];
            here.reserve = plan->trip->reserve;
            if (c->vans == 0)
                t->cost[k] = here;
            else
                warn_of_other_cost(c, k, &here);
            take_worse(&t->cost[k], &here);
        }
        sw_plan_free(plan);
    }
    return status;
}

/* Trips of one van share its costs. */
static int is_new_van(costing *c, const char *file)
{
    for (int i = 0; i < c->vans; i++)
        if (strcmp(c->van_file[i], file) == 0)
            return 0;
    return 1;
}

static sw_status find_costs(sw_tally *t, const sw_loader *loader, sw_messages *messages)
{
    costing c = {.tally = t, .loader = loader, .messages = messages, .priced_in = t->study->file};
    c.van_file = sw_arena_alloc(t->owner, (size_t)t->study->trips * sizeof *c.van_file);
    sw_status status = SW_OK;
    if (c.van_file == NULL)
        return no_memory(messages);
    memcpy(t->currency, t->study->currency, sizeof t->currency);
    for (int trip = 0; trip < t->study->trips && status == SW_OK; trip++) {
        sw_plan *base = NULL;
        status = read_plan(&c, trip, 0, &base);
        if (status == SW_OK && is_new_van(&c, base->van->file)) {
            const char *file = sw_arena_text(t->owner, base->van->file);
            if (file == NULL) {
                sw_plan_free(base);
                return no_memory(messages);
            }
            c.van_file[c.vans] = file;
            status = cost_in_van(&c, trip, base);
            c.vans++;
        }
        sw_plan_free(base);
    }
    return status;
}

// ---- making ----

sw_status sw_tally_make(const sw_study *study, const sw_loader *loader, sw_messages *messages, sw_tally **out)
{
    sw_arena *arena = sw_arena_create();
    sw_tally *t = arena != NULL ? sw_arena_alloc(arena, sizeof *t) : NULL;
    size_t choices = (size_t)study->choices;
    *out = NULL;
    if (t != NULL) {
        *t = (sw_tally){.study = study,
                        .choice = sw_arena_alloc(arena, choices * sizeof *t->choice),
                        .cost = sw_arena_alloc(arena, choices * sizeof *t->cost),
                        .owner = arena};
    }
    sw_status status = t != NULL && t->choice != NULL && t->cost != NULL ? find_costs(t, loader, messages)
                                                                         : no_memory(messages);
    if (status == SW_OK)
        *out = t;
    else
        sw_arena_free(arena);
    return status;
}

void sw_tally_free(sw_tally *tally)
{
    if (tally != NULL)
        sw_arena_free(tally->owner);
}

// ---- rows ----

static int bin_of(double soc)
{
    int bin = (int)floor(1000.0 * soc + 1e-6);
    return bin < 0 ? 0 : bin >= SW_TALLY_BINS ? SW_TALLY_BINS - 1 : bin;
}

void sw_tally_add(sw_tally *tally, const sw_row *row)
{
    sw_choice_tally *c = &tally->choice[(row->number - 1) % tally->study->choices];
    c->cases++;
    c->verdicts[row->verdict]++;
    c->nights += row->nights;
    c->nights_held += row->nights_held;
    c->under_days += row->under_days > 0 || row->verdict != SW_OUT ? row->under_days : 1;
    c->missed_wh += row->missed_wh;
    c->lowest[bin_of(row->lowest_soc)]++;
}

// ---- answers ----

/* 0 without cases */
static double a_case(int64_t sum, const sw_choice_tally *choice)
{
    return choice->cases > 0 ? (double)sum / (double)choice->cases : 0.0;
}

int64_t sw_tally_holds(const sw_choice_tally *choice)
{
    return choice->verdicts[SW_HOLDS] + choice->verdicts[SW_TIGHT];
}

double sw_tally_share(const sw_choice_tally *choice)
{
    return a_case(sw_tally_holds(choice), choice);
}

double sw_tally_lowest(const sw_choice_tally *choice, double share)
{
    int64_t below = 0;
    for (int bin = 0; bin < SW_TALLY_BINS; bin++) {
        below += choice->lowest[bin];
        if ((double)below > share * (double)choice->cases)
            return bin / 1000.0;
    }
    return 1.0;
}

double sw_tally_nights(const sw_choice_tally *choice)
{
    return a_case(choice->nights_held, choice);
}

double sw_tally_gain(const sw_tally *tally, int choice)
{
    return sw_tally_nights(&tally->choice[choice]) - sw_tally_nights(&tally->choice[0]);
}

double sw_tally_under(const sw_choice_tally *choice)
{
    return a_case(choice->under_days, choice);
}

int sw_tally_fits(const sw_choice_cost *cost)
{
    return cost->over == SW_FITS && cost->price_known && cost->mass_known;
}

/* @return whether a is as good as b in everything and better in something */
static int beats(const sw_tally *t, int a, int b)
{
    const sw_choice_cost *x = &t->cost[a], *y = &t->cost[b];
    const double of[3][2] = {{x->price, y->price},
                             {x->mass_kg, y->mass_kg},
                             {sw_tally_under(&t->choice[a]), sw_tally_under(&t->choice[b])}};
    int better = 0;
    for (int i = 0; i < 3; i++) {
        if (of[i][0] > of[i][1])
            return 0;
        better = better || of[i][0] < of[i][1];
    }
    return better;
}

int sw_tally_is_best(const sw_tally *tally, int choice)
{
    if (!sw_tally_fits(&tally->cost[choice]))
        return 0;
    for (int k = 0; k < tally->study->choices; k++)
        if (k != choice && sw_tally_fits(&tally->cost[k]) && beats(tally, k, choice))
            return 0;
    return 1;
}
