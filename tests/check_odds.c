// The chance that a trip holds: the interval against its own equation and the binomial distribution, skies
// against their rehearsals, and a sky of two states whose chance is known.
#include "stillwatt/odds.h"
#include "support/checks.h"
#include "support/invented_epw.h"
#include "support/memory_loader.h"
#include "support/program.h"
#include "support/small_plan.h"

#include <gsl/gsl_cdf.h>
#include <gsl/gsl_randist.h>
#include <gsl/gsl_rng.h>
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#define SKY "\"sky\": {\"kind\": \"average\"}"

// ---- the interval ----

/* Its ends are the two chances from which the share is as far as 1.96 of their own deviations [wilson-1927].
 */
START_TEST(the_ends_of_the_interval_solve_its_equation)
{
    double z = gsl_cdf_ugaussian_Pinv(0.975);
    for (int of = 1; of < 400; of = of * 3 + 1)
        for (int count = 0; count <= of; count += 1 + of / 7) {
            sw_share s = sw_share_of(count, of);
            double end[] = {s.low, s.high};
            for (int i = 0; i < 2; i++)
                ck_assert_double_eq_tol(of * pow(s.share - end[i], 2), z * z * end[i] * (1.0 - end[i]), 1e-9);
            ck_assert(s.low <= s.share && s.share <= s.high);
        }
}
END_TEST

START_TEST(it_holds_the_chance_about_95_times_in_100)
{
    static const double chances[] = {0.1, 0.3, 0.5, 0.8};
    for (int i = 0; i < 4; i++) {
        double covered = 0.0;
        for (int count = 0; count <= 80; count++) {
            sw_share s = sw_share_of(count, 80);
            if (s.low <= chances[i] && chances[i] <= s.high)
                covered += gsl_ran_binomial_pdf((unsigned)count, chances[i], 80);
        }
        ck_assert_msg(covered > 0.93 && covered < 0.975, "%.3f of a chance of %.1f", covered, chances[i]);
    }
}
END_TEST

// ---- drawn skies ----

typedef struct asked {
    sw_plan *plan;
    sw_odds *odds;
} asked;

static sw_status try_odds(const sw_plan *plan, const memory_file *file, const sw_odds_ask *ask,
                          sw_messages *messages, sw_odds **out)
{
    memory_files files = {.file = file};
    sw_loader loader = memory_loader(&files);
    return sw_find_odds(plan, &loader, 300, ask, messages, out);
}

static asked odds_of(const char *van, const char *trip, const memory_file *file, sw_odds_ask ask)
{
    static const memory_file none[] = {{NULL, NULL}};
    asked out = {plan_of_trip(van, trip), NULL};
    sw_messages *messages = sw_messages_create();
    sw_status status = try_odds(out.plan, file != NULL ? file : none, &ask, messages, &out.odds);
    print_messages(messages);
    ck_assert_int_eq(status, SW_OK);
    sw_messages_free(messages);
    return out;
}

static void forget(asked *x)
{
    sw_odds_free(x->odds);
    sw_plan_free(x->plan);
}

/* A van that holds under some skies and not under others. */
static char *wavering(void)
{
    return text_with(small_van, "\"charge_per_day\": \"10 Ah\"", "\"charge_per_day\": \"80 Ah\"");
}

START_TEST(each_draw_is_the_rehearsal_of_its_sky)
{
    char *van = wavering();
    asked x = odds_of(van, small_trip, NULL, (sw_odds_ask){.width = 0.25});
    ck_assert_int_eq(x.odds->holds.of, x.odds->draws);
    ck_assert(x.odds->holds.count > 0 && x.odds->holds.count < x.odds->draws);
    for (int draw = 1; draw < 60; draw += 13) {
        char sky[60];
        snprintf(sky, sizeof sky, "\"sky\": {\"kind\": \"chance\", \"draw\": %d}", draw);
        char *trip = text_with(small_trip, SKY, sky);
        rehearsed hand = rehearse_texts(van, trip, 300);
        const sw_outcome *mine = &x.odds->draw[draw - 1], *theirs = &hand.r->outcome;
        ck_assert(mine->lowest_soc == theirs->lowest_soc && mine->end_soc == theirs->end_soc);
        ck_assert(mine->verdict == theirs->verdict && mine->unserved_wh == theirs->unserved_wh);
        forget_rehearsed(&hand);
        free(trip);
    }
    forget(&x);
    free(van);
}
END_TEST

