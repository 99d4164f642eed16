// Tanks hour by hour: people by the day, appliances by what was served to them, generator and engine by their
// hours.
#include "stillwatt/tanks.h"

#include <math.h>

#define ROUNDING_L 1e-9

/// What an hour asks of fresh water and fuel, and would add to the waste if the water were there [L].
typedef struct wants {
    double fresh, grey, toilet; // grey, toilet: of the fresh water
    double fuel, engine, can;   // engine: part of fuel
    double people_toilet;       // whether or not there is water
} wants;

// ---- loads ----

/* Wh that one appliance takes while it uses up its `water_l` and `fuel_l`: a use, an hour, a measured day. */
static double wh_of_portion(const sw_load_spec *load, double bank_v)
{
    switch (load->kind) {
    case SW_LOAD_USE:
    case SW_LOAD_HOT_WATER:
        return load->power_w * load->duty * load->each_s / 3600.0;
    case SW_LOAD_MEASURED:
        return isnan(load->per_day_wh) ? load->per_day_ah * bank_v : load->per_day_wh;
    default:
        return load->power_w;
    }
}

static void add_load(const sw_load_spec *load, double served_wh, double bank_v, wants *w)
{
    double portion_wh = wh_of_portion(load, bank_v);
    double portions = portion_wh > 0.0 ? served_wh / portion_wh : 0.0;
    if (!isnan(load->water_l)) {
        w->fresh += portions * load->water_l;
        w->grey += load->drain == SW_TANK_GREY ? portions * load->water_l : 0.0;
        w->toilet += load->drain == SW_TANK_TOILET ? portions * load->water_l : 0.0;
    }
    if (!isnan(load->fuel_l) && load->kind != SW_LOAD_HEATER)
        w->fuel += portions * load->fuel_l;
}

// ---- people, generator, engine ----

static double or_none(double litres)
{
    return isnan(litres) ? 0.0 : litres;
}

static void add_people(const sw_trip *trip, double days, wants *w)
{
    double heads = trip->people > 0 ? trip->people : 0;
    double water = heads * or_none(trip->water_l) * days;
    w->fresh += water;
    w->grey += water * or_none(trip->drained);
    w->people_toilet += heads * or_none(trip->toilet_l) * days;
}

static void add_engines(const sw_van *van, const sw_account *hour, wants *w)
{
    const double *v = hour->value;
    w->engine = v[SW_LEDGER_ENGINE_IDLE_H] * or_none(van->vehicle.idle_fuel_l);
    w->fuel += w->engine;
    if (van->generator != NULL)
        w->can += v[SW_LEDGER_GENERATOR_H] * van->generator->idle_fuel_l +
                  v[SW_LEDGER_GENERATOR] / 1000.0 * van->generator->fuel_l_per_kwh;
}

static wants wants_of(const sw_plan *plan, const sw_account *hour)
{
    const sw_van *van = plan->van;
    double bank_v = van->battery.unit_v * van->battery.series;
    wants w = {0};
    for (int k = 0; k < van->loads; k++)
        add_load(&van->load[k], hour->served_wh[k], bank_v, &w);
    double hours = (double)(hour->end_s - hour->start_s) / 3600.0;
    add_people(plan->trip, (hours - hour->value[SW_LEDGER_STORED_H]) / 24.0, &w);
    w.fresh += hour->value[SW_LEDGER_EVAPORATED];
    w.fuel += hour->value[SW_LEDGER_HEATER_FUEL];
    add_engines(van, hour, &w);
    return w;
}

// ---- tanks ----

/// A tank on its way through the trip.
typedef struct level {
    const sw_tank_spec *spec;
    int fills;
    double litres;
    int64_t nothing_s; // since when it has nothing, or no room, left; INT64_MIN: it has
    sw_tank_finding *finding;
} level;

static int is_fitted(const level *tank)
{
    return !isnan(tank->spec->capacity_l);
}

static double room_of(const level *tank)
{
    return tank->fills ? tank->spec->capacity_l - tank->litres : tank->litres;
}

/* To be asked whenever the litres have changed. */
static void note_room(level *tank, int64_t at_s)
{
    if (room_of(tank) > ROUNDING_L)
        tank->nothing_s = INT64_MIN;
    else if (tank->nothing_s == INT64_MIN)
        tank->nothing_s = at_s;
}

