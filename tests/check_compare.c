// A study: each of its cases against the rehearsal of files that were changed by hand, whatever the number of
// threads and wherever it begins; and its sums against the cases.
#include "stillwatt/compare.h"
#include "stillwatt/report.h"
#include "stillwatt/tally.h"
#include "study/plan_move.h"
#include "support/checks.h"
#include "support/memory_loader.h"
#include "support/small_plan.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

// ---- a study in memory ----

/// A choice, and the same change made in the texts by hand.
typedef struct by_hand {
    const char *name, *patch;
    const char *van_from, *van_to; // NULL: the van stays
    const char *trip_from, *trip_to;
} by_hand;

static const by_hand hands[] = {
    {"as it is", NULL, NULL, NULL, NULL, NULL},
    {"third unit", "{\"van\": {\"battery\": {\"parallel\": 3}}, \"price\": \"900 USD\"}", "\"parallel\": 2",
     "\"parallel\": 3", NULL, NULL},
    {"one panel less", "{\"van\": {\"arrays\": {\"roof\": {\"panels\": 1}}}}", "\"panels\": 2",
     "\"panels\": 1", NULL, NULL},
    {"tilted", "{\"van\": {\"arrays\": {\"roof\": {\"tilt\": \"40 deg\", \"facing\": \"170 deg\"}}}}",
     "\"panels\": 2", "\"panels\": 2, \"tilt\": \"40 deg\", \"facing\": \"170 deg\"", NULL, NULL},
    {"second array",
     "{\"van\": {\"arrays\": {\"hood\": {\"rating\": \"80 W\", \"panels\": 1}}}, \"mass\": \"5 kg\"}",
     "\"arrays\": {", "\"arrays\": {\"hood\": {\"rating\": \"80 W\", \"panels\": 1}, ", NULL, NULL},
    {"no sun", "{\"van\": {\"arrays\": null, \"controller\": null}}",
     "  \"arrays\": {\"roof\": {\"rating\": \"200 W\", \"panels\": 2}},\n"
     "  \"controller\": {\"limit\": \"30 A\", \"price\": \"150 USD\"},\n",
     "", NULL, NULL},
    {"always on", "{\"van\": {\"inverter\": {\"hours\": null}}}",
     ", \"hours\": [\"06:30-09:00\", \"17:00-22:00\"]", "", NULL, NULL},
    {"no drive", "{\"van\": {\"alternator\": null}}",
     "  \"alternator\": {\"converter_output\": \"360 W\"},\n", "", NULL, NULL},
    {"24 V", "{\"van\": {\"battery\": {\"series\": 2}}}", "\"parallel\": 2", "\"parallel\": 2, \"series\": 2",
     NULL, NULL},
    {"dearer lights", "{\"van\": {\"loads\": {\"lights\": {\"power\": \"30 W\", \"held\": \"must\"}}}}",
     "\"power\": \"12 W\"", "\"power\": \"30 W\", \"held\": \"must\"", NULL, NULL},
    {"hold back",
     "{\"van\": {\"hold_back_below\": \"60 %\", \"loads\": {\"fan\": {\"held\": \"can-wait\"}}}}",
     "\"charge_per_day\": \"10 Ah\"}\n  }\n",
     "\"charge_per_day\": \"10 Ah\", \"held\": \"can-wait\"}\n  },\n  \"hold_back_below\": \"60 %\"\n", NULL,
     NULL},
    {"a cabin", "{\"van\": {\"cabin\": {\"insulation\": \"good\", \"glass\": \"few\"}}}", "  \"loads\": {",
     "  \"cabin\": {\"insulation\": \"good\", \"glass\": \"few\"}, \"loads\": {", NULL, NULL},
    {"more kettle", "{\"trip\": {\"habits\": {\"kettle\": {\"uses\": 2}}}}", NULL, NULL, "\"uses\": 1",
     "\"uses\": 2"},
    {"half charged", "{\"trip\": {\"start_charge\": \"50 %\", \"reserve\": \"30 %\"}}", NULL, NULL,
     "\"habits\"", "\"start_charge\": \"50 %\", \"reserve\": \"30 %\", \"habits\""},
    {"both", "{\"van\": {\"battery\": {\"health\": \"80 %\"}}, \"trip\": {\"cabin_at_least\": \"5 C\"}}",
     "\"parallel\": 2", "\"parallel\": 2, \"health\": \"80 %\"", "\"habits\"",
     "\"cabin_at_least\": \"5 C\", \"habits\""},
};
enum { HANDS = sizeof hands / sizeof hands[0] };

