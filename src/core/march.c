// The march: one step is a list of stages, each a loop over the lanes of the tile. Only + - * / sqrt, compare
// and select (and the flags of the forcing, equal for all lanes), so that results do not depend on the width
// of the machine.
#include "core/tile.h"

#include <math.h>
#include <stddef.h>

/// What the stages of one step hand on to each other.
typedef struct step {
    int32_t row;
    double hours;
    int on_shore, inverter_on;
    sw_column ocv_v, energy_wh;        // at the beginning, after self-discharge
    sw_column ohm, eta;                // of this step
    sw_column floor_ah;                // charge that cold and rate lock
    sw_column alternator_w, charger_w; // on offer
    sw_column peak_w[SW_HELD_COUNT];   // AC, at one moment
    sw_column shore_va;                // what inlet and pedestal allow
    sw_column inverter_runs;           // 1: AC loads hang on a running inverter
    sw_column house_kept;              // 1: the DC loads that must be are carried
    sw_column accept_w;                // what the battery would take, at its terminals
    sw_column refused_w;               // what it would take besides if it were warm
    sw_column inverter_trips;          // 1: it goes off in this step
} step;

static double ocv_at(const sw_tile_plan *p, int l, double charge_ah)
{
    return bent_at(p->ocv0_v, p->ocv_knot, p->ocv_bend, SW_CURVE_POINTS, l,
                   charge_ah * p->inverse_capacity[l]);
}

/* dU/dq: the sum of the bends already passed */
static double ocv_slope(const sw_tile_plan *p, int l, double charge_ah)
{
    double soc = charge_ah * p->inverse_capacity[l];
    double slope = 0.0;
    for (int k = 0; k < SW_CURVE_POINTS; k++)
        slope += soc > p->ocv_knot[k][l] ? p->ocv_bend[k][l] : 0.0;
    return slope * p->inverse_capacity[l];
}

/* Stored energy: the integral of the open-circuit voltage over charge, Q (U0 s + sum bend/2 max(0, s -
 * knot)^2) */
static double energy_at(const sw_tile_plan *p, int l, double charge_ah)
{
    double soc = charge_ah * p->inverse_capacity[l];
    double sum = p->ocv0_v[l] * soc;
    for (int k = 0; k < SW_CURVE_POINTS; k++) {
        double past = larger(0.0, soc - p->ocv_knot[k][l]);
        sum += 0.5 * p->ocv_bend[k][l] * past * past;
    }
    return sum * p->capacity_ah[l];
}

static double inverter_input_w(const sw_tile_plan *p, int l, double ac_w)
{
    return ac_w + p->inverter_idle_w[l] + ac_w * (p->inverter_linear[l] + p->inverter_square[l] * ac_w);
}

// ---- stages ----

static void begin(const sw_forcing *f, const sw_tile_plan *p, sw_tile_state *s, step *c, sw_tile_flow *out)
{
    c->on_shore = (f->flags[c->row] & SW_STEP_SHORE) != 0;
    c->inverter_on = (f->flags[c->row] & SW_STEP_INVERTER) != 0;
    EACH_LANE(l)
    {
        out->battery_c[l] = s->battery_c[l];
        c->ohm[l] = bent_at(p->ohm0, p->ohm_knot, p->ohm_bend, SW_CURVE_POINTS, l, s->battery_c[l]);
        c->eta[l] = bent_at(p->eta0, p->eta_knot, p->eta_bend, SW_CURVE_POINTS, l,
                            s->charge_ah[l] * p->inverse_capacity[l]);
    }
}

