// Quantities: every unit against the published factors, what people write, what is refused, what is written.
#include "stillwatt/quantity.h"
#include "support/checks.h"

#include <ctype.h>
#include <gsl/gsl_const_mksa.h>
#include <math.h>
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

static double value_of(const char *text, sw_dimension dimension)
{
    sw_quantity quantity;
    sw_quantity_result result = sw_quantity_read(text, dimension, &quantity);
    ck_assert_msg(result == SW_QUANTITY_OK, "%s: result %d", text, result);
    ck_assert_int_eq(quantity.found, dimension);
    return quantity.value;
}

struct reading {
    const char *text;
    sw_dimension dimension;
    double value;
};

// Readings may differ by the rounding of one sum, one product and one quotient, half a unit in the last place
// each.
static void check_readings(const struct reading *readings, size_t count)
{
    for (size_t i = 0; i < count; i++) {
        double value = value_of(readings[i].text, readings[i].dimension);
        double tolerance = 1.5 * 2.3e-16 * (fabs(readings[i].value) + 1e-300);
        ck_assert_msg(fabs(value - readings[i].value) <= tolerance, "%s: %.17g, not %.17g", readings[i].text,
                      value, readings[i].value);
    }
}

#define CHECK_READINGS(table) check_readings(table, sizeof table / sizeof table[0])

START_TEST(si_units_and_their_prefixes_are_exact)
{
    static const struct reading table[] = {
        {"180 W", SW_DIM_POWER, 180},
        {"1.2 kW", SW_DIM_POWER, 1200},
        {"500 mW", SW_DIM_POWER, 0.5},
        {"5 MW", SW_DIM_POWER, 5e6},
        {"600 VA", SW_DIM_APPARENT_POWER, 600},
        {"2.4 kVA", SW_DIM_APPARENT_POWER, 2400},
        {"640 Wh", SW_DIM_ENERGY, 640},
        {"1.24 kWh", SW_DIM_ENERGY, 1240},
        {"1 MWh", SW_DIM_ENERGY, 1e6},
        {"3600 J", SW_DIM_ENERGY, 1},
        {"180 kJ", SW_DIM_ENERGY, 50},
        {"3.6 MJ", SW_DIM_ENERGY, 1000},
        {"100 Ah", SW_DIM_CHARGE, 100},
        {"5000 mAh", SW_DIM_CHARGE, 5},
        {"12.8 V", SW_DIM_VOLTAGE, 12.8},
        {"-24 mV", SW_DIM_VOLTAGE, -0.024},
        {"0.12 kV", SW_DIM_VOLTAGE, 120},
        {"12 VDC", SW_DIM_VOLTAGE, 12},
        {"120 VAC", SW_DIM_VOLTAGE, 120},
        {"30 A", SW_DIM_CURRENT, 30},
        {"20 mA", SW_DIM_CURRENT, 0.02},
        {"0.5 ohm", SW_DIM_RESISTANCE, 0.5},
        {"10 mohm", SW_DIM_RESISTANCE, 0.01},
        {"10 mΩ", SW_DIM_RESISTANCE, 0.01},
        {"10 m\u2126", SW_DIM_RESISTANCE, 0.01},
        {"3 Ω", SW_DIM_RESISTANCE, 3},
        {"3 \u2126", SW_DIM_RESISTANCE, 3},
        {"1.5 m", SW_DIM_LENGTH, 1.5},
        {"35 cm", SW_DIM_LENGTH, 0.35},
        {"35 mm", SW_DIM_LENGTH, 0.035},
        {"12 km", SW_DIM_LENGTH, 12000},
        {"2 m2", SW_DIM_AREA, 2},
        {"2 m²", SW_DIM_AREA, 2},
        {"5000 cm2", SW_DIM_AREA, 0.5},
        {"2 sq m", SW_DIM_AREA, 2},
        {"80 L", SW_DIM_VOLUME, 80},
        {"80 l", SW_DIM_VOLUME, 80},
        {"330 ml", SW_DIM_VOLUME, 0.33},
        {"330 mL", SW_DIM_VOLUME, 0.33},
        {"0.08 m3", SW_DIM_VOLUME, 80},
        {"0.08 m³", SW_DIM_VOLUME, 80},
        {"25 kg", SW_DIM_MASS, 25},
        {"250 g", SW_DIM_MASS, 0.25},
        {"3.5 t", SW_DIM_MASS, 3500},
        {"45 s", SW_DIM_TIME, 45},
        {"90 min", SW_DIM_TIME, 5400},
        {"90 minutes", SW_DIM_TIME, 5400},
        {"1 minute", SW_DIM_TIME, 60},
        {"2 h", SW_DIM_TIME, 7200},
        {"2 hr", SW_DIM_TIME, 7200},
        {"2 hrs", SW_DIM_TIME, 7200},
        {"1 hour", SW_DIM_TIME, 3600},
        {"2 hours", SW_DIM_TIME, 7200},
        {"3 d", SW_DIM_TIME, 259200},
        {"1 day", SW_DIM_TIME, 86400},
        {"3 days", SW_DIM_TIME, 259200},
        {"30 sec", SW_DIM_TIME, 30},
        {"30 seconds", SW_DIM_TIME, 30},
        {"5 m/s", SW_DIM_SPEED, 5},
        {"90 km/h", SW_DIM_SPEED, 25},
        {"90 kph", SW_DIM_SPEED, 25},
        {"30 deg", SW_DIM_ANGLE, 30},
        {"30°", SW_DIM_ANGLE, 30},
        {"34 %", SW_DIM_RATIO, 0.34},
        {"34%", SW_DIM_RATIO, 0.34},
        {"-0.36 %/K", SW_DIM_PER_KELVIN, -0.0036},
        {"-0.36 %/C", SW_DIM_PER_KELVIN, -0.0036},
        {"-0.36 %/°C", SW_DIM_PER_KELVIN, -0.0036},
        {"-0.2 %/F", SW_DIM_PER_KELVIN, -0.0036},
        {"5.2 kWh/m2", SW_DIM_IRRADIATION, 5.2},
        {"50 W/K", SW_DIM_HEAT_LOSS, 50},
        {"50 W/C", SW_DIM_HEAT_LOSS, 50},
        {"100 m3/h", SW_DIM_AIR_FLOW, 100},
        {"100 m³/h", SW_DIM_AIR_FLOW, 100},
        {"5200 Wh/m2", SW_DIM_IRRADIATION, 5.2},
        {"18 MJ/m2", SW_DIM_IRRADIATION, 5},
        {"18 MJ/m²", SW_DIM_IRRADIATION, 5},
        {"850 USD", SW_DIM_MONEY, 850},
        {"1,200.50 CAD", SW_DIM_MONEY, 1200.5},
    };
    CHECK_READINGS(table);
}
END_TEST

