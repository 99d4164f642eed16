// The inside of a sky: sky_kinds.c opens it and answers, sky_climate.c knows the days of a climate,
// sky_chance.c their spread and draws, sky_told.c cloud as told, sky_record.c reads hours.
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
    double chance_index;                        // of a chance sky: the same of its one draw
    double diffuse_factor;                      // moves the split so that the month's diffuse share comes out
    const sw_told_day *told;                    // NULL: not told
} sky_day;

struct sky {
    const sw_plan *plan;
    const sw_itinerary *it;
    int32_t slice_s;
    climate_nodes *nodes; // per stop
    int64_t first_day;    // of the table of days
    int days;
    sky_day *day;            // [stop][day]
    double (*poor_week)[12]; // [stop][month] spreads by which the poor week is darker than the mean; NAN: not
                             // yet known
    double *week_share;      // average: days of many drawn weeks, as shares of the days that are darker
    double week_luck;        // by which their tenth is corrected
    const sw_series *series; // hourly: the plan's, or
    sw_series *own_series;   // read from its file, owned
    int64_t moved_s;         // hourly: from the trip's dates to those of the record
    int64_t hour_start_s;    // hourly: the hour whose shape is known
    double hour_clear_w_m2, hour_height; // mean clear light and mean of max(0, cos zenith)
    double hour_diffuse_share;
    double hour_left_out_w_m2; // mean over the hour of what cannot have come from the sun
    int64_t unlit_s;           // rows of which half or more cannot
    int keep_beam;             // hourly: global and beam are trusted, not the sky light
};

/// Place, sun and clear sky at a position.
void sw_sky_moment_at(const sw_itinerary *it, int64_t utc_s, const sw_position *at, moment *out);

// Cloud as told, for days of any kind of sky.
const sw_told_day *sw_sky_told_of(const sw_sky_spec *spec, int64_t date); // NULL: not told
const sw_told_day *sw_sky_told_at(const sky *s, const moment *m);
sw_light sw_sky_told_light(const sky *s, const sw_told_day *day, const moment *m);

/// Distribution of the daily clearness of a month: the published one, drawn together or apart about its mean
/// until its spread is that of the place.
typedef struct sky_clearness {
    double mean, stretch;
} sky_clearness;

/// @param spread standard deviation of the days; 0 or NAN: that of the published distribution
sky_clearness sw_sky_clearness(double mean, double spread);
/// Clearness that a share of the days stays below.
double sw_sky_clearness_at(const sky_clearness *of, double probability);

/// Clearness of a date drawn at random; the same for the same draw and date, whatever the trip.
double sw_sky_chance_clearness(int draw, int64_t date, double mean, double spread);
/// Draws the weeks that the poor one is found among: the same for every month and place, so that one does not
/// differ from the next by chance; and how much their tenth lies beside that of all weeks. @return 0 without
/// memory
int sw_sky_draw_weeks(sky *s);
/// By how many spreads the mean of a week stays below that of the month one time in ten.
double sw_sky_poor_week(sky *s, int stop, int64_t date);

// Average, chance and told skies.
int sw_sky_climate_lights(sky *s, const moment *m, sw_outlook outlook, sw_light out[SW_LEVELS]);
double sw_sky_climate_air_c(sky *s, const moment *m);
double sw_sky_climate_wind_m_s(sky *s, const moment *m);

// Hourly skies.
sw_status sw_sky_record_open(sky *s, const sw_loader *loader, sw_messages *messages);
int sw_sky_record_lights(sky *s, const moment *m, sw_light out[SW_LEVELS]);
double sw_sky_record_air_c(const sky *s, const moment *m);
double sw_sky_record_wind_m_s(const sky *s, const moment *m);
double sw_sky_record_humidity_pct(const sky *s, const moment *m);
double sw_sky_record_rain_mm_h(const sky *s, const moment *m); // NAN: not given
double sw_sky_record_albedo(const sky *s, const moment *m);    // NAN: not given

#endif
