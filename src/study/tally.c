// Sums over the rows of a study, and which choices are worth looking at.
#include "stillwatt/tally.h"

#include "files/arena.h"

#include <math.h>
#include <string.h>

// ---- cost ----

/* Parts that the two vans do not price alike leave the price open only where they differ. */
static void cost_of(const sw_choice *choice, const sw_van *base, const sw_van *van, sw_choice_cost *out)
{
    sw_burden before, after;
    sw_burden_of(base, &before);
    sw_burden_of(van, &after);
    double mass_kg = after.mass_kg - before.mass_kg;
    *out = (sw_choice_cost){
        .price = isnan(choice->price) ? after.price - before.price : choice->price,
        .labour_s = isnan(choice->labour_s) ? after.labour_s - before.labour_s : choice->labour_s,
        .mass_kg = isnan(choice->mass_kg) ? mass_kg : choice->mass_kg,
        .price_known = !isnan(choice->price) || after.without_price <= before.without_price};
    // What a choice says that it weighs beyond its parts is of no axle, but of the payload.
    after.mass_kg += out->mass_kg - mass_kg;
    out->over = after.mass_kg > van->vehicle.payload_kg ? SW_OVER_PAYLOAD : sw_burden_over(van);
}

static sw_status find_costs(sw_tally *t, const sw_loader *loader, sw_messages *messages)
{
    sw_plan *base = NULL;
    sw_status status = sw_study_plan(t->study, loader, 0, 0, messages, &base);
    if (status != SW_OK)
        return status;
    t->reserve = base->trip->reserve;
    memcpy(t->currency, t->study->currency[0] != '\0' ? t->study->currency : base->van->currency,
           sizeof t->currency);
    cost_of(&t->study->choice[0], base->van, base->van, &t->cost[0]);
    for (int k = 1; k < t->study->choices && status == SW_OK; k++) {
        sw_plan *plan = NULL;
        status = sw_study_plan(t->study, loader, 0, k, messages, &plan);
        if (status == SW_OK)
            cost_of(&t->study->choice[k], base->van, plan->van, &t->cost[k]);
        sw_plan_free(plan);
    }
    sw_plan_free(base);
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
    sw_status status =
        t != NULL && t->choice != NULL && t->cost != NULL
            ? find_costs(t, loader, messages)
            : sw_error(messages, SW_NO_MEMORY, NULL, NULL, "there is not enough memory for the sums");
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

static int is_weighed(const sw_choice_cost *cost)
{
    return cost->over == SW_FITS && cost->price_known;
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
    if (!is_weighed(&tally->cost[choice]))
        return 0;
    for (int k = 0; k < tally->study->choices; k++)
        if (k != choice && is_weighed(&tally->cost[k]) && beats(tally, k, choice))
            return 0;
    return 1;
}
