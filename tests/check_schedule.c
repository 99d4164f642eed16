// What people switch on, when: windows, uses, measured loads and conditions, over changes of clock and zone,
// against a minute-by-minute second implementation and sums worked out by hand.
#include "support/checks.h"
#include "support/small_plan.h"

#include "stillwatt/civil.h"
#include "trip/schedule.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

static int64_t utc(int year, int month, int day, int hour, int minute)
{
    return sw_days_from_civil(year, month, day) * 86400 + hour * 3600 + minute * 60;
}

/// A trip's itinerary with the columns that a load is laid into.
typedef struct bench {
    sw_plan *plan;
    sw_itinerary *it;
    int32_t steps, step_s;
    uint8_t *flags;
    double *air_c, *cabin_c, *mean_w, *peak_w, *long_w;
} bench;

static void *zeroed(size_t count, size_t size)
{
    void *out = calloc(count + 1, size);
    ck_assert_ptr_nonnull(out);
    return out;
}

static bench bench_of(const char *legs, int32_t step_s)
{
    char *trip = trip_of_legs(legs);
    bench b = {.plan = plan_of_trip(small_van, trip), .step_s = step_s};
    free(trip);
    b.it = itinerary_of(b.plan);
    b.steps = (int32_t)((b.it->end_s - b.it->start_s) / step_s);
    b.flags = zeroed((size_t)b.steps, 1);
    double **columns[] = {&b.air_c, &b.cabin_c, &b.mean_w, &b.peak_w, &b.long_w};
    for (int i = 0; i < 5; i++)
        *columns[i] = zeroed((size_t)b.steps, sizeof(double));
    return b;
}

static void clear(bench *b)
{
    sw_itinerary_free(b->it);
    sw_plan_free(b->plan);
    free(b->flags);
    free(b->air_c);
    free(b->cabin_c);
    free(b->mean_w);
    free(b->peak_w);
    free(b->long_w);
}

static void lay(bench *b, const sw_load_spec *load)
{
    step_facts facts = {b->flags, b->air_c, b->cabin_c};
    memset(b->mean_w, 0, (size_t)b->steps * sizeof(double));
    memset(b->peak_w, 0, (size_t)b->steps * sizeof(double));
    memset(b->long_w, 0, (size_t)b->steps * sizeof(double));
    ck_assert_int_eq(
        sw_schedule_load(load, 12, b->it, &facts, b->steps, b->step_s, b->mean_w, b->peak_w, b->long_w),
        SW_OK);
}

static double energy_between(const bench *b, int64_t from_s, int64_t to_s)
{
    double sum = 0;
    for (int32_t i = 0; i < b->steps; i++) {
        int64_t start = b->it->start_s + (int64_t)i * b->step_s;
        if (start >= from_s && start < to_s)
            sum += b->mean_w[i] * b->step_s / 3600;
    }
    return sum;
}

static double energy(const bench *b)
{
    return energy_between(b, INT64_MIN, INT64_MAX);
}

static double energy_of_day(const bench *b, int day)
{
    return energy_between(b, b->it->day[day].start_s, b->it->day[day].end_s);
}

/* UTC at which a step with power first comes; 0 if none does. */
static int64_t first_on(const bench *b)
{
    for (int32_t i = 0; i < b->steps; i++)
        if (b->mean_w[i] > 0)
            return b->it->start_s + (int64_t)i * b->step_s;
    return 0;
}

static sw_load_spec load_of(int kind, double power_w)
{
    return (sw_load_spec){.kind = kind,
                          .count = 1,
                          .power_w = power_w,
                          .duty = 1,
                          .uses = NAN,
                          .each_s = NAN,
                          .per_day_wh = NAN,
                          .per_day_ah = NAN,
                          .weekdays = 127,
                          .outside_above_c = NAN,
                          .outside_below_c = NAN,
                          .cabin_above_c = NAN,
                          .cabin_below_c = NAN};
}

/* Sums of up to some thousand products of short decimals. */
#define SAME(a, b) ck_assert_double_eq_tol(a, b, 1e-8)

