// The house's order: includes go down only, and core knows nothing but itself and the C library's math.
#include "support/checks.h"

#include <dirent.h>
#include <stdio.h>
#include <string.h>

/* From the bottom to the top; a folder may include those before it. */
static const char *const folders[] = {"core", "files", "weather", "trip", "study", "report", "cli"};
enum { FOLDERS = sizeof folders / sizeof folders[0] };

/* The folder that implements each public header; message.h and status.h are words that every folder may use.
 */
static const struct {
    const char *header, *folder;
} homes[] = {
    {"array", "core"},     {"battery", "core"},     {"civil", "files"},    {"course", "trip"},
    {"document", "files"}, {"forcing", "core"},     {"inverter", "core"},  {"itinerary", "trip"},
    {"loader", "files"},   {"march", "core"},       {"message", "core"},   {"plan", "files"},
    {"plane", "core"},     {"quantity", "files"},   {"reader", "files"},   {"rehearsal", "study"},
    {"report", "report"},  {"schema", "files"},     {"series", "weather"}, {"sky", "core"},
    {"sphere", "core"},    {"stations", "weather"}, {"status", "core"},    {"sun", "core"},
    {"zone", "trip"},
};

static int rank_of(const char *folder, size_t length)
{
    for (int i = 0; i < FOLDERS; i++)
        if (strlen(folders[i]) == length && strncmp(folders[i], folder, length) == 0)
            return i;
    return -1;
}

static int rank_of_header(const char *name, size_t length)
{
    for (size_t i = 0; i < sizeof homes / sizeof homes[0]; i++)
        if (strlen(homes[i].header) == length && strncmp(homes[i].header, name, length) == 0)
            return rank_of(homes[i].folder, strlen(homes[i].folder));
    return -1;
}

/* Folder of what an include names: "stillwatt/sun.h" or "core/tile.h". */
static int rank_of_include(const char *name)
{
    const char *slash = strchr(name, '/');
    ck_assert_msg(slash != NULL, "#include \"%s\": name the folder, as in \"core/tile.h\"", name);
    if (strncmp(name, "stillwatt/", 10) != 0)
        return rank_of(name, (size_t)(slash - name));
    return rank_of_header(slash + 1, strcspn(slash + 1, "."));
}

static void check_line(const char *path, int rank, const char *line)
{
    static const char *const allowed_in_core[] = {"<math.h>", "<stddef.h>", "<stdint.h>"};
    char name[256];
    if (sscanf(line, "#include \"%255[^\"]\"", name) == 1) {
        int other = rank_of_include(name);
        ck_assert_msg(other >= 0, "%s includes \"%s\", whose folder is not known: add it to the table", path,
                      name);
        ck_assert_msg(other <= rank, "%s includes \"%s\" upwards: move what both need down", path, name);
    } else if (rank == 0 && sscanf(line, "#include %255s", name) == 1) {
        int good = 0;
        for (size_t i = 0; i < sizeof allowed_in_core / sizeof allowed_in_core[0]; i++)
            good = good || strcmp(name, allowed_in_core[i]) == 0;
        ck_assert_msg(good, "%s includes %s: core is pure computation", path, name);
    }
}

static void check_file(const char *path, int rank)
{
    char line[512];
    FILE *file = fopen(path, "r");
    ck_assert_ptr_nonnull(file);
    while (fgets(line, sizeof line, file) != NULL)
        check_line(path, rank, line);
    fclose(file);
}

START_TEST(includes_go_down_only)
{
    int files = 0;
    for (int rank = 0; rank < FOLDERS; rank++) {
        char folder[1024], path[2048];
        snprintf(folder, sizeof folder, "%s/src/%s", SW_SOURCE_DIR, folders[rank]);
        DIR *open = opendir(folder);
        ck_assert_msg(open != NULL, "there is no folder %s", folder);
        for (struct dirent *entry; (entry = readdir(open)) != NULL;) {
            const char *ending = strrchr(entry->d_name, '.');
            if (ending == NULL || (strcmp(ending, ".c") != 0 && strcmp(ending, ".h") != 0))
                continue;
            snprintf(path, sizeof path, "%s/%s", folder, entry->d_name);
            check_file(path, rank);
            files++;
        }
        closedir(open);
    }
    ck_assert_int_gt(files, 60);
}
END_TEST

START_TEST(every_public_header_has_its_home)
{
    DIR *open = opendir(SW_SOURCE_DIR "/include/stillwatt");
    ck_assert_ptr_nonnull(open);
    for (struct dirent *entry; (entry = readdir(open)) != NULL;) {
        const char *ending = strrchr(entry->d_name, '.');
        if (ending != NULL && strcmp(ending, ".h") == 0 && strcmp(entry->d_name, "stillwatt.h") != 0)
            ck_assert_msg(rank_of_header(entry->d_name, (size_t)(ending - entry->d_name)) >= 0,
                          "%s is not in the table of homes", entry->d_name);
    }
    closedir(open);
}
END_TEST

Suite *sw_suite(void)
{
    const TTest *const tests[] = {includes_go_down_only, every_public_header_has_its_home, NULL};
    return sw_suite_of("house", tests, 10);
}
