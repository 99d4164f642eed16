#include "support/checks.h"

#include <stdio.h>
#include <sys/stat.h>

Suite *sw_suite_of(const char *name, const TTest *const *tests, double timeout_s)
{
    Suite *suite = suite_create(name);
    TCase *tcase = tcase_create(name);
    tcase_set_timeout(tcase, timeout_s);
    for (; *tests != NULL; tests++)
        tcase_add_test(tcase, *tests);
    suite_add_tcase(suite, tcase);
    return suite;
}

int sw_shared_present(const char *what_is_skipped)
{
    struct stat st;
    if (stat(SW_SHARED_DIR "/weather-data", &st) == 0 && S_ISDIR(st.st_mode))
        return 1;
    printf("skipped: %s (no folder of real weather files beside the project)\n", what_is_skipped);
    return 0;
}