#define TEN_DAYS "{\"stay\": \"denver\", \"from\": \"2026-06-01 00:00\", \"to\": \"2026-06-11 00:00\"}"
#define SPRING   "{\"stay\": \"denver\", \"from\": \"2026-03-06 00:00\", \"to\": \"2026-03-11 00:00\"}"
#define AUTUMN   "{\"stay\": \"denver\", \"from\": \"2026-10-30 00:00\", \"to\": \"2026-11-04 00:00\"}"
enum { CHANGE = 2 }; // index of the day of 23 or 25 hours in both

/* ---- three hours and more ---- */

/* Sum over the steps of what a kettle of 900 W, used so, puts on a hookup for three hours and more, in W h.
 */
static double continuous_wh(const char *use, int32_t step_s)
{
    char *van = text_with(small_van, "\"each\": \"5 min\", \"at\": [\"07:10\", \"16:10\"]", use);
    char *trip =
        trip_of_legs("{\"stay\": \"denver\", \"from\": \"2026-06-01 00:00\", \"to\": \"2026-06-02 00:00\"}");
    sw_plan *plan = plan_of_trip(van, trip);
    sw_loader loader = sw_disk_loader(SW_SOURCE_DIR);
    sw_messages *messages = sw_messages_create();
    sw_course *course = NULL;
    double sum = 0;
    ck_assert_int_eq(sw_course_make(plan, &loader, step_s, messages, &course), SW_OK);
    for (int32_t i = 0; i < course->forcing[0].steps; i++)
        sum += course->forcing[0].steady_w[SW_WANT][i] * step_s / 3600;
    sw_course_free(course);
    sw_messages_free(messages);
    sw_plan_free(plan);
    free(trip);
    free(van);
    return sum;
}

START_TEST(short_uses_are_no_continuous_load_whatever_the_step)
{
    for (int32_t step_s = 300; step_s <= 3600; step_s *= 2 + (step_s == 600)) { // 300, 600, 1800, 3600
        SAME(continuous_wh("\"each\": \"5 min\", \"uses\": 24", step_s), 0);
        SAME(continuous_wh("\"each\": \"175 min\", \"at\": [\"07:10\"]", step_s), 0);
        // Two uses with a quarter of an hour between them are two, though both reach into an hour of the
        // clock.
        SAME(continuous_wh("\"each\": \"175 min\", \"at\": [\"07:10\", \"10:20\"]", step_s), 0);
        // Uses that overlap are one run, no longer than from its begin to its end.
        SAME(continuous_wh("\"each\": \"100 min\", \"at\": [\"07:10\", \"07:20\", \"08:00\"]", step_s), 0);
        ck_assert_double_ge(continuous_wh("\"each\": \"100 min\", \"at\": [\"07:10\", \"08:50\"]", step_s),
                            200 * 15 - 1e-6);
        // The step in which a run begins or ends counts whole: its power is there at one moment.
        ck_assert_double_ge(continuous_wh("\"each\": \"185 min\", \"at\": [\"07:10\"]", step_s),
                            185 * 15 - 1e-6);
    }
}
END_TEST

/* ---- windows ---- */

START_TEST(a_window_gives_its_power_in_its_hours_alone)
{
    bench b = bench_of(TEN_DAYS, 3600);
    sw_windows hours = {1, {17 * 60 + 30}, {22 * 60 + 30}};
    sw_load_spec load = load_of(SW_LOAD_STEADY, 12);
    load.hours = &hours;
    lay(&b, &load);
    for (int32_t i = 0; i < b.steps; i++) {
        int hour = i % 24;
        double share = hour == 17 || hour == 22 ? 0.5 : hour > 17 && hour < 22 ? 1 : 0;
        SAME(b.mean_w[i], 12 * share);
        SAME(b.peak_w[i], share > 0 ? 12 : 0);
    }
    clear(&b);
}
END_TEST

START_TEST(count_and_duty_multiply_the_mean_but_duty_not_the_peak)
{
    bench b = bench_of(TEN_DAYS, 3600);
    sw_load_spec load = load_of(SW_LOAD_STEADY, 12);
    load.count = 3;
    load.duty = 0.25;
    lay(&b, &load);
    for (int32_t i = 0; i < b.steps; i++) {
        SAME(b.mean_w[i], 9);
        SAME(b.peak_w[i], 36);
    }
    clear(&b);
}
END_TEST

