/// Filling of short gaps in a record.
#ifndef STILLWATT_WEATHER_GAPS_H
#define STILLWATT_WEATHER_GAPS_H

#include "stillwatt/series.h"

#define SW_GAP_MAX_ROWS 3

/// Fills gaps of up to SW_GAP_MAX_ROWS rows in radiation and air; counts are warned of, longer gaps are
/// errors.
/// @param first_line line of row 0 in the file `name`
sw_status sw_gaps_fill(sw_series *series, const char *name, int first_line, sw_messages *messages);

#endif
