// Which vans share a course: every key of every part of a van is changed, one at a time, and where the two
// are said to share, their courses are made and held against each other bit for bit. A key that joins a table
// is tried by being there.
#include "files/keys.h"
#include "stillwatt/course.h"
#include "stillwatt/reader.h"
#include "support/checks.h"
#include "support/small_plan.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

#define TRIP   SW_SOURCE_DIR "/tests/schema/good/trips/full.json"
#define STEP_S 1800

static sw_loader loader;

static sw_plan *read_plan(void)
{
    sw_messages *messages = sw_messages_create();
    sw_plan *plan = NULL;
    loader = sw_disk_loader(SW_SOURCE_DIR);
    ck_assert_int_eq(sw_read_trip(&loader, TRIP, messages, &plan), SW_OK);
    sw_messages_free(messages);
    plan->trip->legs = 3; // the long store at its end says nothing new
    return plan;
}

static sw_course *course_of(const sw_plan *plan)
{
    sw_messages *messages = sw_messages_create();
    sw_course *course = NULL;
    (void)sw_course_make(plan, &loader, STEP_S, messages, &course);
    sw_messages_free(messages);
    return course;
}

// ---- the same bits ----

static int same_column(const double *a, const double *b, int32_t steps)
{
    return a == NULL || b == NULL ? a == b : memcmp(a, b, (size_t)steps * sizeof *a) == 0;
}

static int same_forcing(const sw_forcing *a, const sw_forcing *b)
{
    int32_t n = a->steps;
    int same = n == b->steps && a->start_s == b->start_s && a->arrays == b->arrays &&
               memcmp(a->flags, b->flags, (size_t)n) == 0;
    const double *const pairs[][2] = {{a->air_c, b->air_c},
                                      {a->cabin_c, b->cabin_c},
                                      {a->ghi_w_m2, b->ghi_w_m2},
                                      {a->cruise_share, b->cruise_share},
                                      {a->idle_share, b->idle_share},
                                      {a->engine_cold, b->engine_cold},
                                      {a->pedestal_va, b->pedestal_va},
                                      {a->pedestal_steady_share, b->pedestal_steady_share}};
    for (size_t i = 0; i < sizeof pairs / sizeof pairs[0]; i++)
        same = same && same_column(pairs[i][0], pairs[i][1], n);
    for (int k = 0; k < a->arrays && same; k++)
        same = same_column(a->yield[k], b->yield[k], n) && same_column(a->cell_c[k], b->cell_c[k], n);
    for (int held = 0; held < SW_HELD_COUNT; held++) {
        same = same && same_column(a->peak_w[held], b->peak_w[held], n) &&
               same_column(a->dc_peak_w[held], b->dc_peak_w[held], n) &&
               same_column(a->steady_w[held], b->steady_w[held], n);
        for (int bus = 0; bus < SW_BUS_COUNT; bus++)
            same = same && same_column(a->load_w[bus][held], b->load_w[bus][held], n);
    }
    return same;
}

static int same_course(const sw_course *a, const sw_course *b)
{
    int same = a->outlooks == b->outlooks && a->loads == b->loads;
    for (int o = 0; o < a->outlooks && same; o++)
        same = same_forcing(&a->forcing[o], &b->forcing[o]);
    for (int k = 0; k < a->loads && same; k++)
        same = same_column(a->asked_w[k], b->asked_w[k], a->forcing[0].steps) &&
               same_column(a->liquid_l[k], b->liquid_l[k], a->forcing[0].steps);
    return same;
}

// ---- one key at a time ----

static const sw_windows other_hours = {1, {9 * 60 + 13}, {15 * 60 + 41}};
static const sw_times other_times = {2, {8 * 60, 16 * 60}};

static void change_number(const sw_key *key, double *at)
{
    double middle = 0.5 * (key->least + key->most), was = *at;
    *at = isnan(was) ? key->least + 0.1 * (middle - key->least) : was + 0.03 * (middle - was);
    if (*at == was)
        *at = was + 0.01 * (key->most - was);
}

/* @return 0 where the key is no value of the struct */
static int change(const sw_key *key, char *at)
{
    const sw_word *word = key->words;
    switch (key->kind) {
    case SW_KEY_QUANTITY:
    case SW_KEY_NUMBER:
        change_number(key, (double *)(void *)at);
        return 1;
    case SW_KEY_COUNT:
        *(int *)(void *)at += 1;
        return 1;
    case SW_KEY_CHOICE:
        while (word->value == *(int *)(void *)at)
            word++;
        *(int *)(void *)at = word->value;
        return 1;
    case SW_KEY_CHOICES:
        *(unsigned *)(void *)at ^= (unsigned)word->value;
        return 1;
    case SW_KEY_WINDOWS:
        *(const sw_windows **)(void *)at = &other_hours;
        return 1;
    case SW_KEY_TIMES:
        *(const sw_times **)(void *)at = &other_times;
        return 1;
    default:
        return 0;
    }
}

/* A load of another kind lacks what that kind needs. */
static int is_tried(const sw_table *table, const sw_key *key)
{
    return table != &sw_load_table || strcmp(key->name, "kind") != 0;
}

