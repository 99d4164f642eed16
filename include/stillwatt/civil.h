/// Civil dates and clock times, without zones.
#ifndef STILLWATT_CIVIL_H
#define STILLWATT_CIVIL_H

#include <stdint.h>

/// A civil date and clock time, proleptic Gregorian.
typedef struct sw_civil {
    int year, month, day;     ///< month 1..12, day 1..31
    int hour, minute, second; ///< 0..24 (24:00:00 is the end of the day), 0..59, 0..59
} sw_civil;

/// Quotient rounded down, as calendars need it before 1970. `b` > 0.
int64_t sw_floor_div(int64_t a, int64_t b);

/// Days since 1970-01-01 of a date. No check of range beyond int64.
int64_t sw_days_from_civil(int year, int month, int day);
/// The date of a day number; the inverse of sw_days_from_civil.
void sw_civil_from_days(int64_t days, int *year, int *month, int *day);
/// 0 Sunday .. 6 Saturday
int sw_weekday(int64_t days);
/// 28 to 31. @param month 1..12
int sw_days_in_month(int year, int month);

/// "January" to "December"; a static string. @param month 1..12
const char *sw_month_name(int month);

/// Reads "2026-11-06" or "2026-11-06 16:30" or "2026-11-06T16:30" (seconds allowed, no zone suffix).
/// @return 1 if well formed and the date exists, 0 otherwise; `has_time` tells if a clock time was given
int sw_civil_parse(const char *text, sw_civil *out, int *has_time);

#endif
