// The battery in a step: what it loses by itself, what cold and rate lock, what it accepts and gives, where
// it ends. Curves are worked out for all lanes at once, knot by knot, so that every pass is multiply-adds on
// columns.
#include "core/march_step.h"

#include <math.h>

// ---- curves ----

/* Bent lines at x. The loop over lanes is outside and the sums are its own, so that they stay in registers.
 */
static void bent_column(const sw_column y0, const sw_column *restrict knot, const sw_column *restrict bend,
                        const sw_column x, sw_column out)
{
    sw_column sum;
    EACH_LANE(l)
    {
        double y = y0[l], at = x[l];
        for (int k = 0; k < SW_SHORT_CURVE_POINTS; k++)
            y += bend[k][l] * larger(0.0, at - knot[k][l]);
        sum[l] = y;
    }
    EACH_LANE(l)
    out[l] = sum[l];
}

/* Open-circuit voltage. */
static void cell_column(const sw_tile_plan *restrict p, const sw_column charge_ah, sw_column ocv_v)
{
    sw_column u; // on the stack, so that nothing aliases
    EACH_LANE(l)
    {
        double x = charge_ah[l] * p->inverse_capacity[l], ocv = p->ocv0_v[l];
        for (int k = 0; k < SW_CURVE_POINTS; k++)
            ocv += p->ocv_bend[k][l] * larger(0.0, x - p->ocv_knot[k][l]);
        u[l] = ocv;
    }
    EACH_LANE(l)
    ocv_v[l] = u[l];
}

/* The same, and dU/dq, the sum of the bends already passed: one pass over the knots for both. */
static void tangent_column(const sw_tile_plan *restrict p, const sw_column charge_ah, sw_column ocv_v,
                           sw_column ocv_v_per_ah)
{
    sw_column u, sum;
    EACH_LANE(l)
    {
        double x = charge_ah[l] * p->inverse_capacity[l], ocv = p->ocv0_v[l], slope = 0.0;
        for (int k = 0; k < SW_CURVE_POINTS; k++) {
            double past = x - p->ocv_knot[k][l];
            ocv += p->ocv_bend[k][l] * larger(0.0, past);
            slope += p->ocv_bend[k][l] * (past > 0.0);
        }
        u[l] = ocv;
        sum[l] = slope;
    }
    EACH_LANE(l)
    {
        ocv_v[l] = u[l];
        ocv_v_per_ah[l] = sum[l] * p->inverse_capacity[l];
    }
}

/* Knots of the voltage that may lie between two states of charge in some lane; mostly none or one does.
   @return the first of them, the last is not one */
static int knots_between(const sw_tile_plan *p, const sw_column low, const sw_column high, int *last)
{
    double least = low[0], most = high[0];
    EACH_LANE(l)
    {
        least = smaller(least, low[l]);
        most = larger(most, high[l]);
    }
    int first = 0;
    *last = SW_CURVE_POINTS;
    while (first < *last && p->ocv_knot_most[first] <= least)
        first++;
    while (*last > first && p->ocv_knot_least[*last - 1] >= most)
        --*last;
    return first;
}

/* Stored energy that leaves between two charges, the integral of U: the trapezoid, less what each knot
   between them bends away from it. As a difference of two energies it would carry the rounding of the whole
   bank. */
static void energy_column(const sw_tile_plan *restrict p, const sw_column from_ah, const sw_column from_v,
                          const sw_column to_ah, const sw_column to_v, sw_column energy_wh)
{
    sw_column low, high, bent = {0};
    EACH_LANE(l)
    {
        double from = from_ah[l] * p->inverse_capacity[l], to = to_ah[l] * p->inverse_capacity[l];
        high[l] = larger(from, to);
        low[l] = smaller(from, to);
    }
    int last;
    for (int k = knots_between(p, low, high, &last); k < last; k++)
        EACH_LANE(l)
    bent[l] += p->ocv_bend[k][l] * larger(0.0, high[l] - p->ocv_knot[k][l]) *
               larger(0.0, p->ocv_knot[k][l] - low[l]);
    EACH_LANE(l)
    {
        double away = 0.5 * bent[l] * p->capacity_ah[l];
        double trapezoid = 0.5 * (from_v[l] + to_v[l]) * (from_ah[l] - to_ah[l]);
        energy_wh[l] = trapezoid - (from_ah[l] > to_ah[l] ? away : -away);
    }
}

