// Any text as a date, a clock time and a stretch of hours; any number as a day.
#include "fuzz/support/fuzz.h"

#include "files/values.h"
#include "stillwatt/civil.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

static void check_date(int year, int month, int day)
{
    int y, m, d;
    int64_t days = sw_days_from_civil(year, month, day);
    sw_civil_from_days(days, &y, &m, &d);
    FUZZ_ASSERT(y == year && m == month && d == day, "%d-%d-%d is day %lld, which is %d-%d-%d", year, month,
                day, (long long)days, y, m, d);
    FUZZ_ASSERT((sw_weekday(days) + 1) % 7 == sw_weekday(days + 1), "a day after another has its weekday");
}

// What was read, written down in the same form, is the text.
static int is_text(const char *text, const sw_civil *civil, int has_time)
{
    char written[64];
    int length = snprintf(written, sizeof written, "%04d-%02d-%02d", civil->year, civil->month, civil->day);
    if (has_time)
        length += snprintf(written + length, sizeof written - (size_t)length, "%c%02d:%02d", text[length],
                           civil->hour, civil->minute);
    if (has_time && text[length] == ':')
        snprintf(written + length, sizeof written - (size_t)length, ":%02d", civil->second);
    return strcmp(written, text) == 0;
}

static void check_civil(const char *text)
{
    sw_civil civil = {-7, -7, -7, -7, -7, -7};
    int has_time = -7;
    if (!sw_civil_parse(text, &civil, &has_time)) {
        FUZZ_ASSERT(civil.year == -7 && has_time == -7, "a text that is no date has left something");
        return;
    }
    FUZZ_ASSERT(civil.year >= 1 && civil.year <= 9999 && civil.month >= 1 && civil.month <= 12 &&
                    civil.day >= 1 && civil.day <= sw_days_in_month(civil.year, civil.month),
                "\"%s\" does not exist", text);
    int seconds = civil.hour * 3600 + civil.minute * 60 + civil.second;
    FUZZ_ASSERT(civil.hour >= 0 && civil.minute >= 0 && civil.minute <= 59 && civil.second >= 0 &&
                    civil.second <= 59 && seconds <= 86400,
                "\"%s\" does not exist", text);
    FUZZ_ASSERT(has_time == (strlen(text) > 10) && is_text(text, &civil, has_time),
                "\"%s\" is read otherwise", text);
    check_date(civil.year, civil.month, civil.day);
}

static void check_clock(const char *text)
{
    char written[16];
    for (int end = 0; end <= 1; end++) {
        int minute = sw_clock_parse(text, end);
        FUZZ_ASSERT(minute >= -1 && minute <= (end ? 1440 : 1439), "\"%s\" is minute %d", text, minute);
        snprintf(written, sizeof written, "%02d:%02d", minute / 60, minute % 60);
        FUZZ_ASSERT(minute < 0 || strcmp(written, text) == 0, "\"%s\" is read as %s", text, written);
    }
}

static void check_window(const char *text)
{
    char written[32];
    int from = 0, to = 0;
    if (!sw_window_parse(text, &from, &to))
        return;
    FUZZ_ASSERT(from >= 0 && from < 1440 && to > from && to - from <= 1440, "\"%s\" is from %d to %d", text,
                from, to);
    int shown = to > 1440 ? to - 1440 : to;
    snprintf(written, sizeof written, "%02d:%02d-%02d:%02d", from / 60, from % 60, shown / 60, shown % 60);
    FUZZ_ASSERT(strcmp(written, text) == 0 || (shown == 1440 && strstr(text, "-00:00") != NULL),
                "\"%s\" is read as %s", text, written);
}

static void check_day(int64_t days)
{
    int year, month, day;
    days %= INT64_C(700000000000); // the year is an int
    sw_civil_from_days(days, &year, &month, &day);
    FUZZ_ASSERT(month >= 1 && month <= 12 && day >= 1 && day <= sw_days_in_month(year, month),
                "day %lld is %d-%d-%d", (long long)days, year, month, day);
    FUZZ_ASSERT(sw_days_from_civil(year, month, day) == days, "day %lld is %d-%d-%d, another day",
                (long long)days, year, month, day);
    FUZZ_ASSERT(sw_weekday(days) >= 0 && sw_weekday(days) <= 6 && sw_weekday(days) == sw_weekday(days + 7),
                "day %lld has weekday %d", (long long)days, sw_weekday(days));
}

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size)
{
    fuzz_input input = {data, size};
    if (fuzz_choose(&input, 2) == 1) {
        int64_t number = fuzz_integer(&input) / 2, by = 1 + (fuzz_integer(&input) & INT64_C(0xFFFFFFFF));
        int64_t quotient = sw_floor_div(number, by);
        FUZZ_ASSERT(number - quotient * by >= 0 && number - quotient * by < by, "%lld over %lld is %lld",
                    (long long)number, (long long)by, (long long)quotient);
        check_day(number);
        return 0;
    }
    fuzz_text text = fuzz_text_of((const char *)input.at, input.left);
    check_civil(text.bytes);
    check_clock(text.bytes);
    check_window(text.bytes);
    fuzz_text_free(&text);
    return 0;
}
