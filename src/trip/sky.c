// The sky of a trip: average and told skies from the climate of the places, hourly skies from a weather
// record.
#include "trip/sky.h"

#include "stillwatt/civil.h"
#include "stillwatt/sphere.h"
#include "trip/climate_days.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#define DAY_S           86400
#define LAPSE_K_PER_M   0.0065 // between weather station and place; common practice, standard atmosphere
#define OVERCAST_OKTA   7.5
#define OVERCAST_RANGE  0.5  // of the usual range of temperature on an overcast day: from memory
#define DAY_TO_DAY      0.29 // autocorrelation of daily clearness [graham-1988]
#define ONE_WEEK_IN_TEN 1.2815515655446004 // standard normal deviate of 10 %
#define WITHOUT_DIFFUSE (-1.0)

/// A solar day at a place: what is worked out once for it.
typedef struct sky_day {
    int known;
    sw_air_day air;
    climate_day climate;
    double level_index[SW_OUTLOOKS][SW_LEVELS]; // light over clear light, all day long
    double diffuse_factor;                      // moves the split so that the month's diffuse share comes out
    const sw_told_day *told;
} sky_day;

struct sky {
    const sw_plan *plan;
    const sw_itinerary *it;
    int32_t slice_s;
    climate_nodes *nodes; // per stop
    int64_t first_day;    // of the table of days
    int days;
    sky_day *day; // [stop][day]
    sw_series *series;
    int32_t hour_index; // hourly: the hour whose shape is known
    int64_t hour_start_s;
    double hour_clear_w_m2, hour_height; // mean clear light and mean of max(0, cos zenith)
    int unlit_hours;
    int keep_beam; // hourly: global and beam are trusted, not the sky light
};

// ---- opening ----

/* Days by local mean solar time, which the sun's day is. */
static int64_t solar_day(double lon_deg, int64_t utc_s)
{
    return sw_floor_div(utc_s + (int64_t)(lon_deg * 240.0), DAY_S);
}

static sw_status read_series(sky *s, const sw_loader *loader, sw_messages *messages)
{
    char reason[200] = "";
    sw_text text;
    const char *file = s->plan->trip->sky.file;
    sw_status status =
        loader->load(loader->context, SW_RESOURCE_FILE, file, s->plan->trip->file, &text, reason);
    if (status == SW_OK)
        status = sw_epw_read(text.bytes, text.length, text.name, messages, &s->series);
    else
        sw_error(messages, status, &s->plan->trip->sky.where,
                 "give its path as seen from the folder of this file, such as \"weather/denver.epw\"",
                 "the weather file %s could not be read: %s", text.name != NULL ? text.name : file, reason);
    sw_text_free(&text);
    return status;
}

/* A record of a real year must cover the trip. */
static sw_status check_cover(const sky *s, sw_messages *messages)
{
    if (sw_series_index(s->series, s->it->start_s) >= 0 && sw_series_index(s->series, s->it->end_s - 1) >= 0)
        return SW_OK;
    return sw_error(messages, SW_BAD_INPUT, &s->plan->trip->sky.where,
                    "choose dates inside the record, or a typical-year file",
                    "the weather record of %s does not cover the trip", s->series->place);
}

/* Far from its station a record says little about the place. */
#define NEAR_M      50000.0
#define NEAR_HIGH_M 300.0

static void warn_if_far(const sky *s, sw_messages *messages)
{
    for (int i = 0; i < s->it->stops; i++) {
        const sw_stop *stop = &s->it->stop[i];
        double far =
            sw_great_circle_m(stop->lat_deg, stop->lon_deg, s->series->lat_deg, s->series->lon_deg, NULL);
        double higher = stop->elevation_m - s->series->elevation_m;
        if (far > NEAR_M || fabs(higher) > NEAR_HIGH_M)
            sw_warn(messages, &(sw_where){.file = s->plan->trip->file, .path = "/sky/file"},
                    "temperatures are moved by 6.5 K per 1000 m; the light is taken as it is",
                    "the weather record of %s is %.0f km from \"%s\", which lies %.0f m %s", s->series->place,
                    far / 1000.0, stop->name, fabs(higher), higher < 0.0 ? "lower" : "higher");
    }
}

/* Global against beam and sky light over the hours of the trip. A file in which they differ by more than a
   twentieth has one of the three wrong: global and beam are kept then. */
#define CLOSURE_LIMIT 0.05