START_TEST(a_window_over_midnight_also_holds_on_the_first_morning)
{
    bench b = bench_of("{\"stay\": \"denver\", \"from\": \"2026-06-01 02:00\", \"to\": \"2026-06-03 02:00\"}",
                       3600);
    sw_windows hours = {1, {22 * 60}, {30 * 60}};
    sw_load_spec load = load_of(SW_LOAD_STEADY, 10);
    load.hours = &hours;
    lay(&b, &load);
    SAME(energy(&b), 10 * (4 + 8 + 4)); // 02-06, 22-06, 22-02
    SAME(b.mean_w[3], 10);
    SAME(b.mean_w[4], 0);
    SAME(b.mean_w[19], 0);
    SAME(b.mean_w[20], 10);
    clear(&b);
}
END_TEST

START_TEST(a_window_over_midnight_belongs_to_the_weekday_it_begins_on)
{
    bench b = bench_of(TEN_DAYS, 3600); // Monday 1 June 2026 to Wednesday
    sw_windows hours = {1, {22 * 60}, {26 * 60}};
    sw_load_spec load = load_of(SW_LOAD_STEADY, 10);
    load.hours = &hours;
    load.weekdays = 1u << 6; // Saturday, the 6th
    lay(&b, &load);
    SAME(energy(&b), 40);
    ck_assert(first_on(&b) == utc(2026, 6, 7, 4, 0)); // 22:00, 6 h behind
    SAME(energy_between(&b, utc(2026, 6, 7, 6, 0), utc(2026, 6, 7, 8, 0)), 20);
    clear(&b);
}
END_TEST

/* Second implementation: look at the clock each minute. Edges lie outside the hours that change. */
static double minute_energy(const bench *b, const sw_windows *w, unsigned weekdays, double power_w)
{
    double sum = 0;
    for (int64_t t = b->it->start_s; t < b->it->end_s; t += 60) {
        int64_t local = t + sw_zone_offset_s(b->it->stop[b->it->span[0].stop].zone, t);
        int minute = (int)(local % 86400 / 60);
        int weekday = (int)((local / 86400 + 4) % 7); // 1 January 1970 was a Thursday
        for (int i = 0; i < w->count; i++) {
            int today = minute >= w->from_min[i] && minute < w->to_min[i] && (weekdays >> weekday & 1);
            int since_yesterday = minute + 1440 < w->to_min[i] && (weekdays >> (weekday + 6) % 7 & 1);
            sum += today || since_yesterday ? power_w / 60 : 0;
        }
    }
    return sum;
}

START_TEST(windows_match_a_look_at_the_clock_each_minute)
{
    static const sw_windows windows[] = {{1, {0}, {1440}},
                                         {2, {6 * 60 + 17, 18 * 60}, {9 * 60 + 1, 23 * 60 + 59}},
                                         {1, {20 * 60 + 5}, {1440 + 5 * 60 + 45}},
                                         {1, {0}, {4 * 60}},
                                         {3, {3 * 60, 4 * 60, 23 * 60}, {4 * 60, 8 * 60, 1440 + 30}}};
    static const char *const trips[] = {TEN_DAYS, SPRING, AUTUMN};
    static const unsigned weekdays[] = {127, 1u << 0 | 1u << 3, 1u << 6};
    for (int t = 0; t < 3; t++) {
        bench b = bench_of(trips[t], 900);
        for (size_t i = 0; i < sizeof windows / sizeof windows[0]; i++)
            for (int d = 0; d < 3; d++) {
                sw_load_spec load = load_of(SW_LOAD_STEADY, 7);
                load.hours = &windows[i];
                load.weekdays = weekdays[d];
                lay(&b, &load);
                SAME(energy(&b), minute_energy(&b, &windows[i], weekdays[d], 7));
            }
        clear(&b);
    }
}
END_TEST

