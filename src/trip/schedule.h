// What people switch on, when: loads by clock, use, measure and condition, as power per step.
#ifndef SW_TRIP_SCHEDULE_H
#define SW_TRIP_SCHEDULE_H

#include "stillwatt/itinerary.h"
#include "stillwatt/plan.h"

/// What the conditions of loads look at, per step.
typedef struct step_facts {
    const uint8_t *flags; // sw_step_flag
    const double *air_c, *cabin_c;
} step_facts;

/// Power of one load [W]: mean of each step, its greatest at one moment of the step, and that again in steps
/// that a run of three hours and more reaches into. All zeroed by the caller; `long_w` may be NULL.
/// @return SW_OK or SW_NO_MEMORY
sw_status sw_schedule_load(const sw_load_spec *load, double bank_v, const sw_itinerary *it,
                           const step_facts *facts, int32_t steps, int32_t step_s, double *mean_w,
                           double *peak_w, double *long_w);

/// Share of each step in which local hours are within windows (NULL: always).
void sw_schedule_windows(const sw_windows *windows, const sw_itinerary *it, int32_t steps, int32_t step_s,
                         double *share);

#endif
