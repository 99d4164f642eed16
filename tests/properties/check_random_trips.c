// Whole trips out of random van and trip files: whatever they say, the energy balances at every level of the
// account, and the findings agree with the ledger.
#include "support/checks.h"
#include "support/memory_loader.h"

#include "stillwatt/reader.h"
#include "stillwatt/rehearsal.h"

#include <gsl/gsl_rng.h>
#include <math.h>
#include <stdarg.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

enum { TRIPS = 500 };

typedef struct text {
    char bytes[16384];
    size_t length;
} text;

__attribute__((format(printf, 2, 3))) static void add(text *t, const char *format, ...)
{
    va_list arguments;
    va_start(arguments, format);
    t->length += (size_t)vsnprintf(t->bytes + t->length, sizeof t->bytes - t->length, format, arguments);
    va_end(arguments);
    ck_assert_uint_lt(t->length, sizeof t->bytes);
}

static double between(gsl_rng *rng, double low, double high)
{
    return low + (high - low) * gsl_rng_uniform(rng);
}

static int one_in(gsl_rng *rng, int n)
{
    return gsl_rng_uniform_int(rng, (unsigned long)n) == 0;
}

static const char *pick(gsl_rng *rng, const char *const *words, int count)
{
    return words[gsl_rng_uniform_int(rng, (unsigned long)count)];
}

static void random_load(gsl_rng *rng, int index, text *t)
{
    static const char *const held[] = {"must", "want", "can-wait"};
    static const char *const when[] = {"parked", "driving", "shore", "off-grid", "dark", "light"};
    const char *bus = one_in(rng, 2) ? "ac" : "dc";
    int kind = (int)gsl_rng_uniform_int(rng, 4);
    add(t, ", \"load %d\": {\"bus\": \"%s\", \"held\": \"%s\"", index, bus, pick(rng, held, 3));
    switch (kind) {
    case 0:
        add(t, ", \"kind\": \"steady\", \"power\": \"%.1f W\", \"duty\": \"%.0f %%\"", between(rng, 1, 300),
            between(rng, 10, 100));
        break;
    case 1:
        add(t, ", \"kind\": \"use\", \"power\": \"%.0f W\", \"each\": \"%.0f min\", \"uses\": %.2f",
            between(rng, 20, 2000), between(rng, 1, 40), between(rng, 0.3, 4));
        break;
    case 2:
        add(t, ", \"kind\": \"measured\", \"energy_per_day\": \"%.0f Wh\"", between(rng, 5, 900));
        break;
    default:
        add(t, ", \"kind\": \"measured\", \"charge_per_day\": \"%.1f Ah\"", between(rng, 1, 50));
        break;
    }
    if (one_in(rng, 2))
        add(t, ", \"hours\": \"%02d:%02d-%02d:30\"", (int)gsl_rng_uniform_int(rng, 24),
            (int)gsl_rng_uniform_int(rng, 30), (int)gsl_rng_uniform_int(rng, 24));
    if (one_in(rng, 3))
        add(t, ", \"when\": \"%s\"", pick(rng, when, 6));
    add(t, "}");
}

