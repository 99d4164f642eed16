// The units of the trade, US customary and SI.
// Factors: NIST Special Publication 811 (2008), appendix B [nist-sp811], where most customary units are
// exact.
#include "files/quantity_units.h"

#include <string.h>

#define FOOT_M   0.3048             // exact
#define INCH_M   0.0254             // exact
#define MILE_M   1609.344           // exact
#define POUND_KG 0.45359237         // exact
#define GALLON_L 3.785411784        // US, 231 cubic inches, exact
#define BTU_J    1055.05585262      // International Table, exact
#define HORSE_W  745.69987158227022 // 550 ft lbf/s: 550 x 0.3048 x 0.45359237 x 9.80665

static const sw_unit units[] = {
    // Of names that fit equally well the first of the dimension is suggested.
    {"W", SW_DIM_POWER, 1, 1, 0},
    {"kW", SW_DIM_POWER, 1000, 1, 0},
    {"hp", SW_DIM_POWER, HORSE_W, 1, 0},
    {"BTU/h", SW_DIM_POWER, BTU_J, 3600, 0},
    {"BTU/hr", SW_DIM_POWER, BTU_J, 3600, 0},
    {"mW", SW_DIM_POWER, 1, 1000, 0},
    {"MW", SW_DIM_POWER, 1e6, 1, 0},
    {"watt", SW_DIM_POWER, 1, 1, 0},
    {"watts", SW_DIM_POWER, 1, 1, 0},

    {"VA", SW_DIM_APPARENT_POWER, 1, 1, 0},
    {"kVA", SW_DIM_APPARENT_POWER, 1000, 1, 0},

    {"Wh", SW_DIM_ENERGY, 1, 1, 0},
    {"kWh", SW_DIM_ENERGY, 1000, 1, 0},
    {"BTU", SW_DIM_ENERGY, BTU_J, 3600, 0},
    {"J", SW_DIM_ENERGY, 1, 3600, 0},
    {"kJ", SW_DIM_ENERGY, 1000, 3600, 0},
    {"MJ", SW_DIM_ENERGY, 1e6, 3600, 0},
    {"mJ", SW_DIM_ENERGY, 1, 3.6e6, 0},
    {"MWh", SW_DIM_ENERGY, 1e6, 1, 0},
    {"mWh", SW_DIM_ENERGY, 1, 1000, 0},

    {"Ah", SW_DIM_CHARGE, 1, 1, 0},
    {"mAh", SW_DIM_CHARGE, 1, 1000, 0},

    {"V", SW_DIM_VOLTAGE, 1, 1, 0},
    {"mV", SW_DIM_VOLTAGE, 1, 1000, 0},
    {"kV", SW_DIM_VOLTAGE, 1000, 1, 0},
    {"VDC", SW_DIM_VOLTAGE, 1, 1, 0},
    {"VAC", SW_DIM_VOLTAGE, 1, 1, 0},
    {"volt", SW_DIM_VOLTAGE, 1, 1, 0},
    {"volts", SW_DIM_VOLTAGE, 1, 1, 0},

    {"A", SW_DIM_CURRENT, 1, 1, 0},
    {"mA", SW_DIM_CURRENT, 1, 1000, 0},
    {"amp", SW_DIM_CURRENT, 1, 1, 0},
    {"amps", SW_DIM_CURRENT, 1, 1, 0},

    {"ohm", SW_DIM_RESISTANCE, 1, 1, 0},
    {"mohm", SW_DIM_RESISTANCE, 1, 1000, 0},
    {"Mohm", SW_DIM_RESISTANCE, 1e6, 1, 0},
    {"ohms", SW_DIM_RESISTANCE, 1, 1, 0},
    {"Ω", SW_DIM_RESISTANCE, 1, 1, 0},
    {"mΩ", SW_DIM_RESISTANCE, 1, 1000, 0},
    {"MΩ", SW_DIM_RESISTANCE, 1e6, 1, 0},
    {"\u2126", SW_DIM_RESISTANCE, 1, 1, 0}, // the ohm sign, beside the Greek letter above
    {"m\u2126", SW_DIM_RESISTANCE, 1, 1000, 0},
    {"M\u2126", SW_DIM_RESISTANCE, 1e6, 1, 0},

    {"C", SW_DIM_TEMPERATURE, 1, 1, 0},
    {"F", SW_DIM_TEMPERATURE, 5, 9, -32},
    {"K", SW_DIM_TEMPERATURE, 1, 1, -273.15},
    {"degC", SW_DIM_TEMPERATURE, 1, 1, 0},
    {"degF", SW_DIM_TEMPERATURE, 5, 9, -32},
    {"°C", SW_DIM_TEMPERATURE, 1, 1, 0},
    {"°F", SW_DIM_TEMPERATURE, 5, 9, -32},

    {"K", SW_DIM_TEMPERATURE_STEP, 1, 1, 0},
    {"C", SW_DIM_TEMPERATURE_STEP, 1, 1, 0},
    {"F", SW_DIM_TEMPERATURE_STEP, 5, 9, 0},
    {"degC", SW_DIM_TEMPERATURE_STEP, 1, 1, 0},
    {"degF", SW_DIM_TEMPERATURE_STEP, 5, 9, 0},
    {"°C", SW_DIM_TEMPERATURE_STEP, 1, 1, 0},
    {"°F", SW_DIM_TEMPERATURE_STEP, 5, 9, 0},

    {"m", SW_DIM_LENGTH, 1, 1, 0},
    {"cm", SW_DIM_LENGTH, 1, 100, 0},
    {"mm", SW_DIM_LENGTH, 1, 1000, 0},
    {"km", SW_DIM_LENGTH, 1000, 1, 0},
    {"ft", SW_DIM_LENGTH, FOOT_M, 1, 0},
    {"in", SW_DIM_LENGTH, INCH_M, 1, 0},
    {"mi", SW_DIM_LENGTH, MILE_M, 1, 0},
    {"foot", SW_DIM_LENGTH, FOOT_M, 1, 0},
    {"feet", SW_DIM_LENGTH, FOOT_M, 1, 0},
    {"inch", SW_DIM_LENGTH, INCH_M, 1, 0},
    {"inches", SW_DIM_LENGTH, INCH_M, 1, 0},
    {"mile", SW_DIM_LENGTH, MILE_M, 1, 0},
    {"miles", SW_DIM_LENGTH, MILE_M, 1, 0},

    {"m2", SW_DIM_AREA, 1, 1, 0},
    {"ft2", SW_DIM_AREA, FOOT_M *FOOT_M, 1, 0},
    {"in2", SW_DIM_AREA, INCH_M *INCH_M, 1, 0},
    {"cm2", SW_DIM_AREA, 1, 1e4, 0},
    {"m²", SW_DIM_AREA, 1, 1, 0},
    {"ft²", SW_DIM_AREA, FOOT_M *FOOT_M, 1, 0},
    {"in²", SW_DIM_AREA, INCH_M *INCH_M, 1, 0},
    {"cm²", SW_DIM_AREA, 1, 1e4, 0},
    {"sq m", SW_DIM_AREA, 1, 1, 0},
    {"sq ft", SW_DIM_AREA, FOOT_M *FOOT_M, 1, 0},
    {"sq in", SW_DIM_AREA, INCH_M *INCH_M, 1, 0},

    {"L", SW_DIM_VOLUME, 1, 1, 0},
    {"l", SW_DIM_VOLUME, 1, 1, 0},
    {"ml", SW_DIM_VOLUME, 1, 1000, 0},
    {"mL", SW_DIM_VOLUME, 1, 1000, 0},
    {"gal", SW_DIM_VOLUME, GALLON_L, 1, 0},
    {"qt", SW_DIM_VOLUME, GALLON_L, 4, 0},
    {"cup", SW_DIM_VOLUME, GALLON_L, 16, 0},
    {"cups", SW_DIM_VOLUME, GALLON_L, 16, 0},
    {"fl oz", SW_DIM_VOLUME, GALLON_L, 128, 0},
    {"floz", SW_DIM_VOLUME, GALLON_L, 128, 0},
    {"m3", SW_DIM_VOLUME, 1000, 1, 0},
    {"m³", SW_DIM_VOLUME, 1000, 1, 0},
    {"liter", SW_DIM_VOLUME, 1, 1, 0},
    {"liters", SW_DIM_VOLUME, 1, 1, 0},
    {"litre", SW_DIM_VOLUME, 1, 1, 0},
    {"litres", SW_DIM_VOLUME, 1, 1, 0},
    {"gallon", SW_DIM_VOLUME, GALLON_L, 1, 0},
    {"gallons", SW_DIM_VOLUME, GALLON_L, 1, 0},

    {"kg", SW_DIM_MASS, 1, 1, 0},
    {"g", SW_DIM_MASS, 1, 1000, 0},
    {"lb", SW_DIM_MASS, POUND_KG, 1, 0},
    {"lbs", SW_DIM_MASS, POUND_KG, 1, 0},
    {"oz", SW_DIM_MASS, POUND_KG, 16, 0},
    {"t", SW_DIM_MASS, 1000, 1, 0},
    {"pound", SW_DIM_MASS, POUND_KG, 1, 0},
    {"pounds", SW_DIM_MASS, POUND_KG, 1, 0},

    {"s", SW_DIM_TIME, 1, 1, 0},
    {"min", SW_DIM_TIME, 60, 1, 0},
    {"h", SW_DIM_TIME, 3600, 1, 0},
    {"d", SW_DIM_TIME, 86400, 1, 0},
    {"day", SW_DIM_TIME, 86400, 1, 0},
    {"days", SW_DIM_TIME, 86400, 1, 0},
    {"hr", SW_DIM_TIME, 3600, 1, 0},
    {"hrs", SW_DIM_TIME, 3600, 1, 0},
    {"hour", SW_DIM_TIME, 3600, 1, 0},
    {"hours", SW_DIM_TIME, 3600, 1, 0},
    {"mins", SW_DIM_TIME, 60, 1, 0},
    {"minute", SW_DIM_TIME, 60, 1, 0},
    {"minutes", SW_DIM_TIME, 60, 1, 0},
    {"sec", SW_DIM_TIME, 1, 1, 0},
    {"second", SW_DIM_TIME, 1, 1, 0},
    {"seconds", SW_DIM_TIME, 1, 1, 0},

    {"m/s", SW_DIM_SPEED, 1, 1, 0},
    {"km/h", SW_DIM_SPEED, 1000, 3600, 0},
    {"kph", SW_DIM_SPEED, 1000, 3600, 0},
    {"mph", SW_DIM_SPEED, MILE_M, 3600, 0},
    {"kn", SW_DIM_SPEED, 1852, 3600, 0},

    {"deg", SW_DIM_ANGLE, 1, 1, 0},
    {"°", SW_DIM_ANGLE, 1, 1, 0},
    {"degree", SW_DIM_ANGLE, 1, 1, 0},
    {"degrees", SW_DIM_ANGLE, 1, 1, 0},

    {"%", SW_DIM_RATIO, 1, 100, 0},
    {"percent", SW_DIM_RATIO, 1, 100, 0},

    {"%/K", SW_DIM_PER_KELVIN, 1, 100, 0},
    {"%/C", SW_DIM_PER_KELVIN, 1, 100, 0},
    {"%/F", SW_DIM_PER_KELVIN, 9, 500, 0},
    {"%/degC", SW_DIM_PER_KELVIN, 1, 100, 0},
    {"%/degF", SW_DIM_PER_KELVIN, 9, 500, 0},
    {"%/°C", SW_DIM_PER_KELVIN, 1, 100, 0},
    {"%/°F", SW_DIM_PER_KELVIN, 9, 500, 0},

    {"kWh/m2", SW_DIM_IRRADIATION, 1, 1, 0},
    {"Wh/m2", SW_DIM_IRRADIATION, 1, 1000, 0},
    {"MJ/m2", SW_DIM_IRRADIATION, 1, 3.6, 0},
    {"kWh/m²", SW_DIM_IRRADIATION, 1, 1, 0},
    {"Wh/m²", SW_DIM_IRRADIATION, 1, 1000, 0},
    {"MJ/m²", SW_DIM_IRRADIATION, 1, 3.6, 0},

    {"W/K", SW_DIM_HEAT_LOSS, 1, 1, 0},
    {"W/C", SW_DIM_HEAT_LOSS, 1, 1, 0},
    {"BTU/h/F", SW_DIM_HEAT_LOSS, BTU_J * 9, 3600 * 5, 0},
    {"BTU/hr/F", SW_DIM_HEAT_LOSS, BTU_J * 9, 3600 * 5, 0},

    {"m3/h", SW_DIM_AIR_FLOW, 1, 1, 0},
    {"m³/h", SW_DIM_AIR_FLOW, 1, 1, 0},
    {"cfm", SW_DIM_AIR_FLOW, FOOT_M *FOOT_M *FOOT_M * 60, 1, 0},
};

