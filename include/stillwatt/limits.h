/// What a van's system can do: nights without sun, refilling, the charge that an evening needs, what may not
/// run together.
#ifndef STILLWATT_LIMITS_H
#define STILLWATT_LIMITS_H

#include "stillwatt/clash.h"

/// Sources that fill the battery, each alone with nothing switched on.
typedef enum sw_refill {
    SW_REFILL_DRIVE,
    SW_REFILL_HOOKUP,
    SW_REFILL_SUN,
    SW_REFILL_POOR_SUN,
    SW_REFILLS
} sw_refill;

/// The charge at sunset from which the coming day just stays on the reserve line with all served.
typedef struct sw_evening {
    int64_t sunset_s; ///< begin of the first dark step
    double mark;      ///< charge; 0 to 1; INFINITY: not even a full battery is enough
} sw_evening;

typedef struct sw_limits {
    const sw_rehearsal *of; ///< not owned
    int ordinary_day; ///< index of the whole parked day whose use is nearest to the trip's mean day, without
                      ///< a hookup if there is such a day
    double use_wh;    ///< what that day takes out of the battery without any source: loads, but those of a
                      ///< hookup only, inverter, heater, its own losses
    double nights;    ///< days from full to the reserve line by that day's use alone; INFINITY: over 60
    int nights_cold;  ///< 1: they end because the battery is too cold to give anything
    double from, to;  ///< charges of the refilling: the reserve line, and 80 %, or full where that is no more
    double refill_h[SW_REFILLS]; ///< of drive, of hookup; of sun in days times 24 from sunrise on; NAN: no
                                 ///< such source; INFINITY: not within ten days
    int refill_cold[SW_REFILLS]; ///< 1: cold holds the charge back meanwhile
    int by_poor_week;            ///< 1: the evening marks are of the poor week
    int evenings;
    sw_evening *evening;
    sw_clashes clashes;
    void *owner;
} sw_limits;

/// Works out the limits of a rehearsed trip's van, by the same march.
/// @return SW_OK; SW_BAD_INPUT if the trip has no whole day of a stay; SW_NO_MEMORY
sw_status sw_find_limits(const sw_rehearsal *of, sw_messages *messages, sw_limits **out);
/// Releases them; NULL is allowed.
void sw_limits_free(sw_limits *limits);

#endif
