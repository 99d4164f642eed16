// compare STUDY, or compare VAN VAN --trip TRIP: which choice, over trips and skies.
#include "cli/cli.h"
#include "cli/ranks.h"
#include "cli/rows_file.h"

#include "report/svg.h"
#include "stillwatt/report.h"
#include "study/threads.h"

#include <limits.h>
#include <signal.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <time.h>
#include <unistd.h>

#define SHOW_EVERY_S 0.25

/// What happens to the rows.
typedef struct work {
    const options *given;
    const sw_study *study;
    sw_tally *tally;
    rows_file rows;
    int64_t number; // of the last row
    int wrong;      // exit status of what was told already
    int64_t first;  // block
    const sw_ranks *ranks;
    double begun_s, shown_s; // of a clock that runs evenly
} work;

// ---- being interrupted ----

static volatile sig_atomic_t stopped;

static void on_signal(int signal_number)
{
    stopped = signal_number;
}

/* Once: whoever asks again does not want to wait. */
static void listen_to(int signal_number)
{
    struct sigaction action = {.sa_handler = on_signal, .sa_flags = SA_RESTART | SA_RESETHAND};
    sigaction(signal_number, &action, NULL);
}

// ---- among others ----

static int is_first(const work *w)
{
    return w->ranks == NULL || w->ranks->rank == 0;
}

/* The greatest of all processes' numbers. */
static int greatest(const work *w, int number)
{
    return w->ranks != NULL ? w->ranks->greatest(w->ranks->context, number) : number;
}

static int tell_own(const sw_messages *messages, sw_status status)
{
    return messages != NULL ? tell(messages, status)
                            : complain(4, "there is not enough memory for the study");
}

/* What is wrong is told once, by the first process that has met it. @return the exit status, the same on all
 */
static int tell_among(const work *w, const sw_messages *messages, sw_status status)
{
    int rank = w->ranks != NULL ? w->ranks->rank : 0;
    int wrong = messages == NULL || sw_messages_errors(messages) > 0;
    int teller = -greatest(w, wrong ? -rank : -INT_MAX);
    int tells = rank == teller || (teller == INT_MAX && rank == 0);
    return greatest(w, tells ? tell_own(messages, status) : 0);
}

/* Every process must read the same files: 31 bits of the sum of each are held against the others'. */
static int agree_on_inputs(const work *w, uint64_t fingerprint)
{
    int own = (int)(fingerprint >> 33), most = greatest(w, own), least = -greatest(w, -own);
    if (most == least)
        return 0;
    return is_first(w) ? complain(3, "the processes do not read the same files") : 3;
}

// ---- rows as they come ----

static sw_status take(void *context, const sw_block *block)
{
    work *w = context;
    char *text = NULL;
    sw_status status = sw_report_rows(w->study, block, &text);
    if (status == SW_OK) {
        w->wrong = rows_add(&w->rows, text);
        status = w->wrong == 0 ? SW_OK : SW_CANNOT_WRITE;
    }
    if (status == SW_OK && !rows_sum_up(text, w->tally, &w->number)) {
        w->wrong = complain(5, "an internal check failed: a row could not be read back");
        status = SW_UNBALANCED;
    }
    free(text);
    return status;
}

static long long cases_of(const work *w, int64_t blocks)
{
    return (long long)blocks * sw_study_block_cases(w->study);
}

static double now_s(void)
{
    struct timespec t;
    clock_gettime(CLOCK_MONOTONIC, &t);
    return (double)t.tv_sec + (double)t.tv_nsec / 1e9;
}

/* A line that is written over and over, only where somebody looks, and not more often than can be read. */
static void show_progress(void *context, int64_t done, int64_t of)
{
    work *w = context;
    double now = now_s(), gone_s = now - w->begun_s;
    int64_t left = of - done, since = done - w->first;
    if (done == of) {
        fprintf(stderr, "\r%*s\r", 70, "");
    } else if (now - w->shown_s >= SHOW_EVERY_S) {
        fprintf(stderr, "\r%lld of %lld rehearsals, about %.0f s left   ", cases_of(w, done), cases_of(w, of),
                gone_s * (double)left / (double)since);
        w->shown_s = now;
    }
    fflush(stderr);
}

