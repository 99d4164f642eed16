// Days by chance: their statistics against the published distribution and against the stations of the table,
// and the poor week against many weeks drawn by GSL.
#include "stillwatt/civil.h"
#include "stillwatt/sky.h"
#include "stillwatt/stations.h"
#include "support/checks.h"
#include "support/whole_file.h"
#include "trip/sky_inside.h"

#include <gsl/gsl_cdf.h>
#include <gsl/gsl_randist.h>
#include <gsl/gsl_rng.h>
#include <math.h>
#include <stdio.h>
#include <stdlib.h>

enum { DAYS = 10000, DARK_PER_MILLE = 250 };

typedef struct statistics {
    double mean, sd, to_next, dark;
} statistics;

static statistics of_days(const double *kt, int count)
{
    statistics s = {0, 0, 0, 0};
    for (int i = 0; i < count; i++) {
        s.mean += kt[i] / count;
        s.dark += (kt[i] < DARK_PER_MILLE / 1000.0) / (double)count;
    }
    for (int i = 0; i < count; i++)
        s.sd += (kt[i] - s.mean) * (kt[i] - s.mean) / count;
    for (int i = 1; i < count; i++)
        s.to_next += (kt[i] - s.mean) * (kt[i - 1] - s.mean) / (count - 1) / s.sd;
    s.sd = sqrt(s.sd);
    return s;
}

/* Share of days below a clearness: the quantile function inverted by halving. */
static double share_below(const sky_clearness *of, double kt)
{
    double low = 1e-9, high = 1.0 - 1e-9;
    while (high - low > 1e-7) {
        double middle = (low + high) / 2.0;
        if (sw_sky_clearness_at(of, middle) < kt)
            low = middle;
        else
            high = middle;
    }
    return low;
}

/* Ten thousand January days, one draw each of another year's: the published distribution of the mean
   [hollands-huget-1983], its spread by the moments below, and days that hang together by 0.29 in deviates
   [graham-1988]. Three standard errors. */
START_TEST(ten_thousand_days_have_the_published_statistics)
{
    static const double means[] = {0.25, 0.4, 0.55, 0.7};
    static double kt[DAYS];
    for (size_t k = 0; k < sizeof means / sizeof means[0]; k++) {
        int date = (int)sw_days_from_civil(2026, 1, 1);
        for (int i = 0; i < DAYS; i++) // thirty-one days each of many draws, on end
            kt[i] = sw_sky_chance_clearness(i / 31, date + i % 31, means[k], 0.0);
        statistics s = of_days(kt, DAYS);
        sky_clearness of = sw_sky_clearness(means[k], 0.0);
        double dark = share_below(&of, 0.25), sd = sw_clearness_spread(means[k]);
        printf("mean %.2f: drawn mean %.4f, spread %.4f of %.4f, next day %.3f, dark %.4f of %.4f\n",
               means[k], s.mean, s.sd, sd, s.to_next, s.dark, dark);
        double error = sd * sqrt(1.29 / 0.71 / DAYS);
        ck_assert_double_eq_tol(s.mean, means[k], 3.0 * error);
        ck_assert_double_eq_tol(s.sd, sd, 0.03 * sd);
        ck_assert_double_eq_tol(s.dark, dark, 3.0 * sqrt(1.29 / 0.71 * dark * (1.0 - dark) / DAYS) + 1e-9);
        // Clearness is bent against its deviate and every 31st day begins anew: a little under 0.29.
        ck_assert(s.to_next > 0.24 && s.to_next < 0.30);
    }
}
END_TEST

/* Variance of the density C (1 - u) exp(a u) by a sum over ten thousand strips, with the exponent from its
   mean by halving: nothing of the library's. */
START_TEST(the_published_spread_is_that_of_its_moments)
{
    enum { STRIPS = 10000 };
    for (int percent = 8; percent <= 78; percent += 5) {
        double low = -25.0, high = 45.0, sum[3];
        while (high - low > 1e-11) {
            double a = (low + high) / 2.0;
            sum[0] = sum[1] = sum[2] = 0.0;
            for (int i = 0; i < STRIPS; i++) {
                double u = (i + 0.5) / STRIPS, weight = (1.0 - u) * exp(a * u - fmax(a, 0.0));
                sum[0] += weight;
                sum[1] += weight * u;
                sum[2] += weight * u * u;
            }
            if (sum[1] / sum[0] < percent / 100.0 / 0.864)
                low = a;
            else
                high = a;
        }
        double mean = sum[1] / sum[0], variance = sum[2] / sum[0] - mean * mean;
        ck_assert_double_eq_tol(sw_clearness_spread(percent / 100.0), 0.864 * sqrt(variance), 1e-6); // strips
    }
}
END_TEST

