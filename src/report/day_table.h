// The energy columns of the table of the days: the same in the terminal and on the page.
#ifndef SW_REPORT_DAY_TABLE_H
#define SW_REPORT_DAY_TABLE_H

#include "stillwatt/rehearsal.h"

#define DAY_COLUMNS_MAX 6

/// Those that hold more than zeros over the trip. @return how many
int sw_day_columns(const sw_rehearsal *r, int column[DAY_COLUMNS_MAX]);

/// By what fed it: "driving", or "engine" where it also ran while parked. Static.
const char *sw_day_column_head(const sw_rehearsal *r, int column);

/// Of `count` days from `first` on [kWh].
double sw_day_column_kwh(const sw_rehearsal *r, int column, int first, int count);

#endif
