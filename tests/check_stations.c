// The table of stations: opening it, finding names, and what it says about a place.
#include "stillwatt/stations.h"
#include "stillwatt/sun.h"
#include "support/checks.h"
#include "support/whole_file.h"

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

static sw_station_table *open_text(const char *text)
{
    sw_station_table *table = NULL;
    sw_messages *messages = sw_messages_create();
    sw_status status = sw_stations_open(text, strlen(text), "made.csv", messages, &table);
    if (status != SW_OK)
        printf("  %s\n", sw_messages_at(messages, 0)->what);
    ck_assert_int_eq(status, SW_OK);
    sw_messages_free(messages);
    return table;
}

static char *whole_table(size_t *length)
{
    char *text = read_whole_file(SW_SOURCE_DIR "/weather/stations.csv", length);
    ck_assert_ptr_nonnull(text);
    return text;
}

/* ---- the table itself ---- */

START_TEST(a_row_is_read_as_it_stands)
{
    static const char text[] =
        "# a comment\n" HEADER "Lower Meadow,XX,ZZZ,America/Denver,MADE,38.5,-109.25,1212," MONTHS(
            "4500", "5000", "1500", "125", "90");
    sw_station_table *table = open_text(text);
    ck_assert_int_eq(sw_stations_count(table), 1);
    const sw_station *station = sw_stations_at(table, 0);
    ck_assert_str_eq(station->name, "Lower Meadow");
    ck_assert_str_eq(station->region, "XX");
    ck_assert_str_eq(station->country, "ZZZ");
    ck_assert_str_eq(station->zone, "America/Denver");
    ck_assert_str_eq(station->set, "MADE");
    ck_assert(station->lat_deg == 38.5 && station->lon_deg == -109.25 && station->elevation_m == 1212);
    ck_assert_ptr_null(sw_stations_at(table, 1));
    ck_assert_ptr_null(sw_stations_at(table, -1));
    sw_month month[12];
    ck_assert_int_eq(sw_stations_months(table, 0, NULL, month), SW_OK);
    for (int i = 0; i < 12; i++) {
        ck_assert(month[i].ghi_kwh_m2_day == 4.5 && month[i].dni_kwh_m2_day == 5 &&
                  month[i].dhi_kwh_m2_day == 1.5);
        ck_assert(month[i].mean_c == 12.5 && month[i].daily_min_c == -5 && month[i].daily_max_c == 25);
        ck_assert(month[i].humidity_pct == 40 && month[i].wind_m_s == 3.5);
        ck_assert(month[i].kt_mean == 0.5 && month[i].kt_sd == 0.09 && month[i].dark_day_share == 0.1);
    }
    sw_stations_free(table);
}
END_TEST

START_TEST(bad_rows_are_told_with_their_lines)
{
    static const struct {
        const char *row, *says;
    } cases[] = {
        {"", "no stations"},
        {"A,XX,ZZZ\n", "time zone or data set is missing"},
        {",XX,ZZZ,Z,S,1,2,3,x\n", "name is missing"},
        {"A,XX,TOOLONG,Z,S,1,2,3,x\n", "region or country"},
        {"A,XX,ZZZ,Z,S,91,2,3,x\n", "latitude and longitude"},
        {"A,XX,ZZZ,Z,S,1,x,3,x\n", "latitude and longitude"},
        {"A,XX,ZZZ,Z,S,1,2,9999,x\n", "elevation"},
        {"A,XX,ZZZ,Z,S,1,2,3\n", "months are missing"},
        {"A123456789B123456789C123456789D123456789E123456789F123456789G123,XX,ZZZ,Z,S,1,2,3,x\n",
         "longer than 63"},
    };
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
        char text[600];
        snprintf(text, sizeof text, "# comment\n%s%s", HEADER, cases[i].row);
        sw_station_table *table = NULL;
        sw_messages *messages = sw_messages_create();
        ck_assert_int_eq(sw_stations_open(text, strlen(text), "made.csv", messages, &table), SW_BAD_INPUT);
        ck_assert_msg(strstr(sw_messages_at(messages, 0)->what, cases[i].says) != NULL, "%s", cases[i].says);
        ck_assert_int_eq(sw_messages_at(messages, 0)->where.line, i == 0 ? 0 : 3);
        sw_messages_free(messages);
    }
}
END_TEST

START_TEST(other_columns_are_refused)
{
    static const char text[] = "name,lat,lon\nA,1,2\n";
    sw_station_table *table = NULL;
    ck_assert_int_eq(sw_stations_open(text, strlen(text), "made.csv", NULL, &table), SW_BAD_INPUT);
    ck_assert_int_eq(sw_stations_open("", 0, "made.csv", NULL, &table), SW_BAD_INPUT);
    ck_assert_ptr_null(table);
}
END_TEST

