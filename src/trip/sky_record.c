// Hourly skies: a weather record, checked against itself and the place, and its hours shared out over
// moments.
#include "trip/record_dates.h"
#include "trip/sky_inside.h"

#include "stillwatt/civil.h"
#include "stillwatt/sphere.h"

#include <math.h>
#include <stddef.h>
#include <stdio.h>

#define LEAST_CLEAR_W_M2 1.0 // an hour with less clear light has no shape to follow
#define MOST_BEAM        1.1 // over the clear sky's: air may be cleaner than its turbidity, not by more
#define LOW_SUN          0.13052619222005159 // sin(7.5 deg), the way of the sun in half an hour at most

/* A moment on the record's calendar: a record of another year is moved to the trip's dates. */
static int64_t on_record_s(const sky *s, int64_t utc_s)
{
    return utc_s + s->moved_s;
}

/* The same on the clock that its light keeps. */
static int64_t light_s(const sky *s, int64_t utc_s)
{
    return on_record_s(s, utc_s) - s->series->light_shift_s;
}

/* How far into its row of the record a moment stands. */
static int64_t into_row_s(const sw_series *series, int64_t record_s)
{
    int64_t into = record_s - series->start_s;
    return into - sw_floor_div(into, series->step_s) * series->step_s;
}

// ---- opening ----

static sw_status read_series(sky *s, const sw_loader *loader, sw_messages *messages)
{
    const sw_sky_spec *spec = &s->plan->trip->sky;
    // Seen from the file that names it, which may be that of a study.
    const char *beside = spec->where.file != NULL ? spec->where.file : s->plan->trip->file;
    s->series = spec->series;
    if (s->series != NULL)
        return SW_OK;
    sw_status status = sw_weather_load(loader, spec->file, beside, &spec->where, messages, &s->own_series);
    s->series = s->own_series;
    return status;
}

static sw_status no_dates(const sky *s, sw_messages *messages)
{
    char year[32] = "";
    if (s->plan->trip->sky.year > 0)
        snprintf(year, sizeof year, " in %d", s->plan->trip->sky.year);
    return sw_error(messages, SW_BAD_INPUT, &s->plan->trip->sky.where,
                    "choose dates inside the record, or a typical-year file",
                    "the weather record of %s does not cover the trip%s", s->series->place, year);
}

/* A record of a real year must cover the trip, or the same dates of another year: the one that is asked for,
   or the latest, of those in which nothing is missing if there are any. */
static sw_status find_dates(sky *s, sw_messages *messages)
{
    const sw_trip *trip = s->plan->trip;
    stretch of_trip = {s->it->start_s, s->it->end_s};
    if (trip->sky.year > 0 && !s->series->typical_year)
        return sw_record_in_year(s->series, &of_trip, trip->sky.year, &s->moved_s) ? SW_OK
                                                                                   : no_dates(s, messages);
    if (sw_record_covers(s->series, &of_trip))
        return SW_OK;
    int year = sw_record_latest(s->series, &of_trip, &s->moved_s);
    if (year == 0)
        return no_dates(s, messages);
    sw_warn(messages, &trip->sky.where, NULL,
            "the weather record of %s is not of these dates: those of %d stand for them", s->series->place,
            year);
    return SW_OK;
}

