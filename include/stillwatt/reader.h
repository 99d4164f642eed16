/// From files to a plan.
#ifndef STILLWATT_READER_H
#define STILLWATT_READER_H

#include "stillwatt/loader.h"
#include "stillwatt/plan.h"

/// What a file says it is, by its "format" key: "stillwatt van 1" and so on.
typedef enum sw_file_kind {
    SW_FILE_VAN,
    SW_FILE_TRIP,
    SW_FILE_PART,
    SW_FILE_STUDY,
    SW_FILE_KIND_COUNT
} sw_file_kind;

/// Reads a van file, with the parts that it names. All errors of all files are collected.
/// @param messages must not be NULL: the readers count errors by it
/// @return SW_OK and a plan without a trip (release with sw_plan_free), or the first error's status and NULL
sw_status sw_read_van(const sw_loader *loader, const char *file, sw_messages *messages, sw_plan **out);

/// Reads a trip file, with its van, habits and parts; otherwise as sw_read_van.
sw_status sw_read_trip(const sw_loader *loader, const char *file, sw_messages *messages, sw_plan **out);

/// Reads any of the files by what it says it is. A part or a study is checked and gives no plan (`*out`
/// NULL); the files that a study names are not looked at.
sw_status sw_read_any(const sw_loader *loader, const char *file, sw_messages *messages, sw_file_kind *kind,
                      sw_plan **out);

/// True for a text without control characters and without marks that turn the direction of text: what a name
/// may be.
/// @param text good UTF-8
int sw_text_is_plain(const char *text);

#endif
