// What each lane of a march comes to. What happens in every step is one pass over the lanes without branches;
// what happens once is looked at lane by lane.
#include "study/lanes.h"

#include <string.h>

#define ROUNDING     1e-9 // less is not missed (numerics)
#define TIGHT_MARGIN 0.10 // points above the reserve line under which a trip only just holds

const char *sw_verdict_word(sw_verdict verdict)
{
    static const char *const words[] = {"holds", "tight", "under", "out"};
    return words[verdict];
}

// ---- filling ----

void sw_lanes_begin(lanes *l, const sw_forcing *forcing, const sw_course *course)
{
    memset(l, 0, sizeof *l);
    l->forcing = forcing;
    l->course = course;
    l->step_h = forcing->step_s / 3600.0;
}

static void set_lane(lanes *l, int lane, const sw_plan *plan, const sw_variant *variant)
{
    sw_tile_set(&l->tile, &l->state, lane, variant, l->forcing->step_s);
    l->start_soc[lane] = l->lowest_soc[lane] = l->end_soc[lane] = variant->start_soc;
    l->lowest_step[lane] = l->last_under_day[lane] = l->under_step[lane] = -1.0;
    l->reserve[lane] = plan->trip->reserve;
    l->discharge_stop_c[lane] = plan->van->battery.discharge_stop_c;
    l->out[lane].step = l->out[lane].short_step = l->out[lane].medical_step = l->out[lane].medical = -1;
}

void sw_lanes_add(lanes *l, const sw_plan *plan, const sw_variant *variant)
{
    if (l->count == 0) {
        l->plan = plan;
        for (int k = 0; k < plan->van->loads; k++)
            l->has_medical = l->has_medical || plan->van->load[k].medical;
    }
    set_lane(l, l->count++, plan, variant);
    l->last = *variant;
}

void sw_lanes_add_plan(lanes *l, const sw_plan *plan)
{
    sw_variant variant;
    sw_variant_of(plan, l->course, &variant);
    sw_lanes_add(l, plan, &variant);
}

sw_status sw_lanes_march(lanes *l, sw_march_sink *sink, void *context)
{
    for (int lane = l->count; lane < SW_TILE; lane++)
        set_lane(l, lane, l->plan, &l->last);
    return sw_march(l->forcing, &l->tile, &l->state, sink, context);
}

// ---- every step ----

static int is_unserved(const sw_tile_flow *flow)
{
    double sum = 0.0;
    for (int lane = 0; lane < SW_TILE; lane++)
        sum += flow->unserved_w[lane];
    return sum > 0.0;
}

/* @return whether any lane missed something because of the battery */
static int add_unserved(lanes *l, const sw_tile_flow *flow)
{
    double any = 0.0;
    for (int bus = 0; bus < SW_BUS_COUNT; bus++)
        for (int held = 0; held < SW_HELD_COUNT; held++)
            for (int lane = 0; lane < SW_TILE; lane++) {
                double wh =
                    flow->asked_w[bus][held][lane] * (1.0 - flow->served_share[bus][held][lane]) * l->step_h;
                double lost = flow->lost[bus][held][lane], missed = lost >= SW_LOST_EMPTY ? wh : 0.0;
                l->unserved_wh[lane] += wh;
                l->missed_wh[lane] += missed;
                l->short_wh[lane] += lost != SW_LOST_RATE ? missed : 0.0;
                any += missed;
            }
    return any > 0.0;
}

/* Most steps are neither lower than all before nor under the line, in any lane. */
static int is_remarkable(const lanes *l, const sw_tile_flow *flow)
{
    int any = 0;
    for (int lane = 0; lane < SW_TILE; lane++)
        any |= (flow->soc[lane] < l->lowest_soc[lane]) | (SW_IS_UNDER(flow->soc[lane], l->reserve[lane]));
    return any;
}

static void follow_charge(lanes *l, int32_t step, const sw_tile_flow *flow)
{
    memcpy(l->end_soc, flow->soc, sizeof l->end_soc);
    if (!is_remarkable(l, flow))
        return;
    for (int lane = 0; lane < SW_TILE; lane++) {
        double soc = flow->soc[lane];
        int lower = soc < l->lowest_soc[lane], under = SW_IS_UNDER(soc, l->reserve[lane]);
        l->lowest_step[lane] = lower ? step : l->lowest_step[lane];
        l->lowest_soc[lane] = lower ? soc : l->lowest_soc[lane];
        l->under_step[lane] = under && l->under_step[lane] < 0.0 ? step : l->under_step[lane];
        l->under_h[lane] += under ? l->step_h : 0.0;
        l->under_days[lane] += under && l->last_under_day[lane] != l->day ? 1.0 : 0.0;
        l->last_under_day[lane] = under ? l->day : l->last_under_day[lane];
    }
}

static void follow_day(lanes *l, int32_t step)
{
    const sw_itinerary *it = l->course->itinerary;
    int64_t at_s = l->forcing->start_s + (int64_t)step * l->forcing->step_s;
    while (l->day + 1 < it->days && it->day[l->day].end_s <= at_s)
        l->day++;
}

// ---- once ----

/* Whether a class of loads misses something because of the battery. @param short_only what is too much at
   once apart */
