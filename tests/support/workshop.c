#include "support/workshop.h"
#include "support/checks.h"
#include "support/program.h"

#include <stdarg.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>
#include <unistd.h>

/* base/work is where the program runs. */
static char *base;
char workshop_out[1 << 16], workshop_err[1 << 14];

void workshop_begin(void)
{
    base = program_folder();
    ck_assert_int_eq(mkdir(workshop_path("work"), 0755), 0);
}

void workshop_end(void)
{
    program_remove(base);
}

const char *workshop_path(const char *name)
{
    static char path[4][256];
    static int next;
    next = (next + 1) % 4;
    snprintf(path[next], sizeof path[next], "%s/%s", base, name);
    return path[next];
}

static void keep(char *text, char *buffer, size_t size)
{
    ck_assert_ptr_nonnull(text);
    ck_assert_uint_lt(strlen(text), size);
    strcpy(buffer, text);
}

void workshop_read(const char *name, char *buffer, size_t size)
{
    char *text = program_read(base, name);
    keep(text, buffer, size);
    free(text);
}

void workshop_write(const char *name, const char *text)
{
    program_write(base, name, text);
}

int workshop_has(const char *name)
{
    struct stat st;
    return lstat(workshop_path(name), &st) == 0;
}

int workshop_run(const char *format, ...)
{
    char command[1024] = "stillwatt ";
    va_list arguments;
    va_start(arguments, format);
    vsnprintf(command + 10, sizeof command - 10, format, arguments);
    va_end(arguments);
    program_run run = program_do(workshop_path("work"), command);
    keep(run.out, workshop_out, sizeof workshop_out);
    keep(run.err, workshop_err, sizeof workshop_err);
    program_forget(&run);
    return run.exit_status;
}

void workshop_assert_empty(void)
{
    ck_assert_msg(rmdir(workshop_path("work")) == 0, "something was written");
    ck_assert_int_eq(mkdir(workshop_path("work"), 0755), 0);
}

sw_plan *workshop_plan(const char *trip)
{
    sw_loader loader = sw_disk_loader(SW_SOURCE_DIR);
    sw_messages *messages = sw_messages_create();
    sw_plan *plan = NULL;
    sw_read_trip(&loader, workshop_path(trip), messages, &plan);
    for (size_t i = 0; i < sw_messages_count(messages); i++)
        printf("  %s\n", sw_messages_at(messages, i)->what);
    ck_assert_uint_eq(sw_messages_count(messages), 0); // warnings count too
    ck_assert_ptr_nonnull(plan);
    sw_messages_free(messages);
    return plan;
}

const sw_load_spec *workshop_load(const sw_plan *plan, const char *name)
{
    for (int i = 0; i < plan->van->loads; i++)
        if (strcmp(plan->van->load[i].name, name) == 0)
            return &plan->van->load[i];
    return NULL;
}

size_t workshop_widest(const char *text)
{
    size_t most = 0;
    while (*text != '\0') {
        size_t length = strcspn(text, "\r\n");
        most = length > most ? length : most;
        text += length;
        text += strspn(text, "\r\n");
    }
    return most;
}

int workshop_count(const char *text, const char *part)
{
    int count = 0;
    for (const char *at = text; (at = strstr(at, part)) != NULL; at += strlen(part))
        count++;
    return count;
}
