// Which of the compiled marches this processor runs. They give the same bits: only + - * / sqrt, compare and
// select, each of them rounded alike whatever the width.
#include "core/march_width.h"

#include <stddef.h>

sw_marcher sw_march_steps;
#ifdef SW_HAS_WIDE
sw_marcher sw_march_steps_avx2, sw_march_steps_avx512;
#endif

/* Widths are bits of a vector (definition). */
sw_marcher *sw_march_of_width(int bits)
{
#ifdef SW_HAS_WIDE
    if (bits == 512)
        return __builtin_cpu_supports("avx512dq") && __builtin_cpu_supports("avx512vl")
                   ? sw_march_steps_avx512
                   : NULL;
    if (bits == 256)
        return __builtin_cpu_supports("avx2") ? sw_march_steps_avx2 : NULL;
#endif
    return bits == 0 ? sw_march_steps : NULL;
}

/* The widest there is, in bits (definition). */
sw_status sw_march(const sw_forcing *forcing, const sw_tile_plan *plan, sw_tile_state *state,
                   sw_march_sink *sink, void *context)
{
    sw_marcher *march = sw_march_of_width(512);
    march = march != NULL ? march : sw_march_of_width(256);
    march = march != NULL ? march : sw_march_of_width(0);
    return march(forcing, plan, state, sink, context);
}
