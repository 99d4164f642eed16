#include "support/checks.h"

#include <stdio.h>
#include <stdlib.h>
#include <sys/stat.h>

Suite *sw_suite_with(const char *name, const TTest *const *tests, double timeout_s, SFun set_up,
                     SFun tear_down)
{
    Suite *suite = suite_create(name);
    TCase *tcase = tcase_create(name);
    tcase_set_timeout(tcase, timeout_s);
    tcase_add_checked_fixture(tcase, set_up, tear_down);
    for (; *tests != NULL; tests++)
        tcase_add_test(tcase, *tests);
    suite_add_tcase(suite, tcase);
    return suite;
}

Suite *sw_suite_of(const char *name, const TTest *const *tests, double timeout_s)
{
    return sw_suite_with(name, tests, timeout_s, NULL, NULL);
}

static unsigned long from_environment(const char *name, unsigned long usual)
{
    const char *text = getenv(name);
    return text != NULL ? strtoul(text, NULL, 10) : usual;
}

unsigned long sw_random_cases(unsigned long usual)
{
    return from_environment("STILLWATT_CASES", usual);
}

long sw_random_least(long least, unsigned long usual)
{
    return (long)((double)least * (double)sw_random_cases(usual) / (double)usual);
}

unsigned long sw_random_seed(void)
{
    return from_environment("STILLWATT_SEED", 1);
}

int sw_shared_present(const char *what_is_skipped)
{
    struct stat st;
    if (stat(SW_SHARED_DIR "/weather-data", &st) == 0 && S_ISDIR(st.st_mode))
        return 1;
    printf("skipped: %s (no folder of real weather files beside the project)\n", what_is_skipped);
    return 0;
}