// ---- begin ----

/* Self-discharge and the management system's own draw leave through the cell, before anything else. */
static void lose_by_itself(const sw_tile_plan *p, sw_tile_state *s, step *c, sw_tile_flow *out)
{
    sw_column before_ah, lost_wh;
    EACH_LANE(l)
    {
        before_ah[l] = s->charge_ah[l];
        double draw_a = s->charge_ah[l] * p->self_discharge_per_h[l] + p->management_w[l] / s->ocv_v[l];
        s->charge_ah[l] = larger(0.0, s->charge_ah[l] - draw_a * c->hours);
    }
    tangent_column(p, s->charge_ah, c->ocv_v, c->ocv_v_per_ah);
    energy_column(p, before_ah, s->ocv_v, s->charge_ah, c->ocv_v, lost_wh);
    EACH_LANE(l)
    out->self_loss_w[l] = lost_wh[l] / c->hours;
}

/* q_min = Q (1 - c(T) share(I)): cold and rate lock charge, they do not destroy it */
static void lock_charge(const sw_tile_plan *p, const sw_tile_state *s, step *c)
{
    sw_column reach, share, one;
    EACH_LANE(l)
    one[l] = 1.0;
    bent_column(p->reach0, p->reach_knot, p->reach_bend, s->battery_c, reach);
    bent_column(one, p->peukert_knot, p->peukert_bend, s->mean_current_a, share);
    EACH_LANE(l)
    c->floor_ah[l] = p->capacity_ah[l] * larger(0.0, 1.0 - reach[l] * share[l]);
}

/* Where the bank's temperature goes in the step by itself: with a first-order lag after cabin or outside air.
 */
static double drifts_to_c(const sw_forcing *f, const sw_tile_plan *p, const sw_tile_state *s, const step *c,
                          int l)
{
    double air = f->air_c[c->row], cabin = f->cabin_c[c->row];
    double place = cabin + p->outside_share[l] * (air - cabin);
    return s->battery_c[l] + (place - s->battery_c[l]) * p->temperature_gain[l];
}

/* The heater's mean power that ends the step at its set point: no switching, whatever the step. */
static void want_heat(const sw_forcing *f, const sw_tile_plan *p, const sw_tile_state *s, step *c)
{
    EACH_LANE(l)
    {
        double missing_k = larger(0.0, p->pad_set_c[l] - drifts_to_c(f, p, s, c, l));
        c->pad_wanted_w[l] = smaller(p->pad_w[l], missing_k / p->pad_k_per_w[l]);
    }
}

void sw_battery_begin(const sw_forcing *f, const sw_tile_plan *p, sw_tile_state *s, step *c,
                      sw_tile_flow *out)
{
    sw_column soc;
    EACH_LANE(l)
    {
        out->battery_c[l] = s->battery_c[l];
        soc[l] = s->charge_ah[l] * p->inverse_capacity[l];
    }
    bent_column(p->ohm0, p->ohm_knot, p->ohm_bend, s->battery_c, c->ohm);
    bent_column(p->eta0, p->eta_knot, p->eta_bend, soc, c->eta);
    lose_by_itself(p, s, c, out);
    lock_charge(p, s, c);
    want_heat(f, p, s, c);
}

// ---- accepts ----

/* Root of U(q + eta I h) + R I = V_abs, the current that ends the step at the absorption voltage. The left
   side rises with I in straight pieces: the walk along the knots of U stops on the last one that is still
   below, and the root lies on its piece. (own derivation; convention: charging voltages are
   told for 25 degC) */
static void tapered_current(const sw_tile_plan *restrict p, const sw_tile_state *restrict s,
                            const step *restrict c, sw_column out)
{
    sw_column root;
    EACH_LANE(l)
    {
        double target = p->absorption_v[l] + p->absorption_v_per_k[l] * (s->battery_c[l] - 25.0);
        double charge = s->charge_ah[l], ohm = c->ohm[l], per_ah = 1.0 / (c->eta[l] * c->hours);
        double at = charge, ocv = c->ocv_v[l], slope = 0.0;
        double current = 0.0, below = 0.0, rise = 0.0;
        for (int k = 0; k < SW_CURVE_POINTS; k++) {
            double knot = larger(charge, p->ocv_knot[k][l] * p->capacity_ah[l]);
            ocv += slope * (knot - at);
            slope += p->ocv_bend[k][l] * p->inverse_capacity[l];
            at = knot;
            double current_here = (knot - charge) * per_ah;
            double below_here = target - ocv - ohm * current_here;
            double reached = below_here >= 0.0;
            current = reached ? current_here : current;
            rise = reached ? slope : rise;
            below = reached ? below_here : below;
        }
        root[l] = current + below / (rise / per_ah + ohm);
    }
    EACH_LANE(l)
    out[l] = root[l];
}

