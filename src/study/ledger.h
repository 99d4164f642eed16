// The ledger: what the march does step by step, gathered into local hours, days and the trip.
#ifndef SW_STUDY_LEDGER_H
#define SW_STUDY_LEDGER_H

#include "files/arena.h"
#include "stillwatt/course.h"
#include "stillwatt/ledger.h"

/// Receives the flows of lane 0 and gathers them. Rows are made beforehand, so that the march touches no
/// heap.
typedef struct ledger {
    const sw_plan *plan;
    const sw_course *course;
    const sw_forcing *forcing;
    int hours;
    sw_account *hour;
    int32_t *hour_of;                       // step
    double *charge;                         // at the end of each step
    double (*missed_wh)[SW_MISSED_REASONS]; // per load
    double worst_imbalance;
    double inverter_overload_w, shore_overload_w, alternator_overload_a;
    int64_t inverter_overload_at_s, shore_overload_at_s, alternator_overload_at_s;
} ledger;

/// @return SW_OK or SW_NO_MEMORY
sw_status sw_ledger_open(ledger *l, sw_arena *arena, const sw_plan *plan, const sw_course *course);

/// A sw_march_sink with the ledger as context.
void sw_ledger_take(void *context, int32_t step, const sw_tile_flow *flow);

/// Gives an account its rooms for loads. @return SW_OK or SW_NO_MEMORY
sw_status sw_account_room(sw_arena *arena, int loads, sw_account *account);

/// Adds accounts in order of time into one.
void sw_account_gather(sw_account *into, const sw_account *from, int count, int loads);

#endif
