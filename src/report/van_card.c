// The card of a van for its cupboard door: one page, whatever the trip.
#include "stillwatt/sheet.h"

#include "report/html.h"
#include "report/sheet_parts.h"
#include "report/words.h"

#include <math.h>
#include <stdio.h>

static const char *const months[] = {"Jan", "Feb", "Mar", "Apr", "May", "Jun",
                                     "Jul", "Aug", "Sep", "Oct", "Nov", "Dec"};

// ---- the battery ----

static void write_usable(const sw_card *c, sw_units units, page *p)
{
    const sw_battery_spec *b = &c->plan->van->battery;
    double reserve = c->plan->trip->reserve, ah = b->capacity_ah * b->parallel * b->health * (1.0 - reserve);
    char energy[48], charge[48], share[16];
    page line = {0};
    sw_page_add(&line, "Usable from full down to the reserve line of %s %%: %s, %s.",
                sw_words_exact(reserve, share),
                sw_words_quantity(c->rehearsal->usable_wh, SW_DIM_ENERGY, units, energy),
                sw_words_quantity(ah, SW_DIM_CHARGE, units, charge));
    sw_sheet_item(p, &line);
}

static void write_refills(const sw_card *c, page *p)
{
    for (int k = SW_REFILL_DRIVE; k <= SW_REFILL_HOOKUP; k++) {
        page line = {0};
        if (isnan(c->limits->refill_h[k]))
            continue;
        sw_words_refill_whole(c->limits, (sw_refill)k, &line);
        sw_sheet_item(p, &line);
    }
}

static void write_cold(const sw_card *c, sw_units units, page *p)
{
    const sw_battery_spec *b = &c->plan->van->battery;
    char cold[48];
    page line = {0};
    if (b->chemistry == SW_LIFEPO4)
        sw_page_add(&line, "Never charge at or below %s: it harms lithium cells for good.",
                    sw_words_quantity(b->cold_stop_c, SW_DIM_TEMPERATURE, units, cold));
    else
        sw_page_add(&line, "Keep it full in frost: an empty lead battery freezes and may burst.");
    sw_sheet_item(p, &line);
}

static void write_volts(const sw_card *c, page *p)
{
    sw_html_element(
        p, "li", NULL,
        c->plan->van->battery.chemistry == SW_LIFEPO4
            ? "Volts do not tell lithium's charge in the middle: use the counting meter, and fill "
              "the battery once a month so that it counts from full (common practice, no source)."
            : "Volts tell lead's charge only after hours of rest: use the counting meter (common practice, "
              "no "
              "source).");
}

static void write_battery(const sw_card *c, sw_units units, page *p)
{
    page nights = {0};
    sw_html_element(p, "h2", NULL, "The battery");
    sw_page_add(p, "<ul>\n");
    write_usable(c, units, p);
    sw_words_nights(c->limits, units, &nights);
    sw_page_add(&nights, " In no other month is it shorter.");
    sw_sheet_item(p, &nights);
    write_refills(c, p);
    write_cold(c, units, p);
    write_volts(c, p);
    sw_page_add(p, "</ul>\n");
}

// ---- AC ----

static void write_inverter(const sw_card *c, sw_units units, page *p)
{
    const sw_inverter_spec *v = c->plan->van->inverter;
    char most[48];
    page line = {0};
    if (v == NULL)
        return;
    sw_page_add(&line, "The inverter gives %s at most. ",
                sw_words_quantity(v->rated_w, SW_DIM_POWER, units, most));
    sw_words_inverter(c->plan->van, units, &line);
    sw_sheet_item(p, &line);
}

static void write_inlet(const sw_card *c, sw_units units, page *p)
{
    const sw_shore_spec *s = c->plan->van->shore;
    char amps[48], volts[48];
    page line = {0};
    if (s == NULL)
        return;
    sw_page_add(&line,
                "At a hookup set the inlet to what the pedestal gives, and never to more than %s at %s.",
                sw_words_quantity(s->inlet_a, SW_DIM_CURRENT, units, amps),
                sw_words_quantity(s->inlet_v, SW_DIM_VOLTAGE, units, volts));
    double steady = sw_steady_share(s->inlet_v);
    if (steady < 1.0)
        sw_page_add(&line, " What runs for three hours or longer should take no more than %d %% of it, %s.",
                    sw_words_share(steady),
                    sw_words_quantity(steady * s->inlet_a, SW_DIM_CURRENT, units, amps));
    sw_sheet_item(p, &line);
}

static void write_ac(const sw_card *c, sw_units units, page *p)
{
    if (c->plan->van->inverter == NULL && c->plan->van->shore == NULL)
        return;
    sw_html_element(p, "h2", NULL, "Sockets");
    sw_page_add(p, "<ul>\n");
    write_inverter(c, units, p);
    sw_sheet_clashes(c->limits, 0, units, p);
    write_inlet(c, units, p);
    sw_page_add(p, "</ul>\n");
}

// ---- the year ----

static void put_nights(double nights, page *p)
{
    if (isinf(nights))
        sw_html_cell(p, 0, "%d+", SW_CARD_NIGHTS);
    else
        sw_html_cell(p, 0, "%.1f", floor(10.0 * nights + 1e-9) / 10.0);
}

