// Writes one variant into a lane: curves become bent lines, limits and gains are worked out once.
#include "core/march_tile.h"

#include <math.h>

static void bend(const sw_curve *curve, int lane, int points, double *y0, sw_column *knot,
                 sw_column *slope_change)
{
    y0[lane] = curve->y[0];
    double slope_before = 0.0;
    for (int k = 0; k < points; k++) {
        int is_corner = k < curve->count;
        int is_inner = k + 1 < curve->count;
        double slope = is_inner ? (curve->y[k + 1] - curve->y[k]) / (curve->x[k + 1] - curve->x[k]) : 0.0;
        knot[k][lane] = is_corner ? curve->x[k] : curve->x[curve->count - 1];
        slope_change[k][lane] = is_corner ? slope - slope_before : 0.0;
        slope_before = is_corner ? slope : slope_before;
    }
}

static sw_curve scaled(const sw_curve *curve, double factor)
{
    sw_curve out = *curve;
    for (int i = 0; i < out.count; i++)
        out.y[i] *= factor;
    return out;
}

/* What can be reached in cold, where less, or more, is lost than usual; never less than nothing. */
static sw_curve reach_of(const sw_variant *v, const sw_chemistry_data *data)
{
    sw_curve out = data->capacity_share;
    for (int i = 0; i < out.count; i++)
        out.y[i] = larger(0.0, out.y[i] + v->cold_spared * (1.0 - out.y[i]));
    return out;
}

/* Over all lanes, also those that are set later. */
static void find_knots(sw_tile_plan *plan)
{
    for (int k = 0; k < SW_CURVE_POINTS; k++) {
        plan->ocv_knot_least[k] = plan->ocv_knot_most[k] = plan->ocv_knot[k][0];
        EACH_LANE(l)
        {
            plan->ocv_knot_least[k] = smaller(plan->ocv_knot_least[k], plan->ocv_knot[k][l]);
            plan->ocv_knot_most[k] = larger(plan->ocv_knot_most[k], plan->ocv_knot[k][l]);
        }
    }
}

static void set_curves(sw_tile_plan *plan, int lane, const sw_variant *v, const sw_chemistry_data *data)
{
    sw_curve ocv = scaled(&data->open_circuit_v, v->units_12v);
    sw_curve ohm = scaled(&data->resistance_ratio, v->resistance_ohm), reach = reach_of(v, data);
    bend(&ocv, lane, SW_CURVE_POINTS, plan->ocv0_v, plan->ocv_knot, plan->ocv_bend);
    find_knots(plan);
    bend(&data->charge_efficiency, lane, SW_SHORT_CURVE_POINTS, plan->eta0, plan->eta_knot, plan->eta_bend);
    bend(&reach, lane, SW_SHORT_CURVE_POINTS, plan->reach0, plan->reach_knot, plan->reach_bend);
    bend(&ohm, lane, SW_SHORT_CURVE_POINTS, plan->ohm0, plan->ohm_knot, plan->ohm_bend);
}

/* Peukert's share falls as a power of the current; the march has no pow, so it follows chords between knots,
   each half as much again as the one before, from the 20-hour current to 26 times that (discharge in less
   than an hour); the last chord goes on beyond. The chords lie at most 0.4 % above the curve for exponents up
   to 1.15. [peukert] (own derivation: the chords) */
static void set_peukert(sw_tile_plan *plan, int lane, const sw_variant *v, const sw_chemistry_data *data)
{
    double current_20h = v->rated_ah / 20.0;
    double slope_before = 0.0;
    double ratio = 1.0;
    for (int k = 0; k < SW_SHORT_CURVE_POINTS; k++) {
        double next = 1.5 * ratio;
        double slope = (sw_peukert_share(next, data->peukert) - sw_peukert_share(ratio, data->peukert)) /
                       ((next - ratio) * current_20h);
        plan->peukert_knot[k][lane] = ratio * current_20h;
        plan->peukert_bend[k][lane] = slope - slope_before;
        slope_before = slope;
        ratio = next;
    }
}

