/// One kind of weather record for every source: evenly spaced rows of radiation and air.
#ifndef STILLWATT_SERIES_H
#define STILLWATT_SERIES_H

#include "stillwatt/loader.h"
#include "stillwatt/message.h"

#include <stdint.h>

/// One row. A value that the file does not give is NAN.
typedef struct sw_weather_row {
    double ghi_w_m2, dni_w_m2, dhi_w_m2;  ///< means over the row's step, which ENDS at the label
    double air_c, humidity_pct, wind_m_s; ///< at the label
    double pressure_pa, albedo, snow_m;
    double rain_mm; ///< fallen in the row's step
} sw_weather_row;

typedef struct sw_series {
    char *place; ///< as the file names it; UTF-8, cleaned of bad bytes
    double lat_deg, lon_deg, elevation_m;
    int32_t utc_offset_s; ///< of the rows' clock, standard time, no daylight saving
    int32_t step_s;       ///< 3600 for the hourly formats; from 300 on, dividing 3600
    int typical_year;     ///< 1: months of several years, usable for any year, its row 0 ends at 1 Jan 01:00
    int64_t start_s;      ///< UTC begin of row 0's step; for a typical year counted in the common year 2001
    int32_t count;        ///< 8760 for a typical year without 29 February
    int32_t air_before_end_s; ///< air, wind and the rest hold this long before the end of the step
    int32_t light_shift_s;    ///< by the sun the light belongs this much later than the rows say; 0: it fits
    sw_weather_row *row;      ///< owned
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

/// Writes the clock of the record at the end of a row: "16 June 17:00", or "16 June 2012 17:00" where the
/// record has a year. Always terminated.
void sw_series_label(const sw_series *series, int32_t index, char *buffer, size_t size);

/// Reads a weather file of any format known: EPW, TMY3, the JSON answers of the two open hourly services, and
/// the CSV described in README.md. The format is told by the text itself.
///
/// All readers: gaps of up to three hours in radiation or air are filled with straight lines and warned of
/// with their count; longer ones stay NAN. Global radiation and air are needed in some row; beam and sky
/// light may be missing throughout. Records whose light stands half an hour to an hour and a half beside the
/// sun are warned of. Every message names the file and, where it can, the line.
/// @param text need not be terminated; `name` is used in messages
/// @return SW_OK, SW_BAD_INPUT or SW_NO_MEMORY; on success `*out` is released with sw_series_free,
/// on failure it is NULL
sw_status sw_weather_read(const char *text, size_t length, const char *name, sw_messages *messages,
                          sw_series **out);

/// Loads a weather file, or a folder of them. A folder holds records of real years at one place, of one kind;
/// they are read as one record: in order of time, what is missing between them NAN but for gaps of up to
/// three hours, which are filled. Files that overlap by up to two days keep the earlier one's rows.
/// @param beside the file that names it, or NULL
/// @param where what is at fault when nothing is found under the name; NULL: the disk is
/// @return SW_OK, SW_BAD_INPUT (also for a name that leads nowhere, where `where` is given), SW_CANNOT_READ
/// or SW_NO_MEMORY, with messages; `*out` as sw_weather_read
sw_status sw_weather_load(const sw_loader *loader, const char *name, const char *beside,
                          const sw_where *where, sw_messages *messages, sw_series **out);

/// Reads an EPW file from memory. Layout: the EnergyPlus EPW data dictionary [epw].
/// LF and CRLF; missing codes become NAN (albedo <= 0 or 999 as well); 8760 or 8784 rows, else an error that
/// says how many. Otherwise as sw_weather_read.
sw_status sw_epw_read(const char *text, size_t length, const char *name, sw_messages *messages,
                      sw_series **out);

/// Reads the JSON answer of an hourly service: of the reanalysis one [power-hourly], whose labels are taken
/// to begin their hour and whose fill value is missing, or of the historical and forecast one [open-meteo],
/// whose labels end it and whose nulls are missing. At most 4 MB. As sw_weather_read.
sw_status sw_answer_read(const char *text, size_t length, const char *name, sw_messages *messages,
                         sw_series **out);

/// Reads and writes our own CSV, described in README.md: any step from 5 min to 1 h that divides the hour,
/// times with their offset from UTC. As sw_weather_read; what is written is read back the same to the digits
/// written.
/// @param out released with free(); NULL without memory
sw_status sw_plain_csv_read(const char *text, size_t length, const char *name, sw_messages *messages,
                            sw_series **out);
sw_status sw_plain_csv_write(const sw_series *series, char **out);

/// Reads a TMY3 file [tmy3]: columns are found by name, 24:00 belongs to its date, 8760 or 8784 rows. As
/// sw_epw_read.
sw_status sw_tmy3_read(const char *text, size_t length, const char *name, sw_messages *messages,
                       sw_series **out);

#endif
