/// Rehearses every case of a study, in order, on all cores.
#ifndef STILLWATT_COMPARE_H
#define STILLWATT_COMPARE_H

#include "stillwatt/outcome.h"
#include "stillwatt/study.h"

#include <signal.h>

/// What one case came to.
typedef struct sw_case {
    sw_outcome own; ///< under its sky
    int has_poor;
    sw_outcome poor;         ///< under the poor week of an average sky
    int nights, nights_held; ///< of the trip; before it first fails, in the poor week where there is one
    int64_t lowest_local_s;  ///< `own.lowest_at_s` on the clock of the place
} sw_case;

/// The cases of one trip, month and sky: start charges, each with all choices.
typedef struct sw_block {
    int64_t index;        ///< blocks come by trip, then by month, then by sky
    int trip, month, sky; ///< month 1 to 12, 0: the trip's own dates
    int cases;            ///< starts x choices
    const sw_case *of;
} sw_block;

/// Processes that share a study; see sw_compare_ask.
typedef struct sw_ranks {
    int rank, ranks;
    /// Gathers what each rank filled of an array on rank 0. Rank r filled the items from r * items / ranks to
    /// (r + 1) * items / ranks. @return 1, 0 if it failed
    int (*gather)(void *context, void *items, size_t size, int64_t count);
    /// The greatest of all ranks' numbers, on all ranks.
    int (*greatest)(void *context, int number);
    void *context;
} sw_ranks;

typedef struct sw_compare_ask {
    int32_t step_s;
    int64_t first_block; ///< those before are done
    const volatile sig_atomic_t
        *stop;             ///< is looked at between rounds: other than 0 ends the work; NULL: nobody asks
    const sw_ranks *ranks; ///< NULL: this process does it all
    /// Takes each block, in order, on rank 0, never two at once. Anything but SW_OK ends the work.
    sw_status (*take)(void *context, const sw_block *block);
    /// Called now and then; NULL: nobody wants to know.
    void (*progress)(void *context, int64_t done, int64_t of);
    void *context;
} sw_compare_ask;

int64_t sw_study_blocks(const sw_study *study);
int sw_study_block_cases(const sw_study *study);

/// Reads all files of a study and looks whether its trips fit its months: all that can be told before the
/// work begins.
/// @param with_records 1: weather records too, all that the cases will read
/// @return as sw_study_plan, sw_itinerary_make, sw_course_make
sw_status sw_study_try(const sw_study *study, const sw_loader *loader, int32_t step_s, int with_records,
                       sw_messages *messages);

/// Rehearses the cases. The same bits come out for any number of threads and ranks, from any first block on,
/// and as sw_rehearse gives. Memory grows with choices and cores, not with cases.
/// @param done_blocks with those before `first_block`; fewer than all after a stop
/// @return SW_OK; as sw_course_make; what `take` returned
sw_status sw_compare(const sw_study *study, const sw_loader *loader, const sw_compare_ask *ask,
                     sw_messages *messages, int64_t *done_blocks);

#endif
