// Van and trip files out of an input's bytes, made from the key tables: whatever the reader allows can come.
#ifndef SW_TESTS_FUZZ_SUPPORT_MAKE_FILES_H
#define SW_TESTS_FUZZ_SUPPORT_MAKE_FILES_H

#include "fuzz/support/fuzz.h"
#include "stillwatt/quantity.h"

/// A quantity in quotes with a unit of its dimension. @param value in the held unit
void fuzz_put_quantity(sw_dimension dimension, double value, fuzz_record *out);

/// A van that has what the text of a trip asks of it: generator, engine, tanks.
void fuzz_make_van(fuzz_input *input, const char *trip, fuzz_record *out);
/// A trip of one to four legs between two places, of any zones, with the van "van.json", under an average or
/// a told sky or that of the weather files "typical.epw" and "2004.epw".
void fuzz_make_trip(fuzz_input *input, fuzz_record *out);

#endif
