// The processes of an MPI run. Numbers are agreed on and rows gathered by the first thread alone.
#include "cli/ranks.h"

#include <mpi.h>
#include <stdlib.h>

static int gather(void *context, void *items, size_t size, int64_t count)
{
    const sw_ranks *r = context;
    int *counts = calloc(2 * (size_t)r->ranks, sizeof *counts);
    MPI_Datatype item;
    if (counts == NULL) {
        MPI_Abort(MPI_COMM_WORLD, 4); // the others wait for this one
        return 0;
    }
    int *from = counts + r->ranks;
    for (int i = 0; i < r->ranks; i++) {
        from[i] = (int)(i * count / r->ranks);
        counts[i] = (int)((i + 1) * count / r->ranks) - from[i];
    }
    MPI_Type_contiguous((int)size, MPI_BYTE, &item);
    MPI_Type_commit(&item);
    char *own = (char *)items + (size_t)from[r->rank] * size;
    int result = r->rank == 0
                     ? MPI_Gatherv(MPI_IN_PLACE, 0, item, items, counts, from, item, 0, MPI_COMM_WORLD)
                     : MPI_Gatherv(own, counts[r->rank], item, NULL, NULL, NULL, item, 0, MPI_COMM_WORLD);
    MPI_Type_free(&item);
    free(counts);
    return result == MPI_SUCCESS;
}

static int greatest(void *context, int number)
{
    int out = number;
    (void)context;
    MPI_Allreduce(&number, &out, 1, MPI_INT, MPI_MAX, MPI_COMM_WORLD);
    return out;
}

const sw_ranks *ranks_join(void)
{
    static sw_ranks all;
    int provided;
    MPI_Init_thread(NULL, NULL, MPI_THREAD_FUNNELED, &provided);
    MPI_Comm_rank(MPI_COMM_WORLD, &all.rank);
    MPI_Comm_size(MPI_COMM_WORLD, &all.ranks);
    all.gather = gather;
    all.greatest = greatest;
    all.context = &all;
    return &all;
}

void ranks_leave(const sw_ranks *ranks)
{
    if (ranks != NULL)
        MPI_Finalize();
}
