// The chemistries' tables against the papers and standards that they come from, and the curves' edges.
#include "stillwatt/battery.h"
#include "support/checks.h"

#include <math.h>

/* LiFePO4 half-cell, Safari & Delacourt 2011, J. Electrochem. Soc. 158, A63-A73, eq. 10, in volt against
 * lithium. */
static double positive_v(double y)
{
    double e = 1.0 - y;
    return 3.4323 - 0.8428 * exp(-80.2493 * pow(e, 1.3198)) - 3.2474e-6 * exp(20.2645 * pow(e, 3.8003)) +
           3.2482e-6 * exp(20.2646 * pow(e, 3.7995));
}

/* Graphite half-cell, Safari & Delacourt 2011, J. Electrochem. Soc. 158, A562-A571. */
static double negative_v(double x)
{
    return 0.6379 + 0.5416 * exp(-305.5309 * x) + 0.044 * tanh(-(x - 0.1958) / 0.1088) -
           0.1978 * tanh((x - 1.0571) / 0.0854) - 0.6875 * tanh((x + 0.0117) / 0.0529) -
           0.0175 * tanh((x - 0.5692) / 0.0875);
}

static double four_cells_v(double soc)
{
    double y = 0.96 + (0.05 - 0.96) * soc;
    double x = 0.01 + (0.80 - 0.01) * soc;
    return 4.0 * (positive_v(y) - negative_v(x));
}

START_TEST(half_cells_give_the_published_values)
{
    /* Values of the two equations to four digits, so that a slip in typing them does not go unseen. */
    static const double positive[][2] = {{0.05, 3.4898}, {0.10, 3.4360}, {0.90, 3.4142}, {0.95, 3.2515}};
    static const double negative[][2] = {{0.01, 0.6527}, {0.05, 0.3257}, {0.2, 0.1645}, {0.8, 0.0859}};
    for (int i = 0; i < 4; i++) {
        ck_assert_double_eq_tol(positive_v(positive[i][0]), positive[i][1], 5.1e-5); /* half a last digit */
        ck_assert_double_eq_tol(negative_v(negative[i][0]), negative[i][1], 5.1e-5);
    }
}
END_TEST

START_TEST(lifepo4_open_circuit_is_that_of_the_half_cells)
{
    const sw_curve *u = &sw_chemistry_of(SW_LIFEPO4)->open_circuit_v;
    for (int i = 0; i < u->count; i++) /* the table is rounded to a millivolt */
        ck_assert_msg(fabs(u->y[i] - four_cells_v(u->x[i])) <= 0.00051, "at %g: table %.4f, equations %.4f",
                      u->x[i], u->y[i], four_cells_v(u->x[i]));
}
END_TEST

START_TEST(the_chords_of_the_lifepo4_curve_stay_close_to_it)
{
    const sw_curve *u = &sw_chemistry_of(SW_LIFEPO4)->open_circuit_v;
    double off_mean = 0.0, off_plateau = 0.0;
    for (int i = 0; i < 1000; i++) {
        double soc = (i + 0.5) / 1000.0;
        double off = fabs(sw_curve_at(u, soc) - four_cells_v(soc));
        off_mean += off / 1000.0;
        off_plateau = soc > 0.10 && soc < 0.95 && off > off_plateau ? off : off_plateau;
    }
    /* Energy goes with the mean: 13 mV of 13 V is one part in a thousand, as good as the equations
       themselves, whose hysteresis is 20 mV a cell in the paper. On the plateau, where a van lives, twice
       that. */
    ck_assert_double_le(off_mean, 0.013);
    ck_assert_double_le(off_plateau, 0.040);
}
END_TEST

START_TEST(agm_capacity_in_the_cold_is_the_inverse_of_ieee_485)
{
    /* IEEE 485, temperature factors of lead-acid cells (from memory, high confidence). */
    static const double factor[][2] = {
        {-3.9, 1.520}, {4.4, 1.300}, {10.0, 1.190}, {18.3, 1.080}, {25.0, 1.000}};
    const sw_curve *share = &sw_chemistry_of(SW_AGM)->capacity_share;
    for (size_t i = 0; i < sizeof factor / sizeof factor[0]; i++) /* the table has three digits */
        ck_assert_double_eq_tol(sw_curve_at(share, factor[i][0]), 1.0 / factor[i][1], 0.00051);
    /* Rows of the standard that are no points of the table: chords within half a per cent of capacity. */
    static const double between[][2] = {
        {-1.1, 1.430}, {1.7, 1.350}, {7.2, 1.250}, {12.8, 1.150}, {21.1, 1.040}};
    for (size_t i = 0; i < sizeof between / sizeof between[0]; i++)
        ck_assert_double_eq_tol(sw_curve_at(share, between[i][0]), 1.0 / between[i][1], 0.008);
}
END_TEST

