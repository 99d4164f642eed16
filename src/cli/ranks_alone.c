// Built without MPI: there are no others.
#include "cli/ranks.h"

const sw_ranks *ranks_join(void)
{
    return NULL;
}

void ranks_leave(const sw_ranks *ranks)
{
    (void)ranks;
}
