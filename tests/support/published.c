#include "support/published.h"

#include "stillwatt/civil.h"

#include <ctype.h>
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#define LINE_MAX_BYTES 2000
#define COLUMNS_MAX    16
#define BLANKS         " \t"

static const char *const mark_words[MARK_COUNT] = {"seen", "derived", "memory"};

/* A column gives a value to one of the quantity's names, or holds expected values. */
typedef struct column {
    int given;    // index of the name; -1: none
    int expected; // the cells are expected values; with a name, at the value `fixed` of it
    double fixed;
} column;

/* Where the reading of a file stands. */
typedef struct reading {
    const char *file;
    int line;
    const published_rules *rules;
    published_tally *tally;
    complaints *c;

    char source[LINE_MAX_BYTES];    // key in brackets and place; empty before the first and after a wrong one
    int source_line, source_values; // where it stands, and how many values it has so far
    int mark;                       // -1: none yet
    const published_quantity *quantity;
    double tolerance;
    int relative; // the tolerance is in per cent of the expected value
    int recalled; // its reason says that it holds for a recalled value
    int given_known[PUBLISHED_GIVEN_MAX];
    double given[PUBLISHED_GIVEN_MAX];
    column columns[COLUMNS_MAX];
    int column_count; // 0: no table is open
} reading;

#define COMPLAIN(r, ...) complain_at((r)->c, (r)->file, (r)->line, __VA_ARGS__)

// ---- words and values ----

/* Cuts the next word off a line; NULL at its end. */
static char *next_word(char **rest, const char *ends)
{
    char *word = *rest + strspn(*rest, ends);
    if (*word == '\0')
        return NULL;
    char *end = word + strcspn(word, ends);
    *rest = *end == '\0' ? end : end + 1;
    *end = '\0';
    return word;
}

static void trim(char *text)
{
    size_t length = strlen(text);
    while (length > 0 && isspace((unsigned char)text[length - 1]))
        text[--length] = '\0';
}

/* A number; a clock h:mm or h:mm:ss in minutes; a date in days since 1970-01-01. */
static int read_value(const char *word, double *out)
{
    char *end;
    int year, month, day, length = 0;
    if (sscanf(word, "%4d-%2d-%2d%n", &year, &month, &day, &length) == 3 && word[length] == '\0') {
        *out = (double)sw_days_from_civil(year, month, day);
        return month >= 1 && month <= 12 && day >= 1 && day <= sw_days_in_month(year, month);
    }
    *out = strtod(word, &end);
    if (end == word || (!isdigit((unsigned char)word[0]) && strchr("+-.", word[0]) == NULL))
        return 0;
    if (*end != ':')
        return *end == '\0' && isfinite(*out);
    double minutes = strtod(end + 1, &end), seconds = 0.0;
    if (*end == ':')
        seconds = strtod(end + 1, &end);
    *out = *out * 60.0 + minutes + seconds / 60.0;
    return *end == '\0' && minutes < 60.0 && seconds < 60.0;
}

static int given_index(const published_quantity *quantity, const char *name)
{
    for (int i = 0; i < PUBLISHED_GIVEN_MAX && quantity->given[i] != NULL; i++)
        if (strcmp(quantity->given[i], name) == 0)
            return i;
    return -1;
}

// ---- heads ----

static void end_source(reading *r)
{
    if (r->source[0] != '\0' && r->source_values == 0)
        complain_at(r->c, r->file, r->source_line,
                    "no value is compared under %s; add one, or delete the line \"source\"", r->source);
    r->source[0] = '\0';
}

static void read_source(reading *r, char *rest)
{
    char key[40] = "", place[LINE_MAX_BYTES] = "";
    end_source(r);
    r->source_line = r->line;
    r->source_values = 0;
    r->mark = -1;
    r->quantity = NULL;
    r->column_count = 0;
    if (sscanf(rest, " [%39[^]]] %1999[^\n]", key, place) != 2) {
        COMPLAIN(
            r,
            "write the key and the place in the source, such as \"source [duffie-beckman] example 1.6.1\"");
        return;
    }
    if (source_of(r->rules->sources, key) == NULL) {
        COMPLAIN(r, "the source [%s] is unknown; add it to the tables under \"## Sources\" in DEVELOPERS.md",
                 key);
        return;
    }
    snprintf(r->source, sizeof r->source, "[%s] %.*s", key, (int)sizeof r->source - 50, place);
}

