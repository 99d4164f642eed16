// The house in a step: what the loads ask, what inverter, hookup and battery can carry of it, and who meets
// whom.
#include "core/march_step.h"

static double inverter_input_w(const sw_tile_plan *p, int l, double ac_w)
{
    return ac_w + p->inverter_idle_w[l] + ac_w * (p->inverter_linear[l] + p->inverter_square[l] * ac_w);
}

/* What loads and thermostats want. A compressor's condenser is 25 K over the cabin (common practice, no
   source); see set_thermals in march_tile.c. */
void sw_house_asks(const sw_forcing *f, const sw_tile_plan *p, const sw_tile_state *s, step *c,
                   sw_tile_flow *out)
{
    for (int held = 0; held < SW_HELD_COUNT; held++) {
        EACH_LANE(l)
        {
            for (int bus = 0; bus < SW_BUS_COUNT; bus++) {
                out->asked_w[bus][held][l] = f->load_w[bus][held][c->row];
                out->served_share[bus][held][l] = 1.0;
                out->lost[bus][held][l] = SW_KEPT;
            }
            c->peak_w[held][l] = f->peak_w[held][c->row];
            c->dc_peak_w[held][l] = f->dc_peak_w[held][c->row];
        }
    }
    double cabin_c = f->cabin_c[c->row];
    for (int t = 0; t < p->thermals; t++) {
        int ac = p->thermal_bus[t] == SW_BUS_AC;
        EACH_LANE(l)
        {
            double rise_k = c->stored ? 0.0 : larger(0.0, cabin_c - p->thermal_set_c[t][l]);
            double wanted = p->thermal_gain[t][l] * rise_k * (rise_k + 25.0);
            double drawn = smaller(wanted, p->thermal_rated_w[t][l]);
            out->thermal_w[t][l] = drawn;
            out->thermal_short_w[t][l] = wanted - drawn;
            out->asked_w[p->thermal_bus[t]][p->thermal_held[t]][l] += drawn;
            double peak = drawn ? p->thermal_rated_w[t][l] : 0.0;
            c->peak_w[p->thermal_held[t]][l] += ac ? peak : 0.0;
            c->dc_peak_w[p->thermal_held[t]][l] += ac ? 0.0 : peak;
        }
    }
    EACH_LANE(l)
    {
        double soc = s->charge_ah[l] * p->inverse_capacity[l];
        double held_back = soc < p->hold_back_below[l];
        for (int bus = 0; bus < SW_BUS_COUNT; bus++) {
            out->served_share[bus][SW_CAN_WAIT][l] = !held_back;
            out->lost[bus][SW_CAN_WAIT][l] = held_back ? SW_LOST_HELD_BACK : SW_KEPT;
        }
    }
}

/* AC classes are dropped whole, can-wait, want, must, until what is left is within the limit at every moment,
   and on a hookup its long-running part within the limit for three hours and more [nec]. */
void sw_house_fits_ac(const sw_forcing *f, const sw_tile_plan *p, const sw_tile_state *s, step *c,
                      sw_tile_flow *out)
{
    double pedestal = f->pedestal_va[c->row], steady_share = f->pedestal_steady_share[c->row];
    EACH_LANE(l)
    {
        double shore = smaller(p->inlet_va[l], pedestal); // 0 without a hookup
        double switched_on = c->inverter_on ? p->inverter_w[l] : 0.0;
        double running = s->inverter_out[l] || s->dc_out[l] ? 0.0 : switched_on;
        double limit = shore ? shore : running;
        double steady_limit = shore ? shore * steady_share : running;
        double why_none = !switched_on ? SW_LOST_NO_AC : s->dc_out[l] ? SW_LOST_EMPTY : SW_LOST_SAG;
        double why = limit ? SW_LOST_OVERLOAD : why_none;
        c->shore_va[l] = shore;
        c->inverter_runs[l] = !shore && running;
        double peak = 0.0, steady = 0.0;
        for (int held = 0; held < SW_HELD_COUNT; held++) {
            double share = out->served_share[SW_BUS_AC][held][l];
            peak += c->peak_w[held][l] * share;
            steady += f->steady_w[held][c->row] * share;
            double keep = peak <= limit && steady <= steady_limit;
            out->lost[SW_BUS_AC][held][l] = share && !keep ? why : out->lost[SW_BUS_AC][held][l];
            out->served_share[SW_BUS_AC][held][l] *= keep;
        }
        double beyond = limit ? larger(0.0, larger(peak - limit, steady - steady_limit)) : 0.0;
        out->shore_overload_w[l] = shore ? beyond : 0.0;
        out->inverter_overload_w[l] = shore ? 0.0 : beyond;
    }
}

