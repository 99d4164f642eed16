// A loader over a table of texts in memory; stations, zones and parts that are not in the table come from the
// disk.
#ifndef SW_TESTS_SUPPORT_MEMORY_LOADER_H
#define SW_TESTS_SUPPORT_MEMORY_LOADER_H

#include "stillwatt/loader.h"

typedef struct memory_file {
    const char *name, *text;
} memory_file;

typedef struct memory_files {
    const memory_file *file; ///< ended by a NULL name
    sw_loader disk;
} memory_files;

/// @param files must outlive the loader; its `disk` is set here
sw_loader memory_loader(memory_files *files);

#endif
