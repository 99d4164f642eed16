// A rehearsal from beginning to end: course, march, ledger, findings.
#include "stillwatt/rehearsal.h"

#include "study/lanes.h"
#include "study/ledger.h"
#include "study/rehearsal_weights.h"

#include <math.h>
#include <string.h>

// ---- marching ----

/// The ledger and the outcome of one march.
typedef struct account {
    ledger ledger;
    lanes lanes;
} account;

static void take(void *context, int32_t step, const sw_tile_flow *flow)
{
    account *a = context;
    sw_ledger_take(&a->ledger, step, flow);
    sw_lanes_take(&a->lanes, step, flow);
}

/* @return as sw_march, or SW_NO_MEMORY */
static sw_status march_account(const sw_rehearsal *r, sw_outlook outlook, sw_arena *arena, account *a)
{
    const sw_forcing *forcing = &r->course->forcing[outlook];
    sw_status status = sw_ledger_open(&a->ledger, arena, r->plan, r->course);
    if (status != SW_OK)
        return status;
    a->ledger.forcing = forcing;
    sw_lanes_begin(&a->lanes, forcing, r->course);
    sw_lanes_add(&a->lanes, r->plan, &r->variant);
    return sw_lanes_march(&a->lanes, take, a);
}

static sw_status gather_days(sw_rehearsal *r, sw_arena *arena)
{
    int loads = r->course->loads;
    r->days = r->course->itinerary->days;
    r->day = sw_arena_alloc(arena, (size_t)r->days * sizeof *r->day);
    r->day_finding = sw_arena_alloc(arena, (size_t)r->days * sizeof *r->day_finding);
    if (r->day == NULL || r->day_finding == NULL || sw_account_room(arena, loads, &r->trip) != SW_OK)
        return SW_NO_MEMORY;
    int filled = 0;
    for (int from = 0; from < r->hours;) {
        int to = from;
        while (to < r->hours && r->hour[to].day == r->hour[from].day)
            to++;
        if (sw_account_room(arena, loads, &r->day[filled]) != SW_OK)
            return SW_NO_MEMORY;
        sw_account_gather(&r->day[filled++], &r->hour[from], to - from, loads);
        from = to;
    }
    r->days = filled; // a last day shorter than a step has no row of its own
    sw_account_gather(&r->trip, r->hour, r->hours, loads);
    return SW_OK;
}

static sw_status find_nights(sw_rehearsal *r, sw_arena *arena)
{
    int loads = r->course->loads;
    r->medical = sw_arena_alloc(arena, (size_t)loads * sizeof *r->medical);
    for (int k = 0; r->medical != NULL && k < loads; k++) {
        if (!r->plan->van->load[k].medical)
            continue;
        sw_medical *device = &r->medical[r->medicals++];
        *device = (sw_medical){.load = k};
        device->night =
            sw_arena_alloc(arena, (size_t)(r->course->itinerary->days + 2) * sizeof *device->night);
        if (device->night == NULL)
            return SW_NO_MEMORY;
        sw_medical_nights(&r->plan->van->load[k], r->course->itinerary, &r->variant, r->hour, r->hours,
                          device);
    }
    return r->medical != NULL ? SW_OK : SW_NO_MEMORY;
}

