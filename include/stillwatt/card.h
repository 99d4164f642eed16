/// What a van can do at a place, month by month, whatever the trip: what its card tells.
#ifndef STILLWATT_CARD_H
#define STILLWATT_CARD_H

#include "stillwatt/limits.h"
#include "stillwatt/portion.h"

/// A stay from full, from noon of the first day of a month on, with the van's own loads.
typedef struct sw_card_month {
    double harvest_wh; ///< what the panels offer a day under the average sky, mean of the month's whole days
    double nights; ///< until the reserve line is passed, or something missed; INFINITY: over SW_CARD_NIGHTS
    double poor_nights; ///< the same were all of it as poor as one week in ten
    double driven;      ///< nights with an hour's drive every afternoon
    double poor_driven;
    double evening_mark; ///< the greatest of the month's evenings; 0: none needed, INFINITY: not even a full
                         ///< battery is enough
} sw_card_month;

#define SW_CARD_NIGHTS 30

typedef struct sw_card {
    const char *station; ///< as it was named
    const char *name;    ///< of the station that was taken, with its state or country
    sw_card_month month[12];
    sw_portion *portion;     ///< per load of the van, each of the month in which it takes most
    int hardest;             ///< month in which a full battery lasts shortest without any source, 0 to 11
    sw_plan *plan;           ///< the stay in that month; owned
    sw_rehearsal *rehearsal; ///< of it; owned
    sw_limits *limits;       ///< of it; owned
    void *owner;
} sw_card;

/// Rehearses stays of thirty nights at a weather station in every month.
/// @param van_file as named on the command line; `station` as trip files name it
/// @return SW_OK; as sw_read_trip, sw_rehearse, sw_find_limits; on failure `*out` is NULL
sw_status sw_find_card(const sw_loader *loader, const char *van_file, const char *station, int32_t step_s,
                       sw_messages *messages, sw_card **out);

/// Releases it; NULL is allowed.
void sw_card_free(sw_card *card);

#endif
