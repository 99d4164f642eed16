// OpenMP's threads, or none.
#include "study/threads.h"

#ifdef _OPENMP
#include <omp.h>

int sw_threads_most(void)
{
    return omp_get_max_threads();
}

void sw_threads_end(void)
{
    (void)omp_pause_resource_all(omp_pause_hard);
}
#else
int sw_threads_most(void)
{
    return 1;
}

void sw_threads_end(void)
{
}
#endif