#define SKIES 5
static const char *const skies[SKIES][2] = {
    {"average", "{\"kind\": \"average\"}"},
    {"grey", "{\"kind\": \"told\", \"otherwise\": \"overcast\", \"days\": {\"2026-11-07\": \"clear\"}}"},
    {"clear", "{\"kind\": \"told\", \"otherwise\": \"clear\"}"},
    {"drawn 1", "{\"kind\": \"chance\", \"draw\": 1}"},
    {"drawn 2", "{\"kind\": \"chance\", \"draw\": 2}"},
};
#define STARTS 2
static const double starts[STARTS] = {1.0, 0.35};

/* A study with months has no sky that is told of dates. */
static const char *sky_text(int sky, int moves)
{
    return sky == 1 && moves ? "{\"kind\": \"told\", \"otherwise\": \"overcast\"}" : skies[sky][1];
}

static char *study_text(const char *more)
{
    int moves = strstr(more, "months") != NULL;
    size_t size = 20000, used = 0;
    char *out = malloc(size);
    ck_assert_ptr_nonnull(out);
    used += (size_t)snprintf(out + used, size - used,
                             "{\"format\": \"stillwatt study 1\", \"name\": \"Which?\", \"trips\": "
                             "[\"trip.json\"], %s \"skies\": {",
                             more);
    for (int i = 0; i < 3; i++)
        used += (size_t)snprintf(out + used, size - used, "%s\"%s\": %s", i > 0 ? ", " : "", skies[i][0],
                                 sky_text(i, moves));
    used += (size_t)snprintf(out + used, size - used,
                             "}, \"draws\": 2, \"start_charges\": [\"100 %%\", \"35 %%\"], \"choices\": {");
    for (int k = 1; k < HANDS; k++)
        used += (size_t)snprintf(out + used, size - used, "%s\"%s\": %s", k > 1 ? ", " : "", hands[k].name,
                                 hands[k].patch);
    snprintf(out + used, size - used, "}}");
    return out;
}

typedef struct opened {
    char *text;
    memory_file file[4];
    memory_files files;
    sw_loader loader;
    sw_study *study;
} opened;

static void open_study(const char *more, opened *out)
{
    sw_messages *messages = sw_messages_create();
    *out = (opened){.text = study_text(more)};
    out->file[0] = (memory_file){"study.json", out->text};
    out->file[1] = (memory_file){"trip.json", small_trip};
    out->file[2] = (memory_file){"van.json", small_van};
    out->files.file = out->file;
    out->loader = memory_loader(&out->files);
    sw_status status = sw_read_study(&out->loader, "study.json", messages, &out->study);
    if (status == SW_OK)
        status = sw_study_try(out->study, &out->loader, 300, 1, messages);
    print_messages(messages);
    ck_assert_int_eq(status, SW_OK);
    sw_messages_free(messages);
}

static void close_study(opened *x)
{
    sw_study_free(x->study);
    free(x->text);
}

/// All cases in order.
typedef struct kept {
    sw_case of[4000];
    int count;
    int64_t next; // block
    int64_t fail_at;
    sw_tally *tally;
    const sw_study *study;
} kept;

static sw_status keep(void *context, const sw_block *block)
{
    kept *k = context;
    ck_assert_int_eq(block->index, k->next);
    if (k->fail_at > 0 && block->index == k->fail_at)
        return SW_CANNOT_WRITE;
    k->next++;
    ck_assert_int_le(k->count + block->cases, 4000);
    memcpy(&k->of[k->count], block->of, (size_t)block->cases * sizeof *block->of);
    k->count += block->cases;
    return SW_OK;
}

static void compare(const opened *x, int64_t first, kept *out)
{
    sw_messages *messages = sw_messages_create();
    sw_compare_ask ask = {.step_s = 300, .first_block = first, .take = keep, .context = out};
    int64_t done = 0;
    *out = (kept){.next = first};
    sw_status status = sw_compare(x->study, &x->loader, &ask, messages, &done);
    print_messages(messages);
    ck_assert_int_eq(status, SW_OK);
    ck_assert_int_eq(done, sw_study_blocks(x->study));
    sw_messages_free(messages);
}

// ---- against files changed by hand ----

