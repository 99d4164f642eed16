// A picture of the charge over the trip in characters: a tide above its reserve line, with nights, drives and
// hookups on a rail below.
#ifndef SW_REPORT_SKETCH_H
#define SW_REPORT_SKETCH_H

#include "report/page.h"
#include "stillwatt/report.h"

void sw_sketch_charge(const sw_rehearsal *r, const sw_report_style *style, page *out);

#endif
