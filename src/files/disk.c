// The loader that reads from the disk.
#include "stillwatt/loader.h"

#include <dirent.h>
#include <errno.h>
#include <fcntl.h>
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>
#include <unistd.h>

#define REASON_SIZE 160
#define ZONEINFO    "/usr/share/zoneinfo"

void sw_text_free(sw_text *text)
{
    free(text->bytes);
    free(text->name);
    *text = (sw_text){0};
}

/* The first `length` bytes of a folder's name, then the others as they are. Released by the caller. */
static char *join(const char *folder, size_t length, const char *below, const char *name, const char *ending)
{
    size_t size = length + strlen(below) + strlen(name) + strlen(ending) + 1;
    char *path = malloc(size);
    if (path != NULL) {
        memcpy(path, folder, length);
        snprintf(path + length, size - length, "%s%s%s", below, name, ending);
    }
    return path;
}

static char *join_whole(const char *folder, const char *below, const char *name, const char *ending)
{
    return join(folder, strlen(folder), below, name, ending);
}

/* "a/b" beside "x/y/file.json" is "x/y/a/b"; an absolute name stays. */
static char *beside_path(const char *beside, const char *name)
{
    const char *slash = beside != NULL && name[0] != '/' ? strrchr(beside, '/') : NULL;
    return slash != NULL ? join(beside, (size_t)(slash - beside), "/", name, "")
                         : join_whole("", "", name, "");
}

static int ends_with(const char *text, const char *ending)
{
    size_t length = strlen(text), tail = strlen(ending);
    return length >= tail && strcmp(text + length - tail, ending) == 0;
}

static char *path_of(const char *data, sw_resource kind, const char *name, const char *beside)
{
    switch (kind) {
    case SW_RESOURCE_PART:
        if (strchr(name, '/') == NULL && !ends_with(name, ".json"))
            return join_whole(data, "/profiles/parts/", name, ".json");
        return beside_path(beside, name);
    case SW_RESOURCE_STATIONS:
        return join_whole(data, "/weather/", "stations.csv", "");
    case SW_RESOURCE_ZONE:
        return join_whole(ZONEINFO, "/", name, "");
    case SW_RESOURCE_ZONE_TAB:
        return join_whole(ZONEINFO, "/", "zone.tab", "");
    default:
        return beside_path(beside, name);
    }
}

static sw_status too_large(char *reason)
{
    snprintf(reason, REASON_SIZE, "it is larger than %zu MB", SW_LOAD_MAX_BYTES >> 20);
    return SW_CANNOT_READ;
}

/* Reads all of an open file; its size may be unknown (a pipe). */
static sw_status read_all(int descriptor, sw_text *out, char *reason)
{
    size_t room = 0;
    for (;;) {
        if (out->length + 1 >= room) {
            room = room == 0 ? 64 * 1024 : 2 * room;
            char *grown = realloc(out->bytes, room);
            if (grown == NULL) {
                snprintf(reason, REASON_SIZE, "there is not enough memory for it");
                return SW_NO_MEMORY;
            }
            out->bytes = grown;
        }
        ssize_t got = read(descriptor, out->bytes + out->length, room - out->length - 1);
        if (got < 0 && errno == EINTR)
            continue;
        if (got < 0) {
            snprintf(reason, REASON_SIZE, "reading failed (%s)", strerror(errno));
            return SW_CANNOT_READ;
        }
        if (got == 0)
            break;
        out->length += (size_t)got;
        if (out->length > SW_LOAD_MAX_BYTES)
            return too_large(reason);
    }
    out->bytes[out->length] = '\0';
    return SW_OK;
}

static sw_status read_path(const char *path, sw_text *out, char *reason)
{
    struct stat st;
    int descriptor = open(path, O_RDONLY | O_CLOEXEC);
    if (descriptor < 0) {
        out->absent = errno == ENOENT || errno == ENOTDIR || errno == ENAMETOOLONG;
        snprintf(reason, REASON_SIZE, "%s",
                 errno == ENOENT         ? "there is no such file"
                 : errno == EACCES       ? "it may not be read (permission denied)"
                 : errno == ENAMETOOLONG ? "its name is longer than a disk allows"
                                         : strerror(errno));
        return SW_CANNOT_READ;
    }
    int known = fstat(descriptor, &st) == 0;
    sw_status status = SW_CANNOT_READ;
    if (known && S_ISDIR(st.st_mode)) {
        out->absent = 1;
        snprintf(reason, REASON_SIZE, "it is a folder");
    } else if (known && S_ISREG(st.st_mode) && (uintmax_t)st.st_size > SW_LOAD_MAX_BYTES) {
        status = too_large(reason);
    } else {
        status = read_all(descriptor, out, reason);
    }
    close(descriptor);
    return status;
}

// ---- folders ----

static int is_shown(const struct dirent *entry)
{
    return entry->d_name[0] != '.' && strchr(entry->d_name, '\n') == NULL;
}

/* By bytes: the same order whatever language the machine speaks. */
static int by_bytes(const struct dirent **a, const struct dirent **b)
{
    return strcmp((*a)->d_name, (*b)->d_name);
}

static sw_status join_names(struct dirent *const *entry, int count, sw_text *out, char *reason)
{
    size_t size = 1;
    for (int i = 0; i < count; i++)
        size += strlen(entry[i]->d_name) + 1;
    out->bytes = malloc(size);
    if (out->bytes == NULL) {
        snprintf(reason, REASON_SIZE, "there is not enough memory for the names in it");
        return SW_NO_MEMORY;
    }
    out->bytes[0] = '\0';
    for (int i = 0; i < count; i++)
        out->length +=
            (size_t)snprintf(out->bytes + out->length, size - out->length, "%s\n", entry[i]->d_name);
    return SW_OK;
}

static sw_status list_path(const char *path, sw_text *out, char *reason)
{
    struct dirent **entry = NULL;
    int count = scandir(path, &entry, is_shown, by_bytes);
    if (count < 0) {
        out->absent = errno == ENOENT || errno == ENOTDIR || errno == ENAMETOOLONG;
        snprintf(reason, REASON_SIZE, "%s", strerror(errno));
        return errno == ENOMEM ? SW_NO_MEMORY : SW_CANNOT_READ;
    }
    sw_status status = join_names(entry, count, out, reason);
    for (int i = 0; i < count; i++)
        free(entry[i]);
    free(entry);
    return status;
}

/* A zone's name may not lead out of the zone folder. */
static int is_safe_zone(const char *name)
{
    return name[0] != '/' && name[0] != '\0' && strstr(name, "..") == NULL;
}

static sw_status load(void *context, sw_resource kind, const char *name, const char *beside, sw_text *out,
                      char *reason)
{
    *out = (sw_text){0};
    if (kind == SW_RESOURCE_ZONE && !is_safe_zone(name)) {
        out->absent = 1;
        snprintf(reason, REASON_SIZE, "this is not the name of a time zone");
        return SW_CANNOT_READ;
    }
    out->name = path_of(context, kind, name, beside);
    if (out->name == NULL) {
        snprintf(reason, REASON_SIZE, "there is not enough memory for its name");
        return SW_NO_MEMORY;
    }
    return kind == SW_RESOURCE_FOLDER ? list_path(out->name, out, reason) : read_path(out->name, out, reason);
}

sw_loader sw_disk_loader(const char *data_folder)
{
    return (sw_loader){load, (void *)(size_t)data_folder};
}
