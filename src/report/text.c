// The report for a terminal: verdict first, then the picture, the days, why, where the energy went, what was
// assumed.
#include "report/day_table.h"
#include "report/sketch.h"
#include "report/words.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

static void heading(page *p, const char *text)
{
    sw_page_add(p, "\n%s\n", text);
}

// ---- verdict ----

static const char *verdict_colour(sw_verdict verdict)
{
    static const char *const colours[] = {"\033[1;32m", "\033[1;33m", "\033[1;35m", "\033[1;31m"};
    return colours[verdict];
}

static void write_verdict(const sw_rehearsal *r, const sw_report_style *style, page *p)
{
    page names = {0};
    sw_page_add(p, "%s", style->colour ? verdict_colour(r->outcome.verdict) : "");
    sw_words_headline(r, p);
    sw_page_add(p, "%s\n", style->colour ? "\033[0m" : "");
    sw_words_wrap_verdict(r, style->width, p);
    sw_page_add(&names, "%s, with %s", r->plan->trip->name, r->plan->van->name);
    sw_page_wrap_page(p, style->width, "", "", &names);
    sw_page_add(p, "\n");
}

// ---- days ----

#define DAYS_LISTED 45 // a longer trip is told week by week

/// What the table shows beside the charge.
typedef struct day_shape {
    int columns, column[DAY_COLUMNS_MAX];
    int has_poor; // the lowest charge of the poor week, where it has room
} day_shape;

#define CHARGE_WIDTH 30 // of the cells that are always there
#define COLUMN_WIDTH 8
#define POOR_WIDTH   10

static day_shape choose_columns(const sw_rehearsal *r, int width)
{
    day_shape s = {0};
    s.columns = sw_day_columns(r, s.column);
    s.has_poor = r->has_poor && CHARGE_WIDTH + COLUMN_WIDTH * s.columns + POOR_WIDTH <= width;
    return s;
}

/* A row of one day or of a week of them. */
static void write_day_row(const sw_rehearsal *r, const day_shape *s, int first, int count, page *p)
{
    char date[24], when[32];
    days_told t = sw_words_days_told(r, first, count);
    sw_words_date(r->course->itinerary->day[r->day[first].day].date, date, sizeof date);
    sw_words_end_clock(r->course->itinerary, t.lowest->lowest_at_s, when, sizeof when);
    sw_page_add(p, "%-10s %3d %%%c %5s", date, sw_words_percent(t.lowest->value[SW_LEDGER_LOWEST] / 100.0),
                t.under ? '<' : ' ', when);
    if (s->has_poor)
        sw_page_add(p, " %6d %%%c", sw_words_percent(t.poor_lowest), t.poor_under ? '<' : ' ');
    for (int c = 0; c < s->columns; c++)
        sw_page_add(p, " %7.2f", sw_day_column_kwh(r, s->column[c], first, count));
    sw_page_add(p, " %4d %%\n", sw_words_percent(t.last->value[SW_LEDGER_CHARGE] / 100.0));
}

static void write_days(const sw_rehearsal *r, const sw_report_style *style, page *p)
{
    int at_once = r->days > DAYS_LISTED ? 7 : 1;
    day_shape s = choose_columns(r, style->width);
    heading(p, at_once == 1 ? "Day by day (charge; energy in kWh)" : "Week by week (charge; energy in kWh)");
    sw_page_add(p, "%-10s %6s %5s%s", "", "lowest", "at", s.has_poor ? " poor week" : "");
    for (int c = 0; c < s.columns; c++)
        sw_page_add(p, " %7s", sw_day_column_head(r, s.column[c]));
    sw_page_add(p, " %6s\n", "end");
    for (int d = 0; d < r->days; d += at_once)
        write_day_row(r, &s, d, d + at_once < r->days ? at_once : r->days - d, p);
    days_told all = sw_words_days_told(r, 0, r->days);
    if (all.under || (s.has_poor && all.poor_under))
        sw_page_add(p, "< under the reserve line\n");
}

static void write_tight_hours(const sw_rehearsal *r, page *p)
{
    heading(p, "Tightest hours");
    for (int i = 0; i < r->tight_hours; i++) {
        const sw_account *h = &r->hour[r->tight[i]];
        char when[32];
        sw_words_end_moment(r->course->itinerary, h->lowest_at_s, when, sizeof when);
        sw_page_add(p, "  %-16s %3d %%\n", when, sw_words_percent(h->value[SW_LEDGER_LOWEST] / 100.0));
    }
}

#define CAUSES_LISTED 10

