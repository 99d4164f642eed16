/// A weather file while it is read, whatever its format: lines, complaints, values by column, years of rows
/// in order, and points in any order made into evenly spaced rows.
#ifndef STILLWATT_WEATHER_RECORD_H
#define STILLWATT_WEATHER_RECORD_H

#include "stillwatt/series.h"
#include "weather/span.h"

#include <stddef.h>

#define RECORD_COLUMNS_MAX   16
#define RECORD_ERRORS_LISTED 20
#define RECORD_CODE_BELOW    (-99)            /* codes of formats met in files: -99, -999, -9900, -9999 */
#define RECORD_ROWS_MAX      (20 * 366 * 288) /* twenty years at five minutes */

/// How a format gives one quantity of a row.
typedef struct record_column {
    const char *name; ///< in the file's line of names, NULL where columns are counted
    int number;       ///< from 1, 0 where columns are named
    size_t offset;    ///< in sw_weather_row
    double missing;   ///< from here up the value is a code for a missing one
    double low, high, scale;
    int needed; ///< a value outside low..high is an error, not left out; a little below 0 is 0 in radiation
    const char *says;
    double
        zero; ///< the quantity is the value times `scale` plus this; missing, low and high are of the value
} record_column;

typedef struct record {
    sw_span rest; ///< what is left of the text
    const char *name;
    sw_messages *messages;
    int line; ///< of the line taken last
    sw_status worst;
    int errors;
    int32_t left_out[RECORD_COLUMNS_MAX], left_out_line[RECORD_COLUMNS_MAX];
    sw_series *series; ///< owned until the record is closed
} record;

/// A point of a format that names its times.
typedef struct record_point {
    int64_t end_s; ///< UTC, end of the step that its radiation covers
    int line;
    sw_weather_row row;
} record_point;

typedef struct record_points {
    record_point *point; ///< owned
    size_t count, room;
} record_points;

extern const sw_weather_row sw_record_empty_row;

/// Begins a record; a byte order mark is passed over. @return SW_OK or SW_NO_MEMORY; release by
/// sw_record_close.
sw_status sw_record_open(record *r, const char *text, size_t length, const char *name, sw_messages *messages);

/// Fills short gaps, looks at the timing, and hands the series over if nothing was wrong; releases it
/// otherwise.
/// @return the worst status met
sw_status sw_record_close(record *r, sw_series **out);

/// Takes the next line. Where nothing is left the last line stays the one that messages name.
/// @return 0 when nothing is left
int sw_record_line(record *r, sw_span *line);

/// The place of a stretch of the current line; `at` NULL: no column.
sw_where sw_record_here(const record *r, const char *line, const char *at);

/// Notes that something went wrong; lack of memory is the worst.
void sw_record_failed(record *r, sw_status status);

/// Tells an error; after twenty no more are listed. @return the worst status met
sw_status sw_record_error(record *r, const sw_where *where, const char *hint, const char *what, ...)
    __attribute__((format(printf, 4, 5)));

/// "says cannot be "the field"", at the field.
void sw_record_bad_value(record *r, sw_span line, sw_span field, const char *says, const char *expected);

/// A number of the header that must lie in a range, or an error.
void sw_record_place_number(record *r, sw_span line, sw_span *rest, const char *says, double low, double high,
                            const char *hint, double *out);

/// The name of the place, cleaned and cut to fit.
void sw_record_place(record *r, sw_span name);

/// The value of a member of sw_weather_row: instruments give light a little below 0 at night, which is 0.
double sw_record_settled(size_t offset, double value);

/// Reads a field of a row into the quantity of `columns[which]`; left as it is where empty or missing.
void sw_record_value(record *r, sw_span line, sw_span field, const record_column *columns, int which,
                     sw_weather_row *row);

/// Warns of values that were left out, once a column.
void sw_record_warn_of_left_out(const record *r, const record_column *columns, int count);

/// Reads a row of a year. @param date year, month, day, hour (1..24), at [1] to [4]
typedef void record_row_reader(record *r, sw_span line, const void *format, double date[5],
                               sw_weather_row *row);

/// Reads the rest of the text as the hours of a year from 1 January on: 8760 in order, a typical year, or
/// 8784 with a 29 February, the record of a real year.
sw_status sw_record_year(record *r, record_row_reader *read_row, const void *format);

/// Adds a point. @return 0 without memory or beyond RECORD_ROWS_MAX, after an error
int sw_record_point_add(record *r, record_points *points, const record_point *point);

/// Makes the points the rows of the series, evenly spaced by the least distance between two of them, missing
/// ones empty: times out of order are put in order, a time given twice or one between the steps is an error.
sw_status sw_record_take_points(record *r, record_points *points);

void sw_record_points_free(record_points *points);

#endif
