// Writes values for people. Digits come from integers, so that no locale has a say in them.
#include "stillwatt/quantity.h"

#include "files/quantity_units.h"

#include <math.h>
#include <stdint.h>
#include <stdio.h>

enum { SI = 1 << SW_UNITS_SI, US = 1 << SW_UNITS_US, BOTH = SI | US };

struct style {
    sw_dimension dimension;
    int systems;
    double from; // least magnitude, in the held unit; half a step below the round figure, so that it rounds
                 // to it
    const char *unit;
    int significant,
        decimals; // at most so many decimals, fewer if that makes more digits than are significant
};

// The first row that fits is taken. Which unit and how many digits people like is our choice.
static const struct style styles[] = {
    {SW_DIM_POWER, BOTH, 1999.5, "kW", 3, 2},
    {SW_DIM_POWER, BOTH, 0, "W", 3, 2},
    {SW_DIM_APPARENT_POWER, BOTH, 1999.5, "kVA", 3, 2},
    {SW_DIM_APPARENT_POWER, BOTH, 0, "VA", 3, 2},
    {SW_DIM_ENERGY, BOTH, 999.5, "kWh", 3, 2},
    {SW_DIM_ENERGY, BOTH, 0, "Wh", 3, 2},
    {SW_DIM_CHARGE, BOTH, 0, "Ah", 3, 2},
    {SW_DIM_VOLTAGE, BOTH, 0, "V", 4, 3},
    {SW_DIM_CURRENT, BOTH, 0, "A", 3, 3},
    {SW_DIM_RESISTANCE, BOTH, 0.9995, "ohm", 3, 2},
    {SW_DIM_RESISTANCE, BOTH, 0, "mohm", 3, 2},
    {SW_DIM_TEMPERATURE, SI, 0, "C", 2, 0},
    {SW_DIM_TEMPERATURE, US, 0, "F", 2, 0},
    {SW_DIM_TEMPERATURE_STEP, SI, 0, "K", 2, 1},
    {SW_DIM_TEMPERATURE_STEP, US, 0, "F", 2, 1},
    {SW_DIM_LENGTH, SI, 9999.5, "km", 3, 1},
    {SW_DIM_LENGTH, SI, 0, "m", 3, 2},
    {SW_DIM_LENGTH, US, 16093.44, "mi", 3, 1}, // 10 mi; heights of mountains stay in feet
    {SW_DIM_LENGTH, US, 0, "ft", 3, 1},
    {SW_DIM_AREA, SI, 0, "m2", 3, 2},
    {SW_DIM_AREA, US, 0, "ft2", 3, 1},
    {SW_DIM_VOLUME, SI, 0, "L", 3, 2},
    {SW_DIM_VOLUME, US, 0, "gal", 3, 2},
    {SW_DIM_MASS, SI, 0, "kg", 3, 2},
    {SW_DIM_MASS, US, 0, "lb", 3, 1},
    {SW_DIM_SPEED, SI, 0, "km/h", 2, 1},
    {SW_DIM_SPEED, US, 0, "mph", 2, 1},
    {SW_DIM_ANGLE, BOTH, 0, "deg", 3, 1},
    {SW_DIM_RATIO, BOTH, 0, "%", 2, 1},
    {SW_DIM_PER_KELVIN, BOTH, 0, "%/K", 3, 3},
    {SW_DIM_IRRADIATION, BOTH, 0, "kWh/m2", 3, 2},
    {SW_DIM_HEAT_LOSS, SI, 0, "W/K", 3, 1},
    {SW_DIM_HEAT_LOSS, US, 0, "BTU/h/F", 3, 1},
    {SW_DIM_AIR_FLOW, SI, 0, "m3/h", 3, 0},
    {SW_DIM_AIR_FLOW, US, 0, "cfm", 3, 0},
};

static const double tens[] = {1, 10, 100, 1000};

