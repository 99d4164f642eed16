// The page of a trip for its client: the verdict, the chart, what to mind day by day, how to live with the
// system. The builder's numbers stand behind it (sheet_numbers.c).
#include "stillwatt/sheet.h"

#include "report/html.h"
#include "report/sheet_parts.h"
#include "report/tide.h"
#include "report/words.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#define REMEDIES_TOLD 3 // of those that are enough, and of those that are not
#define WEIGHTS_TOLD  3

// ---- top ----

static void write_top(const sw_sheet *s, page *p)
{
    const sw_rehearsal *r = s->rehearsal;
    sw_verdict worst =
        r->has_poor && r->poor.verdict > r->outcome.verdict ? r->poor.verdict : r->outcome.verdict;
    page of = {0}, headline = {0}, verdict = {0}, beside = {0};
    char from[32], to[32];
    sw_words_moment(r->course->itinerary, r->course->itinerary->start_s, from, sizeof from);
    sw_words_end_moment(r->course->itinerary, r->course->itinerary->end_s, to, sizeof to);
    sw_html_element(p, "h1", NULL, r->plan->trip->name);
    sw_page_add(&of, "%s to %s, with %s", from, to, r->plan->van->name);
    sw_html_take(p, "p", "of", &of);
    sw_page_add(p, "<div class=\"verdict %s\">\n", sw_verdict_word(worst));
    sw_words_headline(r, &headline);
    sw_html_take(p, "strong", NULL, &headline);
    sw_words_verdict(r, &verdict);
    sw_html_take(p, "p", NULL, &verdict);
    sw_words_beside(r, &beside);
    sw_html_take(p, "p", NULL, &beside);
    sw_page_add(p, "</div>\n");
}

// ---- chart ----

static void put_hour(const sw_rehearsal *r, int h, page *p)
{
    const double *v = r->hour[h].value;
    double hours = (double)(r->hour[h].end_s - r->hour[h].start_s) / 3600.0;
    double other = v[SW_LEDGER_ALTERNATOR_USED] + v[SW_LEDGER_SHORE_AC] + v[SW_LEDGER_CHARGER_IN];
    double use =
        v[SW_LEDGER_SERVED] + v[SW_LEDGER_INVERTER_LOSS] + v[SW_LEDGER_CONTROLLER_SELF] + v[SW_LEDGER_PAD];
    char moment[32];
    sw_words_moment(r->course->itinerary, r->hour[h].start_s, moment, sizeof moment);
    sw_page_add(p, "%s[", h > 0 ? ",\n" : "");
    sw_html_quoted(p, moment);
    sw_page_add(p, ",%d,%d,%.0f,%.0f,%.0f]", (int)((r->hour[h].end_s - r->trip.start_s) / 60),
                sw_words_percent(v[SW_LEDGER_CHARGE] / 100.0), v[SW_LEDGER_SOLAR_USED] / hours, other / hours,
                use / hours);
}

static void write_hours(const sw_rehearsal *r, page *p)
{
    double wide[2], narrow[2];
    sw_tide_span(0, &wide[0], &wide[1]);
    sw_tide_span(1, &narrow[0], &narrow[1]);
    sw_page_add(p,
                "<script type=\"application/json\" "
                "id=\"hours\">{\"minutes\":%d,\"wide\":[%.0f,%.0f],\"narrow\":[%.0f,%.0f],",
                (int)((r->trip.end_s - r->trip.start_s) / 60), wide[0], wide[1], narrow[0], narrow[1]);
    sw_page_add(p, "\"hours\":[");
    for (int h = 0; h < r->hours; h++)
        put_hour(r, h, p);
    sw_page_add(p, "]}</script>\n");
}

/* The slider is there where the script is. */
static void write_chart(const sw_sheet *s, page *p)
{
    sw_page_add(p, "<figure>\n");
    sw_tide_in_page(s->rehearsal, 0, p);
    sw_tide_in_page(s->rehearsal, 1, p);
    sw_page_add(p, "<input type=\"range\" id=\"hour\" min=\"0\" max=\"0\" value=\"0\" aria-label=\"hour of "
                   "the trip\" hidden>\n"
                   "<figcaption id=\"says\" aria-live=\"polite\">Charge of the battery over the trip; below, "
                   "what comes in "
                   "and what is used.</figcaption>\n</figure>\n");
    write_hours(s->rehearsal, p);
}
// ---- living with it ----

