// Civil dates of the proleptic Gregorian calendar. Years are counted from 1 March in eras of 400 years
// (146097 days), so that the leap day is the last of its year and closed forms need no table.
#include "stillwatt/civil.h"

#include <stddef.h>

#define ERA_DAYS   INT64_C(146097)
#define MARCH_0000 INT64_C(-719468) /* days from 1970-01-01 to 0000-03-01 */

int64_t sw_floor_div(int64_t a, int64_t b)
{
    return a / b - (a % b < 0);
}

int64_t sw_days_from_civil(int year, int month, int day)
{
    int64_t march_year = (int64_t)year - (month <= 2);
    int64_t era = sw_floor_div(march_year, 400), year_of_era = march_year - era * 400;
    int64_t march_month = month > 2 ? month - 3 : month + 9;
    int64_t day_of_year = (153 * march_month + 2) / 5 + day - 1;
    return era * ERA_DAYS + year_of_era * 365 + year_of_era / 4 - year_of_era / 100 + day_of_year +
           MARCH_0000;
}

void sw_civil_from_days(int64_t days, int *year, int *month, int *day)
{
    int64_t since = days - MARCH_0000, era = sw_floor_div(since, ERA_DAYS), of_era = since - era * ERA_DAYS;
    int64_t year_of_era = (of_era - of_era / 1460 + of_era / 36524 - of_era / 146096) / 365;
    int64_t day_of_year = of_era - (365 * year_of_era + year_of_era / 4 - year_of_era / 100);
    int64_t march_month = (5 * day_of_year + 2) / 153;
    *day = (int)(day_of_year - (153 * march_month + 2) / 5) + 1;
    *month = (int)(march_month < 10 ? march_month + 3 : march_month - 9);
    *year = (int)(year_of_era + era * 400) + (*month <= 2);
}

int sw_weekday(int64_t days)
{
    int64_t since_thursday = days - sw_floor_div(days, 7) * 7; /* 1970-01-01 was a Thursday */
    return (int)((since_thursday + 4) % 7);
}

int sw_days_in_month(int year, int month)
{
    static const int length[] = {31, 28, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31};
    int leap = year % 4 == 0 && (year % 100 != 0 || year % 400 == 0);
    return length[month - 1] + (month == 2 && leap);
}

/* Reads exactly `count` digits. @return the text after them, NULL if they are not there */
static const char *digits(const char *text, int count, int *value)
{
    *value = 0;
    for (; text != NULL && count > 0; count--, text++) {
        if (*text < '0' || *text > '9')
            return NULL;
        *value = *value * 10 + (*text - '0');
    }
    return text;
}

static const char *after(const char *text, char mark)
{
    return text != NULL && *text == mark ? text + 1 : NULL;
}

static const char *read_date(const char *text, sw_civil *out)
{
    text = after(digits(text, 4, &out->year), '-');
    text = after(digits(text, 2, &out->month), '-');
    text = digits(text, 2, &out->day);
    if (text == NULL || out->year < 1 || out->month < 1 || out->month > 12 || out->day < 1)
        return NULL;
    return out->day <= sw_days_in_month(out->year, out->month) ? text : NULL;
}

static const char *read_clock(const char *text, sw_civil *out)
{
    text = digits(after(digits(text, 2, &out->hour), ':'), 2, &out->minute);
    if (text != NULL && *text == ':')
        text = digits(text + 1, 2, &out->second);
    if (text == NULL || out->minute > 59 || out->second > 59)
        return NULL;
    return out->hour < 24 || (out->hour == 24 && out->minute == 0 && out->second == 0) ? text : NULL;
}

int sw_civil_parse(const char *text, sw_civil *out, int *has_time)
{
    sw_civil civil = {0, 0, 0, 0, 0, 0};
    text = read_date(text, &civil);
    int timed = text != NULL && *text != '\0';
    if (timed)
        text = *text == ' ' || *text == 'T' ? read_clock(text + 1, &civil) : NULL;
    if (text == NULL || *text != '\0')
        return 0;
    *out = civil;
    *has_time = timed;
    return 1;
}

const char *sw_month_name(int month)
{
    static const char *const names[] = {"January",   "February", "March",    "April",
                                        "May",       "June",     "July",     "August",
                                        "September", "October",  "November", "December"};
    return names[month - 1];
}
