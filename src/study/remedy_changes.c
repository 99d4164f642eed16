// The catalogue of changes. Each kind has a row: how many of it a trip allows, and how one is done.
#include "study/remedy_changes.h"

#include "stillwatt/civil.h"
#include "stillwatt/sun.h"
#include "study/plan_copy.h"

#include <math.h>
#include <string.h>

#define DAY_S        86400
#define DEG          (180.0 / 3.14159265358979323846)
#define WORTH_SHARE  0.02 // of all that is asked: a smaller load is no remedy
#define NIGHT_FROM   (22 * 60)
#define NIGHT_TO     (7 * 60)
#define NOON_HOUR    (15 * 60) // an hour of engine: in the afternoon, when nobody sleeps
#define ROUND_TRIP_M 50000.0
#define HOOKUP_FROM  (17 * 60)
#define HOOKUP_TO    (9 * 60)
#define DAYS_BEFORE  5  // the lowest hour, in which an hour of engine is tried
#define NIGHTS_MOST  21 // before it, in which a hookup is tried
#define WARMER_K     2.0
#define FREEZER_C    -12.0 // what keeps food frozen is not set warmer: common practice, no source
#define FLAT_DEG     5.0
#define STEEPEST_DEG 70.0
#define TURNS        8

// ---- what the trip says ----

static const sw_outcome *worst_of(const sw_rehearsal *r)
{
    return r->has_poor ? &r->poor : &r->outcome;
}

static int64_t local_s(const sw_rehearsal *r, int64_t utc_s)
{
    return sw_itinerary_local_s(r->course->itinerary, utc_s);
}

/* The stay whose time holds a part of a date on its own clock. @return leg, or -1 */
static int stay_holding(const sw_rehearsal *r, int64_t from_local_s, int64_t to_local_s)
{
    const sw_itinerary *it = r->course->itinerary;
    for (int i = 0; i < it->spans; i++)
        if (it->span[i].kind == SW_LEG_STAY && local_s(r, it->span[i].start_s) <= from_local_s &&
            r->plan->trip->leg[i].to_local_s >= to_local_s)
            return i;
    return -1;
}

static int64_t at_clock(int64_t date, int minute)
{
    return date * DAY_S + minute * (int64_t)60;
}

/* The date of the lowest hour; that of the day before where it lies before the afternoon. */
static int64_t last_useful_date(const sw_rehearsal *r, int minute)
{
    int64_t low_s = local_s(r, worst_of(r)->lowest_at_s);
    int64_t date = sw_floor_div(low_s, DAY_S);
    return low_s - date * DAY_S > minute * (int64_t)60 ? date : date - 1;
}

// ---- listing ----

/// A list that fills up.
typedef struct listing {
    const sw_rehearsal *r;
    sw_change *change;
    int count;
} listing;

static void add(listing *l, sw_change change)
{
    if (l->count < SW_CHANGES_MAX)
        l->change[l->count++] = change;
}

static int is_worth(const sw_rehearsal *r, int load)
{
    return !r->plan->van->load[load].medical &&
           r->trip.asked_wh[load] > WORTH_SHARE * r->trip.value[SW_LEDGER_ASKED];
}

static void list_halves(listing *l)
{
    for (int k = 0; k < l->r->plan->van->loads; k++) {
        int kind = l->r->plan->van->load[k].kind;
        int parts = kind == SW_LOAD_USE || kind == SW_LOAD_MEASURED || kind == SW_LOAD_STEADY;
        if (parts && is_worth(l->r, k) && l->r->plan->van->load[k].held != SW_MUST)
            add(l, (sw_change){.kind = SW_CHANGE_HALVE, .index = k});
    }
}

static void list_leavings(listing *l)
{
    for (int k = 0; k < l->r->plan->van->loads; k++)
        if (is_worth(l->r, k) && l->r->plan->van->load[k].held != SW_MUST)
            add(l, (sw_change){.kind = SW_CHANGE_LEAVE, .index = k});
}

