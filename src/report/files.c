// A rehearsal as a file for other programs: the ledger as CSV, everything as JSON.
#include "files/decimal.h"
#include "report/page.h"
#include "report/tree.h"
#include "report/words.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

// ---- CSV ----

/* A field in quotes, quotes doubled (RFC 4180). */
static void csv_name(page *p, const char *name, const char *ending)
{
    sw_page_add(p, ",\"");
    sw_page_quoted(p, name);
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
    sw_iso_time(r->course->itinerary, a->start_s, text, sizeof text);
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

static void put_account(tree *t, cJSON *list_or_object, const char *key, const sw_rehearsal *r,
                        const sw_account *a)
{
    cJSON *item = sw_put_new(t, list_or_object, key, cJSON_CreateObject());
    sw_put_time(t, item, "start", r, a->start_s);
    sw_put_time(t, item, "end", r, a->end_s);
    sw_put_time(t, item, "lowest_at", r, a->lowest_at_s);
    for (int c = 0; c < SW_LEDGER_COLUMNS; c++)
        sw_put_number(t, item, sw_ledger_heading((sw_ledger_column)c), a->value[c], 3);
    cJSON *loads = sw_put_new(t, item, "loads", cJSON_CreateObject());
    for (int k = 0; k < r->course->loads; k++) {
        cJSON *load = sw_put_new(t, loads, r->plan->van->load[k].name, cJSON_CreateObject());
        sw_put_number(t, load, "asked_wh", a->asked_wh[k], 3);
        sw_put_number(t, load, "served_wh", a->served_wh[k], 3);
    }
}

static void put_days(tree *t, cJSON *root, const sw_rehearsal *r)
{
    cJSON *list = sw_put_new(t, root, "days", cJSON_CreateArray());
    for (int d = 0; d < r->days; d++) {
        put_account(t, list, NULL, r, &r->day[d]);
        cJSON *day = cJSON_GetArrayItem(list, d);
        sw_put(t, day, "under_reserve", cJSON_CreateBool(r->day_finding[d].under));
        sw_put_number(t, day, "missed_because_of_battery_wh", r->day_finding[d].missed_wh, 3);
        if (r->has_poor) {
            sw_put_number(t, day, "poor_week_lowest_pct", 100.0 * r->day_finding[d].poor_lowest, 3);
            sw_put_number(t, day, "poor_week_missed_wh", r->day_finding[d].poor_missed_wh, 3);
        }
        if (sw_words_is_short(r, d)) {
            page why = {0};
            char *text = NULL;
            sw_words_day_cause(r, d, SW_UNITS_SI, &why);
            if (sw_growing_take(&why, &text) == SW_OK)
                sw_put_text(t, day, "why", text);
            else
                t->failed = 1;
            free(text);
        }
    }
}

static void put_medical(tree *t, cJSON *root, const sw_rehearsal *r)
{
    cJSON *devices = sw_put_new(t, root, "medical", cJSON_CreateObject());
    for (int i = 0; i < r->medicals; i++) {
        const sw_medical *device = &r->medical[i];
        cJSON *item = sw_put_new(t, devices, r->plan->van->load[device->load].name, cJSON_CreateObject());
        sw_put_number(t, item, "alone_w", device->alone_w, 3);
        cJSON *nights = sw_put_new(t, item, "nights", cJSON_CreateArray());
        for (int n = 0; n < device->nights; n++) {
            cJSON *night = sw_put_new(t, nights, NULL, cJSON_CreateObject());
            char date[40];
            int year, month, day;
            sw_civil_from_days(device->night[n].date, &year, &month, &day);
            snprintf(date, sizeof date, "%04d-%02d-%02d", year, month, day);
            sw_put_text(t, night, "evening", date);
            sw_put_number(t, night, "asked_wh", device->night[n].asked_wh, 3);
            sw_put_number(t, night, "served_wh", device->night[n].served_wh, 3);
            sw_put_number(t, night, "lowest_charge_pct", 100.0 * device->night[n].lowest_soc, 3);
            sw_put_number(t, night, "hours_left_alone", device->night[n].hours_left, 3);
        }
    }
}

static void put_tanks(tree *t, cJSON *root, const sw_rehearsal *r)
{
    static const char *const names[SW_TANKS] = {"fresh", "grey", "toilet", "fuel", "can"};
    cJSON *tanks = sw_put_new(t, root, "tanks", cJSON_CreateObject());
    for (int k = 0; k < SW_TANKS; k++) {
        const sw_tank_finding *f = &r->tanks.tank[k];
        if (isnan(r->plan->van->tank[k].capacity_l))
            continue;
        cJSON *tank = sw_put_new(t, tanks, names[k], cJSON_CreateObject());
        sw_put_number(t, tank, "capacity_l", r->plan->van->tank[k].capacity_l, 3);
        sw_put_number(t, tank, "start_l", f->start_l, 3);
        sw_put_number(t, tank, SW_TANK_FILLS(k) ? "collected_l" : "used_l", f->used_l, 3);
        sw_put_number(t, tank, SW_TANK_FILLS(k) ? "emptied_l" : "filled_l", f->serviced_l, 3);
        sw_put_number(t, tank, "end_l", f->end_l, 3);
        sw_put_number(t, tank, SW_TANK_FILLS(k) ? "no_room_l" : "missing_l", f->short_l, 3);
        if (f->ends_at_s != INT64_MIN)
            sw_put_time(t, tank, SW_TANK_FILLS(k) ? "full_at" : "empty_at", r, f->ends_at_s);
    }
}

static void put_starter(tree *t, cJSON *root, const sw_rehearsal *r)
{
    const sw_starter_finding *f = &r->starter;
    if (!f->has)
        return;
    cJSON *starter = sw_put_new(t, root, "starter", cJSON_CreateObject());
    sw_put_number(t, starter, "start_charge_pct", 100.0 * f->start, 3);
    sw_put_number(t, starter, "lowest_charge_pct", 100.0 * f->lowest, 3);
    sw_put_time(t, starter, "lowest_at", r, f->lowest_at_s);
    sw_put_number(t, starter, "end_charge_pct", 100.0 * f->end, 3);
    sw_put_number(t, starter, "engine_starts", f->starts, 0);
    if (f->fails_at_s != INT64_MIN)
        sw_put_time(t, starter, "fails_at", r, f->fails_at_s);
    sw_put_text(t, starter, "starts_at_end", f->starts_at_end ? "yes" : "no");
}

/* Why loads were not served, and the tightest hours. */
static void put_missed(tree *t, cJSON *root, const sw_rehearsal *r)
{
    cJSON *loads = sw_put_new(t, root, "not_served", cJSON_CreateObject());
    for (int k = 0; k < r->course->loads; k++) {
        if (r->trip.asked_wh[k] - r->trip.served_wh[k] <= 1e-9)
            continue;
        cJSON *load = sw_put_new(t, loads, r->plan->van->load[k].name, cJSON_CreateObject());
        for (int reason = 0; reason < SW_MISSED_REASONS; reason++) {
            char key[32];
            snprintf(key, sizeof key, "%s_wh", sw_missed_keys[reason]);
            sw_put_number(t, load, key, r->missed_wh[k][reason], 3);
        }
    }
    cJSON *hours = sw_put_new(t, root, "tightest_hours", cJSON_CreateArray());
    for (int i = 0; i < r->tight_hours; i++) {
        cJSON *hour = sw_put_new(t, hours, NULL, cJSON_CreateObject());
        sw_put_time(t, hour, "at", r, r->hour[r->tight[i]].lowest_at_s);
        sw_put_number(t, hour, "lowest_charge_pct", r->hour[r->tight[i]].value[SW_LEDGER_LOWEST], 3);
    }
}

static void put_assumptions(tree *t, cJSON *root, const sw_rehearsal *r)
{
    cJSON *list = sw_put_new(t, root, "assumptions", cJSON_CreateArray());
    for (int i = 0; i < r->plan->assumptions; i++) {
        const sw_assumption *a = &r->plan->assumption[i];
        cJSON *item = sw_put_new(t, list, NULL, cJSON_CreateObject());
        sw_put_text(t, item, "where", a->path);
        sw_put_text(t, item, "what", a->says);
        sw_put_text(t, item, "value", a->value);
        sw_put_text(t, item, "from", a->mark);
        for (int w = 0; w < r->weights; w++) {
            if (r->weight[w].assumption != i)
                continue;
            sw_put_number(t, item, "low_end", r->weight[w].low, 6);
            sw_put_number(t, item, "high_end", r->weight[w].high, 6);
            sw_put_number(t, item, "lowest_charge_pct_at_low_end", 100.0 * r->weight[w].lowest_at_low, 3);
            sw_put_number(t, item, "lowest_charge_pct_at_high_end", 100.0 * r->weight[w].lowest_at_high, 3);
            sw_put_number(t, item, "unserved_wh_at_low_end", r->weight[w].unserved_at_low, 3);
            sw_put_number(t, item, "unserved_wh_at_high_end", r->weight[w].unserved_at_high, 3);
        }
    }
}

static void put_sentences(tree *t, cJSON *root, const sw_rehearsal *r)
{
    char *first = NULL, *second = NULL;
    if (sw_report_verdict(r, &first, &second) != SW_OK)
        t->failed = 1;
    else {
        sw_put_text(t, root, "verdict_sentence", first);
        sw_put_text(t, root, "beside_sentence", second);
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
    sw_put_number(&t, root, "format", 1.0, 0);
    sw_put_text(&t, root, "kind", "rehearsal");
    sw_put_text(&t, root, "trip", r->plan->trip->name);
    sw_put_text(&t, root, "van", r->plan->van->name);
    sw_put_text(&t, root, "sky", r->course->sky_says);
    sw_put_number(&t, root, "step_s", r->course->forcing[0].step_s, 0);
    sw_put_number(&t, root, "reserve_pct", 100.0 * r->plan->trip->reserve, 3);
    put_sentences(&t, root, r);
    sw_put_outcome(&t, root, "outcome", r, &r->outcome);
    if (r->has_poor)
        sw_put_outcome(&t, root, "poor_week", r, &r->poor);
    sw_put_number(&t, root, "inverter_overload_w", r->greatest_inverter_overload_w, 1);
    sw_put_number(&t, root, "hookup_overload_va", r->greatest_shore_overload_w, 1);
    sw_put_number(&t, root, "alternator_overload_a", r->greatest_alternator_overload_a, 1);
    sw_put_number(&t, root, "usable_wh_left", r->usable_wh_left, 1);
    sw_put_number(&t, root, "days_left", r->days_left, 2);
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
