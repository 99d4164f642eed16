// What a van's system can do: for a terminal and as JSON.
#include "report/tree.h"
#include "report/words.h"

#include "stillwatt/limits.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>

// ---- nights and refilling ----

static void write_nights(const sw_limits *l, const sw_report_style *style, page *p)
{
    page line = {0};
    sw_words_nights(l, style->units, &line);
    sw_page_wrap_page(p, style->width, "", "", &line);
}

static void write_refills(const sw_limits *l, page *p)
{
    int written = 0;
    char from[16], to[16];
    for (int k = 0; k < SW_REFILLS; k++) {
        if (isnan(l->refill_h[k]))
            continue;
        if (written++ == 0)
            sw_page_add(p, "\nFrom %s %% to %s %%, with nothing switched on\n", sw_words_exact(l->from, from),
                        sw_words_exact(l->to, to));
        sw_page_add(p, "  %-18s ", sw_words_refill_by((sw_refill)k));
        sw_words_refill(l, (sw_refill)k, p);
        sw_page_add(p, "\n");
    }
}

// ---- evenings ----

static void write_evenings(const sw_limits *l, const sw_report_style *style, page *p)
{
    if (l->evenings == 0)
        return;
    sw_page_add(p, "\nEvening mark: at sunset the battery should have at least\n");
    for (int i = 0; i < l->evenings; i++) {
        char when[32];
        sw_words_moment(l->of->course->itinerary, l->evening[i].sunset_s, when, sizeof when);
        if (isinf(l->evening[i].mark))
            sw_page_add(p, "  %-17s not even a full battery is enough for the day after\n", when);
        else
            sw_page_add(p, "  %-17s %3d %%\n", when, sw_words_percent_up(l->evening[i].mark));
    }
    page advice = {0};
    sw_page_add(&advice, "so that %s day after it does not end under the reserve line. With less, ",
                l->by_poor_week ? "a poor" : "the");
    (void)sw_words_ways(l->of->plan->van, "save", !sw_words_is_too_cold(l->of, 0, l->of->days), &advice);
    sw_page_add(&advice, ".");
    sw_page_wrap_page(p, style->width, "  ", "  ", &advice);
}

// ---- clashes ----

static void write_clash(const sw_limits *l, const sw_clash *c, const sw_report_style *style, page *p)
{
    page line = {0};
    sw_words_clash(l, c, style->units, &line);
    sw_page_wrap_page(p, style->width, "  ", "    ", &line);
}

static int ac_loads(const sw_van *van)
{
    int count = 0;
    for (int k = 0; k < van->loads; k++)
        count += van->load[k].bus == SW_BUS_AC && van->load[k].kind != SW_LOAD_MEASURED;
    return count;
}

static void write_clashes(const sw_limits *l, const sw_report_style *style, page *p)
{
    int written = 0;
    if (ac_loads(l->of->plan->van) < 2 && l->clashes.count == 0)
        return;
    sw_page_add(p, "\nNot alone, or not at once\n");
    for (int i = 0; i < l->clashes.count; i++)
        if (sw_words_is_clash_of_trip(l, &l->clashes.clash[i])) {
            write_clash(l, &l->clashes.clash[i], style, p);
            written++;
        }
    if (written == 0)
        sw_page_add(p, "  any two AC appliances may run together\n");
    sw_page_wrap(
        p, style->width, "  ", "  ",
        "Appliances of which only the energy of a day is known are not counted. Motors start with more than "
        "their rating. For all AC wiring follow local codes and a licensed practitioner.");
}

sw_status sw_report_limits(const sw_limits *l, const sw_report_style *style, char **out)
{
    page p = {0};
    write_nights(l, style, &p);
    write_refills(l, &p);
    write_evenings(l, style, &p);
    write_clashes(l, style, &p);
    return sw_growing_take(&p, out);
}

// ---- JSON ----

static const char *const refill_keys[SW_REFILLS] = {"drive_h", "hookup_h", "sun_h", "poor_sun_h"};

static void put_clash(tree *t, cJSON *list, const sw_limits *l, const sw_clash *c)
{
    cJSON *item = sw_put_new(t, list, NULL, cJSON_CreateObject());
    const sw_load_spec *load = l->of->plan->van->load;
    sw_put_text(t, item, "load", load[c->load].name);
    if (c->other >= 0)
        sw_put_text(t, item, "with", load[c->other].name);
    sw_put_number(t, item, "power_w", c->power_w, 1);
    sw_put(t, item, "too_much_for_inverter", cJSON_CreateBool(c->inverter));
    sw_put(t, item, "too_much_for_inlet", cJSON_CreateBool(c->inlet));
    sw_put(t, item, "too_much_for_battery", cJSON_CreateBool(c->battery));
}

sw_status sw_report_limits_json(const sw_limits *l, char **out)
{
    tree t = {0};
    cJSON *root = cJSON_CreateObject();
    *out = NULL;
    if (root == NULL)
        return SW_NO_MEMORY;
    sw_put_number(&t, root, "format", 1.0, 0);
    sw_put_text(&t, root, "kind", "limits");
    sw_put_text(&t, root, "trip", l->of->plan->trip->name);
    sw_put_text(&t, root, "van", l->of->plan->van->name);
    sw_put_number(&t, root, "ordinary_day_wh", l->use_wh, 3);
    sw_put_number(&t, root, "nights_without_sun", l->nights, 3);
    cJSON *refill = sw_put_new(&t, root, "refill", cJSON_CreateObject());
    sw_put_number(&t, refill, "from_pct", 100.0 * l->from, 3);
    sw_put_number(&t, refill, "to_pct", 100.0 * l->to, 3);
    for (int k = 0; k < SW_REFILLS; k++)
        if (!isnan(l->refill_h[k]))
            sw_put_number(&t, refill, refill_keys[k], l->refill_h[k], 3); // null: not within ten days
    cJSON *evenings = sw_put_new(&t, root, "evening_marks", cJSON_CreateArray());
    for (int i = 0; i < l->evenings; i++) {
        cJSON *item = sw_put_new(&t, evenings, NULL, cJSON_CreateObject());
        sw_put_time(&t, item, "sunset", l->of, l->evening[i].sunset_s);
        sw_put_number(&t, item, "charge_pct", 100.0 * l->evening[i].mark, 3);
    }
    cJSON *clashes = sw_put_new(&t, root, "not_at_once", cJSON_CreateArray());
    for (int i = 0; i < l->clashes.count; i++)
        put_clash(&t, clashes, l, &l->clashes.clash[i]);
    char *text = t.failed ? NULL : cJSON_Print(root);
    cJSON_Delete(root);
    *out = text;
    return text != NULL ? SW_OK : SW_NO_MEMORY;
}
