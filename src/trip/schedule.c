// Loads as stretches of UTC time with a power, laid over the steps.
#include "trip/schedule.h"

#include "stillwatt/civil.h"
#include "trip/schedule_runs.h"

#include <math.h>

#define DAY_S   86400
#define DAY_MIN 1440

/// One load being laid over the steps.
typedef struct layer {
    const sw_itinerary *it;
    int32_t steps, step_s;
    double *mean, *peak; // peak may be NULL
    sw_runs *on;         // NULL: nobody asks
} layer;

/* Adds `power` from `from` to `to`; what lies outside the trip is left out. */
static void lay(const layer *out, int64_t from_s, int64_t to_s, double power)
{
    int64_t start = out->it->start_s, end = start + (int64_t)out->steps * out->step_s;
    from_s = from_s < start ? start : from_s;
    to_s = to_s > end ? end : to_s;
    if (from_s >= to_s)
        return;
    if (out->on != NULL)
        sw_runs_add(out->on, from_s, to_s);
    int32_t last = (int32_t)((to_s - 1 - start) / out->step_s);
    for (int32_t i = (int32_t)((from_s - start) / out->step_s); i <= last; i++) {
        int64_t step_from = start + (int64_t)i * out->step_s, step_to = step_from + out->step_s;
        int64_t a = from_s > step_from ? from_s : step_from, b = to_s < step_to ? to_s : step_to;
        out->mean[i] += power * (double)(b - a) / out->step_s;
        if (out->peak != NULL)
            out->peak[i] = out->peak[i] > power ? out->peak[i] : power;
    }
}

/// A local date on one clock; the visitor gets each, and the part of it that is on this clock.
typedef struct local_date {
    int64_t date;
    const sw_stretch *stretch;
    int first_stretch;
} local_date;

typedef void visit_date(void *context, const local_date *date);

/* The date before the first is visited too: its windows may cross midnight. */
static void each_date(const sw_itinerary *it, visit_date *visit, void *context)
{
    for (int i = 0; i < it->stretches; i++) {
        const sw_stretch *s = &it->stretch[i];
        int64_t first = sw_floor_div(s->start_s + sw_zone_offset_s(s->zone, s->start_s), DAY_S) - 1;
        int64_t last = sw_floor_div(s->end_s + sw_zone_offset_s(s->zone, s->end_s), DAY_S);
        for (int64_t date = first; date <= last; date++)
            visit(context, &(local_date){date, s, i == 0});
    }
}

/* UTC of a local minute of a date; a skipped minute is the next valid one. */
static int64_t utc_of(const local_date *d, int minute)
{
    int64_t utc;
    sw_zone_to_utc(d->stretch->zone, d->date * DAY_S + (int64_t)minute * 60, &utc);
    return utc;
}

static const sw_windows all_day = {1, {0}, {DAY_MIN}};

static void lay_clipped(const layer *out, const sw_stretch *s, int64_t from_s, int64_t to_s, double power)
{
    from_s = from_s < s->start_s ? s->start_s : from_s;
    to_s = to_s > s->end_s ? s->end_s : to_s;
    lay(out, from_s, to_s, power);
}

// ---- kinds of load ----

#define USES_MAX      201 // the reader allows 200 a day
#define DATES_AT_ONCE 4   // a change of clock goes over the dates around it again

/// Uses of a date that were laid.
typedef struct done_uses {
    int64_t date;
    uint8_t use[USES_MAX];
} done_uses;

typedef struct laying {
    const layer *out;
    const sw_load_spec *load;
    const sw_windows *hours;
    double power_w;   // while on, all units
    double energy_wh; // measured: of a day
    done_uses done[DATES_AT_ONCE];
} laying;

static int runs_on(const sw_load_spec *load, int64_t date)
{
    return (load->weekdays >> sw_weekday(date)) & 1u;
}

