// Time zones: the C library's own clocks for every zone of zone.tab, the edges of changes, and damaged data.
#define _DEFAULT_SOURCE /* tm_gmtoff and tm_zone of the C library, used for comparison only */
#include "stillwatt/zone.h"
#include "support/checks.h"
#include "support/whole_file.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/wait.h>
#include <time.h>
#include <unistd.h>

#define ZONEINFO "/usr/share/zoneinfo/"

static unsigned char *whole_file(const char *path, size_t *length)
{
    unsigned char *bytes = (unsigned char *)read_whole_file(path, length);
    ck_assert_msg(bytes != NULL, "cannot read %s", path);
    return bytes;
}

static sw_zone *zone_of(const char *name)
{
    char path[200];
    size_t length;
    sw_zone *zone = NULL;
    snprintf(path, sizeof path, ZONEINFO "%s", name);
    unsigned char *bytes = whole_file(path, &length);
    ck_assert_int_eq(sw_zone_read(bytes, length, name, NULL, &zone), SW_OK);
    free(bytes);
    return zone;
}

static int64_t at(int year, int month, int day, int hour, int minute)
{
    return sw_days_from_civil(year, month, day) * 86400 + hour * 3600 + minute * 60;
}

/* ---- against the C library, in a process of its own, as it has one zone at a time ---- */

static long c_offset(time_t moment)
{
    struct tm tm;
    localtime_r(&moment, &tm);
    return tm.tm_gmtoff;
}

static int differs(const sw_zone *zone, time_t moment)
{
    struct tm tm;
    localtime_r(&moment, &tm);
    if (tm.tm_gmtoff == sw_zone_offset_s(zone, moment) &&
        strcmp(tm.tm_zone, sw_zone_abbreviation(zone, moment)) == 0)
        return 0;
    printf("  %s at %lld: %ld %s, ours %d %s\n", sw_zone_name(zone), (long long)moment, tm.tm_gmtoff,
           tm.tm_zone, (int)sw_zone_offset_s(zone, moment), sw_zone_abbreviation(zone, moment));
    return 1;
}

/* Moments 1970 to 2090: every 137 days, and both sides of each change that the C library shows between them.
 */
static int compare_zone(const char *name)
{
    sw_zone *zone = zone_of(name);
    setenv("TZ", name, 1);
    tzset();
    const time_t step = 137 * 86400, end = INT64_C(3786912000);
    int wrong = 0;
    for (time_t moment = 0; moment < end && wrong < 3; moment += step) {
        wrong += differs(zone, moment);
        time_t low = moment, high = moment + step;
        if (c_offset(low) == c_offset(high))
            continue;
        while (high - low > 1) {
            time_t middle = low + (high - low) / 2;
            *(c_offset(middle) == c_offset(moment) ? &low : &high) = middle;
        }
        wrong += differs(zone, low) + differs(zone, high);
    }
    sw_zone_free(zone);
    return wrong;
}

START_TEST(every_zone_of_the_table_keeps_the_clock_of_the_c_library)
{
    size_t length;
    char *table = (char *)whole_file(ZONEINFO "zone.tab", &length), name[64];
    int zones = 0, wrong = 0;
    for (char *line = strtok(table, "\n"); line != NULL; line = strtok(NULL, "\n")) {
        if (*line == '#' || sscanf(line, "%*s %*s %63s", name) != 1)
            continue;
        zones++;
        fflush(stdout);
        pid_t child = fork();
        ck_assert_int_ge(child, 0);
        if (child == 0) {
            int differing = compare_zone(name);
            fflush(stdout);
            _exit(differing);
        }
        int status;
        ck_assert_int_eq(waitpid(child, &status, 0), child);
        wrong += !WIFEXITED(status) || WEXITSTATUS(status) != 0;
    }
    free(table);
    ck_assert_int_gt(zones, 400);
    ck_assert_int_eq(wrong, 0);
}
END_TEST

/* ---- local clocks to moments ---- */

