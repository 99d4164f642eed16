// From monthly means to days: averaged again day by day, the means come out, north and south.
#include "support/checks.h"

#include "stillwatt/civil.h"
#include "trip/climate_days.h"

#include <math.h>
#include <string.h>

/* Daily lows of a northern and a southern continental place, invented; and a flat and a jagged year. */
static const double years[][12] = {{-9, -6, -1, 4, 9, 14, 18, 17, 12, 6, -1, -7},
                                   {17, 16, 13, 9, 5, 2, 1, 3, 6, 9, 12, 15},
                                   {5, 5, 5, 5, 5, 5, 5, 5, 5, 5, 5, 5},
                                   {0, 10, 0, 10, 0, 10, 0, 10, 0, 10, 0, 10}};
enum { YEARS = sizeof years / sizeof years[0] };

static const double lengths[12] = {31, 28.25, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31};

/* Mean of the line over a month by 20000 midpoints: between mid-months, with February of mean length. */
static double line_mean(const double node[12], int month)
{
    const int points = 20000;
    double sum = 0;
    for (int i = 0; i < points; i++) {
        double past_middle = ((i + 0.5) / points - 0.5) * lengths[month];
        int other = past_middle < 0 ? (month + 11) % 12 : (month + 1) % 12;
        double apart = 0.5 * (lengths[month] + lengths[other]);
        sum += node[month] + fabs(past_middle) / apart * (node[other] - node[month]);
    }
    return sum / points;
}

START_TEST(the_mean_of_the_line_over_each_month_is_the_months_mean)
{
    for (int y = 0; y < YEARS; y++) {
        double node[12];
        sw_nodes_of_means(years[y], node);
        for (int month = 0; month < 12; month++) // midpoints are exact on both sides of the kink
            ck_assert_double_eq_tol(line_mean(node, month), years[y][month], 1e-9);
    }
}
END_TEST

static sw_climate climate_of(const double low[12])
{
    sw_climate climate;
    memset(&climate, 0, sizeof climate);
    for (int i = 0; i < 12; i++) {
        sw_month *m = &climate.month[i];
        m->daily_min_c = low[i];
        m->daily_max_c = low[i] + 12;
        m->kt_mean = 0.5 + low[i] / 200;
        m->kt_sd = 0.15 + low[i] / 1000;
        m->wind_m_s = 3 + low[i] / 20;
        m->ghi_kwh_m2_day = 4;
        m->dhi_kwh_m2_day = 1.5 - low[i] / 50;
    }
    return climate;
}

/* A day is a value at its middle. Where the middle of a month is the middle of a day, the kink there makes
   the mean of the days differ from that of the line by 1/(4 length) of the change of slope. The line
   counts 28.25 days of February, a year has 28 or 29: the ends of February and of its neighbours' lines move
   by at most 3/8 of a day. */
static double day_tolerance(const double node[12], int month)
{
    int before = (month + 11) % 12, after = (month + 1) % 12;
    double to_before = fabs(node[before] - node[month]) / 29, to_after = fabs(node[after] - node[month]) / 29;
    int near_february = month <= 2;
    return (to_before + to_after) * (1 / (4 * 28.0) + (near_february ? 0.375 : 0)) + 1e-9;
}

static void month_of_days(const climate_nodes *nodes, int year, int month, climate_day *mean)
{
    int length = sw_days_in_month(year, month);
    memset(mean, 0, sizeof *mean);
    for (int day = 1; day <= length; day++) {
        climate_day d;
        sw_climate_day_of(nodes, sw_days_from_civil(year, month, day), &d);
        mean->low_c += d.low_c / length;
        mean->high_c += d.high_c / length;
        mean->clearness += d.clearness / length;
        mean->spread += d.spread / length;
        mean->wind_m_s += d.wind_m_s / length;
        mean->diffuse_share += d.diffuse_share / length;
    }
}

