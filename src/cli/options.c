// The command line: words to options by tables, and the help that the same tables give.
#include "cli/cli.h"

#include "stillwatt/quantity.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <strings.h>

const option common_options[] = {
    {"--units", OPTION_UNITS, offsetof(options, units), "us|si", "units of the answer (si)"},
    {"--data", OPTION_TEXT, offsetof(options, data), "FOLDER", "where profiles/ and weather/ are"},
    {"--help", OPTION_FLAG, offsetof(options, help), NULL, "this text"},
};
const int common_option_count = sizeof common_options / sizeof common_options[0];

const verb *const verbs[] = {&verb_draft, &verb_check,  &verb_rehearse, &verb_remedy, &verb_stretch,
                             &verb_odds,  &verb_limits, &verb_compare,  &verb_sheet,  &verb_sky};
const int verb_count = sizeof verbs / sizeof verbs[0];

static void help_options(const option *list, int count)
{
    for (int i = 0; i < count; i++) {
        char left[40];
        snprintf(left, sizeof left, "%s%s%s", list[i].name, list[i].value != NULL ? " " : "",
                 list[i].value != NULL ? list[i].value : "");
        printf("  %-22s %s\n", left, list[i].says);
    }
}

void help_verb(const verb *v)
{
    printf("stillwatt %s %s [options]\n%s\n\n", v->name, v->operands, v->says);
    help_options(v->option, v->option_count);
    help_options(common_options, common_option_count);
}

void help_all(void)
{
    printf("stillwatt rehearses the energy of a van trip, hour by hour, before anybody leaves.\n\n");
    for (int i = 0; i < verb_count; i++)
        printf("  stillwatt %-8s %-10s %s\n", verbs[i]->name, verbs[i]->operands, verbs[i]->says);
    printf("\n`stillwatt VERB --help` lists the options of a verb; `stillwatt --version` names the version.\n"
           "Exit status: 0 done, 1 the verdict is worse than --require asks, 2 bad command line,\n"
           "3 bad input file, 4 could not read or write, 5 the energy did not balance.\n");
}

// ---- values ----

static int read_units(const char *text, sw_units *out)
{
    if (strcmp(text, "us") != 0 && strcmp(text, "si") != 0)
        return complain(2, "--units is \"us\" or \"si\", not \"%s\"", text);
    *out = strcmp(text, "us") == 0 ? SW_UNITS_US : SW_UNITS_SI;
    return 0;
}

/* "5 min", "5min" or plain minutes; whole minutes that divide the hour. */
static int read_step(const char *text, int32_t *out)
{
    sw_quantity quantity;
    char *end;
    long minutes = strtol(text, &end, 10);
    if (*end != '\0')
        minutes = sw_quantity_read(text, SW_DIM_TIME, &quantity) == SW_QUANTITY_OK
                      ? (long)(quantity.value / 60.0)
                      : 0;
    if (minutes < 1 || minutes > 60 || 60 % minutes != 0)
        return complain(
            2, "--step must divide the hour: 1, 2, 3, 4, 5, 6, 10, 12, 15, 20, 30 or 60 min, not \"%s\"",
            text);
    *out = (int32_t)minutes * 60;
    return 0;
}

static int read_verdict(const char *text, int *out)
{
    for (int v = SW_HOLDS; v <= SW_OUT; v++) {
        if (strcasecmp(text, sw_verdict_word((sw_verdict)v)) == 0) {
            *out = v;
            return 0;
        }
    }
    return complain(2, "--require is holds, tight, under or out, not \"%s\"", text);
}

/* "10 %" */
static int read_share(const option *o, const char *text, double *out)
{
    sw_quantity quantity;
    if (sw_quantity_read(text, SW_DIM_RATIO, &quantity) != SW_QUANTITY_OK || !(quantity.value > 0.0) ||
        quantity.value > 1.0)
        return complain(2, "%s is a share over 0 %% and up to 100 %%, as \"5 %%\", not \"%s\"", o->name,
                        text);
    *out = quantity.value;
    return 0;
}

