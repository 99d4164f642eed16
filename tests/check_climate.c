// What the table of stations says about a place between them.
#include "stillwatt/stations.h"
#include "support/checks.h"
#include "support/whole_file.h"

#include <libnova/earth.h>
#include <libnova/solar.h>
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#define HEADER                                                                                               \
    "name,region,country,zone,set,lat,lon,elevation_m,ghi,dni,dhi,mean,min,max,humidity,wind,kt,ktsd,dark\n"
#define TWELVE(x) x " " x " " x " " x " " x " " x " " x " " x " " x " " x " " x " " x
#define MONTHS(ghi, dni, dhi, mean, ktsd)                                                                    \
    TWELVE(ghi)                                                                                              \
    "," TWELVE(dni) "," TWELVE(dhi) "," TWELVE(mean) "," TWELVE("-50") "," TWELVE("250") "," TWELVE(         \
        "40") "," TWELVE("35") "," TWELVE("500") "," TWELVE(ktsd) "," TWELVE("100") "\n"

/* Two invented stations on one parallel, 1000 m apart in height. */
static const char two[] = HEADER "Low,XX,ZZZ,America/Denver,MADE,38,-110,1000," MONTHS(
    "4000", "5000", "1000", "200",
    "100") "High,XX,ZZZ,America/Denver,MADE,38,-109,2000," MONTHS("4400", "6600", "1320", "150", "80");

static sw_station_table *open_text(const char *text, size_t length)
{
    sw_station_table *table = NULL;
    ck_assert_int_eq(sw_stations_open(text, length, "made.csv", NULL, &table), SW_OK);
    return table;
}

static sw_climate at(const sw_station_table *table, double lat, double lon, double elevation)
{
    sw_climate climate;
    ck_assert_int_eq(sw_climate_at(table, lat, lon, elevation, NULL, NULL, &climate), SW_OK);
    return climate;
}

START_TEST(weights_follow_distance_and_height)
{
    sw_station_table *table = open_text(two, strlen(two));
    sw_climate climate = at(table, 38, -109.75, 1200);
    /* On the 38th parallel a degree is 111.195 cos 38 = 87.62 km (sphere of 6371 km). Low: 21.91 km and 200
       m, which count as 40 km; High: 65.72 km and 800 m, 160 km. Inverse distances of 45.61 and 172.97 km,
       and a little for the nearness of 5 km. */
    double low = (1 + 25 / (45.606 * 45.606)) / 45.606, high = (1 + 25 / (172.97 * 172.97)) / 172.97;
    ck_assert_int_eq(climate.neighbours, 2);
    ck_assert_int_eq(climate.station[0], 0);
    ck_assert_int_eq(climate.station[1], 1);
    ck_assert_double_eq_tol(climate.distance_km[0], 21.906, 0.01); /* a chord is shorter than the parallel */
    ck_assert_double_eq_tol(climate.distance_km[1], 65.717, 0.01);
    ck_assert_double_eq_tol(climate.weight[0], low / (low + high),
                            1e-4); /* and the hand figures have 5 digits */
    ck_assert_double_eq_tol(climate.weight[0] + climate.weight[1], 1, 1e-15);
    sw_stations_free(table);
}
END_TEST

START_TEST(temperatures_move_by_6_5_k_in_a_kilometre)
{
    sw_station_table *table = open_text(two, strlen(two));
    sw_climate climate = at(table, 38, -109.75, 1200);
    double w = climate.weight[0];
    for (int m = 0; m < 12; m++) {
        ck_assert_double_eq_tol(climate.month[m].mean_c, w * (20 - 1.3) + (1 - w) * (15 + 5.2), 1e-9);
        ck_assert_double_eq_tol(climate.month[m].daily_min_c, w * (-5 - 1.3) + (1 - w) * (-5 + 5.2), 1e-9);
        ck_assert_double_eq_tol(climate.month[m].daily_max_c, w * (25 - 1.3) + (1 - w) * (25 + 5.2), 1e-9);
        ck_assert_double_eq_tol(climate.month[m].kt_sd, w * 0.1 + (1 - w) * 0.08, 1e-12);
        ck_assert_double_eq_tol(climate.month[m].humidity_pct, 40, 1e-9);
        ck_assert_double_eq_tol(climate.month[m].wind_m_s, 3.5, 1e-9);
        ck_assert_double_eq_tol(climate.month[m].dark_day_share, 0.1, 1e-12);
    }
    sw_stations_free(table);
}
END_TEST