/// How it went.
typedef struct count {
    int shared, apart, impossible;
} count;

static void try_key(const sw_course *base, const sw_plan *plan, const sw_table *table, const sw_key *key,
                    size_t where, char *(*part)(sw_plan *, size_t), count *n)
{
    sw_plan *other = read_plan();
    if (is_tried(table, key) && change(key, part(other, where) + key->offset)) {
        int serves = sw_course_serves(plan, other);
        ck_assert_int_eq(sw_course_serves(other, plan), serves);
        sw_course *course = serves ? course_of(other) : NULL;
        n->apart += !serves;
        n->impossible += serves && course == NULL;
        if (course != NULL) {
            ck_assert_msg(same_course(base, course), "%s: \"%s\" changes the course, but is said not to",
                          table->name, key->name);
            n->shared++;
        }
        sw_course_free(course);
    }
    sw_plan_free(other);
}

static void try_table(const sw_course *base, const sw_plan *plan, const sw_table *table, size_t count_of,
                      char *(*part)(sw_plan *, size_t), count *n)
{
    for (size_t where = 0; where < count_of; where++)
        for (size_t i = 0; i < table->count; i++)
            try_key(base, plan, table, &table->keys[i], where, part, n);
}

#define PART(name, of)                                                                                       \
    static char *name(sw_plan *plan, size_t where)                                                           \
    {                                                                                                        \
        (void)where;                                                                                         \
        return (char *)(of);                                                                                 \
    }
PART(battery, &plan->van->battery)
PART(array, &plan->van->array[where])
PART(controller, plan->van->controller)
PART(alternator, plan->van->alternator)
PART(shore, plan->van->shore)
PART(generator, plan->van->generator)
PART(starter, plan->van->starter)
PART(inverter, plan->van->inverter)
PART(cabin, plan->van->cabin)
PART(load, &plan->van->load[where])
PART(van_itself, plan->van)
PART(trip_itself, plan->trip)

START_TEST(vans_that_share_a_course_have_it_to_the_bit)
{
    sw_plan *plan = read_plan();
    sw_course *base = course_of(plan), *again = course_of(plan);
    count n = {0, 0, 0};
    ck_assert(base != NULL && again != NULL && same_course(base, again));
    ck_assert(plan->van->cabin != NULL && plan->van->generator != NULL && plan->van->starter != NULL);
    try_table(base, plan, &sw_battery_table, 1, battery, &n);
    try_table(base, plan, &sw_array_table, (size_t)plan->van->arrays, array, &n);
    try_table(base, plan, &sw_controller_table, 1, controller, &n);
    try_table(base, plan, &sw_alternator_table, 1, alternator, &n);
    try_table(base, plan, &sw_shore_table, 1, shore, &n);
    try_table(base, plan, &sw_generator_table, 1, generator, &n);
    try_table(base, plan, &sw_starter_table, 1, starter, &n);
    try_table(base, plan, &sw_inverter_table, 1, inverter, &n);
    try_table(base, plan, &sw_cabin_table, 1, cabin, &n);
    try_table(base, plan, &sw_load_table, (size_t)plan->van->loads, load, &n);
    try_table(base, plan, &sw_van_table, 1, van_itself, &n);
    try_table(base, plan, &sw_trip_table, 1, trip_itself, &n);
    printf("keys changed: %d share the course, %d do not, %d give none\n", n.shared, n.apart, n.impossible);
    ck_assert_int_gt(n.shared, 100);
    ck_assert_int_gt(n.apart, 100);
    sw_course_free(again);
    sw_course_free(base);
    sw_plan_free(plan);
}
END_TEST

/* What a builder compares most is what the march alone feels: there a course is shared, for speed. */
START_TEST(sizes_and_prices_share_a_course)
{
    sw_plan *plan = read_plan(), *other = read_plan();
    sw_van *v = other->van;
    v->battery.parallel++;
    v->battery.health *= 0.8;
    v->battery.cost.price = 1.0;
    v->array[0].panels++;
    v->array[0].rated_w *= 2.0;
    v->controller->limit_a *= 2.0;
    v->alternator->converter_w *= 2.0;
    v->shore->charger_w *= 2.0;
    v->inverter->rated_w *= 2.0;
    other->trip->start_soc = 0.3;
    other->trip->reserve = 0.5;
    ck_assert_int_eq(sw_course_serves(plan, other), 1);
    v->arrays--;
    ck_assert_int_eq(sw_course_serves(plan, other), 0);
    v->arrays++;
    v->loads--;
    ck_assert_int_eq(sw_course_serves(plan, other), 0);
    v->loads++;
    v->cabin = NULL;
    ck_assert_int_eq(sw_course_serves(plan, other), 0);
    v->cabin = plan->van->cabin;
    v->inverter = NULL;
    ck_assert_int_eq(sw_course_serves(plan, other), 0);
    sw_plan_free(plan);
    sw_plan_free(other);
}
END_TEST

Suite *sw_suite(void)
{
    const TTest *const tests[] = {vans_that_share_a_course_have_it_to_the_bit,
                                  sizes_and_prices_share_a_course, NULL};
    return sw_suite_of("course serves", tests, 300);
}