static sw_status march_main(sw_rehearsal *r, sw_arena *arena)
{
    account a;
    sw_status balance = march_account(r, SW_OUTLOOK_MAIN, arena, &a);
    if (balance == SW_NO_MEMORY)
        return balance;
    const ledger l = a.ledger;
    r->hour = l.hour;
    r->hours = l.hours;
    r->charge = l.charge;
    r->missed_wh = l.missed_wh;
    r->worst_imbalance = l.worst_imbalance;
    r->greatest_inverter_overload_w = l.inverter_overload_w;
    r->greatest_shore_overload_w = l.shore_overload_w;
    r->inverter_overload_at_s = l.inverter_overload_at_s;
    r->shore_overload_at_s = l.shore_overload_at_s;
    r->greatest_alternator_overload_a = l.alternator_overload_a;
    r->alternator_overload_at_s = l.alternator_overload_at_s;
    sw_tanks_run(r->plan, r->course->itinerary, r->hour, r->hours, r->course->itinerary->start_s, &r->tanks);
    sw_starter_run(r->plan, r->course, r->hour, r->hours, &r->starter);
    sw_status status = find_nights(r, arena);
    if (status == SW_OK)
        status = gather_days(r, arena);
    if (status != SW_OK)
        return status;
    r->outcome = sw_lanes_outcome(&a.lanes, 0);
    status = sw_weigh_assumptions(r, arena);
    return status == SW_OK ? balance : status;
}

/// The poor week's outcome, and what its days come to.
typedef struct poor_days {
    lanes lanes;
    sw_rehearsal *r;
    int day;
} poor_days;

static void take_poor(void *context, int32_t step, const sw_tile_flow *flow)
{
    poor_days *p = context;
    const sw_rehearsal *r = p->r;
    int64_t begin_s = p->lanes.forcing->start_s + (int64_t)step * p->lanes.forcing->step_s;
    double missed_wh = p->lanes.missed_wh[0], short_wh = p->lanes.short_wh[0];
    sw_lanes_take(&p->lanes, step, flow);
    while (p->day + 1 < r->days && r->day[p->day].end_s <= begin_s) // as the ledger has its hours
        p->day++;
    sw_day_finding *f = &r->day_finding[p->day];
    f->poor_missed_wh += p->lanes.missed_wh[0] - missed_wh;
    f->poor_short_wh += p->lanes.short_wh[0] - short_wh;
    if (!(flow->soc[0] >= f->poor_lowest)) { // NAN: the day's first step
        f->poor_lowest = flow->soc[0];
        f->poor_lowest_at_s = begin_s + p->lanes.forcing->step_s;
    }
}

static sw_status march_poor(sw_rehearsal *r)
{
    poor_days p = {.r = r};
    for (int d = 0; d < r->days; d++)
        r->day_finding[d].poor_lowest = NAN;
    if (r->course->outlooks < 2)
        return SW_OK;
    r->day_finding[0].poor_lowest = r->plan->trip->start_soc;
    r->day_finding[0].poor_lowest_at_s = r->course->itinerary->start_s;
    sw_lanes_begin(&p.lanes, &r->course->forcing[SW_OUTLOOK_POOR], r->course);
    sw_lanes_add(&p.lanes, r->plan, &r->variant);
    sw_status balance = sw_lanes_march(&p.lanes, take_poor, &p);
    r->has_poor = 1;
    r->poor = sw_lanes_outcome(&p.lanes, 0);
    return balance;
}

// ---- findings ----

static double length_h(const sw_account *span)
{
    return (double)(span->end_s - span->start_s) / 3600.0;
}

static void add_cause(sw_day_finding *f, sw_cause cause)
{
    int at = f->causes < SW_CAUSES_MAX ? f->causes++ : SW_CAUSES_MAX;
    for (int i = 0; i < at; i++) {
        if (cause.worse_wh > f->cause[i].worse_wh) {
            sw_cause smaller = f->cause[i];
            f->cause[i] = cause;
            cause = smaller;
        }
    }
    if (at < SW_CAUSES_MAX)
        f->cause[at] = cause;
}

#define CAUSE_LEAST_WH  20.0 // what is smaller is not worth a word
#define WHOLE_DAY_LEAST 20.0 // hours: a shorter day has no causes against a mean day, it has other hours

