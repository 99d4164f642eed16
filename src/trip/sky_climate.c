// Average, chance and told skies: days of a climate, their air, and the light of their clearness.
#include "trip/sky_inside.h"

#include "stillwatt/civil.h"

#include <math.h>

#define PUBLISHED      0.0 // spread of the published distribution
#define BRIGHTEST      1.05 // over the clear sky's: medians of clear hours go so far (tests/check_clear_hours.c)
#define OVERCAST_OKTA  7.5
#define OVERCAST_RANGE 0.5 // of the usual range of temperature on an overcast day: from memory
#define LEAST_FACTOR   0.5 // how far the split may be moved
#define MOST_FACTOR    2.0

/* Days by local mean solar time, which the sun's day is. */
static int64_t solar_day(double lon_deg, int64_t utc_s)
{
    return sw_floor_div(utc_s + (int64_t)(lon_deg * 240.0), SKY_DAY_S);
}

// ---- days ----

static sw_position standing_at(const sky *s, int stop)
{
    const sw_stop *place = &s->it->stop[stop];
    return (sw_position){.lat_deg = place->lat_deg,
                         .lon_deg = place->lon_deg,
                         .elevation_m = place->elevation_m,
                         .stop = stop};
}

/* Clear-sky energy of a solar day: every ten minutes. */
#define SCAN_S 600

static double clear_day_wh_m2(const sky *s, int stop, int64_t noon_s)
{
    sw_position at = standing_at(s, stop);
    double sum = 0.0;
    moment m;
    for (int64_t t = noon_s - SKY_DAY_S / 2 + SCAN_S / 2; t < noon_s + SKY_DAY_S / 2; t += SCAN_S) {
        sw_sky_moment_at(s->it, t, &at, &m);
        sum += m.clear.ghi_w_m2;
    }
    return sum * SCAN_S / 3600.0;
}

/* Clear-sky indices of the days that stand for a month of this mean and spread: equally likely quantiles,
   scaled to the mean. */
static void set_levels(double clearness, double spread, double clear_wh, double extraterrestrial_wh,
                       double index[SW_LEVELS])
{
    double sum = 0.0;
    sky_clearness of = sw_sky_clearness(clearness, spread);
    for (int i = 0; i < SW_LEVELS; i++) {
        index[i] = sw_sky_clearness_at(&of, (i + 0.5) / SW_LEVELS);
        sum += index[i];
    }
    double scale = clear_wh > 0.0 ? clearness * SW_LEVELS / sum * extraterrestrial_wh / clear_wh : 0.0;
    for (int i = 0; i < SW_LEVELS; i++)
        index[i] *= scale;
}

/* No drawn day is brighter than a cloudless one by more than air cleaner than its turbidity makes it; the
   factor that gives the other days what these lose, so that the mean stays. */
static double lift_of(const double index[SW_LEVELS])
{
    double low = 1.0, high = 2.0, mean = 0.0;
    for (int i = 0; i < SW_LEVELS; i++)
        mean += index[i] / SW_LEVELS;
    while (high - low > 1e-6) {
        double middle = (low + high) / 2.0, capped = 0.0;
        for (int i = 0; i < SW_LEVELS; i++)
            capped += fmin(BRIGHTEST, middle * index[i]) / SW_LEVELS;
        if (capped < mean)
            low = middle;
        else
            high = middle;
    }
    return low;
}

static sw_light level_light(const moment *m, double index, double diffuse_factor)
{
    double ghi = index * m->clear.ghi_w_m2;
    sw_light light = sw_split(ghi, &m->clock, &m->sun, m->clock.extraterrestrial_w_m2);
    if (light.dni_w_m2 > 0.0 && diffuse_factor != 1.0) {
        double diffuse = fmin(ghi, light.dhi_w_m2 * diffuse_factor);
        double beam = fmin((ghi - diffuse) / m->sun.cos_zenith, m->clock.extraterrestrial_w_m2);
        light = (sw_light){ghi, beam, ghi - beam * m->sun.cos_zenith};
    }
    return light;
}

