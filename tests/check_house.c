// The house's order: includes go down only and never in a circle, and core knows nothing but itself and the C
// library's math.
#include "support/checks.h"
#include "support/source_text.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

/* From the bottom to the top; a folder may include those before it. */
static const char *const folders[] = {"core", "files", "weather", "trip", "study", "report", "cli"};
enum { FOLDERS = sizeof folders / sizeof folders[0] };

/* The folder that implements each public header; message.h and status.h are words that every folder may use.
 */
static const struct {
    const char *header, *folder;
} homes[] = {
    {"array", "core"},       {"battery", "core"},    {"cabin", "core"},     {"civil", "files"},
    {"course", "trip"},      {"document", "files"},  {"forcing", "core"},   {"inverter", "core"},
    {"itinerary", "trip"},   {"ledger", "study"},    {"loader", "files"},   {"march", "core"},
    {"medical", "study"},    {"message", "core"},    {"outcome", "study"},  {"burden", "study"},
    {"remedy", "study"},     {"limits", "study"},    {"odds", "study"},     {"stretch", "study"},
    {"plan", "files"},       {"plane", "core"},      {"quantity", "files"}, {"reader", "files"},
    {"rehearsal", "study"},  {"report", "report"},   {"schema", "files"},   {"series", "weather"},
    {"sky_days", "study"},   {"sky_years", "study"}, {"sky", "core"},       {"sphere", "core"},
    {"stations", "weather"}, {"status", "core"},     {"sun", "core"},       {"tanks", "study"},
    {"starter", "study"},    {"zone", "trip"},       {"study", "files"},    {"compare", "study"},
    {"tally", "study"},      {"sheet", "report"},    {"card", "study"},     {"portion", "study"},
    {"clash", "study"},
};

static int rank_of(const char *folder)
{
    for (int i = 0; i < FOLDERS; i++)
        if (strcmp(folders[i], folder) == 0)
            return i;
    return -1;
}

/* Splits "stillwatt/sun.h" or "core/march_tile.h" into the folder it belongs to and its stem: ("core",
 * "sun"). */
static int home_of(const char *include, char folder[32], char stem[64])
{
    if (sscanf(include, "%31[^/]/%63[^.].h", folder, stem) != 2)
        return 0;
    if (strcmp(folder, "stillwatt") != 0)
        return rank_of(folder) >= 0;
    for (size_t i = 0; i < sizeof homes / sizeof homes[0]; i++)
        if (strcmp(homes[i].header, stem) == 0) {
            snprintf(folder, 32, "%s", homes[i].folder);
            return 1;
        }
    return 0;
}

/* The home of a file of the tree. The umbrella header has none. */
static int home_of_source(const sw_source *source, char folder[32], char stem[64])
{
    char include[128];
    snprintf(include, sizeof include, "%s/%s",
             strcmp(source->folder, "include") == 0 ? "stillwatt" : source->folder, source->name);
    snprintf(strrchr(include, '.'), 3, ".h");
    return home_of(include, folder, stem);
}

/* The next #include "..." of a text from `*at` on; moves `*at` behind it. */
static int next_include(const char **at, char name[128])
{
    for (const char *line; (line = strstr(*at, "#include \"")) != NULL;) {
        *at = line + strlen("#include \"");
        if (sscanf(*at, "%127[^\"]", name) == 1)
            return 1;
    }
    return 0;
}

// ---- direction ----

/* @return what is wrong with an include, NULL if nothing */
static const char *wrong_direction(const char *from_folder, const char *include)
{
    char folder[32], stem[64];
    if (strchr(include, '/') == NULL)
        return "name the folder, as in \"core/march_tile.h\"";
    if (!home_of(include, folder, stem))
        return "its folder is not known: add the header to the table of homes";
    if (rank_of(folder) > rank_of(from_folder))
        return "this goes upwards: move what both need into the lower folder";
    return NULL;
}

START_TEST(includes_go_down_only)
{
    int count, includes = 0;
    sw_source *source = sw_sources_read(&count);
    for (int i = 0; i < count; i++) {
        char folder[32], stem[64], name[128];
        if (!home_of_source(&source[i], folder, stem))
            continue;
        for (const char *at = source[i].text; next_include(&at, name); includes++) {
            const char *wrong = wrong_direction(folder, name);
            ck_assert_msg(wrong == NULL, "%s includes \"%s\": %s", source[i].path, name, wrong);
        }
    }
    ck_assert_int_gt(includes, 200);
    sw_sources_free(source, count);
}
END_TEST

