// The starter battery, hour by hour and by hand.
#include "stillwatt/rehearsal.h"
#include "support/checks.h"
#include "support/small_plan.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>

#define WITH(keys) "\"loads\": {", "\"starter\": {" keys "}, \"loads\": {"

static rehearsed with_starter(const char *from, const char *to, const char *trip)
{
    char *van = text_with(small_van, from, to);
    rehearsed x = rehearse_texts(van, trip, 300);
    free(van);
    return x;
}

/* 80 Ah at 90 %, 12 W of drain: 1 Ah an hour, and 3 % a month by itself. An hour at the hookup, two on the
   road that bring it e^(-2/1.5) near to full, then 43 h at camp. */
START_TEST(it_is_drained_parked_and_filled_on_the_road)
{
    rehearsed x =
        with_starter(WITH("\"capacity\": \"80 Ah\", \"charge\": \"90 %\", \"drain\": \"12 W\""), small_trip);
    const sw_starter_finding *f = &x.r->starter;
    double by_itself = sw_chemistry_of(SW_AGM)->self_discharge_month / 720.0;
    double q = 72.0;
    for (int step = 0; step < 12; step++)
        q -= (1.0 + q * by_itself) / 12.0;
    q = 80.0 - (80.0 - q) * exp(-2.0 / sw_chemistry_of(SW_AGM)->acceptance_h);
    for (int step = 0; step < 43 * 12; step++)
        q -= (1.0 + q * by_itself) / 12.0;
    ck_assert_int_eq(f->has, 1);
    ck_assert_int_eq(f->starts, 1);
    ck_assert_double_eq_tol(f->end, q / 80.0, 1e-9);
    ck_assert_double_eq_tol(f->lowest, q / 80.0, 1e-9);
    ck_assert_int_eq(f->fails_at_s == INT64_MIN, 1);
    ck_assert_int_eq(f->starts_at_end, 0); // 44 % is under the half that it needs
    forget_rehearsed(&x);
}
END_TEST

/* The fan's 10 Ah a day of the house's, put in at 13.5 V and 85 %. */
START_TEST(a_load_keeps_it_filled_from_the_house)
{
    rehearsed alone = with_starter("\"loads\": {",
                                   "\"starter\": {\"capacity\": \"80 Ah\", \"charge\": \"60 %\", "
                                   "\"drain\": \"12 W\"}, \"loads\": {",
                                   small_trip);
    rehearsed kept = with_starter("\"loads\": {",
                                  "\"starter\": {\"capacity\": \"80 Ah\", \"charge\": \"60 %\", "
                                  "\"drain\": \"12 W\", \"kept_by\": \"fan\"}, \"loads\": {",
                                  small_trip);
    double put_in_ah = 0.0;
    for (int h = 3; h < kept.r->hours; h++) // after the drive
        put_in_ah += kept.r->hour[h].served_wh[3] * 0.85 / 13.5;
    ck_assert_double_gt(put_in_ah, 10.0);
    ck_assert_double_eq_tol(kept.r->starter.end - alone.r->starter.end, put_in_ah / 80.0, 0.003);
    forget_rehearsed(&alone);
    forget_rehearsed(&kept);
}
END_TEST

/* 60 % of charge less what the air of the first start locks, and a point more or less than the engine needs.
 */
START_TEST(cold_locks_what_the_engine_needs)
{
    rehearsed plain = rehearse_texts(small_van, small_trip, 300);
    double air_c = plain.r->course->forcing[0].air_c[12]; // the drive begins at 13:00
    double locked = 1.0 - sw_curve_at(&sw_chemistry_of(SW_AGM)->capacity_share, air_c);
    ck_assert_double_gt(locked, 0.03);
    forget_rehearsed(&plain);
    for (int fails = 0; fails < 2; fails++) {
        char van[200];
        snprintf(
            van, sizeof van,
            "\"starter\": {\"charge\": \"60 %%\", \"drain\": \"0 W\", \"needs\": \"%.2f %%\"}, \"loads\": {",
            60.0 - 100.0 * locked + (fails ? 1.0 : -1.0));
        rehearsed x = with_starter("\"loads\": {", van, small_trip);
        ck_assert_int_eq(x.r->starter.fails_at_s == x.r->hour[1].start_s, fails);
        if (fails)
            ck_assert_double_eq_tol(x.r->starter.fails_c, air_c, 1e-12);
        forget_rehearsed(&x);
    }
}
END_TEST

Suite *sw_suite(void)
{
    const TTest *const tests[] = {
        it_is_drained_parked_and_filled_on_the_road,
        a_load_keeps_it_filled_from_the_house,
        cold_locks_what_the_engine_needs,
        NULL,
    };
    return sw_suite_of("starter", tests, 60);
}
