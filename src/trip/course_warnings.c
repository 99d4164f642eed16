// What a course warns of before it is made: time that falls off the steps, panels that look anywhere.
#include "trip/course_warnings.h"

#include <math.h>

static void warn_of_tail(const sw_trip *trip, const sw_itinerary *it, int32_t step_s, sw_messages *messages)
{
    int64_t left = (it->end_s - it->start_s) % step_s;
    if (left >= 60)
        sw_warn(messages, &trip->leg[trip->legs - 1].where, "a shorter --step reaches the end",
                "the last %d min of the trip are shorter than a step of %d min and are left out",
                (int)(left / 60), (int)(step_s / 60));
}

/* A hookup, and a generator, feed whole steps. */
static void warn_of_generator(const sw_trip *trip, int32_t step_s, sw_messages *messages)
{
    int step_min = step_s / 60, off = 0;
    for (int i = 0; i < trip->legs; i++) {
        const sw_windows *hours = trip->leg[i].generator_hours;
        for (int k = 0; hours != NULL && k < hours->count; k++)
            off = off || hours->from_min[k] % step_min != 0 || hours->to_min[k] % step_min != 0;
    }
    if (off)
        sw_warn(messages, &(sw_where){.file = trip->file, .path = "/legs"},
                "a shorter --step follows the clock",
                "the generator's hours are rounded to whole steps of %d min", step_min);
}

static int has_unsaid_heading(const sw_trip *trip)
{
    for (int i = 0; i < trip->legs; i++)
        if (trip->leg[i].kind == SW_LEG_STAY && !trip->leg[i].has_heading)
            return 1;
    return 0;
}

#define AWAY_FROM_DEG 15.0 // tilted by less, a panel hardly cares where it faces: common practice, no source
#define TROPIC_DEG    23.5 // between the tropics the noon sun stands on either side

/* Degrees between where an array by the compass faces and the side of the noon sun. */
static double off_noon_deg(const sw_array_spec *a, double lat_deg)
{
    return fabs(remainder(a->facing_deg - (lat_deg > 0.0 ? 180.0 : 0.0), 360.0));
}

static void warn_of_array(const sw_plan *plan, const sw_itinerary *it, const sw_array_spec *a,
                          sw_messages *messages)
{
    const sw_trip *trip = plan->trip;
    if (a->tilt_deg < AWAY_FROM_DEG)
        return;
    if (a->fixed_to == SW_FIXED_VAN && has_unsaid_heading(trip)) {
        sw_warn(
            messages, &(sw_where){.file = trip->file, .path = "/legs"},
            "say where the parked nose points: \"heading\": \"90 deg\" in the stays",
            "nobody says where the nose points, and it is taken for north; \"%s\" is tilted and hangs on it",
            a->name);
        return;
    }
    for (int i = 0; i < it->stops && a->fixed_to == SW_FIXED_COMPASS; i++)
        if (fabs(it->stop[i].lat_deg) > TROPIC_DEG && off_noon_deg(a, it->stop[i].lat_deg) > 90.0) {
            sw_warn(messages, &(sw_where){.file = plan->van->file, .path = "/arrays"},
                    "turn its \"facing\" towards the noon sun", "\"%s\" faces away from the noon sun of %s",
                    a->name, it->stop[i].name);
            return;
        }
}

void sw_course_warn(const sw_plan *plan, const sw_itinerary *it, int32_t step_s, sw_messages *messages)
{
    warn_of_tail(plan->trip, it, step_s, messages);
    warn_of_generator(plan->trip, step_s, messages);
    for (int a = 0; a < plan->van->arrays; a++)
        warn_of_array(plan, it, &plan->van->array[a], messages);
}
