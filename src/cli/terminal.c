// The terminal and the disk as the verbs see them.
#include "cli/cli.h"

#include <errno.h>
#include <fcntl.h>
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

int tell(const sw_messages *messages, sw_status status)
{
    for (size_t i = 0; i < sw_messages_count(messages); i++) {
        char text[2048];
        sw_message_format(sw_messages_at(messages, i), text, sizeof text);
        fputs(text, stderr);
    }
    if (sw_messages_lost(messages) > 0)
        return complain(4, "there is not enough memory, not even for %zu more messages",
                        sw_messages_lost(messages));
    if (sw_messages_errors(messages) == 0 && status != SW_OK)
        return complain(sw_status_exit(status), "%s", sw_status_sentence(status));
    return sw_status_exit(sw_messages_status(messages));
}

int write_all(int descriptor, const char *text)
{
    for (size_t left = strlen(text); left > 0;) {
        ssize_t put = write(descriptor, text, left);
        if (put < 0 && errno == EINTR)
            continue;
        if (put < 0)
            return 0;
        text += put;
        left -= (size_t)put;
    }
    return 1;
}

int print(const char *text)
{
    if (write_all(STDOUT_FILENO, text))
        return 0;
    if (errno == EPIPE)
        return 4; // whoever reads has seen enough; nothing to tell
    return complain(4, "could not write the answer: %s", strerror(errno));
}

int synchronised(int descriptor)
{
    int result;
    do {
        result = fsync(descriptor);
    } while (result != 0 && errno == EINTR);
    return result == 0;
}

int closed_whole(int descriptor, int good)
{
    good = good && synchronised(descriptor);
    int error = errno;
    if (close(descriptor) != 0 && errno != EINTR && good) { // interrupted, it is closed all the same
        good = 0;
        error = errno;
    }
    errno = error;
    return good;
}

#define PARTS_MAX 100 // names that are tried before giving up

/* Opens NAME.part, or NAME.1.part and so on where something has that name: what is there, a file, a link or a
   pipe, is somebody else's. @return -1 after an error, which is then in errno */
static int open_part(const char *name, char *part, size_t size)
{
    int descriptor = -1;
    for (int i = 0; i < PARTS_MAX && descriptor < 0; i++) {
        char number[16] = "";
        if (i > 0)
            snprintf(number, sizeof number, ".%d", i);
        if (snprintf(part, size, "%s%s.part", name, number) >= (int)size) {
            errno = ENAMETOOLONG;
            return -1;
        }
        descriptor = open(part, O_WRONLY | O_CREAT | O_EXCL | O_CLOEXEC, 0666);
        if (descriptor < 0 && errno != EEXIST)
            return -1;
    }
    return descriptor;
}

/* @return 0 after an error, which is then in errno; no part is left then */
static int write_part(const char *name, const char *text, char *part, size_t size)
{
    int descriptor = open_part(name, part, size);
    if (descriptor < 0)
        return 0;
    if (closed_whole(descriptor, write_all(descriptor, text)))
        return 1;
    int error = errno;
    unlink(part);
    errno = error;
    return 0;
}

/* The first bytes of a file. @return how many, -1 after an error */
static ssize_t read_head(int descriptor, char *head, size_t size)
{
    size_t length = 0;
    while (length < size) {
        ssize_t got = read(descriptor, head + length, size - length);
        if (got < 0 && errno == EINTR)
            continue;
        if (got < 0)
            return -1;
        if (got == 0)
            break;
        length += (size_t)got;
    }
    return (ssize_t)length;
}

int refuse_other_kind(const char *name, const char *text)
{
    char head[16];
    struct stat st;
    int wrong = 0, descriptor = open(name, O_RDONLY | O_NONBLOCK | O_CLOEXEC);
    if (descriptor < 0 && errno == ENOENT)
        return 0;
    if (descriptor < 0)
        return complain(4, "could not write %s: %s", name, strerror(errno));
    int known = fstat(descriptor, &st) == 0;
    ssize_t got = known && S_ISREG(st.st_mode) ? read_head(descriptor, head, sizeof head) : 0;
    if (!known || got < 0)
        wrong = complain(4, "%s is there, but could not be looked at (%s); it is not replaced", name,
                         strerror(errno));
    else if (!S_ISREG(st.st_mode))
        wrong = complain(4, "%s is %s, not a file; it is not replaced", name,
                         S_ISDIR(st.st_mode) ? "a folder" : "a device or a pipe");
    else if (strncmp(head, text, (size_t)got) != 0)
        wrong = complain(4, "%s is there and holds something else; it is not replaced", name);
    close(descriptor);
    return wrong;
}

int try_whole(const char *name, const char *head)
{
    char part[4096];
    int wrong = refuse_other_kind(name, head);
    if (wrong != 0)
        return wrong;
    int descriptor = open_part(name, part, sizeof part);
    if (descriptor < 0)
        return complain(4, "could not write %.500s: %s", name, strerror(errno));
    close(descriptor);
    unlink(part);
    return 0;
}

int write_whole(const char *name, const char *text)
{
    char part[4096];
    int wrong = refuse_other_kind(name, text);
    if (wrong != 0)
        return wrong;
    if (!write_part(name, text, part, sizeof part))
        return complain(4, "could not write %.500s: %s", name, strerror(errno));
    if (rename(part, name) == 0)
        return 0;
    int error = errno;
    unlink(part);
    return complain(4, "could not write %s: %s", name, strerror(error));
}

// ---- what was made ----

int print_report(const options *given, sw_status status, char *text)
{
    if (status != SW_OK)
        return complain(4, "there is not enough memory for the report");
    int wrong = print(text);
    if (wrong == 0 && given->json)
        wrong = print("\n");
    free(text);
    return wrong;
}

int write_made(const char *name, sw_status status, char *text, const char *says)
{
    if (status != SW_OK)
        return complain(4, "there is not enough memory for %s", says);
    int wrong = write_whole(name, text);
    free(text);
    return wrong;
}
