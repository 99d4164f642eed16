// Makes a trip ready for the march: position and sun, light on each array, air, drives, hookups and loads,
// step by step.
#include "stillwatt/course.h"

#include "files/arena.h"
#include "stillwatt/civil.h"
#include "stillwatt/plane.h"
#include "trip/course_warnings.h"
#include "trip/dirt.h"
#include "trip/engines.h"
#include "trip/schedule.h"
#include "trip/sky.h"
#include "trip/surroundings.h"
#include "trip/thermostats.h"

#include <math.h>
#include <string.h>

#define SLICE_LONGEST_S 300

/// Arrays that stand alike share their light: each has the index of the first of its kind.
typedef struct panel_stand {
    double tilt_deg, azimuth_deg; // azimuth relative to the van or to north
    int fixed_to, deployed, mounting, in_series;
    const sw_windows *hours; // NULL: fitted
    double soiling, soiling_per_day;
} panel_stand;

/// How a stand lies during one span of the trip.
typedef struct panel_outlook {
    sw_plane plane;
    double sky_open; // over the skyline
} panel_outlook;

/// What hills and trees leave at the moment being lit.
typedef struct around {
    int sun_is_over; // the skyline
    sw_shade shade;
    int local_min;
    int buried; // panels on the van: by snow, by a cover, or behind an open main switch
} around;

typedef struct maker {
    const sw_plan *plan;
    sw_course *course;
    sw_arena *arena;
    sky *sky;
    int32_t step_s, slice_s, steps;
    int short_of_memory;
    int stands;
    panel_stand stand[SW_ARRAYS_MAX];
    int stand_of[SW_ARRAYS_MAX];
    int span;                          // that `lies` is of, -1: none yet
    panel_outlook lies[SW_ARRAYS_MAX]; // per stand
    around around;
    roof_dirt dirt;
    double clean[SW_ARRAYS_MAX]; // per stand: light that dirt leaves, of what its first dirt left
    double *humidity_pct;        // per step
    double yield_kelvin[SW_OUTLOOKS][SW_ARRAYS_MAX];        // of the step being lit, per stand
    double light[SW_ARRAYS_MAX], open_light[SW_ARRAYS_MAX]; // of all steps, per stand
} maker;

static double *column(maker *m)
{
    double *out = sw_arena_alloc(m->arena, (size_t)m->steps * sizeof *out);
    m->short_of_memory = m->short_of_memory || out == NULL;
    return out;
}

/* The longest divisor of the step and of a quarter of an hour that is not over five minutes: hours of weather
   records, also those of half-hour zones, then begin on a slice. */
static int32_t slice_of(int32_t step_s)
{
    for (int32_t slice = SLICE_LONGEST_S; slice > 60; slice -= 60)
        if (step_s % slice == 0 && 900 % slice == 0)
            return slice;
    return 60;
}

// ---- room ----

static int stand_alike(const panel_stand *a, const panel_stand *b)
{
    return a->tilt_deg == b->tilt_deg && a->azimuth_deg == b->azimuth_deg && a->fixed_to == b->fixed_to &&
           a->deployed == b->deployed && a->mounting == b->mounting && a->in_series == b->in_series &&
           a->hours == b->hours && a->soiling == b->soiling && a->soiling_per_day == b->soiling_per_day;
}

static void share_stands(maker *m)
{
    const sw_van *van = m->plan->van;
    for (int a = 0; a < van->arrays; a++) {
        const sw_array_spec *spec = &van->array[a];
        panel_stand mine = {spec->tilt_deg,
                            spec->tilt_deg > 0.0 ? spec->facing_deg : 0.0,
                            spec->tilt_deg > 0.0 ? spec->fixed_to : SW_FIXED_COMPASS,
                            spec->hours != NULL ? SW_DEPLOYED_PARKED : spec->deployed,
                            spec->mounting,
                            spec->in_series,
                            spec->hours,
                            spec->soiling,
                            spec->soiling_per_day};
        int k = 0;
        while (k < m->stands && !stand_alike(&m->stand[k], &mine))
            k++;
        if (k == m->stands)
            m->stand[m->stands++] = mine;
        m->stand_of[a] = k;
    }
}