/* Starts what is found of a tank with what is in it. */
static void open_finding(level *tank, int64_t at_s)
{
    *tank->finding = (sw_tank_finding){.start_l = tank->litres, .ends_at_s = INT64_MIN, .counted_s = at_s};
    tank->nothing_s = INT64_MIN;
    if (is_fitted(tank))
        note_room(tank, at_s);
}

/* @return what was taken, or found room; of a tank that nobody counts all of it */
static double move(level *tank, double litres, const sw_account *hour)
{
    sw_tank_finding *f = tank->finding;
    if (!is_fitted(tank))
        return litres;
    double moved = fmin(litres, fmax(0.0, room_of(tank)));
    tank->litres += tank->fills ? moved : -moved;
    f->used_l += moved;
    f->short_l += litres - moved;
    f->counted_l += f->ends_at_s == INT64_MIN ? moved : 0.0;
    note_room(tank, hour->end_s);
    if (litres - moved > ROUNDING_L && f->ends_at_s == INT64_MIN)
        f->ends_at_s = tank->nothing_s;
    return moved;
}

static void pass_hour(const sw_plan *plan, sw_account *hour, level tank[SW_TANKS], sw_tanks_finding *out)
{
    wants w = wants_of(plan, hour);
    double fresh = move(&tank[SW_TANK_FRESH], w.fresh, hour);
    double had = w.fresh > 0.0 ? fresh / w.fresh : 0.0; // water that is not there does not run off
    move(&tank[SW_TANK_GREY], w.grey * had, hour);
    move(&tank[SW_TANK_TOILET], w.people_toilet + w.toilet * had, hour);
    move(&tank[SW_TANK_FUEL], w.fuel, hour);
    move(&tank[SW_TANK_CAN], w.can, hour);
    out->engine_fuel_l += w.engine;
    out->generator_fuel_l += w.can;
    for (int k = 0; k < SW_TANKS; k++)
        hour->value[SW_LEDGER_FRESH + k] = is_fitted(&tank[k]) ? tank[k].litres : NAN;
}

static void serve(level *tank, int64_t at_s)
{
    double after = tank->fills ? 0.0 : tank->spec->capacity_l;
    tank->finding->serviced_l += fabs(after - tank->litres);
    tank->litres = after;
    note_room(tank, at_s);
    if (tank->finding->ends_at_s == INT64_MIN) {
        tank->finding->counted_s = at_s;
        tank->finding->counted_l = 0.0;
    }
}

static void open_findings(level tank[SW_TANKS], int64_t at_s, sw_tanks_finding *out)
{
    out->engine_fuel_l = out->generator_fuel_l = 0.0;
    for (int k = 0; k < SW_TANKS; k++)
        open_finding(&tank[k], at_s);
}

void sw_tanks_run(const sw_plan *plan, const sw_itinerary *it, sw_account *hour, int hours, int64_t from_s,
                  sw_tanks_finding *out)
{
    level tank[SW_TANKS];
    int leg = 0;
    *out = (sw_tanks_finding){.engine_fuel_l = 0.0};
    for (int k = 0; k < SW_TANKS; k++) {
        tank[k] = (level){&plan->van->tank[k], SW_TANK_FILLS(k), 0.0, INT64_MIN, &out->tank[k]};
        if (is_fitted(&tank[k]))
            tank[k].litres = tank[k].spec->start * tank[k].spec->capacity_l;
    }
    for (int h = 0; h < hours; h++) {
        if (hour[h].start_s >= from_s && (h == 0 || hour[h - 1].start_s < from_s))
            open_findings(tank, hour[h].start_s, out);
        for (; leg < it->spans && it->span[leg].start_s <= hour[h].start_s; leg++)
            for (int k = 0; k < SW_TANKS; k++)
                if ((plan->trip->leg[leg].services >> k & 1u) != 0)
                    serve(&tank[k], hour[h].start_s);
        pass_hour(plan, &hour[h], tank, out);
    }
    for (int k = 0; k < SW_TANKS; k++)
        out->tank[k].end_l = tank[k].litres;
}
