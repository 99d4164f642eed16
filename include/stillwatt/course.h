/// A trip made ready for the march: itinerary, sky, light on the panels, and what people switch on, step by
/// step.
#ifndef STILLWATT_COURSE_H
#define STILLWATT_COURSE_H

#include "stillwatt/forcing.h"
#include "stillwatt/itinerary.h"
#include "stillwatt/march.h"

/// Direct light above which the sun counts as shining [W/m2] [wmo-8].
#define SW_SUNSHINE_W_M2 120.0

typedef struct sw_course {
    sw_itinerary *itinerary;
    int outlooks; ///< 1, or 2 with the poor week
    sw_forcing forcing[SW_OUTLOOKS];
    int loads;
    double **liquid_l; ///< per load, per step: water that a cooler evaporates, or fuel that a heater burns;
                       ///< NULL for other loads
    double **asked_w;  ///< per load of the van, per step; a fridge has none, it depends on the cabin
    double *sun_share; ///< per step: share of it in which the sun shines; of an average sky the mean of its
                       ///< days
    double *generator_share, *engine_share; ///< per step: share in which it runs to charge while parked
    double *clear_w_m2;                     ///< per step: light on the flat under a cloudless sky
    double taken[SW_ARRAYS_MAX];    ///< share of each array's light that hills and trees take, over the trip
    double dirtiest[SW_ARRAYS_MAX]; ///< greatest share of each array's light that dirt takes
    char sky_says[160];             ///< the sky in words, such as "the average November sky"
    int borrows;                    ///< 1: the itinerary is somebody else's
    void *owner;
} sw_course;

/// @param step_s 60 to 3600, a divisor of 3600
/// @return SW_OK, SW_BAD_INPUT with messages (itinerary, stations, zones, weather file), SW_CANNOT_READ,
/// SW_NO_MEMORY; on failure `*out` is NULL
sw_status sw_course_make(const sw_plan *plan, const sw_loader *loader, int32_t step_s, sw_messages *messages,
                         sw_course **out);
/// The same on an itinerary that is there already, of the same trip under any sky but an hourly one: for many
/// skies of one trip, also at once from several threads. It must outlive the course, which does not release
/// it. @param itinerary NULL: as sw_course_make
sw_status sw_course_make_on(const sw_plan *plan, sw_itinerary *itinerary, const sw_loader *loader,
                            int32_t step_s, sw_messages *messages, sw_course **out);

/// Whether the course of one plan is that of the other as well, to the bit: they differ in nothing but what
/// the march alone feels (battery, sizes of arrays, chargers, inverter, prices, start charge, reserve line).
/// @param b of the same trip, with the same places, legs and sky as `a`: these are not looked at
int sw_course_serves(const sw_plan *a, const sw_plan *b);

/// Releases a course and its itinerary; NULL is allowed.
void sw_course_free(sw_course *course);

/// The van of a plan in the engineering terms of the march. `course` gives the battery's first temperature.
/// @return 1, or 0 if no loss curve passes through the inverter's figures (the reader allows no such van)
int sw_variant_of(const sw_plan *plan, const sw_course *course, sw_variant *out);

#endif
