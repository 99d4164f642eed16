// All cases of a study. A block is one trip, month and sky; its choices fall into classes that one course
// serves, and a class is marched eight vans at a time.
#include "stillwatt/compare.h"

#include "files/arena.h"
#include "stillwatt/course.h"
#include "study/lanes.h"
#include "study/plan_copy.h"
#include "study/plan_move.h"
#include "study/threads.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#define PLANS_AT_ONCE   512   // of several trips, so that short ones keep all cores busy
#define CASES_AT_ONCE   16384 // of a round
#define SKIES_A_UNIT    4     // that share an itinerary
#define BLOCKS_A_THREAD 8     // of a round: at its end threads wait for the slowest
#define HALF_DAY_S      43200

// ---- the grid ----

static int months_of(const sw_study *study)
{
    int count = 0;
    for (int m = 0; m < 12; m++)
        count += (study->months >> m & 1u) != 0;
    return count > 0 ? count : 1;
}

/* The month of a place in the grid, 0: the trip's own dates. */
static int month_at(const sw_study *study, int place)
{
    for (int m = 0; m < 12; m++)
        if ((study->months >> m & 1u) != 0 && place-- == 0)
            return m + 1;
    return 0;
}

static int blocks_a_trip(const sw_study *study)
{
    return months_of(study) * study->skies;
}

int64_t sw_study_blocks(const sw_study *study)
{
    return (int64_t)study->trips * blocks_a_trip(study);
}

int sw_study_block_cases(const sw_study *study)
{
    return study->starts * study->choices;
}

// ---- the plans of a trip ----

/// Choices by the size of panels and battery: vans that are alike meet the same events in the same steps,
/// which a march of them side by side takes faster.
typedef struct ordered {
    double array_w, bank_wh;
    int choice;
} ordered;

/// A trip with all choices. Choices of one class share a course.
typedef struct plans {
    sw_arena *arena; // of what follows
    sw_plan **of;    // per choice
    int *class_of;   // per choice: the first choice of its class
    int classes;
    int *first; // per class: its first choice
    struct ordered *ordered;
} plans;

static void free_plans(plans *p, int choices)
{
    for (int k = 0; p->of != NULL && k < choices; k++)
        sw_plan_free(p->of[k]);
    sw_arena_free(p->arena);
    *p = (plans){0};
}

/* A change to the trip that habits do not cover may touch anything. */
static int changes_only_habits(const sw_choice *choice)
{
    for (const sw_node *key = choice->trip != NULL ? choice->trip->first : NULL; key != NULL; key = key->next)
        if (strcmp(key->key, "habits") != 0)
            return 0;
    return 1;
}

static int by_size(const void *a, const void *b)
{
    const ordered *x = a, *y = b;
    if (x->array_w != y->array_w)
        return x->array_w < y->array_w ? -1 : 1;
    if (x->bank_wh != y->bank_wh)
        return x->bank_wh < y->bank_wh ? -1 : 1;
    return x->choice - y->choice;
}

static void put_in_order(const sw_study *study, plans *p)
{
    for (int k = 0; k < study->choices; k++) {
        const sw_van *van = p->of[k]->van;
        const sw_battery_spec *b = &van->battery;
        p->ordered[k] = (ordered){.bank_wh = b->capacity_ah * b->unit_v * b->series * b->parallel * b->health,
                                  .choice = k};
        for (int a = 0; a < van->arrays; a++)
            p->ordered[k].array_w += van->array[a].rated_w * van->array[a].panels;
    }
    qsort(p->ordered, (size_t)study->choices, sizeof *p->ordered, by_size);
}

static void sort_into_classes(const sw_study *study, plans *p)
{
    for (int k = 0; k < study->choices; k++) {
        int c = 0;
        while (c < p->classes &&
               !(changes_only_habits(&study->choice[k]) && changes_only_habits(&study->choice[p->first[c]]) &&
                 sw_course_serves(p->of[p->first[c]], p->of[k])))
            c++;
        if (c == p->classes)
            p->first[p->classes++] = k;
        p->class_of[k] = c;
    }
}

static sw_status no_memory(sw_messages *messages)
{
    return sw_error(messages, SW_NO_MEMORY, NULL, NULL, "there is not enough memory for the study");
}

