// A fuzz target as an ordinary test: every file of its corpus as it is, and seeded mutations of each. Says
// file and seed of whatever goes wrong.
#include "fuzz/support/mutate.h"

#include <dirent.h>
#include <signal.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

enum { FILE_MAX = 1 << 20, SECONDS_MAX = 20 };

static char running[3 * 4096];
static const char *program, *folder;

static void say_running(void)
{
    ssize_t done = write(STDERR_FILENO, running, strlen(running));
    (void)done;
}

static void on_signal(int number)
{
    say_running();
    signal(number, SIG_DFL);
    raise(number);
}

// Where a sanitizer is linked in, it ends the process by itself, after this call.
extern void __sanitizer_set_death_callback(void (*callback)(void)) __attribute__((weak));

static void watch(void)
{
    static const int signals[] = {SIGABRT, SIGSEGV, SIGBUS, SIGFPE, SIGILL, SIGALRM};
    for (size_t i = 0; i < sizeof signals / sizeof signals[0]; i++)
        signal(signals[i], on_signal);
    if (__sanitizer_set_death_callback != NULL)
        __sanitizer_set_death_callback(say_running);
}

static void run(const char *name, unsigned long seed, const uint8_t *data, size_t size)
{
    snprintf(running, sizeof running, "\nThis was %s/%s%s seed %lu. To see it alone:\n  %s %s %lu %s %lu\n",
             folder, name, seed == 0 ? " as it is," : " mutated by", seed, program, folder, seed, name, seed);
    uint8_t *copy = fuzz_memory(size);
    if (size > 0)
        memcpy(copy, data, size);
    alarm(SECONDS_MAX);
    LLVMFuzzerTestOneInput(copy, size);
    alarm(0);
    free(copy);
}

static size_t read_file(const char *path, uint8_t *data)
{
    FILE *file = fopen(path, "rb");
    if (file == NULL) {
        fprintf(stderr, "%s cannot be read.\n", path);
        exit(EXIT_FAILURE);
    }
    size_t size = fread(data, 1, FILE_MAX, file);
    fclose(file);
    return size;
}

static void mutate_and_run(const char *name, unsigned long seed, const uint8_t *data, size_t size)
{
    static uint8_t room[2 * FILE_MAX];
    memcpy(room, data, size);
    size_t length = fuzz_mutate(room, size, size + 4096, seed);
    run(name, seed, room, length);
}

static int by_name(const void *a, const void *b)
{
    return strcmp(*(char *const *)a, *(char *const *)b);
}

// Names of the files of a folder, sorted, so that every machine replays them in the same order.
static size_t list_files(const char *of, char **names, size_t room)
{
    DIR *directory = opendir(of);
    size_t count = 0;
    const struct dirent *entry;
    while (directory != NULL && (entry = readdir(directory)) != NULL)
        if (entry->d_name[0] != '.' && count < room)
            names[count++] = strdup(entry->d_name);
    if (directory != NULL)
        closedir(directory);
    qsort(names, count, sizeof *names, by_name);
    return count;
}

// The file as it is (seed 0) and its mutations up to `last`; only the seed `wanted` unless that is negative.
static unsigned long replay(const char *name, unsigned long last, long wanted)
{
    static uint8_t data[FILE_MAX];
    char path[4096];
    unsigned long runs = 0;
    snprintf(path, sizeof path, "%s/%s", folder, name);
    size_t size = read_file(path, data);
    for (unsigned long seed = 0; seed <= last; seed++) {
        if (wanted >= 0 && seed != (unsigned long)wanted)
            continue;
        runs++;
        if (seed == 0)
            run(name, seed, data, size);
        else
            mutate_and_run(name, seed, data, size);
    }
    return runs;
}

int main(int argc, char **argv)
{
    enum { FILES_MAX = 4096 };
    static char *names[FILES_MAX];
    if (argc != 3 && argc != 5) {
        fprintf(stderr, "usage: %s FOLDER MUTATIONS-OF-EACH [FILE-NAME SEED]\n", argv[0]);
        return EXIT_FAILURE;
    }
    program = argv[0];
    folder = argv[1];
    unsigned long last = strtoul(argv[2], NULL, 10), runs = 0;
    size_t count = list_files(folder, names, FILES_MAX);
    watch();
    for (size_t i = 0; i < count; i++) {
        if (argc == 3 || strcmp(names[i], argv[3]) == 0)
            runs += replay(names[i], last, argc == 5 ? strtol(argv[4], NULL, 10) : -1);
        free(names[i]);
    }
    if (runs == 0)
        fprintf(stderr, "%s holds no inputs to run. Restore them: git checkout -- tests/fuzz/corpus\n",
                folder);
    printf("%zu files, %lu runs\n", count, runs);
    return runs > 0 ? EXIT_SUCCESS : EXIT_FAILURE;
}
