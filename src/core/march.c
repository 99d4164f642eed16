// The march: one step is a list of stages, each a loop over the lanes of the tile. Only + - * / sqrt, compare
// and select (and the flags of the forcing, equal for all lanes), so that results do not depend on the width
// of the machine.
#include "core/march_step.h"

#include <stddef.h>

#define CURRENT_PER_K  0.0005 // of a silicon cell's current, relative (from memory)
#define OPEN_OVER_BEST 1.2    // voltage of open panels over that of their best point (from memory)

/* Power of panels that a simple controller holds at the battery's voltage, relative to their rating: the
   current of the best point up to its voltage, which falls in heat as the best power does, and from there
   straight down to nothing where they are open. A twentieth keeps the fall finite in heat that no panel
   sees. (own derivation; numerics)
   @param volts the battery's over those of the best point at 25 degC */
static double held_share(double volts, double best, double warm_k)
{
    double at_best = larger(best, 0.05);
    double falls = (OPEN_OVER_BEST * at_best - volts) / ((OPEN_OVER_BEST - 1.0) * at_best);
    return volts * (1.0 + CURRENT_PER_K * warm_k) * between(falls, 0.0, 1.0);
}

/* The controller's limit is a current at the battery's side, here at its open-circuit voltage. Panels are
   rated with cells at 25 degC (convention). */
static void offer_solar(const sw_forcing *f, const sw_tile_plan *p, const step *c, sw_tile_flow *out)
{
    sw_column best_w = {0}, panels_w = {0};
    for (int a = 0; a < f->arrays; a++) {
        double yield = f->yield[a][c->row];
        double warm_k = f->cell_c[a][c->row] - 25.0;
        EACH_LANE(l)
        {
            double best = 1.0 + p->array_gamma[a][l] * warm_k;
            double held = held_share(c->ocv_v[l] * p->array_per_v[a][l], best, warm_k);
            double used = p->array_per_v[a][l] ? smaller(best, held) : best;
            best_w[l] += p->array_w[a][l] * larger(0.0, yield * best);
            panels_w[l] += p->array_w[a][l] * larger(0.0, yield * used);
        }
    }
    EACH_LANE(l)
    {
        double limit = p->controller_limit_a[l] * c->ocv_v[l];
        out->solar_offered_w[l] = smaller(panels_w[l] * p->controller_efficiency[l], limit);
        out->solar_clipped_w[l] = best_w[l] * p->controller_efficiency[l] - out->solar_offered_w[l];
    }
}

#define NO_OHM 1e-6 // of a cable that is not there (numerics)

/* At the bank's terminals, behind the cable. */
static double relay_w(const sw_tile_plan *p, int l, double current_a)
{
    return current_a * (p->relay_v[l] - current_a * p->relay_ohm[l]);
}

/* What the difference of the voltages drives through relay, cable and bank. */
static double driven_a(const sw_tile_plan *p, const step *c, int l)
{
    return larger(0.0, p->relay_v[l] - c->ocv_v[l]) / (p->relay_ohm[l] + c->ohm[l]);
}

/* What the alternator has to spare for a relay, with the engine at work or idle; cold it has more, or less.
 */
static double spare_a(const sw_forcing *f, const sw_tile_plan *p, const step *c, int l, int is_idle)
{
    double cold = f->engine_cold[c->row];
    return is_idle ? p->relay_idle_a[l] + cold * p->relay_idle_cold_a[l]
                   : p->relay_cruise_a[l] + cold * p->relay_cruise_cold_a[l];
}

/* A converter gives what it can; through a relay flows what the voltages drive and the alternator can spare.
 */
static void offer_alternator(const sw_forcing *f, const sw_tile_plan *p, step *c, sw_tile_flow *out)
{
    double cruise = f->cruise_share[c->row], idle = f->idle_share[c->row], cold = f->engine_cold[c->row];
    EACH_LANE(l)
    {
        double driven = driven_a(p, c, l);
        double cruise_w = p->alternator_cruise_w[l] + cold * p->alternator_cruise_cold_w[l] +
                          relay_w(p, l, smaller(driven, spare_a(f, p, c, l, 0)));
        double idle_w = p->alternator_idle_w[l] + cold * p->alternator_idle_cold_w[l] +
                        relay_w(p, l, smaller(driven, spare_a(f, p, c, l, 1)));
        c->alternator_w[l] = cruise * cruise_w + idle * idle_w;
        out->alternator_offered_w[l] = c->alternator_w[l];
    }
}

/* An alternator that has less to spare than is drawn through a relay is overloaded: by what the battery
   takes, lead what it accepts, lithium all until it is full, whatever its charge limit, which nothing keeps
   through a relay, and nothing in cold and heat, where its protection is out; and by what the house draws
   beside sun and charger, as far as the cable lets it. */
