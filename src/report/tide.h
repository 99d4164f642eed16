// The tide chart inside a page of HTML.
#ifndef SW_REPORT_TIDE_H
#define SW_REPORT_TIDE_H

#include "report/page.h"
#include "stillwatt/rehearsal.h"

/// Adds the chart without its words: wide (960 units), or narrow (360) for a phone. The last of its lines, of
/// class "hour", waits beside the picture.
void sw_tide_in_page(const sw_rehearsal *r, int is_narrow, page *p);

/// Where the trip's hours begin and end on it.
void sw_tide_span(int is_narrow, double *left, double *right);

#endif