START_TEST(the_inverters_hours_are_shares_of_steps)
{
    bench b = bench_of(TEN_DAYS, 3600);
    sw_windows hours = {2, {6 * 60 + 45, 22 * 60}, {8 * 60, 25 * 60}};
    sw_schedule_windows(&hours, b.it, b.steps, b.step_s, b.mean_w);
    SAME(b.mean_w[24 + 0], 1);
    SAME(b.mean_w[24 + 1], 0);
    SAME(b.mean_w[24 + 6], 0.25);
    SAME(b.mean_w[24 + 7], 1);
    SAME(b.mean_w[24 + 8], 0);
    SAME(b.mean_w[24 + 23], 1);
    memset(b.mean_w, 0, (size_t)b.steps * sizeof(double));
    sw_schedule_windows(NULL, b.it, b.steps, b.step_s, b.mean_w);
    for (int32_t i = 0; i < b.steps; i++)
        SAME(b.mean_w[i], 1);
    clear(&b);
}
END_TEST

/* ---- uses ---- */

static sw_load_spec use_of(double power_w, double uses, double each_s)
{
    sw_load_spec load = load_of(SW_LOAD_USE, power_w);
    load.uses = uses;
    load.each_s = each_s;
    return load;
}

START_TEST(uses_begin_at_their_times)
{
    bench b = bench_of(TEN_DAYS, 300);
    sw_times at = {2, {7 * 60 + 10, 16 * 60}};
    sw_load_spec load = use_of(900, 2, 6 * 60);
    load.at = &at;
    lay(&b, &load);
    for (int day = 0; day < 10; day++) {
        int32_t from = day * 288 + 7 * 12 + 2;
        SAME(energy_of_day(&b, day), 2 * 90);
        SAME(b.mean_w[from - 1], 0);
        SAME(b.mean_w[from], 900);
        SAME(b.mean_w[from + 1], 180); // the sixth minute
        SAME(b.peak_w[from + 1], 900);
        SAME(b.mean_w[day * 288 + 16 * 12], 900);
    }
    clear(&b);
}
END_TEST

/* Four uses over eight hours: each in the middle of its two. */
START_TEST(uses_without_times_are_spread_over_their_hours)
{
    bench b = bench_of(TEN_DAYS, 600);
    sw_windows hours = {2, {8 * 60, 14 * 60}, {12 * 60, 18 * 60}};
    sw_load_spec load = use_of(100, 4, 1200);
    load.hours = &hours;
    lay(&b, &load);
    static const int middle_h[] = {9, 11, 15, 17};
    for (int i = 0; i < 4; i++) {
        SAME(b.mean_w[middle_h[i] * 6 - 2], 0);
        SAME(b.mean_w[middle_h[i] * 6 - 1], 100);
        SAME(b.mean_w[middle_h[i] * 6], 100);
        SAME(b.mean_w[middle_h[i] * 6 + 1], 0);
    }
    SAME(energy(&b), 10 * 4 * 100 / 3.0);
    clear(&b);
}
END_TEST

START_TEST(fractional_uses_come_to_their_sum_wherever_the_trip_is_cut)
{
    static const double uses[] = {0.5, 1.0 / 7, 1.5, 2.3, 40};
    bench whole = bench_of(
        "{\"stay\": \"denver\", \"from\": \"2026-05-01 00:00\", \"to\": \"2026-07-10 00:00\"}", 3600);
    bench cut = bench_of(
        "{\"stay\": \"denver\", \"from\": \"2026-05-22 00:00\", \"to\": \"2026-07-10 00:00\"}", 3600);
    ck_assert_int_eq(whole.it->days, 70);
    for (int i = 0; i < 5; i++) {
        sw_load_spec load = use_of(360, uses[i], 10);
        lay(&whole, &load);
        // 1 Wh a use; a whole number of uses, at most one off the sum.
        double sum = energy(&whole);
        SAME(sum, round(sum));
        ck_assert_double_le(fabs(sum - 70 * uses[i]), 1);
        for (int day = 0; day < 70; day++) {
            double count = energy_of_day(&whole, day);
            ck_assert(fabs(count - uses[i]) < 1);
        }
        lay(&cut, &load);
        SAME(energy_between(&whole, cut.it->start_s, cut.it->end_s), energy(&cut));
    }
    clear(&whole);
    clear(&cut);
}
END_TEST

/* 19300 days after 1970-01-01 is 2022-11-04, and 19300 times 0.41 is 7913: the 7913th use falls on the day
   before, although the product of the doubles is below 7913. */
