// Invented EPW years written in memory, and reading them back. A row's values follow from its index, so that
// any shift of rows shows.
#ifndef SW_TESTS_SUPPORT_INVENTED_EPW_H
#define SW_TESTS_SUPPORT_INVENTED_EPW_H

#include "stillwatt/series.h"

/// A text that grows; free(text) when done.
typedef struct invented_text {
    char *text;
    size_t length, room;
} invented_text;

void invented_add(invented_text *file, const char *format, ...) __attribute__((format(printf, 2, 3)));

/// What an invented year looks like.
typedef struct invented_shape {
    int year;               ///< a leap year gives 29 February
    const char *end, *zone; ///< line end, hours of the header
    int skip;               ///< a row left out, -1 none
    const char *air, *ghi;  ///< text instead of the value in rows from..to-1
    int from, to;
} invented_shape;

extern const invented_shape invented_plain;

double invented_air(int row);
int invented_ghi(int row);
invented_text invented_year(const invented_shape *shape);

typedef struct epw_reading {
    sw_status status;
    sw_series *series; ///< NULL unless the status is SW_OK
    sw_messages *messages;
} epw_reading;

/// A reader of weather, and reading by it from a copy of the exact size, so that a sanitizer sees any step
/// beyond; messages call the file made.epw.
typedef sw_status weather_reader(const char *text, size_t length, const char *name, sw_messages *messages,
                                 sw_series **out);
epw_reading read_by(weather_reader *read, const char *text, size_t length);

/// By sw_epw_read.
epw_reading read_epw(const char *text, size_t length);
epw_reading read_invented(const invented_shape *shape);
void free_reading(epw_reading *reading);

/// Asserts that a message holds the text, at a line of the file if `line` is not 0.
void expect_message(const epw_reading *reading, const char *part, int line);

#endif
