// The growing CSV of a study.
#include "cli/rows_file.h"

#include "cli/cli.h"

#include <errno.h>
#include <fcntl.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/file.h>
#include <sys/stat.h>
#include <unistd.h>

#define KEEP_EVERY_S 1 // a power cut takes no more than this

// ---- rows ----

static int sum_up_line(const char *line, size_t length, sw_tally *tally, int64_t *number)
{
    sw_row row;
    if (!sw_report_row_read(line, length, &row) || row.number != *number + 1)
        return 0;
    sw_tally_add(tally, &row);
    *number = row.number;
    return 1;
}

int rows_sum_up(const char *text, sw_tally *tally, int64_t *number)
{
    for (const char *end; (end = strstr(text, "\r\n")) != NULL; text = end + 2)
        if (!sum_up_line(text, (size_t)(end - text), tally, number))
            return 0;
    return *text == '\0';
}

// ---- going on ----

static int not_its_own(const char *name)
{
    return complain(3,
                    "%s holds rows of other inputs or options than these; ask for the same ones again, or "
                    "name another file",
                    name);
}

typedef enum heading { ITS_OWN, CUT, ANOTHER } heading;

static heading read_head(FILE *file, const char *head)
{
    for (const char *c = head; *c != '\0'; c++) {
        int here = getc(file);
        if (here != (unsigned char)*c)
            return here == EOF && !ferror(file) ? CUT : ANOTHER;
    }
    return ITS_OWN;
}

/* Rows are read block by block; the last block may be cut, and is then left out.
   @return the offset behind the whole blocks, -1 after a message */
static long long read_blocks(FILE *file, const char *name, int cases, sw_tally *tally, int64_t *done)
{
    char *line = NULL, **block = calloc((size_t)cases, sizeof *block);
    size_t room = 0;
    int64_t number = 0;
    int held = 0, good = block != NULL;
    long long behind = ftello(file);
    for (ssize_t length; good && (length = getline(&line, &room, file)) > 0;) {
        if (length < 2 || strcmp(line + length - 2, "\r\n") != 0)
            break; // cut within a row
        block[held++] = line;
        line = NULL;
        room = 0;
        if (held < cases)
            continue;
        for (int i = 0; i < cases && good; i++)
            good = rows_sum_up(block[i], tally, &number);
        for (; held > 0; held--)
            free(block[held - 1]);
        behind = good ? ftello(file) : behind;
        *done += good;
    }
    while (held > 0)
        free(block[--held]);
    free(line);
    free(block);
    if (!good)
        return complain(3, "%s: what follows row %lld is no row of a study", name, (long long)number), -1;
    if (ferror(file))
        return complain(4, "could not read %s: %s", name, strerror(errno)), -1;
    return behind;
}

/* A file of rows, whole or growing. @return 0 or the exit status after a message; `*behind` is 0 where not
   even the head is whole */
static int read_back(const char *name, int descriptor, const char *head, int cases, sw_tally *tally,
                     int64_t *done, long long *behind)
{
    int own = dup(descriptor); // the stream closes one
    FILE *file = own >= 0 ? fdopen(own, "rb") : NULL;
    if (file == NULL) {
        if (own >= 0)
            close(own);
        return complain(4, "could not read %s: %s", name, strerror(errno));
    }
    rewind(file);
    heading is = read_head(file, head);
    int wrong = is == ANOTHER ? not_its_own(name) : 0;
    *behind = is == ITS_OWN ? read_blocks(file, name, cases, tally, done) : 0;
    fclose(file);
    return wrong != 0 ? wrong : *behind < 0 ? 3 : 0;
}

/* Nobody else may be writing to it. The lock stays until the last descriptor of this opening is closed; a
   file system without locks is trusted. @return 0 or the exit status after a message */
static int take_alone(const rows_file *f)
{
    if (flock(f->descriptor, LOCK_EX | LOCK_NB) == 0 || errno != EWOULDBLOCK)
        return 0;
    return complain(4, "%s is being written by another run", f->part);
}

