// POSIX TZ strings, read and applied: <> names, Jn, n and Mm.w.d days, times from -167 to 167 h (RFC
// 8536, 3.3.1).
#include "trip/zone_rule.h"
#include "stillwatt/zone.h"

#include <string.h>

#define DAY_S INT64_C(86400)
#define ERA_S                                                                                                \
    (INT64_C(146097) * DAY_S) /* 400 Gregorian years: a whole number of weeks, so that rules repeat */

typedef struct cursor {
    const char *at, *end;
    int ok;
} cursor;

static int peek(const cursor *c)
{
    return c->ok && c->at < c->end ? (unsigned char)*c->at : '\0';
}

static int take(cursor *c, char wanted)
{
    int there = peek(c) == wanted;
    c->at += there;
    return there;
}

static void expect(cursor *c, char wanted)
{
    c->ok &= take(c, wanted);
}

static int read_number(cursor *c, int low, int high)
{
    int value = 0, digits = 0;
    for (; peek(c) >= '0' && peek(c) <= '9' && digits < 4; digits++)
        value = value * 10 + (*c->at++ - '0');
    c->ok &= digits > 0 && value >= low && value <= high;
    return value;
}

static int is_letter(int c)
{
    return (c >= 'A' && c <= 'Z') || (c >= 'a' && c <= 'z');
}

static void read_name(cursor *c, char out[SW_ABBREVIATION_SIZE])
{
    int quoted = take(c, '<'), length = 0;
    for (; length < SW_ABBREVIATION_SIZE - 1; length++) {
        int next = peek(c);
        int sign_or_digit = next == '+' || next == '-' || (next >= '0' && next <= '9');
        if (!is_letter(next) && !(quoted && sign_or_digit))
            break;
        out[length] = *c->at++;
    }
    out[length] = '\0';
    c->ok &= length >= 3;
    if (quoted)
        expect(c, '>');
}

/* [+-]hh[:mm[:ss]] in seconds. */
static int32_t read_time(cursor *c, int max_hours)
{
    int negative = take(c, '-');
    if (!negative)
        (void)take(c, '+');
    int32_t seconds = read_number(c, 0, max_hours) * 3600;
    if (take(c, ':')) {
        seconds += read_number(c, 0, 59) * 60;
        if (take(c, ':'))
            seconds += read_number(c, 0, 59);
    }
    return negative ? -seconds : seconds;
}

static void read_change(cursor *c, sw_rule_change *out)
{
    expect(c, ',');
    if (take(c, 'M')) {
        out->kind = SW_RULE_WEEKDAY;
        out->month = read_number(c, 1, 12);
        expect(c, '.');
        out->week = read_number(c, 1, 5);
        expect(c, '.');
        out->weekday = read_number(c, 0, 6);
    } else if (take(c, 'J')) {
        out->kind = SW_RULE_JULIAN;
        out->day = read_number(c, 1, 365);
    } else {
        out->kind = SW_RULE_ZERO_BASED;
        out->day = read_number(c, 0, 365);
    }
    out->time_s = take(c, '/') ? read_time(c, 167) : 2 * 3600;
}

int sw_zone_rule_read(const char *text, size_t length, sw_zone_rule *out)
{
    cursor c = {text, text + length, 1};
    memset(out, 0, sizeof *out);
    read_name(&c, out->abbreviation[0]);
    out->offset_s[0] = -read_time(&c, 24); /* POSIX counts hours west of Greenwich */
    if (c.ok && c.at < c.end) {
        out->has_saving = 1;
        read_name(&c, out->abbreviation[1]);
        out->offset_s[1] = out->offset_s[0] + 3600;
        if (peek(&c) != ',')
            out->offset_s[1] = -read_time(&c, 24);
        read_change(&c, &out->change[1]);
        read_change(&c, &out->change[0]);
    }
    return c.ok && c.at == c.end;
}

/* Day of a change in a year, counted from 1970. */
static int64_t change_day(const sw_rule_change *change, int year)
{
    if (change->kind != SW_RULE_WEEKDAY) {
        int after_february = change->kind == SW_RULE_JULIAN && change->day > 59;
        int leap = sw_days_in_month(year, 2) == 29;
        int64_t day =
            change->kind == SW_RULE_JULIAN ? change->day - 1 + (after_february && leap) : change->day;
        return sw_days_from_civil(year, 1, 1) + day;
    }
    int64_t first = sw_days_from_civil(year, change->month, 1);
    int day = (change->weekday - sw_weekday(first) + 7) % 7 + (change->week - 1) * 7;
    return first + (day < sw_days_in_month(year, change->month) ? day : day - 7);
}

static int64_t change_moment(const sw_zone_rule *rule, int to, int year)
{
    return change_day(&rule->change[to], year) * DAY_S + rule->change[to].time_s - rule->offset_s[!to];
}

/* Changes of four years around the moment: the last not after it is in force, the next ends it. Of two at one
   moment the one to daylight saving time counts (all-year saving, RFC 8536: "XXX3EDT4,0/0,J365/23"). */
static sw_rule_span span_within_era(const sw_zone_rule *rule, int64_t utc_s)
{
    sw_rule_span span = {0, INT64_MIN, INT64_MAX};
    int year, month, day;
    sw_civil_from_days(utc_s / DAY_S, &year, &month, &day);
    for (int y = year - 2; y <= year + 2; y++) {
        for (int to = 0; to <= 1; to++) {
            int64_t moment = change_moment(rule, to, y);
            if (moment <= utc_s && moment >= span.begin_s) {
                span.begin_s = moment;
                span.saving = to;
            } else if (moment > utc_s && moment < span.end_s) {
                span.end_s = moment;
            }
        }
    }
    return span;
}

sw_rule_span sw_zone_rule_at(const sw_zone_rule *rule, int64_t utc_s)
{
    if (!rule->has_saving)
        return (sw_rule_span){0, INT64_MIN, INT64_MAX};
    int64_t within = utc_s % ERA_S;
    within += within < 0 ? ERA_S : 0;
    sw_rule_span span = span_within_era(rule, within);
    span.begin_s += utc_s - within;
    span.end_s += utc_s - within;
    return span;
}