START_TEST(a_drawn_day_hangs_on_its_draw_and_date_alone)
{
    double one = sw_sky_chance_clearness(1, 20000, 0.5, 0.15),
           two = sw_sky_chance_clearness(2, 20000, 0.5, 0.15);
    ck_assert(one != two);
    ck_assert(one != sw_sky_chance_clearness(1, 20001, 0.5, 0.15));
    ck_assert_double_eq(one, sw_sky_chance_clearness(1, 20000, 0.5, 0.15));
}
END_TEST

// ---- real places ----

typedef struct misfit {
    int count;
    double dark, sd;                       // of the stations
    double published_sd, published, drawn; // mean misfits of dark days
    double published_rms, drawn_rms, noise;
} misfit;

static void add_month(misfit *m, const sw_month *month)
{
    sky_clearness published = sw_sky_clearness(month->kt_mean, 0.0),
                  drawn = sw_sky_clearness(month->kt_mean, month->kt_sd);
    double a = share_below(&published, 0.25) - month->dark_day_share,
           b = share_below(&drawn, 0.25) - month->dark_day_share;
    m->count++;
    m->dark += month->dark_day_share;
    m->sd += month->kt_sd;
    m->published_sd += sw_clearness_spread(month->kt_mean);
    m->published += a;
    m->drawn += b;
    m->published_rms += a * a;
    m->drawn_rms += b * b;
    m->noise += month->dark_day_share * (1.0 - month->dark_day_share) / 30.4;
}

static void print_misfit(const char *name, const misfit *m)
{
    double n = m->count;
    printf("%-22s %5d months, dark %5.1f %%, spread %.3f (published %.3f); misfit of dark days: published "
           "%+5.1f (rms "
           "%4.1f), drawn %+5.1f (rms %4.1f), of which 30 days' chance %4.1f\n",
           name, m->count, 100.0 * m->dark / n, m->sd / n, m->published_sd / n, 100.0 * m->published / n,
           100.0 * sqrt(m->published_rms / n), 100.0 * m->drawn / n, 100.0 * sqrt(m->drawn_rms / n),
           100.0 * sqrt(m->noise / n));
}

/* The stations' own days: the published distribution is too wide for them, drawn to their spread it fits
   within the chance of thirty days. By season and by the mean clearness of the year, as a measure of climate.
 */
START_TEST(days_drawn_to_the_spread_of_real_places_have_their_dark_days)
{
    static const char *const season_name[] = {"winter", "spring", "summer", "autumn"};
    static const char *const climate_name[] = {"cloudy (kt < 0.45)", "middling", "sunny (kt > 0.58)"};
    size_t length;
    char *text = read_whole_file(SW_SOURCE_DIR "/weather/stations.csv", &length);
    sw_station_table *table = NULL;
    misfit season[4] = {{0}}, climate[3] = {{0}}, all = {0};
    ck_assert_ptr_nonnull(text);
    ck_assert_int_eq(sw_stations_open(text, length, "stations.csv", NULL, &table), SW_OK);
    for (int i = 0; i < sw_stations_count(table); i += 3) {
        sw_month month[12];
        double year = 0.0;
        ck_assert_int_eq(sw_stations_months(table, i, NULL, month), SW_OK);
        for (int m = 0; m < 12; m++)
            year += month[m].kt_mean / 12.0;
        for (int m = 0; m < 12; m++) {
            int turned = sw_stations_at(table, i)->lat_deg < 0.0 ? 6 : 0;
            if (month[m].kt_mean < 0.08 || month[m].kt_sd <= 0.0)
                continue; // the sun hardly rises
            add_month(&season[(m + 1 + turned) % 12 / 3], &month[m]);
            add_month(&climate[year < 0.45 ? 0 : year < 0.58 ? 1 : 2], &month[m]);
            add_month(&all, &month[m]);
        }
    }
    for (int k = 0; k < 4; k++)
        print_misfit(season_name[k], &season[k]);
    for (int k = 0; k < 3; k++)
        print_misfit(climate_name[k], &climate[k]);
    print_misfit("all", &all);
    for (int k = 0; k < 4; k++)
        ck_assert_double_lt(fabs(season[k].drawn / season[k].count), 0.025);
    ck_assert_double_lt(fabs(all.drawn / all.count), 0.015);
    ck_assert_double_lt(all.drawn_rms, 0.5 * all.published_rms);
    sw_stations_free(table);
    free(text);
}
END_TEST