static void lay_steady(void *context, const local_date *d)
{
    laying *l = context;
    for (int i = 0; i < l->hours->count && runs_on(l->load, d->date); i++)
        lay_clipped(l->out, d->stretch, utc_of(d, l->hours->from_min[i]), utc_of(d, l->hours->to_min[i]),
                    l->power_w);
}

static int64_t window_seconds(const laying *l, const local_date *d)
{
    int64_t sum = 0;
    for (int i = 0; i < l->hours->count; i++)
        sum += utc_of(d, l->hours->to_min[i]) - utc_of(d, l->hours->from_min[i]);
    return sum;
}

/* A day's energy is the same on a day of 23 or 25 hours: the power follows the hours there are. */
static void lay_measured(void *context, const local_date *d)
{
    laying *l = context;
    int64_t seconds = window_seconds(l, d);
    for (int i = 0; i < l->hours->count && seconds > 0 && runs_on(l->load, d->date); i++)
        lay_clipped(l->out, d->stretch, utc_of(d, l->hours->from_min[i]), utc_of(d, l->hours->to_min[i]),
                    l->energy_wh * 3600.0 / (double)seconds);
}

/* Fractional uses run on some days: as many as the running sum passes whole numbers. Counted from a fixed
   date, so that a trip does not depend on where it is cut. A sum that is whole but for rounding is whole: no
   binary fraction is 0.41, and 19300 times the nearest one rounds to below 7913. */
#define WHOLE_BUT_FOR_ROUNDING 1e-7

static double passed_by(double uses, int64_t date)
{
    return floor((double)date * uses + WHOLE_BUT_FOR_ROUNDING);
}

static int uses_on(double uses, int64_t date)
{
    return (int)(passed_by(uses, date + 1) - passed_by(uses, date));
}

/* Minute at which the middle of use `i` of `count` lies when they are spread over the hours. */
static int spread_minute(const sw_windows *hours, int i, int count)
{
    int total = 0;
    for (int w = 0; w < hours->count; w++)
        total += hours->to_min[w] - hours->from_min[w];
    int at = (int)((i + 0.5) * total / count);
    for (int w = 0; w < hours->count; w++) {
        int length = hours->to_min[w] - hours->from_min[w];
        if (at < length)
            return hours->from_min[w] + at;
        at -= length;
    }
    return hours->to_min[hours->count - 1];
}

/* UTC at which a use begins on a clock: at its time, or spread with its middle at a minute. */
static int64_t use_begin(const laying *l, const sw_zone *zone, int64_t date, int i, int count)
{
    const sw_times *at = l->load->at;
    int minute = at != NULL ? at->at_min[i] : spread_minute(l->hours, i, count);
    int64_t utc;
    sw_zone_to_utc(zone, date * DAY_S + (int64_t)minute * 60, &utc);
    return at != NULL ? utc : utc - (int64_t)(0.5 * l->load->each_s);
}

static uint8_t *done_on(laying *l, int64_t date)
{
    done_uses *done = &l->done[date - sw_floor_div(date, DATES_AT_ONCE) * DATES_AT_ONCE];
    if (done->date != date)
        *done = (done_uses){.date = date};
    return done->use;
}

/* A daily use runs once, whatever the clocks do: not again where a change of zone on the road turns the clock
   back, and on arrival where the new clock has passed a time that the old one had not reached. */
static void lay_uses(void *context, const local_date *d)
{
    laying *l = context;
    const sw_stretch *s = d->stretch;
    int count = runs_on(l->load, d->date) ? uses_on(l->load->uses, d->date) : 0;
    uint8_t *done = done_on(l, d->date);
    for (int i = 0; i < count; i++) {
        int64_t from = use_begin(l, s->zone, d->date, i, count);
        if (!d->first_stretch && from < s->start_s &&
            use_begin(l, (s - 1)->zone, d->date, i, count) >= s->start_s)
            from = s->start_s;
        if (done[i] || from < s->start_s || from >= s->end_s)
            continue;
        done[i] = 1;
        lay(l->out, from, from + (int64_t)l->load->each_s, l->power_w);
    }
}

