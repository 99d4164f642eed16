/// What the nearest stations say about a place, all but one of them.
#ifndef STILLWATT_WEATHER_CLIMATE_H
#define STILLWATT_WEATHER_CLIMATE_H

#include "stillwatt/stations.h"

/// As sw_climate_at, as if one station of the table were not there; -1: none. For measuring what a place
/// without a station of its own may expect.
sw_status sw_climate_without(const sw_station_table *table, int left_out, double lat_deg, double lon_deg,
                             double elevation_m, const sw_where *where, sw_messages *messages,
                             sw_climate *out);

#endif
