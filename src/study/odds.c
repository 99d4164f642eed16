// The chance that a trip holds: many skies, each with a course of its own, on all cores; their outcomes in
// order.
#include "stillwatt/odds.h"

#include "files/arena.h"
#include "stillwatt/sky_years.h"
#include "study/lanes.h"
#include "study/plan_copy.h"
#include "study/plan_move.h"
#include "study/threads.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#define NORMAL_95    1.959963984540054 // standard normal deviate of 97.5 % (definition)
#define PILOT        64
#define DRAWS_MOST   10000 // more than any record has years
#define MONTH_DRAWS  100
#define REPORT_EVERY 16

// ---- shares ----

static double half_width(double share, double of)
{
    double z2 = NORMAL_95 * NORMAL_95;
    return NORMAL_95 * sqrt(share * (1.0 - share) / of + z2 / (4.0 * of * of)) / (1.0 + z2 / of);
}

sw_share sw_share_of(int count, int of)
{
    double share = (double)count / of, z2 = NORMAL_95 * NORMAL_95;
    double middle = (share + z2 / (2.0 * of)) / (1.0 + z2 / of), half = half_width(share, of);
    return (sw_share){count, of, share, fmax(0.0, middle - half), fmin(1.0, middle + half)};
}

/* Draws after which the interval is as narrow as wanted, for the share of the pilot's interval that is the
   hardest to tell. */
static int draws_for(const sw_share *pilot, double width)
{
    double hardest = fmin(fmax(0.5, pilot->low), pilot->high);
    int draws = PILOT;
    while (draws < DRAWS_MOST && 2.0 * half_width(hardest, draws) > width)
        draws += 1 + draws / 64;
    return draws < DRAWS_MOST ? draws : DRAWS_MOST;
}

// ---- one sky ----

/// What is drawn from.
typedef struct source {
    const sw_plan *plan;
    const sw_sky_years *years; // NULL: by chance
    int first_draw;
    sw_itinerary *itinerary; // of all drawn skies
    const sw_loader *loader;
    int32_t step_s;
    const sw_odds_ask *ask;
} source;

/* @return as sw_course_make */
static sw_status outcome_of(const source *from, int index, sw_messages *messages, sw_outcome *out)
{
    sw_sky_year_plan own;
    sw_course *course = NULL;
    if (from->years != NULL) {
        sw_sky_year_plan_make(from->years, index, &own);
    } else {
        own.plan = *from->plan;
        own.trip = *from->plan->trip;
        own.trip.sky.kind = SW_SKY_CHANCE;
        own.trip.sky.draw = from->first_draw + index;
        own.plan.trip = &own.trip;
    }
    sw_status status =
        sw_course_make_on(&own.plan, from->itinerary, from->loader, from->step_s, messages, &course);
    if (status != SW_OK)
        return status;
    lanes l;
    sw_lanes_begin(&l, &course->forcing[SW_OUTLOOK_MAIN], course);
    sw_lanes_add_plan(&l, &own.plan);
    status = sw_lanes_march(&l, sw_lanes_take, &l);
    *out = sw_lanes_outcome(&l, 0);
    sw_course_free(course);
    return status;
}

// ---- many ----

/// How many skies are done, of how many.
typedef struct progress {
    const sw_odds_ask *ask;
    int done, of;
} progress;

static void tell_progress(void *context)
{
    progress *p = context;
    p->done++;
    if (p->ask->progress != NULL && (p->done % REPORT_EVERY == 0 || p->done == p->of))
        p->ask->progress(p->ask->context, p->done, p->of);
}

/// Skies and the places that their outcomes go to, so that their order is that of the draws.
typedef struct drawing {
    const source *from;
    sw_outcome *out;
} drawing;

static sw_status draw_one(const void *context, int index, sw_messages *messages)
{
    const drawing *d = context;
    return outcome_of(d->from, index, messages, &d->out[index]);
}

