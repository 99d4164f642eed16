// Tables of the pages to hand over: appliances, days, energy, tanks; their cautions and foot.
#include "report/day_table.h"
#include "report/html.h"
#include "report/sheet_parts.h"
#include "report/words.h"

#include "stillwatt/loader.h"
#include "stillwatt/portion.h"

#include <inttypes.h>
#include <math.h>
#include <stdlib.h>
#include <string.h>

void sw_sheet_item(page *p, page *line)
{
    sw_html_take(p, "li", NULL, line);
}

static void write_heads(const char *const *heads, size_t count, page *p)
{
    for (size_t i = 0; i < count; i++)
        sw_html_cell(p, 2, "%s", heads[i]);
    sw_page_add(p, "</tr></thead>\n<tbody>\n");
}

// ---- clashes ----

#define CLASHES_TOLD 3

static void write_clash(const sw_limits *l, const sw_clash *c, sw_units units, page *p)
{
    page line = {0};
    sw_page_add(&line, "Not %s: ", c->other < 0 ? "alone" : "at once");
    sw_words_clash(l, c, units, &line);
    sw_page_add(&line, ".");
    sw_sheet_item(p, &line);
}

/* Off grid first: the inlet has a breaker of its own. */
void sw_sheet_clashes(const sw_limits *l, int of_trip, sw_units units, page *p)
{
    int told = 0;
    page more = {0};
    for (int inlet_only = 0; inlet_only < 2; inlet_only++)
        for (int i = 0; i < l->clashes.count; i++) {
            const sw_clash *c = &l->clashes.clash[i];
            if (inlet_only == (c->inverter || c->battery) || (of_trip && !sw_words_is_clash_of_trip(l, c)))
                continue;
            if (told++ < CLASHES_TOLD)
                write_clash(l, c, units, p);
        }
    if (told > CLASHES_TOLD)
        sw_page_add(&more, "%d more, alone or two at once: run one heavy appliance at a time.",
                    told - CLASHES_TOLD);
    sw_sheet_item(p, &more);
}

// ---- appliances ----

/// A portion, and of how many a full battery gives.
static const struct {
    const char *each, *unit;
} portions[] = {[SW_PORTION_USE] = {"a use", "uses"},
                [SW_PORTION_HOUR] = {"an hour", "h"},
                [SW_PORTION_DAY] = {"a day", "days"}};

static const char *const runs[] = {[SW_RUNS] = "yes",
                                   [SW_RUNS_BY_INVERTER] = "with the inverter on",
                                   [SW_RUNS_BEYOND_INVERTER] = "no: more than the inverter gives",
                                   [SW_RUNS_BEYOND_BATTERY] = "not on the battery alone: too much at once",
                                   [SW_RUNS_AT_HOOKUP] = "at a hookup only"};

static void put_power(const sw_load_spec *load, sw_units units, page *p)
{
    char power[48];
    sw_words_quantity(load->power_w * load->count, SW_DIM_POWER, units, power);
    if (!(load->power_w > 0.0))
        sw_html_cell(p, 0, "-");
    else if (load->kind == SW_LOAD_STEADY && load->duty < 1.0)
        sw_html_cell(p, 0, "%s, %d %% of the time", power, sw_words_share(load->duty));
    else
        sw_html_cell(p, 0, "%s", power);
}

#define MANY 999.0

static void put_how_long(double times, const char *unit, page *p)
{
    if (times > MANY)
        sw_html_cell(p, 0, "over %.0f %s", MANY, unit);
    else
        sw_html_cell(p, 0, times < 10.0 ? "%.1f %s" : "%.0f %s",
                     times < 10.0 ? floor(10.0 * times) / 10.0 : floor(times), unit);
}

void sw_sheet_appliances(const sw_rehearsal *r, const sw_portion *portion, sw_units units, page *p)
{
    static const char *const heads[] = {"appliance", "power", "may run", "takes",
                                        "a full battery alone gives"};
    char energy[48];
    int rows = 0;
    for (int k = 0; k < r->plan->van->loads; k++) {
        const sw_load_spec *load = &r->plan->van->load[k];
        sw_portion t = portion != NULL ? portion[k] : sw_portion_of_load(r, k);
        sw_runs may = sw_where_runs(r, k);
        if (!(t.battery_wh > 0.0))
            continue;
        if (rows++ == 0) {
            sw_page_add(
                p,
                "<h3>What may run away from a hookup%s</h3>\n<div class=\"wide-table\" tabindex=\"0\" "
                "role=\"region\" aria-label=\"appliances\"><table id=\"appliances\">\n<thead><tr>",
                portion != NULL ? ", each in the month in which it takes most" : "");
            write_heads(heads, sizeof heads / sizeof heads[0], p);
        }
        sw_page_add(p, "<tr>");
        sw_html_cell(p, 1, "%s", load->name);
        put_power(load, units, p);
        sw_html_cell(p, 0, "%s", runs[may]);
        int is_off_grid = may == SW_RUNS || may == SW_RUNS_BY_INVERTER;
        sw_html_cell(
            p, 0, "%s %s",
            sw_words_quantity(is_off_grid ? t.battery_wh : t.socket_wh, SW_DIM_ENERGY, units, energy),
            portions[t.of].each);
        if (is_off_grid)
            put_how_long(r->usable_wh / t.battery_wh, portions[t.of].unit, p);
        else
            sw_html_cell(p, 0, "-");
        sw_page_add(p, "</tr>\n");
    }
    if (rows > 0)
        sw_page_add(p, "</tbody></table></div>\n");
}

