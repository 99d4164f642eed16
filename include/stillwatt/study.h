/// A study: choices x trips x months x skies x start charges, to be compared.
#ifndef STILLWATT_STUDY_H
#define STILLWATT_STUDY_H

#include "stillwatt/document.h"
#include "stillwatt/loader.h"
#include "stillwatt/plan.h"

#define SW_CHOICES_MAX 1000
#define SW_TRIPS_MAX   200
#define SW_SKIES_MAX   64
#define SW_STARTS_MAX  20
#define SW_DRAWS_MAX   10000

/// A change to the files of each trip, and what it costs.
typedef struct sw_choice {
    const char *name;
    double price;    ///< of the change; NAN: what its parts cost more than those that they replace
    double labour_s; ///< NAN: as the parts say
    double mass_kg;  ///< NAN: as the parts say
    const struct sw_node *van, *trip; ///< merge patches [rfc-7396] on the files; NULL: they stay
    const char *van_file; ///< in place of the trip's own van, seen from where the program runs; NULL: its own
    sw_where where;
} sw_choice;

/// A trip file, seen from the study.
typedef struct sw_study_trip {
    const char *file;
    const struct sw_node *named; ///< where the study names it; NULL: on the command line
} sw_study_trip;

/// A sky that takes the place of a trip's own.
typedef struct sw_study_sky {
    const char *name;
    int own; ///< 1: the trip's own sky stays
    sw_sky_spec spec;
} sw_study_sky;

typedef struct sw_study {
    const char *name, *file;
    int trips, choices, skies, starts;
    sw_study_trip *trip;
    sw_choice *choice;   ///< [0] changes nothing, but where whole vans are compared
    sw_study_sky *sky;   ///< at least one
    unsigned months;     ///< bit 0 January; 0: the trips' own dates
    double *start;       ///< charge when the trips begin; NAN: the trip's own
    double hookup_price; ///< of a night; NAN: not told
    char currency[4];    ///< of its prices; empty if it has none
    void *owner;
} sw_study;

/// Reads a study file; its trips and vans are read by sw_study_plan.
/// @return SW_OK, or the first error's status and NULL
sw_status sw_read_study(const sw_loader *loader, const char *file, sw_messages *messages, sw_study **out);

/// A study of whole vans on one trip, as named on a command line; the first is what the others are compared
/// with.
/// @param vans 2 to SW_CHOICES_MAX; each of the files is read once for its name
sw_status sw_study_of_vans(const sw_loader *loader, char *const *van_file, int vans, const char *trip_file,
                           sw_messages *messages, sw_study **out);

/// Reads a trip of the study with its van, both changed by a choice. The sky, the months and the start
/// charges of the study are not in it. As sw_read_trip; released by sw_plan_free.
sw_status sw_study_plan(const sw_study *study, const sw_loader *loader, int trip, int choice,
                        sw_messages *messages, sw_plan **out);

/// Releases a study with its documents; NULL is allowed.
void sw_study_free(sw_study *study);

/// The name of a month, 1 to 12, as study files write it: "april"; static.
const char *sw_month_word(int month);

#endif
