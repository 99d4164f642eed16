#include "fuzz/support/plan_walk.h"

#include "files/keys.h"
#include "fuzz/support/said.h"

#include <math.h>
#include <string.h>

// What the walk carries along: the plan whose assumptions excuse derived values.
typedef struct walk {
    const sw_plan *plan;
    fuzz_record *record;
    const char *table;
} walk;

static int is_assumed(const walk *w, const double *at)
{
    for (int i = 0; i < w->plan->assumptions; i++)
        if (w->plan->assumption[i].at == at)
            return 1;
    return 0;
}

static void check_double(const walk *w, const sw_key *key, const double *at)
{
    fuzz_note(w->record, "%s %a\n", key->name, *at);
    if (isnan(*at)) {
        FUZZ_ASSERT(key->need == SW_OPTIONAL, "%s needs %s, and the reader took it for given", w->table,
                    key->name);
        return;
    }
    FUZZ_ASSERT(isfinite(*at), "%s of %s is not finite", key->name, w->table);
    FUZZ_ASSERT((*at >= key->least && *at <= key->most) || is_assumed(w, at),
                "%s of %s is %g, outside %g to %g", key->name, w->table, *at, key->least, key->most);
}

static void check_choice(const walk *w, const sw_key *key, int value)
{
    const sw_word *word = key->words;
    fuzz_note(w->record, "%s %d\n", key->name, value);
    if (value == -1 && key->need == SW_OPTIONAL)
        return;
    while (word->word != NULL && word->value != value)
        word++;
    FUZZ_ASSERT(word->word != NULL, "%s of %s is no choice: %d", key->name, w->table, value);
}

static void check_choices(const walk *w, const sw_key *key, unsigned value)
{
    unsigned all = 0;
    for (const sw_word *word = key->words; word->word != NULL; word++)
        all |= (unsigned)word->value;
    fuzz_note(w->record, "%s %u\n", key->name, value);
    FUZZ_ASSERT((value & ~all) == 0, "%s of %s has bits without a word: %u", key->name, w->table, value);
}

static void check_text(const walk *w, const sw_key *key, const char *text)
{
    fuzz_note(w->record, "%s %s\n", key->name, text != NULL ? text : "-");
    FUZZ_ASSERT(text != NULL || key->need == SW_OPTIONAL, "%s needs %s", w->table, key->name);
    FUZZ_ASSERT(text == NULL || (text[0] != '\0' && fuzz_is_printable(text)),
                "%s of %s is empty or cannot be printed", key->name, w->table);
}

static void check_windows(const walk *w, const sw_windows *windows)
{
    if (windows == NULL)
        return;
    FUZZ_ASSERT(windows->count >= 1 && windows->count <= SW_WINDOWS_MAX, "%d windows", windows->count);
    for (int i = 0; i < windows->count; i++) {
        int from = windows->from_min[i], to = windows->to_min[i];
        fuzz_note(w->record, "%d-%d\n", from, to);
        FUZZ_ASSERT(from >= 0 && from < 1440 && to > from && to <= 2880 && to - from <= 1440,
                    "a window from minute %d to %d", from, to);
        for (int k = 0; k < i; k++)
            for (int turn = -1440; turn <= 1440; turn += 1440)
                FUZZ_ASSERT(to + turn <= windows->from_min[k] || windows->to_min[k] <= from + turn,
                            "windows %d and %d overlap", k, i);
    }
}

static void check_times(const walk *w, const sw_times *times)
{
    if (times == NULL)
        return;
    FUZZ_ASSERT(times->count >= 1 && times->count <= SW_TIMES_MAX, "%d times", times->count);
    for (int i = 0; i < times->count; i++) {
        fuzz_note(w->record, "%d\n", times->at_min[i]);
        FUZZ_ASSERT(times->at_min[i] >= 0 && times->at_min[i] < 1440, "a time at minute %d",
                    times->at_min[i]);
    }
}

static void check_local_time(const walk *w, const sw_key *key, int64_t local_s)
{
    fuzz_note(w->record, "%s %lld\n", key->name, (long long)local_s);
    FUZZ_ASSERT(local_s != SW_NO_TIME || key->need == SW_OPTIONAL, "%s needs %s", w->table, key->name);
    int in_years = local_s >= INT64_C(-62135596800) && local_s <= INT64_C(253402300800); // 0001 to 9999
    FUZZ_ASSERT(local_s == SW_NO_TIME || in_years, "%s is %lld", key->name, (long long)local_s);
}