/* Self-discharge and the management system's own draw leave through the cell, before anything else. */
static void lose_by_itself(const sw_tile_plan *p, sw_tile_state *s, step *c, sw_tile_flow *out)
{
    EACH_LANE(l)
    {
        double before_wh = energy_at(p, l, s->charge_ah[l]);
        double draw_a =
            s->charge_ah[l] * p->self_discharge_per_h[l] + p->management_w[l] / ocv_at(p, l, s->charge_ah[l]);
        s->charge_ah[l] = larger(0.0, s->charge_ah[l] - draw_a * c->hours);
        c->energy_wh[l] = energy_at(p, l, s->charge_ah[l]);
        c->ocv_v[l] = ocv_at(p, l, s->charge_ah[l]);
        out->self_loss_w[l] = (before_wh - c->energy_wh[l]) / c->hours;
    }
}

/* q_min = Q (1 - c(T) share(I)): cold and rate lock charge, they do not destroy it */
static void lock_charge(const sw_tile_plan *p, const sw_tile_state *s, step *c)
{
    EACH_LANE(l)
    {
        double reach = bent_at(p->reach0, p->reach_knot, p->reach_bend, SW_CURVE_POINTS, l, s->battery_c[l]);
        double share = 1.0;
        for (int k = 0; k < SW_PEUKERT_KNOTS; k++)
            share += p->peukert_bend[k][l] * larger(0.0, s->mean_current_a[l] - p->peukert_knot[k][l]);
        c->floor_ah[l] = p->capacity_ah[l] * (1.0 - between(reach * share, 0.0, 1.0));
    }
}

/* The controller's limit is a current at the battery's side, here at its open-circuit voltage. */
static void offer_solar(const sw_forcing *f, const sw_tile_plan *p, const step *c, sw_tile_flow *out)
{
    sw_column panels_w = {0};
    for (int a = 0; a < f->arrays; a++) {
        double yield = f->yield[a][c->row];
        double warm_k = f->cell_c[a][c->row] - 25.0;
        EACH_LANE(l)
        panels_w[l] += p->array_w[a][l] * larger(0.0, yield * (1.0 + p->array_gamma[a][l] * warm_k));
    }
    EACH_LANE(l)
    {
        double converted = panels_w[l] * p->controller_efficiency[l];
        double limit = p->controller_limit_a[l] * c->ocv_v[l];
        out->solar_offered_w[l] = smaller(converted, limit);
        out->solar_clipped_w[l] = converted - out->solar_offered_w[l];
    }
}

static void offer_alternator(const sw_forcing *f, const sw_tile_plan *p, step *c, sw_tile_flow *out)
{
    double cruise = f->cruise_share[c->row], idle = f->idle_share[c->row];
    EACH_LANE(l)
    {
        c->alternator_w[l] = cruise * p->alternator_cruise_w[l] + idle * p->alternator_idle_w[l];
        out->alternator_offered_w[l] = c->alternator_w[l];
    }
}

static void ask_loads(const sw_forcing *f, const sw_tile_plan *p, const sw_tile_state *s, step *c,
                      sw_tile_flow *out)
{
    for (int held = 0; held < SW_HELD_COUNT; held++) {
        EACH_LANE(l)
        {
            for (int bus = 0; bus < SW_BUS_COUNT; bus++) {
                out->asked_w[bus][held][l] = f->load_w[bus][held][c->row];
                out->served_share[bus][held][l] = 1.0;
            }
            c->peak_w[held][l] = f->peak_w[held][c->row];
        }
    }
    double cabin_c = f->cabin_c[c->row];
    for (int t = 0; t < p->thermals; t++) {
        int ac = p->thermal_bus[t] == SW_BUS_AC;
        EACH_LANE(l)
        {
            double rise_k = larger(0.0, cabin_c - p->thermal_set_c[t][l]);
            double wanted = p->thermal_gain[t][l] * rise_k * (rise_k + 25.0);
            double drawn = smaller(wanted, p->thermal_rated_w[t][l]);
            out->thermal_w[t][l] = drawn;
            out->thermal_short_w[t][l] = wanted - drawn;
            out->asked_w[p->thermal_bus[t]][p->thermal_held[t]][l] += drawn;
            c->peak_w[p->thermal_held[t]][l] += ac && drawn > 0.0 ? p->thermal_rated_w[t][l] : 0.0;
        }
    }
    EACH_LANE(l)
    {
        double soc = s->charge_ah[l] * p->inverse_capacity[l];
        out->held_back[l] = soc < p->hold_back_below[l] ? 1.0 : 0.0;
        double run = 1.0 - out->held_back[l];
        out->served_share[SW_BUS_DC][SW_CAN_WAIT][l] = run;
        out->served_share[SW_BUS_AC][SW_CAN_WAIT][l] = run;
    }
}

