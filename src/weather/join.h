/// Several records of one place as one.
#ifndef STILLWATT_WEATHER_JOIN_H
#define STILLWATT_WEATHER_JOIN_H

#include "stillwatt/series.h"

/// A record and the file that it comes from.
typedef struct join_part {
    char *name;
    sw_series *series;
} join_part;

/// Joins records in order of time, as described at sw_weather_load. The parts stay the caller's; their order
/// changes.
/// @param count at least 1; `folder` is used in messages
/// @return SW_OK, SW_BAD_INPUT or SW_NO_MEMORY; on failure `*out` is NULL
sw_status sw_join(join_part *part, int count, const char *folder, sw_messages *messages, sw_series **out);

#endif
