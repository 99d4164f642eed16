// Writes the schemas of the files into a folder; scripts/schemas runs it.
#include "stillwatt/schema.h"

#include <stdio.h>
#include <stdlib.h>

static int write_schema(const char *folder, sw_file_kind kind)
{
    char path[4096], *text = NULL;
    snprintf(path, sizeof path, "%s/%s", folder, sw_schema_file(kind));
    FILE *file = sw_schema_text(kind, &text) == SW_OK ? fopen(path, "wb") : NULL;
    int good = file != NULL && fputs(text, file) >= 0;
    good = file != NULL && fclose(file) == 0 && good;
    free(text);
    if (!good)
        fprintf(stderr, "%s could not be written: is the folder there?\n", path);
    return good;
}

int main(int count, char **words)
{
    if (count != 2) {
        fprintf(stderr, "use: write_schemas FOLDER\n");
        return 2;
    }
    for (int kind = 0; kind < SW_FILE_KIND_COUNT; kind++)
        if (!write_schema(words[1], (sw_file_kind)kind))
            return 4;
    return 0;
}
