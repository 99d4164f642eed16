// The march: a heater under the bank, limits in heat and deep cold, controllers that hold the panels at the
// battery's voltage, relays. Each against arithmetic of the test's own.
#include "stillwatt/march.h"
#include "support/checks.h"
#include "support/random_case.h"

#include <math.h>
#include <stdlib.h>

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

static record marched(const sw_forcing *f, const sw_variant *v)
{
    sw_tile_plan plan;
    sw_tile_state state;
    for (int lane = 0; lane < SW_TILE; lane++)
        sw_tile_set(&plan, &state, lane, v, f->step_s);
    record r = {0, calloc((size_t)f->steps, sizeof *r.flow)};
    ck_assert_ptr_nonnull(r.flow);
    ck_assert_int_eq(sw_march(f, &plan, &state, keep, &r), SW_OK);
    return r;
}

static double ocv_v(const sw_variant *v, double soc)
{
    return v->units_12v * sw_curve_at(&sw_chemistry_of(v->chemistry)->open_circuit_v, soc);
}

// ---- heater ----

/* A bank of 23 kg outside at -12 degC, which it follows with 6 h: C is 23/3.6 Wh/K, and keeping it 17 K over
   the air takes C/lag x 17 K = 18.1 W. */
#define HEAT_WH_K (23.0 / 3.6)
#define KEEPING_W (HEAT_WH_K / 6.0 * 17.0)

static sw_variant cold_bank(double pad_w, int needs_charger)
{
    sw_variant v = sw_plain_variant(SW_LIFEPO4);
    v.cold_stop_c = 0.0;
    v.cold_full_c = 10.0;
    v.outside = 1;
    v.temperature_lag_h = 6.0;
    v.heat_wh_k = HEAT_WH_K;
    v.pad_w = pad_w;
    v.pad_set_c = 5.0;
    v.pad_needs_charger = needs_charger;
    v.start_c = -12.0;
    return v;
}

static sw_forcing at_minus_12(int32_t steps, int32_t step_s)
{
    sw_forcing f = sw_forcing_made(steps, step_s, 0);
    fill_column(f.air_c, 0, steps, -12.0);
    return f;
}

/* The slow way: C dT/dt = C/lag (air - T) + P, second by second. */
static double warmed_c(double from_c, double watts, double hours)
{
    double t = from_c;
    for (int s = 0; s < (int)(hours * 3600.0 + 0.5); s++)
        t += ((-12.0 - t) / 6.0 + watts / HEAT_WH_K) / 3600.0;
    return t;
}

START_TEST(a_heater_warms_the_bank_and_then_keeps_it_at_its_set_point)
{
    sw_forcing f = at_minus_12(10 * 12, 300);
    sw_variant v = cold_bank(60.0, 0);
    record r = marched(&f, &v);
    int32_t n = 0;
    for (; r.flow[n].pad_w[0] >= 60.0; n++) {
        double expected = warmed_c(-12.0, 60.0, n / 12.0);
        ck_assert_msg(fabs(r.flow[n].battery_c[0] - expected) < 2e-3, "step %d: %.4f C, expected %.4f",
                      (int)n, r.flow[n].battery_c[0], expected);
    }
    // 60 W would end 56 K over the air: 17 K of that are reached after -6 h ln(1 - 17/56.3) = 2.16 h.
    double reached_h = -6.0 * log(1.0 - 17.0 * HEAT_WH_K / (60.0 * 6.0));
    ck_assert_int_eq(n, (int32_t)(reached_h * 12.0));
    for (n += 2; n < f.steps; n++) {
        ck_assert_double_eq_tol(r.flow[n].battery_c[0], 5.0, 1e-9);
        ck_assert_double_eq_tol(r.flow[n].pad_w[0], KEEPING_W, 1e-9);
        ck_assert_double_eq_tol(r.flow[n].battery_w[0], KEEPING_W, 1e-9); // nothing else is on
    }
    free(r.flow);
    sw_forcing_unmake(&f);
}
END_TEST

