// Cloud as told, by date: the whole of a told sky, or days within another.
#include "trip/sky_inside.h"

#include "stillwatt/civil.h"

#include <math.h>
#include <stddef.h>

const sw_told_day *sw_sky_told_of(const sw_sky_spec *spec, int64_t date)
{
    for (int i = 1; i < spec->told_days; i++)
        if (spec->told[i].day == date)
            return &spec->told[i];
    return spec->told_days > 0 && !isnan(spec->told[0].morning_okta) ? &spec->told[0] : NULL;
}

const sw_told_day *sw_sky_told_at(const sky *s, const moment *m)
{
    const sw_sky_spec *spec = &s->plan->trip->sky;
    if (spec->told_days == 0)
        return NULL;
    return sw_sky_told_of(spec, sw_floor_div(sw_itinerary_local_s(s->it, m->utc_s), SKY_DAY_S));
}

/* Kasten and Czeplak's cloud factor on our clear sky; the split may not give more beam than the clear sky
   has. The sun stands in the east before noon. */
sw_light sw_sky_told_light(const sky *s, const sw_told_day *day, const moment *m)
{
    double okta = m->sun.east > 0.0 ? day->morning_okta : day->afternoon_okta;
    double open = 1.0 - s->plan->trip->sky.haze;
    if (okta == 0.0 && open == 1.0)
        return m->clear;
    return sw_split(m->clear.ghi_w_m2 * sw_cloud_factor(okta) * open, &m->clock, &m->sun, m->clear.dni_w_m2);
}
