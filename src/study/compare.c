// All cases of a study, in rounds. A block is one trip, month and sky; its choices fall into classes that one
// course serves.
#include "study/compare_inside.h"
#include "study/threads.h"

#include <stdlib.h>
#include <string.h>

#define PLANS_AT_ONCE   512   // of several trips, so that short ones keep all cores busy
#define CASES_AT_ONCE   16384 // of a round
#define SKIES_A_UNIT    4     // that share an itinerary
#define UNITS_A_THREAD  2     // at least, where there are as many
#define BLOCKS_A_THREAD 8     // of a round: at its end threads wait for the slowest

// ---- the grid ----

int sw_compare_months(const sw_study *study)
{
    int count = 0;
    for (int m = 0; m < 12; m++)
        count += (study->months >> m & 1u) != 0;
    return count > 0 ? count : 1;
}

int sw_compare_month(const sw_study *study, int place)
{
    for (int m = 0; m < 12; m++)
        if ((study->months >> m & 1u) != 0 && place-- == 0)
            return m + 1;
    return 0;
}

static int blocks_a_trip(const sw_study *study)
{
    return sw_compare_months(study) * study->skies;
}

int64_t sw_study_blocks(const sw_study *study)
{
    return (int64_t)study->trips * blocks_a_trip(study);
}

int sw_study_block_cases(const sw_study *study)
{
    return study->starts * study->choices;
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
                                 .month = sw_compare_month(j->study, within / j->study->skies),
                                 .sky = within % j->study->skies,
                                 .cases = r->cases,
                                 .of = &r->of[(size_t)i * (size_t)r->cases]};
    }
    memset(r->of, 0, (size_t)r->blocks * (size_t)r->cases * sizeof *r->of);
}

/// A share of a class, in some blocks in a row that differ in their sky alone.
typedef struct unit {
    int block, blocks;
    share of;
} unit;

/// Units of a round, by number.
typedef struct units {
    const job *job;
    const turn *turn;
    const unit *of;
} units;

static sw_status do_unit(const void *context, int number, sw_messages *messages)
{
    const units *all = context;
    const turn *r = all->turn;
    const unit *u = &all->of[number];
    sw_itinerary *shared = NULL;
    sw_status status = SW_OK;
    for (int b = u->block; b < u->block + u->blocks && status == SW_OK; b++)
        status = sw_compare_class(all->job, &r->block[b], &u->of, &shared, messages,
                                  &r->of[(size_t)b * (size_t)r->cases]);
    sw_itinerary_free(shared);
    return status;
}

static int classes_of(const job *j, const sw_block *block)
{
    return j->plans[block->trip - j->first_trip].classes;
}

static int same_dates(const sw_block *a, const sw_block *b)
{
    return a->trip == b->trip && a->month == b->month;
}

/// How finely a round is cut.
typedef struct cut {
    int skies; // of a unit
    int parts; // of a class
} cut;

/* @return how many units there are; `list` NULL: they are only counted */
static int lay_units(const job *j, const turn *r, int from, int to, const cut *c, unit *list)
{
    int count = 0, blocks;
    for (int b = from; b < to; b += blocks) {
        blocks = 1;
        while (blocks < c->skies && b + blocks < to && same_dates(&r->block[b], &r->block[b + blocks]))
            blocks++;
        for (int class = 0; class < classes_of(j, &r->block[b]); class ++)
            for (int part = 0; part < c->parts; part++, count++)
                if (list != NULL)
                    list[count] = (unit){b, blocks, {class, part, c->parts}};
    }
    return count;
}

/* Skies that share an itinerary, and classes that share a course, are cut up where cores would stand idle. */
static cut cut_for(const job *j, const turn *r, int from, int to)
{
    cut c = {SKIES_A_UNIT, 1};
    int wanted = UNITS_A_THREAD * sw_threads_most(), groups = (r->cases + SW_TILE - 1) / SW_TILE;
    while (c.skies > 1 && lay_units(j, r, from, to, &c, NULL) < wanted)
        c.skies /= 2;
    int count = lay_units(j, r, from, to, &c, NULL);
    if (count > 0 && count < wanted)
        c.parts = (wanted + count - 1) / count;
    c.parts = c.parts < groups ? c.parts : groups;
    return c;
}

/* The blocks of this process among those of the round. */
static sw_status do_round(const job *j, const turn *r, const sw_ranks *ranks, sw_messages *messages)
{
    int from = ranks != NULL ? (int)((int64_t)ranks->rank * r->blocks / ranks->ranks) : 0;
    int to = ranks != NULL ? (int)((int64_t)(ranks->rank + 1) * r->blocks / ranks->ranks) : r->blocks;
    cut c = cut_for(j, r, from, to);
    int count = lay_units(j, r, from, to, &c, NULL);
    unit *list = malloc((size_t)(count > 0 ? count : 1) * sizeof *list);
    if (list == NULL)
        return sw_compare_no_memory(messages);
    lay_units(j, r, from, to, &c, list);
    units all = {j, r, list};
    sw_status status = sw_threads_do(&(sw_items){.last = count, .work = do_unit, .context = &all}, messages);
    free(list);
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
        status = sw_compare_read_plans(j->study, j->loader, first + j->trips, messages, &j->plans[j->trips]);
    return status;
}

static void free_trips(job *j)
{
    while (j->trips > 0)
        sw_compare_free_plans(&j->plans[--j->trips], j->study->choices);
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
    sw_status status = agree(ask->ranks, roomy ? SW_OK : sw_compare_no_memory(messages));
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
