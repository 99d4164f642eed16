// Regular expressions of quantities, made from the table of units; quantity.c reads the same.
#include "files/schema_patterns.h"

#include "files/quantity_units.h"

#include <math.h>
#include <string.h>

#define BLANK "[ \\t\\u00a0\\u202f]"
// Commas only between full groups of thousands; digits after a decimal point are optional, those before too.
#define NUMBER "(?:(?:[0-9]+|[1-9][0-9]{0,2}(?:,[0-9]{3})+)(?:[.][0-9]+)?|[.][0-9]+)"

static int is_letter(char c)
{
    return (c >= 'a' && c <= 'z') || (c >= 'A' && c <= 'Z');
}

/* A name of a unit, letter by letter in both cases if that is how it is read. */
static void put_name(sw_json_writer *w, const sw_unit *unit)
{
    int any_case = sw_unit_any_case(unit);
    for (const char *c = unit->name; *c != '\0'; c++) {
        if (*c == ' ')
            sw_json_piece(w, BLANK "+");
        else if (any_case && is_letter(*c))
            sw_json_piece(w, (const char[]){'[', *c, (char)(*c ^ ('a' ^ 'A')), ']', '\0'});
        else
            sw_json_piece(w, (const char[]){*c, '\0'});
    }
}

/* True if the name before it in the table says it all, whatever the case of letters. */
static int is_said_before(const sw_unit *unit)
{
    const sw_unit *earlier = sw_unit_next(NULL, unit->dimension);
    while (earlier != unit && !sw_unit_same_letters(earlier, unit))
        earlier = sw_unit_next(earlier, unit->dimension);
    return earlier != unit && sw_unit_any_case(unit);
}

static double size_of(const sw_unit *unit)
{
    return unit->multiply / unit->divide;
}

/* The names of the units of one size, or of any size if it is 0. */
static void put_names(sw_json_writer *w, sw_dimension dimension, double size)
{
    const char *between = "";
    sw_json_piece(w, "(?:");
    const sw_unit *unit = NULL;
    while ((unit = sw_unit_next(unit, dimension)) != NULL) {
        if ((size != 0 && size_of(unit) != size) || is_said_before(unit))
            continue;
        sw_json_piece(w, between);
        put_name(w, unit);
        between = "|";
    }
    sw_json_piece(w, ")");
}

/* The greatest size below a limit, 0 if there is none. */
static double next_size(sw_dimension dimension, double below)
{
    double next = 0;
    const sw_unit *unit = NULL;
    while ((unit = sw_unit_next(unit, dimension)) != NULL)
        if (size_of(unit) < below)
            next = fmax(next, size_of(unit));
    return next;
}

/* At least one part, each smaller than the one before; only the first may begin with a decimal point. */
static void put_sum(sw_json_writer *w, sw_dimension dimension)
{
    sw_json_piece(w, "(?=[0-9.])(?!.+[^0-9][.])");
    double size = next_size(dimension, INFINITY);
    while (size > 0) {
        sw_json_piece(w, "(?:" NUMBER BLANK "*");
        put_names(w, dimension, size);
        sw_json_piece(w, BLANK "*)?");
        size = next_size(dimension, size);
    }
}

void sw_pattern_quantity(sw_json_writer *w, sw_dimension dimension)
{
    sw_json_begin_text(w, "pattern");
    sw_json_piece(w, "^" BLANK "*[-+\xE2\x88\x92]?");
    if (sw_dimension_adds_up(dimension)) {
        put_sum(w, dimension);
    } else {
        sw_json_piece(w, NUMBER BLANK "*");
        if (dimension == SW_DIM_MONEY)
            sw_json_piece(w, "[A-Z]{3}");
        else
            put_names(w, dimension, 0);
        sw_json_piece(w, BLANK "*");
    }
    sw_json_piece(w, "$");
    sw_json_end_text(w);
}
