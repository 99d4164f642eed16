// What the verbs share: options, messages on the terminal, whole files or none.
//
// Exit status, here and in all verbs: 0 done; 1 the verdict is worse than asked; 2 the command line is wrong;
// 3 an input file is wrong; 4 something could not be read or written, or there was not enough memory; 5 the
// energy did not balance. Each but 0 and 1 comes with a line on standard error that says what was being done,
// except where the reader of a pipe has gone. What cannot be written to standard error is lost.
#ifndef SW_CLI_CLI_H
#define SW_CLI_CLI_H

#include "report/draft_files.h"
#include "stillwatt/loader.h"
#include "stillwatt/message.h"
#include "stillwatt/report.h"

#include <stdint.h>

/// All that a command line can say; a verb says which of it it understands.
typedef struct options {
    char **operand; // the words of the command line that are not options, in their order
    int operands;
    const char *ledger, *chart;
    const char *trip, *csv; // of compare
    int resume;
    const char *service, *address, *certificates, *patience; // of sky fetch
    int json, help;
    sw_units units;
    int32_t step_s;
    int required; // sw_verdict or -1
    const char *data;
    // odds
    double width;
    int seed, months;
    // draft
    const char *answer[DRAFT_ANSWERS]; // as given, NULL where not
    const char *van_name, *van_file;
    int force;
    const char *out, *builder, *made, *station; // of sheet
} options;

typedef enum option_kind {
    OPTION_FLAG,
    OPTION_TEXT,
    OPTION_UNITS,
    OPTION_STEP,
    OPTION_VERDICT,
    OPTION_SHARE,
    OPTION_SEED
} option_kind;

typedef struct option {
    const char *name; // with its dashes
    option_kind kind;
    size_t offset;     // in options
    const char *value; // what the help calls its value
    const char *says;
} option;

typedef struct verb {
    const char *name;
    const char *operands; // what the help calls them
    const char *says;     // one line
    const option *option;
    int option_count;
    int least, most; // operands
    int (*run)(const options *given);
} verb;

extern const verb verb_rehearse, verb_remedy, verb_stretch, verb_odds, verb_limits, verb_compare, verb_check,
    verb_draft, verb_sky, verb_sheet;

/// All of them, in the order of the help.
extern const verb *const verbs[];
extern const int verb_count;

/// Options that every verb understands.
extern const option common_options[];
extern const int common_option_count;

/// Reads the words after the verb, and moves the operands among them to the front. @return 0, or the exit
/// status after a message
int options_read(const verb *v, int count, char **words, options *out);

void help_all(void);
void help_verb(const verb *v);

/// The style that suits standard output.
sw_report_style terminal_style(sw_units units);

/// The folder with profiles/ and weather/: --data, STILLWATT_DATA, the source tree, the installed share.
const char *data_folder(const options *given);

/// Writes messages to standard error; the sentence of `status` where none of them is an error; and that some
/// are missing, where there was no memory for them. @return the exit status: 0 only if nothing is wrong or
/// missing
int tell(const sw_messages *messages, sw_status status);

/// Writes text to standard output. @return 0 or the exit status
int print(const char *text);

/// Prints a report that was made, with a line break behind a JSON document, and releases it. @param status of
/// making it @return 0 or the exit status after a message
int print_report(const options *given, sw_status status, char *text);

/// Writes a file that was made, as write_whole, and releases its text. @param says what it is, "the ledger"
int write_made(const char *name, sw_status status, char *text, const char *says);

/// Writes a file whole or not at all (NAME.part, then renamed). A file that is there is replaced only if it
/// can be read and begins as the new one does; a folder, a device or a pipe never. @return 0 or the exit
/// status after a message
int write_whole(const char *name, const char *text);

/// Looks whether write_whole could write a file, before the work that makes it. @param head how the text will
/// begin @return 0 or the exit status after a message
int try_whole(const char *name, const char *head);

/// A file that is there is only replaced by its own kind, which begins alike; what cannot be looked at, or is
/// no file, is never replaced. @return 0 or the exit status after a message
int refuse_other_kind(const char *name, const char *text);

/// Writes all of a text: disk and pipe may take less than they are given, or be interrupted. @return 0 after
/// an error, which is then in errno
int write_all(int descriptor, const char *text);
/// Brings a file to the disk. As write_all.
int synchronised(int descriptor);
/// Brings a file to the disk, if all was `good` so far, and closes it. @return 0 after the first error, which
/// is then in errno
int closed_whole(int descriptor, int good);

/// One line to standard error: "stillwatt: ...". @return `exit_status`
int complain(int exit_status, const char *format, ...) __attribute__((format(printf, 2, 3)));

/// Rehearses the trip of a loaded plan and prints the report; shared by rehearse and draft. @return the exit
/// status
int rehearse_file(const options *given, const char *file);

#endif