// ---- days ----

/* A row of one day, or of a week of them. */
static void write_row(const sw_rehearsal *r, int first, int count, page *p)
{
    char date[24], when[16];
    int column[DAY_COLUMNS_MAX], columns = sw_day_columns(r, column);
    days_told t = sw_words_days_told(r, first, count);
    sw_words_date(r->course->itinerary->day[r->day[first].day].date, date, sizeof date);
    sw_words_end_clock(r->course->itinerary, t.lowest->lowest_at_s, when, sizeof when);
    sw_page_add(p, "<tr>");
    sw_html_cell(p, 1, "%s", date);
    sw_html_cell(p, 0, "%d %%%s", sw_words_percent(t.lowest->value[SW_LEDGER_LOWEST] / 100.0),
                 t.under ? " <" : "");
    sw_html_cell(p, 0, "%s", when);
    if (r->has_poor)
        sw_html_cell(p, 0, "%d %%%s", sw_words_percent(t.poor_lowest), t.poor_under ? " <" : "");
    for (int c = 0; c < columns; c++)
        sw_html_cell(p, 0, "%.2f", sw_day_column_kwh(r, column[c], first, count));
    sw_html_cell(p, 0, "%d %%", sw_words_percent(t.last->value[SW_LEDGER_CHARGE] / 100.0));
    sw_page_add(p, "</tr>\n");
}

static void write_days(const sw_rehearsal *r, page *p)
{
    int each = r->days > SHEET_DAYS_LISTED ? 7 : 1, column[DAY_COLUMNS_MAX],
        columns = sw_day_columns(r, column);
    sw_page_add(p,
                "<h3>%s (energy in kWh; &lt; under the reserve line)</h3>\n<div class=\"wide-table\" "
                "tabindex=\"0\" "
                "role=\"region\" aria-label=\"days\"><table id=\"days\">\n<thead><tr>",
                each == 1 ? "Day by day" : "Week by week");
    sw_html_cell(p, 2, "%s", each == 1 ? "day" : "week of");
    sw_html_cell(p, 2, "lowest");
    sw_html_cell(p, 2, "at");
    if (r->has_poor)
        sw_html_cell(p, 2, "poor week");
    for (int c = 0; c < columns; c++)
        sw_html_cell(p, 2, "%s", sw_day_column_head(r, column[c]));
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
    sw_page_add(
        p,
        "<div class=\"pair\">\n<div>\n<h3>Where the energy came from</h3>\n<table id=\"sources\"><tbody>\n");
    write_energy("sun", v[SW_LEDGER_SOLAR_USED], units, p);
    write_energy("driving", v[SW_LEDGER_ALTERNATOR_USED] - v[SW_LEDGER_ENGINE_IDLE], units, p);
    write_energy("engine at idle", v[SW_LEDGER_ENGINE_IDLE], units, p);
    write_energy("hookup", shore - v[SW_LEDGER_GENERATOR], units, p);
    write_energy("generator", v[SW_LEDGER_GENERATOR], units, p);
    write_energy("out of the battery", fmax(0.0, -v[SW_LEDGER_STORED]), units, p);
    sw_page_add(p, "</tbody></table>\n</div>\n<div>\n<h3>Where it went</h3>\n<table id=\"uses\"><tbody>\n");
    for (int k = 0; k < r->course->loads; k++)
        write_energy(r->plan->van->load[k].name, r->trip.served_wh[k], units, p);
    for (size_t i = 0; i < sizeof losses / sizeof losses[0]; i++)
        write_energy(sw_ledger_words(losses[i]), v[losses[i]], units, p);
    write_energy("into the battery", fmax(0.0, v[SW_LEDGER_STORED]), units, p);
    sw_page_add(p, "</tbody></table>\n</div>\n</div>\n");
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
            write_heads(heads, sizeof heads / sizeof heads[0], p);
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
                ". Follow local codes and a licensed practitioner.",
                imprint->version, imprint->made, imprint->fingerprint);
    sw_html_take(p, "p", NULL, &made);
    write_inputs(imprint, p);
    sw_page_add(p, "</footer>\n");
}
