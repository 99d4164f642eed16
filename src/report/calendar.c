// The calendar of a trip: in which months it would hold, and how sure that is.
#include "report/svg.h"
#include "report/words.h"

#include "stillwatt/report.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>

enum {
    TITLE_COLUMNS = 86,
    WIDTH = 860,
    LEFT = 58,
    RIGHT = 844,
    TOP = 92,
    BOTTOM = 312,
    HEIGHT = 372,
    BAR = 40
};

#define NINE_IN_TEN 0.9
#define LETTERS     9.0 // height of a figure

static const char *const months[] = {"Jan", "Feb", "Mar", "Apr", "May", "Jun",
                                     "Jul", "Aug", "Sep", "Oct", "Nov", "Dec"};

static double y_of(double share)
{
    return BOTTOM - share * (BOTTOM - TOP);
}

static void write_scale(page *p)
{
    char text[16];
    for (int percent = 0; percent <= 100; percent += 25) {
        double y = y_of(percent / 100.0);
        snprintf(text, sizeof text, "%d %%", percent);
        sw_svg_line(p, SVG_GRID, LEFT, y, RIGHT, y);
        sw_svg_text(p, SVG_SCALE, LEFT - 6, y + 4, text);
    }
}

/* The bar, the interval around its end, and its figure; a month that was not possible says so. */
static void write_month(const sw_share *s, int m, page *p)
{
    double width = (double)(RIGHT - LEFT) / 12.0, middle = LEFT + (m + 0.5) * width;
    char text[16];
    sw_svg_text(p, SVG_LABEL, middle, BOTTOM + 18, months[m]);
    if (s->of == 0) {
        sw_svg_text(p, SVG_LABEL, middle, BOTTOM - 6, "-");
        return;
    }
    double y = y_of(s->share), high = y_of(s->high), low = y_of(s->low);
    sw_svg_box(p, s->share >= NINE_IN_TEN ? SVG_HOOKUP : SVG_AIR, middle - BAR / 2.0, y, BAR, BOTTOM - y);
    sw_svg_line(p, SVG_HALO, middle, high, middle, low);
    sw_svg_line(p, SVG_USUAL, middle, high, middle, low);
    sw_svg_line(p, SVG_USUAL, middle - 6, high, middle + 6, high);
    sw_svg_line(p, SVG_USUAL, middle - 6, low, middle + 6, low);
    snprintf(text, sizeof text, "%d %%", sw_words_share(s->share));
    double label_y = fmin(high, y) - 6.0, line = y_of(NINE_IN_TEN);
    if (fabs(label_y - LETTERS / 2.0 - line) < LETTERS) // not struck through
        label_y = line - LETTERS / 2.0;
    sw_svg_text(p, SVG_LABEL, middle, label_y, text);
    if (s->share >= NINE_IN_TEN)
        sw_svg_text(p, SVG_LABEL, middle, BOTTOM + 34, "yes");
}

sw_status sw_report_odds_chart(const sw_odds *o, char **out)
{
    page p = {0}, title = {0};
    char *text = NULL;
    sw_page_add(&title, "%s: in which months would it hold?", o->plan->trip->name);
    if (sw_growing_take(&title, &text) != SW_OK) {
        *out = NULL;
        return SW_NO_MEMORY;
    }
    sw_svg_open(&p, WIDTH, HEIGHT, text);
    sw_svg_name(&p, SVG_TITLE, 20, 26, text, TITLE_COLUMNS);
    sw_svg_text(&p, SVG_NOTE, 20, 46,
                "Share of skies under which it holds, begun on the same day of each month; the stroke is the "
                "95 % interval.");
    write_scale(&p);
    for (int m = 0; m < o->months; m++)
        write_month(&o->month[m], m, &p);
    double line = y_of(NINE_IN_TEN);
    sw_svg_line(&p, SVG_OUTLINE, LEFT, line, RIGHT, line);
    sw_svg_text(&p, SVG_SCALE, LEFT - 6, line + 4, "90 %");
    sw_svg_text(&p, SVG_NOTE, 20, HEIGHT - 8, "yes: nine times in ten, or more often");
    sw_svg_close(&p);
    free(text);
    return sw_growing_take(&p, out);
}
