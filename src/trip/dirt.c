// How much dirt lies on the panels: a steady rate a day, washed off by a day of rain or by hand
// [kimber-2006]. Left out: the days after rain on which damp ground raises no dust; a van has often moved on
// by then.
#include "trip/dirt.h"

#include "stillwatt/civil.h"

#include <math.h>

#define DAY_S      86400
#define WASHING_MM 6.0 // rain of a day that cleans panels [kimber-2006]
#define MOST_GROWN 0.3 // [kimber-2006]

static void wash(roof_dirt *dirt, int64_t utc_s)
{
    dirt->since_s = utc_s;
    dirt->washed = 1;
}

void sw_dirt_pass(roof_dirt *dirt, const sw_leg *leg, int64_t utc_s, int64_t local_s, double rain_mm)
{
    int64_t date = sw_floor_div(local_s, DAY_S);
    dirt->rain_mm = date == dirt->date ? dirt->rain_mm : 0.0;
    dirt->date = date;
    dirt->rain_mm += isnan(rain_mm) ? 0.0 : rain_mm;
    if (dirt->rain_mm >= WASHING_MM)
        wash(dirt, utc_s);
    if (leg->washed_local_s != SW_NO_TIME && local_s >= leg->washed_local_s && dirt->by_hand != leg) {
        dirt->by_hand = leg;
        wash(dirt, utc_s);
    }
}

double sw_dirt_loss(const roof_dirt *dirt, const sw_array_spec *array, int64_t utc_s)
{
    // What does not grow is a mean over dry days and rain; a wash by hand takes it off all the same.
    if (array->soiling_per_day == 0.0)
        return dirt->by_hand != NULL ? 0.0 : array->soiling;
    double first = dirt->washed ? 0.0 : array->soiling;
    double grown = array->soiling_per_day * (double)(utc_s - dirt->since_s) / DAY_S;
    return fmin(first + grown, fmax(first, MOST_GROWN));
}
