// Any text as an EPW weather file, by itself or as some rows of an invented year.
#include "fuzz/support/invented_year.h"
#include "fuzz/support/weather.h"

#include "stillwatt/series.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

// The invented year with the input's text in the place of some rows, or of the header.
static fuzz_text in_a_year(fuzz_input *input)
{
    int leap = (int)fuzz_choose(input, 2), own_header = (int)fuzz_choose(input, 2);
    int first = (int)fuzz_between(input, 0, 8696), count = (int)fuzz_choose(input, 64);
    const fuzz_year *base = fuzz_year_of(leap);
    fuzz_text piece = fuzz_piece(input);
    size_t head = own_header ? piece.length : strlen(fuzz_year_header),
           before = base->begin[own_header ? 0 : first];
    size_t after = base->begin[own_header ? 0 : first + count], middle = own_header ? 0 : piece.length;
    fuzz_text text = {NULL, head + before + middle + base->rows.length - after};
    text.bytes = fuzz_memory(text.length + 1);
    memcpy(text.bytes, own_header ? piece.bytes : fuzz_year_header, head);
    memcpy(text.bytes + head, base->rows.text, before);
    memcpy(text.bytes + head + before, piece.bytes, middle);
    memcpy(text.bytes + head + before + middle, base->rows.text + after, base->rows.length - after + 1);
    fuzz_text_free(&piece);
    return text;
}

static int in_range(double value, double low, double high, int needed)
{
    return isnan(value) ? !needed : value >= low && value <= high;
}

static void check_row(const sw_weather_row *row, int index)
{
    FUZZ_ASSERT(in_range(row->ghi_w_m2, 0, 2000, 0) && in_range(row->dni_w_m2, 0, 2000, 0) &&
                    in_range(row->dhi_w_m2, 0, 2000, 0),
                "row %d has light of %g, %g, %g W/m2", index, row->ghi_w_m2, row->dni_w_m2, row->dhi_w_m2);
    FUZZ_ASSERT(in_range(row->air_c, -90, 70, 0) && in_range(row->humidity_pct, 0, 110, 0) &&
                    in_range(row->wind_m_s, 0, 100, 0) && in_range(row->pressure_pa, 31000, 120000, 0) &&
                    in_range(row->albedo, 0, 1, 0) && in_range(row->snow_m, 0, 9.98, 0) &&
                    in_range(row->rain_mm, 0, 998, 0),
                "row %d has a value that cannot be", index);
}

// The row of a moment is the one whose step holds it, and rows follow each other.
static void check_moments(const sw_series *series)
{
    for (int32_t i = 0; i < series->count; i += 97) {
        int64_t begin = series->start_s + (int64_t)i * series->step_s;
        FUZZ_ASSERT(sw_series_index(series, begin) == i && sw_series_index(series, begin + 3599) == i,
                    "row %d is not found at its own time", (int)i);
    }
    int32_t last = series->count - 1;
    FUZZ_ASSERT(sw_series_next(series, last) == (series->typical_year ? 0 : -1), "what follows the last row");
    FUZZ_ASSERT(sw_series_previous(series, 0) == (series->typical_year ? last : -1),
                "what precedes the first row");
}

static void check_series(const sw_series *series, fuzz_record *record)
{
    FUZZ_ASSERT(series->step_s == 3600 && series->count == (series->typical_year ? 8760 : FUZZ_YEAR_ROWS),
                "%d rows", (int)series->count);
    fuzz_note(record, "%s %a %lld\n", series->place, series->lat_deg, (long long)series->start_s);
    for (int32_t i = 0; i < series->count; i++)
        check_row(&series->row[i], (int)i);
    for (int32_t i = 0; i < series->count; i += 61)
        fuzz_note(record, "%a %a\n", series->row[i].air_c, series->row[i].ghi_w_m2);
    check_moments(series);
}

static fuzz_record read_once(const fuzz_text *text)
{
    const fuzz_named named = {"made.epw", text->bytes, text->length, 0};
    return fuzz_read_weather(sw_epw_read, &named, check_series);
}

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size)
{
    fuzz_input input = {data, size};
    fuzz_change change = fuzz_choose_change(&input);
    int alone = fuzz_choose(&input, 2) == 1;
    fuzz_text text = alone ? fuzz_text_of((const char *)input.at, input.left) : in_a_year(&input);
    fuzz_change_text(change, &text);
    fuzz_once_or_twice(&text, alone, read_once); // a whole year twice would halve the pace
    return 0;
}
