// Gathering of steps into hours, and of hours into anything longer.
#include "study/ledger.h"

#include "stillwatt/civil.h"

#include <string.h>

static const struct {
    const char *heading, *words;
    sw_gather gather;
} columns[] = {
#define ROW(name, heading, gather, words) {heading, words, SW_GATHER_##gather},
    SW_LEDGER_LIST(ROW)
#undef ROW
};

const char *sw_ledger_heading(sw_ledger_column column)
{
    return columns[column].heading;
}

const char *sw_ledger_words(sw_ledger_column column)
{
    return columns[column].words;
}

sw_gather sw_ledger_gather(sw_ledger_column column)
{
    return columns[column].gather;
}

// ---- rows ----

/* A row is a local hour of a local day; when the clocks change, the hour shown twice is two rows. */
static int64_t hour_key(const sw_itinerary *it, int64_t utc_s)
{
    int64_t local = sw_itinerary_local_s(it, utc_s);
    int64_t offset = local - utc_s;
    return sw_floor_div(local, 3600) * 3600 - offset;
}

static int number_hours(ledger *l)
{
    const sw_itinerary *it = l->course->itinerary;
    int hours = 0, day_before = -1;
    int64_t key_before = INT64_MIN;
    for (int32_t i = 0; i < l->forcing->steps; i++) {
        int64_t at = l->forcing->start_s + (int64_t)i * l->forcing->step_s;
        int64_t key = hour_key(it, at);
        int day = sw_itinerary_day(it, at);
        hours += key != key_before || day != day_before;
        key_before = key;
        day_before = day;
        l->hour_of[i] = hours - 1;
    }
    return hours;
}

sw_status sw_account_room(sw_arena *arena, int loads, sw_account *account)
{
    account->asked_wh = sw_arena_alloc(arena, (size_t)loads * sizeof(double));
    account->served_wh = sw_arena_alloc(arena, (size_t)loads * sizeof(double));
    return account->asked_wh != NULL && account->served_wh != NULL ? SW_OK : SW_NO_MEMORY;
}

sw_status sw_ledger_open(ledger *l, sw_arena *arena, const sw_plan *plan, const sw_course *course)
{
    *l = (ledger){.plan = plan, .course = course, .forcing = &course->forcing[0]};
    l->missed_wh = sw_arena_alloc(arena, (size_t)course->loads * sizeof *l->missed_wh);
    l->hour_of = sw_arena_alloc(arena, (size_t)l->forcing->steps * sizeof *l->hour_of);
    l->charge = sw_arena_alloc(arena, (size_t)l->forcing->steps * sizeof *l->charge);
    if (l->hour_of == NULL || l->missed_wh == NULL || l->charge == NULL)
        return SW_NO_MEMORY;
    l->hours = number_hours(l);
    l->hour = sw_arena_alloc(arena, (size_t)l->hours * sizeof *l->hour);
    if (l->hour == NULL)
        return SW_NO_MEMORY;
    for (int h = 0; h < l->hours; h++)
        if (sw_account_room(arena, course->loads, &l->hour[h]) != SW_OK)
            return SW_NO_MEMORY;
    return SW_OK;
}

// ---- steps ----

static double unserved_w(const sw_tile_flow *flow, int held)
{
    double sum = 0.0;
    for (int bus = 0; bus < SW_BUS_COUNT; bus++)
        sum += flow->asked_w[bus][held][0] * (1.0 - flow->served_share[bus][held][0]);
    return sum;
}

/* The acid of a discharged lead battery is little more than water: the temperature at which it freezes
   against the charge (from memory, of flooded cells; those of glass mat bear a little more). */
static int freezes(int chemistry, const sw_tile_flow *flow)
{
    static const sw_curve freezing_c = {5, {0.0, 0.25, 0.5, 0.75, 1.0}, {-8.0, -16.0, -23.0, -37.0, -57.0}};
    return chemistry == SW_AGM && flow->battery_c[0] < sw_curve_at(&freezing_c, flow->soc[0]);
}

