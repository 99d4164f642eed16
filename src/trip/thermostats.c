// The cabin as one node, and its thermostats: heaters, an evaporative cooler, air conditioners.
#include "trip/thermostats.h"

#include "stillwatt/cabin.h"
#include "trip/schedule.h"

#include <math.h>
#include <stdlib.h>

#define BODY_W        75.0 // heat of a person at rest that warms the air: typical, from memory
#define COVERED       0.3  // sun that covered windows still let in: typical, from memory
#define START_LEAST_C 10.0 // a van that was lived in before the trip: common practice, no source
#define START_MOST_C  30.0
#define DEW_UNDER_K   2.0 // of the dew point under the night's lowest, in dry country [allen-1998]
#define HALF_DAY_S    43200
#define CABIN_LEAST_C                                                                                        \
    (-80.0) // beyond these something is wrong with the files, and nobody is in the cabin (numerics)
#define CABIN_MOST_C 90.0

int sw_is_thermostat(const sw_load_spec *load)
{
    return load->kind == SW_LOAD_HEATER || load->kind == SW_LOAD_EVAPORATIVE ||
           load->kind == SW_LOAD_AIRCON || load->kind == SW_LOAD_FAN;
}

// ---- when a thermostat may run ----

static int has_ac(const cabin_job *job, int32_t step)
{
    return (job->forcing->flags[step] & (SW_STEP_SHORE | SW_STEP_INVERTER)) != 0 ||
           job->generator_share[step] > 0.0;
}

/* Its hours and conditions, as those of a steady load of a watt; a thermostat on AC asks nothing without AC.
   @return share of each step, released by the caller; NULL without memory */
static double *may_run(const cabin_job *job, const sw_load_spec *load)
{
    const sw_forcing *f = job->forcing;
    double *share = calloc((size_t)f->steps, sizeof *share), *peak = calloc((size_t)f->steps, sizeof *peak);
    step_facts facts = {f->flags, f->air_c, f->cabin_c};
    sw_load_spec watt = *load;
    watt.kind = SW_LOAD_STEADY;
    watt.power_w = watt.duty = 1.0;
    watt.count = 1;
    sw_status status = share == NULL || peak == NULL ? SW_NO_MEMORY
                                                     : sw_schedule_load(&watt, 0.0, job->it, &facts, f->steps,
                                                                        f->step_s, share, peak, NULL);
    free(peak);
    if (status != SW_OK) {
        free(share);
        return NULL;
    }
    for (int32_t i = 0; i < f->steps && load->bus == SW_BUS_AC; i++)
        share[i] *= has_ac(job, i);
    return share;
}

// ---- moist air ----

/* Dew point by the lowest air half a day before and after, where neither record nor place tells it. */
static double humidity_at(const cabin_job *job, const sw_place *place, int32_t step)
{
    const sw_forcing *f = job->forcing;
    double known = job->humidity_pct[step], low_c = f->air_c[step];
    if (isnan(place->dew_c) && !isnan(known))
        return known;
    int32_t around = HALF_DAY_S / f->step_s;
    for (int32_t i = step > around ? step - around : 0; i < f->steps && i <= step + around; i++)
        low_c = fmin(low_c, f->air_c[i]);
    return sw_humidity_pct(f->air_c[step], isnan(place->dew_c) ? low_c - DEW_UNDER_K : place->dew_c);
}

// ---- a step ----

/// A thermostat and how much of each step it may run.
typedef struct thermostat {
    const sw_load_spec *load;
    double *may_run, *asked_w, *liquid_l;
    int runs;       // in the step before
    double start_s; // of its start, still to come
} thermostat;

typedef struct room {
    const cabin_job *job;
    int thermostats;
    thermostat thermostat[SW_LOADS_MAX];
    double cabin_c;
} room;

