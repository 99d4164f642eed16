// Edges of cell temperature and low light. Published values: tests/published/modules.txt.
#include "support/checks.h"

#include "stillwatt/array.h"

#include <math.h>

// The lines that stand for other models (see array.c), by hand: 1000/19.0 = 52.632; 1000/(19 + 2 x 1.08)
// = 47.259; 1000/16.3 = 61.350; 1000/(16.3 + 2 x 0.92) = 55.127.
START_TEST(panels_near_a_roof_have_their_own_cooling)
{
    const struct {
        sw_mounting mounting;
        double wind_m_s, rise_k;
    } rows[] = {
        {SW_MOUNT_GAP, 0.0, 52.632},
        {SW_MOUNT_GAP, 2.0, 47.259},
        {SW_MOUNT_BONDED, 0.0, 61.350},
        {SW_MOUNT_BONDED, 2.0, 55.127},
    };
    for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++) { // printed to 0.001
        double cell_c = sw_cell_temperature_c(rows[i].mounting, 1000.0, -5.0, rows[i].wind_m_s);
        ck_assert_double_eq_tol(cell_c, -5.0 + rows[i].rise_k, 0.0005);
    }
}
END_TEST

START_TEST(in_the_dark_a_cell_is_as_warm_as_the_air)
{
    for (int mounting = 0; mounting < SW_MOUNT_COUNT; mounting++)
        ck_assert_double_eq(sw_cell_temperature_c((sw_mounting)mounting, 0.0, 7.25, 4.0), 7.25);
}
END_TEST

START_TEST(negative_wind_counts_as_calm)
{
    double calm_c = sw_cell_temperature_c(SW_MOUNT_GAP, 900.0, 20.0, 0.0);
    ck_assert_double_eq(sw_cell_temperature_c(SW_MOUNT_GAP, 900.0, 20.0, -3.0), calm_c);
}
END_TEST

// The parabola in ln g crosses 0 at ln g = -5.18874, at 5.579 W/m2 (root by hand): below it the fit says
// nothing.
START_TEST(low_light_is_never_negative)
{
    ck_assert_double_eq(sw_low_light(0.0), 0.0);
    ck_assert_double_eq(sw_low_light(1e-300), 0.0);
    ck_assert_double_eq(sw_low_light(5.57), 0.0);
    ck_assert_double_gt(sw_low_light(5.59), 0.0);
}
END_TEST

Suite *sw_suite(void)
{
    const TTest *tests[] = {
        panels_near_a_roof_have_their_own_cooling,
        in_the_dark_a_cell_is_as_warm_as_the_air,
        negative_wind_counts_as_calm,
        low_light_is_never_negative,
        NULL,
    };
    return sw_suite_of("array", tests, 10.0);
}
