// Columns of a forcing in one block, and reproducible random numbers to fill them and a van with.
#include "support/random_case.h"

#include "support/checks.h"

#include <gsl/gsl_math.h>
#include <gsl/gsl_rng.h>
#include <math.h>
#include <stdlib.h>
#include <string.h>

#define COLUMNS_MAX (3 + 2 * SW_ARRAYS_MAX + 5 + SW_HELD_COUNT * (SW_BUS_COUNT + 3))

/* Addresses of the pointers of all columns of doubles. */
static int columns_of(sw_forcing *f, double **out[COLUMNS_MAX])
{
    int n = 0;
    out[n++] = &f->air_c;
    out[n++] = &f->cabin_c;
    out[n++] = &f->ghi_w_m2;
    for (int a = 0; a < f->arrays; a++) {
        out[n++] = &f->yield[a];
        out[n++] = &f->cell_c[a];
    }
    out[n++] = &f->cruise_share;
    out[n++] = &f->idle_share;
    out[n++] = &f->engine_cold;
    out[n++] = &f->pedestal_va;
    out[n++] = &f->pedestal_steady_share;
    for (int held = 0; held < SW_HELD_COUNT; held++) {
        for (int bus = 0; bus < SW_BUS_COUNT; bus++)
            out[n++] = &f->load_w[bus][held];
        out[n++] = &f->peak_w[held];
        out[n++] = &f->dc_peak_w[held];
        out[n++] = &f->steady_w[held];
    }
    return n;
}

/* All columns stand in one block that air_c, the first of them, owns. */
static void allocate(sw_forcing *f)
{
    double **column[COLUMNS_MAX];
    int n = columns_of(f, column);
    size_t rows = (size_t)f->steps;
    double *block = calloc(rows * (size_t)n, sizeof *block);
    f->flags = calloc(rows, sizeof *f->flags);
    ck_assert_msg(block != NULL && f->flags != NULL, "no memory for a forcing");
    for (int i = 0; i < n; i++)
        *column[i] = block + rows * (size_t)i;
}

sw_forcing sw_forcing_made(int32_t steps, int32_t step_s, int arrays)
{
    sw_forcing f = {.steps = steps, .step_s = step_s, .arrays = arrays};
    allocate(&f);
    fill_column(f.air_c, 0, steps, 25.0);
    fill_column(f.cabin_c, 0, steps, 25.0);
    for (int a = 0; a < arrays; a++)
        fill_column(f.cell_c[a], 0, steps, 25.0);
    return f;
}

sw_forcing sw_forcing_halved(const sw_forcing *forcing)
{
    sw_forcing whole = *forcing, half = *forcing;
    half.steps *= 2;
    half.step_s /= 2;
    allocate(&half);
    double **from[COLUMNS_MAX], **to[COLUMNS_MAX];
    int n = columns_of(&whole, from);
    columns_of(&half, to);
    for (int32_t row = 0; row < half.steps; row++) {
        half.flags[row] = whole.flags[row / 2];
        for (int i = 0; i < n; i++)
            (*to[i])[row] = (*from[i])[row / 2];
    }
    return half;
}

void sw_forcing_unmake(sw_forcing *forcing)
{
    free(forcing->air_c);
    free(forcing->flags);
    memset(forcing, 0, sizeof *forcing);
}

void fill_column(double *column, int32_t first, int32_t count, double value)
{
    for (int32_t row = first; row < first + count; row++)
        column[row] = value;
}

sw_variant sw_plain_variant(sw_chemistry chemistry)
{
    return (sw_variant){
        .chemistry = chemistry,
        .units_12v = 1.0,
        .rated_ah = 100.0,
        .health = 1.0,
        .resistance_ohm = 0.010,
        .charge_limit_a = 1e4,
        .discharge_limit_a = 1e4,
        .absorption_v = sw_chemistry_of(chemistry)->absorption_v,
        .cold_stop_c = -40.0,
        .cold_full_c = -39.0,
        .hot_full_c = 80.0,
        .hot_stop_c = 81.0,
        .discharge_stop_c = -80.0,
        .heat_wh_k = 4.0,
        .temperature_lag_h = 1.0,
        .controller_efficiency = 1.0,
        .controller_limit_a = 1e4,
        .charger_efficiency = 1.0,
        .charger_power_factor = 1.0,
        .start_soc = 0.5,
        .start_c = 25.0,
    };
}

