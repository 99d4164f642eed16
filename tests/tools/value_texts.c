// Prints texts as people write them, and worse, with what the readers of single values make of them: one line
// each, "definition<tab>1 or 0<tab>text", tabs of the text as \t. tests/schema/validate.py holds the patterns
// of the schemas against them.
#include "files/fill.h"
#include "files/quantity_units.h"
#include "files/values.h"

#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

enum { TEXTS = 4000, TEXT_SIZE = 400 };

static uint64_t state;

/* Knuth's MMIX generator; only its high bits are used. */
static unsigned below(unsigned limit)
{
    state = state * 6364136223846793005u + 1442695040888963407u;
    return (unsigned)(state >> 33) % limit;
}

#define ONE_OF(list) list[below(sizeof list / sizeof list[0])]

static void add(char *text, const char *piece)
{
    strncat(text, piece, TEXT_SIZE - strlen(text) - 1);
}

static void print(const char *definition, int good, const char *text)
{
    printf("%s\t%d\t", definition, good);
    for (; *text != '\0'; text++) {
        if (*text == '\t')
            fputs("\\t", stdout);
        else
            putchar(*text);
    }
    putchar('\n');
}

// ---- quantities ----

static void print_quantity(sw_dimension dimension, const char *text)
{
    sw_quantity quantity;
    print(sw_dimension_says(dimension), sw_quantity_read(text, dimension, &quantity) == SW_QUANTITY_OK, text);
}

static void turn_case(char *text, unsigned one_in)
{
    for (; *text != '\0'; text++)
        if (((*text >= 'a' && *text <= 'z') || (*text >= 'A' && *text <= 'Z')) && below(one_in) == 0)
            *text = (char)(*text ^ 0x20);
}

static void add_unit(char *text, sw_dimension dimension)
{
    static const char *const odd[] = {"",    "x",   "sq  ft", "fl\tounce", "W h",
                                      "USD", "usd", "EURO",   "%",         "m ²"};
    char name[64];
    const sw_unit *unit = NULL;
    sw_dimension of = below(8) == 0 ? (sw_dimension)below(SW_DIM_COUNT) : dimension;
    for (unsigned steps = 1 + below(16); steps > 0; steps--)
        unit = sw_unit_next(unit, of);
    if (unit == NULL)
        unit = sw_unit_next(NULL, of);
    snprintf(name, sizeof name, "%s", unit != NULL && below(12) > 0 ? unit->name : ONE_OF(odd));
    turn_case(name, below(3) == 0 ? 2 : 20);
    add(text, name);
}

static void any_quantity(char *text, sw_dimension dimension)
{
    static const char *const blanks[] = {"", "", " ", " ", "  ", "\t", "\xC2\xA0", "\xE2\x80\xAF"};
    static const char *const signs[] = {"", "", "", "", "-", "+", "\xE2\x88\x92", "--"};
    static const char *const numbers[] = {"0",      "12",    "1.5", "0.25", "1,200", "12,345,678.9",
                                          ".5",     "5.",    "007", "1,20", "0,500", "1234,567",
                                          "1,200,", "1.5,0", "1e3", "",     "3",     "48"};
    unsigned parts = below(2) == 0 ? 1 : 1 + below(4);
    text[0] = '\0';
    add(text, ONE_OF(blanks));
    add(text, ONE_OF(signs));
    for (; parts > 0; parts--) {
        add(text, numbers[below(3) == 0 ? below(18) : below(6)]);
        add(text, ONE_OF(blanks));
        add_unit(text, dimension);
        add(text, ONE_OF(blanks));
    }
}

/* Each name as it is, in small letters and in capitals. */
static void every_unit(sw_dimension dimension)
{
    for (const sw_unit *unit = sw_unit_next(NULL, dimension); unit != NULL;
         unit = sw_unit_next(unit, dimension)) {
        for (int way = 0; way < 3; way++) {
            char text[80];
            snprintf(text, sizeof text, "5 %s", unit->name);
            for (char *c = text; *c != '\0' && way > 0; c++)
                if (way == 1 ? *c >= 'A' && *c <= 'Z' : *c >= 'a' && *c <= 'z')
                    *c = (char)(*c ^ 0x20);
            print_quantity(dimension, text);
        }
    }
}

/* Two units in either order, and one twice. */
static void every_pair(sw_dimension dimension)
{
    for (const sw_unit *a = sw_unit_next(NULL, dimension); a != NULL; a = sw_unit_next(a, dimension)) {
        for (const sw_unit *b = sw_unit_next(NULL, dimension); b != NULL; b = sw_unit_next(b, dimension)) {
            char text[80];
            snprintf(text, sizeof text, "2 %s 1 %s", a->name, b->name);
            print_quantity(dimension, text);
        }
    }
}

// ---- clocks ----

static void add_clock(char *text)
{
    static const char *const hours[] = {"00", "07", "12", "19", "23", "24", "25", "7", "1x"};
    static const char *const minutes[] = {"00", "00", "00", "30", "59", "60", "5"};
    add(text, ONE_OF(hours));
    add(text, below(20) == 0 ? "." : ":");
    add(text, ONE_OF(minutes));
}

static void clocks(void)
{
    for (int i = 0; i < TEXTS; i++) {
        char text[TEXT_SIZE] = "";
        int from, to;
        add_clock(text);
        print("times", sw_clock_parse(text, 0) >= 0, text);
        add(text, below(20) == 0 ? " - " : "-");
        add_clock(text);
        print("hours", sw_window_parse(text, &from, &to), text);
    }
}

int main(int count, char **words)
{
    state = count > 1 ? strtoull(words[1], NULL, 10) : 1;
    for (int dimension = SW_DIM_NONE + 1; dimension < SW_DIM_COUNT; dimension++) {
        char text[TEXT_SIZE];
        every_unit((sw_dimension)dimension);
        every_pair((sw_dimension)dimension);
        for (int i = 0; i < TEXTS; i++) {
            any_quantity(text, (sw_dimension)dimension);
            print_quantity((sw_dimension)dimension, text);
        }
    }
    clocks();
    return 0;
}