/* What does not depend on the outlook is shared by the forcings. */
static void room_for(maker *m)
{
    sw_course *c = m->course;
    sw_forcing *first = &c->forcing[0];
    *first = (sw_forcing){.steps = m->steps,
                          .step_s = m->step_s,
                          .start_s = c->itinerary->start_s,
                          .arrays = m->plan->van->arrays};
    first->flags = sw_arena_alloc(m->arena, (size_t)m->steps);
    m->short_of_memory = first->flags == NULL;
    double **shared[] = {
        &first->air_c,       &first->cabin_c,     &first->cruise_share,         &first->idle_share,
        &first->engine_cold, &first->pedestal_va, &first->pedestal_steady_share};
    for (size_t i = 0; i < sizeof shared / sizeof shared[0]; i++)
        *shared[i] = column(m);
    for (int held = 0; held < SW_HELD_COUNT; held++) {
        first->peak_w[held] = column(m);
        first->dc_peak_w[held] = column(m);
        first->steady_w[held] = column(m);
        for (int bus = 0; bus < SW_BUS_COUNT; bus++)
            first->load_w[bus][held] = column(m);
    }
    for (int o = 0; o < c->outlooks; o++) {
        sw_forcing *f = &c->forcing[o];
        double *yield[SW_ARRAYS_MAX], *cell[SW_ARRAYS_MAX];
        *f = *first;
        f->ghi_w_m2 = column(m);
        for (int k = 0; k < m->stands; k++) {
            yield[k] = column(m);
            cell[k] = column(m);
        }
        for (int a = 0; a < f->arrays; a++) {
            f->yield[a] = yield[m->stand_of[a]];
            f->cell_c[a] = cell[m->stand_of[a]];
        }
    }
    c->sun_share = column(m);
    c->clear_w_m2 = column(m);
    c->generator_share = column(m);
    c->engine_share = column(m);
    c->loads = m->plan->van->loads;
    c->asked_w = sw_arena_alloc(m->arena, (size_t)c->loads * sizeof *c->asked_w);
    c->liquid_l = sw_arena_alloc(m->arena, (size_t)c->loads * sizeof *c->liquid_l);
    m->humidity_pct = column(m);
    m->short_of_memory = m->short_of_memory || c->asked_w == NULL || c->liquid_l == NULL;
}

// ---- where the van is ----

static double overlap_s(const sw_span *span, int64_t from_s, int64_t to_s)
{
    int64_t a = span->start_s > from_s ? span->start_s : from_s;
    int64_t b = span->end_s < to_s ? span->end_s : to_s;
    return b > a ? (double)(b - a) : 0.0;
}

static uint8_t laid_up(const sw_leg *leg)
{
    if (leg->kind != SW_LEG_STORE)
        return 0;
    return (uint8_t)(leg->disconnected ? SW_STEP_STORED | SW_STEP_CUT : SW_STEP_STORED);
}

/* Drives count by the share of the step that they take, so that their energy does not depend on the step. */
static void place_legs(maker *m)
{
    const sw_itinerary *it = m->course->itinerary;
    sw_forcing *f = &m->course->forcing[0];
    for (int i = 0; i < it->spans; i++) {
        const sw_span *span = &it->span[i];
        int32_t from = (int32_t)((span->start_s - f->start_s) / f->step_s);
        int32_t to = (int32_t)((span->end_s - 1 - f->start_s) / f->step_s);
        for (int32_t k = from; k <= to && k < f->steps; k++) {
            int64_t start = f->start_s + (int64_t)k * f->step_s;
            double share = overlap_s(span, start, start + f->step_s) / f->step_s;
            if (span->kind == SW_LEG_DRIVE) {
                f->cruise_share[k] += share * (1.0 - span->idle_share);
                f->idle_share[k] += m->plan->van->alternator != NULL && m->plan->van->alternator->stops
                                        ? 0.0
                                        : share * span->idle_share;
                f->flags[k] |= share > 0.5 ? SW_STEP_DRIVING : 0;
            } else {
                f->flags[k] |= share > 0.5 ? laid_up(&m->plan->trip->leg[i]) : 0;
            }
            if (span->pedestal_va > 0.0 && share > 0.5 && (f->flags[k] & SW_STEP_CUT) == 0) {
                f->flags[k] |= SW_STEP_SHORE;
                f->pedestal_va[k] = span->pedestal_va;
                f->pedestal_steady_share[k] = span->pedestal_steady_share;
            }
        }
    }
}