// ---- random parts

static double in_range(gsl_rng *r, double low, double high)
{
    return low + (high - low) * gsl_rng_uniform(r);
}

static int happens(gsl_rng *r, double chance)
{
    return gsl_rng_uniform(r) < chance;
}

static double one_of(gsl_rng *r, const double *values, unsigned long count)
{
    return values[gsl_rng_uniform_int(r, count)];
}

static double hour_of_day(const sw_forcing *f, int32_t row)
{
    return fmod((row + 0.5) * f->step_s / 3600.0, 24.0);
}

/* Days of half a sine from six to eighteen, each with its own clearness; air follows with its own swing. */
static void random_weather(gsl_rng *r, sw_forcing *f)
{
    double mean_c = in_range(r, -15.0, 38.0), swing_k = in_range(r, 1.0, 10.0);
    double cabin_k = happens(r, 0.5) ? 0.0 : in_range(r, 0.0, 15.0);
    double clear = 1.0;
    for (int32_t row = 0; row < f->steps; row++) {
        double hour = hour_of_day(f, row);
        if (row % (86400 / f->step_s) == 0)
            clear = in_range(r, 0.05, 1.0);
        double height = sin((hour - 6.0) / 12.0 * M_PI);
        f->air_c[row] = fmin(45.0, fmax(-25.0, mean_c + swing_k * sin((hour - 9.0) / 12.0 * M_PI)));
        f->cabin_c[row] = fmin(45.0, f->air_c[row] + cabin_k);
        f->ghi_w_m2[row] = 1000.0 * clear * fmax(0.0, height);
        f->flags[row] |= height <= 0.0 ? SW_STEP_DARK : 0;
        for (int a = 0; a < f->arrays; a++) {
            f->yield[a][row] = f->ghi_w_m2[row] / 1000.0 * in_range(r, 0.8, 1.0);
            f->cell_c[a][row] = f->air_c[row] + 0.03 * f->ghi_w_m2[row];
        }
    }
}

typedef struct span {
    int32_t first, count;
} span;

static span random_span(gsl_rng *r, const sw_forcing *f, double shortest_h, double longest_h)
{
    int32_t count = (int32_t)(in_range(r, shortest_h, longest_h) * 3600.0 / f->step_s) + 1;
    int32_t first = (int32_t)gsl_rng_uniform_int(r, (unsigned long)f->steps);
    return (span){first, first + count > f->steps ? f->steps - first : count};
}

static void random_stays(gsl_rng *r, sw_forcing *f)
{
    static const double breakers_va[] = {0.0, 690.0, 1380.0, 1800.0, 3600.0};
    for (int drives = (int)gsl_rng_uniform_int(r, 4); drives > 0; drives--) {
        span s = random_span(r, f, 0.2, 5.0);
        double idle = in_range(r, 0.0, 0.4);
        for (int32_t row = s.first; row < s.first + s.count; row++)
            f->flags[row] |= SW_STEP_DRIVING;
        fill_column(f->cruise_share, s.first, s.count, 1.0 - idle);
        fill_column(f->idle_share, s.first, s.count, idle);
        fill_column(f->engine_cold, s.first, s.count / 3, 0.5 * idle);
        f->flags[s.first] |= SW_STEP_HAND;
    }
    for (int hookups = (int)gsl_rng_uniform_int(r, 3); hookups > 0; hookups--) {
        span s = random_span(r, f, 1.0, 16.0);
        double va = one_of(r, breakers_va, 5), steady = happens(r, 0.5) ? 0.8 : 1.0;
        for (int32_t row = s.first; row < s.first + s.count; row++) {
            f->flags[row] |= SW_STEP_SHORE;
            f->flags[row] &= (uint8_t)~SW_STEP_DRIVING;
        }
        fill_column(f->pedestal_va, s.first, s.count, va);
        fill_column(f->pedestal_steady_share, s.first, s.count, steady);
    }
}

/* Loads of both buses and all classes: a steady one now and then, and some that run for a while; an AC load's
   power of a moment is up to four times its mean. */