START_TEST(a_wrong_direction_is_seen)
{
    ck_assert_ptr_nonnull(wrong_direction("core", "files/arena.h"));
    ck_assert_ptr_nonnull(wrong_direction("weather", "stillwatt/zone.h"));
    ck_assert_ptr_nonnull(wrong_direction("trip", "nowhere/thing.h"));
    ck_assert_ptr_nonnull(wrong_direction("trip", "stillwatt/nothing.h"));
    ck_assert_ptr_nonnull(wrong_direction("trip", "maker.h"));
    ck_assert_ptr_null(wrong_direction("trip", "stillwatt/sun.h"));
    ck_assert_ptr_null(wrong_direction("cli", "report/words.h"));
}
END_TEST

// ---- circles ----

/* Files of a folder whose names begin with the same word are one piece, as zone.h, zone.c and zone_rule.c
   are; a public header belongs to the piece that implements it. Pieces that include each other in a circle
   cannot be read, tested or replaced singly. */
enum { PIECES_MAX = 200 };

typedef struct pieces {
    int count;
    char name[PIECES_MAX][128];
    unsigned char needs[PIECES_MAX][PIECES_MAX];
} pieces;

static int named_index(pieces *p, const char *name)
{
    for (int i = 0; i < p->count; i++)
        if (strcmp(p->name[i], name) == 0)
            return i;
    ck_assert_int_lt(p->count, PIECES_MAX);
    snprintf(p->name[p->count], sizeof p->name[0], "%s", name);
    return p->count++;
}

static int piece_index(pieces *p, const char *folder, const char *stem)
{
    char name[128];
    snprintf(name, sizeof name, "%s/%.*s", folder, (int)strcspn(stem, "_"), stem);
    return named_index(p, name);
}

/* Of headers alone every file counts: a header that comes back to itself means what its guard happens to
 * leave. */
static void add_header(pieces *p, const sw_source *source)
{
    char path[128], name[128];
    snprintf(path, sizeof path, "%s/%s",
             strcmp(source->folder, "include") == 0 ? "stillwatt" : source->folder, source->name);
    if (strstr(path, ".h") == NULL)
        return;
    int from = named_index(p, path);
    for (const char *at = source->text; next_include(&at, name);) {
        ck_assert_msg(strcmp(name, path) != 0, "%s includes itself", path);
        p->needs[from][named_index(p, name)] = 1;
    }
}

static void add_piece(pieces *p, const sw_source *source)
{
    char folder[32], stem[64], name[128];
    if (!home_of_source(source, folder, stem))
        return;
    int from = piece_index(p, folder, stem);
    for (const char *at = source->text; next_include(&at, name);)
        if (home_of(name, folder, stem))
            p->needs[from][piece_index(p, folder, stem)] = 1;
}

/* Whatever can be reached in any number of steps. */
static void close_pieces(pieces *p)
{
    for (int i = 0; i < p->count; i++)
        p->needs[i][i] = 0; // a piece may include itself
    for (int k = 0; k < p->count; k++)
        for (int i = 0; i < p->count; i++)
            for (int j = 0; p->needs[i][k] && j < p->count; j++)
                p->needs[i][j] |= p->needs[k][j];
}

/* @return a piece that comes back to itself, -1 if there is none */
static int piece_in_circle(const pieces *p)
{
    for (int i = 0; i < p->count; i++)
        if (p->needs[i][i])
            return i;
    return -1;
}

/* Pieces or headers, as `add` takes them out of the sources. */
static void expect_no_circle(pieces *p, void (*add)(pieces *, const sw_source *), int least,
                             const char *advice)
{
    int count;
    sw_source *source = sw_sources_read(&count);
    for (int i = 0; i < count; i++)
        add(p, &source[i]);
    sw_sources_free(source, count);
    close_pieces(p);
    int circle = piece_in_circle(p);
    ck_assert_msg(circle < 0, "%s comes back to itself by its includes: %s",
                  circle < 0 ? "" : p->name[circle], advice);
    ck_assert_int_gt(p->count, least);
}

