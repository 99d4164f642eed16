// A small van and a small trip as texts, changed by replacing pieces of them, and read from memory.
#ifndef SW_TESTS_SUPPORT_SMALL_PLAN_H
#define SW_TESTS_SUPPORT_SMALL_PLAN_H

#include "stillwatt/course.h"
#include "stillwatt/reader.h"
#include "stillwatt/rehearsal.h"

extern const char small_van[], small_trip[], small_part[];

/// The text with its only occurrence of `from` replaced; released by the caller.
char *text_with(const char *text, const char *from, const char *to);

/// A van file's and a trip file's plan; prints the messages and fails if they are not good.
sw_plan *plan_of_van(const char *van);
sw_plan *plan_of_trip(const char *van, const char *trip);
sw_itinerary *itinerary_of(const sw_plan *plan);

/// A van and a trip as texts, read and rehearsed; prints the messages and fails if that is not possible.
typedef struct rehearsed {
    sw_plan *plan;
    sw_rehearsal *r;
} rehearsed;
rehearsed rehearse_texts(const char *van, const char *trip, int32_t step_s);
void forget_rehearsed(rehearsed *x);

/// A trip whose places lie by their positions, with own monthly means; `legs` is the inside of its list.
/// Places: "denver" and "salt lake" (mountain), "chicago" (central), "new york" (eastern), "st johns"
/// (Newfoundland). Released by the caller.
char *trip_of_legs(const char *legs);

/// Prints all messages.
void print_messages(const sw_messages *messages);

/// The assumption at a path, such as "van /battery/health"; NULL if nothing was assumed there.
const sw_assumption *assumption_at(const sw_plan *plan, const char *path);

#endif