/* Whatever the step, the bank gets as warm; 12 W are not enough for the set point. */
START_TEST(a_weak_heater_warms_alike_in_steps_of_any_length)
{
    static const int32_t step_s[] = {60, 300, 900, 3600};
    double expected = -12.0 + 12.0 * 6.0 / HEAT_WH_K * (1.0 - exp(-9.0 / 6.0));
    for (size_t i = 0; i < sizeof step_s / sizeof step_s[0]; i++) {
        int32_t steps = 9 * 3600 / step_s[i] + 1;
        sw_forcing f = at_minus_12(steps, step_s[i]);
        sw_variant v = cold_bank(12.0, 0);
        record r = marched(&f, &v);
        ck_assert_double_eq_tol(r.flow[steps - 1].battery_c[0], expected, 1e-9);
        free(r.flow);
        sw_forcing_unmake(&f);
    }
}
END_TEST

/* 100 W are on offer from the third step on: 60 W for the heater while it is too cold to charge, and the bank
   takes the rest only once it is over 0 degC; before that, nothing at all. */
START_TEST(a_heater_that_needs_a_charger_waits_for_one)
{
    sw_forcing f = at_minus_12(10 * 12, 300);
    fill_column(f.cruise_share, 2, f.steps - 2, 1.0);
    sw_variant v = cold_bank(60.0, 1);
    v.alternator_cruise_w = 100.0;
    record r = marched(&f, &v);
    for (int n = 0; n < 2; n++)
        ck_assert_double_eq(r.flow[n].pad_w[0], 0.0);
    ck_assert_double_eq_tol(r.flow[1].battery_c[0], -12.0, 1e-12);
    for (int32_t n = 2; n < f.steps; n++) {
        const sw_tile_flow *flow = &r.flow[n];
        ck_assert_double_le(flow->battery_w[0], 1e-9); // the battery gives it nothing
        if (flow->battery_c[0] <= 0.0) {
            ck_assert_double_eq_tol(flow->pad_w[0], 60.0, 1e-9);
            ck_assert_double_eq_tol(flow->alternator_used_w[0], 60.0, 1e-9);
            ck_assert_double_eq_tol(flow->cold_blocked_w[0], 40.0, 1e-9);
        }
    }
    const sw_tile_flow *last = &r.flow[f.steps - 1];
    ck_assert_double_eq_tol(last->pad_w[0], KEEPING_W, 1e-9);
    ck_assert_double_eq_tol(last->alternator_used_w[0], 100.0, 1e-9);
    ck_assert_double_eq_tol(last->battery_w[0], KEEPING_W - 100.0, 1e-9);
    free(r.flow);
    sw_forcing_unmake(&f);
}
END_TEST

/* The house comes before it: 70 W of DC loads leave 30 of 100 W. */
START_TEST(the_house_comes_before_a_heater_that_needs_a_charger)
{
    sw_forcing f = at_minus_12(1, 300);
    fill_column(f.cruise_share, 0, 1, 1.0);
    fill_column(f.load_w[SW_BUS_DC][SW_WANT], 0, 1, 70.0);
    fill_column(f.dc_peak_w[SW_WANT], 0, 1, 70.0);
    sw_variant v = cold_bank(60.0, 1);
    v.alternator_cruise_w = 100.0;
    record r = marched(&f, &v);
    ck_assert_double_eq_tol(r.flow[0].pad_w[0], 30.0, 1e-9);
    ck_assert_double_eq_tol(r.flow[0].served_w[0], 70.0, 1e-12);
    ck_assert_double_eq_tol(r.flow[0].battery_w[0], 0.0, 1e-9);
    free(r.flow);
    sw_forcing_unmake(&f);
}
END_TEST

/* With little left it is the heater that goes, not the loads. */
START_TEST(a_heater_gives_way_where_the_charge_does_not_last)
{
    sw_forcing f = at_minus_12(1, 3600);
    fill_column(f.load_w[SW_BUS_DC][SW_MUST], 0, 1, 5.0);
    fill_column(f.dc_peak_w[SW_MUST], 0, 1, 5.0);
    sw_variant v = cold_bank(60.0, 0);
    v.start_soc = 0.26; // 24 % are locked at -12 C; some 2 Ah, 25 Wh, are there
    record r = marched(&f, &v);
    ck_assert_double_eq(r.flow[0].pad_w[0], 0.0);
    ck_assert_double_eq(r.flow[0].served_w[0], 5.0);
    ck_assert_double_eq(r.flow[0].cut_off[0], 0.0);
    free(r.flow);
    sw_forcing_unmake(&f);
}
END_TEST

// ---- heat and deep cold ----

