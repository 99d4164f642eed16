// Sums over the parts of a van against what the vehicle bears.
#include "stillwatt/burden.h"

#include <math.h>

/* What sits at neither end presses on both axles alike. */
static double front_share(int seat)
{
    return seat == SW_SEAT_FRONT ? 1.0 : seat == SW_SEAT_REAR ? 0.0 : 0.5;
}

static void add_part(sw_burden *s, const sw_cost *cost, int units)
{
    s->parts++;
    if (isnan(cost->mass_kg)) {
        s->without_mass++;
    } else {
        double mass_kg = cost->mass_kg * units;
        s->mass_kg += mass_kg;
        s->front_kg += mass_kg * front_share(cost->seat);
        s->rear_kg += mass_kg * (1.0 - front_share(cost->seat));
    }
    if (isnan(cost->price))
        s->without_price++;
    else
        s->price += cost->price * units;
    s->labour_s += isnan(cost->labour_s) ? 0.0 : cost->labour_s;
}

void sw_burden_of(const sw_van *van, sw_burden *out)
{
    *out = (sw_burden){0};
    add_part(out, &van->battery.cost, van->battery.series * van->battery.parallel);
    for (int i = 0; i < van->arrays; i++) {
        const sw_array_spec *a = &van->array[i];
        add_part(out, &a->cost, a->panels);
        out->roof_m2 += isnan(a->area_m2) || a->cost.seat != SW_SEAT_ROOF ? 0.0 : a->area_m2 * a->panels;
    }
    const sw_cost *single[] = {van->controller != NULL ? &van->controller->cost : NULL,
                               van->alternator != NULL ? &van->alternator->cost : NULL,
                               van->shore != NULL ? &van->shore->cost : NULL,
                               van->inverter != NULL ? &van->inverter->cost : NULL,
                               van->generator != NULL ? &van->generator->cost : NULL};
    for (size_t i = 0; i < sizeof single / sizeof single[0]; i++)
        if (single[i] != NULL)
            add_part(out, single[i], 1);
    for (int i = 0; i < van->loads; i++)
        if (!isnan(van->load[i].cost.mass_kg) || !isnan(van->load[i].cost.price))
            add_part(out, &van->load[i].cost, van->load[i].count);
}

sw_limit sw_burden_over(const sw_van *van)
{
    sw_burden s;
    sw_burden_of(van, &s);
    const struct {
        sw_limit limit;
        double has, bears; // NAN: not told
    } limits[] = {{SW_OVER_PAYLOAD, s.mass_kg, van->vehicle.payload_kg},
                  {SW_OVER_FRONT_AXLE, s.front_kg, van->vehicle.front_axle_spare_kg},
                  {SW_OVER_REAR_AXLE, s.rear_kg, van->vehicle.rear_axle_spare_kg},
                  {SW_OVER_ROOF, s.roof_m2, van->vehicle.free_roof_m2}};
    for (size_t i = 0; i < sizeof limits / sizeof limits[0]; i++)
        if (limits[i].has > limits[i].bears)
            return limits[i].limit;
    return SW_FITS;
}
