// The processes that share a study: several where the program was built with MPI and started by it, else one.
#ifndef SW_CLI_RANKS_H
#define SW_CLI_RANKS_H

#include "stillwatt/compare.h"

/// Joins the others that were started with this one; once a run.
/// @return static; NULL: this process is alone
const sw_ranks *ranks_join(void);

/// Leaves them; with NULL nothing happens.
void ranks_leave(const sw_ranks *ranks);

#endif