static void random_van(gsl_rng *rng, text *t)
{
    static const char *const chemistries[] = {"lifepo4", "agm"};
    static const int banks[][2] = {{12, 1}, {12, 2}, {12, 4}, {24, 1}, {24, 2}, {48, 1}};
    const int *bank = banks[gsl_rng_uniform_int(rng, 6)];
    add(t,
        "{\"format\": \"stillwatt van 1\", \"name\": \"random\", \"battery\": {\"chemistry\": \"%s\", "
        "\"capacity\": \"%.0f Ah\",",
        pick(rng, chemistries, 2), between(rng, 20, 400));
    add(t, " \"unit_voltage\": \"%d V\", \"series\": %d, \"parallel\": %d, \"place\": \"%s\"}", bank[0],
        bank[1], 1 + (int)gsl_rng_uniform_int(rng, 4), one_in(rng, 3) ? "outside" : "cabin");
    if (!one_in(rng, 6)) {
        add(t,
            ", \"controller\": {\"limit\": \"%.0f A\"}, \"arrays\": {\"roof\": {\"rating\": \"%.0f W\", "
            "\"panels\": %d}",
            between(rng, 5, 100), between(rng, 50, 400), 1 + (int)gsl_rng_uniform_int(rng, 4));
        if (one_in(rng, 3))
            add(t,
                ", \"side\": {\"rating\": \"150 W\", \"tilt\": \"%.0f deg\", \"facing\": \"%.0f deg\", "
                "\"deployed\": \"parked\"}",
                between(rng, 5, 90), between(rng, 0, 360));
        add(t, "}");
    }
    if (one_in(rng, 2))
        add(t, ", \"alternator\": {\"converter_output\": \"%.0f W\"}", between(rng, 100, 900));
    if (one_in(rng, 2))
        add(t,
            ", \"shore\": {\"inlet_current\": \"%.0f A\", \"inlet_voltage\": \"120 V\", \"charger_output\": "
            "\"%.0f W\"}",
            between(rng, 5, 50), between(rng, 50, 1500));
    if (!one_in(rng, 4))
        add(t, ", \"inverter\": {\"rating\": \"%.0f W\"%s}", between(rng, 200, 4000),
            one_in(rng, 2) ? ", \"hours\": \"06:00-22:00\"" : "");
    if (one_in(rng, 3))
        add(t, ", \"hold_back_below\": \"%.0f %%\"", between(rng, 5, 60));
    add(t, ", \"loads\": {\"fridge\": {\"kind\": \"fridge\", \"bus\": \"%s\", \"power\": \"%.0f W\"}",
        one_in(rng, 4) ? "ac" : "dc", between(rng, 20, 90));
    for (int i = 0, count = (int)gsl_rng_uniform_int(rng, 7); i < count; i++)
        random_load(rng, i, t);
    add(t, "}}");
}

static void random_trip(gsl_rng *rng, text *t)
{
    static const char *const stations[] = {"Moab UT", "Astoria OR", "Boise ID", "Needles CA"};
    static const char *const clouds[] = {"clear", "few", "scattered", "broken", "overcast"};
    int year = 2020 + (int)gsl_rng_uniform_int(rng, 10), month = 1 + (int)gsl_rng_uniform_int(rng, 12);
    int day = 1 + (int)gsl_rng_uniform_int(rng, 26), hour = 5 + (int)gsl_rng_uniform_int(rng, 10);
    add(t,
        "{\"format\": \"stillwatt trip 1\", \"name\": \"random\", \"van\": \"van.json\", \"start_charge\": "
        "\"%.0f %%\",",
        between(rng, 5, 100));
    add(t, " \"reserve\": \"%.0f %%\", \"places\": {\"a\": {\"station\": \"%s\"},", between(rng, 0, 60),
        pick(rng, stations, 4));
    add(t, " \"b\": {\"latitude\": 39.1, \"longitude\": -109.0, \"elevation\": \"1500 m\", \"zone\": "
           "\"America/Denver\"}},");
    add(t,
        " \"legs\": [{\"stay\": \"a\", \"from\": \"%d-%02d-%02d %02d:%02d\", \"to\": \"%d-%02d-%02d 04:30\"",
        year, month, day, hour, (int)gsl_rng_uniform_int(rng, 60), year, month, day + 1);
    if (one_in(rng, 2))
        add(t, ", \"hookup\": {\"current\": \"%.0f A\", \"voltage\": \"120 V\"}", between(rng, 5, 50));
    add(t, "}, {\"drive\": [\"a\", \"b\"], \"to\": \"%d-%02d-%02d 23:45\"},", year, month, day + 1);
    add(t, " {\"stay\": \"b\", \"to\": \"%d-%02d-%02d %02d:00\"}],", year, month, day + 2,
        1 + (int)gsl_rng_uniform_int(rng, 22));
    if (one_in(rng, 2))
        add(t, " \"sky\": {\"kind\": \"average\"}}");
    else
        add(t, " \"sky\": {\"kind\": \"told\", \"otherwise\": \"%s\", \"haze\": \"%.0f %%\"}}",
            pick(rng, clouds, 5), one_in(rng, 2) ? 0.0 : between(rng, 0, 60));
}