/* Of what the engine turned in a step, the part while parked. */
static double parked_share(const sw_course *course, int32_t step)
{
    const sw_forcing *f = &course->forcing[0];
    double parked = course->engine_share[step];
    return parked > 0.0 ? parked / (f->cruise_share[step] + f->idle_share[step]) : 0.0;
}

/* The values of one step in the order of the columns: powers [W], means, or shares of the time. */
static void step_values(const ledger *l, int32_t step, const sw_tile_flow *flow, double v[SW_LEDGER_COLUMNS])
{
    const sw_forcing *f = l->forcing;
    double spilled = flow->solar_offered_w[0] - flow->solar_used_w[0];
    v[SW_LEDGER_AIR] = f->air_c[step];
    v[SW_LEDGER_CABIN] = f->cabin_c[step];
    v[SW_LEDGER_SUN] = f->ghi_w_m2[step];
    v[SW_LEDGER_SOLAR_OFFERED] = flow->solar_offered_w[0];
    v[SW_LEDGER_SOLAR_USED] = flow->solar_used_w[0];
    v[SW_LEDGER_SOLAR_SPILLED] = spilled;
    v[SW_LEDGER_SOLAR_CLIPPED] = flow->solar_clipped_w[0];
    v[SW_LEDGER_ALTERNATOR_OFFERED] = flow->alternator_offered_w[0];
    v[SW_LEDGER_ALTERNATOR_USED] = flow->alternator_used_w[0];
    v[SW_LEDGER_ENGINE_IDLE] = flow->alternator_used_w[0] * parked_share(l->course, step);
    v[SW_LEDGER_ENGINE_IDLE_H] = l->course->engine_share[step];
    v[SW_LEDGER_SHORE_AC] = flow->shore_ac_w[0];
    v[SW_LEDGER_CHARGER_IN] = flow->charger_in_w[0];
    v[SW_LEDGER_GENERATOR] = l->course->generator_share[step] * (flow->shore_ac_w[0] + flow->charger_in_w[0]);
    v[SW_LEDGER_GENERATOR_H] = l->course->generator_share[step];
    v[SW_LEDGER_CHARGER_LOSS] = flow->charger_in_w[0] - flow->charger_out_w[0];
    v[SW_LEDGER_EVAPORATED] = v[SW_LEDGER_HEATER_FUEL] = 0.0; // they are added load by load
    v[SW_LEDGER_UNSERVED_MUST] = unserved_w(flow, SW_MUST);
    v[SW_LEDGER_UNSERVED_WANT] = unserved_w(flow, SW_WANT);
    v[SW_LEDGER_UNSERVED_CAN_WAIT] = unserved_w(flow, SW_CAN_WAIT);
    v[SW_LEDGER_SERVED] = flow->served_w[0];
    v[SW_LEDGER_ASKED] = flow->served_w[0] + v[SW_LEDGER_UNSERVED_MUST] + v[SW_LEDGER_UNSERVED_WANT] +
                         v[SW_LEDGER_UNSERVED_CAN_WAIT];
    v[SW_LEDGER_INVERTER_LOSS] = flow->inverter_loss_w[0];
    v[SW_LEDGER_CONTROLLER_SELF] = flow->controller_self_w[0];
    v[SW_LEDGER_RESISTANCE_LOSS] = flow->resistance_loss_w[0];
    v[SW_LEDGER_COULOMBIC_LOSS] = flow->coulombic_loss_w[0];
    v[SW_LEDGER_SELF_LOSS] = flow->self_loss_w[0];
    v[SW_LEDGER_STORED] = flow->stored_w[0];
    // Cold and heat have forbidden only what was there to charge with.
    v[SW_LEDGER_COLD_BLOCKED] = flow->cold_blocked_w[0] < spilled ? flow->cold_blocked_w[0] : spilled;
    v[SW_LEDGER_HOT_BLOCKED] = flow->hot_blocked_w[0] < spilled ? flow->hot_blocked_w[0] : spilled;
    v[SW_LEDGER_PAD] = flow->pad_w[0];
    v[SW_LEDGER_FOOD_WARMING] = 0.0;
    for (int t = 0; t < SW_THERMAL_MAX; t++)
        v[SW_LEDGER_FOOD_WARMING] += flow->thermal_short_w[t][0];
    v[SW_LEDGER_INVERTER_OVERLOAD] = flow->inverter_overload_w[0];
    v[SW_LEDGER_SHORE_OVERLOAD] = flow->shore_overload_w[0];
    v[SW_LEDGER_TRIPPED] = flow->tripped[0];
    v[SW_LEDGER_FROZEN_H] = freezes(l->plan->van->battery.chemistry, flow);
    v[SW_LEDGER_STORED_H] = (f->flags[step] & SW_STEP_STORED) != 0;
    v[SW_LEDGER_CUT_OFF] = flow->cut_off[0];
    v[SW_LEDGER_UNDER] = SW_IS_UNDER(flow->soc[0], l->plan->trip->reserve) ? 1.0 : 0.0;
    v[SW_LEDGER_BATTERY_C] = flow->battery_c[0];
    v[SW_LEDGER_BATTERY_A] = flow->battery_a[0];
    v[SW_LEDGER_BATTERY_V] = flow->battery_v[0];
    v[SW_LEDGER_LOWEST] = 100.0 * flow->soc[0];
    v[SW_LEDGER_LOWEST_REACHABLE] = 100.0 * flow->soc_reachable[0];
    v[SW_LEDGER_CHARGE] = 100.0 * flow->soc[0];
    for (int tank = 0; tank < SW_TANKS; tank++)
        v[SW_LEDGER_FRESH + tank] = 0.0; // they are worked out hour by hour, in tanks.c
}