static int read_seed(const option *o, const char *text, int *out)
{
    char *end;
    long number = strtol(text, &end, 10);
    if (*end != '\0' || number < 0 || number >= SW_SEEDS)
        return complain(2, "%s is a whole number from 0 to %d, not \"%s\"", o->name, SW_SEEDS - 1, text);
    *out = (int)number;
    return 0;
}

static int take_value(const option *o, const char *value, options *out)
{
    char *at = (char *)out + o->offset;
    switch (o->kind) {
    case OPTION_UNITS:
        return read_units(value, (sw_units *)(void *)at);
    case OPTION_STEP:
        return read_step(value, (int32_t *)(void *)at);
    case OPTION_VERDICT:
        return read_verdict(value, (int *)(void *)at);
    case OPTION_SHARE:
        return read_share(o, value, (double *)(void *)at);
    case OPTION_SEED:
        return read_seed(o, value, (int *)(void *)at);
    case OPTION_TEXT:
        *(const char **)(void *)at = value;
        return 0;
    default:
        *(int *)(void *)at = 1;
        return 0;
    }
}

// ---- words ----

/* "--name" or "--name=value" */
static int names(const option *o, const char *word)
{
    size_t length = strlen(o->name);
    return strncmp(o->name, word, length) == 0 && (word[length] == '\0' || word[length] == '=');
}

static const option *find_option(const verb *v, const char *word)
{
    for (int i = 0; i < v->option_count; i++)
        if (names(&v->option[i], word))
            return &v->option[i];
    for (int i = 0; i < common_option_count; i++)
        if (names(&common_options[i], word))
            return &common_options[i];
    return NULL;
}

static int unknown_option(const verb *v, const char *word)
{
    const char *known[48];
    size_t count = 0;
    for (int i = 0; i < v->option_count && count < 40; i++)
        known[count++] = v->option[i].name;
    for (int i = 0; i < common_option_count; i++)
        known[count++] = common_options[i].name;
    const char *nearest = sw_nearest_word(word, known, count);
    if (nearest != NULL)
        return complain(2, "%s has no option %s; did you mean %s?", v->name, word, nearest);
    return complain(2, "%s has no option %s; see `stillwatt %s --help`", v->name, word, v->name);
}

/* @return words used (1 or 2), or minus the exit status */
static int take_option(const verb *v, int count, char **words, options *out)
{
    const option *o = find_option(v, words[0]);
    const char *value = strchr(words[0], '=');
    int used = 1;
    if (o == NULL)
        return -unknown_option(v, words[0]);
    if (o->kind == OPTION_FLAG && value != NULL)
        return -complain(2, "%s takes no value", o->name);
    if (o->kind != OPTION_FLAG && value == NULL) {
        if (count < 2)
            return -complain(2, "%s needs a value: %s %s", o->name, o->name, o->value);
        value = words[1];
        used = 2;
    } else if (value != NULL) {
        value++;
    }
    if (o->kind != OPTION_FLAG && value[0] == '\0')
        return -complain(2, "%s needs a value that is not empty: %s %s", o->name, o->name, o->value);
    int wrong = take_value(o, value, out);
    return wrong != 0 ? -wrong : used;
}

int options_read(const verb *v, int count, char **words, options *out)
{
    int only_operands = 0;
    *out = (options){.operand = words, .step_s = 300, .required = -1, .width = 0.1};
    for (int i = 0; i < count;) {
        if (!only_operands && strcmp(words[i], "--") == 0) {
            only_operands = 1;
            i++;
        } else if (!only_operands && words[i][0] == '-' && words[i][1] != '\0') {
            int used = take_option(v, count - i, &words[i], out);
            if (used < 0)
                return -used;
            i += used;
        } else if (words[i][0] == '\0') {
            return complain(2, "a file needs a name, not \"\"");
        } else {
            words[out->operands++] = words[i++]; // never past the word that was just read
        }
    }
    if (!out->help && (out->operands < v->least || out->operands > v->most))
        return complain(2, "use: stillwatt %s %s [options]", v->name, v->operands);
    return 0;
}