static double served_w(const sw_tile_flow *out, int bus, int l)
{
    double sum = 0.0;
    for (int held = 0; held < SW_HELD_COUNT; held++)
        sum += out->asked_w[bus][held][l] * out->served_share[bus][held][l];
    return sum;
}

/* AC loads first; the charger takes what is left of the limit for steady use, in volt-amperes. */
void sw_house_offers_shore(const sw_forcing *f, const sw_tile_plan *p, step *c, sw_tile_flow *out)
{
    double steady_share = f->pedestal_steady_share[c->row];
    EACH_LANE(l)
    {
        out->shore_ac_w[l] = c->shore_va[l] ? served_w(out, SW_BUS_AC, l) : 0.0;
        double left_va = larger(0.0, c->shore_va[l] * steady_share - out->shore_ac_w[l]);
        double from_line = left_va * p->charger_power_factor[l] * p->charger_efficiency[l];
        c->charger_w[l] = smaller(p->charger_w[l], from_line);
    }
}

/* What the house side can draw, the sources in each: at one moment, at one moment above the inverter's
   cut-out, and as a mean. `connected`: 0 while the battery is cut off or down at its cut-out voltage, where
   only the sources are there. */
typedef struct supply {
    sw_column rate_w, inverter_rate_w, mean_w, connected;
} supply;

static void supply_of(const sw_tile_state *s, const step *c, const sw_tile_flow *out, supply *can)
{
    EACH_LANE(l)
    {
        double sources_w = out->solar_offered_w[l] + c->alternator_w[l] + c->charger_w[l];
        can->rate_w[l] = sources_w + c->rate_w[l];
        can->inverter_rate_w[l] = sources_w + c->inverter_rate_w[l];
        can->mean_w[l] = sources_w + c->mean_w[l];
        can->connected[l] = (s->dc_out[l] == 0.0) * (c->rate_w[l] != 0.0);
    }
}

/* What hangs on the house side after some rungs of the ladder. `lasts` is 1 until a DC rung fails for want of
   charge, `ac_open` until an AC rung fails for any reason, which `ac_why` keeps for the rungs behind it;
   `lost` says how the last rung went. */
typedef struct ladder {
    sw_column dc_w, dc_peak_w, ac_w, ac_peak_w, inverter;
    sw_column lasts, ac_open, ac_why, lost;
} ladder;

static double house_peak_w(const sw_tile_plan *p, int l, double dc_peak_w, double inverter, double ac_peak_w)
{
    return dc_peak_w + inverter * inverter_input_w(p, l, ac_peak_w);
}

/* What a full battery gives at one moment above a voltage. */
static double full_rate_w(const sw_tile_plan *p, const step *c, int l, double above_v)
{
    double down_a = current_down_to_a(p->full_v[l], c->ohm[l], larger(p->cut_out_v[l], above_v));
    return terminal_power_w(p->full_v[l], c->ohm[l], smaller(p->discharge_limit_a[l], down_a));
}

/* Whether a rung fails for want of charge: it is the charge that does not last, or the voltage is so near the
   cut-out that what a full battery could give is out of reach. All else is too much at once. Flags are
   multiplied and compared, not branched on, so that the lanes stay together. */
static double wants_charge(const sw_tile_plan *p, const supply *can, const step *c, int l, double peak_w,
                           double power)
{
    double sources_w = can->rate_w[l] - c->rate_w[l];
    double is_spent = c->voltage_binds[l] * (peak_w <= sources_w + full_rate_w(p, c, l, 0.0));
    return larger(is_spent, power * c->charge_binds[l]);
}

/* With the battery cut off there is no charge, whatever the sources could give at one moment. */
static double why_lost(double wants, double connected, double lasts)
{
    return (1.0 - wants) * connected * lasts != 0.0 ? SW_LOST_RATE : SW_LOST_EMPTY;
}

/* One rung up, if the charge lasts for everything up to it and its power can be had at one moment. A DC rung
   without charge ends the climb, one that is too much at once is passed over; where sources are alone, one
   that they cannot start may still leave them a smaller one. */