START_TEST(heat_ramps_charging_down_and_then_forbids_it)
{
    static const double air_c[] = {40.0, 45.0, 47.5, 50.0, 55.0, 60.0};
    static const double share[] = {1.0, 1.0, 0.75, 0.5, 0.0, 0.0};
    for (int i = 0; i < 6; i++) {
        sw_forcing f = sw_forcing_made(1, 300, 0);
        fill_column(f.cruise_share, 0, 1, 1.0);
        sw_variant v = sw_plain_variant(SW_LIFEPO4);
        v.hot_full_c = 45.0;
        v.hot_stop_c = 55.0;
        v.charge_limit_a = 40.0;
        v.alternator_cruise_w = 600.0; // more than 40 A
        v.start_c = air_c[i];
        record r = marched(&f, &v);
        ck_assert_double_eq_tol(-r.flow[0].battery_a[0], 40.0 * share[i], 1e-9);
        ck_assert_double_eq(r.flow[0].cold_blocked_w[0], 0.0);
        ck_assert_int_eq(r.flow[0].hot_blocked_w[0] > 0.0, share[i] < 1.0);
        if (share[i] == 0.0) { // what 40 A would have been: U I + R I^2, U a little over where it began
            double u = ocv_v(&v, 0.5), ohm = 0.010 * 0.8;
            ck_assert_double_eq_tol(r.flow[0].hot_blocked_w[0], u * 40.0 + ohm * 1600.0, 1.0);
        }
        free(r.flow);
        sw_forcing_unmake(&f);
    }
}
END_TEST

START_TEST(a_battery_in_deep_cold_gives_nothing_and_sources_still_do)
{
    sw_forcing f = sw_forcing_made(2, 300, 0);
    fill_column(f.cruise_share, 1, 1, 1.0);
    fill_column(f.load_w[SW_BUS_DC][SW_MUST], 0, 2, 20.0);
    fill_column(f.dc_peak_w[SW_MUST], 0, 2, 20.0);
    for (int i = 0; i < 2; i++) {
        sw_variant v = sw_plain_variant(SW_LIFEPO4);
        v.discharge_stop_c = -20.0;
        v.alternator_cruise_w = 50.0;
        v.temperature_lag_h = 1e6;
        v.start_c = i == 0 ? -20.0 : -19.9;
        record r = marched(&f, &v);
        ck_assert_double_eq(r.flow[0].served_w[0], i == 0 ? 0.0 : 20.0);
        ck_assert_double_eq(r.flow[1].served_w[0], 20.0);
        ck_assert_double_eq(r.flow[0].lost[SW_BUS_DC][SW_MUST][0], i == 0 ? SW_LOST_EMPTY : SW_KEPT);
        free(r.flow);
    }
    sw_forcing_unmake(&f);
}
END_TEST

// ---- panels held at the battery's voltage ----

/* 200 W with 18.6 V at their best, cells at 25 degC, a battery of U: 200 U/18.6; at 60 degC the current
   is 1.75 % higher and the best voltage 12.6 % lower, 16.26 V. Above the best voltage it falls to nothing
   at 1.2 of it. */
START_TEST(a_simple_controller_gives_the_current_of_the_panels_at_the_batterys_voltage)
{
    static const struct {
        double cell_c, best_v;
    } cases[] = {{25.0, 18.6}, {60.0, 18.6}, {25.0, 13.0}, {25.0, 12.0}, {60.0, 14.0}, {25.0, 10.0}};
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
        sw_forcing f = sw_forcing_made(1, 300, 1);
        fill_column(f.yield[0], 0, 1, 0.8);
        fill_column(f.cell_c[0], 0, 1, cases[i].cell_c);
        sw_variant v = sw_plain_variant(SW_LIFEPO4);
        v.array_w[0] = 200.0;
        v.array_keep[0] = 1.0;
        v.array_gamma[0] = -0.0036;
        v.array_held_v[0] = cases[i].best_v;
        record r = marched(&f, &v);
        double u = ocv_v(&v, 0.5), hot = 1.0 - 0.0036 * (cases[i].cell_c - 25.0);
        double best = 200.0 * 0.8 * hot, best_v = cases[i].best_v * hot;
        double current = 200.0 / cases[i].best_v * 0.8 * (1.0 + 0.0005 * (cases[i].cell_c - 25.0));
        double beyond = (u - best_v) / (0.2 * best_v); // 0 at the best voltage, 1 where they are open
        double held = u * current * fmin(1.0, fmax(0.0, 1.0 - beyond));
        ck_assert_double_eq_tol(r.flow[0].solar_offered_w[0], fmin(best, held), 1e-6);
        ck_assert_double_eq_tol(r.flow[0].solar_clipped_w[0], best - fmin(best, held), 1e-6);
        free(r.flow);
        sw_forcing_unmake(&f);
    }
}
END_TEST

