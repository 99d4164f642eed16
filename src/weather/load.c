// A weather record from where files come from: one file, or a folder of years.
#include "weather/join.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

enum { FILES_MAX = 400 };

typedef struct folder {
    const sw_loader *loader;
    const char *name, *beside;
    sw_messages *messages;
    int count;
    join_part part[FILES_MAX];
} folder;

static sw_status not_read(const char *name, const sw_text *text, const char *reason, const sw_where *where,
                          sw_status status, sw_messages *messages)
{
    return sw_error(
        messages, text->absent && where != NULL ? SW_BAD_INPUT : status, where,
        where != NULL ? "give its path as seen from the folder of this file, such as \"weather/denver.epw\""
                      : NULL,
        "the weather file %s could not be read: %s", text->name != NULL ? text->name : name, reason);
}

// ---- folders ----

/* Reads one file of a folder as its next part. */
static sw_status add_part(folder *f, const char *file, size_t length)
{
    char path[4096], reason[200] = "";
    sw_text text = {.bytes = NULL};
    if (f->count == FILES_MAX)
        return sw_error(f->messages, SW_BAD_INPUT, &(sw_where){.file = f->name}, "split the folder",
                        "this folder holds more than %d files", FILES_MAX);
    size_t end = strlen(f->name);
    const char *slash = end > 0 && f->name[end - 1] == '/' ? "" : "/";
    if (snprintf(path, sizeof path, "%s%s%.*s", f->name, slash, (int)length, file) >= (int)sizeof path)
        return sw_error(f->messages, SW_BAD_INPUT, &(sw_where){.file = f->name}, NULL,
                        "the names in this folder are too long");
    sw_status status = f->loader->load(f->loader->context, SW_RESOURCE_FILE, path, f->beside, &text, reason);
    join_part *part = &f->part[f->count];
    if (status != SW_OK)
        (void)not_read(path, &text, reason, NULL, status, f->messages);
    else
        status = sw_weather_read(text.bytes, text.length, text.name, f->messages, &part->series);
    if (status == SW_OK) {
        part->name = text.name;
        text.name = NULL;
        f->count++;
    }
    sw_text_free(&text);
    return status;
}

static sw_status read_files(folder *f, const sw_text *names, sw_series **out)
{
    sw_status status = SW_OK;
    for (const char *at = names->bytes, *end; status == SW_OK && (end = strchr(at, '\n')) != NULL;
         at = end + 1)
        status = add_part(f, at, (size_t)(end - at));
    sw_where where = {names->name, 0, 0, NULL};
    if (status == SW_OK && f->count == 0)
        status = sw_error(f->messages, SW_BAD_INPUT, &where, "put weather files of real years into it",
                          "this folder holds no files");
    if (status == SW_OK)
        status = sw_join(f->part, f->count, names->name, f->messages, out);
    for (int i = 0; i < f->count; i++) {
        free(f->part[i].name);
        sw_series_free(f->part[i].series);
    }
    return status;
}

static sw_status read_folder(const sw_loader *loader, const char *name, const char *beside,
                             const sw_text *names, sw_messages *messages, sw_series **out)
{
    folder *f = calloc(1, sizeof *f);
    if (f == NULL)
        return sw_error(messages, SW_NO_MEMORY, NULL, NULL,
                        "there is not enough memory to read the folder %s", name);
    *f = (folder){.loader = loader, .name = name, .beside = beside, .messages = messages};
    sw_status status = read_files(f, names, out);
    free(f);
    return status;
}

// ---- either ----

sw_status sw_weather_load(const sw_loader *loader, const char *name, const char *beside,
                          const sw_where *where, sw_messages *messages, sw_series **out)
{
    char reason[200] = "", no_folder[200];
    sw_text text = {.bytes = NULL}, names = {.bytes = NULL};
    *out = NULL;
    sw_status status = loader->load(loader->context, SW_RESOURCE_FILE, name, beside, &text, reason);
    if (status == SW_OK)
        status = sw_weather_read(text.bytes, text.length, text.name, messages, out);
    else if (text.absent &&
             loader->load(loader->context, SW_RESOURCE_FOLDER, name, beside, &names, no_folder) == SW_OK)
        status = read_folder(loader, name, beside, &names, messages, out);
    else
        status = not_read(name, &text, reason, where, status, messages);
    sw_text_free(&text);
    sw_text_free(&names);
    return status;
}
