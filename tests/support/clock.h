// An even clock for what is timed.
#ifndef SW_TESTS_SUPPORT_CLOCK_H
#define SW_TESTS_SUPPORT_CLOCK_H

/// Seconds since some moment in the past.
double sw_now_s(void);

#endif
