// OpenMP's threads, or none.
#include "study/threads.h"

#ifdef _OPENMP
#include <omp.h>
#endif

sw_status sw_threads_do(const sw_items *items, sw_messages *messages)
{
    int failed_at = items->last;
    sw_status worst = SW_OK;
#pragma omp parallel for schedule(dynamic, 1)
    for (int i = items->first; i < items->last; i++) {
        sw_messages *own = sw_messages_create();
        sw_status status = own != NULL ? items->work(items->context, i, own) : SW_NO_MEMORY;
#pragma omp critical
        {
            if (status != SW_OK && i < failed_at) {
                failed_at = i;
                worst = status;
                (void)sw_messages_repeat_errors(own, messages);
            }
            if (items->done != NULL)
                items->done(items->after);
        }
        sw_messages_free(own);
    }
    return worst;
}

#ifdef _OPENMP
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
