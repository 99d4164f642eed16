// Vans and journeys for tests of the march: a plain one to which a test adds what it is about, and random
// ones.
#ifndef SW_TESTS_SUPPORT_RANDOM_CASE_H
#define SW_TESTS_SUPPORT_RANDOM_CASE_H

#include "stillwatt/march.h"

/// A forcing of `steps` rows with every column present: 25 degC in air, cabin and cells, nothing else. Aborts
/// the test when there is no memory. Free with sw_forcing_unmake.
sw_forcing sw_forcing_made(int32_t steps, int32_t step_s, int arrays);

/// The same columns with every row twice, at half the step. Free with sw_forcing_unmake.
sw_forcing sw_forcing_halved(const sw_forcing *forcing);

void sw_forcing_unmake(sw_forcing *forcing);

/// Sets rows first..first+count-1 of a column.
void fill_column(double *column, int32_t first, int32_t count, double value);

/// A 12 V 100 Ah battery at 25 degC and half charge with nothing beside it; no losses but its resistance,
/// limits out of the way, cut-outs at 0 V.
sw_variant sw_plain_variant(sw_chemistry chemistry);

typedef struct sw_random_case {
    unsigned long seed;
    sw_forcing forcing;
    sw_variant variant;
} sw_random_case;

/// One to five days of light, air, drives, hookups and loads, and a van of either chemistry at 12, 24 or 48
/// V. The same seed gives the same case. Free with sw_random_case_unmake.
sw_random_case sw_random_case_made(unsigned long seed, int32_t step_s);

void sw_random_case_unmake(sw_random_case *c);

#endif