static void write_plugging_in(const sw_sheet *s, page *p)
{
    double greatest = 0.0;
    page line = {0};
    for (int i = 0; s->limits != NULL && i < s->limits->evenings; i++)
        greatest = fmax(greatest, s->limits->evening[i].mark);
    if (isinf(greatest))
        sw_page_add(&line, "Not every evening is a full battery enough for the day after: ");
    else if (greatest > s->rehearsal->plan->trip->reserve + SHEET_NO_MARK)
        sw_page_add(&line, "Evening mark: with less than %d %% at sunset, ", sw_words_percent_up(greatest));
    else
        return;
    (void)sw_words_ways(s->rehearsal->plan->van, "save",
                        !sw_words_is_too_cold(s->rehearsal, 0, s->rehearsal->days), &line);
    sw_page_add(&line, ".");
    sw_html_take(p, "li", NULL, &line);
}

static void write_limits(const sw_sheet *s, page *p)
{
    const sw_limits *l = s->limits;
    page nights = {0};
    if (l == NULL)
        return;
    sw_words_nights(l, s->units, &nights);
    sw_html_take(p, "li", NULL, &nights);
    for (int k = 0; k < SW_REFILLS; k++) {
        page line = {0};
        if (isnan(l->refill_h[k]))
            continue;
        sw_words_refill_whole(l, (sw_refill)k, &line);
        sw_html_take(p, "li", NULL, &line);
    }
    sw_sheet_clashes(l, 1, s->units, p);
}

/* A list without items would be no list (HTML), nor would its heading tell anything. */
static void write_living(const sw_sheet *s, page *p)
{
    const sw_rehearsal *r = s->rehearsal;
    int is_lived = r->trip.value[SW_LEDGER_STORED_H] * 3600.0 < (double)(r->trip.end_s - r->trip.start_s);
    page list = {0}, inverter = {0};
    char *items = NULL;
    write_plugging_in(s, &list);
    sw_words_inverter(r->plan->van, s->units, &inverter);
    sw_html_take(&list, "li", NULL, &inverter);
    write_limits(s, &list);
    p->failed = sw_growing_take(&list, &items) != SW_OK || p->failed;
    if (is_lived || (items != NULL && items[0] != '\0'))
        sw_html_element(p, "h2", NULL, "How to live with the system");
    if (items != NULL && items[0] != '\0')
        sw_page_add(p, "<ul class=\"pair\">\n%s</ul>\n", items);
    free(items);
    if (is_lived)
        sw_sheet_appliances(r, NULL, s->units, p);
}

// ---- what else hangs on it ----

static void write_medical(const sw_sheet *s, page *p)
{
    const sw_rehearsal *r = s->rehearsal;
    for (int i = 0; i < r->medicals; i++) {
        page title = {0};
        sw_words_medical(r, &r->medical[i], s->units, &title);
        sw_html_take(p, "h2", NULL, &title);
        sw_page_add(p, "<ul>\n");
        for (int n = 0; n < r->medical[i].nights; n++) {
            page night = {0};
            sw_words_night(&r->medical[i].night[n], s->units, &night);
            sw_html_take(p, "li", NULL, &night);
        }
        sw_page_add(p, "</ul>\n");
    }
}

static void write_beside(const sw_sheet *s, page *p)
{
    const sw_rehearsal *r = s->rehearsal;
    const sw_itinerary *it = r->course->itinerary;
    page end = {0}, cabin = {0}, starter = {0};
    sw_html_element(p, "h2", NULL, "At the end, and besides");
    sw_page_add(p, "<ul>\n");
    sw_words_end(r, s->units, &end);
    sw_html_take(p, "li", NULL, &end);
    for (int i = 0; i < it->spans; i++) {
        page store = {0};
        if (it->span[i].kind == SW_LEG_STORE)
            sw_words_store(r, &it->span[i], s->units, &store);
        sw_html_take(p, "li", NULL, &store);
    }
    if (r->starter.has) {
        sw_page_add(&starter, "Starter battery: ");
        sw_words_starter(r, s->units, &starter);
        sw_html_take(p, "li", NULL, &starter);
    }
    if (r->plan->van->cabin != NULL)
        sw_words_cabin(r, s->units, &cabin);
    sw_html_take(p, "li", NULL, &cabin);
    sw_page_add(p, "</ul>\n");
}

// ---- what ends it, what helps, what was assumed ----

static void write_stretch(const sw_sheet *s, page *p)
{
    page line = {0};
    if (s->stretch == NULL)
        return;
    sw_html_element(p, "h2", NULL, "What runs out first");
    sw_words_stretch(s->stretch, &line);
    sw_html_take(p, "p", NULL, &line);
}

