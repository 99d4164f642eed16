// What a key of a file is: one row of a table holds all that the reader, the messages, the schemas and the
// documentation need to know of it.
#ifndef SW_FILES_KEYS_H
#define SW_FILES_KEYS_H

#include "stillwatt/plan.h"

#include <stddef.h>

typedef enum sw_key_kind {
    SW_KEY_QUANTITY,   // double, a text with unit
    SW_KEY_NUMBER,     // double, a bare JSON number
    SW_KEY_COUNT,      // int, a bare whole number
    SW_KEY_TEXT,       // const char *
    SW_KEY_CHOICE,     // int, one of words
    SW_KEY_CHOICES,    // unsigned, a list of words (or one), a bit each
    SW_KEY_WINDOWS,    // const sw_windows *, "18:00-22:30" or a list of them
    SW_KEY_TIMES,      // const sw_times *, "07:15" or a list of them
    SW_KEY_LOCAL_TIME, // int64_t, "2026-11-06 16:30"
    SW_KEY_MONTHS,     // double[12], a list of twelve quantities
    SW_KEY_OTHER       // read by code of its own: objects and lists of objects
} sw_key_kind;

typedef enum sw_need {
    SW_NEEDED,   // an error without it
    SW_OPTIONAL, // may be absent: NAN, -1, NULL, SW_NO_TIME
    SW_DEFAULTED // takes `fallback` and is listed as assumed
} sw_need;

typedef struct sw_word {
    const char *word;
    int value;
} sw_word;

typedef struct sw_key {
    const char *name;
    sw_key_kind kind;
    sw_need need;
    sw_dimension dimension;
    size_t offset;        // in the struct that the table fills
    double least, most;   // allowed, held unit
    double fallback;      // DEFAULTED
    double low, high;     // plausible range of a default; equal if it is a plain convention
    const sw_word *words; // ended by a NULL word
    const char *example;  // a JSON value to copy
    const char *says;     // what it is
    const char
        *mark; // DEFAULTED: where the default comes from; NULL for a plain convention, which is not listed
} sw_key;

typedef struct sw_table {
    const char *name; // as a person says it: "a battery"
    const sw_key *keys;
    size_t count;
} sw_table;

// A key that belongs to some kinds of a thing only, such as "each" to loads of kind "use".
typedef struct sw_kind_key {
    const char *key;
    unsigned kinds; // a bit per kind, SW_KIND()
} sw_kind_key;

// What some kinds of a thing cannot do without: `key`, or `instead` where that is no NULL.
typedef struct sw_kind_need {
    unsigned kinds;
    const char *key, *instead;
    const char *told; // in the message
    const char *hint;
} sw_kind_need;

#define SW_KIND(kind) (1u << (kind))

// Ended by a NULL key. The keys that no row names belong to every kind.
extern const sw_kind_key sw_load_kind_keys[], sw_leg_kind_keys[], sw_sky_kind_keys[];
extern const sw_kind_need sw_load_needs[], sw_sky_needs[];

// What a leg is, as its key says it: in the order of sw_leg_kind.
extern const char *const sw_leg_kind_words[SW_LEG_KINDS];

// WMO cloud amounts as METAR words; each word covers a range of oktas, here its middle.
typedef struct sw_cloud_word {
    const char *word;
    double okta;
} sw_cloud_word;
enum { SW_CLOUD_WORDS = 5 };
extern const sw_cloud_word sw_cloud_words[SW_CLOUD_WORDS];

// All tables, for the reader and for whatever else is made from them.
extern const sw_table sw_van_table, sw_vehicle_table, sw_battery_table, sw_array_table, sw_controller_table,
    sw_alternator_table, sw_shore_table, sw_inverter_table, sw_load_table, sw_habit_table, sw_trip_table,
    sw_place_table, sw_normals_table, sw_skyline_table, sw_leg_table, sw_shade_table, sw_hookup_table,
    sw_generator_table, sw_starter_table, sw_tanks_table, sw_tank_table, sw_cabin_table, sw_sky_table,
    sw_told_table, sw_part_table, sw_study_table, sw_choice_table;

// What the table of a study fills; lists and maps are read beside it.
typedef struct sw_study_keys {
    const char *name;
    int draws, seed;
    unsigned months;
    double hookup_price;
} sw_study_keys;

#endif