/* Why a class of loads is not served in this step; whose fault it is that there is no AC, the van file says.
 */
static sw_missed reason_of(const ledger *l, const sw_tile_flow *flow, const sw_load_spec *load)
{
    switch ((sw_lost)flow->lost[load->bus][load->held][0]) {
    case SW_LOST_HELD_BACK:
        return SW_MISSED_HELD_BACK;
    case SW_LOST_NO_AC:
        return l->plan->van->inverter == NULL ? SW_MISSED_NO_SUPPLY : SW_MISSED_SWITCHED_OFF;
    case SW_LOST_OVERLOAD:
        return SW_MISSED_OVERLOAD;
    case SW_LOST_RATE:
        return SW_MISSED_RATE;
    case SW_LOST_SAG:
        return SW_MISSED_SAG;
    default:
        return flow->battery_c[0] <= l->plan->van->battery.discharge_stop_c ? SW_MISSED_COLD
                                                                            : SW_MISSED_EMPTY;
    }
}

/* Reasons that lie with the battery. */
static int is_out(sw_missed reason)
{
    return reason == SW_MISSED_EMPTY || reason == SW_MISSED_COLD || reason == SW_MISSED_RATE ||
           reason == SW_MISSED_SAG;
}

static void note_missed(ledger *l, int load, sw_missed reason, double wh, sw_account *row)
{
    l->missed_wh[load][reason] += wh;
    if (is_out(reason))
        row->missed_wh += wh;
    if (reason == SW_MISSED_RATE)
        row->rate_wh += wh;
}

static void step_loads(ledger *l, int32_t step, const sw_tile_flow *flow, double hours, sw_account *row)
{
    int thermal = 0;
    for (int k = 0; k < l->course->loads; k++) {
        const sw_load_spec *load = &l->plan->van->load[k];
        double asked =
            load->kind == SW_LOAD_FRIDGE ? flow->thermal_w[thermal++][0] : l->course->asked_w[k][step];
        row->asked_wh[k] += asked * hours;
        double served = asked * flow->served_share[load->bus][load->held][0];
        row->served_wh[k] += served * hours;
        if (l->course->liquid_l[k] != NULL)
            row->value[load->kind == SW_LOAD_HEATER ? SW_LEDGER_HEATER_FUEL : SW_LEDGER_EVAPORATED] +=
                l->course->liquid_l[k][step] * flow->served_share[load->bus][load->held][0];
        if (asked > served)
            note_missed(l, k, reason_of(l, flow, load), (asked - served) * hours, row);
    }
}

