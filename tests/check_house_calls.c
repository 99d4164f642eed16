// Calls and words that have no place here, each with what to use instead, and the names of what others can
// link to.
#include "support/checks.h"
#include "support/source_text.h"

#include <ctype.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

/* Where a word is allowed: folders and paths, or NULL for nowhere. */
typedef struct banned {
    const char *word;
    const char *allowed_in;
    const char *instead;
} banned;

#define BOUNDED   "use snprintf, which knows the room"
#define NUMBERS   "use sw_decimal_read: it knows errors and does not ask the locale"
#define LOCALE    "compare with the ASCII letters: this asks the locale"
#define NO_CLOCK  "take the time as an argument: only the program looks at the clock"
#define NO_EXIT   "return a status: only main ends the program"
#define NO_OUTPUT "return text or a message: only the program prints"
#define NO_ZONE   "use sw_zone: the process's own clock may not be touched"
#define STRICT    "use sw_node_member: this ignores case and cuts numbers"
#define PLAIN     "the march is + - * / sqrt, compare and select, so that results are the same on every machine"

static const banned everywhere[] = {
    {"strcpy", NULL, BOUNDED},
    {"strcat", NULL, BOUNDED},
    {"strncpy", NULL, BOUNDED},
    {"strncat", NULL, BOUNDED},
    {"sprintf", NULL, BOUNDED},
    {"vsprintf", NULL, BOUNDED},
    {"gets", NULL, BOUNDED},
    {"alloca", NULL, "use the arena or a fixed array"},
    {"strtok", NULL, "use sw_span"},
    {"atoi", NULL, NUMBERS},
    {"atol", NULL, NUMBERS},
    {"atof", NULL, NUMBERS},
    {"strtod", NULL, NUMBERS},
    {"strtof", NULL, NUMBERS},
    {"strtold", NULL, NUMBERS},
    {"sscanf", NULL, NUMBERS},
    {"fscanf", NULL, NUMBERS},
    {"scanf", NULL, NUMBERS},
    {"isalpha", NULL, LOCALE},
    {"isdigit", NULL, LOCALE},
    {"isspace", NULL, LOCALE},
    {"isalnum", NULL, LOCALE},
    {"isupper", NULL, LOCALE},
    {"islower", NULL, LOCALE},
    {"isprint", NULL, LOCALE},
    {"toupper", NULL, LOCALE},
    {"tolower", NULL, LOCALE},
    {"setlocale", NULL, LOCALE},
    {"setenv", NULL, NO_ZONE},
    {"putenv", NULL, NO_ZONE},
    {"tzset", NULL, NO_ZONE},
    {"mktime", NULL, NO_ZONE},
    {"localtime", NULL, NO_ZONE},
    {"gmtime", NULL, NO_ZONE},
    {"localtime_r", "cli", NO_ZONE},
    {"time", "cli", NO_CLOCK},
    {"clock_gettime", "cli", NO_CLOCK},
    {"gettimeofday", NULL, NO_CLOCK},
    {"exit", NULL, NO_EXIT},
    {"_Exit", NULL, NO_EXIT},
    {"abort", NULL, NO_EXIT},
    {"assert", NULL, NO_EXIT},
    {"printf", "cli", NO_OUTPUT},
    {"fprintf", "cli", NO_OUTPUT},
    {"vfprintf", "cli", NO_OUTPUT},
    {"puts", "cli", NO_OUTPUT},
    {"putchar", "cli", NO_OUTPUT},
    {"fputs", "cli", NO_OUTPUT},
    {"vprintf", NULL, NO_OUTPUT},
    {"dprintf", NULL, NO_OUTPUT},
    {"fputc", "cli", NO_OUTPUT},
    {"fwrite", "cli", NO_OUTPUT},
    {"write", "cli", NO_OUTPUT},
    {"perror", NULL, NO_OUTPUT},
    {"rename", "cli", NO_OUTPUT},
    {"unlink", "cli", NO_OUTPUT},
    {"getenv", "cli", "take it as an argument: only the program looks at its environment"},
    {"fopen", "cli", "ask the loader, so that the same code runs without a disk"},
    {"open", "cli src/files/disk.c", "ask the loader, so that the same code runs without a disk"},
    {"system", NULL, "do it in C"},
    {"popen", NULL, "do it in C"},
    {"fork", NULL, "do it in one process"},
    {"setjmp", NULL, "return a status"},
    {"longjmp", NULL, "return a status"},
    {"rand", NULL, "take a seeded generator as an argument"},
    {"srand", NULL, "take a seeded generator as an argument"},
    {"random", NULL, "take a seeded generator as an argument"},
    {"strerror", "cli src/files/disk.c", "say it in our own words, or in the loader's reason"},
    {"cJSON_GetObjectItem", NULL, STRICT},
    {"cJSON_Parse", NULL, "use sw_document_read: this takes bad UTF-8 and double keys"},
    {"cJSON_AddNumberToObject", NULL, "use a raw item of our own number writer: this asks the locale"},
    {"cJSON_CreateNumber", NULL, "use a raw item of our own number writer: this asks the locale"},
    {"valueint", NULL, STRICT},
    {"valuedouble", NULL, STRICT},
};

