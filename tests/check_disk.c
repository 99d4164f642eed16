// Where the loader of the disk looks for a file, and what it says of names that lead nowhere.
#include "support/checks.h"
#include "support/program.h"

#include "stillwatt/loader.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

static void check_path(const char *data, sw_resource kind, const char *name, const char *beside,
                       const char *path, const char *says)
{
    sw_loader loader = sw_disk_loader(data);
    sw_text text;
    char reason[160] = "";
    ck_assert_int_eq(loader.load(loader.context, kind, name, beside, &text, reason), SW_CANNOT_READ);
    ck_assert_str_eq(text.name, path);
    ck_assert_str_eq(reason, says);
    ck_assert_int_eq(text.absent, 1);
    sw_text_free(&text);
}

START_TEST(a_file_is_looked_for_beside_the_one_that_names_it)
{
    static const struct {
        const char *name, *beside, *path;
    } cases[] = {
        {"absent.json", NULL, "absent.json"},
        {"absent.json", "trip.json", "absent.json"},
        {"absent.json", "no/trip.json", "no/absent.json"},
        {"absent.json", "/no-such-trip.json", "/absent.json"}, // beside a file of the root
        {"/no/absent.json", "no/trip.json", "/no/absent.json"},
    };
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++)
        check_path("data", SW_RESOURCE_FILE, cases[i].name, cases[i].beside, cases[i].path,
                   "there is no such file");
}
END_TEST

START_TEST(data_are_looked_for_in_the_data_folder)
{
    check_path("no", SW_RESOURCE_PART, "absent", "my/van.json", "no/profiles/parts/absent.json",
               "there is no such file");
    check_path("no", SW_RESOURCE_PART, "absent.json", "my/van.json", "my/absent.json",
               "there is no such file");
    check_path("no", SW_RESOURCE_STATIONS, "", NULL, "no/weather/stations.csv", "there is no such file");
    check_path("no", SW_RESOURCE_ZONE, "No/Where", NULL, "/usr/share/zoneinfo/No/Where",
               "there is no such file");
}
END_TEST

/* More than 4096 bytes: no path of Linux is as long. */
START_TEST(a_name_of_any_length_is_told_as_too_long)
{
    enum { LENGTH = 6000 };
    char folder[LENGTH + 1], path[LENGTH + 100];
    memset(folder, 'd', LENGTH);
    folder[LENGTH] = '\0';
    const char *says = "its name is longer than a disk allows";
    check_path("no", SW_RESOURCE_FILE, folder, NULL, folder, says);
    strcat(strcpy(path, folder), "/profiles/parts/lfp-100.json");
    check_path(folder, SW_RESOURCE_PART, "lfp-100", NULL, path, says);
    strcat(strcpy(path, folder), "/weather/stations.csv");
    check_path(folder, SW_RESOURCE_STATIONS, "", NULL, path, says);
}
END_TEST

/* Nothing of it is read: two gigabytes would take seconds. */
START_TEST(a_file_of_two_gigabytes_is_refused_by_its_size)
{
    char *folder = program_folder(), path[1024], reason[160] = "";
    sw_loader loader = sw_disk_loader("data");
    sw_text text;
    program_write(folder, "huge", "");
    snprintf(path, sizeof path, "%s/huge", folder);
    ck_assert_int_eq(truncate(path, (off_t)2 << 30), 0);
    ck_assert_int_eq(loader.load(loader.context, SW_RESOURCE_FILE, path, NULL, &text, reason),
                     SW_CANNOT_READ);
    ck_assert_str_eq(reason, "it is larger than 256 MB");
    ck_assert(text.absent == 0 && text.length == 0 && text.bytes == NULL);
    sw_text_free(&text);
    program_remove(folder);
}
END_TEST

START_TEST(the_names_in_a_folder_are_sorted_by_their_bytes)
{
    static const char *const files[] = {"years/b",        "years/a b", "years/B", "years/.hidden",
                                        "years/\xC3\xA4", "years/10",  "years/9"};
    char *folder = program_folder(), beside[1024], reason[160] = "";
    sw_loader loader = sw_disk_loader("data");
    sw_text text;
    for (size_t i = 0; i < sizeof files / sizeof files[0]; i++)
        program_write(folder, files[i], "");
    snprintf(beside, sizeof beside, "%s/trip.json", folder);
    ck_assert_int_eq(loader.load(loader.context, SW_RESOURCE_FOLDER, "years", beside, &text, reason), SW_OK);
    ck_assert_str_eq(text.bytes, "10\n9\nB\na b\nb\n\xC3\xA4\n");
    ck_assert_uint_eq(text.length, strlen(text.bytes));
    sw_text_free(&text);
    ck_assert_int_eq(loader.load(loader.context, SW_RESOURCE_FOLDER, "years/b", beside, &text, reason),
                     SW_CANNOT_READ);
    ck_assert_int_eq(text.absent, 1);
    sw_text_free(&text);
    program_remove(folder);
}
END_TEST

Suite *sw_suite(void)
{
    const TTest *const tests[] = {
        a_file_is_looked_for_beside_the_one_that_names_it, data_are_looked_for_in_the_data_folder,
        a_name_of_any_length_is_told_as_too_long,          a_file_of_two_gigabytes_is_refused_by_its_size,
        the_names_in_a_folder_are_sorted_by_their_bytes,   NULL};
    return sw_suite_of("disk", tests, 20);
}