static void put_mark(double mark, page *p)
{
    if (isinf(mark))
        sw_html_cell(p, 0, "not enough");
    else
        sw_html_cell(p, 0, "%d %%", sw_words_percent_up(mark));
}

static void write_month(const sw_card *c, int m, int drives, page *p)
{
    const sw_card_month *of = &c->month[m];
    int has_sun = c->plan->van->arrays > 0;
    sw_page_add(p, "<tr>");
    sw_html_cell(p, 1, "%s", months[m]);
    if (has_sun)
        sw_html_cell(p, 0, "%.2f", of->harvest_wh / 1000.0);
    put_nights(of->nights, p);
    if (has_sun)
        put_nights(of->poor_nights, p);
    if (drives)
        put_nights(of->driven, p);
    if (drives && has_sun)
        put_nights(of->poor_driven, p);
    put_mark(of->evening_mark, p);
    sw_page_add(p, "</tr>\n");
}

static int has_tilted(const sw_van *van)
{
    for (int a = 0; a < van->arrays; a++)
        if (van->array[a].fixed_to == SW_FIXED_VAN && van->array[a].tilt_deg > 0.0)
            return 1;
    return 0;
}

static void write_year(const sw_card *c, page *p)
{
    int drives = c->plan->van->alternator != NULL, has_sun = c->plan->van->arrays > 0;
    page says = {0}, small = {0};
    sw_page_add(&says, "How many nights, month by month, at %s", c->name);
    sw_html_take(p, "h2", NULL, &says);
    sw_page_add(p, "<div class=\"wide-table\" tabindex=\"0\" role=\"region\" aria-label=\"months\"><table "
                   "id=\"months\">\n<thead><tr>");
    sw_html_cell(p, 2, "month");
    if (has_sun)
        sw_html_cell(p, 2, "kWh a day");
    sw_html_cell(p, 2, "parked");
    if (has_sun)
        sw_html_cell(p, 2, "parked, poor");
    if (drives)
        sw_html_cell(p, 2, "driven");
    if (drives && has_sun)
        sw_html_cell(p, 2, "driven, poor");
    sw_html_cell(p, 2, "evening mark");
    sw_page_add(p, "</tr></thead>\n<tbody>\n");
    for (int m = 0; m < 12; m++)
        write_month(c, m, drives, p);
    sw_page_add(p, "</tbody></table></div>\n");
    if (has_sun)
        sw_page_add(&small,
                    "kWh a day: what the panels offer under the average sky. Poor: all of it as poor as "
                    "one week in ten. ");
    sw_page_add(
        &small,
        "Parked%s: nights from full to the reserve line with what the van file asks for, parked all day%s. "
        "Evening mark: the charge at sunset under which %s day after it ends under the line; with less, ",
        drives ? ", driven" : "", drives ? " or with an hour's drive every afternoon" : "",
        has_sun ? "a poor" : "the");
    (void)sw_words_ways(c->plan->van, "save", 1, &small);
    sw_page_add(&small, ".%s",
                has_tilted(c->plan->van) ? " Tilted panels are reckoned with the van's nose to the north."
                                         : "");
    sw_html_take(p, "p", "small", &small);
}

// ---- laying up ----

static void write_storage(const sw_card *c, page *p)
{
    const sw_van *van = c->plan->van;
    page stop = {0}, off = {0};
    sw_html_element(p, "h2", NULL, "Before it is laid up");
    sw_page_add(p, "<ul>\n");
    sw_html_element(p, "li", NULL,
                    van->battery.chemistry == SW_LIFEPO4
                        ? "Charge to about half, 50 to 60 % (common practice, no source), and open the "
                          "battery's main switch: one that stands empty is damaged for good."
                        : "Charge it full, open the battery's main switch, and charge it again every month "
                          "(common practice, no source): one that stands empty is damaged for good.");
    if (sw_words_stopped(van, "With the switch these stop: ", &stop) > 0)
        sw_page_add(&stop, ".");
    sw_sheet_item(p, &stop);
    sw_page_add(&off, "Switch off %sfridge and lights%s", van->inverter != NULL ? "inverter, " : "",
                van->arrays > 0 ? "; cover or disconnect the panels only if their maker says so." : ".");
    sw_sheet_item(p, &off);
    sw_page_add(p, "</ul>\n");
}

sw_status sw_report_card(const sw_card *card, sw_units units, const sw_imprint *imprint, char **out)
{
    page p = {0};
    sw_html_open(&p, card->plan->van->name);
    sw_page_add(&p, "<main class=\"card-page\">\n");
    sw_html_element(&p, "h1", NULL, card->plan->van->name);
    sw_html_element(&p, "p", "of", "For the cupboard door: what the system can do, and how to live with it.");
    write_battery(card, units, &p);
    write_year(card, &p);
    write_ac(card, units, &p);
    sw_sheet_appliances(card->rehearsal, card->portion, units, &p);
    write_storage(card, &p);
    sw_sheet_cautions(card->rehearsal, units, &p);
    sw_page_add(&p, "</main>\n");
    sw_sheet_foot(imprint, &p);
    sw_html_close(&p);
    return sw_growing_take(&p, out);
}
