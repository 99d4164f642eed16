// Put in front of the C library with LD_PRELOAD: makes the nth call of one kind fail, as the environment
// says, and writes down at the end how many calls there were and which file the failure hit. Knows what the
// program calls itself; what the C library calls within does not pass here, but for memory.
//
//   SHIM_CALL   memory, open, read, write, fsync, close, fstat, stat, lstat, access, rename, unlink,
//   realpath, isatty SHIM_NTH    which call, from 1; 0: none SHIM_ON     1: all calls after it fail as well
//   SHIM_ERRNO  the error; 0: a read or write is cut to one byte instead
//   SHIM_SAYS   the file to write "calls hits what-was-hit" to
#define _GNU_SOURCE // for RTLD_NEXT and syscall; NOLINT(bugprone-reserved-identifier,cert-dcl37-c)
#include <dlfcn.h>
#include <errno.h>
#include <fcntl.h>
#include <stdarg.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>
#include <sys/syscall.h>
#include <unistd.h>

enum { DESCRIPTORS = 64, NAME = 512 };

static const char *call;
static long nth, on, error_number, calls, hits;
static char opened[DESCRIPTORS][NAME], hit[NAME];

// The prototypes that glibc keeps out of its headers.
void *__libc_malloc(size_t size);               // NOLINT(bugprone-reserved-identifier,cert-dcl37-c)
void *__libc_calloc(size_t count, size_t size); // NOLINT(bugprone-reserved-identifier,cert-dcl37-c)
void *__libc_realloc(void *old, size_t size);   // NOLINT(bugprone-reserved-identifier,cert-dcl37-c)

static long number(const char *name)
{
    const char *text = getenv(name);
    return text != NULL ? strtol(text, NULL, 10) : 0;
}

__attribute__((constructor)) static void begin(void)
{
    nth = number("SHIM_NTH");
    on = number("SHIM_ON");
    error_number = number("SHIM_ERRNO");
    call = getenv("SHIM_CALL");
}

__attribute__((destructor)) static void end(void)
{
    char text[NAME + 64];
    const char *says = getenv("SHIM_SAYS");
    call = NULL;
    if (says == NULL)
        return;
    int length = snprintf(text, sizeof text, "%ld %ld %s\n", calls, hits, hits > 0 ? hit : "-");
    long descriptor = syscall(SYS_openat, AT_FDCWD, says, O_WRONLY | O_CREAT | O_TRUNC, 0600);
    syscall(SYS_write, descriptor, text, (size_t)length);
    syscall(SYS_close, descriptor);
}

/* Counts a call of a kind. @return 1 if it is to fail */
static int fails(const char *kind, const char *what)
{
    if (call == NULL || strcmp(call, kind) != 0)
        return 0;
    calls++;
    if (nth == 0 || calls < nth || (calls > nth && !on))
        return 0;
    if (hits++ == 0)
        snprintf(hit, sizeof hit, "%s", what != NULL ? what : "-");
    errno = (int)error_number;
    return 1;
}

static const char *name_of(int descriptor)
{
    if (descriptor >= 0 && descriptor < 3 && opened[descriptor][0] == '\0')
        return descriptor == 1 ? "the answer" : "a standard stream";
    return descriptor >= 0 && descriptor < DESCRIPTORS ? opened[descriptor] : "-";
}

// ---- memory ----

void *malloc(size_t size)
{
    return fails("memory", "memory") ? NULL : __libc_malloc(size);
}

void *calloc(size_t count, size_t size)
{
    return fails("memory", "memory") ? NULL : __libc_calloc(count, size);
}

void *realloc(void *old, size_t size)
{
    return fails("memory", "memory") ? NULL : __libc_realloc(old, size);
}

// ---- files ----

int open(const char *path, int flags, ...)
{
    mode_t mode = 0;
    if ((flags & O_CREAT) != 0) {
        va_list arguments;
        va_start(arguments, flags);
        mode = va_arg(arguments, mode_t);
        va_end(arguments);
    }
    if (fails("open", path))
        return -1;
    int descriptor = (int)syscall(SYS_openat, AT_FDCWD, path, flags, mode);
    if (descriptor >= 0 && descriptor < DESCRIPTORS)
        snprintf(opened[descriptor], NAME, "%s", path);
    return descriptor;
}

ssize_t read(int descriptor, void *bytes, size_t size)
{
    int failed = fails("read", name_of(descriptor));
    if (failed && error_number != 0)
        return -1;
    return (ssize_t)syscall(SYS_read, descriptor, bytes, failed && size > 1 ? 1 : size);
}

ssize_t write(int descriptor, const void *bytes, size_t size)
{
    int failed = fails("write", name_of(descriptor));
    if (failed && error_number != 0) {
        if (error_number == ENOSPC && size > 1) // a disk that fills up takes some of it before
            syscall(SYS_write, descriptor, bytes, size / 2);
        errno = (int)error_number;
        return -1;
    }
    return (ssize_t)syscall(SYS_write, descriptor, bytes, failed && size > 1 ? 1 : size);
}

/* Nothing is really synchronised: the test looks at files, not at the disk, and a thousand runs would wait
 * for it. */
int fsync(int descriptor)
{
    return fails("fsync", name_of(descriptor)) ? -1 : 0;
}

/* Closed it is in any case, as on Linux. */
int close(int descriptor)
{
    int failed = fails("close", name_of(descriptor));
    int result = (int)syscall(SYS_close, descriptor);
    if (failed)
        errno = (int)error_number;
    return failed ? -1 : result;
}

int fstat(int descriptor, struct stat *out)
{
    static int (*next)(int, struct stat *);
    if (next == NULL)
        *(void **)&next = dlsym(RTLD_NEXT, "fstat");
    return fails("fstat", name_of(descriptor)) ? -1 : next(descriptor, out);
}

int stat(const char *path, struct stat *out)
{
    static int (*next)(const char *, struct stat *);
    if (next == NULL)
        *(void **)&next = dlsym(RTLD_NEXT, "stat");
    return fails("stat", path) ? -1 : next(path, out);
}

int lstat(const char *path, struct stat *out)
{
    static int (*next)(const char *, struct stat *);
    if (next == NULL)
        *(void **)&next = dlsym(RTLD_NEXT, "lstat");
    return fails("lstat", path) ? -1 : next(path, out);
}

int access(const char *path, int how)
{
    return fails("access", path) ? -1 : (int)syscall(SYS_faccessat, AT_FDCWD, path, how);
}

int rename(const char *from, const char *to)
{
    return fails("rename", to) ? -1 : (int)syscall(SYS_renameat2, AT_FDCWD, from, AT_FDCWD, to, 0);
}

int unlink(const char *path)
{
    return fails("unlink", path) ? -1 : (int)syscall(SYS_unlinkat, AT_FDCWD, path, 0);
}

char *realpath(const char *path, char *out)
{
    static char *(*next)(const char *, char *);
    if (next == NULL)
        *(void **)&next = dlsym(RTLD_NEXT, "realpath");
    return fails("realpath", path) ? NULL : next(path, out);
}

int isatty(int descriptor)
{
    static int (*next)(int);
    if (next == NULL)
        *(void **)&next = dlsym(RTLD_NEXT, "isatty");
    return fails("isatty", name_of(descriptor)) ? 0 : next(descriptor);
}
