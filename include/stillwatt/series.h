/// One kind of weather record for every source: evenly spaced rows of radiation and air.
#ifndef STILLWATT_SERIES_H
#define STILLWATT_SERIES_H

#include "stillwatt/message.h"

#include <stdint.h>

/// One row. A value that the file does not give is NAN.
typedef struct sw_weather_row {
    double ghi_w_m2, dni_w_m2, dhi_w_m2;  ///< means over the row's step, which ENDS at the label
    double air_c, humidity_pct, wind_m_s; ///< at the label
    double pressure_pa, albedo, snow_m;
} sw_weather_row;

typedef struct sw_series {
    char *place; ///< as the file names it; UTF-8, cleaned of bad bytes
    double lat_deg, lon_deg, elevation_m;
    int32_t utc_offset_s; ///< of the rows' clock, standard time, no daylight saving
    int32_t step_s;       ///< 3600 for the hourly formats
    int typical_year;     ///< 1: months of several years, usable for any year, its row 0 ends at 1 Jan 01:00
    int64_t start_s;      ///< UTC begin of row 0's step; for a typical year counted in the common year 2001
    int32_t count;        ///< 8760 for a typical year without 29 February
    sw_weather_row *row;  ///< owned
} sw_series;

/// Releases a series and its rows; NULL is allowed.
void sw_series_free(sw_series *series);

/// Row whose step contains the moment. A typical year is used for any year (29 February reads 28 February; a
/// file with its own 29 February is a record of a real year).
/// @return index, or -1 outside a record of a real year
int32_t sw_series_index(const sw_series *series, int64_t utc_s);

/// The row after `index`, and the one before it, wrapping round a typical year; -1 outside a record of a real
/// year.
int32_t sw_series_next(const sw_series *series, int32_t index);
int32_t sw_series_previous(const sw_series *series, int32_t index);

/// Reads an EPW file from memory. Layout: the EnergyPlus EPW data dictionary [epw].
/// LF and CRLF; missing codes become NAN (albedo <= 0 or 999 as well); 8760 or 8784 rows, else an error that
/// says how many. Gaps of up to 3 rows in radiation or air are filled (air linearly, radiation by neighbours)
/// and warned of with their count; longer ones are errors that name month, day and hour. Every message names
/// file and line.
/// @param text need not be terminated; `name` is used in messages
/// @return SW_OK, SW_BAD_INPUT or SW_NO_MEMORY; on success `*out` is released with sw_series_free,
/// on failure it is NULL
sw_status sw_epw_read(const char *text, size_t length, const char *name, sw_messages *messages,
                      sw_series **out);

#endif