static sw_status check_missing(const sky *s, sw_messages *messages)
{
    stretch needed = {on_record_s(s, s->it->start_s), on_record_s(s, s->it->end_s)};
    record_gap gap;
    if (!sw_record_gap(s->series, &needed, &gap))
        return SW_OK;
    char from[64], to[64];
    sw_series_label(s->series, gap.first, from, sizeof from);
    sw_series_label(s->series, gap.last, to, sizeof to);
    return sw_error(messages, SW_BAD_INPUT, &s->plan->trip->sky.where,
                    "use another file, choose other dates, or fill the gap with values of a day alike",
                    "the weather record of %s has no %s in the hours from %s to %s, which the trip needs",
                    s->series->place, gap.says, from, to);
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
        int64_t into = into_row_s(s->series, light_s(s, t));
        const sw_weather_row *row = &s->series->row[sw_record_row(s->series, light_s(s, t))];
        int64_t middle = t - into + s->series->step_s / 2;
        sw_sun sun;
        if (isnan(row->ghi_w_m2) || isnan(row->dni_w_m2) || isnan(row->dhi_w_m2) ||
            sw_sun_at(middle, s->series->lat_deg, s->series->lon_deg, &sun) != SW_OK || sun.cos_zenith <= 0.1)
            continue; // with a low sun the middle of the hour does not stand for the hour
        apart += fabs(row->ghi_w_m2 - row->dni_w_m2 * sun.cos_zenith - row->dhi_w_m2);
        whole += row->ghi_w_m2;
    }
    s->keep_beam = whole > 0.0 && apart > CLOSURE_LIMIT * whole;
    if (s->keep_beam)
        sw_warn(messages, &(sw_where){.file = s->plan->trip->file, .path = "/sky/file"}, NULL,
                "in the weather record of %s beam and sky light do not add up to the global light (off by "
                "%.0f %%); the "
                "global and the beam are used",
                s->series->place, 100.0 * apart / whole);
}

static int32_t greatest_divisor(int32_t a, int32_t b)
{
    return b == 0 ? a : greatest_divisor(b, a % b);
}

sw_status sw_sky_record_open(sky *s, const sw_loader *loader, sw_messages *messages)
{
    sw_status status = read_series(s, loader, messages);
    if (status == SW_OK)
        status = find_dates(s, messages);
    if (status == SW_OK)
        status = check_missing(s, messages);
    if (status == SW_OK) {
        s->slice_s = greatest_divisor(s->slice_s, s->series->step_s);
        warn_if_far(s, messages);
        check_closure(s, messages);
    }
    return status;
}

// ---- hourly records ----

/* The first moment of the rehearsal in a row of the record: moments count from the trip's beginning, which
   need not lie on the record's hours. */
static int64_t first_moment_s(const sky *s, int64_t row_s)
{
    int64_t from_s = s->it->start_s + s->slice_s / 2;
    return from_s - sw_floor_div(from_s - row_s, s->slice_s) * s->slice_s;
}

/* Share of sky light in the hour's global: the record's own where it gives it, or what its beam leaves, or
   split by the hour's clearness. */
static double diffuse_share(const sky *s, const sw_weather_row *row, double extraterrestrial_w_m2)
{
    if (!(row->ghi_w_m2 > 0.0))
        return 1.0;
    if (!isnan(row->dhi_w_m2) && (isnan(row->dni_w_m2) || !s->keep_beam))
        return fmin(1.0, row->dhi_w_m2 / row->ghi_w_m2);
    if (!isnan(row->dni_w_m2))
        return fmax(0.0, 1.0 - row->dni_w_m2 * s->hour_height / row->ghi_w_m2);
    return s->hour_height > 0.0
               ? sw_diffuse_fraction(row->ghi_w_m2 / (extraterrestrial_w_m2 * s->hour_height))
               : 1.0;
}

/* Mean clear light and mean height of the sun over the hour of a record, on the moments of the rehearsal: on
   others the hour's energy would not be kept, least where the sun only just rises in it. */
static void learn_hour(sky *s, int32_t index, int64_t utc_s)
{
    int32_t step = s->series->step_s;
    int64_t hour = utc_s - into_row_s(s->series, light_s(s, utc_s));
    moment m = {0};
    if (hour == s->hour_start_s)
        return;
    s->hour_start_s = hour;
    s->hour_clear_w_m2 = s->hour_height = s->hour_left_out_w_m2 = 0.0;
    int count = step / s->slice_s;
    int64_t first_s = first_moment_s(s, hour);
    for (int i = 0; i < count; i++) {
        sw_sky_moment(s, first_s + i * s->slice_s, &m);
        s->hour_clear_w_m2 += m.clear.ghi_w_m2 / count;
        s->hour_height += fmax(0.0, m.sun.cos_zenith) / count;
    }
    s->hour_diffuse_share = diffuse_share(s, &s->series->row[index], m.clock.extraterrestrial_w_m2);
    s->unlit_s += s->hour_height == 0.0 && s->series->row[index].ghi_w_m2 > 0.0 ? step : 0;
}