static void list_set_points(listing *l)
{
    for (int k = 0; k < l->r->plan->van->loads; k++) {
        const sw_load_spec *load = &l->r->plan->van->load[k];
        if (!is_worth(l->r, k))
            continue;
        if (load->kind == SW_LOAD_FRIDGE && load->set_c > FREEZER_C)
            add(l, (sw_change){.kind = SW_CHANGE_SET, .index = k, .value = load->set_c + WARMER_K});
        if (load->kind == SW_LOAD_HEATER)
            add(l, (sw_change){.kind = SW_CHANGE_SET, .index = k, .value = load->keeps_c - WARMER_K});
        if (load->kind == SW_LOAD_EVAPORATIVE || load->kind == SW_LOAD_AIRCON || load->kind == SW_LOAD_FAN)
            add(l, (sw_change){.kind = SW_CHANGE_SET, .index = k, .value = load->keeps_c + WARMER_K});
    }
}

static void list_inverter(listing *l)
{
    const sw_inverter_spec *inverter = l->r->plan->van->inverter;
    for (int k = 0; k < l->r->plan->van->loads; k++)
        if (l->r->plan->van->load[k].medical && l->r->plan->van->load[k].bus == SW_BUS_AC)
            return;
    if (inverter != NULL && inverter->hours == NULL)
        add(l, (sw_change){.kind = SW_CHANGE_INVERTER, .from_min = NIGHT_FROM, .to_min = NIGHT_TO});
}

/* What an inverter that is off leaves out counts where health hangs on it. */
static void list_inverter_on(listing *l)
{
    const sw_inverter_spec *inverter = l->r->plan->van->inverter;
    for (int k = 0; k < l->r->plan->van->loads; k++)
        if (inverter != NULL && inverter->hours != NULL && l->r->plan->van->load[k].medical &&
            l->r->missed_wh[k][SW_MISSED_SWITCHED_OFF] > 0.0) {
            add(l, (sw_change){.kind = SW_CHANGE_ON});
            return;
        }
}

static void list_panels(listing *l)
{
    for (int a = 0; a < l->r->plan->van->arrays; a++)
        add(l,
            (sw_change){.kind = SW_CHANGE_PANELS, .index = a, .count = l->r->plan->van->array[a].in_series});
}

/* The tilt at which the noon sun of the middle of the trip falls on square, at its longest stay. */
static void list_tilts(listing *l)
{
    const sw_itinerary *it = l->r->course->itinerary;
    const sw_span *longest = &it->span[0];
    sw_sun_clock clock;
    for (int i = 0; i < it->spans; i++)
        if (it->span[i].end_s - it->span[i].start_s > longest->end_s - longest->start_s)
            longest = &it->span[i];
    if (sw_sun_clock_at((it->start_s + it->end_s) / 2, &clock) != SW_OK)
        return;
    double from_zenith = it->stop[longest->stop].lat_deg - clock.declination_rad * DEG;
    double tilt = fmin(fmax(floor(fabs(from_zenith) / 5.0 + 0.5) * 5.0, 10.0), STEEPEST_DEG);
    for (int a = 0; a < l->r->plan->van->arrays; a++) {
        const sw_array_spec *spec = &l->r->plan->van->array[a];
        if (spec->hours == NULL && spec->tilt_deg < FLAT_DEG)
            add(l, (sw_change){.kind = SW_CHANGE_TILT,
                               .index = a,
                               .value = tilt,
                               .toward_deg = from_zenith > 0.0 ? 180.0 : 0.0});
    }
}

static void list_turns(listing *l)
{
    int tilted = 0;
    for (int a = 0; a < l->r->plan->van->arrays; a++) {
        const sw_array_spec *spec = &l->r->plan->van->array[a];
        tilted = tilted || (spec->fixed_to == SW_FIXED_VAN && spec->tilt_deg >= FLAT_DEG);
    }
    for (int k = 0; tilted && k < TURNS; k++)
        add(l, (sw_change){.kind = SW_CHANGE_TURN, .value = 360.0 / TURNS * k});
}

