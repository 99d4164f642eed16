// Any text as a weather file of any format, by itself or as a row of a TMY3 year; what is read can be written
// as our CSV and read again.
#include "fuzz/support/weather.h"

#include "stillwatt/series.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

static const char tmy3_head[] =
    "1,\"a\",XX,-7,38,-109,1000\nDate (MM/DD/YYYY),Time (HH:MM),GHI (W/m^2),DNI (W/m^2),DHI "
    "(W/m^2),Dry-bulb (C)\n";

// A year of TMY3 whose row `at` is the input's text.
static fuzz_text in_a_year(fuzz_input *input)
{
    static const int length[] = {31, 28, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31};
    int at = (int)fuzz_between(input, 0, 8759), row = 0;
    fuzz_text piece = fuzz_piece(input);
    fuzz_text text = {fuzz_memory(sizeof tmy3_head + 8760 * 40 + piece.length + 2), 0};
    text.length = (size_t)sprintf(text.bytes, "%s", tmy3_head);
    for (int month = 0; month < 12; month++)
        for (int day = 1; day <= length[month]; day++)
            for (int hour = 1; hour <= 24; hour++, row++) {
                if (row == at) {
                    memcpy(text.bytes + text.length, piece.bytes, piece.length);
                    text.length += piece.length;
                    text.bytes[text.length++] = '\n';
                    continue;
                }
                text.length += (size_t)sprintf(text.bytes + text.length, "%d/%d/1999,%d:00,%d,0,%d,%d\n",
                                               month + 1, day, hour, row % 7, row % 7, row % 30);
            }
    fuzz_text_free(&piece);
    return text;
}

static int in_range(double value, double low, double high)
{
    return isnan(value) || (value >= low && value <= high);
}

// Written and read again the rows are as many, at the same times.
static void check_written(const sw_series *series)
{
    char *text = NULL;
    sw_series *again = NULL;
    FUZZ_ASSERT(sw_plain_csv_write(series, &text) == SW_OK, "cannot be written");
    FUZZ_ASSERT(sw_plain_csv_read(text, strlen(text), "again.csv", NULL, &again) == SW_OK,
                "cannot be read again");
    FUZZ_ASSERT(again->count == series->count && again->start_s == series->start_s &&
                    again->step_s == series->step_s && again->typical_year == series->typical_year,
                "%d rows become %d", (int)series->count, (int)again->count);
    sw_series_free(again);
    free(text);
}

static void check_series(const sw_series *series, fuzz_record *record)
{
    FUZZ_ASSERT(series->step_s >= 300 && 3600 % series->step_s == 0 && series->count > 0, "%d rows of %d s",
                (int)series->count, (int)series->step_s);
    FUZZ_ASSERT(abs((int)series->light_shift_s) <= 5400, "light %d s beside", (int)series->light_shift_s);
    fuzz_note(record, "%s %a %lld %d %d\n", series->place, series->lat_deg, (long long)series->start_s,
              (int)series->step_s, (int)series->light_shift_s);
    for (int32_t i = 0; i < series->count; i++) {
        const sw_weather_row *row = &series->row[i];
        FUZZ_ASSERT(in_range(row->ghi_w_m2, 0, 2000) && in_range(row->dni_w_m2, 0, 2000) &&
                        in_range(row->dhi_w_m2, 0, 2000) && in_range(row->air_c, -90, 70) &&
                        in_range(row->wind_m_s, 0, 100),
                    "row %d has a value that cannot be", (int)i);
    }
    char label[64];
    sw_series_label(series, series->count - 1, label, sizeof label);
    fuzz_note(record, "%s\n", label);
    if (series->count < 20000)
        check_written(series);
}

// A lone carriage return ends a line of JSON, but not one of a table.
static int is_json(const fuzz_text *text)
{
    size_t at = text->length >= 3 && memcmp(text->bytes, "\xEF\xBB\xBF", 3) == 0 ? 3 : 0;
    while (at < text->length && text->bytes[at] != '\0' && strchr(" \t\r\n", text->bytes[at]) != NULL)
        at++;
    return at < text->length && (text->bytes[at] == '{' || text->bytes[at] == '[');
}

static fuzz_record read_once(const fuzz_text *text)
{
    const fuzz_named named = {"made.txt", text->bytes, text->length, is_json(text)};
    return fuzz_read_weather(sw_weather_read, &named, check_series);
}

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size)
{
    fuzz_input input = {data, size};
    fuzz_change change = fuzz_choose_change(&input);
    int alone = fuzz_choose(&input, 2) == 0;
    fuzz_text text = alone ? fuzz_text_of((const char *)input.at, input.left) : in_a_year(&input);
    fuzz_change_text(change, &text);
    fuzz_once_or_twice(&text, alone, read_once); // a whole year twice would halve the pace
    return 0;
}
