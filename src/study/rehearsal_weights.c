// The weight of assumptions, by re-rehearsal in lanes.
#include "study/rehearsal_weights.h"

#include "study/lanes.h"
#include "study/rehearsal_merged.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

/// Steps in which assumptions are weighed: what they change of the lowest charge is asked for, and told in
/// whole points.
#define STEP_LONGEST_S 1800

/// What a lane came to.
typedef struct result {
    double lowest_soc, unserved_wh;
} result;

/// Two ends an assumption, after them the trip itself, which the differences are taken from.
typedef struct weighing {
    sw_rehearsal *r;
    sw_forcing forcing;
    int ends;
    result *of; // per end, and of the trip itself
} weighing;

/* Only what the march itself reads can be moved without another forcing. */
static int is_of_the_van(const sw_assumption *a)
{
    return a->at != NULL && a->low < a->high &&
           (strncmp(a->path, "van ", 4) == 0 || strcmp(a->path, "trip /start_charge") == 0);
}

/* The plan is put back as it was. An end at which the van could not be is drawn in towards the value that was
   assumed: the inverter's three figures bound each other.
   @return the value at which it was */
static double variant_with(const sw_rehearsal *r, const sw_assumption *a, double value, sw_variant *out)
{
    double before = *a->at;
    *a->at = value;
    for (int halved = 0; !sw_variant_of(r->plan, r->course, out) && halved < 20; halved++)
        *a->at = 0.5 * (*a->at + before);
    double used = *a->at;
    *a->at = before;
    return used;
}

static int heavier_first(const void *a, const void *b)
{
    const sw_weight *x = a, *y = b;
    // Where things go unserved the charge cannot fall much further: what is lost then counts first.
    double more = floor(y->unserved_wh + 0.5) - floor(x->unserved_wh + 0.5); // whole Wh
    if (more != 0.0)
        return more > 0.0 ? 1 : -1;
    if (x->points != y->points)
        return x->points < y->points ? 1 : -1;
    return x->assumption - y->assumption;
}

static double farther(double a, double b, double from)
{
    return fmax(fabs(a - from), fabs(b - from));
}

// ---- lanes ----

/* Even ends are low, odd ones high. */
static void variant_at_end(const weighing *w, int end, sw_variant *out)
{
    sw_weight *weight = &w->r->weight[end / 2];
    const sw_assumption *a = &w->r->plan->assumption[weight->assumption];
    int at_low = end % 2 == 0;
    *(at_low ? &weight->low : &weight->high) = variant_with(w->r, a, at_low ? a->low : a->high, out);
}

static result result_of(const lanes *l, int lane)
{
    sw_outcome out = sw_lanes_outcome(l, lane);
    return (result){out.lowest_soc, out.unserved_wh};
}

static void march_ends(weighing *w, int first)
{
    lanes l;
    sw_lanes_begin(&l, &w->forcing, NULL);
    for (int end = first; end < first + SW_TILE && end <= w->ends; end++) {
        sw_variant variant = w->r->variant;
        if (end < w->ends)
            variant_at_end(w, end, &variant);
        sw_lanes_add(&l, w->r->plan, &variant);
    }
    (void)sw_lanes_march(&l, sw_lanes_take, &l);
    for (int lane = 0; lane < l.count; lane++)
        w->of[first + lane] = result_of(&l, lane);
}

// ---- all of them ----

/* The longer steps move every march alike: what an end differs from the trip's march in the same steps is
   added to what the trip itself came to. */
static result beside_trip(const sw_outcome *trip, result end, result self)
{
    double soc = trip->lowest_soc + end.lowest_soc - self.lowest_soc;
    double unserved_wh = trip->unserved_wh + end.unserved_wh - self.unserved_wh;
    return (result){fmin(fmax(soc, 0.0), 1.0), fmax(unserved_wh, 0.0)};
}

static void note_results(const sw_rehearsal *r, sw_weight *weight, result low, result high)
{
    weight->lowest_at_low = low.lowest_soc;
    weight->lowest_at_high = high.lowest_soc;
    weight->unserved_at_low = low.unserved_wh;
    weight->unserved_at_high = high.unserved_wh;
    weight->points = farther(low.lowest_soc, high.lowest_soc, r->outcome.lowest_soc);
    weight->unserved_wh = farther(low.unserved_wh, high.unserved_wh, r->outcome.unserved_wh);
}

