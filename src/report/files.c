// A rehearsal as a file for other programs: the ledger as CSV, everything as JSON.
#include "files/decimal.h"
#include "report/page.h"
#include "report/words.h"

#include <cjson/cJSON.h>
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

/* ISO 8601 with the offset of the local clock: 2026-11-06T16:00-07:00 */
static void iso_time(const sw_itinerary *it, int64_t utc_s, char *buffer, size_t size)
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

// ---- CSV ----

/* A field in quotes, quotes doubled (RFC 4180). */
static void csv_name(page *p, const char *name, const char *ending)
{
    sw_page_add(p, ",\"");
    for (; *name != '\0'; name++)
        sw_page_add(p, *name == '"' ? "\"\"" : "%c", *name);
    sw_page_add(p, "%s\"", ending);
}

static void csv_head(const sw_rehearsal *r, page *p)
{
    sw_page_add(p, "start,minutes");
    for (int c = 0; c < SW_LEDGER_COLUMNS; c++)
        sw_page_add(p, ",%s", sw_ledger_heading((sw_ledger_column)c));
    for (int k = 0; k < r->course->loads; k++) {
        csv_name(p, r->plan->van->load[k].name, " asked_wh");
        csv_name(p, r->plan->van->load[k].name, " served_wh");
    }
    sw_page_add(p, "\r\n");
}

static void csv_row(const sw_rehearsal *r, const sw_account *a, page *p)
{
    char text[40];
    iso_time(r->course->itinerary, a->start_s, text, sizeof text);
    sw_page_add(p, "%s,%d", text, (int)((a->end_s - a->start_s) / 60));
    for (int c = 0; c < SW_LEDGER_COLUMNS; c++) {
        text[0] = '\0'; // a tank that the van has not leaves its field empty
        if (isfinite(a->value[c]))
            sw_decimal_write(a->value[c], 3, text, sizeof text);
        sw_page_add(p, ",%s", text);
    }
    for (int k = 0; k < r->course->loads; k++) {
        sw_decimal_write(a->asked_wh[k], 3, text, sizeof text);
        sw_page_add(p, ",%s", text);
        sw_decimal_write(a->served_wh[k], 3, text, sizeof text);
        sw_page_add(p, ",%s", text);
    }
    sw_page_add(p, "\r\n");
}

sw_status sw_report_ledger(const sw_rehearsal *r, char **out)
{
    page p = {0};
    csv_head(r, &p);
    for (int h = 0; h < r->hours; h++)
        csv_row(r, &r->hour[h], &p);
    return sw_growing_take(&p, out);
}

// ---- JSON ----

/// A tree being built; one failure spoils it.
typedef struct tree {
    int failed;
} tree;

static void put(tree *t, cJSON *object, const char *key, cJSON *item)
{
    int kept = item != NULL &&
               (key != NULL ? cJSON_AddItemToObject(object, key, item) : cJSON_AddItemToArray(object, item));
    if (!kept) {
        cJSON_Delete(item);
        t->failed = 1;
    }
}

static cJSON *put_new(tree *t, cJSON *object, const char *key, cJSON *item)
{
    put(t, object, key, item);
    return t->failed ? NULL : item;
}

/* Numbers are put as text of our own, so that they do not depend on the locale or on the printer's digits. */
static void put_number(tree *t, cJSON *object, const char *key, double value, int digits)
{
    char text[40];
    if (!isfinite(value)) {
        put(t, object, key, cJSON_CreateNull());
        return;
    }
    sw_decimal_write(value, digits, text, sizeof text);
    put(t, object, key, cJSON_CreateRaw(text));
}

static void put_text(tree *t, cJSON *object, const char *key, const char *text)
{
    put(t, object, key, cJSON_CreateString(text));
}

static void put_time(tree *t, cJSON *object, const char *key, const sw_rehearsal *r, int64_t utc_s)
{
    char text[40];
    iso_time(r->course->itinerary, utc_s, text, sizeof text);
    put_text(t, object, key, text);
}

