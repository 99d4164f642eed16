// What a course warns of before it is made.
#ifndef SW_TRIP_COURSE_WARNINGS_H
#define SW_TRIP_COURSE_WARNINGS_H

#include "stillwatt/itinerary.h"

/// Warns of a last bit of the trip, and of generator hours, that do not fall on whole steps, and of panels of
/// which nobody said where they look, or that look away from the noon sun.
void sw_course_warn(const sw_plan *plan, const sw_itinerary *itinerary, int32_t step_s,
                    sw_messages *messages);

#endif