// [nist-sp811] appendix B.8: exact factors where it prints them in bold, otherwise its seven digits (from
// memory).
START_TEST(customary_units_are_those_of_nist)
{
    static const struct {
        const char *text;
        sw_dimension dimension;
        double value, digits; // digits: relative rounding of the printed value, or of a double
    } table[] = {
        {"1 ft", SW_DIM_LENGTH, 3.048e-01, 1e-15},       {"1 in", SW_DIM_LENGTH, 2.54e-02, 1e-15},
        {"1 mi", SW_DIM_LENGTH, 1.609344e+03, 1e-15},    {"1 ft2", SW_DIM_AREA, 9.290304e-02, 1e-15},
        {"1 ft²", SW_DIM_AREA, 9.290304e-02, 1e-15},     {"1 sq ft", SW_DIM_AREA, 9.290304e-02, 1e-15},
        {"1 in2", SW_DIM_AREA, 6.4516e-04, 1e-15},       {"1 lb", SW_DIM_MASS, 4.535924e-01, 2e-7},
        {"1 lbs", SW_DIM_MASS, 4.535924e-01, 2e-7},      {"1 oz", SW_DIM_MASS, 2.834952e-02, 2e-7},
        {"1 gal", SW_DIM_VOLUME, 3.785412e+00, 2e-7},    {"1 qt", SW_DIM_VOLUME, 9.463529e-01, 2e-7},
        {"1 cup", SW_DIM_VOLUME, 2.365882e-01, 2e-7},    {"1 fl oz", SW_DIM_VOLUME, 2.957353e-02, 2e-7},
        {"1 floz", SW_DIM_VOLUME, 2.957353e-02, 2e-7},   {"1 BTU/h", SW_DIM_POWER, 2.930711e-01, 2e-7},
        {"3600 BTU", SW_DIM_ENERGY, 1.055056e+03, 5e-7}, {"1 hp", SW_DIM_POWER, 7.456999e+02, 1e-7},
        {"1 mph", SW_DIM_SPEED, 4.4704e-01, 1e-15},      {"1 kn", SW_DIM_SPEED, 5.144444e-01, 1e-7},
    };
    for (size_t i = 0; i < sizeof table / sizeof table[0]; i++) {
        double value = value_of(table[i].text, table[i].dimension);
        ck_assert_msg(fabs(value - table[i].value) <= table[i].digits * table[i].value, "%s: %.17g",
                      table[i].text, value);
    }
}
END_TEST

