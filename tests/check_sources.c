// Every number of the computation says where it is from: keys cited, known and tested, and no equation
// without a source.
#include "support/checks.h"
#include "support/source_text.h"
#include "support/sources.h"
#include "support/whole_file.h"

#include <dirent.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>

// ---- the checker's own checks ----

static const char small_table[] = "# Title\n\n## Other\n\n| other-key | not one |\n\n## Sources\n\n"
                                  "| key | source |\n| --- | --- |\n| noaa-solar | NOAA |\n| nec | Code |\n\n"
                                  "### Of checks alone\n\n| usno | Almanac |\n";

static complaints found; // large, so not on the stack

static source_table small_sources(void)
{
    source_table table;
    found = (complaints){.count = 0};
    sources_of(small_table, "D.md", &table, &found);
    return table;
}

START_TEST(the_table_is_read_from_its_section)
{
    source_table table = small_sources();
    ck_assert_int_eq(found.count, 0);
    ck_assert_int_eq(table.count, 3);
    ck_assert_str_eq(table.key[1].key, "nec");
    ck_assert_int_eq(table.key[1].line, 12);
    ck_assert_int_eq(source_of(&table, "nec")->of_checks, 0);
    ck_assert_int_eq(source_of(&table, "usno")->of_checks, 1);
    ck_assert_ptr_null(source_of(&table, "other-key"));
    sources_of("## Sources\n\n| nec | a |\n| nec | b |\n", "D.md", &table, &found);
    ck_assert_ptr_nonnull(strstr(found.text, "D.md:4: the key nec is in the table twice"));
    sources_of("## Origins\n| nec | a |\n", "D.md", &table, &found);
    ck_assert_ptr_nonnull(strstr(found.text, "no table of sources"));
}
END_TEST

START_TEST(comment_and_code_are_told_apart)
{
    static const char text[] = "a /* b */ \"/* c */\" 'd' // e\n\"\\\"//f\" g";
    char comment[sizeof text], code[sizeof text];
    sw_source_split(text, comment, code);
    ck_assert_str_eq(comment, "  /* b */               // e\n         ");
    ck_assert_str_eq(code, "a                           \n        g");
}
END_TEST

START_TEST(only_a_key_in_a_comment_is_a_citation)
{
    static const char *const none[] = {
        "int a = b[usno];\n",
        "// a[usno] and [usno][nec] and b[0][usno]\n",
        "/// @param[usno] x\n",
        "char s[] = \"// [usno]\";\n",
        "// [deg] [m] [Wh/m2] [see usno] [USNO] [1usno]\n",
    };
    for (size_t i = 0; i < sizeof none / sizeof none[0]; i++) {
        source_table table = small_sources();
        cite_in_c(none[i], "a.c", CITED_BY_CODE, &table, &found);
        ck_assert_msg(found.count == 0, "%s%s", none[i], found.text);
        ck_assert_msg(source_of(&table, "usno")->by_code == 0, "%s", none[i]);
    }
    source_table table = small_sources();
    cite_in_c("/* before\n [usno] and ([nec]), */\nSTART_TEST(a)", "a.c", CITED_BY_TESTS, &table, &found);
    ck_assert_int_eq(source_of(&table, "usno")->by_tests + source_of(&table, "nec")->by_tests, 2);
    ck_assert_int_eq(source_of(&table, "nec")->by_code, 0);
    cite_in_c("int a; // [nec]", "a.c", CITED_BY_CODE, &table, &found);
    ck_assert_int_eq(source_of(&table, "nec")->by_code, 1);
}
END_TEST

