// Re-rehearses a trip with each change of the catalogue, ranks what helps, pairs the best where none is
// enough, and looks for the smallest battery and array that hold.
#include "stillwatt/remedy.h"

#include "files/arena.h"
#include "study/lanes.h"
#include "study/plan_copy.h"
#include "study/remedy_changes.h"

#include <math.h>
#include <stdlib.h>

#define LEAST_POINTS 0.005 // of the lowest charge: what gains less is no remedy
#define LEAST_WH     1.0
#define PAIRS_MOST   200 // that are tried, the cheapest first
#define STRINGS_MOST 24  // of batteries, and of panels, that are tried

int sw_is_enough(const sw_outcome *outcome)
{
    return outcome->verdict == SW_HOLDS || outcome->verdict == SW_TIGHT;
}

/// What all of the search needs.
typedef struct search {
    const sw_rehearsal *base;
    const sw_loader *loader;
    int32_t step_s;
    sw_messages *messages;
    sw_arena *arena;
    sw_remedies *out;
} search;

static sw_status no_memory(const search *s)
{
    return sw_error(s->messages, SW_NO_MEMORY, NULL, NULL, "there is not enough memory for the remedies");
}

// ---- marching ----

static void note(sw_remedy *r, int outlook, sw_outcome outcome)
{
    *(outlook == SW_OUTLOOK_POOR ? &r->poor : &r->outcome) = outcome;
    r->worst = outcome; // the poor week comes last
}

/* Up to SW_TILE vans through a course, under each of its skies. */
static void march(const sw_course *course, sw_plan *const plan[], int count, sw_remedy *remedy[])
{
    for (int o = 0; o < course->outlooks; o++) {
        lanes l;
        sw_lanes_begin(&l, &course->forcing[o], course);
        for (int k = 0; k < count; k++)
            sw_lanes_add_plan(&l, plan[k]);
        (void)sw_lanes_march(&l, sw_lanes_take, &l);
        for (int k = 0; k < count; k++)
            note(remedy[k], o, sw_lanes_outcome(&l, k));
    }
}

/* A range of the trip may not be possible with a change; then it is none.
   @return SW_OK with `*possible` told, or what keeps all of the search from going on */
static sw_status rehearse(const search *s, const sw_plan *plan, sw_remedy *remedy, int *possible)
{
    sw_messages *messages = sw_messages_create();
    sw_course *course = NULL;
    sw_status status =
        messages != NULL ? sw_course_make(plan, s->loader, s->step_s, messages, &course) : SW_NO_MEMORY;
    *possible = status == SW_OK;
    if (status == SW_OK) {
        sw_plan *one[] = {(sw_plan *)plan};
        march(course, one, 1, &remedy);
    } else if (status != SW_BAD_INPUT && status != SW_OUT_OF_RANGE) {
        (void)sw_messages_repeat_errors(messages, s->messages);
    } else {
        status = SW_OK;
    }
    sw_course_free(course);
    sw_messages_free(messages);
    return status;
}

// ---- what helps ----

/* Fewer watt-hours missed, then fewer days under the line, then a higher lowest charge, then less money. */
static int better_first(const void *a, const void *b)
{
    const sw_remedy *x = a, *y = b;
    double missed = floor(x->worst.missed_wh + 0.5) - floor(y->worst.missed_wh + 0.5);
    double points = x->worst.lowest_soc - y->worst.lowest_soc;
    if (missed != 0.0)
        return missed > 0.0 ? 1 : -1;
    if (x->worst.under_days != y->worst.under_days)
        return x->worst.under_days - y->worst.under_days;
    if (fabs(points) > 1e-12)
        return points < 0.0 ? 1 : -1;
    double dearer = (isnan(x->price) ? INFINITY : x->price) - (isnan(y->price) ? INFINITY : y->price);
    return dearer > 0.0 ? 1 : dearer < 0.0 ? -1 : (int)x->change[0].kind - (int)y->change[0].kind;
}

/* Nothing more may go unserved: an inverter that is off saves much. */
static int helps(const sw_remedy *r, const sw_outcome *was)
{
    if (r->worst.unserved_wh > was->unserved_wh + LEAST_WH)
        return 0;
    if (was->medical >= 0 && r->worst.medical < 0)
        return 1;
    return r->worst.lowest_soc > was->lowest_soc + LEAST_POINTS ||
           r->worst.missed_wh < was->missed_wh - LEAST_WH || r->worst.under_days < was->under_days;
}

/* A van that bears no more than before is no fault of the change. */
static int fits(const search *s, const sw_plan *plan)
{
    sw_limit over = sw_burden_over(plan->van);
    return over == SW_FITS || over == sw_burden_over(s->base->plan->van);
}

