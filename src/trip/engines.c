// Generator and engine at idle: a generator is a pedestal of its own for the inlet, an engine at idle feeds
// the converter as it does in a drive.
#include "trip/engines.h"

#include "stillwatt/civil.h"

#include <math.h>

#define MINUTE_S       60
#define COOLS_S        7200.0     // time constant of a parked engine's alternator: common practice, no source
#define LOOKED_AFTER_S (8 * 3600) // when somebody looks after the van in the morning

/// What runs at a moment of a stay.
typedef struct running {
    int generator, engine;
} running;

static int is_asked(const sw_windows *hours, int local_min)
{
    return hours != NULL && sw_windows_hold(hours, local_min);
}

static running running_at(const sw_plan *plan, const sw_itinerary *it, int index, int64_t utc_s)
{
    const sw_leg *leg = &plan->trip->leg[index];
    const sw_windows *quiet = plan->trip->place[leg->place].quiet_hours;
    int64_t minute = sw_floor_div(sw_itinerary_local_s(it, utc_s), MINUTE_S);
    int local_min = (int)(minute - sw_floor_div(minute, 1440) * 1440);
    if (is_asked(quiet, local_min))
        return (running){0, 0};
    return (running){is_asked(leg->generator_hours, local_min) && it->span[index].pedestal_va <= 0.0,
                     is_asked(leg->engine_hours, local_min)};
}

/* Minute by minute: hours may begin and end within a step. @return minutes of the step in which they run */
static running minutes_in_step(const sw_plan *plan, const sw_itinerary *it, int index, int64_t step_start_s,
                               int minutes)
{
    const sw_span *span = &it->span[index];
    running sum = {0, 0};
    for (int k = 0; k < minutes; k++) {
        int64_t utc_s = step_start_s + k * MINUTE_S + MINUTE_S / 2;
        if (utc_s < span->start_s || utc_s >= span->end_s)
            continue;
        running on = running_at(plan, it, index, utc_s);
        sum.generator += on.generator;
        sum.engine += on.engine;
    }
    return sum;
}

/* The inlet is fed by the generator for a whole step or not at all, as it is by a pedestal. */
void sw_engines_lay(const sw_plan *plan, const sw_itinerary *it, sw_forcing *f, double *generator_share,
                    double *engine_share)
{
    int minutes = f->step_s / MINUTE_S;
    for (int i = 0; i < it->spans; i++) {
        const sw_leg *leg = &plan->trip->leg[i];
        if (leg->generator_hours == NULL && leg->engine_hours == NULL)
            continue;
        int32_t from = (int32_t)((it->span[i].start_s - f->start_s) / f->step_s);
        int32_t to = (int32_t)((it->span[i].end_s - 1 - f->start_s) / f->step_s);
        for (int32_t step = from; step <= to && step < f->steps; step++) {
            running on = minutes_in_step(plan, it, i, f->start_s + (int64_t)step * f->step_s, minutes);
            engine_share[step] += (double)on.engine / minutes;
            f->idle_share[step] += (double)on.engine / minutes;
            if (2 * on.generator > minutes) {
                generator_share[step] = 1.0;
                f->pedestal_va[step] = plan->van->generator->rated_w;
                f->pedestal_steady_share[step] = 1.0;
            }
        }
    }
}

/* A first-order lag to warm with the engine running and back to cold without: the mean of an exponential
   over the step, and its end. */
void sw_engines_warm(const sw_alternator_spec *alternator, sw_forcing *f)
{
    double cold = 1.0;
    for (int32_t step = 0; alternator != NULL && step < f->steps; step++) {
        int runs = f->cruise_share[step] + f->idle_share[step] > 0.0;
        double lags = f->step_s / (runs ? alternator->warms_s : COOLS_S);
        double goal = runs ? 0.0 : 1.0, gone = -expm1(-lags);
        f->engine_cold[step] = goal + (cold - goal) * gone / lags;
        cold += (goal - cold) * gone;
    }
}

/* In the first step that begins at or after the hour. */
void sw_engines_look_after(const sw_itinerary *it, sw_forcing *f)
{
    for (int32_t step = 0; step < f->steps; step++) {
        int64_t local_s = sw_itinerary_local_s(it, f->start_s + (int64_t)step * f->step_s);
        int64_t since_s = local_s - sw_floor_div(local_s, 86400) * 86400 - LOOKED_AFTER_S;
        if (since_s >= 0 && since_s < f->step_s && (f->flags[step] & SW_STEP_STORED) == 0)
            f->flags[step] |= SW_STEP_HAND;
    }
}
