// What one appliance takes of the battery away from a hookup.
#include "stillwatt/portion.h"

#include <math.h>

#define DAY_H 24.0

/// What an appliance does in a portion.
typedef struct duty {
    sw_portion_of of;
    double wh;   // at the socket
    double on_h; // that it is on, and the inverter for it
} duty;

static double windows_h(const sw_windows *hours)
{
    int minutes = 0;
    if (hours == NULL)
        return DAY_H;
    for (int i = 0; i < hours->count; i++)
        minutes += hours->to_min[i] - hours->from_min[i];
    return minutes / 60.0;
}

static double hours_of(const sw_account *a)
{
    return (double)(a->end_s - a->start_s) / 3600.0;
}

/* Its mean day on the trip, of the hours in which the van is lived in. */
static duty mean_day(const sw_rehearsal *r, int load)
{
    double lived_h = 0.0, asked_h = 0.0, asked_wh = 0.0;
    for (int h = 0; h < r->hours; h++) {
        const sw_account *a = &r->hour[h];
        if (a->value[SW_LEDGER_STORED_H] > 0.5 * hours_of(a))
            continue;
        lived_h += hours_of(a);
        asked_h += a->asked_wh[load] > 0.0 ? hours_of(a) : 0.0;
        asked_wh += a->asked_wh[load];
    }
    double days = lived_h / DAY_H;
    return days > 0.0 ? (duty){SW_PORTION_DAY, asked_wh / days, asked_h / days}
                      : (duty){.of = SW_PORTION_DAY};
}

static duty duty_of(const sw_rehearsal *r, int k)
{
    const sw_load_spec *load = &r->plan->van->load[k];
    const sw_battery_spec *b = &r->plan->van->battery;
    double power_w = load->power_w * load->count, each_h = load->each_s / 3600.0;
    switch (load->kind) {
    case SW_LOAD_USE:
    case SW_LOAD_HOT_WATER:
        return (duty){SW_PORTION_USE, power_w * load->duty * each_h, each_h};
    case SW_LOAD_STEADY:
        return (duty){SW_PORTION_HOUR, power_w * load->duty, 1.0};
    case SW_LOAD_MEASURED:
        return (duty){
            SW_PORTION_DAY,
            (isnan(load->per_day_wh) ? load->per_day_ah * b->unit_v * b->series : load->per_day_wh) *
                load->count,
            windows_h(load->hours)};
    default:
        return mean_day(r, k);
    }
}

/* What the inverter loses over its idle draw, at the mean power as the march takes it. */
static double conversion_wh(const sw_inverter_curve *c, const duty *d)
{
    double power_w = d->on_h > 0.0 ? d->wh / d->on_h : 0.0;
    return (sw_inverter_input_w(c, power_w) - c->idle_w - power_w) * d->on_h;
}

static int goes_by_inverter(const sw_rehearsal *r, int load)
{
    return r->plan->van->load[load].bus == SW_BUS_AC && r->plan->van->inverter != NULL;
}

double sw_drawn_w(const sw_rehearsal *r, double ac_w)
{
    return r->plan->van->inverter != NULL ? sw_inverter_input_w(&r->variant.inverter, ac_w) : 0.0;
}

double sw_battery_most_w(const sw_rehearsal *r, sw_bus bus)
{
    const sw_variant *v = &r->variant;
    double full_v = sw_curve_at(&sw_chemistry_of(v->chemistry)->open_circuit_v, 1.0) * v->units_12v;
    double low_v =
        fmax(bus == SW_BUS_AC ? fmax(v->cut_out_v, v->inverter_cut_out_v) : v->cut_out_v, 0.5 * full_v);
    double most_a = fmin(v->discharge_limit_a, (full_v - low_v) / v->resistance_ohm);
    return (full_v - v->resistance_ohm * most_a) * most_a;
}

sw_runs sw_where_runs(const sw_rehearsal *r, int load)
{
    const sw_load_spec *l = &r->plan->van->load[load];
    const sw_inverter_spec *v = r->plan->van->inverter;
    double full_w = isfinite(l->power_w) ? l->power_w * l->count : 0.0;
    if (SW_LOAD_OF_HOOKUP(l) || (l->bus == SW_BUS_AC && v == NULL))
        return SW_RUNS_AT_HOOKUP;
    if (l->bus == SW_BUS_AC && full_w > v->rated_w)
        return SW_RUNS_BEYOND_INVERTER;
    if ((l->bus == SW_BUS_AC ? sw_drawn_w(r, full_w) : full_w) > sw_battery_most_w(r, (sw_bus)l->bus))
        return SW_RUNS_BEYOND_BATTERY;
    return l->bus == SW_BUS_AC ? SW_RUNS_BY_INVERTER : SW_RUNS;
}

sw_portion sw_portion_of_load(const sw_rehearsal *r, int load)
{
    const sw_inverter_curve *c = &r->variant.inverter;
    duty d = duty_of(r, load);
    if (!(d.wh > 0.0) || !isfinite(d.wh))
        return (sw_portion){.of = d.of};
    double lost_wh = goes_by_inverter(r, load) ? c->idle_w * d.on_h + conversion_wh(c, &d) : 0.0;
    return (sw_portion){d.of, d.wh, d.wh + lost_wh};
}

double sw_battery_wh(const sw_rehearsal *r, int load, double wh)
{
    duty d = duty_of(r, load);
    if (!goes_by_inverter(r, load) || !(d.wh > 0.0) || !isfinite(d.wh))
        return wh;
    return wh * (1.0 + conversion_wh(&r->variant.inverter, &d) / d.wh);
}
