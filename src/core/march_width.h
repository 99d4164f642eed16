// The march compiled for vectors of several widths.
#ifndef SW_CORE_MARCH_WIDTH_H
#define SW_CORE_MARCH_WIDTH_H

#include "stillwatt/march.h"

typedef sw_status sw_marcher(const sw_forcing *forcing, const sw_tile_plan *plan, sw_tile_state *state,
                             sw_march_sink *sink, void *context);

/// @param bits 512, 256, or 0 for the one that is compiled plainly
/// @return NULL where this build has none, or this processor cannot run it
sw_marcher *sw_march_of_width(int bits);

#endif