// ---- the poor week ----

static int by_size(const void *a, const void *b)
{
    double x = *(const double *)a, y = *(const double *)b;
    return (x > y) - (x < y);
}

/* That of a climate whose months are all alike. */
static double poor_week(double clearness, double spread)
{
    static climate_nodes nodes;
    double known[1][12];
    for (int m = 0; m < 12; m++) {
        nodes.clearness[m] = clearness;
        nodes.clearness_factor[m] = 1.0;
        nodes.spread[m] = spread;
        known[0][m] = NAN;
    }
    sky s = {.nodes = &nodes, .poor_week = known};
    ck_assert_int_eq(sw_sky_draw_weeks(&s), 1);
    double out = sw_sky_poor_week(&s, 0, 20000);
    free(s.week_share);
    return out;
}

/* The tenth of a hundred thousand weeks drawn by GSL, first-order deviates mapped through the quantile
   function; the library draws three thousand and takes their luck out by their deviates, whose tenth is
   known. Beside it the estimate as if a week's mean were normal, which stood here before. */
START_TEST(the_poor_week_is_the_tenth_of_many)
{
    enum { WEEKS = 100000, KNOTS = 2000 };
    static const double cases[][2] = {{0.30, 0.17}, {0.45, 0.18}, {0.58, 0.14}, {0.68, 0.09}, {0.35, 0.10}};
    static double mean[WEEKS], knot[KNOTS];
    gsl_rng *r = gsl_rng_alloc(gsl_rng_mt19937);
    double variance = 0.0;
    for (int a = 0; a < 7; a++)
        for (int b = 0; b < 7; b++)
            variance += pow(0.29, abs(a - b)) / 49.0;
    double normal = gsl_cdf_ugaussian_Pinv(0.9) * sqrt(variance);
    for (size_t k = 0; k < sizeof cases / sizeof cases[0]; k++) {
        sky_clearness of = sw_sky_clearness(cases[k][0], cases[k][1]);
        for (int i = 0; i < KNOTS; i++)
            knot[i] = sw_sky_clearness_at(&of, (i + 0.5) / KNOTS);
        for (int w = 0; w < WEEKS; w++) {
            double x = 0.0;
            mean[w] = 0.0;
            for (int day = 0; day < 7; day++) {
                double fresh = gsl_ran_ugaussian(r);
                x = day == 0 ? fresh : 0.29 * x + sqrt(1.0 - 0.29 * 0.29) * fresh;
                mean[w] += knot[(int)(gsl_cdf_ugaussian_P(x) * KNOTS)] / 7.0;
            }
        }
        qsort(mean, WEEKS, sizeof mean[0], by_size);
        double many = (cases[k][0] - mean[WEEKS / 10]) / cases[k][1];
        double ours = poor_week(cases[k][0], cases[k][1]);
        printf("mean %.2f spread %.2f: the poor week is %.3f spreads darker, of many weeks %.3f, normal "
               "estimate %.3f\n",
               cases[k][0], cases[k][1], ours, many, normal);
        ck_assert_double_eq_tol(ours, many, 0.015);
    }
    gsl_rng_free(r);
}
END_TEST

Suite *sw_suite(void)
{
    const TTest *const tests[] = {
        ten_thousand_days_have_the_published_statistics,
        the_published_spread_is_that_of_its_moments,
        a_drawn_day_hangs_on_its_draw_and_date_alone,
        days_drawn_to_the_spread_of_real_places_have_their_dark_days,
        the_poor_week_is_the_tenth_of_many,
        NULL,
    };
    return sw_suite_of("chance", tests, 120);
}
