// Whole trips out of random van and trip files: whatever they say, the energy balances at every level of the
// account, and the findings agree with the ledger.
#include "support/checks.h"
#include "support/program.h"
#include "support/random_files.h"

#include "stillwatt/reader.h"
#include "stillwatt/rehearsal.h"

#include <math.h>
#include <stdio.h>

enum { TRIPS = 300 };

typedef struct found {
    double worst;                   // imbalance over throughput
    long hours, darker, not_darker; // not_darker: somewhere the poor week gave a panel more
    int verdict[4], raised;         // how often; how often a raised reserve line made the verdict worse
} found;

/* sources - loads - losses - stored, over the sum of all of them plus 1 Wh */
static double imbalance(const sw_account *a)
{
    static const sw_ledger_column sources[] = {SW_LEDGER_SOLAR_USED, SW_LEDGER_ALTERNATOR_USED,
                                               SW_LEDGER_SHORE_AC, SW_LEDGER_CHARGER_IN};
    static const sw_ledger_column sinks[] = {
        SW_LEDGER_SERVED,          SW_LEDGER_CHARGER_LOSS,    SW_LEDGER_INVERTER_LOSS,
        SW_LEDGER_CONTROLLER_SELF, SW_LEDGER_RESISTANCE_LOSS, SW_LEDGER_COULOMBIC_LOSS,
        SW_LEDGER_SELF_LOSS,       SW_LEDGER_STORED,          SW_LEDGER_PAD};
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
        sw_expect(a->served_wh[k] >= -1e-9 && a->served_wh[k] <= a->asked_wh[k] + 1e-9,
                  "load %d: %g Wh of %g Wh served", k, a->served_wh[k], a->asked_wh[k]);
        served += a->served_wh[k];
        asked += a->asked_wh[k];
    }
    // The march sums by class, the account by load: only rounding may differ.
    sw_expect(fabs(served - a->value[SW_LEDGER_SERVED]) <= 1e-9 * (1.0 + served), "%g Wh served, by class %g",
              served, a->value[SW_LEDGER_SERVED]);
    sw_expect(fabs(asked - a->value[SW_LEDGER_ASKED]) <= 1e-9 * (1.0 + asked), "%g Wh asked, by class %g",
              asked, a->value[SW_LEDGER_ASKED]);
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

/* Whether the poor week gives every panel no more than the average sky does, step by step. It need not: with
   the sun near the horizon a panel gets more from a grey sky than from a beam that the glass turns away. */
static int is_darker_throughout(const sw_course *course)
{
    const sw_forcing *average = &course->forcing[SW_OUTLOOK_MAIN], *poor = &course->forcing[SW_OUTLOOK_POOR];
    for (int a = 0; a < average->arrays; a++)
        for (int32_t i = 0; i < average->steps; i++)
            if (poor->yield[a][i] > average->yield[a][i])
                return 0;
    return 1;
}

static void count_latched(void *context, int32_t step, const sw_tile_flow *flow)
{
    long *latched = context;
    *latched += flow->tripped[0] > 0.0 || flow->cut_off[0] > 0.0;
    (void)step;
}

/* Steps of the poor week in which inverter or battery wait for their restart level. */
static long latched_in_poor_week(const sw_rehearsal *r)
{
    const sw_forcing *poor = &r->course->forcing[SW_OUTLOOK_POOR];
    sw_tile_plan plan;
    sw_tile_state state;
    long latched = 0;
    for (int lane = 0; lane < SW_TILE; lane++)
        sw_tile_set(&plan, &state, lane, &r->variant, poor->step_s);
    ck_assert_int_eq(sw_march(poor, &plan, &state, count_latched, &latched), SW_OK);
    return latched;
}

/* Less light, all else equal. It is not where fewer loads are served, held back or cut off, nor where the
   inverter waits for its restart level and spares its idle draw. */
static void check_poor_week(unsigned long seed, const sw_rehearsal *r, found *all)
{
    if (!r->has_poor || r->poor.verdict == SW_OUT || r->plan->van->hold_back_below > 0.0 ||
        latched_in_poor_week(r) > 0)
        return;
    int darker = is_darker_throughout(r->course);
    all->darker += darker;
    all->not_darker += !darker;
    ck_assert_msg(!darker || r->poor.lowest_soc <= r->outcome.lowest_soc + 1e-9,
                  "seed %lu: lowest charge %.9f in the poor week, %.9f on average", seed, r->poor.lowest_soc,
                  r->outcome.lowest_soc);
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
    seen[r->outcome.verdict]++;
}

