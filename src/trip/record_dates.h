// Which dates of a weather record stand for those of a trip, and what is missing in them.
#ifndef SW_TRIP_RECORD_DATES_H
#define SW_TRIP_RECORD_DATES_H

#include "stillwatt/series.h"

/// A stretch of time, UTC; its end is not part of it.
typedef struct stretch {
    int64_t from_s, to_s;
} stretch;

/// A stretch of rows without light or air.
typedef struct record_gap {
    int32_t first, last;
    const char *says; // what is missing
} record_gap;

/// The row that a moment stands in; the first or the last one beyond the ends of the record.
int32_t sw_record_row(const sw_series *series, int64_t record_s);

/// Whether the record has rows for the whole stretch, whatever is in them. A typical year has for any.
int sw_record_covers(const sw_series *series, const stretch *of);

/// Moves a stretch to the same dates of another year of a record, on the record's clock; 29 February becomes
/// the 28th. @param moved_s by how much. @return whether the record covers it then
int sw_record_in_year(const sw_series *series, const stretch *of, int year, int64_t *moved_s);

/// The first year from `from` on whose dates the record covers with nothing missing. @return 0: none
int sw_record_next(const sw_series *series, const stretch *of, int from, int64_t *moved_s);

/// The latest such year; if there is none, the latest that is covered at all. @return 0: none
int sw_record_latest(const sw_series *series, const stretch *of, int64_t *moved_s);

/// The first gap in light or air that a stretch of the record meets: readers fill up to three hours, more is
/// nobody's guess. @return 0: nothing is missing
int sw_record_gap(const sw_series *series, const stretch *needed, record_gap *out);

#endif