START_TEST(days_averaged_over_a_month_give_its_means)
{
    for (int y = 0; y < YEARS; y++) {
        sw_climate climate = climate_of(years[y]);
        climate_nodes nodes;
        sw_climate_nodes_of(&climate, 40.0, -105.0, &nodes);
        for (int year = 2026; year <= 2028; year++)
            for (int month = 1; month <= 12; month++) {
                climate_day mean;
                double low = years[y][month - 1], tolerance = day_tolerance(nodes.low_c, month - 1);
                month_of_days(&nodes, year, month, &mean);
                ck_assert_double_eq_tol(mean.low_c, low, tolerance);
                ck_assert_double_eq_tol(mean.high_c, low + 12, tolerance);
                ck_assert_double_eq_tol(mean.spread, 0.15 + low / 1000, tolerance / 1000);
                ck_assert_double_eq_tol(mean.wind_m_s, 3 + low / 20, tolerance / 20);
                ck_assert_double_eq_tol(mean.diffuse_share, (1.5 - low / 50) / 4, tolerance / 200);
            }
    }
}
END_TEST

START_TEST(days_change_little_from_one_to_the_next_over_the_turn_of_the_year)
{
    sw_climate climate = climate_of(years[1]);
    climate_nodes nodes;
    sw_climate_nodes_of(&climate, 40.0, -105.0, &nodes);
    climate_day before, after;
    for (int64_t date = sw_days_from_civil(2026, 1, 1); date < sw_days_from_civil(2029, 1, 1); date++) {
        sw_climate_day_of(&nodes, date, &before);
        sw_climate_day_of(&nodes, date + 1, &after);
        // The steepest line is below 5 K a month; a leap day stretches one day's step to two at most.
        ck_assert_double_le(fabs(after.low_c - before.low_c), 2 * 5.0 / 30);
    }
}
END_TEST

START_TEST(the_coldest_days_are_in_the_winter_of_the_hemisphere)
{
    static const int coldest_month[] = {1, 7};
    for (int y = 0; y < 2; y++) {
        sw_climate climate = climate_of(years[y]);
        climate_nodes nodes;
        sw_climate_nodes_of(&climate, 40.0, -105.0, &nodes);
        int64_t coldest = 0;
        double least = 1e9;
        for (int64_t date = sw_days_from_civil(2026, 1, 1); date < sw_days_from_civil(2027, 1, 1); date++) {
            climate_day day;
            sw_climate_day_of(&nodes, date, &day);
            coldest = day.low_c < least ? date : coldest;
            least = fmin(least, day.low_c);
        }
        int year, month, day;
        sw_civil_from_days(coldest, &year, &month, &day);
        ck_assert_int_eq(month, coldest_month[y]);
        ck_assert_int_ge(day, 14);
        ck_assert_int_le(day, 18);
    }
}
END_TEST

START_TEST(a_clearness_is_kept_within_what_skies_have)
{
    sw_climate climate = climate_of(years[2]);
    climate_nodes nodes;
    climate_day day;
    for (int i = 0; i < 12; i++) {
        climate.month[i].kt_mean = i < 6 ? 0.95 : 0.01;
        climate.month[i].daily_max_c = climate.month[i].daily_min_c - 3;
    }
    sw_climate_nodes_of(&climate, 40.0, -105.0, &nodes);
    sw_climate_day_of(&nodes, sw_days_from_civil(2026, 3, 15), &day);
    ck_assert_double_eq(day.clearness, 0.80);
    ck_assert_double_eq(day.high_c, day.low_c);
    sw_climate_day_of(&nodes, sw_days_from_civil(2026, 9, 15), &day);
    ck_assert_double_eq(day.clearness, 0.05);
}
END_TEST

Suite *sw_suite(void)
{
    const TTest *const tests[] = {the_mean_of_the_line_over_each_month_is_the_months_mean,
                                  days_averaged_over_a_month_give_its_means,
                                  days_change_little_from_one_to_the_next_over_the_turn_of_the_year,
                                  the_coldest_days_are_in_the_winter_of_the_hemisphere,
                                  a_clearness_is_kept_within_what_skies_have,
                                  NULL};
    return sw_suite_of("climate days", tests, 20);
}