// ---- relay ----

/* 14.2 V over 10 mohm of cable and 10 mohm of battery: (14.2 - U)/0.02 A, at most what can be spared; at the
   bank's terminals the cable has taken its part. */
START_TEST(a_relay_carries_what_the_difference_of_voltages_drives)
{
    static const struct {
        double spare_a, relay_v, idle;
    } cases[] = {
        {100.0, 14.2, 0.0}, {30.0, 14.2, 0.0}, {100.0, 13.3, 0.0}, {100.0, 12.7, 0.0}, {100.0, 14.2, 1.0}};
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
        sw_forcing f = sw_forcing_made(1, 300, 0);
        fill_column(cases[i].idle > 0.0 ? f.idle_share : f.cruise_share, 0, 1, 1.0);
        sw_variant v = sw_plain_variant(SW_LIFEPO4);
        v.relay_v = cases[i].relay_v;
        v.relay_ohm = 0.010;
        v.relay_cruise_a = cases[i].spare_a;
        v.relay_idle_a = 20.0;
        record r = marched(&f, &v);
        double u = ocv_v(&v, 0.5), driven_a = fmax(0.0, cases[i].relay_v - u) / 0.020;
        double spare_a = cases[i].idle > 0.0 ? 20.0 : cases[i].spare_a, a = fmin(driven_a, spare_a);
        ck_assert_double_eq_tol(r.flow[0].alternator_offered_w[0], a * (cases[i].relay_v - 0.010 * a), 1e-6);
        ck_assert_double_eq_tol(r.flow[0].alternator_overload_a[0], fmax(0.0, driven_a - spare_a), 1e-6);
        free(r.flow);
        sw_forcing_unmake(&f);
    }
}
END_TEST

/* Lead takes what it misses in 1.5 h: of 100 Ah at half 33 A, at nine tenths 6.7 A, whatever the voltages
   drive. Lithium takes all until it is full, and nothing at 0 C. */
START_TEST(what_a_battery_does_not_take_overloads_no_alternator)
{
    static const struct {
        sw_chemistry chemistry;
        double start_soc, air_c, taken_a;
    } cases[] = {{SW_AGM, 0.4, 25.0, 40.0},      {SW_AGM, 0.5, 25.0, 33.333},   {SW_AGM, 0.9, 25.0, 6.667},
                 {SW_AGM, 1.0, 25.0, 0.0},       {SW_LIFEPO4, 0.5, 25.0, 48.2}, {SW_LIFEPO4, 1.0, 25.0, 0.0},
                 {SW_LIFEPO4, 0.98, 25.0, 24.0}, {SW_LIFEPO4, 0.5, -1.0, 0.0}};
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
        sw_forcing f = sw_forcing_made(1, 300, 0);
        fill_column(f.cruise_share, 0, 1, 1.0);
        fill_column(f.cabin_c, 0, 1, cases[i].air_c);
        sw_variant v = sw_plain_variant(cases[i].chemistry);
        v.start_soc = cases[i].start_soc;
        v.start_c = cases[i].air_c;
        v.cold_stop_c = 0.0;
        v.relay_v = 14.2;
        v.relay_ohm = 0.010;
        v.relay_cruise_a = 20.0;
        record r = marched(&f, &v);
        ck_assert_double_eq(v.rated_ah * v.health, 100.0);
        ck_assert_msg(fabs(r.flow[0].alternator_overload_a[0] - fmax(0.0, cases[i].taken_a - 20.0)) < 0.1,
                      "case %zu: %g A", i, r.flow[0].alternator_overload_a[0]);
        free(r.flow);
        sw_forcing_unmake(&f);
    }
}
END_TEST

/* A full bank takes nothing; the 600 W of the house come through the relay all the same, 600/13.6 = 44 A. */
START_TEST(what_the_house_draws_through_a_relay_counts)
{
    sw_forcing f = sw_forcing_made(1, 300, 0);
    fill_column(f.cruise_share, 0, 1, 1.0);
    fill_column(f.load_w[SW_BUS_DC][SW_MUST], 0, 1, 600.0);
    sw_variant v = sw_plain_variant(SW_LIFEPO4);
    v.start_soc = 1.0;
    v.relay_v = 14.4;
    v.relay_ohm = 0.010;
    v.relay_cruise_a = 20.0;
    record r = marched(&f, &v);
    ck_assert_double_eq_tol(r.flow[0].alternator_overload_a[0], 600.0 / 13.615 - 20.0, 0.2);
    free(r.flow);
    sw_forcing_unmake(&f);
}
END_TEST