/* sources - loads - losses - stored, over the sum of all of them plus 1 Wh */
static double imbalance(const sw_account *a)
{
    static const sw_ledger_column sources[] = {SW_LEDGER_SOLAR_USED, SW_LEDGER_ALTERNATOR_USED,
                                               SW_LEDGER_SHORE_AC, SW_LEDGER_CHARGER_IN};
    static const sw_ledger_column sinks[] = {SW_LEDGER_SERVED,          SW_LEDGER_CHARGER_LOSS,
                                             SW_LEDGER_INVERTER_LOSS,   SW_LEDGER_CONTROLLER_SELF,
                                             SW_LEDGER_RESISTANCE_LOSS, SW_LEDGER_COULOMBIC_LOSS,
                                             SW_LEDGER_SELF_LOSS,       SW_LEDGER_STORED};
    double sum = 0.0, all = 1.0;
    for (size_t i = 0; i < sizeof sources / sizeof sources[0]; i++) {
        sum += a->value[sources[i]];
        all += fabs(a->value[sources[i]]);
    }
    for (size_t i = 0; i < sizeof sinks / sizeof sinks[0]; i++) {
        sum -= a->value[sinks[i]];
        all += fabs(a->value[sinks[i]]);
    }
    return fabs(sum) / all;
}

static void check_loads(const sw_rehearsal *r, const sw_account *a)
{
    double served = 0.0, asked = 0.0;
    for (int k = 0; k < r->course->loads; k++) {
        ck_assert_double_ge(a->served_wh[k], -1e-9);
        ck_assert_double_le(a->served_wh[k], a->asked_wh[k] + 1e-9);
        served += a->served_wh[k];
        asked += a->asked_wh[k];
    }
    // The march sums by class, the account by load: only rounding may differ.
    ck_assert_double_eq_tol(served, a->value[SW_LEDGER_SERVED], 1e-9 * (1.0 + served));
    ck_assert_double_eq_tol(asked, a->value[SW_LEDGER_ASKED], 1e-9 * (1.0 + asked));
}

static void check_sums(const sw_rehearsal *r)
{
    for (int c = 0; c < SW_LEDGER_COLUMNS; c++) {
        double sum = 0.0, size = 1.0;
        if (sw_ledger_gather((sw_ledger_column)c) != SW_GATHER_ENERGY)
            continue;
        for (int d = 0; d < r->days; d++) {
            sum += r->day[d].value[c];
            size += fabs(r->day[d].value[c]);
        }
        ck_assert_double_eq_tol(sum, r->trip.value[c], 1e-12 * size);
    }
}

static void check_findings(const sw_rehearsal *r, int seen[4])
{
    double lowest = 100.0 * r->plan->trip->start_soc;
    for (int h = 0; h < r->hours; h++)
        lowest = fmin(lowest, r->hour[h].value[SW_LEDGER_LOWEST]);
    ck_assert_double_eq_tol(100.0 * r->outcome.lowest_soc, lowest, 1e-9);
    double soc = r->outcome.lowest_soc, reserve = r->plan->trip->reserve;
    if (r->outcome.verdict != SW_OUT)
        ck_assert_int_eq(r->outcome.verdict, soc < reserve - 1e-9         ? SW_UNDER
                                             : soc < reserve + 0.1 - 1e-9 ? SW_TIGHT
                                                                          : SW_HOLDS);
    // Less light, all else equal; with shedding or a cut-off all else is not equal (fewer loads are served).
    if (r->has_poor && r->poor.verdict != SW_OUT && r->plan->van->hold_back_below == 0.0)
        ck_assert_double_le(r->poor.lowest_soc, r->outcome.lowest_soc + 1e-9);
    seen[r->outcome.verdict]++;
}

/* A reserve line raised never improves the verdict: the march does not know the line, only the findings do.
 */
static void check_raised_reserve(gsl_rng *rng, sw_plan *plan, const sw_loader *loader, sw_verdict before,
                                 int *worse)
{
    sw_rehearsal *r = NULL;
    plan->trip->reserve = fmin(1.0, plan->trip->reserve + between(rng, 0.0, 0.4));
    sw_messages *messages = sw_messages_create();
    ck_assert_int_eq(sw_rehearse(plan, loader, 600, messages, &r), SW_OK);
    ck_assert_int_ge(r->outcome.verdict, before);
    *worse += r->outcome.verdict > before;
    sw_rehearsal_free(r);
    sw_messages_free(messages);
}

typedef struct found {
    double worst;           // imbalance over throughput
    int verdict[4], raised; // how often; how often a raised reserve line made the verdict worse
} found;

