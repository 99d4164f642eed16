// Tables of the pages to hand over: appliances, days, energy, tanks; their cautions and foot.
#include "report/html.h"
#include "report/sheet_parts.h"
#include "report/words.h"

#include "stillwatt/loader.h"

#include <inttypes.h>
#include <math.h>
#include <stdlib.h>
#include <string.h>

#define KWH 1000.0

// ---- appliances ----

/// What an appliance takes, and for what.
typedef struct taking {
    double wh;       // 0: not known
    const char *one; // "use"
} taking;

/* Of a use, of an hour that it runs, or of a day where only that was measured, of all of its kind; what AC
   takes goes through the inverter at its best efficiency. */
static taking taking_of(const sw_rehearsal *r, const sw_load_spec *load)
{
    const sw_battery_spec *b = &r->plan->van->battery;
    const sw_inverter_spec *v = r->plan->van->inverter;
    double through = load->bus == SW_BUS_AC && v != NULL ? v->peak_efficiency : 1.0;
    taking t = {load->power_w, "running hour"};
    if (load->kind == SW_LOAD_USE || load->kind == SW_LOAD_HOT_WATER)
        t = (taking){load->power_w * load->each_s / 3600.0 * load->duty, "use"};
    else if (load->kind == SW_LOAD_STEADY)
        t = (taking){load->power_w * load->duty, "hour"};
    else if (load->kind == SW_LOAD_MEASURED)
        t = (taking){isnan(load->per_day_wh) ? load->per_day_ah * b->unit_v * b->series : load->per_day_wh,
                     "day"};
    t.wh = isfinite(t.wh) ? t.wh * load->count / through : 0.0;
    return t;
}

static const char *may_run(const sw_rehearsal *r, const sw_load_spec *load)
{
    const sw_inverter_spec *v = r->plan->van->inverter;
    if (load->bus != SW_BUS_AC)
        return "yes";
    return v == NULL                    ? "at a hookup only"
           : load->power_w > v->rated_w ? "no: more than the inverter gives"
                                        : "with the inverter on";
}

void sw_sheet_appliances(const sw_rehearsal *r, sw_units units, page *p)
{
    char power[48], energy[48];
    int rows = 0;
    for (int k = 0; k < r->plan->van->loads; k++) {
        const sw_load_spec *load = &r->plan->van->load[k];
        taking t = taking_of(r, load);
        if (!(t.wh > 0.0))
            continue;
        if (rows++ == 0)
            sw_page_add(p,
                        "<h3>What may run away from a hookup</h3>\n<div class=\"wide-table\" tabindex=\"0\" "
                        "role=\"region\" "
                        "aria-label=\"appliances\"><table>\n<thead><tr><th scope=\"col\">appliance</th><th "
                        "scope=\"col\">power</th>"
                        "<th scope=\"col\">may run</th><th scope=\"col\">one</th><th scope=\"col\">takes</th>"
                        "<th scope=\"col\">of what is usable</th></tr></thead>\n<tbody>\n");
        sw_page_add(p, "<tr>");
        sw_html_cell(p, 1, "%s", load->name);
        sw_html_cell(p, 0, "%s",
                     load->power_w > 0.0 ? sw_words_quantity(load->power_w, SW_DIM_POWER, units, power)
                                         : "-");
        sw_html_cell(p, 0, "%s", may_run(r, load));
        sw_html_cell(p, 0, "%s", t.one);
        sw_html_cell(p, 0, "%s", sw_words_quantity(t.wh, SW_DIM_ENERGY, units, energy));
        double percent = 100.0 * t.wh / r->usable_wh;
        sw_html_cell(p, 0, percent < 0.1 ? "under 0.1 %%" : "%.1f %%", percent);
        sw_page_add(p, "</tr>\n");
    }
    if (rows > 0)
        sw_page_add(p, "</tbody></table></div>\n");
}

// ---- days ----

/// A column of the day table, left out where it holds only zeros.
static const struct {
    const char *head;
    sw_ledger_column column, more;
} columns[] = {
    {"sun in", SW_LEDGER_SOLAR_USED, SW_LEDGER_COLUMNS},
    {"spilled", SW_LEDGER_SOLAR_SPILLED, SW_LEDGER_COLUMNS},
    {"engine", SW_LEDGER_ALTERNATOR_USED, SW_LEDGER_COLUMNS},
    {"inlet", SW_LEDGER_CHARGER_IN, SW_LEDGER_SHORE_AC},
    {"used", SW_LEDGER_SERVED, SW_LEDGER_COLUMNS},
};
enum { COLUMNS = sizeof columns / sizeof columns[0] };

static double of_day(const sw_account *a, int c)
{
    return a->value[columns[c].column] +
           (columns[c].more < SW_LEDGER_COLUMNS ? a->value[columns[c].more] : 0.0);
}

