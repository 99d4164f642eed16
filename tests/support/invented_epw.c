#include "support/invented_epw.h"
#include "support/checks.h"

#include <stdarg.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

void invented_add(invented_text *file, const char *format, ...)
{
    va_list list;
    if (file->room - file->length < 400) {
        file->room = file->room * 2 + 4000;
        file->text = realloc(file->text, file->room);
        ck_assert_ptr_nonnull(file->text);
    }
    va_start(list, format);
    file->length += (size_t)vsnprintf(file->text + file->length, 400, format, list);
    va_end(list);
}

double invented_air(int row)
{
    return (row % 97) / 2.0 - 20;
}

int invented_ghi(int row)
{
    return row % 24 < 6 || row % 24 > 18 ? 0 : 100 + row % 613;
}

static int is_leap(int year)
{
    return year % 4 == 0 && (year % 100 != 0 || year % 400 == 0);
}

const invented_shape invented_plain = {2003, "\n", "-7.0", -1, NULL, NULL, 0, 0};

static void add_values(invented_text *file, const invented_shape *s, int row)
{
    int inside = row >= s->from && row < s->to, ghi = invented_ghi(row);
    char air_text[32], ghi_text[32];
    snprintf(air_text, sizeof air_text, "%.1f", invented_air(row));
    snprintf(ghi_text, sizeof ghi_text, "%d", ghi);
    invented_add(file, ",%s,5.5,40,88000,0,1412,300", inside && s->air ? s->air : air_text);
    invented_add(file, ",%s,%d,%d,0,0,0,0,180,3.5", inside && s->ghi ? s->ghi : ghi_text, ghi + 1, ghi / 2);
    invented_add(file, ",0,0,9999,99999,9,999999999,10,.05,2,88,0.2,0,0%s", s->end);
}

invented_text invented_year(const invented_shape *s)
{
    static const int length[] = {31, 28, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31};
    invented_text file = {NULL, 0, 0};
    invented_add(&file, "LOCATION,Lower  Meadow,XX,ZZZ,invented,-,38.50,-109.25,%s,1212.5%s", s->zone,
                 s->end);
    invented_add(&file, "DESIGN CONDITIONS,0%sTYPICAL/EXTREME PERIODS,0%sGROUND TEMPERATURES,0%s", s->end,
                 s->end, s->end);
    invented_add(&file, "HOLIDAYS/DAYLIGHT SAVINGS,No,3/11,11/4,0%sCOMMENTS 1,\"none, really\"%s", s->end,
                 s->end);
    invented_add(&file, "COMMENTS 2,%sDATA PERIODS,1,1,Data,Sunday, 1/ 1,12/31%s", s->end, s->end);
    for (int month = 1, row = 0; month <= 12; month++)
        for (int day = 1; day <= length[month - 1] + (month == 2 && is_leap(s->year)); day++)
            for (int hour = 1; hour <= 24; hour++, row++) {
                if (row == s->skip)
                    continue;
                invented_add(&file, "%d,%d,%d,%d,0,?9?9E0*", s->year, month, day, hour);
                add_values(&file, s, row);
            }
    return file;
}

epw_reading read_by(weather_reader *read, const char *text, size_t length)
{
    epw_reading result = {SW_OK, NULL, sw_messages_create()};
    ck_assert_ptr_nonnull(result.messages);
    char *copy = malloc(length > 0 ? length : 1);
    ck_assert_ptr_nonnull(copy);
    if (length > 0)
        memcpy(copy, text, length);
    result.status = read(copy, length, "made.epw", result.messages, &result.series);
    free(copy);
    ck_assert_int_eq(result.status == SW_OK, result.series != NULL);
    return result;
}

epw_reading read_epw(const char *text, size_t length)
{
    return read_by(sw_epw_read, text, length);
}

epw_reading read_invented(const invented_shape *s)
{
    invented_text file = invented_year(s);
    epw_reading result = read_epw(file.text, file.length);
    free(file.text);
    return result;
}

void free_reading(epw_reading *r)
{
    sw_series_free(r->series);
    sw_messages_free(r->messages);
}

void expect_message(const epw_reading *r, const char *part, int line)
{
    for (size_t i = 0; i < sw_messages_count(r->messages); i++) {
        const sw_message *message = sw_messages_at(r->messages, i);
        ck_assert_str_eq(message->where.file, "made.epw");
        if (strstr(message->what, part) != NULL && (line == 0 || message->where.line == line))
            return;
    }
    for (size_t i = 0; i < sw_messages_count(r->messages); i++)
        printf("  %d: %s\n", sw_messages_at(r->messages, i)->where.line,
               sw_messages_at(r->messages, i)->what);
    ck_abort_msg("no message with \"%s\" at line %d", part, line);
}
