// How one file names another: relative to its folder.
#define _XOPEN_SOURCE 700 // for realpath; NOLINT(bugprone-reserved-identifier,cert-dcl37-c,cert-dcl51-cpp)
#include "cli/draft.h"

#include <errno.h>
#include <stdlib.h>
#include <string.h>

/* Length of the folders that two absolute paths begin with, the last slash included. */
static size_t common_folders(const char *folder, const char *file)
{
    size_t common = 0;
    for (size_t i = 0; folder[i] == file[i] && folder[i] != '\0'; i++)
        if (folder[i] == '/')
            common = i + 1;
    return common;
}

/* Both paths are real; `folder` ends with a slash. */
static int climb(const char *folder, const char *file, char *buffer, size_t size)
{
    size_t common = common_folders(folder, file), length = 0;
    for (const char *slash = folder + common; (slash = strchr(slash, '/')) != NULL; slash++) {
        if (length + sizeof "../" > size)
            return 0;
        length += (size_t)snprintf(buffer + length, size - length, "../");
    }
    return snprintf(buffer + length, size - length, "%s", file + common) < (int)(size - length);
}

int draft_seen_from(const char *folder, const char *file, char *buffer, size_t size)
{
    char *real_folder = realpath(folder, NULL), *real_file = realpath(file, NULL), *slashed = NULL;
    size_t room = 0;
    int good = 0;
    if (real_folder != NULL && real_file != NULL)
        slashed = malloc(room = strlen(real_folder) + 2);
    if (slashed != NULL) {
        snprintf(slashed, room, "%s%s", real_folder, strcmp(real_folder, "/") != 0 ? "/" : "");
        good = climb(slashed, real_file, buffer, size);
        errno = good ? 0 : ENAMETOOLONG;
    }
    free(real_folder);
    free(real_file);
    free(slashed);
    return good;
}
