// The same trip in another part of the year.
#ifndef SW_STUDY_PLAN_MOVE_H
#define SW_STUDY_PLAN_MOVE_H

#include "stillwatt/plan.h"

/// Moves a trip to a month, 1 to 12, of its own year or the next: it begins there on its own day of the
/// month, at most the 28th. What its sky tells of dates stays behind; the rest of the sky goes along.
/// @param copy whose legs are its own
void sw_plan_move_to_month(sw_plan *copy, int month);

#endif