static void climb_dc(const sw_tile_plan *p, const supply *can, const step *c, const sw_tile_flow *out,
                     int held, ladder *on)
{
    EACH_LANE(l)
    {
        double share = out->served_share[SW_BUS_DC][held][l];
        double dc_w = on->dc_w[l] + out->asked_w[SW_BUS_DC][held][l] * share;
        double dc_peak_w = larger(dc_w, on->dc_peak_w[l] + c->dc_peak_w[held][l] * share);
        double mean_w = dc_w + on->inverter[l] * inverter_input_w(p, l, on->ac_w[l]);
        double peak_w = house_peak_w(p, l, dc_peak_w, on->inverter[l], on->ac_peak_w[l]);
        double power = peak_w <= can->rate_w[l], charge = mean_w <= can->mean_w[l];
        double holds = power * charge * on->lasts[l], connected = can->connected[l];
        double wants = wants_charge(p, can, c, l, peak_w, power);
        double ends = connected * (1.0 - power * charge) * wants + (1.0 - connected) * (1.0 - charge);
        on->lost[l] = holds != 0.0 ? SW_KEPT : why_lost(wants, connected, on->lasts[l]);
        on->dc_w[l] = holds != 0.0 ? dc_w : on->dc_w[l];
        on->dc_peak_w[l] = holds != 0.0 ? dc_peak_w : on->dc_peak_w[l];
        on->lasts[l] *= 1.0 - ends;
    }
}

/* The same for AC behind the inverter, which carries its idle draw from the first rung on. A rung that fails
   closes AC and nothing else. */
static void climb_ac(const sw_tile_plan *p, const supply *can, const step *c, const sw_tile_flow *out,
                     int held, ladder *on)
{
    EACH_LANE(l)
    {
        double runs = c->inverter_runs[l], share = runs * out->served_share[SW_BUS_AC][held][l];
        double ac_w = on->ac_w[l] + out->asked_w[SW_BUS_AC][held][l] * share;
        double ac_peak_w = larger(ac_w, on->ac_peak_w[l] + c->peak_w[held][l] * share);
        double mean_w = on->dc_w[l] + runs * inverter_input_w(p, l, ac_w);
        double peak_w = house_peak_w(p, l, on->dc_peak_w[l], runs, ac_peak_w);
        double power = peak_w <= can->rate_w[l], charge = mean_w <= can->mean_w[l];
        double holds = power * charge * on->lasts[l] * on->ac_open[l];
        double own = why_lost(wants_charge(p, can, c, l, peak_w, power), can->connected[l], on->lasts[l]);
        double why = on->ac_open[l] == 0.0 && on->lasts[l] != 0.0 ? on->ac_why[l] : own;
        on->lost[l] = holds != 0.0 ? SW_KEPT : why;
        on->ac_why[l] = why;
        on->ac_w[l] = holds != 0.0 ? ac_w : on->ac_w[l];
        on->ac_peak_w[l] = holds != 0.0 ? ac_peak_w : on->ac_peak_w[l];
        on->inverter[l] = holds != 0.0 ? runs : on->inverter[l];
        on->ac_open[l] = holds;
    }
}

/* `why` it is lost, SW_KEPT if it is not. What was dropped before keeps its own reason. */
static void lose(sw_tile_flow *out, int bus, int held, const sw_column why)
{
    EACH_LANE(l)
    {
        double share = out->served_share[bus][held][l];
        double lost = out->lost[bus][held][l];
        out->lost[bus][held][l] = share != 0.0 ? (why[l] != SW_KEPT ? why[l] : lost) : lost;
        out->served_share[bus][held][l] = why[l] == SW_KEPT ? share : 0.0;
    }
}

/* The controller's own draw is the lowest rung. A heater that the battery feeds is the next one, and is
   passed over where it does not last. */
