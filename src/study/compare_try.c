// What can be told of a study before its work begins.
#include "study/compare_inside.h"
#include "study/plan_copy.h"
#include "study/plan_move.h"

static sw_status try_month(const sw_plan *plan, int month, const sw_loader *loader, int32_t step_s,
                           sw_messages *messages)
{
    sw_arena *arena = sw_arena_create();
    sw_plan *copy = arena != NULL ? sw_plan_copy(plan, arena) : NULL;
    sw_itinerary *it = NULL;
    if (copy != NULL && month > 0)
        sw_plan_move_to_month(copy, month);
    sw_status status = copy != NULL ? sw_itinerary_make(copy, loader, step_s, messages, &it)
                                    : sw_compare_no_memory(messages);
    sw_itinerary_free(it);
    sw_arena_free(arena);
    return status;
}

/* A weather record must be there, and cover the trip. */
static sw_status try_record(const job *j, const sw_plan *plan, int sky, int month, sw_messages *messages)
{
    const sw_study *study = j->study;
    int kind = study->sky[sky].own ? plan->trip->sky.kind : study->sky[sky].spec.kind;
    if (kind != SW_SKY_HOURLY)
        return SW_OK;
    sw_block block = {.sky = sky, .month = month};
    sw_arena *arena = sw_arena_create();
    sw_plan *copy = sw_compare_plan(j, &block, plan, arena);
    sw_course *course = NULL;
    sw_status status = copy != NULL ? sw_course_make(copy, j->loader, j->step_s, messages, &course)
                                    : sw_compare_no_memory(messages);
    sw_course_free(course);
    sw_arena_free(arena);
    return status;
}

/* Dates and hookups are looked at once for all choices that one course serves. */
static sw_status try_class(const job *j, const sw_plan *plan, int with_records, sw_messages *messages)
{
    sw_status status = SW_OK;
    for (int place = 0; place < sw_compare_months(j->study) && status == SW_OK; place++) {
        int month = sw_compare_month(j->study, place);
        status = try_month(plan, month, j->loader, j->step_s, messages);
        for (int sky = 0; sky < j->study->skies && with_records && status == SW_OK; sky++)
            status = try_record(j, plan, sky, month, messages);
    }
    return status;
}

/* Choices that leave the trip alone have the records of the first class. */
static int has_own_records(const job *j, const plans *p, int class)
{
    return class == 0 || !sw_compare_keeps_trip(&j->study->choice[p->first[class]]);
}

static sw_status try_trip(const job *j, int trip, int with_records, sw_messages *messages)
{
    plans p = {0};
    sw_status status = sw_compare_read_plans(j->study, j->loader, trip, messages, &p);
    if (status != SW_OK)
        return status;
    for (int c = 0; c < p.classes && status == SW_OK; c++)
        status = try_class(j, p.of[p.first[c]], with_records && has_own_records(j, &p, c), messages);
    sw_compare_free_plans(&p, j->study->choices);
    return status;
}

sw_status sw_study_try(const sw_study *study, const sw_loader *loader, int32_t step_s, int with_records,
                       sw_messages *messages)
{
    job j = {.study = study, .loader = loader, .step_s = step_s};
    sw_status status = SW_OK;
    for (int t = 0; t < study->trips && status == SW_OK; t++) {
        sw_messages *own = sw_messages_create();
        status = own != NULL ? try_trip(&j, t, with_records, own) : SW_NO_MEMORY;
        (void)sw_messages_repeat(own, messages); // what is wrong in every choice is told once
        sw_messages_free(own);
    }
    return status;
}
