// Batteries at the ends of what a van file may hold, and beyond: a step may empty or fill them several times
// over, and the energy must balance all the same.
#include "support/checks.h"
#include "support/random_case.h"

#include <gsl/gsl_rng.h>
#include <math.h>

enum { CASES = 2000, STEPS = 24, SEED = 20261125 };

static double log_between(gsl_rng *r, double low, double high)
{
    return low * pow(high / low, gsl_rng_uniform(r));
}

/* Sun and loads that come and go, from a thousandth of what the battery holds to far beyond it. */
static sw_forcing restless(gsl_rng *r, int32_t step_s, double bank_wh)
{
    sw_forcing f = sw_forcing_made(STEPS, step_s, 1);
    double hours = step_s / 3600.0;
    for (int row = 0; row < STEPS; row++) {
        double asked_w = bank_wh / hours * log_between(r, 1e-3, 10.0);
        f.yield[0][row] = gsl_rng_uniform(r) < 0.5 ? 0.0 : gsl_rng_uniform(r);
        f.load_w[SW_BUS_DC][gsl_rng_uniform_int(r, SW_HELD_COUNT)][row] = asked_w;
        for (int held = 0; held < SW_HELD_COUNT; held++)
            f.dc_peak_w[held][row] = f.load_w[SW_BUS_DC][held][row];
    }
    return f;
}

static sw_variant extreme(gsl_rng *r, sw_chemistry chemistry)
{
    sw_variant v = sw_plain_variant(chemistry);
    v.rated_ah = log_between(r, 1.0, 5000.0);
    v.health = 0.2 + 0.9 * gsl_rng_uniform(r);
    v.resistance_ohm = log_between(r, 1e-5, 1.0);
    v.array_w[0] = 12.0 * v.rated_ah * log_between(r, 1e-2, 10.0);
    v.array_gamma[0] = -0.004;
    v.array_keep[0] = 1.0;
    v.start_soc = gsl_rng_uniform(r);
    v.start_c = -20.0 + 60.0 * gsl_rng_uniform(r);
    return v;
}

START_TEST(energy_balances_where_a_step_crosses_the_whole_battery)
{
    static const int32_t steps_s[] = {60, 300, 900, 3600};
    gsl_rng *r = gsl_rng_alloc(gsl_rng_mt19937);
    int unbalanced = 0;
    gsl_rng_set(r, SEED);
    for (int i = 0; i < CASES; i++) {
        static sw_tile_plan plan;
        static sw_tile_state state;
        int32_t step_s = steps_s[i % 4];
        sw_variant v = extreme(r, i % 2 == 0 ? SW_LIFEPO4 : SW_AGM);
        sw_forcing f = restless(r, step_s, 12.0 * v.rated_ah * v.health);
        for (int lane = 0; lane < SW_TILE; lane++)
            sw_tile_set(&plan, &state, lane, &v, step_s);
        unbalanced += sw_march(&f, &plan, &state, NULL, NULL) != SW_OK;
        sw_forcing_unmake(&f);
    }
    gsl_rng_free(r);
    ck_assert_msg(unbalanced == 0, "%d of %d marches do not balance (seed %d)", unbalanced, CASES, SEED);
}
END_TEST

/* Eight megawatt-hours, the most that a van file allows, and a watt or two: the rounding of the whole bank's
   energy would be more than the step's. */
START_TEST(energy_balances_where_a_step_hardly_touches_the_bank)
{
    for (int chemistry = 0; chemistry < SW_CHEMISTRY_COUNT; chemistry++)
        for (double soc = 0.02; soc < 1.0; soc += 0.07) {
            static sw_tile_plan plan;
            static sw_tile_state state;
            sw_variant v = sw_plain_variant((sw_chemistry)chemistry);
            sw_forcing f = sw_forcing_made(STEPS, 900, 1);
            v.units_12v = 4.0;
            v.rated_ah = 160000.0;
            v.start_soc = soc;
            v.array_w[0] = 1.0;
            v.array_keep[0] = 1.0;
            fill_column(f.yield[0], STEPS / 2, STEPS / 2, 1.0);
            fill_column(f.load_w[SW_BUS_DC][SW_MUST], 0, STEPS / 2, 2.0);
            fill_column(f.dc_peak_w[SW_MUST], 0, STEPS / 2, 2.0);
            for (int lane = 0; lane < SW_TILE; lane++)
                sw_tile_set(&plan, &state, lane, &v, 900);
            ck_assert_msg(sw_march(&f, &plan, &state, NULL, NULL) == SW_OK, "chemistry %d at charge %g",
                          chemistry, soc);
            sw_forcing_unmake(&f);
        }
}
END_TEST

/* Energy that leaves the terminals when `x_ah` leave a battery of 100 Ah, the integral of the voltage by many
   small trapezoids, less what the resistance takes in an hour. */
static double given_wh(const sw_variant *v, double x_ah)
{
    enum { SLICES = 4000 };
    const sw_curve *volts = &sw_chemistry_of(v->chemistry)->open_circuit_v;
    double sum = 0.0;
    for (int i = 0; i < SLICES; i++)
        sum += sw_curve_at(volts, v->start_soc - x_ah * (i + 0.5) / SLICES / v->rated_ah);
    return sum * x_ah / SLICES - v->resistance_ohm * x_ah * x_ah;
}

static double least_ah_for(const sw_variant *v, double asked_wh, double most_ah)
{
    double low = 0.0, high = most_ah;
    while (high - low > 1e-9) {
        double middle = (low + high) / 2.0;
        if (given_wh(v, middle) < asked_wh)
            low = middle;
        else
            high = middle;
    }
    return low;
}

static void keep_current(void *context, int32_t step, const sw_tile_flow *flow)
{
    if (step == 0)
        *(double *)context = flow->battery_a[0];
}

/* A full battery of high resistance that a step nearly empties: its voltage falls first slowly, then fast, so
   that the first parabola reaches past the charge at which it gives most. The current must be the lesser of
   the two that give the power. */
START_TEST(the_lesser_current_is_found_from_beyond_the_greatest_power)
{
    sw_variant v = sw_plain_variant(SW_LIFEPO4);
    v.start_soc = 0.97;
    v.resistance_ohm = 0.0555;
    for (double asked_w = 400.0; asked_w < 720.0; asked_w += 0.5) {
        static sw_tile_plan plan;
        static sw_tile_state state;
        sw_forcing f = sw_forcing_made(1, 3600, 1);
        f.load_w[SW_BUS_DC][SW_MUST][0] = asked_w;
        f.dc_peak_w[SW_MUST][0] = asked_w;
        for (int lane = 0; lane < SW_TILE; lane++)
            sw_tile_set(&plan, &state, lane, &v, 3600);
        double current_a = 0.0;
        ck_assert_msg(sw_march(&f, &plan, &state, keep_current, &current_a) == SW_OK, "at %g W", asked_w);
        double want_a = least_ah_for(&v, asked_w, 0.9 * v.rated_ah);
        ck_assert_msg(fabs(current_a - want_a) < 1e-3, "at %g W %.6f A, not %.6f A", asked_w, current_a,
                      want_a);
        sw_forcing_unmake(&f);
    }
}
END_TEST

Suite *sw_suite(void)
{
    const TTest *const tests[] = {energy_balances_where_a_step_crosses_the_whole_battery,
                                  energy_balances_where_a_step_hardly_touches_the_bank,
                                  the_lesser_current_is_found_from_beyond_the_greatest_power, NULL};
    return sw_suite_of("extreme batteries", tests, 60);
}
