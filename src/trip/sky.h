// The sky of a trip at any moment: light on the flat and air, whatever kind of sky the trip has.
#ifndef SW_TRIP_SKY_H
#define SW_TRIP_SKY_H

#include "stillwatt/forcing.h"
#include "stillwatt/itinerary.h"
#include "stillwatt/series.h"
#include "stillwatt/sky.h"

/// Days that stand for an average day, equally likely [hollands-huget-1983].
#define SW_LEVELS 24

/// One moment of the trip, with what does not depend on the sky.
typedef struct moment {
    int64_t utc_s;
    sw_position at;
    sw_sun_clock clock;
    sw_sun sun;
    sw_light clear;
} moment;

typedef struct sky sky;

/// Opens the sky of a plan. `slice_s` is the spacing of moments that is wanted. Released by sw_sky_close.
sw_status sw_sky_open(const sw_plan *plan, const sw_itinerary *it, const sw_loader *loader, int32_t slice_s,
                      sw_messages *messages, sky **out);
void sw_sky_close(sky *s);

/// The spacing of moments that the sky needs, a divisor of what was wanted: rows of a record keep their
/// energy where a whole number of moments falls into each.
int32_t sw_sky_slice_s(const sky *s);

/// The place, sun and clear sky of a moment.
void sw_sky_moment(const sky *s, int64_t utc_s, moment *out);

/// Equally likely lights of a moment. @return how many, 1..SW_LEVELS
int sw_sky_lights(sky *s, const moment *m, sw_outlook outlook, sw_light out[SW_LEVELS]);

double sw_sky_air_c(sky *s, const moment *m);
double sw_sky_wind_m_s(sky *s, const moment *m);

/// Relative humidity by a record [%]; NAN where the sky has none.
double sw_sky_humidity_pct(const sky *s, const moment *m);
double sw_sky_albedo(sky *s, const moment *m);

/// Rain by a record [mm/h]; NAN where the sky has none.
double sw_sky_rain_mm_h(const sky *s, const moment *m);
int sw_sky_outlooks(const sky *s);
int sw_sky_unlit_hours(const sky *s);
/// The sky in words.
void sw_sky_says(const sky *s, char *buffer, size_t size);

#endif
