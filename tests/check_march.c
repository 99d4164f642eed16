// The march on cases small enough to be worked by hand, each figure from the test's own arithmetic.
#include "stillwatt/march.h"
#include "support/checks.h"
#include "support/random_case.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

/* What a march made of a forcing, step by step. */
typedef struct record {
    int32_t steps;
    sw_tile_flow *flow;
} record;

static void keep(void *context, int32_t step, const sw_tile_flow *flow)
{
    record *r = context;
    r->flow[step] = *flow;
    r->steps = step + 1;
}

/* Marches eight variants. Free with forget. */
static record marched_tile(const sw_forcing *f, const sw_variant variant[SW_TILE])
{
    sw_tile_plan plan;
    sw_tile_state state;
    for (int lane = 0; lane < SW_TILE; lane++)
        sw_tile_set(&plan, &state, lane, &variant[lane], f->step_s);
    record r = {0, calloc((size_t)f->steps, sizeof *r.flow)};
    ck_assert_ptr_nonnull(r.flow);
    ck_assert_int_eq(sw_march(f, &plan, &state, keep, &r), SW_OK);
    ck_assert_int_eq(r.steps, f->steps);
    return r;
}

static record marched(const sw_forcing *f, const sw_variant *v)
{
    sw_variant variant[SW_TILE];
    for (int lane = 0; lane < SW_TILE; lane++)
        variant[lane] = *v;
    return marched_tile(f, variant);
}

static void forget(record *r)
{
    free(r->flow);
}

static void set_flags(sw_forcing *f, int32_t first, int32_t count, int flags)
{
    for (int32_t row = first; row < first + count; row++)
        f->flags[row] |= (uint8_t)flags;
}

/* An AC load of a class whose power does not vary within a step. */
static void set_ac(sw_forcing *f, sw_held held, int32_t first, int32_t count, double watts)
{
    fill_column(f->load_w[SW_BUS_AC][held], first, count, watts);
    fill_column(f->peak_w[held], first, count, watts);
}

static double ocv_v(const sw_variant *v, double soc)
{
    return v->units_12v * sw_curve_at(&sw_chemistry_of(v->chemistry)->open_circuit_v, soc);
}

/* dq/dt = -I with (U(q) - R I) I = P at every moment, by Runge's and Kutta's fourth-order rule. @return
 * charge, Ah */
static double charge_after_ah(const sw_variant *v, double watts, double hours, int pieces)
{
    long double q = (long double)v->start_soc * v->rated_ah, h = (long double)hours / pieces;
    for (int i = 0; i < pieces; i++) {
        long double k[4], at = q;
        for (int stage = 0; stage < 4; stage++) {
            long double u = ocv_v(v, (double)(at / v->rated_ah)), r = v->resistance_ohm;
            k[stage] = -(u - sqrtl(u * u - 4.0L * r * watts)) / (2.0L * r);
            at = q + h * k[stage] * (stage < 2 ? 0.5L : 1.0L);
        }
        q += h / 6.0L * (k[0] + 2.0L * k[1] + 2.0L * k[2] + k[3]);
    }
    return (double)q;
}

START_TEST(three_constant_loads_draw_what_the_battery_equation_says)
{
    static const struct {
        sw_chemistry chemistry;
        double start_soc, scale;
        int hours;
    } cases[] = {{SW_LIFEPO4, 0.80, 1.0, 10},
                 {SW_LIFEPO4, 0.12, 1.0, 2},
                 {SW_AGM, 0.95, 1.0, 10},
                 {SW_AGM, 0.9, 8.0, 1}};
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
        sw_forcing f = sw_forcing_made(cases[i].hours * 12, 300, 0);
        fill_column(f.load_w[SW_BUS_DC][SW_MUST], 0, f.steps, 20.0 * cases[i].scale);
        fill_column(f.load_w[SW_BUS_DC][SW_WANT], 0, f.steps, 15.0 * cases[i].scale);
        fill_column(f.load_w[SW_BUS_DC][SW_CAN_WAIT], 0, f.steps, 10.0 * cases[i].scale);
        sw_variant v = sw_plain_variant(cases[i].chemistry);
        v.start_soc = cases[i].start_soc;
        record r = marched(&f, &v);
        double soc = r.flow[f.steps - 1].soc[0];
        /* The march holds the current within a step. On the steepest piece (32 V over the whole charge, 0.3
           Ah a step) it really moves by 1 %, whose variance costs R var(I) = 1e-6 W of 45 W; over 24 steps
           1e-7 Ah. Ten times that. */
        ck_assert_double_eq_tol(100.0 * soc,
                                charge_after_ah(&v, 45.0 * cases[i].scale, cases[i].hours, 20000), 1e-6);
        ck_assert_double_eq(r.flow[5].served_w[0], 45.0 * cases[i].scale);
        forget(&r);
        sw_forcing_unmake(&f);
    }
}
END_TEST

/* The greatest current that the limits admit is the one that is taken: each step touches one of them. */
START_TEST(charging_goes_on_the_edge_of_its_limits_until_full)
{
    int edges[SW_CHEMISTRY_COUNT][4] = {{0}};
    for (int chemistry = 0; chemistry < SW_CHEMISTRY_COUNT; chemistry++) {
        for (int32_t step_s = 300; step_s <= 3600; step_s += 3300) {
            for (double limit_a = 20.0; limit_a < 400.0; limit_a *= 2.0) {
                sw_forcing f = sw_forcing_made(24 * 3600 / step_s, step_s, 0);
                fill_column(f.cruise_share, 0, f.steps, 1.0);
                sw_variant v = sw_plain_variant((sw_chemistry)chemistry);
                v.alternator_cruise_w = 1e4;
                v.charge_limit_a = limit_a;
                v.start_soc = 0.01;
                record r = marched(&f, &v);
                const sw_chemistry_data *data = sw_chemistry_of(v.chemistry);
                double soc = v.start_soc;
                for (int32_t n = 0; n < f.steps; n++) {
                    const sw_tile_flow *flow = &r.flow[n];
                    double in_a = -flow->battery_a[0];
                    /* a current that follows the missing charge, at the middle of the step */
                    double half_h = 0.5 * step_s / 3600.0 * sw_curve_at(&data->charge_efficiency, soc);
                    double accepted_a =
                        data->acceptance_h > 0.0 ? 100.0 * (1.0 - soc) / (data->acceptance_h + half_h) : 1e9;
                    /* 1e-9: rounding of a dozen operations on numbers up to 1e2, with a root between. */
                    ck_assert_double_le(in_a, limit_a + 1e-9);
                    ck_assert_double_le(flow->battery_v[0], v.absorption_v + 1e-9);
                    ck_assert_double_le(flow->soc[0], 1.0);
                    ck_assert_double_le(in_a, accepted_a + 1e-9);
                    int edge = in_a > limit_a - 1e-9                        ? 0
                               : flow->battery_v[0] > v.absorption_v - 1e-9 ? 1
                               : in_a > accepted_a - 1e-9                   ? 2
                               : flow->soc[0] > 1.0 - 1e-11                 ? 3
                                                                            : -1;
                    ck_assert_msg(edge >= 0,
                                  "step %d of %d s from %g: %g A at %.12g V, within every limit of %g A",
                                  (int)n, (int)step_s, soc, in_a, flow->battery_v[0], limit_a);
                    edges[chemistry][edge]++;
                    soc = flow->soc[0];
                }
                ck_assert_double_gt(soc, chemistry == SW_AGM ? 0.9999 : 1.0 - 1e-11);
                forget(&r);
                sw_forcing_unmake(&f);
            }
        }
    }
    for (int edge = 0; edge < 4;
         edge++) /* a lead-acid battery accepts too little to reach the voltage or Q */
        ck_assert_msg((edges[SW_LIFEPO4][edge] > 0) == (edge != 2), "edge %d", edge);
    ck_assert_int_gt(edges[SW_AGM][0], 0);
    ck_assert_int_gt(edges[SW_AGM][2], 0);
}
END_TEST