/* Sun, people, and the power of what runs, all of which ends as heat. */
static double gains_w(const cabin_job *job, int32_t step)
{
    const sw_van *van = job->plan->van;
    const sw_forcing *f = job->forcing;
    int covered = van->cabin->covers && (f->flags[step] & SW_STEP_DRIVING) == 0;
    int laid_up = (f->flags[step] & SW_STEP_STORED) != 0;
    int somebody = job->plan->trip->people > 0 && !laid_up;
    double people = somebody ? job->plan->trip->people : 0;
    double sum = people * BODY_W + van->cabin->glass_m2 * (covered ? COVERED : 1.0) * f->ghi_w_m2[step];
    for (int k = 0; k < van->loads; k++) {
        const sw_load_spec *load = &van->load[k];
        sum += load->kind != SW_LOAD_FRIDGE ? job->asked_w[k][step]
               : laid_up                    ? 0.0
                                            : load->reference_wh / 24.0 * load->count;
    }
    return sum;
}

/* At one moment a thermostat takes its whole power, and a start on top; for hours it takes the mean. */
static void ask(const room *r, thermostat *t, int32_t step, double mean_w, double start_w)
{
    const sw_load_spec *load = t->load;
    sw_forcing *f = r->job->forcing;
    int ac = load->bus == SW_BUS_AC;
    t->asked_w[step] = mean_w;
    f->load_w[load->bus][load->held][step] += mean_w;
    if (mean_w > 0.0)
        (ac ? f->peak_w : f->dc_peak_w)[load->held][step] += (load->power_w + start_w) * load->count;
    if (ac)
        f->steady_w[load->held][step] += mean_w;
}

/* A glow plug burns for minutes when its heater comes on after a step of rest; its warmth is left out.
   @return the share of the step in which it burns */
static double starting(thermostat *t, int runs, double hours)
{
    if (runs && !t->runs)
        t->start_s = t->load->start_s;
    t->runs = runs;
    double part_s = fmin(t->start_s, hours * 3600.0);
    t->start_s -= part_s;
    return part_s / (hours * 3600.0);
}

static void heat(const room *r, thermostat *t, int32_t step, sw_cabin_step *s)
{
    const sw_load_spec *load = t->load;
    double most_w = load->heat_w * load->count * t->may_run[step];
    double share = most_w > 0.0 ? sw_cabin_share_to(r->cabin_c, load->keeps_c, most_w, s) : 0.0;
    double runs = share * t->may_run[step], starts = starting(t, runs > 0.0, s->hours);
    s->gains_w += share * most_w;
    if (!isnan(load->fuel_l))
        t->liquid_l[step] = runs * load->fuel_l * load->count * s->hours;
    ask(r, t, step, (runs * load->power_w + starts * load->start_w) * load->count,
        starts > 0.0 ? load->start_w : 0.0);
}

static void cool(const room *r, thermostat *t, int32_t step, sw_cabin_step *s)
{
    double most_w = -t->load->heat_w * t->load->count * t->may_run[step];
    double share = most_w < 0.0 ? sw_cabin_share_to(r->cabin_c, t->load->keeps_c, most_w, s) : 0.0;
    s->gains_w += share * most_w;
    ask(r, t, step, share * t->may_run[step] * t->load->power_w * t->load->count, 0.0);
}

/* Air from outside, as it is: what it carries away is so much more of what the walls lose. */
static void air_out(const room *r, thermostat *t, int32_t step, sw_cabin_step *s)
{
    const sw_load_spec *load = t->load;
    const sw_forcing *f = r->job->forcing;
    sw_position at = sw_itinerary_at(r->job->it, f->start_s + (int64_t)step * f->step_s + f->step_s / 2);
    double air_m3_h = load->airflow_m3_h * load->count * t->may_run[step];
    s->draft_w_k = sw_cooler_air_of(f->air_c[step], 50.0, 0.0, air_m3_h, at.elevation_m).stream_w_k;
    s->draft_c = s->outside_c;
    double share = s->draft_w_k > 0.0 ? sw_cabin_draft_to(r->cabin_c, load->keeps_c, s) : 0.0;
    s->loss_w_k += share * s->draft_w_k;
    s->draft_w_k = 0.0;
    ask(r, t, step, share * t->may_run[step] * load->power_w * load->count, 0.0);
}

