// What every check file includes: Check itself, the suite that it must define, and shorthand for a suite of
// one case.
#ifndef SW_TESTS_SUPPORT_CHECKS_H
#define SW_TESTS_SUPPORT_CHECKS_H

#include <check.h>

/// Each check file defines this; support/check_main.c runs what it returns.
Suite *sw_suite(void);

/// A suite with one test case of the given functions (an array ended by NULL), with a time limit in seconds.
Suite *sw_suite_of(const char *name, const TTest *const *tests, double timeout_s);

/// The same with what is done before and after each test.
Suite *sw_suite_with(const char *name, const TTest *const *tests, double timeout_s, SFun set_up,
                     SFun tear_down);

/// How many random cases a test takes: `usual`, or as many as the environment's STILLWATT_CASES says, and the
/// seed of the first, 1 or STILLWATT_SEED. For long runs; set CK_TIMEOUT_MULTIPLIER besides.
unsigned long sw_random_cases(unsigned long usual);
unsigned long sw_random_seed(void);

/// How often something must at least have come up, given how often among the `usual` number of cases: in
/// proportion to those that run.
long sw_random_least(long least, unsigned long usual);

/// Like ck_assert_msg, for the inside of long loops: Check notes each assertion's place in a file, which
/// there takes longer than what is asserted.
#define sw_expect(condition, ...)                                                                            \
    do {                                                                                                     \
        if (!(condition))                                                                                    \
            ck_abort_msg(__VA_ARGS__);                                                                       \
    } while (0)

/// True where the real weather files are beside the project; otherwise prints one line that says what is
/// skipped.
int sw_shared_present(const char *what_is_skipped);

#endif