START_TEST(as_many_are_drawn_as_the_width_asks_for)
{
    char *van = wavering();
    asked wide = odds_of(van, small_trip, NULL, (sw_odds_ask){.width = 0.25});
    asked narrow = odds_of(van, small_trip, NULL, (sw_odds_ask){.width = 0.12});
    asked other = odds_of(van, small_trip, NULL, (sw_odds_ask){.width = 0.25, .seed = 7});
    ck_assert_double_le(wide.odds->holds.high - wide.odds->holds.low, 0.25);
    ck_assert_double_le(narrow.odds->holds.high - narrow.odds->holds.low, 0.12);
    ck_assert_int_gt(narrow.odds->draws, 2 * wide.odds->draws);
    // The first skies are the same ones, and those of another seed are others.
    ck_assert(narrow.odds->draw[9].lowest_soc == wide.odds->draw[9].lowest_soc);
    ck_assert(other.odds->draw[9].lowest_soc != wide.odds->draw[9].lowest_soc);
    ck_assert(narrow.odds->lowest_soc[0] <= narrow.odds->lowest_soc[1] &&
              narrow.odds->lowest_soc[1] <= narrow.odds->lowest_soc[2]);
    int below = 0;
    for (int i = 0; i < narrow.odds->draws; i++)
        below += narrow.odds->draw[i].lowest_soc < narrow.odds->lowest_soc[1];
    ck_assert_int_le(abs(2 * below - narrow.odds->draws), 2);
    forget(&wide);
    forget(&narrow);
    forget(&other);
    free(van);
}
END_TEST

/* The month of the trip itself is its own first hundred skies; a summer has more light than a winter. */
START_TEST(the_calendar_moves_the_trip_through_the_year)
{
    char *van = wavering();
    asked x = odds_of(van, small_trip, NULL, (sw_odds_ask){.width = 0.12, .months = 1});
    int holds = 0;
    ck_assert_int_gt(x.odds->draws, 100);
    for (int i = 0; i < 100; i++)
        holds += sw_is_enough(&x.odds->draw[i]);
    ck_assert_int_eq(x.odds->months, 12);
    ck_assert_int_eq(x.odds->month[10].of, 100);
    ck_assert_int_eq(x.odds->month[10].count, holds);
    ck_assert_int_gt(x.odds->month[5].count, x.odds->month[11].count);
    forget(&x);
    free(van);
}
END_TEST

/* All days told: what is said of all others is left to chance, so that one told day is not the answer. */
START_TEST(told_days_stay_and_the_others_are_drawn)
{
    char *van = wavering();
    static const char *const skies[] = {
        "\"sky\": {\"kind\": \"told\", \"otherwise\": \"clear\"}",
        "\"sky\": {\"kind\": \"told\", \"otherwise\": \"clear\", \"days\": {\"2026-11-06\": \"overcast\", "
        "\"2026-11-07\": \"overcast\", \"2026-11-08\": \"overcast\"}}"};
    for (int all = 0; all < 2; all++) {
        char *trip = text_with(small_trip, SKY, skies[all]);
        asked x = odds_of(van, trip, NULL, (sw_odds_ask){.width = 0.25});
        int alike = x.odds->draw[0].lowest_soc == x.odds->draw[1].lowest_soc;
        ck_assert_int_eq(alike, all);
        forget(&x);
        free(trip);
    }
    free(van);
}
END_TEST

// ---- years ----

#define YEARS 60

