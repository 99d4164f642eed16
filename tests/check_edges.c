// Values exactly at an edge: which side they belong to, in the sun's light, the inverter's figures and the
// march.
#include "stillwatt/battery.h"
#include "stillwatt/inverter.h"
#include "stillwatt/march.h"
#include "stillwatt/plane.h"
#include "stillwatt/sky.h"
#include "support/checks.h"
#include "support/random_case.h"

#include <math.h>
#include <string.h>

// ---- light ----

static const sw_sun_clock clock_now = {.extraterrestrial_w_m2 = 1361.0, .radius_au = 1.0};

/* The sun in the east, its middle on the horizon. */
static const sw_sun on_horizon = {
    .east = 1.0, .zenith_deg = 90.0, .apparent_zenith_deg = 89.5, .azimuth_deg = 90.0};

START_TEST(a_sun_on_the_horizon_is_down)
{
    sw_light clear = sw_clear_sky(&clock_now, &on_horizon, 0.0, 3.0);
    ck_assert(clear.ghi_w_m2 == 0.0 && clear.dni_w_m2 == 0.0 && clear.dhi_w_m2 == 0.0);
    sw_light split = sw_split(10.0, &clock_now, &on_horizon, 1000.0);
    ck_assert(split.ghi_w_m2 == 10.0 && split.dni_w_m2 == 0.0 && split.dhi_w_m2 == 10.0);
    sw_plane wall;
    sw_plane_sun sun;
    sw_plane_prepare(&(sw_tilt){90.0, 90.0}, &wall);
    sw_plane_sun_of(&wall, &clock_now, &on_horizon, &sun);
    ck_assert_double_eq(sun.cos_incidence, 0.0);
}
END_TEST

/* [erbs-1982] names the pieces "kt <= 0.22" and "kt <= 0.80". */
START_TEST(the_pieces_of_the_diffuse_share_hold_their_upper_ends)
{
    double kt = 0.8;
    ck_assert_double_eq(sw_diffuse_fraction(0.22), 1.0 - 0.09 * 0.22);
    ck_assert_double_eq_tol(
        sw_diffuse_fraction(kt),
        0.9511 - 0.1604 * kt + 4.388 * kt * kt - 16.638 * pow(kt, 3.0) + 12.336 * pow(kt, 4.0), 1e-13);
}
END_TEST

/* With the sun overhead the clearness is (DHI + DNI)/DHI, here exactly 1.5, where [perez-1990]'s fourth bin
   begins: F11 0.568, F12 0.187. */
START_TEST(a_clearness_on_the_edge_of_two_bins_is_of_the_upper_one)
{
    const sw_sun overhead = {.cos_zenith = 1.0};
    const sw_light light = {300.0, 100.0, 200.0};
    sw_plane flat;
    sw_plane_sun sun;
    sw_plane_light on;
    sw_plane_prepare(&(sw_tilt){30.0, 180.0}, &flat);
    sw_plane_sun_of(&flat, &clock_now, &overhead, &sun);
    sw_plane_light_of(&flat, &sun, &light, 0.0, &on);
    double brightness = 200.0 * sw_air_mass(0.0) / 1361.0, cosine = cos(acos(-1.0) / 6.0);
    double f1 = 0.568 + 0.187 * brightness, f2 = 0.109 - 0.152 * brightness;
    double sky = 200.0 * (f1 * cosine + (1.0 - f1) * (1.0 + cosine) / 2.0 + f2 * 0.5);
    ck_assert_double_eq_tol(on.sky_w_m2, sky, 1e-10);
}
END_TEST

// ---- inverter ----

/* Figures whose curve ends exactly at an edge, in numbers that a double holds: with both efficiencies 1/1.125
   the linear term is 0.125 - 2 p0. */
START_TEST(inverter_figures_at_an_edge)
{
    sw_inverter_curve c;
    double efficiency = 1.0 / 1.125;
    ck_assert_int_eq(sw_inverter_fit_curve(562.5, 1000.0, efficiency, efficiency, &c), SW_FIT_IDLE_TOO_HIGH);
    ck_assert_int_eq(sw_inverter_fit_curve(62.5, 1000.0, efficiency, efficiency, &c), SW_FIT_OK);
    ck_assert_double_eq(c.linear, 0.0);
    ck_assert_int_eq(sw_inverter_fit_curve(62.5, 1000.0, 1.0, 1.0, &c), SW_FIT_PEAK_NOT_BELOW_1);
}
END_TEST

