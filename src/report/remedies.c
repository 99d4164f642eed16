// What would make a trip hold: for a terminal and as JSON.
#include "report/tree.h"
#include "report/words.h"

#include <math.h>
#include <stdlib.h>

#define SHOWN_MOST 12 // of the changes that help

static void write_remedy(const sw_remedies *of, const sw_remedy *r, const sw_report_style *style, page *p)
{
    page line = {0};
    sw_words_remedy(of, r, style->units, &line);
    sw_page_wrap_page(p, style->width, "  ", "    ", &line);
}

/* Under one heading those that are enough, or those that are not. */
static void write_list(const sw_remedies *of, int enough, const char *heading, const sw_report_style *style,
                       page *p)
{
    int shown = 0, more = 0;
    for (int i = 0; i < of->count; i++) {
        if (sw_is_enough(&of->remedy[i].worst) != enough)
            continue;
        if (shown == 0)
            sw_page_add(p, "\n%s\n", heading);
        if (shown < SHOWN_MOST)
            write_remedy(of, &of->remedy[i], style, p);
        more += shown >= SHOWN_MOST;
        shown++;
    }
    if (more > 0)
        sw_page_add(p, "  ... and %d more that do less\n", more);
}

// ---- the smallest ----

static void write_smallest(const sw_remedies *of, const sw_smallest *s, const sw_report_style *style, page *p)
{
    page line = {0};
    sw_words_smallest(of, s, style->units, &line);
    sw_page_wrap_page(p, style->width, "  ", "    ", &line);
}

// ---- the report ----

static int tried_engine(const sw_remedies *of)
{
    for (int i = 0; i < of->count; i++)
        if (of->remedy[i].change[0].kind == SW_CHANGE_IDLE || of->remedy[i].change[0].kind == SW_CHANGE_DRIVE)
            return 1;
    return 0;
}

static void write_end(const sw_remedies *of, const sw_report_style *style, page *p)
{
    page line = {0};
    sw_page_add(&line, "%d changes were rehearsed%s.", of->tried,
                of->base->has_poor ? ", and are judged by the poor week of place and month" : "");
    if (of->unfit > 0)
        sw_page_add(&line, " %d more are too much for payload, axle or roof.", of->unfit);
    sw_page_add(&line, " A weighbridge decides what the vehicle bears.");
    sw_page_add(p, "\n");
    sw_page_wrap_page(p, style->width, "", "", &line);
    if (tried_engine(of))
        sw_page_wrap(
            p, style->width, "", "",
            "Engine exhaust kills: never idle the engine where people sleep or exhaust can gather. For "
            "all electrical work follow local codes and a licensed practitioner.");
    else
        sw_page_wrap(p, style->width, "", "",
                     "For all electrical work follow local codes and a licensed practitioner.");
}

sw_status sw_report_remedies(const sw_remedies *of, const sw_report_style *style, char **out)
{
    page p = {0};
    sw_words_wrap_verdict(of->base, style->width, &p);
    sw_page_add(&p, "%s\n", sw_words_remedies(of));
    write_list(of, 1, sw_is_enough(&of->worst) ? "What would add margin" : "Enough by itself", style, &p);
    if (of->has_pair) {
        sw_page_add(&p, "\nTogether enough, and the cheapest two\n");
        write_remedy(of, &of->pair, style, &p);
    }
    write_list(of, 0, "Helps, but is not enough", style, &p);
    sw_page_add(&p, "\nThe smallest that holds, all else as it is\n");
    for (int i = 0; i < of->smallests; i++)
        write_smallest(of, &of->smallest[i], style, &p);
    write_end(of, style, &p);
    return sw_growing_take(&p, out);
}

// ---- JSON ----

static void put_remedy(tree *t, cJSON *object, const char *key, const sw_remedies *of, const sw_remedy *r)
{
    cJSON *item = sw_put_new(t, object, key, cJSON_CreateObject());
    page says = {0};
    char *text = NULL;
    sw_words_changes(of, r, SW_UNITS_SI, &says);
    if (sw_growing_take(&says, &text) == SW_OK)
        sw_put_text(t, item, "change", text);
    else
        t->failed = 1;
    free(text);
    sw_put(t, item, "enough", cJSON_CreateBool(sw_is_enough(&r->worst)));
    sw_put_number(t, item, "price", r->price, 2);
    sw_put_number(t, item, "mass_kg", r->mass_kg, 2);
    sw_put_outcome(t, item, "outcome", of->base, &r->outcome);
    if (of->base->has_poor)
        sw_put_outcome(t, item, "poor_week", of->base, &r->poor);
}

static void put_smallest(tree *t, cJSON *list, const sw_remedies *of, const sw_smallest *s)
{
    const sw_van *van = of->base->plan->van;
    cJSON *item = sw_put_new(t, list, NULL, cJSON_CreateObject());
    sw_put_text(t, item, "of", s->array < 0 ? "battery" : van->array[s->array].name);
    sw_put_number(t, item, "now", s->has, 0);
    sw_put_number(t, item, "holds", s->units > 0 ? s->units : NAN, 0);
    sw_put_number(t, item, "tried", s->tried, 0);
    sw_put(t, item, "fits", cJSON_CreateBool(s->limit == SW_FITS));
}

sw_status sw_report_remedies_json(const sw_remedies *of, char **out)
{
    tree t = {0};
    cJSON *root = cJSON_CreateObject();
    *out = NULL;
    if (root == NULL)
        return SW_NO_MEMORY;
    sw_put_number(&t, root, "format", 1.0, 0);
    sw_put_text(&t, root, "kind", "remedies");
    sw_put_text(&t, root, "trip", of->base->plan->trip->name);
    sw_put_text(&t, root, "van", of->base->plan->van->name);
    sw_put_text(&t, root, "currency", of->base->plan->van->currency);
    sw_put_outcome(&t, root, "outcome", of->base, &of->base->outcome);
    if (of->base->has_poor)
        sw_put_outcome(&t, root, "poor_week", of->base, &of->base->poor);
    sw_put(&t, root, "enough", cJSON_CreateBool(sw_is_enough(&of->worst)));
    cJSON *list = sw_put_new(&t, root, "remedies", cJSON_CreateArray());
    for (int i = 0; i < of->count; i++)
        put_remedy(&t, list, NULL, of, &of->remedy[i]);
    if (of->has_pair)
        put_remedy(&t, root, "pair", of, &of->pair);
    cJSON *small = sw_put_new(&t, root, "smallest", cJSON_CreateArray());
    for (int i = 0; i < of->smallests; i++)
        put_smallest(&t, small, of, &of->smallest[i]);
    sw_put_number(&t, root, "changes_tried", of->tried, 0);
    sw_put_number(&t, root, "changes_that_do_not_fit", of->unfit, 0);
    char *text = t.failed ? NULL : cJSON_Print(root);
    cJSON_Delete(root);
    *out = text;
    return text != NULL ? SW_OK : SW_NO_MEMORY;
}
