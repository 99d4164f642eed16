// Files that are wrong as a whole or in a way that is the same for all kinds, given to the program: exit
// status, the exact first message, and no output; and odd files that are taken. What is wrong within a van, a
// trip or a part is in check_bad_files.
#include "support/checks.h"
#include "support/invented_epw.h"
#include "support/program.h"
#include "support/refused.h"
#include "support/small_plan.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>

typedef enum role { VAN, TRIP, PART, WEATHER, ROLES } role;
static const char *const names[ROLES] = {"van.json", "trip.json", "part.json", "year.epw"};

typedef enum way {
    REPLACED, ///< `from` of the good file is `to`
    WHOLE,    ///< the file is `to`, of `length` bytes
    CUT,      ///< the good file ends before `from`
    DEEP,     ///< ten thousand brackets in the place of `from`
    FOLDER,   ///< a folder of that name
    LOCKED,   ///< the good file, which nobody may read
    YEAR      ///< an invented year of `shape`
} way;

typedef struct bad {
    role role;
    way way;
    const char *from, *to;
    size_t length;
    invented_shape shape;
    int exit_status;
    const char *says; ///< the exact first message
} bad;

static char *folder;
static char *good[ROLES];

static void set_up(void)
{
    invented_text year = invented_year(&invented_plain);
    folder = program_folder();
    good[VAN] = text_with(small_van, "\"capacity\": \"100 Ah\"", "\"part\": \"part.json\"");
    good[TRIP] =
        text_with(small_trip, "{\"kind\": \"average\"}", "{\"kind\": \"hourly\", \"file\": \"year.epw\"}");
    good[PART] = text_with(small_part, "kind", "kind");
    good[WEATHER] = year.text;
}

static void tear_down(void)
{
    for (int r = 0; r < ROLES; r++)
        free(good[r]);
    program_remove(folder);
}

static void write_bytes(const char *name, const char *bytes, size_t length)
{
    char path[600];
    snprintf(path, sizeof path, "%s/%s", folder, name);
    FILE *file = fopen(path, "wb");
    ck_assert_ptr_nonnull(file);
    ck_assert_uint_eq(fwrite(bytes, 1, length, file), length);
    ck_assert_int_eq(fclose(file), 0);
}

static void write_deep(const bad *b)
{
    enum { DEPTH = 10000 };
    char *deep = malloc(2 * DEPTH + 1);
    ck_assert_ptr_nonnull(deep);
    memset(deep, '[', DEPTH);
    memset(deep + DEPTH, ']', DEPTH);
    deep[2 * DEPTH] = '\0';
    char *text = text_with(good[b->role], b->from, deep);
    program_write(folder, names[b->role], text);
    free(text);
    free(deep);
}

static void write_bad(const bad *b)
{
    char path[600];
    const char *name = names[b->role];
    if (b->way == WHOLE) {
        write_bytes(name, b->to, b->length);
    } else if (b->way == CUT) {
        const char *end = strstr(good[b->role], b->from);
        ck_assert_ptr_nonnull(end);
        write_bytes(name, good[b->role], (size_t)(end - good[b->role]));
    } else if (b->way == DEEP) {
        write_deep(b);
    } else if (b->way == FOLDER) {
        snprintf(path, sizeof path, "%s/%s", folder, name);
        ck_assert_int_eq(remove(path) | mkdir(path, 0700), 0);
    } else if (b->way == LOCKED) {
        program_write(folder, name, good[b->role]);
        snprintf(path, sizeof path, "%s/%s", folder, name);
        ck_assert_int_eq(chmod(path, 0), 0);
    } else if (b->way == YEAR) {
        invented_text year = invented_year(&b->shape);
        write_bytes(name, year.text, year.length);
        free(year.text);
    } else {
        char *text = text_with(good[b->role], b->from, b->to);
        program_write(folder, name, text);
        free(text);
    }
}

static void remove_files(void)
{
    program_run cleared = program_do(folder, "rm -rf hours.csv van.json trip.json part.json year.epw");
    ck_assert_int_eq(cleared.exit_status, 0);
    program_forget(&cleared);
}

