// The terminal and the disk as the verbs see them.
#include "cli/cli.h"

#include <errno.h>
#include <stdarg.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/ioctl.h>
#include <sys/stat.h>
#include <unistd.h>

int complain(int exit_status, const char *format, ...)
{
    va_list arguments;
    va_start(arguments, format);
    fputs("stillwatt: ", stderr);
    vfprintf(stderr, format, arguments);
    fputc('\n', stderr);
    va_end(arguments);
    return exit_status;
}

/* The locale's words decide, without changing the process's locale. */
static int is_utf8(void)
{
    static const char *const names[] = {"LC_ALL", "LC_CTYPE", "LANG"};
    for (int i = 0; i < 3; i++) {
        const char *value = getenv(names[i]);
        if (value != NULL && value[0] != '\0')
            return strstr(value, "UTF-8") != NULL || strstr(value, "utf8") != NULL ||
                   strstr(value, "UTF8") != NULL || strstr(value, "utf-8") != NULL;
    }
    return 0;
}

static int terminal_width(void)
{
    struct winsize size;
    long width = 80;
    const char *columns = getenv("COLUMNS");
    long asked = columns != NULL ? strtol(columns, NULL, 10) : 0;
    if (isatty(STDOUT_FILENO) && ioctl(STDOUT_FILENO, TIOCGWINSZ, &size) == 0 && size.ws_col > 0)
        width = size.ws_col;
    else if (asked > 0)
        width = asked;
    return width < 60 ? 60 : width > 120 ? 120 : (int)width;
}

sw_report_style terminal_style(sw_units units)
{
    const char *no_colour = getenv("NO_COLOR");
    int colour = isatty(STDOUT_FILENO) && (no_colour == NULL || no_colour[0] == '\0');
    return (sw_report_style){units, terminal_width(), is_utf8(), colour};
}

static int holds_data(const char *folder)
{
    char path[4096];
    struct stat st;
    return snprintf(path, sizeof path, "%s/weather/stations.csv", folder) < (int)sizeof path &&
           stat(path, &st) == 0;
}

const char *data_folder(const options *given)
{
    const char *environment = getenv("STILLWATT_DATA");
    if (given->data != NULL)
        return given->data;
    if (environment != NULL && environment[0] != '\0')
        return environment;
    return holds_data(STILLWATT_SOURCE_DATA) ? STILLWATT_SOURCE_DATA : STILLWATT_INSTALLED_DATA;
}

int tell(const sw_messages *messages)
{
    for (size_t i = 0; i < sw_messages_count(messages); i++) {
        char text[2048];
        sw_message_format(sw_messages_at(messages, i), text, sizeof text);
        fputs(text, stderr);
    }
    return sw_status_exit(sw_messages_status(messages));
}

int print(const char *text)
{
    if (fputs(text, stdout) != EOF && fflush(stdout) != EOF)
        return 0;
    if (errno == EPIPE)
        return 4; // whoever reads has seen enough; nothing to tell
    return complain(4, "could not write the answer: %s", strerror(errno));
}

static int write_part(const char *part, const char *text)
{
    FILE *file = fopen(part, "wb");
    if (file == NULL)
        return 0;
    int good = fputs(text, file) != EOF;
    good = fflush(file) == 0 && good;
    good = fsync(fileno(file)) == 0 && good;
    return fclose(file) == 0 && good;
}

/* A file that is there is only replaced by its own kind: both must begin alike. */
static int is_of_another_kind(const char *name, const char *text)
{
    char head[16];
    FILE *file = fopen(name, "rb");
    if (file == NULL)
        return 0;
    size_t got = fread(head, 1, sizeof head, file);
    fclose(file);
    return got > 0 && strncmp(head, text, got) != 0;
}

int write_whole(const char *name, const char *text)
{
    char part[4096];
    if (is_of_another_kind(name, text))
        return complain(4, "%s is there and holds something else; it is not replaced", name);
    if (snprintf(part, sizeof part, "%s.part", name) >= (int)sizeof part)
        return complain(4, "the name %.40s... is too long", name);
    if (write_part(part, text) && rename(part, name) == 0)
        return 0;
    int error = errno;
    unlink(part);
    return complain(4, "could not write %s: %s", name, strerror(error));
}
