// Stretches of the local day.
#include "stillwatt/plan.h"

#define DAY_MIN 1440

int sw_windows_hold(const sw_windows *windows, int local_min)
{
    int within = windows == NULL;
    for (int i = 0; windows != NULL && i < windows->count; i++) {
        int from = windows->from_min[i],
            to = windows->to_min[i]; // of the day before, where it crosses midnight
        within = within || (local_min >= from && local_min < to) ||
                 (local_min + DAY_MIN >= from && local_min + DAY_MIN < to);
    }
    return within;
}