static void begin_account(sw_account *into, int64_t start_s, int day)
{
    into->start_s = into->end_s = into->lowest_at_s = start_s;
    into->day = day;
}

/* Adds values that hold from `start_s` to `end_s`. */
static void add(sw_account *into, const double value[SW_LEDGER_COLUMNS], int64_t start_s, int64_t end_s,
                double per_hour, int64_t lowest_at_s)
{
    double before = (double)(into->end_s - into->start_s), length = (double)(end_s - start_s);
    int first = before == 0.0;
    for (int c = 0; c < SW_LEDGER_COLUMNS; c++) {
        double *v = &into->value[c];
        switch (columns[c].gather) {
        case SW_GATHER_ENERGY:
            *v += value[c] * per_hour;
            break;
        case SW_GATHER_MEAN:
            *v = (*v * before + value[c] * length) / (before + length);
            break;
        case SW_GATHER_LOWEST:
            if (c == SW_LEDGER_LOWEST && (first || value[c] < *v))
                into->lowest_at_s = lowest_at_s;
            *v = first || value[c] < *v ? value[c] : *v;
            break;
        default:
            *v = value[c];
            break;
        }
    }
    into->end_s = end_s;
}

static void note_overloads(ledger *l, int64_t at_s, const sw_tile_flow *flow)
{
    if (flow->inverter_overload_w[0] > l->inverter_overload_w) {
        l->inverter_overload_w = flow->inverter_overload_w[0];
        l->inverter_overload_at_s = at_s;
    }
    if (flow->alternator_overload_a[0] > l->alternator_overload_a) {
        l->alternator_overload_a = flow->alternator_overload_a[0];
        l->alternator_overload_at_s = at_s;
    }
    if (flow->shore_overload_w[0] > l->shore_overload_w) {
        l->shore_overload_w = flow->shore_overload_w[0];
        l->shore_overload_at_s = at_s;
    }
}

void sw_ledger_take(void *context, int32_t step, const sw_tile_flow *flow)
{
    ledger *l = context;
    double value[SW_LEDGER_COLUMNS];
    int64_t start = l->forcing->start_s + (int64_t)step * l->forcing->step_s,
            end = start + l->forcing->step_s;
    double hours = l->forcing->step_s / 3600.0;
    sw_account *row = &l->hour[l->hour_of[step]];
    if (row->end_s == 0 && row->start_s == 0)
        begin_account(row, start, sw_itinerary_day(l->course->itinerary, start));
    step_values(l, step, flow, value);
    l->charge[step] = flow->soc[0];
    double begins_pct = 100.0 * l->plan->trip->start_soc;
    int begins_lowest = step == 0 && begins_pct <= value[SW_LEDGER_LOWEST];
    if (begins_lowest) {
        value[SW_LEDGER_LOWEST] = begins_pct;
        if (value[SW_LEDGER_LOWEST_REACHABLE] > begins_pct)
            value[SW_LEDGER_LOWEST_REACHABLE] = begins_pct;
    }
    add(row, value, start, end, hours, begins_lowest ? start : end);
    step_loads(l, step, flow, hours, row);
    note_overloads(l, start, flow);
    double off = flow->imbalance_w[0] < 0.0 ? -flow->imbalance_w[0] : flow->imbalance_w[0];
    double share = off / (flow->throughput_w[0] + 1.0);
    l->worst_imbalance = share > l->worst_imbalance ? share : l->worst_imbalance;
}

void sw_account_gather(sw_account *into, const sw_account *from, int count, int loads)
{
    begin_account(into, from[0].start_s, from[0].day);
    for (int i = 0; i < count; i++) {
        add(into, from[i].value, from[i].start_s, from[i].end_s, 1.0, from[i].lowest_at_s);
        for (int k = 0; k < loads; k++) {
            into->asked_wh[k] += from[i].asked_wh[k];
            into->served_wh[k] += from[i].served_wh[k];
        }
        into->missed_wh += from[i].missed_wh;
        into->rate_wh += from[i].rate_wh;
    }
}