// The same from another library. It prints 12 digits, five for the horsepower.
START_TEST(customary_units_are_those_of_gsl)
{
    const struct {
        const char *text;
        sw_dimension dimension;
        double value, digits;
    } table[] = {
        {"1 ft", SW_DIM_LENGTH, GSL_CONST_MKSA_FOOT, 1e-11},
        {"1 in", SW_DIM_LENGTH, GSL_CONST_MKSA_INCH, 1e-11},
        {"1 mi", SW_DIM_LENGTH, GSL_CONST_MKSA_MILE, 1e-11},
        {"1 lb", SW_DIM_MASS, GSL_CONST_MKSA_POUND_MASS, 1e-11},
        {"1 oz", SW_DIM_MASS, GSL_CONST_MKSA_OUNCE_MASS, 1e-11},
        {"1 gal", SW_DIM_VOLUME, 1000 * GSL_CONST_MKSA_US_GALLON, 1e-11},
        {"1 qt", SW_DIM_VOLUME, 1000 * GSL_CONST_MKSA_QUART, 1e-11},
        {"1 fl oz", SW_DIM_VOLUME, 1000 * GSL_CONST_MKSA_FLUID_OUNCE, 1e-11},
        {"1 cup", SW_DIM_VOLUME, 1000 * GSL_CONST_MKSA_CUP, 1e-11},
        {"3600 BTU", SW_DIM_ENERGY, GSL_CONST_MKSA_BTU, 1e-11},
        {"3600 BTU/h", SW_DIM_POWER, GSL_CONST_MKSA_BTU, 1e-11},
        {"2000 BTU/h/F", SW_DIM_HEAT_LOSS, GSL_CONST_MKSA_BTU, 1e-11},
        {"1 cfm", SW_DIM_AIR_FLOW, 60 * GSL_CONST_MKSA_FOOT * GSL_CONST_MKSA_FOOT * GSL_CONST_MKSA_FOOT,
         1e-11},
        {"1 hp", SW_DIM_POWER, GSL_CONST_MKSA_HORSEPOWER, 1e-4},
        {"1 mph", SW_DIM_SPEED, GSL_CONST_MKSA_MILES_PER_HOUR, 1e-11},
        {"1 km/h", SW_DIM_SPEED, GSL_CONST_MKSA_KILOMETERS_PER_HOUR, 1e-11},
        {"1 kn", SW_DIM_SPEED, GSL_CONST_MKSA_KNOT, 1e-11},
        {"1 t", SW_DIM_MASS, GSL_CONST_MKSA_METRIC_TON, 1e-11},
    };
    for (size_t i = 0; i < sizeof table / sizeof table[0]; i++) {
        double value = value_of(table[i].text, table[i].dimension);
        ck_assert_msg(fabs(value - table[i].value) <= table[i].digits * table[i].value, "%s: %.17g",
                      table[i].text, value);
    }
}
END_TEST

// [nist-sp811] B.8: t/degC = (t/degF - 32)/1.8, t/degC = T/K - 273.15; a difference has no offset.
START_TEST(temperatures_are_points_and_differences_are_not)
{
    static const struct reading table[] = {
        {"212 F", SW_DIM_TEMPERATURE, 100},
        {"32 F", SW_DIM_TEMPERATURE, 0},
        {"-40 F", SW_DIM_TEMPERATURE, -40},
        {"\u2212"
         "40 °F",
         SW_DIM_TEMPERATURE, -40},
        {"77 degF", SW_DIM_TEMPERATURE, 25},
        {"88 F", SW_DIM_TEMPERATURE, 56 / 1.8},
        {"21.5 C", SW_DIM_TEMPERATURE, 21.5},
        {"21.5 °C", SW_DIM_TEMPERATURE, 21.5},
        {"21.5 degC", SW_DIM_TEMPERATURE, 21.5},
        {"273.15 K", SW_DIM_TEMPERATURE, 0},
        {"0 K", SW_DIM_TEMPERATURE, -273.15},
        {"18 F", SW_DIM_TEMPERATURE_STEP, 10},
        {"-18 °F", SW_DIM_TEMPERATURE_STEP, -10},
        {"3 K", SW_DIM_TEMPERATURE_STEP, 3},
        {"3 C", SW_DIM_TEMPERATURE_STEP, 3},
    };
    CHECK_READINGS(table);
}
END_TEST

START_TEST(numbers_are_read_as_people_write_them)
{
    static const struct reading table[] = {
        {"1,200 W", SW_DIM_POWER, 1200},    {"12,345,678 W", SW_DIM_POWER, 12345678},
        {"1,200.5W", SW_DIM_POWER, 1200.5}, {".5 gal", SW_DIM_VOLUME, 1.892705892},
        {"0.5 L", SW_DIM_VOLUME, 0.5},      {"007 L", SW_DIM_VOLUME, 7},
        {"+5 C", SW_DIM_TEMPERATURE, 5},    {"  180   W  ", SW_DIM_POWER, 180},
        {"180\tW", SW_DIM_POWER, 180},      {"180\u00A0W", SW_DIM_POWER, 180},
        {"180\u202FW", SW_DIM_POWER, 180},  {"12 sq  ft", SW_DIM_AREA, 1.11483648},
    };
    CHECK_READINGS(table);
}
END_TEST

START_TEST(a_different_case_is_taken_if_it_leaves_no_doubt)
{
    static const struct reading table[] = {
        {"180 w", SW_DIM_POWER, 180},
        {"2 KW", SW_DIM_POWER, 2000},
        {"2 kwh", SW_DIM_ENERGY, 2000},
        {"100 AH", SW_DIM_CHARGE, 100},
        {"21 GAL", SW_DIM_VOLUME, 79.493647464},
        {"90 MIN", SW_DIM_TIME, 5400},
        {"2 Hours", SW_DIM_TIME, 7200},
        {"5 c", SW_DIM_TEMPERATURE, 5},
        {"10 Btu/H", SW_DIM_POWER, 10 * 1055.05585262 / 3600},
        {"10 MOHM", SW_DIM_RESISTANCE, 0},
    };
    check_readings(table, sizeof table / sizeof table[0] - 1);
    sw_quantity quantity;
    ck_assert_int_eq(sw_quantity_read("10 MOHM", SW_DIM_RESISTANCE, &quantity), SW_QUANTITY_UNKNOWN_UNIT);
    ck_assert_int_eq(sw_quantity_read("5 mw", SW_DIM_POWER, &quantity), SW_QUANTITY_UNKNOWN_UNIT);
    ck_assert_str_eq(quantity.suggestion, "mW");
    ck_assert_int_eq(sw_quantity_read("5 Mw", SW_DIM_POWER, &quantity), SW_QUANTITY_UNKNOWN_UNIT);
    ck_assert_int_eq(sw_quantity_read("5 mj", SW_DIM_ENERGY, &quantity), SW_QUANTITY_UNKNOWN_UNIT);
    ck_assert_int_eq(sw_quantity_read("5 MWH", SW_DIM_ENERGY, &quantity), SW_QUANTITY_UNKNOWN_UNIT);
}
END_TEST

