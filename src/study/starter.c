// The starter battery, hour by hour.
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

static int engine_runs(const sw_course *course, int64_t from_s, int64_t to_s)
{
    const sw_forcing *f = &course->forcing[0];
    int32_t first = (int32_t)((from_s - f->start_s) / f->step_s);
    int32_t end = (int32_t)((to_s - f->start_s + f->step_s - 1) / f->step_s);
    for (int32_t i = first; i < end && i < f->steps; i++)
        if (f->cruise_share[i] + f->idle_share[i] > RESTING_LEAST)
            return 1;
    return 0;
}

/* Cold locks the same share of its capacity as of a house battery's. */
static int can_start(const starter *s, double air_c)
{
    double locked = 1.0 - sw_curve_at(&s->cells->capacity_share, air_c);
    return s->charge_ah / s->capacity_ah - locked >= s->spec->needs - 1e-9;
}

static void rest(starter *s, const sw_account *hour, double hours)
{
    double lost_ah =
        (s->spec->drain_w / NOMINAL_V + s->charge_ah * s->cells->self_discharge_month / MONTH_H) * hours;
    double put_in_ah =
        s->spec->kept_by >= 0 ? LEAD_TAKES * hour->served_wh[s->spec->kept_by] / FILLING_V : 0.0;
    s->charge_ah = fmin(fmax(s->charge_ah - lost_ah + put_in_ah, 0.0), s->capacity_ah);
}

static void fill(starter *s, double hours)
{
    double missing_ah = s->capacity_ah - s->charge_ah;
    s->charge_ah = s->capacity_ah - missing_ah * exp(-hours / s->cells->acceptance_h);
}

void sw_starter_run(const sw_plan *plan, const sw_course *course, const sw_account *hour, int hours,
                    sw_starter_finding *out)
{
    const sw_starter_spec *spec = plan->van->starter;
    *out = (sw_starter_finding){.fails_at_s = INT64_MIN};
    if (spec == NULL || hours == 0)
        return;
    starter s = {spec, sw_chemistry_of(SW_AGM), spec->charge * spec->capacity_ah, spec->capacity_ah};
    int ran = 0;
    out->has = 1;
    out->start = out->lowest = spec->charge;
    out->lowest_at_s = hour[0].start_s;
    for (int h = 0; h < hours; h++) {
        double length_h = (double)(hour[h].end_s - hour[h].start_s) / 3600.0;
        double air_c = hour[h].value[SW_LEDGER_AIR];
        int runs = engine_runs(course, hour[h].start_s, hour[h].end_s);
        if (runs && !ran) {
            out->starts++;
            if (!can_start(&s, air_c) && out->fails_at_s == INT64_MIN) {
                out->fails_at_s = hour[h].start_s;
                out->fails_charge = s.charge_ah / s.capacity_ah;
                out->fails_c = air_c;
            }
        }
        if (runs)
            fill(&s, length_h);
        else
            rest(&s, &hour[h], length_h);
        ran = runs;
        if (s.charge_ah / s.capacity_ah < out->lowest) {
            out->lowest = s.charge_ah / s.capacity_ah;
            out->lowest_at_s = hour[h].end_s;
        }
    }
    out->end = s.charge_ah / s.capacity_ah;
    out->starts_at_end = can_start(&s, hour[hours - 1].value[SW_LEDGER_AIR]);
}
