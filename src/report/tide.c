// The tide chart: the charge of a trip as water over its hours, the reserve line through it, nights behind
// it, drives and hookups on a rail above, and what comes in and goes out below on the same hours.
#include "report/tide.h"
#include "report/svg.h"
#include "report/words.h"

#include "stillwatt/report.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

enum {
    WIDTH = 960,
    NARROW = 360, // on a phone
    LEFT = 58,
    NARROW_LEFT = 46,
    MARGIN = 16, // on the right
    TITLE = 26,
    TITLE_COLUMNS = 96, // of a name; a longer one is cut
    LINE = 17,          // of the sentence
    SENTENCE = 132,     // characters of a line of it
    PLACES = 18,        // heights from top to bottom
    RAIL = 14,
    TIDE = 220,
    TIDE_IN_PAGE = 170, // of the wide one: prints larger
    GAP = 22,
    FLOW = 56, // of each side of the flows
    AXIS = 40,
    CURVE_MOST = 880, // points of the tide, at most one a pixel
    BARS_MOST = 220
};

#define DAY_S     86400
#define BAR_LEAST 3.0  // pixels
#define DAY_LEAST 10.0 // pixels, under which days are not told apart
#define LETTER    6.6  // width of one in the small type, for what fits where

/// What the parts of the picture share.
typedef struct tide {
    const sw_rehearsal *r;
    const sw_itinerary *it;
    page p;
    double left, right;                                 // of the hours
    double places_y, rail_y, top, bottom, middle, axis; // of the tide, then of the flows
    double rail_taken;                                  // where the last word under the rail ended
} tide;

static double x_of(const tide *t, int64_t utc_s)
{
    double share = (double)(utc_s - t->it->start_s) / (double)(t->it->end_s - t->it->start_s);
    return t->left + share * (t->right - t->left);
}

static double y_of(const tide *t, double soc)
{
    return t->bottom - soc * (t->bottom - t->top);
}

static int fits(const char *text, double width)
{
    return sw_page_columns(text) * LETTER <= width;
}

// ---- words on top ----

/* The sentence of the verdict in lines, each ended by "\n"; released with free(), NULL without memory. */
static char *sentence_of(const sw_rehearsal *r)
{
    page says = {0}, beside = {0}, wrapped = {0};
    char *text = NULL;
    sw_words_verdict(r, &says);
    sw_words_beside(r, &beside);
    sw_page_add(&says, "%s%s", beside.length > 0 ? " " : "", beside.text != NULL ? beside.text : "");
    says.failed = says.failed || beside.failed;
    free(beside.text);
    sw_page_wrap_page(&wrapped, SENTENCE, "", "", &says);
    (void)sw_growing_take(&wrapped, &text);
    return text;
}

/* Uses the sentence up. */
static void write_title(tide *t, char *sentence)
{
    double y = TITLE;
    sw_svg_name(&t->p, SVG_TITLE, 20, y, t->r->plan->trip->name, TITLE_COLUMNS);
    char *line = sentence;
    for (char *end; line != NULL && (end = strchr(line, '\n')) != NULL; line = end + 1) {
        *end = '\0';
        y += LINE;
        sw_svg_text(&t->p, SVG_NOTE, 20, y, line);
    }
    t->p.failed = t->p.failed || sentence == NULL;
    free(sentence);
}

// ---- where the van is ----

static double day_width(const tide *t)
{
    return (t->right - t->left) * DAY_S / (double)(t->it->end_s - t->it->start_s);
}

/* Over months they would be stripes that say nothing. */
static void write_nights(tide *t)
{
    const sw_forcing *f = &t->r->course->forcing[SW_OUTLOOK_MAIN];
    if (day_width(t) < DAY_LEAST)
        return;
    for (int32_t i = 0, first; i < f->steps; i++) {
        if ((f->flags[i] & SW_STEP_DARK) == 0)
            continue;
        for (first = i; i < f->steps && (f->flags[i] & SW_STEP_DARK) != 0;)
            i++;
        double from = x_of(t, f->start_s + (int64_t)first * f->step_s);
        double to = x_of(t, f->start_s + (int64_t)i * f->step_s);
        sw_svg_box(&t->p, SVG_NIGHT, from, t->top, to - from, t->axis - t->top);
    }
}

