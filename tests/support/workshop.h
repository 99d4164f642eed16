// A fresh folder in which a test runs the real program, and what came of it.
#ifndef SW_TESTS_SUPPORT_WORKSHOP_H
#define SW_TESTS_SUPPORT_WORKSHOP_H

#include "stillwatt/reader.h"

/// All options of `draft` that answer a question, each with a value of its own.
#define WORKSHOP_ANSWERS                                                                                     \
    "--station 'Rifle CO' --from 2026-11-06 --nights 5 --people 3 --panels '3 x 175 W' "                     \
    "--battery '2 x 105 Ah agm' --inverter '1500 W' --shore no --driving yes --fridge yes "                  \
    "--cooking induction --heater yes --lights 3 --laptops 2"

/// What the program said last: standard output (or all of a terminal) and standard error.
extern char workshop_out[1 << 16], workshop_err[1 << 14];

/// Makes the folder, and "work" in it, where the program runs.
void workshop_begin(void);
void workshop_end(void);

/// Path of a name below the folder. A few are kept at a time.
const char *workshop_path(const char *name);

void workshop_read(const char *name, char *buffer, size_t size);
void workshop_write(const char *name, const char *text);
int workshop_has(const char *name);

/// Runs the program with words as a shell reads them, 80 columns wide and without a terminal. @return its
/// exit status
int workshop_run(const char *format, ...) __attribute__((format(printf, 1, 2)));

/// Asserts that "work" is empty.
void workshop_assert_empty(void);

/// Reads a trip file and its van, and asserts that the reader has nothing to say about them.
sw_plan *workshop_plan(const char *trip);

/// A load of the plan's van by name, NULL if it has none.
const sw_load_spec *workshop_load(const sw_plan *plan, const char *name);

/// The widest line of an ASCII text.
size_t workshop_widest(const char *text);

/// How often a part occurs in a text.
int workshop_count(const char *text, const char *part);

#endif
