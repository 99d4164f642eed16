// How long the last stay of a trip lasts: the same trip with a stay that does not end, and when what runs
// out.
#include "stillwatt/stretch.h"

#include "files/arena.h"
#include "study/plan_copy.h"

#include <math.h>

#define DAY_S 86400

/* As long as the record of the weather allows; other skies allow all of them. */
static const int days_tried[] = {60, 30, 14, 7, 3};

// ---- the long stay ----

static int last_stay(const sw_trip *trip)
{
    int leg = trip->legs - 1;
    while (leg >= 0 && trip->leg[leg].kind != SW_LEG_STAY)
        leg--;
    return leg;
}

/* @return as sw_rehearse; its messages only where it is the last try */
static sw_status rehearse_for(sw_stretched *s, const sw_plan *plan, int leg, int64_t start_local_s, int days,
                              const sw_loader *loader, int32_t step_s, sw_messages *messages)
{
    sw_plan *copy = sw_plan_copy(plan, s->owner);
    if (copy == NULL)
        return sw_error(messages, SW_NO_MEMORY, NULL, NULL, "there is not enough memory to stretch the stay");
    copy->trip->legs = leg + 1;
    copy->trip->leg[leg].to_local_s = start_local_s + (int64_t)days * DAY_S;
    s->days = days;
    return sw_rehearse(copy, loader, step_s, messages, &s->long_stay);
}

/* Legs that stay on at the same place, one behind the other, are one stay to those who camp. */
static int first_of_stay(const sw_trip *trip, const sw_itinerary *it, int leg)
{
    while (leg > 0 && trip->leg[leg - 1].kind == SW_LEG_STAY &&
           trip->leg[leg - 1].place == trip->leg[leg].place &&
           it->span[leg - 1].end_s == it->span[leg].start_s)
        leg--;
    return leg;
}

/* When the stay begins, and its last leg, that by the clock of its place. */
static sw_status find_arrival(sw_stretched *s, const sw_plan *plan, int leg, const sw_loader *loader,
                              int32_t step_s, sw_messages *messages, int64_t *local_s)
{
    sw_itinerary *it = NULL;
    sw_status status = sw_itinerary_make(plan, loader, step_s, messages, &it);
    if (status != SW_OK)
        return status;
    s->arrival_s = it->span[first_of_stay(plan->trip, it, leg)].start_s;
    s->planned_s = it->span[leg].end_s;
    *local_s = sw_itinerary_local_s(it, it->span[leg].start_s);
    sw_itinerary_free(it);
    return SW_OK;
}

// ---- what ends it ----

/* @param lost since `since_s`, when there was as much as that */
static void end_at(const sw_stretched *s, int64_t at_s, double lost, int64_t since_s, sw_stretch_end *end)
{
    *end = (sw_stretch_end){1, SW_STRETCH_UNDER, INT64_MAX, INFINITY, NAN, NAN};
    if (at_s == INT64_MIN)
        return;
    double days = (double)(at_s - since_s) / DAY_S;
    end->at_s = at_s;
    end->days = fmax(0.0, (double)(at_s - s->arrival_s) / DAY_S);
    if (days > 0.0 && lost > 0.0) {
        end->per_day = lost / days;
        end->spare = end->per_day / (days + 1.0); // it then lasts as much longer
    }
}

/* Of an hour of the ledger, the part between two moments. */
static double share_within(const sw_account *hour, int64_t from_s, int64_t to_s)
{
    int64_t begin_s = hour->start_s > from_s ? hour->start_s : from_s,
            end_s = hour->end_s < to_s ? hour->end_s : to_s;
    return end_s > begin_s ? (double)(end_s - begin_s) / (double)(hour->end_s - hour->start_s) : 0.0;
}

/* Wh of a column of the ledger between two moments. */
static double sum_wh(const sw_rehearsal *r, sw_ledger_column column, int64_t from_s, int64_t to_s)
{
    double sum = 0.0;
    for (int h = 0; h < r->hours; h++)
        sum += share_within(&r->hour[h], from_s, to_s) * r->hour[h].value[column];
    return sum;
}

static int why_short(const sw_outcome *o)
{
    return o->short_why == SW_MISSED_COLD  ? SW_STRETCH_COLD
           : o->short_why == SW_MISSED_SAG ? SW_STRETCH_SAG
                                           : SW_STRETCH_EMPTY;
}

/* What ends a stay first: the line, what cannot be served, a medical device without power. */
static int64_t first_end(const sw_outcome *o, int *why)
{
    const struct {
        int64_t at_s;
        int why;
    } ends[] = {{o->medical >= 0 ? o->medical_at_s : INT64_MIN, SW_STRETCH_MEDICAL},
                {o->short_at_s, why_short(o)},
                {o->under_at_s, SW_STRETCH_UNDER}};
    int64_t first = INT64_MIN;
    for (size_t i = 0; i < sizeof ends / sizeof ends[0]; i++)
        if (ends[i].at_s != INT64_MIN && (first == INT64_MIN || ends[i].at_s < first)) {
            first = ends[i].at_s;
            *why = ends[i].why;
        }
    return first;
}

