// Reads quantities with units as people write them.
#include "stillwatt/quantity.h"

#include "files/decimal.h"
#include "files/quantity_units.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

#define DIGITS "0123456789"

enum { UNIT_ROOM = 32 };

// Bytes of the blank that begins here, 0 if there is none: space, tab, and the two no-break spaces of
// typography.
static size_t blank(const char *text)
{
    static const char *const blanks[] = {" ", "\t", "\xC2\xA0", "\xE2\x80\xAF"};
    for (size_t i = 0; i < sizeof blanks / sizeof blanks[0]; i++)
        if (strncmp(text, blanks[i], strlen(blanks[i])) == 0)
            return strlen(blanks[i]);
    return 0;
}

static const char *skip_blanks(const char *text)
{
    for (size_t length = blank(text); length > 0; length = blank(text))
        text += length;
    return text;
}

// Passes over a sign: a plus, a hyphen, or the minus sign U+2212. Returns the factor that it means.
static double sign(const char **text)
{
    static const struct {
        const char *sign;
        double factor;
    } signs[] = {{"-", -1}, {"+", 1}, {"\xE2\x88\x92", -1}};
    for (size_t i = 0; i < sizeof signs / sizeof signs[0]; i++) {
        size_t length = strlen(signs[i].sign);
        if (strncmp(*text, signs[i].sign, length) == 0) {
            *text += length;
            return signs[i].factor;
        }
    }
    return 1;
}

// Length of the plain decimal number that begins here, 0 if there is none. Commas only between full groups of
// thousands: "1,200" is one, "1,5" and "0,500", which use the comma as a decimal separator, are not.
static size_t number_length(const char *text)
{
    size_t length = strspn(text, DIGITS);
    if (text[length] == ',' && (length == 0 || length > 3 || text[0] == '0'))
        return 0;
    while (text[length] == ',') {
        if (strspn(text + length + 1, DIGITS) != 3)
            return 0;
        length += 4;
    }
    if (text[length] != '.' || strspn(text + length + 1, DIGITS) == 0)
        return length;
    length += 1 + strspn(text + length + 1, DIGITS);
    return text[length] == ',' ? 0 : length;
}

// Copies a unit without surrounding blanks, each blank within it a space. Returns 0 if it is empty or too
// long.
static int copy_unit(const char *from, const char *to, char unit[UNIT_ROOM])
{
    size_t length = 0;
    for (from = skip_blanks(from); from < to;) {
        size_t gap = (size_t)(skip_blanks(from) - from);
        from += gap;
        if (from >= to)
            break;
        if (length + 3 > UNIT_ROOM)
            return 0;
        if (gap > 0)
            unit[length++] = ' ';
        unit[length++] = *from++;
    }
    unit[length] = '\0';
    return length > 0;
}

// Keeps the unit for messages, cut to fit but not within a character of UTF-8.
static void keep_unit(const char *text, sw_quantity *out)
{
    size_t length = strlen(text);
    while (length > 0 && blank(text + length - 1) == 1)
        length--;
    if (length >= sizeof out->unit) {
        length = sizeof out->unit - 1;
        while (length > 0 && ((unsigned char)text[length] & 0xC0) == 0x80)
            length--;
    }
    memcpy(out->unit, text, length);
    out->unit[length] = '\0';
}

static int is_currency(const char *unit)
{
    return strlen(unit) == 3 && strspn(unit, "ABCDEFGHIJKLMNOPQRSTUVWXYZ") == 3;
}

static const sw_unit *find(const char *unit, sw_dimension wanted)
{
    static const sw_unit money = {"", SW_DIM_MONEY, 1, 1, 0};
    return wanted == SW_DIM_MONEY && is_currency(unit) ? &money : sw_unit_find(unit, wanted);
}

static sw_quantity_result refuse(const char *text, const char *unit, sw_quantity *out)
{
    const sw_unit *other = sw_unit_find_any(unit);
    keep_unit(text, out);
    out->suggestion = sw_unit_like(unit, out->found);
    if (other == NULL)
        return SW_QUANTITY_UNKNOWN_UNIT;
    out->found = other->dimension;
    return SW_QUANTITY_WRONG_DIMENSION;
}

// One part of a quantity, after its number. `rest` becomes the text of the next part, NULL after the last
// one.
static sw_quantity_result read_unit(const char *text, sw_dimension wanted, const sw_unit **unit,
                                    const char **rest, sw_quantity *out)
{
    char whole[UNIT_ROOM] = "", head[UNIT_ROOM] = "";
    const char *end = text + strlen(text), *digit = text + strcspn(text, DIGITS);
    *rest = NULL;
    if (*text == '\0')
        return SW_QUANTITY_NO_UNIT;
    *unit = copy_unit(text, end, whole) ? find(whole, wanted) : NULL;
    if (*unit != NULL) {
        keep_unit(text, out);
        return SW_QUANTITY_OK;
    }
    // Not a unit as a whole; before its first digit there may be one, and another part from there on.
    if (digit == end || !copy_unit(text, digit, head))
        return refuse(text, whole, out);
    *unit = find(head, wanted);
    if (*unit == NULL)
        return refuse(text, head, out);
    if (!sw_dimension_adds_up(wanted))
        return refuse(text, whole, out);
    *rest = digit;
    return SW_QUANTITY_OK;
}

static sw_quantity_result read_parts(const char *text, sw_dimension wanted, double factor, sw_quantity *out)
{
    double total = 0, largest = INFINITY; // each unit must be smaller than the one before
    while (text != NULL) {
        size_t length = number_length(text);
        double number;
        if (length == 0)
            return SW_QUANTITY_NO_NUMBER;
        if (sw_decimal_read(text, length, &number) == SW_DECIMAL_TOO_LARGE)
            return SW_QUANTITY_TOO_LARGE;
        const char *unit_text = skip_blanks(text + length);
        const sw_unit *unit = NULL;
        sw_quantity_result result = read_unit(unit_text, wanted, &unit, &text, out);
        if (result != SW_QUANTITY_OK)
            return result;
        double size = unit->multiply / unit->divide;
        if (size >= largest)
            return refuse(unit_text, "", out);
        largest = size;
        // The sign is inside, for units with an offset.
        total += sw_unit_to_held(unit, factor * number);
    }
    if (!isfinite(total))
        return SW_QUANTITY_TOO_LARGE;
    out->value = total;
    return SW_QUANTITY_OK;
}

sw_quantity_result sw_quantity_read(const char *text, sw_dimension wanted, sw_quantity *out)
{
    *out = (sw_quantity){.found = wanted};
    text = skip_blanks(text);
    double factor = sign(&text);
    return read_parts(text, wanted, factor, out);
}

/* What none and one of the unit come to: all units are straight lines. */
int sw_quantity_line(const char *unit, sw_dimension dimension, double *scale, double *zero)
{
    char text[32];
    sw_quantity none, one;
    if (snprintf(text, sizeof text, "0 %s", unit) >= (int)sizeof text ||
        sw_quantity_read(text, dimension, &none) != SW_QUANTITY_OK)
        return 0;
    text[0] = '1';
    if (sw_quantity_read(text, dimension, &one) != SW_QUANTITY_OK)
        return 0;
    *zero = none.value;
    *scale = one.value - none.value;
    return 1;
}