// ---- march ----

static void keep(void *context, int32_t step, const sw_tile_flow *flow)
{
    if (step == 0)
        memcpy(context, flow, sizeof *flow);
}

/* One step of five minutes from a state that the caller may change. */
static sw_tile_flow one_step(const sw_forcing *f, const sw_variant *v, double inverter_out, double dc_out,
                             sw_tile_state *after)
{
    static sw_tile_plan plan;
    static sw_tile_flow flow;
    for (int lane = 0; lane < SW_TILE; lane++) {
        sw_tile_set(&plan, after, lane, v, f->step_s);
        after->inverter_out[lane] = inverter_out;
        after->dc_out[lane] = dc_out;
    }
    ck_assert_int_eq(sw_march(f, &plan, after, keep, &flow), SW_OK);
    return flow;
}

/* A battery at rest stands exactly at its open-circuit voltage. */
START_TEST(a_restart_level_that_is_just_reached_counts)
{
    sw_forcing f = sw_forcing_made(1, 300, 0);
    sw_variant v = sw_plain_variant(SW_LIFEPO4);
    sw_tile_state after;
    double rest_v = one_step(&f, &v, 0.0, 0.0, &after).battery_v[0];
    for (int above = 0; above < 2; above++) {
        v.inverter_restart_v = v.dc_restart_v = above ? nextafter(rest_v, 99.0) : rest_v;
        sw_tile_flow flow = one_step(&f, &v, 1.0, 1.0, &after);
        ck_assert_double_eq(flow.battery_v[0], rest_v);
        ck_assert_double_eq(after.inverter_out[0], above);
        ck_assert_double_eq(after.dc_out[0], above);
    }
    sw_forcing_unmake(&f);
}
END_TEST

START_TEST(loads_that_can_wait_run_at_their_line)
{
    sw_forcing f = sw_forcing_made(1, 300, 0);
    sw_variant v = sw_plain_variant(SW_LIFEPO4);
    sw_tile_state after;
    f.load_w[SW_BUS_DC][SW_CAN_WAIT][0] = 10.0;
    v.hold_back_below = 0.5;
    ck_assert_double_eq(one_step(&f, &v, 0.0, 0.0, &after).served_w[0], 10.0);
    v.hold_back_below = nextafter(0.5, 1.0);
    ck_assert_double_eq(one_step(&f, &v, 0.0, 0.0, &after).served_w[0], 0.0);
    sw_forcing_unmake(&f);
}
END_TEST

/* A hookup of 1000 VA, 800 of it for long: loads that take just that are carried, one that takes more is not.
 */
START_TEST(a_hookup_carries_what_just_fits)
{
    for (int steady = 0; steady < 2; steady++)
        for (int more = 0; more < 2; more++) {
            sw_forcing f = sw_forcing_made(1, 300, 0);
            sw_variant v = sw_plain_variant(SW_LIFEPO4);
            sw_tile_state after;
            double asked = steady ? 800.0 : 1000.0;
            f.flags[0] = SW_STEP_SHORE;
            f.pedestal_va[0] = 1000.0;
            f.pedestal_steady_share[0] = 0.8;
            asked = more ? nextafter(asked, 2000.0) : asked;
            f.load_w[SW_BUS_AC][SW_MUST][0] = f.peak_w[SW_MUST][0] = asked;
            f.steady_w[SW_MUST][0] = steady ? asked : 0.0;
            v.inlet_va = 3600.0;
            ck_assert_double_eq(one_step(&f, &v, 0.0, 0.0, &after).served_w[0], more ? 0.0 : asked);
            sw_forcing_unmake(&f);
        }
}
END_TEST

/* An empty battery cannot carry the inverter's idle draw; where nobody asks for anything on AC, or only for
   what is held back, that alone does not cut it off. */
