// A small writer of SVG 1.1.
#include "report/svg.h"

#include "files/decimal.h"

#include <string.h>

static const struct {
    const char *name, *rule;
} styles[SVG_STYLES] = {
    [SVG_TITLE] = {"title", "font:600 16px sans-serif;fill:#1d2b38"},
    [SVG_NOTE] = {"note", "font:12px sans-serif;fill:#44525f"},
    [SVG_LABEL] = {"label", "font:12px sans-serif;fill:#1d2b38;text-anchor:middle"},
    [SVG_SCALE] = {"scale", "font:12px sans-serif;fill:#44525f;text-anchor:end"},
    [SVG_GRID] = {"grid", "stroke:#d5dbe0;stroke-width:1"},
    [SVG_OUTLINE] = {"outline", "fill:none;stroke:#7a8793;stroke-width:1;stroke-dasharray:3 3"},
    [SVG_LIGHT] = {"light", "fill:#b9770e"},
    [SVG_AIR] = {"air", "fill:#2f6f8f"},
    [SVG_USUAL] = {"usual", "stroke:#1d2b38;stroke-width:2"},
    [SVG_STRONG] = {"strong", "font:600 12px sans-serif;fill:#1d2b38"},
    [SVG_NIGHT] = {"night", "fill:#e3e6ee"},
    [SVG_TIDE] = {"tide", "fill:#2f6f8f"},
    [SVG_EDGE] = {"edge", "fill:none;stroke:#143c50;stroke-width:1.5"},
    [SVG_UNDER] = {"under", "fill:url(#hatch)"},
    [SVG_HALO] = {"halo", "stroke:#fff;stroke-width:4"},
    [SVG_RESERVE] = {"reserve", "stroke:#8c1d18;stroke-width:1.5;stroke-dasharray:6 4"},
    [SVG_DRIVE] = {"drive", "fill:url(#road);stroke:#1d2b38;stroke-width:1"},
    [SVG_HOOKUP] = {"hookup", "fill:#2d6a4f"},
    [SVG_OTHER] = {"other", "fill:#5b4a8a"},
    [SVG_USE] = {"use", "fill:#5f6b78"},
    [SVG_CARD] = {"card", "fill:#fff;stroke:#5f6b78;stroke-width:1"},
};

/* Slanted lines for what the colour alone should not say. */
static const char patterns[] =
    "<defs><pattern id=\"hatch\" width=\"7\" height=\"7\" patternUnits=\"userSpaceOnUse\" "
    "patternTransform=\"rotate(45)\"><rect width=\"7\" height=\"7\" fill=\"#f6d6d2\"/><rect width=\"3\" "
    "height=\"7\" "
    "fill=\"#8c1d18\"/></pattern><pattern id=\"road\" width=\"8\" height=\"8\" "
    "patternUnits=\"userSpaceOnUse\" "
    "patternTransform=\"rotate(-45)\"><rect width=\"8\" height=\"8\" fill=\"#fff\"/><rect width=\"3\" "
    "height=\"8\" "
    "fill=\"#1d2b38\"/></pattern></defs>\n";

static void number(page *p, const char *name, double value)
{
    char text[48];
    (void)sw_decimal_write(value, 2, text, sizeof text);
    sw_page_add(p, " %s=\"%s\"", name, text);
}

/* The five characters that XML reads as its own. */
static void escaped(page *p, const char *text)
{
    static const char *const names[] = {"&amp;", "&lt;", "&gt;", "&quot;", "&#39;"};
    static const char marks[] = "&<>\"'";
    for (; *text != '\0'; text++) {
        const char *mark = strchr(marks, *text);
        if (mark != NULL)
            sw_page_add(p, "%s", names[mark - marks]);
        else
            sw_page_add(p, "%c", *text);
    }
}

void sw_svg_open(page *p, int width, int height, const char *title)
{
    sw_page_add(p,
                SVG_HEAD "width=\"%d\" height=\"%d\" viewBox=\"0 0 %d %d\" "
                         "role=\"img\">\n",
                width, height, width, height);
    sw_page_add(p, "<title>");
    escaped(p, title);
    sw_page_add(p, "</title>\n<style>");
    for (int i = 0; i < SVG_STYLES; i++)
        sw_page_add(p, ".%s{%s}", styles[i].name, styles[i].rule);
    sw_page_add(p, "</style>\n%s<rect width=\"%d\" height=\"%d\" fill=\"#fff\"/>\n", patterns, width, height);
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
    escaped(p, text);
    sw_page_add(p, "</text>\n");
}
