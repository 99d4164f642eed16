// The questions of a draft, and how each answer is understood.
#include "cli/draft.h"

#include "files/plain.h"
#include "stillwatt/civil.h"

#include <errno.h>
#include <stdarg.h>
#include <stdlib.h>
#include <string.h>
#include <strings.h>
#include <sys/stat.h>
#include <time.h>
#include <unistd.h>

#define COUNT_OF(a) (sizeof(a) / sizeof((a)[0]))

static int refuse(drafting *d, int exit_status, const char *format, ...)
    __attribute__((format(printf, 3, 4)));

static int refuse(drafting *d, int exit_status, const char *format, ...)
{
    va_list arguments;
    va_start(arguments, format);
    vsnprintf(d->why, sizeof d->why, format, arguments);
    va_end(arguments);
    return exit_status;
}

static int not_understood(const draft_question *q, const char *text, drafting *d)
{
    return refuse(d, 2, "\"%.60s\" is not understood; an answer would be %s", text, q->example);
}

int draft_is_utf8(const char *text)
{
    size_t left = strlen(text);
    for (size_t length; left > 0; text += length, left -= length)
        if ((length = sw_utf8_length(text, left)) == 0)
            return 0;
    return 1;
}

// ---- counts, yes or no, words ----

static int *int_at(const draft_question *q, drafting *d)
{
    return (int *)(void *)((char *)&d->answers + q->at);
}

static int take_count(const draft_question *q, const char *text, drafting *d)
{
    size_t digits = strspn(text, "0123456789");
    if (digits == 0 || text[digits] != '\0')
        return not_understood(q, text, d);
    long count = digits < 9 ? strtol(text, NULL, 10) : q->most + 1L;
    if (count < q->least || count > q->most)
        return refuse(d, 2, "this must be a whole number from %d to %d, not %.30s", q->least, q->most, text);
    *int_at(q, d) = (int)count;
    return 0;
}

/// A word that an answer may be.
typedef struct known_word {
    const char *word;
    int value;
} known_word;

/* @return 1 and the value, 0 if the word is not known */
static int find_word(const known_word *words, size_t count, const char *text, int *value)
{
    for (size_t i = 0; i < count; i++) {
        if (strcasecmp(words[i].word, text) == 0) {
            *value = words[i].value;
            return 1;
        }
    }
    return 0;
}

static int take_yes_no(const draft_question *q, const char *text, drafting *d)
{
    static const known_word words[] = {{"yes", 1}, {"y", 1}, {"no", 0}, {"n", 0}};
    if (find_word(words, COUNT_OF(words), text, int_at(q, d)))
        return 0;
    return refuse(d, 2, "the answer is yes or no, not \"%.60s\"", text);
}

static int is_none(const char *text)
{
    return strcasecmp(text, "none") == 0 || strcasecmp(text, "no") == 0 || strcmp(text, "0") == 0;
}

// ---- where and when ----

static void station_says(const sw_station *s, char *buffer, size_t size)
{
    snprintf(buffer, size, "%s %s", s->name, sw_station_state(s));
}

static int no_station(const char *text, const int *index, int count, drafting *d)
{
    char says[88], list[3 * 90] = "";
    if (count == 0)
        return refuse(
            d, 2, "the weather table has no station like \"%.60s\"; name a larger town near the camp", text);
    for (int i = 0; i < count; i++) {
        size_t length = strlen(list);
        station_says(sw_stations_at(d->stations, index[i]), says, sizeof says);
        snprintf(list + length, sizeof list - length, "%s%s",
                 i == 0          ? ""
                 : i + 1 < count ? ", "
                                 : " or ",
                 says);
    }
    return refuse(d, 2, "\"%.60s\" does not name one station of the weather table; did you mean %s?", text,
                  list);
}

static int take_station(const draft_question *q, const char *text, drafting *d)
{
    int near[3], count = 0;
    if (!draft_is_utf8(text))
        return not_understood(q, "this", d);
    int index = sw_stations_find(d->stations, text, near, COUNT_OF(near), &count);
    if (index < 0)
        return no_station(text, near, count, d);
    d->answers.station = text;
    station_says(sw_stations_at(d->stations, index), d->answers.station_is, sizeof d->answers.station_is);
    return 0;
}

/* A month by its name or first three letters, 1..12; 0 if it is none. */
static int month_named(const char *text)
{
    static const char *const names[] = {"january",   "february", "march",    "april",
                                        "may",       "june",     "july",     "august",
                                        "september", "october",  "november", "december"};
    size_t length = strlen(text);
    for (int i = 0; i < 12 && length >= 3; i++)
        if (strncasecmp(text, names[i], length) == 0)
            return i + 1;
    return 0;
}

/* The tenth of the next such month, by the computer's clock. */
static int64_t next_in_month(int month)
{
    time_t now = time(NULL);
    struct tm local;
    localtime_r(&now, &local);
    int year = local.tm_year + 1900;
    int past = month < local.tm_mon + 1 || (month == local.tm_mon + 1 && local.tm_mday >= 10);
    return sw_days_from_civil(year + past, month, 10);
}