START_TEST(an_idle_inverter_does_not_cut_the_battery_off)
{
    for (int held_back = 0; held_back < 2; held_back++) {
        sw_forcing f = sw_forcing_made(1, 300, 0);
        sw_variant v = sw_plain_variant(SW_LIFEPO4);
        sw_tile_state after;
        f.flags[0] = SW_STEP_INVERTER;
        f.load_w[SW_BUS_AC][SW_CAN_WAIT][0] = f.peak_w[SW_CAN_WAIT][0] = held_back ? 50.0 : 0.0;
        v.inverter_w = 300.0;
        v.inverter.idle_w = 10.0;
        v.hold_back_below = 0.5;
        v.start_soc = 0.0;
        sw_tile_flow flow = one_step(&f, &v, 0.0, 0.0, &after);
        ck_assert_double_eq(flow.inverter_loss_w[0], 0.0);
        ck_assert_double_eq(flow.cut_off[0], 0.0);
        f.load_w[SW_BUS_AC][SW_MUST][0] = f.peak_w[SW_MUST][0] = 50.0;
        ck_assert_double_eq(one_step(&f, &v, 0.0, 0.0, &after).cut_off[0], 1.0);
        sw_forcing_unmake(&f);
    }
}
END_TEST

/* Without DC loads the dearest AC class that is asked for speaks for the battery; one that is less dear and
   goes unserved does not cut it off. Half an ampere-hour lasts five minutes for some 60 W. */
START_TEST(the_dearest_ac_class_decides_whether_the_battery_is_empty)
{
    for (int dearest = 0; dearest < 2; dearest++) {
        sw_forcing f = sw_forcing_made(1, 300, 0);
        sw_variant v = sw_plain_variant(SW_LIFEPO4);
        sw_tile_state after;
        double must_w = dearest ? 200.0 : 20.0, want_w = 220.0 - must_w;
        f.flags[0] = SW_STEP_INVERTER;
        f.load_w[SW_BUS_AC][SW_MUST][0] = f.peak_w[SW_MUST][0] = must_w;
        f.load_w[SW_BUS_AC][SW_WANT][0] = f.peak_w[SW_WANT][0] = want_w;
        v.inverter_w = 300.0;
        v.inverter.idle_w = 10.0;
        v.start_soc = 0.005;
        sw_tile_flow flow = one_step(&f, &v, 0.0, 0.0, &after);
        ck_assert_double_eq(flow.served_w[0], dearest ? 0.0 : 20.0);
        ck_assert_double_eq(flow.cut_off[0], dearest);
        sw_forcing_unmake(&f);
    }
}
END_TEST

/* A battery that may give nothing: the alternator's 100 W carry loads of just that, DC or behind a lossless
   inverter, and none that take more. An AC fridge beside them takes nothing of what DC has at one moment. */
START_TEST(sources_alone_carry_what_just_fits)
{
    for (int bus = 0; bus < SW_BUS_COUNT; bus++)
        for (int more = 0; more < 2; more++) {
            sw_forcing f = sw_forcing_made(1, 300, 0);
            sw_variant v = sw_plain_variant(SW_LIFEPO4);
            sw_tile_state after;
            double asked = more ? nextafter(100.0, 200.0) : 100.0;
            f.flags[0] = SW_STEP_INVERTER;
            f.cruise_share[0] = 1.0;
            f.load_w[bus][SW_MUST][0] = asked;
            (bus == SW_BUS_AC ? f.peak_w : f.dc_peak_w)[SW_MUST][0] = asked;
            v.alternator_cruise_w = 100.0;
            v.discharge_limit_a = 0.0;
            v.inverter_w = 300.0;
            if (bus == SW_BUS_DC) {
                v.thermals = 1;
                v.thermal[0] = (sw_thermal){4.0, 21.0, 20.0, 60.0, SW_BUS_AC, SW_MUST};
            }
            sw_tile_flow flow = one_step(&f, &v, 0.0, 0.0, &after);
            ck_assert_double_eq(flow.served_share[bus][SW_MUST][0], more ? 0.0 : 1.0);
            sw_forcing_unmake(&f);
        }
}
END_TEST

Suite *sw_suite(void)
{
    const TTest *const tests[] = {
        a_sun_on_the_horizon_is_down,
        the_pieces_of_the_diffuse_share_hold_their_upper_ends,
        a_clearness_on_the_edge_of_two_bins_is_of_the_upper_one,
        inverter_figures_at_an_edge,
        a_restart_level_that_is_just_reached_counts,
        loads_that_can_wait_run_at_their_line,
        a_hookup_carries_what_just_fits,
        the_dearest_ac_class_decides_whether_the_battery_is_empty,
        sources_alone_carry_what_just_fits,
        an_idle_inverter_does_not_cut_the_battery_off,
        NULL,
    };
    return sw_suite_of("edges", tests, 30);
}
