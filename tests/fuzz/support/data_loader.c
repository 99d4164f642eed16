#include "fuzz/support/data_loader.h"

#include <stdio.h>
#include <string.h>

enum { KEPT_MAX = 32 };

typedef struct kept_file {
    sw_resource kind;
    char name[64];
    sw_text text;
} kept_file;

sw_status fuzz_found(const fuzz_named *file, sw_text *out)
{
    *out = (sw_text){.bytes = fuzz_text_of(file->bytes, file->length).bytes,
                     .length = file->length,
                     .name = fuzz_text_of(file->name, strlen(file->name)).bytes};
    return SW_OK;
}

static sw_status load(void *context, sw_resource kind, const char *name, const char *beside, sw_text *out,
                      char *reason)
{
    static kept_file kept[KEPT_MAX];
    static int count;
    sw_loader disk = sw_disk_loader(context);
    *out = (sw_text){0};
    if (kind == SW_RESOURCE_FILE || kind == SW_RESOURCE_PART || strlen(name) >= sizeof kept[0].name) {
        snprintf(reason, 160, "there is no such file");
        return SW_CANNOT_READ;
    }
    int i = 0;
    while (i < count && (kept[i].kind != kind || strcmp(kept[i].name, name) != 0))
        i++;
    if (i == count) {
        sw_status status = disk.load(disk.context, kind, name, beside, out, reason);
        if (status != SW_OK || count == KEPT_MAX)
            return status;
        kept[count].kind = kind;
        strcpy(kept[count].name, name);
        kept[count++].text = *out;
    }
    const sw_text *text = &kept[i].text;
    return fuzz_found(&(fuzz_named){text->name, text->bytes, text->length, 0}, out);
}

sw_loader fuzz_data_loader(void)
{
    static char folder[] = SW_SOURCE_DIR;
    return (sw_loader){load, folder};
}
