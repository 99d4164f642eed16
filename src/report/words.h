// All sentences for people, in one place.
#ifndef SW_REPORT_WORDS_H
#define SW_REPORT_WORDS_H

#include "report/page.h"
#include "stillwatt/report.h"

/// "Thu 12 Nov 06:50", the local clock of the moment.
void sw_words_moment(const sw_itinerary *it, int64_t utc_s, char *buffer, size_t size);
/// The same for the end of a step: midnight is 24:00 of the day that ends, but for the begin of the trip.
void sw_words_end_moment(const sw_itinerary *it, int64_t utc_s, char *buffer, size_t size);
/// "Thu 12 Nov"
void sw_words_date(int64_t date, char *buffer, size_t size);
/// "06:50"; for the end of a step midnight is 24:00.
void sw_words_clock(const sw_itinerary *it, int64_t utc_s, char *buffer, size_t size);
void sw_words_end_clock(const sw_itinerary *it, int64_t utc_s, char *buffer, size_t size);

/// Charge in whole percent, cut down: "34 %".
int sw_words_percent(double soc);

/// A share in whole percent, to the nearest.
int sw_words_share(double share);

/// A share in percent, with a decimal where it is not whole: what people set, such as the reserve line.
const char *sw_words_exact(double share, char buffer[16]);

/// A share in whole percent, rounded up.
int sw_words_percent_up(double share);

/// "TIGHT on average, OUT in a poor week"
void sw_words_headline(const sw_rehearsal *r, page *out);
void sw_words_verdict(const sw_rehearsal *r, page *out);
void sw_words_beside(const sw_rehearsal *r, page *out);
/// Both, each as a paragraph of its own; what is beside the charge only where there is something.
void sw_words_wrap_verdict(const sw_rehearsal *r, int width, page *out);
/// Days that are told in one row: the one with the lowest charge, the last one, and whether any of them is
/// under the reserve line; the lowest of the poor week (NAN: has none), and whether it is under the line.
typedef struct days_told {
    const sw_account *lowest, *last;
    int under;
    double poor_lowest;
    int poor_under;
} days_told;
days_told sw_words_days_told(const sw_rehearsal *r, int first, int count);

#define MISSED_LEAST_WH 0.5 // less that is not served is not told

/// Whether a day falls under the reserve line, or misses something because of the battery: under the trip's
/// own sky; under the poor week beside it; under either.
int sw_words_falls_short(const sw_rehearsal *r, int day);
int sw_words_falls_short_poor(const sw_rehearsal *r, int day);
int sw_words_is_short(const sw_rehearsal *r, int day);
/// Whether the poor week has more to tell of a day that falls short under it.
int sw_words_poor_is_worse(const sw_rehearsal *r, int day);
/// "the battery leaves 210 Wh unserved": by its own fault, not for a tripped or switched-off inverter.
void sw_words_unserved(double wh, sw_units units, page *out);
/// "in a poor week it falls to 12 % (08:15), and the battery leaves 210 Wh unserved"
void sw_words_day_poor(const sw_rehearsal *r, int day, sw_units units, page *out);
/// Why a day falls short.
void sw_words_day_cause(const sw_rehearsal *r, int day, sw_units units, page *out);
/// One line per caution that the rehearsal touches, ended by "\n".
void sw_words_cautions(const sw_rehearsal *r, sw_units units, page *out);
/// "1.24 kWh" and so on, in a buffer of the caller.
const char *sw_words_quantity(double value, sw_dimension dimension, sw_units units, char buffer[48]);

/// What a change asks of people: "Do without \"kettle\"", without a full stop.
void sw_words_change(const sw_change *change, const sw_plan *plan, sw_units units, page *out);