static void write_files(const bad *b)
{
    remove_files();
    for (int r = 0; r < ROLES; r++)
        program_write(folder, names[r], good[r]);
    write_bad(b);
}

static void check_refused(const char *what, const char *program, const bad *rows, size_t count)
{
    refusals seen = {0, 0, 0};
    for (size_t i = 0; i < count; i++) {
        char row[80];
        snprintf(row, sizeof row, "row %zu, %s", i, names[rows[i].role]);
        write_files(&rows[i]);
        refusal expected = {row, rows[i].says, rows[i].exit_status};
        refused_rehearse(folder, program, &expected, &seen);
    }
    refused_conclude(what, &seen);
}

/* Taken, with a page, a ledger and nothing else, and with what is told. */
static void check_taken(const bad *row)
{
    write_files(row);
    program_run run = program_do(folder, "stillwatt rehearse trip.json --ledger hours.csv");
    char *ledger = program_read(folder, "hours.csv"), *part = program_read(folder, "hours.csv.part");
    ck_assert_msg(run.exit_status == 0, "exit status %d: %s", run.exit_status, run.err);
    ck_assert_msg(strncmp(run.err, row->says, strlen(row->says)) == 0, "%s", run.err);
    ck_assert(run.out[0] != '\0' && ledger != NULL && part == NULL);
    free(ledger);
    free(part);
    program_forget(&run);
}

#define BYTES(text) .way = WHOLE, .to = (text), .length = sizeof(text) - 1
#define SWAP(a, b)  .way = REPLACED, .from = (a), .to = (b)
#define PNG         "\x89PNG\r\n\x1a\n\0\0\0\rIHDR"
#define NOT_UTF8    "\xB5\x01\xFF\xFE"

static const bad vans[] = {
    {VAN, SWAP("\"parallel\": 2", "\"parallel\": 1e400"), .exit_status = 3,
     .says = "van.json:9:17: the number is too large\n    the largest number is about 1.8e308\n"},
    {VAN, SWAP("\"parallel\": 2", "\"parallel\": 1e300"), .exit_status = 3,
     .says = "van.json:9:17: /battery/parallel: 1e+300 must lie between 1 and 32 (units in parallel)\n    "
             "for example \"parallel\": 2\n"},
    {VAN, SWAP("\"parallel\": 2", "\"parallel\": 1e-400"), .exit_status = 3,
     .says = "van.json:9:17: the number is too small\n    write 0, or a number of at least 5e-324\n"},
    {VAN, SWAP("\"620 kg\"", "\"99999999999999999999999999999999999999999 kg\""), .exit_status = 3,
     .says = "van.json:4:26: /vehicle/payload: \"99999999999999999999999999999999999999999 kg\" must lie "
             "between 0 kg and 5000 kg (what may still be loaded: parts, water, people, luggage)\n    for "
             "example \"payload\": \"620 kg\"\n"},
    {VAN, SWAP("\"parallel\": 2", "\"parallel\": NaN"), .exit_status = 3,
     .says = "van.json:9:17: expected a value after the colon but found the word NaN\n    write a number, or "
             "leave the key out\n"},
    {VAN, SWAP("\"parallel\": 2", "\"parallel\": -Infinity"), .exit_status = 3,
     .says = "van.json:9:18: expected a digit after the minus sign\n    write a number, such as -0.36\n"},
    {VAN, SWAP("\"620 kg\"", "\"nan kg\""), .exit_status = 3,
     .says =
         "van.json:4:26: /vehicle/payload: \"nan kg\" does not begin with a number; a mass is expected (what "
         "may still be loaded: parts, water, people, luggage)\n    for example \"payload\": \"620 kg\"\n"},
    {VAN, SWAP("\"620 kg\"", "\"inf kg\""), .exit_status = 3,
     .says =
         "van.json:4:26: /vehicle/payload: \"inf kg\" does not begin with a number; a mass is expected (what "
         "may still be loaded: parts, water, people, luggage)\n    for example \"payload\": \"620 kg\"\n"},
    {VAN, SWAP("\"Small van\"", "\"Small \\ud800 van\""), .exit_status = 3,
     .says = "van.json:3:18: the character code \\ud800 is incomplete\n    write the character itself\n"},
    {VAN, .way = CUT, .from = "00 W\", \"panels\"", .exit_status = 3,
     .says = "van.json:12:33: the text that begins here has no closing quote on its line\n    close it with "
             "\" on its line; for a line break within it write \\n\n"},
    {VAN, .way = CUT, .from = "}\n}\n", .exit_status = 3,
     .says = "van.json:22:3: expected a comma or } but found the end of the file\n    the file stops early: "
             "close every { with } and every [ with ]\n"},
    {VAN, .way = DEEP, .from = "{\"payload\": \"620 kg\"}", .exit_status = 3,
     .says = "van.json:4:77: more than 64 brackets are open here\n    look for a bracket before it that is "
             "not closed\n"},
    {VAN, BYTES(""), .exit_status = 3,
     .says =
         "van.json:1:1: expected a value but found the end of the file\n    begin with { and end with }\n"},
    {VAN, BYTES(" \n"), .exit_status = 3,
     .says =
         "van.json:2:1: expected a value but found the end of the file\n    begin with { and end with }\n"},
    {VAN, BYTES(PNG), .exit_status = 3,
     .says = "van.json:1:1: the byte 0x89 is not UTF-8 here\n    save the file again as UTF-8\n"},
    {VAN, BYTES("{\"format\": \"" NOT_UTF8 "\"}"), .exit_status = 3,
     .says = "van.json:1:13: the byte 0xB5 is not UTF-8 here\n    save the file again as UTF-8\n"},
    {VAN, .way = FOLDER, .exit_status = 3,
     .says = "trip.json:4:10: /van: the file van.json could not be read: it is a folder\n    give its path "
             "as seen from the folder of this file, such as \"../vans/weekend.json\"\n"},
};

