#define _GNU_SOURCE // for qsort_r; NOLINT(bugprone-reserved-identifier,cert-dcl37-c)
#include "failing/failing_memory.h"

#include <errno.h>
#include <stdio.h>
#include <stdlib.h>

#if defined(__SANITIZE_ADDRESS__)
#define HAS_OWN_MALLOC 1
#elif defined(__has_feature)
#if __has_feature(address_sanitizer) || __has_feature(memory_sanitizer) || __has_feature(thread_sanitizer)
#define HAS_OWN_MALLOC 1
#endif
#endif

static long asked, failing_nth, alive;
static int counting;
static failing_how failing;

int failing_memory_present(void)
{
#ifdef HAS_OWN_MALLOC
    printf("skipped: memory that fails on purpose (the sanitizer has its own malloc)\n");
    return 0;
#else
    return 1;
#endif
}

void failing_memory_begin(long nth, failing_how how)
{
    failing_nth = nth;
    failing = how;
    asked = 0;
    counting = 1;
}

long failing_memory_end(void)
{
    counting = 0;
    return asked;
}

long failing_memory_alive(void)
{
    return alive;
}

#ifndef HAS_OWN_MALLOC

// glibc's own, under the names that it keeps for programs with a malloc of their own.
void *__libc_malloc(size_t size);               // NOLINT(bugprone-reserved-identifier,cert-dcl37-c)
void *__libc_calloc(size_t count, size_t size); // NOLINT(bugprone-reserved-identifier,cert-dcl37-c)
void *__libc_realloc(void *old, size_t size);   // NOLINT(bugprone-reserved-identifier,cert-dcl37-c)
void __libc_free(void *bytes);                  // NOLINT(bugprone-reserved-identifier,cert-dcl37-c)

static int fails(void)
{
    if (!counting || ++asked < failing_nth || failing_nth == 0)
        return 0;
    if (asked > failing_nth && failing == FAIL_ONE)
        return 0;
    errno = ENOMEM;
    return 1;
}

/* One more is alive, unless there is none. */
static void *counted(void *bytes)
{
    alive += bytes != NULL;
    return bytes;
}

void *malloc(size_t size)
{
    return fails() ? NULL : counted(__libc_malloc(size));
}

void *calloc(size_t count, size_t size)
{
    return fails() ? NULL : counted(__libc_calloc(count, size));
}

void *realloc(void *old, size_t size)
{
    if (fails())
        return NULL;
    void *bytes = __libc_realloc(old, size);
    return old == NULL ? counted(bytes) : bytes;
}

void free(void *bytes)
{
    alive -= bytes != NULL;
    __libc_free(bytes);
}

// glibc's qsort asks for memory only to sort faster and sorts in place where there is none. All orders of the
// library are total, so that both ways give the same; its allocations are left out of the count.

typedef struct order {
    int (*compare)(const void *a, const void *b);
} order;

static int compare_by(const void *a, const void *b, void *by)
{
    return ((const order *)by)->compare(a, b);
}

void qsort(void *base, size_t count, size_t size, int (*compare)(const void *a, const void *b))
{
    int was_counting = counting;
    counting = 0;
    qsort_r(base, count, size, compare_by, &(order){compare});
    counting = was_counting;
}

#endif
