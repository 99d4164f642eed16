/// Pages to hand over: a trip for its client, a van for its cupboard door. Each is one file of HTML that
/// needs nothing else, neither network nor script.
#ifndef STILLWATT_SHEET_H
#define STILLWATT_SHEET_H

#include "stillwatt/card.h"
#include "stillwatt/limits.h"
#include "stillwatt/remedy.h"
#include "stillwatt/sky_days.h"
#include "stillwatt/stretch.h"

/// What stands at the foot of a page.
typedef struct sw_imprint {
    const char *version;  ///< of the program
    const char *made;     ///< the day on which it was made, "2026-11-27"
    const char *builder;  ///< name and telephone; NULL: a line to write them on
    uint64_t fingerprint; ///< of the inputs
    int inputs;
    const struct sw_text *input; ///< files that the page carries, to be rehearsed again; not owned
} sw_imprint;

/// What a trip's page tells. Nothing of it is owned; all but the first may be missing (NULL).
typedef struct sw_sheet {
    const sw_rehearsal *rehearsal;
    const sw_sky_days *sky;
    const sw_limits *limits;
    const sw_stretched *stretch;
    const sw_remedies *remedies;
    sw_units units;
    sw_imprint imprint;
} sw_sheet;

/// The page of a trip. @return SW_OK or SW_NO_MEMORY; `*out` is released with free(), NULL on failure
sw_status sw_report_sheet(const sw_sheet *sheet, char **out);

/// The card of a van. As sw_report_sheet.
sw_status sw_report_card(const sw_card *card, sw_units units, const sw_imprint *imprint, char **out);

#endif
