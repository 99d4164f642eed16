// Random van, trip and weather files out of a seed, as texts. Everything in them is invented.
#ifndef SW_TESTS_SUPPORT_RANDOM_FILES_H
#define SW_TESTS_SUPPORT_RANDOM_FILES_H

#include "support/invented_epw.h"

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
} random_files;

/// Makes them anew, always the same for a seed. Trips are of two places with their own monthly means, in
/// zones of the United States, in St John's, Johannesburg and UTC.
void random_files_make(unsigned long seed, random_files *out);
void random_files_free(random_files *files);

#endif