/* What writes a van into a lane runs before the march. */
#define WRITER "src/core/march_tile.c"

static const banned in_the_march[] = {
    {"exp", WRITER, PLAIN},  {"log", WRITER, PLAIN},   {"pow", WRITER, PLAIN},   {"sin", WRITER, PLAIN},
    {"cos", WRITER, PLAIN},  {"tan", WRITER, PLAIN},   {"fmin", WRITER, PLAIN},  {"fmax", WRITER, PLAIN},
    {"fabs", WRITER, PLAIN}, {"fma", WRITER, PLAIN},   {"floor", WRITER, PLAIN}, {"round", WRITER, PLAIN},
    {"cbrt", WRITER, PLAIN}, {"expm1", WRITER, PLAIN}, {"log1p", WRITER, PLAIN}, {"hypot", WRITER, PLAIN},
};

static int is_word_letter(int c)
{
    return isalnum((unsigned char)c) || c == '_';
}

/* A banned call is a word of its own before a bracket; a banned field stands behind a dot or an arrow. */
static int is_use(const char *text, const char *at, size_t length)
{
    char before = at > text ? at[-1] : ' ', after = at[length];
    if (is_word_letter(before) || is_word_letter(after))
        return 0;
    int is_member = before == '.' || before == '>';
    return is_member ? after != '(' : after == '(';
}

static const char *find_word(const char *text, const char *word)
{
    size_t length = strlen(word);
    for (const char *at = text; (at = strstr(at, word)) != NULL; at += length)
        if (is_use(text, at, length))
            return at;
    return NULL;
}

static int is_one_of(const char *words, const char *word)
{
    size_t length = strlen(word);
    for (const char *at = words; *at != '\0'; at += strcspn(at, " "), at += strspn(at, " "))
        if (strcspn(at, " ") == length && strncmp(at, word, length) == 0)
            return 1;
    return 0;
}

static int is_allowed(const sw_source *source, const banned *b)
{
    return b->allowed_in != NULL &&
           (is_one_of(b->allowed_in, source->folder) || is_one_of(b->allowed_in, source->path));
}

static void expect_none(const sw_source *source, const banned *list, size_t count)
{
    for (size_t i = 0; i < count; i++) {
        const char *at = is_allowed(source, &list[i]) ? NULL : find_word(source->text, list[i].word);
        ck_assert_msg(at == NULL, "%s:%d uses %s: %s", source->path,
                      at == NULL ? 0 : sw_source_line(source->text, at), list[i].word, list[i].instead);
    }
}

#define LENGTH_OF(list) (sizeof(list) / sizeof(list)[0])

START_TEST(no_banned_calls)
{
    int count;
    sw_source *source = sw_sources_read(&count);
    for (int i = 0; i < count; i++) {
        sw_source_blank(source[i].text);
        expect_none(&source[i], everywhere, LENGTH_OF(everywhere));
        if (strncmp(source[i].path, "src/core/march", 14) == 0)
            expect_none(&source[i], in_the_march, LENGTH_OF(in_the_march));
    }
    sw_sources_free(source, count);
}
END_TEST

START_TEST(a_banned_call_is_seen_in_code_only)
{
    char text[] = "/* strcpy(a, b) */ char *s = \"atoi(x)\"; // exit(1)\n"
                  "#include \"a.h\"\nint x = snprintf(b), y = my_atoi(c), z = s.exit(1);\nint exit;\n";
    sw_source_blank(text);
    ck_assert_ptr_null(find_word(text, "strcpy"));
    ck_assert_ptr_null(find_word(text, "exit"));
    ck_assert_ptr_null(find_word(text, "atoi"));
    ck_assert_ptr_null(find_word(text, "printf"));
    ck_assert_ptr_nonnull(strstr(text, "#include \"a.h\""));
    ck_assert_ptr_nonnull(find_word("n = atoi(s);", "atoi"));
    ck_assert_ptr_nonnull(find_word("n = item->valueint;", "valueint"));
    ck_assert_ptr_nonnull(find_word("n = item.valueint;", "valueint"));
    ck_assert_int_eq(sw_source_line(text, strstr(text, "int x")), 3);
}
END_TEST

// ---- names that others link to ----

/* A line of `nm -A`: "libstillwatt.a:sun.c.o:0000000000000010 T sw_sun_at". */
typedef struct symbol {
    char member[128], name[256];
    char kind; // U: called, not defined here
} symbol;

static int read_symbol(const char *line, symbol *out)
{
    const char *last = strrchr(line, ':');
    if (last == NULL)
        return 0;
    const char *member = last;
    while (member > line && member[-1] != ':')
        member--;
    snprintf(out->member, sizeof out->member, "%.*s", (int)(last - member), member);
    return sscanf(last + 1, "%*x %c %255s", &out->kind, out->name) == 2 ||
           sscanf(last + 1, " %c %255s", &out->kind, out->name) == 2;
}