START_TEST(a_test_cites_right_above_it)
{
    static const struct {
        const char *text;
        int cites;
    } cases[] = {
        {"// [usno]\nSTART_TEST(a)\n", 1},       {"/* a\n   [usno]\n   b */\nstatic int a;\n", 1},
        {"// [usno]\n// a\nSTART_TEST(a)\n", 1}, {"int a; // [usno]\nstatic int b;\n", 0},
        {"// [usno]\n\nSTART_TEST(a)\n", 0},     {"// [usno]\n#include \"a.h\"\n", 0},
        {"// [usno]\nint a(void);\n", 0},        {"{\n    // [usno]\n    static int a;\n}\n", 0},
        {"static int a; // [usno]", 0},          {"// [usno]", 0},
    };
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
        source_table table = small_sources();
        cite_in_c(cases[i].text, "a.c", CITED_BY_TESTS, &table, &found);
        ck_assert_msg(source_of(&table, "usno")->by_tests == cases[i].cites, "%s", cases[i].text);
    }
    source_table table = small_sources();
    cite_in_c("// [usno]\nstatic int a;\n", "a.c", MENTIONED, &table, &found);
    ck_assert_int_eq(source_of(&table, "usno")->by_tests, 0);
    ck_assert_int_eq(found.count, 0);
}
END_TEST

START_TEST(a_source_of_values_cites_with_its_rows)
{
    static const struct {
        const char *text;
        int cites;
    } cases[] = {
        {"source [usno] a\nmark seen\nquantity q\ncolumns expected\n # none\n\n  1\n", 1},
        {"source [usno] a\nmark seen\n", 0},
        {"source [usno] a\nmark seen\nquantity q\ntolerance 1 d: it\n  goes on\ncolumns expected\n # 1\n", 0},
        {"source [usno] a\nsource [nec] b\ncolumns expected\n  1\n", 0},
    };
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
        source_table table = small_sources();
        cite_in_values(cases[i].text, "v.txt", &table, &found);
        ck_assert_msg(source_of(&table, "usno")->by_tests == cases[i].cites, "%s", cases[i].text);
    }
}
END_TEST

START_TEST(an_unknown_key_is_told_with_its_line)
{
    source_table table = small_sources();
    cite_in_c("int a;\n\n/* as in\n   [nobody-1900] */\n", "a.c", CITED_BY_CODE, &table, &found);
    ck_assert_int_eq(found.count, 1);
    ck_assert_ptr_nonnull(strstr(found.text, "a.c:4: the source [nobody-1900] is unknown; add a row"));
    cite_in_values("# [nobody-1900]\nsource [usno] table\ncolumns expected\n 1\nsource [else-2000] b\n",
                   "v.txt", &table, &found);
    ck_assert_int_eq(found.count, 2);
    ck_assert_ptr_nonnull(strstr(found.text, "v.txt:5: the source [else-2000] is unknown"));
    ck_assert_int_eq(source_of(&table, "usno")->by_tests, 1);
}
END_TEST

START_TEST(a_key_without_use_or_without_test_is_told)
{
    source_table table = small_sources();
    sources_settle(&table, "D.md", &found);
    ck_assert_int_eq(found.count, 5); // two without use, three without test
    ck_assert_ptr_nonnull(strstr(found.text, "D.md:11: nothing in src/ or include/ cites [noaa-solar]"));
    ck_assert_ptr_nonnull(strstr(found.text, "D.md:16: no test cites [usno]"));

    table = small_sources();
    cite_in_c("// [nec] [noaa-solar] [usno]", "a.c", CITED_BY_CODE, &table, &found);
    cite_in_c("// [nec] [usno]\nSTART_TEST(a)", "t.c", CITED_BY_TESTS, &table, &found);
    sources_settle(&table, "D.md", &found);
    ck_assert_int_eq(found.count, 2);
    ck_assert_ptr_nonnull(strstr(found.text, "D.md:11: no test cites [noaa-solar]"));
    ck_assert_ptr_nonnull(strstr(found.text, "D.md:16: src/ or include/ cites [usno]"));
}
END_TEST

static int unsourced(const char *text)
{
    found = (complaints){.count = 0};
    find_unsourced(text, "e.c", &found);
    return found.count;
}