static const char *const missed_keys[SW_MISSED_REASONS] = {
    "no_supply", "switched_off", "overload", "held_back", "empty", "cold", "rate", "sag"};

static void put_outcome(tree *t, cJSON *object, const char *key, const sw_rehearsal *r, const sw_outcome *o)
{
    cJSON *item = put_new(t, object, key, cJSON_CreateObject());
    put_text(t, item, "verdict", sw_verdict_word(o->verdict));
    put_number(t, item, "lowest_charge_pct", 100.0 * o->lowest_soc, 3);
    put_time(t, item, "lowest_at", r, o->lowest_at_s);
    put_number(t, item, "margin_points", 100.0 * (o->lowest_soc - r->plan->trip->reserve), 3);
    put_number(t, item, "under_reserve_h", o->under_h, 3);
    put_number(t, item, "unserved_wh", o->unserved_wh, 3);
    if (o->verdict != SW_OUT)
        return;
    if (o->medical >= 0) {
        put_text(t, item, "medical_without_power", r->plan->van->load[o->medical].name);
        put_time(t, item, "medical_without_power_at", r, o->medical_at_s);
    }
    if (o->out_at_s == INT64_MIN)
        return; // it is not the battery's fault
    put_time(t, item, "out_at", r, o->out_at_s);
    put_text(t, item, "out_why", missed_keys[o->out_why]);
}

static void put_account(tree *t, cJSON *list_or_object, const char *key, const sw_rehearsal *r,
                        const sw_account *a)
{
    cJSON *item = put_new(t, list_or_object, key, cJSON_CreateObject());
    put_time(t, item, "start", r, a->start_s);
    put_time(t, item, "end", r, a->end_s);
    put_time(t, item, "lowest_at", r, a->lowest_at_s);
    for (int c = 0; c < SW_LEDGER_COLUMNS; c++)
        put_number(t, item, sw_ledger_heading((sw_ledger_column)c), a->value[c], 3);
    cJSON *loads = put_new(t, item, "loads", cJSON_CreateObject());
    for (int k = 0; k < r->course->loads; k++) {
        cJSON *load = put_new(t, loads, r->plan->van->load[k].name, cJSON_CreateObject());
        put_number(t, load, "asked_wh", a->asked_wh[k], 3);
        put_number(t, load, "served_wh", a->served_wh[k], 3);
    }
}

static void put_days(tree *t, cJSON *root, const sw_rehearsal *r)
{
    cJSON *list = put_new(t, root, "days", cJSON_CreateArray());
    for (int d = 0; d < r->days; d++) {
        put_account(t, list, NULL, r, &r->day[d]);
        cJSON *day = cJSON_GetArrayItem(list, d);
        put(t, day, "under_reserve", cJSON_CreateBool(r->day_finding[d].under));
        put_number(t, day, "missed_because_of_battery_wh", r->day_finding[d].missed_wh, 3);
        if (r->day_finding[d].under || r->day_finding[d].missed_wh > 0.5) {
            page why = {0};
            char *text = NULL;
            sw_words_day_cause(r, d, SW_UNITS_SI, &why);
            if (sw_growing_take(&why, &text) == SW_OK)
                put_text(t, day, "why", text);
            else
                t->failed = 1;
            free(text);
        }
    }
}