static void write_causes(const sw_rehearsal *r, const sw_report_style *style, page *p)
{
    int listed = 0;
    for (int d = 0; d < r->days; d++) {
        page sentence = {0};
        if (!sw_words_is_short(r, d))
            continue;
        if (listed++ == 0)
            heading(p, "Why it falls short");
        if (listed > CAUSES_LISTED)
            continue;
        sw_words_day_cause(r, d, style->units, &sentence);
        sw_page_wrap_page(p, style->width, "  ", "    ", &sentence);
    }
    if (listed > CAUSES_LISTED)
        sw_page_add(p, "  ... and %d days more.\n", listed - CAUSES_LISTED);
}

// ---- medical devices ----

static void write_medical(const sw_rehearsal *r, const sw_report_style *style, page *p)
{
    for (int i = 0; i < r->medicals; i++) {
        const sw_medical *device = &r->medical[i];
        page title = {0};
        sw_words_medical(r, device, style->units, &title);
        sw_page_add(p, "\n");
        sw_page_wrap_page(p, style->width, "", "", &title);
        for (int n = 0; n < device->nights; n++) {
            page line = {0};
            sw_words_night(&device->night[n], style->units, &line);
            sw_page_wrap_page(p, style->width, "  ", "    ", &line);
        }
    }
}

// ---- laid up ----

static void write_stores(const sw_rehearsal *r, const sw_report_style *style, page *p)
{
    const sw_itinerary *it = r->course->itinerary;
    for (int i = 0, written = 0; i < it->spans; i++) {
        page sentence = {0};
        if (it->span[i].kind != SW_LEG_STORE)
            continue;
        if (written++ == 0)
            heading(p, "Laid up");
        sw_words_store(r, &it->span[i], style->units, &sentence);
        sw_page_wrap_page(p, style->width, "  ", "    ", &sentence);
    }
}

// ---- energy ----

static void write_energy_row(const char *name, double wh, double whole_wh, const char *note,
                             const sw_report_style *style, page *p)
{
    char size[48];
    if (wh < 0.5)
        return;
    sw_page_add(p, "  ");
    sw_page_cell(p, name, 28);
    sw_page_add(p, " %10s %4.0f %%%s%s\n", sw_words_quantity(wh, SW_DIM_ENERGY, style->units, size),
                whole_wh > 0.0 ? 100.0 * wh / whole_wh : 0.0, note[0] != '\0' ? "  " : "", note);
}

#define LEAST_LOSS 0.0005 // smaller ones would be shown as nothing

/* The named derates of each array, one by one: what keeps the panels from their rating. */
static void write_derates(const sw_rehearsal *r, const sw_report_style *style, page *p)
{
    char size[48];
    for (int a = 0; a < r->plan->van->arrays; a++) {
        const sw_array_spec *s = &r->plan->van->array[a];
        const struct {
            const char *name;
            double loss;
        } derates[] = {{s->soiling_per_day > 0.0 ? "dirt up to" : "dirt", r->course->dirtiest[a]},
                       {"cables", s->wiring},
                       {"mismatch", s->mismatch},
                       {"age", s->ageing},
                       {"roof shade", s->roof_shade},
                       {"hills and trees", r->course->taken[a]}};
        page sentence = {0};
        int named = 0;
        sw_page_add(&sentence, "%s, %s rated; lost before the controller:", s->name,
                    sw_words_quantity(s->rated_w * s->panels, SW_DIM_POWER, style->units, size));
        for (size_t i = 0; i < sizeof derates / sizeof derates[0]; i++)
            if (derates[i].loss >= LEAST_LOSS)
                sw_page_add(&sentence, "%s %s %s", named++ ? "," : "", derates[i].name,
                            sw_words_quantity(derates[i].loss, SW_DIM_RATIO, style->units, size));
        sw_page_add(&sentence, "%s.", named ? "" : " nothing");
        sw_page_wrap_page(p, style->width, "  ", "    ", &sentence);
    }
}

/* "(6 h, 3.1 L of fuel)" */
static const char *burnt(double hours, double litres, const sw_report_style *style, char note[120])
{
    char time[48], fuel[48];
    snprintf(note, 120, "(%s, %s of fuel)",
             sw_words_quantity(hours * 3600.0, SW_DIM_TIME, style->units, time),
             sw_words_quantity(litres, SW_DIM_VOLUME, style->units, fuel));
    return note;
}