/* The last stop of a drive is that of the stay behind it. */
static void write_places(tide *t)
{
    double taken = 0.0;
    for (int i = 0, first; i < t->it->spans; i++) {
        const sw_span *span = &t->it->span[i];
        if (span->kind == SW_LEG_DRIVE)
            continue;
        for (first = i; i + 1 < t->it->spans && t->it->span[i + 1].kind != SW_LEG_DRIVE &&
                        t->it->span[i + 1].stop == span->stop;)
            i++;
        double from = x_of(t, t->it->span[first].start_s), to = x_of(t, t->it->span[i].end_s);
        const char *name = t->it->stop[span->stop].name;
        double begins = from > taken ? from : taken;
        if (fits(name, (to > begins ? to : begins) - begins + 6)) {
            sw_svg_text(&t->p, SVG_STRONG, begins, t->places_y, name);
            taken = begins + sw_page_columns(name) * LETTER * 1.1 + 8;
        }
    }
}

/* A box on the rail, with its word where it has room. */
static void put_on_rail(tide *t, svg_style style, int64_t from_s, int64_t to_s, const char *word)
{
    double from = x_of(t, from_s), width = fmax(2.0, x_of(t, to_s) - from);
    sw_svg_box(&t->p, style, from, t->rail_y, width, RAIL - 4);
    if (from < t->rail_taken || !fits(word, t->right - from) || !fits(word, width + 24))
        return;
    sw_svg_text(&t->p, SVG_NOTE, from, t->rail_y + RAIL + 9, word);
    t->rail_taken = from + sw_page_columns(word) * LETTER + 10;
}

static void write_runs(tide *t, const double *share, const char *word)
{
    const sw_forcing *f = &t->r->course->forcing[SW_OUTLOOK_MAIN];
    for (int32_t i = 0, first; i < f->steps; i++) {
        if (!(share[i] > 0.0))
            continue;
        for (first = i; i < f->steps && share[i] > 0.0;)
            i++;
        put_on_rail(t, SVG_OTHER, f->start_s + (int64_t)first * f->step_s,
                    f->start_s + (int64_t)i * f->step_s, word);
    }
}

static void write_rail(tide *t)
{
    for (int i = 0; i < t->it->spans; i++) {
        const sw_span *span = &t->it->span[i];
        if (span->kind == SW_LEG_DRIVE)
            put_on_rail(t, SVG_DRIVE, span->start_s, span->end_s, "drive");
        else if (span->pedestal_va > 0.0)
            put_on_rail(t, SVG_HOOKUP, span->start_s, span->end_s, "hookup");
    }
    write_runs(t, t->r->course->generator_share, "generator");
    write_runs(t, t->r->course->engine_share, "engine");
}

// ---- days ----

/// Which days are named: every so many, from one on.
typedef struct named {
    int first, each;
} named;

static double date_width(const tide *t, int day)
{
    char date[24];
    sw_words_date(t->it->day[day].date, date, sizeof date);
    return sw_page_columns(date) * LETTER;
}

/* So many that the longest date has room, in weeks where that is many; not from a first day that is cut
 * short. */
static named names_of(const tide *t)
{
    static const int steps[] = {1, 2, 3, 7, 14, 28, 56, 112};
    static const double longest = 10.0 * LETTER + 10.0; // "Wed 30 Nov"
    named n = {0, 1};
    for (size_t i = 0; i < sizeof steps / sizeof steps[0] && n.each * day_width(t) < longest; i++)
        n.each = steps[i];
    double first_width = x_of(t, t->it->day[0].end_s) - t->left;
    n.first = t->it->days > 1 && first_width < date_width(t, 0) ? 1 : 0;
    return n;
}

/* Where days are narrow only those that are named have a line. */
static void write_day_lines(tide *t)
{
    named n = names_of(t);
    for (int d = 1; d < t->it->days; d++) {
        double x = x_of(t, t->it->day[d].start_s);
        if ((d >= n.first && (d - n.first) % n.each == 0) || day_width(t) >= DAY_LEAST)
            sw_svg_line(&t->p, SVG_GRID, x, t->top, x, t->axis + 6);
    }
}

#define BEYOND           30.0  // pixels that a date may stand out to the left
#define CLOCK_EACH_LEAST 48.0  // pixels from one to the next
#define CLOCKS_FROM      200.0 // pixels a day: from where on the clock is told

