// Copies of plans for what-ifs.
#include "study/plan_copy.h"

#include <string.h>

#define MORE_LEGS 4 // two cuts

/* Zero units of a part that the van has not. */
static void *copied(sw_arena *arena, const void *from, size_t size, int *failed)
{
    void *out = from != NULL ? sw_arena_alloc(arena, size) : NULL;
    if (out != NULL)
        memcpy(out, from, size);
    *failed = *failed || (from != NULL && out == NULL);
    return out;
}

#define COPY(member, count) copied(arena, member, (size_t)(count) * sizeof *(member), &failed)

sw_plan *sw_plan_copy(const sw_plan *plan, sw_arena *arena)
{
    int failed = 0;
    sw_plan *out = COPY(plan, 1);
    sw_van *van = COPY(plan->van, 1);
    sw_trip *trip = COPY(plan->trip, 1);
    sw_leg *leg = sw_arena_alloc(arena, (size_t)(plan->trip->legs + MORE_LEGS) * sizeof *leg);
    if (out == NULL || van == NULL || trip == NULL || leg == NULL)
        return NULL;
    *out = (sw_plan){.van = van, .trip = trip};
    van->array = COPY(van->array, van->arrays);
    van->load = COPY(van->load, van->loads);
    van->inverter = COPY(van->inverter, 1);
    memcpy(leg, trip->leg, (size_t)trip->legs * sizeof *leg);
    trip->leg = leg;
    return failed ? NULL : out;
}

/* What is done once in a leg is done in the part of it that holds its time. */
static void keep_once(sw_leg *part, int64_t from_local_s, int64_t to_local_s)
{
    if (part->washed_local_s != SW_NO_TIME &&
        (part->washed_local_s < from_local_s || part->washed_local_s >= to_local_s))
        part->washed_local_s = SW_NO_TIME;
}

int sw_plan_cut(sw_plan *copy, int leg, int64_t start_local_s, int64_t from_local_s, int64_t to_local_s)
{
    sw_trip *trip = copy->trip;
    const sw_leg whole = trip->leg[leg];
    int64_t bound[4] = {start_local_s, from_local_s, to_local_s, whole.to_local_s};
    int made = 0, index = -1;
    if (from_local_s < start_local_s || to_local_s > whole.to_local_s || to_local_s <= from_local_s ||
        trip->legs + 2 > SW_LEGS_MAX)
        return -1;
    int parts = 1 + (from_local_s > start_local_s) + (to_local_s < whole.to_local_s);
    memmove(&trip->leg[leg + parts], &trip->leg[leg + 1], (size_t)(trip->legs - leg - 1) * sizeof whole);
    for (int k = 0; k < 3; k++) {
        if (bound[k + 1] <= bound[k])
            continue;
        sw_leg *part = &trip->leg[leg + made];
        *part = whole;
        part->to_local_s = bound[k + 1];
        part->from_local_s = made == 0 ? whole.from_local_s : SW_NO_TIME;
        part->services = made == 0 ? whole.services : 0;
        keep_once(part, bound[k], bound[k + 1]);
        index = k == 1 ? leg + made : index;
        made++;
    }
    trip->legs += parts - 1;
    return index;
}
