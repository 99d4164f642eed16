/// JSON Schemas (2020-12) of the files, written from the same tables of keys that the readers use.
#ifndef STILLWATT_SCHEMA_H
#define STILLWATT_SCHEMA_H

#include "stillwatt/reader.h"

/// The schema of a kind of file: UTF-8 text, the same at every call. It describes the JSON that is left when
/// comments are blanked. It refuses nothing that the readers take of a file by itself; what it cannot tell is
/// told in the descriptions: the ranges of quantities, and values that must suit each other.
/// @param out released with free()
/// @return SW_OK or SW_NO_MEMORY (then `*out` is NULL)
sw_status sw_schema_text(sw_file_kind kind, char **out);

/// The name of its file in profiles/schema, such as "van.schema.json"; static.
const char *sw_schema_file(sw_file_kind kind);

#endif
