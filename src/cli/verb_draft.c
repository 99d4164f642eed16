// draft [van|trip]: asks a few questions or takes options, writes files to start from, answers at once.
#include "cli/draft.h"

#include "report/page.h"
#include "stillwatt/reader.h"

#include <errno.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>
#include <unistd.h>

#define PATH_SIZE 4096

#define ANSWER(which) OPTION_TEXT, offsetof(options, answer[which])

/// The first ones are those of the questions, in their order.
static const option own_options[] = {
    {"--station", ANSWER(DRAFT_STATION), "NAME", "weather station nearest to the camp (Moab)"},
    {"--from", ANSWER(DRAFT_FROM), "DATE", "first day, such as 2026-11-06, or a month (tomorrow)"},
    {"--nights", ANSWER(DRAFT_NIGHTS), "COUNT", "nights (7)"},
    {"--people", ANSWER(DRAFT_PEOPLE), "COUNT", "people (2)"},
    {"--panels", ANSWER(DRAFT_PANELS), "PANELS", "solar panels, or none (2 x 200 W)"},
    {"--battery", ANSWER(DRAFT_BATTERY), "BATTERY", "such as \"2 x 105 Ah agm\" (200 Ah lifepo4)"},
    {"--inverter", ANSWER(DRAFT_INVERTER), "POWER", "power of the inverter, or none (2000 W)"},
    {"--shore", ANSWER(DRAFT_SHORE), "yes|no", "inlet for a hookup (yes)"},
    {"--driving", ANSWER(DRAFT_DRIVING), "yes|no", "charging while driving (yes)"},
    {"--fridge", ANSWER(DRAFT_FRIDGE), "yes|no", "compressor fridge (yes)"},
    {"--cooking", ANSWER(DRAFT_COOKING), "HOW", "kettle, induction or gas (kettle if AC allows)"},
    {"--heater", ANSWER(DRAFT_HEATER), "yes|no", "heater with a fan (yes)"},
    {"--lights", ANSWER(DRAFT_LIGHTS), "HOURS", "hours of light of an evening (4)"},
    {"--laptops", ANSWER(DRAFT_LAPTOPS), "COUNT", "laptops (1)"},
    {"--out", ANSWER(DRAFT_FOLDER), "FOLDER", "where van.json and trip.json go (.)"},
    {"--name", OPTION_TEXT, offsetof(options, van_name), "NAME", "what people call the van (Our van)"},
    {"--van", OPTION_TEXT, offsetof(options, van_file), "FILE", "draft trip: the van file that it uses"},
    {"--force", OPTION_FLAG, offsetof(options, force), NULL, "replaces files that exist"},
};

// ---- what is drafted ----

static int choose_files(const options *given, drafting *d)
{
    static const struct {
        const char *word;
        unsigned files;
    } known[] = {{"van", DRAFT_VAN}, {"trip", DRAFT_TRIP}};
    d->files = DRAFT_VAN | DRAFT_TRIP;
    if (given->operands == 0)
        return 0;
    for (int i = 0; i < 2; i++) {
        if (strcmp(given->operand[0], known[i].word) == 0) {
            d->files = known[i].files;
            return 0;
        }
    }
    return complain(2, "draft writes a van or a trip, not \"%s\"", given->operand[0]);
}

/* Options that the chosen files have no use for are mistakes. */
static int check_options(const options *given, const drafting *d)
{
    for (int i = 0; i < DRAFT_ANSWERS; i++)
        if (given->answer[i] != NULL && !draft_concerns(d, (draft_answer)i))
            return complain(2, "`draft %s` has no use for %s", given->operand[0], own_options[i].name);
    if (given->van_name != NULL && d->files == DRAFT_TRIP)
        return complain(2, "`draft trip` has no use for --name");
    if (given->van_name != NULL && !draft_is_utf8(given->van_name))
        return complain(2, "--name is not UTF-8 text");
    if (given->van_file != NULL && d->files != DRAFT_TRIP)
        return complain(2, "--van belongs to `draft trip`");
    if (given->van_file == NULL && d->files == DRAFT_TRIP)
        return complain(2, "`draft trip` needs the van's file: --van FILE");
    return 0;
}

/* The chemistry of an existing van decides the reserve line. Its warnings are left to the rehearsal. */
static int read_van(const options *given, drafting *d)
{
    sw_loader loader = sw_disk_loader(data_folder(given));
    sw_messages *messages = sw_messages_create();
    sw_plan *plan = NULL;
    if (messages == NULL)
        return complain(4, "there is not enough memory to read %s", given->van_file);
    sw_status status = sw_read_van(&loader, given->van_file, messages, &plan);
    int wrong = status != SW_OK ? tell(messages, status) : 0;
    if (wrong == 0)
        d->answers.chemistry = plan->van->battery.chemistry;
    sw_plan_free(plan);
    sw_messages_free(messages);
    return wrong;
}

