// What people run to charge while the van is parked: the generator and the engine.
#ifndef SW_TRIP_ENGINES_H
#define SW_TRIP_ENGINES_H

#include "stillwatt/forcing.h"
#include "stillwatt/itinerary.h"

/// Lays the hours in which they run over the steps: the shares of the steps, and what the march sees of them.
/// Nothing runs in quiet hours; a hookup spares the generator.
/// @param forcing drives and hookups are in it already
/// @param generator_share, engine_share per step; zeroed by the caller
void sw_engines_lay(const sw_plan *plan, const sw_itinerary *itinerary, sw_forcing *forcing,
                    double *generator_share, double *engine_share);

/// How cold the alternator is in each step; drives and idling are in the forcing already. NULL: stays 0.
void sw_engines_warm(const sw_alternator_spec *alternator, sw_forcing *forcing);

/// Marks the steps in which somebody aboard looks after a battery that has cut itself off.
void sw_engines_look_after(const sw_itinerary *itinerary, sw_forcing *forcing);

#endif
