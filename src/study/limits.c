// What a system can do, by the march of the rehearsal on parts of its forcing: without sources, with one
// source alone, from a sunset on.
#include "stillwatt/limits.h"

#include "files/arena.h"
#include "stillwatt/civil.h"
#include "study/lanes.h"

#include <math.h>
#include <string.h>

#define DAY_S       86400
#define NIGHTS_MOST 60
#define REFILL_DAYS 10
#define REFILL_TO                                                                                            \
    0.8 // from there on a charge tapers, and costs time that nobody has: common practice, no source
#define FULL   0.99 // as lead comes to it in a day or two; the last percent takes it many (the same)
#define ROUNDS 3    // each halves the mark's bracket three times

/// What all of it needs.
typedef struct search {
    sw_limits *out;
    const sw_rehearsal *r;
    sw_arena *arena;
    int32_t day_first, day_steps; // of the ordinary day
    double *zeros;                // as many as the forcing has steps, and as a day has
} search;

// ---- parts of a forcing ----

static void cut_column(double **column, int32_t first)
{
    *column += first;
}

/* A view: the columns are those of the whole. */
static sw_forcing part_of(const sw_forcing *whole, int32_t first, int32_t steps)
{
    sw_forcing f = *whole;
    double **columns[] = {&f.air_c,      &f.cabin_c,     &f.ghi_w_m2,    &f.cruise_share,
                          &f.idle_share, &f.engine_cold, &f.pedestal_va, &f.pedestal_steady_share};
    f.steps = steps;
    f.start_s += (int64_t)first * f.step_s;
    f.flags += first;
    for (size_t i = 0; i < sizeof columns / sizeof columns[0]; i++)
        cut_column(columns[i], first);
    for (int a = 0; a < f.arrays; a++) {
        cut_column(&f.yield[a], first);
        cut_column(&f.cell_c[a], first);
    }
    for (int held = 0; held < SW_HELD_COUNT; held++) {
        cut_column(&f.peak_w[held], first);
        cut_column(&f.dc_peak_w[held], first);
        cut_column(&f.steady_w[held], first);
        for (int bus = 0; bus < SW_BUS_COUNT; bus++)
            cut_column(&f.load_w[bus][held], first);
    }
    return f;
}

static void without_sun(const search *s, sw_forcing *f)
{
    for (int a = 0; a < f->arrays; a++)
        f->yield[a] = s->zeros;
}

static void without_engine(const search *s, sw_forcing *f)
{
    f->cruise_share = f->idle_share = f->engine_cold = s->zeros;
}

/* A column of the view's own, so that it can be changed. @return 0 without memory */
static int own_column(const search *s, double **column, int32_t steps)
{
    double *copy = sw_arena_alloc(s->arena, (size_t)steps * sizeof *copy);
    if (copy != NULL)
        memcpy(copy, *column, (size_t)steps * sizeof *copy);
    *column = copy;
    return copy != NULL;
}

/* What is asked for at a hookup only is not asked for without one. @return 0 without memory */
static int leave_out(const search *s, int load, sw_forcing *f)
{
    const sw_load_spec *spec = &s->r->plan->van->load[load];
    double **mean = &f->load_w[spec->bus][spec->held],
           **peak = &(spec->bus == SW_BUS_AC ? f->peak_w : f->dc_peak_w)[spec->held];
    const double *asked_w = s->r->course->asked_w[load] + s->day_first;
    double full_w = isfinite(spec->power_w) ? spec->power_w * spec->count : 0.0;
    double **steady = &f->steady_w[spec->held];
    if (!own_column(s, mean, f->steps) || !own_column(s, peak, f->steps) || !own_column(s, steady, f->steps))
        return 0;
    for (int32_t i = 0; i < f->steps; i++) {
        double at_once_w = asked_w[i] > 0.0 ? fmax(full_w, asked_w[i]) : 0.0;
        (*mean)[i] = fmax(0.0, (*mean)[i] - asked_w[i]);
        (*peak)[i] = fmax((*mean)[i], (*peak)[i] - at_once_w);
        (*steady)[i] = spec->bus == SW_BUS_AC ? fmax(0.0, (*steady)[i] - at_once_w) : (*steady)[i];
    }
    return 1;
}

static int is_of_hookup(const search *s, int load)
{
    return SW_LOAD_OF_HOOKUP(&s->r->plan->van->load[load]) && s->r->course->asked_w[load] != NULL;
}

/* @param f the ordinary day @return 0 without memory */
static int without_hookup(const search *s, sw_forcing *f)
{
    f->pedestal_va = f->pedestal_steady_share = s->zeros;
    for (int k = 0; k < s->r->course->loads; k++)
        if (is_of_hookup(s, k) && !leave_out(s, k, f))
            return 0;
    return 1;
}

