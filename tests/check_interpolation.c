// What the table of stations says of places without a station: each station left out and asked for by its
// neighbours.
#include "weather/climate.h"

#include "support/checks.h"
#include "support/whole_file.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

typedef struct misses {
    int months;
    double light, light2, air, air2, low2, high2;
} misses;

static void add(misses *m, const sw_month *said, const sw_month *is)
{
    double light = said->ghi_kwh_m2_day / is->ghi_kwh_m2_day - 1.0, air = said->mean_c - is->mean_c;
    double low = said->daily_min_c - is->daily_min_c, high = said->daily_max_c - is->daily_max_c;
    m->months++;
    m->light += light;
    m->light2 += light * light;
    m->air += air;
    m->air2 += air * air;
    m->low2 += low * low;
    m->high2 += high * high;
}

static double rms(double sum_of_squares, int count)
{
    return sqrt(sum_of_squares / count);
}

static void print(const char *name, const misses *m)
{
    printf(
        "%-26s %5d months: light %+5.1f %%, rms %4.1f %%; air %+4.1f K, rms %.2f K (lows %.2f, highs %.2f)\n",
        name, m->months, 100.0 * m->light / m->months, 100.0 * rms(m->light2, m->months), m->air / m->months,
        rms(m->air2, m->months), rms(m->low2, m->months), rms(m->high2, m->months));
}

/* By climate: the mean clearness of the year, and the height; by the distance of the nearest neighbour. */
START_TEST(left_out_stations_are_met_by_their_neighbours)
{
    static const char *const climate_name[] = {"cloudy (kt < 0.45)", "middling", "sunny (kt > 0.58)"};
    static const char *const height_name[] = {"below 300 m", "300 to 1200 m", "above 1200 m"};
    static const char *const near_name[] = {"nearest within 25 km", "within 50 km", "within 100 km",
                                            "farther"};
    misses all = {0}, climate[3] = {{0}}, height[3] = {{0}}, near[4] = {{0}};
    size_t length;
    char *text = read_whole_file(SW_SOURCE_DIR "/weather/stations.csv", &length);
    sw_station_table *table = NULL;
    int alone = 0;
    ck_assert_ptr_nonnull(text);
    ck_assert_int_eq(sw_stations_open(text, length, "stations.csv", NULL, &table), SW_OK);
    for (int i = 0; i < sw_stations_count(table); i++) {
        const sw_station *s = sw_stations_at(table, i);
        sw_month is[12];
        sw_climate said;
        double year = 0.0;
        ck_assert_int_eq(sw_stations_months(table, i, NULL, is), SW_OK);
        if (sw_climate_without(table, i, s->lat_deg, s->lon_deg, s->elevation_m, NULL, NULL, &said) !=
            SW_OK) {
            alone++;
            continue;
        }
        for (int m = 0; m < 12; m++)
            year += is[m].kt_mean / 12.0;
        double km = said.distance_km[0];
        for (int m = 0; m < 12; m++) {
            if (is[m].ghi_kwh_m2_day < 0.2)
                continue; // the sun hardly rises
            add(&all, &said.month[m], &is[m]);
            add(&climate[year < 0.45 ? 0 : year < 0.58 ? 1 : 2], &said.month[m], &is[m]);
            add(&height[s->elevation_m < 300.0    ? 0
                        : s->elevation_m < 1200.0 ? 1
                                                  : 2],
                &said.month[m], &is[m]);
            add(&near[km < 25.0 ? 0 : km < 50.0 ? 1 : km < 100.0 ? 2 : 3], &said.month[m], &is[m]);
        }
    }
    for (int k = 0; k < 3; k++)
        print(climate_name[k], &climate[k]);
    for (int k = 0; k < 3; k++)
        print(height_name[k], &height[k]);
    for (int k = 0; k < 4; k++)
        print(near_name[k], &near[k]);
    print("all", &all);
    printf("%d stations have no neighbour within reach\n", alone);
    ck_assert_double_lt(fabs(all.light / all.months), 0.01);
    ck_assert_double_eq_tol(rms(all.light2, all.months), SW_CLIMATE_LIGHT_ERROR, 0.006); // what reports say
    ck_assert_double_lt(fabs(all.air / all.months), 0.1);
    ck_assert_double_eq_tol(rms(all.air2, all.months), SW_CLIMATE_AIR_ERROR_K, 0.06);
    sw_stations_free(table);
    free(text);
}
END_TEST

Suite *sw_suite(void)
{
    const TTest *const tests[] = {left_out_stations_are_met_by_their_neighbours, NULL};
    return sw_suite_of("interpolation", tests, 60);
}