static void put_medical(tree *t, cJSON *root, const sw_rehearsal *r)
{
    cJSON *devices = put_new(t, root, "medical", cJSON_CreateObject());
    for (int i = 0; i < r->medicals; i++) {
        const sw_medical *device = &r->medical[i];
        cJSON *item = put_new(t, devices, r->plan->van->load[device->load].name, cJSON_CreateObject());
        put_number(t, item, "alone_w", device->alone_w, 3);
        cJSON *nights = put_new(t, item, "nights", cJSON_CreateArray());
        for (int n = 0; n < device->nights; n++) {
            cJSON *night = put_new(t, nights, NULL, cJSON_CreateObject());
            char date[40];
            int year, month, day;
            sw_civil_from_days(device->night[n].date, &year, &month, &day);
            snprintf(date, sizeof date, "%04d-%02d-%02d", year, month, day);
            put_text(t, night, "evening", date);
            put_number(t, night, "asked_wh", device->night[n].asked_wh, 3);
            put_number(t, night, "served_wh", device->night[n].served_wh, 3);
            put_number(t, night, "lowest_charge_pct", 100.0 * device->night[n].lowest_soc, 3);
            put_number(t, night, "hours_left_alone", device->night[n].hours_left, 3);
        }
    }
}

static void put_tanks(tree *t, cJSON *root, const sw_rehearsal *r)
{
    static const char *const names[SW_TANKS] = {"fresh", "grey", "toilet", "fuel", "can"};
    cJSON *tanks = put_new(t, root, "tanks", cJSON_CreateObject());
    for (int k = 0; k < SW_TANKS; k++) {
        const sw_tank_finding *f = &r->tanks.tank[k];
        if (isnan(r->plan->van->tank[k].capacity_l))
            continue;
        cJSON *tank = put_new(t, tanks, names[k], cJSON_CreateObject());
        put_number(t, tank, "capacity_l", r->plan->van->tank[k].capacity_l, 3);
        put_number(t, tank, "start_l", f->start_l, 3);
        put_number(t, tank, SW_TANK_FILLS(k) ? "collected_l" : "used_l", f->used_l, 3);
        put_number(t, tank, SW_TANK_FILLS(k) ? "emptied_l" : "filled_l", f->serviced_l, 3);
        put_number(t, tank, "end_l", f->end_l, 3);
        put_number(t, tank, SW_TANK_FILLS(k) ? "no_room_l" : "missing_l", f->short_l, 3);
        if (f->ends_at_s != INT64_MIN)
            put_time(t, tank, SW_TANK_FILLS(k) ? "full_at" : "empty_at", r, f->ends_at_s);
    }
}

static void put_starter(tree *t, cJSON *root, const sw_rehearsal *r)
{
    const sw_starter_finding *f = &r->starter;
    if (!f->has)
        return;
    cJSON *starter = put_new(t, root, "starter", cJSON_CreateObject());
    put_number(t, starter, "start_charge_pct", 100.0 * f->start, 3);
    put_number(t, starter, "lowest_charge_pct", 100.0 * f->lowest, 3);
    put_time(t, starter, "lowest_at", r, f->lowest_at_s);
    put_number(t, starter, "end_charge_pct", 100.0 * f->end, 3);
    put_number(t, starter, "engine_starts", f->starts, 0);
    if (f->fails_at_s != INT64_MIN)
        put_time(t, starter, "fails_at", r, f->fails_at_s);
    put_text(t, starter, "starts_at_end", f->starts_at_end ? "yes" : "no");
}

/* Why loads were not served, and the tightest hours. */
static void put_missed(tree *t, cJSON *root, const sw_rehearsal *r)
{
    cJSON *loads = put_new(t, root, "not_served", cJSON_CreateObject());
    for (int k = 0; k < r->course->loads; k++) {
        if (r->trip.asked_wh[k] - r->trip.served_wh[k] <= 1e-9)
            continue;
        cJSON *load = put_new(t, loads, r->plan->van->load[k].name, cJSON_CreateObject());
        for (int reason = 0; reason < SW_MISSED_REASONS; reason++) {
            char key[32];
            snprintf(key, sizeof key, "%s_wh", missed_keys[reason]);
            put_number(t, load, key, r->missed_wh[k][reason], 3);
        }
    }
    cJSON *hours = put_new(t, root, "tightest_hours", cJSON_CreateArray());
    for (int i = 0; i < r->tight_hours; i++) {
        cJSON *hour = put_new(t, hours, NULL, cJSON_CreateObject());
        put_time(t, hour, "at", r, r->hour[r->tight[i]].lowest_at_s);
        put_number(t, hour, "lowest_charge_pct", r->hour[r->tight[i]].value[SW_LEDGER_LOWEST], 3);
    }
}

