// Shorthand for the rows of key tables. SELF is the struct that the table fills.
#ifndef SW_FILES_KEY_ROWS_H
#define SW_FILES_KEY_ROWS_H

#include "files/keys.h"

#define COUNT_OF(a) (sizeof(a) / sizeof((a)[0]))

#define AT(field)          .offset = offsetof(SELF, field)
#define RANGE(low_, high_) .least = (low_), .most = (high_)

// How a row gets its value when the file gives none.
#define NEEDED   .need = SW_NEEDED
#define OPTIONAL .need = SW_OPTIONAL
// A default that matters and is listed, with the range in which the true value plausibly lies and where it
// comes from.
#define ASSUMED(value, low_, high_, mark_)                                                                   \
    .need = SW_DEFAULTED, .fallback = (value), .low = (low_), .high = (high_), .mark = (mark_)
// A default that is a plain convention of the format.
#define USUALLY(value) .need = SW_DEFAULTED, .fallback = (value), .low = (value), .high = (value)

#define TYPICAL  "typical, from memory"
#define PRACTICE "common practice, no source"

#define QUANTITY(name_, dimension_) .name = (name_), .kind = SW_KEY_QUANTITY, .dimension = SW_DIM_##dimension_
#define NUMBER(name_)               .name = (name_), .kind = SW_KEY_NUMBER
#define COUNT(name_)                .name = (name_), .kind = SW_KEY_COUNT
#define TEXT(name_)                 .name = (name_), .kind = SW_KEY_TEXT
#define OTHER(name_)                .name = (name_), .kind = SW_KEY_OTHER
#define CHOICE(name_, words_)       .name = (name_), .kind = SW_KEY_CHOICE, .words = (words_)
#define CHOICES(name_, words_)      .name = (name_), .kind = SW_KEY_CHOICES, .words = (words_)

// What every part carries: its part file, price, labour, mass and seat.
#define PART_ROWS                                                                                            \
    {OTHER("part"), OPTIONAL, .example = "\"lfp-100\"",                                                      \
     .says = "a part file whose keys count where none stand here"},                                          \
        {QUANTITY("price", MONEY),   OPTIONAL, AT(cost.price), RANGE(0, 1e7), .example = "\"450 USD\"",      \
         .says = "price of one unit"},                                                                       \
        {QUANTITY("labour", TIME),       OPTIONAL, AT(cost.labour_s), RANGE(0, 3.6e6), .example = "\"3 h\"", \
         .says = "work to fit all units"},                                                                   \
        {QUANTITY("mass", MASS),    OPTIONAL, AT(cost.mass_kg), RANGE(0, 2000), .example = "\"11 kg\"",      \
         .says = "mass of one unit"},                                                                        \
    {                                                                                                        \
        CHOICE("seat", sw_seat_words), OPTIONAL, AT(cost.seat), .example = "\"rear\"",                       \
                                                                .says = "where in the vehicle it sits"       \
    }

extern const sw_word sw_seat_words[];

#endif
