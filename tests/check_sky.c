// Air mass, clear sky, cloud, the split of global light, and the spread of daily clearness. Published values:
// tests/published/clear_sky.txt and statistics.txt.
#include "support/checks.h"

#include "stillwatt/sky.h"

#include <gsl/gsl_errno.h>
#include <gsl/gsl_integration.h>
#include <gsl/gsl_roots.h>
#include <math.h>
#include <stdint.h>

static const double degree = 0.017453292519943295;
static const sw_sun_clock mean_clock = {.radius_au = 1.0, .extraterrestrial_w_m2 = 1361.1};

static double next_share(uint64_t *state)
{
    *state = *state * 6364136223846793005u + 1442695040888963407u;
    return (double)(*state >> 11) / 9007199254740992.0;
}

static sw_sun sun_at_zenith(double zenith_deg)
{
    return (sw_sun){
        .zenith_deg = zenith_deg, .apparent_zenith_deg = zenith_deg, .cos_zenith = cos(zenith_deg * degree)};
}

START_TEST(air_mass_ends_at_the_zenith_and_the_horizon)
{
    ck_assert_double_eq(sw_air_mass(120.0), sw_air_mass(90.0));
    ck_assert_double_eq(sw_air_mass(-1.0), sw_air_mass(0.0));
}
END_TEST

typedef struct slow_light {
    long double ghi, beam, other_beam; // global; both published forms of the beam
} slow_light;

// Ineichen & Perez 2002 as printed, but for the factor exp(0.01 m^1.8) on the global.
static slow_light ineichen(long double zenith_deg, long double h, long double turbidity, long double i0)
{
    const long double deg = 0.01745329251994329576924L;
    long double tl = turbidity < 2.0L ? turbidity - 0.25L * sqrtl(2.0L - turbidity) : turbidity;
    long double m = 1.0L / (cosl(zenith_deg * deg) + 0.50572L * powl(96.07995L - zenith_deg, -1.6364L));
    m *= expl(-h / 8434.5L);
    long double fh1 = expl(-h / 8000.0L), fh2 = expl(-h / 1250.0L);
    slow_light out;
    out.ghi = (5.09e-5L * h + 0.868L) * i0 * cosl(zenith_deg * deg) *
              expl(-(3.92e-5L * h + 0.0387L) * m * (fh1 + fh2 * (tl - 1.0L)));
    out.beam = (0.664L + 0.163L / fh1) * i0 * expl(-0.09L * m * (tl - 1.0L));
    out.other_beam =
        out.ghi * (1.0L - (0.1L - 0.2L * expl(-tl)) / (0.1L + 0.88L / fh1)) / cosl(zenith_deg * deg);
    return out;
}

// 1e-12 of the value: some ten operations and four exponentials of rounding.
START_TEST(a_clear_sky_is_that_of_ineichen_without_its_low_sun_factor)
{
    const double elevations[] = {-80.0, 0.0, 1500.0, 4000.0}, turbidities[] = {1.0, 1.9, 2.0, 3.0, 5.0, 10.0};
    for (int step = 0; step < 90; step++) {
        for (int i = 0; i < 4 * 6; i++) {
            double elevation_m = elevations[i % 4], turbidity = turbidities[i / 4];
            sw_sun sun = sun_at_zenith(step);
            sw_light light = sw_clear_sky(&mean_clock, &sun, elevation_m, turbidity);
            slow_light slow = ineichen(step, elevation_m, turbidity, 1361.1L);
            long double beam = fminl(slow.beam, slow.other_beam);
            beam = fminl(beam, fminl(slow.ghi / cosl(step * (long double)degree), 1361.1L));
            ck_assert_double_eq_tol(light.ghi_w_m2, (double)slow.ghi, 1e-12 * (double)slow.ghi);
            ck_assert_double_eq_tol(light.dni_w_m2, (double)beam, 1e-12 * (double)beam);
        }
    }
}
END_TEST