START_TEST(a_sum_of_fractions_that_is_whole_counts_as_whole)
{
    sw_load_spec load = use_of(360, 0.41, 10);
    bench b = bench_of("{\"stay\": \"denver\", \"from\": \"2022-11-03 00:00\", \"to\": \"2022-11-05 00:00\"}",
                       3600);
    ck_assert_double_lt(0.41 * 19300, 7913);
    lay(&b, &load);
    SAME(energy_of_day(&b, 0), 1);
    SAME(energy_of_day(&b, 1), 0);
    clear(&b);
}
END_TEST

START_TEST(a_use_in_a_skipped_hour_runs_once_when_the_clock_goes_on)
{
    bench b = bench_of(SPRING, 300);
    sw_times at = {1, {2 * 60 + 30}};
    sw_load_spec load = use_of(600, 1, 600);
    load.at = &at;
    lay(&b, &load);
    for (int day = 0; day < 5; day++)
        SAME(energy_of_day(&b, day), 100);
    SAME(b.mean_w[CHANGE * 288 + 2 * 12 - 1], 0); // 01:55, then 03:00
    SAME(b.mean_w[CHANGE * 288 + 2 * 12], 600);
    clear(&b);
}
END_TEST

START_TEST(a_use_in_a_doubled_hour_runs_once_the_first_time)
{
    bench b = bench_of(AUTUMN, 300);
    sw_times at = {1, {60 + 30}};
    sw_load_spec load = use_of(600, 1, 600);
    load.at = &at;
    lay(&b, &load);
    for (int day = 0; day < 5; day++)
        SAME(energy_of_day(&b, day), 100);
    SAME(b.mean_w[CHANGE * 288 + 18], 600);
    SAME(b.mean_w[CHANGE * 288 + 18 + 12], 0);
    clear(&b);
}
END_TEST

#define EASTWARD                                                                                             \
    "{\"drive\": [\"chicago\", \"new york\"], \"from\": \"2026-11-06 18:00\", \"to\": \"2026-11-07 "         \
    "08:30\"},"                                                                                              \
    "{\"stay\": \"new york\", \"to\": \"2026-11-08 00:00\"}"
#define WESTWARD                                                                                             \
    "{\"drive\": [\"new york\", \"chicago\"], \"from\": \"2026-11-06 18:00\", \"to\": \"2026-11-07 "         \
    "06:30\"},"                                                                                              \
    "{\"stay\": \"chicago\", \"to\": \"2026-11-08 00:00\"}"

/* On arrival it is 07:30 on the old clock and 08:30 on the new: 08:00 never comes. */
START_TEST(a_use_that_a_change_of_zone_jumps_over_runs_on_arrival_once)
{
    bench b = bench_of(EASTWARD, 300);
    sw_times at = {3, {7 * 60, 8 * 60, 9 * 60}};
    sw_load_spec load = use_of(600, 3, 600);
    load.at = &at;
    lay(&b, &load);
    SAME(energy(&b), 300);
    SAME(energy_between(&b, utc(2026, 11, 7, 13, 0), utc(2026, 11, 7, 13, 10)), 100); // 07:00 in Chicago
    SAME(energy_between(&b, utc(2026, 11, 7, 13, 30), utc(2026, 11, 7, 13, 40)), 100);
    SAME(energy_between(&b, utc(2026, 11, 7, 14, 0), utc(2026, 11, 7, 14, 10)), 100); // 09:00 in New York
    clear(&b);
}
END_TEST

/* On arrival it is 07:30 on the old clock and 06:30 on the new: 07:00 comes twice. */
START_TEST(a_use_whose_time_comes_again_after_a_change_of_zone_runs_once)
{
    bench b = bench_of(WESTWARD, 300);
    sw_times at = {3, {6 * 60, 7 * 60, 8 * 60}};
    sw_load_spec load = use_of(600, 3, 600);
    load.at = &at;
    lay(&b, &load);
    SAME(energy(&b), 300);
    SAME(energy_between(&b, utc(2026, 11, 7, 12, 0), utc(2026, 11, 7, 12, 10)), 100); // 07:00 in New York
    SAME(energy_between(&b, utc(2026, 11, 7, 13, 0), utc(2026, 11, 7, 13, 10)), 0);   // 07:00 in Chicago
    clear(&b);
}
END_TEST

