// Years of hours in order, as EPW and TMY3 give them.
#include "weather/record.h"

#include "stillwatt/civil.h"

#include <stdlib.h>

#define ROWS_COMMON  8760
#define ROWS_LEAP    8784
#define ROW_MARCH    1416 /* rows before 29 February or 1 March */
#define TYPICAL_YEAR 2001 /* a common year stands for all */

typedef struct year {
    int64_t rows;      /* lines that are not empty */
    int64_t after_end; /* of those, the ones after an empty line */
    int in_order, leap, mixed;
    double number; /* of the file's 29 February; until it comes, of the last row */
} year;

/* Month, day and hour (1..24) of a row of a year of hours. */
static void date_of(int32_t index, int leap, int *month, int *day, int *hour)
{
    static const int length[] = {31, 28, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31};
    *hour = index % 24 + 1;
    *day = index / 24 + 1;
    for (*month = 1; *day > length[*month - 1] + (*month == 2 && leap); ++*month)
        *day -= length[*month - 1] + (*month == 2 && leap);
}

/* Month, day and hour must be those of the row's place in the year. */
static void check_order(record *r, year *y, sw_span line, const double *date)
{
    int month, day, hour;
    y->leap |= y->rows == ROW_MARCH && date[2] == 2 && date[3] == 29;
    y->mixed |= date[1] != y->number && y->rows > 0;
    if (y->rows <= ROW_MARCH)
        y->number = date[1];
    if (y->rows >= (y->leap ? ROWS_LEAP : ROWS_COMMON))
        return;
    date_of((int32_t)y->rows, y->leap, &month, &day, &hour);
    y->in_order = date[2] == month && date[3] == day && date[4] == hour;
    if (y->in_order)
        return;
    sw_where where = sw_record_here(r, line.at, NULL);
    (void)sw_record_error(
        r, &where, "rows run hour by hour from month 1 day 1 hour 1 to month 12 day 31 hour 24",
        "the row of month %d day %d hour %d should stand here, not month %.0f day %.0f hour %.0f", month, day,
        hour, date[2], date[3], date[4]);
}

/* Values are read while the rows are in order; after that rows are only counted. */
static void read_rows(record *r, year *y, record_row_reader *read_row, const void *format)
{
    sw_span line;
    int ended = 0;
    while (sw_record_line(r, &line)) {
        sw_span content = sw_span_trim(line);
        if (content.at == content.end) {
            ended = 1;
            continue;
        }
        if (ended && y->after_end++ == 0) {
            sw_where where = sw_record_here(r, NULL, NULL);
            (void)sw_record_error(r, &where, "remove the empty line", "a row stands after an empty line");
        } else if (y->in_order && !ended) {
            sw_weather_row row = sw_record_empty_row;
            double date[5] = {0, 0, 0, 0, 0};
            read_row(r, line, format, date, &row);
            check_order(r, y, line, date);
            if (y->rows < ROWS_LEAP)
                r->series->row[y->rows] = row;
        }
        y->rows++;
    }
}

static void check_count(record *r, const year *y)
{
    int64_t wanted = y->leap ? ROWS_LEAP : ROWS_COMMON;
    sw_where where = {r->name, r->line, 0, NULL};
    if (y->rows != wanted)
        sw_record_failed(r, sw_error(r->messages, SW_BAD_INPUT, &where,
                                     "a whole year has 8760 hourly rows, or 8784 with 29 February",
                                     "the file has %lld rows of data, not %lld", (long long)y->rows,
                                     (long long)wanted));
    if (r->worst != SW_OK || !y->leap)
        return;
    int number = (int)y->number;
    if (number < 1800 || number > 2200 || sw_days_in_month(number, 2) != 29)
        sw_record_failed(r,
                         sw_error(r->messages, SW_BAD_INPUT, &where, "correct the year in the first column",
                                  "the file has a 29 February, but its year %d has none", number));
    else if (y->mixed)
        sw_warn(r->messages, &where, NULL, "the rows name several years; the record is read as that of %d",
                number);
}

sw_status sw_record_year(record *r, record_row_reader *read_row, const void *format)
{
    year y = {.in_order = 1};
    sw_series *series = r->series;
    series->row = malloc(ROWS_LEAP * sizeof *series->row);
    if (series->row == NULL) {
        sw_record_failed(r, SW_NO_MEMORY);
        return r->worst;
    }
    read_rows(r, &y, read_row, format);
    check_count(r, &y);
    series->step_s = 3600;
    series->typical_year = !y.leap;
    series->count = y.leap ? ROWS_LEAP : ROWS_COMMON;
    series->start_s =
        sw_days_from_civil(y.leap ? (int)y.number : TYPICAL_YEAR, 1, 1) * 86400 - series->utc_offset_s;
    return r->worst;
}