START_TEST(the_absorption_voltage_bounds_a_strong_charger)
{
    sw_forcing f = sw_forcing_made(12, 300, 0);
    fill_column(f.cruise_share, 0, f.steps, 1.0);
    sw_variant v = sw_plain_variant(SW_LIFEPO4);
    v.alternator_cruise_w = 5000.0;
    record r = marched(&f, &v);
    ck_assert_double_eq_tol(r.flow[0].battery_v[0], 14.2, 1e-12);
    /* U at the end of the step by the table, so I = (14.2 - U)/R; the table's slope moves 1 ulp of soc by
     * 1e-14 V. */
    ck_assert_double_eq_tol(-r.flow[0].battery_a[0], (14.2 - ocv_v(&v, r.flow[0].soc[0])) / 0.010, 1e-9);
    forget(&r);
    sw_forcing_unmake(&f);
}
END_TEST

/* -24 mV/K per 12 V from 25 degC (from memory): 14.4 V becomes 14.64 V at 15 degC and 14.16 V at 35, of two
   units in series twice that. A resistance of a tired bank, so that the voltage bounds the current and not
   the acceptance. */
START_TEST(the_absorption_voltage_of_agm_follows_its_temperature)
{
    static const double at_c[] = {15.0, 25.0, 35.0}, held_v[] = {14.64, 14.4, 14.16};
    for (int i = 0; i < 3; i++) {
        sw_forcing f = sw_forcing_made(12, 300, 0);
        fill_column(f.cabin_c, 0, f.steps, at_c[i]);
        fill_column(f.cruise_share, 0, f.steps, 1.0);
        sw_variant v = sw_plain_variant(SW_AGM);
        v.units_12v = 2.0;
        v.absorption_v *= 2.0;
        v.resistance_ohm = 0.5;
        v.start_c = at_c[i];
        v.alternator_cruise_w = 5000.0;
        record r = marched(&f, &v);
        for (int n = 0; n < r.steps; n++)
            ck_assert_double_eq_tol(r.flow[n].battery_v[0], 2.0 * held_v[i], 1e-11);
        forget(&r);
        sw_forcing_unmake(&f);
    }
}
END_TEST

START_TEST(cold_forbids_charging_then_ramps_it)
{
    static const double air_c[] = {-5.0, 0.0, 2.5, 5.0, 10.0, 30.0, -5.0};
    static const double share[] = {0.0, 0.0, 0.25, 0.5, 1.0, 1.0, 0.0};
    sw_forcing f = sw_forcing_made(7, 300, 0);
    fill_column(f.cruise_share, 0, 6, 1.0);
    sw_variant v = sw_plain_variant(SW_LIFEPO4);
    v.cold_stop_c = 0.0;
    v.cold_full_c = 10.0;
    v.charge_limit_a = 40.0;
    v.alternator_cruise_w = 400.0;
    v.outside = 1;
    v.temperature_lag_h = 1e-3; /* follows within the step, exp(-83), so step n has the air of step n-1 */
    v.start_c = air_c[0];
    for (int n = 0; n < 7; n++)
        f.air_c[n] = air_c[n < 6 ? n + 1 : n];
    record r = marched(&f, &v);
    for (int n = 0; n < 7; n++) {
        const sw_tile_flow *flow = &r.flow[n];
        double allowed_a = 40.0 * share[n];
        ck_assert_double_eq_tol(flow->battery_c[0], air_c[n], 1e-12);
        if (share[n] < 1.0) /* 400 W is less than 40 A, more than 20 A */
            ck_assert_double_eq_tol(-flow->battery_a[0], n < 6 ? allowed_a : 0.0, 1e-9);
        else
            ck_assert_double_eq_tol(flow->alternator_used_w[0], 400.0, 1e-12);
    }
    ck_assert_double_eq_tol(r.flow[0].cold_blocked_w[0], 400.0, 1e-12);
    ck_assert_double_eq_tol(r.flow[3].cold_blocked_w[0], 400.0 - r.flow[3].alternator_used_w[0], 1e-12);
    ck_assert_double_eq(r.flow[4].cold_blocked_w[0], 0.0);
    ck_assert_double_eq(r.flow[6].cold_blocked_w[0], 0.0); /* nothing was on offer */
    forget(&r);
    sw_forcing_unmake(&f);
}
END_TEST

/* must, want, can-wait [W] and what of them a limit of 1000 leaves */
static const struct {
    double watts[SW_HELD_COUNT], share[SW_HELD_COUNT], served_w, beyond_w;
} ladders[] = {
    {{300, 0, 0}, {1, 1, 1}, 300, 0},       {{300, 500, 200}, {1, 1, 1}, 1000, 0},
    {{300, 500, 300}, {1, 1, 0}, 800, 100}, {{300, 800, 100}, {1, 0, 0}, 300, 200},
    {{1100, 10, 10}, {0, 0, 0}, 0, 120},
};
#define LADDERS ((int32_t)(sizeof ladders / sizeof ladders[0]))

static void set_ladders(sw_forcing *f)
{
    for (int32_t n = 0; n < LADDERS; n++)
        for (int held = 0; held < SW_HELD_COUNT; held++)
            set_ac(f, (sw_held)held, n, 1, ladders[n].watts[held]);
}

static void expect_ladder(const sw_tile_flow *flow, int32_t n, const double *overload_w)
{
    for (int held = 0; held < SW_HELD_COUNT; held++)
        ck_assert_msg(flow->served_share[SW_BUS_AC][held][0] == ladders[n].share[held], "row %d class %d",
                      (int)n, held);
    ck_assert_double_eq_tol(flow->served_w[0], ladders[n].served_w, 1e-12);
    ck_assert_double_eq_tol(overload_w[0], ladders[n].beyond_w, 1e-12);
}