// ---- answers ----

static int is_any_given(const options *given)
{
    for (int i = 0; i < DRAFT_ANSWERS; i++)
        if (given->answer[i] != NULL)
            return 1;
    return 0;
}

static int take_options(const options *given, drafting *d)
{
    for (int i = 0; i < DRAFT_ANSWERS; i++) {
        if (!draft_concerns(d, (draft_answer)i))
            continue;
        int wrong = draft_take(d, (draft_answer)i, given->answer[i]);
        if (wrong != 0)
            return complain(wrong, "%s: %s", own_options[i].name, d->why);
    }
    return 0;
}

static int collect(const options *given, drafting *d)
{
    if (!is_any_given(given) && !isatty(STDIN_FILENO))
        return complain(2,
                        "draft asks its questions on a terminal; elsewhere give the answers as options, see "
                        "`stillwatt draft --help`");
    if (!is_any_given(given))
        return draft_ask(d, stdin, stderr, terminal_style(given->units).width);
    return take_options(given, d);
}

/* @return the open table, NULL after a message with the exit status in `wrong`. `text` must outlive it. */
static sw_station_table *open_stations(const options *given, sw_messages *messages, sw_text *text, int *wrong)
{
    sw_loader loader = sw_disk_loader(data_folder(given));
    sw_station_table *table = NULL;
    char reason[200] = "";
    sw_status status = loader.load(loader.context, SW_RESOURCE_STATIONS, "", NULL, text, reason);
    if (status != SW_OK) {
        *wrong = complain(sw_status_exit(status), "the weather table %s could not be read: %s",
                          text->name != NULL ? text->name : "", reason);
        return NULL;
    }
    status = sw_stations_open(text->bytes, text->length, text->name, messages, &table);
    *wrong = status != SW_OK ? tell(messages, status) : 0;
    return table;
}

static int collect_with_stations(const options *given, drafting *d)
{
    sw_messages *messages = sw_messages_create();
    sw_text text = {0};
    int wrong;
    if (messages == NULL)
        return complain(4, "there is not enough memory for the weather table");
    sw_station_table *table = open_stations(given, messages, &text, &wrong);
    d->stations = table;
    if (wrong == 0)
        wrong = collect(given, d);
    d->stations = NULL;
    sw_stations_free(table);
    sw_text_free(&text);
    sw_messages_free(messages);
    return wrong;
}

// ---- files ----

/// A file on its way to the disk: first whole beside its place, then moved there.
typedef struct outgoing {
    const char *name;
    sw_status (*text)(const draft_answers *answers, char **out);
    char path[PATH_SIZE], fresh[PATH_SIZE], old[PATH_SIZE];
    int had_old; ///< `old` holds what was at `path`
} outgoing;

/* What has a name that is needed on the way is somebody else's. @return 0 or the exit status after a message
 */
static int refuse_in_the_way(const char *path)
{
    struct stat st;
    if (lstat(path, &st) != 0 && errno == ENOENT)
        return 0;
    return complain(4, "%s is in the way of the files that are written; give it another name", path);
}

static int write_fresh(const drafting *d, outgoing *o)
{
    char *text = NULL;
    char fresh_name[32], old_name[32];
    snprintf(fresh_name, sizeof fresh_name, "%s.new", o->name);
    snprintf(old_name, sizeof old_name, "%s.new.old", o->name);
    if (!draft_path(d, o->name, o->path, sizeof o->path) ||
        !draft_path(d, fresh_name, o->fresh, sizeof o->fresh) ||
        !draft_path(d, old_name, o->old, sizeof o->old))
        return complain(4, "the name of the folder is too long");
    int in_the_way = refuse_in_the_way(o->fresh);
    if (in_the_way == 0)
        in_the_way = refuse_in_the_way(o->old);
    if (in_the_way != 0)
        return in_the_way;
    if (o->text(&d->answers, &text) != SW_OK)
        return complain(4, "there is not enough memory for %s", o->name);
    int wrong = write_whole(o->fresh, text);
    free(text);
    return wrong;
}

static void put_back(const outgoing *o)
{
    if (rename(o->old, o->path) != 0)
        complain(4, "what was in %s is now in %s: %s", o->path, o->old, strerror(errno));
}

static void remove_file(const char *path)
{
    if (unlink(path) != 0 && errno != ENOENT)
        complain(4, "%s could not be removed: %s", path, strerror(errno));
}

/* Moves the fresh file to its place; what was there waits under another name. @return 0 after an error, in
 * errno */