/* Power at the terminals while a current charges for the whole step. */
static void charging_power(const sw_tile_plan *p, const sw_tile_state *s, const step *c,
                           const sw_column current_a, sw_column out)
{
    sw_column after_ah, after_v, stored_wh;
    EACH_LANE(l)
    after_ah[l] = s->charge_ah[l] + c->eta[l] * current_a[l] * c->hours;
    cell_column(p, after_ah, after_v);
    energy_column(p, after_ah, after_v, s->charge_ah, c->ocv_v, stored_wh);
    EACH_LANE(l)
    out[l] = stored_wh[l] / (c->eta[l] * c->hours) + c->ohm[l] * current_a[l] * current_a[l];
}

/* The same for another current, whose power is known already where the currents are equal. In most steps of
   most trips they are, in all lanes. */
static void charging_power_beside(const sw_tile_plan *p, const sw_tile_state *s, const step *c,
                                  const sw_column known_a, const sw_column known_w, const sw_column current_a,
                                  sw_column out)
{
    sw_column apart;
    EACH_LANE(l)
    {
        apart[l] = current_a[l] != known_a[l];
        out[l] = known_w[l];
    }
    if (any_lane(apart))
        charging_power(p, s, c, current_a, out);
}

/* In the night of most trips nothing is on offer to any lane, and nobody asks what would be taken. */
static int is_offered(const step *c, const sw_tile_flow *out)
{
    sw_column offered;
    EACH_LANE(l)
    offered[l] = out->solar_offered_w[l] + c->alternator_w[l] + c->charger_w[l] > 0.0;
    return any_lane(offered);
}

/* Greatest charging current: limit, acceptance, what fills to Q, the absorption voltage, cold and heat. */
void sw_battery_accepts(const sw_tile_plan *p, const sw_tile_state *s, step *c, const sw_tile_flow *out)
{
    sw_column tapered, warm, current, warm_w;
    if (!is_offered(c, out)) {
        EACH_LANE(l)
        c->accept_w[l] = c->refused_w[l] = 0.0;
        return;
    }
    tapered_current(p, s, c, tapered);
    EACH_LANE(l)
    {
        double missing = larger(0.0, p->capacity_ah[l] - s->charge_ah[l]);
        // The mean over the step of a current that follows the missing charge, which falls by eta I h
        // meanwhile.
        double accepted = missing / (p->acceptance_h[l] + 0.5 * c->eta[l] * c->hours);
        double filling = smaller(accepted, missing / (c->eta[l] * c->hours));
        double over_cold = (s->battery_c[l] - p->cold_stop_c[l]) * p->cold_ramp_per_k[l];
        double under_heat = (p->hot_stop_c[l] - s->battery_c[l]) * p->hot_ramp_per_k[l];
        double allowed = larger(0.0, smaller(over_cold, under_heat));
        warm[l] = smaller(smaller(p->charge_limit_a[l], filling), tapered[l]);
        current[l] = smaller(warm[l], allowed * p->charge_limit_a[l]);
    }
    charging_power(p, s, c, warm, warm_w);
    charging_power_beside(p, s, c, warm, warm_w, current, c->accept_w);
    EACH_LANE(l)
    c->refused_w[l] = warm_w[l] - c->accept_w[l];
}

// ---- gives ----

/* By rate (limit current, cut-out voltage) at full power of a moment, and by the charge that is left above
   the floor as a mean over the step. */