START_TEST(an_equation_without_a_source_is_told)
{
    static const char *const wrong[] = {
        "double f(double x)\n{\n    return 0.033 * x;\n}\n",
        "double f(double x)\n{\n    return exp(x);\n}\n",
        "double f(double x)\n{\n    return pow (x, 2.0);\n}\n",
        "static const double k[] = {1.0, 12};\n",
        "#define K 1e-3\n",
        "static const long k = 12345678901234;\n",
        "#define K \\\n    360.0\n",
        "static const struct { double a; } k[] = {\n    {.25},\n};\n",
        "// [nec]\n\nstatic const double k = 12.0;\n", // a blank line parts the comment from it
        "/* [nec] */\ndouble f(void)\n{\n    return 0.0;\n}\n\ndouble g(void)\n{\n    return 12;\n}\n",
        "// as is the custom\nstatic const double k = 12.0;\n", // none of the marks
        "double f(void)\n{\n    return 12.0; \"[nec]\";\n}\n",  // a text is no comment
        "double f(double x[])\n{\n    return x[12];\n}\n",
        "static const double a = 12.0; // [nec]\nstatic const double b = 13.0;\n",
        "// [nec]\nstatic const double a = 12.0;\n// and\nstatic const double b = 13.0;\n",
        "// numerics\nstatic const double k = 12.0;\n", // the words of a mark, but not in brackets
        "// (as is the convention)\nstatic const double k = 12.0;\n",
        "// (conventions)\nstatic const double k = 12.0;\n",
        "// (see; the definition)\nstatic const double k = 12.0;\n",
        "// (numerics\nstatic const double k = 12.0;\n",
        "static const double k = 12.0; // (numerics",
        "// (a) convention: b\nstatic const double k = 12.0;\n",
        "// [common practice, no source] (common practice)\nstatic const double k = 12.0;\n",
    };
    for (size_t i = 0; i < sizeof wrong / sizeof wrong[0]; i++)
        ck_assert_msg(unsourced(wrong[i]) == 1, "%d complaints of:\n%s%s", found.count, wrong[i], found.text);
    unsourced("int a;\n\n\ndouble f(double x)\n{\n    return 3 * x +\n           0.75;\n}\n");
    ck_assert_ptr_nonnull(strstr(found.text, "e.c:7: \"0.75\" has no source; put a [key] of DEVELOPERS.md"));
}
END_TEST

START_TEST(an_equation_with_a_source_or_a_mark_is_left_alone)
{
    static const char *const right[] = {
        "// [nec]\ndouble f(double x)\n{\n    return 0.033 * x;\n}\n",
        "double f(double x)\n{\n    return 0.033 * x; // (from memory)\n}\n",
        "static const double k = 12.0; // (common practice, no source)\n",
        "/* A long mark (common\n * practice, no source). */\nstatic const double k = 12.0;\n",
        "// (numerics)\n#define A 1e-9\n#define B 1e-10\n",
        "static const double k[] = {\n    12.0, // said so (definition: of k)\n};\n",
        "double f(double x1e5, double exponent)\n{\n    return 2.0 * x1e5 + 0.5 * exponent - 9 / (3.0);\n}\n",
        "double log_of(double x);\n\n// as all (and we; convention) do\ndouble f(void)\n{\n\n    90.0;\n}\n",
    };
    for (size_t i = 0; i < sizeof right / sizeof right[0]; i++)
        ck_assert_msg(unsourced(right[i]) == 0, "%s%s", right[i], found.text);
}
END_TEST

// ---- the project ----

typedef struct visit {
    source_table *table;
    source_citer citer;
    int files, equations;
} visit;

static int ends_with(const char *name, const char *end)
{
    size_t length = strlen(name), part = strlen(end);
    return length > part && strcmp(name + length - part, end) == 0;
}

static int is_check(const char *path)
{
    const char *name = strrchr(path, '/');
    return name != NULL && strncmp(name, "/check_", 7) == 0;
}