static void without_loads(const search *s, sw_forcing *f, sw_variant *variant)
{
    for (int held = 0; held < SW_HELD_COUNT; held++) {
        f->peak_w[held] = f->dc_peak_w[held] = f->steady_w[held] = s->zeros;
        for (int bus = 0; bus < SW_BUS_COUNT; bus++)
            f->load_w[bus][held] = s->zeros;
    }
    variant->thermals = 0;
    variant->inverter_w = 0.0;
}

// ---- the ordinary day ----

/* What a full battery would serve without a hookup; AC that nothing gives, or that trips, it would not serve
   either. */
static double use_of(const search *s, const sw_account *a)
{
    double wh = a->value[SW_LEDGER_SERVED] + a->missed_wh;
    for (int k = 0; k < s->r->course->loads; k++)
        wh -= is_of_hookup(s, k) ? a->served_wh[k] : 0.0;
    return wh;
}

/* All of it in one stay. */
static int is_parked(const sw_itinerary *it, int64_t from_s, int64_t to_s)
{
    for (int i = 0; i < it->spans; i++)
        if (it->span[i].start_s <= from_s && it->span[i].end_s >= to_s)
            return it->span[i].kind == SW_LEG_STAY;
    return 0;
}

#define ROUNDING_WH 1e-6 // sums of the same in another order (numerics)

/* A generator feeds the inlet too, and is no hookup. */
static int is_plugged(const sw_account *day)
{
    const double *v = day->value;
    return v[SW_LEDGER_SHORE_AC] + v[SW_LEDGER_CHARGER_IN] > v[SW_LEDGER_GENERATOR] + ROUNDING_WH;
}

/* The whole parked day whose use is nearest to the mean day's. A day at a hookup has habits of its own, and
   is taken where there is no other. */
static sw_status find_ordinary_day(search *s, sw_messages *messages)
{
    const sw_itinerary *it = s->r->course->itinerary;
    const sw_forcing *f = &s->r->course->forcing[0];
    double mean = use_of(s, &s->r->trip) / (double)(s->r->trip.end_s - s->r->trip.start_s) * DAY_S;
    double nearest = INFINITY;
    int has_free = 0;
    for (int d = 0; d < s->r->days; d++) {
        const sw_account *day = &s->r->day[d];
        double off = fabs(use_of(s, day) - mean);
        int is_free = !is_plugged(day);
        if (day->end_s - day->start_s != DAY_S || !is_parked(it, day->start_s, day->end_s) ||
            is_free < has_free || (is_free == has_free && off >= nearest))
            continue;
        nearest = off;
        has_free = is_free;
        s->day_first = (int32_t)((day->start_s - f->start_s) / f->step_s);
        s->out->ordinary_day = d;
    }
    s->day_steps = DAY_S / f->step_s;
    return isfinite(nearest) ? SW_OK
                             : sw_error(messages, SW_BAD_INPUT,
                                        &(sw_where){.file = s->r->plan->trip->file, .path = "/legs"},
                                        "add a stay from before one midnight to after the next",
                                        "no whole day of this trip is spent in one place");
}

// ---- marching until something happens ----

/// Waits for a charge, upwards or downwards.
typedef struct watch {
    double line;
    int upwards;
    int32_t steps, met; // met: steps until the charge is there, -1: not yet
    int32_t day_steps;
    double drawn_w; // mean of what left the battery on the first day, or until the charge was there
    int blocked;    // cold held charging back before it was there
    int frozen;     // in its last step the battery was too cold to give anything
    double stop_c;  // at which nothing is given
} watch;

/* Downwards the charge may be short of what is asked before the line is met. */
static void look(void *context, int32_t step, const sw_tile_flow *flow)
{
    watch *w = context;
    (void)step;
    int there = w->upwards ? flow->soc[0] >= w->line : flow->soc[0] < w->line || sw_lanes_miss(flow, 0, 1);
    if (w->met < 0 && w->steps < w->day_steps)
        w->drawn_w += (0.0 - flow->stored_w[0] - w->drawn_w) / (w->steps + 1);
    if (w->met < 0) {
        w->blocked = w->blocked || flow->cold_blocked_w[0] > 0.0;
        w->frozen = flow->battery_c[0] <= w->stop_c;
    }
    w->met = there && w->met < 0 ? w->steps : w->met;
    w->steps++;
}

/* Marches a day over and over until the charge is there, or for so many days. */
static watch march_until(const sw_forcing *day, const sw_variant *variant, double line, int upwards, int days)
{
    sw_tile_plan plan;
    sw_tile_state state;
    watch w = {line, upwards, 0, -1, day->steps, 0.0, 0, 0, variant->discharge_stop_c};
    for (int lane = 0; lane < SW_TILE; lane++)
        sw_tile_set(&plan, &state, lane, variant, day->step_s);
    for (int d = 0; d < days && w.met < 0; d++)
        (void)sw_march(day, &plan, &state, look, &w);
    return w;
}

