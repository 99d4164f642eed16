// Reading of vans and parts, shared by the readers of van and trip files.
#ifndef SW_FILES_READ_VAN_H
#define SW_FILES_READ_VAN_H

#include "files/fill.h"
#include "stillwatt/reader.h"

/// Loads and parses a file; the document stays with the reader. `asking` is the node that names it, NULL for
/// the first.
/// @return its root, or NULL with messages
const sw_node *sw_reader_open(sw_reader *reader, sw_resource kind, const char *name, const sw_node *asking);

/// What people call a kind of file: "a van file".
extern const char *const sw_file_kind_says[SW_FILE_KIND_COUNT];

/// What the "format" key of each kind of file says.
extern const char *const sw_file_formats[SW_FILE_KIND_COUNT];

/// The word of a part file's "kind", and the keys of its "is".
typedef struct sw_part_kind {
    const char *word;
    const sw_table *table;
} sw_part_kind;
enum { SW_PART_KINDS = 10 };
extern const sw_part_kind sw_part_kinds[SW_PART_KINDS];

/// Reads the "format" key. @return 1 and the kind, 0 with a message
int sw_reader_format(sw_reader *reader, const sw_node *root, sw_file_kind *kind);

/// Checks a part file by itself.
void sw_reader_part(sw_reader *reader, const sw_node *root);

/// Layers of one thing of a van: habit (or NULL), van file, part file, strongest first, each checked for
/// strange keys.
sw_layers sw_reader_layers(sw_reader *reader, const sw_table *table, const sw_node *object,
                           const sw_node *habit, const char *path);

/// An object of the van that may be absent, filled from its layers. @return its struct in the arena, NULL if
/// absent
void *sw_reader_optional(sw_reader *reader, const sw_node *root, const char *key, const sw_table *table,
                         size_t size);
/// How many members an object has; 0 for NULL.
int sw_reader_members(const sw_node *object);
/// A map of named things. @return its object, NULL if absent or wrong (with a message)
const sw_node *sw_reader_map(sw_reader *reader, const sw_node *root, const char *key, const char *example);
/// True if no error was added since `before` = sw_messages_errors(): only then do values make sense together.
int sw_reader_clean_since(const sw_reader *reader, size_t before);

/// The starter battery; the loads are read already.
void sw_reader_starter(sw_reader *reader, const sw_node *root, sw_van *van);

/// Reads battery, arrays, chargers and inverter of a van.
void sw_reader_power(sw_reader *reader, const sw_node *root, sw_van *van);
/// Reads the cabin of a van, if it has one.
void sw_reader_cabin(sw_reader *reader, const sw_node *root, sw_van *van);
/// Who decides about the cabin's temperature, once a trip's van is known: the van's cabin, or the trip.
void sw_reader_cabin_of_trip(sw_reader *reader, const sw_node *root, const sw_van *van);
/// Reads the tanks of a van; the kinds that it has none of hold NAN.
void sw_reader_tanks(sw_reader *reader, const sw_node *root, sw_van *van);
/// What a trip asks of tanks, generator and engine, once its van is known: assumes what nobody said, and
/// tells what does not go together.
void sw_reader_supplies(sw_reader *reader, const sw_node *root, sw_trip *trip, sw_van *van);
/// Reads the loads of a van, changed by habits.
void sw_reader_loads(sw_reader *reader, const sw_node *root, const sw_node *habits, sw_van *van);

/// What a study changes of the files of a plan; all zero: nothing.
typedef struct sw_plan_change {
    const sw_node *van, *trip; // merge patches
    const char *van_file;      // in place of the trip's own, seen from where the program runs
} sw_plan_change;

/// Reads a trip with its van, changed. `asking` is the node that names the file, or NULL. As sw_read_trip.
sw_status sw_reader_changed_trip(const sw_loader *loader, const char *file, const sw_node *asking,
                                 const sw_plan_change *change, sw_messages *messages, sw_plan **out);

/// The place of a node, for messages after its document is gone; texts in the reader's arena.
sw_where sw_reader_where(sw_reader *reader, const sw_node *node);

/// Reads one sky. `path` is what assumptions call it.
void sw_reader_sky(sw_reader *reader, const sw_node *node, const char *path, sw_sky_spec *sky);

/// Reads the keys of a study into `study`, whose texts and nodes are those of the reader.
struct sw_study;
void sw_reader_study(sw_reader *reader, const sw_node *root, struct sw_study *study);

/// Reads a van. `habits` is an object of changes to loads by name, or NULL.
/// @return the van in the reader's arena, NULL without memory; on wrong input reader->failed is set
sw_van *sw_reader_van(sw_reader *reader, const sw_node *root, const sw_node *habits);

#endif