/* Under one heading those that are enough, or those that are not; of the dearest so many are left out. */
static void write_group(const sw_sheet *s, int enough, const char *heading, page *p)
{
    const sw_remedies *of = s->remedies;
    int is_answered = of->count > 0 && sw_is_enough(&of->remedy[0].worst); // the best stands first
    int told = 0, most = !enough && is_answered ? 1 : REMEDIES_TOLD;
    for (int i = 0; i < of->count && told < most; i++) {
        page line = {0};
        if (sw_is_enough(&of->remedy[i].worst) != enough)
            continue;
        if (told++ == 0) {
            sw_html_element(p, "h3", NULL, heading);
            sw_page_add(p, "<ul>\n");
        }
        sw_words_remedy(of, &of->remedy[i], s->units, &line);
        sw_sheet_item(p, &line);
    }
    sw_page_add(p, "%s", told > 0 ? "</ul>\n" : "");
}

static void write_pair(const sw_sheet *s, page *p)
{
    page line = {0};
    if (!s->remedies->has_pair)
        return;
    sw_html_element(p, "h3", NULL, "Together enough, and the cheapest two");
    sw_page_add(p, "<ul>\n");
    sw_words_remedy(s->remedies, &s->remedies->pair, s->units, &line);
    sw_sheet_item(p, &line);
    sw_page_add(p, "</ul>\n");
}

/* Where all is well nobody is sold what they do not need. */
static void write_remedies(const sw_sheet *s, page *p)
{
    const sw_remedies *of = s->remedies;
    page answer = {0};
    if (of == NULL || of->count == 0 || of->worst.verdict == SW_HOLDS)
        return;
    sw_html_element(p, "h2", NULL, "What would help");
    sw_page_add(&answer, "%s%s", sw_words_remedies(of),
                of->base->has_poor ? " Each was rehearsed, and is judged by the poor week of place and month."
                                   : "");
    sw_html_take(p, "p", NULL, &answer);
    write_group(s, 1, sw_is_enough(&of->worst) ? "What would add margin" : "Enough by itself", p);
    write_pair(s, p);
    write_group(s, 0, "Helps, but is not enough", p);
}

/* What weighs most of what nobody has given. @return how many */
static int write_weights(const sw_sheet *s, page *p)
{
    const sw_rehearsal *r = s->rehearsal;
    int told = 0;
    for (int i = 0; i < r->weights && told < WEIGHTS_TOLD; i++) {
        page line = {0};
        if (!sw_words_is_heavy(&r->weight[i]))
            continue;
        sw_page_add(p, "%s", told++ == 0 ? "<ul class=\"small\">\n" : "");
        sw_words_weight(r, &r->weight[i], s->units, &line);
        sw_html_take(p, "li", NULL, &line);
    }
    sw_page_add(p, "%s", told > 0 ? "</ul>\n" : "");
    return told;
}

static void write_averages(const sw_sheet *s, page *p)
{
    const sw_itinerary *it = s->rehearsal->course->itinerary;
    for (int i = 0; i < it->stops; i++) {
        page line = {0};
        if (it->stop[i].climate_known)
            sw_words_averages(it, &it->stop[i], s->units, &line);
        sw_html_take(p, "p", "small", &line);
    }
}

static void write_assumed(const sw_sheet *s, page *p)
{
    page rest = {0};
    sw_html_element(p, "h2", NULL, "What was assumed");
    int told = write_weights(s, p);
    sw_page_add(&rest, "%d values were given by nobody; %s", s->rehearsal->plan->assumptions,
                told > 0 ? "these weigh most. Measure them." : "none of the van's weighs much here.");
    sw_html_take(p, "p", "small", &rest);
    write_averages(s, p);
}

sw_status sw_report_sheet(const sw_sheet *s, char **out)
{
    page p = {0};
    sw_html_open(&p, s->rehearsal->plan->trip->name);
    sw_page_add(&p, "<main>\n");
    write_top(s, &p);
    write_chart(s, &p);
    sw_sheet_days(s, &p);
    write_medical(s, &p);
    write_living(s, &p);
    write_stretch(s, &p);
    write_beside(s, &p);
    write_remedies(s, &p);
    write_assumed(s, &p);
    sw_sheet_cautions(s->rehearsal, s->units, &p);
    sw_sheet_numbers(s, &p);
    sw_page_add(&p, "</main>\n");
    sw_sheet_foot(&s->imprint, &p);
    sw_html_close(&p);
    return sw_growing_take(&p, out);
}
