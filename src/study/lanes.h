// Lanes: up to SW_TILE vans marched side by side through one forcing, and the outcome of each.
#ifndef SW_STUDY_LANES_H
#define SW_STUDY_LANES_H

#include "stillwatt/course.h"
#include "stillwatt/outcome.h"

/// What the lanes have come to so far. Begin, add vans, march (or take steps from a march of one's own),
/// read.
typedef struct lanes {
    const sw_forcing *forcing;
    const sw_course *course; // NULL: days and medical devices are not looked at
    const sw_plan *plan;     // of lane 0: its loads are those of all lanes
    int count;
    sw_variant last; // that was added
    int has_medical;
    sw_tile_plan tile;
    sw_tile_state state;
    double step_h;
    int day; // of the course that the step lies in
    sw_column start_soc, reserve, discharge_stop_c;
    sw_column lowest_soc, lowest_step; // -1: at the start
    sw_column under_step;              // the first; -1: never
    sw_column end_soc, under_h, under_days, last_under_day, unserved_wh, missed_wh, short_wh;
    struct {
        int32_t step, short_step, medical_step; // -1: never
        double soc, reachable;
        sw_missed why, short_why;
        int medical;
    } out[SW_TILE];
} lanes;

/// @param course that the forcing is of, with the same steps; NULL: nothing of it is asked
void sw_lanes_begin(lanes *l, const sw_forcing *forcing, const sw_course *course);

/// Adds a van; at most SW_TILE. All have the same loads: only what the march reads may differ.
void sw_lanes_add(lanes *l, const sw_plan *plan, const sw_variant *variant);

/// The same with the van that a plan describes; the lanes have a course.
void sw_lanes_add_plan(lanes *l, const sw_plan *plan);

/// A sw_march_sink with the lanes as context.
void sw_lanes_take(void *context, int32_t step, const sw_tile_flow *flow);

/// Whether a lane misses something in a step because of the battery. @param short_only not what is too much
/// at once, which no charge helps
int sw_lanes_miss(const sw_tile_flow *flow, int lane, int short_only);

/// Marches; lanes that no van was added to hold copies of the last. `sink` takes the steps and must hand them
/// to sw_lanes_take. @return as sw_march
sw_status sw_lanes_march(lanes *l, sw_march_sink *sink, void *context);

sw_outcome sw_lanes_outcome(const lanes *l, int lane);

#endif
