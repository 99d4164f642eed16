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
    sw_tank_finding *finding;
} level;

static int is_fitted(const level *tank)
{
    return !isnan(tank->spec->capacity_l);
}

/* @return what was taken, or found room; of a tank that nobody counts all of it */
static double move(level *tank, double litres, const sw_account *hour)
{
    if (!is_fitted(tank))
        return litres;
    double room = tank->fills ? tank->spec->capacity_l - tank->litres : tank->litres;
    double moved = fmin(litres, fmax(0.0, room));
    tank->litres += tank->fills ? moved : -moved;
    tank->finding->used_l += moved;
    tank->finding->short_l += litres - moved;
    if (litres - moved > ROUNDING_L && tank->finding->ends_at_s == INT64_MIN)
        tank->finding->ends_at_s = room > ROUNDING_L ? hour->end_s : hour->start_s;
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

static void serve(level *tank)
{
    double after = tank->fills ? 0.0 : tank->spec->capacity_l;
    tank->finding->serviced_l += fabs(after - tank->litres);
    tank->litres = after;
}

void sw_tanks_run(const sw_plan *plan, const sw_itinerary *it, sw_account *hour, int hours,
                  sw_tanks_finding *out)
{
    level tank[SW_TANKS];
    int leg = 0;
    *out = (sw_tanks_finding){.engine_fuel_l = 0.0};
    for (int k = 0; k < SW_TANKS; k++) {
        tank[k] = (level){&plan->van->tank[k], SW_TANK_FILLS(k), 0.0, &out->tank[k]};
        if (is_fitted(&tank[k]))
            tank[k].litres = tank[k].spec->start * tank[k].spec->capacity_l;
        out->tank[k] = (sw_tank_finding){.start_l = tank[k].litres, .ends_at_s = INT64_MIN};
    }
    for (int h = 0; h < hours; h++) {
        for (; leg < it->spans && it->span[leg].start_s <= hour[h].start_s; leg++)
            for (int k = 0; k < SW_TANKS; k++)
                if ((plan->trip->leg[leg].services >> k & 1u) != 0)
                    serve(&tank[k]);
        pass_hour(plan, &hour[h], tank, out);
    }
    for (int k = 0; k < SW_TANKS; k++)
        out->tank[k].end_l = tank[k].litres;
}