START_TEST(shore_carries_ac_first_and_drops_whole_classes_beyond_its_limit)
{
    sw_forcing f = sw_forcing_made(LADDERS, 300, 0);
    set_flags(&f, 0, f.steps, SW_STEP_SHORE | SW_STEP_INVERTER);
    fill_column(f.pedestal_va, 0, f.steps, 1000.0);
    fill_column(f.pedestal_steady_share, 0, f.steps, 0.8);
    set_ladders(&f);
    sw_variant v = sw_plain_variant(SW_LIFEPO4);
    v.inlet_va = 3600.0;
    v.charger_w = 450.0;
    v.charger_efficiency = 0.9;
    v.charger_power_factor = 0.8;
    v.inverter_w = 3000.0; /* must not help */
    v.inverter.idle_w = 10.0;
    record r = marched(&f, &v);
    for (int32_t n = 0; n < LADDERS; n++) {
        const sw_tile_flow *flow = &r.flow[n];
        expect_ladder(flow, n, flow->shore_overload_w);
        double left_va = fmax(0.0, 800.0 - ladders[n].served_w); /* 80 % for what lasts three hours */
        double charger_w = fmin(450.0, left_va * 0.8 * 0.9);
        ck_assert_double_eq_tol(flow->charger_out_w[0], charger_w, 1e-12);
        ck_assert_double_eq_tol(flow->charger_in_w[0], charger_w / 0.9, 1e-12);
        ck_assert_double_eq_tol(flow->battery_w[0], -charger_w, 1e-12);
        ck_assert_double_eq(flow->shore_ac_w[0], flow->served_w[0]);
        ck_assert_double_eq(flow->inverter_loss_w[0], 0.0);
    }
    forget(&r);
    v.inlet_va = 250.0; /* the narrower of inlet and pedestal counts, for the charger by the same share */
    r = marched(&f, &v);
    ck_assert_double_eq(r.flow[0].shore_overload_w[0], 50.0);
    ck_assert_double_eq(r.flow[0].served_w[0], 0.0);
    ck_assert_double_eq_tol(r.flow[0].charger_out_w[0], 250.0 * 0.8 * 0.8 * 0.9, 1e-12);
    forget(&r);
    sw_forcing_unmake(&f);
}
END_TEST

START_TEST(the_inverter_drops_whole_classes_by_their_power_of_a_moment)
{
    sw_forcing f = sw_forcing_made(LADDERS + 2, 300, 0);
    set_flags(&f, 0, f.steps - 1, SW_STEP_INVERTER);
    set_ladders(&f);
    fill_column(f.load_w[SW_BUS_AC][SW_WANT], LADDERS, 2, 100.0); /* mean of a kettle that runs for a while */
    fill_column(f.peak_w[SW_WANT], LADDERS, 2, 1100.0);
    sw_variant v = sw_plain_variant(SW_LIFEPO4);
    v.inverter_w = 1000.0;
    v.inverter = (sw_inverter_curve){10.0, 0.05, 2e-5};
    record r = marched(&f, &v);
    for (int32_t n = 0; n < LADDERS; n++) {
        double ac_w = ladders[n].served_w;
        expect_ladder(&r.flow[n], n, r.flow[n].inverter_overload_w);
        /* idle draw stays where everything is dropped */
        ck_assert_double_eq_tol(r.flow[n].inverter_loss_w[0], 10.0 + 0.05 * ac_w + 2e-5 * ac_w * ac_w, 1e-12);
        ck_assert_double_eq_tol(r.flow[n].battery_w[0], ac_w + r.flow[n].inverter_loss_w[0], 1e-12);
        ck_assert_double_eq(r.flow[n].tripped[0], 0.0);
    }
    const sw_tile_flow *kettle = &r.flow[LADDERS], *off = &r.flow[LADDERS + 1];
    ck_assert_double_eq(kettle->served_share[SW_BUS_AC][SW_WANT][0], 0.0);
    ck_assert_double_eq(kettle->inverter_overload_w[0], 100.0);
    ck_assert_double_eq(off->served_share[SW_BUS_AC][SW_WANT][0],
                        0.0); /* not switched on: no idle, no overload */
    ck_assert_double_eq(off->inverter_overload_w[0], 0.0);
    ck_assert_double_eq(off->battery_w[0], 0.0);
    forget(&r);
    sw_forcing_unmake(&f);
}
END_TEST

START_TEST(low_voltage_trips_the_inverter_until_its_restart_level)
{
    sw_forcing f = sw_forcing_made(8, 300, 0);
    set_flags(&f, 0, f.steps, SW_STEP_INVERTER);
    set_ac(&f, SW_MUST, 0, f.steps, 100.0);
    set_ac(&f, SW_MUST, 1, 1, 1200.0);
    fill_column(f.cruise_share, 4, 2, 1.0);
    sw_variant v = sw_plain_variant(SW_AGM);
    v.resistance_ohm = 0.012;
    v.inverter_w = 2000.0;
    v.inverter.idle_w = 5.0;
    v.inverter_cut_out_v = 11.0;
    v.inverter_restart_v = 12.3;
    v.alternator_cruise_w = 300.0;
    record r = marched(&f, &v);
    /* 1205 W of 12.14 V over 12 mohm: 108 A, 10.8 V at the terminals. At rest 12.15 V, under the restart
       level; at 300 W of charge 12.14 + 0.012 x 24 = 12.43 V, above. The step that reaches it is still
       without. */
    static const double tripped[] = {0, 1, 1, 1, 1, 0, 0, 0};
    for (int n = 0; n < 8; n++) {
        const sw_tile_flow *flow = &r.flow[n];
        ck_assert_msg(flow->tripped[0] == tripped[n], "step %d", n);
        ck_assert_double_eq(flow->served_share[SW_BUS_AC][SW_MUST][0], 1.0 - tripped[n]);
        ck_assert_double_eq(flow->inverter_loss_w[0], 5.0 * (1.0 - tripped[n]));
        ck_assert_double_eq(flow->inverter_overload_w[0], 0.0);
    }
    ck_assert_double_eq(r.flow[2].battery_w[0], 0.0);
    forget(&r);
    sw_forcing_unmake(&f);
}
END_TEST