/* Share of the way that a first-order lag goes in a step (definition). */
static double gain_over(double step_h, double lag_h)
{
    return 1.0 - exp(-step_h / lag_h);
}

/* Constants that are ours: discharge is judged by its mean over an hour, which Peukert's law does not tell
   (common practice, no source); a month has 30 days (convention); 0.01 K keeps a ramp without width finite
   (numerics). */
static void set_battery(sw_tile_plan *plan, int lane, const sw_variant *v, const sw_chemistry_data *data)
{
    plan->capacity_ah[lane] = v->rated_ah * v->health;
    plan->inverse_capacity[lane] = 1.0 / (v->rated_ah * v->health);
    plan->mean_current_gain[lane] = gain_over(plan->step_h, 1.0);
    plan->full_v[lane] = sw_curve_at(&data->open_circuit_v, 1.0) * v->units_12v;
    plan->charge_limit_a[lane] = v->charge_limit_a;
    plan->discharge_limit_a[lane] = v->discharge_limit_a;
    plan->absorption_v[lane] = v->absorption_v;
    plan->absorption_v_per_k[lane] = data->absorption_v_per_k * v->units_12v;
    plan->cut_out_v[lane] = v->cut_out_v;
    plan->acceptance_h[lane] = data->acceptance_h;
    plan->cold_stop_c[lane] = v->cold_stop_c;
    plan->cold_ramp_per_k[lane] = 1.0 / larger(v->cold_full_c - v->cold_stop_c, 0.01);
    plan->hot_stop_c[lane] = v->hot_stop_c;
    plan->hot_ramp_per_k[lane] = 1.0 / larger(v->hot_stop_c - v->hot_full_c, 0.01);
    plan->cold_ends_c[lane] = 0.5 * (v->cold_full_c + v->hot_full_c);
    plan->discharge_stop_c[lane] = v->discharge_stop_c;
    plan->management_w[lane] = v->management_w;
    plan->self_discharge_per_h[lane] = v->self_discharge_month / (30.0 * 24.0);
    plan->temperature_gain[lane] = gain_over(plan->step_h, v->temperature_lag_h);
    // C dT/dt = (C/lag) (place - T) + P: the heat of a step has left the bank warmer by P lag/C, as far as it
    // goes
    plan->pad_w[lane] = v->pad_w;
    plan->pad_set_c[lane] = v->pad_set_c;
    plan->pad_needs_charger[lane] = v->pad_needs_charger;
    plan->pad_k_per_w[lane] = v->temperature_lag_h / v->heat_wh_k * plan->temperature_gain[lane];
    plan->outside_share[lane] = v->outside;
    plan->dc_restart_v[lane] = v->dc_restart_v;
    plan->waits_for_charger[lane] = v->comes_back == SW_BACK_BY_CHARGER;
    plan->waits_for_hand[lane] = v->comes_back == SW_BACK_BY_HAND;
    plan->hold_back_below[lane] = v->hold_back_below;
}