static const bad trips[] = {
    {TRIP, SWAP("\"180 km\"", "\"180 kmm\""), .exit_status = 3,
     .says = "trip.json:17:71: /legs/1/distance: the unit \"kmm\" is not known; did you mean \"mm\"?\n    "
             "for example \"distance\": \"180 km\"\n"},
    {TRIP, SWAP("\"sky\":", "\"skye\":"), .exit_status = 3,
     .says = "trip.json:20:3: /skye: a trip has no key \"skye\"; did you mean \"sky\"?\n    for example "
             "\"sky\": {\"kind\": \"average\"}\n"},
    {TRIP, SWAP("\"Two nights\",", "\"Two nights\", \"name\": \"Three\","), .exit_status = 3,
     .says = "trip.json:3:25: /name: this key is already in the same object, on line 3\n    keep one of the "
             "two\n"},
    {TRIP, SWAP("\"latitude\": 38.5", "\"latitude\": 1e400"), .exit_status = 3,
     .says = "trip.json:8:19: the number is too large\n    the largest number is about 1.8e308\n"},
    {TRIP, SWAP("\"latitude\": 38.5", "\"latitude\": 1e-400"), .exit_status = 3,
     .says = "trip.json:8:19: the number is too small\n    write 0, or a number of at least 5e-324\n"},
    {TRIP, SWAP("\"latitude\": 38.5", "\"latitude\": nan"), .exit_status = 3,
     .says = "trip.json:8:19: expected a value after the colon but found the word nan\n    write a number, "
             "or leave the key out\n"},
    {TRIP, SWAP("\"1500 m\"", "\"nan m\""), .exit_status = 3,
     .says = "trip.json:10:20: /places/mesa/elevation: \"nan m\" does not begin with a number; a length is "
             "expected (height above the sea)\n    for example \"elevation\": \"1370 m\"\n"},
    {TRIP, SWAP("\"Two nights\"", "\"\\udc00\""), .exit_status = 3,
     .says = "trip.json:3:12: the character code \\udc00 is incomplete\n    write the character itself\n"},
    {TRIP, .way = CUT, .from = "\"2026-11-08", .exit_status = 3,
     .says = "trip.json:18:28: expected a value after the colon but found the end of the file\n    the file "
             "stops early: close every { with } and every [ with ]\n"},
    {TRIP, .way = CUT, .from = "}\n}\n", .exit_status = 3,
     .says = "trip.json:21:35: expected a comma or } but found the end of the file\n    the file stops "
             "early: close every { with } and every [ with ]\n"},
    {TRIP, .way = DEEP, .from = "\"2026-11-08 10:00\"", .exit_status = 3,
     .says = "trip.json:18:89: more than 64 brackets are open here\n    look for a bracket before it that is "
             "not closed\n"},
    {TRIP, BYTES(""), .exit_status = 3,
     .says =
         "trip.json:1:1: expected a value but found the end of the file\n    begin with { and end with }\n"},
    {TRIP, BYTES(PNG), .exit_status = 3,
     .says = "trip.json:1:1: the byte 0x89 is not UTF-8 here\n    save the file again as UTF-8\n"},
    {TRIP, .way = FOLDER, .exit_status = 4,
     .says = "trip.json: it is a folder\n    check the spelling and the folder; a file in another folder "
             "needs its path, such as trips/mesa.json\n"},
    {TRIP, SWAP("\"2026-11-08 10:00\"", "\"2027-02-29 10:00\""), .exit_status = 3,
     .says = "trip.json:18:28: /legs/2/to: \"2027-02-29 10:00\" is not a date and time that exists "
             "(year-month-day hour:minute)\n    for example \"to\": \"2026-11-08 10:00\"\n"},
    {TRIP, SWAP("\"America/Denver\"", "\"../Denver\""), .exit_status = 3,
     .says = "trip.json:7:13: /places/mesa: the time zone \"../Denver\" is not known\n    add \"zone\": "
             "\"America/Denver\" (or \"America/Phoenix\", \"America/Boise\")\n"},
};

