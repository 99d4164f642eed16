#include "support/memory_loader.h"
#include "support/checks.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

static char *copy(const char *text)
{
    char *out = malloc(strlen(text) + 1);
    ck_assert_ptr_nonnull(out);
    return strcpy(out, text);
}

static sw_status load(void *context, sw_resource kind, const char *name, const char *beside, sw_text *out,
                      char *reason)
{
    memory_files *files = context;
    *out = (sw_text){0};
    for (const memory_file *file = files->file; file->name != NULL; file++) {
        if (strcmp(file->name, name) != 0)
            continue;
        *out = (sw_text){.bytes = copy(file->text), .length = strlen(file->text), .name = copy(name)};
        return SW_OK;
    }
    if (kind != SW_RESOURCE_FILE)
        return files->disk.load(files->disk.context, kind, name, beside, out, reason);
    out->name = copy(name);
    out->absent = 1;
    snprintf(reason, 160, "there is no such file");
    return SW_CANNOT_READ;
}

sw_loader memory_loader(memory_files *files)
{
    files->disk = sw_disk_loader(SW_SOURCE_DIR);
    return (sw_loader){load, files};
}