static void price(sw_remedy *r, const sw_van *van)
{
    r->price = r->mass_kg = 0.0;
    for (int i = 0; i < r->changes; i++) {
        double money, mass;
        sw_change_burden(&r->change[i], van, &money, &mass);
        r->price += money;
        r->mass_kg += mass;
    }
}

/* @return 1 if the changed plan is possible and the vehicle bears it */
static int prepare(const search *s, const sw_remedy *r, sw_plan *copy)
{
    for (int i = 0; i < r->changes; i++)
        if (!sw_change_do(&r->change[i], s->base, copy))
            return 0;
    return 1;
}

/* @return SW_OK with `*good` told */
static sw_status try_remedy(const search *s, sw_remedy *r, int *good)
{
    *good = 0;
    sw_arena *scratch = sw_arena_create();
    sw_plan *copy = scratch != NULL ? sw_plan_copy(s->base->plan, scratch) : NULL;
    sw_status status = copy != NULL ? SW_OK : no_memory(s);
    if (copy != NULL && prepare(s, r, copy)) {
        int fit = fits(s, copy), possible = 0, keeps = 1;
        s->out->unfit += !fit;
        for (int i = 0; i < r->changes; i++)
            keeps = keeps && sw_change_keeps_course(&r->change[i]);
        if (fit && keeps) {
            sw_plan *one[] = {copy};
            march(s->base->course, one, 1, &r);
            possible = 1;
        } else if (fit) {
            status = rehearse(s, copy, r, &possible);
        }
        price(r, s->base->plan->van);
        *good = possible;
        s->out->tried += possible;
    }
    sw_arena_free(scratch);
    return status;
}

/* Of changes that differ only in where or when, the best one. */
static int same_thing(const sw_change *a, const sw_change *b)
{
    return a->kind == b->kind && a->index == b->index;
}

static void keep(search *s, const sw_remedy *r)
{
    for (int i = 0; i < s->out->count; i++) {
        sw_remedy *had = &s->out->remedy[i];
        if (same_thing(&had->change[0], &r->change[0])) {
            *had = better_first(had, r) <= 0 ? *had : *r;
            return;
        }
    }
    s->out->remedy[s->out->count++] = *r;
}

static sw_status try_singles(search *s)
{
    sw_change change[SW_CHANGES_MAX];
    int count = sw_changes_list(s->base, change);
    s->out->remedy = sw_arena_alloc(s->arena, (size_t)count * sizeof *s->out->remedy);
    if (s->out->remedy == NULL)
        return no_memory(s);
    for (int i = 0; i < count; i++) {
        sw_remedy r = {.changes = 1, .change = {change[i]}};
        int good = 0;
        sw_status status = try_remedy(s, &r, &good);
        if (status != SW_OK)
            return status;
        if (good && helps(&r, &s->out->worst))
            keep(s, &r);
    }
    qsort(s->out->remedy, (size_t)s->out->count, sizeof *s->out->remedy, better_first);
    return SW_OK;
}

// ---- pairs ----

static int some_single_is_enough(const sw_remedies *out)
{
    for (int i = 0; i < out->count; i++)
        if (sw_is_enough(&out->remedy[i].worst))
            return 1;
    return 0;
}

/// Two of the changes that help, by their ranks.
typedef struct couple {
    double price; // unknown ones last
    int first, second;
} couple;

/* Of equal prices those that help most by themselves come first. */
static int by_price(const void *a, const void *b)
{
    const couple *x = a, *y = b;
    if (x->price != y->price)
        return x->price < y->price ? -1 : 1;
    int ranks = x->first + x->second - y->first - y->second;
    return ranks != 0 ? ranks : x->first - y->first;
}

static int are_of_one_load(const sw_change *a, const sw_change *b)
{
    return a->index == b->index && a->kind <= SW_CHANGE_SET && b->kind <= SW_CHANGE_SET;
}

/* @return how many there are */
static int list_couples(const sw_remedies *out, couple *list)
{
    int count = 0;
    for (int i = 0; i < out->count; i++)
        for (int k = i + 1; k < out->count; k++) {
            const sw_remedy *a = &out->remedy[i], *b = &out->remedy[k];
            double sum = a->price + b->price;
            if (!are_of_one_load(&a->change[0], &b->change[0]))
                list[count++] = (couple){isnan(sum) ? INFINITY : sum, i, k};
        }
    qsort(list, (size_t)count, sizeof *list, by_price);
    return count;
}

