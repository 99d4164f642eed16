// How long a stay can last: for a terminal and as JSON.
#include "report/tree.h"
#include "report/words.h"

#include "stillwatt/stretch.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>

/// What runs out, as a row; what would add a day.
static const struct {
    const char *row, *key, *less;
    sw_dimension dimension;
} causes[SW_STRETCH_CAUSES] = {
    [SW_STRETCH_CHARGE] = {"charge", "charge", "used", SW_DIM_ENERGY},
    [SW_STRETCH_POOR] = {"charge, poor sky", "charge_poor_sky", NULL, SW_DIM_ENERGY},
    [SW_STRETCH_TANK + SW_TANK_FRESH] = {"fresh water", "fresh", "used", SW_DIM_VOLUME},
    [SW_STRETCH_TANK + SW_TANK_GREY] = {"grey water", "grey", "drained", SW_DIM_VOLUME},
    [SW_STRETCH_TANK + SW_TANK_TOILET] = {"toilet", "toilet", "brought in", SW_DIM_VOLUME},
    [SW_STRETCH_TANK + SW_TANK_FUEL] = {"fuel", "fuel", "burnt", SW_DIM_VOLUME},
    [SW_STRETCH_TANK + SW_TANK_CAN] = {"generator's can", "can", "burnt", SW_DIM_VOLUME},
};

static const char *const charge_ends[SW_STRETCH_WHYS] = {
    [SW_STRETCH_UNDER] = "the charge falls under the reserve line",
    [SW_STRETCH_EMPTY] = "the battery no longer carries all that is asked",
    [SW_STRETCH_COLD] = "the battery is too cold to give anything",
    [SW_STRETCH_SAG] = "the voltage sinks to the inverter's cut-out",
    [SW_STRETCH_MEDICAL] = "a medical device goes without power",
};

static void say_end(const sw_stretched *s, int cause, page *p)
{
    if (cause >= SW_STRETCH_TANK)
        sw_page_add(p, "%s", sw_words_tank_ends(cause - SW_STRETCH_TANK));
    else
        sw_page_add(p, "%s%s", charge_ends[s->end[cause].why],
                    cause == SW_STRETCH_POOR ? " if the sky is as poor as one week in ten" : "");
    sw_page_add(p, ".");
}

#define SHORTEST 0.05 // days: what lasts shorter has ended with the arrival

/* Days cut down to tenths. */
static double whole_tenths(double days)
{
    return floor(days * 10.0 + 1e-9) / 10.0;
}

void sw_words_stretch(const sw_stretched *s, page *p)
{
    char when[32];
    const sw_itinerary *it = s->long_stay->course->itinerary;
    if (s->first < 0) {
        sw_page_add(p, "The stay at \"%s\" could go on for all the %d days that were looked at.", s->place,
                    s->days);
        return;
    }
    const sw_stretch_end *end = &s->end[s->first];
    sw_words_end_moment(it, end->at_s, when, sizeof when);
    if (end->at_s < s->arrival_s) {
        sw_page_add(p, "The stay at \"%s\" is not reached like this: before it, at %s, ", s->place, when);
        say_end(s, s->first, p);
        return;
    }
    if (end->days < SHORTEST) {
        sw_page_add(p, "The stay at \"%s\" cannot begin like this: on arrival (%s) ", s->place, when);
        say_end(s, s->first, p);
        return;
    }
    sw_page_add(p, "The stay at \"%s\" lasts %.1f days, until %s: then ", s->place, whole_tenths(end->days),
                when);
    say_end(s, s->first, p);
    double planned = (double)(s->planned_s - s->arrival_s) / 86400.0;
    if (end->at_s < s->planned_s)
        sw_page_add(p, " Planned are %.1f days.", planned);
    else
        sw_page_add(p, " That is %.1f days more than planned.", whole_tenths(end->days - planned));
}

static void write_end(const sw_stretched *s, int cause, const sw_report_style *style, page *p)
{
    const sw_stretch_end *end = &s->end[cause];
    char when[32], size[48], less[48], row[32];
    page line = {0};
    snprintf(row, sizeof row, "  %-17s", causes[cause].row);
    if (end->at_s == INT64_MAX) {
        sw_page_add(&line, "longer than %d days", s->days);
    } else {
        sw_words_end_moment(s->long_stay->course->itinerary, end->at_s, when, sizeof when);
        if (end->at_s < s->arrival_s)
            sw_page_add(&line, "not even until arrival: %s", when);
        else
            sw_page_add(&line, "%.1f days, until %s", whole_tenths(end->days), when);
    }
    if (!isnan(end->spare) && causes[cause].less != NULL)
        sw_page_add(&line, "; %s about %s a day, %s less %s would add a day",
                    cause == SW_STRETCH_CHARGE ? "the battery loses" : "it takes",
                    sw_words_quantity(end->per_day, causes[cause].dimension, style->units, size),
                    sw_words_quantity(end->spare, causes[cause].dimension, style->units, less),
                    causes[cause].less);
    sw_page_wrap_page(p, style->width, row, "                   ", &line);
}

sw_status sw_report_stretch(const sw_stretched *s, const sw_report_style *style, char **out)
{
    page p = {0}, answer = {0};
    sw_words_stretch(s, &answer);
    sw_page_wrap_page(&p, style->width, "", "", &answer);
    sw_page_add(&p, "\nWhat ends it, counted from arrival\n");
    for (int c = 0; c < SW_STRETCH_CAUSES; c++)
        if (s->end[c].counted)
            write_end(s, c, style, &p);
    sw_page_add(&p, "\n");
    sw_page_wrap(
        &p, style->width, "", "",
        "Tanks that the van file does not tell are not counted. `stillwatt remedy` says what would make "
        "the charge last.");
    return sw_growing_take(&p, out);
}

sw_status sw_report_stretch_json(const sw_stretched *s, char **out)
{
    tree t = {0};
    cJSON *root = cJSON_CreateObject();
    const sw_rehearsal *r = s->long_stay;
    *out = NULL;
    if (root == NULL)
        return SW_NO_MEMORY;
    sw_put_number(&t, root, "format", 1.0, 0);
    sw_put_text(&t, root, "kind", "stretch");
    sw_put_text(&t, root, "trip", r->plan->trip->name);
    sw_put_text(&t, root, "van", r->plan->van->name);
    sw_put_text(&t, root, "place", s->place);
    sw_put_time(&t, root, "arrival", r, s->arrival_s);
    sw_put_number(&t, root, "planned_days", (double)(s->planned_s - s->arrival_s) / 86400.0, 3);
    sw_put_number(&t, root, "looked_at_days", s->days, 0);
    if (s->first >= 0)
        sw_put_text(&t, root, "first", causes[s->first].key);
    else
        sw_put(&t, root, "first", cJSON_CreateNull());
    cJSON *ends = sw_put_new(&t, root, "ends", cJSON_CreateObject());
    for (int c = 0; c < SW_STRETCH_CAUSES; c++) {
        if (!s->end[c].counted)
            continue;
        cJSON *item = sw_put_new(&t, ends, causes[c].key, cJSON_CreateObject());
        sw_put_number(&t, item, "days", s->end[c].days, 3);
        sw_put_number(&t, item, causes[c].dimension == SW_DIM_ENERGY ? "wh_a_day" : "l_a_day",
                      s->end[c].per_day, 3);
        sw_put_number(&t, item, "less_a_day_for_a_day_more", s->end[c].spare, 3);
    }
    char *text = t.failed ? NULL : cJSON_Print(root);
    cJSON_Delete(root);
    *out = text;
    return text != NULL ? SW_OK : SW_NO_MEMORY;
}
