// What a plan stands on: the values that nobody gave, and what the parts weigh, cost and cover.
#include "report/words.h"
#include "stillwatt/burden.h"

#include <math.h>
#include <stdlib.h>

static void write_parts(const sw_van *van, const sw_report_style *style, page *p)
{
    char a[48], b[48];
    sw_burden s;
    sw_burden_of(van, &s);
    const sw_vehicle *v = &van->vehicle;
    if (s.mass_kg > 0.0)
        sw_page_add(p, "  parts weigh %s", sw_words_quantity(s.mass_kg, SW_DIM_MASS, style->units, a));
    if (s.mass_kg > 0.0 && !isnan(v->payload_kg))
        sw_page_add(p, " of %s payload%s (a weighbridge decides)",
                    sw_words_quantity(v->payload_kg, SW_DIM_MASS, style->units, b),
                    s.mass_kg > v->payload_kg ? ": TOO MUCH" : "");
    if (s.mass_kg > 0.0)
        sw_page_add(p, "%s\n", s.without_mass > 0 ? "; some parts give no mass" : "");
    if (s.price > 0.0)
        sw_page_add(p, "  parts cost %.0f %s%s\n", s.price, van->currency,
                    s.without_price > 0 ? "; some parts give no price" : "");
    if (s.labour_s > 0.0)
        sw_page_add(p, "  fitting takes %s\n", sw_words_quantity(s.labour_s, SW_DIM_TIME, style->units, a));
    if (s.roof_m2 > 0.0 && !isnan(v->free_roof_m2))
        sw_page_add(p, "  panels cover %s of %s free roof%s\n",
                    sw_words_quantity(s.roof_m2, SW_DIM_AREA, style->units, a),
                    sw_words_quantity(v->free_roof_m2, SW_DIM_AREA, style->units, b),
                    s.roof_m2 > v->free_roof_m2 ? ": TOO MUCH" : "");
}

static void write_assumptions(const sw_plan *plan, const sw_report_style *style, page *p)
{
    char value[48], low[48], high[48];
    if (plan->assumptions == 0)
        sw_page_add(p, "  nothing was assumed\n");
    else
        sw_page_add(p, "  assumed, because nobody said:\n");
    for (int i = 0; i < plan->assumptions; i++) {
        const sw_assumption *a = &plan->assumption[i];
        page sentence = {0};
        char *text = NULL;
        sw_page_add(&sentence, "%s: %s", a->path, a->says);
        if (a->at != NULL)
            sw_page_add(&sentence, ", %s", sw_words_quantity(*a->at, a->dimension, style->units, value));
        else if (a->value[0] != '\0')
            sw_page_add(&sentence, ", %s", a->value);
        if (a->at != NULL && a->low < a->high)
            sw_page_add(&sentence, " (plausible %s to %s)",
                        sw_words_quantity(a->low, a->dimension, style->units, low),
                        sw_words_quantity(a->high, a->dimension, style->units, high));
        sw_page_add(&sentence, "; %s", a->mark);
        if (sw_growing_take(&sentence, &text) == SW_OK)
            sw_page_wrap(p, style->width, "    ", "      ", text);
        else
            p->failed = 1;
        free(text);
    }
}

sw_status sw_report_plan(const sw_plan *plan, const sw_report_style *style, char **out)
{
    page p = {0};
    write_parts(plan->van, style, &p);
    write_assumptions(plan, style, &p);
    return sw_growing_take(&p, out);
}
