// Files of published values: read, checked for what each value must say of itself, and compared with what the
// library computes. The format is told in tests/published/FORMAT.txt.
#ifndef SW_TESTS_SUPPORT_PUBLISHED_H
#define SW_TESTS_SUPPORT_PUBLISHED_H

#include "support/complaints.h"
#include "support/sources.h"

#define PUBLISHED_GIVEN_MAX 20

/// How a value is known: read in its source, worked out from equations read there, or recalled, be it the
/// value or the coefficients that it is worked out from.
typedef enum published_mark { MARK_SEEN, MARK_DERIVED, MARK_MEMORY, MARK_COUNT } published_mark;

/// Something that the library computes and that a source tells.
typedef struct published_quantity {
    const char *name;                       ///< as the data files write it
    const char *unit;                       ///< of the value and of its tolerance
    const char *given[PUBLISHED_GIVEN_MAX]; ///< what it is computed from, in the order of `value`
    double (*value)(const double *given);   ///< a value that is not a number is a failure
} published_quantity;

typedef struct published_rules {
    const published_quantity *quantity;
    int quantities;
    source_table *sources;
    int *used; ///< per quantity: how many values it has; added to
    const char *const
        *of_test; ///< quantities of the tests' own equations, ended by NULL; they say nothing of the library
} published_rules;

/// What a file came to.
typedef struct published_tally {
    int values[MARK_COUNT]; ///< of the library
    int of_test;            ///< values of the tests' own equations, not among those
    double greatest_share;  ///< of a tolerance that was used
    int greatest_line;
} published_tally;

/// Runs one file's text. Failing values, sources without values and malformed lines go to the complaints,
/// each with its line.
void published_run(const char *text, const char *file, const published_rules *rules, published_tally *tally,
                   complaints *c);

/// Complains of quantities that no file has a value of.
void published_settle(const published_rules *rules, complaints *c);

#endif
