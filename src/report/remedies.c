// What would make a trip hold: for a terminal and as JSON.
#include "report/tree.h"
#include "report/words.h"

#include <math.h>
#include <stdlib.h>

#define SHOWN_MOST 12 // of the changes that help

// ---- words ----

static void say_cost(const sw_remedies *of, const sw_remedy *r, sw_units units, page *out)
{
    const char *currency = of->base->plan->van->currency;
    char mass[48];
    if (isnan(r->price))
        sw_page_add(out, "; the price is not in the van file");
    else if (r->price > 0.0)
        sw_page_add(out, "; %.0f%s%s", r->price, currency[0] != '\0' ? " " : "", currency);
    if (r->mass_kg > 0.0)
        sw_page_add(out, "%s %s", r->price > 0.0 ? " and" : ";",
                    sw_words_quantity(r->mass_kg, SW_DIM_MASS, units, mass));
}

/* The reserve line is what counts; a change that is not enough says how far it comes. */
static void say_effect(const sw_outcome *was, const sw_outcome *is, page *out)
{
    char had[48], has[48];
    if (sw_is_enough(is)) {
        sw_page_add(out, "the charge stays above %d %%", sw_words_percent(is->lowest_soc));
        return;
    }
    sw_page_add(out, "lowest charge %d %% instead of %d %%", sw_words_percent(is->lowest_soc),
                sw_words_percent(was->lowest_soc));
    if (was->missed_wh >= 1.0 && is->missed_wh < 1.0)
        sw_page_add(out, ", and all is served");
    else if (was->missed_wh >= 1.0)
        sw_page_add(out, ", %s not served instead of %s",
                    sw_words_quantity(is->missed_wh, SW_DIM_ENERGY, SW_UNITS_SI, has),
                    sw_words_quantity(was->missed_wh, SW_DIM_ENERGY, SW_UNITS_SI, had));
    if (is->under_days != was->under_days)
        sw_page_add(out, ", %d day%s under the line instead of %d", is->under_days,
                    is->under_days == 1 ? "" : "s", was->under_days);
}

static void say_changes(const sw_remedies *of, const sw_remedy *r, sw_units units, page *out)
{
    for (int i = 0; i < r->changes; i++) {
        if (i > 0)
            sw_page_add(out, ", and: ");
        sw_words_change(&r->change[i], of->base->plan, units, out);
    }
}

static void write_remedy(const sw_remedies *of, const sw_remedy *r, const sw_report_style *style, page *p)
{
    page line = {0};
    say_changes(of, r, style->units, &line);
    sw_page_add(&line, ": ");
    say_effect(&of->worst, &r->worst, &line);
    say_cost(of, r, style->units, &line);
    sw_page_add(&line, ".");
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

static const char *const limit_says[] = {"", "the payload", "the front axle", "the rear axle",
                                         "the free roof"};

static void say_units(const sw_remedies *of, const sw_smallest *s, sw_units units, page *out)
{
    const sw_van *van = of->base->plan->van;
    char size[48];
    if (s->array < 0)
        sw_page_add(out, "%d batter%s of %s", s->units * van->battery.series,
                    s->units * van->battery.series == 1 ? "y" : "ies",
                    sw_words_quantity(van->battery.capacity_ah, SW_DIM_CHARGE, units, size));
    else
        sw_page_add(out, "%d panel%s of %s", s->units, s->units == 1 ? "" : "s",
                    sw_words_quantity(van->array[s->array].rated_w, SW_DIM_POWER, units, size));
}

static void write_smallest(const sw_remedies *of, const sw_smallest *s, const sw_report_style *style, page *p)
{
    const sw_van *van = of->base->plan->van;
    int series = s->array < 0 ? van->battery.series : 1;
    page line = {0};
    sw_page_add(&line, "%s: ", s->array < 0 ? "battery" : van->array[s->array].name);
    if (s->units == 0) {
        sw_page_add(&line, "not even %d %s are enough, with all else as it is.", s->tried * series,
                    s->array < 0 ? "batteries" : "panels");
    } else {
        say_units(of, s, style->units, &line);
        if (s->units == s->has)
            sw_page_add(&line, ", as it has now");
        else
            sw_page_add(&line, " (now %d)", s->has * series);
        if (s->units > s->step)
            sw_page_add(&line, "; %d do%s not hold", (s->units - s->step) * series,
                        (s->units - s->step) * series == 1 ? "es" : "");
        if (s->limit != SW_FITS)
            sw_page_add(&line, ", but the vehicle does not bear it: %s", limit_says[s->limit]);
        sw_page_add(&line, ".");
    }
    sw_page_wrap_page(p, style->width, "  ", "    ", &line);
}

// ---- the report ----

static int any_enough(const sw_remedies *of)
{
    for (int i = 0; i < of->count; i++)
        if (sw_is_enough(&of->remedy[i].worst))
            return 1;
    return 0;
}

static void write_answer(const sw_remedies *of, page *p)
{
    const char *says = "Nothing that was tried helps.";
    if (sw_is_enough(&of->worst))
        says =
            of->count > 0 ? "It holds as it is." : "It holds as it is; nothing that was tried adds margin.";
    else if (any_enough(of))
        says = "One change is enough.";
    else if (of->has_pair)
        says = "No single change is enough, but two together are.";
    else if (of->pairs_left > 0)
        says = "Neither one change nor two of the cheapest are enough; dearer pairs were not tried.";
    else if (of->count > 0)
        says = "Neither one change nor any two are enough.";
    sw_page_add(p, "%s\n", says);
}

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
    page p = {0}, verdict = {0};
    sw_words_verdict(of->base, &verdict);
    sw_page_wrap_page(&p, style->width, "", "", &verdict);
    write_answer(of, &p);
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
    say_changes(of, r, SW_UNITS_SI, &says);
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