static const bad parts[] = {
    {PART, SWAP("\"100 Ah\"", "\"100 Aah\""), .exit_status = 3,
     .says = "part.json:5:22: /is/capacity: the unit \"Aah\" is not known; did you mean \"Ah\"?\n    for "
             "example \"capacity\": \"100 Ah\"\n"},
    {PART, SWAP("\"name\": \"Unit\"", "\"name\": \"Unit\", \"name\": \"Other\""), .exit_status = 3,
     .says = "part.json:3:19: /name: this key is already in the same object, on line 3\n    keep one of the "
             "two\n"},
    {PART, SWAP("\"100 Ah\"", "\"100 Ah\", \"parallel\": 1e400"), .exit_status = 3,
     .says = "part.json:5:44: the number is too large\n    the largest number is about 1.8e308\n"},
    {PART, SWAP("\"100 Ah\"", "\"0.000000000000000000000000000001 Ah\""), .exit_status = 3,
     .says =
         "part.json:5:22: /is/capacity: \"0.000000000000000000000000000001 Ah\" must lie between 1 Ah and "
         "5000 Ah (rated capacity of one unit at the 20 h rate)\n    for example \"capacity\": \"100 Ah\"\n"},
    {PART, SWAP("\"100 Ah\"", "NaN"), .exit_status = 3,
     .says = "part.json:5:22: expected a value after the colon but found the word NaN\n    write a number, "
             "or leave the key out\n"},
    {PART, SWAP("\"Unit\"", "\"\\ud83d unit\""), .exit_status = 3,
     .says = "part.json:3:12: the character code \\ud83d is incomplete\n    write the character itself\n"},
    {PART, .way = CUT, .from = "0 Ah\"", .exit_status = 3,
     .says = "part.json:5:22: the text that begins here has no closing quote on its line\n    close it with "
             "\" on its line; for a line break within it write \\n\n"},
    {PART, .way = DEEP, .from = "\"100 Ah\"", .exit_status = 3,
     .says = "part.json:5:84: more than 64 brackets are open here\n    look for a bracket before it that is "
             "not closed\n"},
    {PART, BYTES(""), .exit_status = 3,
     .says =
         "part.json:1:1: expected a value but found the end of the file\n    begin with { and end with }\n"},
    {PART, BYTES(PNG), .exit_status = 3,
     .says = "part.json:1:1: the byte 0x89 is not UTF-8 here\n    save the file again as UTF-8\n"},
    {PART, .way = FOLDER, .exit_status = 3,
     .says = "van.json:7:13: /battery/part: the file part.json could not be read: it is a folder\n    give "
             "the name of a file in profiles/parts, such as \"lfp-100\", or a path seen from the folder of "
             "this file, such as \"parts/mine.json\"\n"},
};

