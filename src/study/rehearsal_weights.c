// The weight of assumptions, by re-rehearsal in lanes.
#include "study/rehearsal_weights.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

/// Lowest charge of each lane, and what it did not serve [Wh].
typedef struct lows {
    double step_h;
    sw_column soc, unserved_wh;
} lows;

static void take_low(void *context, int32_t step, const sw_tile_flow *flow)
{
    lows *l = context;
    (void)step;
    for (int lane = 0; lane < SW_TILE; lane++) {
        l->soc[lane] = flow->soc[lane] < l->soc[lane] ? flow->soc[lane] : l->soc[lane];
        for (int bus = 0; bus < SW_BUS_COUNT; bus++)
            for (int held = 0; held < SW_HELD_COUNT; held++)
                l->unserved_wh[lane] +=
                    flow->asked_w[bus][held][lane] * (1.0 - flow->served_share[bus][held][lane]) * l->step_h;
    }
}

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

/* One march for up to SW_TILE / 2 assumptions: two lanes each. */
static void weigh_group(sw_rehearsal *r, sw_weight *group, int count)
{
    sw_tile_plan plan;
    sw_tile_state state;
    const sw_forcing *f = &r->course->forcing[SW_OUTLOOK_MAIN];
    lows low = {.step_h = f->step_s / 3600.0};
    for (int lane = 0; lane < SW_TILE; lane++) {
        sw_weight *w = &group[lane / 2 < count ? lane / 2 : 0];
        const sw_assumption *a = &r->plan->assumption[w->assumption];
        int at_low = lane % 2 == 0;
        sw_variant variant;
        *(at_low ? &w->low : &w->high) = variant_with(r, a, at_low ? a->low : a->high, &variant);
        sw_tile_set(&plan, &state, lane, &variant, f->step_s);
        low.soc[lane] = variant.start_soc;
    }
    (void)sw_march(f, &plan, &state, take_low, &low);
    for (int i = 0; i < count; i++) {
        group[i].lowest_at_low = low.soc[2 * i];
        group[i].lowest_at_high = low.soc[2 * i + 1];
        group[i].unserved_at_low = low.unserved_wh[2 * i];
        group[i].unserved_at_high = low.unserved_wh[2 * i + 1];
        group[i].points = farther(low.soc[2 * i], low.soc[2 * i + 1], r->outcome.lowest_soc);
        group[i].unserved_wh =
            farther(low.unserved_wh[2 * i], low.unserved_wh[2 * i + 1], r->outcome.unserved_wh);
    }
}

sw_status sw_weigh_assumptions(sw_rehearsal *r, sw_arena *arena)
{
    r->weight = sw_arena_alloc(arena, (size_t)r->plan->assumptions * sizeof *r->weight);
    if (r->weight == NULL)
        return SW_NO_MEMORY;
    for (int i = 0; i < r->plan->assumptions; i++)
        if (is_of_the_van(&r->plan->assumption[i]))
            r->weight[r->weights++].assumption = i;
    for (int from = 0; from < r->weights; from += SW_TILE / 2) {
        int left = r->weights - from;
        weigh_group(r, &r->weight[from], left < SW_TILE / 2 ? left : SW_TILE / 2);
    }
    qsort(r->weight, (size_t)r->weights, sizeof *r->weight, heavier_first);
    return SW_OK;
}