static void list_open(listing *l)
{
    const sw_trip *trip = l->r->plan->trip;
    int shaded = 0;
    for (int i = 0; i < trip->legs; i++)
        shaded = shaded || trip->leg[i].shades > 0;
    if (shaded && l->r->plan->van->arrays > 0)
        add(l, (sw_change){.kind = SW_CHANGE_OPEN});
}

static void list_battery(listing *l)
{
    add(l, (sw_change){.kind = SW_CHANGE_BATTERY, .count = 1});
    if (l->r->plan->trip->start_soc < 0.995)
        add(l, (sw_change){.kind = SW_CHANGE_FULL});
    if (l->r->plan->van->battery.place == 1)
        add(l, (sw_change){.kind = SW_CHANGE_WARM});
}

/* What is meant to run while the van is laid up is switched off with all else; not what health hangs on. */
static void list_main_switch(listing *l)
{
    const sw_trip *trip = l->r->plan->trip;
    int on = 0;
    for (int i = 0; i < trip->legs; i++)
        on = on || (trip->leg[i].kind == SW_LEG_STORE && !trip->leg[i].disconnected);
    for (int k = 0; k < l->r->plan->van->loads; k++)
        on = on && !(l->r->plan->van->load[k].medical && l->r->plan->van->load[k].stored);
    if (on)
        add(l, (sw_change){.kind = SW_CHANGE_OFF});
}

/* An hour of engine on one of the days before the charge is lowest; idling not in quiet hours. */
static void list_engine(listing *l)
{
    const sw_trip *trip = l->r->plan->trip;
    int64_t last = last_useful_date(l->r, NOON_HOUR);
    for (int64_t date = last; date > last - DAYS_BEFORE && l->r->plan->van->alternator != NULL; date--) {
        int leg = stay_holding(l->r, at_clock(date, NOON_HOUR), at_clock(date, NOON_HOUR + 60));
        if (leg < 0)
            continue;
        const sw_windows *quiet = trip->place[trip->leg[leg].place].quiet_hours;
        sw_change change = {.kind = SW_CHANGE_DRIVE,
                            .leg = leg,
                            .date = date,
                            .from_min = NOON_HOUR,
                            .to_min = NOON_HOUR + 60};
        add(l, change);
        change.kind = SW_CHANGE_IDLE;
        if (quiet == NULL || (!sw_windows_hold(quiet, NOON_HOUR) && !sw_windows_hold(quiet, NOON_HOUR + 59)))
            add(l, change);
    }
}

static void list_hookups(listing *l)
{
    int64_t last = last_useful_date(l->r, HOOKUP_FROM);
    for (int64_t date = last; date > last - NIGHTS_MOST && l->r->plan->van->shore != NULL; date--) {
        int leg = stay_holding(l->r, at_clock(date, HOOKUP_FROM), at_clock(date + 1, HOOKUP_TO));
        if (leg >= 0 && isnan(l->r->plan->trip->leg[leg].shore_a))
            add(l, (sw_change){.kind = SW_CHANGE_HOOKUP,
                               .leg = leg,
                               .date = date,
                               .from_min = HOOKUP_FROM,
                               .to_min = 24 * 60 + HOOKUP_TO});
    }
}

int sw_changes_list(const sw_rehearsal *base, sw_change out[SW_CHANGES_MAX])
{
    static void (*const listers[])(listing *) = {
        list_halves,      list_leavings, list_set_points, list_inverter, list_inverter_on,
        list_panels,      list_tilts,    list_turns,      list_open,     list_battery,
        list_main_switch, list_engine,   list_hookups};
    listing l = {base, out, 0};
    for (size_t i = 0; i < sizeof listers / sizeof listers[0]; i++)
        listers[i](&l);
    return l.count;
}

// ---- doing ----

static const sw_windows by_day = {1, {NIGHT_TO}, {NIGHT_FROM}};

static int halve(const sw_change *c, const sw_rehearsal *base, sw_plan *copy)
{
    sw_load_spec *load = &copy->van->load[c->index];
    (void)base;
    load->duty *= 0.5;
    load->per_day_wh *= 0.5;
    load->per_day_ah *= 0.5;
    return 1;
}