static void random_loads(gsl_rng *r, sw_forcing *f)
{
    static const double scales[] = {0.02, 0.1, 0.5};
    double scale = one_of(r, scales, 3); /* so that about half of the vans are served throughout */
    int inverter_always = happens(r, 0.8);
    for (int32_t row = 0; row < f->steps; row++)
        f->flags[row] |= inverter_always || hour_of_day(f, row) > 14.0 ? SW_STEP_INVERTER : 0;
    for (int bus = 0; bus < SW_BUS_COUNT; bus++) {
        for (int held = 0; held < SW_HELD_COUNT; held++) {
            for (int loads = (int)gsl_rng_uniform_int(r, 5); loads > 0; loads--) {
                span s = loads == 1 ? (span){0, f->steps} : random_span(r, f, 0.1, 6.0);
                double watts = scale * (loads == 1 ? in_range(r, 0.0, 25.0) : exp(in_range(r, 1.0, 6.5)));
                double peak = watts * (happens(r, 0.5) ? 1.0 : in_range(r, 1.0, 4.0));
                for (int32_t row = s.first; row < s.first + s.count; row++) {
                    f->load_w[bus][held][row] += watts;
                    (bus == SW_BUS_AC ? f->peak_w : f->dc_peak_w)[held][row] += peak;
                }
            }
        }
    }
}

static void random_battery(gsl_rng *r, const sw_forcing *f, sw_variant *v)
{
    static const double units[] = {1.0, 1.0, 2.0, 4.0};
    v->chemistry = happens(r, 0.5) ? SW_AGM : SW_LIFEPO4;
    const sw_chemistry_data *data = sw_chemistry_of(v->chemistry);
    v->units_12v = one_of(r, units, 4);
    v->rated_ah = exp(in_range(r, log(40.0), log(800.0))) / v->units_12v;
    v->health = in_range(r, 0.7, 1.0);
    v->resistance_ohm =
        data->resistance_ohm_100ah * 100.0 / v->rated_ah * v->units_12v * in_range(r, 0.5, 2.0);
    v->charge_limit_a = v->rated_ah * data->charge_c_rate * in_range(r, 0.3, 2.0);
    v->discharge_limit_a = v->rated_ah * data->discharge_c_rate * in_range(r, 0.1, 1.0);
    v->absorption_v = data->absorption_v * v->units_12v;
    v->cut_out_v = data->cut_out_v * v->units_12v;
    v->dc_restart_v = in_range(r, 11.5, 12.9) * v->units_12v;
    v->cold_stop_c = data->cold_stop_c;
    v->cold_full_c = data->cold_full_c;
    v->hot_full_c = data->hot_full_c;
    v->hot_stop_c = data->hot_stop_c;
    v->discharge_stop_c = data->discharge_stop_c;
    v->heat_wh_k = data->mass_kg_100ah * v->rated_ah * v->units_12v / 100.0 / 3.6;
    v->management_w = in_range(r, 0.0, 2.0);
    v->self_discharge_month = data->self_discharge_month;
    v->temperature_lag_h = in_range(r, 0.5, 12.0);
    v->outside = happens(r, 0.3);
    v->start_soc = happens(r, 0.5) ? 1.0 : in_range(r, 0.1, 1.0);
    v->start_c = v->outside ? f->air_c[0] : f->cabin_c[0];
}

static void random_sources(gsl_rng *r, const sw_forcing *f, sw_variant *v)
{
    for (int a = 0; a < f->arrays; a++) {
        v->array_w[a] = in_range(r, 20.0, 400.0);
        v->array_gamma[a] = in_range(r, -0.005, -0.0025);
        v->array_keep[a] = in_range(r, 0.6, 1.0);
    }
    v->controller_efficiency = in_range(r, 0.9, 0.99);
    v->controller_limit_a = in_range(r, 10.0, 60.0);
    v->controller_self_w = in_range(r, 0.0, 2.0);
    if (happens(r, 0.6)) {
        v->alternator_cruise_w = in_range(r, 100.0, 700.0);
        v->alternator_idle_w = v->alternator_cruise_w * in_range(r, 0.2, 1.0);
    }
    if (happens(r, 0.7)) {
        v->inlet_va = in_range(r, 700.0, 3600.0);
        v->charger_w = in_range(r, 0.0, 700.0);
        v->charger_efficiency = in_range(r, 0.8, 0.95);
        v->charger_power_factor = in_range(r, 0.7, 0.99);
    }
}

/* What was thought of later draws from a source of its own, so that the other values of a seed stay: a heater
   under the bank, a simple controller, a relay in the converter's place, a bank that begins hot or freezing.
 */
