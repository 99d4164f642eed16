// The starter battery, step by step.
#include "stillwatt/starter.h"

#include "stillwatt/battery.h"

#include <math.h>

#define NOMINAL_V     12.0
#define FILLING_V     13.5 // at which a maintainer holds it: typical, from memory
#define LEAD_TAKES    0.85 // coulombic, of a maintainer's charge: typical, from memory
#define MONTH_H       (30.0 * 24.0)
#define RESTING_LEAST 1e-9

typedef struct starter {
    const sw_starter_spec *spec;
    const sw_chemistry_data *cells;
    double charge_ah, capacity_ah;
} starter;

/* Cold locks the same share of its capacity as of a house battery's. */
static int can_start(const starter *s, double air_c)
{
    double locked = 1.0 - sw_curve_at(&s->cells->capacity_share, air_c);
    return s->charge_ah / s->capacity_ah - locked >= s->spec->needs - 1e-9;
}

/* What a load of the house puts in is spread over its hour. */
static void rest(starter *s, const sw_account *hour, double hours)
{
    double share = hours * 3600.0 / (double)(hour->end_s - hour->start_s);
    double lost_ah =
        (s->spec->drain_w / NOMINAL_V + s->charge_ah * s->cells->self_discharge_month / MONTH_H) * hours;
    double put_in_ah =
        s->spec->kept_by >= 0 ? share * LEAD_TAKES * hour->served_wh[s->spec->kept_by] / FILLING_V : 0.0;
    s->charge_ah = fmin(fmax(s->charge_ah - lost_ah + put_in_ah, 0.0), s->capacity_ah);
}

static void fill(starter *s, double hours)
{
    double missing_ah = s->capacity_ah - s->charge_ah;
    s->charge_ah = s->capacity_ah - missing_ah * exp(-hours / s->cells->acceptance_h);
}

static void start_engine(const starter *s, int64_t at_s, double air_c, sw_starter_finding *out)
{
    out->starts++;
    if (can_start(s, air_c) || out->fails_at_s != INT64_MIN)
        return;
    out->fails_at_s = at_s;
    out->fails_charge = s->charge_ah / s->capacity_ah;
    out->fails_c = air_c;
}

void sw_starter_run(const sw_plan *plan, const sw_course *course, const sw_account *hour, int hours,
                    sw_starter_finding *out)
{
    const sw_starter_spec *spec = plan->van->starter;
    *out = (sw_starter_finding){.fails_at_s = INT64_MIN};
    if (spec == NULL || hours == 0)
        return;
    starter s = {spec, sw_chemistry_of(SW_AGM), spec->charge * spec->capacity_ah, spec->capacity_ah};
    const sw_forcing *f = &course->forcing[0];
    double step_h = f->step_s / 3600.0, ran = 0.0;
    out->has = 1;
    out->start = out->lowest = spec->charge;
    out->lowest_at_s = hour[0].start_s;
    for (int32_t i = 0, h = 0; i < f->steps; i++) {
        int64_t at_s = f->start_s + (int64_t)i * f->step_s;
        while (h + 1 < hours && hour[h].end_s <= at_s)
            h++;
        double runs = f->cruise_share[i] + f->idle_share[i];
        runs = runs > RESTING_LEAST ? runs : 0.0;
        if (runs > 0.0 && ran == 0.0)
            start_engine(&s, at_s, f->air_c[i], out);
        fill(&s, runs * step_h);
        rest(&s, &hour[h], (1.0 - fmin(runs, 1.0)) * step_h);
        ran = runs;
        if (s.charge_ah / s.capacity_ah < out->lowest) {
            out->lowest = s.charge_ah / s.capacity_ah;
            out->lowest_at_s = at_s + f->step_s;
        }
    }
    out->end = s.charge_ah / s.capacity_ah;
    out->starts_at_end = can_start(&s, hour[hours - 1].value[SW_LEDGER_AIR]);
}