static sw_status read_plans(const sw_study *study, const sw_loader *loader, int trip, sw_messages *messages,
                            plans *out)
{
    size_t choices = (size_t)study->choices;
    sw_arena *arena = sw_arena_create();
    if (arena == NULL)
        return no_memory(messages);
    *out = (plans){.arena = arena,
                   .of = sw_arena_alloc(arena, choices * sizeof *out->of),
                   .class_of = sw_arena_alloc(arena, choices * sizeof *out->class_of),
                   .first = sw_arena_alloc(arena, choices * sizeof *out->first),
                   .ordered = sw_arena_alloc(arena, choices * sizeof *out->ordered)};
    if (out->of == NULL || out->class_of == NULL || out->first == NULL || out->ordered == NULL) {
        free_plans(out, 0);
        return no_memory(messages);
    }
    sw_status status = SW_OK;
    for (int k = 0; k < study->choices && status == SW_OK; k++)
        status = sw_study_plan(study, loader, trip, k, messages, &out->of[k]);
    if (status != SW_OK) {
        free_plans(out, study->choices);
        return status;
    }
    put_in_order(study, out);
    sort_into_classes(study, out);
    return SW_OK;
}

// ---- one class of a block ----

/// What every unit of work looks at.
typedef struct job {
    const sw_study *study;
    const sw_loader *loader;
    int32_t step_s;
    int first_trip; // of those that are read
    int trips;
    plans *plans;
} job;

/* The trip as the block has it; the van is that of the class's first choice. */
static sw_plan *plan_of_block(const job *j, const sw_block *block, const sw_plan *of, sw_arena *arena)
{
    sw_plan *copy = arena != NULL ? sw_plan_copy(of, arena) : NULL;
    const sw_study_sky *sky = &j->study->sky[block->sky];
    if (copy == NULL)
        return NULL;
    if (!sky->own)
        copy->trip->sky = sky->spec;
    if (block->month > 0)
        sw_plan_move_to_month(copy, block->month);
    return copy;
}

static int64_t earlier(int64_t a, int64_t b)
{
    return a == INT64_MIN ? b : b == INT64_MIN ? a : a < b ? a : b;
}

/* A night holds if nothing fails before the noon after it, or the trip's end. */
static void count_nights(const sw_itinerary *it, const sw_outcome *o, sw_case *out)
{
    int64_t fails_s = earlier(earlier(o->under_at_s, o->out_at_s), o->medical_at_s);
    out->nights = it->days - 1;
    out->nights_held = 0;
    for (int d = 0; d < out->nights; d++) {
        int64_t noon_s = it->day[d].end_s + HALF_DAY_S;
        int64_t held_s = noon_s < it->end_s ? noon_s : it->end_s;
        out->nights_held += fails_s == INT64_MIN || fails_s >= held_s;
    }
}

static void note(const sw_course *course, int outlook, const sw_outcome *outcome, sw_case *out)
{
    if (outlook == SW_OUTLOOK_MAIN) {
        out->own = *outcome;
        out->lowest_local_s = sw_itinerary_local_s(course->itinerary, outcome->lowest_at_s);
    } else {
        out->has_poor = 1;
        out->poor = *outcome;
    }
    count_nights(course->itinerary, outcome, out);
}

/// Up to eight vans of a class.
typedef struct group {
    int count;
    int place[SW_TILE]; // in the block
    sw_trip trip[SW_TILE];
    sw_plan plan[SW_TILE];
} group;

static sw_status march_group(const sw_course *course, const group *g, sw_case *out)
{
    sw_status status = SW_OK;
    for (int o = 0; o < course->outlooks && status == SW_OK; o++) {
        lanes l;
        sw_lanes_begin(&l, &course->forcing[o], course);
        for (int i = 0; i < g->count; i++) {
            sw_variant variant;
            sw_variant_of(&g->plan[i], course, &variant);
            sw_lanes_add(&l, &g->plan[i], &variant);
        }
        status = sw_lanes_march(&l, sw_lanes_take, &l);
        for (int i = 0; i < g->count; i++) {
            sw_outcome outcome = sw_lanes_outcome(&l, i);
            note(course, o, &outcome, &out[g->place[i]]);
        }
    }
    return status;
}

/* The van of the choice, in the trip of the block, with the choice's own reserve line. */
static void add_to_group(const sw_plan *block_plan, const sw_plan *choice_plan, int place, double start,
                         group *g)
{
    int i = g->count++;
    g->place[i] = place;
    g->trip[i] = *block_plan->trip;
    g->trip[i].reserve = choice_plan->trip->reserve;
    g->trip[i].start_soc = isnan(start) ? choice_plan->trip->start_soc : start;
    g->plan[i] = (sw_plan){.van = choice_plan->van, .trip = &g->trip[i]};
}

