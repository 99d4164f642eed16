// A forcing in longer steps: for marches in which a difference is asked for and not a figure.
#ifndef SW_STUDY_REHEARSAL_MERGED_H
#define SW_STUDY_REHEARSAL_MERGED_H

#include "files/arena.h"
#include "stillwatt/forcing.h"
#include "stillwatt/status.h"

/// Steps of at most `longest_s`, each of as many whole steps of `fine` as divide their number; the arena owns
/// the columns. @return SW_OK or SW_NO_MEMORY
sw_status sw_merge_steps(const sw_forcing *fine, int32_t longest_s, sw_arena *arena, sw_forcing *out);

#endif