START_TEST(an_almost_empty_battery_gives_up_classes_in_order)
{
    /* 20, 15, 10 W for a step of five minutes out of what carries 60, 40, 30, 15 W for one. */
    static const double carries_w[] = {60.0, 40.0, 30.0, 15.0};
    static const double share[][SW_HELD_COUNT] = {{1, 1, 1}, {1, 1, 0}, {1, 0, 0}, {0, 0, 0}};
    sw_forcing f = sw_forcing_made(1, 300, 0);
    fill_column(f.load_w[SW_BUS_DC][SW_MUST], 0, 1, 20.0);
    fill_column(f.load_w[SW_BUS_DC][SW_WANT], 0, 1, 15.0);
    fill_column(f.load_w[SW_BUS_DC][SW_CAN_WAIT], 0, 1, 10.0);
    sw_variant v[SW_TILE];
    for (int lane = 0; lane < SW_TILE; lane++) {
        v[lane] = sw_plain_variant(SW_LIFEPO4);
        v[lane].start_soc = carries_w[lane % 4] / 12.0 / (100.0 * 10.2); /* Wh over Ah at about 10.2 V */
    }
    record r = marched_tile(&f, v);
    for (int lane = 0; lane < SW_TILE; lane++) {
        for (int held = 0; held < SW_HELD_COUNT; held++)
            ck_assert_msg(r.flow[0].served_share[SW_BUS_DC][held][lane] == share[lane % 4][held],
                          "lane %d class %d", lane, held);
        ck_assert_double_eq(r.flow[0].cut_off[lane], lane % 4 == 3 ? 1.0 : 0.0);
    }
    forget(&r);
    sw_forcing_unmake(&f);
}
END_TEST

/* Resting below its cut-out voltage a battery gives nothing, which is no matter of the rate: 60 W of sources
   do not carry a load of 50 W with a start of 80 W, and the load is lost because the battery is empty. */
START_TEST(below_its_cut_out_voltage_a_battery_counts_as_empty)
{
    sw_forcing f = sw_forcing_made(1, 300, 0);
    fill_column(f.load_w[SW_BUS_DC][SW_WANT], 0, 1, 50.0);
    fill_column(f.dc_peak_w[SW_WANT], 0, 1, 80.0);
    fill_column(f.cruise_share, 0, 1, 1.0);
    sw_variant v = sw_plain_variant(SW_LIFEPO4);
    v.alternator_cruise_w = 60.0;
    v.cut_out_v = ocv_v(&v, 0.5) + 0.1;
    record r = marched(&f, &v);
    ck_assert_double_eq(r.flow[0].lost[SW_BUS_DC][SW_WANT][0], SW_LOST_EMPTY);
    forget(&r);
    /* What the sources give exactly is carried. */
    fill_column(f.load_w[SW_BUS_DC][SW_WANT], 0, 1, 60.0);
    fill_column(f.dc_peak_w[SW_WANT], 0, 1, 60.0);
    r = marched(&f, &v);
    ck_assert_double_eq(r.flow[0].lost[SW_BUS_DC][SW_WANT][0], SW_KEPT);
    forget(&r);
    fill_column(f.load_w[SW_BUS_DC][SW_WANT], 0, 1, 50.0);
    fill_column(f.dc_peak_w[SW_WANT], 0, 1, 80.0);
    v.cut_out_v = 0.0;
    v.discharge_limit_a = 1.0; /* connected, and 13 W besides: now it is the rate */
    r = marched(&f, &v);
    ck_assert_double_eq(r.flow[0].lost[SW_BUS_DC][SW_WANT][0], SW_LOST_RATE);
    forget(&r);
    sw_forcing_unmake(&f);
}
END_TEST

START_TEST(a_battery_cut_off_comes_back_at_its_restart_level)
{
    sw_forcing f = sw_forcing_made(16, 300, 0);
    fill_column(f.load_w[SW_BUS_DC][SW_MUST], 0, f.steps, 20.0);
    fill_column(f.cruise_share, 3, 2, 1.0);
    fill_column(f.cruise_share, 7, 4, 1.0);
    sw_variant v = sw_plain_variant(SW_LIFEPO4);
    v.start_soc = 0.0020; /* 2 Wh: a step of 1.7 Wh and not a second one */
    v.dc_restart_v = 12.0;
    v.alternator_cruise_w = 200.0;
    record r = marched(&f, &v);
    /* 180 W at 10.5 to 12 V put in 1.4 Ah a step. After two steps 2.7 Ah: 11.5 V, not yet; the running
       alternator carries the load by itself meanwhile. After three more 6.7 Ah: above 12.2 V. */
    static const double served[] = {1, 0, 0, 1, 1, 0, 0, 1, 1, 1, 1, 1, 1, 1, 1, 1};
    static const double cut[] = {0, 1, 1, 1, 1, 1, 1, 1};
    for (int n = 0; n < 16; n++)
        ck_assert_msg(r.flow[n].served_share[SW_BUS_DC][SW_MUST][0] == served[n], "step %d", n);
    for (int n = 0; n < 8; n++)
        ck_assert_msg(r.flow[n].cut_off[0] == cut[n], "step %d", n);
    int back = 0;
    for (int n = 7; n < 15; n++) {
        int ended = r.flow[n].cut_off[0] == 1.0 && r.flow[n + 1].cut_off[0] == 0.0;
        back += ended;
        ck_assert(!ended || r.flow[n].battery_v[0] >= 12.0);
        ck_assert(r.flow[n + 1].cut_off[0] == 0.0 || r.flow[n].battery_v[0] < 12.0);
    }
    ck_assert_int_eq(back, 1);
    forget(&r);
    sw_forcing_unmake(&f);
}
END_TEST

/* Of lead a charger lifts the terminals towards the absorption voltage. 90 Ah are missing of 100; 1.5 h take
   in 60 A at 14.4 V: the 10 A of 121 W lift 11.8 V by a sixth of 2.5 V, to 12.2 V, and not to 12.9 V; once 37
   Ah are missing, of 12.47 V the 9.7 A lift 40 % of 1.8 V, to 13.2 V. Left alone the full bank rests at 12.75
   V. */
START_TEST(a_charger_brings_lead_back)
{
    static const struct {
        double start_soc, charger_w, restart_v;
        int is_back; // after a step
    } cases[] = {{0.10, 121.0, 12.15, 1}, {0.10, 121.0, 12.9, 0}, {0.63, 121.0, 12.9, 1},
                 {0.63, 121.0, 13.6, 0},  {0.63, 0.0, 12.9, 0},   {0.995, 5.0, 14.3, 1},
                 {1.0, 0.0, 12.6, 1},     {1.0, 0.0, 12.9, 0}};
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
        sw_forcing f = sw_forcing_made(1, 60, 0);
        sw_variant v = sw_plain_variant(SW_AGM);
        sw_tile_plan plan;
        sw_tile_state state;
        fill_column(f.cruise_share, 0, 1, 1.0);
        v.start_soc = cases[i].start_soc;
        v.alternator_cruise_w = cases[i].charger_w;
        v.dc_restart_v = v.inverter_restart_v = cases[i].restart_v;
        for (int lane = 0; lane < SW_TILE; lane++) {
            sw_tile_set(&plan, &state, lane, &v, f.step_s);
            state.dc_out[lane] = state.inverter_out[lane] = 1.0;
        }
        ck_assert_int_eq(sw_march(&f, &plan, &state, NULL, NULL), SW_OK);
        ck_assert_msg(state.dc_out[0] == !cases[i].is_back && state.inverter_out[0] == !cases[i].is_back,
                      "case %zu: %g %g", i, state.dc_out[0], state.inverter_out[0]);
        sw_forcing_unmake(&f);
    }
}
END_TEST

