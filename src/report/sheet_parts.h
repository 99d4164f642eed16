// What the pages to hand over are made of.
#ifndef SW_REPORT_SHEET_PARTS_H
#define SW_REPORT_SHEET_PARTS_H

#include "report/page.h"
#include "stillwatt/sheet.h"

#define SHEET_DAYS_LISTED 21 ///< a longer trip is told week by week

/// An item of a list; uses its text up.
void sw_sheet_item(page *p, page *line);

/// Appliances that are too much, alone or two at once, as items, not too many of them.
/// @param of_trip those that can happen on the trip
void sw_sheet_clashes(const sw_limits *l, int of_trip, sw_units units, page *p);

/// What each appliance takes of the battery: a use, an hour, a day of it. @param portion per load of the van;
/// NULL: those of the rehearsal
void sw_sheet_appliances(const sw_rehearsal *r, const sw_portion *portion, sw_units units, page *p);

/// Over the reserve line: an evening that asks for no more is not told.
#define SHEET_NO_MARK 0.005

/// The days in plain words; of a long trip those that ask for something.
void sw_sheet_days(const sw_sheet *s, page *p);

/// What to do about a day that falls short, behind what it misses. Whether a day falls short like the one
/// before, in the same time laid up: then nothing new can be done about it.
void sw_sheet_advice(const sw_sheet *s, int day, page *out);
int sw_sheet_goes_on(const sw_rehearsal *r, int day);

/// The builder's part: the table of the days, where the energy came from and went, the smallest that holds.
void sw_sheet_numbers(const sw_sheet *s, page *p);

/// The cautions that a rehearsal touches.
void sw_sheet_cautions(const sw_rehearsal *r, sw_units units, page *p);

/// Who made it, when, with what; the input files.
void sw_sheet_foot(const sw_imprint *imprint, page *p);

#endif