// Rounds a magnitude half away from zero. A tie of the decimal figure that is meant, such as 1.005, may lie a
// few units in the last place lower as a double: it still counts as a tie.
static double round_half_up(double magnitude)
{
    return floor(magnitude * (1 + 4e-16) + 0.5);
}

// Writes a number with at most `decimals` decimals, without the zeros at their end; all of them if
// `keep_zeros`.
static int write_number(double value, int decimals, int keep_zeros, const char *unit, char *buffer,
                        size_t size)
{
    const char *gap = *unit == '\0' ? "" : " ";
    double scaled = round_half_up(fabs(value) * tens[decimals]);
    const char *minus = value < 0 && scaled > 0 ? "-" : "";
    if (scaled >= 1e15) // all digits are whole ones; "%.0f" has no decimal point that a locale could change
        return snprintf(buffer, size, "%.0f%s%s", value, gap, unit);
    uint64_t whole = (uint64_t)scaled / (uint64_t)tens[decimals];
    unsigned fraction = (unsigned)((uint64_t)scaled % (uint64_t)tens[decimals]);
    while (decimals > 0 && fraction % 10 == 0 && (fraction == 0 || !keep_zeros)) {
        fraction /= 10;
        decimals--;
    }
    if (decimals == 0)
        return snprintf(buffer, size, "%s%llu%s%s", minus, (unsigned long long)whole, gap, unit);
    return snprintf(buffer, size, "%s%llu.%0*u%s%s", minus, (unsigned long long)whole, decimals, fraction,
                    gap, unit);
}

static int sensible_decimals(double value, const struct style *style)
{
    int decimals = style->decimals;
    while (decimals > 0 && fabs(value) >= tens[style->significant - decimals])
        decimals--;
    return decimals;
}

// Times are written in two units, rounded to the smaller: "1 h 30 min".
static int write_time(double value_s, char *buffer, size_t size)
{
    static const struct {
        double below_s, large_s, small_s;
        const char *large, *small;
    } scales[] = {
        {600, 60, 1, "min", "s"},
        {172800, 3600, 60, "h", "min"},
        {INFINITY, 86400, 3600, "d", "h"},
    };
    double magnitude = fabs(value_s);
    if (round_half_up(magnitude) < 60 || magnitude >= 1e15)
        return write_number(value_s, magnitude < 10 ? 1 : 0, 0, "s", buffer, size);
    size_t i = 0;
    while (round_half_up(magnitude / scales[i].small_s) * scales[i].small_s >= scales[i].below_s)
        i++;
    uint64_t ratio = (uint64_t)(scales[i].large_s / scales[i].small_s);
    uint64_t count = (uint64_t)round_half_up(magnitude / scales[i].small_s);
    unsigned long long large = count / ratio, small = count % ratio;
    const char *minus = value_s < 0 ? "-" : "";
    if (small == 0)
        return snprintf(buffer, size, "%s%llu %s", minus, large, scales[i].large);
    if (large == 0)
        return snprintf(buffer, size, "%s%llu %s", minus, small, scales[i].small);
    return snprintf(buffer, size, "%s%llu %s %llu %s", minus, large, scales[i].large, small, scales[i].small);
}

int sw_quantity_write(double value, sw_dimension dimension, sw_units units, char *buffer, size_t size)
{
    if (!isfinite(value))
        return snprintf(buffer, size, "unknown");
    if (dimension == SW_DIM_TIME)
        return write_time(value, buffer, size);
    if (dimension == SW_DIM_MONEY)
        return write_number(value, 2, 1, "", buffer, size);
    if (dimension == SW_DIM_NONE)
        return write_number(value, 2, 0, "", buffer, size);
    const struct style *style = styles;
    while (style->dimension != dimension || (style->systems & 1 << units) == 0 || fabs(value) < style->from)
        style++;
    double written = sw_unit_from_held(sw_unit_find(style->unit, dimension), value);
    return write_number(written, sensible_decimals(written, style), 0, style->unit, buffer, size);
}