/* 50 A at 13 V cannot start 1500 W, which closes AC for the 40 W behind it: for that reason, though the
   battery is full. Where the charge is gone all of it is lost as empty. */
START_TEST(what_closes_ac_is_the_reason_for_all_behind_it)
{
    for (int is_empty = 0; is_empty < 2; is_empty++) {
        sw_forcing f = sw_forcing_made(1, 300, 0);
        set_flags(&f, 0, f.steps, SW_STEP_INVERTER);
        set_ac(&f, SW_MUST, 0, f.steps, 1500.0);
        set_ac(&f, SW_WANT, 0, f.steps, 40.0);
        sw_variant v = sw_plain_variant(SW_LIFEPO4);
        v.start_soc = is_empty ? 0.0 : 1.0;
        v.discharge_limit_a = 50.0;
        v.controller_self_w = 1.0;
        v.inverter_w = 2000.0;
        record r = marched(&f, &v);
        for (int held = SW_MUST; held <= SW_WANT; held++) {
            ck_assert_double_eq(r.flow[0].served_share[SW_BUS_AC][held][0], 0.0);
            ck_assert_double_eq(r.flow[0].lost[SW_BUS_AC][held][0], is_empty ? SW_LOST_EMPTY : SW_LOST_RATE);
        }
        forget(&r);
        sw_forcing_unmake(&f);
    }
}
END_TEST

/* Lead at a quarter rests at 11.95 V; a cut-out at 11.9 V lets 4.2 A of 12 mohm through, 50 W. 60 W are
   nothing to a full bank: the charge is spent, and the battery cuts off. A fuse of 4 A would not let them
   through at any charge. */
START_TEST(a_voltage_at_its_cut_out_is_want_of_charge)
{
    static const struct {
        double start_soc, limit_a;
        sw_lost lost;
        double cut_off;
    } cases[] = {{0.25, 1e4, SW_LOST_EMPTY, 1.0},
                 {0.30, 1e4, SW_KEPT, 0.0},
                 {0.25, 4.0, SW_LOST_RATE, 0.0},
                 {1.0, 4.0, SW_LOST_RATE, 0.0}};
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
        sw_forcing f = sw_forcing_made(1, 300, 0);
        fill_column(f.load_w[SW_BUS_DC][SW_MUST], 0, f.steps, 60.0);
        sw_variant v = sw_plain_variant(SW_AGM);
        v.start_soc = cases[i].start_soc;
        v.discharge_limit_a = cases[i].limit_a;
        v.cut_out_v = 11.9;
        record r = marched(&f, &v);
        ck_assert_msg(r.flow[0].lost[SW_BUS_DC][SW_MUST][0] == cases[i].lost &&
                          r.flow[0].cut_off[0] == cases[i].cut_off,
                      "case %zu: %g, cut off %g", i, r.flow[0].lost[SW_BUS_DC][SW_MUST][0],
                      r.flow[0].cut_off[0]);
        forget(&r);
        sw_forcing_unmake(&f);
    }
}
END_TEST

/* Lead over an inverter that goes off at 12 V: half full 12.5 A of 12.15 V, 150 W; full 62 A of 12.75 V, 750
   W. 900 W are too much at once, unless a source of 400 W helps: then it is the charge that is missing. */
START_TEST(a_source_beside_a_full_battery_counts)
{
    static const double sources_w[] = {0.0, 400.0};
    for (int i = 0; i < 2; i++) {
        sw_forcing f = sw_forcing_made(1, 300, 0);
        set_flags(&f, 0, f.steps, SW_STEP_INVERTER);
        set_ac(&f, SW_WANT, 0, f.steps, 900.0);
        fill_column(f.cruise_share, 0, 1, 1.0);
        sw_variant v = sw_plain_variant(SW_AGM);
        v.alternator_cruise_w = sources_w[i];
        v.inverter_w = 2000.0;
        v.inverter_cut_out_v = 12.0;
        record r = marched(&f, &v);
        ck_assert_double_eq(r.flow[0].served_share[SW_BUS_AC][SW_WANT][0], 0.0);
        ck_assert_double_eq(r.flow[0].lost[SW_BUS_AC][SW_WANT][0], i == 0 ? SW_LOST_RATE : SW_LOST_SAG);
        forget(&r);
        sw_forcing_unmake(&f);
    }
}
END_TEST

/* Once the battery is cut off the inverter has nothing to run from: its loads are lost because the battery is
   empty, not because the voltage sags. */
START_TEST(behind_a_battery_cut_off_ac_is_lost_as_empty)
{
    sw_forcing f = sw_forcing_made(3, 300, 0);
    set_flags(&f, 0, f.steps, SW_STEP_INVERTER);
    fill_column(f.load_w[SW_BUS_DC][SW_MUST], 0, f.steps, 50.0);
    set_ac(&f, SW_WANT, 0, f.steps, 100.0);
    sw_variant v = sw_plain_variant(SW_LIFEPO4);
    v.start_soc = 0.0;
    v.dc_restart_v = 12.6;
    v.inverter_w = 500.0;
    v.inverter_restart_v = 12.6;
    record r = marched(&f, &v);
    ck_assert_double_eq(r.flow[1].cut_off[0], 1.0);
    ck_assert_double_eq(r.flow[1].lost[SW_BUS_AC][SW_WANT][0], SW_LOST_EMPTY);
    forget(&r);
    sw_forcing_unmake(&f);
}
END_TEST

/* Cold locks the charge, at step 40 it is warm; a hand comes at 45, a charger at 50. */
START_TEST(a_management_system_comes_back_by_itself_by_a_charger_or_by_hand)
{
    static const struct {
        int way, on_from;
    } cases[] = {{SW_BACK_BY_ITSELF, 41}, {SW_BACK_BY_HAND, 46}, {SW_BACK_BY_CHARGER, 51}};
    for (int i = 0; i < 3; i++) {
        sw_forcing f = sw_forcing_made(60, 300, 0);
        fill_column(f.load_w[SW_BUS_DC][SW_MUST], 0, f.steps, 30.0);
        fill_column(f.cabin_c, 0, 40, -10.0);
        fill_column(f.cruise_share, 50, 5, 1.0);
        set_flags(&f, 45, 1, SW_STEP_HAND);
        sw_variant v = sw_plain_variant(SW_LIFEPO4);
        v.start_c = -10.0;
        v.start_soc = 0.24;
        v.temperature_lag_h = 1e-3;
        v.dc_restart_v = 12.6;
        v.alternator_cruise_w = 60.0;
        v.comes_back = cases[i].way;
        record r = marched(&f, &v);
        ck_assert_double_eq(r.flow[cases[i].on_from - 1].cut_off[0], 1.0);
        for (int n = cases[i].on_from; n < 60; n++)
            ck_assert_msg(r.flow[n].cut_off[0] == 0.0, "way %d, step %d", cases[i].way, n);
        forget(&r);
        sw_forcing_unmake(&f);
    }
}
END_TEST