static void write_sources(const sw_rehearsal *r, const sw_report_style *style, page *p)
{
    const double *v = r->trip.value;
    double drawn = v[SW_LEDGER_STORED] < 0.0 ? -v[SW_LEDGER_STORED] : 0.0;
    double shore = v[SW_LEDGER_SHORE_AC] + v[SW_LEDGER_CHARGER_IN];
    double whole = v[SW_LEDGER_SOLAR_USED] + v[SW_LEDGER_ALTERNATOR_USED] + shore + drawn;
    char note[80] = "", size[48], idling[120], generating[120];
    if (v[SW_LEDGER_SOLAR_SPILLED] >= 1.0)
        snprintf(note, sizeof note, "(and %s spilled)",
                 sw_words_quantity(v[SW_LEDGER_SOLAR_SPILLED], SW_DIM_ENERGY, style->units, size));
    heading(p, "Where the energy came from");
    write_energy_row("sun", v[SW_LEDGER_SOLAR_USED], whole, note, style, p);
    write_energy_row("driving", v[SW_LEDGER_ALTERNATOR_USED] - v[SW_LEDGER_ENGINE_IDLE], whole, "", style, p);
    write_energy_row("engine at idle", v[SW_LEDGER_ENGINE_IDLE], whole,
                     burnt(v[SW_LEDGER_ENGINE_IDLE_H], r->tanks.engine_fuel_l, style, idling), style, p);
    write_energy_row("hookup", shore - v[SW_LEDGER_GENERATOR], whole, "", style, p);
    write_energy_row("generator", v[SW_LEDGER_GENERATOR], whole,
                     burnt(v[SW_LEDGER_GENERATOR_H], r->tanks.generator_fuel_l, style, generating), style, p);
    write_energy_row("out of the battery", drawn, whole, "", style, p);
    write_derates(r, style, p);
}

static void write_uses(const sw_rehearsal *r, const sw_report_style *style, page *p)
{
    static const sw_ledger_column losses[] = {
        SW_LEDGER_PAD,          SW_LEDGER_INVERTER_LOSS,   SW_LEDGER_CONTROLLER_SELF,
        SW_LEDGER_CHARGER_LOSS, SW_LEDGER_RESISTANCE_LOSS, SW_LEDGER_COULOMBIC_LOSS,
        SW_LEDGER_SELF_LOSS};
    const double *v = r->trip.value;
    double whole = v[SW_LEDGER_SOLAR_USED] + v[SW_LEDGER_ALTERNATOR_USED] + v[SW_LEDGER_SHORE_AC] +
                   v[SW_LEDGER_CHARGER_IN] + fmax(0.0, -v[SW_LEDGER_STORED]);
    heading(p, "Where it went");
    for (int k = 0; k < r->course->loads; k++) {
        char note[80] = "", size[48];
        double missed = r->trip.asked_wh[k] - r->trip.served_wh[k];
        if (missed >= 0.5)
            snprintf(note, sizeof note, "(%s not served)",
                     sw_words_quantity(missed, SW_DIM_ENERGY, style->units, size));
        if (r->trip.served_wh[k] < 0.5 && missed >= 0.5) {
            sw_page_add(p, "  ");
            sw_page_cell(p, r->plan->van->load[k].name, 28);
            sw_page_add(p, " %10s %6s  %s\n", "0 Wh", "", note);
        }
        write_energy_row(r->plan->van->load[k].name, r->trip.served_wh[k], whole, note, style, p);
    }
    for (size_t i = 0; i < sizeof losses / sizeof losses[0]; i++)
        write_energy_row(sw_ledger_words(losses[i]), v[losses[i]], whole, "", style, p);
    write_energy_row("into the battery", fmax(0.0, v[SW_LEDGER_STORED]), whole, "", style, p);
}

static void write_end(const sw_rehearsal *r, const sw_report_style *style, page *p)
{
    page sentence = {0};
    sw_words_end(r, style->units, &sentence);
    sw_page_add(p, "\n");
    sw_page_wrap_page(p, style->width, "", "", &sentence);
}

// ---- cabin ----

/* Where its temperature was worked out: how cold and how hot the hours were. */
static void write_cabin(const sw_rehearsal *r, const sw_report_style *style, page *p)
{
    page sentence = {0};
    if (r->plan->van->cabin == NULL)
        return;
    sw_words_cabin(r, style->units, &sentence);
    sw_page_add(p, "\n");
    sw_page_wrap_page(p, style->width, "", "", &sentence);
}

// ---- starter battery ----

static void write_starter(const sw_rehearsal *r, const sw_report_style *style, page *p)
{
    page sentence = {0};
    if (!r->starter.has)
        return;
    heading(p, "Starter battery");
    sw_words_starter(r, style->units, &sentence);
    sw_page_wrap_page(p, style->width, "  ", "  ", &sentence);
}

// ---- tanks ----

/* What went in with a plus, what went out with a minus. */
static void write_litres(double litres, int is_change, const sw_report_style *style, page *p)
{
    char size[48], cell[64];
    sw_words_quantity(fabs(litres), SW_DIM_VOLUME, style->units, size);
    snprintf(cell, sizeof cell, "%s%s", !is_change || litres == 0.0 ? "" : litres < 0.0 ? "-" : "+", size);
    sw_page_add(p, " %10s", cell);
}

