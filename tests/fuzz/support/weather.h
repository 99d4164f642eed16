// A weather file read by a reader of the library, and what holds of every record that comes of it.
#ifndef SW_TESTS_FUZZ_SUPPORT_WEATHER_H
#define SW_TESTS_FUZZ_SUPPORT_WEATHER_H

#include "fuzz/support/said.h"
#include "stillwatt/series.h"

typedef sw_status fuzz_weather_reader(const char *text, size_t length, const char *name,
                                      sw_messages *messages, sw_series **out);

/// Reads from memory of the exact size, checks what is said and that place and clock can be, and hands a
/// record on to `check`.
fuzz_record fuzz_read_weather(fuzz_weather_reader *read, const fuzz_named *named,
                              void (*check)(const sw_series *series, fuzz_record *record));

#endif
