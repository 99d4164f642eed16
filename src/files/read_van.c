// A van file as a whole.
#include "files/read_van.h"

#include <string.h>

sw_van *sw_reader_van(sw_reader *reader, const sw_node *root, const sw_node *habits)
{
    sw_van *van = sw_arena_alloc(reader->arena, sizeof *van);
    if (van == NULL) {
        sw_reader_no_memory(reader);
        return NULL;
    }
    sw_layers layers = {{root}, 1, 0, "van "};
    sw_check_keys(reader, &sw_van_table, root);
    sw_fill(reader, &sw_van_table, &layers, van);
    van->file = sw_reader_text(reader, "%s", sw_document_name(root->document));
    sw_layers vehicle = {{sw_node_member(root, "vehicle")}, 1, 0, "van /vehicle"};
    sw_check_keys(reader, &sw_vehicle_table, vehicle.object[0]);
    sw_fill(reader, &sw_vehicle_table, &vehicle, &van->vehicle);

    sw_reader_power(reader, root, van);
    sw_reader_loads(reader, root, habits, van);
    sw_reader_starter(reader, root, van);
    sw_reader_tanks(reader, root, van);
    sw_reader_cabin(reader, root, van);
    memcpy(van->currency, reader->currency, sizeof van->currency);
    return van;
}