void sw_battery_gives(const sw_tile_plan *p, const sw_tile_state *s, step *c)
{
    sw_column mean_a, after_ah, after_v, given_wh;
    EACH_LANE(l)
    {
        double connected = !s->dc_out[l] && s->battery_c[l] > p->discharge_stop_c[l];
        double down_a = current_down_to_a(c->ocv_v[l], c->ohm[l], p->cut_out_v[l]);
        double rate_a = connected * smaller(p->discharge_limit_a[l], down_a);
        double inverter_a =
            smaller(rate_a, current_down_to_a(c->ocv_v[l], c->ohm[l], p->inverter_cut_out_v[l]));
        double above_floor = larger(0.0, s->charge_ah[l] - c->floor_ah[l]);
        c->rate_w[l] = terminal_power_w(c->ocv_v[l], c->ohm[l], rate_a);
        c->inverter_rate_w[l] = terminal_power_w(c->ocv_v[l], c->ohm[l], inverter_a);
        double lasting_a = connected * above_floor / c->hours;
        c->charge_binds[l] = lasting_a < rate_a;
        c->voltage_binds[l] = down_a < p->discharge_limit_a[l];
        mean_a[l] = smaller(rate_a, lasting_a);
        after_ah[l] = s->charge_ah[l] - mean_a[l] * c->hours;
    }
    cell_column(p, after_ah, after_v);
    energy_column(p, s->charge_ah, c->ocv_v, after_ah, after_v, given_wh);
    EACH_LANE(l)
    c->mean_w[l] = given_wh[l] / c->hours - c->ohm[l] * mean_a[l] * mean_a[l];
}

// ---- settles ----

#define PARABOLAS   4
#define SETTLED     1e-12 // of the energy moved (numerics), and
#define SETTLED_ALL 1e-14 // of all that is stored: rounding alone moves as much (numerics)

/* Root of slope d - bend d^2 = rise on the rising side of the vertex, the vertex if there is none. The two
   forms are the same root; each is taken where it does not lose digits (numerics). @param bend positive */
static inline double parabola_root(double bend, double slope, double rise)
{
    double within = smaller(rise, slope * slope / (4.0 * bend));
    double root = sqrt(larger(0.0, slope * slope - 4.0 * bend * within));
    return slope > 0.0 ? 2.0 * within / (slope + root) : (slope - root) / (2.0 * bend);
}

/* Charge x [Ah] that leaves the battery (negative: enters, times eta) when it gives `battery_w` for the step:
   (E(q) - E(q - g x))/g - R x^2/h = P h, g = 1 discharging and eta charging. E is a parabola between the
   knots of U, so the root of the tangent parabola is exact within a piece. Where a step crosses knots the
   next parabola stands beyond them; Newton's straight tangents would leap far away from a root near the
   greatest power, where they are almost level. A lane that has settled stays as it is, so that its bits do
   not depend on its neighbours; most steps cross no knot, and settle at once. (own derivation)
   @return whether all lanes settled: then `after_ah`, its voltage and the energy given are those of x */
static int charge_moved(const sw_tile_plan *p, const sw_tile_state *s, const step *c,
                        const sw_column battery_w, sw_column g, sw_column x, sw_column after_ah,
                        sw_column after_v, sw_column given_wh)
{
    sw_column after_v_per_ah, moves;
    EACH_LANE(l)
    {
        g[l] = battery_w[l] > 0.0 ? 1.0 : c->eta[l];
        double bend = c->ohm[l] / c->hours + 0.5 * g[l] * c->ocv_v_per_ah[l];
        x[l] = parabola_root(bend, c->ocv_v[l], battery_w[l] * c->hours);
    }
    for (int pass = 0; pass < PARABOLAS; pass++) {
        EACH_LANE(l)
        after_ah[l] = s->charge_ah[l] - g[l] * x[l];
        tangent_column(p, after_ah, after_v, after_v_per_ah);
        energy_column(p, s->charge_ah, c->ocv_v, after_ah, after_v, given_wh);
        EACH_LANE(l)
        {
            double ohm_per_h = c->ohm[l] / c->hours, wanted_wh = battery_w[l] * c->hours;
            double missing = wanted_wh - given_wh[l] / g[l] + ohm_per_h * x[l] * x[l];
            double bend = ohm_per_h + 0.5 * g[l] * after_v_per_ah[l];
            double root = parabola_root(bend, after_v[l] - 2.0 * ohm_per_h * x[l], missing);
            double near =
                SETTLED * larger(wanted_wh, -wanted_wh) + SETTLED_ALL * s->charge_ah[l] * c->ocv_v[l];
            moves[l] = larger(missing, -missing) > near;
            x[l] += moves[l] != 0.0 ? root : 0.0;
        }
        if (!any_lane(moves))
            return 1;
    }
    return 0;
}