START_TEST(new_york_skips_an_hour_in_march_and_repeats_one_in_november)
{
    /* 2026: 8 March and 1 November, the second Sunday and the first (Energy Policy Act of 2005, section 110).
     */
    sw_zone *zone = zone_of("America/New_York");
    int64_t utc = 0;
    ck_assert_int_eq(sw_zone_to_utc(zone, at(2026, 3, 8, 1, 59), &utc), SW_LOCAL_ONCE);
    ck_assert_int_eq(utc, at(2026, 3, 8, 6, 59));
    ck_assert_int_eq(sw_zone_to_utc(zone, at(2026, 3, 8, 2, 0), &utc), SW_LOCAL_GAP);
    ck_assert_int_eq(utc, at(2026, 3, 8, 7, 0));
    ck_assert_int_eq(sw_zone_to_utc(zone, at(2026, 3, 8, 2, 59), &utc), SW_LOCAL_GAP);
    ck_assert_int_eq(utc, at(2026, 3, 8, 7, 0));
    ck_assert_int_eq(sw_zone_to_utc(zone, at(2026, 3, 8, 3, 0), &utc), SW_LOCAL_ONCE);
    ck_assert_int_eq(utc, at(2026, 3, 8, 7, 0));
    ck_assert_int_eq(sw_zone_to_utc(zone, at(2026, 11, 1, 0, 59), &utc), SW_LOCAL_ONCE);
    ck_assert_int_eq(utc, at(2026, 11, 1, 4, 59));
    ck_assert_int_eq(sw_zone_to_utc(zone, at(2026, 11, 1, 1, 30), &utc), SW_LOCAL_TWICE);
    ck_assert_int_eq(utc, at(2026, 11, 1, 5, 30));
    ck_assert_int_eq(sw_zone_to_utc(zone, at(2026, 11, 1, 2, 0), &utc), SW_LOCAL_ONCE);
    ck_assert_int_eq(utc, at(2026, 11, 1, 7, 0));
    sw_zone_free(zone);
}
END_TEST

START_TEST(far_years_follow_the_rule_of_the_footer)
{
    sw_zone *zone = zone_of("America/New_York");
    int64_t utc = 0;
    ck_assert_int_eq(sw_zone_to_utc(zone, at(2400, 3, 12, 2, 30), &utc),
                     SW_LOCAL_GAP); /* 12 March 2400: a Sunday */
    ck_assert_int_eq(utc, at(2400, 3, 12, 7, 0));
    ck_assert_int_eq(sw_zone_to_utc(zone, at(2400, 11, 5, 1, 0), &utc), SW_LOCAL_TWICE);
    ck_assert_str_eq(sw_zone_abbreviation(zone, at(2400, 7, 1, 0, 0)), "EDT");
    ck_assert_str_eq(sw_zone_abbreviation(zone, at(2400, 1, 1, 0, 0)), "EST");
    sw_zone_free(zone);
}
END_TEST

START_TEST(lord_howe_moves_its_clock_by_half_an_hour)
{
    sw_zone *zone = zone_of("Australia/Lord_Howe");
    int64_t utc = 0;
    /* First Sunday of October 2026, the 4th: 02:00 becomes 02:30; of April, the 5th: 02:00 becomes 01:30. */
    ck_assert_int_eq(sw_zone_to_utc(zone, at(2026, 10, 4, 2, 29), &utc), SW_LOCAL_GAP);
    ck_assert_int_eq(utc, at(2026, 10, 3, 15, 30));
    ck_assert_int_eq(sw_zone_to_utc(zone, at(2026, 10, 4, 2, 30), &utc), SW_LOCAL_ONCE);
    ck_assert_int_eq(sw_zone_to_utc(zone, at(2026, 4, 5, 1, 29), &utc), SW_LOCAL_ONCE);
    ck_assert_int_eq(sw_zone_to_utc(zone, at(2026, 4, 5, 1, 30), &utc), SW_LOCAL_TWICE);
    ck_assert_int_eq(utc, at(2026, 4, 4, 14, 30));
    sw_zone_free(zone);
}
END_TEST

START_TEST(days_have_23_24_or_25_hours)
{
    sw_zone *zone = zone_of("America/New_York");
    static const struct {
        int month, day, hours;
    } days[] = {{3, 7, 24}, {3, 8, 23}, {3, 9, 24}, {10, 31, 24}, {11, 1, 25}, {11, 2, 24}};
    for (size_t i = 0; i < sizeof days / sizeof days[0]; i++) {
        int64_t begin = 0, end = 0, midnight = at(2026, days[i].month, days[i].day, 0, 0);
        ck_assert_int_eq(sw_zone_to_utc(zone, midnight, &begin), SW_LOCAL_ONCE);
        ck_assert_int_eq(sw_zone_to_utc(zone, midnight + 86400, &end), SW_LOCAL_ONCE);
        ck_assert_int_eq(end - begin, days[i].hours * 3600);
    }
    sw_zone_free(zone);
}
END_TEST

START_TEST(a_day_that_was_left_out_is_a_gap)
{
    /* Samoa left out 30 December 2011 (tzdata, file australasia): UTC-10 in summer became UTC+14 in summer.
     */
    sw_zone *zone = zone_of("Pacific/Apia");
    int64_t utc = 0;
    ck_assert_int_eq(sw_zone_to_utc(zone, at(2011, 12, 30, 12, 0), &utc), SW_LOCAL_GAP);
    ck_assert_int_eq(utc, at(2011, 12, 30, 10, 0));
    ck_assert_int_eq(sw_zone_to_utc(zone, at(2011, 12, 31, 0, 0), &utc), SW_LOCAL_ONCE);
    ck_assert_int_eq(utc, at(2011, 12, 30, 10, 0));
    sw_zone_free(zone);
}
END_TEST

