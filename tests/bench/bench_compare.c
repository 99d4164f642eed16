// Times a whole study: 200 choices under 30 drawn skies of a week, on one thread and on two; and the memory
// that studies of ten times the size take, each in a process of its own. Printed, not asserted.
#define _DEFAULT_SOURCE /* wait4 of the C library: the memory of one child */
#include "stillwatt/compare.h"
#include "stillwatt/report.h"
#include "support/clock.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/resource.h>
#include <sys/wait.h>
#include <unistd.h>

#define TRIP SW_SOURCE_DIR "/profiles/trips/canyon-week.json"

enum { CHOICES = 199, SKIES = 30, BEST_OF = 3, WEEK_STEPS = 7 * 288 };

__attribute__((weak)) void omp_set_num_threads(int count);

/* Batteries by charges' health and panels by number: what a builder would try, and more of it. */
static int write_study(const char *file, int choices, int draws)
{
    FILE *out = fopen(file, "w");
    if (out == NULL)
        return 0;
    fprintf(out,
            "{\"format\": \"stillwatt study 1\", \"name\": \"bench\", \"trips\": [\"%s\"], \"draws\": %d, "
            "\"choices\": {",
            TRIP, draws);
    for (int k = 0; k < choices; k++)
        fprintf(out,
                "%s\"%d\": {\"van\": {\"battery\": {\"parallel\": %d, \"health\": \"%d %%\"}, \"arrays\": "
                "{\"roof\": "
                "{\"panels\": %d}}}}",
                k > 0 ? ", " : "", k, 1 + k % 4, 60 + k % 37, 1 + k % 5);
    fprintf(out, "}}\n");
    return fclose(out) == 0;
}

static sw_status pass_over(void *context, const sw_block *block)
{
    *(double *)context += block->of[0].own.lowest_soc;
    return SW_OK;
}

/* @return seconds, a negative number if it failed */
static double study_s(const sw_loader *loader, const char *file)
{
    sw_messages *messages = sw_messages_create();
    sw_study *study = NULL;
    double sum = 0.0, begin = sw_now_s();
    int64_t done = 0;
    sw_compare_ask ask = {.step_s = 300, .take = pass_over, .context = &sum};
    sw_status status = sw_read_study(loader, file, messages, &study);
    if (status == SW_OK)
        status = sw_compare(study, loader, &ask, messages, &done);
    sw_study_free(study);
    sw_messages_free(messages);
    return status == SW_OK && sum > 0.0 ? sw_now_s() - begin : -1.0;
}

static int time_threads(const sw_loader *loader, const char *file, int threads)
{
    double best = 1e9, steps = (double)(CHOICES + 1) * SKIES * WEEK_STEPS;
    for (int i = 0; i < BEST_OF; i++) {
        if (omp_set_num_threads != NULL)
            omp_set_num_threads(threads);
        double took = study_s(loader, file);
        if (took < 0.0)
            return 0;
        best = took < best ? took : best;
    }
    printf(
        "study of %d choices x %d skies x 7 days, %d thread%s: %.2f s, %.2f studies a second, %.1f million "
        "lane-steps a second\n",
        CHOICES + 1, SKIES, threads, threads == 1 ? " " : "s", best, 1.0 / best, steps / best / 1e6);
    return 1;
}

/* The peak of a process that does nothing else. */
static int tell_memory(const sw_loader *loader, const char *file, int choices, int draws)
{
    struct rusage used;
    int status;
    if (!write_study(file, choices, draws))
        return 0;
    fflush(stdout);
    pid_t child = fork();
    if (child == 0)
        _exit(study_s(loader, file) < 0.0);
    if (child < 0 || wait4(child, &status, 0, &used) != child || status != 0)
        return 0;
    printf("memory of a study of %3d choices x %4d skies: %.1f MB\n", choices + 1, draws,
           (double)used.ru_maxrss / 1024.0);
    return 1;
}

int main(void)
{
    sw_loader loader = sw_disk_loader(SW_SOURCE_DIR);
    char file[] = "/tmp/stillwatt-bench-XXXXXX";
    int descriptor = mkstemp(file);
    if (descriptor < 0)
        return EXIT_FAILURE;
    close(descriptor);
    // First: OpenMP's threads do not live on in a child.
    int good = tell_memory(&loader, file, CHOICES, 3) && tell_memory(&loader, file, CHOICES, 30) &&
               tell_memory(&loader, file, CHOICES, 300) && tell_memory(&loader, file, 19, 300) &&
               write_study(file, CHOICES, SKIES) && time_threads(&loader, file, 1) &&
               time_threads(&loader, file, 2);
    unlink(file);
    return good ? EXIT_SUCCESS : EXIT_FAILURE;
}