static FILE *symbols_of_the_library(void)
{
    FILE *nm = popen("nm -A '" SW_LIBRARY "'", "r");
    ck_assert_ptr_nonnull(nm);
    return nm;
}

/* Names with two underscores belong to the compiler. */
/* Names with a dot are the compiler's: no C program can have one. */
static int is_ours(const char *name)
{
    return strncmp(name, "sw_", 3) == 0 || strncmp(name, "__", 2) == 0 || name[0] == '.';
}

START_TEST(what_the_library_exports_begins_with_sw)
{
    char line[1024];
    symbol s;
    int seen = 0;
    FILE *nm = symbols_of_the_library();
    while (fgets(line, sizeof line, nm) != NULL) {
        if (!read_symbol(line, &s) || strchr("TDBRC", s.kind) == NULL)
            continue;
        ck_assert_msg(is_ours(s.name), "the library exports %s: begin it with sw_, or make it static",
                      s.name);
        seen++;
    }
    pclose(nm);
    ck_assert_msg(seen > 150, "nm named %d symbols only: install binutils", seen);
}
END_TEST

static int is_math(const char *name)
{
    static const char *const math[] = {"exp", "expm1", "log", "pow", "sin", "cos", "sincos", "tan", "asin",
                                       "acos", "atan", "atan2", "fmod", "sqrt", "floor", "round", "llround",
                                       "fmin", "fmax", "fabs", "hypot", "remainder", "memset", "memcpy",
                                       // what the compiler asks to know the processor
                                       "__cpu_model", "_GLOBAL_OFFSET_TABLE_"};
    for (size_t i = 0; i < LENGTH_OF(math); i++)
        if (strcmp(math[i], name) == 0)
            return 1;
    return is_ours(name);
}

static int is_in_core(const char *member)
{
    char path[1024];
    snprintf(path, sizeof path, "%s/src/core/%.*s.c", SW_SOURCE_DIR, (int)strcspn(member, "."), member);
    FILE *core = fopen(path, "r");
    if (core != NULL)
        fclose(core);
    return core != NULL;
}

/* What the march may call once it runs: memset and memcpy are the compiler's own. */
static int is_plain(const char *name)
{
    return strcmp(name, "sqrt") == 0 || strcmp(name, "memset") == 0 || strcmp(name, "memcpy") == 0 ||
           is_ours(name);
}

static int is_of_the_march(const char *member)
{
    return strncmp(member, "march", 5) == 0 &&
           strncmp(member, "march_tile.", 11) != 0 && // that one writes vans into lanes
           strncmp(member, "march_width.", 12) != 0;  // and that one chooses among the compiled ones
}

/* What the compiled core calls, whatever its text looks like. Names with two underscores belong to the
 * compiler. */
START_TEST(core_calls_libm_and_itself_only)
{
    char line[1024];
    symbol s;
    int seen = 0;
    FILE *nm = symbols_of_the_library();
    while (fgets(line, sizeof line, nm) != NULL) {
        if (!read_symbol(line, &s) || s.kind != 'U' || !is_in_core(s.member))
            continue;
        ck_assert_msg(is_math(s.name), "%s calls %s: core may call libm and itself only", s.member, s.name);
        ck_assert_msg(!is_of_the_march(s.member) || is_plain(s.name), "%s calls %s: " PLAIN, s.member,
                      s.name);
        seen++;
    }
    pclose(nm);
    ck_assert_msg(seen > 20, "nm named %d calls of core only: install binutils", seen);
}
END_TEST

/* The same by what is linked, so that no macro hides it: the library but for its loader asks nothing of the
 * system. */
START_TEST(the_library_asks_nothing_of_the_system_but_by_its_loader)
{
    static const char *const asking[] = {
        "open",        "openat",    "read",          "write",     "fopen",  "fopen64", "open64", "fwrite",
        "fputs",       "fputc",     "putc",          "puts",      "printf", "fprintf", "rename", "unlink",
        "getenv",      "setenv",    "time",          "exit",      "abort",  "system",  "fork",   "socket",
        "localtime_r", "localtime", "clock_gettime", "setlocale", "rand",   "random"};
    char line[1024];
    symbol s;
    int seen = 0;
    FILE *nm = symbols_of_the_library();
    while (fgets(line, sizeof line, nm) != NULL) {
        if (!read_symbol(line, &s) || s.kind != 'U' || strncmp(s.member, "disk.", 5) == 0)
            continue;
        for (size_t i = 0; i < LENGTH_OF(asking); i++)
            ck_assert_msg(strcmp(asking[i], s.name) != 0,
                          "%s calls %s: ask the loader, or leave it to the program", s.member, s.name);
        seen++;
    }
    pclose(nm);
    ck_assert_int_gt(seen, 300);
}
END_TEST

Suite *sw_suite(void)
{
    const TTest *const tests[] = {
        no_banned_calls,
        a_banned_call_is_seen_in_code_only,
        what_the_library_exports_begins_with_sw,
        core_calls_libm_and_itself_only,
        the_library_asks_nothing_of_the_system_but_by_its_loader,
        NULL,
    };
    return sw_suite_of("house_calls", tests, 60);
}
