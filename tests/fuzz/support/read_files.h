// Vans, trips and parts through the real readers, from texts in memory, with a loader that can fail.
#ifndef SW_TESTS_FUZZ_SUPPORT_READ_FILES_H
#define SW_TESTS_FUZZ_SUPPORT_READ_FILES_H

#include "fuzz/support/fuzz.h"
#include "stillwatt/reader.h"

/// The whole of a target that reads files; a good trip is resolved to an itinerary as well. Options: a change
/// of the first text; how the loader fails (not at all; no memory, unreadable or unreadable without a name
/// from the first to fourth load on, two options); asked by kind or as any kind. Then pieces: the text that
/// is read, and the texts that are found as van.json and part.json.
void fuzz_read_files(sw_file_kind kind, fuzz_input *input);

#endif
