/// The years of an hourly sky: the same trip under the weather of each year that its record holds.
#ifndef STILLWATT_SKY_YEARS_H
#define STILLWATT_SKY_YEARS_H

#include "stillwatt/plan.h"
#include "stillwatt/series.h"
#include "stillwatt/sky_days.h"

#define SW_SKY_YEARS_MAX 400

typedef struct sw_sky_years {
    const sw_plan *plan;        ///< not owned
    sw_series *series;          ///< owned; read once for all years
    int years;                  ///< at least 1
    int year[SW_SKY_YEARS_MAX]; ///< ascending: those in which the whole trip is on record, nothing missing
} sw_sky_years;

/// A plan of its own for one of the years. `plan` points into this struct and into what it was made from: do
/// not copy it, and release neither before it is used up.
typedef struct sw_sky_year_plan {
    sw_plan plan;
    sw_trip trip;
} sw_sky_year_plan;

/// What a year's weather comes to over the trip; means are of 24 hours.
typedef struct sw_sky_year_sum {
    int year;
    double sun_h, flat_kwh_m2, clear_kwh_m2;
    double array_sun_h[SW_ARRAYS_MAX];
    double low_c, high_c; ///< of the whole trip
} sw_sky_year_sum;

/// Reads the record of a trip with an hourly sky and finds its years. A year that the trip names does not
/// matter.
/// @return SW_OK; SW_BAD_INPUT with messages (another kind of sky, a typical year, no year without gaps);
/// SW_CANNOT_READ, SW_NO_MEMORY; on failure `*out` is NULL
sw_status sw_sky_years_make(const sw_plan *plan, const sw_loader *loader, int32_t step_s,
                            sw_messages *messages, sw_sky_years **out);
/// Releases it; NULL is allowed.
void sw_sky_years_free(sw_sky_years *years);

/// The plan under the weather of year[index].
void sw_sky_year_plan_make(const sw_sky_years *years, int index, sw_sky_year_plan *out);

/// Works out a year. @return as sw_sky_days_make
sw_status sw_sky_year_sum_make(const sw_sky_years *years, int index, const sw_loader *loader, int32_t step_s,
                               sw_messages *messages, sw_sky_year_sum *out);

#endif
