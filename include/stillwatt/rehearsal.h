/// A rehearsal: what a trip comes to, and the ledger that says so.
#ifndef STILLWATT_REHEARSAL_H
#define STILLWATT_REHEARSAL_H

#include "stillwatt/course.h"
#include "stillwatt/ledger.h"
#include "stillwatt/medical.h"
#include "stillwatt/outcome.h"
#include "stillwatt/starter.h"
#include "stillwatt/tanks.h"

/// One reason why a day fell under the reserve: energy against the trip's mean day; positive: worse.
typedef struct sw_cause {
    int column; ///< sw_ledger_column, or -1: load
    int load;
    double worse_wh;
} sw_cause;

#define SW_CAUSES_MAX 3

typedef struct sw_day_finding {
    int under;        ///< the charge was under the reserve line on that day
    double missed_wh; ///< not served because of the battery
    double short_wh;  ///< of it, what more charge or warmth could have served
    int causes;
    sw_cause cause[SW_CAUSES_MAX];
    double balance_wh;  ///< brought in - used - lost on that day
    double poor_lowest; ///< lowest charge of the day under the poor week of an average sky, 0 to 1; NAN: has
                        ///< none
    int64_t poor_lowest_at_s;             ///< end of the step with it
    double poor_missed_wh, poor_short_wh; ///< as missed_wh and short_wh, under that week
} sw_day_finding;

/// What an assumption does to the lowest charge when it is moved to the ends of its plausible range.
typedef struct sw_weight {
    int assumption; ///< index in the plan
    double low,
        high; ///< the ends that were marched: those of the assumption, drawn in where the van could not be
    double lowest_at_low, lowest_at_high;     ///< lowest charge
    double unserved_at_low, unserved_at_high; ///< [Wh]
    double points;                            ///< greatest change of the lowest charge, in points (1 = 100 %)
    double unserved_wh; ///< greatest change of what is not served: it counts where the charge cannot fall
                        ///< further
} sw_weight;

#define SW_TIGHT_HOURS 3

typedef struct sw_rehearsal {
    const sw_plan *plan;
    sw_course *course;
    sw_variant variant;
    int hours, days;
    sw_account *hour, *day;
    sw_account trip;
    double *charge;     ///< at the end of each step, 0 to 1, under the trip's own sky
    sw_outcome outcome; ///< under the trip's own sky
    int has_poor;
    sw_outcome poor; ///< under the poor week of an average sky
    sw_day_finding *day_finding;
    int tight_hours;
    int tight[SW_TIGHT_HOURS]; ///< hours of lowest charge, one a day, tightest first
    double greatest_inverter_overload_w, greatest_shore_overload_w; ///< the hookup's in VA
    double greatest_alternator_overload_a;                          ///< through a relay
    int64_t inverter_overload_at_s, shore_overload_at_s, alternator_overload_at_s;
    sw_tanks_finding tanks;
    sw_starter_finding starter;
    int medicals;
    sw_medical *medical;   ///< of the trip's own sky
    double usable_wh;      ///< of a full battery down to the reserve line, at rest
    double usable_wh_left; ///< of it above the reserve line at the end
    double days_left;      ///< that over an average day's use
    int weights;
    sw_weight *weight;                      ///< sorted, heaviest first
    double (*missed_wh)[SW_MISSED_REASONS]; ///< per load of the van
    double worst_imbalance;                 ///< greatest |imbalance| over the step's flows
    void *owner;
} sw_rehearsal;

/// Rehearses a trip. @param step_s a divisor of 3600, at least 60
/// @return SW_OK; as sw_course_make; SW_UNBALANCED if the energy of a step did not close (the rehearsal is
/// made all the same)
sw_status sw_rehearse(const sw_plan *plan, const sw_loader *loader, int32_t step_s, sw_messages *messages,
                      sw_rehearsal **out);
/// Weighs besides what the march itself does not feel: place, sky, cabin, appliances. Each end of a range is
/// a course of its own, so that it takes many times as long as the rehearsal.
/// @param loader that of the rehearsal
/// @return SW_OK; as sw_course_make, and then some may not be weighed
sw_status sw_weigh_rest(sw_rehearsal *rehearsal, const sw_loader *loader, sw_messages *messages);
/// Releases a rehearsal and its course; the plan stays. NULL is allowed.
void sw_rehearsal_free(sw_rehearsal *rehearsal);

#endif
