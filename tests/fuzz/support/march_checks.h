// What every march must keep, step by step and variant by variant.
#ifndef SW_TESTS_FUZZ_SUPPORT_MARCH_CHECKS_H
#define SW_TESTS_FUZZ_SUPPORT_MARCH_CHECKS_H

#include "stillwatt/march.h"

/// Marches twice and asserts: the forcing's values can be; in every step and lane the energy balances within
/// 1e-9 of the sum of the flows + 1e-9 Wh, reckoned from the flows anew, the charge lies within 0 and 1, and
/// neither losses nor flows have a wrong sign or pass a limit; both marches end alike.
/// @param variant one of each lane, the first and the last equal
void fuzz_check_march(const sw_forcing *forcing, const sw_variant variant[SW_TILE]);

#endif