// ---- the answer ----

/* The first trip as it is, for what was assumed in it. @return NULL where that cannot be had */
static sw_rehearsal *rehearse_base(const work *w, const sw_loader *loader, sw_plan **plan)
{
    sw_messages *aside = sw_messages_create();
    sw_rehearsal *r = NULL;
    *plan = NULL;
    if (aside != NULL && sw_study_plan(w->study, loader, 0, 0, aside, plan) == SW_OK)
        (void)sw_rehearse(*plan, loader, w->given->step_s, aside, &r);
    sw_messages_free(aside);
    return r;
}

static int draw(const work *w, const sw_loader *loader)
{
    char *chart = NULL;
    sw_plan *plan;
    if (w->given->chart == NULL)
        return 0;
    sw_rehearsal *base = rehearse_base(w, loader, &plan);
    sw_status status = sw_report_study_chart(w->tally, base, w->given->units, &chart);
    sw_rehearsal_free(base);
    sw_plan_free(plan);
    return write_made(w->given->chart, status, chart, "the picture");
}

/* A picture that fails takes no answer along. */
static int answer(const work *w, const sw_loader *loader)
{
    char *text = NULL;
    sw_report_style style = terminal_style(w->given->units);
    sw_status status =
        w->given->json ? sw_report_study_json(w->tally, &text) : sw_report_study(w->tally, &style, &text);
    int wrong = print_report(w->given, status, text), not_drawn = draw(w, loader);
    return wrong != 0 ? wrong : not_drawn;
}

static int tell_stopped(const work *w, int64_t done, int64_t of)
{
    if (w->given->csv != NULL)
        return complain(4, "interrupted after %lld of %lld rehearsals; %s keeps them, and --resume goes on",
                        cases_of(w, done), cases_of(w, of), w->rows.part);
    return complain(
        4, "interrupted after %lld of %lld rehearsals; with --csv FILE.csv they would have been kept",
        cases_of(w, done), cases_of(w, of));
}

// ---- the work ----

static int rehearse_all(work *w, const sw_loader *loader, sw_messages *messages)
{
    int64_t done = w->first, of = sw_study_blocks(w->study);
    sw_compare_ask ask = {.step_s = w->given->step_s,
                          .first_block = w->first,
                          .stop = &stopped,
                          .ranks = w->ranks,
                          .take = take,
                          .progress = isatty(STDERR_FILENO) ? show_progress : NULL,
                          .context = w};
    w->begun_s = w->shown_s = now_s();
    listen_to(SIGINT);
    listen_to(SIGTERM);
    sw_status status = sw_compare(w->study, loader, &ask, messages, &done);
    int wrong = greatest(w, w->wrong);
    if (wrong == 0)
        wrong = tell_among(w, messages, status);
    if (wrong == 0 && done < of)
        wrong = is_first(w) ? tell_stopped(w, done, of) : 4;
    return wrong;
}

/* The head names the inputs, so that rows of others are not gone on with. The first process keeps the rows.
 */
static int open_rows(work *w, uint64_t fingerprint)
{
    char *head = NULL;
    int cases = sw_study_block_cases(w->study), wrong = 0;
    if (sw_report_rows_head(w->study, w->given->step_s, fingerprint, &head) != SW_OK)
        wrong = complain(4, "there is not enough memory for the rows");
    else if (is_first(w))
        wrong = rows_open(&w->rows, w->given->csv, head, w->given->resume, cases, sw_study_blocks(w->study),
                          w->tally, &w->first);
    w->first = greatest(w, (int)w->first);
    w->number = w->first * cases;
    free(head);
    return greatest(w, wrong);
}

static int work_on(work *w, const sw_loader *loader, uint64_t fingerprint, sw_messages *messages)
{
    w->rows.descriptor = -1;
    int wrong = w->given->chart != NULL && is_first(w) ? try_whole(w->given->chart, SVG_HEAD) : 0;
    wrong = greatest(w, wrong);
    if (wrong == 0)
        wrong = open_rows(w, fingerprint);
    if (wrong == 0)
        wrong = rehearse_all(w, loader, messages);
    if (wrong == 0 && is_first(w))
        wrong = rows_finish(&w->rows);
    rows_leave(&w->rows);
    return wrong == 0 && is_first(w) ? answer(w, loader) : wrong;
}

