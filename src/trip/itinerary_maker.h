// What the making of an itinerary carries along: itinerary.c resolves legs and clocks, itinerary_stops.c
// finds the places.
#ifndef SW_TRIP_ITINERARY_MAKER_H
#define SW_TRIP_ITINERARY_MAKER_H

#include "stillwatt/itinerary.h"

typedef struct itinerary_maker {
    const sw_plan *plan;
    const sw_loader *loader;
    sw_messages *messages;
    sw_itinerary *it;
} itinerary_maker;

/// Finds position, zone and climate of every place; all of them are looked at, so that all their errors are
/// told in one go.
sw_status sw_itinerary_find_stops(itinerary_maker *m);

#endif
