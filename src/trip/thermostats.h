// The cabin's temperature step by step, and what its thermostats ask to keep it.
#ifndef SW_TRIP_THERMOSTATS_H
#define SW_TRIP_THERMOSTATS_H

#include "stillwatt/forcing.h"
#include "stillwatt/itinerary.h"
#include "stillwatt/plan.h"
#include "stillwatt/status.h"

/// What the cabin of a trip is made of. Columns have a value per step.
typedef struct cabin_job {
    const sw_plan *plan; // of a van with a cabin
    const sw_itinerary *it;
    sw_forcing *forcing;           // light, air, drives, hookups and the inverter's hours are in it already
    const double *humidity_pct;    // NAN where nobody knows it
    const double *generator_share; // of the steps
    /// Per load of the van: what is asked [W]. Those that do not look at the cabin are laid already; those of
    /// the thermostats are zero and will be filled.
    double *const *asked_w;
    /// Per load: water that a cooler evaporates in the step, or fuel that a heater burns; zero, NULL for
    /// others.
    double *const *liquid_l;
} cabin_job;

/// Whether a load follows the cabin's temperature by itself.
int sw_is_thermostat(const sw_load_spec *load);

/// Works out the cabin's temperature (the mean of each step's ends, into the forcing) and what the
/// thermostats ask; adds that to the forcing's loads. What is asked counts as served: where the battery
/// cannot, the cabin would be colder, or hotter, than this.
/// @return SW_OK or SW_NO_MEMORY
sw_status sw_thermostats_lay(const cabin_job *job);

#endif