/* AC classes are dropped whole, can-wait, want, must, until what is left is within the limit at every moment.
 */
static void fit_ac(const sw_forcing *f, const sw_tile_plan *p, const sw_tile_state *s, step *c,
                   sw_tile_flow *out)
{
    double pedestal = f->pedestal_va[c->row];
    EACH_LANE(l)
    {
        c->shore_va[l] = smaller(p->inlet_va[l], pedestal);
        double running =
            c->inverter_on && s->inverter_out[l] == 0.0 && s->dc_out[l] == 0.0 ? p->inverter_w[l] : 0.0;
        double shore = c->on_shore ? c->shore_va[l] : 0.0;
        double limit = shore > 0.0 ? shore : running;
        c->inverter_runs[l] = shore == 0.0 && running > 0.0 ? 1.0 : 0.0;
        double peak = 0.0;
        double keep[SW_HELD_COUNT];
        for (int held = 0; held < SW_HELD_COUNT; held++) {
            double asked = c->peak_w[held][l] * out->served_share[SW_BUS_AC][held][l];
            keep[held] = peak + asked <= limit ? 1.0 : 0.0;
            peak += asked;
        }
        double beyond = limit > 0.0 ? larger(0.0, peak - limit) : 0.0;
        out->shore_overload_w[l] = shore > 0.0 ? beyond : 0.0;
        out->inverter_overload_w[l] = shore > 0.0 ? 0.0 : beyond;
        for (int held = 0; held < SW_HELD_COUNT; held++)
            out->served_share[SW_BUS_AC][held][l] *= keep[held];
    }
}

static double ac_served_w(const sw_tile_flow *out, int l)
{
    double sum = 0.0;
    for (int held = 0; held < SW_HELD_COUNT; held++)
        sum += out->asked_w[SW_BUS_AC][held][l] * out->served_share[SW_BUS_AC][held][l];
    return sum;
}

static double dc_served_w(const sw_tile_flow *out, int l)
{
    double sum = 0.0;
    for (int held = 0; held < SW_HELD_COUNT; held++)
        sum += out->asked_w[SW_BUS_DC][held][l] * out->served_share[SW_BUS_DC][held][l];
    return sum;
}

/* AC loads first; the charger takes what is left of the limit for steady use, in volt-amperes. */
static void offer_shore(const sw_forcing *f, const sw_tile_plan *p, step *c, sw_tile_flow *out)
{
    double steady = f->pedestal_steady_va[c->row];
    double share = f->pedestal_va[c->row] > 0.0 ? steady / f->pedestal_va[c->row] : 0.0;
    EACH_LANE(l)
    {
        int plugged = c->on_shore && c->shore_va[l] > 0.0;
        out->shore_ac_w[l] = plugged ? ac_served_w(out, l) : 0.0;
        double left_va = larger(0.0, c->shore_va[l] * share - out->shore_ac_w[l]);
        double from_line = left_va * p->charger_power_factor[l] * p->charger_efficiency[l];
        c->charger_w[l] = plugged ? smaller(p->charger_w[l], from_line) : 0.0;
    }
}

/* Root of U(q + eta I h) + R I = V_abs, the current that ends the step at the absorption voltage. The left
   side rises with I in straight pieces: the walk along the knots of U stops on the last one that is still
   below, and the root lies on its piece. */