static void read_mark(reading *r, char *rest)
{
    char *word = next_word(&rest, BLANKS);
    r->mark = -1;
    r->column_count = 0;
    for (int i = 0; word != NULL && i < MARK_COUNT; i++)
        if (strcmp(word, mark_words[i]) == 0)
            r->mark = i;
    if (next_word(&rest, BLANKS) != NULL)
        r->mark = -1;
    if (r->mark < 0)
        COMPLAIN(r, "a mark is seen (read in the source), derived (worked out from its equations) or memory");
}

static void read_quantity(reading *r, char *rest)
{
    char *word = next_word(&rest, BLANKS);
    r->quantity = NULL;
    r->tolerance = NAN;
    r->column_count = 0;
    memset(r->given_known, 0, sizeof r->given_known);
    for (int i = 0; word != NULL && i < r->rules->quantities; i++)
        if (strcmp(word, r->rules->quantity[i].name) == 0)
            r->quantity = &r->rules->quantity[i];
    if (r->quantity == NULL)
        COMPLAIN(
            r,
            "the quantity \"%s\" is unknown; take one of the table in check_published.c or add a row there",
            word == NULL ? "" : word);
}

static void read_tolerance(reading *r, char *rest)
{
    char *colon = strchr(rest, ':');
    char *reason = colon == NULL ? NULL : colon + 1 + strspn(colon + 1, BLANKS);
    r->tolerance = NAN;
    if (reason == NULL || strchr(reason, ' ') == NULL) {
        COMPLAIN(
            r, "a tolerance needs its reason in words behind a colon, such as \"0.05 min: printed to 0.1\"");
        return;
    }
    *colon = '\0';
    r->recalled = strstr(reason, "recalled") != NULL;
    char *number = next_word(&rest, BLANKS), *unit = next_word(&rest, BLANKS);
    double tolerance;
    if (number == NULL || !read_value(number, &tolerance) || tolerance <= 0.0) {
        COMPLAIN(r, "a tolerance begins with a number above 0");
        return;
    }
    r->relative = unit != NULL && strcmp(unit, "%") == 0;
    if (unit == NULL || next_word(&rest, BLANKS) != NULL ||
        (!r->relative && strcmp(unit, r->quantity->unit) != 0))
        COMPLAIN(r, "the tolerance of %s needs its unit: %s or %%", r->quantity->name, r->quantity->unit);
    else
        r->tolerance = tolerance;
}

static void read_given(reading *r, char *rest)
{
    for (char *pair = next_word(&rest, ","); pair != NULL; pair = next_word(&rest, ",")) {
        char *name = next_word(&pair, BLANKS), *value = next_word(&pair, BLANKS);
        int index = name == NULL ? -1 : given_index(r->quantity, name);
        if (index < 0)
            COMPLAIN(r, "%s is not computed from \"%s\"; its names stand in check_published.c",
                     r->quantity->name, name == NULL ? "" : name);
        else if (value == NULL || !read_value(value, &r->given[index]) || next_word(&pair, BLANKS) != NULL)
            COMPLAIN(r, "write \"%s\" and one number, clock or date, and a comma before the next name", name);
        else
            r->given_known[index] = 1;
    }
}

static int read_column(reading *r, char *word, column *out)
{
    *out = (column){.given = -1, .expected = strcmp(word, "expected") == 0};
    if (out->expected)
        return 1;
    char *fixed = strchr(word, '=');
    if (fixed != NULL)
        *fixed++ = '\0';
    out->expected = fixed != NULL;
    out->given = given_index(r->quantity, word);
    if (out->given < 0) {
        COMPLAIN(r, "%s is not computed from \"%s\"; its names stand in check_published.c", r->quantity->name,
                 word);
        return 0;
    }
    if (fixed != NULL && !read_value(fixed, &out->fixed)) {
        COMPLAIN(r, "the column \"%s=%s\" needs a number, a clock or a date", word, fixed);
        return 0;
    }
    r->given_known[out->given] = 1;
    return 1;
}

