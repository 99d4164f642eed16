/// The chance that a trip holds: over skies drawn by chance, or over the years of a weather record.
#ifndef STILLWATT_ODDS_H
#define STILLWATT_ODDS_H

#include "stillwatt/remedy.h"

/// A share of trials with its 95 % interval after Wilson [wilson-1927].
typedef struct sw_share {
    int count, of; ///< of 0: nothing was tried
    double share, low, high;
} sw_share;

/// @param of at least 1, `count` 0 to `of`
sw_share sw_share_of(int count, int of);

typedef struct sw_odds_ask {
    double
        width;  ///< that the interval is to have, (0, 1]; of years of a record there are as many as there are
    int seed;   ///< another one draws other skies; 0 to SW_SEEDS - 1
    int months; ///< 1: the trip in every month, too
    /// Called now and then, from any thread but never from two at once; NULL: nobody wants to know.
    void (*progress)(void *context, int done, int of);
    void *context;
} sw_odds_ask;

#define SW_ODDS_QUANTILES 3

typedef struct sw_odds {
    const sw_plan *plan; ///< not owned
    int by_years;        ///< 1: the years of a record, 0: drawn skies
    sw_share holds;      ///< never under the reserve line, nothing missed because of the battery
    int verdicts[SW_OUT + 1];
    double lowest_soc[SW_ODDS_QUANTILES]; ///< of which 5, 50 and 95 % of the skies stay below
    int draws;
    sw_outcome *draw;   ///< in the order of draws or years
    int months;         ///< 12, or 0
    sw_share month[12]; ///< January to December, the trip beginning on the same day of the month; of 0 where
                        ///< its dates or hours are not possible
    void *owner;
} sw_odds;

/// Works out the chance. An hourly sky of several years is asked for its years; of all other skies days are
/// drawn with the statistics of place and month, but for days that are told. The answer does not depend on
/// how many threads there are.
/// @return SW_OK; as sw_course_make; SW_BAD_INPUT for an hourly sky of one year; on failure `*out` is NULL
sw_status sw_find_odds(const sw_plan *plan, const sw_loader *loader, int32_t step_s, const sw_odds_ask *ask,
                       sw_messages *messages, sw_odds **out);
/// Releases them; NULL is allowed.
void sw_odds_free(sw_odds *odds);

#endif
