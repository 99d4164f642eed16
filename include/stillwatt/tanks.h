/// Tanks over a trip: what people, appliances, generator and engine take out of them and put into them.
#ifndef STILLWATT_TANKS_H
#define STILLWATT_TANKS_H

#include "stillwatt/itinerary.h"
#include "stillwatt/ledger.h"

/// What became of one tank [L]: start + used or collected, less what was taken, filled or emptied, is the
/// end.
typedef struct sw_tank_finding {
    double start_l, end_l;
    double used_l;     ///< taken out of it, or collected in it
    double serviced_l; ///< filled, or emptied, on arrivals
    double short_l;    ///< what it could not give any more, or had no room for
    int64_t ends_at_s; ///< first end of an hour after which nothing, or no room, was left for what was asked
                       ///< later, UTC; the begin for one that had nothing then; INT64_MIN: never short
    int64_t counted_s; ///< where that account begins: the last service before it ended, or the begin
    double counted_l;  ///< used from there until it ended
} sw_tank_finding;

typedef struct sw_tanks_finding {
    sw_tank_finding tank[SW_TANKS];         ///< zeros where the van has none
    double engine_fuel_l, generator_fuel_l; ///< burnt to charge while parked, whether or not a tank counts it
} sw_tanks_finding;

/// Follows the tanks through the hours of a ledger and writes their columns; NAN where the van has no such
/// tank. A service counts before the first hour that begins with its stay or later. What runs goes on running
/// when its tank is empty or full: the tank is short then. Water that is not there does not run off.
/// @param hour of the trip in order, with the energy that was served to each of the van's loads
/// @param from_s begin of what is found: the services of a leg that begins then are part of it; the tanks are
/// followed from the trip's start on all the same
void sw_tanks_run(const sw_plan *plan, const sw_itinerary *itinerary, sw_account *hour, int hours,
                  int64_t from_s, sw_tanks_finding *out);

#endif