static int leave(const sw_change *c, const sw_rehearsal *base, sw_plan *copy)
{
    (void)base;
    copy->van->load[c->index].count = 0;
    return 1;
}

static int set_point(const sw_change *c, const sw_rehearsal *base, sw_plan *copy)
{
    sw_load_spec *load = &copy->van->load[c->index];
    (void)base;
    *(load->kind == SW_LOAD_FRIDGE ? &load->set_c : &load->keeps_c) = c->value;
    return 1;
}

static int switch_off(const sw_change *c, const sw_rehearsal *base, sw_plan *copy)
{
    (void)c;
    (void)base;
    copy->van->inverter->hours = &by_day;
    return 1;
}

static int switch_on(const sw_change *c, const sw_rehearsal *base, sw_plan *copy)
{
    (void)c;
    (void)base;
    copy->van->inverter->hours = NULL;
    return 1;
}

static int add_panels(const sw_change *c, const sw_rehearsal *base, sw_plan *copy)
{
    (void)base;
    copy->van->array[c->index].panels += c->count;
    return 1;
}

static int tilt(const sw_change *c, const sw_rehearsal *base, sw_plan *copy)
{
    sw_array_spec *array = &copy->van->array[c->index];
    (void)base;
    array->tilt_deg = c->value;
    array->facing_deg = c->toward_deg;
    array->fixed_to = SW_FIXED_COMPASS;
    array->deployed = array->deployed == SW_DEPLOYED_PARKED ? SW_DEPLOYED_PARKED : SW_DEPLOYED_RAISED;
    return 1;
}

static int turn(const sw_change *c, const sw_rehearsal *base, sw_plan *copy)
{
    (void)base;
    for (int i = 0; i < copy->trip->legs; i++)
        if (copy->trip->leg[i].kind != SW_LEG_DRIVE)
            copy->trip->leg[i].heading_deg = c->value;
    return 1;
}

static int park_open(const sw_change *c, const sw_rehearsal *base, sw_plan *copy)
{
    (void)c;
    (void)base;
    for (int i = 0; i < copy->trip->legs; i++)
        copy->trip->leg[i].shades = 0;
    return 1;
}

static int add_battery(const sw_change *c, const sw_rehearsal *base, sw_plan *copy)
{
    (void)base;
    copy->van->battery.parallel += c->count;
    return 1;
}

static int fill(const sw_change *c, const sw_rehearsal *base, sw_plan *copy)
{
    (void)c;
    (void)base;
    copy->trip->start_soc = 1.0;
    return 1;
}

static int warm(const sw_change *c, const sw_rehearsal *base, sw_plan *copy)
{
    (void)c;
    (void)base;
    copy->van->battery.place = 0;
    return 1;
}

static int switch_all_off(const sw_change *c, const sw_rehearsal *base, sw_plan *copy)
{
    (void)c;
    (void)base;
    for (int i = 0; i < copy->trip->legs; i++)
        if (copy->trip->leg[i].kind == SW_LEG_STORE)
            copy->trip->leg[i].disconnected = 1;
    return 1;
}

/* The leg of a change's own hours; of two changes the other may have cut the stay already.
   @return its index, or -1 */
static int cut(const sw_change *c, const sw_rehearsal *base, sw_plan *copy)
{
    const sw_trip *trip = copy->trip;
    int64_t from = at_clock(c->date, c->from_min), to = at_clock(c->date, c->to_min);
    int64_t start = local_s(base, base->course->itinerary->span[0].start_s);
    for (int i = 0; i < trip->legs; i++) {
        const sw_leg *leg = &trip->leg[i];
        if (leg->from_local_s != SW_NO_TIME)
            start = leg->from_local_s;
        if (leg->kind == SW_LEG_STAY && leg->place == base->plan->trip->leg[c->leg].place && start <= from &&
            leg->to_local_s >= to)
            return sw_plan_cut(copy, i, start, from, to);
        start = leg->to_local_s;
    }
    return -1;
}