static void check_trip(gsl_rng *rng, unsigned long seed, found *all)
{
    text van = {.length = 0}, trip = {.length = 0};
    gsl_rng_set(rng, seed);
    random_van(rng, &van);
    random_trip(rng, &trip);
    const memory_file files[] = {{"van.json", van.bytes}, {"trip.json", trip.bytes}, {NULL, NULL}};
    memory_files memory = {.file = files};
    sw_loader loader = memory_loader(&memory);
    sw_messages *messages = sw_messages_create();
    sw_plan *plan = NULL;
    sw_rehearsal *r = NULL;
    char said[2048] = "";
    sw_status status = sw_read_trip(&loader, "trip.json", messages, &plan);
    if (status == SW_OK)
        status = sw_rehearse(plan, &loader, 600, messages, &r);
    if (sw_messages_errors(messages) > 0)
        sw_message_format(sw_messages_at(messages, 0), said, sizeof said);
    ck_assert_msg(status == SW_OK, "seed %lu: status %d %s\n%s\n%s", seed, (int)status, said, van.bytes,
                  trip.bytes);
    for (int h = 0; h < r->hours; h++) {
        ck_assert_double_le(imbalance(&r->hour[h]), 1e-9);
        ck_assert_double_ge(r->hour[h].value[SW_LEDGER_LOWEST], 0.0);
        ck_assert_double_le(r->hour[h].value[SW_LEDGER_CHARGE], 100.0);
        check_loads(r, &r->hour[h]);
    }
    all->worst = fmax(all->worst, imbalance(&r->trip));
    ck_assert_double_le(imbalance(&r->trip), 1e-9);
    check_sums(r);
    check_findings(r, all->verdict);
    check_raised_reserve(rng, plan, &loader, r->outcome.verdict, &all->raised);
    sw_rehearsal_free(r);
    sw_plan_free(plan);
    sw_messages_free(messages);
}

START_TEST(energy_balances_on_random_vans_and_trips)
{
    gsl_rng *rng = gsl_rng_alloc(gsl_rng_mt19937);
    unsigned long first = sw_random_seed(), trips = sw_random_cases(TRIPS);
    found all = {.worst = 0.0};
    for (unsigned long i = 0; i < trips; i++)
        check_trip(rng, first + i, &all);
    printf("%lu random trips, seeds from %lu: worst imbalance %.1e of throughput; holds %d, tight %d, under "
           "%d, out "
           "%d; a raised reserve line made %d worse and none better\n",
           trips, first, all.worst, all.verdict[SW_HOLDS], all.verdict[SW_TIGHT], all.verdict[SW_UNDER],
           all.verdict[SW_OUT], all.raised);
    for (int v = 0; v < 4; v++)
        ck_assert_msg(all.verdict[v] >= 20, "verdict %s came out only %d times",
                      sw_verdict_word((sw_verdict)v), all.verdict[v]);
    ck_assert_int_ge(all.raised, 20);
    gsl_rng_free(rng);
}
END_TEST

START_TEST(energy_balances_on_every_demo)
{
    static const char *const trips[] = {"canyon-week", "canyon-week-told", "desert-summer",
                                        "high-desert-tour"};
    sw_loader loader = sw_disk_loader(SW_SOURCE_DIR);
    for (size_t i = 0; i < sizeof trips / sizeof trips[0]; i++) {
        char path[1024];
        sw_messages *messages = sw_messages_create();
        sw_plan *plan = NULL;
        sw_rehearsal *r = NULL;
        snprintf(path, sizeof path, "%s/profiles/trips/%s.json", SW_SOURCE_DIR, trips[i]);
        ck_assert_int_eq(sw_read_trip(&loader, path, messages, &plan), SW_OK);
        ck_assert_int_eq(sw_rehearse(plan, &loader, 300, messages, &r), SW_OK);
        for (int h = 0; h < r->hours; h++)
            ck_assert_double_le(imbalance(&r->hour[h]), 1e-9);
        ck_assert_double_le(imbalance(&r->trip), 1e-9);
        printf("%s: imbalance %.1e of throughput\n", trips[i], imbalance(&r->trip));
        sw_rehearsal_free(r);
        sw_plan_free(plan);
        sw_messages_free(messages);
    }
}
END_TEST

Suite *sw_suite(void)
{
    const TTest *const tests[] = {energy_balances_on_random_vans_and_trips, energy_balances_on_every_demo,
                                  NULL};
    return sw_suite_of("random trips", tests, 120);
}