static void read_columns(reading *r, char *rest)
{
    int count = 0, expected = 0, plain = 0;
    for (char *word = next_word(&rest, BLANKS); word != NULL; word = next_word(&rest, BLANKS)) {
        if (count == COLUMNS_MAX) {
            COMPLAIN(r, "a table has at most %d columns", COLUMNS_MAX);
            return;
        }
        if (!read_column(r, word, &r->columns[count]))
            return;
        plain += r->columns[count].expected && r->columns[count].given < 0;
        expected += r->columns[count++].expected;
    }
    if (expected == 0 || (plain > 0 && (expected > 1 || !r->columns[count - 1].expected)))
        COMPLAIN(
            r,
            "a table needs one column \"expected\", the last, or columns \"name=value\" of expected values");
    else if (isnan(r->tolerance))
        COMPLAIN(r, "%s needs a line \"tolerance\" with unit and reason before its columns",
                 r->quantity->name);
    else if (r->source[0] == '\0' || r->mark < 0)
        COMPLAIN(r, "a table needs the lines \"source\" and \"mark\" above it");
    else if (r->mark == MARK_MEMORY && !r->recalled)
        COMPLAIN(r, "say in the reason of the tolerance why it holds for a recalled value");
    else
        r->column_count = count;
}

// ---- rows ----

static void print_given(const reading *r, char *buffer, size_t size)
{
    size_t used = 0;
    buffer[0] = '\0';
    for (int i = 0; i < PUBLISHED_GIVEN_MAX && r->quantity->given[i] != NULL && used < size; i++)
        used += (size_t)snprintf(buffer + used, size - used, "%s%s %.10g", i > 0 ? ", " : "",
                                 r->quantity->given[i], r->given[i]);
}

static int is_of_test(const reading *r)
{
    for (const char *const *name = r->rules->of_test; *name != NULL; name++)
        if (strcmp(*name, r->quantity->name) == 0)
            return 1;
    return 0;
}

static void compare(reading *r, double expected)
{
    double tolerance = r->relative ? r->tolerance / 100.0 * fabs(expected) : r->tolerance;
    double got = r->quantity->value(r->given), off = fabs(got - expected);
    double share = off / tolerance;
    if (is_of_test(r))
        r->tally->of_test++;
    else
        r->tally->values[r->mark]++;
    r->source_values++;
    r->rules->used[r->quantity - r->rules->quantity]++;
    if (share > r->tally->greatest_share) {
        r->tally->greatest_share = share;
        r->tally->greatest_line = r->line;
    }
    if (share <= 1.0)
        return;
    char given[1000];
    print_given(r, given, sizeof given);
    COMPLAIN(r,
             "%s, %s\n    %s of %s\n    expected %.10g, got %.10g %s, off by %.4g, tolerance %.4g\n    find "
             "out which "
             "is right; do not widen the tolerance",
             r->source, mark_words[r->mark], r->quantity->name, given, expected, got, r->quantity->unit, off,
             tolerance);
}

static int all_given(reading *r)
{
    for (int i = 0; i < PUBLISHED_GIVEN_MAX && r->quantity->given[i] != NULL; i++)
        if (!r->given_known[i]) {
            COMPLAIN(r, "%s also needs \"%s\"; give it in a line \"given\" or a column", r->quantity->name,
                     r->quantity->given[i]);
            return 0;
        }
    return 1;
}

