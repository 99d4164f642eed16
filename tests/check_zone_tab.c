// Zones suggested for a place.
#include "stillwatt/zone.h"
#include "support/checks.h"
#include "support/whole_file.h"

#include <stdio.h>
#include <stdlib.h>

#define ZONEINFO "/usr/share/zoneinfo/"

static char *whole_file(const char *path, size_t *length)
{
    char *bytes = read_whole_file(path, length);
    ck_assert_msg(bytes != NULL, "cannot read %s", path);
    return bytes;
}

START_TEST(the_nearest_zones_are_suggested)
{
    size_t length;
    char *table = whole_file(ZONEINFO "zone.tab", &length), names[5][40];
    ck_assert_int_eq(sw_zone_suggest(table, length, 39.74, -104.99, names, 5), 5);
    ck_assert_str_eq(names[0], "America/Denver");
    ck_assert_int_eq(sw_zone_suggest(table, length, -36.9, 174.8, names, 1), 1);
    ck_assert_str_eq(names[0], "Pacific/Auckland");
    ck_assert_int_eq(sw_zone_suggest(table, length, -17, -179.9, names, 3), 3); /* across the date line */
    ck_assert_str_eq(names[0], "Pacific/Fiji");
    ck_assert_int_eq(sw_zone_suggest(table, length, 0, 0, names, 0), 0);
    free(table);
}
END_TEST

START_TEST(minutes_and_seconds_of_a_degree_count)
{
    static const char table[] =
        "AA\t+0050+00000\tA/Minutes\nBB\t+0101+00000\tB/Minutes\nCC\t-005000-0000000\tC/C\n"
        "DD\t-005059-0000000\tD/D\n";
    char names[1][40];
    ck_assert_int_eq(sw_zone_suggest(table, sizeof table - 1, 0.9, 0, names, 1),
                     1); /* 0.833 and 1.017 degrees */
    ck_assert_str_eq(names[0], "A/Minutes");
    ck_assert_int_eq(sw_zone_suggest(table, sizeof table - 1, -0.845, 0, names, 1),
                     1); /* 0.8333 and 0.8497 */
    ck_assert_str_eq(names[0], "D/D");
}
END_TEST

START_TEST(lines_of_another_form_are_passed_over)
{
    static const char table[] =
        "# XX\t+0000+00000\tA/B\n\nXX\t+00+000\tA/C\nXX\t+0000+00000\t\nXX +0000+00000 A/D\nXX\t+0000+00000\n"
        "YY\t-333000+0100000\tFar/Off\tcomment\nXX\t+0130-00230\tNear/By\r\nXX\tx0130-00230\tA/"
        "E\nXX\t+0000+00000\t"
        "A/Name_That_Is_Longer_Than_Any_Zone_Can_Be_X\nYY\t+0000+00000\tA/\x1B[31m\nYY\t+0000+00000\tA/Two "
        "words\n"
        "YY\t+0000+00000\tA/Caf\xC3\xA9\nZZ\t+9000+00000\tNo/End";
    char names[6][40];
    ck_assert_int_eq(sw_zone_suggest(table, sizeof table - 1, 0, 0, names, 6), 3);
    ck_assert_str_eq(names[0], "Near/By");
    ck_assert_str_eq(names[1], "Far/Off");
    ck_assert_str_eq(names[2], "No/End");
}
END_TEST

Suite *sw_suite(void)
{
    const TTest *const tests[] = {
        the_nearest_zones_are_suggested,
        minutes_and_seconds_of_a_degree_count,
        lines_of_another_form_are_passed_over,
        NULL,
    };
    return sw_suite_of("zone_tab", tests, 20);
}
