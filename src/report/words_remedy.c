// Sentences about what would make a trip hold.
#include "report/words.h"

#include <math.h>
#include <string.h>

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

/* Between what was said since `begin` and what follows. */
static const char *comma(const page *out, size_t begin)
{
    return out->length > begin ? ", " : "";
}

/* The reserve line is what counts; a change that is not enough says how far it comes. */
static void say_effect(const sw_outcome *was, const sw_outcome *is, page *out)
{
    char had[48], has[48];
    size_t begin = out->length;
    if (sw_is_enough(is)) {
        int lowest = sw_words_percent(is->lowest_soc);
        sw_page_add(out, "the charge stays %s %d %%", lowest == 100 ? "at" : "above", lowest);
        return;
    }
    if (sw_words_percent(is->lowest_soc) != sw_words_percent(was->lowest_soc))
        sw_page_add(out, "lowest charge %d %% instead of %d %%", sw_words_percent(is->lowest_soc),
                    sw_words_percent(was->lowest_soc));
    if (was->missed_wh >= 1.0 && is->missed_wh < 1.0)
        sw_page_add(out, "%sall is served", comma(out, begin));
    else if (was->missed_wh >= 1.0) {
        sw_words_quantity(is->missed_wh, SW_DIM_ENERGY, SW_UNITS_SI, has);
        sw_words_quantity(was->missed_wh, SW_DIM_ENERGY, SW_UNITS_SI, had);
        if (strcmp(has, had) != 0)
            sw_page_add(out, "%s%s not served instead of %s", comma(out, begin), has, had);
    }
    if (is->under_days != was->under_days)
        sw_page_add(out, "%s%d day%s under the line instead of %d", comma(out, begin), is->under_days,
                    is->under_days == 1 ? "" : "s", was->under_days);
    if (out->length == begin)
        sw_page_add(out, "a little better");
}

void sw_words_changes(const sw_remedies *of, const sw_remedy *r, sw_units units, page *out)
{
    for (int i = 0; i < r->changes; i++) {
        if (i > 0)
            sw_page_add(out, ", and: ");
        sw_words_change(&r->change[i], of->base->plan, units, out);
    }
}

void sw_words_remedy(const sw_remedies *of, const sw_remedy *r, sw_units units, page *out)
{
    sw_words_changes(of, r, units, out);
    sw_page_add(out, ": ");
    say_effect(&of->worst, &r->worst, out);
    say_cost(of, r, units, out);
    sw_page_add(out, ".");
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

void sw_words_smallest(const sw_remedies *of, const sw_smallest *s, sw_units units, page *out)
{
    const sw_van *van = of->base->plan->van;
    int series = s->array < 0 ? van->battery.series : 1;
    sw_page_add(out, "%s: ", s->array < 0 ? "battery" : van->array[s->array].name);
    if (s->units == 0) {
        sw_page_add(out, "not even %d %s are enough, with all else as it is.", s->tried * series,
                    s->array < 0 ? "batteries" : "panels");
    } else {
        say_units(of, s, units, out);
        if (s->units == s->has)
            sw_page_add(out, ", as it has now");
        else
            sw_page_add(out, " (now %d)", s->has * series);
        if (s->units > s->step)
            sw_page_add(out, "; %d do%s not hold", (s->units - s->step) * series,
                        (s->units - s->step) * series == 1 ? "es" : "");
        if (s->limit != SW_FITS)
            sw_page_add(out, ", but the vehicle does not bear it: %s", limit_says[s->limit]);
        sw_page_add(out, ".");
    }
}

// ---- the answer ----

static int any_enough(const sw_remedies *of)
{
    for (int i = 0; i < of->count; i++)
        if (sw_is_enough(&of->remedy[i].worst))
            return 1;
    return 0;
}

const char *sw_words_remedies(const sw_remedies *of)
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
    return says;
}