static char *changed(const char *text, const char *from, const char *to)
{
    return text_with(text, from != NULL ? from : "\"format\"", from != NULL ? to : "\"format\"");
}

static void same_outcome(const sw_outcome *a, const sw_outcome *b, const char *choice, const char *sky)
{
    int same = a->verdict == b->verdict && a->lowest_soc == b->lowest_soc && a->end_soc == b->end_soc &&
               a->lowest_at_s == b->lowest_at_s && a->under_at_s == b->under_at_s &&
               a->under_h == b->under_h && a->under_days == b->under_days && a->out_at_s == b->out_at_s &&
               a->unserved_wh == b->unserved_wh && a->missed_wh == b->missed_wh;
    sw_expect(same, "\"%s\" under \"%s\": %.17g and %.17g", choice, sky, a->lowest_soc, b->lowest_soc);
}

/* The start charge of the study is stronger than that of a choice. */
static char *trip_by_hand(const by_hand *hand, const char *sky, double start)
{
    char with[120];
    char *trip = changed(small_trip, hand->trip_from, hand->trip_to);
    char *own = changed(trip, "{\"kind\": \"average\"}", sky);
    snprintf(with, sizeof with, "\"start_charge\": \"%g %%\"", 100.0 * start);
    char *out = strstr(own, "\"start_charge\": \"50 %\"") != NULL
                    ? changed(own, "\"start_charge\": \"50 %\"", with)
                    : changed(own, "\"habits\"", strcat(with, ", \"habits\""));
    free(trip);
    free(own);
    return out;
}

START_TEST(each_case_is_the_rehearsal_of_files_changed_by_hand)
{
    static kept all;
    opened x;
    open_study("", &x);
    compare(&x, 0, &all);
    ck_assert_int_eq(all.count, SKIES * STARTS * HANDS);
    int different[HANDS] = {1};
    for (int s = 0; s < SKIES; s++)
        for (int c = 0; c < STARTS; c++)
            for (int k = 0; k < HANDS; k++) {
                const sw_case *mine = &all.of[(s * STARTS + c) * HANDS + k];
                char *van = changed(small_van, hands[k].van_from, hands[k].van_to);
                char *trip = trip_by_hand(&hands[k], skies[s][1], starts[c]);
                rehearsed hand = rehearse_texts(van, trip, 300);
                same_outcome(&mine->own, &hand.r->outcome, hands[k].name, skies[s][0]);
                ck_assert_int_eq(mine->has_poor, hand.r->has_poor);
                if (mine->has_poor)
                    same_outcome(&mine->poor, &hand.r->poor, hands[k].name, "the poor week");
                ck_assert_int_eq(mine->nights, 2);
                const sw_outcome *base = &all.of[(s * STARTS + c) * HANDS].own;
                different[k] |=
                    mine->own.lowest_soc != base->lowest_soc || mine->own.end_soc != base->end_soc ||
                    mine->own.unserved_wh != base->unserved_wh || mine->own.verdict != base->verdict;
                forget_rehearsed(&hand);
                free(trip);
                free(van);
            }
    for (int k = 0; k < HANDS; k++)
        ck_assert_msg(different[k], "\"%s\" changes nothing", hands[k].name);
    close_study(&x);
}
END_TEST

START_TEST(whole_vans_are_compared_on_a_trip)
{
    static kept all;
    opened x = {0};
    char *other = changed(small_van, "\"Small van\"", "\"Other van\"");
    char *bigger = changed(other, "\"parallel\": 2", "\"parallel\": 4");
    char own[] = "van.json", larger[] = "bigger.json", *files[] = {own, larger, own};
    sw_messages *messages = sw_messages_create();
    x.file[0] = (memory_file){"bigger.json", bigger};
    x.file[1] = (memory_file){"trip.json", small_trip};
    x.file[2] = (memory_file){"van.json", small_van};
    x.files.file = x.file;
    x.loader = memory_loader(&x.files);
    ck_assert_int_eq(sw_study_of_vans(&x.loader, files, 3, "trip.json", messages, &x.study), SW_OK);
    ck_assert_str_eq(x.study->choice[0].name, "Small van");
    ck_assert_str_eq(x.study->choice[1].name, "Other van");
    ck_assert_str_eq(x.study->choice[2].name, "van.json"); // a name alike is no name
    compare(&x, 0, &all);
    rehearsed first = rehearse_texts(small_van, small_trip, 300),
              second = rehearse_texts(bigger, small_trip, 300);
    same_outcome(&all.of[0].own, &first.r->outcome, "the first van", "its own");
    same_outcome(&all.of[1].own, &second.r->outcome, "the second van", "its own");
    same_outcome(&all.of[2].own, &first.r->outcome, "the first van", "its own");
    forget_rehearsed(&first);
    forget_rehearsed(&second);
    sw_tally *tally = NULL;
    ck_assert_int_eq(sw_tally_make(x.study, &x.loader, messages, &tally), SW_OK);
    ck_assert_double_eq(tally->cost[1].price, 1800.0); // two more units at 900
    ck_assert_double_eq(tally->cost[2].price, 0.0);
    sw_tally_free(tally);
    sw_messages_free(messages);
    sw_study_free(x.study);
    free(other);
    free(bigger);
}
END_TEST

