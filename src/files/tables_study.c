// The keys of study files.
#include "files/key_rows.h"

#include "stillwatt/study.h"

static const sw_word month_words[] = {{"january", 1 << 0},
                                      {"february", 1 << 1},
                                      {"march", 1 << 2},
                                      {"april", 1 << 3},
                                      {"may", 1 << 4},
                                      {"june", 1 << 5},
                                      {"july", 1 << 6},
                                      {"august", 1 << 7},
                                      {"september", 1 << 8},
                                      {"october", 1 << 9},
                                      {"november", 1 << 10},
                                      {"december", 1 << 11},
                                      {NULL, 0}};

const char *sw_month_word(int month)
{
    return month_words[month - 1].word;
}

// Only what the reader keeps beside the study itself is of this struct; see keys.h.
#define SELF sw_study_keys
static const sw_key study_keys[] = {
    {OTHER("format"), NEEDED, .example = "\"stillwatt study 1\"", .says = "what this file is"},
    {TEXT("name"), NEEDED, AT(name), .example = "\"A second panel or a bigger battery?\"",
     .says = "the question, as people ask it"},
    {OTHER("trips"), NEEDED, .example = "[\"../trips/canyon-week.json\"]",
     .says = "the trip files, seen from this file"},
    {OTHER("choices"), NEEDED,
     .example = "{\"second panel\": {\"van\": {\"arrays\": {\"roof\": {\"panels\": 2}}}}}",
     .says = "what may be changed, by name; the files as they are come first by themselves"},
    {OTHER("skies"), OPTIONAL, .example = "{\"average\": {\"kind\": \"average\"}}",
     .says = "skies by name, in place of the trips' own"},
    {COUNT("draws"), OPTIONAL, AT(draws), RANGE(1, SW_DRAWS_MAX), .example = "30",
     .says = "so many skies drawn by chance, beside those that are named"},
    {COUNT("seed"), USUALLY(0), AT(seed), RANGE(0, SW_SEEDS - 1), .example = "7",
     .says = "another one draws other skies"},
    {CHOICES("months", month_words), USUALLY(0), AT(months), .example = "[\"april\", \"november\"]",
     .says = "months in which the trips begin, on their own day; their own dates if not given"},
    {OTHER("start_charges"), OPTIONAL, .example = "[\"100 %\", \"70 %\"]",
     .says = "charges when the trips begin, in place of their own"},
    {QUANTITY("hookup_price", MONEY), OPTIONAL, AT(hookup_price), RANGE(0, 1e5), .example = "\"45 USD\"",
     .says = "price of a night with a hookup, to compare with"},
};
const sw_table sw_study_table = {"a study", study_keys, COUNT_OF(study_keys)};
#undef SELF

#define SELF sw_choice
static const sw_key choice_keys[] = {
    {OTHER("van"), OPTIONAL, .example = "{\"battery\": {\"parallel\": 2}}",
     .says = "what changes in the van file: keys that are replaced, null takes one away [rfc-7396]"},
    {OTHER("trip"), OPTIONAL, .example = "{\"habits\": {\"laptop\": {\"energy_per_day\": \"60 Wh\"}}}",
     .says = "what changes in the trip file, likewise"},
    {QUANTITY("price", MONEY), OPTIONAL, AT(price), RANGE(-1e7, 1e7), .example = "\"640 USD\"",
     .says = "what the change costs; from the prices of its parts if not given"},
    {QUANTITY("labour", TIME), OPTIONAL, AT(labour_s), RANGE(0, 3.6e6), .example = "\"3 h\"",
     .says = "work that it takes; from its parts if not given"},
    {QUANTITY("mass", MASS), OPTIONAL, AT(mass_kg), RANGE(-2000, 2000), .example = "\"11 kg\"",
     .says = "what it adds to the van; from its parts if not given"},
};
const sw_table sw_choice_table = {"a choice", choice_keys, COUNT_OF(choice_keys)};
#undef SELF
