// Mutations that know a little of what files look like, for the replay and for libFuzzer alike.
#ifndef SW_TESTS_FUZZ_SUPPORT_MUTATE_H
#define SW_TESTS_FUZZ_SUPPORT_MUTATE_H

#include "fuzz/support/fuzz.h"

/// Changes data in place by one to four steps: flipped bits, cuts, repeated and moved pieces, numbers made
/// extreme, keys of the key tables put in, words swapped. The same data and seed give the same result.
/// @param room what `data` can hold, at least `size`
/// @return the new size, at most `room`
size_t fuzz_mutate(uint8_t *data, size_t size, size_t room, unsigned long seed);

#endif
