/// What one appliance takes of the battery away from a hookup: by the use, the hour or the day.
#ifndef STILLWATT_PORTION_H
#define STILLWATT_PORTION_H

#include "stillwatt/rehearsal.h"

typedef enum sw_portion_of {
    SW_PORTION_USE,  ///< of what is used and done with
    SW_PORTION_HOUR, ///< of what runs as long as it is switched on
    SW_PORTION_DAY   ///< of what was measured by the day, or what a thermostat decides
} sw_portion_of;

/// A portion of all that the van has of an appliance. On AC it goes through the inverter, whose idle draw
/// counts for as long as the appliance needs it on.
typedef struct sw_portion {
    sw_portion_of of;
    double socket_wh;  ///< what the appliance itself takes; 0: not known, or never asked for
    double battery_wh; ///< what that takes out of the battery
} sw_portion;

/// A use as the van file tells it, an hour of a steady load, a day of a measured one. Of what a thermostat
/// decides the mean day of the trip, without the time laid up. @param load of the van
sw_portion sw_portion_of_load(const sw_rehearsal *rehearsal, int load);

/// Where an appliance may run when there is no hookup.
typedef enum sw_runs {
    SW_RUNS,
    SW_RUNS_BY_INVERTER,
    SW_RUNS_BEYOND_INVERTER, ///< it takes more than the inverter gives
    SW_RUNS_BEYOND_BATTERY,  ///< with the inverter's loss more than even a full battery may give at once
    SW_RUNS_AT_HOOKUP        ///< there is no inverter, or it is asked for at a hookup only
} sw_runs;

/// @param load of the van
sw_runs sw_where_runs(const sw_rehearsal *rehearsal, int load);

/// What the battery has to give when the inverter carries `ac_w` [W]; 0: the van has no inverter.
double sw_drawn_w(const sw_rehearsal *rehearsal, double ac_w);
/// What a full battery may give at once at 25 degC [W]: for AC the inverter's cut-out binds too. Sources that
/// run meanwhile may help.
double sw_battery_most_w(const sw_rehearsal *rehearsal, sw_bus bus);

/// What `wh` at the sockets, taken at a load's own power, takes out of the battery, without the inverter's
/// idle draw: as much is saved by doing without it while the inverter stays on.
double sw_battery_wh(const sw_rehearsal *rehearsal, int load, double wh);

#endif
