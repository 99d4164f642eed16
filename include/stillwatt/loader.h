/// Where files come from. The readers ask a loader, so that the same code runs on a disk, in a browser page
/// and in a test that makes reads fail.
#ifndef STILLWATT_LOADER_H
#define STILLWATT_LOADER_H

#include "stillwatt/status.h"

#include <stddef.h>
#include <stdint.h>

typedef enum sw_resource {
    SW_RESOURCE_FILE,     ///< a van, trip or weather file, named relative to the file that names it
    SW_RESOURCE_FOLDER,   ///< the names of the files in a folder (named as FILE), sorted, each ended by LF;
                          ///< those that begin with a dot are left out
    SW_RESOURCE_PART,     ///< a part: a bare name is looked for in profiles/parts, a path as FILE
    SW_RESOURCE_STATIONS, ///< weather/stations.csv
    SW_RESOURCE_ZONE,     ///< TZif data of an IANA zone
    SW_RESOURCE_ZONE_TAB  ///< zone.tab
} sw_resource;

/// A file in memory. `name` is what messages call it. Release with sw_text_free.
typedef struct sw_text {
    char *bytes; ///< followed by a NUL that is not counted
    size_t length;
    char *name;
    int absent; ///< after SW_CANNOT_READ: there is no file (or folder) of that name, so that the name is
                ///< wrong, not the disk
} sw_text;

/// Releases bytes and name and zeroes the struct; an empty struct is allowed.
void sw_text_free(sw_text *text);

typedef struct sw_loader {
    /// @param beside the file that names it, or NULL
    /// @return SW_OK, SW_CANNOT_READ or SW_NO_MEMORY; on failure `out->name` may hold what was tried (else
    /// NULL), and `reason` (at least 160 bytes) a sentence such as "there is no such file"
    sw_status (*load)(void *context, sw_resource kind, const char *name, const char *beside, sw_text *out,
                      char *reason);
    void *context;
} sw_loader;

/// Reads from the disk. @param data_folder holds profiles/ and weather/; must outlive the loader
sw_loader sw_disk_loader(const char *data_folder);

/// What was loaded, summed up: the same files in the same order give the same sum, and others hardly ever do
/// (64 bits, FNV-1a [fnv]). No protection against somebody who means harm.
typedef struct sw_fingerprint {
    const sw_loader *from;
    uint64_t sum;
} sw_fingerprint;

/// Begins a sum of what `from` will load.
void sw_fingerprint_begin(sw_fingerprint *f, const sw_loader *from);
void sw_fingerprint_add(sw_fingerprint *f, const char *bytes, size_t length);
/// Loads as `from` does and adds what it loads: for one thread. `f` must outlive the loader.
sw_loader sw_fingerprint_loader(sw_fingerprint *f);

/// Largest file that the disk loader reads.
#define SW_LOAD_MAX_BYTES ((size_t)256 << 20)

#endif