#define SHAPE(...) .way = YEAR, .shape = {2003, "\n", "-7.0", -1, __VA_ARGS__}

/* Row 7440 is the first of 7 November, 310 days into the year: the trip is from 6 to 8 November. */
static const bad weathers[] = {
    {WEATHER, SHAPE("99.9", NULL, 7440, 7444), .exit_status = 3,
     .says = "trip.json:20:37: /sky/file: the weather record of Lower  Meadow has no air temperature in the "
             "hours from "
             "7 November 01:00 to 7 November 04:00, which the trip needs\n    use another file, choose other "
             "dates, or "
             "fill the gap with values of a day alike\n"},
    {WEATHER, SHAPE(NULL, "9999", 7452, 7456), .exit_status = 3,
     .says = "trip.json:20:37: /sky/file: the weather record of Lower  Meadow has no global radiation in the "
             "hours from "
             "7 November 13:00 to 7 November 16:00, which the trip needs\n    use another file, choose other "
             "dates, or "
             "fill the gap with values of a day alike\n"},
    {WEATHER, SHAPE("nan", NULL, 7440, 7441), .exit_status = 3,
     .says =
         "year.epw:7449:23: air temperature cannot be \"nan\"\n    a plain number with a decimal point\n"},
    {WEATHER, SHAPE("1e400", NULL, 7440, 7441), .exit_status = 3,
     .says =
         "year.epw:7449:23: air temperature cannot be \"1e400\"\n    a plain number with a decimal point\n"},
    {WEATHER, SHAPE("12.5 F", NULL, 7440, 7441), .exit_status = 3,
     .says =
         "year.epw:7449:23: air temperature cannot be \"12.5 F\"\n    a plain number with a decimal point\n"},
    {WEATHER, .way = YEAR, .shape = {2003, "\n", "-7.0", 8759, NULL, NULL, 0, 0}, .exit_status = 3,
     .says = "year.epw:8767: the file has 8759 rows of data, not 8760\n    a whole year has 8760 hourly "
             "rows, or 8784 with 29 February\n"},
    {WEATHER, .way = YEAR, .shape = {2003, "\n", "-7.0", 0, NULL, NULL, 0, 0}, .exit_status = 3,
     .says = "year.epw:9: the row of month 1 day 1 hour 1 should stand here, not month 1 day 1 hour 2\n    "
             "rows run hour by hour from month 1 day 1 hour 1 to month 12 day 31 hour 24\n"},
    {WEATHER, .way = CUT, .from = "2003,11,7,", .exit_status = 3,
     .says = "year.epw:7448: the file has 7440 rows of data, not 8760\n    a whole year has 8760 hourly "
             "rows, or 8784 with 29 February\n"},
    {WEATHER, BYTES(""), .exit_status = 3,
     .says = "year.epw:1: this is no weather file of a format that is read\n    EPW begins with LOCATION, "
             "TMY3 with a "
             "station number, a service's answer with {, our CSV with #\n"},
    {WEATHER, BYTES(PNG), .exit_status = 3,
     .says = "year.epw:1: this is no weather file of a format that is read\n    EPW begins with LOCATION, "
             "TMY3 with a "
             "station number, a service's answer with {, our CSV with #\n"},
    {WEATHER, BYTES("LOCATION,a,b,c,d,e,45,7,1,100\nDATA PERIODS,1,1,Data\n\0\0\0\0\n"), .exit_status = 3,
     .says = "year.epw:3:1: a date's number cannot be \"    \"\n    year,month,day,hour,minute,flags,...\n"},
    {WEATHER, .way = FOLDER, .exit_status = 3,
     .says = "year.epw: this folder holds no files\n    put weather files of real years into it\n"},
};

