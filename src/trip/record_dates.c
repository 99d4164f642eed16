// Which dates of a weather record stand for those of a trip, and what is missing in them.
#include "trip/record_dates.h"

#include "stillwatt/civil.h"

#include <math.h>
#include <stddef.h>

#define DAY_S  86400
#define LOOK_S 300 // no record has shorter steps

int32_t sw_record_row(const sw_series *series, int64_t record_s)
{
    int32_t index = sw_series_index(series, record_s);
    if (index >= 0)
        return index;
    return record_s < series->start_s ? 0 : series->count - 1;
}

// ---- years ----

/* The year of a moment on the clock of the record. */
static int year_of(const sw_series *series, int64_t utc_s)
{
    int year, month, day;
    sw_civil_from_days(sw_floor_div(utc_s + series->utc_offset_s, DAY_S), &year, &month, &day);
    return year;
}

static int last_year(const sw_series *series)
{
    return year_of(series, series->start_s + (int64_t)series->count * series->step_s);
}

/* Seconds from a moment to the same date of another year; 29 February becomes 28. */
static int64_t to_year_s(const sw_series *series, int64_t utc_s, int year)
{
    int own, month, day;
    int64_t days = sw_floor_div(utc_s + series->utc_offset_s, DAY_S);
    sw_civil_from_days(days, &own, &month, &day);
    int last = sw_days_in_month(year, month);
    return (sw_days_from_civil(year, month, day < last ? day : last) - days) * DAY_S;
}

int sw_record_covers(const sw_series *series, const stretch *of)
{
    return sw_series_index(series, of->from_s) >= 0 && sw_series_index(series, of->to_s - 1) >= 0;
}

int sw_record_in_year(const sw_series *series, const stretch *of, int year, int64_t *moved_s)
{
    int64_t by_s = to_year_s(series, of->from_s, year);
    *moved_s = by_s;
    return sw_record_covers(series, &(stretch){of->from_s + by_s, of->to_s + by_s});
}

int sw_record_next(const sw_series *series, const stretch *of, int from, int64_t *moved_s)
{
    int first = year_of(series, series->start_s) - 1; // a trip over New Year begins the year before
    record_gap gap;
    for (int year = from > first ? from : first; year <= last_year(series); year++)
        if (sw_record_in_year(series, of, year, moved_s) &&
            !sw_record_gap(series, &(stretch){of->from_s + *moved_s, of->to_s + *moved_s}, &gap))
            return year;
    return 0;
}

int sw_record_latest(const sw_series *series, const stretch *of, int64_t *moved_s)
{
    int latest = 0;
    for (int year = 1; (year = sw_record_next(series, of, year, moved_s)) != 0; year++)
        latest = year;
    for (int year = last_year(series); latest == 0 && year >= year_of(series, series->start_s) - 1; year--)
        latest = sw_record_in_year(series, of, year, moved_s) ? year : 0;
    if (latest != 0)
        (void)sw_record_in_year(series, of, latest, moved_s);
    return latest;
}

// ---- gaps ----

/* What a moment lacks: the light of its row, or the air on either side of it. NULL: nothing; else the row at
   fault. */
static const char *lacks(const sw_series *series, int64_t record_s, int32_t *row)
{
    *row = sw_record_row(series, record_s - series->light_shift_s);
    if (isnan(series->row[*row].ghi_w_m2))
        return "global radiation";
    *row = sw_record_row(series, record_s + series->air_before_end_s);
    if (isnan(series->row[*row].air_c))
        return "air temperature";
    *row = sw_series_previous(series, *row);
    return *row >= 0 && isnan(series->row[*row].air_c) ? "air temperature" : NULL;
}

int sw_record_gap(const sw_series *series, const stretch *needed, record_gap *out)
{
    int32_t row;
    *out = (record_gap){-1, -1, NULL};
    for (int64_t t = needed->from_s; t < needed->to_s + LOOK_S; t += LOOK_S) {
        const char *missing = lacks(series, t < needed->to_s ? t : needed->to_s - 1, &row);
        if (missing == NULL && out->says != NULL)
            break;
        if (missing == NULL)
            continue;
        out->last = row;
        out->first = out->first < 0 ? row : out->first;
        out->says = out->says != NULL ? out->says : missing;
    }
    return out->says != NULL;
}