START_TEST(bad_months_are_told_when_they_are_asked_for)
{
    static const char *const months[] = {"1 2 3", "1 2 3 4 5 6 7 8 9 10 11 12 13",
                                         "1 2 3 4 5 6 7 8 9 10 11 x", "1  2 3 4 5 6 7 8 9 10 11 12",
                                         "1 2 3 4 5 6 7 8 9 10 11 1e300"};
    for (size_t i = 0; i < sizeof months / sizeof months[0]; i++) {
        char text[600];
        snprintf(text, sizeof text, "%sA,XX,ZZZ,Z,S,1,2,3,%s\n", HEADER, months[i]);
        sw_station_table *table = open_text(text);
        sw_month month[12];
        sw_messages *messages = sw_messages_create();
        ck_assert_int_eq(sw_stations_months(table, 0, messages, month), SW_BAD_INPUT);
        ck_assert_int_eq(sw_messages_at(messages, 0)->where.line, 2);
        ck_assert_ptr_nonnull(strstr(sw_messages_at(messages, 0)->what, "global radiation of A"));
        sw_messages_free(messages);
        sw_stations_free(table);
    }
}
END_TEST

START_TEST(the_carried_table_is_whole)
{
    size_t length;
    char *text = whole_table(&length), path[100];
    ck_assert_uint_lt(length, 700000);
    sw_station_table *table = open_text(text);
    ck_assert_int_gt(sw_stations_count(table), 1000);
    for (int i = 0; i < sw_stations_count(table); i++) {
        const sw_station *station = sw_stations_at(table, i);
        sw_month month[12];
        ck_assert_int_eq(sw_stations_months(table, i, NULL, month), SW_OK);
        for (int m = 0; m < 12; m++) {
            ck_assert(month[m].ghi_kwh_m2_day > 0.2 && month[m].ghi_kwh_m2_day < 10);
            ck_assert(month[m].dhi_kwh_m2_day <=
                      month[m].ghi_kwh_m2_day + 0.0011); /* each is rounded to 0.001 */
            ck_assert(month[m].daily_min_c <= month[m].mean_c && month[m].mean_c <= month[m].daily_max_c);
            ck_assert(month[m].humidity_pct > 0 && month[m].humidity_pct <= 100 && month[m].wind_m_s < 25);
            ck_assert(month[m].kt_mean > 0.1 && month[m].kt_mean < 0.85 && month[m].kt_sd < 0.4);
            ck_assert(month[m].dark_day_share >= 0 && month[m].dark_day_share <= 1);
        }
        snprintf(path, sizeof path, "/usr/share/zoneinfo/%s", station->zone);
        FILE *zone = fopen(path, "rb");
        ck_assert_msg(zone != NULL, "%s", path);
        fclose(zone);
        for (int j = i + 1; j < sw_stations_count(table); j++) {
            const sw_station *other = sw_stations_at(table, j);
            sw_expect(strcmp(station->name, other->name) != 0 ||
                          strcmp(station->region, other->region) != 0 ||
                          strcmp(station->country, other->country) != 0,
                      "%s twice", station->name);
        }
    }
    sw_stations_free(table);
    free(text);
}
END_TEST

/* ---- names ---- */

START_TEST(names_are_found_in_many_spellings)
{
    static const char *const cases[][3] = {
        {"Grand Junction Walker Field", "Grand Junction Walker Field", "CO"},
        {"grand junction", "Grand Junction Walker Field", "CO"},
        {"GRAND JUNCTION, CO", "Grand Junction Walker Field", "CO"},
        {"junction, grand", "Grand Junction Walker Field", "CO"},
        {"Grand Junction CO USA", "Grand Junction Walker Field", "CO"},
        {"moab", "Moab Canyonlands Field", "UT"},
        {"Moab, UT", "Moab Canyonlands Field", "UT"},
        {"Moab airport", "Moab Canyonlands Field", "UT"},
        {"Denver", "Denver International Airport", "CO"},
        {"Denver Intl Ap", "Denver International Airport", "CO"},
        {"denver golden", "Denver Centennial Golden", "CO"},
        {"Columbus NE", "Columbus Municipal", "NE"},
        {"Eagle Co", "Eagle County Airport", "CO"},
        {"Butler County", "Butler County", "PA"},
        {"Butler Co", "Butler County", "PA"},
        {"Chicago O'Hare", "Chicago O'Hare International Airport", "IL"},
        {"chicago ohare", "Chicago O'Hare International Airport", "IL"},
        {"C\xC3\xB3rdoba", "Cordoba", "-"},
        {"Co\xCC\x81rdoba", "Cordoba", "-"},
        {"\xC5\x81\xC3\xB3"
         "d\xC5\xBA",
         "Lodz", "-"},
        {"A Coru\xC3\xB1"
         "a",
         "", ""},
        {"La Coru\xC3\xB1"
         "a ESP",
         "La Coruna", "-"},
        {"Saint Joseph MO", "St Joseph Rosecrans Memorial", "MO"},
        {"Great Falls", "Great Falls", "MT"},
        {"Great Falls International", "Great Falls International Airport", "MT"},
        {"Auckland NZL", "Auckland", "-"},
    };
    size_t length;
    char *text = whole_table(&length);
    sw_station_table *table = open_text(text);
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
        int suggest[5], suggested = -1;
        int index = sw_stations_find(table, cases[i][0], suggest, 5, &suggested);
        const sw_station *station = sw_stations_at(table, index);
        ck_assert_msg((station != NULL) == (cases[i][1][0] != '\0'), "%s", cases[i][0]);
        if (station == NULL)
            continue;
        ck_assert_str_eq(station->name, cases[i][1]);
        ck_assert_str_eq(station->region, cases[i][2]);
        ck_assert_int_eq(suggested, 0);
    }
    sw_stations_free(table);
    free(text);
}
END_TEST