static int move_in(outgoing *o)
{
    o->had_old = rename(o->path, o->old) == 0;
    if (!o->had_old && errno != ENOENT)
        return 0;
    if (rename(o->fresh, o->path) == 0)
        return 1;
    int error = errno;
    if (o->had_old)
        put_back(o);
    errno = error;
    return 0;
}

/* What became of the first `moved` files is undone. */
static void move_out(const outgoing *list, int moved)
{
    for (int i = 0; i < moved; i++) {
        if (list[i].had_old)
            put_back(&list[i]);
        else
            remove_file(list[i].path);
    }
}

static int move_all_in(outgoing *list, int count)
{
    for (int i = 0; i < count; i++) {
        if (!move_in(&list[i])) {
            int wrong = complain(4, "could not write %s: %s", list[i].path, strerror(errno));
            move_out(list, i);
            return wrong;
        }
    }
    for (int i = 0; i < count; i++)
        if (list[i].had_old)
            remove_file(list[i].old);
    return 0;
}

/* All files or none: only when each is whole on the disk do they take their names, and if one cannot, none
 * does. */
static int write_files(const drafting *d, outgoing *list, int count)
{
    int wrong = 0, written = 0;
    while (written < count && wrong == 0) {
        wrong = write_fresh(d, &list[written]);
        written += wrong == 0;
    }
    if (wrong == 0)
        wrong = move_all_in(list, count);
    for (int i = 0; i < written && wrong != 0; i++)
        remove_file(list[i].fresh);
    return wrong;
}

static void add_default(page *p, const drafting *d, int which)
{
    if ((d->answers.assumed >> which & 1u) != 0 && which != DRAFT_FOLDER)
        sw_page_add(p, "%s%s %s", p->length > 0 ? ", " : "", own_options[which].name, d->said[which]);
}

/* Names the files, and what nobody said. */
static void say_written(const drafting *d, const outgoing *list, int count, int width)
{
    page defaults = {0}, says = {0};
    char *text = NULL, *all = NULL;
    for (int i = 0; i < count; i++)
        complain(0, "wrote %s", list[i].path);
    for (int i = 0; i < DRAFT_ANSWERS; i++)
        add_default(&defaults, d, i);
    if (sw_growing_take(&defaults, &text) == SW_OK && text[0] != '\0')
        sw_page_wrap(&says, width, "stillwatt: taken as default: ", "  ", text);
    if (sw_growing_take(&says, &all) == SW_OK)
        fputs(all, stderr);
    if (text == NULL || all == NULL)
        complain(0, "there is not enough memory to list what was taken as default; see the files");
    free(text);
    free(all);
}

static int write_and_answer(const options *given, drafting *d)
{
    outgoing all[] = {{.name = "van.json", .text = sw_draft_van_text},
                      {.name = "trip.json", .text = sw_draft_trip_text}};
    outgoing *first = (d->files & DRAFT_VAN) != 0 ? &all[0] : &all[1];
    int count = d->files == (DRAFT_VAN | DRAFT_TRIP) ? 2 : 1;
    int wrong = write_files(d, first, count);
    if (wrong != 0)
        return wrong;
    say_written(d, first, count, terminal_style(given->units).width);
    if ((d->files & DRAFT_TRIP) == 0)
        return complain(0, "a trip with it: stillwatt draft trip --van %s", all[0].path);
    return rehearse_file(given, all[1].path);
}

static int name_van(const options *given, drafting *d, char *seen, size_t size)
{
    d->answers.van_file = "van.json";
    if (given->van_file == NULL)
        return 0;
    d->answers.van_file = seen;
    if (!draft_seen_from(d->folder, given->van_file, seen, size))
        return complain(4, "the path from the folder %s to %s could not be found: %s", d->folder,
                        given->van_file, strerror(errno));
    return draft_is_utf8(seen) ? 0 : complain(2, "--van: the path of the van file is not UTF-8 text");
}

static int run(const options *given)
{
    char seen[PATH_SIZE];
    drafting d = {.force = given->force, .answers = {.units = given->units}};
    d.answers.van_name = given->van_name != NULL ? given->van_name : "Our van";
    if (!sw_text_is_plain(d.answers.van_name))
        return complain(2, "--name must be one line of plain text");
    int wrong = choose_files(given, &d);
    if (wrong == 0)
        wrong = check_options(given, &d);
    if (wrong == 0 && given->van_file != NULL)
        wrong = read_van(given, &d);
    if (wrong == 0)
        wrong = collect_with_stations(given, &d);
    if (wrong == 0)
        wrong = name_van(given, &d, seen, sizeof seen);
    return wrong != 0 ? wrong : write_and_answer(given, &d);
}

const verb verb_draft = {"draft",
                         "[van|trip]",
                         "asks a few questions, writes van and trip files",
                         own_options,
                         sizeof own_options / sizeof own_options[0],
                         0,
                         1,
                         run};
