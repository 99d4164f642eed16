// The EPW reader on invented years: what it reads, and what it mends.
#include "stillwatt/zone.h"
#include "support/checks.h"
#include "support/invented_epw.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

static void expect_all_rows(const sw_series *series)
{
    for (int i = 0; i < series->count; i++) {
        const sw_weather_row *row = &series->row[i];
        ck_assert_double_eq(row->ghi_w_m2, invented_ghi(i));
        ck_assert_double_eq(row->dni_w_m2, invented_ghi(i) + 1);
        ck_assert_double_eq(row->dhi_w_m2, invented_ghi(i) / 2);
        ck_assert_double_eq(row->air_c, invented_air(i));
        ck_assert_double_eq(row->humidity_pct, 40);
        ck_assert_double_eq(row->pressure_pa, 88000);
        ck_assert_double_eq(row->wind_m_s, 3.5);
        ck_assert_double_eq(row->albedo, 0.2);
        ck_assert_double_eq_tol(row->snow_m, 0.02, 1e-15); /* one product of doubles */
    }
}

START_TEST(a_year_is_read_as_it_stands)
{
    epw_reading r = read_invented(&invented_plain);
    ck_assert_int_eq(r.status, SW_OK);
    ck_assert_uint_eq(sw_messages_count(r.messages), 0);
    ck_assert_int_eq(r.series->count, 8760);
    ck_assert_int_eq(r.series->typical_year, 1);
    ck_assert_int_eq(r.series->step_s, 3600);
    ck_assert_str_eq(r.series->place, "Lower  Meadow");
    ck_assert_double_eq(r.series->lat_deg, 38.5);
    ck_assert_double_eq(r.series->lon_deg, -109.25);
    ck_assert_double_eq(r.series->elevation_m, 1212.5);
    ck_assert_int_eq(r.series->utc_offset_s, -25200);
    expect_all_rows(r.series);
    free_reading(&r);
}
END_TEST

/* [epw] labels a row with the hour that ends it, from 1 to 24, in the standard time of the place. */
START_TEST(the_row_labelled_with_an_hour_covers_the_hour_before)
{
    epw_reading r = read_invented(&invented_plain);
    /* Label 15 July, hour 13: from 12:00 to 13:00 at UTC-7, so 19:30 UTC is in it; the day is the year's
     * 196th. */
    int64_t moment = sw_days_from_civil(2026, 7, 15) * 86400 + 19 * 3600 + 1800;
    ck_assert_int_eq(sw_series_index(r.series, moment), 195 * 24 + 12);
    ck_assert_double_eq(r.series->row[sw_series_index(r.series, moment)].ghi_w_m2,
                        invented_ghi(195 * 24 + 12));
    free_reading(&r);
}
END_TEST

START_TEST(line_ends_do_not_matter)
{
    static const char *const ends[] = {"\r\n", "\r\r\n", "\n"};
    for (size_t i = 0; i < 3; i++) {
        invented_shape s = invented_plain;
        s.end = ends[i];
        invented_text file = invented_year(&s);
        if (i == 2)
            file.length--; /* no end at the last line */
        epw_reading r = read_epw(file.text, file.length);
        free(file.text);
        ck_assert_int_eq(r.status, SW_OK);
        expect_all_rows(r.series);
        free_reading(&r);
    }
}
END_TEST

START_TEST(empty_lines_at_the_end_and_a_byte_order_mark_are_passed_over)
{
    invented_text body = invented_year(&invented_plain), file = {NULL, 0, 0};
    invented_add(&file, "\xEF\xBB\xBF");
    file.text = realloc(file.text, file.length + body.length + 10);
    memcpy(file.text + file.length, body.text, body.length);
    memcpy(file.text + file.length + body.length, "\n \r\n\n", 5);
    epw_reading r = read_epw(file.text, file.length + body.length + 5);
    ck_assert_int_eq(r.status, SW_OK);
    ck_assert_uint_eq(sw_messages_count(r.messages), 0);
    free(body.text);
    free(file.text);
    free_reading(&r);
}
END_TEST

