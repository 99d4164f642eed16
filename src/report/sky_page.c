// The sky of a trip as a table, and as a picture.
#include "report/svg.h"
#include "report/words.h"

#include "stillwatt/sky_days.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

enum {
    DAY_COLUMNS = 55,
    YEAR_COLUMNS = 31,
    ARRAY_COLUMNS = 9
}; // of rows without arrays, and of one more array

/* As many arrays as the width has room for. */
static int arrays_shown(const sw_sky_days *s, int width)
{
    int room = (width - DAY_COLUMNS) / ARRAY_COLUMNS;
    return s->plan->van->arrays < room ? s->plan->van->arrays : room;
}

static double degrees(double celsius, sw_units units)
{
    return units == SW_UNITS_US ? celsius * 1.8 + 32.0 : celsius;
}

// ---- table ----

static void number(page *p, double value, int width, int decimals)
{
    double unit = pow(10.0, -decimals);
    if (isnan(value))
        sw_page_add(p, " %*s", width, "-");
    else
        sw_page_add(p, " %*.*f", width, decimals, round(value / unit) * unit + 0.0); // no negative zero
}

static void write_head(const sw_sky_days *s, int arrays, page *p)
{
    sw_page_add(p, "%-11s %5s %6s %6s", "", "sun", "flat", "usual");
    for (int a = 0; a < arrays; a++) {
        sw_page_add(p, "  ");
        sw_page_cell(p, s->plan->van->array[a].name, 7);
    }
    sw_page_add(p, " %5s %5s %5s %5s\n", "low", "usual", "high", "usual");
}

static void write_row(const sw_sky_day *day, int arrays, sw_units units, page *p)
{
    char date[24];
    sw_words_date(day->date, date, sizeof date);
    sw_page_add(p, "%-10s%c", date, day->whole ? ' ' : '~');
    number(p, day->sun_h, 5, 1);
    number(p, day->flat_kwh_m2, 6, 2);
    number(p, day->usual_kwh_m2, 6, 2);
    for (int a = 0; a < arrays; a++)
        number(p, day->array_sun_h[a], 8, 2);
    number(p, degrees(day->low_c, units), 5, 0);
    number(p, degrees(day->usual_low_c, units), 5, 0);
    number(p, degrees(day->high_c, units), 5, 0);
    number(p, degrees(day->usual_high_c, units), 5, 0);
    sw_page_add(p, "\n");
}

/* Whole days against what is usual. */
static void write_sum(const sw_sky_days *s, page *says)
{
    double flat = 0.0, usual = 0.0, clear = 0.0;
    int days = 0;
    for (int i = 0; i < s->days; i++) {
        const sw_sky_day *day = &s->day[i];
        if (!day->whole || isnan(day->usual_kwh_m2))
            continue;
        days++;
        flat += day->flat_kwh_m2;
        usual += day->usual_kwh_m2;
        clear += day->clear_kwh_m2;
    }
    if (days > 0 && usual > 0.0 && clear > 0.0)
        sw_page_add(
            says,
            "The %d whole days have %.0f %% of the usual light, and %.0f %% of what a cloudless sky gives. ",
            days, 100.0 * flat / usual, 100.0 * flat / clear);
}

sw_status sw_report_sky(const sw_sky_days *s, const sw_report_style *style, char **out)
{
    page p = {0}, title = {0}, says = {0};
    int cut = 0, arrays = arrays_shown(s, style->width);
    sw_page_add(&title, "%s: %s", s->plan->trip->name, s->course->sky_says);
    sw_page_wrap_page(&p, style->width, "", "", &title);
    sw_page_add(&p, "\n");
    write_head(s, arrays, &p);
    for (int i = 0; i < s->days; i++) {
        if (i == 0 || s->day[i].stop != s->day[i - 1].stop)
            sw_page_add(&p, "%s\n", s->course->itinerary->stop[s->day[i].stop].name);
        write_row(&s->day[i], arrays, style->units, &p);
        cut = cut || !s->day[i].whole;
    }
    sw_page_add(&p, "%s\n", cut ? "~ the trip begins or ends in this day\n" : "");
    if (arrays < s->plan->van->arrays)
        sw_page_add(&says, "%d more %s no room. ", s->plan->van->arrays - arrays,
                    s->plan->van->arrays - arrays == 1 ? "array finds" : "arrays find");
    write_sum(s, &says);
    sw_page_add(&says,
                "sun: hours in which it shines (direct light over 120 W/m2); flat: kWh/m2 on level ground; "
                "each array: "
                "hours of full sun that its light comes to; usual: the average of place and date. "
                "Temperatures in %s.",
                style->units == SW_UNITS_US ? "F" : "C");
    sw_page_wrap_page(&p, style->width, "", "", &says);
    return sw_growing_take(&p, out);
}

// ---- years ----