static void lowest_rungs(const sw_tile_plan *p, const supply *can, step *c, ladder *on)
{
    EACH_LANE(l)
    {
        double self_w = c->cut ? 0.0 : p->controller_self_w[l];
        double lasts = self_w <= can->mean_w[l];
        double pad_w = p->pad_needs_charger[l] != 0.0 ? 0.0 : c->pad_wanted_w[l];
        double both_w = self_w + pad_w;
        double heats = lasts * (both_w <= can->mean_w[l]) * (both_w <= can->rate_w[l]);
        c->pad_kept_w[l] = heats != 0.0 ? pad_w : 0.0;
        on->dc_w[l] = on->dc_peak_w[l] = self_w + c->pad_kept_w[l];
        on->ac_w[l] = on->ac_peak_w[l] = on->inverter[l] = 0.0;
        on->lasts[l] = lasts;
        on->ac_open[l] = 1.0;
        on->ac_why[l] = SW_KEPT;
        on->lost[l] = SW_KEPT;
    }
}

/* The dearest DC loads that are asked for decide whether the battery counts as empty; AC speaks for it only
   where no DC is asked at all. `asked` and `ac_asked`: of the classes before. */
static void judge_dc(const sw_tile_flow *out, const ladder *on, int held, sw_column asked, step *c)
{
    EACH_LANE(l)
    {
        double asks = out->asked_w[SW_BUS_DC][held][l] != 0.0;
        double first = asks * (1.0 - asked[l]);
        c->battery_empties[l] = first != 0.0 ? 1.0 - on->lasts[l] : c->battery_empties[l];
        asked[l] = larger(asked[l], asks);
    }
}

static void judge_ac(const sw_tile_flow *out, const ladder *on, int held, const sw_column asked,
                     sw_column ac_asked, step *c)
{
    EACH_LANE(l)
    {
        double share = c->inverter_runs[l] * out->served_share[SW_BUS_AC][held][l];
        double asks = out->asked_w[SW_BUS_AC][held][l] * share != 0.0;
        double first = asks * (1.0 - asked[l]) * (1.0 - ac_asked[l]);
        double empty = on->lost[l] == SW_LOST_EMPTY;
        c->battery_empties[l] = larger(c->battery_empties[l], first * empty);
        ac_asked[l] = larger(ac_asked[l], asks);
    }
}

/* Whether in every lane all that is asked can be carried at once, as it can in most steps: then every rung of
   the ladder would hold, since none asks for more than the last. The sums are the ladder's own. */
static int carries_all(const sw_tile_plan *p, const supply *can, const step *c, const sw_tile_flow *out,
                       const ladder *from)
{
    sw_column fails;
    EACH_LANE(l)
    {
        double dc_w = from->dc_w[l], dc_peak_w = from->dc_peak_w[l], ac_w = 0.0, ac_peak_w = 0.0;
        double runs = c->inverter_runs[l];
        for (int held = 0; held < SW_HELD_COUNT; held++) {
            double dc_share = out->served_share[SW_BUS_DC][held][l];
            double ac_share = runs * out->served_share[SW_BUS_AC][held][l];
            dc_w += out->asked_w[SW_BUS_DC][held][l] * dc_share;
            dc_peak_w = larger(dc_w, dc_peak_w + c->dc_peak_w[held][l] * dc_share);
            ac_w += out->asked_w[SW_BUS_AC][held][l] * ac_share;
            ac_peak_w = larger(ac_w, ac_peak_w + c->peak_w[held][l] * ac_share);
        }
        double mean_w = dc_w + runs * inverter_input_w(p, l, ac_w);
        double peak_w = house_peak_w(p, l, dc_peak_w, runs, ac_peak_w);
        double rate_w = runs != 0.0 ? smaller(can->rate_w[l], can->inverter_rate_w[l]) : can->rate_w[l];
        fails[l] = 1.0 - from->lasts[l] * (mean_w <= can->mean_w[l]) * (peak_w <= rate_w);
    }
    return !any_lane(fails);
}

/* The ladder of keeping: must before want before can-wait, and in each the DC loads before the AC ones, each
   class whole, as long as sources and battery carry the sum. The inverter's own low-voltage cut-out knows no
   classes: it takes all AC loads with it. Where even a full battery sags as deep, it is too much at once. */
