// Dirt on the panels: it grows with every dry day, until rain or a hand washes it off.
#ifndef SW_TRIP_DIRT_H
#define SW_TRIP_DIRT_H

#include "stillwatt/plan.h"

/// When the panels were washed last. Begins as {.since_s = start of the trip}.
typedef struct roof_dirt {
    int64_t since_s;       // UTC of the last wash, or of the start
    int washed;            // 0: what lay on them at the start is there still
    const sw_leg *by_hand; // the leg whose wash is done
    int64_t date;          // of the rain that is being gathered, local
    double rain_mm;        // of that date
} roof_dirt;

/// Passes on to a moment, in order of time.
/// @param rain_mm fallen since the moment before; NAN: nobody knows, taken as dry
void sw_dirt_pass(roof_dirt *dirt, const sw_leg *leg, int64_t utc_s, int64_t local_s, double rain_mm);

/// Share of the light that dirt takes from an array at a moment. It never grows beyond 30 %
/// [kimber-2006], but may have begun there.
double sw_dirt_loss(const roof_dirt *dirt, const sw_array_spec *array, int64_t utc_s);

#endif