/* Where the clock of a record and the sun of the place disagree, an hour's light would fall into the few
   minutes in which the sun is up. What is more than falls on the flat above the air is left out; an hour that
   loses half of its light by that is told. Near the horizon it is reckoned as if the sun stood at LOW_SUN:
   hours of some records lie half an hour beside their label, and twilight is light too. */
static double possible_ghi(sky *s, const moment *m, const sw_weather_row *row, double ghi)
{
    double most = m->clock.extraterrestrial_w_m2 * fmax(LOW_SUN, m->sun.cos_zenith);
    if (ghi <= most)
        return ghi;
    double before = s->hour_left_out_w_m2, half = 0.5 * row->ghi_w_m2;
    s->hour_left_out_w_m2 += (ghi - most) * s->slice_s / s->series->step_s;
    s->unlit_s += before < half && s->hour_left_out_w_m2 >= half ? s->series->step_s : 0;
    return most;
}

/* Within the hour the global follows the clear sky, so that the hour's energy is exact; where the sun hardly
   clears the horizon it follows the sun's height and is all sky light. */
int sw_sky_record_lights(sky *s, const moment *m, sw_light out[SW_LEVELS])
{
    int32_t index = sw_record_row(s->series, light_s(s, m->utc_s));
    const sw_weather_row *row = &s->series->row[index];
    learn_hour(s, index, m->utc_s);
    double height = fmax(0.0, m->sun.cos_zenith);
    if (s->hour_clear_w_m2 < LEAST_CLEAR_W_M2 || height == 0.0) {
        double ghi = s->hour_height > 0.0 ? row->ghi_w_m2 * height / s->hour_height : 0.0;
        if (s->hour_clear_w_m2 >= LEAST_CLEAR_W_M2)
            ghi = 0.0; // the sun is down in this slice of a sunlit hour
        ghi = possible_ghi(s, m, row, ghi);
        out[0] = (sw_light){ghi, 0.0, ghi};
        return 1;
    }
    double ghi = possible_ghi(s, m, row, row->ghi_w_m2 * m->clear.ghi_w_m2 / s->hour_clear_w_m2);
    double beam = ghi * (1.0 - s->hour_diffuse_share) / height;
    beam = fmin(beam, fmin(m->clock.extraterrestrial_w_m2, MOST_BEAM * m->clear.dni_w_m2));
    out[0] = (sw_light){ghi, beam, ghi - beam * height};
    return 1;
}

/* Air and wind are values at the label, the end of the row, or a little before: straight lines between. */
static double between_labels(const sky *s, int64_t utc_s, size_t field)
{
    int64_t record_s = on_record_s(s, utc_s) + s->series->air_before_end_s;
    int32_t index = sw_record_row(s->series, record_s);
    int32_t before = sw_series_previous(s->series, index);
    before = before < 0 ? index : before;
    double share = (double)into_row_s(s->series, record_s) / s->series->step_s;
    double a = *(const double *)(const void *)((const char *)&s->series->row[before] + field);
    double b = *(const double *)(const void *)((const char *)&s->series->row[index] + field);
    return a + share * (b - a);
}

double sw_sky_record_air_c(const sky *s, const moment *m)
{
    double air = between_labels(s, m->utc_s, offsetof(sw_weather_row, air_c));
    return air + SKY_LAPSE_K_PER_M * (s->series->elevation_m - m->at.elevation_m);
}

double sw_sky_record_humidity_pct(const sky *s, const moment *m)
{
    return between_labels(s, m->utc_s, offsetof(sw_weather_row, humidity_pct));
}

double sw_sky_record_wind_m_s(const sky *s, const moment *m)
{
    double wind = between_labels(s, m->utc_s, offsetof(sw_weather_row, wind_m_s));
    return isnan(wind) ? 2.0 : fmax(0.0, wind); // 2 m/s: typical, from memory
}

double sw_sky_record_albedo(const sky *s, const moment *m)
{
    return s->series->row[sw_record_row(s->series, on_record_s(s, m->utc_s))].albedo;
}

double sw_sky_record_rain_mm_h(const sky *s, const moment *m)
{
    double rain_mm = s->series->row[sw_record_row(s->series, on_record_s(s, m->utc_s))].rain_mm;
    return rain_mm * 3600.0 / s->series->step_s;
}
