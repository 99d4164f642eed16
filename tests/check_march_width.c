// The march compiled for wide vectors gives the bits of the one that is compiled plainly.
#include "core/march_width.h"
#include "support/checks.h"
#include "support/random_case.h"

#include <stdint.h>
#include <stdio.h>
#include <string.h>

static void take_bits(void *context, int32_t step, const sw_tile_flow *flow)
{
    uint64_t *hash = context;
    const uint64_t *word = (const void *)flow;
    (void)step;
    for (size_t i = 0; i < sizeof *flow / sizeof *word; i++)
        *hash = (*hash ^ word[i]) * UINT64_C(1099511628211);
}

static uint64_t bits_of(sw_marcher *march, unsigned long seed)
{
    sw_random_case c = sw_random_case_made(seed, 300);
    sw_tile_plan plan;
    sw_tile_state state;
    uint64_t hash = 0;
    for (int lane = 0; lane < SW_TILE; lane++) {
        sw_variant v = c.variant; // eight unlike vans
        v.rated_ah *= 0.5 + 0.3 * lane;
        v.start_soc = 0.1 + 0.12 * lane;
        sw_tile_set(&plan, &state, lane, &v, c.forcing.step_s);
    }
    ck_assert_int_eq(march(&c.forcing, &plan, &state, take_bits, &hash), SW_OK);
    sw_random_case_unmake(&c);
    return hash;
}

START_TEST(every_width_gives_the_same_bits)
{
    static const int widths[] = {256, 512};
    unsigned long first = sw_random_seed(), cases = sw_random_cases(100);
    for (size_t w = 0; w < sizeof widths / sizeof widths[0]; w++) {
        sw_marcher *wide = sw_march_of_width(widths[w]);
        printf("%d bits: %s\n", widths[w],
               wide != NULL ? "compared" : "not on this machine, or not in this build");
        uint64_t before = 0;
        for (unsigned long seed = first; wide != NULL && seed < first + cases; seed++) {
            uint64_t plain = bits_of(sw_march_of_width(0), seed);
            ck_assert_msg(plain == bits_of(wide, seed), "%d bits, seed %lu", widths[w], seed);
            ck_assert(plain != before); // another seed is another case
            before = plain;
        }
    }
}
END_TEST

/* What a lane comes to does not depend on the vans beside it, so that one van is a lane of eight. */
START_TEST(a_lane_does_not_see_its_neighbours)
{
    unsigned long first = sw_random_seed();
    for (unsigned long seed = first; seed < first + 40; seed++) {
        sw_random_case c = sw_random_case_made(seed, 300);
        sw_tile_plan plan[2];
        sw_tile_state state[2];
        for (int mixed = 0; mixed < 2; mixed++) {
            for (int lane = 0; lane < SW_TILE; lane++) {
                sw_variant v = c.variant;
                v.rated_ah *= mixed && lane != 3 ? 0.4 + 0.3 * lane : 1.0;
                v.start_soc *= mixed && lane != 3 ? 0.1 * lane : 1.0;
                sw_tile_set(&plan[mixed], &state[mixed], lane, &v, c.forcing.step_s);
            }
            ck_assert_int_eq(sw_march(&c.forcing, &plan[mixed], &state[mixed], NULL, NULL), SW_OK);
        }
        ck_assert_int_eq(memcmp(&state[0].charge_ah[3], &state[1].charge_ah[3], sizeof(double)), 0);
        ck_assert_int_eq(memcmp(&state[0].battery_c[3], &state[1].battery_c[3], sizeof(double)), 0);
        sw_random_case_unmake(&c);
    }
}
END_TEST

Suite *sw_suite(void)
{
    const TTest *const tests[] = {every_width_gives_the_same_bits, a_lane_does_not_see_its_neighbours, NULL};
    return sw_suite_of("march, width", tests, 60);
}