START_TEST(parts_in_falling_units_add_up)
{
    static const struct reading table[] = {
        {"1 h 30 min", SW_DIM_TIME, 5400},
        {"1h30min", SW_DIM_TIME, 5400},
        {"1 hour 30 minutes 15 seconds", SW_DIM_TIME, 5415},
        {"2 days 4.5 h", SW_DIM_TIME, 189000},
        {"-1 h 30 min", SW_DIM_TIME, -5400},
        {"5 ft 6 in", SW_DIM_LENGTH, 1.6764},
        {"5ft6in", SW_DIM_LENGTH, 1.6764},
        {"2 lb 8 oz", SW_DIM_MASS, 1.133980925},
    };
    CHECK_READINGS(table);
}
END_TEST

struct refusal {
    const char *text;
    sw_dimension wanted;
    sw_quantity_result result;
    const char *unit;
    sw_dimension found;
    const char *suggestion;
};

static void check_refusals(const struct refusal *refusals, size_t count)
{
    for (const struct refusal *r = refusals; r < refusals + count; r++) {
        sw_quantity quantity;
        memset(&quantity, 0x55, sizeof quantity);
        sw_quantity_result result = sw_quantity_read(r->text, r->wanted, &quantity);
        ck_assert_msg(result == r->result, "%s: result %d, not %d", r->text, result, r->result);
        ck_assert_msg(strcmp(quantity.unit, r->unit) == 0, "%s: unit %s", r->text, quantity.unit);
        ck_assert_msg(quantity.found == r->found, "%s: found %d", r->text, quantity.found);
        const char *suggestion = quantity.suggestion == NULL ? "" : quantity.suggestion;
        ck_assert_msg(strcmp(suggestion, r->suggestion) == 0, "%s: suggestion %s", r->text, suggestion);
        ck_assert(quantity.value == 0);
    }
}

#define CHECK_REFUSALS(table) check_refusals(table, sizeof table / sizeof table[0])

START_TEST(what_has_no_plain_number_is_refused)
{
    static const char *const texts[] = {
        "",       "   ",      "W",        "many W",  "-",          "- 5 W",     "--5 W",
        "1,5 W",  "0,500 kW", "1,2000 W", "12,34 W", "1234,567 W", "1,200,5 W", "1.5,000 W",
        ",200 W", "$850",     ".",        ". W",     "NaN W",      "inf W",     "1, 200 W"};
    for (size_t i = 0; i < sizeof texts / sizeof texts[0]; i++)
        check_refusals(&(struct refusal){texts[i], SW_DIM_POWER, SW_QUANTITY_NO_NUMBER, "", SW_DIM_POWER, ""},
                       1);
}
END_TEST

START_TEST(a_number_alone_is_refused)
{
    static const struct refusal table[] = {
        {"180", SW_DIM_POWER, SW_QUANTITY_NO_UNIT, "", SW_DIM_POWER, ""},
        {" -1,200.5 ", SW_DIM_POWER, SW_QUANTITY_NO_UNIT, "", SW_DIM_POWER, ""},
        {"850", SW_DIM_MONEY, SW_QUANTITY_NO_UNIT, "", SW_DIM_MONEY, ""},
        {"1 h 30", SW_DIM_TIME, SW_QUANTITY_NO_UNIT, "", SW_DIM_TIME, ""},
    };
    CHECK_REFUSALS(table);
}
END_TEST

