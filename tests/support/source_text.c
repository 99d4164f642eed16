#include "support/source_text.h"

#include "support/checks.h"
#include "support/whole_file.h"

#include <dirent.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

enum { SOURCES_MAX = 400 };

static const char *const folders[] = {"src/core",  "src/files",  "src/weather", "src/trip",
                                      "src/study", "src/report", "src/cli",     "include/stillwatt"};

static char *read_source(const char *path)
{
    char full[1024];
    snprintf(full, sizeof full, "%s/%s", SW_SOURCE_DIR, path);
    char *text = read_whole_file(full, NULL);
    ck_assert_msg(text != NULL, "cannot read %s", path);
    return text;
}

static int is_c_file(const char *name)
{
    const char *ending = strrchr(name, '.');
    return ending != NULL && (strcmp(ending, ".c") == 0 || strcmp(ending, ".h") == 0);
}

static void add_folder(const char *folder, sw_source *source, int *count)
{
    char full[1024];
    snprintf(full, sizeof full, "%s/%s", SW_SOURCE_DIR, folder);
    DIR *open = opendir(full);
    ck_assert_msg(open != NULL, "there is no folder %s", folder);
    for (struct dirent *entry; (entry = readdir(open)) != NULL;) {
        if (!is_c_file(entry->d_name))
            continue;
        ck_assert_int_lt(*count, SOURCES_MAX);
        sw_source *s = &source[(*count)++];
        const char *last = strrchr(folder, '/') + 1;
        snprintf(s->folder, sizeof s->folder, "%s", strcmp(last, "stillwatt") == 0 ? "include" : last);
        snprintf(s->name, sizeof s->name, "%.63s", entry->d_name);
        snprintf(s->path, sizeof s->path, "%s/%.63s", folder, entry->d_name);
        s->text = read_source(s->path);
    }
    closedir(open);
}

/* A new folder of src/ has to be added above. */
static void expect_no_other_folder(void)
{
    DIR *open = opendir(SW_SOURCE_DIR "/src");
    ck_assert_ptr_nonnull(open);
    for (struct dirent *entry; (entry = readdir(open)) != NULL;) {
        char path[300];
        snprintf(path, sizeof path, "src/%s", entry->d_name);
        int known = entry->d_name[0] == '.';
        for (size_t i = 0; i < sizeof folders / sizeof folders[0]; i++)
            known = known || strcmp(folders[i], path) == 0;
        ck_assert_msg(known,
                      "%s is not among the folders that the house's rules are checked in: add it to "
                      "tests/support/source_text.c",
                      path);
    }
    closedir(open);
}

static int by_path(const void *a, const void *b)
{
    const sw_source *left = a, *right = b;
    return strcmp(left->path, right->path);
}

sw_source *sw_sources_read(int *count)
{
    sw_source *source = calloc(SOURCES_MAX, sizeof *source);
    ck_assert_ptr_nonnull(source);
    *count = 0;
    expect_no_other_folder();
    for (size_t i = 0; i < sizeof folders / sizeof folders[0]; i++)
        add_folder(folders[i], source, count);
    qsort(source, (size_t)*count, sizeof *source, by_path);
    return source;
}

void sw_sources_free(sw_source *source, int count)
{
    for (int i = 0; i < count; i++)
        free(source[i].text);
    free(source);
}

// ---- comment and code ----

typedef enum part { CODE, TEXT, CHARACTER, LINE_COMMENT, BLOCK_COMMENT } part;

/* The part that begins or ends at a character; `*length` characters belong to the change. */
static part part_after(part now, const char *at, int *length)
{
    *length = 1;
    if (now == CODE && at[0] == '/' && (at[1] == '/' || at[1] == '*')) {
        *length = 2;
        return at[1] == '/' ? LINE_COMMENT : BLOCK_COMMENT;
    }
    if (now == CODE)
        return at[0] == '"' ? TEXT : at[0] == '\'' ? CHARACTER : CODE;
    if (now == BLOCK_COMMENT && at[0] == '*' && at[1] == '/') {
        *length = 2;
        return CODE;
    }
    if ((now == TEXT || now == CHARACTER) && at[0] == '\\' && at[1] != '\0')
        *length = 2;
    int ends = (now == LINE_COMMENT && at[0] == '\n') || (now == TEXT && at[0] == '"') ||
               (now == CHARACTER && at[0] == '\'');
    return ends ? CODE : now;
}

void sw_source_split(const char *text, char *comment, char *code)
{
    part now = CODE;
    size_t i = 0;
    while (text[i] != '\0') {
        int length;
        part next = part_after(now, text + i, &length);
        int in_comment = now >= LINE_COMMENT || next >= LINE_COMMENT, in_code = now == CODE && next == CODE;
        for (; length > 0; length--, i++) {
            int breaks = text[i] == '\n';
            comment[i] = breaks || in_comment ? text[i] : ' ';
            code[i] = breaks || in_code ? text[i] : ' ';
        }
        now = next;
    }
    comment[i] = code[i] = '\0';
}

/* Puts the lines of code that include something back. */
static void restore_includes(char *code, const char *text)
{
    for (size_t at = 0; code[at] != '\0'; at += text[at] == '\n') {
        size_t length = strcspn(text + at, "\n");
        if (strncmp(code + at, "#include", 8) == 0)
            memcpy(code + at, text + at, length);
        at += length;
    }
}

void sw_source_blank(char *text)
{
    size_t size = strlen(text) + 1;
    char *comment = malloc(size), *code = malloc(size);
    ck_assert_ptr_nonnull(comment);
    ck_assert_ptr_nonnull(code);
    sw_source_split(text, comment, code);
    restore_includes(code, text);
    memcpy(text, code, size);
    free(comment);
    free(code);
}

int sw_source_line(const char *text, const char *at)
{
    int line = 1;
    for (; text < at; text++)
        line += *text == '\n';
    return line;
}