// ---- light ----

/* Panels keep their stand and their skyline for a whole span. */
static void lie_in_span(maker *m, int index)
{
    const sw_span *span = &m->course->itinerary->span[index];
    const sw_place *place = &m->plan->trip->place[span->stop];
    m->span = index;
    for (int k = 0; k < m->stands; k++) {
        const panel_stand *stand = &m->stand[k];
        panel_outlook *lies = &m->lies[k];
        double azimuth = stand->azimuth_deg + (stand->fixed_to == SW_FIXED_VAN ? span->bearing_deg : 0.0);
        int lowered = stand->deployed == SW_DEPLOYED_RAISED && span->kind == SW_LEG_DRIVE;
        sw_plane_prepare(&(sw_tilt){lowered ? 0.0 : stand->tilt_deg, azimuth}, &lies->plane);
        lies->sky_open = span->kind != SW_LEG_DRIVE ? sw_skyline_sky_open(place, &lies->plane) : 1.0;
    }
}

/* On the road hills come and go: the sky is taken as open. */
static void look_around(maker *m, const moment *at)
{
    const sw_span *span = &m->course->itinerary->span[at->at.span];
    const sw_trip *trip = m->plan->trip;
    int parked = span->kind != SW_LEG_DRIVE;
    if (m->span != at->at.span)
        lie_in_span(m, at->at.span);
    int64_t minute = sw_floor_div(sw_itinerary_local_s(m->course->itinerary, at->utc_s), 60);
    m->around.local_min = (int)(minute - sw_floor_div(minute, 1440) * 1440);
    m->around.sun_is_over = !parked || sw_skyline_shows_sun(&trip->place[span->stop], &at->sun);
    const sw_leg *leg = &trip->leg[at->at.span];
    m->around.buried = leg->covered || leg->disconnected ||
                       (leg->snow_until_local_s != SW_NO_TIME && minute * 60 < leg->snow_until_local_s);
    m->around.shade = sw_shade_at(&trip->leg[at->at.span], m->around.local_min);
}

static int first_array(const maker *m, int stand)
{
    int a = 0;
    while (m->stand_of[a] != stand)
        a++;
    return a;
}

/* The march takes off the dirt that an array starts with; here is what came and went since. */
static void look_at_dirt(maker *m, const moment *at)
{
    const sw_itinerary *it = m->course->itinerary;
    const sw_van *van = m->plan->van;
    sw_dirt_pass(&m->dirt, &m->plan->trip->leg[at->at.span], at->utc_s, sw_itinerary_local_s(it, at->utc_s),
                 sw_sky_rain_mm_h(m->sky, at) * m->slice_s / 3600.0);
    for (int a = 0; a < van->arrays; a++) {
        double loss = sw_dirt_loss(&m->dirt, &van->array[a], at->utc_s);
        m->clean[m->stand_of[a]] = (1.0 - loss) / (1.0 - van->array[a].soiling);
        m->course->dirtiest[a] = fmax(m->course->dirtiest[a], loss);
    }
}

/// What a slice of light makes on one stand: the mean over the equally likely lights of the sky.
typedef struct lit {
    double yield;        // W per rated W at 25 degC
    double yield_kelvin; // yield times cell temperature: bright light is also hot light, and counts for more
    double cell_c;
    double light, open_light; // behind the glass, and without hills and trees
} lit;

/* What the plane would have without anything in the way. */
static double open_light(const sw_plane *plane, const sw_plane_sun *sun, const sw_light *light, double albedo)
{
    sw_plane_sun open = *sun;
    sw_plane_light on;
    open.beam_open = open.sky_open = 1.0;
    sw_plane_light_of(plane, &open, light, albedo, &on);
    return on.effective_w_m2;
}

