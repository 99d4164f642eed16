// Which of the compiled marches this processor runs. They give the same bits: only + - * / sqrt, compare and
// select, each of them rounded alike whatever the width.
#include "core/march_step.h"

#ifdef SW_HAS_AVX2
sw_status sw_march_steps_avx2(const sw_forcing *forcing, const sw_tile_plan *plan, sw_tile_state *state,
                              sw_march_sink *sink, void *context);

static int is_wide(void)
{
    return __builtin_cpu_supports("avx2") != 0;
}
#else
#define sw_march_steps_avx2 sw_march_steps

static int is_wide(void)
{
    return 0;
}
#endif

sw_status sw_march(const sw_forcing *forcing, const sw_tile_plan *plan, sw_tile_state *state,
                   sw_march_sink *sink, void *context)
{
    return is_wide() ? sw_march_steps_avx2(forcing, plan, state, sink, context)
                     : sw_march_steps(forcing, plan, state, sink, context);
}
