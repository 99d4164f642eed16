#include "support/sources.h"

#include "support/source_text.h"

#include <ctype.h>
#include <math.h>
#include <stdlib.h>
#include <string.h>

#define WORD "abcdefghijklmnopqrstuvwxyz0123456789-"

/* What stands in brackets in comments and is a unit. */
static const char *const units[] = {"deg", "rad", "ohm", "min"};

/* What an equation may say for itself instead of a key. */
static const char *const marks[] = {
    "own derivation", "common practice, no source", "definition", "from memory", "convention", "numerics"};

static const char *const functions[] = {"exp",  "log",   "pow",   "sin",   "cos",   "tan",  "asin", "acos",
                                        "atan", "atan2", "sqrt",  "hypot", "sinh",  "cosh", "tanh", "cbrt",
                                        "exp2", "log2",  "log10", "expm1", "log1p", "erf"};

#define COUNT(list) (sizeof list / sizeof list[0])

static int is_one_of(const char *word, size_t length, const char *const *list, size_t count)
{
    for (size_t i = 0; i < count; i++)
        if (strlen(list[i]) == length && strncmp(list[i], word, length) == 0)
            return 1;
    return 0;
}

// ---- the table ----

static void read_row(const char *line, int number, const char *file, int of_checks, source_table *out,
                     complaints *c)
{
    char key[40] = "";
    size_t length = strspn(line + 2, WORD);
    if (!islower((unsigned char)line[2]) || length >= sizeof key || strncmp(line, "| key |", 7) == 0)
        return;
    memcpy(key, line + 2, length);
    key[length] = '\0';
    if (source_of(out, key) != NULL)
        complain_at(c, file, number, "the key %s is in the table twice; keep one row", key);
    else if (out->count == SOURCE_KEYS_MAX)
        complain_at(c, file, number,
                    "there are more keys than the check has room for; raise SOURCE_KEYS_MAX");
    else {
        source_key *to = &out->key[out->count++];
        *to = (source_key){.line = number, .of_checks = of_checks};
        memcpy(to->key, key, sizeof key);
    }
}

void sources_of(const char *markdown, const char *file, source_table *out, complaints *c)
{
    int inside = 0, of_checks = 0, number = 1;
    *out = (source_table){.count = 0};
    for (const char *line = markdown; *line != '\0'; number++) {
        if (strncmp(line, "## ", 3) == 0)
            inside = strncmp(line, "## Sources", 10) == 0;
        if (inside && strncmp(line, "### ", 4) == 0)
            of_checks = 1;
        if (inside && strncmp(line, "| ", 2) == 0)
            read_row(line, number, file, of_checks, out, c);
        line += strcspn(line, "\n");
        line += *line == '\n';
    }
    if (out->count == 0)
        complain_at(c, file, number, "there is no table of sources; put it under \"## Sources\"");
}

source_key *source_of(source_table *table, const char *key)
{
    for (int i = 0; i < table->count; i++)
        if (strcmp(table->key[i].key, key) == 0)
            return &table->key[i];
    return NULL;
}

// ---- citations ----

static const char *line_end(const char *at)
{
    at += strcspn(at, "\n");
    return at + (*at == '\n');
}

/* The length of the key that an opening bracket begins; 0 if it begins none. */
static size_t key_at(const char *text, const char *bracket)
{
    size_t length = strspn(bracket + 1, WORD);
    char before = bracket > text ? bracket[-1] : ' ', after = bracket[1 + length];
    int index = isalnum((unsigned char)before) || strchr("_])", before) != NULL ||
                bracket[1 + length] == '\0' || bracket[2 + length] == '[';
    if (after != ']' || index || length < 3 || !islower((unsigned char)bracket[1]))
        return 0;
    return is_one_of(bracket + 1, length, units, COUNT(units)) ? 0 : length;
}

static void cite(const char *key, size_t length, const char *file, int line, source_citer citer,
                 source_table *table, complaints *c)
{
    char word[40] = "";
    memcpy(word, key, length < sizeof word ? length : sizeof word - 1);
    source_key *source = source_of(table, word);
    if (source == NULL)
        complain_at(c, file, line,
                    "the source [%s] is unknown; add a row for it under \"## Sources\" in DEVELOPERS.md or "
                    "correct the "
                    "key",
                    word);
    else if (citer == CITED_BY_CODE)
        source->by_code = 1;
    else if (citer == CITED_BY_TESTS)
        source->by_tests = 1;
}

/* Whether the comment that a place lies in stands, without an empty line, directly above a test, or above a
 * static table or function at the margin. */