static void check_closure(sky *s, sw_messages *messages)
{
    double apart = 0.0, whole = 0.0;
    for (int64_t t = s->it->start_s + 1800; t < s->it->end_s; t += 3600) {
        int32_t index = sw_series_index(s->series, t);
        const sw_weather_row *row = &s->series->row[index];
        int64_t into = t - s->series->start_s;
        int64_t middle =
            t - (into - sw_floor_div(into, s->series->step_s) * s->series->step_s) + s->series->step_s / 2;
        sw_sun sun;
        if (isnan(row->dni_w_m2) || isnan(row->dhi_w_m2) ||
            sw_sun_at(middle, s->series->lat_deg, s->series->lon_deg, &sun) != SW_OK || sun.cos_zenith <= 0.1)
            continue; // with a low sun the middle of the hour does not stand for the hour
        apart += fabs(row->ghi_w_m2 - row->dni_w_m2 * sun.cos_zenith - row->dhi_w_m2);
        whole += row->ghi_w_m2;
    }
    s->keep_beam = apart > CLOSURE_LIMIT * whole;
    if (s->keep_beam)
        sw_warn(messages, &(sw_where){.file = s->plan->trip->file, .path = "/sky/file"}, NULL,
                "in the weather record of %s beam and sky light do not add up to the global light (off by "
                "%.0f %%); the "
                "global and the beam are used",
                s->series->place, 100.0 * apart / whole);
}

sw_status sky_open(const sw_plan *plan, const sw_itinerary *it, const sw_loader *loader, int32_t slice_s,
                   sw_messages *messages, sky **out)
{
    sky *s = calloc(1, sizeof *s);
    if (s == NULL)
        return sw_error(messages, SW_NO_MEMORY, NULL, NULL, "there is not enough memory for the sky");
    *s = (sky){.plan = plan, .it = it, .slice_s = slice_s, .hour_index = -1, .hour_start_s = INT64_MIN};
    s->first_day = sw_floor_div(it->start_s, DAY_S) - 3;
    s->days = (int)(sw_floor_div(it->end_s, DAY_S) + 4 - s->first_day);
    sw_status status = SW_OK;
    if (plan->trip->sky.kind == SW_SKY_HOURLY) {
        status = read_series(s, loader, messages);
        if (status == SW_OK)
            status = check_cover(s, messages);
        if (status == SW_OK) {
            warn_if_far(s, messages);
            check_closure(s, messages);
        }
    } else {
        s->nodes = calloc((size_t)it->stops, sizeof *s->nodes);
        s->day = calloc((size_t)it->stops * (size_t)s->days, sizeof *s->day);
        if (s->nodes == NULL || s->day == NULL)
            status = sw_error(messages, SW_NO_MEMORY, NULL, NULL, "there is not enough memory for the sky");
        for (int i = 0; i < it->stops && status == SW_OK; i++)
            climate_nodes_of(&it->stop[i].climate, &s->nodes[i]);
    }
    if (status != SW_OK) {
        sky_close(s);
        return status;
    }
    *out = s;
    return SW_OK;
}

void sky_close(sky *s)
{
    if (s == NULL)
        return;
    sw_series_free(s->series);
    free(s->nodes);
    free(s->day);
    free(s);
}

// ---- moments ----

static void moment_at(const sw_itinerary *it, int64_t utc_s, const sw_position *at, moment *out)
{
    out->utc_s = utc_s;
    out->at = *at;
    (void)sw_sun_clock_at(utc_s, &out->clock); // the reader allows only years that the equations hold for
    sw_sun_from(&out->clock, utc_s, at->lat_deg, at->lon_deg, &out->sun);
    out->clear = sw_clear_sky(&out->clock, &out->sun, at->elevation_m, it->stop[at->stop].turbidity);
}

void sky_moment(const sky *s, int64_t utc_s, moment *out)
{
    sw_position at = sw_itinerary_at(s->it, utc_s);
    moment_at(s->it, utc_s, &at, out);
}

// ---- days of a climate ----

static const sw_told_day *told_of(const sw_sky_spec *spec, int64_t date)
{
    for (int i = 1; i < spec->told_days; i++)
        if (spec->told[i].day == date)
            return &spec->told[i];
    return spec->told_days > 0 ? &spec->told[0] : NULL;
}

/* Clear-sky energy of a solar day, and the same for the split of a month's light: every ten minutes. */
#define SCAN_S 600

static double clear_day_wh_m2(const sky *s, int stop, int64_t noon_s)
{
    const sw_stop *place = &s->it->stop[stop];
    sw_position at = {.lat_deg = place->lat_deg,
                      .lon_deg = place->lon_deg,
                      .elevation_m = place->elevation_m,
                      .stop = stop};
    double sum = 0.0;
    moment m;
    for (int64_t t = noon_s - DAY_S / 2 + SCAN_S / 2; t < noon_s + DAY_S / 2; t += SCAN_S) {
        moment_at(s->it, t, &at, &m);
        sum += m.clear.ghi_w_m2;
    }
    return sum * SCAN_S / 3600.0;
}

