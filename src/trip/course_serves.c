// What of a van a course is made of. A key that is added to a van joins here if the course looks at it, which
// a test notices that changes each key in turn.
#include "stillwatt/course.h"

#include <math.h>
#include <string.h>

/* Equal, or neither given. */
static int same(double a, double b)
{
    return a == b || (isnan(a) && isnan(b));
}

static int same_windows(const sw_windows *a, const sw_windows *b)
{
    if (a == NULL || b == NULL)
        return a == b;
    size_t size = (size_t)a->count * sizeof a->from_min[0];
    return a->count == b->count && memcmp(a->from_min, b->from_min, size) == 0 &&
           memcmp(a->to_min, b->to_min, size) == 0;
}

static int same_times(const sw_times *a, const sw_times *b)
{
    if (a == NULL || b == NULL)
        return a == b;
    return a->count == b->count && memcmp(a->at_min, b->at_min, (size_t)a->count * sizeof a->at_min[0]) == 0;
}

/* How they stand, not how large they are. */
static int same_stand(const sw_array_spec *a, const sw_array_spec *b)
{
    return a->tilt_deg == b->tilt_deg && same(a->facing_deg, b->facing_deg) && a->fixed_to == b->fixed_to &&
           a->deployed == b->deployed && a->mounting == b->mounting && a->in_series == b->in_series &&
           same_windows(a->hours, b->hours) && a->soiling == b->soiling &&
           same(a->soiling_per_day, b->soiling_per_day);
}

static int same_arrays(const sw_van *a, const sw_van *b)
{
    for (int i = 0; i < a->arrays && a->arrays == b->arrays; i++)
        if (!same_stand(&a->array[i], &b->array[i]))
            return 0;
    return a->arrays == b->arrays;
}

static int same_load(const sw_load_spec *a, const sw_load_spec *b)
{
    const double pairs[][2] = {{a->power_w, b->power_w},
                               {a->duty, b->duty},
                               {a->uses, b->uses},
                               {a->each_s, b->each_s},
                               {a->per_day_wh, b->per_day_wh},
                               {a->per_day_ah, b->per_day_ah},
                               {a->outside_above_c, b->outside_above_c},
                               {a->outside_below_c, b->outside_below_c},
                               {a->cabin_above_c, b->cabin_above_c},
                               {a->cabin_below_c, b->cabin_below_c},
                               {a->set_c, b->set_c},
                               {a->reference_c, b->reference_c},
                               {a->reference_wh, b->reference_wh},
                               {a->water_l, b->water_l},
                               {a->fuel_l, b->fuel_l},
                               {a->cold_c, b->cold_c},
                               {a->warm_c, b->warm_c},
                               {a->keeps_c, b->keeps_c},
                               {a->heat_w, b->heat_w},
                               {a->start_w, b->start_w},
                               {a->start_s, b->start_s},
                               {a->airflow_m3_h, b->airflow_m3_h},
                               {a->effectiveness, b->effectiveness}};
    for (size_t i = 0; i < sizeof pairs / sizeof pairs[0]; i++)
        if (!same(pairs[i][0], pairs[i][1]))
            return 0;
    return a->kind == b->kind && a->bus == b->bus && a->held == b->held && a->count == b->count &&
           a->weekdays == b->weekdays && a->when == b->when && a->drain == b->drain &&
           a->stored == b->stored && a->medical == b->medical && same_windows(a->hours, b->hours) &&
           same_times(a->at, b->at);
}

static int same_loads(const sw_van *a, const sw_van *b)
{
    for (int k = 0; k < a->loads && a->loads == b->loads; k++)
        if (!same_load(&a->load[k], &b->load[k]))
            return 0;
    // Measured amp-hours are at the bank's voltage.
    return a->loads == b->loads &&
           a->battery.unit_v * a->battery.series == b->battery.unit_v * b->battery.series;
}

static int same_cabin(const sw_plan *a, const sw_plan *b)
{
    const sw_cabin_spec *x = a->van->cabin, *y = b->van->cabin;
    if (a->trip->people != b->trip->people || !same(a->trip->cabin_least_c, b->trip->cabin_least_c) ||
        !same(a->trip->cabin_most_c, b->trip->cabin_most_c))
        return 0;
    if (x == NULL || y == NULL)
        return x == y;
    return x->covers == y->covers && x->loss_w_k == y->loss_w_k && x->glass_m2 == y->glass_m2 &&
           x->heat_wh_k == y->heat_wh_k;
}

/* The engine's kind, the generator's rating, the inlet that a hookup must fit, the inverter's hours. */
static int same_sources(const sw_van *a, const sw_van *b)
{
    if ((a->alternator == NULL) != (b->alternator == NULL) ||
        (a->generator == NULL) != (b->generator == NULL) || (a->shore == NULL) != (b->shore == NULL) ||
        (a->inverter == NULL) != (b->inverter == NULL))
        return 0;
    return (a->alternator == NULL || (a->alternator->stops == b->alternator->stops &&
                                      same(a->alternator->warms_s, b->alternator->warms_s))) &&
           (a->generator == NULL || a->generator->rated_w == b->generator->rated_w) &&
           (a->shore == NULL || a->shore->inlet_v == b->shore->inlet_v) &&
           (a->inverter == NULL || same_windows(a->inverter->hours, b->inverter->hours));
}

int sw_course_serves(const sw_plan *a, const sw_plan *b)
{
    return same_arrays(a->van, b->van) && same_loads(a->van, b->van) && same_cabin(a, b) &&
           same_sources(a->van, b->van);
}