static int heads_a_test(const char *code, const char *comment, size_t at)
{
    while (at > 0 && code[at - 1] != '\n')
        at--;
    if (code[at + strspn(code + at, " \t")] != '\n')
        return 0; // behind code
    while (code[at + strspn(code + at, " \t")] == '\n') {
        if (comment[at + strspn(comment + at, " \t")] == '\n')
            return 0;
        at += strcspn(code + at, "\n") + 1;
    }
    return strncmp(code + at, "START_TEST(", 11) == 0 || strncmp(code + at, "static ", 7) == 0;
}

void cite_in_c(const char *text, const char *file, source_citer citer, source_table *table, complaints *c)
{
    size_t size = strlen(text) + 1;
    char *comment = malloc(size), *code = malloc(size);
    if (comment != NULL && code != NULL) {
        sw_source_split(text, comment, code);
        for (const char *at = strchr(comment, '['); at != NULL; at = strchr(at + 1, '[')) {
            size_t length = key_at(comment, at);
            int mere = citer == CITED_BY_TESTS && !heads_a_test(code, comment, (size_t)(at - comment));
            if (length > 0)
                cite(at + 1, length, file, sw_source_line(comment, at), mere ? MENTIONED : citer, table, c);
        }
    }
    free(comment);
    free(code);
}

/* Whether a row, an indented line below a line "columns", stands between a line and the next source. Whether
 * it has a value is for published.c to tell. */
static int has_rows(const char *line)
{
    int in_table = 0;
    for (; *line != '\0' && strncmp(line, "source", 6) != 0; line = line_end(line)) {
        size_t blanks = strspn(line, " \t");
        if (strchr("#\n", line[blanks]) != NULL)
            continue;
        if (in_table && blanks > 0)
            return 1;
        if (blanks == 0)
            in_table = strncmp(line, "columns", 7) == 0;
    }
    return 0;
}

void cite_in_values(const char *text, const char *file, source_table *table, complaints *c)
{
    int number = 1;
    for (const char *line = text; *line != '\0'; line = line_end(line), number++) {
        const char *bracket = line + strcspn(line, "[\n");
        size_t length = strncmp(line, "source", 6) == 0 && *bracket == '[' ? key_at(line, bracket) : 0;
        if (length > 0)
            cite(bracket + 1, length, file, number, has_rows(line_end(line)) ? CITED_BY_TESTS : MENTIONED,
                 table, c);
    }
}

void sources_settle(const source_table *table, const char *file, complaints *c)
{
    for (int i = 0; i < table->count; i++) {
        const source_key *k = &table->key[i];
        if (!k->of_checks && !k->by_code)
            complain_at(c, file, k->line,
                        "nothing in src/ or include/ cites [%s]; cite it where it is used, move the row to "
                        "the table of "
                        "the checks, or delete it",
                        k->key);
        if (k->of_checks && k->by_code)
            complain_at(c, file, k->line, "src/ or include/ cites [%s]; move its row to the first table",
                        k->key);
        if (!k->by_tests)
            complain_at(
                c, file, k->line,
                "no test cites [%s]; add a value from it to tests/published/, or cite it directly above the "
                "START_TEST or the static table or function of a tests/**/check_*.c that holds the code "
                "against it",
                k->key);
    }
}

// ---- equations ----

/* A one-digit whole number and 0.5 say nothing about nature. */
static int tells_something(const char *number)
{
    double value = strtod(number, NULL);
    int whole = value == floor(value);
    return !(whole && value >= 0.0 && value <= 9.0) && value != 0.5;
}

static int starts_word(char c)
{
    return isalpha((unsigned char)c) || c == '_';
}

/* Length of a word or a number; 1 for any other character. */
static size_t token_length(const char *at)
{
    size_t n = 1;
    if (starts_word(*at)) {
        while (isalnum((unsigned char)at[n]) || at[n] == '_')
            n++;
    } else if (isdigit((unsigned char)*at) || (*at == '.' && isdigit((unsigned char)at[1]))) {
        while (isalnum((unsigned char)at[n]) || at[n] == '.' ||
               (strchr("+-", at[n]) != NULL && at[n] != '\0' && tolower((unsigned char)at[n - 1]) == 'e'))
            n++;
    }
    return n;
}

/* The first number or function of mathematics between two places in code; `*length` is its own. */
static const char *find_equation(const char *from, const char *to, size_t *length)
{
    for (const char *at = from; at < to; at += *length) {
        *length = token_length(at);
        const char *next = at + *length + strspn(at + *length, " ");
        if (starts_word(*at)) {
            if (*next == '(' && is_one_of(at, *length, functions, COUNT(functions)))
                return at;
        } else if ((isdigit((unsigned char)*at) || *length > 1) && tells_something(at))
            return at;
    }
    return NULL;
}