/* A reserve line raised never improves the verdict: the march does not know the line, only the findings do.
 */
static void check_raised_reserve(sw_plan *plan, const sw_loader *loader, int32_t step_s, sw_verdict before,
                                 int *worse)
{
    sw_rehearsal *r = NULL;
    plan->trip->reserve = fmin(1.0, plan->trip->reserve + 0.2);
    sw_messages *messages = sw_messages_create();
    ck_assert_int_eq(sw_rehearse(plan, loader, step_s, messages, &r), SW_OK);
    ck_assert_int_ge(r->outcome.verdict, before);
    *worse += r->outcome.verdict > before;
    sw_rehearsal_free(r);
    sw_messages_free(messages);
}

static void check_rehearsal(unsigned long seed, const sw_rehearsal *r, found *all)
{
    for (int h = 0; h < r->hours; h++) {
        const double *value = r->hour[h].value;
        sw_expect(imbalance(&r->hour[h]) <= 1e-9, "seed %lu hour %d: off by %g of throughput", seed, h,
                  imbalance(&r->hour[h]));
        sw_expect(value[SW_LEDGER_LOWEST] >= 0.0 && value[SW_LEDGER_CHARGE] <= 100.0,
                  "seed %lu hour %d: %g %% to %g %%", seed, h, value[SW_LEDGER_LOWEST],
                  value[SW_LEDGER_CHARGE]);
        check_loads(r, &r->hour[h]);
    }
    ck_assert_double_le(imbalance(&r->trip), 1e-9);
    all->worst = fmax(all->worst, imbalance(&r->trip));
    all->hours += r->hours;
    check_sums(r);
    check_findings(r, all->verdict);
    check_poor_week(seed, r, all);
}

static void check_trip(unsigned long seed, found *all)
{
    random_files f;
    sw_plan *plan = NULL;
    sw_rehearsal *r = NULL;
    random_files_make(seed, &f);
    random_files_rehearse(seed, &f, &plan, &r);
    sw_loader loader = random_files_loader(&f);
    check_rehearsal(seed, r, all);
    check_raised_reserve(plan, &loader, f.step_s, r->outcome.verdict, &all->raised);
    sw_rehearsal_free(r);
    sw_plan_free(plan);
    random_files_free(&f);
}

START_TEST(energy_balances_on_random_vans_and_trips)
{
    unsigned long first = sw_random_seed(), trips = sw_random_cases(TRIPS);
    found all = {.worst = 0.0};
    for (unsigned long i = 0; i < trips; i++)
        check_trip(first + i, &all);
    printf("%lu random trips, %ld hours, seeds from %lu: worst imbalance %.1e of throughput; holds %d, tight "
           "%d, under "
           "%d, out "
           "%d; a raised reserve line made %d worse and none better; the poor week was lower in %ld of %ld\n",
           trips, all.hours, first, all.worst, all.verdict[SW_HOLDS], all.verdict[SW_TIGHT],
           all.verdict[SW_UNDER], all.verdict[SW_OUT], all.raised, all.darker, all.darker + all.not_darker);
    long least = sw_random_least(12, TRIPS);
    for (int v = 0; v < 4; v++)
        ck_assert_msg(all.verdict[v] >= least, "verdict %s came out only %d times",
                      sw_verdict_word((sw_verdict)v), all.verdict[v]);
    ck_assert_int_ge(all.raised, least);
    ck_assert_int_ge(all.darker, least);
}
END_TEST

START_TEST(energy_balances_on_every_demo)
{
    sw_loader loader = sw_disk_loader(SW_SOURCE_DIR);
    for (const char *const *trip = program_demos; *trip != NULL; trip++) {
        char path[1024];
        sw_messages *messages = sw_messages_create();
        sw_plan *plan = NULL;
        sw_rehearsal *r = NULL;
        snprintf(path, sizeof path, "%s/profiles/trips/%s.json", SW_SOURCE_DIR, *trip);
        ck_assert_int_eq(sw_read_trip(&loader, path, messages, &plan), SW_OK);
        ck_assert_int_eq(sw_rehearse(plan, &loader, 300, messages, &r), SW_OK);
        for (int h = 0; h < r->hours; h++)
            ck_assert_double_le(imbalance(&r->hour[h]), 1e-9);
        ck_assert_double_le(imbalance(&r->trip), 1e-9);
        printf("%s: imbalance %.1e of throughput\n", *trip, imbalance(&r->trip));
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
