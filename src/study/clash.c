// AC appliances that are too much, alone or two at once, by their full power.
#include "stillwatt/clash.h"
#include "stillwatt/portion.h"

#include <math.h>

/* At full power; of what is measured by the day nobody knows it. */
static double full_w(const sw_load_spec *load)
{
    int known = load->bus == SW_BUS_AC && load->kind != SW_LOAD_MEASURED && load->power_w > 0.0;
    return known ? load->power_w * load->count : 0.0;
}

/* Conditions that cannot be met at one time. */
static int meet(const sw_load_spec *a, const sw_load_spec *b)
{
    static const unsigned apart[][2] = {{SW_WHEN_SHORE, SW_WHEN_OFF_GRID},
                                        {SW_WHEN_PARKED, SW_WHEN_DRIVING},
                                        {SW_WHEN_DARK, SW_WHEN_LIGHT},
                                        {SW_WHEN_SHORE, SW_WHEN_DRIVING}};
    unsigned both = a->when | b->when;
    for (size_t i = 0; i < sizeof apart / sizeof apart[0]; i++)
        if ((both & apart[i][0]) != 0 && (both & apart[i][1]) != 0)
            return 0;
    return 1;
}

/* What the inlet carries at the trip's weakest hookup. */
static double hookup_va(const sw_rehearsal *r)
{
    const sw_forcing *f = &r->course->forcing[SW_OUTLOOK_MAIN];
    double least = r->variant.inlet_va;
    for (int32_t i = 0; i < f->steps; i++)
        if (f->pedestal_va[i] > 0.0 && r->course->generator_share[i] == 0.0)
            least = fmin(least, f->pedestal_va[i]);
    return least;
}

/// What is judged against what.
typedef struct judging {
    const sw_rehearsal *r;
    double hookup_va, battery_w;
} judging;

static sw_clash judge(const judging *j, int load, int other, double power_w, unsigned when)
{
    const sw_variant *v = &j->r->variant;
    int off_grid = (when & SW_WHEN_SHORE) == 0 && v->inverter_w > 0.0;
    int at_hookup = (when & (SW_WHEN_OFF_GRID | SW_WHEN_DRIVING)) == 0 && v->inlet_va > 0.0;
    return (sw_clash){load,
                      other,
                      power_w,
                      off_grid && power_w > v->inverter_w,
                      at_hookup && power_w > j->hookup_va,
                      off_grid && sw_drawn_w(j->r, power_w) > j->battery_w};
}

static void add(sw_clashes *l, sw_clash clash)
{
    if ((clash.inverter || clash.inlet || clash.battery) && l->count < SW_CLASHES_MAX)
        l->clash[l->count++] = clash;
}

/* A pair is told of what neither of the two is too much for by itself. */
static void add_pair(const judging *j, int a, int b, sw_clashes *l)
{
    const sw_load_spec *load = j->r->plan->van->load;
    double power_a = full_w(&load[a]), power_b = full_w(&load[b]);
    if (!(power_a > 0.0 && power_b > 0.0) || !meet(&load[a], &load[b]))
        return;
    sw_clash one = judge(j, a, -1, power_a, load[a].when), other = judge(j, b, -1, power_b, load[b].when);
    sw_clash pair = judge(j, a, b, power_a + power_b, load[a].when | load[b].when);
    pair.inverter = pair.inverter && !one.inverter && !other.inverter && !one.battery && !other.battery;
    pair.battery = pair.battery && !one.inverter && !other.inverter && !one.battery && !other.battery;
    pair.inlet = pair.inlet && !one.inlet && !other.inlet;
    add(l, pair);
}

void sw_find_clashes(const sw_rehearsal *of, sw_clashes *l)
{
    const sw_van *van = of->plan->van;
    judging j = {of, hookup_va(of), sw_battery_most_w(of, SW_BUS_AC)};
    l->count = 0;
    l->hookup_va = j.hookup_va;
    for (int a = 0; a < van->loads; a++)
        if (full_w(&van->load[a]) > 0.0)
            add(l, judge(&j, a, -1, full_w(&van->load[a]), van->load[a].when));
    for (int a = 0; a < van->loads; a++)
        for (int b = a + 1; b < van->loads; b++)
            add_pair(&j, a, b, l);
}
