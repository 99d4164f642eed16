// The inside of a sky: sky_kinds.c opens it and answers, sky_climate.c knows average and told days,
// sky_record.c reads hours.
#ifndef SW_TRIP_SKY_INSIDE_H
#define SW_TRIP_SKY_INSIDE_H

#include "trip/climate_days.h"
#include "trip/sky.h"

#define SKY_DAY_S         86400
#define SKY_LAPSE_K_PER_M 0.0065 // between weather station and place; standard atmosphere

/// A solar day at a place: what is worked out once for it.
typedef struct sky_day {
    int air_known, light_known;
    sw_air_day air;
    climate_day climate;
    double level_index[SW_OUTLOOKS][SW_LEVELS]; // light over clear light, all day long
    double diffuse_factor;                      // moves the split so that the month's diffuse share comes out
    const sw_told_day *told;
} sky_day;

struct sky {
    const sw_plan *plan;
    const sw_itinerary *it;
    int32_t slice_s;
    climate_nodes *nodes; // per stop
    int64_t first_day;    // of the table of days
    int days;
    sky_day *day; // [stop][day]
    sw_series *series;
    int64_t moved_s;                     // hourly: from the trip's dates to those of the record
    int64_t hour_start_s;                // hourly: the hour whose shape is known
    double hour_clear_w_m2, hour_height; // mean clear light and mean of max(0, cos zenith)
    double hour_left_out_w_m2;           // mean over the hour of what cannot have come from the sun
    int unlit_hours;                     // hours of which half or more cannot
    int keep_beam;                       // hourly: global and beam are trusted, not the sky light
};

/// Place, sun and clear sky at a position.
void sw_sky_moment_at(const sw_itinerary *it, int64_t utc_s, const sw_position *at, moment *out);

// Average and told skies.
int sw_sky_climate_lights(sky *s, const moment *m, sw_outlook outlook, sw_light out[SW_LEVELS]);
double sw_sky_climate_air_c(sky *s, const moment *m);
double sw_sky_climate_wind_m_s(sky *s, const moment *m);

// Hourly skies.
sw_status sw_sky_record_open(sky *s, const sw_loader *loader, sw_messages *messages);
int sw_sky_record_lights(sky *s, const moment *m, sw_light out[SW_LEVELS]);
double sw_sky_record_air_c(const sky *s, const moment *m);
double sw_sky_record_wind_m_s(const sky *s, const moment *m);
double sw_sky_record_albedo(const sky *s, const moment *m); // NAN: not given

#endif
