// JSON trees: numbers, texts and times written in one way.
#include "report/tree.h"

#include "files/decimal.h"
#include "stillwatt/civil.h"

#include <math.h>
#include <stdio.h>

/* ISO 8601 with the offset of the local clock: 2026-11-06T16:00-07:00 */
void sw_iso_time(const sw_itinerary *it, int64_t utc_s, char *buffer, size_t size)
{
    int year, month, day;
    int64_t local = sw_itinerary_local_s(it, utc_s);
    int64_t date = sw_floor_div(local, 86400);
    int seconds = (int)(local - date * 86400);
    int minutes = (int)((local - utc_s) / 60);
    int size_of_offset = minutes < 0 ? -minutes : minutes;
    sw_civil_from_days(date, &year, &month, &day);
    snprintf(buffer, size, "%04d-%02d-%02dT%02d:%02d%c%02d:%02d", year, month, day, seconds / 3600,
             seconds / 60 % 60, minutes < 0 ? '-' : '+', size_of_offset / 60, size_of_offset % 60);
}

void sw_put(tree *t, cJSON *object, const char *key, cJSON *item)
{
    int kept = item != NULL &&
               (key != NULL ? cJSON_AddItemToObject(object, key, item) : cJSON_AddItemToArray(object, item));
    if (!kept) {
        cJSON_Delete(item);
        t->failed = 1;
    }
}

cJSON *sw_put_new(tree *t, cJSON *object, const char *key, cJSON *item)
{
    sw_put(t, object, key, item);
    return t->failed ? NULL : item;
}

/* Numbers are put as text of our own, so that they do not depend on the locale or on the printer's digits. */
void sw_put_number(tree *t, cJSON *object, const char *key, double value, int digits)
{
    char text[40];
    if (!isfinite(value)) {
        sw_put(t, object, key, cJSON_CreateNull());
        return;
    }
    sw_decimal_write(value, digits, text, sizeof text);
    sw_put(t, object, key, cJSON_CreateRaw(text));
}

void sw_put_text(tree *t, cJSON *object, const char *key, const char *text)
{
    sw_put(t, object, key, cJSON_CreateString(text));
}

void sw_put_time(tree *t, cJSON *object, const char *key, const sw_rehearsal *r, int64_t utc_s)
{
    char text[40];
    sw_iso_time(r->course->itinerary, utc_s, text, sizeof text);
    sw_put_text(t, object, key, text);
}

const char *const sw_missed_keys[SW_MISSED_REASONS] = {"no_supply", "switched_off", "overload", "held_back",
                                                       "empty",     "cold",         "rate",     "sag"};

void sw_put_outcome(tree *t, cJSON *object, const char *key, const sw_rehearsal *r, const sw_outcome *o)
{
    cJSON *item = sw_put_new(t, object, key, cJSON_CreateObject());
    sw_put_text(t, item, "verdict", sw_verdict_word(o->verdict));
    sw_put_number(t, item, "lowest_charge_pct", 100.0 * o->lowest_soc, 3);
    sw_put_time(t, item, "lowest_at", r, o->lowest_at_s);
    sw_put_number(t, item, "margin_points", 100.0 * (o->lowest_soc - r->plan->trip->reserve), 3);
    sw_put_number(t, item, "under_reserve_h", o->under_h, 3);
    sw_put_number(t, item, "unserved_wh", o->unserved_wh, 3);
    if (o->verdict != SW_OUT)
        return;
    if (o->medical >= 0) {
        sw_put_text(t, item, "medical_without_power", r->plan->van->load[o->medical].name);
        sw_put_time(t, item, "medical_without_power_at", r, o->medical_at_s);
    }
    if (o->out_at_s == INT64_MIN)
        return; // it is not the battery's fault
    sw_put_time(t, item, "out_at", r, o->out_at_s);
    sw_put_text(t, item, "out_why", sw_missed_keys[o->out_why]);
}
