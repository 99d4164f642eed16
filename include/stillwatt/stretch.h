/// How long a stay can last, and what ends it first.
#ifndef STILLWATT_STRETCH_H
#define STILLWATT_STRETCH_H

#include "stillwatt/rehearsal.h"

/// What can end a stay: the charge under the trip's own sky, and under one that is as poor as one week in ten
/// all along; the tanks.
typedef enum sw_stretch_cause {
    SW_STRETCH_CHARGE,
    SW_STRETCH_POOR,
    SW_STRETCH_TANK,
    SW_STRETCH_CAUSES = SW_STRETCH_TANK + SW_TANKS
} sw_stretch_cause;

/// How the charge ends a stay. More than the battery may give at once, a kettle too many, ends none.
typedef enum sw_stretch_why {
    SW_STRETCH_UNDER,   ///< it falls under the reserve line
    SW_STRETCH_EMPTY,   ///< what is left does not last
    SW_STRETCH_COLD,    ///< too cold to give anything
    SW_STRETCH_SAG,     ///< the voltage sinks to the inverter's cut-out
    SW_STRETCH_MEDICAL, ///< a medical device goes without power, whoever is to blame
    SW_STRETCH_WHYS
} sw_stretch_why;

typedef struct sw_stretch_end {
    int counted;    ///< 0: nothing of the kind: no poor week beside the sky, no such tank
    int why;        ///< sw_stretch_why, of the charge
    int64_t at_s;   ///< when the stay ends by this; INT64_MAX: not within what was looked at
    double days;    ///< from arrival, 0 where it ended before; INFINITY likewise
    double per_day; ///< what it loses a day until then, of a tank from its last service on [Wh, L]; NAN where
                    ///< it does not end
    double spare;   ///< of it, how much less a day would add a day, about; NAN likewise, where use is not to
                    ///< blame, and where it would be more than is used
} sw_stretch_end;

typedef struct sw_stretched {
    sw_rehearsal *long_stay; ///< the trip up to the last stay, which goes on and on; owned
    const char *place;
    int64_t arrival_s, planned_s; ///< begin of the stay, with the legs before that stay at the same place,
                                  ///< and its end in the trip file
    int days;                     ///< looked at
    sw_stretch_end end[SW_STRETCH_CAUSES];
    int first; ///< sw_stretch_cause that ends the stay first, -1: none does
    void *owner;
} sw_stretched;

/// Stretches the last stay of a trip, up to 60 days or as far as its weather record reaches. Legs after it
/// fall away. The charge ends a stay when it falls under the reserve line or cannot serve what is asked, or
/// when a medical device goes without power.
/// @return SW_OK; SW_BAD_INPUT for a trip without a stay, or as sw_rehearse; on failure `*out` is NULL
sw_status sw_find_stretch(const sw_plan *plan, const sw_loader *loader, int32_t step_s, sw_messages *messages,
                          sw_stretched **out);
/// Releases it; NULL is allowed.
void sw_stretch_free(sw_stretched *stretch);

#endif
