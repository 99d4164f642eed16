// The starter battery of a van, and the load that keeps it filled.
#include "files/key_rows.h"
#include "files/read_van.h"

#include <string.h>

static int load_named(const sw_van *van, const char *name)
{
    for (int k = 0; k < van->loads; k++)
        if (strcmp(van->load[k].name, name) == 0)
            return k;
    return -1;
}

void sw_reader_starter(sw_reader *reader, const sw_node *root, sw_van *van)
{
    van->starter = sw_reader_optional(reader, root, "starter", &sw_starter_table, sizeof *van->starter);
    if (van->starter == NULL)
        return;
    const char *kept = van->starter->kept;
    van->starter->kept_by = kept != NULL ? load_named(van, kept) : -1;
    if (kept != NULL && van->starter->kept_by < 0)
        sw_reader_error(reader, sw_node_member(sw_node_member(root, "starter"), "kept_by"), 0,
                        "name one of the van's loads, such as a maintainer of 3 W",
                        "the van has no load \"%s\" that could keep the starter battery filled", kept);
}