// 1e-13 of the global: closure holds to the rounding of one product and one difference.
static void assert_closed(const sw_light *light, const sw_sun *sun, double limit_w_m2)
{
    ck_assert_double_ge(light->ghi_w_m2, 0.0);
    ck_assert_double_ge(light->dhi_w_m2, 0.0);
    ck_assert(light->dni_w_m2 >= 0.0 && light->dni_w_m2 <= limit_w_m2);
    double sum_w_m2 = light->dni_w_m2 * fmax(0.0, sun->cos_zenith) + light->dhi_w_m2;
    ck_assert_double_le(fabs(sum_w_m2 - light->ghi_w_m2), 1e-13 * light->ghi_w_m2);
}

START_TEST(every_clear_sky_closes_and_none_beats_the_sun)
{
    uint64_t state = 2002;
    for (int i = 0; i < 20000; i++) {
        sw_sun sun = sun_at_zenith(180.0 * next_share(&state));
        double elevation_m = 9500.0 * next_share(&state) - 500.0, turbidity = 1.0 + 9.0 * next_share(&state);
        sw_light light = sw_clear_sky(&mean_clock, &sun, elevation_m, turbidity);
        assert_closed(&light, &sun, 1361.1);
        if (sun.zenith_deg >= 90.0)
            ck_assert(light.ghi_w_m2 == 0.0 && light.dni_w_m2 == 0.0 && light.dhi_w_m2 == 0.0);
    }
}
END_TEST

START_TEST(a_sun_just_above_the_horizon_gives_next_to_nothing)
{
    sw_sun sun = sun_at_zenith(90.0); // the rounded cosine is 6e-17
    sw_light light = sw_clear_sky(&mean_clock, &sun, 0.0, 3.0);
    ck_assert_double_lt(light.ghi_w_m2, 1e-10);
    assert_closed(&light, &sun, 1361.1);
}
END_TEST

START_TEST(cloud_ends_at_a_clear_and_an_overcast_sky)
{
    ck_assert_double_eq(sw_cloud_factor(-1.0), sw_cloud_factor(0.0));
    ck_assert_double_eq(sw_cloud_factor(9.0), sw_cloud_factor(8.0));
}
END_TEST

// The fit's pieces do not meet exactly: 0.00027 at 0.22 and at 0.80 are the steps of the printed polynomial.
START_TEST(the_pieces_of_the_diffuse_share_nearly_meet)
{
    ck_assert_double_eq(sw_diffuse_fraction(-0.1), 1.0); // and a negative clearness counts as none
    const double knots[] = {0.22, 0.80};
    for (size_t i = 0; i < 2; i++) {
        double below = sw_diffuse_fraction(knots[i]), above = sw_diffuse_fraction(nextafter(knots[i], 1.0));
        ck_assert_double_eq_tol(below - above, 0.00027, 0.000005);
    }
}
END_TEST

START_TEST(a_split_keeps_the_global_and_the_share_of_erbs)
{
    uint64_t state = 1982;
    for (int i = 0; i < 20000; i++) {
        sw_sun sun = sun_at_zenith(89.9 * next_share(&state));
        double kt = next_share(&state), ghi_w_m2 = kt * 1361.1 * sun.cos_zenith;
        sw_light light = sw_split(ghi_w_m2, &mean_clock, &sun, INFINITY);
        ck_assert_double_eq(light.ghi_w_m2, ghi_w_m2);
        assert_closed(&light, &sun, 1361.1);
        // Up to a clearness of 1 the beam, 0.835 of it at most, is under the sun's, so the share is kept.
        ck_assert_double_eq_tol(light.dhi_w_m2, ghi_w_m2 * sw_diffuse_fraction(kt), 1e-11 * ghi_w_m2);
    }
}
END_TEST

