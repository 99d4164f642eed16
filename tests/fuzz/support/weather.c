// A weather file read by a reader of the library.
#include "fuzz/support/weather.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

static void check_place(const sw_series *series)
{
    FUZZ_ASSERT(series->place != NULL && fuzz_is_printable(series->place), "the place cannot be printed");
    FUZZ_ASSERT(fabs(series->lat_deg) <= 90 && fabs(series->lon_deg) <= 180 && isfinite(series->elevation_m),
                "a station at %g, %g, %g m", series->lat_deg, series->lon_deg, series->elevation_m);
    FUZZ_ASSERT(abs((int)series->utc_offset_s) <= 15 * 3600, "a clock of %d s", (int)series->utc_offset_s);
}

fuzz_record fuzz_read_weather(fuzz_weather_reader *read, const fuzz_named *named,
                              void (*check)(const sw_series *series, fuzz_record *record))
{
    static const sw_status statuses[] = {SW_BAD_INPUT, SW_NO_MEMORY, SW_OK};
    char *exact = fuzz_memory(named->length);
    memcpy(exact, named->bytes, named->length);
    sw_messages *messages = sw_messages_create();
    sw_series *series = NULL;
    fuzz_record record = {NULL, 0, 0};
    sw_status status = read(exact, named->length, named->name, messages, &series);
    free(exact);
    fuzz_check_said(messages, status, statuses, named, 1, &record);
    FUZZ_ASSERT((series != NULL) == (status == SW_OK), "status %d, but %s record", (int)status,
                series != NULL ? "a" : "no");
    if (series != NULL) {
        check_place(series);
        check(series, &record);
    }
    sw_series_free(series);
    sw_messages_free(messages);
    return record;
}