START_TEST(spread_uses_run_once_each_over_a_change_of_zone)
{
    static const char *const trips[] = {EASTWARD, WESTWARD};
    for (int t = 0; t < 2; t++) {
        bench b = bench_of(trips[t], 300);
        sw_windows hours = {1, {6 * 60}, {10 * 60}};
        for (int uses = 1; uses <= 48; uses += 47) {
            sw_load_spec load = use_of(360, uses, 120);
            load.hours = &hours;
            lay(&b, &load);
            SAME(energy(&b), 12 * uses); // of the 7th; on the 6th the trip begins later
        }
        clear(&b);
    }
}
END_TEST

START_TEST(a_use_at_the_end_of_the_trip_is_cut)
{
    bench b =
        bench_of("{\"stay\": \"denver\", \"from\": \"2026-06-01 00:00\", \"to\": \"2026-06-01 07:30\"}", 300);
    sw_times at = {1, {7 * 60}};
    sw_load_spec load = use_of(100, 1, 7200);
    load.at = &at;
    lay(&b, &load);
    SAME(energy(&b), 50);
    clear(&b);
}
END_TEST

/* ---- measured ---- */

START_TEST(a_measured_day_has_the_same_energy_on_23_24_and_25_hours)
{
    static const char *const trips[] = {SPRING, AUTUMN};
    static const sw_windows small_hours = {1, {0}, {4 * 60}};
    for (int t = 0; t < 2; t++) {
        bench b = bench_of(trips[t], 300);
        sw_load_spec load = load_of(SW_LOAD_MEASURED, NAN);
        load.per_day_wh = 230;
        for (int w = 0; w < 2; w++) {
            load.hours = w == 0 ? NULL : &small_hours;
            lay(&b, &load);
            for (int day = 0; day < 5; day++)
                SAME(energy_of_day(&b, day), 230);
            SAME(b.peak_w[CHANGE * 288], b.mean_w[CHANGE * 288]);
        }
        clear(&b);
    }
}
END_TEST

START_TEST(measured_charge_counts_at_the_nominal_voltage)
{
    bench b = bench_of(TEN_DAYS, 3600);
    sw_load_spec load = load_of(SW_LOAD_MEASURED, NAN);
    load.per_day_ah = 10;
    load.count = 2;
    load.weekdays = 1u << 1; // Mondays, the 1st and the 8th
    lay(&b, &load);
    SAME(energy(&b), 2 * 2 * 10 * 12);
    clear(&b);
}
END_TEST

/* ---- conditions ---- */

static int wants(unsigned when, uint8_t flags)
{
    int driving = (flags & SW_STEP_DRIVING) != 0, shore = (flags & SW_STEP_SHORE) != 0;
    int dark = (flags & SW_STEP_DARK) != 0;
    return !((when & SW_WHEN_PARKED) && driving) && !((when & SW_WHEN_DRIVING) && !driving) &&
           !((when & SW_WHEN_SHORE) && !shore) && !((when & SW_WHEN_OFF_GRID) && shore) &&
           !((when & SW_WHEN_DARK) && !dark) && !((when & SW_WHEN_LIGHT) && dark);
}

START_TEST(a_load_runs_where_all_its_conditions_are_met)
{
    bench b = bench_of(TEN_DAYS, 3600);
    for (int32_t i = 0; i < b.steps; i++)
        b.flags[i] = (uint8_t)(i % 16);
    for (unsigned when = 0; when < 64; when++) {
        sw_load_spec load = load_of(SW_LOAD_STEADY, 5);
        load.when = when;
        lay(&b, &load);
        for (int32_t i = 0; i < b.steps; i++) {
            SAME(b.mean_w[i], wants(when, b.flags[i]) ? 5 : 0);
            SAME(b.peak_w[i], b.mean_w[i]);
        }
    }
    clear(&b);
}
END_TEST