/// What would run on while the van is laid up though it must, or keeps the starter battery: it stops with the
/// main switch. @return how many loads were named behind `before`
int sw_words_stopped(const sw_van *van, const char *before, page *out);
/// "One change is enough." and so on; static.
const char *sw_words_remedies(const sw_remedies *of);
/// A change or two; the same with what they come to, price and mass.
void sw_words_changes(const sw_remedies *of, const sw_remedy *r, sw_units units, page *out);
void sw_words_remedy(const sw_remedies *of, const sw_remedy *r, sw_units units, page *out);
/// The smallest battery or array that holds.
void sw_words_smallest(const sw_remedies *of, const sw_smallest *s, sw_units units, page *out);

/// How long the stay lasts, and what ends it.
void sw_words_stretch(const sw_stretched *s, page *out);

/// How long a full battery lasts; how long a source takes to refill it, and what the source is called; what
/// must not run at once.
void sw_words_nights(const sw_limits *l, sw_units units, page *out);
/// What people can do for the charge: "save, drive or plug in", by what the van has. A battery that cannot be
/// charged leaves saving alone. @param first "save", or NULL: the others alone @return how many were said
int sw_words_ways(const sw_van *van, const char *first, int can_charge, page *out);
/// Whether in no hour of some days the battery is warm enough to be charged, nor has a heater of its own.
int sw_words_is_too_cold(const sw_rehearsal *r, int first_day, int days);
/// When to switch the inverter off, or what needs it all the time; nothing for a van without one.
void sw_words_inverter(const sw_van *van, sw_units units, page *out);
const char *sw_words_refill_by(sw_refill refill);
void sw_words_refill(const sw_limits *l, sw_refill refill, page *out);
/// The same as a sentence: "From 20 % to 80 % driving: 2.2 h, with nothing switched on."
void sw_words_refill_whole(const sw_limits *l, sw_refill refill, page *out);
/// Whether a clash can happen on the trip: the inlet alone is nothing to one without hookup or generator.
int sw_words_is_clash_of_trip(const sw_limits *l, const sw_clash *c);
void sw_words_clash(const sw_limits *l, const sw_clash *c, sw_units units, page *out);

/// An assumption that weighs, and what it weighs; whether it is worth telling.
#define SW_WEIGHTS_SHOWN 10
void sw_words_weight(const sw_rehearsal *r, const sw_weight *w, sw_units units, page *out);
int sw_words_is_heavy(const sw_weight *w);

/// A medical device, and a night of it.
void sw_words_medical(const sw_rehearsal *r, const sw_medical *device, sw_units units, page *out);
void sw_words_night(const sw_night *night, sw_units units, page *out);
/// What a time laid up takes from the battery.
void sw_words_store(const sw_rehearsal *r, const sw_span *span, sw_units units, page *out);
/// The charge at a moment, 0 to 1: that at the end of the step that ends with it, or before.
double sw_words_charge_by(const sw_rehearsal *r, int64_t utc_s);
/// Whose averages a place has, and what to expect of them.
void sw_words_averages(const sw_itinerary *it, const sw_stop *stop, sw_units units, page *out);
/// What is left at the end; the coldest and the hottest hour of the cabin; the starter battery.
void sw_words_end(const sw_rehearsal *r, sw_units units, page *out);
void sw_words_cabin(const sw_rehearsal *r, sw_units units, page *out);
void sw_words_starter(const sw_rehearsal *r, sw_units units, page *out);

/// What feeds the converter, and the inlet, on this trip.
const char *sw_words_engine(const sw_rehearsal *r);
const char *sw_words_inlet(const sw_rehearsal *r);

/// "fresh water" and so on, for a sw_tank; how it ends: "the toilet is full".
const char *sw_words_tank(int tank);
const char *sw_words_tank_ends(int tank);

/// The tank that is the next to end, empty or full, after a moment; of several at that moment the next of the
/// kinds. Begin with INT64_MIN and -1. @return sw_tank, or -1
int sw_words_next_tank(const sw_rehearsal *r, int64_t after_s, int after_tank);

#endif