static void blow(const room *r, thermostat *t, int32_t step, sw_cabin_step *s)
{
    const sw_load_spec *load = t->load;
    const sw_forcing *f = r->job->forcing;
    int64_t at_s = f->start_s + (int64_t)step * f->step_s + f->step_s / 2;
    sw_position at = sw_itinerary_at(r->job->it, at_s);
    double humidity = humidity_at(r->job, &r->job->plan->trip->place[at.stop], step);
    sw_cooler_air air = sw_cooler_air_of(f->air_c[step], humidity, load->effectiveness,
                                         load->airflow_m3_h * load->count * t->may_run[step], at.elevation_m);
    s->draft_w_k = air.stream_w_k;
    s->draft_c = air.supply_c;
    double share = air.stream_w_k > 0.0 ? sw_cabin_draft_to(r->cabin_c, load->keeps_c, s) : 0.0;
    s->draft_w_k *= share;
    t->liquid_l[step] = share * air.water_l_h * s->hours;
    ask(r, t, step, share * t->may_run[step] * t->load->power_w * t->load->count, 0.0);
}

/* Heaters first, then the fan and the cooler that need little, then the one that needs much: each is asked
   for what is still missing. */
static const struct {
    sw_load_kind kind;
    void (*work)(const room *r, thermostat *t, int32_t step, sw_cabin_step *s);
} turns[] = {
    {SW_LOAD_HEATER, heat}, {SW_LOAD_FAN, air_out}, {SW_LOAD_EVAPORATIVE, blow}, {SW_LOAD_AIRCON, cool}};

static void pass_step(room *r, int32_t step)
{
    sw_forcing *f = r->job->forcing;
    const sw_cabin_spec *cabin = r->job->plan->van->cabin;
    sw_cabin_step s = {.hours = f->step_s / 3600.0,
                       .heat_wh_k = cabin->heat_wh_k,
                       .loss_w_k = cabin->loss_w_k,
                       .outside_c = f->air_c[step],
                       .gains_w = gains_w(r->job, step)};
    for (size_t turn = 0; turn < sizeof turns / sizeof turns[0]; turn++)
        for (int k = 0; k < r->thermostats; k++)
            if (r->thermostat[k].load->kind == (int)turns[turn].kind)
                turns[turn].work(r, &r->thermostat[k], step, &s);
    double after_c = fmin(fmax(sw_cabin_after_c(r->cabin_c, &s), CABIN_LEAST_C), CABIN_MOST_C);
    f->cabin_c[step] = 0.5 * (r->cabin_c + after_c);
    r->cabin_c = after_c;
}

// ---- all of them ----

static sw_status find_thermostats(room *r)
{
    const sw_van *van = r->job->plan->van;
    for (int k = 0; k < van->loads; k++) {
        if (!sw_is_thermostat(&van->load[k]))
            continue;
        thermostat *t = &r->thermostat[r->thermostats++];
        *t = (thermostat){.load = &van->load[k],
                          .may_run = may_run(r->job, &van->load[k]),
                          .asked_w = r->job->asked_w[k],
                          .liquid_l = r->job->liquid_l[k]};
        if (t->may_run == NULL)
            return SW_NO_MEMORY;
    }
    return SW_OK;
}

sw_status sw_thermostats_lay(const cabin_job *job)
{
    room r = {.job = job};
    sw_status status = find_thermostats(&r);
    r.cabin_c = fmin(fmax(job->forcing->air_c[0], START_LEAST_C), START_MOST_C);
    for (int32_t step = 0; status == SW_OK && step < job->forcing->steps; step++)
        pass_step(&r, step);
    for (int k = 0; k < r.thermostats; k++)
        free(r.thermostat[k].may_run);
    return status;
}