static sw_status march_class(const job *j, const plans *p, int class, const sw_plan *block_plan,
                             const sw_course *course, sw_case *out)
{
    const sw_study *study = j->study;
    sw_status status = SW_OK;
    group g = {0};
    for (int s = 0; s < study->starts && status == SW_OK; s++)
        for (int i = 0; i < study->choices && status == SW_OK; i++) {
            int k = p->ordered[i].choice;
            if (p->class_of[k] != class)
                continue;
            add_to_group(block_plan, p->of[k], s * study->choices + k, study->start[s], &g);
            if (g.count == SW_TILE) {
                status = march_group(course, &g, out);
                g.count = 0;
            }
        }
    return g.count > 0 && status == SW_OK ? march_group(course, &g, out) : status;
}

/* Skies of one trip share its itinerary, but for those of weather records, which need no climate. */
static sw_status course_of(const job *j, const sw_plan *plan, sw_itinerary **shared, sw_messages *messages,
                           sw_course **out)
{
    if (plan->trip->sky.kind == SW_SKY_HOURLY)
        return sw_course_make(plan, j->loader, j->step_s, messages, out);
    sw_status status =
        *shared == NULL ? sw_itinerary_make(plan, j->loader, j->step_s, messages, shared) : SW_OK;
    return status == SW_OK ? sw_course_make_on(plan, *shared, j->loader, j->step_s, messages, out) : status;
}

static sw_status do_class(const job *j, const sw_block *block, int class, sw_itinerary **shared,
                          sw_messages *messages, sw_case *out)
{
    const plans *p = &j->plans[block->trip - j->first_trip];
    sw_arena *arena = sw_arena_create();
    sw_plan *plan = plan_of_block(j, block, p->of[p->first[class]], arena);
    sw_course *course = NULL;
    sw_status status = plan != NULL ? course_of(j, plan, shared, messages, &course) : no_memory(messages);
    if (status == SW_OK)
        status = march_class(j, p, class, plan, course, out);
    sw_course_free(course);
    sw_arena_free(arena);
    return status;
}

// ---- a round of blocks ----

/// Some blocks in a row: what is worked on at once.
typedef struct turn {
    int64_t first;
    int blocks, cases; // cases of a block
    sw_block *block;
    sw_case *of; // of all blocks
} turn;

static void lay_round(const job *j, int64_t first, turn *r)
{
    r->first = first;
    for (int i = 0; i < r->blocks; i++) {
        int64_t index = first + i;
        int a_trip = blocks_a_trip(j->study), within = (int)(index % a_trip);
        r->block[i] = (sw_block){.index = index,
                                 .trip = (int)(index / a_trip),
                                 .month = month_at(j->study, within / j->study->skies),
                                 .sky = within % j->study->skies,
                                 .cases = r->cases,
                                 .of = &r->of[(size_t)i * (size_t)r->cases]};
    }
    memset(r->of, 0, (size_t)r->blocks * (size_t)r->cases * sizeof *r->of);
}

/// A class of some blocks in a row that differ in their sky alone.
typedef struct unit {
    int block, blocks, class;
} unit;

static sw_status do_unit(const job *j, const turn *r, const unit *u, sw_messages *messages)
{
    sw_itinerary *shared = NULL;
    sw_status status = SW_OK;
    for (int b = u->block; b < u->block + u->blocks && status == SW_OK; b++)
        status = do_class(j, &r->block[b], u->class, &shared, messages, &r->of[(size_t)b * (size_t)r->cases]);
    sw_itinerary_free(shared);
    return status;
}

/* The first of several that fail, in the order of the units, is the one that is told. */
static sw_status do_units(const job *j, const turn *r, const unit *units, int count, sw_messages *messages)
{
    int failed_at = count;
    sw_status worst = SW_OK;
#pragma omp parallel for schedule(dynamic, 1)
    for (int i = 0; i < count; i++) {
        sw_messages *own = sw_messages_create();
        sw_status status = own != NULL ? do_unit(j, r, &units[i], own) : SW_NO_MEMORY;
#pragma omp critical
        if (status != SW_OK && i < failed_at) {
            failed_at = i;
            worst = status;
            (void)sw_messages_repeat_errors(own, messages);
        }
        sw_messages_free(own);
    }
    return worst;
}

static int classes_of(const job *j, const sw_block *block)
{
    return j->plans[block->trip - j->first_trip].classes;
}

static int same_dates(const sw_block *a, const sw_block *b)
{
    return a->trip == b->trip && a->month == b->month;
}

/* @return how many units there are; `units` NULL: they are only counted */
static int lay_units(const job *j, const turn *r, int from, int to, unit *units)
{
    int count = 0, blocks;
    for (int b = from; b < to; b += blocks) {
        blocks = 1;
        while (blocks < SKIES_A_UNIT && b + blocks < to && same_dates(&r->block[b], &r->block[b + blocks]))
            blocks++;
        for (int c = 0; c < classes_of(j, &r->block[b]); c++, count++)
            if (units != NULL)
                units[count] = (unit){b, blocks, c};
    }
    return count;
}