/* Mean clearness of seven days on end, of which one week in ten stays below: the standard deviation of the
   mean of seven values with first-order autocorrelation phi is sd sqrt((1 + 2 sum (1 - k/7) phi^k) / 7). */
static double poor_week(double clearness, double spread)
{
    double sum = 1.0, power = 1.0;
    for (int k = 1; k < 7; k++) {
        power *= DAY_TO_DAY;
        sum += 2.0 * (1.0 - k / 7.0) * power;
    }
    return fmax(0.05, clearness - ONE_WEEK_IN_TEN * spread * sqrt(sum / 7.0));
}

/* Clear-sky indices of the days that stand for a month of this mean: equally likely quantiles, scaled to the
 * mean. */
static void set_levels(double clearness, double clear_wh, double extraterrestrial_wh, double index[SW_LEVELS])
{
    double sum = 0.0;
    for (int i = 0; i < SW_LEVELS; i++) {
        index[i] = sw_clearness_quantile(clearness, (i + 0.5) / SW_LEVELS);
        sum += index[i];
    }
    double scale = clear_wh > 0.0 ? clearness * SW_LEVELS / sum * extraterrestrial_wh / clear_wh : 0.0;
    for (int i = 0; i < SW_LEVELS; i++)
        index[i] *= scale;
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
    return global > 0.0 ? diffuse / global : WITHOUT_DIFFUSE;
}

/* The split's regression is one for all climates; where the station's own diffuse share is known the split is
   moved to meet it: regula falsi on the factor, which the share rises with. Hourly moments are enough for a
   factor. */
static double fit_diffuse(const sky *s, int stop, int64_t noon_s, const double index[SW_LEVELS],
                          double wanted)
{
    const sw_stop *place = &s->it->stop[stop];
    sw_position at = {.lat_deg = place->lat_deg,
                      .lon_deg = place->lon_deg,
                      .elevation_m = place->elevation_m,
                      .stop = stop};
    moment scan[24];
    int moments = 0;
    if (!(wanted > 0.0 && wanted <= 1.0))
        return 1.0;
    for (int hour = 0; hour < 24; hour++) {
        moment_at(s->it, noon_s - DAY_S / 2 + 1800 + hour * 3600, &at, &scan[moments]);
        moments += scan[moments].clear.ghi_w_m2 > 0.0;
    }
    double low = 0.5, high = 2.0;
    for (int pass = 0; pass < 12; pass++) {
        double middle = 0.5 * (low + high);
        double share = diffuse_share(scan, moments, index, middle);
        if (share == WITHOUT_DIFFUSE)
            return 1.0;
        if (share < wanted)
            low = middle;
        else
            high = middle;
    }
    return 0.5 * (low + high);
}

