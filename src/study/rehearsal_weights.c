// The weight of assumptions, by re-rehearsal in lanes.
#include "study/rehearsal_weights.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

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

sw_status sw_weighing_open(sw_rehearsal *r, sw_arena *arena, weighing *w)
{
    *w = (weighing){.r = r, .step_h = r->course->forcing[0].step_s / 3600.0};
    r->weight = sw_arena_alloc(arena, (size_t)r->plan->assumptions * sizeof *r->weight);
    if (r->weight == NULL)
        return SW_NO_MEMORY;
    for (int i = 0; i < r->plan->assumptions; i++)
        if (is_of_the_van(&r->plan->assumption[i]))
            r->weight[r->weights++].assumption = i;
    w->ends = 2 * r->weights;
    return SW_OK;
}

/* Even ends are low, odd ones high. */
static void variant_at_end(const weighing *w, int end, sw_variant *out)
{
    sw_weight *weight = &w->r->weight[end / 2];
    const sw_assumption *a = &w->r->plan->assumption[weight->assumption];
    int at_low = end % 2 == 0;
    *(at_low ? &weight->low : &weight->high) = variant_with(w->r, a, at_low ? a->low : a->high, out);
}

void sw_weighing_fill(weighing *w, int first, sw_tile_plan *plan, sw_tile_state *state)
{
    for (int lane = 0; lane < SW_TILE; lane++) {
        sw_variant variant = w->r->variant;
        w->end[lane] = lane >= first && w->next < w->ends ? w->next++ : -1;
        if (w->end[lane] >= 0)
            variant_at_end(w, w->end[lane], &variant);
        sw_tile_set(plan, state, lane, &variant, w->r->course->forcing[0].step_s);
        w->lowest_soc[lane] = variant.start_soc;
        w->unserved_wh[lane] = 0.0;
    }
}

void sw_weighing_take(weighing *w, const sw_tile_flow *flow)
{
    for (int lane = 0; lane < SW_TILE; lane++) {
        double soc = flow->soc[lane];
        w->lowest_soc[lane] = soc < w->lowest_soc[lane] ? soc : w->lowest_soc[lane];
        for (int bus = 0; bus < SW_BUS_COUNT; bus++)
            for (int held = 0; held < SW_HELD_COUNT; held++)
                w->unserved_wh[lane] +=
                    flow->asked_w[bus][held][lane] * (1.0 - flow->served_share[bus][held][lane]) * w->step_h;
    }
}

void sw_weighing_note(weighing *w)
{
    for (int lane = 0; lane < SW_TILE; lane++) {
        if (w->end[lane] < 0)
            continue;
        sw_weight *weight = &w->r->weight[w->end[lane] / 2];
        int at_low = w->end[lane] % 2 == 0;
        *(at_low ? &weight->lowest_at_low : &weight->lowest_at_high) = w->lowest_soc[lane];
        *(at_low ? &weight->unserved_at_low : &weight->unserved_at_high) = w->unserved_wh[lane];
    }
}

// ---- all of them ----

static void take(void *context, int32_t step, const sw_tile_flow *flow)
{
    (void)step;
    sw_weighing_take(context, flow);
}

void sw_weighing_finish(weighing *w)
{
    sw_rehearsal *r = w->r;
    while (w->next < w->ends) {
        sw_tile_plan plan;
        sw_tile_state state;
        sw_weighing_fill(w, 0, &plan, &state);
        (void)sw_march(&r->course->forcing[SW_OUTLOOK_MAIN], &plan, &state, take, w);
        sw_weighing_note(w);
    }
    for (int i = 0; i < r->weights; i++) {
        sw_weight *weight = &r->weight[i];
        weight->points = farther(weight->lowest_at_low, weight->lowest_at_high, r->outcome.lowest_soc);
        weight->unserved_wh =
            farther(weight->unserved_at_low, weight->unserved_at_high, r->outcome.unserved_wh);
    }
    qsort(r->weight, (size_t)r->weights, sizeof *r->weight, heavier_first);
}