/* Hours of the day under the axis, where days are wide. */
static void write_clocks(tide *t)
{
    static const int steps[] = {1, 2, 3, 6, 12};
    int each = 24;
    char clock[16];
    for (size_t i = 0; i < sizeof steps / sizeof steps[0] && each == 24; i++)
        each = steps[i] * day_width(t) / 24.0 >= CLOCK_EACH_LEAST ? steps[i] : 24;
    if (day_width(t) < CLOCKS_FROM)
        return;
    for (int h = 0; h <= t->r->hours; h++) {
        int64_t at_s = h < t->r->hours ? t->r->hour[h].start_s : t->r->hour[h - 1].end_s;
        int64_t second = sw_itinerary_local_s(t->it, at_s) % DAY_S;
        if (second % (each * 3600) != 0)
            continue;
        sw_words_clock(t->it, at_s, clock, sizeof clock);
        sw_svg_line(&t->p, SVG_GRID, x_of(t, at_s), t->axis, x_of(t, at_s), t->axis + 4);
        sw_svg_text(&t->p, SVG_LABEL, fmin(x_of(t, at_s), t->right - 2.0), t->axis + 15, clock);
    }
}

static void write_days(tide *t)
{
    named n = names_of(t);
    char date[24];
    double taken = 0.0;
    for (int d = n.first; d < t->it->days; d += n.each) {
        double middle = 0.5 * (x_of(t, t->it->day[d].start_s) + x_of(t, t->it->day[d].end_s));
        double half = 0.5 * date_width(t, d);
        // Of days that are cut short at the ends the name may have no room.
        if (middle + half > t->right + MARGIN - 2 || middle - half < fmax(t->left - BEYOND, taken))
            continue;
        sw_words_date(t->it->day[d].date, date, sizeof date);
        sw_svg_text(&t->p, SVG_LABEL, middle, t->axis + 32, date);
        taken = middle + half + 6.0;
    }
    write_clocks(t);
}

// ---- the tide ----

/* Hours taken together so that there are at most so many stretches. */
static int hours_each(const tide *t, int most)
{
    return (t->r->hours + most - 1) / most;
}

/* Stretches that are at least so wide. */
static int most_of(const tide *t, int most, double least)
{
    int fit = (int)((t->right - t->left) / least);
    return fit < most ? fit : most;
}

/* @return the charge at the end of a stretch of hours; of more than one the lowest in it, so that no ebb is
 * lost
 */
static double charge_of(const tide *t, int first, int each, int64_t *end_s)
{
    int last = first + each < t->r->hours ? first + each - 1 : t->r->hours - 1;
    double charge = t->r->hour[last].value[SW_LEDGER_CHARGE];
    for (int h = first; h <= last && each > 1; h++)
        charge = fmin(charge, t->r->hour[h].value[SW_LEDGER_LOWEST]);
    *end_s = t->r->hour[last].end_s;
    return charge / 100.0;
}

/* Hours with any time under the line, from the line down. */
static void write_under(tide *t)
{
    double line = y_of(t, t->r->plan->trip->reserve);
    for (int h = 0, first; h < t->r->hours; h++) {
        if (!(t->r->hour[h].value[SW_LEDGER_UNDER] > 0.0))
            continue;
        for (first = h; h < t->r->hours && t->r->hour[h].value[SW_LEDGER_UNDER] > 0.0;)
            h++;
        double from = x_of(t, t->r->hour[first].start_s), to = x_of(t, t->r->hour[h - 1].end_s);
        sw_svg_box(&t->p, SVG_UNDER, from, line, fmax(2.0, to - from), t->bottom - line);
    }
}

