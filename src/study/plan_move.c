// Moves the dates of a trip by whole days.
#include "study/plan_move.h"

#include "stillwatt/civil.h"

#define DAY_S 86400

static void move(int64_t *local_s, int64_t days)
{
    if (*local_s != SW_NO_TIME)
        *local_s += days * DAY_S;
}

static void move_trip(sw_trip *trip, int64_t days)
{
    for (int i = 0; i < trip->legs; i++) {
        move(&trip->leg[i].from_local_s, days);
        move(&trip->leg[i].to_local_s, days);
        move(&trip->leg[i].snow_until_local_s, days);
        move(&trip->leg[i].washed_local_s, days);
    }
    trip->sky.told_days = trip->sky.told_days > 0; // what is told of all other days goes along
}

/* Days from the trip's begin to the same day of a month, in this year or the next. */
static int64_t days_to(const sw_trip *trip, int month)
{
    int64_t date = sw_floor_div(trip->leg[0].from_local_s, DAY_S);
    int year, now, day;
    sw_civil_from_days(date, &year, &now, &day);
    return sw_days_from_civil(year + (month < now), month, day < 28 ? day : 28) - date;
}

void sw_plan_move_to_month(sw_plan *copy, int month)
{
    move_trip(copy->trip, days_to(copy->trip, month));
}
