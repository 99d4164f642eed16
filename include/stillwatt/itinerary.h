/// Where the van is and what its clocks say: legs resolved to UTC, with the zones and climates of their
/// places.
#ifndef STILLWATT_ITINERARY_H
#define STILLWATT_ITINERARY_H

#include "stillwatt/loader.h"
#include "stillwatt/plan.h"
#include "stillwatt/stations.h"
#include "stillwatt/zone.h"

/// A place of the trip, found.
typedef struct sw_stop {
    const char *name;
    double lat_deg, lon_deg, elevation_m;
    double turbidity, albedo;
    const sw_zone *zone;
    int climate_known;
    sw_climate climate; ///< monthly means, if the sky needs them
} sw_stop;

/// One leg in time.
typedef struct sw_span {
    int kind; ///< sw_leg_kind
    int stop, to_stop;
    int64_t start_s, end_s; ///< UTC
    double bearing_deg;     ///< where the nose points
    double speed_m_s, idle_share;
    double pedestal_va, pedestal_steady_share;
} sw_span;

/// A stretch of the trip on one clock.
typedef struct sw_stretch {
    int64_t start_s, end_s;
    const sw_zone *zone;
} sw_stretch;

/// A local day of the trip; the first and the last may be cut.
typedef struct sw_day {
    int64_t date; ///< days since 1970-01-01, of the local calendar
    int64_t start_s, end_s;
} sw_day;

typedef struct sw_itinerary {
    int64_t start_s, end_s;
    int stops, spans, stretches, days;
    sw_stop *stop;
    sw_span *span;
    sw_stretch *stretch;
    sw_day *day;
    int zones;
    sw_zone **zone;
    sw_station_table *table; ///< NULL if no place needed it
    sw_text table_text;
} sw_itinerary;

/// Where the van is at a moment.
typedef struct sw_position {
    double lat_deg, lon_deg, elevation_m;
    int span, stop; ///< on the road: the nearer end
} sw_position;

/// Resolves the trip of a plan. Checks that it joins up: gaps, overlaps, jumps between places, drives that
/// take no time, go nowhere or would be faster than 150 km/h are errors at the leg.
/// @param step_s the legs are kept to the second; the trip must last at least one step
/// @return SW_OK; SW_BAD_INPUT or SW_CANNOT_READ with messages; SW_NO_MEMORY; on failure `*out` is NULL
sw_status sw_itinerary_make(const sw_plan *plan, const sw_loader *loader, int32_t step_s,
                            sw_messages *messages, sw_itinerary **out);
/// Releases an itinerary with its zones and station table; NULL is allowed.
void sw_itinerary_free(sw_itinerary *itinerary);

/// Position at a moment; before the start and after the end that of the first and last place.
sw_position sw_itinerary_at(const sw_itinerary *itinerary, int64_t utc_s);

/// Local clock seconds at a moment of the trip, by the clock of the stretch.
int64_t sw_itinerary_local_s(const sw_itinerary *itinerary, int64_t utc_s);

/// Index of the local day of a moment of the trip.
int sw_itinerary_day(const sw_itinerary *itinerary, int64_t utc_s);

#endif