/* The edge is drawn over the hatching, so that the level is seen there too. */
static void write_water(tide *t)
{
    page edge = {0}, water = {0};
    char *line = NULL, *area = NULL;
    int each = hours_each(t, most_of(t, CURVE_MOST, 1.0));
    sw_page_add(&edge, "M%.1f %.1f", x_of(t, t->it->start_s), y_of(t, t->r->variant.start_soc));
    for (int h = 0; h < t->r->hours; h += each) {
        int64_t end_s;
        double charge = charge_of(t, h, each, &end_s);
        sw_page_add(&edge, "L%.1f %.1f", x_of(t, end_s), y_of(t, charge));
    }
    if (sw_growing_take(&edge, &line) != SW_OK)
        t->p.failed = 1;
    sw_page_add(&water, "%sL%.1f %.1fL%.1f %.1fZ", line != NULL ? line : "M0 0", t->right, t->bottom, t->left,
                t->bottom);
    if (sw_growing_take(&water, &area) != SW_OK)
        t->p.failed = 1;
    if (line != NULL && area != NULL) {
        sw_svg_path(&t->p, SVG_TIDE, area);
        write_under(t);
        sw_svg_path(&t->p, SVG_EDGE, line);
    }
    free(line);
    free(area);
}

// ---- words in the tide ----

#define LABEL_HEIGHT 18.0
#define CLEAR        6.0 // pixels from the curve: enough
#define POSITIONS    12

/// A box with words in it.
typedef struct label {
    double left, top, width;
} label;

static double gap(double a_from, double a_to, double b_from, double b_to)
{
    return fmax(0.0, fmax(b_from - a_to, a_from - b_to));
}

/* Pixels between a label and the curve that it must not hide. */
static double clearance(const tide *t, const label *l)
{
    double least = CLEAR;
    for (int h = 0; h < t->r->hours && least > 0.0; h++) {
        const sw_account *hour = &t->r->hour[h];
        if (gap(x_of(t, hour->start_s), x_of(t, hour->end_s), l->left, l->left + l->width) > 0.0)
            continue;
        double begin = h > 0 ? t->r->hour[h - 1].value[SW_LEDGER_CHARGE] / 100.0 : t->r->variant.start_soc;
        double end = hour->value[SW_LEDGER_CHARGE] / 100.0, low = hour->value[SW_LEDGER_LOWEST] / 100.0;
        least = fmin(least, gap(y_of(t, fmax(begin, end)), y_of(t, low), l->top, l->top + LABEL_HEIGHT));
    }
    return least;
}

static int overlap(const label *a, const label *b)
{
    return gap(a->left, a->left + a->width, b->left, b->left + b->width) <= 0.0 &&
           gap(a->top, a->top + LABEL_HEIGHT, b->top, b->top + LABEL_HEIGHT) <= 0.0;
}

static label label_for(const char *text)
{
    return (label){.width = sw_page_columns(text) * LETTER + 12};
}

static void put_label(tide *t, const label *l, const char *text)
{
    sw_svg_box(&t->p, SVG_CARD, l->left, l->top, l->width, LABEL_HEIGHT);
    sw_svg_text(&t->p, SVG_NOTE, l->left + 6, l->top + 13, text);
}

/* On its line, from the left on where it hides nothing of the curve. */
static label write_reserve(tide *t)
{
    char text[40], reserve[16];
    double y = y_of(t, t->r->plan->trip->reserve), best = -1.0;
    snprintf(text, sizeof text, "reserve line %s %%", sw_words_exact(t->r->plan->trip->reserve, reserve));
    label at = label_for(text), found = at;
    at.top = fmin(y - LABEL_HEIGHT / 2.0, t->bottom - LABEL_HEIGHT);
    for (int i = 0; i < POSITIONS; i++) {
        at.left = t->left + 4.0 + (t->right - t->left - at.width - 8.0) * i / (POSITIONS - 1);
        double clear = clearance(t, &at);
        if (clear > best) {
            best = clear;
            found = at;
        }
    }
    put_label(t, &found, text);
    return found;
}

/* Near its point, over or under it, where it hides least. */
static void write_lowest(tide *t, const label *reserve)
{
    char moment[40], text[80];
    double x = x_of(t, t->r->outcome.lowest_at_s), y = y_of(t, t->r->outcome.lowest_soc), best = -1.0;
    sw_words_end_moment(t->it, t->r->outcome.lowest_at_s, moment, sizeof moment);
    snprintf(text, sizeof text, "lowest: %d %%, %s", sw_words_percent(t->r->outcome.lowest_soc), moment);
    static const double tops[] = {16, 44, -40, -68, -96, -124, -152}; // in the water, then over it
    static const double asides[] = {0.5, 1.0, 0.0};
    label at = label_for(text), found = at;
    for (size_t i = 0; i < 3 * sizeof tops / sizeof tops[0]; i++) {
        at.left = fmin(fmax(x - at.width * asides[i % 3], t->left + 2.0), t->right - at.width - 2.0);
        at.top = fmin(fmax(y + tops[i / 3], t->top + 2.0), t->bottom - LABEL_HEIGHT - 2.0);
        double clear = overlap(&at, reserve) ? -0.5 : clearance(t, &at);
        if (clear > best) {
            best = clear;
            found = at;
        }
    }
    sw_svg_line(&t->p, SVG_USUAL, x, y, x, found.top > y ? found.top : found.top + LABEL_HEIGHT);
    put_label(t, &found, text);
}