/* Against the trip's mean day. */
static void find_causes(const sw_rehearsal *r, const sw_account *day, sw_day_finding *f)
{
    static const sw_ledger_column sources[] = {SW_LEDGER_SOLAR_USED, SW_LEDGER_ALTERNATOR_USED,
                                               SW_LEDGER_CHARGER_IN};
    static const sw_ledger_column losses[] = {SW_LEDGER_INVERTER_LOSS, SW_LEDGER_RESISTANCE_LOSS,
                                              SW_LEDGER_COULOMBIC_LOSS};
    double share = length_h(day) / length_h(&r->trip);
    for (int i = 0; i < 3; i++) {
        double less = r->trip.value[sources[i]] * share - day->value[sources[i]];
        double more = day->value[losses[i]] - r->trip.value[losses[i]] * share;
        if (less > CAUSE_LEAST_WH)
            add_cause(f, (sw_cause){(int)sources[i], -1, less});
        // Where loads go unserved their losses are small for that reason, and say nothing.
        if (more > CAUSE_LEAST_WH && r->trip.missed_wh == 0.0)
            add_cause(f, (sw_cause){(int)losses[i], -1, more});
    }
    for (int k = 0; k < r->course->loads; k++) {
        double more = day->asked_wh[k] - r->trip.asked_wh[k] * share;
        if (more > CAUSE_LEAST_WH)
            add_cause(f, (sw_cause){-1, k, more});
    }
}

static void find_days(sw_rehearsal *r)
{
    for (int d = 0; d < r->days; d++) {
        r->day_finding[d].under =
            SW_IS_UNDER(r->day[d].value[SW_LEDGER_LOWEST] / 100.0, r->plan->trip->reserve);
        r->day_finding[d].balance_wh = r->day[d].value[SW_LEDGER_STORED];
        r->day_finding[d].missed_wh = r->day[d].missed_wh;
        r->day_finding[d].short_wh = r->day[d].missed_wh - r->day[d].rate_wh;
        if ((r->day_finding[d].under || r->day[d].missed_wh > 0.0) && length_h(&r->day[d]) >= WHOLE_DAY_LEAST)
            find_causes(r, &r->day[d], &r->day_finding[d]);
    }
}

/* The lowest hour of each day, tightest first. */
static void find_tight_hours(sw_rehearsal *r)
{
    int best_of_day = -1;
    for (int h = 0; h <= r->hours; h++) {
        if (h == r->hours || (best_of_day >= 0 && r->hour[h].day != r->hour[best_of_day].day)) {
            int candidate = best_of_day;
            for (int i = 0; i < SW_TIGHT_HOURS && candidate >= 0; i++) {
                int empty = i >= r->tight_hours;
                if (empty || r->hour[candidate].value[SW_LEDGER_LOWEST] <
                                 r->hour[r->tight[i]].value[SW_LEDGER_LOWEST]) {
                    int displaced = empty ? -1 : r->tight[i];
                    r->tight[i] = candidate;
                    r->tight_hours += empty;
                    candidate = displaced;
                }
            }
            best_of_day = -1;
        }
        if (h < r->hours && (best_of_day < 0 || r->hour[h].value[SW_LEDGER_LOWEST] <
                                                    r->hour[best_of_day].value[SW_LEDGER_LOWEST]))
            best_of_day = h;
    }
}

#define SLICES 64

/* Energy between two charges at rest, by the mean of the open-circuit voltage over them. */
static double stored_wh(const sw_rehearsal *r, double from, double to)
{
    const sw_chemistry_data *data = sw_chemistry_of(r->variant.chemistry);
    double sum_v = 0.0;
    for (int i = 0; i < SLICES; i++)
        sum_v += sw_curve_at(&data->open_circuit_v, from + (to - from) * (i + 0.5) / SLICES);
    return (to - from) * r->variant.rated_ah * r->variant.health * r->variant.units_12v * sum_v / SLICES;
}

/* Hours with the inverter switched on and a hookup in its place. */
static double replaced_h(const sw_forcing *f)
{
    double hours = 0.0;
    for (int32_t i = 0; i < f->steps; i++)
        if (f->pedestal_va[i] > 0.0 && (f->flags[i] & SW_STEP_INVERTER) != 0)
            hours += f->step_s / 3600.0;
    return hours;
}