START_TEST(an_unknown_unit_is_told_with_one_that_is_spelt_alike)
{
    static const struct refusal table[] = {
        {"180 Wat", SW_DIM_POWER, SW_QUANTITY_UNKNOWN_UNIT, "Wat", SW_DIM_POWER, "watt"},
        {"180 kWW", SW_DIM_POWER, SW_QUANTITY_UNKNOWN_UNIT, "kWW", SW_DIM_POWER, "kW"},
        {"12 gla", SW_DIM_VOLUME, SW_QUANTITY_UNKNOWN_UNIT, "gla", SW_DIM_VOLUME, "gal"},
        {"3 parsecs", SW_DIM_LENGTH, SW_QUANTITY_UNKNOWN_UNIT, "parsecs", SW_DIM_LENGTH, ""},
        {"1e3 W", SW_DIM_POWER, SW_QUANTITY_UNKNOWN_UNIT, "e3 W", SW_DIM_POWER, ""},
        {"5 W 3 mW", SW_DIM_POWER, SW_QUANTITY_UNKNOWN_UNIT, "W 3 mW", SW_DIM_POWER, ""},
        {"30 min 1 h", SW_DIM_TIME, SW_QUANTITY_UNKNOWN_UNIT, "h", SW_DIM_TIME, ""},
        {"1 h 2 h", SW_DIM_TIME, SW_QUANTITY_UNKNOWN_UNIT, "h", SW_DIM_TIME, ""},
        {"850 usd", SW_DIM_MONEY, SW_QUANTITY_UNKNOWN_UNIT, "usd", SW_DIM_MONEY, ""},
        {"850 DOLLARS", SW_DIM_MONEY, SW_QUANTITY_UNKNOWN_UNIT, "DOLLARS", SW_DIM_MONEY, ""},
        {"5 W*h", SW_DIM_ENERGY, SW_QUANTITY_UNKNOWN_UNIT, "W*h", SW_DIM_ENERGY, "Wh"},
        {"5 abcdefghijklmn°C", SW_DIM_POWER, SW_QUANTITY_UNKNOWN_UNIT, "abcdefghijklmn", SW_DIM_POWER, ""},
        {"5 abcdefghijklm° ", SW_DIM_POWER, SW_QUANTITY_UNKNOWN_UNIT, "abcdefghijklm°", SW_DIM_POWER, ""},
        {"5 a unit of a name that is longer than any", SW_DIM_POWER, SW_QUANTITY_UNKNOWN_UNIT,
         "a unit of a nam", SW_DIM_POWER, ""},
    };
    CHECK_REFUSALS(table);
}
END_TEST

START_TEST(a_unit_of_something_else_is_told_as_what_it_is)
{
    static const struct refusal table[] = {
        {"180 W", SW_DIM_ENERGY, SW_QUANTITY_WRONG_DIMENSION, "W", SW_DIM_POWER, "Wh"},
        {"180 Wh", SW_DIM_POWER, SW_QUANTITY_WRONG_DIMENSION, "Wh", SW_DIM_ENERGY, "W"},
        {"180 kwh", SW_DIM_POWER, SW_QUANTITY_WRONG_DIMENSION, "kwh", SW_DIM_ENERGY, "kW"},
        {"100 Ah", SW_DIM_ENERGY, SW_QUANTITY_WRONG_DIMENSION, "Ah", SW_DIM_CHARGE, "Wh"},
        {"5 m", SW_DIM_TIME, SW_QUANTITY_WRONG_DIMENSION, "m", SW_DIM_LENGTH, "min"},
        {"5 oz", SW_DIM_VOLUME, SW_QUANTITY_WRONG_DIMENSION, "oz", SW_DIM_MASS, ""},
        {"5 ft 6 in", SW_DIM_POWER, SW_QUANTITY_WRONG_DIMENSION, "ft 6 in", SW_DIM_LENGTH, ""},
        {"5 ft 30 min", SW_DIM_LENGTH, SW_QUANTITY_WRONG_DIMENSION, "min", SW_DIM_TIME, "in"},
        {"5 C", SW_DIM_RATIO, SW_QUANTITY_WRONG_DIMENSION, "C", SW_DIM_TEMPERATURE, ""},
        {"180 W", SW_DIM_MONEY, SW_QUANTITY_WRONG_DIMENSION, "W", SW_DIM_POWER, ""},
        {"30 °", SW_DIM_TEMPERATURE, SW_QUANTITY_WRONG_DIMENSION, "°", SW_DIM_ANGLE, "°C"},
    };
    CHECK_REFUSALS(table);
}
END_TEST

START_TEST(what_no_double_carries_is_too_large)
{
    char text[420];
    sw_quantity quantity;
    memset(text, '9', 400);
    strcpy(text + 400, " W");
    ck_assert_int_eq(sw_quantity_read(text, SW_DIM_POWER, &quantity), SW_QUANTITY_TOO_LARGE);
    strcpy(text + 308, " kW"); // the number fits, the watts do not
    ck_assert_int_eq(sw_quantity_read(text, SW_DIM_POWER, &quantity), SW_QUANTITY_TOO_LARGE);
    ck_assert(quantity.value == 0);
    strcpy(text + 308, " W");
    ck_assert_int_eq(sw_quantity_read(text, SW_DIM_POWER, &quantity), SW_QUANTITY_OK);
    ck_assert_double_eq(quantity.value, strtod(text, NULL));
}
END_TEST

START_TEST(each_dimension_says_what_it_is_and_offers_units_that_are_read)
{
    for (int d = SW_DIM_NONE + 1; d < SW_DIM_COUNT; d++) {
        const char *says = sw_dimension_says((sw_dimension)d);
        ck_assert_msg(strncmp(says, "a ", 2) == 0 || strncmp(says, "an ", 3) == 0, "%s", says);
        for (int other = 0; other < d; other++)
            ck_assert_str_ne(says, sw_dimension_says((sw_dimension)other));
        const char *unit = sw_dimension_units((sw_dimension)d);
        while (*unit != '\0') {
            char text[40];
            size_t length = strcspn(unit, d == SW_DIM_MONEY ? ", " : ",");
            snprintf(text, sizeof text, "1 %.*s", (int)length, unit);
            if (d != SW_DIM_MONEY || isupper((unsigned char)unit[0]))
                value_of(text, (sw_dimension)d);
            unit += length;
            unit += strspn(unit, ", ");
        }
    }
}
END_TEST

