// The project's stations and the system's zones, each read once in the life of the process.
#ifndef SW_TESTS_FUZZ_SUPPORT_DATA_LOADER_H
#define SW_TESTS_FUZZ_SUPPORT_DATA_LOADER_H

#include "fuzz/support/said.h"
#include "stillwatt/loader.h"

/// Stations, zones and zone.tab from the disk; everything else is "no such file".
sw_loader fuzz_data_loader(void);

/// What a loader hands out for a text in memory. @return SW_OK
sw_status fuzz_found(const fuzz_named *file, sw_text *out);

#endif