static int go_on(rows_file *f, const char *head, int cases, sw_tally *tally, int64_t *done)
{
    long long behind = 0;
    int wrong = take_alone(f);
    if (wrong == 0)
        wrong = read_back(f->part, f->descriptor, head, cases, tally, done, &behind);
    if (wrong != 0)
        return wrong;
    if (ftruncate(f->descriptor, behind) == 0 && lseek(f->descriptor, behind, SEEK_SET) == behind)
        return behind == 0 ? rows_add(f, head) : 0;
    return complain(4, "could not go on with %s: %s", f->part, strerror(errno));
}

/* The study may be finished already. */
static int look_at_whole(rows_file *f, const char *head, int cases, int64_t blocks, sw_tally *tally,
                         int64_t *done)
{
    long long behind;
    int descriptor = open(f->name, O_RDONLY | O_CLOEXEC);
    if (descriptor < 0)
        return 0;
    int wrong = read_back(f->name, descriptor, head, cases, tally, done, &behind);
    close(descriptor);
    f->whole = wrong == 0 && *done == blocks;
    return wrong != 0 || f->whole ? wrong : complain(3, "%s ends before its last row; delete it", f->name);
}

// ---- opening ----

static int begin(rows_file *f, const char *head)
{
    f->descriptor = open(f->part, O_RDWR | O_CREAT | O_EXCL | O_CLOEXEC, 0666);
    if (f->descriptor < 0 && errno == EEXIST)
        return complain(
            4, "%s is there, from a study that was interrupted; --resume goes on with it, or delete it",
            f->part);
    if (f->descriptor < 0)
        return complain(4, "could not write %.500s: %s", f->part, strerror(errno));
    int wrong = take_alone(f);
    return wrong != 0 ? wrong : rows_add(f, head);
}

int rows_open(rows_file *f, const char *name, const char *head, int resume, int cases, int64_t blocks,
              sw_tally *tally, int64_t *done)
{
    *f = (rows_file){.name = name, .descriptor = -1};
    *done = 0;
    if (name == NULL)
        return 0;
    if (snprintf(f->part, sizeof f->part, "%s.part", name) >= (int)sizeof f->part)
        return complain(4, "could not write %.500s: %s", name, strerror(ENAMETOOLONG));
    int wrong = refuse_other_kind(name, head);
    if (wrong != 0)
        return wrong;
    if (resume) {
        f->descriptor = open(f->part, O_RDWR | O_CLOEXEC);
        if (f->descriptor >= 0)
            return go_on(f, head, cases, tally, done);
        if (errno != ENOENT)
            return complain(4, "could not read %s: %s", f->part, strerror(errno));
        wrong = look_at_whole(f, head, cases, blocks, tally, done);
        if (wrong != 0 || f->whole)
            return wrong;
    }
    return begin(f, head);
}

// ---- growing ----

int rows_add(rows_file *f, const char *text)
{
    time_t now = time(NULL);
    if (f->name == NULL || f->whole)
        return 0;
    int good = write_all(f->descriptor, text);
    if (good && now - f->kept >= KEEP_EVERY_S) {
        good = synchronised(f->descriptor);
        f->kept = now;
    }
    return good
               ? 0
               : complain(4, "could not write %s: %s; its finished rows stay, and --resume goes on with them",
                          f->part, strerror(errno));
}

int rows_finish(rows_file *f)
{
    if (f->name == NULL || f->whole)
        return 0;
    int good = closed_whole(f->descriptor, 1);
    f->descriptor = -1;
    if (good && rename(f->part, f->name) == 0)
        return 0;
    return complain(4, "could not write %s: %s", f->name, strerror(errno));
}

void rows_leave(rows_file *f)
{
    if (f->descriptor >= 0) {
        (void)synchronised(f->descriptor);
        close(f->descriptor);
    }
    f->descriptor = -1;
}