static double tapered_current_a(const sw_tile_plan *p, const sw_tile_state *s, const step *c, int l)
{
    double target = p->absorption_v[l] + p->absorption_v_per_k[l] * (s->battery_c[l] - 25.0);
    double charge = s->charge_ah[l], per_ah = 1.0 / (c->eta[l] * c->hours);
    double at = charge, ocv = c->ocv_v[l], slope = 0.0;
    double current = 0.0, below = 0.0, rise = 0.0;
    for (int k = 0; k < SW_CURVE_POINTS; k++) {
        double knot = larger(charge, p->ocv_knot[k][l] * p->capacity_ah[l]);
        ocv += slope * (knot - at);
        slope += p->ocv_bend[k][l] * p->inverse_capacity[l];
        at = knot;
        double current_here = (knot - charge) * per_ah;
        double below_here = target - ocv - c->ohm[l] * current_here;
        current = below_here >= 0.0 ? current_here : current;
        rise = below_here >= 0.0 ? slope : rise;
        below = below_here >= 0.0 ? below_here : below;
    }
    return current + below / (rise / per_ah + c->ohm[l]);
}

/* Greatest charging current: limit, acceptance, what fills to Q, and the absorption voltage. */
static double charging_current_a(const sw_tile_plan *p, const sw_tile_state *s, const step *c, int l)
{
    double missing = larger(0.0, p->capacity_ah[l] - s->charge_ah[l]);
    double filling = smaller(missing * p->acceptance_per_h[l], missing / (c->eta[l] * c->hours));
    return smaller(smaller(p->charge_limit_a[l], filling), tapered_current_a(p, s, c, l));
}

static double charging_power_w(const sw_tile_plan *p, const sw_tile_state *s, const step *c, int l,
                               double current_a)
{
    double after = energy_at(p, l, s->charge_ah[l] + c->eta[l] * current_a * c->hours);
    return (after - c->energy_wh[l]) / (c->eta[l] * c->hours) + c->ohm[l] * current_a * current_a;
}

static void accept_charge(const sw_tile_plan *p, const sw_tile_state *s, step *c)
{
    EACH_LANE(l)
    {
        double warm = charging_current_a(p, s, c, l);
        double allowed = between((s->battery_c[l] - p->cold_stop_c[l]) * p->cold_ramp_per_k[l], 0.0, 1.0);
        double current = smaller(warm, allowed * p->charge_limit_a[l]);
        c->accept_w[l] = charging_power_w(p, s, c, l, current);
        c->refused_w[l] = charging_power_w(p, s, c, l, warm) - c->accept_w[l];
    }
}

/* What the house side can draw: by rate (limit current, cut-out voltage) at full power of a moment, and by
   the charge that is left above the floor as a mean over the step. The sources stand in each. */
typedef struct supply {
    double rate_w, inverter_rate_w, mean_w;
} supply;

static double terminal_power_w(const step *c, int l, double current_a)
{
    return (c->ocv_v[l] - c->ohm[l] * current_a) * current_a;
}

/* Current that brings the terminals down to `low_v`, or to half the open-circuit voltage: below that more
   current gives less power. */
static double current_down_to_a(const step *c, int l, double low_v)
{
    return larger(0.0, c->ocv_v[l] - larger(low_v, 0.5 * c->ocv_v[l])) / c->ohm[l];
}

static supply supply_of(const sw_tile_plan *p, const sw_tile_state *s, const step *c, const sw_tile_flow *out,
                        int l)
{
    double connected = s->dc_out[l] == 0.0 ? 1.0 : 0.0;
    double by_voltage = current_down_to_a(c, l, p->cut_out_v[l]);
    double by_inverter = current_down_to_a(c, l, p->inverter_cut_out_v[l]);
    double rate_a = connected * smaller(p->discharge_limit_a[l], by_voltage);
    double above_floor = larger(0.0, s->charge_ah[l] - c->floor_ah[l]);
    double mean_a = smaller(rate_a, connected * above_floor / c->hours);
    double after_wh = energy_at(p, l, s->charge_ah[l] - mean_a * c->hours);
    double mean_w = (c->energy_wh[l] - after_wh) / c->hours - c->ohm[l] * mean_a * mean_a;
    double sources_w = out->solar_offered_w[l] + c->alternator_w[l] + c->charger_w[l];
    return (supply){.rate_w = sources_w + terminal_power_w(c, l, rate_a),
                    .inverter_rate_w = sources_w + terminal_power_w(c, l, smaller(rate_a, by_inverter)),
                    .mean_w = sources_w + mean_w};
}

