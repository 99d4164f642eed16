// From monthly means to days: values between mid-months whose monthly means come out exactly.
#ifndef SW_TRIP_CLIMATE_DAYS_H
#define SW_TRIP_CLIMATE_DAYS_H

#include "stillwatt/stations.h"

#include <stdint.h>

/// Mean clearness that the distribution of daily values is used for.
#define CLIMATE_DARKEST 0.05
#define CLIMATE_OPENEST 0.80

/// Mid-month values of all the quantities that a day needs.
typedef struct climate_nodes {
    double clearness[12], spread[12], low_c[12], high_c[12], wind_m_s[12], diffuse_share[12];
    double clearness_factor[12]; // makes the energy of each month exact
} climate_nodes;

/// What the climate says of one day.
typedef struct climate_day {
    double clearness, spread, low_c, high_c, wind_m_s, diffuse_share;
} climate_day;

/// @param lat_deg, lon_deg of the place: a day's clearness counts by the energy above the air
void sw_climate_nodes_of(const sw_climate *climate, double lat_deg, double lon_deg, climate_nodes *out);
/// @param date days since 1970-01-01
void sw_climate_day_of(const climate_nodes *nodes, int64_t date, climate_day *out);

/// Mid-month nodes of a line whose mean over each month is `mean[month]`, straight between mid-months.
void sw_nodes_of_means(const double mean[12], double node[12]);

#endif