/* Diffuse share of a day over all its levels, with the split moved by a factor. */
static double diffuse_share(const moment *scan, int moments, const double index[SW_LEVELS], double factor)
{
    double global = 0.0, diffuse = 0.0;
    for (int i = 0; i < moments; i++)
        for (int level = 0; level < SW_LEVELS; level++) {
            sw_light light = level_light(&scan[i], index[level], factor);
            global += light.ghi_w_m2;
            diffuse += light.dhi_w_m2;
        }
    return global > 0.0 ? diffuse / global : 0.0;
}

#define SECANT_STEPS 10
#define SHARE_MET    1e-10

/* The split's regression is one for all climates; where the station's own diffuse share is known the split is
   moved to meet it: secant steps on the factor, which the share rises nearly in proportion to, until the
   share is met; a step from there would follow rounding. Hourly moments are enough for a factor. */
static double fit_diffuse(const sky *s, int stop, int64_t noon_s, const double index[SW_LEVELS],
                          double wanted)
{
    sw_position at = standing_at(s, stop);
    moment scan[24];
    int moments = 0;
    if (!(wanted > 0.0 && wanted <= 1.0))
        return 1.0;
    for (int hour = 0; hour < 24; hour++) {
        sw_sky_moment_at(s->it, noon_s - SKY_DAY_S / 2 + 1800 + hour * 3600, &at, &scan[moments]);
        moments += scan[moments].clear.ghi_w_m2 > 0.0;
    }
    double before = 1.0, share_before = diffuse_share(scan, moments, index, before);
    if (share_before <= 0.0)
        return 1.0; // no light at all on that day
    double factor = fmin(fmax(wanted / share_before, LEAST_FACTOR), MOST_FACTOR);
    for (int pass = 0; pass < SECANT_STEPS && factor != before; pass++) {
        double share = diffuse_share(scan, moments, index, factor);
        if (share == share_before || fabs(wanted - share) <= SHARE_MET)
            break; // met, or at the end of its reach: the factor moves nothing any more
        double next = factor + (wanted - share) * (factor - before) / (share - share_before);
        before = factor;
        share_before = share;
        factor = fmin(fmax(next, LEAST_FACTOR), MOST_FACTOR);
    }
    return factor;
}

static void set_temperatures(const sky *s, int64_t date, sky_day *day)
{
    double low = day->climate.low_c, high = day->climate.high_c;
    day->told = sw_sky_told_of(&s->plan->trip->sky, date);
    if (day->told != NULL) {
        double middle = 0.5 * (low + high), half = 0.5 * (high - low);
        if (fmin(day->told->morning_okta, day->told->afternoon_okta) >= OVERCAST_OKTA)
            half *= OVERCAST_RANGE;
        low = isnan(day->told->low_c) ? middle - half : day->told->low_c;
        high = isnan(day->told->high_c) ? fmax(low, middle + half) : day->told->high_c;
        low = isnan(day->told->low_c) ? fmin(low, high) : low;
    }
    day->air.min_c = low;
    day->air.max_c = high;
}

static int64_t noon_of(const sw_stop *place, int64_t index)
{
    return index * SKY_DAY_S + SKY_DAY_S / 2 - (int64_t)(place->lon_deg * 240.0);
}

/* The local date of a solar day, at its noon. */
static int64_t date_of(const sky *s, int stop, int64_t index)
{
    const sw_stop *place = &s->it->stop[stop];
    int64_t noon_s = noon_of(place, index);
    return sw_floor_div(noon_s + sw_zone_offset_s(place->zone, noon_s), SKY_DAY_S);
}

static void work_out_air(const sky *s, int stop, int64_t index, sky_day *day)
{
    const sw_stop *place = &s->it->stop[stop];
    int64_t noon_s = noon_of(place, index), date = date_of(s, stop, index);
    sw_climate_day_of(&s->nodes[stop], date, &day->climate);
    (void)sw_sun_times_near(noon_s, place->lat_deg, place->lon_deg, &day->air.sun);
    set_temperatures(s, date, day);
    day->air_known = 1;
}

