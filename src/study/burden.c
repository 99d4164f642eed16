// Sums over the parts of a van against what the vehicle bears.
#include "stillwatt/burden.h"

#include <math.h>
#include <string.h>

/* What sits at neither end presses on both axles alike. */
static double front_share(int seat)
{
    return seat == SW_SEAT_FRONT ? 1.0 : seat == SW_SEAT_REAR ? 0.0 : 0.5;
}

// ---- parts, one by one ----

enum {
    BATTERY,
    CONTROLLER,
    ALTERNATOR,
    SHORE,
    INVERTER,
    GENERATOR,
    ARRAYS
}; // arrays, then loads, from there

typedef struct part {
    const char *name; // of arrays and loads
    const sw_cost *cost;
    int units;
    double rating; // by which another product of the same place is told from this one
} part;

/* Appliances count where they tell a mass or a price: most are aboard anyway. */
static int is_counted(const sw_load_spec *load)
{
    return !isnan(load->cost.mass_kg) || !isnan(load->cost.price);
}

static double load_rating(const sw_load_spec *load)
{
    return isnan(load->power_w) ? load->reference_wh : load->power_w;
}

static int parts_of(const sw_van *van)
{
    return ARRAYS + van->arrays + van->loads;
}

/* @return whether there is a part at a place below parts_of() */
static int part_at(const sw_van *van, int place, part *out)
{
    const sw_battery_spec *b = &van->battery;
    if (place >= ARRAYS + van->arrays) {
        const sw_load_spec *load = &van->load[place - ARRAYS - van->arrays];
        *out = (part){load->name, &load->cost, load->count, load_rating(load)};
        return is_counted(load);
    }
    if (place >= ARRAYS) {
        const sw_array_spec *a = &van->array[place - ARRAYS];
        *out = (part){a->name, &a->cost, a->panels, a->rated_w};
        return 1;
    }
    const sw_controller_spec *c = van->controller;
    const sw_alternator_spec *d = van->alternator;
    const sw_shore_spec *h = van->shore;
    const sw_inverter_spec *v = van->inverter;
    const sw_generator_spec *g = van->generator;
    const part none = {0},
               single[ARRAYS] = {[BATTERY] = {NULL, &b->cost, b->series * b->parallel, b->capacity_ah},
                                 [CONTROLLER] = c != NULL ? (part){NULL, &c->cost, 1, c->limit_a} : none,
                                 [ALTERNATOR] = d != NULL ? (part){NULL, &d->cost, 1, d->converter_w} : none,
                                 [SHORE] = h != NULL ? (part){NULL, &h->cost, 1, h->charger_w} : none,
                                 [INVERTER] = v != NULL ? (part){NULL, &v->cost, 1, v->rated_w} : none,
                                 [GENERATOR] = g != NULL ? (part){NULL, &g->cost, 1, g->rated_w} : none};
    *out = single[place];
    return out->cost != NULL;
}

// ---- sums ----

static void add_part(sw_burden *s, const part *p)
{
    s->parts++;
    if (isnan(p->cost->mass_kg)) {
        s->without_mass++;
    } else {
        double mass_kg = p->cost->mass_kg * p->units;
        s->mass_kg += mass_kg;
        s->front_kg += mass_kg * front_share(p->cost->seat);
        s->rear_kg += mass_kg * (1.0 - front_share(p->cost->seat));
    }
    if (isnan(p->cost->price))
        s->without_price++;
    else
        s->price += p->cost->price * p->units;
    s->labour_s += isnan(p->cost->labour_s) ? 0.0 : p->cost->labour_s;
}

void sw_burden_of(const sw_van *van, sw_burden *out)
{
    part p;
    *out = (sw_burden){0};
    for (int i = 0; i < parts_of(van); i++)
        if (part_at(van, i, &p))
            add_part(out, &p);
    for (int i = 0; i < van->arrays; i++) {
        const sw_array_spec *a = &van->array[i];
        out->roof_m2 += isnan(a->area_m2) || a->cost.seat != SW_SEAT_ROOF ? 0.0 : a->area_m2 * a->panels;
    }
}

// ---- between two vans ----

/* Arrays and loads are found by their names, the rest by its place. */
static int same_place(const sw_van *van, int place, const part *p, const sw_van *other, int at)
{
    part q;
    if (place < ARRAYS || at < ARRAYS)
        return place == at;
    int is_array = place < ARRAYS + van->arrays, array_there = at < ARRAYS + other->arrays;
    return is_array == array_there && (part_at(other, at, &q), strcmp(p->name, q.name) == 0);
}

static int same_number(double a, double b)
{
    return a == b || (isnan(a) && isnan(b));
}

/* @return whether the other van has the same part, as many times */
static int has_the_same(const sw_van *van, int place, const part *p, const sw_van *other)
{
    part q;
    for (int at = 0; at < parts_of(other); at++)
        if (same_place(van, place, p, other, at))
            return part_at(other, at, &q) && q.units == p->units && same_number(q.rating, p->rating) &&
                   isnan(q.cost->price) == isnan(p->cost->price) &&
                   isnan(q.cost->mass_kg) == isnan(p->cost->mass_kg);
    return 0;
}

/* What parts that the other van does not have leave open. */
static void note_open(const sw_van *van, const sw_van *other, sw_burden_change *out)
{
    part p;
    for (int i = 0; i < parts_of(van); i++) {
        if (!part_at(van, i, &p) || has_the_same(van, i, &p, other))
            continue;
        out->price_known = out->price_known && !isnan(p.cost->price);
        out->mass_known = out->mass_known && !isnan(p.cost->mass_kg);
    }
}

void sw_burden_between(const sw_van *before, const sw_van *after, sw_burden_change *out)
{
    sw_burden a, b;
    sw_burden_of(before, &a);
    sw_burden_of(after, &b);
    *out = (sw_burden_change){b.price - a.price, b.labour_s - a.labour_s, b.mass_kg - a.mass_kg, 1, 1};
    note_open(before, after, out);
    note_open(after, before, out);
}

// ---- limits ----

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