/* Odd, but not wrong: a load of next to nothing, line ends of another system, a gap that can be filled. */
static const bad taken[] = {
    {PART, SWAP("Unit", "Unit"),
     .says = "trip.json: /sky/file: the weather record of Lower  Meadow is 94 km from \"town\", which lies "
             "262 m higher\n    temperatures are moved by 6.5 K per 1000 m; the light is taken as it is\n"},
    {VAN, SWAP("\"45 W\"", "\"0.00000000000000000000000000000001 W\""),
     .says = "trip.json: /sky/file: the weather record of Lower  Meadow is 94 km from \"town\", which lies "
             "262 m higher\n    temperatures are moved by 6.5 K per 1000 m; the light is taken as it is\n"},
    {WEATHER, .way = YEAR, .shape = {2003, "\r\n", "-7.0", -1, NULL, NULL, 0, 0},
     .says = "trip.json: /sky/file: the weather record of Lower  Meadow is 94 km from \"town\", which lies "
             "262 m higher\n    temperatures are moved by 6.5 K per 1000 m; the light is taken as it is\n"},
    {WEATHER, SHAPE("99.9", NULL, 7440, 7443),
     .says =
         "year.epw: air temperature was missing in 3 rows, the first of 7 November 01:00; filled from the "
         "rows around\n"},
};

#define DENIED "it may not be read (permission denied)\n    "

static const bad locked[] = {
    {VAN, .way = LOCKED, .exit_status = 4,
     .says = "trip.json:4:10: /van: the file van.json could not be read: " DENIED
             "give its path as seen from the folder of this file, such as \"../vans/weekend.json\"\n"},
    {TRIP, .way = LOCKED, .exit_status = 4,
     .says = "trip.json: " DENIED "check the spelling and the folder; a file in another folder needs its "
             "path, such as trips/mesa.json\n"},
    {PART, .way = LOCKED, .exit_status = 4,
     .says = "van.json:7:13: /battery/part: the file part.json could not be read: " DENIED
             "give the name of a file in profiles/parts, such as \"lfp-100\", or a path seen from the folder "
             "of this file, such as \"parts/mine.json\"\n"},
    {WEATHER, .way = LOCKED, .exit_status = 4,
     .says = "trip.json:20:37: /sky/file: the weather file year.epw could not be read: " DENIED
             "give its path as seen from the folder of this file, such as \"weather/denver.epw\"\n"},
};

#define REFUSED(what, program, list) check_refused(what, program, list, sizeof(list) / sizeof(list)[0])

START_TEST(odd_files_are_taken)
{
    for (size_t i = 0; i < sizeof taken / sizeof taken[0]; i++)
        check_taken(&taken[i]);
}
END_TEST

/* Permissions do not hold root back: as root the program is run as nobody. */
START_TEST(files_that_may_not_be_read_are_told_and_give_no_output)
{
    const char *program = program_without_rights(folder, "files that may not be read");
    if (program != NULL)
        REFUSED("locked files", program, locked);
}
END_TEST

START_TEST(bad_vans_are_told_and_give_no_output)
{
    REFUSED("bad vans", "stillwatt", vans);
}
END_TEST

START_TEST(bad_trips_are_told_and_give_no_output)
{
    REFUSED("bad trips", "stillwatt", trips);
}
END_TEST

START_TEST(bad_parts_are_told_and_give_no_output)
{
    REFUSED("bad parts", "stillwatt", parts);
}
END_TEST

START_TEST(bad_weather_is_told_and_gives_no_output)
{
    REFUSED("bad weather", "stillwatt", weathers);
}
END_TEST

Suite *sw_suite(void)
{
    const TTest *const tests[] = {odd_files_are_taken,
                                  files_that_may_not_be_read_are_told_and_give_no_output,
                                  bad_vans_are_told_and_give_no_output,
                                  bad_trips_are_told_and_give_no_output,
                                  bad_parts_are_told_and_give_no_output,
                                  bad_weather_is_told_and_gives_no_output,
                                  NULL};
    return sw_suite_with("bad inputs", tests, 60, set_up, tear_down);
}
