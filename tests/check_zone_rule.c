// The rules in footers of time zone data: each form of a POSIX TZ string, and malformed ones.
#include "stillwatt/zone.h"
#include "support/checks.h"

#include <stdio.h>
#include <string.h>

static int64_t at(int year, int month, int day, int hour, int minute)
{
    return sw_days_from_civil(year, month, day) * 86400 + hour * 3600 + minute * 60;
}

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

static sw_zone *zone_by_rule(const char *footer)
{
    unsigned char bytes[600];
    sw_zone *zone = NULL;
    size_t length = make(bytes, '3', footer);
    return sw_zone_read(bytes, length, "Made/Up", NULL, &zone) == SW_OK ? zone : NULL;
}

START_TEST(every_form_of_rule_is_followed)
{
    static const struct {
        const char *rule;
        int year, month, day, hour, minute; /* UTC */
        int32_t offset_s;
        const char *abbreviation;
    } cases[] = {
        {"", 2030, 1, 1, 0, 0, -18000, "EST"},
        {"EST5", 2030, 7, 1, 0, 0, -18000, "EST"},
        {"<-03>3", 2030, 7, 1, 0, 0, -10800, "-03"},
        {"<+0545>-5:45", 2030, 7, 1, 0, 0, 20700, "+0545"},
        {"ABC-1:02:03", 2030, 7, 1, 0, 0, 3723, "ABC"},
        /* RFC 8536 section 3.3.1: Israel, 26 h after the midnight that begins the Thursday: 2030-03-29 00:00
           UTC */
        {"IST-2IDT,M3.4.4/26,M10.5.0", 2030, 3, 28, 23, 59, 7200, "IST"},
        {"IST-2IDT,M3.4.4/26,M10.5.0", 2030, 3, 29, 0, 0, 10800, "IDT"},
        {"IST-2IDT,M3.4.4/26,M10.5.0", 2030, 10, 26, 22, 59, 10800, "IDT"},
        {"IST-2IDT,M3.4.4/26,M10.5.0", 2030, 10, 26, 23, 0, 7200, "IST"},
        /* Greenland's rule: 22:00 of the Saturday before the last Sunday, as -2 h of the Sunday */
        {"<-03>3<-02>,M3.5.0/-2,M10.5.0/-1", 2030, 3, 31, 0, 59, -10800, "-03"},
        {"<-03>3<-02>,M3.5.0/-2,M10.5.0/-1", 2030, 3, 31, 1, 0, -7200, "-02"},
        {"<-03>3<-02>,M3.5.0/-2,M10.5.0/-1", 2030, 10, 27, 0, 59, -7200, "-02"},
        {"<-03>3<-02>,M3.5.0/-2,M10.5.0/-1", 2030, 10, 27, 1, 0, -10800, "-03"},
        /* all-year saving, RFC 8536 section 3.3.1 */
        {"XXX3EDT4,0/0,J365/23", 2030, 1, 1, 2, 59, -14400, "EDT"},
        {"XXX3EDT4,0/0,J365/23", 2030, 1, 1, 3, 0, -14400, "EDT"},
        {"XXX3EDT4,0/0,J365/23", 2030, 7, 1, 0, 0, -14400, "EDT"},
        /* J60 is 1 March in every year; day 59 counted from 0 is 29 February in a leap year and 1 March
           otherwise */
        {"AAA0BBB,J60/0,J300/0", 2028, 2, 29, 23, 59, 0, "AAA"},
        {"AAA0BBB,J60/0,J300/0", 2028, 3, 1, 0, 0, 3600, "BBB"},
        {"AAA0BBB,J60/0,J300/0", 2030, 3, 1, 0, 0, 3600, "BBB"},
        {"AAA0BBB,59/0,J300/0", 2028, 2, 29, 0, 0, 3600, "BBB"},
        {"AAA0BBB,59/0,J300/0", 2030, 2, 28, 23, 59, 0, "AAA"},
        {"AAA0BBB,59/0,J300/0", 2030, 3, 1, 0, 0, 3600, "BBB"},
        /* southern summer, round the new year */
        {"NZST-12NZDT,M9.5.0,M4.1.0/3", 2030, 12, 31, 23, 59, 46800, "NZDT"},
        {"NZST-12NZDT,M9.5.0,M4.1.0/3", 2030, 7, 1, 0, 0, 43200, "NZST"},
        /* saving below standard time (Ireland), with its own offset */
        {"IST-1GMT0,M10.5.0,M3.5.0/1", 2030, 1, 1, 0, 0, 0, "GMT"},
        {"IST-1GMT0,M10.5.0,M3.5.0/1", 2030, 7, 1, 0, 0, 3600, "IST"},
    };
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
        sw_zone *zone = zone_by_rule(cases[i].rule);
        ck_assert_msg(zone != NULL, "%s was refused", cases[i].rule);
        int64_t moment = at(cases[i].year, cases[i].month, cases[i].day, cases[i].hour, cases[i].minute);
        for (int era = -2; era <= 2; era++) { /* the calendar repeats every 146097 days */
            int64_t then = moment + era * INT64_C(146097) * 86400;
            ck_assert_msg(sw_zone_offset_s(zone, then) == cases[i].offset_s, "case %zu: %s", i,
                          cases[i].rule);
            ck_assert_str_eq(sw_zone_abbreviation(zone, then), cases[i].abbreviation);
        }
        sw_zone_free(zone);
    }
}
END_TEST

START_TEST(malformed_rules_are_refused)
{
    static const char *const rules[] = {
        "E5",
        "EST",
        "EST5EDT",
        "EST5EDT,",
        "EST5EDT,M3.2.0",
        "EST5EDT,M3.2.0,",
        "EST5EDT,M13.2.0,M11.1.0",
        "EST5EDT,M3.6.0,M11.1.0",
        "EST5EDT,M3.2.7,M11.1.0",
        "EST5EDT,M3.2.0/168,M11.1.0",
        "EST5EDT,J0,J300",
        "EST5EDT,J366,J300",
        "EST5EDT,366,J300",
        "EST25",
        "EST5:60",
        "<ES>5",
        "<EST5",
        "EST5EDT,M3.2.0,M11.1.0x",
        "ABCDEFGHIJKLMNOP5",
        "EST5EDT,M3.2,M11.1.0",
        "5EST",
        "EST+",
        "EST5EDT,M3.2.0/,M11.1.0",
        "EST 5",
        "EST99999999999",
    };
    for (size_t i = 0; i < sizeof rules / sizeof rules[0]; i++)
        ck_assert_msg(zone_by_rule(rules[i]) == NULL, "%s was read", rules[i]);
}
END_TEST

Suite *sw_suite(void)
{
    const TTest *const tests[] = {
        every_form_of_rule_is_followed,
        malformed_rules_are_refused,
        NULL,
    };
    return sw_suite_of("zone_rule", tests, 20);
}
