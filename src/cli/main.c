// The program: finds the verb and runs it.
#include "cli/cli.h"

#include <errno.h>
#include <signal.h>
#include <stdio.h>
#include <string.h>

static int unknown_verb(const char *word)
{
    const char *names[16];
    for (int i = 0; i < verb_count; i++)
        names[i] = verbs[i]->name;
    const char *nearest = sw_nearest_word(word, names, verb_count);
    if (nearest != NULL)
        return complain(2, "there is no verb \"%s\"; did you mean \"%s\"?", word, nearest);
    return complain(2, "there is no verb \"%s\"; see `stillwatt --help`", word);
}

static int run(const verb *v, int count, char **words)
{
    options given;
    int wrong = options_read(v, count, words, &given);
    if (wrong != 0)
        return wrong;
    if (given.help) {
        help_verb(v);
        return 0;
    }
    return v->run(&given);
}

static int answer(int count, char **words)
{
    if (count < 2) {
        help_all();
        return 2;
    }
    if (strcmp(words[1], "--help") == 0 || strcmp(words[1], "help") == 0) {
        help_all();
        return 0;
    }
    if (strcmp(words[1], "--version") == 0) {
        printf("stillwatt %s\n", STILLWATT_VERSION);
        return 0;
    }
    for (int i = 0; i < verb_count; i++)
        if (strcmp(words[1], verbs[i]->name) == 0)
            return run(verbs[i], count - 2, words + 2);
    return unknown_verb(words[1]);
}

/* Help and version are printed through stdio, whose failures show at the end. */
static int finish(int exit_status)
{
    int failed = ferror(stdout);
    failed = fflush(stdout) != 0 || failed;
    if (!failed || exit_status != 0)
        return exit_status;
    return errno == EPIPE ? 4 : complain(4, "could not write the answer: %s", strerror(errno));
}

int main(int count, char **words)
{
    signal(SIGPIPE, SIG_IGN); // a closed pipe is a failed write, told like any other
    signal(SIGXFSZ, SIG_IGN); // and so is a file that grows beyond what the user may write
    return finish(answer(count, words));
}