START_TEST(local_clocks_and_moments_agree_both_ways)
{
    static const char *const names[] = {"America/Denver", "Europe/London", "Africa/Casablanca",
                                        "America/Nuuk", "Asia/Gaza"};
    for (size_t n = 0; n < sizeof names / sizeof names[0]; n++) {
        sw_zone *zone = zone_of(names[n]);
        for (int64_t utc = 0; utc < INT64_C(3786912000); utc += 1234567) {
            int64_t back = 0, local = utc + sw_zone_offset_s(zone, utc);
            sw_local_kind kind = sw_zone_to_utc(zone, local, &back);
            ck_assert_int_ne(kind, SW_LOCAL_GAP);
            ck_assert_int_eq(back + sw_zone_offset_s(zone, back), local);
            ck_assert(kind == SW_LOCAL_TWICE ? back <= utc : back == utc);
        }
        sw_zone_free(zone);
    }
}
END_TEST

/* ---- data made here ---- */

static size_t put_32(unsigned char *to, uint32_t value)
{
    for (int i = 0; i < 4; i++)
        to[i] = (unsigned char)(value >> (24 - 8 * i));
    return 4;
}

/* Version 2 or 3 data with one clock (UTC-5 "EST"), no changes, and the footer. @return its length */
static size_t make(unsigned char out[600], char version, const char *footer)
{
    size_t length = 0;
    for (int part = 0; part < 2; part++) {
        memset(out + length, 0, 44);
        memcpy(out + length, "TZif", 4);
        out[length + 4] = (unsigned char)version;
        put_32(out + length + 36, 1);
        put_32(out + length + 40, 4);
        length += 44;
        length += put_32(out + length, (uint32_t)-18000);
        memcpy(out + length, "\0\0EST", 6);
        length += 6;
    }
    return length + (size_t)sprintf((char *)out + length, "\n%s\n", footer);
}

START_TEST(malformed_data_is_refused_with_a_message)
{
    unsigned char bytes[600];
    size_t length = make(bytes, '2', "EST5");
    sw_zone *zone = NULL;
    sw_messages *messages = sw_messages_create();
    for (size_t cut = 0; cut < length; cut++)
        ck_assert_int_eq(sw_zone_read(bytes, cut, "Made/Up", messages, &zone), SW_BAD_INPUT);
    ck_assert_uint_eq(sw_messages_errors(messages), length);
    ck_assert_str_eq(sw_messages_at(messages, 0)->where.file, "Made/Up");
    static const struct {
        size_t at;
        unsigned char value;
    } faults[] = {{0, 'X'},       {4, '1'},       {4, '9'},        {54 + 31, 1}, {54 + 39, 0}, {54 + 43, 0},
                  {54 + 43, 255}, {54 + 32, 255}, {54 + 44, 0x7F}, {54 + 48, 2}, {54 + 49, 9}};
    for (size_t i = 0; i < sizeof faults / sizeof faults[0]; i++) {
        unsigned char copy[600];
        memcpy(copy, bytes, sizeof copy);
        copy[faults[i].at] = faults[i].value;
        ck_assert_msg(sw_zone_read(copy, length, "x", messages, &zone) == SW_BAD_INPUT, "fault %zu", i);
    }
    sw_messages_free(messages);
    ck_assert_ptr_null(zone);
}
END_TEST

START_TEST(changes_must_be_in_order_and_lead_to_a_clock)
{
    /* Version 1: two clocks, "AAA" 0 h and "BBB" 1 h, and two changes: at 100 s to BBB, at 200 s back. */
    unsigned char bytes[74] = "TZif";
    put_32(bytes + 32, 2);
    put_32(bytes + 36, 2);
    put_32(bytes + 40, 8);
    put_32(bytes + 44, 100);
    put_32(bytes + 48, 200);
    bytes[52] = 1;
    put_32(bytes + 60, 3600);
    bytes[65] = 4;
    memcpy(bytes + 66, "AAA\0BBB", 8);
    sw_zone *zone = NULL;
    ck_assert_int_eq(sw_zone_read(bytes, sizeof bytes, "x", NULL, &zone), SW_OK);
    ck_assert_str_eq(sw_zone_abbreviation(zone, 99), "AAA");
    ck_assert_str_eq(sw_zone_abbreviation(zone, 100), "BBB");
    ck_assert_str_eq(sw_zone_abbreviation(zone, 200), "AAA");
    sw_zone_free(zone);
    put_32(bytes + 48, 100);
    ck_assert_int_eq(sw_zone_read(bytes, sizeof bytes, "x", NULL, &zone), SW_BAD_INPUT);
    put_32(bytes + 48, 50);
    ck_assert_int_eq(sw_zone_read(bytes, sizeof bytes, "x", NULL, &zone), SW_BAD_INPUT);
    put_32(bytes + 48, 200);
    bytes[53] = 2;
    ck_assert_int_eq(sw_zone_read(bytes, sizeof bytes, "x", NULL, &zone), SW_BAD_INPUT);
}
END_TEST

