// Sums over what a loader loads.
#include "stillwatt/loader.h"

#include <string.h>

#define FNV_BASIS 14695981039346656037ull
#define FNV_PRIME 1099511628211ull

void sw_fingerprint_begin(sw_fingerprint *f, const sw_loader *from)
{
    *f = (sw_fingerprint){from, FNV_BASIS};
}

void sw_fingerprint_add(sw_fingerprint *f, const char *bytes, size_t length)
{
    for (size_t i = 0; i < length; i++)
        f->sum = (f->sum ^ (unsigned char)bytes[i]) * FNV_PRIME;
}

/* The name and its NUL part one file from the next. */
static sw_status load(void *context, sw_resource kind, const char *name, const char *beside, sw_text *out,
                      char *reason)
{
    sw_fingerprint *f = context;
    sw_status status = f->from->load(f->from->context, kind, name, beside, out, reason);
    if (status == SW_OK) {
        sw_fingerprint_add(f, name, strlen(name) + 1);
        sw_fingerprint_add(f, out->bytes, out->length);
    }
    return status;
}

sw_loader sw_fingerprint_loader(sw_fingerprint *f)
{
    return (sw_loader){load, f};
}
