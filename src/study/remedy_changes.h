// The catalogue of changes: which could help a trip, and how each is done to a copy of its plan.
#ifndef SW_STUDY_REMEDY_CHANGES_H
#define SW_STUDY_REMEDY_CHANGES_H

#include "stillwatt/remedy.h"

#define SW_CHANGES_MAX 400

/// Lists the changes that a trip allows. @return how many, at most SW_CHANGES_MAX
int sw_changes_list(const sw_rehearsal *base, sw_change out[SW_CHANGES_MAX]);

/// Does a change to a copy of the base's plan. @return 1, or 0 if the plan does not allow it
int sw_change_do(const sw_change *change, const sw_rehearsal *base, sw_plan *copy);

/// Whether light, drives and loads stay as they are, so that the change can be marched through the base's
/// course.
int sw_change_keeps_course(const sw_change *change);

/// What a change costs and weighs. NAN: a part does not tell.
void sw_change_burden(const sw_change *change, const sw_van *van, double *price, double *mass_kg);

#endif