static int take_day(const draft_question *q, const char *text, drafting *d)
{
    sw_civil day;
    int has_time, month = month_named(text);
    if (month > 0) {
        d->answers.first_day = next_in_month(month);
        return 0;
    }
    if (!sw_civil_parse(text, &day, &has_time) || has_time)
        return refuse(d, 2,
                      "\"%.60s\" is not a date; write year, month and day, such as %s, or a month's name",
                      text, q->example);
    if (day.year < 2000 || day.year > 2100)
        return refuse(d, 2, "the year must lie between 2000 and 2100, not be %d", day.year);
    d->answers.first_day = sw_days_from_civil(day.year, day.month, day.day);
    return 0;
}

// ---- parts ----

/* "2 x 200 W" or "200 W". @return 1 if it is a count and a quantity */
static int read_several(const char *text, sw_dimension dimension, int *count, double *value)
{
    static const char *const times[] = {"x", "X", "*", "\xC3\x97"};
    size_t digits = strspn(text, "0123456789");
    const char *rest = text + digits + strspn(text + digits, " ");
    sw_quantity quantity;
    *count = 1;
    for (size_t i = 0; i < COUNT_OF(times) && digits > 0 && digits < 6; i++) {
        if (strncmp(rest, times[i], strlen(times[i])) == 0) {
            *count = (int)strtol(text, NULL, 10);
            text = rest + strlen(times[i]);
            break;
        }
    }
    *value = sw_quantity_read(text, dimension, &quantity) == SW_QUANTITY_OK ? quantity.value : 0.0;
    return *value != 0.0 && *count > 0;
}

static int take_panels(const draft_question *q, const char *text, drafting *d)
{
    int count = 0;
    double watts = 0.0;
    if (!is_none(text)) {
        if (!read_several(text, SW_DIM_POWER, &count, &watts))
            return not_understood(q, text, d);
        if (count > 40 || watts < 1.0 || watts > 2000.0 || count * watts > 5000.0)
            return refuse(d, 2, "at most 40 panels, 1 to 2000 W each and 5000 W together, can be drafted");
    }
    d->answers.panels = count;
    d->answers.panel_w = watts;
    return 0;
}

static int take_battery(const draft_question *q, const char *text, drafting *d)
{
    static const known_word words[] = {{"lifepo4", SW_LIFEPO4}, {"lithium", SW_LIFEPO4}, {"agm", SW_AGM}};
    char size[64];
    const char *last = strrchr(text, ' ');
    draft_answers *a = &d->answers;
    if (last == NULL || snprintf(size, sizeof size, "%.*s", (int)(last - text), text) >= (int)sizeof size ||
        !find_word(words, COUNT_OF(words), last + 1, &a->chemistry))
        return refuse(d, 2, "\"%.60s\" does not end with lifepo4 or agm; an answer would be %s", text,
                      q->example);
    if (!read_several(size, SW_DIM_CHARGE, &a->batteries, &a->battery_ah))
        return not_understood(q, text, d);
    if (a->batteries > 32 || a->battery_ah < 1.0 || a->battery_ah > 5000.0)
        return refuse(d, 2, "at most 32 units of 1 to 5000 Ah can be drafted");
    return 0;
}

static int take_inverter(const draft_question *q, const char *text, drafting *d)
{
    sw_quantity quantity = {0};
    if (!is_none(text)) {
        if (sw_quantity_read(text, SW_DIM_POWER, &quantity) != SW_QUANTITY_OK)
            return not_understood(q, text, d);
        if (quantity.value < 20.0 || quantity.value > 20000.0)
            return refuse(d, 2, "an inverter must have 20 to 20000 W; without one write none");
    }
    d->answers.inverter_w = quantity.value;
    return 0;
}

static const known_word cookings[] = {
    {"kettle", DRAFT_KETTLE}, {"induction", DRAFT_INDUCTION}, {"gas", DRAFT_GAS}};

static int take_cooking(const draft_question *q, const char *text, drafting *d)
{
    int cooking;
    (void)q;
    if (!find_word(cookings, COUNT_OF(cookings), text, &cooking))
        return refuse(d, 2, "cooking is kettle, induction or gas, not \"%.60s\"", text);
    double watts = sw_draft_cooking_w((draft_cooking)cooking);
    if (watts > d->answers.inverter_w)
        return refuse(d, 2, "%s needs an inverter of %g W or more; otherwise write gas", text, watts);
    d->answers.cooking = cooking;
    return 0;
}

// ---- the folder ----

int draft_path(const drafting *d, const char *name, char *buffer, size_t size)
{
    int here = strcmp(d->folder, ".") == 0;
    size_t length = strlen(d->folder);
    const char *slash = here || (length > 0 && d->folder[length - 1] == '/') ? "" : "/";
    return snprintf(buffer, size, "%s%s%s", here ? "" : d->folder, slash, name) < (int)size;
}

