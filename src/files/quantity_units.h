// The table of units: what people write, what it measures and how it is turned into the unit that values are
// held in.
#ifndef SW_FILES_QUANTITY_UNITS_H
#define SW_FILES_QUANTITY_UNITS_H

#include "stillwatt/quantity.h"

/// held value = (written value + offset) x multiply / divide. Two factors, so that common conversions round
/// only once.
typedef struct sw_unit {
    const char *name;
    sw_dimension dimension;
    double multiply, divide, offset;
} sw_unit;

/// The unit of this name in a dimension: spelt exactly, or else the only one that differs in case alone. NULL
/// if there is none or several. Names of money are not in the table.
const sw_unit *sw_unit_find(const char *name, sw_dimension dimension);

/// The unit of this name in any dimension, as above; the first of the table.
const sw_unit *sw_unit_find_any(const char *name);

/// A unit of the dimension whose name is spelt alike or begins alike; NULL if there is none.
const char *sw_unit_like(const char *name, sw_dimension dimension);

/// The units of a dimension in the order of the table: the first after NULL, NULL after the last.
const sw_unit *sw_unit_next(const sw_unit *unit, sw_dimension dimension);

/// True if the names differ in the case of letters at most.
int sw_unit_same_letters(const sw_unit *a, const sw_unit *b);

/// True if the name is read whatever the case of its letters.
int sw_unit_any_case(const sw_unit *unit);

/// True if parts of quantities of this dimension in several units add up: "1 h 30 min".
int sw_dimension_adds_up(sw_dimension dimension);

double sw_unit_to_held(const sw_unit *unit, double written);
double sw_unit_from_held(const sw_unit *unit, double held);

#endif
