// The pieces of a schema while it is written: what it refers to, keys by their kind, rules over several keys.
#ifndef SW_FILES_SCHEMA_PARTS_H
#define SW_FILES_SCHEMA_PARTS_H

#include "files/json_write.h"
#include "files/keys.h"
#include "stillwatt/reader.h"

/// Definitions that many keys share, beside those of tables and of dimensions.
typedef enum sw_shared {
    SW_SHARED_TEXT,
    SW_SHARED_FILE,
    SW_SHARED_HOURS,
    SW_SHARED_TIMES,
    SW_SHARED_MOMENT,
    SW_SHARED_TWO_PLACES,
    SW_SHARED_TOLD_DAYS,
    SW_SHARED_TOLD_DAY,
    SW_SHARED_CLOUD,
    SW_SHARED_COUNT
} sw_shared;

#define SW_SCHEMA_TABLES_MAX 32

typedef struct sw_schema {
    sw_json_writer w;
    sw_file_kind kind;
    const sw_table *table[SW_SCHEMA_TABLES_MAX]; // referred to, in that order
    int tables;
    unsigned shared, dimensions; // referred to, a bit each
} sw_schema;

/// Writes "$ref" and notes that the definition is needed.
void sw_schema_refer_table(sw_schema *s, const sw_table *table);
void sw_schema_refer_shared(sw_schema *s, sw_shared which);
void sw_schema_refer_dimension(sw_schema *s, sw_dimension dimension);

/// The name of a definition: "a solar controller" is "solar-controller".
void sw_schema_name(const char *says, char *buffer, size_t size);
extern const char *const sw_schema_shared_names[SW_SHARED_COUNT];

/// "required": one key
void sw_schema_require(sw_schema *s, const char *key);

/// A part file gives some keys of a thing: what it leaves open is no error, and it stands on no other part.
int sw_schema_is_of_part(const sw_schema *s, const sw_table *table);

/// One key of a table, as a property.
void sw_schema_property(sw_schema *s, const sw_table *table, const sw_key *key);

/// Which keys of a table are needed, and which go together.
void sw_schema_rules(sw_schema *s, const sw_table *table);

#endif
