/// What would make a trip hold: single changes, each re-rehearsed.
#ifndef STILLWATT_REMEDY_H
#define STILLWATT_REMEDY_H

#include "stillwatt/burden.h"
#include "stillwatt/rehearsal.h"

typedef enum sw_change_kind {
    SW_CHANGE_HALVE,    ///< load `index`: half as much of it
    SW_CHANGE_LEAVE,    ///< load `index`: do without it
    SW_CHANGE_SET,      ///< load `index`: its set point becomes `value` [degC]
    SW_CHANGE_INVERTER, ///< the inverter is off from `from_min` to `to_min`, every day
    SW_CHANGE_PANELS,   ///< array `index`: `count` panels more
    SW_CHANGE_TILT,     ///< array `index`: raised when parked to `value` [deg], towards `toward_deg`
    SW_CHANGE_TURN,     ///< the parked van's nose points to `value` [deg]
    SW_CHANGE_OPEN,     ///< parked clear of trees
    SW_CHANGE_BATTERY,  ///< `count` strings of batteries more
    SW_CHANGE_FULL,     ///< full at the start
    SW_CHANGE_IDLE,     ///< the engine idles on `date` from `from_min` to `to_min`
    SW_CHANGE_DRIVE,    ///< a round trip on `date` from `from_min` to `to_min`
    SW_CHANGE_HOOKUP,   ///< the night after `date` at a hookup
    SW_CHANGE_WARM,     ///< the battery moves into the cabin
    SW_CHANGE_OFF,      ///< the battery's main switch is open while the van is laid up
    SW_CHANGE_ON,       ///< the inverter is on all day round, for a medical device that its hours left out
    SW_CHANGE_KINDS
} sw_change_kind;

/// One change of a van or of how it is used.
typedef struct sw_change {
    sw_change_kind kind;
    int index, count;
    double value, toward_deg;
    int leg;              ///< of the trip, where a date belongs to one
    int64_t date;         ///< days since 1970-01-01, local
    int from_min, to_min; ///< local clock, of that date
} sw_change;

/// A change, or a pair of them, and what it comes to.
typedef struct sw_remedy {
    int changes;
    sw_change change[2];
    double price, mass_kg;    ///< more than before; 0 for a habit, NAN where a part does not tell
    sw_outcome outcome, poor; ///< as those of a rehearsal
    sw_outcome worst;         ///< of the two the one that counts: `poor` under an average sky
} sw_remedy;

/// The smallest number of units at which the trip holds, all else as it is.
typedef struct sw_smallest {
    int array;      ///< its index, -1: the battery
    int has, step;  ///< units now; by how many they grow at a time (a string)
    int tried;      ///< the most that was tried
    int units;      ///< at which it holds, and at one step less does not; 0: at none that was tried
    sw_limit limit; ///< what the vehicle does not bear of `units`
    sw_outcome worst;
} sw_smallest;

typedef struct sw_remedies {
    const sw_rehearsal *base;
    sw_outcome worst; ///< of the trip as it is
    int tried;        ///< changes that were re-rehearsed
    int unfit;        ///< changes that the vehicle does not bear
    int count;
    sw_remedy *remedy; ///< those that help, best first
    int has_pair;
    sw_remedy pair; ///< the cheapest two that hold together, where no single one does
    int pairs_left; ///< dearer pairs that were not tried, after a good many that do not hold
    int smallests;
    sw_smallest smallest[1 + SW_ARRAYS_MAX];
    void *owner;
} sw_remedies;

/// Whether an outcome is what a trip needs: never under the reserve line, nothing missed because of the
/// battery.
int sw_is_enough(const sw_outcome *outcome);

/// Tries what could help a rehearsed trip. Medical devices are left alone.
/// @param base kept by the caller, must outlive the remedies; `loader` and `step_s` as it was rehearsed with
/// @return SW_OK; SW_NO_MEMORY, or as sw_course_make where a place or a record can no longer be read
sw_status sw_find_remedies(const sw_rehearsal *base, const sw_loader *loader, int32_t step_s,
                           sw_messages *messages, sw_remedies **out);
/// Releases them; NULL is allowed.
void sw_remedies_free(sw_remedies *remedies);

#endif