static lit light_stand(const maker *m, int index, const moment *at, const sw_light *light, int lights,
                       double albedo, double air_c, double wind_m_s)
{
    const panel_stand *stand = &m->stand[index];
    const panel_outlook *lies = &m->lies[index];
    sw_plane_sun sun;
    sw_plane_light on;
    lit out = {0};
    sw_plane_sun_of(&lies->plane, &at->clock, &at->sun, &sun);
    sun.beam_open = m->around.sun_is_over * sw_shade_beam_open(m->around.shade.beam, stand->in_series);
    sun.sky_open = lies->sky_open * (1.0 - m->around.shade.sky);
    for (int i = 0; i < lights; i++) {
        sw_plane_light_of(&lies->plane, &sun, &light[i], albedo, &on);
        double yield = on.effective_w_m2 / 1000.0 * sw_low_light(on.effective_w_m2) / lights;
        double cell_c =
            sw_cell_temperature_c((sw_mounting)stand->mounting, on.incident_w_m2, air_c, wind_m_s);
        out.yield += yield;
        out.yield_kelvin += yield * cell_c;
        out.cell_c += cell_c / lights;
        out.light += on.effective_w_m2 / lights;
        if (sun.beam_open < 1.0 || sun.sky_open < 1.0)
            out.open_light += open_light(&lies->plane, &sun, &light[i], albedo) / lights;
        else
            out.open_light += on.effective_w_m2 / lights;
    }
    return out;
}

/* What the sky itself does, whatever stands under it. */
static void note_sky(sw_course *c, int32_t step, const moment *at, const sw_light *light, int lights,
                     double share)
{
    c->clear_w_m2[step] += share * at->clear.ghi_w_m2;
    for (int i = 0; i < lights; i++)
        c->sun_share[step] += light[i].dni_w_m2 > SW_SUNSHINE_W_M2 ? share / lights : 0.0;
}

static int is_stowed(const maker *m, const panel_stand *stand, const sw_span *span)
{
    int portable = stand->hours != NULL;
    return (stand->deployed == SW_DEPLOYED_PARKED && span->kind == SW_LEG_DRIVE) ||
           (portable && span->kind == SW_LEG_STORE) || (!portable && m->around.buried) ||
           !sw_windows_hold(stand->hours, m->around.local_min);
}

static void light_slice(maker *m, int outlook, int32_t step, const moment *at, double share, double wind_m_s)
{
    sw_forcing *f = &m->course->forcing[outlook];
    const sw_span *span = &m->course->itinerary->span[at->at.span];
    sw_light light[SW_LEVELS];
    int lights = sw_sky_lights(m->sky, at, (sw_outlook)outlook, light);
    double albedo = sw_sky_albedo(m->sky, at);
    if (outlook == SW_OUTLOOK_MAIN)
        note_sky(m->course, step, at, light, lights, share);
    for (int i = 0; i < lights; i++)
        f->ghi_w_m2[step] += share * light[i].ghi_w_m2 / lights;
    for (int k = 0; k < m->stands; k++) {
        lit on = {.cell_c = f->air_c[step]};
        int a = first_array(m, k);
        if (light[0].ghi_w_m2 > 0.0 && !is_stowed(m, &m->stand[k], span))
            on = light_stand(m, k, at, light, lights, albedo, f->air_c[step], wind_m_s);
        f->yield[a][step] += share * m->clean[k] * on.yield;
        m->yield_kelvin[outlook][k] += share * m->clean[k] * on.yield_kelvin;
        f->cell_c[a][step] += share * on.cell_c;
        if (outlook == SW_OUTLOOK_MAIN) {
            m->light[k] += share * on.light;
            m->open_light[k] += share * on.open_light;
        }
    }
}

static void step_air(maker *m, int32_t step)
{
    sw_forcing *f = &m->course->forcing[0];
    const sw_trip *trip = m->plan->trip;
    moment at;
    sw_sky_moment(m->sky, f->start_s + (int64_t)step * f->step_s + f->step_s / 2, &at);
    f->air_c[step] = sw_sky_air_c(m->sky, &at);
    // Nobody heats or airs a van that is laid up.
    f->cabin_c[step] = (f->flags[step] & SW_STEP_STORED) != 0
                           ? f->air_c[step]
                           : fmin(fmax(f->air_c[step], trip->cabin_least_c), trip->cabin_most_c);
    m->humidity_pct[step] = sw_sky_humidity_pct(m->sky, &at);
    f->flags[step] |= at.sun.zenith_deg > 90.833 ? SW_STEP_DARK : 0; // as at sunrise and sunset [noaa-solar]
}

/* While driving the wind over the roof is the vehicle's own. */
static double wind_over(const maker *m, const moment *at)
{
    const sw_span *span = &m->course->itinerary->span[at->at.span];
    double wind = sw_sky_wind_m_s(m->sky, at);
    return span->kind == SW_LEG_DRIVE ? fmax(wind, span->speed_m_s) : wind;
}

