// OpenMP's threads, or none.
#include "study/threads.h"

#ifdef _OPENMP
#include <omp.h>
#endif

/// The failure of the item with the lowest number.
typedef struct failure {
    int at;
    sw_status status;
    sw_messages *said; // NULL: there was no memory to say it
} failure;

/* @return what is left to release */
static sw_messages *keep_first(failure *first, int at, sw_status status, sw_messages *said)
{
    if (status == SW_OK || at >= first->at)
        return said;
    sw_messages *later = first->said;
    *first = (failure){at, status, said};
    return later;
}

sw_status sw_threads_do(const sw_items *items, sw_messages *messages)
{
    failure first = {items->last, SW_OK, NULL};
#pragma omp parallel for schedule(dynamic, 1)
    for (int i = items->first; i < items->last; i++) {
        sw_messages *own = sw_messages_create();
        sw_status status = own != NULL ? items->work(items->context, i, own) : SW_NO_MEMORY;
#pragma omp critical
        {
            own = keep_first(&first, i, status, own);
            if (items->done != NULL)
                items->done(items->after);
        }
        sw_messages_free(own);
    }
    if (first.status != SW_OK)
        (void)sw_messages_repeat_errors(first.said, messages);
    sw_messages_free(first.said);
    return first.status;
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