static void check_key(const walk *w, const sw_key *key, const void *in)
{
    const void *at = (const char *)in + key->offset;
    switch (key->kind) {
    case SW_KEY_QUANTITY:
    case SW_KEY_NUMBER:
        check_double(w, key, at);
        break;
    case SW_KEY_COUNT:
        fuzz_note(w->record, "%s %d\n", key->name, *(const int *)at);
        if (*(const int *)at == -1 && key->need == SW_OPTIONAL)
            break; // not given
        FUZZ_ASSERT(*(const int *)at >= key->least && *(const int *)at <= key->most, "%s of %s is %d",
                    key->name, w->table, *(const int *)at);
        break;
    case SW_KEY_CHOICE:
        check_choice(w, key, *(const int *)at);
        break;
    case SW_KEY_CHOICES:
        check_choices(w, key, *(const unsigned *)at);
        break;
    case SW_KEY_TEXT:
        check_text(w, key, *(const char *const *)at);
        break;
    case SW_KEY_WINDOWS:
        check_windows(w, *(const sw_windows *const *)at);
        break;
    case SW_KEY_TIMES:
        check_times(w, *(const sw_times *const *)at);
        break;
    case SW_KEY_LOCAL_TIME:
        check_local_time(w, key, *(const int64_t *)at);
        break;
    case SW_KEY_MONTHS:
        for (int month = 0; month < 12; month++)
            check_double(w, key, (const double *)at + month);
        break;
    case SW_KEY_OTHER:
        break;
    }
}

static void check_struct(walk *w, const sw_table *table, const void *in)
{
    w->table = table->name;
    fuzz_note(w->record, "%s\n", table->name);
    for (size_t i = 0; in != NULL && i < table->count; i++)
        check_key(w, &table->keys[i], in);
}

static void check_name(const walk *w, const char *name)
{
    fuzz_note(w->record, "%s\n", name != NULL ? name : "-");
    FUZZ_ASSERT(name != NULL && name[0] != '\0' && fuzz_is_printable(name), "a name is none");
}

static void check_van(walk *w, const sw_van *van)
{
    FUZZ_ASSERT(van != NULL, "a plan without a van");
    FUZZ_ASSERT(van->arrays >= 0 && van->arrays <= SW_ARRAYS_MAX && van->loads >= 0 &&
                    van->loads <= SW_LOADS_MAX,
                "%d arrays, %d loads", van->arrays, van->loads);
    fuzz_note(w->record, "%s %s\n", van->file, van->currency);
    check_struct(w, &sw_van_table, van);
    check_struct(w, &sw_vehicle_table, &van->vehicle);
    check_struct(w, &sw_battery_table, &van->battery);
    check_struct(w, &sw_controller_table, van->controller);
    check_struct(w, &sw_alternator_table, van->alternator);
    check_struct(w, &sw_shore_table, van->shore);
    check_struct(w, &sw_generator_table, van->generator);
    check_struct(w, &sw_starter_table, van->starter);
    check_struct(w, &sw_cabin_table, van->cabin);
    check_struct(w, &sw_inverter_table, van->inverter);
    for (int i = 0; i < SW_TANKS; i++)
        if (!isnan(van->tank[i].capacity_l))
            check_struct(w, &sw_tank_table, &van->tank[i]);
    for (int i = 0; i < van->arrays; i++) {
        check_name(w, van->array[i].name);
        check_struct(w, &sw_array_table, &van->array[i]);
    }
    for (int i = 0; i < van->loads; i++) {
        check_name(w, van->load[i].name);
        check_struct(w, &sw_load_table, &van->load[i]);
    }
}