static void note_alternator(const sw_forcing *f, const sw_tile_plan *p, const sw_tile_state *s, const step *c,
                            sw_tile_flow *out)
{
    double cruise = f->cruise_share[c->row], idle = f->idle_share[c->row];
    EACH_LANE(l)
    out->alternator_overload_a[l] = 0.0;
    if (!(cruise > 0.0 || idle > 0.0))
        return;
    EACH_LANE(l)
    {
        double missing_ah = p->capacity_ah[l] - s->charge_ah[l];
        double takes = (s->battery_c[l] > p->cold_stop_c[l]) * (s->battery_c[l] < p->hot_stop_c[l]);
        double taken = takes * smaller(driven_a(p, c, l), missing_ah / larger(p->acceptance_h[l], c->hours));
        double house_a = larger(0.0, out->battery_w[l] + out->alternator_used_w[l]) / c->ocv_v[l];
        double cable_a = larger(0.0, p->relay_v[l] - c->ocv_v[l]) / larger(p->relay_ohm[l], NO_OHM);
        double drawn = smaller(taken + house_a, cable_a);
        double over_cruise = cruise > 0.0 ? larger(0.0, drawn - spare_a(f, p, c, l, 0)) : 0.0;
        double over_idle = idle > 0.0 ? larger(0.0, drawn - spare_a(f, p, c, l, 1)) : 0.0;
        out->alternator_overload_a[l] = p->relay_v[l] > 0.0 ? larger(over_cruise, over_idle) : 0.0;
    }
}

/* What comes in is what is served, lost and stored, to 1e-9 of what moves: rounding, and what the
   last parabola leaves (numerics). @return 1 if a lane misses that */
static int misses(const step *c, sw_tile_flow *out)
{
    sw_column wrong;
    EACH_LANE(l)
    {
        double sources =
            out->solar_used_w[l] + out->alternator_used_w[l] + out->shore_ac_w[l] + out->charger_in_w[l];
        double losses = out->inverter_loss_w[l] + out->controller_self_w[l] + out->pad_w[l] +
                        (out->charger_in_w[l] - out->charger_out_w[l]) + out->resistance_loss_w[l] +
                        out->coulombic_loss_w[l] + out->self_loss_w[l];
        double stored = out->stored_w[l];
        out->imbalance_w[l] = sources - out->served_w[l] - losses - stored;
        out->throughput_w[l] = sources + out->served_w[l] + losses + larger(stored, -stored);
        double off = larger(out->imbalance_w[l], -out->imbalance_w[l]);
        // Written so that a value that is not a number fails too.
        wrong[l] = !(off * c->hours <= 1e-9 * (out->throughput_w[l] * c->hours + 1.0));
    }
    return any_lane(wrong);
}

static void sum_unserved(sw_tile_flow *out)
{
    sw_column sum = {0};
    for (int bus = 0; bus < SW_BUS_COUNT; bus++)
        for (int held = 0; held < SW_HELD_COUNT; held++)
            EACH_LANE(l)
    sum[l] += out->asked_w[bus][held][l] * (1.0 - out->served_share[bus][held][l]);
    EACH_LANE(l)
    out->unserved_w[l] = sum[l];
}

static int march_step(const sw_forcing *f, const sw_tile_plan *p, sw_tile_state *s, int32_t row,
                      sw_tile_flow *out)
{
    step c; // each stage writes its columns whole before another one reads them
    c.row = row;
    c.hours = p->step_h;
    c.inverter_on = (f->flags[row] & SW_STEP_INVERTER) != 0;
    c.stored = (f->flags[row] & SW_STEP_STORED) != 0;
    c.cut = (f->flags[row] & SW_STEP_CUT) != 0;
    c.hand = (f->flags[row] & SW_STEP_HAND) != 0;
    sw_battery_begin(f, p, s, &c, out);
    offer_solar(f, p, &c, out);
    offer_alternator(f, p, &c, out);
    sw_house_asks(f, p, s, &c, out);
    sw_house_fits_ac(f, p, s, &c, out);
    sw_house_offers_shore(f, p, &c, out);
    sw_battery_accepts(p, s, &c, out);
    sw_battery_gives(p, s, &c);
    sw_house_fits_battery(p, s, &c, out);
    sw_house_shares_out(p, &c, out);
    note_alternator(f, p, s, &c, out);
    sw_battery_settles(p, s, &c, out);
    sw_battery_ends(f, p, s, &c, out);
    sum_unserved(out);
    return misses(&c, out);
}

sw_status sw_march_steps(const sw_forcing *forcing, const sw_tile_plan *plan, sw_tile_state *state,
                         sw_march_sink *sink, void *context)
{
    sw_tile_flow flow = {0};
    int wrong = 0;
    for (int32_t row = 0; row < forcing->steps; row++) {
        wrong |= march_step(forcing, plan, state, row, &flow);
        if (sink != NULL)
            sink(context, row, &flow);
    }
    return wrong ? SW_UNBALANCED : SW_OK;
}