static void write_year(const sw_sky_year_sum *sum, int arrays, sw_units units, page *p)
{
    sw_page_add(p, "%-6d", sum->year);
    number(p, sum->sun_h, 5, 1);
    number(p, sum->flat_kwh_m2, 6, 2);
    for (int a = 0; a < arrays; a++)
        number(p, sum->array_sun_h[a], 8, 2);
    number(p, degrees(sum->low_c, units), 5, 0);
    number(p, degrees(sum->high_c, units), 5, 0);
    sw_page_add(p, "\n");
}

/* Between which years the light on the flat lies. */
static void write_range(const sw_sky_year_sum *sum, int years, page *says)
{
    const sw_sky_year_sum *least = &sum[0], *most = &sum[0];
    double mean = 0.0;
    for (int i = 0; i < years; i++) {
        least = sum[i].flat_kwh_m2 < least->flat_kwh_m2 ? &sum[i] : least;
        most = sum[i].flat_kwh_m2 > most->flat_kwh_m2 ? &sum[i] : most;
        mean += sum[i].flat_kwh_m2 / years;
    }
    if (years > 1 && most->flat_kwh_m2 < 1.005 * least->flat_kwh_m2)
        sw_page_add(says, "Of %d years all had about the same light. ", years);
    else if (years > 1 && mean > 0.0)
        sw_page_add(says,
                    "Of %d years %d had the least light, %.0f %% of their mean, and %d the most, %.0f %%. ",
                    years, least->year, 100.0 * least->flat_kwh_m2 / mean, most->year,
                    100.0 * most->flat_kwh_m2 / mean);
}

sw_status sw_report_sky_years(const sw_sky_years *years, const sw_sky_year_sum *sum,
                              const sw_report_style *style, char **out)
{
    page p = {0}, title = {0}, says = {0};
    const sw_van *van = years->plan->van;
    int room = (style->width - YEAR_COLUMNS) / ARRAY_COLUMNS,
        arrays = van->arrays < room ? van->arrays : room;
    sw_page_add(&title, "%s: its dates in the years on record of %s", years->plan->trip->name,
                years->series->place);
    sw_page_wrap_page(&p, style->width, "", "", &title);
    sw_page_add(&p, "\n%-6s %5s %6s", "", "sun", "flat");
    for (int a = 0; a < arrays; a++) {
        sw_page_add(&p, "  ");
        sw_page_cell(&p, van->array[a].name, 7);
    }
    sw_page_add(&p, " %5s %5s\n", "low", "high");
    for (int i = 0; i < years->years; i++)
        write_year(&sum[i], arrays, style->units, &p);
    sw_page_add(&p, "\n");
    write_range(sum, years->years, &says);
    sw_page_add(
        &says,
        "A day has on the mean, sun: hours in which it shines (direct light over 120 W/m2); flat: kWh/m2 on "
        "level ground; each array: hours of full sun that its light comes to. Low and high are the trip's, "
        "in "
        "%s. To rehearse one of them: \"year\" in the sky of the trip.",
        style->units == SW_UNITS_US ? "F" : "C");
    sw_page_wrap_page(&p, style->width, "", "", &says);
    return sw_growing_take(&p, out);
}

// ---- picture ----

enum {
    WIDTH = 720,
    LEFT_PX = 56,
    TOP_PX = 80,
    LIGHT_PX = 180,
    GAP_PX = 56,
    AIR_PX = 120,
    TITLE_COLUMNS = 74,
    NOTE_COLUMNS = 100
};

#define EACH_C 10.0 // of the scale of the air, so that its middle is whole too

typedef struct frame {
    double most_kwh, low_c, high_c, day_px;
} frame;

static frame frame_of(const sw_sky_days *s)
{
    frame f = {.most_kwh = 1.0, .low_c = INFINITY, .high_c = -INFINITY};
    for (int i = 0; i < s->days; i++) {
        const sw_sky_day *day = &s->day[i];
        f.most_kwh = fmax(f.most_kwh, fmax(day->clear_kwh_m2, day->flat_kwh_m2));
        f.most_kwh = fmax(f.most_kwh, isnan(day->usual_kwh_m2) ? 0.0 : day->usual_kwh_m2);
        f.low_c = fmin(f.low_c, fmin(day->low_c, isnan(day->usual_low_c) ? day->low_c : day->usual_low_c));
        f.high_c =
            fmax(f.high_c, fmax(day->high_c, isnan(day->usual_high_c) ? day->high_c : day->usual_high_c));
    }
    if (f.low_c > f.high_c)
        f.low_c = f.high_c = 0.0;
    f.most_kwh = ceil(f.most_kwh);
    f.low_c = EACH_C * floor(f.low_c / EACH_C);
    f.high_c = fmax(f.low_c + EACH_C, EACH_C * ceil(f.high_c / EACH_C));
    f.day_px = (WIDTH - LEFT_PX - 16.0) / s->days;
    return f;
}

