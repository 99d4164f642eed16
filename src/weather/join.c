// Several records of one place as one: years that follow each other, or leave holes between them.
#include "weather/join.h"

#include "stillwatt/sphere.h"
#include "weather/gaps.h"
#include "weather/record.h"

#include <stdlib.h>
#include <string.h>

#define NEAR_M         10000.0     // cells of services and stations that moved a little
#define MOST_OVERLAP_S (2 * 86400) // services are asked for a day more on either side

// ---- what may be joined ----

/* What two records must have in common for their rows to mean the same. Their clocks need not be: rows are
   laid by UTC, and messages speak of the clock of the first. */
static const struct {
    size_t offset;
    const char *says;
} alike[] = {
    {offsetof(sw_series, step_s), "its rows are of another length"},
    {offsetof(sw_series, air_before_end_s), "its temperatures are of another moment of the hour"},
    {offsetof(sw_series, light_shift_s), "its light stands otherwise beside the sun"},
};

static int32_t whole_of(const sw_series *series, size_t offset)
{
    return *(const int32_t *)(const void *)((const char *)series + offset);
}

/* @return what keeps a record from being joined to another, NULL if nothing does */
static const char *unlike(const sw_series *a, const sw_series *b)
{
    for (size_t i = 0; i < sizeof alike / sizeof alike[0]; i++)
        if (whole_of(a, alike[i].offset) != whole_of(b, alike[i].offset))
            return alike[i].says;
    if ((b->start_s - a->start_s) % a->step_s != 0)
        return "its rows begin at other minutes";
    return sw_great_circle_m(a->lat_deg, a->lon_deg, b->lat_deg, b->lon_deg, NULL) > NEAR_M
               ? "it is of another place"
               : NULL;
}

static int64_t end_s(const sw_series *series)
{
    return series->start_s + (int64_t)series->count * series->step_s;
}

/* @param part in order of time */
static sw_status check_parts(const join_part *part, int count, sw_messages *messages)
{
    const join_part *last = &part[0]; // to end, of those before
    for (int i = 0; i < count; i++) {
        sw_where where = {part[i].name, 0, 0, NULL};
        if (part[i].series->typical_year)
            return sw_error(messages, SW_BAD_INPUT, &where, "name the file itself, not its folder",
                            "a folder of weather holds real years, and this is a typical one");
        const char *says = unlike(part[0].series, part[i].series);
        if (says != NULL)
            return sw_error(messages, SW_BAD_INPUT, &where,
                            "a folder holds years of one place, from one source",
                            "this does not go together with %s: %s", part[0].name, says);
        if (i > 0 && end_s(last->series) - part[i].series->start_s > MOST_OVERLAP_S)
            return sw_error(messages, SW_BAD_INPUT, &where, "keep one of the two",
                            "this and %s are of the same dates", last->name);
        last = end_s(part[i].series) > end_s(last->series) ? &part[i] : last;
    }
    return SW_OK;
}

// ---- joining ----

static int by_start(const void *a, const void *b)
{
    const join_part *x = a, *y = b;
    if (x->series->start_s != y->series->start_s)
        return x->series->start_s < y->series->start_s ? -1 : 1;
    return strcmp(x->name, y->name);
}

/* Rows of what stands between the first record and the end of the last one. */
static int64_t rows_of(const join_part *part, int count)
{
    const sw_series *first = part[0].series;
    int64_t end = end_s(first);
    for (int i = 1; i < count; i++)
        end = end_s(part[i].series) > end ? end_s(part[i].series) : end;
    return (end - first->start_s) / first->step_s;
}

static void lay_rows(const join_part *part, int count, sw_series *out)
{
    int32_t laid = 0;
    for (int i = 0; i < count; i++) {
        const sw_series *from = part[i].series;
        int32_t begin = (int32_t)((from->start_s - out->start_s) / out->step_s);
        for (; laid < begin; laid++)
            out->row[laid] = sw_record_empty_row;
        for (; laid < begin + from->count; laid++)
            out->row[laid] = from->row[laid - begin];
    }
}

static sw_status too_long(const char *folder, sw_messages *messages)
{
    sw_where where = {folder, 0, 0, NULL};
    return sw_error(messages, SW_BAD_INPUT, &where, "split the folder",
                    "from the first to the last of its records there are more than %d rows", RECORD_ROWS_MAX);
}

sw_status sw_join(join_part *part, int count, const char *folder, sw_messages *messages, sw_series **out)
{
    *out = NULL;
    qsort(part, (size_t)count, sizeof *part, by_start);
    sw_status status = check_parts(part, count, messages);
    if (status != SW_OK)
        return status;
    int64_t rows = rows_of(part, count);
    if (rows > RECORD_ROWS_MAX)
        return too_long(folder, messages);
    sw_series *joined = malloc(sizeof *joined);
    char *place = strdup(part[0].series->place);
    sw_weather_row *row = malloc((size_t)rows * sizeof *row);
    if (joined == NULL || place == NULL || row == NULL) {
        free(joined);
        free(place);
        free(row);
        return sw_error(messages, SW_NO_MEMORY, NULL, NULL, "there is not enough memory for the years of %s",
                        folder);
    }
    *joined = *part[0].series;
    joined->place = place;
    joined->row = row;
    joined->count = (int32_t)rows;
    lay_rows(part, count, joined);
    status = count > 1 ? sw_gaps_fill(joined, folder, messages) : SW_OK;
    *out = joined;
    return status;
}
