// Invented EPW years. Values follow from the row's number, as in tests/support/invented_epw.c.
#ifndef SW_TESTS_FUZZ_SUPPORT_INVENTED_YEAR_H
#define SW_TESTS_FUZZ_SUPPORT_INVENTED_YEAR_H

#include "fuzz/support/fuzz.h"

enum { FUZZ_YEAR_ROWS = 8784 };

typedef struct fuzz_year {
    fuzz_record rows;
    size_t begin[FUZZ_YEAR_ROWS + 1]; ///< of each row
} fuzz_year;

extern const char fuzz_year_header[];
/// A typical year, or the record of the leap year 2004; written once.
const fuzz_year *fuzz_year_of(int leap);
/// Header and rows. Free with fuzz_text_free.
fuzz_text fuzz_whole_year(int leap);

#endif
