// The march compiled for wide vectors gives the bits of the one that is compiled plainly.
#include "stillwatt/march.h"
#include "support/checks.h"
#include "support/random_case.h"

#include <stdint.h>
#include <stdio.h>

static void take_bits(void *context, int32_t step, const sw_tile_flow *flow)
{
    uint64_t *hash = context;
    const uint64_t *word = (const void *)flow;
    (void)step;
    for (size_t i = 0; i < sizeof *flow / sizeof *word; i++)
        *hash = (*hash ^ word[i]) * UINT64_C(1099511628211);
}

// As src/core/march_step.h has it, which names a type `step`.
sw_status sw_march_steps(const sw_forcing *forcing, const sw_tile_plan *plan, sw_tile_state *state,
                         sw_march_sink *sink, void *context);

typedef sw_status marcher(const sw_forcing *forcing, const sw_tile_plan *plan, sw_tile_state *state,
                          sw_march_sink *sink, void *context);

static uint64_t bits_of(marcher *march, unsigned long seed)
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
    unsigned long first = sw_random_seed(), cases = sw_random_cases(100);
    uint64_t before = 0;
    for (unsigned long seed = first; seed < first + cases; seed++) {
        uint64_t plain = bits_of(sw_march_steps, seed), chosen = bits_of(sw_march, seed);
        ck_assert_msg(plain == chosen, "seed %lu", seed);
        ck_assert(plain != before); // another seed is another case
        before = plain;
    }
}
END_TEST

Suite *sw_suite(void)
{
    const TTest *const tests[] = {every_width_gives_the_same_bits, NULL};
    return sw_suite_of("march, width", tests, 60);
}
