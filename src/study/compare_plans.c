// A trip with all choices of a study, and which of them one course serves.
#include "study/compare_inside.h"

#include <stdlib.h>
#include <string.h>

sw_status sw_compare_no_memory(sw_messages *messages)
{
    return sw_error(messages, SW_NO_MEMORY, NULL, NULL, "there is not enough memory for the study");
}

void sw_compare_free_plans(plans *p, int choices)
{
    for (int k = 0; p->of != NULL && k < choices; k++)
        sw_plan_free(p->of[k]);
    sw_arena_free(p->arena);
    *p = (plans){0};
}

/* A change to the trip that habits do not cover may touch anything. */
int sw_compare_keeps_trip(const sw_choice *choice)
{
    for (const sw_node *key = choice->trip != NULL ? choice->trip->first : NULL; key != NULL; key = key->next)
        if (strcmp(key->key, "habits") != 0)
            return 0;
    return 1;
}

/// A choice and how large its van is.
typedef struct sized {
    double array_w, bank_wh;
    int choice;
} sized;

static int by_size(const void *a, const void *b)
{
    const sized *x = a, *y = b;
    if (x->array_w != y->array_w)
        return x->array_w < y->array_w ? -1 : 1;
    if (x->bank_wh != y->bank_wh)
        return x->bank_wh < y->bank_wh ? -1 : 1;
    return x->choice - y->choice;
}

static sized size_of(const sw_van *van, int choice)
{
    const sw_battery_spec *b = &van->battery;
    sized out = {.bank_wh = b->capacity_ah * b->unit_v * b->series * b->parallel * b->health,
                 .choice = choice};
    for (int a = 0; a < van->arrays; a++)
        out.array_w += van->array[a].rated_w * van->array[a].panels;
    return out;
}

/* @return 0 without memory */
static int put_in_order(const sw_study *study, plans *p)
{
    sized *list = sw_arena_alloc(p->arena, (size_t)study->choices * sizeof *list);
    if (list == NULL)
        return 0;
    for (int k = 0; k < study->choices; k++)
        list[k] = size_of(p->of[k]->van, k);
    qsort(list, (size_t)study->choices, sizeof *list, by_size);
    for (int i = 0; i < study->choices; i++)
        p->by_size[i] = list[i].choice;
    return 1;
}

static void sort_into_classes(const sw_study *study, plans *p)
{
    for (int k = 0; k < study->choices; k++) {
        int c = 0;
        while (c < p->classes && !(sw_compare_keeps_trip(&study->choice[k]) &&
                                   sw_compare_keeps_trip(&study->choice[p->first[c]]) &&
                                   sw_course_serves(p->of[p->first[c]], p->of[k])))
            c++;
        if (c == p->classes)
            p->first[p->classes++] = k;
        p->class_of[k] = c;
    }
}

sw_status sw_compare_read_plans(const sw_study *study, const sw_loader *loader, int trip,
                                sw_messages *messages, plans *out)
{
    size_t choices = (size_t)study->choices;
    sw_arena *arena = sw_arena_create();
    if (arena == NULL)
        return sw_compare_no_memory(messages);
    *out = (plans){.arena = arena,
                   .of = sw_arena_alloc(arena, choices * sizeof *out->of),
                   .class_of = sw_arena_alloc(arena, choices * sizeof *out->class_of),
                   .first = sw_arena_alloc(arena, choices * sizeof *out->first),
                   .by_size = sw_arena_alloc(arena, choices * sizeof *out->by_size)};
    if (out->of == NULL || out->class_of == NULL || out->first == NULL || out->by_size == NULL) {
        sw_compare_free_plans(out, 0);
        return sw_compare_no_memory(messages);
    }
    sw_status status = SW_OK;
    for (int k = 0; k < study->choices && status == SW_OK; k++)
        status = sw_study_plan(study, loader, trip, k, messages, &out->of[k]);
    if (status == SW_OK && !put_in_order(study, out))
        status = sw_compare_no_memory(messages);
    if (status == SW_OK)
        sort_into_classes(study, out);
    else
        sw_compare_free_plans(out, study->choices);
    return status;
}