/* The blocks of this process among those of the round. */
static sw_status do_round(const job *j, const turn *r, const sw_ranks *ranks, sw_messages *messages)
{
    int from = ranks != NULL ? (int)((int64_t)ranks->rank * r->blocks / ranks->ranks) : 0;
    int to = ranks != NULL ? (int)((int64_t)(ranks->rank + 1) * r->blocks / ranks->ranks) : r->blocks;
    int count = lay_units(j, r, from, to, NULL);
    unit *units = malloc((size_t)(count > 0 ? count : 1) * sizeof *units);
    if (units == NULL)
        return no_memory(messages);
    lay_units(j, r, from, to, units);
    sw_status status = do_units(j, r, units, count, messages);
    free(units);
    return status;
}

/* On every rank the same; on the others but one that failed there is nothing to tell. */
static sw_status agree(const sw_ranks *ranks, sw_status status)
{
    return ranks != NULL ? (sw_status)ranks->greatest(ranks->context, (int)status) : status;
}

static int is_first(const sw_ranks *ranks)
{
    return ranks == NULL || ranks->rank == 0;
}

static sw_status hand_over(const sw_compare_ask *ask, const turn *r, int64_t of)
{
    sw_status status = SW_OK;
    for (int i = 0; i < r->blocks && status == SW_OK && is_first(ask->ranks); i++)
        status = ask->take(ask->context, &r->block[i]);
    if (ask->progress != NULL && status == SW_OK && is_first(ask->ranks))
        ask->progress(ask->context, r->first + r->blocks, of);
    return agree(ask->ranks, status);
}

static sw_status gather(const sw_ranks *ranks, const turn *r, sw_messages *messages)
{
    if (ranks == NULL || ranks->gather(ranks->context, r->of, (size_t)r->cases * sizeof *r->of, r->blocks))
        return SW_OK;
    return sw_error(messages, SW_CANNOT_WRITE, NULL, NULL, "the processes lost touch with each other");
}

// ---- rounds ----

/* As large as keeps all cores busy, and no larger: the rows that are lost by a kill are those of a round. */
static int round_size(const sw_study *study, const sw_ranks *ranks)
{
    int wanted = sw_threads_most() * BLOCKS_A_THREAD * (ranks != NULL ? ranks->ranks : 1);
    int most = CASES_AT_ONCE / sw_study_block_cases(study);
    int least = ranks != NULL ? ranks->ranks : 1;
    return wanted < most ? wanted : most > least ? most : least;
}

static int make_room(turn *r, int blocks, int cases)
{
    *r = (turn){.blocks = blocks, .cases = cases};
    r->block = calloc((size_t)blocks, sizeof *r->block);
    r->of = calloc((size_t)blocks * (size_t)cases, sizeof *r->of);
    return r->block != NULL && r->of != NULL;
}

static void free_round(turn *r)
{
    free(r->block);
    free(r->of);
}

static int is_stopped(const sw_compare_ask *ask)
{
    int stopped = ask->stop != NULL && *ask->stop != 0;
    return ask->ranks != NULL ? ask->ranks->greatest(ask->ranks->context, stopped) : stopped;
}

/* The blocks from `*done` to those of the last trip that is read. */
static sw_status do_rounds(const job *j, const sw_compare_ask *ask, turn *r, sw_messages *messages,
                           int64_t *done)
{
    int size = r->blocks;
    int64_t end = (int64_t)(j->first_trip + j->trips) * blocks_a_trip(j->study);
    sw_status status = SW_OK;
    while (*done < end && status == SW_OK && !is_stopped(ask)) {
        r->blocks = end - *done < size ? (int)(end - *done) : size;
        lay_round(j, *done, r);
        status = agree(ask->ranks, do_round(j, r, ask->ranks, messages));
        if (status == SW_OK)
            status = agree(ask->ranks, gather(ask->ranks, r, messages));
        if (status == SW_OK)
            status = hand_over(ask, r, sw_study_blocks(j->study));
        if (status == SW_OK)
            *done += r->blocks;
    }
    r->blocks = size;
    return status;
}

static sw_status read_trips(job *j, int first, int trips, sw_messages *messages)
{
    sw_status status = SW_OK;
    j->first_trip = first;
    for (j->trips = 0; j->trips < trips && status == SW_OK; j->trips += status == SW_OK)
        status = read_plans(j->study, j->loader, first + j->trips, messages, &j->plans[j->trips]);
    return status;
}