/* What hangs on the house side after some rungs of the ladder, and whether all of them held: 1 or 0. */
typedef struct ladder {
    double dc_w, ac_w, ac_peak_w, inverter, holds;
} ladder;

static double house_peak_w(const sw_tile_plan *p, int l, ladder on)
{
    return on.dc_w + on.inverter * inverter_input_w(p, l, on.ac_peak_w);
}

/* One rung up if everything up to it can be carried, else it stays where it is for good. */
static ladder climb(const sw_tile_plan *p, int l, supply can, ladder now, ladder next)
{
    double mean_w = next.dc_w + next.inverter * inverter_input_w(p, l, next.ac_w);
    double holds = mean_w <= can.mean_w && house_peak_w(p, l, next) <= can.rate_w ? now.holds : 0.0;
    now.dc_w = holds > 0.0 ? next.dc_w : now.dc_w;
    now.ac_w = holds > 0.0 ? next.ac_w : now.ac_w;
    now.ac_peak_w = holds > 0.0 ? next.ac_peak_w : now.ac_peak_w;
    now.inverter = holds > 0.0 ? next.inverter : now.inverter;
    now.holds = holds;
    return now;
}

static ladder with_dc(const sw_tile_flow *out, int held, int l, ladder on)
{
    on.dc_w += out->asked_w[SW_BUS_DC][held][l] * out->served_share[SW_BUS_DC][held][l];
    return on;
}

static ladder with_ac(const step *c, const sw_tile_flow *out, int held, int l, ladder on)
{
    double share = c->inverter_runs[l] * out->served_share[SW_BUS_AC][held][l];
    on.ac_w += out->asked_w[SW_BUS_AC][held][l] * share;
    on.ac_peak_w = larger(on.ac_w, on.ac_peak_w + c->peak_w[held][l] * share);
    on.inverter = c->inverter_runs[l];
    return on;
}

/* The ladder of keeping: must before want before can-wait, and in each the DC loads before the AC ones, each
   class whole, as long as sources and battery carry the sum. The first AC rung carries the inverter's idle
   draw. The inverter's own low-voltage cut-out knows no classes: it takes all AC loads with it. */
static void fit_battery(const sw_tile_plan *p, const sw_tile_state *s, step *c, sw_tile_flow *out)
{
    EACH_LANE(l)
    {
        supply can = supply_of(p, s, c, out, l);
        ladder on = {.dc_w = p->controller_self_w[l], .holds = 1.0};
        double by_inverter = c->inverter_runs[l];
        double dc_holds[SW_HELD_COUNT], ac_holds[SW_HELD_COUNT];
        for (int held = 0; held < SW_HELD_COUNT; held++) {
            on = climb(p, l, can, on, with_dc(out, held, l, on));
            dc_holds[held] = on.holds;
            on = climb(p, l, can, on, with_ac(c, out, held, l, on));
            ac_holds[held] = on.holds;
        }
        double runs = house_peak_w(p, l, on) <= can.inverter_rate_w ? on.inverter : 0.0;
        for (int held = 0; held < SW_HELD_COUNT; held++) {
            out->served_share[SW_BUS_DC][held][l] *= dc_holds[held];
            out->served_share[SW_BUS_AC][held][l] *= by_inverter > 0.0 ? ac_holds[held] * runs : 1.0;
        }
        c->house_kept[l] = dc_holds[SW_MUST];
        c->inverter_trips[l] = by_inverter - runs;
        c->inverter_runs[l] = runs;
    }
}