START_TEST(cold_locks_charge_and_warmth_gives_it_back)
{
    sw_forcing f = sw_forcing_made(60, 300, 0);
    fill_column(f.load_w[SW_BUS_DC][SW_MUST], 0, f.steps, 30.0);
    fill_column(f.cabin_c, 0, 40, -10.0);
    sw_variant v = sw_plain_variant(SW_LIFEPO4);
    v.start_c = -10.0;
    v.start_soc = 0.24;
    v.temperature_lag_h = 1e-3;
    record r = marched(&f, &v);
    /* Table of the chemistry: 0.78 of the capacity at -10 degC, so 0.22 of the charge is locked. */
    ck_assert_double_eq(r.flow[39].served_w[0], 0.0);
    ck_assert_double_eq(r.flow[39].cut_off[0], 1.0);
    ck_assert_double_ge(r.flow[39].soc[0], 0.22);
    ck_assert_double_lt(r.flow[39].soc[0], 0.22 + 30.0 / 12.0 / 13.0 / 100.0); /* less than one more step */
    ck_assert_double_eq(r.flow[20].soc[0], r.flow[39].soc[0]);                 /* locked, not lost */
    ck_assert_double_lt(r.flow[39].soc_reachable[0], 0.002);
    ck_assert_double_eq(r.flow[41].served_w[0], 30.0);
    ck_assert_double_eq_tol(r.flow[41].soc_reachable[0], r.flow[41].soc[0], 1e-12);
    forget(&r);
    sw_forcing_unmake(&f);
}
END_TEST

/* LiFePO4 at -10 degC reaches 0.78 of its charge: a bank that shows half of the usual loss 0.89, one and a
   half of it 0.67, none of it all. */
START_TEST(a_bank_that_loses_less_in_cold_reaches_more)
{
    static const double spared[] = {0.0, 0.5, -0.5, 1.0}, reaches[] = {0.78, 0.89, 0.67, 1.0};
    for (int i = 0; i < 4; i++) {
        sw_forcing f = sw_forcing_made(2, 300, 0);
        sw_variant v = sw_plain_variant(SW_LIFEPO4);
        fill_column(f.cabin_c, 0, f.steps, -10.0);
        v.start_c = -10.0;
        v.start_soc = 0.9;
        v.cold_spared = spared[i];
        record r = marched(&f, &v);
        ck_assert_double_eq_tol(r.flow[0].soc_reachable[0], r.flow[0].soc[0] - (1.0 - reaches[i]), 1e-12);
        forget(&r);
        sw_forcing_unmake(&f);
    }
}
END_TEST

START_TEST(a_high_rate_locks_charge_and_rest_gives_it_back)
{
    sw_forcing f = sw_forcing_made(6 * 60, 60, 0);
    fill_column(f.load_w[SW_BUS_DC][SW_MUST], 0, 3 * 60, 450.0);
    fill_column(f.load_w[SW_BUS_DC][SW_MUST], 5 * 60, 60, 10.0);
    sw_variant v = sw_plain_variant(SW_AGM);
    v.start_soc = 1.0;
    record r = marched(&f, &v);
    int32_t last = 0;
    while (last + 1 < 180 && r.flow[last + 1].served_w[0] > 0.0)
        last++;
    ck_assert_int_lt(last, 179);
    /* Peukert, exponent 1.10, 20-hour current 5 A, of the mean over an hour: own exponential mean of the
     * currents. */
    double mean_a = 0.0;
    for (int32_t n = 0; n <= last; n++)
        mean_a += (r.flow[n].battery_a[0] - mean_a) * (1.0 - exp(-1.0 / 60.0));
    double floor = 1.0 - pow(mean_a / 5.0, -0.10);
    ck_assert_double_gt(floor, 0.15);
    /* The march's chords lie up to 0.4 % of the capacity above the power, so its floor up to 0.4 points
       below; and the last whole step takes 0.65 Ah, 0.65 points, and may not fit. */
    ck_assert_double_ge(r.flow[last].soc[0], floor - 0.004);
    ck_assert_double_le(r.flow[last].soc[0], floor + 0.0065);
    ck_assert_double_eq(r.flow[299].soc[0], r.flow[179].soc[0]); /* two hours at rest: nothing lost */
    ck_assert_double_gt(r.flow[299].soc_reachable[0], r.flow[last].soc_reachable[0] + 0.10);
    ck_assert_double_eq(r.flow[300].served_w[0], 10.0);
    forget(&r);
    sw_forcing_unmake(&f);
}
END_TEST

/* Every column of a flow is one sw_column, so that a lane can be taken out of all of them alike. */
static double *lane_of(sw_tile_flow *flow, size_t column, int lane)
{
    return (double *)flow + column * SW_TILE + lane;
}

START_TEST(a_lane_gives_the_same_bits_beside_strangers_as_alone)
{
    sw_random_case c = sw_random_case_made(11, 300);
    sw_variant v[SW_TILE];
    for (int lane = 0; lane < SW_TILE; lane++) {
        sw_random_case other = sw_random_case_made(100 + (unsigned long)lane, 300);
        v[lane] = other.variant;
        v[lane].thermals = 2; /* one shape: lane 0's kinds and buses */
        for (int t = 0; t < 2; t++)
            v[lane].thermal[t] = (sw_thermal){4.0, 21.0, 10.0 + lane + t, 50.0, (sw_bus)t, SW_WANT};
        sw_random_case_unmake(&other);
    }
    record together = marched_tile(&c.forcing, v);
    size_t columns = sizeof(sw_tile_flow) / sizeof(sw_column), different = 0;
    for (int lane = 0; lane < SW_TILE; lane++) {
        record alone = marched(&c.forcing, &v[lane]);
        for (int32_t n = 0; n < c.forcing.steps; n++) {
            for (size_t column = 0; column < columns; column++) {
                double *here = lane_of(&together.flow[n], column, lane),
                       *there = lane_of(&alone.flow[n], column, 0);
                ck_assert_msg(memcmp(here, there, sizeof *here) == 0, "lane %d step %d column %zu: %a %a",
                              lane, (int)n, column, *here, *there);
                different += *here != *lane_of(&together.flow[n], column, 0);
            }
        }
        forget(&alone);
    }
    ck_assert_uint_gt(different, 10000); /* they were strangers indeed */
    forget(&together);
    sw_random_case_unmake(&c);
}
END_TEST

