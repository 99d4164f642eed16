/// A rehearsal in words, tables and files. Every text is made in memory; nothing here prints or writes.
#ifndef STILLWATT_REPORT_H
#define STILLWATT_REPORT_H

#include "stillwatt/limits.h"
#include "stillwatt/odds.h"
#include "stillwatt/remedy.h"
#include "stillwatt/sky_days.h"
#include "stillwatt/sky_years.h"
#include "stillwatt/stretch.h"
#include "stillwatt/tally.h"

typedef struct sw_report_style {
    sw_units units;
    int width;  ///< columns of the terminal, 60 to 200
    int utf8;   ///< 0: plain ASCII
    int colour; ///< 1: a few ANSI colours
} sw_report_style;

/// The report for a terminal: verdict, picture, days, causes, energy, assumptions, cautions.
/// @return SW_OK or SW_NO_MEMORY; `*out` is released with free(), NULL on failure
sw_status sw_report_text(const sw_rehearsal *rehearsal, const sw_report_style *style, char **out);

/// The assumptions that weigh most, as in the report. As sw_report_text.
sw_status sw_report_weights(const sw_rehearsal *rehearsal, const sw_report_style *style, char **out);

/// One JSON document (RFC 8259), "format": "stillwatt rehearsal 1"; SI units, stated in the key names.
sw_status sw_report_json(const sw_rehearsal *rehearsal, char **out);

/// The ledger as CSV (RFC 4180): a row per local hour, one column per SW_LEDGER_LIST row, two per load.
sw_status sw_report_ledger(const sw_rehearsal *rehearsal, char **out);

/// The tide chart (SVG 1.1): the charge over the trip above the reserve line, nights, drives and hookups, and
/// below what comes in and what is used. As sw_report_text.
sw_status sw_report_tide(const sw_rehearsal *rehearsal, char **out);

/// The sentence of the verdict, and a second one on what the charge does not show ("" if nothing).
sw_status sw_report_verdict(const sw_rehearsal *rehearsal, char **first, char **second);

/// What would make a trip hold: for a terminal, and as one JSON document ("kind": "remedies"). As
/// sw_report_text.
sw_status sw_report_remedies(const sw_remedies *remedies, const sw_report_style *style, char **out);
sw_status sw_report_remedies_json(const sw_remedies *remedies, char **out);

/// How long a stay can last: for a terminal, and as one JSON document ("kind": "stretch"). As sw_report_text.
sw_status sw_report_stretch(const sw_stretched *stretch, const sw_report_style *style, char **out);
sw_status sw_report_stretch_json(const sw_stretched *stretch, char **out);

/// The chance that a trip holds: for a terminal, and as one JSON document ("kind": "odds"). As
/// sw_report_text.
sw_status sw_report_odds(const sw_odds *odds, const sw_report_style *style, char **out);
sw_status sw_report_odds_json(const sw_odds *odds, char **out);
/// The twelve months of it as a picture (SVG 1.1). As sw_report_text.
sw_status sw_report_odds_chart(const sw_odds *odds, char **out);

/// The rows of a study as CSV (RFC 4180, but for a first line that begins with #): what the file begins with,
/// by which it is known again, and the rows of a block, one per case. Released with free(), NULL on failure.
sw_status sw_report_rows_head(const sw_study *study, int32_t step_s, uint64_t fingerprint, char **out);
sw_status sw_report_rows(const sw_study *study, const sw_block *block, char **out);
/// Reads a row back. @param line up to its end, which is not in it @return 1, or 0 if it is none
int sw_report_row_read(const char *line, size_t length, sw_row *out);

/// What a study comes to: for a terminal, as one JSON document ("kind": "study"), and as a picture (SVG 1.1).
/// As sw_report_text. @param base rehearsal of the first trip as it is, whose heaviest assumptions the
/// picture lists; NULL: it lists none
sw_status sw_report_study(const sw_tally *tally, const sw_report_style *style, char **out);
sw_status sw_report_study_json(const sw_tally *tally, char **out);
sw_status sw_report_study_chart(const sw_tally *tally, const sw_rehearsal *base, sw_units units, char **out);

/// What a van's system can do: for a terminal, and as one JSON document ("kind": "limits"). As
/// sw_report_text.
sw_status sw_report_limits(const sw_limits *limits, const sw_report_style *style, char **out);
sw_status sw_report_limits_json(const sw_limits *limits, char **out);

/// The sky of a trip as a table of its days; and as a picture (SVG 1.1). Released with free(), NULL on
/// failure.
sw_status sw_report_sky(const sw_sky_days *days, const sw_report_style *style, char **out);
sw_status sw_report_sky_chart(const sw_sky_days *days, sw_units units, char **out);
/// The years of a sky as a table. @param sum of each of the years, in their order. As sw_report_sky.
sw_status sw_report_sky_years(const sw_sky_years *years, const sw_sky_year_sum *sum,
                              const sw_report_style *style, char **out);

/// What was assumed in a plan, for `check`; and what its parts weigh, cost and cover.
sw_status sw_report_plan(const sw_plan *plan, const sw_report_style *style, char **out);

#endif
