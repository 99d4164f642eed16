// The text of drafted van and trip files, made from a few answers. The files are for people to go on editing:
// each section says in plain words what it is, and which answers were nobody's.
#ifndef SW_REPORT_DRAFT_FILES_H
#define SW_REPORT_DRAFT_FILES_H

#include "stillwatt/battery.h"
#include "stillwatt/quantity.h"

#include <stdint.h>

/// What is asked, in this order. `draft_answers.assumed` has a bit of each.
typedef enum draft_answer {
    DRAFT_STATION,
    DRAFT_FROM,
    DRAFT_NIGHTS,
    DRAFT_PEOPLE,
    DRAFT_PANELS,
    DRAFT_BATTERY,
    DRAFT_INVERTER,
    DRAFT_SHORE,
    DRAFT_DRIVING,
    DRAFT_FRIDGE,
    DRAFT_COOKING,
    DRAFT_HEATER,
    DRAFT_LIGHTS,
    DRAFT_LAPTOPS,
    DRAFT_FOLDER,
    DRAFT_ANSWERS
} draft_answer;

/// Which files an answer goes into.
enum { DRAFT_VAN = 1 << 0, DRAFT_TRIP = 1 << 1 };

typedef enum draft_cooking { DRAFT_GAS, DRAFT_KETTLE, DRAFT_INDUCTION, DRAFT_COOKINGS } draft_cooking;

/// AC power that a way of cooking takes, typical; 0 for gas.
double sw_draft_cooking_w(draft_cooking cooking);

/// The answers. Texts are UTF-8 of any content; numbers are within what the keys of the files allow.
typedef struct draft_answers {
    const char *van_name;
    const char *van_file; ///< as the trip file names it
    const char *station;  ///< as people write it; found in the weather table
    char station_is[88];  ///< what the table calls it
    int64_t first_day;    ///< days since 1970-01-01
    int nights, people;
    int panels; ///< 0: no solar
    double panel_w;
    int batteries; ///< units of 12 V side by side
    double battery_ah;
    int chemistry;     ///< sw_chemistry
    double inverter_w; ///< 0: none
    int shore, driving, fridge, heater;
    int cooking;     ///< draft_cooking
    int light_hours; ///< of an evening
    int laptops;
    unsigned assumed; ///< bit of each draft_answer that nobody gave
    const char *said[DRAFT_ANSWERS];
    sw_units units; ///< of the temperatures in the files
} draft_answers;

/// Which files an answer goes into: DRAFT_VAN, DRAFT_TRIP or both; 0 for the folder.
unsigned sw_draft_answer_files(draft_answer answer);

/// @return SW_OK or SW_NO_MEMORY; `*out` is released with free()
sw_status sw_draft_van_text(const draft_answers *answers, char **out);
sw_status sw_draft_trip_text(const draft_answers *answers, char **out);

#endif
