#include "support/complaints.h"

#include <stdarg.h>
#include <stdio.h>

static void append(complaints *c, int written)
{
    size_t left = sizeof c->text - c->used;
    if (written > 0)
        c->used += (size_t)written < left ? (size_t)written : left - 1;
}

void complain_at(complaints *c, const char *file, int line, const char *format, ...)
{
    c->count++;
    append(c, snprintf(c->text + c->used, sizeof c->text - c->used, "%s:%d: ", file, line));
    va_list arguments;
    va_start(arguments, format);
    append(c, vsnprintf(c->text + c->used, sizeof c->text - c->used, format, arguments));
    va_end(arguments);
    append(c, snprintf(c->text + c->used, sizeof c->text - c->used, "\n"));
}