/* A quarter cold: 300 W and a quarter of 80 W more; through a relay 30 A and a quarter of 20 A more. */
START_TEST(a_cold_alternator_has_more_to_spare)
{
    for (int idle = 0; idle < 2; idle++)
        for (int relay = 0; relay < 2; relay++) {
            sw_forcing f = sw_forcing_made(1, 300, 0);
            fill_column(idle ? f.idle_share : f.cruise_share, 0, 1, 1.0);
            fill_column(f.engine_cold, 0, 1, 0.25);
            sw_variant v = sw_plain_variant(SW_LIFEPO4);
            if (relay) {
                v.relay_v = 14.2;
                v.relay_ohm = 0.010;
                *(idle ? &v.relay_idle_a : &v.relay_cruise_a) = 30.0;
                *(idle ? &v.relay_idle_cold_a : &v.relay_cruise_cold_a) = 20.0;
            } else {
                *(idle ? &v.alternator_idle_w : &v.alternator_cruise_w) = 300.0;
                *(idle ? &v.alternator_idle_cold_w : &v.alternator_cruise_cold_w) = 80.0;
            }
            record r = marched(&f, &v);
            double wanted_w = relay ? 35.0 * (14.2 - 0.35) : 320.0;
            ck_assert_double_eq_tol(r.flow[0].alternator_offered_w[0], wanted_w, 1e-9);
            free(r.flow);
            sw_forcing_unmake(&f);
        }
}
END_TEST

// ---- laid up ----

/* A fridge of 20 W at 25 degC and a controller of 1 W: laid up the compressor is off, behind an open main
   switch the controller too. */
START_TEST(laid_up_the_compressor_is_off_and_behind_the_switch_all)
{
    static const struct {
        int flags;
        double fridge_w, own_w;
    } cases[] = {{0, 20.0, 1.0}, {SW_STEP_STORED, 0.0, 1.0}, {SW_STEP_STORED | SW_STEP_CUT, 0.0, 0.0}};
    for (int i = 0; i < 3; i++) {
        sw_forcing f = sw_forcing_made(1, 300, 0);
        sw_variant v = sw_plain_variant(SW_LIFEPO4);
        f.flags[0] = (uint8_t)cases[i].flags;
        v.controller_self_w = 1.0;
        v.thermals = 1;
        v.thermal[0] = (sw_thermal){4.0, 21.0, 20.0, 60.0, SW_BUS_DC, SW_MUST};
        record r = marched(&f, &v);
        ck_assert_double_eq_tol(r.flow[0].thermal_w[0][0], cases[i].fridge_w, 1e-12);
        ck_assert_double_eq(r.flow[0].controller_self_w[0], cases[i].own_w);
        ck_assert_double_eq_tol(r.flow[0].battery_w[0], cases[i].fridge_w + cases[i].own_w, 1e-9);
        free(r.flow);
        sw_forcing_unmake(&f);
    }
}
END_TEST

Suite *sw_suite(void)
{
    const TTest *const tests[] = {
        a_heater_warms_the_bank_and_then_keeps_it_at_its_set_point,
        a_weak_heater_warms_alike_in_steps_of_any_length,
        a_heater_that_needs_a_charger_waits_for_one,
        the_house_comes_before_a_heater_that_needs_a_charger,
        a_heater_gives_way_where_the_charge_does_not_last,
        heat_ramps_charging_down_and_then_forbids_it,
        a_battery_in_deep_cold_gives_nothing_and_sources_still_do,
        a_simple_controller_gives_the_current_of_the_panels_at_the_batterys_voltage,
        what_a_battery_does_not_take_overloads_no_alternator,
        what_the_house_draws_through_a_relay_counts,
        a_relay_carries_what_the_difference_of_voltages_drives,
        a_cold_alternator_has_more_to_spare,
        laid_up_the_compressor_is_off_and_behind_the_switch_all,
        NULL,
    };
    return sw_suite_of("march, bank", tests, 60);
}