static void check_leg(walk *w, const sw_trip *trip, const sw_leg *leg)
{
    check_struct(w, &sw_leg_table, leg);
    FUZZ_ASSERT(leg->kind >= SW_LEG_STAY && leg->kind < SW_LEG_KINDS, "a leg of kind %d", leg->kind);
    FUZZ_ASSERT(leg->place >= 0 && leg->place < trip->places && leg->to_place >= 0 &&
                    leg->to_place < trip->places,
                "a leg from place %d to %d of %d", leg->place, leg->to_place, trip->places);
    FUZZ_ASSERT(leg->kind == SW_LEG_DRIVE || leg->place == leg->to_place, "a stay at two places");
    FUZZ_ASSERT(isnan(leg->shore_a) == isnan(leg->shore_v), "half a hookup");
    if (!isnan(leg->shore_a))
        check_struct(w, &sw_hookup_table, leg);
}

static void check_sky(walk *w, const sw_sky_spec *sky)
{
    FUZZ_ASSERT(sky->kind >= SW_SKY_AVERAGE && sky->kind <= SW_SKY_CHANCE, "a sky of kind %d", sky->kind);
    FUZZ_ASSERT(sky->kind != SW_SKY_TOLD || sky->told_days > 0, "%d told days", sky->told_days);
    FUZZ_ASSERT(sky->kind != SW_SKY_HOURLY || sky->file != NULL, "an hourly sky without its file");
    for (int i = 0; i < sky->told_days; i++) {
        const sw_told_day *day = &sky->told[i];
        fuzz_note(w->record, "%lld %a %a %a %a\n", (long long)day->day, day->morning_okta,
                  day->afternoon_okta, day->low_c, day->high_c);
        int nothing =
            i == 0 && sky->kind != SW_SKY_TOLD && isnan(day->morning_okta) && isnan(day->afternoon_okta);
        FUZZ_ASSERT(nothing || (day->morning_okta >= 0 && day->morning_okta <= 8 &&
                                day->afternoon_okta >= 0 && day->afternoon_okta <= 8),
                    "cloud of %g and %g oktas", day->morning_okta, day->afternoon_okta);
        FUZZ_ASSERT(!(day->low_c > day->high_c), "a low of %g over a high of %g", day->low_c, day->high_c);
        FUZZ_ASSERT((i == 0) == (day->day == INT64_MIN), "told day %d has date %lld", i, (long long)day->day);
    }
}

static void check_place(walk *w, const sw_place *place)
{
    check_name(w, place->name);
    check_struct(w, &sw_place_table, place);
    FUZZ_ASSERT(place->station != NULL || (isfinite(place->lat_deg) && isfinite(place->lon_deg)),
                "a place without a position");
    if (place->normals != NULL)
        check_struct(w, &sw_normals_table, place->normals);
}

static void check_trip(walk *w, const sw_trip *trip)
{
    FUZZ_ASSERT(trip->places >= 1 && trip->places <= SW_PLACES_MAX, "%d places", trip->places);
    FUZZ_ASSERT(trip->legs >= 1 && trip->legs <= SW_LEGS_MAX, "%d legs", trip->legs);
    check_struct(w, &sw_trip_table, trip);
    FUZZ_ASSERT(isfinite(trip->reserve), "a trip without a reserve line");
    for (int i = 0; i < trip->places; i++)
        check_place(w, &trip->place[i]);
    for (int i = 0; i < trip->legs; i++)
        check_leg(w, trip, &trip->leg[i]);
    check_sky(w, &trip->sky);
}

static void check_assumption(const walk *w, const sw_assumption *assumed)
{
    fuzz_note(w->record, "%s: %s %s (%s) %a %a\n", assumed->path, assumed->says, assumed->value,
              assumed->mark != NULL ? assumed->mark : "-", assumed->low, assumed->high);
    FUZZ_ASSERT(assumed->path[0] != '\0' && assumed->says[0] != '\0', "an assumption without words");
    FUZZ_ASSERT(fuzz_is_printable(assumed->path) && fuzz_is_printable(assumed->value),
                "an assumption cannot be printed: %s", assumed->path);
    FUZZ_ASSERT(assumed->at == NULL || (isfinite(*assumed->at) && assumed->low <= assumed->high),
                "%s is not finite, or its range is upside down", assumed->path);
}

void fuzz_check_plan(const sw_plan *plan, fuzz_record *record)
{
    walk w = {plan, record, ""};
    for (int i = 0; i < plan->assumptions; i++)
        check_assumption(&w, &plan->assumption[i]);
    check_van(&w, plan->van);
    if (plan->trip != NULL)
        check_trip(&w, plan->trip);
}
