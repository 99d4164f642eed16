// The dialogue of a draft: one question a line, its default in brackets.
#include "cli/draft.h"

#include "report/page.h"

#include <errno.h>
#include <stdlib.h>
#include <string.h>

/* Cuts the blanks at both ends. @return the first other character */
static char *trim(char *line)
{
    size_t length = strlen(line);
    while (length > 0 && strchr(" \t\r\n", line[length - 1]) != NULL)
        line[--length] = '\0';
    return line + strspn(line, " \t");
}

static void say_wrong(const drafting *d, FILE *out, int width)
{
    page says = {0};
    char *text = NULL;
    sw_page_wrap(&says, width, "  ", "  ", d->why);
    if (sw_growing_take(&says, &text) == SW_OK)
        fputs(text, out);
    else
        fprintf(out, "  %s\n", d->why);
    free(text);
}

static void ask(const drafting *d, draft_answer which, FILE *out)
{
    const draft_question *q = &draft_questions[which];
    char usually[64];
    draft_usually(d, which, usually, sizeof usually);
    fprintf(out, "%s, e.g. %s [%s]: ", q->asks, q->example, usually);
    fflush(out);
}

/* @return 0, or the exit status after a message */
static int ended(FILE *in, FILE *out)
{
    int error = errno;
    fputc('\n', out);
    if (!feof(in))
        return complain(4, "the answer could not be read: %s; nothing was written", strerror(error));
    return complain(2, "the questions ended early; nothing was written");
}

/* Until an answer is good. @return 0, or the exit status after a message */
static int ask_until_good(drafting *d, draft_answer which, FILE *in, FILE *out, int width)
{
    char *line = NULL;
    size_t room = 0;
    int wrong = 2, end = 0;
    while (wrong != 0) {
        ask(d, which, out);
        if (getline(&line, &room, in) < 0) {
            end = ended(in, out);
            break;
        }
        char *text = trim(line);
        d->answers.assumed &= ~(1u << which);
        wrong = draft_take(d, which, text[0] != '\0' ? text : NULL);
        if (wrong != 0)
            say_wrong(d, out, width);
    }
    free(line);
    return end;
}

int draft_ask(drafting *d, FILE *in, FILE *out, int width)
{
    for (int i = 0; i < DRAFT_ANSWERS; i++) {
        if (!draft_concerns(d, (draft_answer)i))
            continue;
        int wrong = ask_until_good(d, (draft_answer)i, in, out, width);
        if (wrong != 0)
            return wrong;
    }
    return 0;
}