/* A row of one day, or of a week of them. */
static void write_row(const sw_rehearsal *r, int first, int count, page *p)
{
    char date[24], when[16];
    days_told t = sw_words_days_told(r, first, count);
    sw_words_date(r->course->itinerary->day[r->day[first].day].date, date, sizeof date);
    sw_words_end_clock(r->course->itinerary, t.lowest->lowest_at_s, when, sizeof when);
    sw_page_add(p, "<tr>");
    sw_html_cell(p, 1, "%s", date);
    sw_html_cell(p, 0, "%d %%%s", sw_words_percent(t.lowest->value[SW_LEDGER_LOWEST] / 100.0),
                 t.under ? " <" : "");
    sw_html_cell(p, 0, "%s", when);
    for (int c = 0; c < COLUMNS; c++) {
        double sum = 0.0;
        for (int d = first; d < first + count; d++)
            sum += of_day(&r->day[d], c);
        if (of_day(&r->trip, c) > 0.5)
            sw_html_cell(p, 0, "%.2f", sum / KWH);
    }
    sw_html_cell(p, 0, "%d %%", sw_words_percent(t.last->value[SW_LEDGER_CHARGE] / 100.0));
    sw_page_add(p, "</tr>\n");
}

static void write_days(const sw_rehearsal *r, page *p)
{
    int each = r->days > SHEET_DAYS_LISTED ? 7 : 1;
    sw_page_add(p,
                "<h3>%s (energy in kWh; &lt; under the reserve line)</h3>\n<div class=\"wide-table\" "
                "tabindex=\"0\" "
                "role=\"region\" aria-label=\"days\"><table id=\"days\">\n<thead><tr>",
                each == 1 ? "Day by day" : "Week by week");
    sw_html_cell(p, 2, "%s", each == 1 ? "day" : "week of");
    sw_html_cell(p, 2, "lowest");
    sw_html_cell(p, 2, "at");
    for (int c = 0; c < COLUMNS; c++)
        if (of_day(&r->trip, c) > 0.5)
            sw_html_cell(p, 2, "%s", columns[c].head);
    sw_html_cell(p, 2, "end");
    sw_page_add(p, "</tr></thead>\n<tbody>\n");
    for (int d = 0; d < r->days; d += each)
        write_row(r, d, d + each < r->days ? each : r->days - d, p);
    sw_page_add(p, "</tbody></table></div>\n");
}

// ---- energy ----

static void write_energy(const char *name, double wh, sw_units units, page *p)
{
    char size[48];
    if (wh < 0.5)
        return;
    sw_page_add(p, "<tr>");
    sw_html_cell(p, 1, "%s", name);
    sw_html_cell(p, 0, "%s", sw_words_quantity(wh, SW_DIM_ENERGY, units, size));
    sw_page_add(p, "</tr>\n");
}

static void write_balance(const sw_rehearsal *r, sw_units units, page *p)
{
    static const sw_ledger_column losses[] = {
        SW_LEDGER_PAD,          SW_LEDGER_INVERTER_LOSS,   SW_LEDGER_CONTROLLER_SELF,
        SW_LEDGER_CHARGER_LOSS, SW_LEDGER_RESISTANCE_LOSS, SW_LEDGER_COULOMBIC_LOSS,
        SW_LEDGER_SELF_LOSS};
    const double *v = r->trip.value;
    double shore = v[SW_LEDGER_SHORE_AC] + v[SW_LEDGER_CHARGER_IN];
    sw_page_add(p,
                "<div class=\"pair\">\n<h3>Where the energy came from</h3>\n<table id=\"sources\"><tbody>\n");
    write_energy("sun", v[SW_LEDGER_SOLAR_USED], units, p);
    write_energy("driving", v[SW_LEDGER_ALTERNATOR_USED] - v[SW_LEDGER_ENGINE_IDLE], units, p);
    write_energy("engine at idle", v[SW_LEDGER_ENGINE_IDLE], units, p);
    write_energy("hookup", shore - v[SW_LEDGER_GENERATOR], units, p);
    write_energy("generator", v[SW_LEDGER_GENERATOR], units, p);
    write_energy("out of the battery", fmax(0.0, -v[SW_LEDGER_STORED]), units, p);
    sw_page_add(p, "</tbody></table>\n<h3>Where it went</h3>\n<table id=\"uses\"><tbody>\n");
    for (int k = 0; k < r->course->loads; k++)
        write_energy(r->plan->van->load[k].name, r->trip.served_wh[k], units, p);
    for (size_t i = 0; i < sizeof losses / sizeof losses[0]; i++)
        write_energy(sw_ledger_words(losses[i]), v[losses[i]], units, p);
    write_energy("into the battery", fmax(0.0, v[SW_LEDGER_STORED]), units, p);
    sw_page_add(p, "</tbody></table>\n</div>\n");
}

// ---- tanks ----

