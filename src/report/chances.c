// The chance that a trip holds: for a terminal and as JSON.
#include "report/tree.h"
#include "report/words.h"

#include "stillwatt/odds.h"

#include <math.h>
#include <stdlib.h>

#define NINE_IN_TEN 0.9
#define BAR         30 // columns of a month's bar

static const char *const months[] = {"January", "February", "March",     "April",   "May",      "June",
                                     "July",    "August",   "September", "October", "November", "December"};

// ---- the trip ----

static void write_chance(const sw_odds *o, const sw_report_style *style, page *p)
{
    page line = {0};
    sw_page_add(&line,
                "It holds, clear or tight, in %d of %d %s: a chance of %d %%, and 95 times in 100 between %d "
                "%% and %d %%.",
                o->holds.count, o->holds.of,
                o->by_years ? "years of the weather record"
                            : "skies that were drawn with the statistics of place and month",
                sw_words_share(o->holds.share), sw_words_share(o->holds.low), sw_words_share(o->holds.high));
    sw_page_wrap_page(p, style->width, "", "", &line);
}

static void write_spread(const sw_odds *o, const sw_report_style *style, page *p)
{
    page line = {0};
    char reserve[16];
    sw_page_add(
        &line,
        "The lowest charge is under %d %% in one %s of twenty, under %d %% in half of them, and over %d %% "
        "in one of twenty; the reserve line is %s %%.",
        sw_words_percent(o->lowest_soc[0]), o->by_years ? "year" : "sky", sw_words_percent(o->lowest_soc[1]),
        sw_words_percent(o->lowest_soc[2]), sw_words_exact(o->plan->trip->reserve, reserve));
    sw_page_wrap_page(p, style->width, "", "", &line);
    sw_page_add(p, "\n");
    for (int v = SW_HOLDS; v <= SW_OUT; v++)
        sw_page_add(p, "  %-6s %4d\n", sw_verdict_word((sw_verdict)v), o->verdicts[v]);
    sw_page_wrap(
        p, style->width, "  ", "  ",
        "holds: clear of the reserve line; tight: less than 10 points over it; under: under it; out: "
        "something is not served because of the battery, or a medical device not at all.");
}

// ---- the year ----

static void write_bar(double share, const sw_report_style *style, page *p)
{
    int full = (int)floor(share * BAR + 0.5);
    for (int i = 0; i < full; i++)
        sw_page_add(p, "%s", style->utf8 ? "\u2587" : "#");
}

static void write_month(const sw_share *s, const char *name, const sw_report_style *style, page *p)
{
    if (s->of == 0) {
        sw_page_add(p, "  %-9s   not possible on these dates\n", name);
        return;
    }
    sw_page_add(p, "  %-9s %3d %%  (%2d to %3d %%)%s", name, sw_words_share(s->share), sw_words_share(s->low),
                sw_words_share(s->high), s->share * BAR >= 0.5 ? "  " : "");
    write_bar(s->share, style, p);
    sw_page_add(p, "\n");
}

static void write_year(const sw_odds *o, const sw_report_style *style, page *p)
{
    page line = {0};
    int named = 0;
    sw_page_add(p, "\nMonth by month, begun on the same day of the month (%d skies each)\n",
                o->month[0].of > 0 ? o->month[0].of : o->month[6].of);
    for (int m = 0; m < o->months; m++)
        write_month(&o->month[m], months[m], style, p);
    sw_page_add(&line, "Nine times in ten it holds in: ");
    for (int m = 0; m < o->months; m++)
        if (o->month[m].of > 0 && o->month[m].share >= NINE_IN_TEN)
            sw_page_add(&line, "%s%s", named++ > 0 ? ", " : "", months[m]);
    sw_page_add(&line, "%s.", named > 0 ? "" : "no month");
    sw_page_wrap_page(p, style->width, "  ", "  ", &line);
}

sw_status sw_report_odds(const sw_odds *o, const sw_report_style *style, char **out)
{
    page p = {0}, names = {0};
    write_chance(o, style, &p);
    sw_page_add(&names, "%s, with %s", o->plan->trip->name, o->plan->van->name);
    sw_page_wrap_page(&p, style->width, "", "", &names);
    sw_page_add(&p, "\n");
    write_spread(o, style, &p);
    if (o->months > 0)
        write_year(o, style, &p);
    return sw_growing_take(&p, out);
}

// ---- JSON ----

static void put_share(tree *t, cJSON *object, const char *key, const sw_share *s)
{
    cJSON *item = sw_put_new(t, object, key, cJSON_CreateObject());
    sw_put_number(t, item, "holds", s->count, 0);
    sw_put_number(t, item, "of", s->of, 0);
    sw_put_number(t, item, "share", s->of > 0 ? s->share : NAN, 6);
    sw_put_number(t, item, "low", s->of > 0 ? s->low : NAN, 6);
    sw_put_number(t, item, "high", s->of > 0 ? s->high : NAN, 6);
}

sw_status sw_report_odds_json(const sw_odds *o, char **out)
{
    tree t = {0};
    cJSON *root = cJSON_CreateObject();
    *out = NULL;
    if (root == NULL)
        return SW_NO_MEMORY;
    sw_put_number(&t, root, "format", 1.0, 0);
    sw_put_text(&t, root, "kind", "odds");
    sw_put_text(&t, root, "trip", o->plan->trip->name);
    sw_put_text(&t, root, "van", o->plan->van->name);
    sw_put_text(&t, root, "by", o->by_years ? "years" : "chance");
    put_share(&t, root, "chance", &o->holds);
    cJSON *verdicts = sw_put_new(&t, root, "verdicts", cJSON_CreateObject());
    for (int v = SW_HOLDS; v <= SW_OUT; v++)
        sw_put_number(&t, verdicts, sw_verdict_word((sw_verdict)v), o->verdicts[v], 0);
    static const char *const keys[SW_ODDS_QUANTILES] = {"5", "50", "95"};
    cJSON *lowest = sw_put_new(&t, root, "lowest_charge_pct", cJSON_CreateObject());
    for (int q = 0; q < SW_ODDS_QUANTILES; q++)
        sw_put_number(&t, lowest, keys[q], 100.0 * o->lowest_soc[q], 3);
    if (o->months > 0) {
        cJSON *year = sw_put_new(&t, root, "months", cJSON_CreateArray());
        for (int m = 0; m < o->months; m++)
            put_share(&t, year, NULL, &o->month[m]);
    }
    char *text = t.failed ? NULL : cJSON_Print(root);
    cJSON_Delete(root);
    *out = text;
    return text != NULL ? SW_OK : SW_NO_MEMORY;
}