static void put_assumptions(tree *t, cJSON *root, const sw_rehearsal *r)
{
    cJSON *list = put_new(t, root, "assumptions", cJSON_CreateArray());
    for (int i = 0; i < r->plan->assumptions; i++) {
        const sw_assumption *a = &r->plan->assumption[i];
        cJSON *item = put_new(t, list, NULL, cJSON_CreateObject());
        put_text(t, item, "where", a->path);
        put_text(t, item, "what", a->says);
        put_text(t, item, "value", a->value);
        put_text(t, item, "from", a->mark);
        for (int w = 0; w < r->weights; w++) {
            if (r->weight[w].assumption != i)
                continue;
            put_number(t, item, "low_end", r->weight[w].low, 6);
            put_number(t, item, "high_end", r->weight[w].high, 6);
            put_number(t, item, "lowest_charge_pct_at_low_end", 100.0 * r->weight[w].lowest_at_low, 3);
            put_number(t, item, "lowest_charge_pct_at_high_end", 100.0 * r->weight[w].lowest_at_high, 3);
            put_number(t, item, "unserved_wh_at_low_end", r->weight[w].unserved_at_low, 3);
            put_number(t, item, "unserved_wh_at_high_end", r->weight[w].unserved_at_high, 3);
        }
    }
}

static void put_sentences(tree *t, cJSON *root, const sw_rehearsal *r)
{
    char *first = NULL, *second = NULL;
    if (sw_report_verdict(r, &first, &second) != SW_OK)
        t->failed = 1;
    else {
        put_text(t, root, "verdict_sentence", first);
        put_text(t, root, "beside_sentence", second);
    }
    free(first);
    free(second);
}

sw_status sw_report_json(const sw_rehearsal *r, char **out)
{
    tree t = {0};
    cJSON *root = cJSON_CreateObject();
    *out = NULL;
    if (root == NULL)
        return SW_NO_MEMORY;
    put_number(&t, root, "format", 1.0, 0);
    put_text(&t, root, "kind", "rehearsal");
    put_text(&t, root, "trip", r->plan->trip->name);
    put_text(&t, root, "van", r->plan->van->name);
    put_text(&t, root, "sky", r->course->sky_says);
    put_number(&t, root, "step_s", r->course->forcing[0].step_s, 0);
    put_number(&t, root, "reserve_pct", 100.0 * r->plan->trip->reserve, 3);
    put_sentences(&t, root, r);
    put_outcome(&t, root, "outcome", r, &r->outcome);
    if (r->has_poor)
        put_outcome(&t, root, "poor_week", r, &r->poor);
    put_number(&t, root, "inverter_overload_w", r->greatest_inverter_overload_w, 1);
    put_number(&t, root, "hookup_overload_va", r->greatest_shore_overload_w, 1);
    put_number(&t, root, "alternator_overload_a", r->greatest_alternator_overload_a, 1);
    put_number(&t, root, "usable_wh_left", r->usable_wh_left, 1);
    put_number(&t, root, "days_left", r->days_left, 2);
    put_account(&t, root, "total", r, &r->trip);
    put_days(&t, root, r);
    put_tanks(&t, root, r);
    put_starter(&t, root, r);
    put_medical(&t, root, r);
    put_missed(&t, root, r);
    put_assumptions(&t, root, r);
    char *text = t.failed ? NULL : cJSON_Print(root);
    cJSON_Delete(root);
    *out = text;
    return text != NULL ? SW_OK : SW_NO_MEMORY;
}
