// When a load is on without a break: its hours and uses as stretches of UTC time, joined, and those of them
// that go on for three hours and more.
#ifndef SW_TRIP_SCHEDULE_RUNS_H
#define SW_TRIP_SCHEDULE_RUNS_H

#include <stdint.h>

typedef struct sw_run {
    int64_t from_s, to_s; // [from, to)
} sw_run;

/// As they come: in any order, some over others. All zero is an empty list.
typedef struct sw_runs {
    sw_run *run;
    int32_t count, room;
    int short_of_memory; // something is missing
} sw_runs;

void sw_runs_add(sw_runs *runs, int64_t from_s, int64_t to_s);
void sw_runs_free(sw_runs *runs);

/// Puts them in order and joins what touches or overlaps.
void sw_runs_join(sw_runs *runs);

/// The power of a moment in the steps that a run of three hours and more reaches into. A load that is off in
/// a step
/// (`peak_w` 0: a condition is not met) breaks the run there.
/// @param runs joined
/// @param start_s of step 0; what lies outside the steps is left out
/// @param long_w zeroed by the caller
void sw_runs_long(const sw_runs *runs, int64_t start_s, int32_t steps, int32_t step_s, const double *peak_w,
                  double *long_w);

#endif