static void write_tide(tide *t)
{
    char text[40];
    double reserve = y_of(t, t->r->plan->trip->reserve);
    write_water(t);
    for (int percent = 0; percent <= 100; percent += 25) {
        double y = y_of(t, percent / 100.0);
        snprintf(text, sizeof text, "%d %%", percent);
        sw_svg_line(&t->p, SVG_GRID, t->left, y, t->right, y);
        sw_svg_text(&t->p, SVG_SCALE, t->left - 6, y + 4, text);
    }
    write_day_lines(t);
    sw_svg_line(&t->p, SVG_HALO, t->left, reserve, t->right, reserve);
    sw_svg_line(&t->p, SVG_RESERVE, t->left, reserve, t->right, reserve);
    label line = write_reserve(t);
    write_lowest(t, &line);
}

// ---- what comes in and goes out ----

typedef struct flow {
    double sun_w, other_w, use_w;
} flow;

static flow flow_of(const tide *t, int first, int each)
{
    flow sum = {0.0, 0.0, 0.0};
    double hours = 0.0;
    for (int h = first; h < first + each && h < t->r->hours; h++) {
        const double *v = t->r->hour[h].value;
        sum.sun_w += v[SW_LEDGER_SOLAR_USED];
        sum.other_w += v[SW_LEDGER_ALTERNATOR_USED] + v[SW_LEDGER_SHORE_AC] + v[SW_LEDGER_CHARGER_IN];
        sum.use_w += v[SW_LEDGER_SERVED] + v[SW_LEDGER_INVERTER_LOSS] + v[SW_LEDGER_CONTROLLER_SELF] +
                     v[SW_LEDGER_PAD];
        hours += (double)(t->r->hour[h].end_s - t->r->hour[h].start_s) / 3600.0;
    }
    return (flow){sum.sun_w / hours, sum.other_w / hours, sum.use_w / hours};
}

/* A round number of watts that nothing exceeds. */
static double round_up_w(double most_w)
{
    static const double round[] = {1.0, 1.5, 2.0, 3.0, 4.0, 6.0, 8.0, 10.0};
    double unit = pow(10.0, floor(log10(fmax(most_w, 1.0))));
    int i = 0;
    while (round[i] * unit < most_w && round[i] < 10.0)
        i++;
    return round[i] * unit;
}

/// Bars of one kind as one path.
typedef struct bars {
    svg_style style;
    page d;
} bars;

static void add_bar(bars *b, double x, double width, double from_y, double to_y)
{
    if (fabs(from_y - to_y) >= 0.05)
        sw_page_add(&b->d, "M%.1f %.1fV%.1fh%.1fV%.1fZ", x, from_y, to_y, width, from_y);
}

static void put_bars(tide *t, bars *b)
{
    char *d = NULL;
    if (b->d.length == 0 && !b->d.failed)
        return;
    if (sw_growing_take(&b->d, &d) == SW_OK)
        sw_svg_path(&t->p, b->style, d);
    else
        t->p.failed = 1;
    free(d);
}

static void write_flow_scale(tide *t, double most_w, int has_sun, int has_other)
{
    char text[32];
    double upper = t->middle - FLOW, lower = t->middle + FLOW;
    snprintf(text, sizeof text, "%g W", most_w);
    sw_svg_text(&t->p, SVG_SCALE, t->left - 6, upper + 10, text);
    sw_svg_text(&t->p, SVG_SCALE, t->left - 6, lower, text);
    sw_svg_line(&t->p, SVG_OUTLINE, t->left, t->middle, t->right, t->middle);
    const struct {
        int is_there;
        svg_style style;
        const char *word;
    } keys[] = {{has_sun, SVG_LIGHT, "sun"},
                {has_other, SVG_OTHER, "engine, hookup, generator"},
                {1, SVG_USE, "use"}};
    double x = t->left + 6;
    for (size_t i = 0; i < sizeof keys / sizeof keys[0]; i++) {
        if (!keys[i].is_there)
            continue;
        sw_svg_box(&t->p, keys[i].style, x, upper - 12, 10, 10);
        sw_svg_text(&t->p, SVG_NOTE, x + 14, upper - 3, keys[i].word);
        x += 28 + sw_page_columns(keys[i].word) * LETTER;
    }
}