static double light_y(const frame *f, double kwh)
{
    return TOP_PX + LIGHT_PX * (1.0 - kwh / f->most_kwh);
}

static double air_y(const frame *f, double celsius)
{
    return TOP_PX + LIGHT_PX + GAP_PX + AIR_PX * (f->high_c - celsius) / (f->high_c - f->low_c);
}

static void draw_scales(const frame *f, sw_units units, page *p)
{
    char text[32];
    int step = f->most_kwh > 5.0 ? 2 : 1;
    for (int kwh = 0; kwh <= (int)f->most_kwh; kwh += step) {
        snprintf(text, sizeof text, "%d", kwh);
        sw_svg_line(p, SVG_GRID, LEFT_PX, light_y(f, kwh), WIDTH - 16, light_y(f, kwh));
        sw_svg_text(p, SVG_SCALE, LEFT_PX - 6, light_y(f, kwh) + 4, text);
    }
    for (int k = 0; k <= 2; k++) {
        double celsius = f->low_c + (f->high_c - f->low_c) * k / 2.0;
        snprintf(text, sizeof text, "%.0f", degrees(celsius, units));
        sw_svg_line(p, SVG_GRID, LEFT_PX, air_y(f, celsius), WIDTH - 16, air_y(f, celsius));
        sw_svg_text(p, SVG_SCALE, LEFT_PX - 6, air_y(f, celsius) + 4, text);
    }
}

static void light_bar(page *p, svg_style style, const frame *f, double x, double wide, double kwh)
{
    sw_svg_box(p, style, x, light_y(f, kwh), wide, light_y(f, 0) - light_y(f, kwh));
}

/* A day: its light as a bar up to it, a cloudless sky's as an outline, the usual as a mark across; air from
   low to high as a bar, the usual range as a mark on each side. */
static void draw_day(const sw_sky_days *s, const frame *f, int i, page *p)
{
    const sw_sky_day *day = &s->day[i];
    double x = LEFT_PX + f->day_px * i + 0.15 * f->day_px, wide = 0.7 * f->day_px;
    char date[24];
    light_bar(p, SVG_OUTLINE, f, x, wide, day->clear_kwh_m2);
    light_bar(p, SVG_LIGHT, f, x, wide, day->flat_kwh_m2);
    if (!isnan(day->low_c))
        sw_svg_box(p, SVG_AIR, x + 0.3 * wide, air_y(f, day->high_c), 0.4 * wide,
                   air_y(f, day->low_c) - air_y(f, day->high_c));
    if (!isnan(day->usual_kwh_m2) && day->whole)
        sw_svg_line(p, SVG_USUAL, x - 2, light_y(f, day->usual_kwh_m2), x + wide + 2,
                    light_y(f, day->usual_kwh_m2));
    if (!isnan(day->usual_low_c)) {
        sw_svg_line(p, SVG_USUAL, x, air_y(f, day->usual_low_c), x + wide, air_y(f, day->usual_low_c));
        sw_svg_line(p, SVG_USUAL, x, air_y(f, day->usual_high_c), x + wide, air_y(f, day->usual_high_c));
    }
    if (s->days <= 16 || i % (s->days / 8) == 0) {
        sw_words_date(day->date, date, sizeof date);
        sw_svg_text(p, SVG_LABEL, x + wide / 2, TOP_PX + LIGHT_PX + 18,
                    s->days <= 9 ? date : strchr(date, ' ') + 1);
    }
}

sw_status sw_report_sky_chart(const sw_sky_days *s, sw_units units, char **out)
{
    page p = {0};
    frame f = frame_of(s);
    char note[320];
    sw_svg_open(&p, WIDTH, TOP_PX + LIGHT_PX + GAP_PX + AIR_PX + 24, s->plan->trip->name);
    sw_svg_name(&p, SVG_TITLE, 16, 24, s->plan->trip->name, TITLE_COLUMNS);
    snprintf(note, sizeof note, "Under %s.", s->course->sky_says);
    sw_svg_name(&p, SVG_NOTE, 16, 44, note, NOTE_COLUMNS);
    sw_svg_text(&p, SVG_NOTE, 16, 60,
                "Light on level ground, kWh/m2 a day; outline: cloudless; line across: usual.");
    draw_scales(&f, units, &p);
    for (int i = 0; i < s->days; i++)
        draw_day(s, &f, i, &p);
    sw_svg_text(&p, SVG_NOTE, 16, TOP_PX + LIGHT_PX + GAP_PX - 12,
                units == SW_UNITS_US ? "Air, F: from low to high; lines: usual"
                                     : "Air, C: from low to high; lines: usual");
    sw_svg_close(&p);
    return sw_growing_take(&p, out);
}
