// Points that name their times, made into evenly spaced rows.
#include "weather/record.h"

#include <stdlib.h>

#define LEAST_STEP_S 300
#define HOUR_S       3600

int sw_record_point_add(record *r, record_points *points, const record_point *point)
{
    if (points->count >= RECORD_ROWS_MAX) {
        sw_where where = sw_record_here(r, NULL, NULL);
        (void)sw_record_error(r, &where, "cut the file into pieces", "more than %d rows", RECORD_ROWS_MAX);
        return 0;
    }
    if (points->count == points->room) {
        size_t room = points->room > 0 ? 2 * points->room : 1024;
        record_point *grown = realloc(points->point, room * sizeof *grown);
        if (grown == NULL) {
            sw_record_failed(r, SW_NO_MEMORY);
            return 0;
        }
        points->point = grown;
        points->room = room;
    }
    points->point[points->count++] = *point;
    return 1;
}

void sw_record_points_free(record_points *points)
{
    free(points->point);
    *points = (record_points){0};
}

static int by_time(const void *a, const void *b)
{
    const record_point *x = a, *y = b;
    return x->end_s != y->end_s ? (x->end_s > y->end_s) - (x->end_s < y->end_s)
                                : (x->line > y->line) - (x->line < y->line);
}

static void put_in_order(record_points *points)
{
    for (size_t i = 1; i < points->count; i++)
        if (points->point[i].end_s <= points->point[i - 1].end_s) {
            qsort(points->point, points->count, sizeof *points->point, by_time);
            return;
        }
}

/* The least distance between two times. */
static sw_status find_step(record *r, const record_points *points, int32_t *out)
{
    int64_t step = points->count > 1 ? INT64_MAX : HOUR_S;
    for (size_t i = 1; i < points->count; i++) {
        const record_point *point = &points->point[i];
        int64_t apart = point->end_s - point[-1].end_s;
        sw_where where = {r->name, point->line, 0, NULL};
        if (apart == 0)
            return sw_record_error(r, &where, "keep one of the rows",
                                   "this time is given twice, first in line %d", point[-1].line);
        if (apart < LEAST_STEP_S)
            return sw_record_error(r, &where, "any step from 5 min to 1 h that divides the hour",
                                   "this row is only %d s after the one before", (int)apart);
        step = apart < step ? apart : step;
    }
    sw_where where = {r->name, points->point[0].line, 0, NULL};
    if (step > HOUR_S || HOUR_S % step != 0)
        return sw_record_error(r, &where, "any step from 5 min to 1 h that divides the hour",
                               "the rows are %.4g min apart, which does not divide the hour",
                               (double)step / 60.0);
    *out = (int32_t)step;
    return SW_OK;
}

static sw_status check_grid(record *r, const record_points *points, int32_t step_s)
{
    int64_t first_s = points->point[0].end_s;
    for (size_t i = 1; i < points->count && r->worst == SW_OK; i++) {
        sw_where where = {r->name, points->point[i].line, 0, NULL};
        if ((points->point[i].end_s - first_s) % step_s != 0)
            (void)sw_record_error(r, &where, "rows must be whole steps apart",
                                  "this row does not stand on the %d min that the others keep", step_s / 60);
        else if ((points->point[i].end_s - first_s) / step_s >= RECORD_ROWS_MAX)
            (void)sw_record_error(r, &where, "cut the file into pieces",
                                  "this row is more than %d steps after the first", RECORD_ROWS_MAX);
    }
    return r->worst;
}

sw_status sw_record_take_points(record *r, record_points *points)
{
    sw_series *series = r->series;
    if (r->worst != SW_OK)
        return r->worst;
    sw_where where = {r->name, r->line, 0, NULL};
    if (points->count == 0)
        return sw_record_error(r, &where, NULL, "the file has no rows of data");
    put_in_order(points);
    if (find_step(r, points, &series->step_s) != SW_OK || check_grid(r, points, series->step_s) != SW_OK)
        return r->worst;
    int64_t first_s = points->point[0].end_s, last_s = points->point[points->count - 1].end_s;
    series->count = (int32_t)((last_s - first_s) / series->step_s) + 1;
    series->start_s = first_s - series->step_s;
    series->row = malloc((size_t)series->count * sizeof *series->row);
    if (series->row == NULL) {
        sw_record_failed(r, SW_NO_MEMORY);
        return r->worst;
    }
    for (int32_t i = 0; i < series->count; i++)
        series->row[i] = sw_record_empty_row;
    for (size_t i = 0; i < points->count; i++)
        series->row[(points->point[i].end_s - first_s) / series->step_s] = points->point[i].row;
    return SW_OK;
}