static void charge_ends(const sw_stretched *s, const sw_outcome *o, sw_stretch_end *end)
{
    int why = SW_STRETCH_UNDER;
    int64_t at_s = first_end(o, &why);
    int by_use = why == SW_STRETCH_UNDER || why == SW_STRETCH_EMPTY;
    int is_told = o == &s->long_stay->outcome && at_s != INT64_MIN && by_use;
    end_at(s, at_s, is_told ? -sum_wh(s->long_stay, SW_LEDGER_STORED, s->arrival_s, at_s) : 0.0, s->arrival_s,
           end);
    end->why = why;
    // Nobody uses less than nothing: what lasts too short for that asks for more than savings.
    if (!isnan(end->spare) &&
        end->spare >= sum_wh(s->long_stay, SW_LEDGER_SERVED, s->arrival_s, at_s) / end->days)
        end->spare = NAN;
}

/* The tanks' own account, begun anew with the arrival. */
static void tanks_end(sw_stretched *s)
{
    const sw_rehearsal *r = s->long_stay;
    sw_tanks_finding stay;
    sw_tanks_run(r->plan, r->course->itinerary, r->hour, r->hours, s->arrival_s, &stay);
    for (int k = 0; k < SW_TANKS; k++)
        if (!isnan(r->plan->van->tank[k].capacity_l))
            end_at(s, stay.tank[k].ends_at_s, stay.tank[k].counted_l, stay.tank[k].counted_s,
                   &s->end[SW_STRETCH_TANK + k]);
}

static void find_ends(sw_stretched *s)
{
    const sw_rehearsal *r = s->long_stay;
    charge_ends(s, &r->outcome, &s->end[SW_STRETCH_CHARGE]);
    if (r->has_poor)
        charge_ends(s, &r->poor, &s->end[SW_STRETCH_POOR]);
    tanks_end(s);
    s->first = -1;
    for (int c = 0; c < SW_STRETCH_CAUSES; c++)
        if (s->end[c].counted && s->end[c].at_s != INT64_MAX &&
            (s->first < 0 || s->end[c].at_s < s->end[s->first].at_s))
            s->first = c;
}

// ---- making ----

void sw_stretch_free(sw_stretched *stretch)
{
    if (stretch == NULL)
        return;
    sw_rehearsal_free(stretch->long_stay);
    sw_arena_free(stretch->owner);
}

/* A stay that is longer than the record is tried shorter; what is wrong with the shortest is told. */
static sw_status stretch(sw_stretched *s, const sw_plan *plan, int leg, const sw_loader *loader,
                         int32_t step_s, sw_messages *messages)
{
    int64_t start_local_s = 0;
    size_t tries = sizeof days_tried / sizeof days_tried[0];
    sw_status status = find_arrival(s, plan, leg, loader, step_s, messages, &start_local_s);
    if (status != SW_OK)
        return status;
    for (size_t i = 0; i < tries; i++) {
        sw_messages *own = sw_messages_create();
        if (own == NULL)
            return sw_error(messages, SW_NO_MEMORY, NULL, NULL,
                            "there is not enough memory to stretch the stay");
        status = rehearse_for(s, plan, leg, start_local_s, days_tried[i], loader, step_s, own);
        int over = status != SW_BAD_INPUT || i + 1 == tries;
        if (over && s->long_stay == NULL)
            (void)sw_messages_repeat_errors(own, messages);
        sw_messages_free(own);
        if (over)
            break;
    }
    return status;
}

sw_status sw_find_stretch(const sw_plan *plan, const sw_loader *loader, int32_t step_s, sw_messages *messages,
                          sw_stretched **out)
{
    sw_arena *arena = sw_arena_create();
    sw_stretched *s = arena != NULL ? sw_arena_alloc(arena, sizeof *s) : NULL;
    int leg = last_stay(plan->trip);
    *out = NULL;
    if (s == NULL || leg < 0) {
        sw_arena_free(arena);
        return s == NULL
                   ? sw_error(messages, SW_NO_MEMORY, NULL, NULL,
                              "there is not enough memory to stretch the stay")
                   : sw_error(messages, SW_BAD_INPUT, &(sw_where){.file = plan->trip->file, .path = "/legs"},
                              "add a stay", "this trip has no stay that could be longer");
    }
    *s = (sw_stretched){.owner = arena, .place = plan->trip->place[plan->trip->leg[leg].place].name};
    sw_status status = stretch(s, plan, leg, loader, step_s, messages);
    if (s->long_stay == NULL) {
        sw_stretch_free(s);
        return status;
    }
    find_ends(s);
    *out = s;
    return status;
}
