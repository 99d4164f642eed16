// The house in a step: what the loads ask, what inverter, hookup and battery can carry of it, and who meets
// whom.
#include "core/march_step.h"

static double inverter_input_w(const sw_tile_plan *p, int l, double ac_w)
{
    return ac_w + p->inverter_idle_w[l] + ac_w * (p->inverter_linear[l] + p->inverter_square[l] * ac_w);
}

void sw_house_asks(const sw_forcing *f, const sw_tile_plan *p, const sw_tile_state *s, step *c,
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

/* AC classes are dropped whole, can-wait, want, must, until what is left is within the limit at every moment,
   and on a hookup its long-running part within the limit for three hours and more [nec]. */
void sw_house_fits_ac(const sw_forcing *f, const sw_tile_plan *p, const sw_tile_state *s, step *c,
                      sw_tile_flow *out)
{
    double pedestal = f->pedestal_va[c->row];
    double steady_share = pedestal > 0.0 ? f->pedestal_steady_va[c->row] / pedestal : 1.0;
    EACH_LANE(l)
    {
        c->shore_va[l] = smaller(p->inlet_va[l], pedestal);
        double running =
            c->inverter_on && s->inverter_out[l] == 0.0 && s->dc_out[l] == 0.0 ? p->inverter_w[l] : 0.0;
        double shore = c->on_shore ? c->shore_va[l] : 0.0;
        double limit = shore > 0.0 ? shore : running;
        double steady_limit = shore > 0.0 ? shore * steady_share : running;
        c->inverter_runs[l] = shore == 0.0 && running > 0.0 ? 1.0 : 0.0;
        double peak = 0.0, steady = 0.0;
        double keep[SW_HELD_COUNT];
        for (int held = 0; held < SW_HELD_COUNT; held++) {
            double share = out->served_share[SW_BUS_AC][held][l];
            peak += c->peak_w[held][l] * share;
            steady += f->steady_w[held][c->row] * share;
            keep[held] = peak <= limit && steady <= steady_limit ? 1.0 : 0.0;
        }
        double beyond = limit > 0.0 ? larger(0.0, larger(peak - limit, steady - steady_limit)) : 0.0;
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
void sw_house_offers_shore(const sw_forcing *f, const sw_tile_plan *p, step *c, sw_tile_flow *out)
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

/* What the house side can draw: at one moment, at one moment above the inverter's cut-out, and as a mean. The
   sources stand in each. */
typedef struct supply {
    double rate_w, inverter_rate_w, mean_w;
} supply;

static supply supply_of(const step *c, const sw_tile_flow *out, int l)
{
    double sources_w = out->solar_offered_w[l] + c->alternator_w[l] + c->charger_w[l];
    return (supply){.rate_w = sources_w + c->rate_w[l],
                    .inverter_rate_w = sources_w + c->inverter_rate_w[l],
                    .mean_w = sources_w + c->mean_w[l]};
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
void sw_house_fits_battery(const sw_tile_plan *p, step *c, sw_tile_flow *out)
{
    EACH_LANE(l)
    {
        supply can = supply_of(c, out, l);
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
void sw_house_shares_out(const sw_tile_plan *p, step *c, sw_tile_flow *out)
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
