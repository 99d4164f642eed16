// The weight of assumptions, by re-rehearsal in lanes.
#include "study/rehearsal_weights.h"

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
    // Of the march that is running:
    sw_column lowest_soc, unserved_wh;
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

static void take(void *context, int32_t step, const sw_tile_flow *flow)
{
    weighing *w = context;
    double hours = w->forcing.step_s / 3600.0;
    (void)step;
    for (int lane = 0; lane < SW_TILE; lane++) {
        double soc = flow->soc[lane];
        w->lowest_soc[lane] = soc < w->lowest_soc[lane] ? soc : w->lowest_soc[lane];
        for (int bus = 0; bus < SW_BUS_COUNT; bus++)
            for (int held = 0; held < SW_HELD_COUNT; held++)
                w->unserved_wh[lane] +=
                    flow->asked_w[bus][held][lane] * (1.0 - flow->served_share[bus][held][lane]) * hours;
    }
}

static void march_ends(weighing *w, int first)
{
    sw_tile_plan plan;
    sw_tile_state state;
    for (int lane = 0; lane < SW_TILE; lane++) {
        sw_variant variant = w->r->variant;
        if (first + lane < w->ends)
            variant_at_end(w, first + lane, &variant);
        sw_tile_set(&plan, &state, lane, &variant, w->forcing.step_s);
        w->lowest_soc[lane] = variant.start_soc;
        w->unserved_wh[lane] = 0.0;
    }
    (void)sw_march(&w->forcing, &plan, &state, take, w);
    for (int lane = 0; lane < SW_TILE && first + lane <= w->ends; lane++)
        w->of[first + lane] = (result){w->lowest_soc[lane], w->unserved_wh[lane]};
}

// ---- all of them ----

/* The longer steps move every march alike: what an end differs from the trip's march in the same steps is
   added to what the trip itself came to. */
static result result_of(const weighing *w, int end)
{
    const sw_outcome *trip = &w->r->outcome;
    result self = w->of[w->ends];
    double soc = trip->lowest_soc + w->of[end].lowest_soc - self.lowest_soc;
    double unserved_wh = trip->unserved_wh + w->of[end].unserved_wh - self.unserved_wh;
    return (result){fmin(fmax(soc, 0.0), 1.0), fmax(unserved_wh, 0.0)};
}

static void note(const weighing *w, int index)
{
    const sw_outcome *trip = &w->r->outcome;
    sw_weight *weight = &w->r->weight[index];
    result low = result_of(w, 2 * index), high = result_of(w, 2 * index + 1);
    weight->lowest_at_low = low.lowest_soc;
    weight->lowest_at_high = high.lowest_soc;
    weight->unserved_at_low = low.unserved_wh;
    weight->unserved_at_high = high.unserved_wh;
    weight->points = farther(low.lowest_soc, high.lowest_soc, trip->lowest_soc);
    weight->unserved_wh = farther(low.unserved_wh, high.unserved_wh, trip->unserved_wh);
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
        note(&w, i);
    qsort(r->weight, (size_t)r->weights, sizeof *r->weight, heavier_first);
    return SW_OK;
}