/* Meets the house side by solar, alternator, shore charger; what is missing comes out of the battery, and
   what the battery accepts is taken in the same order. */
static void share_out(const sw_tile_plan *p, step *c, sw_tile_flow *out)
{
    EACH_LANE(l)
    {
        double ac_w = c->inverter_runs[l] * ac_served_w(out, l);
        double input_w = c->inverter_runs[l] * inverter_input_w(p, l, ac_w);
        out->controller_self_w[l] = p->controller_self_w[l] * c->house_kept[l];
        double house_w = dc_served_w(out, l) + input_w + out->controller_self_w[l];
        double wanted = house_w + c->accept_w[l];
        out->solar_used_w[l] = smaller(out->solar_offered_w[l], wanted);
        wanted -= out->solar_used_w[l];
        out->alternator_used_w[l] = smaller(c->alternator_w[l], wanted);
        wanted -= out->alternator_used_w[l];
        out->charger_out_w[l] = smaller(c->charger_w[l], wanted);
        out->charger_in_w[l] = out->charger_out_w[l] / p->charger_efficiency[l];
        double left_w = out->solar_offered_w[l] - out->solar_used_w[l] + c->alternator_w[l] -
                        out->alternator_used_w[l] + c->charger_w[l] - out->charger_out_w[l];
        out->cold_blocked_w[l] = smaller(left_w, c->refused_w[l]);
        out->inverter_loss_w[l] = input_w - ac_w;
        out->served_w[l] = dc_served_w(out, l) + ac_w + out->shore_ac_w[l];
        out->battery_w[l] =
            house_w - out->solar_used_w[l] - out->alternator_used_w[l] - out->charger_out_w[l];
    }
}

/* Charge x [Ah] that leaves the battery (negative: enters, times eta) when it gives `battery_w` for the step:
   (E(q) - E(q - g x))/g - R x^2/h = P h, g = 1 discharging and eta charging. E is a parabola between the
   knots of U, so the root of the tangent parabola is exact within a piece, and Newton's steps settle a
   crossing. */
static double charge_moved_ah(const sw_tile_plan *p, const sw_tile_state *s, const step *c, int l,
                              double battery_w)
{
    double g = battery_w > 0.0 ? 1.0 : c->eta[l];
    double charge = s->charge_ah[l], ohm_per_h = c->ohm[l] / c->hours, energy = battery_w * c->hours;
    double curve = ohm_per_h + 0.5 * g * ocv_slope(p, l, charge);
    double root = sqrt(larger(0.0, c->ocv_v[l] * c->ocv_v[l] - 4.0 * curve * energy));
    double x = 2.0 * energy / (c->ocv_v[l] + root);
    for (int pass = 0; pass < 4; pass++) {
        double after = charge - g * x;
        double excess = (c->energy_wh[l] - energy_at(p, l, after)) / g - ohm_per_h * x * x - energy;
        x -= excess / (ocv_at(p, l, after) - 2.0 * ohm_per_h * x);
    }
    return x;
}

static void settle_battery(const sw_tile_plan *p, sw_tile_state *s, step *c, sw_tile_flow *out)
{
    EACH_LANE(l)
    {
        double x = charge_moved_ah(p, s, c, l, out->battery_w[l]);
        double g = x > 0.0 ? 1.0 : c->eta[l];
        double current = x / c->hours;
        double charge = between(s->charge_ah[l] - g * x, 0.0, p->capacity_ah[l]);
        double stored = energy_at(p, l, charge) - c->energy_wh[l];
        out->battery_a[l] = current;
        out->resistance_loss_w[l] = c->ohm[l] * current * current;
        out->coulombic_loss_w[l] = x > 0.0 ? 0.0 : stored * (1.0 / g - 1.0) / c->hours;
        out->stored_w[l] = stored / c->hours - out->self_loss_w[l];
        out->battery_v[l] = ocv_at(p, l, charge) - c->ohm[l] * current;
        out->soc[l] = charge * p->inverse_capacity[l];
        out->soc_reachable[l] = larger(0.0, charge - c->floor_ah[l]) * p->inverse_capacity[l];
        s->charge_ah[l] = charge;
        s->mean_current_a[l] += (larger(0.0, current) - s->mean_current_a[l]) * p->mean_current_gain[l];
    }
}