START_TEST(a_half_hour_zone_keeps_its_half_hour)
{
    invented_shape s = invented_plain;
    s.zone = "5.5";
    epw_reading r = read_invented(&s);
    ck_assert_int_eq(r.series->utc_offset_s, 19800);
    int64_t midnight_utc = sw_days_from_civil(2001, 1, 1) * 86400;
    ck_assert_int_eq(r.series->start_s, midnight_utc - 19800);
    ck_assert_int_eq(sw_series_index(r.series, midnight_utc), 5); /* 05:30 there */
    free_reading(&r);
}
END_TEST

START_TEST(a_leap_year_is_a_record_of_that_year)
{
    invented_shape s = invented_plain;
    s.year = 2012;
    epw_reading r = read_invented(&s);
    ck_assert_int_eq(r.status, SW_OK);
    ck_assert_int_eq(r.series->count, 8784);
    ck_assert_int_eq(r.series->typical_year, 0);
    ck_assert_int_eq(r.series->start_s, 1325376000 + 25200); /* date -u -d 2012-01-01 +%s */
    expect_all_rows(r.series);
    free_reading(&r);
}
END_TEST

START_TEST(missing_codes_become_nan)
{
    invented_text file = {NULL, 0, 0}, body = invented_year(&invented_plain);
    /* The first row's humidity, pressure, wind, snow and albedo in the codes of the format and of others. */
    static const char *const rows[] = {
        ",999,999999,0,0,0,0,1,0,0,0,0,0,0,999,0,0,9999,0,9,0,10,.05,999,88,999,0,0",
        ",-999,-9999,0,0,0,0,1,0,0,0,0,0,0,-999.0,0,0,9999,0,9,0,10,.05,-9900,88,0.000,0",
        ",,,0,0,0,0,1,0,0,0,0,0,0,,0,0,9999,0,9,0,10,.05,,88,,0,0",
        ",,,0,0,0,0,1,0,0,0,0,0,0,",
    };
    char *first = strstr(body.text, "\n2003,") + 1, *second = strchr(first, '\n');
    for (size_t i = 0; i < 4; i++) {
        file.length = 0;
        invented_add(&file, "%s", "");
        size_t head = (size_t)(first - body.text), tail = (size_t)(body.text + body.length - second);
        file.text = realloc(file.text, file.room = body.length + 1000);
        memcpy(file.text, body.text, head);
        file.length = head;
        invented_add(&file, "2003,1,1,1,0,x,-20.0,5.5%s", rows[i]);
        memcpy(file.text + file.length, second, tail);
        epw_reading r = read_epw(file.text, file.length + tail);
        ck_assert_int_eq(r.status, SW_OK);
        ck_assert(isnan(r.series->row[0].humidity_pct) && isnan(r.series->row[0].pressure_pa));
        ck_assert(isnan(r.series->row[0].wind_m_s) && isnan(r.series->row[0].snow_m));
        ck_assert(isnan(r.series->row[0].albedo));
        ck_assert_double_eq(r.series->row[0].air_c, -20);
        ck_assert_uint_eq(sw_messages_count(r.messages), 0);
        free_reading(&r);
    }
    free(body.text);
    free(file.text);
}
END_TEST

START_TEST(a_gap_of_three_is_filled_on_a_straight_line_and_told)
{
    invented_shape s = invented_plain;
    s.air = "99.9";
    s.ghi = "9999";
    s.from = 4000;
    s.to = 4003;
    epw_reading r = read_invented(&s);
    ck_assert_int_eq(r.status, SW_OK);
    for (int k = 1; k <= 3; k++) {
        double air = invented_air(3999) + (invented_air(4003) - invented_air(3999)) * k / 4;
        double ghi = invented_ghi(3999) + (invented_ghi(4003) - invented_ghi(3999)) * k / 4.0;
        ck_assert_double_eq_tol(r.series->row[3999 + k].air_c, air, 1e-12); /* rounding of one product */
        ck_assert_double_eq_tol(r.series->row[3999 + k].ghi_w_m2, ghi, 1e-12);
    }
    expect_message(&r, "air temperature was missing in 3 rows, the first of 16 June 17:00;", 0);
    expect_message(&r, "global radiation was missing in 3 rows, the first of 16 June 17:00;", 0);
    ck_assert_uint_eq(sw_messages_errors(r.messages), 0);
    free_reading(&r);
}
END_TEST