START_TEST(a_fridge_follows_its_power_law_up_to_the_compressor)
{
    static const double cabin_c[] = {25.0, 35.0, 14.5, 4.0, -10.0, 60.0};
    sw_forcing f = sw_forcing_made(6, 300, 0);
    memcpy(f.cabin_c, cabin_c, sizeof cabin_c);
    sw_variant v = sw_plain_variant(SW_LIFEPO4);
    v.thermals = 1;
    v.thermal[0] = (sw_thermal){4.0, 21.0, 20.0, 60.0, SW_BUS_DC, SW_MUST};
    record r = marched(&f, &v);
    for (int n = 0; n < 6; n++) {
        double rise_k = fmax(0.0, cabin_c[n] - 4.0);
        double watts = 20.0 * (rise_k / 21.0) * ((rise_k + 25.0) / 46.0);
        ck_assert_double_eq_tol(r.flow[n].thermal_w[0][0], fmin(60.0, watts), 1e-12);
        ck_assert_double_eq_tol(r.flow[n].thermal_short_w[0][0], fmax(0.0, watts - 60.0), 1e-12);
        ck_assert_double_eq_tol(r.flow[n].served_w[0], fmin(60.0, watts), 1e-12);
    }
    ck_assert_double_eq_tol(r.flow[0].thermal_w[0][0], 20.0, 1e-12);
    ck_assert_double_gt(r.flow[5].thermal_short_w[0][0], 10.0);
    forget(&r);
    sw_forcing_unmake(&f);
}
END_TEST

START_TEST(an_ac_fridge_counts_its_compressor_only_while_it_runs)
{
    sw_forcing f = sw_forcing_made(2, 300, 0);
    f.cabin_c[1] = 0.0; /* colder than the fridge */
    set_flags(&f, 0, 2, SW_STEP_INVERTER);
    set_ac(&f, SW_CAN_WAIT, 0, 2, 250.0);
    sw_variant v = sw_plain_variant(SW_LIFEPO4);
    v.inverter_w = 300.0;
    v.thermals = 1;
    v.thermal[0] = (sw_thermal){4.0, 21.0, 20.0, 80.0, SW_BUS_AC, SW_MUST};
    record r = marched(&f, &v);
    ck_assert_double_eq(r.flow[0].served_share[SW_BUS_AC][SW_CAN_WAIT][0], 0.0); /* 250 + 80 of 300 W */
    ck_assert_double_eq(r.flow[0].inverter_overload_w[0], 30.0);
    ck_assert_double_eq(r.flow[1].served_share[SW_BUS_AC][SW_CAN_WAIT][0], 1.0);
    ck_assert_double_eq(r.flow[1].inverter_overload_w[0], 0.0);
    forget(&r);
    sw_forcing_unmake(&f);
}
END_TEST

START_TEST(sources_serve_in_order_solar_alternator_charger)
{
    static const double house_w[] = {0.0, 30.0, 120.0, 170.0, 400.0};
    sw_forcing f = sw_forcing_made(5, 300, 1);
    fill_column(f.yield[0], 0, 5, 0.5);
    fill_column(f.cell_c[0], 0, 5, 45.0);
    fill_column(f.cruise_share, 0, 5, 0.75);
    fill_column(f.idle_share, 0, 5, 0.25);
    set_flags(&f, 0, 5, SW_STEP_SHORE);
    fill_column(f.pedestal_va, 0, 5, 1000.0);
    fill_column(f.pedestal_steady_share, 0, 5, 1.0);
    memcpy(f.load_w[SW_BUS_DC][SW_MUST], house_w, sizeof house_w);
    sw_variant v = sw_plain_variant(SW_LIFEPO4);
    v.array_w[0] = 250.0;
    v.array_gamma[0] = -0.004;
    v.array_keep[0] = 0.9;
    v.controller_efficiency = 0.96;
    v.alternator_cruise_w = 60.0;
    v.alternator_idle_w = 20.0;
    v.inlet_va = 1000.0;
    v.charger_w = 100.0;
    v.start_soc = 1.0; /* full: takes nothing until the fifth step */
    record r = marched(&f, &v);
    double solar_w = 250.0 * 0.9 * 0.5 * (1.0 - 0.004 * 20.0) * 0.96; /* 99.4 W */
    double alternator_w = 0.75 * 60.0 + 0.25 * 20.0;
    for (int n = 0; n < 5; n++) {
        const sw_tile_flow *flow = &r.flow[n];
        double left_w = house_w[n];
        ck_assert_double_eq_tol(flow->solar_offered_w[0], solar_w, 1e-12);
        ck_assert_double_eq_tol(flow->alternator_offered_w[0], alternator_w, 1e-12);
        ck_assert_double_eq_tol(flow->solar_used_w[0], fmin(solar_w, left_w), 1e-12);
        left_w -= fmin(solar_w, left_w);
        ck_assert_double_eq_tol(flow->alternator_used_w[0], fmin(alternator_w, left_w), 1e-12);
        left_w -= fmin(alternator_w, left_w);
        ck_assert_double_eq_tol(flow->charger_out_w[0], fmin(100.0, left_w), 1e-12);
        left_w -= fmin(100.0, left_w);
        ck_assert_double_eq_tol(flow->battery_w[0], left_w, 1e-12);
    }
    ck_assert_double_gt(r.flow[4].battery_w[0], 100.0);
    forget(&r);
    sw_forcing_unmake(&f);
}
END_TEST

START_TEST(charging_takes_the_surplus_in_the_same_order_and_spills_the_rest)
{
    sw_forcing f = sw_forcing_made(1, 300, 1);
    fill_column(f.yield[0], 0, 1, 1.0);
    fill_column(f.cruise_share, 0, 1, 1.0);
    fill_column(f.load_w[SW_BUS_DC][SW_WANT], 0, 1, 40.0);
    sw_variant v = sw_plain_variant(SW_LIFEPO4);
    v.array_w[0] = 400.0;
    v.array_keep[0] = 1.0;
    v.alternator_cruise_w = 100.0;
    v.controller_limit_a = 20.0;
    v.charge_limit_a = 15.0;
    record r = marched(&f, &v);
    const sw_tile_flow *flow = &r.flow[0];
    double limit_w =
        20.0 * ocv_v(&v, 0.5); /* 264.7 W; the battery takes about 15 A x 13.4 V = 201 W, the load 40 W */
    ck_assert_double_eq_tol(flow->solar_offered_w[0], limit_w, 1e-10);
    ck_assert_double_eq_tol(flow->solar_clipped_w[0], 400.0 - limit_w, 1e-10);
    ck_assert_double_eq_tol(-flow->battery_a[0], 15.0, 1e-9);
    double u_mean =
        0.5 * (ocv_v(&v, 0.5) + ocv_v(&v, flow->soc[0])); /* straight between the knots at 0.4 and 0.6 */
    ck_assert_double_eq_tol(-flow->battery_w[0], 15.0 * u_mean + 0.010 * 15.0 * 15.0, 1e-9);
    ck_assert_double_eq_tol(flow->solar_used_w[0], 40.0 - flow->battery_w[0], 1e-10);
    ck_assert_double_eq(flow->alternator_used_w[0], 0.0);
    ck_assert_double_eq_tol(flow->soc[0], 0.5 + 15.0 * 0.995 / 12.0 / 100.0,
                            1e-12); /* 0.5 % lost on the way in */
    ck_assert_double_eq_tol(flow->coulombic_loss_w[0], 15.0 * 0.005 * u_mean, 1e-9);
    forget(&r);
    sw_forcing_unmake(&f);
}
END_TEST

