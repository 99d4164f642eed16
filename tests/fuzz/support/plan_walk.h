// Every struct of a plan with the key table that filled it, for checks and records of whole plans.
#ifndef SW_TESTS_FUZZ_SUPPORT_PLAN_WALK_H
#define SW_TESTS_FUZZ_SUPPORT_PLAN_WALK_H

#include "fuzz/support/fuzz.h"
#include "stillwatt/plan.h"

/// Asserts that a plan is plausible: each value is finite and in its table's range or "not given" where that
/// may be, each word and name is one, windows and times lie in a day, indices in their lists, assumptions
/// point at values of the plan. A value that was derived need not lie in the range for given ones, but must
/// be finite. Notes every value.
void fuzz_check_plan(const sw_plan *plan, fuzz_record *record);

#endif