static int drive(const sw_change *c, const sw_rehearsal *base, sw_plan *copy)
{
    int leg = cut(c, base, copy);
    if (leg < 0)
        return 0;
    copy->trip->leg[leg].kind = SW_LEG_DRIVE;
    copy->trip->leg[leg].to_place = copy->trip->leg[leg].place;
    copy->trip->leg[leg].distance_m = ROUND_TRIP_M;
    copy->trip->leg[leg].idle_share = 0.15; // the default of a drive
    copy->trip->leg[leg].shades = 0;
    copy->trip->leg[leg].shore_a = copy->trip->leg[leg].shore_v = NAN;
    copy->trip->leg[leg].generator_hours = copy->trip->leg[leg].engine_hours = NULL;
    return 1;
}

static int idle(const sw_change *c, const sw_rehearsal *base, sw_plan *copy)
{
    static const sw_windows hour = {1, {NOON_HOUR}, {NOON_HOUR + 60}};
    int leg = cut(c, base, copy);
    if (leg >= 0)
        copy->trip->leg[leg].engine_hours = &hour;
    return leg >= 0;
}

static int plug_in(const sw_change *c, const sw_rehearsal *base, sw_plan *copy)
{
    const sw_shore_spec *inlet = copy->van->shore;
    int leg = cut(c, base, copy);
    if (leg < 0)
        return 0;
    copy->trip->leg[leg].shore_a = inlet->inlet_a;
    copy->trip->leg[leg].shore_v = inlet->inlet_v;
    copy->trip->leg[leg].shore_legs = inlet->hot_legs;
    copy->trip->leg[leg].shore_steady = sw_steady_share(inlet->inlet_v);
    copy->trip->leg[leg].generator_hours = NULL;
    return 1;
}

/// Kinds whose change the march alone feels keep the course.
static const struct {
    int (*done)(const sw_change *c, const sw_rehearsal *base, sw_plan *copy);
    int keeps_course;
} kinds[SW_CHANGE_KINDS] = {
    [SW_CHANGE_HALVE] = {halve, 0},         [SW_CHANGE_LEAVE] = {leave, 0},
    [SW_CHANGE_SET] = {set_point, 0},       [SW_CHANGE_INVERTER] = {switch_off, 0},
    [SW_CHANGE_PANELS] = {add_panels, 1},   [SW_CHANGE_TILT] = {tilt, 0},
    [SW_CHANGE_TURN] = {turn, 0},           [SW_CHANGE_OPEN] = {park_open, 0},
    [SW_CHANGE_BATTERY] = {add_battery, 1}, [SW_CHANGE_FULL] = {fill, 1},
    [SW_CHANGE_IDLE] = {idle, 0},           [SW_CHANGE_DRIVE] = {drive, 0},
    [SW_CHANGE_HOOKUP] = {plug_in, 0},      [SW_CHANGE_WARM] = {warm, 1},
    [SW_CHANGE_OFF] = {switch_all_off, 0},  [SW_CHANGE_ON] = {switch_on, 0},
};

int sw_change_do(const sw_change *change, const sw_rehearsal *base, sw_plan *copy)
{
    return kinds[change->kind].done(change, base, copy);
}

int sw_change_keeps_course(const sw_change *change)
{
    return kinds[change->kind].keeps_course;
}

void sw_change_burden(const sw_change *change, const sw_van *van, double *price, double *mass_kg)
{
    const sw_cost *cost = change->kind == SW_CHANGE_PANELS    ? &van->array[change->index].cost
                          : change->kind == SW_CHANGE_BATTERY ? &van->battery.cost
                                                              : NULL;
    int units = change->kind == SW_CHANGE_BATTERY ? change->count * van->battery.series : change->count;
    // What a tilt kit costs nobody has told.
    *price = cost != NULL ? cost->price * units : change->kind == SW_CHANGE_TILT ? NAN : 0.0;
    *mass_kg = cost != NULL ? cost->mass_kg * units : change->kind == SW_CHANGE_TILT ? NAN : 0.0;
}
