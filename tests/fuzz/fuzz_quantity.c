// Any text as a quantity of every dimension, and any number written for people and read again.
#include "fuzz/support/said.h"

#include "files/quantity_units.h"
#include "stillwatt/quantity.h"

#include <math.h>
#include <string.h>

enum { WRITTEN_MAX = 400 };

// Half of the last printed digit, in the held unit.
static double half_a_digit(const char *written, sw_dimension dimension)
{
    const char *last = strrchr(written, ' '), *point = strchr(written, '.');
    FUZZ_ASSERT(last != NULL, "\"%s\" has no unit", written);
    const sw_unit *unit = sw_unit_find(last + 1, dimension);
    FUZZ_ASSERT(unit != NULL, "\"%s\" has an unknown unit", written);
    int decimals = point != NULL ? (int)strspn(point + 1, "0123456789") : 0;
    return 0.5 * pow(10, -decimals) * unit->multiply / unit->divide;
}

// Written and read again, a value agrees to the digits that were printed, and prints the same.
static void check_written(double value, sw_dimension dimension, sw_units units)
{
    char written[WRITTEN_MAX], again[WRITTEN_MAX];
    sw_quantity read;
    int length = sw_quantity_write(value, dimension, units, written, sizeof written);
    FUZZ_ASSERT(length > 0 && length < WRITTEN_MAX && (size_t)length == strlen(written),
                "%a is written in %d bytes", value, length);
    FUZZ_ASSERT(fuzz_is_printable(written), "%a cannot be printed", value);
    FUZZ_ASSERT(sw_quantity_write(value, dimension, units, again, 5) == length &&
                    strncmp(again, written, 4) == 0 && strlen(again) <= 4,
                "%s is cut to \"%s\"", written, again);
    if (dimension == SW_DIM_NONE || dimension == SW_DIM_MONEY || !isfinite(value))
        return;
    FUZZ_ASSERT(strncmp(written, "-0 ", 3) != 0, "%a is written as a negative zero", value);
    sw_quantity_result result = sw_quantity_read(written, dimension, &read);
    FUZZ_ASSERT(result == SW_QUANTITY_OK || fabs(value) > 1e300, "\"%s\" cannot be read again: %d", written,
                (int)result);
    if (result != SW_QUANTITY_OK)
        return;
    FUZZ_ASSERT(fabs(read.value - value) <=
                    half_a_digit(written, dimension) * (1 + 1e-6) + fabs(value) * 1e-14,
                "%a is written as \"%s\", which is read as %a", value, written, read.value);
    if (fabs(value) > 1e12) // more digits are written than a double has
        return;
    sw_quantity_write(read.value, dimension, units, again, sizeof again);
    FUZZ_ASSERT(strcmp(again, written) == 0, "\"%s\" is read and written as \"%s\"", written, again);
}

static void check_read(const char *text, sw_dimension dimension, fuzz_record *record)
{
    sw_quantity read;
    memset(&read, 0x5A, sizeof read);
    sw_quantity_result result = sw_quantity_read(text, dimension, &read);
    FUZZ_ASSERT(result >= SW_QUANTITY_OK && result <= SW_QUANTITY_TOO_LARGE, "a result of %d", (int)result);
    FUZZ_ASSERT(memchr(read.unit, '\0', sizeof read.unit) != NULL, "the unit has no end");
    FUZZ_ASSERT(!fuzz_is_printable(text) || fuzz_is_printable(read.unit), "\"%s\" has the unit \"%s\"", text,
                read.unit);
    FUZZ_ASSERT(isfinite(read.value) && (result == SW_QUANTITY_OK || read.value == 0), "\"%s\" is %g", text,
                read.value);
    FUZZ_ASSERT(result != SW_QUANTITY_WRONG_DIMENSION ||
                    (read.found > SW_DIM_NONE && read.found < SW_DIM_COUNT && read.unit[0] != '\0'),
                "\"%s\" is of no dimension", text);
    FUZZ_ASSERT(read.suggestion == NULL || sw_unit_find(read.suggestion, dimension) != NULL,
                "\"%s\" is no unit of it", read.suggestion);
    FUZZ_ASSERT(result != SW_QUANTITY_OK || dimension != SW_DIM_NONE, "\"%s\" is a plain number", text);
    fuzz_note(record, "%d %a %s %d %s\n", (int)result, read.value, read.unit, (int)read.found,
              read.suggestion != NULL ? read.suggestion : "-");
    for (int units = SW_UNITS_SI; result == SW_QUANTITY_OK && units <= SW_UNITS_US; units++)
        check_written(read.value, dimension, (sw_units)units);
}

static fuzz_record read_once(const char *text)
{
    fuzz_record record = {NULL, 0, 0};
    for (int dimension = SW_DIM_NONE; dimension < SW_DIM_COUNT; dimension++)
        check_read(text, (sw_dimension)dimension, &record);
    return record;
}

static void write_any(fuzz_input *input)
{
    sw_dimension dimension = (sw_dimension)fuzz_choose(input, SW_DIM_COUNT);
    sw_units units = (sw_units)fuzz_choose(input, 2);
    int64_t bits = fuzz_integer(input);
    double value;
    memcpy(&value, &bits, sizeof value);
    check_written(value, dimension, units);
}

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size)
{
    fuzz_input input = {data, size};
    if (fuzz_choose(&input, 2) == 1) {
        write_any(&input);
        return 0;
    }
    fuzz_text text = fuzz_text_of((const char *)input.at, input.left);
    fuzz_record first = read_once(text.bytes), second = read_once(text.bytes);
    fuzz_same(&first, &second);
    fuzz_text_free(&text);
    return 0;
}