// ---- conditions ----

/* A flag that a condition wants set, and one that it wants clear. */
static const struct {
    unsigned when;
    uint8_t flag;
    int wanted;
} conditions[] = {
    {SW_WHEN_PARKED, SW_STEP_DRIVING, 0}, {SW_WHEN_DRIVING, SW_STEP_DRIVING, 1},
    {SW_WHEN_SHORE, SW_STEP_SHORE, 1},    {SW_WHEN_OFF_GRID, SW_STEP_SHORE, 0},
    {SW_WHEN_DARK, SW_STEP_DARK, 1},      {SW_WHEN_LIGHT, SW_STEP_DARK, 0},
};

static int met(const sw_load_spec *load, const step_facts *facts, int32_t i)
{
    if (((facts->flags[i] & SW_STEP_STORED) != 0 && !load->stored) || (facts->flags[i] & SW_STEP_CUT) != 0)
        return 0;
    for (size_t k = 0; k < sizeof conditions / sizeof conditions[0]; k++)
        if ((load->when & conditions[k].when) != 0 &&
            ((facts->flags[i] & conditions[k].flag) != 0) != conditions[k].wanted)
            return 0;
    // Written so that a limit that is not given (NAN) never forbids.
    return !(facts->air_c[i] <= load->outside_above_c) && !(facts->air_c[i] >= load->outside_below_c) &&
           !(facts->cabin_c[i] <= load->cabin_above_c) && !(facts->cabin_c[i] >= load->cabin_below_c);
}

// ---- entry points ----

static void lay_load(const layer *out, const sw_load_spec *load, double bank_v)
{
    laying l = {.out = out, .load = load, .hours = load->hours != NULL ? load->hours : &all_day};
    for (int i = 0; i < DATES_AT_ONCE; i++)
        l.done[i].date = INT64_MIN;
    l.power_w = load->power_w * load->count;
    l.energy_wh = (isnan(load->per_day_wh) ? load->per_day_ah * bank_v : load->per_day_wh) * load->count;
    switch (load->kind) {
    case SW_LOAD_STEADY:
        each_date(out->it, lay_steady, &l);
        break;
    case SW_LOAD_USE:
    case SW_LOAD_HOT_WATER:
        each_date(out->it, lay_uses, &l);
        break;
    case SW_LOAD_MEASURED:
        each_date(out->it, lay_measured, &l);
        break;
    default:
        break; // a fridge follows the cabin, in the march; thermostats stand in thermostats.c
    }
}

sw_status sw_schedule_load(const sw_load_spec *load, double bank_v, const sw_itinerary *it,
                           const step_facts *facts, int32_t steps, int32_t step_s, double *mean_w,
                           double *peak_w, double *long_w)
{
    sw_runs on = {0};
    layer out = {it, steps, step_s, mean_w, peak_w, long_w != NULL ? &on : NULL};
    double duty = load->kind == SW_LOAD_MEASURED ? 1.0 : load->duty;
    lay_load(&out, load, bank_v);
    for (int32_t i = 0; i < steps; i++) {
        double is_on = met(load, facts, i) ? 1.0 : 0.0;
        mean_w[i] *= is_on * duty;
        peak_w[i] = fmax(peak_w[i] * is_on, mean_w[i]);
    }
    sw_runs_join(&on);
    if (long_w != NULL)
        sw_runs_long(&on, it->start_s, steps, step_s, peak_w, long_w);
    sw_status status = on.short_of_memory ? SW_NO_MEMORY : SW_OK;
    sw_runs_free(&on);
    return status;
}

void sw_schedule_windows(const sw_windows *windows, const sw_itinerary *it, int32_t steps, int32_t step_s,
                         double *share)
{
    layer out = {it, steps, step_s, share, NULL, NULL};
    sw_load_spec always = {.weekdays = 127};
    laying l = {.out = &out, .load = &always, .hours = windows != NULL ? windows : &all_day, .power_w = 1.0};
    each_date(it, lay_steady, &l);
}