struct writing {
    double value;
    sw_dimension dimension;
    sw_units units;
    const char *text;
};

static void check_writings(const struct writing *writings, size_t count)
{
    for (size_t i = 0; i < count; i++) {
        char text[64];
        int length =
            sw_quantity_write(writings[i].value, writings[i].dimension, writings[i].units, text, sizeof text);
        ck_assert_str_eq(text, writings[i].text);
        ck_assert_int_eq(length, (int)strlen(writings[i].text));
    }
}

#define CHECK_WRITINGS(table) check_writings(table, sizeof table / sizeof table[0])

START_TEST(values_are_written_with_sensible_units_and_digits)
{
    static const struct writing table[] = {
        {180, SW_DIM_POWER, SW_UNITS_US, "180 W"},
        {1234, SW_DIM_POWER, SW_UNITS_SI, "1234 W"},
        {1999.4, SW_DIM_POWER, SW_UNITS_SI, "1999 W"},
        {1999.6, SW_DIM_POWER, SW_UNITS_SI, "2 kW"},
        {2400, SW_DIM_POWER, SW_UNITS_US, "2.4 kW"},
        {12345, SW_DIM_POWER, SW_UNITS_SI, "12.3 kW"},
        {0.35, SW_DIM_POWER, SW_UNITS_SI, "0.35 W"},
        {-2400, SW_DIM_POWER, SW_UNITS_SI, "-2.4 kW"},
        {600, SW_DIM_APPARENT_POWER, SW_UNITS_SI, "600 VA"},
        {640, SW_DIM_ENERGY, SW_UNITS_US, "640 Wh"},
        {999.4, SW_DIM_ENERGY, SW_UNITS_US, "999 Wh"},
        {999.7, SW_DIM_ENERGY, SW_UNITS_US, "1 kWh"},
        {1240, SW_DIM_ENERGY, SW_UNITS_SI, "1.24 kWh"},
        {1245, SW_DIM_ENERGY, SW_UNITS_SI, "1.25 kWh"},
        {100, SW_DIM_CHARGE, SW_UNITS_SI, "100 Ah"},
        {13.284, SW_DIM_VOLTAGE, SW_UNITS_SI, "13.28 V"},
        {3.2791, SW_DIM_VOLTAGE, SW_UNITS_SI, "3.279 V"},
        {0.02, SW_DIM_CURRENT, SW_UNITS_SI, "0.02 A"},
        {0.01, SW_DIM_RESISTANCE, SW_UNITS_SI, "10 mohm"},
        {1.5, SW_DIM_RESISTANCE, SW_UNITS_SI, "1.5 ohm"},
        {-12.2222, SW_DIM_TEMPERATURE, SW_UNITS_SI, "-12 C"},
        {-12.2222, SW_DIM_TEMPERATURE, SW_UNITS_US, "10 F"},
        {-17.9, SW_DIM_TEMPERATURE, SW_UNITS_US, "0 F"},
        {-0.4, SW_DIM_TEMPERATURE, SW_UNITS_SI, "0 C"},
        {10, SW_DIM_TEMPERATURE_STEP, SW_UNITS_US, "18 F"},
        {2.5, SW_DIM_TEMPERATURE_STEP, SW_UNITS_SI, "2.5 K"},
        {1889.76, SW_DIM_LENGTH, SW_UNITS_US, "6200 ft"},
        {1889.76, SW_DIM_LENGTH, SW_UNITS_SI, "1890 m"},
        {160934.4, SW_DIM_LENGTH, SW_UNITS_US, "100 mi"},
        {160934.4, SW_DIM_LENGTH, SW_UNITS_SI, "161 km"},
        {0.09290304, SW_DIM_AREA, SW_UNITS_US, "1 ft2"},
        {2.5, SW_DIM_AREA, SW_UNITS_SI, "2.5 m2"},
        {79.493647464, SW_DIM_VOLUME, SW_UNITS_US, "21 gal"},
        {79.493647464, SW_DIM_VOLUME, SW_UNITS_SI, "79.5 L"},
        {45.359237, SW_DIM_MASS, SW_UNITS_US, "100 lb"},
        {45.359237, SW_DIM_MASS, SW_UNITS_SI, "45.4 kg"},
        {29.0576, SW_DIM_SPEED, SW_UNITS_US, "65 mph"},
        {25, SW_DIM_SPEED, SW_UNITS_SI, "90 km/h"},
        {12.5, SW_DIM_ANGLE, SW_UNITS_SI, "12.5 deg"},
        {0.34, SW_DIM_RATIO, SW_UNITS_US, "34 %"},
        {0.345, SW_DIM_RATIO, SW_UNITS_US, "35 %"},
        {0.086, SW_DIM_RATIO, SW_UNITS_US, "8.6 %"},
        {1, SW_DIM_RATIO, SW_UNITS_US, "100 %"},
        {-0.0036, SW_DIM_PER_KELVIN, SW_UNITS_US, "-0.36 %/K"},
        {5.234, SW_DIM_IRRADIATION, SW_UNITS_SI, "5.23 kWh/m2"},
        {52.75, SW_DIM_HEAT_LOSS, SW_UNITS_SI, "52.8 W/K"},
        {52.7528, SW_DIM_HEAT_LOSS, SW_UNITS_US, "100 BTU/h/F"},
        {169.9, SW_DIM_AIR_FLOW, SW_UNITS_SI, "170 m3/h"},
        {169.901, SW_DIM_AIR_FLOW, SW_UNITS_US, "100 cfm"},
        {3, SW_DIM_NONE, SW_UNITS_SI, "3"},
        {2.5, SW_DIM_NONE, SW_UNITS_US, "2.5"},
        {-0.004, SW_DIM_NONE, SW_UNITS_SI, "0"},
        {850, SW_DIM_MONEY, SW_UNITS_US, "850"},
        {12.5, SW_DIM_MONEY, SW_UNITS_US, "12.50"},
        {-1234.56, SW_DIM_MONEY, SW_UNITS_US, "-1234.56"},
        {0, SW_DIM_POWER, SW_UNITS_US, "0 W"},
        {-0.0, SW_DIM_CHARGE, SW_UNITS_US, "0 Ah"},
        {-0.001, SW_DIM_CHARGE, SW_UNITS_US, "0 Ah"},
        {NAN, SW_DIM_POWER, SW_UNITS_US, "unknown"},
        {-INFINITY, SW_DIM_TIME, SW_UNITS_US, "unknown"},
        {2e19, SW_DIM_CHARGE, SW_UNITS_US, "20000000000000000000 Ah"},
    };
    CHECK_WRITINGS(table);
}
END_TEST