START_TEST(a_month_is_the_trip_on_other_dates)
{
    static kept all;
    opened x;
    open_study("\"months\": [\"january\", \"june\"],", &x);
    compare(&x, 0, &all);
    static const char *const dates[][2] = {{"2026-11", "2027-01"}, {"2026-11", "2027-06"}};
    for (int m = 0; m < 2; m++)
        for (int sky = 0; sky < SKIES; sky++) {
            char *trip = trip_by_hand(&hands[0], sky_text(sky, 1), 1.0);
            for (char *at = trip; (at = strstr(at, dates[m][0])) != NULL;)
                memcpy(at, dates[m][1], strlen(dates[m][1]));
            rehearsed hand = rehearse_texts(small_van, trip, 300);
            same_outcome(&all.of[(m * SKIES + sky) * STARTS * HANDS].own, &hand.r->outcome, "another month",
                         skies[sky][0]);
            forget_rehearsed(&hand);
            free(trip);
        }
    close_study(&x);
}
END_TEST

/* A told day stays behind; kind, year of the record and the cloud of all other days go along. */
START_TEST(a_sky_goes_along_with_a_trip_that_moves)
{
    sw_told_day told[2] = {{.morning_okta = 8.0}, {.morning_okta = 0.0}};
    sw_plan *plan = plan_of_trip(small_van, small_trip);
    plan->trip->sky = (sw_sky_spec){.kind = SW_SKY_HOURLY, .year = 2012, .told = told, .told_days = 2};
    sw_plan_move_to_month(plan, 6);
    ck_assert_int_eq(plan->trip->sky.kind, SW_SKY_HOURLY);
    ck_assert_int_eq(plan->trip->sky.year, 2012);
    ck_assert_int_eq(plan->trip->sky.told_days, 1);
    sw_plan_free(plan);
}
END_TEST

// ---- order ----

__attribute__((weak)) void omp_set_num_threads(int count);

START_TEST(threads_and_beginnings_give_the_same_bits)
{
    static kept all, part;
    opened x;
    if (omp_set_num_threads == NULL)
        puts("skipped: the same bits from several threads, the library was built without OpenMP");
    open_study("", &x);
    compare(&x, 0, &all);
    for (int threads = 1; threads <= 3; threads++) {
        for (int64_t first = 0; first <= SKIES; first += threads) {
            if (omp_set_num_threads != NULL)
                omp_set_num_threads(threads);
            compare(&x, first, &part);
            int skipped = (int)first * STARTS * HANDS;
            ck_assert_int_eq(part.count, all.count - skipped);
            ck_assert(memcmp(part.of, all.of + skipped, (size_t)part.count * sizeof part.of[0]) == 0);
        }
    }
    close_study(&x);
}
END_TEST