START_TEST(peukert_gives_the_usual_example)
{
    /* t = H (C/(I H))^k: 100 Ah at 20 h, k 1.2: 10 A for 8.71 h, which is 87.1 Ah; 20 A for 3.79 h (the 8.7 h
       is the usual textbook figure, from memory). */
    ck_assert_double_eq_tol(100.0 * sw_peukert_share(10.0 / 5.0, 1.2), 87.1, 0.05);
    ck_assert_double_eq_tol(100.0 * sw_peukert_share(20.0 / 5.0, 1.2) / 20.0, 3.79, 0.005);
    ck_assert_double_eq(sw_peukert_share(1.0, 1.2), 1.0);
    ck_assert_double_eq(sw_peukert_share(0.1, 1.2), 1.0);
    ck_assert_double_eq(sw_peukert_share(7.0, 1.0), 1.0);
}
END_TEST

START_TEST(a_curve_is_straight_between_its_points_and_level_outside)
{
    static const sw_curve c = {3, {-1.0, 1.0, 2.0}, {10.0, 20.0, 0.0}};
    static const double want[][2] = {{-9, 10}, {-1, 10},   {0, 15}, {0.5, 17.5},
                                     {1, 20},  {1.25, 15}, {2, 0},  {9, 0}};
    for (size_t i = 0; i < sizeof want / sizeof want[0]; i++)
        ck_assert_double_eq_tol(sw_curve_at(&c, want[i][0]), want[i][1], 1e-14);
    static const sw_curve point = {1, {0.5}, {0.995}};
    ck_assert_double_eq(sw_curve_at(&point, 0.0), 0.995);
    ck_assert_double_eq(sw_curve_at(&point, 1.0), 0.995);
}
END_TEST

START_TEST(every_table_rises_where_it_must_and_is_one_at_25_degrees)
{
    for (int k = 0; k < SW_CHEMISTRY_COUNT; k++) {
        const sw_chemistry_data *d = sw_chemistry_of((sw_chemistry)k);
        const sw_curve *curves[] = {&d->open_circuit_v, &d->charge_efficiency, &d->capacity_share,
                                    &d->resistance_ratio};
        for (int i = 0; i < 4; i++) {
            ck_assert(curves[i]->count >= 1 && curves[i]->count <= SW_CURVE_POINTS);
            for (int j = 1; j < curves[i]->count; j++)
                ck_assert_double_gt(curves[i]->x[j], curves[i]->x[j - 1]);
        }
        for (int j = 1; j < d->open_circuit_v.count;
             j++) /* the march needs a voltage that rises with charge */
            ck_assert_double_gt(d->open_circuit_v.y[j], d->open_circuit_v.y[j - 1]);
        ck_assert_double_eq(sw_curve_at(&d->capacity_share, 25.0), 1.0);
        ck_assert_double_eq(sw_curve_at(&d->resistance_ratio, 25.0), 1.0);
        ck_assert_double_eq(d->open_circuit_v.x[0], 0.0);
        ck_assert_double_eq(d->open_circuit_v.x[d->open_circuit_v.count - 1], 1.0);
    }
}
END_TEST

Suite *sw_suite(void)
{
    const TTest *const tests[] = {
        half_cells_give_the_published_values,
        lifepo4_open_circuit_is_that_of_the_half_cells,
        the_chords_of_the_lifepo4_curve_stay_close_to_it,
        agm_capacity_in_the_cold_is_the_inverse_of_ieee_485,
        peukert_gives_the_usual_example,
        a_curve_is_straight_between_its_points_and_level_outside,
        every_table_rises_where_it_must_and_is_one_at_25_degrees,
        NULL,
    };
    return sw_suite_of("battery", tests, 10);
}