static void set_temperatures(const sky *s, int64_t date, sky_day *day)
{
    double low = day->climate.low_c, high = day->climate.high_c;
    day->told = s->plan->trip->sky.kind == SW_SKY_TOLD ? told_of(&s->plan->trip->sky, date) : NULL;
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

static void work_out_day(sky *s, int stop, int64_t index, sky_day *day)
{
    const sw_stop *place = &s->it->stop[stop];
    int64_t noon_s = index * DAY_S + DAY_S / 2 - (int64_t)(place->lon_deg * 240.0);
    int64_t date = sw_floor_div(noon_s + sw_zone_offset_s(place->zone, noon_s), DAY_S);
    climate_day_of(&s->nodes[stop], date, &day->climate);
    (void)sw_sun_times_near(noon_s, place->lat_deg, place->lon_deg, &day->air.sun);
    set_temperatures(s, date, day);
    day->diffuse_factor = 1.0;
    if (s->plan->trip->sky.kind == SW_SKY_AVERAGE) {
        sw_sun_clock clock;
        (void)sw_sun_clock_at(noon_s, &clock);
        double extraterrestrial = sw_sun_daily_extraterrestrial_wh_m2(&clock, place->lat_deg);
        double clear = clear_day_wh_m2(s, stop, noon_s);
        double poor = poor_week(day->climate.clearness, day->climate.spread);
        set_levels(day->climate.clearness, clear, extraterrestrial, day->level_index[SW_OUTLOOK_MAIN]);
        set_levels(poor, clear, extraterrestrial, day->level_index[SW_OUTLOOK_POOR]);
        day->diffuse_factor =
            fit_diffuse(s, stop, noon_s, day->level_index[SW_OUTLOOK_MAIN], day->climate.diffuse_share);
    }
    day->known = 1;
}

static const sky_day *day_of(sky *s, int stop, int64_t index)
{
    int64_t row = index - s->first_day;
    row = row < 0 ? 0 : row >= s->days ? s->days - 1 : row;
    sky_day *day = &s->day[(size_t)stop * (size_t)s->days + (size_t)row];
    if (!day->known)
        work_out_day(s, stop, index, day);
    return day;
}

static double climate_air_c(sky *s, const moment *m)
{
    const sw_stop *place = &s->it->stop[m->at.stop];
    int64_t index = solar_day(place->lon_deg, m->utc_s);
    const sky_day *before = day_of(s, m->at.stop, index - 1);
    const sky_day *today = day_of(s, m->at.stop, index);
    const sky_day *after = day_of(s, m->at.stop, index + 1);
    double air = sw_air_temperature_c(m->utc_s, &before->air, &today->air, &after->air);
    return air + LAPSE_K_PER_M * (place->elevation_m - m->at.elevation_m);
}

static int average_lights(sky *s, const moment *m, sw_outlook outlook, sw_light out[SW_LEVELS])
{
    const sky_day *day = day_of(s, m->at.stop, solar_day(s->it->stop[m->at.stop].lon_deg, m->utc_s));
    for (int i = 0; i < SW_LEVELS; i++)
        out[i] = level_light(m, day->level_index[outlook][i], day->diffuse_factor);
    return SW_LEVELS;
}

/* Kasten and Czeplak's cloud factor on our clear sky; the split may not give more beam than the clear sky
 * has. */
static int told_lights(sky *s, const moment *m, sw_light out[SW_LEVELS])
{
    const sky_day *day = day_of(s, m->at.stop, solar_day(s->it->stop[m->at.stop].lon_deg, m->utc_s));
    double okta = m->utc_s < day->air.sun.noon_s ? day->told->morning_okta : day->told->afternoon_okta;
    double open = 1.0 - s->plan->trip->sky.haze;
    if (okta == 0.0 && open == 1.0)
        out[0] = m->clear;
    else
        out[0] =
            sw_split(m->clear.ghi_w_m2 * sw_cloud_factor(okta) * open, &m->clock, &m->sun, m->clear.dni_w_m2);
    return 1;
}

// ---- hourly records ----

/* Mean clear light and mean height of the sun over the hour of a record, on the moments of the rehearsal. */
static void learn_hour(sky *s, int32_t index, int64_t utc_s)
{
    int32_t step = s->series->step_s;
    int64_t start = s->series->start_s;
    int64_t hour = start + sw_floor_div(utc_s - start, step) * step;
    moment m;
    if (hour == s->hour_start_s)
        return;
    s->hour_start_s = hour;
    s->hour_index = index;
    s->hour_clear_w_m2 = s->hour_height = 0.0;
    int count = step / s->slice_s;
    for (int i = 0; i < count; i++) {
        sky_moment(s, hour + i * s->slice_s + s->slice_s / 2, &m);
        s->hour_clear_w_m2 += m.clear.ghi_w_m2 / count;
        s->hour_height += fmax(0.0, m.sun.cos_zenith) / count;
    }
    s->unlit_hours += s->hour_height == 0.0 && s->series->row[index].ghi_w_m2 > 0.0;
}

static double hour_diffuse_share(const sky *s, const sw_weather_row *row, const moment *m)
{
    if (s->keep_beam && row->ghi_w_m2 > 0.0)
        return fmax(0.0, 1.0 - row->dni_w_m2 * s->hour_height / row->ghi_w_m2);
    if (!isnan(row->dhi_w_m2) && row->ghi_w_m2 > 0.0)
        return fmin(1.0, row->dhi_w_m2 / row->ghi_w_m2);
    double flat = m->clock.extraterrestrial_w_m2 * fmax(0.01, m->sun.cos_zenith);
    return sw_diffuse_fraction(row->ghi_w_m2 / flat);
}

/* Within the hour the global follows the clear sky, so that the hour's energy is exact; where the sun hardly
   clears the horizon it follows the sun's height and is all sky light. */
static int hourly_lights(sky *s, const moment *m, sw_light out[SW_LEVELS])
{
    int32_t index = sw_series_index(s->series, m->utc_s);
    const sw_weather_row *row = &s->series->row[index];
    learn_hour(s, index, m->utc_s);
    double height = fmax(0.0, m->sun.cos_zenith);
    if (s->hour_clear_w_m2 < 1.0 || height == 0.0) {
        double ghi = s->hour_height > 0.0 ? row->ghi_w_m2 * height / s->hour_height : 0.0;
        if (s->hour_clear_w_m2 >= 1.0)
            ghi = 0.0; // the sun is down in this slice of a sunlit hour
        out[0] = (sw_light){ghi, 0.0, ghi};
        return 1;
    }
    double ghi = row->ghi_w_m2 * m->clear.ghi_w_m2 / s->hour_clear_w_m2;
    double beam = ghi * (1.0 - hour_diffuse_share(s, row, m)) / height;
    beam = fmin(beam, fmin(m->clock.extraterrestrial_w_m2, 1.1 * m->clear.dni_w_m2));
    out[0] = (sw_light){ghi, beam, ghi - beam * height};
    return 1;
}

/* Air and wind are values at the label, the end of the row: straight lines between labels. */
static double between_labels(const sky *s, int64_t utc_s, size_t field)
{
    int32_t index = sw_series_index(s->series, utc_s);
    int32_t before = sw_series_previous(s->series, index);
    before = before < 0 ? index : before;
    int64_t into = utc_s - s->series->start_s;
    double share =
        (double)(into - sw_floor_div(into, s->series->step_s) * s->series->step_s) / s->series->step_s;
    double a = *(const double *)(const void *)((const char *)&s->series->row[before] + field);
    double b = *(const double *)(const void *)((const char *)&s->series->row[index] + field);
    return a + share * (b - a);
}

// ---- questions ----

int sky_lights(sky *s, const moment *m, sw_outlook outlook, sw_light out[SW_LEVELS])
{
    if (s->series != NULL)
        return hourly_lights(s, m,
                             out); // at night too: a record may have light in the dark, which is counted
    if (m->sun.cos_zenith <= 0.0) {
        out[0] = (sw_light){0.0, 0.0, 0.0};
        return 1;
    }
    return s->plan->trip->sky.kind == SW_SKY_TOLD ? told_lights(s, m, out)
                                                  : average_lights(s, m, outlook, out);
}

double sky_air_c(sky *s, const moment *m)
{
    if (s->series == NULL)
        return climate_air_c(s, m);
    double air = between_labels(s, m->utc_s, offsetof(sw_weather_row, air_c));
    return air + LAPSE_K_PER_M * (s->series->elevation_m - m->at.elevation_m);
}

double sky_wind_m_s(sky *s, const moment *m)
{
    if (s->series == NULL)
        return day_of(s, m->at.stop, solar_day(s->it->stop[m->at.stop].lon_deg, m->utc_s))->climate.wind_m_s;
    double wind = between_labels(s, m->utc_s, offsetof(sw_weather_row, wind_m_s));
    return isnan(wind) ? 2.0 : fmax(0.0, wind); // 2 m/s: typical, from memory
}

double sky_albedo(sky *s, const moment *m)
{
    double usual = s->it->stop[m->at.stop].albedo;
    if (s->series == NULL)
        return usual;
    double given = s->series->row[sw_series_index(s->series, m->utc_s)].albedo;
    return isnan(given) ? usual : given;
}

int sky_outlooks(const sky *s)
{
    return s->plan->trip->sky.kind == SW_SKY_AVERAGE ? 2 : 1;
}

int sky_unlit_hours(const sky *s)
{
    return s->unlit_hours;
}

/* The local months of the trip's first and last moment. */
static int month_at(const sky *s, int64_t utc_s)
{
    int year, month, day;
    sw_civil_from_days(sw_floor_div(sw_itinerary_local_s(s->it, utc_s), DAY_S), &year, &month, &day);
    return month - 1;
}

void sky_says(const sky *s, char *buffer, size_t size)
{
    static const char *const months[] = {"January",   "February", "March",    "April",
                                         "May",       "June",     "July",     "August",
                                         "September", "October",  "November", "December"};
    int first = month_at(s, s->it->start_s), last = month_at(s, s->it->end_s - 1);
    switch (s->plan->trip->sky.kind) {
    case SW_SKY_TOLD:
        snprintf(buffer, size, "the sky as told");
        break;
    case SW_SKY_HOURLY:
        snprintf(buffer, size, "the hours of %s%s", s->series->place,
                 s->series->typical_year ? " (typical year)" : "");
        break;
    default:
        if (first == last)
            snprintf(buffer, size, "the average %s sky", months[first]);
        else
            snprintf(buffer, size, "the average sky of %s to %s", months[first], months[last]);
        break;
    }
}
