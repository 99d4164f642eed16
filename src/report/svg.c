// A small writer of SVG 1.1.
#include "report/svg.h"

#include "files/decimal.h"

#include <stdlib.h>
#include <string.h>

/// Colours by day and by night. Texts have a contrast of 4.5 to 1 and more on the paper, marks 3 to 1
/// (WCAG 2.2, checked in the tests of the pages).
static const struct {
    const char *name, *light, *dark;
} palette[] = {
    {"ink", "#1d2b38", "#e6ebf0"},   {"soft", "#44525f", "#b9c4ce"},   {"grid", "#d5dbe0", "#37434f"},
    {"faint", "#7a8793", "#8794a0"}, {"sun", "#a76a0a", "#e0a33a"},    {"water", "#2f6f8f", "#4a90b4"},
    {"night", "#e3e6ee", "#222c3a"}, {"edge", "#143c50", "#a8d4ea"},   {"warn", "#8c1d18", "#ff9a90"},
    {"pale", "#f6d6d2", "#4a1f1c"},  {"hookup", "#2d6a4f", "#5fb58c"}, {"other", "#5b4a8a", "#a897e0"},
    {"use", "#5f6b78", "#9aa7b4"},   {"paper", "#ffffff", "#12181f"},
};

/// @name stands for a colour of the palette.
static const struct {
    const char *name, *rule;
} styles[SVG_STYLES] = {
    [SVG_TITLE] = {"title", "font:600 16px sans-serif;fill:@ink"},
    [SVG_NOTE] = {"note", "font:12px sans-serif;fill:@soft"},
    [SVG_LABEL] = {"label", "font:12px sans-serif;fill:@ink;text-anchor:middle"},
    [SVG_SCALE] = {"scale", "font:12px sans-serif;fill:@soft;text-anchor:end"},
    [SVG_GRID] = {"grid", "stroke:@grid;stroke-width:1"},
    [SVG_OUTLINE] = {"outline", "fill:none;stroke:@faint;stroke-width:1;stroke-dasharray:3 3"},
    [SVG_LIGHT] = {"light", "fill:@sun"},
    [SVG_AIR] = {"air", "fill:@water"},
    [SVG_USUAL] = {"usual", "stroke:@ink;stroke-width:2"},
    [SVG_STRONG] = {"strong", "font:600 12px sans-serif;fill:@ink"},
    [SVG_NIGHT] = {"night", "fill:@night"},
    [SVG_TIDE] = {"tide", "fill:@water"},
    [SVG_EDGE] = {"edge", "fill:none;stroke:@edge;stroke-width:1.5"},
    [SVG_UNDER] = {"under", "fill:url(#hatch)"},
    [SVG_HALO] = {"halo", "stroke:@paper;stroke-width:4"},
    [SVG_RESERVE] = {"reserve", "stroke:@warn;stroke-width:1.5;stroke-dasharray:6 4"},
    [SVG_DRIVE] = {"drive", "fill:url(#road);stroke:@ink;stroke-width:1"},
    [SVG_HOOKUP] = {"hookup", "fill:@hookup"},
    [SVG_OTHER] = {"other", "fill:@paper;stroke:@other;stroke-width:1.5"},
    [SVG_USE] = {"use", "fill:@use"},
    [SVG_CARD] = {"card", "fill:@paper;stroke:@use;stroke-width:1"},
    [SVG_PAPER] = {"paper", "fill:@paper"},
    [SVG_PALE] = {"pale", "fill:@pale"},
    [SVG_WARN] = {"warn", "fill:@warn"},
    [SVG_INK] = {"ink", "fill:@ink"},
    [SVG_HOUR] = {"hour", "stroke:@ink;stroke-width:1.5"},
};

/* Slanted lines for what the colour alone should not say. */
static const char patterns[] =
    "<defs><pattern id=\"hatch\" width=\"7\" height=\"7\" patternUnits=\"userSpaceOnUse\" "
    "patternTransform=\"rotate(45)\"><rect class=\"pale\" width=\"7\" height=\"7\"/><rect class=\"warn\" "
    "width=\"3\" height=\"7\"/></pattern><pattern id=\"road\" width=\"8\" height=\"8\" "
    "patternUnits=\"userSpaceOnUse\" patternTransform=\"rotate(-45)\"><rect class=\"paper\" width=\"8\" "
    "height=\"8\"/><rect class=\"ink\" width=\"3\" height=\"8\"/></pattern></defs>\n";

#define COLOURS (sizeof palette / sizeof palette[0])