static void random_additions(unsigned long seed, const sw_forcing *f, sw_variant *v)
{
    gsl_rng *r = gsl_rng_alloc(gsl_rng_mt19937);
    ck_assert_msg(r != NULL, "no memory for a random case");
    gsl_rng_set(r, seed ^ 0x5bd1e995ul);
    if (happens(r, 0.3)) {
        v->pad_w = in_range(r, 10.0, 150.0);
        v->pad_set_c = in_range(r, 2.0, 15.0);
        v->pad_needs_charger = happens(r, 0.5);
    }
    if (happens(r, 0.2))
        for (int a = 0; a < f->arrays; a++)
            v->array_held_v[a] = in_range(r, 15.0, 21.0) * v->units_12v;
    if (v->alternator_cruise_w > 0.0 && v->units_12v == 1.0 && happens(r, 0.4)) {
        v->alternator_cruise_w = v->alternator_idle_w = 0.0;
        v->relay_v = in_range(r, 12.5, 14.6);
        v->relay_ohm = in_range(r, 0.002, 0.03);
        v->relay_cruise_a = in_range(r, 20.0, 120.0);
        v->relay_idle_a = v->relay_cruise_a * in_range(r, 0.2, 1.0);
    }
    if (happens(r, 0.1))
        v->start_c = in_range(r, 40.0, 60.0);
    else if (happens(r, 0.1))
        v->start_c = in_range(r, -45.0, -15.0);
    v->comes_back = (int)gsl_rng_uniform_int(r, 3);
    gsl_rng_free(r);
}

static void random_users(gsl_rng *r, sw_variant *v)
{
    if (happens(r, 0.85)) {
        v->inverter_w = in_range(r, 300.0, 3000.0);
        double idle_w = in_range(r, 2.0, 25.0), peak = in_range(r, 0.92, 0.95),
               full = in_range(r, 0.84, 0.91);
        sw_inverter_fit fit = sw_inverter_fit_curve(idle_w, v->inverter_w, peak, full, &v->inverter);
        ck_assert(fit == SW_FIT_OK || fit == SW_FIT_STEEP);
        v->inverter_cut_out_v = in_range(r, 10.5, 11.5) * v->units_12v;
        v->inverter_restart_v = v->inverter_cut_out_v + in_range(r, 0.5, 1.5) * v->units_12v;
    }
    v->hold_back_below = happens(r, 0.3) ? in_range(r, 0.2, 0.5) : 0.0;
    v->thermals = (int)gsl_rng_uniform_int(r, 3);
    for (int t = 0; t < v->thermals; t++) {
        sw_thermal *thermal = &v->thermal[t];
        thermal->set_c = happens(r, 0.7) ? 4.0 : -18.0;
        thermal->reference_dt_k = 21.0;
        thermal->at_reference_w = in_range(r, 8.0, 30.0);
        thermal->rated_w = in_range(r, 30.0, 60.0);
        thermal->bus = happens(r, 0.3) ? SW_BUS_AC : SW_BUS_DC;
        thermal->held = (sw_held)gsl_rng_uniform_int(r, SW_HELD_COUNT);
    }
}

sw_random_case sw_random_case_made(unsigned long seed, int32_t step_s)
{
    gsl_rng *r = gsl_rng_alloc(gsl_rng_mt19937);
    ck_assert_msg(r != NULL, "no memory for a random case");
    gsl_rng_set(r, seed);
    int32_t days = 1 + (int32_t)gsl_rng_uniform_int(r, 5);
    int arrays = (int)gsl_rng_uniform_int(r, 4);
    sw_random_case c = {.seed = seed, .forcing = sw_forcing_made(days * 86400 / step_s, step_s, arrays)};
    c.variant = sw_plain_variant(SW_LIFEPO4);
    random_weather(r, &c.forcing);
    random_stays(r, &c.forcing);
    random_loads(r, &c.forcing);
    random_battery(r, &c.forcing, &c.variant);
    random_sources(r, &c.forcing, &c.variant);
    random_users(r, &c.variant);
    random_additions(seed, &c.forcing, &c.variant);
    gsl_rng_free(r);
    return c;
}

void sw_random_case_unmake(sw_random_case *c)
{
    sw_forcing_unmake(&c->forcing);
}