/* @return SW_OK, with `*enough` told */
static sw_status try_pair(search *s, const couple *c, int *enough)
{
    sw_remedy pair = {.changes = 2,
                      .change = {s->out->remedy[c->first].change[0], s->out->remedy[c->second].change[0]}};
    int good = 0;
    sw_status status = try_remedy(s, &pair, &good);
    *enough =
        good && sw_is_enough(&pair.worst) && pair.worst.unserved_wh <= s->out->worst.unserved_wh + LEAST_WH;
    if (*enough) {
        s->out->pair = pair;
        s->out->has_pair = 1;
    }
    return status;
}

/* From the cheapest on: the first that is enough is the cheapest that is. */
static sw_status try_pairs(search *s)
{
    size_t most = (size_t)s->out->count * (size_t)s->out->count / 2 + 1;
    if (sw_is_enough(&s->out->worst) || some_single_is_enough(s->out))
        return SW_OK;
    couple *list = sw_arena_alloc(s->arena, most * sizeof *list);
    if (list == NULL)
        return no_memory(s);
    int count = list_couples(s->out, list), enough = 0;
    sw_status status = SW_OK;
    for (int i = 0; i < count && i < PAIRS_MOST && !enough && status == SW_OK; i++)
        status = try_pair(s, &list[i], &enough);
    s->out->pairs_left = !enough && count > PAIRS_MOST ? count - PAIRS_MOST : 0;
    return status;
}

// ---- the smallest that holds ----

static int *units_of(sw_plan *plan, int array)
{
    return array < 0 ? &plan->van->battery.parallel : &plan->van->array[array].panels;
}

/* Sizes are scanned, not bisected: more of something need not be better at every size. */
static sw_status find_smallest(search *s, int array)
{
    const sw_van *van = s->base->plan->van;
    sw_smallest *small = &s->out->smallest[s->out->smallests++];
    *small = (sw_smallest){.array = array,
                           .has = array < 0 ? van->battery.parallel : van->array[array].panels,
                           .step = array < 0 ? 1 : van->array[array].in_series,
                           .tried = STRINGS_MOST};
    small->tried *= small->step;
    sw_arena *scratch = sw_arena_create();
    sw_status status = scratch != NULL ? SW_OK : no_memory(s);
    for (int first = 1; status == SW_OK && first <= STRINGS_MOST && small->units == 0; first += SW_TILE) {
        sw_plan *plan[SW_TILE];
        sw_remedy remedy[SW_TILE] = {{0}}, *of[SW_TILE];
        for (int k = 0; k < SW_TILE && status == SW_OK; k++) {
            plan[k] = sw_plan_copy(s->base->plan, scratch);
            of[k] = &remedy[k];
            if (plan[k] == NULL)
                status = no_memory(s);
            else
                *units_of(plan[k], array) = (first + k) * small->step;
        }
        if (status != SW_OK)
            break;
        march(s->base->course, plan, SW_TILE, of);
        for (int k = 0; k < SW_TILE && small->units == 0; k++)
            if (sw_is_enough(&remedy[k].worst)) {
                small->units = (first + k) * small->step;
                small->worst = remedy[k].worst;
                small->limit = fits(s, plan[k]) ? SW_FITS : sw_burden_over(plan[k]->van);
            }
    }
    sw_arena_free(scratch);
    return status;
}

static sw_status find_smallests(search *s)
{
    sw_status status = find_smallest(s, -1);
    for (int a = 0; a < s->base->plan->van->arrays && status == SW_OK; a++)
        status = find_smallest(s, a);
    return status;
}

// ---- all of it ----

void sw_remedies_free(sw_remedies *remedies)
{
    if (remedies != NULL)
        sw_arena_free(remedies->owner);
}

sw_status sw_find_remedies(const sw_rehearsal *base, const sw_loader *loader, int32_t step_s,
                           sw_messages *messages, sw_remedies **out)
{
    search s = {base, loader, step_s, messages, sw_arena_create(), NULL};
    *out = NULL;
    s.out = s.arena != NULL ? sw_arena_alloc(s.arena, sizeof *s.out) : NULL;
    if (s.out == NULL) {
        sw_arena_free(s.arena);
        return no_memory(&s);
    }
    *s.out = (sw_remedies){.base = base, .owner = s.arena};
    s.out->worst = base->has_poor ? base->poor : base->outcome;
    sw_status status = try_singles(&s);
    if (status == SW_OK)
        status = try_pairs(&s);
    if (status == SW_OK)
        status = find_smallests(&s);
    if (status != SW_OK) {
        sw_arena_free(s.arena);
        return status;
    }
    *out = s.out;
    return SW_OK;
}
