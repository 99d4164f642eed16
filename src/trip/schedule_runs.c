// Stretches of time in which a load is on.
#include "trip/schedule_runs.h"

#include <stdlib.h>

#define STEADY_S 10800 // three hours: what codes call a continuous load [nec]

void sw_runs_add(sw_runs *runs, int64_t from_s, int64_t to_s)
{
    if (runs->count == runs->room) {
        int32_t room = runs->room == 0 ? 64 : 2 * runs->room;
        sw_run *grown = realloc(runs->run, (size_t)room * sizeof *grown);
        if (grown == NULL) {
            runs->short_of_memory = 1;
            return;
        }
        runs->run = grown;
        runs->room = room;
    }
    runs->run[runs->count++] = (sw_run){from_s, to_s};
}

void sw_runs_free(sw_runs *runs)
{
    free(runs->run);
    *runs = (sw_runs){0};
}

static int by_time(const void *a, const void *b)
{
    const sw_run *left = a, *right = b;
    if (left->from_s != right->from_s)
        return left->from_s < right->from_s ? -1 : 1;
    return (left->to_s > right->to_s) - (left->to_s < right->to_s);
}

void sw_runs_join(sw_runs *runs)
{
    int32_t kept = 0;
    if (runs->count == 0)
        return;
    qsort(runs->run, (size_t)runs->count, sizeof *runs->run, by_time);
    for (int32_t i = 1; i < runs->count; i++) {
        sw_run *last = &runs->run[kept], *next = &runs->run[i];
        if (next->from_s > last->to_s)
            runs->run[++kept] = *next;
        else if (next->to_s > last->to_s)
            last->to_s = next->to_s;
    }
    runs->count = kept + 1;
}

/* Steps of a run in which the load is on, one unbroken piece after the other. */
static void mark_run(sw_run run, int64_t start_s, int32_t step_s, const double *peak_w, double *long_w)
{
    int32_t step = (int32_t)((run.from_s - start_s) / step_s),
            last = (int32_t)((run.to_s - 1 - start_s) / step_s);
    while (step <= last) {
        int32_t first = step;
        while (step <= last && peak_w[step] > 0.0)
            step++;
        int64_t from_s = start_s + (int64_t)first * step_s, to_s = start_s + (int64_t)step * step_s;
        from_s = from_s < run.from_s ? run.from_s : from_s;
        to_s = to_s > run.to_s ? run.to_s : to_s;
        for (int32_t i = first; i < step && to_s - from_s >= STEADY_S; i++)
            long_w[i] = peak_w[i];
        step += step == first;
    }
}

void sw_runs_long(const sw_runs *runs, int64_t start_s, int32_t steps, int32_t step_s, const double *peak_w,
                  double *long_w)
{
    int64_t end_s = start_s + (int64_t)steps * step_s;
    for (int32_t i = 0; i < runs->count; i++) {
        sw_run run = runs->run[i];
        run.from_s = run.from_s < start_s ? start_s : run.from_s;
        run.to_s = run.to_s > end_s ? end_s : run.to_s;
        if (run.from_s < run.to_s)
            mark_run(run, start_s, step_s, peak_w, long_w);
    }
}