/* Whether round brackets hold a mark: alone, among others with semicolons between, or with what it is said of
 * behind a colon. */
static int brackets_hold_mark(const char *bracket)
{
    for (const char *at = bracket + 1; *at != '\0'; at += *at == ';') {
        at += strspn(at, " ");
        size_t length = strcspn(at, ":;()");
        if (at[length] != '\0' && strchr(":;)", at[length]) != NULL &&
            is_one_of(at, length, marks, COUNT(marks)))
            return 1;
        at += strcspn(at, ";()");
        if (*at != ';')
            return 0;
    }
    return 0;
}

/* Whether comments between two places name a source or a mark. Line ends and stars within a mark count as
 * blanks. */
static int names_source(const char *comment, const char *from, const char *to)
{
    char plain[1 << 13];
    size_t n = 0;
    for (const char *at = from; at < to && n + 1 < sizeof plain; at++) {
        if (*at == '[' && key_at(comment, at) > 0)
            return 1;
        char c = strchr(" \n*/", *at) != NULL ? ' ' : *at;
        if (c != ' ' || (n > 0 && plain[n - 1] != ' '))
            plain[n++] = c;
    }
    plain[n] = '\0';
    for (const char *at = strchr(plain, '('); at != NULL; at = strchr(at + 1, '('))
        if (brackets_hold_mark(at))
            return 1;
    return 0;
}

/* End of the item that begins here: a directive's line, a function's last brace, or a semicolon outside of
 * braces. */
static const char *item_end(const char *at)
{
    if (*at == '#') {
        while (*at != '\0' && at[strcspn(at, "\n")] == '\n' && at[strcspn(at, "\n") - 1] == '\\')
            at = line_end(at);
        return line_end(at);
    }
    int depth = 0, function = 0;
    char last = ' ';
    for (; *at != '\0'; at++) {
        if (*at == '{' && depth++ == 0)
            function = last == ')';
        if (*at == '}' && --depth == 0 && function)
            return line_end(at);
        if (*at == ';' && depth == 0)
            return line_end(at);
        last = isspace((unsigned char)*at) ? last : *at;
    }
    return at;
}

static int is_blank_line(const char *code, const char *comment, size_t at)
{
    return code[at + strspn(code + at, " \t")] == '\n' && comment[at + strspn(comment + at, " \t")] == '\n';
}

/* A stretch of the text. */
typedef struct stretch {
    size_t from, to;
} stretch;

/* An item is judged by the comments inside it and by the one that heads it or its paragraph. */
static void judge_item(const char *code, const char *comment, stretch head, stretch item, const char *file,
                       complaints *c)
{
    size_t length;
    const char *equation = find_equation(code + item.from, code + item.to, &length);
    int sourced = names_source(comment, comment + head.from, comment + head.to) ||
                  names_source(comment, comment + item.from, comment + item.to);
    if (equation != NULL && !sourced)
        complain_at(
            c, file, sw_source_line(code, equation),
            "\"%.*s\" has no source; put a [key] of DEVELOPERS.md, or one of the marks (own derivation), "
            "(common practice, no source), (definition), (from memory), (convention), (numerics), "
            "into a comment inside or above",
            (int)length, equation);
}

static void find_in_parts(const char *code, const char *comment, const char *file, complaints *c)
{
    stretch head = {0, 0};
    int in_head = 0;
    for (size_t at = 0; code[at] != '\0';) {
        size_t first = at + strspn(code + at, " \t");
        if (code[first] == '\n' || code[first] == '\0') { // nothing but comment, or nothing, on this line
            size_t next = first + (code[first] == '\n');
            int blank = is_blank_line(code, comment, at);
            head = blank ? (stretch){next, next} : (stretch){in_head ? head.from : at, next};
            in_head = !blank;
            at = next;
        } else {
            size_t end = (size_t)(item_end(code + first) - code);
            judge_item(code, comment, head, (stretch){first, end}, file, c);
            in_head = 0;
            at = end;
        }
    }
}

void find_unsourced(const char *text, const char *file, complaints *c)
{
    size_t size = strlen(text) + 1;
    char *comment = malloc(size), *code = malloc(size);
    if (comment != NULL && code != NULL) {
        sw_source_split(text, comment, code);
        find_in_parts(code, comment, file, c);
    }
    free(comment);
    free(code);
}