static void close_source(source *from, sw_sky_years *years)
{
    from->years = NULL;
    sw_sky_years_free(years);
    sw_itinerary_free(from->itinerary);
    from->itinerary = NULL;
}

/* Draws from `first` to `last` - 1. */
static sw_status draw(const source *from, int first, int last, sw_messages *messages, sw_outcome *out)
{
    drawing d = {from, out};
    progress p = {from->ask, first, last};
    return sw_threads_do(&(sw_items){first, last, draw_one, &d, tell_progress, &p}, messages);
}

static sw_share share_that_holds(const sw_outcome *of, int count)
{
    int holds = 0;
    for (int i = 0; i < count; i++)
        holds += sw_is_enough(&of[i]);
    return sw_share_of(holds, count);
}

static int first_draw(const sw_odds_ask *ask)
{
    return ask->seed * SW_DRAWS_APART + 1;
}

static int is_of_years(const sw_plan *plan)
{
    return plan->trip->sky.kind == SW_SKY_HOURLY;
}

/* A typical year is one sky: its message says so. */
static sw_status open_source(source *from, sw_messages *messages, sw_sky_years **years)
{
    *years = NULL;
    from->itinerary = NULL;
    if (!is_of_years(from->plan))
        return sw_itinerary_make(from->plan, from->loader, from->step_s, messages, &from->itinerary);
    sw_status status = sw_sky_years_make(from->plan, from->loader, from->step_s, messages, years);
    from->years = *years;
    if (status == SW_OK && (*years)->years < 2)
        status = sw_error(messages, SW_BAD_INPUT, &from->plan->trip->sky.where,
                          "name a folder with a file for each year, or ask a sky of kind \"average\"",
                          "one year of weather tells no chance");
    return status;
}

// ---- the trip as it is planned ----

static int by_size(const void *a, const void *b)
{
    double x = *(const double *)a, y = *(const double *)b;
    return (x > y) - (x < y);
}

/* Straight lines between the sorted values. */
static void find_spread(sw_odds *odds, double *sorted)
{
    static const double shares[SW_ODDS_QUANTILES] = {0.05, 0.5, 0.95};
    for (int i = 0; i < odds->draws; i++) {
        sorted[i] = odds->draw[i].lowest_soc;
        odds->verdicts[odds->draw[i].verdict]++;
    }
    qsort(sorted, (size_t)odds->draws, sizeof *sorted, by_size);
    for (int q = 0; q < SW_ODDS_QUANTILES; q++) {
        double at = shares[q] * (odds->draws - 1);
        int below = (int)at, above = below + 1 < odds->draws ? below + 1 : below;
        odds->lowest_soc[q] = sorted[below] + (at - below) * (sorted[above] - sorted[below]);
    }
}

static sw_status no_memory(sw_messages *messages)
{
    return sw_error(messages, SW_NO_MEMORY, NULL, NULL, "there is not enough memory for the odds");
}

static sw_status draw_trip(source *from, sw_odds *odds, sw_messages *messages)
{
    sw_sky_years *years;
    odds->draw = sw_arena_alloc(odds->owner, DRAWS_MOST * sizeof *odds->draw);
    double *sorted = sw_arena_alloc(odds->owner, DRAWS_MOST * sizeof *sorted);
    if (odds->draw == NULL || sorted == NULL)
        return no_memory(messages);
    sw_status status = open_source(from, messages, &years);
    odds->draws = years != NULL ? years->years : PILOT;
    if (status == SW_OK)
        status = draw(from, 0, odds->draws, messages, odds->draw);
    if (status == SW_OK && years == NULL) {
        sw_share pilot = share_that_holds(odds->draw, PILOT);
        odds->draws = draws_for(&pilot, from->ask->width);
        status = draw(from, PILOT, odds->draws, messages, odds->draw);
    }
    if (status == SW_OK) {
        odds->holds = share_that_holds(odds->draw, odds->draws);
        find_spread(odds, sorted);
    }
    close_source(from, years);
    return status;
}