static void read_row(reading *r, char *rest)
{
    double cell[COLUMNS_MAX];
    int left_out[COLUMNS_MAX] = {0}, count = 0;
    for (char *word = next_word(&rest, BLANKS); word != NULL; word = next_word(&rest, BLANKS), count++) {
        if (count >= r->column_count)
            continue; // counted only
        left_out[count] = strcmp(word, "-") == 0 && r->columns[count].expected;
        if (!left_out[count] && !read_value(word, &cell[count])) {
            COMPLAIN(r, "\"%s\" is no number, clock or date", word);
            return;
        }
        if (!r->columns[count].expected)
            r->given[r->columns[count].given] = cell[count];
    }
    if (count != r->column_count) {
        COMPLAIN(r, "the row must have %d cells, one for each column", r->column_count);
        return;
    }
    for (int k = 0; k < r->column_count && all_given(r); k++) {
        if (!r->columns[k].expected || left_out[k])
            continue;
        if (r->columns[k].given >= 0)
            r->given[r->columns[k].given] = r->columns[k].fixed;
        compare(r, cell[k]);
    }
}

// ---- lines ----

static const struct {
    const char *word;
    int of_quantity; // belongs below a line "quantity"
    void (*read)(reading *r, char *rest);
} heads[] = {
    {"source", 0, read_source},       {"mark", 0, read_mark},   {"quantity", 0, read_quantity},
    {"tolerance", 1, read_tolerance}, {"given", 1, read_given}, {"columns", 1, read_columns},
};

static void read_head(reading *r, char *line)
{
    char *word = next_word(&line, BLANKS);
    for (size_t i = 0; i < sizeof heads / sizeof heads[0]; i++) {
        if (strcmp(word, heads[i].word) != 0)
            continue;
        if (!heads[i].of_quantity || r->quantity != NULL)
            heads[i].read(r, line);
        else
            COMPLAIN(r, "a line \"%s\" belongs below a line \"quantity\"", word);
        return;
    }
    COMPLAIN(r, "a line begins with source, mark, quantity, tolerance, given or columns, a row with blanks");
}

/* One line without comment and trailing blanks. @return what follows it */
static const char *take_line(const char *text, char *line)
{
    size_t length = strcspn(text, "\n"), kept = length < LINE_MAX_BYTES - 1 ? length : LINE_MAX_BYTES - 1;
    memcpy(line, text, kept);
    line[kept] = '\0';
    line[strcspn(line, "#")] = '\0';
    trim(line);
    return text + length + (text[length] == '\n');
}

static int is_row(const char *line)
{
    return line[0] == ' ' || line[0] == '\t';
}

/* A head goes on in the indented lines below it, but for columns, below which the rows stand. @return what
 * follows */
static const char *take_rest(const char *text, char *line, int *lines)
{
    char more[LINE_MAX_BYTES];
    while (strncmp(line, "columns", 7) != 0 && is_row(text)) {
        text = take_line(text, more);
        size_t length = strlen(line);
        snprintf(line + length, LINE_MAX_BYTES - length, "%s", more);
        ++*lines;
    }
    return text;
}

void published_run(const char *text, const char *file, const published_rules *rules, published_tally *tally,
                   complaints *c)
{
    char line[LINE_MAX_BYTES];
    reading r = {.file = file, .line = 1, .rules = rules, .tally = tally, .c = c, .mark = -1};
    *tally = (published_tally){.greatest_share = 0.0};
    while (*text != '\0') {
        int lines = 1;
        text = take_line(text, line);
        if (line[0] != '\0' && !is_row(line)) {
            text = take_rest(text, line, &lines);
            read_head(&r, line);
        } else if (line[0] != '\0' && r.column_count > 0)
            read_row(&r, line);
        else if (line[0] != '\0')
            COMPLAIN(&r, "a row stands below a line \"columns\" that is good; there is none");
        r.line += lines;
    }
    if (tally->values[MARK_SEEN] + tally->values[MARK_DERIVED] + tally->values[MARK_MEMORY] +
            tally->of_test ==
        0)
        COMPLAIN(&r, "the file has no values; add some or delete it");
    else
        end_source(&r);
}

void published_settle(const published_rules *rules, complaints *c)
{
    for (int i = 0; i < rules->quantities; i++)
        if (rules->used[i] == 0)
            complain_at(c, "check_published.c", 0,
                        "no file in tests/published/ has a value of %s; add one or delete the row",
                        rules->quantity[i].name);
}