START_TEST(temperatures_switch_a_load)
{
    bench b = bench_of(TEN_DAYS, 3600);
    double *columns[] = {b.air_c, b.cabin_c};
    for (int c = 0; c < 2; c++) {
        sw_load_spec above = load_of(SW_LOAD_STEADY, 5), below = above;
        *(c == 0 ? &above.outside_above_c : &above.cabin_above_c) = 10;
        *(c == 0 ? &below.outside_below_c : &below.cabin_below_c) = 10;
        for (int32_t i = 0; i < b.steps; i++)
            columns[c][i] = i % 21;
        lay(&b, &above);
        for (int32_t i = 0; i < b.steps; i++)
            SAME(b.mean_w[i], i % 21 > 10 ? 5 : 0);
        lay(&b, &below);
        for (int32_t i = 0; i < b.steps; i++)
            SAME(b.mean_w[i], i % 21 < 10 ? 5 : 0);
        memset(columns[c], 0, (size_t)b.steps * sizeof(double));
    }
    clear(&b);
}
END_TEST

/* ---- steps ---- */

START_TEST(energy_does_not_depend_on_the_step)
{
    static const int32_t steps_s[] = {60, 120, 300, 600, 900, 1800, 3600};
    static const char *const trips[] = {
        TEN_DAYS, SPRING, AUTUMN,
        "{\"stay\": \"denver\", \"from\": \"2026-06-01 05:00\", \"to\": \"2026-06-02 17:00\"}"};
    sw_windows hours = {2, {6 * 60 + 17, 21 * 60 + 3}, {9 * 60 + 41, 1440 + 62}};
    sw_load_spec load[3] = {load_of(SW_LOAD_STEADY, 13), use_of(910, 2.6, 257),
                            load_of(SW_LOAD_MEASURED, NAN)};
    load[2].per_day_wh = 171;
    for (int t = 0; t < 4; t++)
        for (int k = 0; k < 3; k++) {
            double wanted = 0, peak = 0;
            load[k].hours = &hours;
            for (int i = 0; i < 7; i++) {
                bench b = bench_of(trips[t], steps_s[i]);
                double greatest = 0;
                lay(&b, &load[k]);
                for (int32_t step = 0; step < b.steps; step++)
                    greatest = fmax(greatest, b.peak_w[step]);
                wanted = i == 0 ? energy(&b) : wanted;
                peak = i == 0 ? greatest : peak;
                ck_assert_double_gt(wanted, 0);
                SAME(energy(&b), wanted);
                SAME(greatest, peak);
                clear(&b);
            }
        }
}
END_TEST

START_TEST(a_fridge_is_not_laid_it_follows_the_cabin)
{
    bench b = bench_of(TEN_DAYS, 3600);
    sw_load_spec load = load_of(SW_LOAD_FRIDGE, 45);
    lay(&b, &load);
    SAME(energy(&b), 0);
    clear(&b);
}
END_TEST

Suite *sw_suite(void)
{
    const TTest *const tests[] = {short_uses_are_no_continuous_load_whatever_the_step,
                                  a_window_gives_its_power_in_its_hours_alone,
                                  count_and_duty_multiply_the_mean_but_duty_not_the_peak,
                                  a_window_over_midnight_also_holds_on_the_first_morning,
                                  a_window_over_midnight_belongs_to_the_weekday_it_begins_on,
                                  windows_match_a_look_at_the_clock_each_minute,
                                  the_inverters_hours_are_shares_of_steps,
                                  uses_begin_at_their_times,
                                  uses_without_times_are_spread_over_their_hours,
                                  fractional_uses_come_to_their_sum_wherever_the_trip_is_cut,
                                  a_sum_of_fractions_that_is_whole_counts_as_whole,
                                  a_use_in_a_skipped_hour_runs_once_when_the_clock_goes_on,
                                  a_use_in_a_doubled_hour_runs_once_the_first_time,
                                  a_use_that_a_change_of_zone_jumps_over_runs_on_arrival_once,
                                  a_use_whose_time_comes_again_after_a_change_of_zone_runs_once,
                                  spread_uses_run_once_each_over_a_change_of_zone,
                                  a_use_at_the_end_of_the_trip_is_cut,
                                  a_measured_day_has_the_same_energy_on_23_24_and_25_hours,
                                  measured_charge_counts_at_the_nominal_voltage,
                                  a_load_runs_where_all_its_conditions_are_met,
                                  temperatures_switch_a_load,
                                  energy_does_not_depend_on_the_step,
                                  a_fridge_is_not_laid_it_follows_the_cabin,
                                  NULL};
    return sw_suite_of("schedule", tests, 20);
}