START_TEST(a_gap_round_the_new_year_is_filled_from_both_sides)
{
    invented_text file = invented_year(&invented_plain);
    static const int rows[] = {8758, 8759, 0};
    for (int i = 0; i < 3; i++) {
        char label[40];
        snprintf(label, sizeof label, "\n2003,%d,%d,%d,", rows[i] == 0 ? 1 : 12, rows[i] == 0 ? 1 : 31,
                 rows[i] % 24 + 1);
        char *air = strstr(file.text, label);
        ck_assert_ptr_nonnull(air);
        air = strchr(strchr(air, '*'), ',') + 1;
        memset(air, ' ', strcspn(air, ","));
    }
    epw_reading r = read_epw(file.text, file.length);
    free(file.text);
    ck_assert_int_eq(r.status, SW_OK);
    for (int k = 1; k <= 3; k++)
        ck_assert_double_eq_tol(r.series->row[rows[k - 1]].air_c,
                                invented_air(8757) + (invented_air(1) - invented_air(8757)) * k / 4, 1e-12);
    free_reading(&r);
}
END_TEST

START_TEST(a_real_year_neither_wraps_its_gaps_nor_fills_its_ends)
{
    invented_shape s = invented_plain;
    s.year = 2012;
    s.air = "99.9";
    s.from = 0;
    s.to = 2;
    epw_reading r = read_invented(&s);
    ck_assert_int_eq(r.status, SW_OK);
    ck_assert(isnan(r.series->row[0].air_c) && isnan(r.series->row[1].air_c));
    ck_assert_double_eq(r.series->row[2].air_c, invented_air(2));
    free_reading(&r);
}
END_TEST

START_TEST(radiation_a_little_below_zero_is_zero)
{
    invented_shape s = invented_plain;
    s.ghi = "-0.5";
    s.from = 30;
    s.to = 31;
    epw_reading r = read_invented(&s);
    ck_assert_int_eq(r.status, SW_OK);
    ck_assert_double_eq(r.series->row[30].ghi_w_m2, 0);
    free_reading(&r);
}
END_TEST

START_TEST(a_place_in_latin_1_becomes_utf_8)
{
    invented_text file = invented_year(&invented_plain);
    char *place = strstr(file.text, "Lower  Meadow");
    memcpy(place, "M\xFCnster\x01\xC3\xA9zz.", 13);
    epw_reading r = read_epw(file.text, file.length);
    free(file.text);
    ck_assert_str_eq(r.series->place, "M\xC3\xBCnster \xC3\xA9zz.");
    free_reading(&r);
}
END_TEST

Suite *sw_suite(void)
{
    const TTest *const tests[] = {
        a_year_is_read_as_it_stands,
        the_row_labelled_with_an_hour_covers_the_hour_before,
        line_ends_do_not_matter,
        empty_lines_at_the_end_and_a_byte_order_mark_are_passed_over,
        a_half_hour_zone_keeps_its_half_hour,
        a_leap_year_is_a_record_of_that_year,
        missing_codes_become_nan,
        a_gap_of_three_is_filled_on_a_straight_line_and_told,
        a_gap_round_the_new_year_is_filled_from_both_sides,
        a_real_year_neither_wraps_its_gaps_nor_fills_its_ends,
        radiation_a_little_below_zero_is_zero,
        a_place_in_latin_1_becomes_utf_8,
        NULL,
    };
    return sw_suite_of("epw", tests, 60);
}