#define MANY_BANKS 64.0

/* What a day draws out of a battery that lasts for all of it: so many banks like the van's. */
static double drawn_on(const sw_forcing *day, const sw_variant *of, double reserve)
{
    sw_variant many = *of;
    many.rated_ah *= MANY_BANKS;
    many.discharge_limit_a *= MANY_BANKS;
    many.resistance_ohm /= MANY_BANKS;
    many.self_discharge_month /= MANY_BANKS;
    return march_until(day, &many, reserve, 0, 1).drawn_w;
}

static sw_status find_nights(search *s)
{
    sw_forcing day = part_of(&s->r->course->forcing[0], s->day_first, s->day_steps);
    sw_variant variant = s->r->variant;
    double reserve = s->r->plan->trip->reserve;
    without_sun(s, &day);
    without_engine(s, &day);
    if (!without_hookup(s, &day))
        return SW_NO_MEMORY;
    variant.start_soc = 1.0;
    watch w = march_until(&day, &variant, reserve, 0, NIGHTS_MOST);
    int lasts_a_day = w.met < 0 || w.met >= s->day_steps;
    s->out->nights_cold = w.met >= 0 && w.frozen;
    s->out->nights = w.met < 0 ? INFINITY : (double)w.met / s->day_steps;
    s->out->use_wh = 24.0 * (lasts_a_day ? w.drawn_w : drawn_on(&day, &variant, reserve));
    return SW_OK;
}

// ---- refilling ----

static double *constant(search *s, double value)
{
    double *column = sw_arena_alloc(s->arena, (size_t)s->day_steps * sizeof *column);
    for (int32_t i = 0; column != NULL && i < s->day_steps; i++)
        column[i] = value;
    return column;
}

/* Steps of the ordinary day before its first light: hours of sun count from sunrise. */
static int32_t dark_steps(const search *s)
{
    const uint8_t *flags = s->r->course->forcing[0].flags + s->day_first;
    int32_t dark = 0;
    while (dark < s->day_steps && (flags[dark] & SW_STEP_DARK) != 0)
        dark++;
    return dark;
}

/* A day with one source and nothing else. @return 0 without memory */
static int refill_day(search *s, sw_refill source, sw_forcing *day, sw_variant *variant)
{
    *day = part_of(&s->r->course->forcing[source == SW_REFILL_POOR_SUN ? SW_OUTLOOK_POOR : SW_OUTLOOK_MAIN],
                   s->day_first, s->day_steps);
    without_loads(s, day, variant);
    without_engine(s, day);
    day->pedestal_va = day->pedestal_steady_share = s->zeros;
    if (source == SW_REFILL_DRIVE || source == SW_REFILL_HOOKUP)
        without_sun(s, day);
    uint8_t *flags = sw_arena_alloc(s->arena, (size_t)s->day_steps);
    if (source == SW_REFILL_DRIVE)
        day->cruise_share = constant(s, 1.0);
    if (source == SW_REFILL_HOOKUP) {
        day->pedestal_va = constant(s, variant->inlet_va);
        day->pedestal_steady_share = constant(s, sw_steady_share(s->r->plan->van->shore->inlet_v));
    }
    if (flags == NULL || day->cruise_share == NULL || day->pedestal_va == NULL ||
        day->pedestal_steady_share == NULL)
        return 0;
    memset(flags, source == SW_REFILL_HOOKUP ? SW_STEP_SHORE : 0, (size_t)s->day_steps);
    day->flags = flags;
    return 1;
}

static int has_source(const search *s, sw_refill source)
{
    const sw_van *van = s->r->plan->van;
    switch (source) {
    case SW_REFILL_DRIVE:
        return van->alternator != NULL;
    case SW_REFILL_HOOKUP:
        return van->shore != NULL;
    case SW_REFILL_SUN:
        return van->arrays > 0;
    default:
        return van->arrays > 0 && s->r->has_poor;
    }
}

static sw_status find_refills(search *s)
{
    s->out->from = s->r->plan->trip->reserve;
    s->out->to = s->out->from < REFILL_TO ? REFILL_TO : FULL;
    for (int k = 0; k < SW_REFILLS; k++) {
        sw_variant variant = s->r->variant;
        sw_forcing day;
        s->out->refill_h[k] = NAN;
        if (!has_source(s, (sw_refill)k))
            continue;
        if (!refill_day(s, (sw_refill)k, &day, &variant))
            return SW_NO_MEMORY;
        variant.start_soc = s->out->from;
        watch w = march_until(&day, &variant, s->out->to, 1, REFILL_DAYS);
        s->out->refill_cold[k] = w.blocked;
        int32_t before = k == SW_REFILL_SUN || k == SW_REFILL_POOR_SUN ? dark_steps(s) : 0;
        s->out->refill_h[k] = w.met < 0 ? INFINITY : (w.met + 1 - before) * (day.step_s / 3600.0);
    }
    return SW_OK;
}

