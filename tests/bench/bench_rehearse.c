// Times the program as a whole on the demo trips: best and median of many runs, and the memory it takes.
// Printed, not asserted; the aim is under 30 ms and under 20 MB for each.
#include <fcntl.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/resource.h>
#include <sys/wait.h>
#include <time.h>
#include <unistd.h>

enum { RUNS = 15 };

static double now_ms(void)
{
    struct timespec t;
    clock_gettime(CLOCK_MONOTONIC, &t);
    return (double)t.tv_sec * 1e3 + (double)t.tv_nsec / 1e6;
}

/* One run of the program with its output thrown away. @return milliseconds, or -1 */
static double run_once(const char *trip)
{
    int status = 0;
    double begin = now_ms();
    pid_t child = fork();
    if (child == 0) {
        int nowhere = open("/dev/null", O_WRONLY);
        dup2(nowhere, STDOUT_FILENO);
        dup2(nowhere, STDERR_FILENO);
        execl(SW_PROGRAM, SW_PROGRAM, "rehearse", trip, (char *)NULL);
        _exit(127);
    }
    if (child < 0 || waitpid(child, &status, 0) != child || !WIFEXITED(status) || WEXITSTATUS(status) != 0)
        return -1.0;
    return now_ms() - begin;
}

static int by_size(const void *a, const void *b)
{
    double x = *(const double *)a, y = *(const double *)b;
    return (x > y) - (x < y);
}

int main(void)
{
    static const char *const trips[] = {"canyon-week", "canyon-week-told", "desert-summer",
                                        "high-desert-tour"};
    printf("%-20s %10s %10s\n", "trip", "best ms", "median ms");
    for (size_t i = 0; i < sizeof trips / sizeof trips[0]; i++) {
        char path[1024];
        double took[RUNS];
        snprintf(path, sizeof path, "%s/profiles/trips/%s.json", SW_SOURCE_DIR, trips[i]);
        for (int k = 0; k < RUNS; k++) {
            took[k] = run_once(path);
            if (took[k] < 0.0) {
                fprintf(stderr, "the run of %s failed\n", trips[i]);
                return EXIT_FAILURE;
            }
        }
        qsort(took, RUNS, sizeof took[0], by_size);
        printf("%-20s %10.1f %10.1f\n", trips[i], took[0], took[RUNS / 2]);
    }
    struct rusage children;
    getrusage(RUSAGE_CHILDREN, &children);
    printf("largest memory of a run: %.1f MB\n", (double)children.ru_maxrss / 1024.0);
    return EXIT_SUCCESS;
}