/* Three days of November a year; the middle one is bright in some years, else as dark as the others. */
static void write_years(gsl_rng *rng, double chance, int *bright, invented_text *t)
{
    invented_add(t, "# stillwatt weather 1\n# place: Two skies\n# latitude: 38.5\n# longitude: -109.6\n"
                    "# elevation: 1500 m\nbegin,ghi [W/m2],air [C]\n");
    for (int year = 1960; year < 1960 + YEARS; year++) {
        int is_bright = gsl_rng_uniform(rng) < chance;
        *bright += is_bright;
        for (int day = 5; day < 10; day++)
            for (int hour = 0; hour < 24; hour++)
                invented_add(t, "%04d-11-%02dT%02d:00-07:00,%d,8\n", year, day, hour,
                             hour < 8 || hour > 15   ? 0
                             : day == 7 && is_bright ? 450
                                                     : 20);
    }
}

/* The share is the binomial one: 20 seeds of 60 years with a known chance, and by hand the years that were
   bright. At least 16 intervals hold the chance (all 20 would fail by chance). */
START_TEST(a_sky_of_two_states_gives_its_chance)
{
    gsl_rng *rng = gsl_rng_alloc(gsl_rng_mt19937);
    char *van = text_with(small_van, "\"charge_per_day\": \"10 Ah\"", "\"charge_per_day\": \"80 Ah\"");
    char *trip = text_with(small_trip, SKY, "\"sky\": {\"kind\": \"hourly\", \"file\": \"years.csv\"}");
    int held = 0;
    for (unsigned long seed = 1; seed <= 20; seed++) {
        invented_text years = {0};
        int bright = 0;
        double chance = 0.2 + 0.03 * (double)seed;
        gsl_rng_set(rng, seed);
        write_years(rng, chance, &bright, &years);
        const memory_file file[] = {{"years.csv", years.text}, {NULL, NULL}};
        asked x = odds_of(van, trip, file, (sw_odds_ask){.width = 0.1});
        ck_assert_int_eq(x.odds->by_years, 1);
        ck_assert_int_eq(x.odds->draws, YEARS);
        ck_assert_int_eq(x.odds->holds.count, bright);
        held += x.odds->holds.low <= chance && chance <= x.odds->holds.high;
        forget(&x);
        free(years.text);
    }
    ck_assert_int_ge(held, 16);
    free(trip);
    free(van);
    gsl_rng_free(rng);
}
END_TEST

// ---- threads ----

START_TEST(the_answer_does_not_depend_on_the_number_of_threads)
{
    char *folder = program_folder(), *van = wavering();
    program_write(folder, "van.json", van);
    program_write(folder, "trip.json", small_trip);
    program_run one =
        program_do(folder, "OMP_NUM_THREADS=1 stillwatt odds trip.json --json --width 20% --months");
    for (int threads = 2; threads < 4; threads++) {
        char line[200];
        snprintf(line, sizeof line,
                 "OMP_NUM_THREADS=%d stillwatt odds trip.json --json --width 20%% --months", threads);
        program_run more = program_do(folder, line);
        ck_assert_int_eq(more.exit_status, 0);
        ck_assert_str_eq(more.out, one.out);
        program_forget(&more);
    }
    ck_assert_ptr_nonnull(strstr(one.out, "\"months\""));
    program_forget(&one);
    program_remove(folder);
    free(van);
}
END_TEST

Suite *sw_suite(void)
{
    const TTest *const tests[] = {
        the_ends_of_the_interval_solve_its_equation,
        it_holds_the_chance_about_95_times_in_100,
        each_draw_is_the_rehearsal_of_its_sky,
        as_many_are_drawn_as_the_width_asks_for,
        the_calendar_moves_the_trip_through_the_year,
        told_days_stay_and_the_others_are_drawn,
        a_sky_of_two_states_gives_its_chance,
        the_answer_does_not_depend_on_the_number_of_threads,
        NULL,
    };
    return sw_suite_of("odds", tests, 300);
}