void sw_house_fits_battery(const sw_tile_plan *p, const sw_tile_state *s, step *c, sw_tile_flow *out)
{
    supply can;
    ladder on;
    sw_column asked = {0}, ac_asked = {0}, ac_lost[SW_HELD_COUNT];
    supply_of(s, c, out, &can);
    lowest_rungs(p, &can, c, &on);
    EACH_LANE(l)
    {
        c->battery_empties[l] = 1.0 - on.lasts[l];
        c->house_kept[l] = on.lasts[l];
        c->inverter_trips[l] = 0.0;
    }
    if (carries_all(p, &can, c, out, &on))
        return;
    for (int held = 0; held < SW_HELD_COUNT; held++) {
        climb_dc(p, &can, c, out, held, &on);
        judge_dc(out, &on, held, asked, c);
        EACH_LANE(l)
        c->house_kept[l] = held == SW_MUST ? on.lasts[l] : c->house_kept[l];
        lose(out, SW_BUS_DC, held, on.lost);
        climb_ac(p, &can, c, out, held, &on);
        judge_ac(out, &on, held, asked, ac_asked, c);
        EACH_LANE(l)
        ac_lost[held][l] = on.lost[l];
    }
    EACH_LANE(l)
    {
        double peak_w = house_peak_w(p, l, on.dc_peak_w[l], on.inverter[l], on.ac_peak_w[l]);
        double runs = peak_w <= can.inverter_rate_w[l] ? on.inverter[l] : 0.0;
        double sags = on.inverter[l] * (runs == 0.0);
        double sources_w = can.inverter_rate_w[l] - c->inverter_rate_w[l];
        double why =
            peak_w <= sources_w + full_rate_w(p, c, l, p->inverter_cut_out_v[l]) ? SW_LOST_SAG : SW_LOST_RATE;
        for (int held = 0; held < SW_HELD_COUNT; held++) {
            double kept = ac_lost[held][l] == SW_KEPT;
            double lost = sags * kept != 0.0 ? why : ac_lost[held][l];
            ac_lost[held][l] = c->inverter_runs[l] != 0.0 ? lost : SW_KEPT;
        }
        c->inverter_trips[l] = sags;
        c->inverter_runs[l] = runs;
    }
    for (int held = 0; held < SW_HELD_COUNT; held++)
        lose(out, SW_BUS_AC, held, ac_lost[held]);
}

/* Meets the house side by solar, alternator, shore charger; what is missing comes out of the battery, and
   what the battery accepts is taken in the same order. A heater that needs a charger has what these could
   spare, before the battery. */
void sw_house_shares_out(const sw_tile_plan *p, step *c, sw_tile_flow *out)
{
    EACH_LANE(l)
    {
        double ac_w = c->inverter_runs[l] * served_w(out, SW_BUS_AC, l);
        double input_w = c->inverter_runs[l] * inverter_input_w(p, l, ac_w);
        out->controller_self_w[l] = c->cut ? 0.0 : p->controller_self_w[l] * c->house_kept[l];
        double dc_w = served_w(out, SW_BUS_DC, l);
        double house_w = dc_w + input_w + out->controller_self_w[l] + c->pad_kept_w[l];
        double sources_w = out->solar_offered_w[l] + c->alternator_w[l] + c->charger_w[l];
        double spare_w = p->pad_needs_charger[l] ? larger(0.0, sources_w - house_w) : 0.0;
        out->pad_w[l] = c->pad_kept_w[l] + smaller(spare_w, c->pad_wanted_w[l]);
        house_w += out->pad_w[l] - c->pad_kept_w[l];
        double wanted = house_w + c->accept_w[l];
        out->solar_used_w[l] = smaller(out->solar_offered_w[l], wanted);
        wanted -= out->solar_used_w[l];
        out->alternator_used_w[l] = smaller(c->alternator_w[l], wanted);
        wanted -= out->alternator_used_w[l];
        out->charger_out_w[l] = smaller(c->charger_w[l], wanted);
        out->charger_in_w[l] = out->charger_out_w[l] / p->charger_efficiency[l];
        double left_w = out->solar_offered_w[l] - out->solar_used_w[l] + c->alternator_w[l] -
                        out->alternator_used_w[l] + c->charger_w[l] - out->charger_out_w[l];
        double blocked_w = smaller(left_w, c->refused_w[l]);
        double is_cold = out->battery_c[l] < p->cold_ends_c[l];
        out->cold_blocked_w[l] = is_cold ? blocked_w : 0.0;
        out->hot_blocked_w[l] = is_cold ? 0.0 : blocked_w;
        out->inverter_loss_w[l] = input_w - ac_w;
        out->served_w[l] = dc_w + ac_w + out->shore_ac_w[l];
        out->battery_w[l] =
            house_w - out->solar_used_w[l] - out->alternator_used_w[l] - out->charger_out_w[l];
    }
}