START_TEST(times_are_written_in_two_units)
{
    static const struct writing table[] = {
        {5400, SW_DIM_TIME, SW_UNITS_US, "1 h 30 min"},
        {240, SW_DIM_TIME, SW_UNITS_US, "4 min"},
        {90, SW_DIM_TIME, SW_UNITS_US, "1 min 30 s"},
        {59.4, SW_DIM_TIME, SW_UNITS_US, "59 s"},
        {59.6, SW_DIM_TIME, SW_UNITS_US, "1 min"},
        {2.5, SW_DIM_TIME, SW_UNITS_US, "2.5 s"},
        {0, SW_DIM_TIME, SW_UNITS_US, "0 s"},
        {-0.01, SW_DIM_TIME, SW_UNITS_US, "0 s"},
        {599.7, SW_DIM_TIME, SW_UNITS_US, "10 min"},
        {3599, SW_DIM_TIME, SW_UNITS_US, "1 h"},
        {-5400, SW_DIM_TIME, SW_UNITS_US, "-1 h 30 min"},
        {171000, SW_DIM_TIME, SW_UNITS_US, "47 h 30 min"},
        {172790, SW_DIM_TIME, SW_UNITS_US, "2 d"},
        {187200, SW_DIM_TIME, SW_UNITS_US, "2 d 4 h"},
        {1e15, SW_DIM_TIME, SW_UNITS_US, "1000000000000000 s"},
    };
    CHECK_WRITINGS(table);
}
END_TEST

START_TEST(halves_are_rounded_away_from_zero)
{
    static const struct writing table[] = {
        {180.5, SW_DIM_POWER, SW_UNITS_SI, "181 W"},   {-180.5, SW_DIM_POWER, SW_UNITS_SI, "-181 W"},
        {1.005, SW_DIM_POWER, SW_UNITS_SI, "1.01 W"},  {1.0049999, SW_DIM_POWER, SW_UNITS_SI, "1 W"},
        {9.995, SW_DIM_POWER, SW_UNITS_SI, "10 W"},    {-2.5, SW_DIM_TEMPERATURE, SW_UNITS_SI, "-3 C"},
        {0.5, SW_DIM_TEMPERATURE, SW_UNITS_SI, "1 C"}, {0.125, SW_DIM_MONEY, SW_UNITS_SI, "0.13"},
    };
    CHECK_WRITINGS(table);
}
END_TEST

START_TEST(a_small_buffer_is_ended_and_the_length_needed_is_told)
{
    char part[40];
    for (size_t size = 1; size <= 11; size++) {
        memset(part, '#', sizeof part);
        ck_assert_int_eq(sw_quantity_write(5400, SW_DIM_TIME, SW_UNITS_SI, part, size), 10);
        ck_assert_uint_eq(strlen(part), size - 1);
        ck_assert_int_eq(part[size], '#');
    }
    ck_assert_int_eq(sw_quantity_write(5400, SW_DIM_TIME, SW_UNITS_SI, NULL, 0), 10);
}
END_TEST

static uint64_t random_state = 88172645463325252u;

static uint64_t next_random(void)
{
    random_state ^= random_state << 13;
    random_state ^= random_state >> 7;
    random_state ^= random_state << 17;
    return random_state;
}

