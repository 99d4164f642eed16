#include "support/whole_file.h"

#include <stdlib.h>

char *read_whole_stream(FILE *stream, size_t *length)
{
    size_t room = 1 << 16, used = 0;
    char *text = malloc(room);
    while (text != NULL) {
        used += fread(text + used, 1, room - 1 - used, stream);
        if (used < room - 1)
            break;
        char *larger = realloc(text, room *= 2);
        if (larger == NULL)
            free(text);
        text = larger;
    }
    if (text != NULL)
        text[used] = '\0';
    if (length != NULL)
        *length = used;
    return text;
}

char *read_whole_file(const char *path, size_t *length)
{
    FILE *file = fopen(path, "rb");
    if (file == NULL)
        return NULL;
    char *text = read_whole_stream(file, length);
    fclose(file);
    return text;
}