// ---- in every month ----

/* Dates on which a clock skips an hour of the trip, or that a record does not reach, leave their month out.
 */
static sw_status draw_month(const source *of, int month, sw_outcome *room, sw_arena *arena, sw_share *out)
{
    source from = *of;
    sw_messages *messages = sw_messages_create();
    sw_plan *copy = sw_plan_copy(of->plan, arena);
    sw_sky_years *years = NULL;
    if (messages == NULL || copy == NULL) {
        sw_messages_free(messages);
        return SW_NO_MEMORY;
    }
    sw_plan_move_to_month(copy, month);
    from.plan = copy;
    sw_status status = open_source(&from, messages, &years);
    int draws = years != NULL ? years->years : MONTH_DRAWS;
    if (status == SW_OK)
        status = draw(&from, 0, draws, messages, room);
    if (status == SW_OK)
        *out = share_that_holds(room, draws);
    close_source(&from, years);
    sw_messages_free(messages);
    return status == SW_BAD_INPUT || status == SW_OUT_OF_RANGE ? SW_OK : status;
}

static sw_status draw_months(const source *from, sw_odds *odds, sw_messages *messages)
{
    int room = MONTH_DRAWS > SW_SKY_YEARS_MAX ? MONTH_DRAWS : SW_SKY_YEARS_MAX;
    sw_outcome *draws = sw_arena_alloc(odds->owner, (size_t)room * sizeof *draws);
    sw_status status = draws != NULL ? SW_OK : SW_NO_MEMORY;
    odds->months = 12;
    for (int month = 1; month <= 12 && status == SW_OK; month++)
        status = draw_month(from, month, draws, odds->owner, &odds->month[month - 1]);
    if (status == SW_NO_MEMORY)
        return no_memory(messages);
    return status == SW_OK
               ? SW_OK
               : sw_error(messages, status, NULL, NULL, "the trip could not be moved through the year");
}

// ---- making ----

void sw_odds_free(sw_odds *odds)
{
    if (odds != NULL)
        sw_arena_free(odds->owner);
}

/* Dates that are told stay as told; what is said of all others is left to chance.
   @return 0 without memory */
static int leave_to_chance(sw_plan *copy, sw_arena *arena)
{
    sw_sky_spec *sky = &copy->trip->sky;
    if (sky->told_days == 0 || sky->kind == SW_SKY_HOURLY)
        return 1;
    sw_told_day *told = sw_arena_alloc(arena, (size_t)sky->told_days * sizeof *told);
    if (told == NULL)
        return 0;
    memcpy(told, sky->told, (size_t)sky->told_days * sizeof *told);
    told[0].morning_okta = told[0].afternoon_okta = NAN;
    sky->told = told;
    return 1;
}

sw_status sw_find_odds(const sw_plan *plan, const sw_loader *loader, int32_t step_s, const sw_odds_ask *ask,
                       sw_messages *messages, sw_odds **out)
{
    sw_arena *arena = sw_arena_create();
    sw_odds *odds = arena != NULL ? sw_arena_alloc(arena, sizeof *odds) : NULL;
    sw_plan *drawn = odds != NULL ? sw_plan_copy(plan, arena) : NULL;
    *out = NULL;
    if (drawn == NULL || !leave_to_chance(drawn, arena)) {
        sw_arena_free(arena);
        return no_memory(messages);
    }
    *odds = (sw_odds){.plan = plan, .by_years = is_of_years(plan), .owner = arena};
    source from = {drawn, NULL, first_draw(ask), NULL, loader, step_s, ask};
    sw_status status = draw_trip(&from, odds, messages);
    if (status == SW_OK && ask->months)
        status = draw_months(&from, odds, messages);
    if (status != SW_OK) {
        sw_arena_free(arena);
        return status;
    }
    *out = odds;
    return SW_OK;
}