/* The march multiplies the step's yield by a line in the cell's temperature: with the temperature weighted by
   yield the product is that of each light by itself. */
static void weigh_cells(maker *m, int32_t step)
{
    for (int o = 0; o < m->course->outlooks; o++) {
        sw_forcing *f = &m->course->forcing[o];
        for (int k = 0; k < m->stands; k++) {
            int a = first_array(m, k);
            if (f->yield[a][step] > 0.0)
                f->cell_c[a][step] = m->yield_kelvin[o][k] / f->yield[a][step];
            m->yield_kelvin[o][k] = 0.0;
        }
    }
}

static void light_steps(maker *m)
{
    const sw_forcing *f = &m->course->forcing[0];
    int32_t slices = m->step_s / m->slice_s;
    for (int32_t step = 0; step < m->steps; step++) {
        step_air(m, step);
        for (int32_t k = 0; k < slices; k++) {
            moment at;
            int64_t start = f->start_s + (int64_t)step * m->step_s + (int64_t)k * m->slice_s;
            sw_sky_moment(m->sky, start + m->slice_s / 2, &at);
            double wind = wind_over(m, &at);
            look_around(m, &at);
            look_at_dirt(m, &at);
            for (int o = 0; o < m->course->outlooks; o++)
                light_slice(m, o, step, &at, 1.0 / slices, wind);
        }
        weigh_cells(m, step);
    }
    for (int a = 0; a < f->arrays; a++) {
        int k = m->stand_of[a];
        m->course->taken[a] = m->open_light[k] > 0.0 ? fmax(0.0, 1.0 - m->light[k] / m->open_light[k]) : 0.0;
    }
}

// ---- loads ----

static void switch_inverter(maker *m)
{
    sw_forcing *f = &m->course->forcing[0];
    double *share = column(m);
    if (share == NULL || m->plan->van->inverter == NULL)
        return;
    sw_schedule_windows(m->plan->van->inverter->hours, m->course->itinerary, m->steps, m->step_s, share);
    for (int32_t i = 0; i < m->steps; i++)
        f->flags[i] |= share[i] > 0.5 && (f->flags[i] & SW_STEP_STORED) == 0 ? SW_STEP_INVERTER : 0;
}

static void add_column(double *sum, const double *part, int32_t steps)
{
    for (int32_t i = 0; i < steps; i++)
        sum[i] += part[i];
}

/* Two columns are borrowed from load to load; `mean` is kept. @return 0 without memory */
static int lay_load(maker *m, const sw_load_spec *load, double *mean, double *peak, double *steady)
{
    const sw_van *van = m->plan->van;
    sw_forcing *f = &m->course->forcing[0];
    step_facts facts = {f->flags, f->air_c, f->cabin_c};
    double bank_v = van->battery.unit_v * van->battery.series;
    int ac = load->bus == SW_BUS_AC;
    memset(peak, 0, (size_t)m->steps * sizeof *peak);
    memset(steady, 0, (size_t)m->steps * sizeof *steady);
    if (sw_schedule_load(load, bank_v, m->course->itinerary, &facts, m->steps, m->step_s, mean, peak,
                         ac ? steady : NULL) != SW_OK)
        return 0;
    add_column(f->load_w[load->bus][load->held], mean, m->steps);
    add_column((ac ? f->peak_w : f->dc_peak_w)[load->held], peak, m->steps);
    if (ac)
        add_column(f->steady_w[load->held], steady, m->steps);
    return 1;
}

static int looks_at_cabin(const sw_load_spec *load)
{
    return !isnan(load->cabin_above_c) || !isnan(load->cabin_below_c);
}

static void lay_loads(maker *m, int that_look, double *peak, double *steady)
{
    const sw_van *van = m->plan->van;
    for (int k = 0; k < van->loads && !m->short_of_memory; k++)
        if (looks_at_cabin(&van->load[k]) == that_look && !sw_is_thermostat(&van->load[k]))
            m->short_of_memory = !lay_load(m, &van->load[k], m->course->asked_w[k], peak, steady);
}

