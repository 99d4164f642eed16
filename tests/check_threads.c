// Work on several threads: all of it is done, side by side, and of several failures the first is told.
#include "study/threads.h"
#include "support/checks.h"

#include <stdatomic.h>
#include <stdio.h>
#include <time.h>

__attribute__((weak)) void omp_set_num_threads(int count);

#define ITEMS 40

typedef struct seen {
    atomic_int times[ITEMS], inside, together;
} seen;

static sw_status fail_some(const void *context, int item, sw_messages *messages)
{
    seen *s = *(seen *const *)context;
    s->times[item]++;
    if (item != 17 && item != 23 && item != 39)
        return SW_OK;
    sw_warn(messages, NULL, NULL, "item %d warns", item);
    return sw_error(messages, item == 17 ? SW_BAD_INPUT : SW_NO_MEMORY, NULL, NULL, "item %d", item);
}

START_TEST(of_several_failures_the_first_is_told)
{
    for (int threads = 1; threads <= 3; threads++) {
        seen s = {0}, *at = &s;
        sw_messages *messages = sw_messages_create();
        if (omp_set_num_threads != NULL)
            omp_set_num_threads(threads);
        sw_items all = {.first = 2, .last = ITEMS, .work = fail_some, .context = &at};
        ck_assert_int_eq(sw_threads_do(&all, messages), SW_BAD_INPUT);
        for (int i = 0; i < ITEMS; i++)
            ck_assert_int_eq(s.times[i], i >= 2);
        ck_assert_int_eq(sw_messages_count(messages), 1);
        ck_assert_str_eq(sw_messages_at(messages, 0)->what, "item 17");
        sw_messages_free(messages);
    }
}
END_TEST

/* Waits up to a second until another one is inside too. */
static sw_status meet(const void *context, int item, sw_messages *messages)
{
    seen *s = *(seen *const *)context;
    (void)item;
    (void)messages;
    s->inside++;
    for (int i = 0; i < 1000 && s->together == 0; i++) {
        if (s->inside > 1)
            s->together = 1;
        nanosleep(&(struct timespec){.tv_nsec = 1000000}, NULL);
    }
    s->inside--;
    return SW_OK;
}

START_TEST(work_is_done_side_by_side)
{
    seen s = {0}, *at = &s;
    if (omp_set_num_threads == NULL) {
        puts("skipped: work side by side, the library was built without OpenMP");
        return;
    }
    omp_set_num_threads(2);
    ck_assert_int_eq(sw_threads_most(), 2);
    ck_assert_int_eq(sw_threads_do(&(sw_items){.last = 2, .work = meet, .context = &at}, NULL), SW_OK);
    ck_assert_int_eq(s.together, 1);
}
END_TEST

Suite *sw_suite(void)
{
    const TTest *const tests[] = {of_several_failures_the_first_is_told, work_is_done_side_by_side, NULL};
    return sw_suite_of("threads", tests, 60);
}