static int class_misses(const sw_tile_flow *flow, int lane, int bus, int held, int short_only)
{
    double lost = flow->lost[bus][held][lane];
    return flow->asked_w[bus][held][lane] > 0.0 && flow->served_share[bus][held][lane] < 1.0 &&
           lost >= SW_LOST_EMPTY && !(short_only && lost == SW_LOST_RATE);
}

int sw_lanes_miss(const sw_tile_flow *flow, int lane, int short_only)
{
    for (int bus = 0; bus < SW_BUS_COUNT; bus++)
        for (int held = 0; held < SW_HELD_COUNT; held++)
            if (class_misses(flow, lane, bus, held, short_only))
                return 1;
    return 0;
}

/* Why the dearest class that a lane missed was missed. */
static sw_missed reason(const lanes *l, int lane, const sw_tile_flow *flow, int short_only)
{
    for (int held = 0; held < SW_HELD_COUNT; held++)
        for (int bus = 0; bus < SW_BUS_COUNT; bus++) {
            if (!class_misses(flow, lane, bus, held, short_only))
                continue;
            switch ((sw_lost)flow->lost[bus][held][lane]) {
            case SW_LOST_RATE:
                return SW_MISSED_RATE;
            case SW_LOST_SAG:
                return SW_MISSED_SAG;
            default:
                return flow->battery_c[lane] <= l->discharge_stop_c[lane] ? SW_MISSED_COLD : SW_MISSED_EMPTY;
            }
        }
    return SW_MISSED_EMPTY;
}

static void note_out(lanes *l, int32_t step, const sw_tile_flow *flow)
{
    for (int lane = 0; lane < l->count; lane++) {
        if (l->out[lane].short_step < 0 && l->short_wh[lane] > 0.0) {
            l->out[lane].short_step = step;
            l->out[lane].short_why = reason(l, lane, flow, 1);
        }
        if (l->out[lane].step >= 0 || !sw_lanes_miss(flow, lane, 0))
            continue;
        l->out[lane].step = step;
        l->out[lane].soc = flow->soc[lane];
        l->out[lane].reachable = flow->soc_reachable[lane];
        l->out[lane].why = reason(l, lane, flow, 0);
    }
}

static void note_medical(lanes *l, int32_t step, const sw_tile_flow *flow)
{
    for (int k = 0; k < l->plan->van->loads; k++) {
        const sw_load_spec *load = &l->plan->van->load[k];
        if (!load->medical || !(l->course->asked_w[k][step] > 0.0))
            continue;
        for (int lane = 0; lane < l->count; lane++)
            if (l->out[lane].medical_step < 0 && flow->served_share[load->bus][load->held][lane] < 1.0) {
                l->out[lane].medical_step = step;
                l->out[lane].medical = k;
            }
    }
}

void sw_lanes_take(void *context, int32_t step, const sw_tile_flow *flow)
{
    lanes *l = context;
    if (l->course != NULL)
        follow_day(l, step);
    follow_charge(l, step, flow);
    if (is_unserved(flow) && add_unserved(l, flow))
        note_out(l, step, flow);
    if (l->course != NULL && l->has_medical)
        note_medical(l, step, flow);
}

// ---- the outcome ----

static int64_t begin_s(const lanes *l, int32_t step)
{
    return step < 0 ? INT64_MIN : l->forcing->start_s + (int64_t)step * l->forcing->step_s;
}

/* `out` is when the battery, or the inverter's own cut-out, leaves something unserved that was asked for. A
   medical device that goes without power is worse than anything else, whoever is to blame. */
static sw_verdict verdict_of(const lanes *l, int lane)
{
    if (l->missed_wh[lane] > ROUNDING || l->out[lane].medical >= 0)
        return SW_OUT;
    if (SW_IS_UNDER(l->lowest_soc[lane], l->reserve[lane]))
        return SW_UNDER;
    return SW_IS_UNDER(l->lowest_soc[lane], l->reserve[lane] + TIGHT_MARGIN) ? SW_TIGHT : SW_HOLDS;
}

sw_outcome sw_lanes_outcome(const lanes *l, int lane)
{
    int32_t lowest = (int32_t)l->lowest_step[lane], under = (int32_t)l->under_step[lane];
    return (sw_outcome){.verdict = verdict_of(l, lane),
                        .lowest_soc = l->lowest_soc[lane],
                        .lowest_at_s = lowest < 0 ? l->forcing->start_s : begin_s(l, lowest + 1),
                        .end_soc = l->end_soc[lane],
                        .under_at_s = under < 0 ? INT64_MIN : begin_s(l, under + 1),
                        .under_h = l->under_h[lane],
                        .under_days = (int)l->under_days[lane],
                        .out_at_s = begin_s(l, l->out[lane].step),
                        .out_soc = l->out[lane].soc,
                        .out_reachable = l->out[lane].reachable,
                        .out_why = l->out[lane].why,
                        .unserved_wh = l->unserved_wh[lane],
                        .missed_wh = l->missed_wh[lane],
                        .short_wh = l->short_wh[lane],
                        .short_at_s = begin_s(l, l->out[lane].short_step),
                        .short_why = l->out[lane].short_why,
                        .medical = l->out[lane].medical,
                        .medical_at_s = begin_s(l, l->out[lane].medical_step)};
}