enum { UNITS = sizeof units / sizeof units[0] };

// What a person calls each dimension, and the units to offer: not every spelling that is read.
static const struct {
    const char *says, *offers;
} dimensions[SW_DIM_COUNT] = {
    [SW_DIM_NONE] = {"a plain number", ""},
    [SW_DIM_POWER] = {"a power", "W, kW, hp, BTU/h"},
    [SW_DIM_APPARENT_POWER] = {"an apparent power", "VA, kVA"},
    [SW_DIM_ENERGY] = {"an energy", "Wh, kWh, BTU, kJ, MJ"},
    [SW_DIM_CHARGE] = {"a charge", "Ah, mAh"},
    [SW_DIM_VOLTAGE] = {"a voltage", "V, mV"},
    [SW_DIM_CURRENT] = {"a current", "A, mA"},
    [SW_DIM_RESISTANCE] = {"a resistance", "ohm, mohm"},
    [SW_DIM_TEMPERATURE] = {"a temperature", "C, F, K"},
    [SW_DIM_TEMPERATURE_STEP] = {"a temperature difference", "C, F, K"},
    [SW_DIM_LENGTH] = {"a length", "m, cm, mm, km, ft, in, mi"},
    [SW_DIM_AREA] = {"an area", "m2, cm2, ft2, in2"},
    [SW_DIM_VOLUME] = {"a volume", "L, ml, gal, qt, cup, fl oz"},
    [SW_DIM_MASS] = {"a mass", "kg, g, lb, oz"},
    [SW_DIM_TIME] = {"a time", "s, min, h, days"},
    [SW_DIM_SPEED] = {"a speed", "m/s, km/h, mph, kn"},
    [SW_DIM_ANGLE] = {"an angle", "deg"},
    [SW_DIM_RATIO] = {"a share", "%"},
    [SW_DIM_PER_KELVIN] = {"a change per degree", "%/K, %/C, %/F"},
    [SW_DIM_IRRADIATION] = {"a day's light on a surface", "kWh/m2, Wh/m2, MJ/m2"},
    [SW_DIM_HEAT_LOSS] = {"a loss of heat per degree", "W/K, BTU/h/F"},
    [SW_DIM_AIR_FLOW] = {"a flow of air", "m3/h, cfm"},
    [SW_DIM_MONEY] = {"an amount of money", "USD, CAD, EUR or another currency code of three capitals"},
};