START_TEST(a_split_holds_the_beam_under_its_limits)
{
    sw_sun high = sun_at_zenith(60.0), low = sun_at_zenith(89.99);
    sw_light limited = sw_split(500.0, &mean_clock, &high, 300.0);
    ck_assert_double_eq(limited.dni_w_m2, 300.0);
    ck_assert_double_eq_tol(limited.dhi_w_m2, 350.0, 1e-11);
    sw_light sun_limited = sw_split(20.0, &mean_clock, &low, INFINITY);
    ck_assert_double_eq(sun_limited.dni_w_m2, 1361.1);
    assert_closed(&sun_limited, &low, 1361.1);
    ck_assert_double_eq(sw_split(500.0, &mean_clock, &high, -1.0).dni_w_m2, 0.0);
}
END_TEST

START_TEST(light_with_the_sun_down_is_all_sky_light)
{
    sw_sun down = sun_at_zenith(91.0), up = sun_at_zenith(20.0);
    sw_light light = sw_split(7.0, &mean_clock, &down, INFINITY);
    ck_assert(light.ghi_w_m2 == 7.0 && light.dni_w_m2 == 0.0 && light.dhi_w_m2 == 7.0);
    light = sw_split(-2.0, &mean_clock, &up, INFINITY);
    ck_assert(light.ghi_w_m2 == 0.0 && light.dni_w_m2 == 0.0 && light.dhi_w_m2 == 0.0);
}
END_TEST

// Hollands & Huget 1983: density C (ku - x)/ku exp(lambda x) on [0, ku], ku 0.864 for days. All by quadrature
// here.
typedef struct density {
    double lambda;
    int moment;
    double target;      // for the root finders
    double probability; // of the quantile sought
} density;

static const double ku = 0.864;

static double density_at(double x, void *params)
{
    const density *d = params; // scaled by exp(lambda ku), so that steep ones do not overflow
    return pow(x, d->moment) * (ku - x) / ku * exp(d->lambda * (x - (d->lambda > 0.0 ? ku : 0.0)));
}

static double integral(density *d, int moment, double to)
{
    enum { INTERVALS = 200 };
    gsl_integration_workspace *workspace = gsl_integration_workspace_alloc(INTERVALS);
    density of = {.lambda = d->lambda, .moment = moment};
    gsl_function function = {density_at, &of};
    double sum = 0.0, error;
    int status = gsl_integration_qag(&function, 0.0, to, 0.0, 1e-11, INTERVALS, GSL_INTEG_GAUSS61, workspace,
                                     &sum, &error);
    gsl_integration_workspace_free(workspace);
    ck_assert_int_eq(status, GSL_SUCCESS);
    return sum;
}

static double mean_off(double lambda, void *params)
{
    density of = {.lambda = lambda};
    return integral(&of, 1, ku) / integral(&of, 0, ku) - ((density *)params)->target;
}

static double share_off(double x, void *params)
{
    density *d = params;
    return (x > 0.0 ? integral(d, 0, x) : 0.0) / d->target - d->probability;
}

static double root_of(double (*f)(double, void *), density *params, double low, double high)
{
    gsl_root_fsolver *solver = gsl_root_fsolver_alloc(gsl_root_fsolver_brent);
    gsl_function function = {f, params};
    gsl_root_fsolver_set(solver, &function, low, high);
    int status = GSL_CONTINUE;
    for (int pass = 0; pass < 200 && status == GSL_CONTINUE; pass++) {
        gsl_root_fsolver_iterate(solver);
        status = gsl_root_test_interval(gsl_root_fsolver_x_lower(solver), gsl_root_fsolver_x_upper(solver),
                                        1e-11, 0.0);
    }
    double root = gsl_root_fsolver_root(solver);
    gsl_root_fsolver_free(solver);
    ck_assert_int_eq(status, GSL_SUCCESS);
    return root;
}

// 2e-9: the function's own bisection to 1e-9, and quadrature and root to 1e-11.
START_TEST(clearness_quantiles_are_those_of_the_published_density)
{
    const double probabilities[] = {0.001, 0.1, 1.0 / 3.0, 0.5, 0.75, 0.9, 0.999};
    for (int percent = 5; percent <= 80; percent += 5) {
        density d = {.target = percent / 100.0};
        d.lambda = root_of(mean_off, &d, -30.0, 50.0);
        d.target = integral(&d, 0, ku);
        for (size_t i = 0; i < sizeof probabilities / sizeof probabilities[0]; i++) {
            d.probability = probabilities[i];
            double quantile = root_of(share_off, &d, 0.0, ku);
            ck_assert_double_eq_tol(sw_clearness_quantile(percent / 100.0, d.probability), quantile, 2e-9);
        }
    }
}
END_TEST