/* A cut-out holds until the voltage is back at its restart level. */
static void latch_cut_outs(const sw_tile_plan *p, sw_tile_state *s, const step *c, sw_tile_flow *out)
{
    EACH_LANE(l)
    {
        double trips = larger(s->inverter_out[l], c->inverter_trips[l]);
        double drops = larger(s->dc_out[l], 1.0 - c->house_kept[l]);
        out->tripped[l] = trips;
        out->cut_off[l] = drops;
        s->inverter_out[l] = out->battery_v[l] >= p->inverter_restart_v[l] ? 0.0 : trips;
        s->dc_out[l] = out->battery_v[l] >= p->dc_restart_v[l] ? 0.0 : drops;
    }
}

/* The battery's temperature follows cabin or outside air with a first-order lag. */
static void warm_battery(const sw_forcing *f, const sw_tile_plan *p, sw_tile_state *s, const step *c)
{
    double air = f->air_c[c->row], cabin = f->cabin_c[c->row];
    EACH_LANE(l)
    {
        double place = cabin + p->outside_share[l] * (air - cabin);
        s->battery_c[l] += (place - s->battery_c[l]) * p->temperature_gain[l];
    }
}

static int balances(const step *c, sw_tile_flow *out)
{
    int good = 1;
    EACH_LANE(l)
    {
        double sources =
            out->solar_used_w[l] + out->alternator_used_w[l] + out->shore_ac_w[l] + out->charger_in_w[l];
        double losses = out->inverter_loss_w[l] + out->controller_self_w[l] +
                        (out->charger_in_w[l] - out->charger_out_w[l]) + out->resistance_loss_w[l] +
                        out->coulombic_loss_w[l] + out->self_loss_w[l];
        double stored = out->stored_w[l];
        out->imbalance_w[l] = sources - out->served_w[l] - losses - stored;
        out->throughput_w[l] = sources + out->served_w[l] + losses + (stored < 0.0 ? -stored : stored);
        double off = out->imbalance_w[l] < 0.0 ? -out->imbalance_w[l] : out->imbalance_w[l];
        // Written so that a value that is not a number fails too.
        good = good && off * c->hours <= 1e-9 * (out->throughput_w[l] * c->hours + 1.0);
    }
    return good;
}

static int march_step(const sw_forcing *f, const sw_tile_plan *p, sw_tile_state *s, int32_t row,
                      sw_tile_flow *out)
{
    step c = {.row = row, .hours = p->step_h};
    begin(f, p, s, &c, out);
    lose_by_itself(p, s, &c, out);
    lock_charge(p, s, &c);
    offer_solar(f, p, &c, out);
    offer_alternator(f, p, &c, out);
    ask_loads(f, p, s, &c, out);
    fit_ac(f, p, s, &c, out);
    offer_shore(f, p, &c, out);
    accept_charge(p, s, &c);
    fit_battery(p, s, &c, out);
    share_out(p, &c, out);
    settle_battery(p, s, &c, out);
    latch_cut_outs(p, s, &c, out);
    warm_battery(f, p, s, &c);
    return balances(&c, out);
}

sw_status sw_march(const sw_forcing *forcing, const sw_tile_plan *plan, sw_tile_state *state,
                   sw_march_sink *sink, void *context)
{
    sw_tile_flow flow = {0};
    int balanced = 1;
    for (int32_t row = 0; row < forcing->steps; row++) {
        balanced = march_step(forcing, plan, state, row, &flow) && balanced;
        if (sink != NULL)
            sink(context, row, &flow);
    }
    return balanced ? SW_OK : SW_UNBALANCED;
}
