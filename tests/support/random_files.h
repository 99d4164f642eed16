// Random van, trip and weather files out of a seed, as texts. Everything in them is invented.
#ifndef SW_TESTS_SUPPORT_RANDOM_FILES_H
#define SW_TESTS_SUPPORT_RANDOM_FILES_H

#include "support/invented_epw.h"
#include "support/memory_loader.h"

#include "stillwatt/rehearsal.h"

#define RANDOM_RECORD_ROWS 8760

/// The values of a weather file as they are written in it; NAN where it has the code for a missing one.
typedef struct random_record {
    double lat_deg, lon_deg, elevation_m;
    int32_t utc_offset_s;
    sw_weather_row row[RANDOM_RECORD_ROWS];
} random_record;

typedef struct random_files {
    int32_t step_s;          ///< of the rehearsal
    invented_text van, trip; ///< "van.json", and a trip file that names it
    invented_text weather;   ///< "made.epw"; its text is NULL unless the trip's sky is hourly
    random_record *record;   ///< NULL likewise
    memory_file named[4];    ///< of random_files_loader
    memory_files memory;
} random_files;

/// Makes them anew, always the same for a seed. Trips are of two places with their own monthly means, in
/// zones of the United States, in St John's, Johannesburg and UTC.
void random_files_make(unsigned long seed, random_files *out);
void random_files_free(random_files *files);

/// A loader that gives them, for as long as they stay where they are.
sw_loader random_files_loader(random_files *files);

/// Reads and rehearses them. On failure prints the messages and the files, which are too long for a message
/// of Check (it takes 8 kB), and fails with the seed. Released by sw_plan_free and sw_rehearsal_free.
void random_files_rehearse(unsigned long seed, random_files *files, sw_plan **plan, sw_rehearsal **out);
/// Prints van and trip.
void random_files_print(const random_files *files);

#endif