static void put_litres(double litres, const char *sign, sw_units units, page *p)
{
    char size[48];
    sw_html_cell(p, 0, "%s%s", litres > 0.0 ? sign : "",
                 sw_words_quantity(litres, SW_DIM_VOLUME, units, size));
}

static void write_tanks(const sw_rehearsal *r, sw_units units, page *p)
{
    static const char *const heads[] = {"tank", "at first", "by use", "on arrival", "at last"};
    int rows = 0;
    for (int k = 0; k < SW_TANKS; k++) {
        const sw_tank_finding *f = &r->tanks.tank[k];
        if (isnan(r->plan->van->tank[k].capacity_l))
            continue;
        if (rows++ == 0) {
            sw_page_add(p, "<h3>Tanks</h3>\n<table id=\"tanks\"><thead><tr>");
            for (size_t i = 0; i < sizeof heads / sizeof heads[0]; i++)
                sw_html_cell(p, 2, "%s", heads[i]);
            sw_page_add(p, "</tr></thead>\n<tbody>\n");
        }
        sw_page_add(p, "<tr>");
        sw_html_cell(p, 1, "%s%s", sw_words_tank(k),
                     f->ends_at_s == INT64_MIN ? ""
                     : SW_TANK_FILLS(k)        ? " (full)"
                                               : " (empty)");
        put_litres(f->start_l, "", units, p);
        put_litres(f->used_l, SW_TANK_FILLS(k) ? "+" : "-", units, p);
        put_litres(f->serviced_l, SW_TANK_FILLS(k) ? "-" : "+", units, p);
        put_litres(f->end_l, "", units, p);
        sw_page_add(p, "</tr>\n");
    }
    if (rows > 0)
        sw_page_add(p, "</tbody></table>\n");
}

static void write_smallest(const sw_sheet *s, page *p)
{
    if (s->remedies == NULL)
        return;
    sw_page_add(p, "<h3>The smallest that holds, all else as it is</h3>\n<ul>\n");
    for (int i = 0; i < s->remedies->smallests; i++) {
        page line = {0};
        sw_words_smallest(s->remedies, &s->remedies->smallest[i], s->units, &line);
        sw_html_take(p, "li", NULL, &line);
    }
    sw_page_add(p, "</ul>\n");
}

void sw_sheet_numbers(const sw_sheet *s, page *p)
{
    sw_page_add(p, "<section class=\"builder\">\n");
    sw_html_element(p, "h2", NULL, "For the builder: the numbers");
    write_days(s->rehearsal, p);
    write_balance(s->rehearsal, s->units, p);
    write_tanks(s->rehearsal, s->units, p);
    write_smallest(s, p);
    sw_page_add(p, "</section>\n");
}

// ---- cautions and foot ----

void sw_sheet_cautions(const sw_rehearsal *r, sw_units units, page *p)
{
    page cautions = {0};
    char *text = NULL;
    sw_words_cautions(r, units, &cautions);
    if (sw_growing_take(&cautions, &text) != SW_OK) {
        p->failed = 1;
        return;
    }
    sw_html_element(p, "h2", NULL, "Cautions");
    sw_page_add(p, "<ul class=\"small pair\">\n");
    for (char *line = text, *end; (end = strchr(line, '\n')) != NULL; line = end + 1) {
        *end = '\0';
        sw_html_element(p, "li", NULL, line);
    }
    sw_page_add(p, "</ul>\n");
    free(text);
}

static void write_inputs(const sw_imprint *imprint, page *p)
{
    for (int i = 0; i < imprint->inputs; i++) {
        page says = {0};
        sw_page_add(&says, "Input file %s", imprint->input[i].name);
        sw_page_add(p, "<details class=\"input\">\n");
        sw_html_take(p, "summary", NULL, &says);
        // A line break behind the tag is no part of the text; the first of the file would else be lost.
        sw_page_add(p, "<pre>\n");
        sw_page_escaped(p, imprint->input[i].bytes);
        sw_page_add(p, "</pre>\n</details>\n");
    }
}

void sw_sheet_foot(const sw_imprint *imprint, page *p)
{
    page made = {0};
    sw_page_add(p, "<footer>\n");
    if (imprint->builder != NULL)
        sw_html_element(p, "p", NULL, imprint->builder);
    else
        sw_page_add(p, "<p>Builder: <span class=\"line\">&nbsp;</span> telephone: <span "
                       "class=\"line\">&nbsp;</span></p>\n");
    sw_page_add(&made,
                "Rehearsed by Stillwatt %s on %s; inputs %016" PRIx64
                ". It plans energy: it designs no wiring and certifies nothing. Follow local codes and a "
                "licensed practitioner.",
                imprint->version, imprint->made, imprint->fingerprint);
    sw_html_take(p, "p", NULL, &made);
    write_inputs(imprint, p);
    sw_page_add(p, "</footer>\n");
}
