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

/* As draft_seen_from, of paths that are real. */
static int seen_from_real(const char *folder, const char *file, char *buffer, size_t size)
{
    size_t room = strlen(folder) + 2;
    char *slashed = malloc(room);
    if (slashed == NULL)
        return 0;
    snprintf(slashed, room, "%s%s", folder, strcmp(folder, "/") != 0 ? "/" : "");
    int good = climb(slashed, file, buffer, size);
    free(slashed);
    errno = good ? 0 : ENAMETOOLONG;
    return good;
}

int draft_seen_from(const char *folder, const char *file, char *buffer, size_t size)
{
    char *real_folder = realpath(folder, NULL);
    char *real_file = real_folder != NULL ? realpath(file, NULL) : NULL;
    int good = real_file != NULL && seen_from_real(real_folder, real_file, buffer, size);
    int error = errno;
    free(real_folder);
    free(real_file);
    errno = error;
    return good;
}