static void write_tank(const sw_rehearsal *r, int kind, const sw_report_style *style, page *p)
{
    const sw_tank_finding *f = &r->tanks.tank[kind];
    double by_use = SW_TANK_FILLS(kind) ? 1.0 : -1.0;
    sw_page_add(p, "  %-16s", sw_words_tank(kind));
    write_litres(f->start_l, 0, style, p);
    write_litres(by_use * f->used_l, 1, style, p);
    write_litres(-by_use * f->serviced_l, 1, style, p);
    write_litres(f->end_l, 0, style, p);
    if (f->ends_at_s != INT64_MIN)
        sw_page_add(p, "  %s", SW_TANK_FILLS(kind) ? "full" : "empty");
    sw_page_add(p, "\n");
}

static void write_tanks(const sw_rehearsal *r, const sw_report_style *style, page *p)
{
    int written = 0;
    for (int k = 0; k < SW_TANKS; k++) {
        if (isnan(r->plan->van->tank[k].capacity_l))
            continue;
        if (written++ == 0) {
            heading(p, "Tanks");
            sw_page_add(p, "  %-16s %10s %10s %10s %10s\n", "", "at first", "by use", "on arrival",
                        "at last");
        }
        write_tank(r, k, style, p);
    }
}

// ---- assumptions ----

static void write_weight(const sw_rehearsal *r, const sw_weight *w, const sw_report_style *style, page *p)
{
    page sentence = {0};
    sw_words_weight(r, w, style->units, &sentence);
    sw_page_wrap_page(p, style->width, "  ", "    ", &sentence);
}

/* @return how many there are */
static int write_heaviest(const sw_rehearsal *r, const sw_report_style *style, page *p)
{
    int shown = 0;
    for (int i = 0; i < r->weights && shown < SW_WEIGHTS_SHOWN; i++) {
        if (!sw_words_is_heavy(&r->weight[i]))
            continue;
        if (shown++ == 0)
            heading(p, "What was assumed and weighs most (measure these)");
        write_weight(r, &r->weight[i], style, p);
    }
    return shown;
}

static void write_weights(const sw_rehearsal *r, const sw_report_style *style, page *p)
{
    int shown = write_heaviest(r, style, p);
    page rest = {0};
    sw_page_add(&rest,
                "`stillwatt check` lists all %d values that nobody gave, and weighs those of place, sky and "
                "cabin too.",
                r->plan->assumptions);
    if (shown == 0)
        heading(p, "Assumptions");
    sw_page_wrap_page(p, style->width, "  ", "  ", &rest);
}

sw_status sw_report_weights(const sw_rehearsal *r, const sw_report_style *style, char **out)
{
    page p = {0};
    write_heaviest(r, style, &p);
    return sw_growing_take(&p, out);
}

static void write_places(const sw_rehearsal *r, const sw_report_style *style, page *p)
{
    const sw_itinerary *it = r->course->itinerary;
    for (int i = 0; i < it->stops; i++) {
        page sentence = {0};
        if (!it->stop[i].climate_known)
            continue;
        sw_words_averages(it, &it->stop[i], style->units, &sentence);
        sw_page_wrap_page(p, style->width, "  ", "    ", &sentence);
    }
}

static void write_cautions(const sw_rehearsal *r, const sw_report_style *style, page *p)
{
    page cautions = {0};
    char *text = NULL;
    heading(p, "Cautions");
    sw_words_cautions(r, style->units, &cautions);
    if (sw_growing_take(&cautions, &text) != SW_OK) {
        p->failed = 1;
        return;
    }
    for (char *line = text, *end; (end = strchr(line, '\n')) != NULL; line = end + 1) {
        *end = '\0';
        sw_page_wrap(p, style->width, "  ", "    ", line);
    }
    free(text);
}

sw_status sw_report_text(const sw_rehearsal *r, const sw_report_style *style, char **out)
{
    page p = {0};
    write_verdict(r, style, &p);
    sw_sketch_charge(r, style, &p);
    write_days(r, style, &p);
    write_tight_hours(r, &p);
    write_causes(r, style, &p);
    write_medical(r, style, &p);
    write_end(r, style, &p);
    write_stores(r, style, &p);
    write_starter(r, style, &p);
    write_cabin(r, style, &p);
    write_weights(r, style, &p);
    write_places(r, style, &p);
    write_cautions(r, style, &p);
    write_sources(r, style, &p);
    write_uses(r, style, &p);
    write_tanks(r, style, &p);
    return sw_growing_take(&p, out);
}

sw_status sw_report_verdict(const sw_rehearsal *r, char **first, char **second)
{
    page verdict = {0}, beside = {0};
    sw_words_verdict(r, &verdict);
    sw_words_beside(r, &beside);
    sw_status status = sw_growing_take(&verdict, first);
    if (sw_growing_take(&beside, second) == SW_OK && status == SW_OK)
        return SW_OK;
    free(*first);
    free(*second);
    *first = *second = NULL;
    return SW_NO_MEMORY;
}