/* A file that is there already is somebody's work. */
static int refuse_existing(drafting *d, unsigned file, const char *name)
{
    char path[DRAFT_ANSWER_SIZE + 32];
    struct stat st;
    if ((d->files & file) == 0 || !draft_path(d, name, path, sizeof path))
        return 0;
    if (lstat(path, &st) != 0)
        return errno == ENOENT ? 0 : refuse(d, 4, "%.500s: %s", path, strerror(errno));
    if (S_ISDIR(st.st_mode))
        return refuse(d, 4, "%.500s is a folder, so that no file can be written there", path);
    if (d->force)
        return 0;
    return refuse(d, 4, "%.500s exists already and stays as it is; choose another folder, or add --force",
                  path);
}

static int take_folder(const draft_question *q, const char *text, drafting *d)
{
    struct stat st;
    (void)q;
    d->folder = text;
    if (stat(text, &st) != 0)
        return refuse(d, 4, "the folder %.500s: %s", text, strerror(errno));
    if (!S_ISDIR(st.st_mode))
        return refuse(d, 4, "%.500s is not a folder", text);
    if (access(text, W_OK | X_OK) != 0)
        return refuse(d, 4, "nothing may be written in the folder %.500s: %s", text, strerror(errno));
    int wrong = refuse_existing(d, DRAFT_VAN, "van.json");
    return wrong != 0 ? wrong : refuse_existing(d, DRAFT_TRIP, "trip.json");
}

// ---- the table ----

#define COUNTED(field, least_, most_)                                                                        \
    .take = take_count, .at = offsetof(draft_answers, field), .least = (least_), .most = (most_)
#define YES_NO(field) .example = "no", .take = take_yes_no, .at = offsetof(draft_answers, field)

const draft_question draft_questions[DRAFT_ANSWERS] = {
    [DRAFT_STATION] = {"Weather station nearest to the camp", "Rifle CO", "Moab", .take = take_station},
    [DRAFT_FROM] = {"First day, or month", "2026-11-06", .take = take_day},
    [DRAFT_NIGHTS] = {"Nights", "10", "7", COUNTED(nights, 1, 90)},
    [DRAFT_PEOPLE] = {"People", "3", "2", COUNTED(people, 1, 12)},
    [DRAFT_PANELS] = {"Solar panels on the roof, or none", "3 x 175 W", "2 x 200 W", .take = take_panels},
    [DRAFT_BATTERY] = {"House battery, 12 V units", "2 x 105 Ah agm", "200 Ah lifepo4", .take = take_battery},
    [DRAFT_INVERTER] = {"Inverter, or none", "1200 W", "2000 W", .take = take_inverter},
    [DRAFT_SHORE] = {"Inlet for a hookup, yes or no", .usually = "yes", YES_NO(shore)},
    [DRAFT_DRIVING] = {"Charging while driving, yes or no", .usually = "yes", YES_NO(driving)},
    [DRAFT_FRIDGE] = {"Compressor fridge, yes or no", .usually = "yes", YES_NO(fridge)},
    [DRAFT_COOKING] = {"Cooking with electric kettle, induction or gas", "gas", .take = take_cooking},
    [DRAFT_HEATER] = {"Heater with a fan, yes or no", .usually = "yes", YES_NO(heater)},
    [DRAFT_LIGHTS] = {"Hours of light of an evening", "3", "4", COUNTED(light_hours, 0, 12)},
    [DRAFT_LAPTOPS] = {"Laptops", "2", "1", COUNTED(laptops, 0, 12)},
    [DRAFT_FOLDER] = {"Folder to write to", "trips", ".", .take = take_folder},
};

int draft_concerns(const drafting *d, draft_answer which)
{
    return which == DRAFT_FOLDER || (sw_draft_answer_files(which) & d->files) != 0;
}

/* Tomorrow, by the computer's clock and zone. */
static void tomorrow(char *buffer, size_t size)
{
    time_t now = time(NULL);
    struct tm local = {.tm_year = 100, .tm_mday = 1};
    int year, month, day;
    localtime_r(&now, &local);
    sw_civil_from_days(sw_days_from_civil(local.tm_year + 1900, local.tm_mon + 1, local.tm_mday) + 1, &year,
                       &month, &day);
    snprintf(buffer, size, "%04d-%02d-%02d", year, month, day);
}

void draft_usually(const drafting *d, draft_answer which, char *buffer, size_t size)
{
    if (which == DRAFT_FROM)
        tomorrow(buffer, size);
    else if (which == DRAFT_COOKING)
        snprintf(buffer, size, "%s",
                 d->answers.inverter_w >= sw_draft_cooking_w(DRAFT_KETTLE) ? "kettle" : "gas");
    else
        snprintf(buffer, size, "%s", draft_questions[which].usually);
}

int draft_take(drafting *d, draft_answer which, const char *text)
{
    char *kept = d->said[which];
    const draft_question *q = &draft_questions[which];
    if (text == NULL) {
        draft_usually(d, which, kept, DRAFT_ANSWER_SIZE);
        d->answers.assumed |= 1u << which;
    } else if (snprintf(kept, DRAFT_ANSWER_SIZE, "%s", text) >= DRAFT_ANSWER_SIZE) {
        return refuse(d, 2, "an answer may have at most %d bytes", DRAFT_ANSWER_SIZE - 1);
    }
    d->answers.said[which] = kept;
    return q->take(q, kept, d);
}