// The paper's own fit for lambda, its coefficients from memory, good to 0.0003 of the mean from 0.3 to 0.7;
// that is up to 0.001 at a quantile, where a change of the mean is drawn out.
START_TEST(clearness_quantiles_are_near_those_of_the_papers_own_fit)
{
    for (int percent = 30; percent <= 70; percent += 5) {
        double g = ku / (ku - percent / 100.0);
        density d = {.lambda = (2.0 * g - 17.519 * exp(-1.3118 * g) - 1062.0 * exp(-5.0426 * g)) / ku};
        d.target = integral(&d, 0, ku);
        for (int tenth = 1; tenth < 10; tenth++) {
            d.probability = tenth / 10.0;
            double quantile = root_of(share_off, &d, 0.0, ku);
            ck_assert_double_eq_tol(sw_clearness_quantile(percent / 100.0, d.probability), quantile, 0.001);
        }
    }
}
END_TEST

// The middle of 4000 equal shares: what the middle rule leaves of the steep ends is under 1e-6.
START_TEST(the_mean_of_the_quantiles_is_the_mean_asked_for)
{
    for (int percent = 5; percent <= 80; percent += 5) {
        double sum = 0.0;
        for (int i = 0; i < 4000; i++)
            sum += sw_clearness_quantile(percent / 100.0, (i + 0.5) / 4000.0);
        ck_assert_double_eq_tol(sum / 4000.0, percent / 100.0, 1e-5);
    }
}
END_TEST

// At a mean of ku/3 lambda is 0 and the quantile is ku (1 - sqrt(1 - p)): exact, and smooth to both sides.
START_TEST(the_straight_density_is_nothing_special)
{
    for (int i = -3; i <= 3; i++) {
        double mean_kt = ku / 3.0 + i * 1e-9;
        for (int tenth = 1; tenth < 10; tenth++)
            ck_assert_double_eq_tol(sw_clearness_quantile(mean_kt, tenth / 10.0),
                                    ku * (1.0 - sqrt(1.0 - tenth / 10.0)), 1e-8);
    }
}
END_TEST

START_TEST(means_beyond_the_distribution_are_clamped)
{
    ck_assert_double_eq(sw_clearness_quantile(0.0, 0.4), sw_clearness_quantile(0.05, 0.4));
    ck_assert_double_eq(sw_clearness_quantile(0.86, 0.4), sw_clearness_quantile(0.80, 0.4));
    ck_assert(sw_clearness_quantile(0.5, 1e-12) >= 0.0 && sw_clearness_quantile(0.5, 1.0 - 1e-12) <= ku);
}
END_TEST

Suite *sw_suite(void)
{
    const TTest *tests[] = {
        air_mass_ends_at_the_zenith_and_the_horizon,
        a_clear_sky_is_that_of_ineichen_without_its_low_sun_factor,
        every_clear_sky_closes_and_none_beats_the_sun,
        a_sun_just_above_the_horizon_gives_next_to_nothing,
        cloud_ends_at_a_clear_and_an_overcast_sky,
        the_pieces_of_the_diffuse_share_nearly_meet,
        a_split_keeps_the_global_and_the_share_of_erbs,
        a_split_holds_the_beam_under_its_limits,
        light_with_the_sun_down_is_all_sky_light,
        clearness_quantiles_are_those_of_the_published_density,
        clearness_quantiles_are_near_those_of_the_papers_own_fit,
        the_mean_of_the_quantiles_is_the_mean_asked_for,
        the_straight_density_is_nothing_special,
        means_beyond_the_distribution_are_clamped,
        NULL,
    };
    return sw_suite_of("sky", tests, 30.0);
}