static sw_status read_study(const options *given, const sw_loader *loader, sw_messages *messages,
                            sw_study **out)
{
    if (given->trip == NULL)
        return sw_read_study(loader, given->operand[0], messages, out);
    return sw_study_of_vans(loader, given->operand, given->operands, given->trip, messages, out);
}

static int check_use(const options *given)
{
    if (given->trip == NULL && given->operands > 1)
        return complain(2, "use: stillwatt compare STUDY, or stillwatt compare VAN VAN --trip TRIP");
    if (given->trip != NULL && given->operands < 2)
        return complain(2, "--trip compares two or more van files: stillwatt compare VAN VAN --trip TRIP");
    if (given->resume && given->csv == NULL)
        return complain(2, "--resume goes on with the rows of --csv FILE.csv: name the file");
    if (given->chart != NULL && given->csv != NULL && strcmp(given->chart, given->csv) == 0)
        return complain(2, "--csv and --chart name the same file: %s", given->chart);
    return 0;
}

/* All files, and what the choices cost. @return the exit status, the same on all processes */
static int open_study(work *w, const sw_loader *loader, sw_study **study, uint64_t *fingerprint)
{
    sw_fingerprint inputs;
    sw_messages *messages = sw_messages_create();
    sw_fingerprint_begin(&inputs, loader);
    sw_fingerprint_add(&inputs, STILLWATT_VERSION, sizeof STILLWATT_VERSION);
    sw_loader summing = sw_fingerprint_loader(&inputs);
    sw_status status = messages != NULL ? read_study(w->given, &summing, messages, study) : SW_NO_MEMORY;
    if (status == SW_OK)
        status = sw_study_try(*study, &summing, w->given->step_s, 1, messages);
    if (status == SW_OK)
        status = sw_tally_make(*study, loader, messages, &w->tally);
    int wrong = tell_among(w, messages, status);
    sw_messages_free(messages);
    w->study = *study;
    *fingerprint = inputs.sum;
    return wrong != 0 ? wrong : agree_on_inputs(w, inputs.sum);
}

static int run(const options *given)
{
    sw_loader loader = sw_disk_loader(data_folder(given));
    uint64_t fingerprint;
    sw_study *study = NULL;
    int wrong = check_use(given);
    if (wrong != 0)
        return wrong;
    work w = {.given = given, .ranks = ranks_join()};
    wrong = open_study(&w, &loader, &study, &fingerprint);
    sw_messages *messages = sw_messages_create();
    if (wrong == 0)
        wrong = greatest(&w, messages == NULL ? tell_own(NULL, SW_NO_MEMORY) : 0);
    if (wrong == 0)
        wrong = work_on(&w, &loader, fingerprint, messages);
    sw_messages_free(messages);
    sw_tally_free(w.tally);
    sw_study_free(study);
    sw_threads_end();
    ranks_leave(w.ranks);
    return wrong;
}

static const option own_options[] = {
    {"--trip", OPTION_TEXT, offsetof(options, trip), "TRIP",
     "compares van files on this trip, instead of a study"},
    {"--csv", OPTION_TEXT, offsetof(options, csv), "FILE.csv",
     "also writes a row for each rehearsal, as they come"},
    {"--resume", OPTION_FLAG, offsetof(options, resume), NULL, "goes on with the rows of an interrupted run"},
    {"--chart", OPTION_TEXT, offsetof(options, chart), "FILE.svg", "also draws the choices"},
    {"--json", OPTION_FLAG, offsetof(options, json), NULL, "the answer as one JSON document"},
    {"--step", OPTION_STEP, offsetof(options, step_s), "MINUTES", "length of a step, a divisor of 60 (5)"},
};

const verb verb_compare = {"compare",
                           "STUDY",
                           "which choice? all of a study file, or whole vans: VAN VAN --trip TRIP",
                           own_options,
                           sizeof own_options / sizeof own_options[0],
                           1,
                           SW_CHOICES_MAX,
                           run};