/* The colour whose name begins a text. */
static size_t colour_at(const char *text)
{
    size_t i = 0;
    while (i + 1 < COLOURS && strncmp(text, palette[i].name, strlen(palette[i].name)) != 0)
        i++;
    return i;
}

/* In a page colours are variables, so that it can turn dark; readers of files do not all know these. */
static void put_rules(page *p, const char *before, int in_page)
{
    for (int i = 0; i < SVG_STYLES; i++) {
        sw_page_add(p, "%s.%s{", before, styles[i].name);
        for (const char *c = styles[i].rule; *c != '\0'; c++) {
            size_t colour = *c == '@' ? colour_at(c + 1) : 0;
            if (*c != '@') {
                sw_page_add(p, "%c", *c);
                continue;
            }
            if (in_page)
                sw_page_add(p, "var(--%s)", palette[colour].name);
            else
                sw_page_add(p, "%s", palette[colour].light);
            c += strlen(palette[colour].name);
        }
        sw_page_add(p, "}");
    }
}

void sw_svg_palette(page *p, int dark)
{
    for (size_t i = 0; i < COLOURS; i++)
        sw_page_add(p, "--%s:%s;", palette[i].name, dark ? palette[i].dark : palette[i].light);
}

void sw_svg_page_rules(page *p)
{
    put_rules(p, "svg ", 1);
}

void sw_svg_page_patterns(page *p)
{
    sw_page_add(p, "<svg class=\"defs\" width=\"0\" height=\"0\" aria-hidden=\"true\">%s</svg>\n", patterns);
}

static void number(page *p, const char *name, double value)
{
    char text[48];
    (void)sw_decimal_write(value, 2, text, sizeof text);
    sw_page_add(p, " %s=\"%s\"", name, text);
}

void sw_svg_open(page *p, int width, int height, const char *title)
{
    sw_page_add(p,
                SVG_HEAD "width=\"%d\" height=\"%d\" viewBox=\"0 0 %d %d\" "
                         "role=\"img\">\n",
                width, height, width, height);
    sw_page_add(p, "<title>");
    sw_page_escaped(p, title);
    sw_page_add(p, "</title>\n<style>");
    put_rules(p, "", 0);
    sw_page_add(p, "</style>\n%s<rect class=\"paper\" width=\"%d\" height=\"%d\"/>\n", patterns, width,
                height);
}

void sw_svg_open_in_page(page *p, const char *name, int width, int height, const char *title)
{
    sw_page_add(p, "<svg class=\"%s\" viewBox=\"0 0 %d %d\" role=\"img\" aria-label=\"", name, width, height);
    sw_page_escaped(p, title);
    sw_page_add(p, "\">\n");
}

void sw_svg_close(page *p)
{
    sw_page_add(p, "</svg>\n");
}

/* An empty element that four numbers place. */
static void placed(page *p, const char *element, svg_style style, const char *const names[4],
                   const double values[4])
{
    sw_page_add(p, "<%s class=\"%s\"", element, styles[style].name);
    for (int i = 0; i < 4; i++)
        number(p, names[i], values[i]);
    sw_page_add(p, "/>\n");
}

void sw_svg_line(page *p, svg_style style, double x1, double y1, double x2, double y2)
{
    static const char *const names[] = {"x1", "y1", "x2", "y2"};
    placed(p, "line", style, names, (const double[]){x1, y1, x2, y2});
}

void sw_svg_box(page *p, svg_style style, double x, double y, double width, double height)
{
    static const char *const names[] = {"x", "y", "width", "height"};
    placed(p, "rect", style, names, (const double[]){x, y, width, height});
}

void sw_svg_path(page *p, svg_style style, const char *d)
{
    sw_page_add(p, "<path class=\"%s\" d=\"%s\"/>\n", styles[style].name, d);
}

void sw_svg_text(page *p, svg_style style, double x, double y, const char *text)
{
    sw_page_add(p, "<text class=\"%s\"", styles[style].name);
    number(p, "x", x);
    number(p, "y", y);
    sw_page_add(p, ">");
    sw_page_escaped(p, text);
    sw_page_add(p, "</text>\n");
}

void sw_svg_name(page *p, svg_style style, double x, double y, const char *name, int columns)
{
    page cut = {0};
    char *text = NULL;
    sw_page_cut(&cut, name, columns);
    if (sw_growing_take(&cut, &text) == SW_OK)
        sw_svg_text(p, style, x, y, text);
    else
        p->failed = 1;
    free(text);
}