static void columns_of_loads(maker *m)
{
    for (int k = 0; k < m->plan->van->loads && !m->short_of_memory; k++) {
        m->course->asked_w[k] = column(m);
        m->course->liquid_l[k] =
            m->plan->van->load[k].kind == SW_LOAD_EVAPORATIVE || m->plan->van->load[k].kind == SW_LOAD_HEATER
                ? column(m)
                : NULL;
    }
}

/* Loads that look at the cabin's temperature come after what makes it. */
static void lay_all_loads(maker *m)
{
    cabin_job job = {m->plan,
                     m->course->itinerary,
                     &m->course->forcing[0],
                     m->humidity_pct,
                     m->course->generator_share,
                     m->course->asked_w,
                     m->course->liquid_l};
    double *peak = column(m), *steady = column(m);
    columns_of_loads(m);
    lay_loads(m, 0, peak, steady);
    if (!m->short_of_memory && m->plan->van->cabin != NULL)
        m->short_of_memory = sw_thermostats_lay(&job) != SW_OK;
    lay_loads(m, 1, peak, steady);
}

// ---- making ----

void sw_course_free(sw_course *course)
{
    if (course == NULL)
        return;
    if (!course->borrows)
        sw_itinerary_free(course->itinerary);
    sw_arena_free(course->owner);
}

static sw_status fill(maker *m, sw_messages *messages)
{
    sw_course_warn(m->plan, m->course->itinerary, m->step_s, messages);
    share_stands(m);
    room_for(m);
    if (!m->short_of_memory) {
        m->dirt.since_s = m->course->itinerary->start_s;
        place_legs(m);
        sw_engines_lay(m->plan, m->course->itinerary, &m->course->forcing[0], m->course->generator_share,
                       m->course->engine_share);
        sw_engines_warm(m->plan->van->alternator, &m->course->forcing[0]);
        sw_engines_look_after(m->course->itinerary, &m->course->forcing[0]);
        light_steps(m);
        switch_inverter(m);
        lay_all_loads(m);
    }
    if (m->short_of_memory)
        return sw_error(messages, SW_NO_MEMORY, NULL, NULL,
                        "there is not enough memory for the trip's steps");
    if (sw_sky_unlit_hours(m->sky) > 0)
        sw_warn(messages, &(sw_where){.file = m->plan->trip->file, .path = "/sky/file"},
                "look whether the file is of this place, and what clock it keeps",
                "%d hours of the weather file have more light than the sun can give at the place of the "
                "trip; what is beyond is left out",
                sw_sky_unlit_hours(m->sky));
    sw_sky_says(m->sky, m->course->sky_says, sizeof m->course->sky_says);
    return SW_OK;
}

sw_status sw_course_make(const sw_plan *plan, const sw_loader *loader, int32_t step_s, sw_messages *messages,
                         sw_course **out)
{
    return sw_course_make_on(plan, NULL, loader, step_s, messages, out);
}

sw_status sw_course_make_on(const sw_plan *plan, sw_itinerary *itinerary, const sw_loader *loader,
                            int32_t step_s, sw_messages *messages, sw_course **out)
{
    maker m = {
        .plan = plan, .arena = sw_arena_create(), .step_s = step_s, .slice_s = slice_of(step_s), .span = -1};
    m.course = m.arena != NULL ? sw_arena_alloc(m.arena, sizeof *m.course) : NULL;
    *out = NULL;
    if (m.course == NULL) {
        sw_arena_free(m.arena);
        return sw_error(messages, SW_NO_MEMORY, NULL, NULL, "there is not enough memory for the trip");
    }
    m.course->owner = m.arena;
    m.course->itinerary = itinerary;
    m.course->borrows = itinerary != NULL;
    sw_status status =
        itinerary == NULL ? sw_itinerary_make(plan, loader, step_s, messages, &m.course->itinerary) : SW_OK;
    const sw_itinerary *it = m.course->itinerary;
    if (status == SW_OK) {
        m.steps = (int32_t)((it->end_s - it->start_s) / step_s);
        status = sw_sky_open(plan, it, loader, m.slice_s, messages, &m.sky);
    }
    if (status == SW_OK) {
        m.slice_s = sw_sky_slice_s(m.sky);
        m.course->outlooks = sw_sky_outlooks(m.sky);
        status = fill(&m, messages);
    }
    sw_sky_close(m.sky);
    if (status != SW_OK) {
        sw_course_free(m.course);
        return status;
    }
    *out = m.course;
    return SW_OK;
}
