// One class of a block: its choices through one course, eight vans at a time.
#include "study/compare_inside.h"
#include "study/lanes.h"
#include "study/plan_copy.h"
#include "study/plan_move.h"

#include <math.h>

#define HALF_DAY_S 43200

sw_plan *sw_compare_plan(const job *j, const sw_block *block, const sw_plan *of, sw_arena *arena)
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
        for (int i = 0; i < g->count; i++)
            sw_lanes_add_plan(&l, &g->plan[i]);
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

static sw_status march_class(const job *j, const plans *p, const share *of, const sw_plan *block_plan,
                             const sw_course *course, sw_case *out)
{
    const sw_study *study = j->study;
    sw_status status = SW_OK;
    int met = 0;
    group g = {0};
    for (int s = 0; s < study->starts && status == SW_OK; s++)
        for (int i = 0; i < study->choices && status == SW_OK; i++) {
            int k = p->by_size[i];
            if (p->class_of[k] != of->class || met++ / SW_TILE % of->parts != of->part)
                continue;
            add_to_group(block_plan, p->of[k], s * study->choices + k, study->start[s], &g);
            if (g.count == SW_TILE) {
                status = march_group(course, &g, out);
                g.count = 0;
            }
        }
    return g.count > 0 && status == SW_OK ? march_group(course, &g, out) : status;
}

static int cases_of(const sw_study *study, const plans *p, int class)
{
    int choices = 0;
    for (int k = 0; k < study->choices; k++)
        choices += p->class_of[k] == class;
    return choices * study->starts;
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

sw_status sw_compare_class(const job *j, const sw_block *block, const share *of, sw_itinerary **shared,
                           sw_messages *messages, sw_case *out)
{
    const plans *p = &j->plans[block->trip - j->first_trip];
    if (of->part * SW_TILE >= cases_of(j->study, p, of->class))
        return SW_OK;
    sw_arena *arena = sw_arena_create();
    sw_plan *plan = sw_compare_plan(j, block, p->of[p->first[of->class]], arena);
    sw_course *course = NULL;
    sw_status status =
        plan != NULL ? course_of(j, plan, shared, messages, &course) : sw_compare_no_memory(messages);
    if (status == SW_OK)
        status = march_class(j, p, of, plan, course, out);
    sw_course_free(course);
    sw_arena_free(arena);
    return status;
}