/* What a hookup served, on AC or not, that is asked for at a hookup only. */
static double of_hookup_wh(const sw_rehearsal *r, int is_ac)
{
    double wh = 0.0;
    for (int k = 0; k < r->course->loads; k++) {
        const sw_load_spec *load = &r->plan->van->load[k];
        if (SW_LOAD_OF_HOOKUP(load) && (load->bus == SW_BUS_AC) == is_ac)
            wh += r->trip.served_wh[k];
    }
    return wh;
}

/* What the inverter would take besides if it had to carry what a hookup did: over its idle draw it loses at
   its best linear + sqrt(idle square) of it. */
static double inverter_instead_wh(const sw_rehearsal *r)
{
    const sw_inverter_curve *c = &r->variant.inverter;
    double carried_wh = fmax(0.0, r->trip.value[SW_LEDGER_SHORE_AC] - of_hookup_wh(r, 1));
    if (r->plan->van->inverter == NULL)
        return 0.0;
    return c->idle_w * replaced_h(&r->course->forcing[SW_OUTLOOK_MAIN]) +
           carried_wh * (c->linear + sqrt(c->idle_w * c->square_per_w));
}

/* What is left above the reserve line at the end, over a mean day's use: with no source all of it comes from
   the battery, what a hookup served included; a heater of the battery that waits for a charger then rests. */
static void find_autonomy(sw_rehearsal *r)
{
    const double *v = r->trip.value;
    double end = v[SW_LEDGER_CHARGE] / 100.0, reserve = r->plan->trip->reserve;
    r->usable_wh = stored_wh(r, reserve, 1.0);
    r->usable_wh_left = stored_wh(r, reserve, fmax(end, reserve));
    double use = v[SW_LEDGER_SERVED] - of_hookup_wh(r, 0) - of_hookup_wh(r, 1) + v[SW_LEDGER_INVERTER_LOSS] +
                 v[SW_LEDGER_CONTROLLER_SELF] + v[SW_LEDGER_SELF_LOSS] +
                 (r->variant.pad_needs_charger ? 0.0 : v[SW_LEDGER_PAD]) + inverter_instead_wh(r);
    double use_a_day = use / length_h(&r->trip) * 24.0;
    r->days_left = use_a_day > 0.0 ? r->usable_wh_left / use_a_day : INFINITY;
}

// ---- making ----

void sw_rehearsal_free(sw_rehearsal *r)
{
    if (r == NULL)
        return;
    sw_course_free(r->course);
    sw_arena_free(r->owner);
}

static void conclude(sw_rehearsal *r)
{
    find_days(r);
    find_tight_hours(r);
    find_autonomy(r);
}

sw_status sw_rehearse(const sw_plan *plan, const sw_loader *loader, int32_t step_s, sw_messages *messages,
                      sw_rehearsal **out)
{
    sw_arena *arena = sw_arena_create();
    sw_rehearsal *r = arena != NULL ? sw_arena_alloc(arena, sizeof *r) : NULL;
    *out = NULL;
    if (r == NULL) {
        sw_arena_free(arena);
        return sw_error(messages, SW_NO_MEMORY, NULL, NULL, "there is not enough memory for the rehearsal");
    }
    r->plan = plan;
    r->owner = arena;
    sw_status status = sw_course_make(plan, loader, step_s, messages, &r->course);
    if (status != SW_OK) {
        sw_rehearsal_free(r);
        return status;
    }
    sw_variant_of(plan, r->course, &r->variant);
    sw_status main_sky = march_main(r, arena);
    sw_status poor_sky = main_sky == SW_NO_MEMORY ? main_sky : march_poor(r);
    if (poor_sky == SW_NO_MEMORY) {
        sw_rehearsal_free(r);
        return sw_error(messages, SW_NO_MEMORY, NULL, NULL, "there is not enough memory for the rehearsal");
    }
    conclude(r);
    *out = r;
    return main_sky != SW_OK ? main_sky : poor_sky;
}
