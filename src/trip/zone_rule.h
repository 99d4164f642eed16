/// The rule in a TZif file's footer: a POSIX TZ string with the extensions of RFC 8536 section 3.3.1.
#ifndef STILLWATT_TRIP_ZONE_RULE_H
#define STILLWATT_TRIP_ZONE_RULE_H

#include <stddef.h>
#include <stdint.h>

#define SW_ABBREVIATION_SIZE 16

typedef enum sw_rule_day { SW_RULE_NONE, SW_RULE_JULIAN, SW_RULE_ZERO_BASED, SW_RULE_WEEKDAY } sw_rule_day;

/// The day and clock time of a change.
typedef struct sw_rule_change {
    sw_rule_day kind;
    int day;                  ///< Jn: 1..365 without 29 February; n: 0..365
    int month, week, weekday; ///< Mm.w.d: week 5 is the last
    int32_t time_s;           ///< from midnight of the clock in force before the change; -167..167 h
} sw_rule_change;

/// Clocks in force: [0] standard, [1] daylight saving time.
typedef struct sw_zone_rule {
    int32_t offset_s[2]; ///< east of UTC
    char abbreviation[2][SW_ABBREVIATION_SIZE];
    int has_saving;
    sw_rule_change change[2]; ///< [1] to daylight saving time, [0] back
} sw_zone_rule;

/// What is in force around a moment, from `begin_s` to before `end_s`.
typedef struct sw_rule_span {
    int saving;
    int64_t begin_s, end_s; ///< UTC; the ends of int64 if there is no change
} sw_rule_span;

/// Reads the whole string. @return 1, or 0 if it is malformed
int sw_zone_rule_read(const char *text, size_t length, sw_zone_rule *out);

/// @param utc_s within +-2^60
sw_rule_span sw_zone_rule_at(const sw_zone_rule *rule, int64_t utc_s);

#endif