const char *sw_dimension_says(sw_dimension dimension)
{
    return dimensions[dimension].says;
}

const char *sw_dimension_units(sw_dimension dimension)
{
    return dimensions[dimension].offers;
}

double sw_unit_to_held(const sw_unit *unit, double written)
{
    return (written + unit->offset) * unit->multiply / unit->divide;
}

double sw_unit_from_held(const sw_unit *unit, double held)
{
    return held * unit->divide / unit->multiply - unit->offset;
}

static int lower(char c)
{
    return c >= 'A' && c <= 'Z' ? c + ('a' - 'A') : c;
}

// True if `name` begins with `start`, letters of either case.
static int begins(const char *name, const char *start)
{
    while (*start != '\0' && lower(*name) == lower(*start)) {
        name++;
        start++;
    }
    return *start == '\0';
}

static int same_size(const sw_unit *a, const sw_unit *b)
{
    return a->multiply == b->multiply && a->divide == b->divide && a->offset == b->offset;
}

static int same_letters(const char *a, const char *b)
{
    return strlen(a) == strlen(b) && begins(a, b);
}

int sw_unit_same_letters(const sw_unit *a, const sw_unit *b)
{
    return same_letters(a->name, b->name);
}

const sw_unit *sw_unit_next(const sw_unit *unit, sw_dimension dimension)
{
    for (unit = unit == NULL ? units : unit + 1; unit < units + UNITS; unit++)
        if (unit->dimension == dimension)
            return unit;
    return NULL;
}

