// A study as a picture: each choice a bar from the charge that 5 % of its cases fall under to that of 95 %.
#include "report/svg.h"
#include "report/words.h"

#include "stillwatt/report.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

enum {
    WIDTH = 860,
    LEFT = 230, // of the charge's scale
    RIGHT = 640,
    TOP = 70,
    ROW = 34,
    BAR = 12,
    NAME_MOST = 30, // columns of a name
    TITLE_COLUMNS = 86,
    LINE = 16,
    LINE_MOST = 125, // characters of a line
    WEIGHTS_TOLD = 5
};

static double x_of(double soc)
{
    return LEFT + soc * (RIGHT - LEFT);
}

static void write_scale(const sw_tally *t, double bottom, page *p)
{
    char text[16];
    for (int percent = 0; percent <= 100; percent += 20) {
        double x = x_of(percent / 100.0);
        sw_svg_line(p, SVG_GRID, x, TOP - 6, x, bottom);
        snprintf(text, sizeof text, "%d %%", percent);
        sw_svg_text(p, SVG_LABEL, x, bottom + 18, text);
    }
    sw_svg_text(p, SVG_LABEL, x_of(t->cost[0].reserve), TOP - 12, "reserve");
}

/* A choice of another battery may have another line: each row has its own piece of it. */
static void write_reserve(const sw_tally *t, int k, page *p)
{
    double x = x_of(t->cost[k].reserve), top = TOP + (double)k * ROW;
    sw_svg_line(p, SVG_OUTLINE, x, k == 0 ? TOP - 6 : top, x, top + ROW);
}

static void write_name(const sw_tally *t, int k, double y, page *p)
{
    page marked = {0};
    char *text = NULL;
    sw_page_add(&marked, "%s%s",
                t->cost[k].over != SW_FITS ? "! "
                : sw_tally_is_best(t, k)   ? "* "
                                           : "",
                t->study->choice[k].name);
    if (sw_growing_take(&marked, &text) == SW_OK)
        sw_svg_name(p, SVG_SCALE, LEFT - 14, y, text, NAME_MOST);
    else
        p->failed = 1;
    free(text);
}

static void write_row(const sw_tally *t, int k, sw_units units, page *p)
{
    const sw_choice_tally *c = &t->choice[k];
    const sw_choice_cost *cost = &t->cost[k];
    double middle = TOP + (k + 0.5) * ROW, low = sw_tally_lowest(c, 0.05), high = sw_tally_lowest(c, 0.95);
    double median = x_of(sw_tally_lowest(c, 0.5));
    char text[64], size[48];
    write_reserve(t, k, p);
    write_name(t, k, middle + 4, p);
    if (c->cases > 0) {
        sw_svg_box(p, SVG_AIR, x_of(low), middle - BAR / 2.0, fmax(2.0, x_of(high) - x_of(low)), BAR);
        sw_svg_line(p, SVG_USUAL, median, middle - BAR, median, middle + BAR);
    }
    snprintf(text, sizeof text, "%d %%", sw_words_share(sw_tally_share(c)));
    sw_svg_text(p, SVG_SCALE, RIGHT + 64, middle + 4, text);
    if (cost->price_known)
        snprintf(text, sizeof text, "%.0f", cost->price);
    sw_svg_text(p, SVG_SCALE, RIGHT + 138, middle + 4, cost->price_known ? text : "?");
    snprintf(text, sizeof text, "%s%s", cost->mass_kg > 0.0 ? "+" : "",
             sw_words_quantity(cost->mass_kg + 0.0, SW_DIM_MASS, units, size));
    sw_svg_text(p, SVG_SCALE, RIGHT + 206, middle + 4, cost->mass_known ? text : "?");
}

// ---- what was assumed ----

/* The heaviest assumptions as lines, each ended by "\n"; released with free(), NULL where there are none. */
static char *assumed_in(const sw_rehearsal *base, sw_units units)
{
    page lines = {0};
    char *text = NULL;
    int told = 0;
    for (int i = 0; base != NULL && i < base->weights && told < WEIGHTS_TOLD; i++) {
        page line = {0};
        if (!sw_words_is_heavy(&base->weight[i]))
            continue;
        if (told++ == 0)
            sw_page_add(&lines, "Assumed, and heaviest in the first trip as it is:\n");
        sw_words_weight(base, &base->weight[i], units, &line);
        sw_page_wrap_page(&lines, LINE_MOST, "- ", "  ", &line);
    }
    if (told > 0)
        (void)sw_growing_take(&lines, &text);
    return text;
}

static void write_lines(char *text, double y, page *p)
{
    char *line = text;
    int i = 0;
    for (char *end; line != NULL && (end = strchr(line, '\n')) != NULL; line = end + 1) {
        *end = '\0';
        sw_svg_text(p, SVG_NOTE, 20, y + LINE * i++, line);
    }
}

sw_status sw_report_study_chart(const sw_tally *t, const sw_rehearsal *base, sw_units units, char **out)
{
    page p = {0};
    char *assumed = assumed_in(base, units);
    double bottom = TOP + (double)t->study->choices * ROW;
    sw_svg_open(&p, WIDTH, (int)bottom + 56 + LINE * sw_page_lines(assumed) + (assumed != NULL ? 10 : 0),
                t->study->name);
    sw_svg_name(&p, SVG_TITLE, 20, 28, t->study->name, TITLE_COLUMNS);
    write_scale(t, bottom, &p);
    sw_svg_text(&p, SVG_SCALE, RIGHT + 64, TOP - 12, "holds");
    sw_svg_text(&p, SVG_SCALE, RIGHT + 138, TOP - 12, t->currency[0] != '\0' ? t->currency : "price");
    sw_svg_text(&p, SVG_SCALE, RIGHT + 206, TOP - 12, "mass");
    for (int k = 0; k < t->study->choices; k++)
        write_row(t, k, units, &p);
    sw_svg_text(
        &p, SVG_NOTE, 20, bottom + 42,
        "Lowest charge of a rehearsal: the bar holds nine cases of ten, the stroke parts them in halves. "
        "! does not fit the vehicle, * no other beats it.");
    write_lines(assumed, bottom + 66, &p);
    sw_svg_close(&p);
    free(assumed);
    return sw_growing_take(&p, out);
}
