// The inverter's loss curve against the three figures of the data sheet that it is fitted to.
#include "stillwatt/inverter.h"
#include "support/checks.h"

#include <math.h>

static const struct {
    double idle_w, rated_w, peak, full;
} sheets[] = {
    {15.0, 2000.0, 0.94, 0.88}, {6.0, 300.0, 0.92, 0.85},   {40.0, 3000.0, 0.95, 0.92},
    {0.0, 1000.0, 0.93, 0.90},  {10.0, 1500.0, 0.90, 0.90},
};
#define SHEETS (sizeof sheets / sizeof sheets[0])

static double loss_w(const sw_inverter_curve *c, double ac_w)
{
    return c->idle_w + c->linear * ac_w + c->square_per_w * ac_w * ac_w;
}

static double efficiency(const sw_inverter_curve *c, double ac_w)
{
    return ac_w / (ac_w + loss_w(c, ac_w));
}

/* Greatest efficiency between 0 and the rating by golden section, without use of where the fit puts it. */
static double peak_by_search(const sw_inverter_curve *c, double rated_w)
{
    double low = 1e-6 * rated_w, high = rated_w, golden = (sqrt(5.0) - 1.0) / 2.0;
    while (high - low > 1e-9 * rated_w) {
        double left = high - golden * (high - low), right = low + golden * (high - low);
        if (efficiency(c, left) < efficiency(c, right))
            low = left;
        else
            high = right;
    }
    return efficiency(c, 0.5 * (low + high));
}

START_TEST(the_fit_goes_through_idle_peak_and_full_load)
{
    for (size_t i = 0; i < SHEETS; i++) {
        sw_inverter_curve c;
        sw_inverter_fit fit =
            sw_inverter_fit_curve(sheets[i].idle_w, sheets[i].rated_w, sheets[i].peak, sheets[i].full, &c);
        ck_assert_msg(fit == SW_FIT_OK || fit == SW_FIT_STEEP, "sheet %zu refused", i);
        /* 1e-12: some twenty operations, each exact to 1.1e-16, on numbers near 1. */
        ck_assert_double_eq_tol(loss_w(&c, 0.0), sheets[i].idle_w, 1e-12);
        ck_assert_double_eq_tol(efficiency(&c, sheets[i].rated_w), sheets[i].full, 1e-12);
        ck_assert_double_eq_tol(peak_by_search(&c, sheets[i].rated_w), sheets[i].peak,
                                sheets[i].idle_w > 0.0 ? 1e-12
                                                       : 2e-6); /* without idle the peak lies at 0 W */
    }
}
END_TEST

START_TEST(the_peak_lies_within_the_rating)
{
    for (size_t i = 0; i < SHEETS; i++) {
        sw_inverter_curve c;
        sw_inverter_fit_curve(sheets[i].idle_w, sheets[i].rated_w, sheets[i].peak, sheets[i].full, &c);
        /* Beyond the rating the efficiency must fall, or the peak would lie there. */
        ck_assert_double_lt(efficiency(&c, 1.01 * sheets[i].rated_w), efficiency(&c, sheets[i].rated_w));
    }
}
END_TEST

START_TEST(figures_through_which_no_curve_passes_are_refused)
{
    sw_inverter_curve c;
    ck_assert_int_eq(sw_inverter_fit_curve(15, 2000, 1.0, 0.88, &c), SW_FIT_PEAK_NOT_BELOW_1);
    ck_assert_int_eq(sw_inverter_fit_curve(15, 2000, NAN, 0.88, &c), SW_FIT_PEAK_NOT_BELOW_1);
    ck_assert_int_eq(sw_inverter_fit_curve(15, 2000, 0.90, 0.901, &c), SW_FIT_PEAK_BELOW_FULL);
    /* p0 = 0.6, b - a = 0.361 - 0.053: k1 = 0.053 - 2 sqrt(0.6) (sqrt(0.6) + 0.555) = -2.0, under -1 */
    ck_assert_int_eq(sw_inverter_fit_curve(600, 1000, 0.95, 0.735, &c), SW_FIT_IDLE_TOO_HIGH);
}
END_TEST

START_TEST(a_loss_that_first_falls_with_load_is_told)
{
    sw_inverter_curve c;
    /* p0 = 0.02: 2 sqrt(p0) (sqrt(p0) + sqrt(b - a)) = 0.0943 with b - a = 0.0369, more than a = 0.0638 */
    ck_assert_int_eq(sw_inverter_fit_curve(40, 2000, 0.94, 0.9084, &c), SW_FIT_STEEP);
    ck_assert_double_lt(c.linear, 0.0);
    ck_assert_int_eq(sw_inverter_fit_curve(4, 2000, 0.94, 0.9084, &c), SW_FIT_OK);
    ck_assert_double_ge(c.linear, 0.0);
}
END_TEST

Suite *sw_suite(void)
{
    const TTest *const tests[] = {
        the_fit_goes_through_idle_peak_and_full_load,
        the_peak_lies_within_the_rating,
        figures_through_which_no_curve_passes_are_refused,
        a_loss_that_first_falls_with_load_is_told,
        NULL,
    };
    return sw_suite_of("inverter", tests, 10);
}