/* One block of one large class and a small one, which several threads share out. */
START_TEST(a_large_block_is_shared_out)
{
    static kept all, part;
    opened x = {.text = malloc(6000)};
    size_t used =
        (size_t)sprintf(x.text, "{\"format\": \"stillwatt study 1\", \"name\": \"Many\", \"trips\": "
                                "[\"trip.json\"], \"start_charges\": [\"90 %%\", \"40 %%\"], \"choices\": {"
                                "\"shade\": {\"van\": {\"arrays\": {\"roof\": {\"panels\": 1}}}}");
    for (int k = 0; k < 60; k++)
        used += (size_t)sprintf(x.text + used, ", \"%d\": {\"van\": {\"battery\": {\"health\": \"%d %%\"}}}",
                                k, 40 + k);
    strcpy(x.text + used, "}}");
    x.file[0] = (memory_file){"study.json", x.text};
    x.file[1] = (memory_file){"trip.json", small_trip};
    x.file[2] = (memory_file){"van.json", small_van};
    x.files.file = x.file;
    x.loader = memory_loader(&x.files);
    ck_assert_int_eq(sw_read_study(&x.loader, "study.json", NULL, &x.study), SW_OK);
    for (int threads = 1; threads <= 3; threads++) {
        if (omp_set_num_threads != NULL)
            omp_set_num_threads(threads);
        compare(&x, 0, threads == 1 ? &all : &part);
        ck_assert_int_eq(all.count, 2 * 62);
        if (threads > 1)
            ck_assert(memcmp(part.of, all.of, (size_t)all.count * sizeof all.of[0]) == 0);
    }
    for (int i = 0; i < all.count; i++)
        ck_assert_int_eq(all.of[i].nights, 2); // none was left out
    close_study(&x);
}
END_TEST

static volatile sig_atomic_t stop_now;

START_TEST(work_ends_where_it_is_stopped_or_refused)
{
    static kept all;
    opened x;
    open_study("", &x);
    int64_t done = -1;
    sw_messages *messages = sw_messages_create();
    sw_compare_ask ask = {.step_s = 300, .take = keep, .context = &all, .stop = &stop_now};
    all = (kept){.fail_at = 3};
    ck_assert_int_eq(sw_compare(x.study, &x.loader, &ask, messages, &done), SW_CANNOT_WRITE);
    ck_assert_int_eq(all.next, 3);
    stop_now = 1;
    all = (kept){0};
    ck_assert_int_eq(sw_compare(x.study, &x.loader, &ask, messages, &done), SW_OK);
    ck_assert_int_eq(done, 0);
    ck_assert_int_eq(all.count, 0);
    sw_messages_free(messages);
    close_study(&x);
}
END_TEST

// ---- sums ----

static sw_status sum_up(void *context, const sw_block *block)
{
    kept *k = context;
    char *text = NULL;
    ck_assert_int_eq(sw_report_rows(k->study, block, &text), SW_OK);
    for (char *line = strtok(text, "\r\n"); line != NULL; line = strtok(NULL, "\r\n")) {
        sw_row row;
        ck_assert_msg(sw_report_row_read(line, strlen(line), &row), "%s", line);
        ck_assert_int_eq(row.number, ++k->count);
        sw_tally_add(k->tally, &row);
    }
    free(text);
    return keep(&(kept){.next = block->index}, block);
}

/* Counted again from the cases, choice by choice. */
START_TEST(sums_are_those_of_the_cases)
{
    static kept all;
    opened x;
    open_study("", &x);
    compare(&x, 0, &all);
    sw_messages *messages = sw_messages_create();
    kept sums = {.study = x.study};
    ck_assert_int_eq(sw_tally_make(x.study, &x.loader, messages, &sums.tally), SW_OK);
    sw_compare_ask ask = {.step_s = 300, .take = sum_up, .context = &sums};
    int64_t done;
    ck_assert_int_eq(sw_compare(x.study, &x.loader, &ask, messages, &done), SW_OK);
    for (int k = 0; k < HANDS; k++) {
        const sw_choice_tally *c = &sums.tally->choice[k];
        int holds = 0, nights = 0, under = 0;
        double lowest[SKIES * STARTS];
        for (int i = 0; i < SKIES * STARTS; i++) {
            const sw_case *of = &all.of[i * HANDS + k];
            int good = of->own.verdict <= SW_TIGHT && (!of->has_poor || of->poor.verdict <= SW_TIGHT);
            int days = of->has_poor && of->poor.under_days > of->own.under_days ? of->poor.under_days
                                                                                : of->own.under_days;
            int out = of->own.verdict == SW_OUT || (of->has_poor && of->poor.verdict == SW_OUT);
            holds += good;
            nights += of->nights_held;
            under += days > 0 ? days : out;
            lowest[i] = of->has_poor ? fmin(of->own.lowest_soc, of->poor.lowest_soc) : of->own.lowest_soc;
        }
        ck_assert_int_eq(c->cases, SKIES * STARTS);
        ck_assert_double_eq_tol(sw_tally_share(c), (double)holds / (SKIES * STARTS), 1e-15);
        ck_assert_int_eq(c->nights_held, nights);
        ck_assert_double_eq_tol(sw_tally_under(c), (double)under / (SKIES * STARTS), 1e-15);
        // So many of the cases lie under the charge that half of them are said to lie under.
        double half = sw_tally_lowest(c, 0.5);
        int below = 0, not_above = 0;
        for (int i = 0; i < SKIES * STARTS; i++) {
            below += lowest[i] < half - 1e-5;
            not_above += lowest[i] < half + 0.001 + 1e-5;
        }
        ck_assert(below <= SKIES * STARTS / 2 && not_above > SKIES * STARTS / 2);
    }
    ck_assert_double_eq(sums.tally->cost[1].price, 900.0);
    ck_assert_double_eq(sums.tally->cost[4].mass_kg, 5.0);
    sw_tally_free(sums.tally);
    sw_messages_free(messages);
    close_study(&x);
}
END_TEST