static void look_at(const char *path, const char *shown, visit *v)
{
    char *text = read_whole_file(path, NULL);
    ck_assert_msg(text != NULL, "%s cannot be read", path);
    v->files++;
    if (ends_with(path, ".txt") && strstr(path, "/published/") != NULL)
        cite_in_values(text, shown, v->table, &found);
    else
        cite_in_c(text, shown, strstr(shown, "tests/") == shown && !is_check(shown) ? MENTIONED : v->citer,
                  v->table, &found);
    if (v->equations)
        find_unsourced(text, shown, &found);
    free(text);
}

/* All C and value files below a folder of the project. */
static void walk(const char *folder, visit *v)
{
    char path[1024];
    snprintf(path, sizeof path, SW_SOURCE_DIR "/%s", folder);
    struct dirent **entry;
    int entries = scandir(path, &entry, NULL, alphasort);
    ck_assert_msg(entries >= 0, "there is no folder %s", path);
    for (int i = 0; i < entries; i++) {
        const char *name = entry[i]->d_name;
        char inner[1024];
        struct stat st;
        snprintf(path, sizeof path, SW_SOURCE_DIR "/%s/%s", folder, name);
        snprintf(inner, sizeof inner, "%s/%s", folder, name);
        if (name[0] != '.' && stat(path, &st) == 0) {
            if (S_ISDIR(st.st_mode))
                walk(inner, v);
            else if (ends_with(name, ".c") || ends_with(name, ".h") || ends_with(name, ".txt"))
                look_at(path, inner, v);
        }
        free(entry[i]);
    }
    free(entry);
}

START_TEST(every_source_is_known_used_and_tested)
{
    char *markdown = read_whole_file(SW_SOURCE_DIR "/DEVELOPERS.md", NULL);
    ck_assert_ptr_nonnull(markdown);
    source_table table;
    found = (complaints){.count = 0};
    sources_of(markdown, "DEVELOPERS.md", &table, &found);
    visit code = {&table, CITED_BY_CODE, 0, 0}, tests = {&table, CITED_BY_TESTS, 0, 0};
    walk("src", &code);
    walk("include", &code);
    walk("tests", &tests);
    sources_settle(&table, "DEVELOPERS.md", &found);
    printf("%d sources, %d files of code, %d of tests\n", table.count, code.files, tests.files);
    printf("%s", found.text);
    fflush(stdout);
    ck_assert_msg(found.count == 0, "%d complaints, printed above", found.count);
    free(markdown);
}
END_TEST

START_TEST(every_equation_of_the_core_has_a_source)
{
    char *markdown = read_whole_file(SW_SOURCE_DIR "/DEVELOPERS.md", NULL);
    ck_assert_ptr_nonnull(markdown);
    source_table table;
    found = (complaints){.count = 0};
    sources_of(markdown, "DEVELOPERS.md", &table, &found);
    visit core = {&table, CITED_BY_CODE, 0, 1};
    walk("src/core", &core);
    ck_assert_int_gt(core.files, 0);
    printf("%s", found.text);
    fflush(stdout);
    ck_assert_msg(found.count == 0, "%d complaints, printed above", found.count);
    free(markdown);
}
END_TEST

Suite *sw_suite(void)
{
    const TTest *const tests[] = {
        the_table_is_read_from_its_section,
        comment_and_code_are_told_apart,
        only_a_key_in_a_comment_is_a_citation,
        a_test_cites_right_above_it,
        a_source_of_values_cites_with_its_rows,
        an_unknown_key_is_told_with_its_line,
        a_key_without_use_or_without_test_is_told,
        an_equation_without_a_source_is_told,
        an_equation_with_a_source_or_a_mark_is_left_alone,
        every_source_is_known_used_and_tested,
        every_equation_of_the_core_has_a_source,
        NULL,
    };
    return sw_suite_of("sources", tests, 30);
}