START_TEST(no_pieces_include_each_other_in_a_circle)
{
    static pieces p;
    expect_no_circle(&p, add_piece, 40, "move what both sides need into a third file");
}
END_TEST

START_TEST(no_header_comes_back_to_itself)
{
    static pieces p;
    expect_no_circle(&p, add_header, 50, "part what the others need from it");
}
END_TEST

START_TEST(a_circle_is_seen)
{
    static pieces p;
    char in_sky[] = "#include \"trip/zone_rule.h\"\n", in_rule[] = "#include \"trip/maker.h\"\n";
    char in_maker[] = "#include \"trip/sky.h\"\n";
    sw_source a = {"trip", "sky.c", "src/trip/sky.c", in_sky};
    sw_source b = {"trip", "zone_rule.c", "src/trip/zone_rule.c", in_rule};
    sw_source c = {"trip", "maker.h", "src/trip/maker.h", in_maker};
    add_piece(&p, &a);
    add_piece(&p, &b);
    pieces open = p;
    close_pieces(&open);
    ck_assert_int_lt(piece_in_circle(&open), 0);
    add_piece(&p, &c);
    close_pieces(&p);
    ck_assert_int_ge(piece_in_circle(&p), 0);
    static pieces h;
    sw_source one = {"trip", "maker.h", "src/trip/maker.h", in_maker};
    sw_source other = {"trip", "sky.h", "src/trip/sky.h", in_rule};
    add_header(&h, &one);
    add_header(&h, &other);
    close_pieces(&h);
    ck_assert_int_ge(piece_in_circle(&h), 0);
}
END_TEST

// ---- core, and the public headers ----

static int core_may_include(const char *system_header)
{
    static const char *const allowed[] = {"math.h", "stddef.h", "stdint.h"};
    for (size_t i = 0; i < sizeof allowed / sizeof allowed[0]; i++)
        if (strcmp(allowed[i], system_header) == 0)
            return 1;
    return 0;
}

START_TEST(core_is_pure_computation)
{
    int count, seen = 0;
    sw_source *source = sw_sources_read(&count);
    for (int i = 0; i < count; i++) {
        char header[64];
        if (strcmp(source[i].folder, "core") != 0)
            continue;
        for (const char *at = source[i].text; (at = strstr(at, "#include <")) != NULL; seen++) {
            at += strlen("#include <");
            ck_assert_int_eq(sscanf(at, "%63[^>]", header), 1);
            ck_assert_msg(core_may_include(header),
                          "%s includes <%s>: core is pure computation; do this in the folder that calls it",
                          source[i].path, header);
        }
    }
    ck_assert_int_gt(seen, 5);
    ck_assert(!core_may_include("stdio.h"));
    sw_sources_free(source, count);
}
END_TEST

START_TEST(every_public_header_has_its_home_and_stands_in_the_umbrella)
{
    int count, headers = 0;
    sw_source *source = sw_sources_read(&count);
    const char *umbrella = NULL;
    for (int i = 0; i < count; i++)
        if (strcmp(source[i].name, "stillwatt.h") == 0)
            umbrella = source[i].text;
    ck_assert_ptr_nonnull(umbrella);
    for (int i = 0; i < count; i++) {
        char folder[32], stem[64], line[128];
        if (strcmp(source[i].folder, "include") != 0 || source[i].text == umbrella)
            continue;
        snprintf(line, sizeof line, "#include \"stillwatt/%s\"\n", source[i].name);
        ck_assert_msg(home_of_source(&source[i], folder, stem), "%s is not in the table of homes",
                      source[i].path);
        ck_assert_msg(strstr(umbrella, line) != NULL, "add %s to include/stillwatt/stillwatt.h", line);
        headers++;
    }
    ck_assert_int_eq(headers, (int)(sizeof homes / sizeof homes[0]));
    sw_sources_free(source, count);
}
END_TEST

Suite *sw_suite(void)
{
    const TTest *const tests[] = {
        includes_go_down_only,
        a_wrong_direction_is_seen,
        no_pieces_include_each_other_in_a_circle,
        no_header_comes_back_to_itself,
        a_circle_is_seen,
        core_is_pure_computation,
        every_public_header_has_its_home_and_stands_in_the_umbrella,
        NULL,
    };
    return sw_suite_of("house", tests, 10);
}
