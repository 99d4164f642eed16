// The one kind of weather record: which row covers a moment, and what follows it.
#include "stillwatt/series.h"

#include "stillwatt/civil.h"

#include <stdio.h>
#include <stdlib.h>

#define DAY_S INT64_C(86400)

void sw_series_free(sw_series *series)
{
    if (series == NULL)
        return;
    free(series->place);
    free(series->row);
    free(series);
}

/* Day of a common year, 0 for 1 January, of a day counted from 1970; 29 February counts as 28 February.
   Years are counted from 1 March, so that the leap day is the last one, in eras of 400 years (146097 days).
 */
static int32_t day_of_common_year(int64_t days)
{
    const int64_t march_0000 = -719468, era_days = 146097;
    int64_t day = days - march_0000;
    day -= sw_floor_div(day, era_days) * era_days;
    int64_t year = (day - day / 1460 + day / 36524 - day / 146096) / 365;
    int64_t since_march = day - (365 * year + year / 4 - year / 100);
    return since_march == 365 ? 58 : (int32_t)((since_march + 59) % 365);
}

int32_t sw_series_index(const sw_series *series, int64_t utc_s)
{
    if (!series->typical_year) {
        if (utc_s < series->start_s)
            return -1;
        int64_t index = (utc_s - series->start_s) / series->step_s;
        return index < series->count ? (int32_t)index : -1;
    }
    int64_t days = sw_floor_div(utc_s, DAY_S), second = utc_s % DAY_S + (utc_s % DAY_S < 0 ? DAY_S : 0);
    int64_t local = second + series->utc_offset_s, day_shift = sw_floor_div(local, DAY_S);
    local -= day_shift * DAY_S;
    return (int32_t)((day_of_common_year(days + day_shift) * DAY_S + local) / series->step_s);
}

int32_t sw_series_next(const sw_series *series, int32_t index)
{
    if (index + 1 < series->count)
        return index + 1;
    return series->typical_year ? 0 : -1;
}

int32_t sw_series_previous(const sw_series *series, int32_t index)
{
    if (index > 0)
        return index - 1;
    return series->typical_year ? series->count - 1 : -1;
}

void sw_series_label(const sw_series *series, int32_t index, char *buffer, size_t size)
{
    int64_t local_s = series->start_s + (int64_t)index * series->step_s + series->utc_offset_s;
    int64_t days = sw_floor_div(local_s, DAY_S);
    int year, month, day, minute = (int)((local_s - days * DAY_S + series->step_s) / 60);
    char of_year[16] = "";
    sw_civil_from_days(days, &year, &month, &day);
    if (!series->typical_year)
        snprintf(of_year, sizeof of_year, " %d", year);
    snprintf(buffer, size, "%d %s%s %02d:%02d", day, sw_month_name(month), of_year, minute / 60, minute % 60);
}
