// The texts that values are written as, as regular expressions of JSON Schema (ECMA 262).
#ifndef SW_FILES_SCHEMA_PATTERNS_H
#define SW_FILES_SCHEMA_PATTERNS_H

#include "files/json_write.h"
#include "stillwatt/quantity.h"

/// What is not in the tables: see values.c and civil.c, which read the same.
#define SW_PATTERN_PLAIN_TEXT                                                                                \
    "^[^\\u0000-\\u001f\\u007f-\\u009f\\u061c\\u200e\\u200f\\u2028-\\u202e\\u2066-\\u2069]+$"
#define SW_PATTERN_CLOCK   "(?:[01][0-9]|2[0-3]):[0-5][0-9]"
#define SW_PATTERN_STRETCH "^(?!(.{5})-\\1$)" SW_PATTERN_CLOCK "-(?:" SW_PATTERN_CLOCK "|24:00)$"
#define SW_PATTERN_TIME    "^" SW_PATTERN_CLOCK "$"
#define SW_PATTERN_DAY     "(?:0[1-9]|1[0-2])-(?:0[1-9]|[12][0-9]|3[01])"
#define SW_PATTERN_DATE    "^(?!0000)[0-9]{4}-" SW_PATTERN_DAY "$"
#define SW_PATTERN_MOMENT                                                                                    \
    "^(?:19|20)[0-9]{2}-" SW_PATTERN_DAY "[ T](?:" SW_PATTERN_CLOCK "(?::[0-5][0-9])?|24:00(?::00)?)$"

/// "pattern": what sw_quantity_read takes for the dimension.
void sw_pattern_quantity(sw_json_writer *w, sw_dimension dimension);

#endif