int sw_unit_any_case(const sw_unit *unit)
{
    const sw_unit *other = NULL;
    while ((other = sw_unit_next(other, unit->dimension)) != NULL)
        if (sw_unit_same_letters(unit, other) && !same_size(unit, other))
            return 0;
    return 1;
}

int sw_dimension_adds_up(sw_dimension dimension)
{
    return dimension == SW_DIM_TIME || dimension == SW_DIM_LENGTH || dimension == SW_DIM_MASS;
}

const sw_unit *sw_unit_find(const char *name, sw_dimension dimension)
{
    const sw_unit *unit = NULL, *alike = NULL;
    int sizes = 0;
    while ((unit = sw_unit_next(unit, dimension)) != NULL) {
        if (strcmp(unit->name, name) == 0)
            return unit;
        if (!same_letters(unit->name, name))
            continue;
        // Names of different size, such as mW and MW, leave open what "mw" is.
        sizes += alike == NULL || !same_size(alike, unit);
        alike = unit;
    }
    return sizes == 1 ? alike : NULL;
}

const sw_unit *sw_unit_find_any(const char *name)
{
    for (const sw_unit *unit = units; unit < units + UNITS; unit++)
        if (strcmp(unit->name, name) == 0)
            return unit;
    const sw_unit *found = NULL;
    for (int dimension = 0; dimension < SW_DIM_COUNT && found == NULL; dimension++)
        found = sw_unit_find(name, (sw_dimension)dimension);
    return found;
}

const char *sw_unit_like(const char *name, sw_dimension dimension)
{
    const char *names[UNITS];
    size_t count = 0;
    const sw_unit *unit = NULL;
    while ((unit = sw_unit_next(unit, dimension)) != NULL)
        names[count++] = unit->name;
    const char *like = sw_nearest_word(name, names, count);
    for (size_t i = 0; i < count && like == NULL; i++)
        if (*name != '\0' && begins(names[i], name))
            like = names[i];
    return like;
}