/* Three choices by hand: the dear one is beaten, the one that does not fit is none. */
START_TEST(a_choice_that_another_one_beats_is_told_from_the_rest)
{
    sw_study study = {.choices = 5, .hookup_price = NAN};
    sw_choice_tally choice[5] = {{.cases = 10, .under_days = 20, .nights_held = 30},
                                 {.cases = 10, .under_days = 4, .nights_held = 50},
                                 {.cases = 10, .under_days = 4, .nights_held = 50},
                                 {.cases = 10, .under_days = 0, .nights_held = 70},
                                 {.cases = 10, .under_days = 0, .nights_held = 70}};
    sw_choice_cost cost[5] = {{.price = 0},
                              {.price = 100, .mass_kg = 5},
                              {.price = 150, .mass_kg = 5},
                              {.price = 90, .mass_kg = 3, .over = SW_OVER_ROOF},
                              {.price = 400, .mass_kg = 1}};
    for (int k = 0; k < 5; k++)
        cost[k].price_known = cost[k].mass_known = 1;
    sw_tally tally = {.study = &study, .choice = choice, .cost = cost};
    static const int best[5] = {1, 1, 0, 0, 1};
    for (int k = 0; k < 5; k++)
        ck_assert_int_eq(sw_tally_is_best(&tally, k), best[k]);
    ck_assert_double_eq(sw_tally_gain(&tally, 1), 2.0);
    cost[4].price_known = 0;
    ck_assert_int_eq(sw_tally_is_best(&tally, 4), 0);
    cost[4].price_known = 1;
    cost[4].mass_known = 0;
    ck_assert_int_eq(sw_tally_is_best(&tally, 4), 0);
}
END_TEST

// ---- nights ----

/* The small trip leaves on Friday noon and ends on Sunday at 10:00; with a weary battery it fails in the
   second night. */
START_TEST(nights_are_those_before_the_first_failure)
{
    static kept all;
    opened x;
    open_study("", &x);
    compare(&x, 0, &all);
    for (int i = 0; i < all.count; i++) {
        const sw_case *c = &all.of[i];
        const sw_outcome *o = c->has_poor ? &c->poor : &c->own;
        int64_t fails = INT64_MAX;
        if (o->under_at_s != INT64_MIN)
            fails = o->under_at_s;
        if (o->out_at_s != INT64_MIN && o->out_at_s < fails)
            fails = o->out_at_s;
        int64_t noon_s = 1794078000, end_s = noon_s + 22 * 3600; // Saturday noon, 19:00 UTC; Sunday 10:00
        int held = (fails >= noon_s) + (fails >= end_s);
        sw_expect(c->nights_held == held, "%d nights, not %d", c->nights_held, held);
    }
    close_study(&x);
}
END_TEST

Suite *sw_suite(void)
{
    const TTest *const tests[] = {each_case_is_the_rehearsal_of_files_changed_by_hand,
                                  whole_vans_are_compared_on_a_trip,
                                  a_month_is_the_trip_on_other_dates,
                                  a_sky_goes_along_with_a_trip_that_moves,
                                  threads_and_beginnings_give_the_same_bits,
                                  a_large_block_is_shared_out,
                                  work_ends_where_it_is_stopped_or_refused,
                                  sums_are_those_of_the_cases,
                                  a_choice_that_another_one_beats_is_told_from_the_rest,
                                  nights_are_those_before_the_first_failure,
                                  NULL};
    return sw_suite_of("compare", tests, 300);
}
