// What the files of the verb draft share: the questions, and the answers being collected.
#ifndef SW_CLI_DRAFT_H
#define SW_CLI_DRAFT_H

#include "cli/cli.h"
#include "stillwatt/stations.h"

#include <stdio.h>

#define DRAFT_ANSWER_SIZE 1024 /* bytes of an answer, its end included */

/// A draft in the making.
typedef struct drafting {
    unsigned files; ///< DRAFT_VAN, DRAFT_TRIP or both
    int force;      ///< existing files may be replaced
    const sw_station_table *stations;
    draft_answers answers;
    const char *folder;
    char said[DRAFT_ANSWERS][DRAFT_ANSWER_SIZE];
    char why[600]; ///< one sentence: what is wrong with an answer
} drafting;

/// One question. Its option is that of verb_draft with the same index.
typedef struct draft_question {
    const char *asks, *example;
    const char *usually; ///< the default; NULL: see draft_usually
    /// Takes an answer. @return 0, or the exit status that a wrong one gives, with `why`
    int (*take)(const struct draft_question *q, const char *text, drafting *d);
    size_t at;       ///< counts, yes or no: the int in draft_answers
    int least, most; ///< counts
} draft_question;

extern const draft_question draft_questions[DRAFT_ANSWERS];

/// True if a question concerns what is drafted. The folder always does.
int draft_concerns(const drafting *d, draft_answer which);

/// The default of a question; it may follow from earlier answers.
void draft_usually(const drafting *d, draft_answer which, char *buffer, size_t size);

/// Takes one answer, or the default where `text` is NULL. @return 0, or the exit status, with `why`
int draft_take(drafting *d, draft_answer which, const char *text);

/// Asks all questions in order, wrong answers again. @return 0, or the exit status after a message
int draft_ask(drafting *d, FILE *in, FILE *out, int width);

/// True if a text is UTF-8, as JSON asks.
int draft_is_utf8(const char *text);

/// Path of a file in the folder of the draft. @return 1 if it fits
int draft_path(const drafting *d, const char *name, char *buffer, size_t size);

/// How a file in `folder` names another file: the path from there. Both must exist.
/// @return 1, or 0 with errno set
int draft_seen_from(const char *folder, const char *file, char *buffer, size_t size);

#endif
