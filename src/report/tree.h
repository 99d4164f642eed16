// A JSON document being built; one failure spoils it, and only its end has to be looked at.
#ifndef SW_REPORT_TREE_H
#define SW_REPORT_TREE_H

#include "stillwatt/rehearsal.h"

#include <cjson/cJSON.h>

typedef struct tree {
    int failed;
} tree;

/// ISO 8601 with the offset of the local clock: 2026-11-06T16:00-07:00
void sw_iso_time(const sw_itinerary *it, int64_t utc_s, char *buffer, size_t size);

/// Puts an item into an object, or at the end of a list (`key` NULL). NULL is a failure; the item is taken
/// over.
void sw_put(tree *t, cJSON *object, const char *key, cJSON *item);
/// The same; @return the item, NULL after any failure
cJSON *sw_put_new(tree *t, cJSON *object, const char *key, cJSON *item);
/// Numbers are put as text of our own, so that they do not depend on the locale or on the printer's digits;
/// what is not finite becomes null.
void sw_put_number(tree *t, cJSON *object, const char *key, double value, int digits);
void sw_put_text(tree *t, cJSON *object, const char *key, const char *text);
void sw_put_time(tree *t, cJSON *object, const char *key, const sw_rehearsal *r, int64_t utc_s);
void sw_put_outcome(tree *t, cJSON *object, const char *key, const sw_rehearsal *r, const sw_outcome *o);

/// The keys of reasons why loads were not served.
extern const char *const sw_missed_keys[SW_MISSED_REASONS];

#endif
