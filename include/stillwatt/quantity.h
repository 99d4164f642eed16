/// Quantities with units, as people write them: "180 W", "88 F", "21 gal", "90 min", "6200 ft".
#ifndef STILLWATT_QUANTITY_H
#define STILLWATT_QUANTITY_H

#include "stillwatt/status.h"

#include <stddef.h>

/// What a quantity measures. The comment names the unit that values are held in.
typedef enum sw_dimension {
    SW_DIM_NONE,             ///< a plain number without unit; no text is read as one
    SW_DIM_POWER,            ///< W
    SW_DIM_APPARENT_POWER,   ///< VA
    SW_DIM_ENERGY,           ///< Wh
    SW_DIM_CHARGE,           ///< Ah
    SW_DIM_VOLTAGE,          ///< V
    SW_DIM_CURRENT,          ///< A
    SW_DIM_RESISTANCE,       ///< ohm
    SW_DIM_TEMPERATURE,      ///< degC, a point on the scale
    SW_DIM_TEMPERATURE_STEP, ///< K, a difference
    SW_DIM_LENGTH,           ///< m
    SW_DIM_AREA,             ///< m2
    SW_DIM_VOLUME,           ///< L
    SW_DIM_MASS,             ///< kg
    SW_DIM_TIME,             ///< s
    SW_DIM_SPEED,            ///< m/s
    SW_DIM_ANGLE,            ///< deg
    SW_DIM_RATIO,            ///< 1 ("%" only)
    SW_DIM_PER_KELVIN,       ///< 1/K ("%/K", "%/C", "%/F")
    SW_DIM_IRRADIATION,      ///< kWh/m2 (of a day)
    SW_DIM_HEAT_LOSS,        ///< W/K
    SW_DIM_AIR_FLOW,         ///< m3/h
    SW_DIM_MONEY,            ///< the number; the unit is an ISO 4217 code in capitals, such as "850 USD"
    SW_DIM_COUNT
} sw_dimension;

typedef enum sw_units { SW_UNITS_SI, SW_UNITS_US } sw_units;

typedef enum sw_quantity_result {
    SW_QUANTITY_OK,
    SW_QUANTITY_NO_NUMBER,       ///< does not begin with a plain decimal number
    SW_QUANTITY_NO_UNIT,         ///< a number alone
    SW_QUANTITY_UNKNOWN_UNIT,    ///< see `unit`
    SW_QUANTITY_WRONG_DIMENSION, ///< a known unit of something else, see `found`
    SW_QUANTITY_TOO_LARGE        ///< not finite in a double
} sw_quantity_result;

typedef struct sw_quantity {
    double value;           ///< in the held unit of the dimension; 0 unless SW_QUANTITY_OK
    char unit[16];          ///< the unit as written, of the last part that was read, cut to fit
    sw_dimension found;     ///< what the unit measures, for WRONG_DIMENSION
    const char *suggestion; ///< a known unit of the wanted dimension that is spelt alike, or NULL; static
} sw_quantity;

/// Reads a quantity of the wanted dimension. Surrounding blanks, a blank or none before the unit and
/// thousands commas ("1,200 W") are allowed; the decimal separator is a full stop whatever the locale. Times,
/// lengths and masses in several units, each smaller than the one before, add up ("1 h 30 min", "5 ft 6 in").
/// A unit whose letters differ in case is taken if that leaves no doubt: "kwh" is kWh, but "mw" is neither mW
/// nor MW. Units: US and SI units of the trade; C, degC, F, degF, K. "W*h" style expressions are not read.
sw_quantity_result sw_quantity_read(const char *text, sw_dimension wanted, sw_quantity *out);

/// The straight line from a unit to the held one of its dimension: held = value * scale + zero.
/// @return 1, or 0 if the dimension has no such unit (both untouched)
int sw_quantity_line(const char *unit, sw_dimension dimension, double *scale, double *zero);

/// Name of a dimension as a person says it with its article ("a power", "an energy", "a share").
const char *sw_dimension_says(sw_dimension dimension);

/// The known units of a dimension, as "W, kW, hp"; static text.
const char *sw_dimension_units(sw_dimension dimension);

/// Writes a value for people in the chosen system with sensible digits: "180 W", "1.24 kWh", "-12 C" or "10
/// F", "6200 ft", "1 h 30 min". Rounded half away from zero, no negative zero; money has no unit; what is not
/// finite is "unknown". What has a unit can be read again.
/// @return the length it needs, as snprintf
int sw_quantity_write(double value, sw_dimension dimension, sw_units units, char *buffer, size_t size);

/// The known word nearest to a misspelt one (restricted Damerau-Levenshtein distance, case ignored), or NULL
/// if none is within a third of its length (at least 1, at most 3) or all letters would have to change.
/// Ties: the first. Also used for keys and choices. Words longer than 63 bytes are near to nothing.
const char *sw_nearest_word(const char *word, const char *const *known, size_t count);

#endif