START_TEST(the_battery_warms_as_an_exponential)
{
    sw_forcing f = sw_forcing_made(288, 300, 0);
    fill_column(f.air_c, 0, 288, -12.0);
    fill_column(f.cabin_c, 0, 288, 18.0);
    sw_variant v[SW_TILE];
    for (int lane = 0; lane < SW_TILE; lane++) {
        v[lane] = sw_plain_variant(SW_LIFEPO4);
        v[lane].outside = lane % 2;
        v[lane].temperature_lag_h = 0.5 + lane;
        v[lane].start_c = 30.0;
    }
    record r = marched_tile(&f, v);
    for (int32_t n = 0; n < 288; n++) {
        for (int lane = 0; lane < SW_TILE; lane++) {
            double place_c = lane % 2 ? -12.0 : 18.0;
            double want_c = place_c + (30.0 - place_c) * exp(-n / 12.0 / (0.5 + lane));
            ck_assert_double_eq_tol(r.flow[n].battery_c[lane], want_c, 1e-12); /* 288 roundings of 4e-15 */
        }
    }
    forget(&r);
    sw_forcing_unmake(&f);
}
END_TEST

START_TEST(a_battery_left_alone_loses_charge_as_its_rates_say)
{
    sw_forcing f = sw_forcing_made(30 * 24, 3600, 0);
    sw_variant v = sw_plain_variant(SW_LIFEPO4);
    v.self_discharge_month = 0.03;
    record r = marched(&f, &v);
    /* q' = -0.03 q per 30 days, to e^-0.03; steps of 1/720 of it err by 0.03^2/720/2 = 6e-7. */
    ck_assert_double_eq_tol(r.flow[719].soc[0], 0.5 * exp(-0.03), 4e-7);
    ck_assert_double_eq(r.flow[719].battery_a[0], 0.0);
    forget(&r);
    v.self_discharge_month = 0.0;
    v.management_w = 0.5;
    v.start_soc = 0.59;
    r = marched(&f, &v);
    ck_assert_double_eq_tol(r.flow[9].self_loss_w[0], 0.5, 1e-5); /* U moves by 1e-5 of itself in an hour */
    ck_assert_double_eq_tol(r.flow[99].soc[0], 0.59 - 100 * 0.5 / 13.25 / 100.0,
                            1e-4); /* 13.25 V within 0.1 % */
    v.start_soc = 0.0;             /* what is empty stays at empty */
    forget(&r);
    r = marched(&f, &v);
    ck_assert_double_eq(r.flow[719].soc[0], 0.0);
    ck_assert_double_eq(r.flow[719].self_loss_w[0], 0.0);
    forget(&r);
    sw_forcing_unmake(&f);
}
END_TEST

START_TEST(loads_that_can_wait_are_held_back_below_their_line)
{
    sw_forcing f = sw_forcing_made(48, 300, 0);
    fill_column(f.load_w[SW_BUS_DC][SW_CAN_WAIT], 0, 48, 60.0);
    fill_column(f.load_w[SW_BUS_DC][SW_WANT], 0, 48, 20.0);
    sw_variant v = sw_plain_variant(SW_LIFEPO4);
    v.hold_back_below = 0.45;
    record r = marched(&f, &v);
    double soc = v.start_soc;
    for (int32_t n = 0; n < 48; n++) {
        ck_assert_double_eq(r.flow[n].served_share[SW_BUS_DC][SW_CAN_WAIT][0], soc < 0.45 ? 0.0 : 1.0);
        ck_assert_double_eq(r.flow[n].served_share[SW_BUS_DC][SW_WANT][0], 1.0);
        soc = r.flow[n].soc[0];
    }
    ck_assert_double_lt(soc, 0.45);
    forget(&r);
    sw_forcing_unmake(&f);
}
END_TEST

START_TEST(a_value_that_is_not_a_number_does_not_pass_as_balanced)
{
    sw_forcing f = sw_forcing_made(3, 300, 0);
    f.load_w[SW_BUS_DC][SW_MUST][1] = NAN;
    sw_variant v = sw_plain_variant(SW_LIFEPO4);
    sw_tile_plan plan;
    sw_tile_state state;
    for (int lane = 0; lane < SW_TILE; lane++)
        sw_tile_set(&plan, &state, lane, &v, f.step_s);
    ck_assert_int_eq(sw_march(&f, &plan, &state, NULL, NULL), SW_UNBALANCED);
    sw_forcing_unmake(&f);
}
END_TEST

Suite *sw_suite(void)
{
    const TTest *const tests[] = {
        three_constant_loads_draw_what_the_battery_equation_says,
        charging_goes_on_the_edge_of_its_limits_until_full,
        the_absorption_voltage_bounds_a_strong_charger,
        the_absorption_voltage_of_agm_follows_its_temperature,
        cold_forbids_charging_then_ramps_it,
        shore_carries_ac_first_and_drops_whole_classes_beyond_its_limit,
        the_inverter_drops_whole_classes_by_their_power_of_a_moment,
        low_voltage_trips_the_inverter_until_its_restart_level,
        an_almost_empty_battery_gives_up_classes_in_order,
        below_its_cut_out_voltage_a_battery_counts_as_empty,
        a_battery_cut_off_comes_back_at_its_restart_level,
        a_charger_brings_lead_back,
        a_source_beside_a_full_battery_counts,
        a_voltage_at_its_cut_out_is_want_of_charge,
        what_closes_ac_is_the_reason_for_all_behind_it,
        behind_a_battery_cut_off_ac_is_lost_as_empty,
        a_management_system_comes_back_by_itself_by_a_charger_or_by_hand,
        cold_locks_charge_and_warmth_gives_it_back,
        a_bank_that_loses_less_in_cold_reaches_more,
        a_high_rate_locks_charge_and_rest_gives_it_back,
        a_lane_gives_the_same_bits_beside_strangers_as_alone,
        a_fridge_follows_its_power_law_up_to_the_compressor,
        an_ac_fridge_counts_its_compressor_only_while_it_runs,
        sources_serve_in_order_solar_alternator_charger,
        charging_takes_the_surplus_in_the_same_order_and_spills_the_rest,
        the_battery_warms_as_an_exponential,
        a_battery_left_alone_loses_charge_as_its_rates_say,
        loads_that_can_wait_are_held_back_below_their_line,
        a_value_that_is_not_a_number_does_not_pass_as_balanced,
        NULL,
    };
    return sw_suite_of("march", tests, 60);
}
