/// The starter battery beside the house's: what drains it, what fills it, and whether it starts the engine.
#ifndef STILLWATT_STARTER_H
#define STILLWATT_STARTER_H

#include "stillwatt/course.h"
#include "stillwatt/ledger.h"

/// What became of it. Charges are shares of its capacity.
typedef struct sw_starter_finding {
    int has;
    double start, lowest, end;
    int64_t lowest_at_s; ///< end of the hour with the lowest
    int starts;          ///< how often the engine was started
    int64_t fails_at_s;  ///< first hour in which it could not start the engine, UTC; INT64_MIN: it always did
    double fails_charge, fails_c; ///< charge and outside temperature then
    int starts_at_end;            ///< it would start the engine after the trip
} sw_starter_finding;

/// Follows a lead starter battery hour by hour. It stands outside. With the engine running it takes what is
/// missing over SW_AGM's acceptance; else the vehicle's own draw and self-discharge leave it, and the load
/// that keeps it filled puts in what it was served. Cold locks a part of its charge, as it does in a house
/// battery. What cannot start goes on all the same: somebody helps.
/// @param hour of the trip in order, with the energy that was served to each of the van's loads
void sw_starter_run(const sw_plan *plan, const sw_course *course, const sw_account *hour, int hours,
                    sw_starter_finding *out);

#endif