// Half of the last written digit, from the text alone, in the held unit. The unit follows the last blank.
static double half_digit(const char *text, sw_dimension dimension)
{
    const char *unit = strrchr(text, ' ');
    char one[70], zero[70];
    snprintf(one, sizeof one, "1%s", unit);
    snprintf(zero, sizeof zero, "0%s", unit);
    double half = 0.5 * fabs(value_of(one, dimension) - value_of(zero, dimension));
    const char *point = strchr(text, '.');
    for (size_t decimals = point == NULL ? 0 : strspn(point + 1, "0123456789"); decimals > 0; decimals--)
        half /= 10;
    return half;
}

START_TEST(what_is_written_is_read_again_within_half_its_last_digit)
{
    for (int trial = 0; trial < 20000; trial++) {
        sw_dimension dimension = (sw_dimension)(SW_DIM_NONE + 1 + next_random() % (SW_DIM_MONEY - 1));
        sw_units units = (sw_units)(next_random() % 2);
        double value = ldexp((double)(next_random() >> 11), (int)(next_random() % 40) - 65);
        if (next_random() % 3 == 0)
            value = -value;
        char text[64], again[64];
        sw_quantity_write(value, dimension, units, text, sizeof text);
        double back = value_of(text, dimension);
        // 1e-9: the sums of this check itself, on figures of up to 15 digits.
        ck_assert_msg(fabs(back - value) <= half_digit(text, dimension) * (1 + 1e-9), "%.17g is written %s",
                      value, text);
        sw_quantity_write(back, dimension, units, again, sizeof again);
        ck_assert_msg(strcmp(text, again) == 0, "%.17g is written %s, then %s", value, text, again);
    }
}
END_TEST

START_TEST(random_texts_never_crash_and_leave_a_unit_that_ends)
{
    static const char *const pieces[] = {
        "1",  "20", "3.5",  ",",        ",000", ".",      "-",      " ", "W", "h",  "min", "ft",
        "in", "°",  "C",    "Ω",        "²",    "k",      "m",      "%", "/", "K",  "sq",  "USD",
        "\t", "e5", "\xC2", "\xE2\x80", "\xFF", "\u2212", "\u00A0", "0", "A", "gal"};
    int read = 0;
    printf("random seed %llu\n", (unsigned long long)random_state);
    for (int trial = 0; trial < 50000; trial++) {
        char text[200] = "1";
        for (int n = (int)(next_random() % 9); n > 0; n--)
            strcat(text, pieces[next_random() % (sizeof pieces / sizeof pieces[0])]);
        sw_quantity quantity;
        memset(&quantity, 0x55, sizeof quantity);
        sw_quantity_result result = sw_quantity_read(text + next_random() % 2,
                                                     (sw_dimension)(next_random() % SW_DIM_COUNT), &quantity);
        ck_assert_int_le(result, SW_QUANTITY_TOO_LARGE);
        ck_assert_ptr_nonnull(memchr(quantity.unit, '\0', sizeof quantity.unit));
        ck_assert(isfinite(quantity.value));
        ck_assert_int_lt(quantity.found, SW_DIM_COUNT);
        read += result == SW_QUANTITY_OK;
    }
    ck_assert_int_gt(read, 100);
}
END_TEST

START_TEST(a_unit_is_a_straight_line)
{
    double scale = 7.0, zero = 7.0;
    ck_assert_int_eq(sw_quantity_line("furlong", SW_DIM_LENGTH, &scale, &zero), 0);
    ck_assert_int_eq(sw_quantity_line("kg", SW_DIM_LENGTH, &scale, &zero), 0);
    ck_assert(scale == 7.0 && zero == 7.0);
    ck_assert_int_eq(sw_quantity_line("F", SW_DIM_TEMPERATURE, &scale, &zero), 1);
    ck_assert_double_eq_tol(212.0 * scale + zero, 100.0, 1e-12);
    ck_assert_double_eq_tol(32.0 * scale + zero, 0.0, 1e-12);
    ck_assert_int_eq(sw_quantity_line("mph", SW_DIM_SPEED, &scale, &zero), 1);
    ck_assert_double_eq_tol(scale, 0.44704, 1e-15); // [nist-sp811]
    ck_assert_double_eq(zero, 0.0);
}
END_TEST

Suite *sw_suite(void)
{
    const TTest *const tests[] = {
        si_units_and_their_prefixes_are_exact,
        customary_units_are_those_of_nist,
        customary_units_are_those_of_gsl,
        temperatures_are_points_and_differences_are_not,
        numbers_are_read_as_people_write_them,
        a_different_case_is_taken_if_it_leaves_no_doubt,
        parts_in_falling_units_add_up,
        what_has_no_plain_number_is_refused,
        a_number_alone_is_refused,
        an_unknown_unit_is_told_with_one_that_is_spelt_alike,
        a_unit_of_something_else_is_told_as_what_it_is,
        what_no_double_carries_is_too_large,
        each_dimension_says_what_it_is_and_offers_units_that_are_read,
        values_are_written_with_sensible_units_and_digits,
        times_are_written_in_two_units,
        halves_are_rounded_away_from_zero,
        a_small_buffer_is_ended_and_the_length_needed_is_told,
        what_is_written_is_read_again_within_half_its_last_digit,
        random_texts_never_crash_and_leave_a_unit_that_ends,
        a_unit_is_a_straight_line,
        NULL,
    };
    return sw_suite_of("quantity", tests, 20);
}
