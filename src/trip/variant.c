// The van of a plan in the engineering terms of the march.
#include "stillwatt/course.h"

#include <math.h>

#define HEAT_WH_KG_K (1.0 / 3.6) // 1 kJ of a kg and kelvin: typical of batteries, from memory

/* Of the bank; where it is not told, what units of the chemistry weigh. */
static double mass_kg(const sw_battery_spec *b)
{
    double typical = sw_chemistry_of((sw_chemistry)b->chemistry)->mass_kg_100ah * b->capacity_ah / 100.0 *
                     b->unit_v / 12.0;
    return (b->cost.mass_kg > 0.0 ? b->cost.mass_kg : typical) * b->series * b->parallel;
}

static void set_battery(const sw_battery_spec *b, sw_variant *out)
{
    double units = b->series * b->parallel;
    out->chemistry = (sw_chemistry)b->chemistry;
    out->units_12v = b->unit_v * b->series / 12.0;
    out->rated_ah = b->capacity_ah * b->parallel;
    out->health = b->health;
    out->resistance_ohm = b->resistance_ohm * b->series / b->parallel;
    out->charge_limit_a = b->charge_limit_a * b->parallel;
    out->discharge_limit_a = b->discharge_limit_a * b->parallel;
    out->absorption_v = b->absorption_v * b->series;
    out->cut_out_v = b->cut_out_v * b->series;
    out->dc_restart_v = b->restart_v * b->series;
    out->comes_back = b->comes_back;
    out->cold_stop_c = b->cold_stop_c;
    out->cold_full_c = b->cold_full_c;
    out->hot_full_c = b->hot_full_c;
    out->hot_stop_c = b->hot_stop_c;
    out->discharge_stop_c = b->discharge_stop_c;
    out->cold_spared = 1.0 - b->cold_loss;
    out->pad_w = b->heater_w;
    out->pad_set_c = b->heater_set_c;
    out->pad_needs_charger = b->heater_from;
    out->heat_wh_k = HEAT_WH_KG_K * mass_kg(b);
    out->management_w = units > 0 ? b->management_w : 0.0;
    out->self_discharge_month = sw_chemistry_of(out->chemistry)->self_discharge_month;
    out->temperature_lag_h = b->lag_s / 3600.0;
    out->outside = b->place;
}

static void set_solar(const sw_van *van, sw_variant *out)
{
    for (int a = 0; a < van->arrays; a++) {
        const sw_array_spec *s = &van->array[a];
        out->array_w[a] = s->rated_w * s->panels;
        out->array_gamma[a] = s->gamma_per_k;
        out->array_keep[a] = (1.0 - s->soiling) * (1.0 - s->wiring) * (1.0 - s->mismatch) *
                             (1.0 - s->ageing) * (1.0 - s->roof_shade);
        int is_held = van->controller != NULL && van->controller->kind == 1;
        out->array_held_v[a] = is_held ? s->working_v * s->in_series : 0.0;
    }
    if (van->controller != NULL && van->arrays > 0) {
        out->controller_efficiency = van->controller->efficiency;
        out->controller_limit_a = van->controller->limit_a;
        out->controller_self_w = van->controller->self_w;
    }
}

static double converted_w(const sw_alternator_spec *a, double spare_a)
{
    return fmin(a->converter_efficiency * spare_a * a->alternator_v, a->converter_w);
}

/* What a cold alternator has to spare; not told: no more than a warm one. */
static double cold_a(double told_a, double warm_a)
{
    return isnan(told_a) ? warm_a : fmax(told_a, warm_a);
}

/* At idle and on the road apart: what the converter makes of the alternator's spare current, at most its
 * rating. */
static void set_alternator(const sw_alternator_spec *a, sw_variant *out)
{
    if (a == NULL)
        return;
    if (a->path == 1) {
        out->relay_v = a->alternator_v;
        out->relay_ohm = a->cable_ohm;
        out->relay_cruise_a = a->spare_cruise_a;
        out->relay_idle_a = a->spare_idle_a;
        out->relay_cruise_cold_a = cold_a(a->cold_cruise_a, a->spare_cruise_a) - a->spare_cruise_a;
        out->relay_idle_cold_a = cold_a(a->cold_idle_a, a->spare_idle_a) - a->spare_idle_a;
        return;
    }
    out->alternator_cruise_w = converted_w(a, a->spare_cruise_a);
    out->alternator_idle_w = converted_w(a, a->spare_idle_a);
    out->alternator_cruise_cold_w =
        converted_w(a, cold_a(a->cold_cruise_a, a->spare_cruise_a)) - out->alternator_cruise_w;
    out->alternator_idle_cold_w =
        converted_w(a, cold_a(a->cold_idle_a, a->spare_idle_a)) - out->alternator_idle_w;
}

static void set_shore(const sw_shore_spec *s, sw_variant *out)
{
    out->charger_efficiency = out->charger_power_factor = 1.0;
    if (s == NULL)
        return;
    // Loads are taken to be spread over the legs evenly (assumption: whoever wired the van saw to it).
    out->inlet_va = s->inlet_a * s->inlet_v * s->hot_legs;
    out->charger_w = s->charger_w;
    out->charger_efficiency = s->charger_efficiency;
    out->charger_power_factor = s->charger_power_factor;
}

/* @return 1, or 0 if no loss curve passes through its three figures */
static int set_inverter(const sw_inverter_spec *i, sw_variant *out)
{
    if (i == NULL)
        return 1;
    out->inverter_w = i->rated_w;
    out->inverter_cut_out_v = i->cut_out_v;
    out->inverter_restart_v = i->restart_v;
    sw_inverter_fit fit =
        sw_inverter_fit_curve(i->idle_w, i->rated_w, i->peak_efficiency, i->full_efficiency, &out->inverter);
    return fit == SW_FIT_OK || fit == SW_FIT_STEEP;
}

static void set_fridges(const sw_van *van, sw_variant *out)
{
    for (int k = 0; k < van->loads; k++) {
        const sw_load_spec *load = &van->load[k];
        if (load->kind != SW_LOAD_FRIDGE)
            continue;
        out->thermal[out->thermals++] =
            (sw_thermal){.set_c = load->set_c,
                         .reference_dt_k = load->reference_c - load->set_c,
                         .at_reference_w = load->reference_wh / 24.0 * load->count,
                         .rated_w = load->power_w * load->count,
                         .bus = (sw_bus)load->bus,
                         .held = (sw_held)load->held};
    }
}

int sw_variant_of(const sw_plan *plan, const sw_course *course, sw_variant *out)
{
    const sw_forcing *f = &course->forcing[0];
    *out = (sw_variant){0};
    set_battery(&plan->van->battery, out);
    set_solar(plan->van, out);
    set_alternator(plan->van->alternator, out);
    set_shore(plan->van->shore, out);
    int possible = set_inverter(plan->van->inverter, out);
    set_fridges(plan->van, out);
    out->hold_back_below = plan->van->hold_back_below;
    out->start_soc = plan->trip->start_soc;
    out->start_c = out->outside ? f->air_c[0] : f->cabin_c[0];
    return possible;
}
