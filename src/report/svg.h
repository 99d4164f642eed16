// A small writer of SVG 1.1: boxes, lines and texts in a few styles of one hand. All texts are escaped.
#ifndef SW_REPORT_SVG_H
#define SW_REPORT_SVG_H

#include "report/page.h"

/// How every picture begins.
#define SVG_HEAD "<svg xmlns=\"http://www.w3.org/2000/svg\" "

/// Styles of marks.
typedef enum svg_style {
    SVG_TITLE,
    SVG_NOTE,
    SVG_LABEL, // centred
    SVG_SCALE, // ends at its place
    SVG_GRID,
    SVG_OUTLINE,
    SVG_LIGHT,
    SVG_AIR,
    SVG_USUAL,
    SVG_STRONG, // begins at its place
    SVG_NIGHT,
    SVG_TIDE,
    SVG_EDGE,
    SVG_UNDER, // a pattern: it is seen without colours too
    SVG_HALO,  // around a line on the water
    SVG_RESERVE,
    SVG_DRIVE, // a pattern
    SVG_HOOKUP,
    SVG_OTHER,
    SVG_USE,
    SVG_CARD, // behind a text on the water
    SVG_PAPER,
    SVG_PALE, // of the hatching
    SVG_WARN,
    SVG_INK,
    SVG_HOUR, // the hour that somebody points at
    SVG_STYLES
} svg_style;

/// `title` is what is read aloud.
void sw_svg_open(page *p, int width, int height, const char *title);
/// The same inside a page of HTML, which holds the rules and patterns once. @param name class of the picture
void sw_svg_open_in_page(page *p, const char *name, int width, int height, const char *title);
void sw_svg_close(page *p);
/// What such a page needs: the colours as variables of CSS, the rules of all styles, the patterns.
void sw_svg_palette(page *p, int dark);
void sw_svg_page_rules(page *p);
void sw_svg_page_patterns(page *p);
void sw_svg_line(page *p, svg_style style, double x1, double y1, double x2, double y2);
void sw_svg_box(page *p, svg_style style, double x, double y, double width, double height);
/// @param d of an SVG path
void sw_svg_path(page *p, svg_style style, const char *d);
void sw_svg_text(page *p, svg_style style, double x, double y, const char *text);
/// The same of a name of any length, cut to so many columns.
void sw_svg_name(page *p, svg_style style, double x, double y, const char *name, int columns);

#endif