START_TEST(on_one_parallel_energies_and_shares_are_weighted_themselves)
{
    sw_station_table *table = open_text(two, strlen(two));
    sw_climate climate = at(table, 38, -109.75, 1200);
    double w = climate.weight[0];
    for (int m = 0; m < 12; m++) {
        const sw_month *month = &climate.month[m];
        double ghi = w * 4 + (1 - w) * 4.4;
        /* The sampled days are the same, only a few minutes of the sun's clock apart in longitude. */
        ck_assert_double_eq_tol(month->ghi_kwh_m2_day, ghi, 1e-3);
        ck_assert_double_eq_tol(month->dhi_kwh_m2_day, ghi * (w * 0.25 + (1 - w) * 0.3), 1e-3);
        ck_assert_double_eq_tol(month->dni_kwh_m2_day, ghi * (w * 1.25 + (1 - w) * 1.5), 1e-3);
    }
    sw_stations_free(table);
}
END_TEST

static const char madison[] =
    HEADER "One,XX,ZZZ,America/Chicago,MADE,43,-89.4,270," MONTHS("4000", "5000", "1000", "200", "100");

/* Mean daily extraterrestrial energy of a month of 2001 [kWh/m2]: every day of it, libnova's sun at local
 * noon. */
static double every_day_kwh_m2(double lat_deg, double lon_deg, int first_day, int days)
{
    const double pi = acos(-1), lat = lat_deg * pi / 180;
    double sum = 0;
    for (int day = first_day; day < first_day + days; day++) {
        double jd = 2451910.5 + day + 0.5 - lon_deg / 360; /* 2451910.5 is 1 January 2001, 0 h UT */
        struct ln_equ_posn sun;
        ln_get_solar_equ_coords(jd, &sun);
        double dec = sun.dec * pi / 180, set = acos(-tan(lat) * tan(dec));
        double normal_kw = 1.3611 / pow(ln_get_earth_solar_dist(jd), 2);
        sum += 24 / pi * normal_kw * (cos(lat) * cos(dec) * sin(set) + set * sin(lat) * sin(dec));
    }
    return sum / days;
}

START_TEST(clearness_is_energy_over_the_extraterrestrial_energy_of_all_days)
{
    static const int length[] = {31, 28, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31};
    sw_station_table *table = open_text(madison, strlen(madison));
    sw_climate climate = at(table, 43, -89.4, 270);
    for (int m = 0, day = 0; m < 12; day += length[m++])
        /* 0.1 %: five days of a month stand for all. */
        ck_assert_double_eq_tol(climate.month[m].kt_mean * every_day_kwh_m2(43, -89.4, day, length[m]) / 4, 1,
                                0.001);
    sw_stations_free(table);
}
END_TEST

START_TEST(a_place_north_of_a_lone_station_has_less_winter_sun)
{
    sw_station_table *table = open_text(madison, strlen(madison));
    sw_climate climate = at(table, 45, -89.4, 270);
    ck_assert_double_eq_tol(climate.weight[0], 1, 1e-15);
    /* One clearness: the energies of December are as those above the air; 0.1 % as above. */
    double ratio = every_day_kwh_m2(45, -89.4, 334, 31) / every_day_kwh_m2(43, -89.4, 334, 31);
    ck_assert_double_lt(ratio, 0.95);
    ck_assert_double_eq_tol(climate.month[11].ghi_kwh_m2_day, 4 * ratio, 4 * 0.001);
    sw_stations_free(table);
}
END_TEST