START_TEST(version_1_data_keeps_its_last_clock)
{
    unsigned char bytes[600];
    sw_zone *zone = NULL;
    (void)make(bytes, '\0', "");
    ck_assert_int_eq(sw_zone_read(bytes, 54, "Made/Up", NULL, &zone), SW_OK);
    ck_assert_int_eq(sw_zone_offset_s(zone, at(2050, 7, 1, 0, 0)), -18000);
    ck_assert_str_eq(sw_zone_abbreviation(zone, at(1900, 1, 1, 0, 0)), "EST");
    ck_assert_str_eq(sw_zone_name(zone), "Made/Up");
    sw_zone_free(zone);
}
END_TEST

START_TEST(damaged_bytes_do_no_harm)
{
    static const char *const names[] = {"America/New_York", "Africa/Casablanca", "Australia/Lord_Howe",
                                        "Etc/UTC"};
    unsigned seed = 4711;
    int read = 0;
    for (size_t n = 0; n < sizeof names / sizeof names[0]; n++) {
        char path[100];
        size_t length;
        snprintf(path, sizeof path, ZONEINFO "%s", names[n]);
        unsigned char *bytes = whole_file(path, &length);
        for (int i = 0; i < 3000; i++) {
            seed = seed * 1664525u + 1013904223u;
            size_t cut = i % 4 == 0 ? (seed >> 8) % length : length;
            unsigned char *copy =
                malloc(cut + 1); /* exact but for one byte, so that a sanitizer sees steps beyond */
            memcpy(copy, bytes, cut);
            for (int k = 0; k < 1 + i % 6 && cut > 0; k++) {
                seed = seed * 1664525u + 1013904223u;
                size_t where = (seed >> 8) % (i % 3 == 0 && cut > 60 ? 60 : cut);
                where = i % 5 == 0 && cut > 40 ? cut - 1 - where % 40 : where;
                seed = seed * 1664525u + 1013904223u;
                copy[where] = (unsigned char)(seed >> 16);
            }
            sw_zone *zone = NULL;
            if (sw_zone_read(copy, cut, "x", NULL, &zone) == SW_OK) {
                static const int64_t moments[] = {INT64_MIN,           -INT64_C(5000000000), 0,
                                                  INT64_C(1767225600), INT64_C(99999999999), INT64_MAX};
                for (size_t m = 0; m < 6; m++) {
                    int64_t utc = 0;
                    ck_assert_int_le(abs(sw_zone_offset_s(zone, moments[m])), 93599);
                    ck_assert_uint_lt(strlen(sw_zone_abbreviation(zone, moments[m])), 65537);
                    (void)sw_zone_to_utc(zone, moments[m], &utc);
                }
                read++;
                sw_zone_free(zone);
            }
            free(copy);
        }
        free(bytes);
    }
    ck_assert_int_gt(read, 100); /* some damage is no fault of form: both ways were tried */
    ck_assert_int_lt(read, 11900);
}
END_TEST

START_TEST(leap_second_zones_are_refused)
{
    size_t length;
    sw_zone *zone = NULL;
    unsigned char *bytes = whole_file(ZONEINFO "right/Europe/Paris", &length);
    ck_assert_int_eq(sw_zone_read(bytes, length, "right/Europe/Paris", NULL, &zone), SW_BAD_INPUT);
    free(bytes);
}
END_TEST

Suite *sw_suite(void)
{
    const TTest *const tests[] = {
        every_zone_of_the_table_keeps_the_clock_of_the_c_library,
        new_york_skips_an_hour_in_march_and_repeats_one_in_november,
        far_years_follow_the_rule_of_the_footer,
        lord_howe_moves_its_clock_by_half_an_hour,
        days_have_23_24_or_25_hours,
        a_day_that_was_left_out_is_a_gap,
        local_clocks_and_moments_agree_both_ways,
        malformed_data_is_refused_with_a_message,
        changes_must_be_in_order_and_lead_to_a_clock,
        version_1_data_keeps_its_last_clock,
        damaged_bytes_do_no_harm,
        leap_second_zones_are_refused,
        NULL,
    };
    return sw_suite_of("zone", tests, 60);
}
