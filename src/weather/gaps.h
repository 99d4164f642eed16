/// Filling of short gaps in a record.
#ifndef STILLWATT_WEATHER_GAPS_H
#define STILLWATT_WEATHER_GAPS_H

#include "stillwatt/series.h"

/// Fills gaps of up to three hours in radiation and air with straight lines between the rows around them, and
/// warns of their count; longer ones, and those at the ends of a record, stay NAN. Global radiation or air
/// missing in every row is an error; beam or sky light missing in every row is none, as it can be split from
/// the global.
sw_status sw_gaps_fill(sw_series *series, const char *name, sw_messages *messages);

#endif
