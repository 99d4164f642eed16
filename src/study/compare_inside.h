// What the pieces of a comparison share: the plans of a trip, sorted into classes that one course serves, and
// what every unit of work looks at.
#ifndef SW_STUDY_COMPARE_INSIDE_H
#define SW_STUDY_COMPARE_INSIDE_H

#include "files/arena.h"
#include "stillwatt/compare.h"
#include "stillwatt/course.h"

/// A trip with all choices. Choices of one class share a course.
typedef struct plans {
    sw_arena *arena; // of what follows
    sw_plan **of;    // per choice
    int *class_of;   // per choice
    int classes;
    int *first; // per class: its first choice
    /// Choices by the size of panels and battery: vans that are alike meet the same events in the same steps,
    /// which a march of them side by side takes faster.
    int *by_size;
} plans;

/// Reads a trip with all choices. @return as sw_study_plan; after a failure there is nothing to free
sw_status sw_compare_read_plans(const sw_study *study, const sw_loader *loader, int trip,
                                sw_messages *messages, plans *out);
void sw_compare_free_plans(plans *p, int choices);

/// What every unit of work looks at.
typedef struct job {
    const sw_study *study;
    const sw_loader *loader;
    int32_t step_s;
    int first_trip; // of those that are read
    int trips;
    plans *plans;
} job;

/// Whether a choice changes no more of the trip than its habits.
int sw_compare_keeps_trip(const sw_choice *choice);

/// How many months a study has, and the month at a place among them; 0: the trips' own dates.
int sw_compare_months(const sw_study *study);
int sw_compare_month(const sw_study *study, int place);

/// A plan in the month and under the sky of a block. @return in the arena, NULL without memory, or without
/// arena
sw_plan *sw_compare_plan(const job *j, const sw_block *block, const sw_plan *of, sw_arena *arena);

/// A part of a class: of its cases, eight by eight, every so many-th group.
typedef struct share {
    int class, part, parts;
} share;

/// Rehearses a share of a class in a block.
/// @param shared itinerary of blocks that differ in their sky alone: made where it is NULL and of use,
/// released by the caller
/// @param out all cases of the block
sw_status sw_compare_class(const job *j, const sw_block *block, const share *of, sw_itinerary **shared,
                           sw_messages *messages, sw_case *out);

/// Tells that there is not enough memory for the study. @return SW_NO_MEMORY
sw_status sw_compare_no_memory(sw_messages *messages);

#endif