static void write_flows(tide *t)
{
    bars sun = {SVG_LIGHT, {0}}, other = {SVG_OTHER, {0}}, use = {SVG_USE, {0}};
    int each = hours_each(t, most_of(t, BARS_MOST, BAR_LEAST)), has_sun = 0, has_other = 0;
    double most_w = 1.0;
    for (int h = 0; h < t->r->hours; h += each) {
        flow f = flow_of(t, h, each);
        most_w = fmax(most_w, fmax(f.sun_w + f.other_w, f.use_w));
        has_sun = has_sun || f.sun_w > 0.0;
        has_other = has_other || f.other_w > 0.0;
    }
    most_w = round_up_w(most_w);
    for (int h = 0; h < t->r->hours; h += each) {
        flow f = flow_of(t, h, each);
        int last = h + each < t->r->hours ? h + each - 1 : t->r->hours - 1;
        double x = x_of(t, t->r->hour[h].start_s), width = x_of(t, t->r->hour[last].end_s) - x;
        double sun_y = t->middle - FLOW * f.sun_w / most_w;
        add_bar(&sun, x, width, t->middle, sun_y);
        add_bar(&other, x, width, sun_y, sun_y - FLOW * f.other_w / most_w);
        add_bar(&use, x, width, t->middle, t->middle + FLOW * f.use_w / most_w);
    }
    put_bars(t, &sun);
    put_bars(t, &other);
    put_bars(t, &use);
    write_flow_scale(t, most_w, has_sun, has_other);
}

/* @param words_y what stands above ends there */
static void lay_out(tide *t, int width, double left, double words_y, double tide_height)
{
    t->left = left;
    t->right = width - MARGIN;
    t->places_y = words_y + PLACES - 4;
    t->rail_y = words_y + PLACES + 4;
    t->top = t->rail_y + RAIL + 18;
    t->bottom = t->top + tide_height;
    t->middle = t->bottom + GAP + FLOW;
    t->axis = t->middle + FLOW;
}

static void write_marks(tide *t)
{
    write_nights(t);
    write_places(t);
    write_rail(t);
    write_tide(t);
    write_flows(t);
    write_days(t);
}

sw_status sw_report_tide(const sw_rehearsal *r, char **out)
{
    tide t = {.r = r, .it = r->course->itinerary};
    char *sentence = sentence_of(r);
    lay_out(&t, WIDTH, LEFT, TITLE + LINE * sw_page_lines(sentence) + 12, TIDE);
    sw_svg_open(&t.p, WIDTH, (int)(t.axis + AXIS), r->plan->trip->name);
    write_title(&t, sentence);
    write_marks(&t);
    sw_svg_close(&t.p);
    return sw_growing_take(&t.p, out);
}

void sw_tide_in_page(const sw_rehearsal *r, int is_narrow, page *p)
{
    tide t = {.r = r, .it = r->course->itinerary, .p = *p};
    int width = is_narrow ? NARROW : WIDTH;
    lay_out(&t, width, is_narrow ? NARROW_LEFT : LEFT, 0.0, is_narrow ? TIDE : TIDE_IN_PAGE);
    sw_svg_open_in_page(&t.p, is_narrow ? "narrow" : "wide", width, (int)(t.axis + AXIS),
                        "The charge over the trip");
    write_marks(&t);
    sw_svg_line(&t.p, SVG_HOUR, -9.0, t.top, -9.0, t.axis); // beside the picture until somebody points
    sw_svg_close(&t.p);
    *p = t.p;
}

void sw_tide_span(int is_narrow, double *left, double *right)
{
    *left = is_narrow ? NARROW_LEFT : LEFT;
    *right = (is_narrow ? NARROW : WIDTH) - MARGIN;
}