START_TEST(a_place_too_far_from_all_is_told_so)
{
    sw_station_table *table = open_text(two, strlen(two));
    sw_messages *messages = sw_messages_create();
    sw_where where = {"trip.json", 7, 3, "/stops/2"};
    sw_climate climate;
    /* 2.75 degrees of latitude are 305.8 km, 2.65 are 294.7. */
    ck_assert_int_eq(sw_climate_at(table, 40.65, -110, 0, &where, messages, &climate), SW_OK);
    ck_assert_int_eq(climate.neighbours, 1);
    ck_assert_int_eq(sw_climate_at(table, 40.75, -110, 0, &where, messages, &climate), SW_BAD_INPUT);
    ck_assert_uint_eq(sw_messages_errors(messages), 1);
    const sw_message *message = sw_messages_at(messages, 0);
    ck_assert_str_eq(message->where.path, "/stops/2");
    ck_assert_ptr_nonnull(strstr(message->what, "the nearest is Low, 306 km away"));
    ck_assert_ptr_nonnull(message->hint);
    sw_messages_free(messages);
    sw_stations_free(table);
}
END_TEST

START_TEST(a_place_that_cannot_be_is_out_of_range)
{
    sw_station_table *table = open_text(two, strlen(two));
    sw_climate climate;
    ck_assert_int_eq(sw_climate_at(table, 91, 0, 0, NULL, NULL, &climate), SW_OUT_OF_RANGE);
    ck_assert_int_eq(sw_climate_at(table, NAN, 0, 0, NULL, NULL, &climate), SW_OUT_OF_RANGE);
    ck_assert_int_eq(sw_climate_at(table, 38, INFINITY, 0, NULL, NULL, &climate), SW_OUT_OF_RANGE);
    ck_assert_int_eq(sw_climate_at(table, 38, -110, 10000, NULL, NULL, &climate), SW_OUT_OF_RANGE);
    sw_stations_free(table);
}
END_TEST

START_TEST(bad_months_of_a_neighbour_are_an_error)
{
    static const char bad[] = HEADER "One,XX,ZZZ,America/Chicago,MADE,43,-89.4,270,1 2 3\n";
    sw_station_table *table = open_text(bad, strlen(bad));
    sw_climate climate;
    ck_assert_int_eq(sw_climate_at(table, 43, -89.4, 270, NULL, NULL, &climate), SW_BAD_INPUT);
    sw_stations_free(table);
}
END_TEST

static char *whole_table(size_t *length)
{
    char *text = read_whole_file(SW_SOURCE_DIR "/weather/stations.csv", length);
    ck_assert_ptr_nonnull(text);
    return text;
}

START_TEST(every_station_gives_its_own_months_back)
{
    size_t length;
    char *text = whole_table(&length);
    sw_station_table *table = open_text(text, length);
    double worst = 0, worst_c = 0;
    for (int i = 0; i < sw_stations_count(table); i++) {
        const sw_station *station = sw_stations_at(table, i);
        sw_month own[12];
        ck_assert_int_eq(sw_stations_months(table, i, NULL, own), SW_OK);
        sw_climate climate = at(table, station->lat_deg, station->lon_deg, station->elevation_m);
        ck_assert_double_eq_tol(climate.distance_km[0], 0, 1e-4);
        for (int m = 0; m < 12; m++) {
            worst = fmax(worst, fabs(climate.month[m].ghi_kwh_m2_day / own[m].ghi_kwh_m2_day - 1));
            worst_c = fmax(worst_c, fabs(climate.month[m].mean_c - own[m].mean_c));
        }
    }
    printf("  own position: within %.4f %% and %.4f K\n", worst * 100, worst_c);
    ck_assert_double_lt(worst, 0.01);
    ck_assert_double_lt(worst_c, 0.1); /* the table's own step */
    sw_stations_free(table);
    free(text);
}
END_TEST

Suite *sw_suite(void)
{
    const TTest *const tests[] = {
        weights_follow_distance_and_height,
        temperatures_move_by_6_5_k_in_a_kilometre,
        on_one_parallel_energies_and_shares_are_weighted_themselves,
        clearness_is_energy_over_the_extraterrestrial_energy_of_all_days,
        a_place_north_of_a_lone_station_has_less_winter_sun,
        a_place_too_far_from_all_is_told_so,
        a_place_that_cannot_be_is_out_of_range,
        bad_months_of_a_neighbour_are_an_error,
        every_station_gives_its_own_months_back,
        NULL,
    };
    return sw_suite_of("climate", tests, 30);
}