/* Apart from the air, since the days around a trip are asked for their air alone. */
static void work_out_light(sky *s, int stop, int64_t index, sky_day *day)
{
    const sw_stop *place = &s->it->stop[stop];
    int64_t noon_s = noon_of(place, index), date = date_of(s, stop, index);
    sw_sun_clock clock;
    (void)sw_sun_clock_at(noon_s, &clock);
    double extraterrestrial = sw_sun_daily_extraterrestrial_wh_m2(&clock, place->lat_deg);
    double clear = clear_day_wh_m2(s, stop, noon_s);
    double mean = day->climate.clearness, spread = day->climate.spread;
    if (s->plan->trip->sky.kind == SW_SKY_CHANCE) {
        double drawn = sw_sky_chance_clearness(s->plan->trip->sky.draw, date, mean, spread);
        set_levels(mean, spread, clear, extraterrestrial, day->level_index[SW_OUTLOOK_MAIN]);
        double lift = lift_of(day->level_index[SW_OUTLOOK_MAIN]);
        day->chance_index = clear > 0.0 ? fmin(BRIGHTEST, lift * drawn * extraterrestrial / clear) : 0.0;
    } else {
        double poor = fmax(CLIMATE_DARKEST, mean - sw_sky_poor_week(s, stop, date) * spread);
        set_levels(mean, PUBLISHED, clear, extraterrestrial, day->level_index[SW_OUTLOOK_MAIN]);
        set_levels(poor, PUBLISHED, clear, extraterrestrial, day->level_index[SW_OUTLOOK_POOR]);
    }
    day->diffuse_factor =
        fit_diffuse(s, stop, noon_s, day->level_index[SW_OUTLOOK_MAIN], day->climate.diffuse_share);
    day->light_known = 1;
}

static sky_day *day_of(sky *s, int stop, int64_t index)
{
    int64_t row = index - s->first_day;
    row = row < 0 ? 0 : row >= s->days ? s->days - 1 : row;
    sky_day *day = &s->day[(size_t)stop * (size_t)s->days + (size_t)row];
    if (!day->air_known)
        work_out_air(s, stop, index, day);
    return day;
}

double sw_sky_climate_air_c(sky *s, const moment *m)
{
    const sw_stop *place = &s->it->stop[m->at.stop];
    int64_t index = solar_day(place->lon_deg, m->utc_s);
    const sky_day *before = day_of(s, m->at.stop, index - 1);
    const sky_day *today = day_of(s, m->at.stop, index);
    const sky_day *after = day_of(s, m->at.stop, index + 1);
    double air = sw_air_temperature_c(m->utc_s, &before->air, &today->air, &after->air);
    return air + SKY_LAPSE_K_PER_M * (place->elevation_m - m->at.elevation_m);
}

int sw_sky_climate_lights(sky *s, const moment *m, sw_outlook outlook, sw_light out[SW_LEVELS])
{
    int64_t index = solar_day(s->it->stop[m->at.stop].lon_deg, m->utc_s);
    sky_day *day = day_of(s, m->at.stop, index);
    if (!day->light_known)
        work_out_light(s, m->at.stop, index, day);
    if (s->plan->trip->sky.kind == SW_SKY_CHANCE) {
        out[0] = level_light(m, day->chance_index, day->diffuse_factor);
        return 1;
    }
    for (int i = 0; i < SW_LEVELS; i++)
        out[i] = level_light(m, day->level_index[outlook][i], day->diffuse_factor);
    return SW_LEVELS;
}

double sw_sky_climate_wind_m_s(sky *s, const moment *m)
{
    return day_of(s, m->at.stop, solar_day(s->it->stop[m->at.stop].lon_deg, m->utc_s))->climate.wind_m_s;
}
