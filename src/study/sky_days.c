// The sky of a trip day by day, for people who want to look at the weather itself.
#include "stillwatt/sky_days.h"

#include "stillwatt/civil.h"
#include "stillwatt/sun.h"
#include "trip/climate_days.h"

#include <math.h>
#include <stdlib.h>

#define DAY_S 86400

typedef struct maker {
    const sw_plan *plan;
    const sw_loader *loader;
    sw_sky_days *out;
    sw_itinerary *usual; // with the averages of all stops; NULL: not to be had
    climate_nodes *nodes;
} maker;

void sw_sky_days_free(sw_sky_days *days)
{
    if (days == NULL)
        return;
    sw_course_free(days->course);
    free(days->day);
    free(days);
}

// ---- what is usual ----

/* The trip as if it asked for an average sky, whose itinerary knows the averages. Trouble with them is
   nobody's: they are only what the sky is held against. */
/* @return SW_OK where there are none, too: not every place has averages */
static sw_status find_usual(maker *m, int32_t step_s, sw_messages *messages)
{
    sw_trip trip = *m->plan->trip;
    sw_plan plan = *m->plan;
    trip.sky = (sw_sky_spec){.kind = SW_SKY_AVERAGE};
    plan.trip = &trip;
    sw_messages *aside = sw_messages_create();
    sw_status status = sw_itinerary_make(&plan, m->loader, step_s, aside, &m->usual);
    if (status != SW_OK) {
        m->usual = NULL;
        status = status == SW_BAD_INPUT || status == SW_OUT_OF_RANGE
                     ? SW_OK
                     : sw_messages_repeat_errors(aside, messages);
        sw_messages_free(aside);
        return status;
    }
    sw_messages_free(aside);
    m->nodes = calloc((size_t)m->usual->stops, sizeof *m->nodes);
    for (int i = 0; m->nodes != NULL && i < m->usual->stops; i++) {
        const sw_stop *stop = &m->usual->stop[i];
        sw_climate_nodes_of(&stop->climate, stop->lat_deg, stop->lon_deg, &m->nodes[i]);
    }
    return m->nodes != NULL ? SW_OK
                            : sw_error(messages, SW_NO_MEMORY, NULL, NULL,
                                       "there is not enough memory for the sky's days");
}

static void set_usual(const maker *m, sw_sky_day *day)
{
    day->usual_kwh_m2 = day->usual_low_c = day->usual_high_c = NAN;
    if (m->nodes == NULL || m->usual == NULL)
        return;
    const sw_stop *stop = &m->usual->stop[day->stop];
    climate_day usual;
    sw_sun_clock noon = {0, 0, 1, 0};
    sw_climate_day_of(&m->nodes[day->stop], day->date, &usual);
    (void)sw_sun_clock_at(day->date * DAY_S + DAY_S / 2 - llround(stop->lon_deg * 240.0), &noon);
    day->usual_kwh_m2 = usual.clearness * sw_sun_daily_extraterrestrial_wh_m2(&noon, stop->lat_deg) / 1000.0;
    day->usual_low_c = usual.low_c;
    day->usual_high_c = usual.high_c;
}

// ---- days ----

static void add_step(const sw_course *course, int32_t step, sw_sky_day *day)
{
    const sw_forcing *f = &course->forcing[SW_OUTLOOK_MAIN];
    double hours = f->step_s / 3600.0;
    day->sun_h += course->sun_share[step] * hours;
    day->flat_kwh_m2 += f->ghi_w_m2[step] * hours / 1000.0;
    day->clear_kwh_m2 += course->clear_w_m2[step] * hours / 1000.0;
    for (int a = 0; a < f->arrays; a++)
        day->array_sun_h[a] += f->yield[a][step] * hours;
    day->low_c = fmin(day->low_c, f->air_c[step]);
    day->high_c = fmax(day->high_c, f->air_c[step]);
}

static void fill_day(const maker *m, const sw_day *of, sw_sky_day *day)
{
    const sw_itinerary *it = m->out->course->itinerary;
    const sw_forcing *f = &m->out->course->forcing[0];
    int64_t from = (of->start_s - f->start_s) / f->step_s, to = (of->end_s - f->start_s) / f->step_s;
    *day = (sw_sky_day){.date = of->date, .low_c = INFINITY, .high_c = -INFINITY};
    day->whole = of->end_s - of->start_s >= 23 * 3600; // a day may be an hour short
    day->stop = sw_itinerary_at(it, (of->start_s + of->end_s) / 2).stop;
    for (int64_t step = from; step < to && step < f->steps; step++)
        add_step(m->out->course, (int32_t)step, day);
    if (day->low_c > day->high_c) // a part of a day that is shorter than a step
        day->low_c = day->high_c = NAN;
    set_usual(m, day);
}

static sw_status fill(maker *m, int32_t step_s, sw_messages *messages)
{
    sw_sky_days *out = m->out;
    sw_status status = sw_course_make(m->plan, m->loader, step_s, messages, &out->course);
    if (status == SW_OK)
        status = find_usual(m, step_s, messages);
    if (status != SW_OK)
        return status;
    out->days = out->course->itinerary->days;
    out->day = calloc((size_t)out->days, sizeof *out->day);
    if (out->day == NULL)
        return sw_error(messages, SW_NO_MEMORY, NULL, NULL, "there is not enough memory for the days");
    for (int i = 0; i < out->days; i++)
        fill_day(m, &out->course->itinerary->day[i], &out->day[i]);
    return SW_OK;
}

sw_status sw_sky_days_make(const sw_plan *plan, const sw_loader *loader, int32_t step_s,
                           sw_messages *messages, sw_sky_days **out)
{
    maker m = {.plan = plan, .loader = loader, .out = calloc(1, sizeof *m.out)};
    *out = NULL;
    if (m.out == NULL)
        return sw_error(messages, SW_NO_MEMORY, NULL, NULL, "there is not enough memory for the days");
    m.out->plan = plan;
    sw_status status = fill(&m, step_s, messages);
    sw_itinerary_free(m.usual);
    free(m.nodes);
    if (status != SW_OK) {
        sw_sky_days_free(m.out);
        return status;
    }
    *out = m.out;
    return SW_OK;
}