static void free_trips(job *j)
{
    while (j->trips > 0)
        free_plans(&j->plans[--j->trips], j->study->choices);
}

static int trips_at_once(const sw_study *study)
{
    int most = PLANS_AT_ONCE / study->choices;
    return most < 1 ? 1 : most < study->trips ? most : study->trips;
}

sw_status sw_compare(const sw_study *study, const sw_loader *loader, const sw_compare_ask *ask,
                     sw_messages *messages, int64_t *done_blocks)
{
    int at_once = trips_at_once(study);
    int64_t done = ask->first_block, all = sw_study_blocks(study);
    job j = {.study = study, .loader = loader, .step_s = ask->step_s};
    turn r;
    j.plans = calloc((size_t)at_once, sizeof *j.plans);
    int roomy = make_room(&r, round_size(study, ask->ranks), sw_study_block_cases(study)) && j.plans != NULL;
    sw_status status = agree(ask->ranks, roomy ? SW_OK : no_memory(messages));
    while (roomy && done < all && status == SW_OK) {
        int first = (int)(done / blocks_a_trip(study)), left = study->trips - first;
        int64_t before = done;
        status = agree(ask->ranks, read_trips(&j, first, left < at_once ? left : at_once, messages));
        if (status == SW_OK)
            status = do_rounds(&j, ask, &r, messages, &done);
        free_trips(&j);
        if (done == before)
            break; // stopped
    }
    free_round(&r);
    free(j.plans);
    *done_blocks = done;
    return status;
}

// ---- before the work ----

static sw_status try_month(const sw_plan *plan, int month, const sw_loader *loader, int32_t step_s,
                           sw_messages *messages)
{
    sw_arena *arena = sw_arena_create();
    sw_plan *copy = arena != NULL ? sw_plan_copy(plan, arena) : NULL;
    sw_itinerary *it = NULL;
    if (copy != NULL && month > 0)
        sw_plan_move_to_month(copy, month);
    sw_status status =
        copy != NULL ? sw_itinerary_make(copy, loader, step_s, messages, &it) : no_memory(messages);
    sw_itinerary_free(it);
    sw_arena_free(arena);
    return status;
}

/* A weather record must be there, and cover the trip in the first of its months. */
static sw_status try_sky(const job *j, const sw_plan *plan, int sky, sw_messages *messages)
{
    const sw_study *study = j->study;
    int kind = study->sky[sky].own ? plan->trip->sky.kind : study->sky[sky].spec.kind;
    if (kind != SW_SKY_HOURLY)
        return SW_OK;
    sw_block block = {.sky = sky, .month = month_at(study, 0)};
    sw_arena *arena = sw_arena_create();
    sw_plan *copy = plan_of_block(j, &block, plan, arena);
    sw_course *course = NULL;
    sw_status status =
        copy != NULL ? sw_course_make(copy, j->loader, j->step_s, messages, &course) : no_memory(messages);
    sw_course_free(course);
    sw_arena_free(arena);
    return status;
}

/* Dates and hookups are looked at once for all choices that one course serves. */
static sw_status try_class(const job *j, const sw_plan *plan, int with_skies, sw_messages *messages)
{
    sw_status status = SW_OK;
    for (int place = 0; place < months_of(j->study) && status == SW_OK; place++)
        status = try_month(plan, month_at(j->study, place), j->loader, j->step_s, messages);
    for (int sky = 0; sky < j->study->skies && with_skies && status == SW_OK; sky++)
        status = try_sky(j, plan, sky, messages);
    return status;
}

static sw_status try_trip(const job *j, int trip, int with_records, sw_messages *messages)
{
    plans p = {0};
    sw_status status = read_plans(j->study, j->loader, trip, messages, &p);
    if (status != SW_OK)
        return status;
    for (int c = 0; c < p.classes && status == SW_OK; c++)
        status = try_class(j, p.of[p.first[c]], with_records && c == 0, messages);
    free_plans(&p, j->study->choices);
    return status;
}

sw_status sw_study_try(const sw_study *study, const sw_loader *loader, int32_t step_s, int with_records,
                       sw_messages *messages)
{
    job j = {.study = study, .loader = loader, .step_s = step_s};
    sw_status status = SW_OK;
    for (int t = 0; t < study->trips && status == SW_OK; t++) {
        sw_messages *own = sw_messages_create();
        status = own != NULL ? try_trip(&j, t, with_records, own) : SW_NO_MEMORY;
        (void)sw_messages_repeat(own, messages); // what is wrong in every choice is told once
        sw_messages_free(own);
    }
    return status;
}
