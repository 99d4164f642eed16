/// Monthly means of weather stations: the table in weather/stations.csv, and what they say about any place.
#ifndef STILLWATT_STATIONS_H
#define STILLWATT_STATIONS_H

#include "stillwatt/message.h"

/// Means of one month, as the table gives them.
typedef struct sw_month {
    double ghi_kwh_m2_day, dni_kwh_m2_day, dhi_kwh_m2_day;
    double mean_c, daily_min_c, daily_max_c;
    double humidity_pct, wind_m_s;
    double kt_mean, kt_sd; ///< daily clearness index: mean and standard deviation of the month's days
    double dark_day_share; ///< share of days with a clearness index below 0.25
} sw_month;

typedef struct sw_station {
    char name[64];   ///< readable: words capitalised, no underscores
    char region[8];  ///< state or province, "-" if none
    char country[4]; ///< ISO 3166 alpha-3
    char zone[40];   ///< IANA time zone
    char set[8];     ///< data set it was computed from
    double lat_deg, lon_deg, elevation_m;
} sw_station;

/// The table in memory. Opening it finds the lines; months are parsed only for the stations asked for.
typedef struct sw_station_table sw_station_table;

/// @param text the table's text, which must outlive the table; not copied
/// @return SW_OK, SW_BAD_INPUT or SW_NO_MEMORY; on failure `*out` is NULL
sw_status sw_stations_open(const char *text, size_t length, const char *name, sw_messages *messages,
                           sw_station_table **out);
/// Releases a table, not its text; NULL is allowed.
void sw_stations_free(sw_station_table *table);
/// How many stations there are.
int sw_stations_count(const sw_station_table *table);
/// Station `index`, owned by the table; NULL outside 0..count-1.
const sw_station *sw_stations_at(const sw_station_table *table, int index);
/// The state or province of a station, or its country where it has none.
const char *sw_station_state(const sw_station *station);
/// Months 0..11 of a station. @return SW_OK or SW_BAD_INPUT with a message
sw_status sw_stations_months(const sw_station_table *table, int index, sw_messages *messages,
                             sw_month out[12]);

/// Finds a station by a name as people write it: case, punctuation and accents ignored, words in any order, a
/// state or country code may follow ("Grand Junction CO", "moab"). Filler words of the table (Intl, AP, Arpt
/// ...) are ignored.
/// @return index; -1 if none or several fit, then `suggest` holds up to `room` indices of the nearest names
int sw_stations_find(const sw_station_table *table, const char *name, int *suggest, int room, int *suggested);

#define SW_NEIGHBOURS 12

/// What a month of a place may miss, two times in three, measured by leaving each station of the table out:
/// share of the light, and degrees of the mean temperature. Most of it is that the table holds one typical
/// year a station.
#define SW_CLIMATE_LIGHT_ERROR 0.10
#define SW_CLIMATE_AIR_ERROR_K 1.7

/// What the table says about a place.
typedef struct sw_climate {
    sw_month month[12]; ///< at the place: clearness weighted, temperatures moved by 6.5 K/km.
                        ///< Here kt_mean is the month's energy over its extraterrestrial energy, so that
                        ///< their product is ghi; the table's kt_mean is the mean of the daily ratios
    int neighbours;     ///< 0: given by the user
    int station[SW_NEIGHBOURS];
    double distance_km[SW_NEIGHBOURS];
    double weight[SW_NEIGHBOURS]; ///< sum 1
} sw_climate;

/// Weighs the nearest stations (up to SW_NEIGHBOURS within 300 km) by inverse distance, where 100 m of height
/// count as 20 km, within some 5 km by its third power; clearness and its spread, diffuse share, temperatures
/// at the place's height. Daily energies of the month follow from clearness and the extraterrestrial energy
/// of the place.
/// @return SW_BAD_INPUT with a message and hint if no station is within 300 km
sw_status sw_climate_at(const sw_station_table *table, double lat_deg, double lon_deg, double elevation_m,
                        const sw_where *where, sw_messages *messages, sw_climate *out);

/// Fills kt_mean of each month from its ghi_kwh_m2_day: that over the extraterrestrial energy of the place, 0
/// in months without sun. For climates that the user gives.
void sw_climate_from_energy(double lat_deg, double lon_deg, sw_climate *climate);

#endif