// ---- evenings ----

/* The battery's temperature in the hour of a moment. */
static double battery_c(const sw_rehearsal *r, int64_t at_s)
{
    int h = 0;
    while (h + 1 < r->hours && r->hour[h].end_s <= at_s)
        h++;
    return r->hour[h].value[SW_LEDGER_BATTERY_C];
}

static int is_safe(const sw_outcome *o, double reserve)
{
    return o->short_wh <= 1e-9 && o->lowest_soc >= reserve; // what is too much at once no charge helps
}

/* The least of eight evenly spaced start charges that is safe, over and over between it and the one below.
   @return INFINITY where not even a full battery is */
static double mark_of(const search *s, const sw_forcing *coming)
{
    double low = s->r->plan->trip->reserve, high = 1.0, mark = INFINITY;
    for (int round = 0; round < ROUNDS; round++) {
        lanes l;
        double at[SW_TILE];
        int safe = SW_TILE;
        sw_lanes_begin(&l, coming, NULL);
        for (int k = 0; k < SW_TILE; k++) {
            sw_variant variant = s->r->variant;
            at[k] = low + (high - low) * (round == 0 ? k : k + 1) / (round == 0 ? SW_TILE - 1 : SW_TILE);
            variant.start_soc = at[k];
            variant.start_c = battery_c(s->r, coming->start_s);
            sw_lanes_add(&l, s->r->plan, &variant);
        }
        (void)sw_lanes_march(&l, sw_lanes_take, &l);
        for (int k = SW_TILE - 1; k >= 0; k--) {
            sw_outcome o = sw_lanes_outcome(&l, k);
            if (!is_safe(&o, s->r->plan->trip->reserve))
                break;
            safe = k;
        }
        if (safe == SW_TILE)
            return mark;
        mark = at[safe];
        if (round == 0 && safe == 0)
            return mark;
        high = at[safe];
        low = safe > 0 ? at[safe - 1] : low;
    }
    return mark;
}

static sw_status find_evenings(search *s)
{
    s->out->by_poor_week = s->r->has_poor;
    const sw_forcing *f = &s->r->course->forcing[s->r->has_poor ? SW_OUTLOOK_POOR : SW_OUTLOOK_MAIN];
    s->out->evening =
        sw_arena_alloc(s->arena, (size_t)(s->r->course->itinerary->days + 2) * sizeof *s->out->evening);
    if (s->out->evening == NULL)
        return SW_NO_MEMORY;
    for (int32_t i = 1;
         i + s->day_steps / 2 < f->steps && s->out->evenings < s->r->course->itinerary->days + 2; i++) {
        int sets = (f->flags[i] & SW_STEP_DARK) != 0 && (f->flags[i - 1] & SW_STEP_DARK) == 0;
        if (!sets || (f->flags[i] & SW_STEP_STORED) != 0)
            continue;
        int32_t steps = f->steps - i < s->day_steps ? f->steps - i : s->day_steps;
        sw_forcing coming = part_of(f, i, steps);
        s->out->evening[s->out->evenings++] = (sw_evening){coming.start_s, mark_of(s, &coming)};
    }
    return SW_OK;
}

// ---- making ----

void sw_limits_free(sw_limits *limits)
{
    if (limits != NULL)
        sw_arena_free(limits->owner);
}

sw_status sw_find_limits(const sw_rehearsal *of, sw_messages *messages, sw_limits **out)
{
    search s = {.r = of, .arena = sw_arena_create()};
    size_t columns = (size_t)of->course->forcing[0].steps + DAY_S / 60;
    *out = NULL;
    s.out = s.arena != NULL ? sw_arena_alloc(s.arena, sizeof *s.out) : NULL;
    s.zeros = s.out != NULL ? sw_arena_alloc(s.arena, columns * sizeof *s.zeros) : NULL;
    sw_status status = s.zeros != NULL ? SW_OK : SW_NO_MEMORY;
    if (status == SW_OK) {
        *s.out = (sw_limits){.of = of, .owner = s.arena};
        status = find_ordinary_day(&s, messages);
    }
    if (status == SW_OK) {
        sw_find_clashes(of, &s.out->clashes);
        status = find_nights(&s);
    }
    if (status == SW_OK)
        status = find_refills(&s);
    if (status == SW_OK)
        status = find_evenings(&s);
    if (status != SW_OK) {
        sw_arena_free(s.arena);
        return status == SW_NO_MEMORY
                   ? sw_error(messages, SW_NO_MEMORY, NULL, NULL, "there is not enough memory for the limits")
                   : status;
    }
    *out = s.out;
    return SW_OK;
}