START_TEST(every_station_is_found_by_its_own_name_and_region)
{
    size_t length;
    char *text = whole_table(&length);
    sw_station_table *table = open_text(text);
    for (int i = 0; i < sw_stations_count(table); i++) {
        const sw_station *station = sw_stations_at(table, i);
        char name[100];
        int suggest[1], suggested;
        snprintf(name, sizeof name, "%s, %s", station->name,
                 station->region[0] == '-' ? station->country : station->region);
        int found = sw_stations_find(table, name, suggest, 1, &suggested);
        ck_assert_msg(found == i, "%s gave %s", name,
                      found < 0 ? "none" : sw_stations_at(table, found)->name);
    }
    sw_stations_free(table);
    free(text);
}
END_TEST

static int suggests(const sw_station_table *table, const char *name, const char *wanted)
{
    int suggest[8], suggested = -1;
    ck_assert_msg(sw_stations_find(table, name, suggest, 8, &suggested) == -1, "%s was found", name);
    ck_assert_int_le(suggested, 8);
    for (int i = 0; i < suggested; i++)
        if (strcmp(sw_stations_at(table, suggest[i])->name, wanted) == 0)
            return 1;
    return 0;
}

START_TEST(ambiguous_and_unknown_names_give_suggestions)
{
    size_t length;
    char *text = whole_table(&length);
    sw_station_table *table = open_text(text);
    ck_assert(suggests(table, "Las Vegas", "Las Vegas McCarran International Airport"));
    ck_assert(suggests(table, "Las Vegas", "Las Vegas Municipal Airport"));
    ck_assert(suggests(table, "Portland", "Portland International Jetport"));
    ck_assert(suggests(table, "Columbus", "Columbus AFB"));
    ck_assert(suggests(table, "Mobe", "Mobridge") || suggests(table, "Moabb", "Moab Canyonlands Field"));
    ck_assert(suggests(table, "Moab CO", "Moab Canyonlands Field")); /* never the one in another state */
    ck_assert(suggests(table, "Moab CO USA", "Moab Canyonlands Field"));
    ck_assert(suggests(table, "Moab Utah", "Moab Canyonlands Field"));
    ck_assert(suggests(table, "Bishob", "Bishop Airport"));
    ck_assert(suggests(table, "Grand Junct", "Grand Junction Walker Field"));
    ck_assert(!suggests(table, "xqzzyv", "Moab Canyonlands Field"));
    int none[1] = {-7}, suggested;
    ck_assert_int_eq(sw_stations_find(table, "", none, 1, &suggested), -1);
    ck_assert_int_eq(suggested, 0);
    ck_assert_int_eq(sw_stations_find(table, "Las Vegas", none, 0, &suggested), -1);
    ck_assert_int_eq(suggested, 0);
    ck_assert_int_eq(none[0], -7);
    sw_stations_free(table);
    free(text);
}
END_TEST

START_TEST(names_of_any_bytes_do_no_harm)
{
    size_t length;
    char *text = whole_table(&length), name[200];
    sw_station_table *table = open_text(text);
    unsigned seed = 99;
    for (int i = 0; i < 60; i++) {
        for (size_t k = 0; k < sizeof name; k++) {
            seed = seed * 1664525u + 1013904223u;
            name[k] = (char)(seed >> 24);
        }
        name[(seed >> 8) % sizeof name] = '\0';
        name[sizeof name - 1] = '\0';
        int suggest[16], suggested;
        (void)sw_stations_find(table, name, suggest, 16, &suggested);
        ck_assert(suggested >= 0 && suggested <= 16);
    }
    sw_stations_free(table);
    free(text);
}
END_TEST

Suite *sw_suite(void)
{
    const TTest *const tests[] = {
        a_row_is_read_as_it_stands,
        bad_rows_are_told_with_their_lines,
        other_columns_are_refused,
        bad_months_are_told_when_they_are_asked_for,
        the_carried_table_is_whole,
        names_are_found_in_many_spellings,
        every_station_is_found_by_its_own_name_and_region,
        ambiguous_and_unknown_names_give_suggestions,
        names_of_any_bytes_do_no_harm,
        NULL,
    };
    return sw_suite_of("stations", tests, 30);
}
