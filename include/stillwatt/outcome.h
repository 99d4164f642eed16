/// What a march of a trip came to: the verdict and what it rests on.
#ifndef STILLWATT_OUTCOME_H
#define STILLWATT_OUTCOME_H

#include "stillwatt/ledger.h"

#include <stdint.h>

typedef enum sw_verdict { SW_HOLDS, SW_TIGHT, SW_UNDER, SW_OUT } sw_verdict;
/// The word of a verdict: holds, tight, under, out; static.
const char *sw_verdict_word(sw_verdict verdict);

/// What a march under one sky came to. Its whole numbers stand together, so that no byte of it is left open:
/// outcomes are held against each other, and handed between processes, as bytes.
typedef struct sw_outcome {
    sw_verdict verdict;
    int under_days;    ///< local days in which it was under the reserve line
    sw_missed out_why; ///< `out`: SW_MISSED_EMPTY, SW_MISSED_COLD, SW_MISSED_RATE or SW_MISSED_SAG
    int medical;       ///< `out`: load of the medical device that went without power, -1: none did
    double lowest_soc;
    int64_t lowest_at_s;
    double end_soc;
    int64_t under_at_s; ///< end of the first step under the reserve line; INT64_MIN: never
    double under_h;     ///< under the reserve line
    int64_t out_at_s;   ///< `out`: begin of the first step in which the battery did not carry what was asked;
                        ///< INT64_MIN: it always did
    double out_soc, out_reachable; ///< `out`: charge then, and the part of it that cold and rate do not lock
    double unserved_wh;            ///< of all loads, whatever the reason
    double missed_wh;              ///< of it because of the battery
    double short_wh;               ///< of that, what more charge or warmth could have served: all but what
                                   ///< is more than the battery may give at once
    int64_t short_at_s;            ///< begin of the first step with such; INT64_MIN: none
    int64_t short_why;             ///< sw_missed of that step, of the dearest class
    int64_t medical_at_s;          ///< begin of the first step in which the device went without
} sw_outcome;

#endif