static void set_sources(sw_tile_plan *plan, int lane, const sw_variant *v)
{
    for (int a = 0; a < SW_ARRAYS_MAX; a++) {
        plan->array_w[a][lane] = v->array_w[a] * v->array_keep[a];
        plan->array_gamma[a][lane] = v->array_gamma[a];
        plan->array_per_v[a][lane] = v->array_held_v[a] > 0.0 ? 1.0 / v->array_held_v[a] : 0.0;
    }
    plan->controller_efficiency[lane] = v->controller_efficiency;
    plan->controller_limit_a[lane] = v->controller_limit_a;
    plan->controller_self_w[lane] = v->controller_self_w;
    plan->alternator_cruise_w[lane] = v->alternator_cruise_w;
    plan->alternator_idle_w[lane] = v->alternator_idle_w;
    plan->alternator_cruise_cold_w[lane] = v->alternator_cruise_cold_w;
    plan->alternator_idle_cold_w[lane] = v->alternator_idle_cold_w;
    plan->relay_v[lane] = v->relay_v;
    plan->relay_ohm[lane] = v->relay_ohm;
    plan->relay_cruise_a[lane] = v->relay_cruise_a;
    plan->relay_idle_a[lane] = v->relay_idle_a;
    plan->relay_cruise_cold_a[lane] = v->relay_cruise_cold_a;
    plan->relay_idle_cold_a[lane] = v->relay_idle_cold_a;
    plan->inlet_va[lane] = v->inlet_va;
    plan->charger_w[lane] = v->charger_w;
    plan->charger_efficiency[lane] = v->charger_efficiency;
    plan->charger_power_factor[lane] = v->charger_power_factor;
}

static void set_inverter(sw_tile_plan *plan, int lane, const sw_variant *v)
{
    plan->inverter_w[lane] = v->inverter_w;
    plan->inverter_idle_w[lane] = v->inverter.idle_w;
    plan->inverter_linear[lane] = v->inverter.linear;
    plan->inverter_square[lane] = v->inverter.square_per_w;
    plan->inverter_cut_out_v[lane] = v->inverter_cut_out_v;
    plan->inverter_restart_v[lane] = v->inverter_restart_v;
}

/* A compressor's power is the heat that leaks in over its coefficient of performance. The leak is UA dT; the
   COP of a Carnot-like machine with a condenser 25 K above the cabin and a fixed share of Carnot falls as
   T_cold/(dT + 25), T_cold fixed by the set point. So P = P_ref (dT/dT_ref) (dT + 25)/(dT_ref + 25). (own
   derivation; common practice, no source: the 25 K) */
static void set_thermals(sw_tile_plan *plan, int lane, const sw_variant *v)
{
    plan->thermals = v->thermals;
    for (int t = 0; t < v->thermals; t++) {
        const sw_thermal *thermal = &v->thermal[t];
        double reference = thermal->reference_dt_k * (thermal->reference_dt_k + 25.0);
        plan->thermal_bus[t] = thermal->bus;
        plan->thermal_held[t] = thermal->held;
        plan->thermal_set_c[t][lane] = thermal->set_c;
        plan->thermal_gain[t][lane] = thermal->at_reference_w / reference;
        plan->thermal_rated_w[t][lane] = thermal->rated_w;
    }
}

/* As the march works it out for a column. */
static double open_circuit_v(const sw_tile_plan *p, int lane, double charge_ah)
{
    double x = charge_ah * p->inverse_capacity[lane], ocv = p->ocv0_v[lane];
    for (int k = 0; k < SW_CURVE_POINTS; k++)
        ocv += p->ocv_bend[k][lane] * larger(0.0, x - p->ocv_knot[k][lane]);
    return ocv;
}

// 3600 s are an hour (definition)
void sw_tile_set(sw_tile_plan *plan, sw_tile_state *state, int lane, const sw_variant *variant,
                 int32_t step_s)
{
    const sw_chemistry_data *data = sw_chemistry_of(variant->chemistry);
    plan->step_h = step_s / 3600.0;
    set_curves(plan, lane, variant, data);
    set_peukert(plan, lane, variant, data);
    set_battery(plan, lane, variant, data);
    set_sources(plan, lane, variant);
    set_inverter(plan, lane, variant);
    set_thermals(plan, lane, variant);
    state->charge_ah[lane] = variant->start_soc * plan->capacity_ah[lane];
    state->ocv_v[lane] = open_circuit_v(plan, lane, state->charge_ah[lane]);
    state->battery_c[lane] = variant->start_c;
    state->mean_current_a[lane] = 0.0;
    state->inverter_out[lane] = 0.0;
    state->dc_out[lane] = 0.0;
}