sw_status sw_weigh_assumptions(sw_rehearsal *r, sw_arena *arena)
{
    weighing w = {.r = r};
    r->weight = sw_arena_alloc(arena, (size_t)r->plan->assumptions * sizeof *r->weight);
    if (r->weight == NULL)
        return SW_NO_MEMORY;
    for (int i = 0; i < r->plan->assumptions; i++)
        if (is_of_the_van(&r->plan->assumption[i]))
            r->weight[r->weights++].assumption = i;
    w.ends = 2 * r->weights;
    w.of = sw_arena_alloc(arena, (size_t)(w.ends + 1) * sizeof *w.of);
    if (w.of == NULL ||
        sw_merge_steps(&r->course->forcing[SW_OUTLOOK_MAIN], STEP_LONGEST_S, arena, &w.forcing) != SW_OK)
        return SW_NO_MEMORY;
    for (int first = 0; first <= w.ends; first += SW_TILE)
        march_ends(&w, first);
    for (int i = 0; i < r->weights; i++)
        note_results(r, &r->weight[i], beside_trip(&r->outcome, w.of[2 * i], w.of[w.ends]),
                     beside_trip(&r->outcome, w.of[2 * i + 1], w.of[w.ends]));
    qsort(r->weight, (size_t)r->weights, sizeof *r->weight, heavier_first);
    return SW_OK;
}

// ---- what the march does not feel ----

/// A course of its own for each end.
typedef struct rest {
    sw_rehearsal *r;
    const sw_loader *loader;
    sw_messages *messages;
    result self;
} rest;

/* A range may reach to where there could be no such trip. */
static int is_impossible(sw_status status)
{
    return status == SW_BAD_INPUT || status == SW_OUT_OF_RANGE;
}

/* Warnings were told when the trip was rehearsed, and of what is not possible nobody has asked.
   @return as sw_course_make */
static sw_status course_of(const rest *of, sw_course **out)
{
    sw_messages *messages = sw_messages_create();
    sw_status status = messages != NULL
                           ? sw_course_make(of->r->plan, of->loader, STEP_LONGEST_S, messages, out)
                           : SW_NO_MEMORY;
    if (status != SW_OK && !is_impossible(status))
        (void)sw_messages_repeat_errors(messages, of->messages);
    sw_messages_free(messages);
    return status;
}

static sw_status result_of_course(const rest *of, result *out)
{
    sw_course *course = NULL;
    sw_status status = course_of(of, &course);
    if (status != SW_OK)
        return status;
    sw_variant variant;
    lanes l;
    sw_variant_of(of->r->plan, course, &variant);
    sw_lanes_begin(&l, &course->forcing[SW_OUTLOOK_MAIN], NULL);
    sw_lanes_add(&l, of->r->plan, &variant);
    (void)sw_lanes_march(&l, sw_lanes_take, &l);
    *out = result_of(&l, 0);
    sw_course_free(course);
    return SW_OK;
}

/* An end at which there could be no such trip is left at the value that was assumed.
   @return as sw_course_make otherwise */
static sw_status result_at(const rest *of, const sw_assumption *a, double value, result *out)
{
    double before = *a->at;
    *a->at = value;
    sw_status status = result_of_course(of, out);
    *a->at = before;
    if (status != SW_OK && !is_impossible(status))
        return status;
    *out = beside_trip(&of->r->outcome, status == SW_OK ? *out : of->self, of->self);
    return SW_OK;
}

/* Whether the march feels an assumption by itself. */
static int is_felt(const sw_rehearsal *r, const sw_assumption *a)
{
    sw_variant low, high; // compared with their padding, which the same code sets in both
    memset(&low, 0, sizeof low);
    memset(&high, 0, sizeof high);
    variant_with(r, a, a->low, &low);
    variant_with(r, a, a->high, &high);
    return is_of_the_van(a) && memcmp(&low, &high, sizeof low) != 0;
}

static sw_weight *weight_of(sw_rehearsal *r, int assumption)
{
    for (int i = 0; i < r->weights; i++)
        if (r->weight[i].assumption == assumption)
            return &r->weight[i];
    sw_weight *added = &r->weight[r->weights++];
    *added = (sw_weight){.assumption = assumption};
    return added;
}

sw_status sw_weigh_rest(sw_rehearsal *r, const sw_loader *loader, sw_messages *messages)
{
    rest of = {.r = r, .loader = loader, .messages = messages};
    sw_status status = result_of_course(&of, &of.self);
    for (int i = 0; status == SW_OK && i < r->plan->assumptions; i++) {
        const sw_assumption *a = &r->plan->assumption[i];
        if (a->at == NULL || a->low >= a->high)
            continue;
        sw_weight *weight = weight_of(r, i);
        if (is_felt(r, a))
            continue;
        weight->low = a->low;
        weight->high = a->high;
        result low, high;
        status = result_at(&of, a, a->low, &low);
        if (status == SW_OK)
            status = result_at(&of, a, a->high, &high);
        if (status == SW_OK)
            note_results(r, weight, low, high);
    }
    qsort(r->weight, (size_t)r->weights, sizeof *r->weight, heavier_first);
    return status;
}