void sw_battery_settles(const sw_tile_plan *p, sw_tile_state *s, const step *c, sw_tile_flow *out)
{
    sw_column g, x, end_ah, given_wh, bounded;
    int settled = charge_moved(p, s, c, out->battery_w, g, x, end_ah, s->ocv_v, given_wh);
    EACH_LANE(l)
    {
        double charge = s->charge_ah[l] - g[l] * x[l];
        end_ah[l] = between(charge, 0.0, p->capacity_ah[l]);
        bounded[l] = end_ah[l] != charge;
    }
    // Worked out anew, the lanes that are as they settled come to the same bits.
    if (!settled || any_lane(bounded)) {
        cell_column(p, end_ah, s->ocv_v);
        energy_column(p, s->charge_ah, c->ocv_v, end_ah, s->ocv_v, given_wh);
    }
    EACH_LANE(l)
    {
        double current = x[l] / c->hours, stored = 0.0 - given_wh[l];
        s->charge_ah[l] = end_ah[l];
        out->battery_a[l] = current;
        out->resistance_loss_w[l] = c->ohm[l] * current * current;
        out->coulombic_loss_w[l] = stored * (1.0 / g[l] - 1.0) / c->hours; // none discharging: g is 1
        out->stored_w[l] = stored / c->hours - out->self_loss_w[l];
        out->battery_v[l] = s->ocv_v[l] - c->ohm[l] * current;
        out->soc[l] = s->charge_ah[l] * p->inverse_capacity[l];
        out->soc_reachable[l] = larger(0.0, s->charge_ah[l] - c->floor_ah[l]) * p->inverse_capacity[l];
        s->mean_current_a[l] += (larger(0.0, current) - s->mean_current_a[l]) * p->mean_current_gain[l];
    }
}

// ---- ends ----

#define FULL_AH 1e-9 // less is not missing (numerics)

/* The voltage that a cut-out sees. What lead accepts is a current at the absorption voltage: a charger that
   brings a part of it lifts the terminals as far of the way there, though the energy is reckoned without that
   (own derivation; without it a full bank under its charger would never come back). */
static void seen_column(const sw_tile_plan *p, const sw_tile_state *s, const sw_tile_flow *out,
                        sw_column seen)
{
    EACH_LANE(l)
    {
        double missing = larger(FULL_AH, p->capacity_ah[l] - s->charge_ah[l]);
        double charging_a = larger(0.0, 0.0 - out->battery_a[l]);
        double share = smaller(1.0, charging_a * p->acceptance_h[l] / missing);
        double target = p->absorption_v[l] + p->absorption_v_per_k[l] * (s->battery_c[l] - 25.0);
        seen[l] = out->battery_v[l] + share * larger(0.0, target - out->battery_v[l]);
    }
}

/* A cut-out holds until the voltage is back at its restart level. A management system may wait for a charger
   at its terminals besides, or for a hand. */
static void latch_cut_outs(const sw_tile_plan *p, sw_tile_state *s, const step *c, sw_tile_flow *out)
{
    sw_column seen;
    EACH_LANE(l)
    {
        out->tripped[l] = s->inverter_out[l] = larger(s->inverter_out[l], c->inverter_trips[l]);
        out->cut_off[l] = s->dc_out[l] = larger(s->dc_out[l], c->battery_empties[l]);
    }
    if (!any_lane(out->tripped) && !any_lane(out->cut_off))
        return;
    seen_column(p, s, out, seen);
    EACH_LANE(l)
    {
        double is_charged = out->battery_w[l] < 0.0;
        double called = p->waits_for_hand[l] ? c->hand : p->waits_for_charger[l] ? is_charged : 1.0;
        s->inverter_out[l] = seen[l] >= p->inverter_restart_v[l] ? 0.0 : out->tripped[l];
        s->dc_out[l] = called && seen[l] >= p->dc_restart_v[l] ? 0.0 : out->cut_off[l];
    }
}

static void warm_battery(const sw_forcing *f, const sw_tile_plan *p, sw_tile_state *s, const step *c,
                         const sw_tile_flow *out)
{
    EACH_LANE(l)
    s->battery_c[l] = drifts_to_c(f, p, s, c, l) + out->pad_w[l] * p->pad_k_per_w[l];
}

void sw_battery_ends(const sw_forcing *f, const sw_tile_plan *p, sw_tile_state *s, const step *c,
                     sw_tile_flow *out)
{
    latch_cut_outs(p, s, c, out);
    warm_battery(f, p, s, c, out);
}
