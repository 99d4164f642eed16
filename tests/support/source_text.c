#include "support/source_text.h"

#include "support/checks.h"

#include <dirent.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

enum { SOURCES_MAX = 400 };

static const char *const folders[] = {"src/core",  "src/files",  "src/weather", "src/trip",
                                      "src/study", "src/report", "src/cli",     "include/stillwatt"};

static char *read_whole(const char *path)
{
    char full[1024];
    snprintf(full, sizeof full, "%s/%s", SW_SOURCE_DIR, path);
    FILE *file = fopen(full, "rb");
    ck_assert_msg(file != NULL, "cannot read %s", path);
    fseek(file, 0, SEEK_END);
    size_t size = (size_t)ftell(file);
    rewind(file);
    char *text = malloc(size + 1);
    ck_assert_ptr_nonnull(text);
    ck_assert_uint_eq(fread(text, 1, size, file), size);
    text[size] = '\0';
    fclose(file);
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
        s->text = read_whole(s->path);
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

static char *blank_until(char *at, const char *end)
{
    for (; at < end; at++)
        if (*at != '\n')
            *at = ' ';
    return at;
}

static char *blank_comment(char *at)
{
    int line = at[1] == '/';
    char *end = line ? at + strcspn(at, "\n") : strstr(at + 2, "*/");
    ck_assert_ptr_nonnull(end);
    return blank_until(at, line ? end : end + 2);
}

static char *blank_quoted(char *at)
{
    char quote = *at, *end = at + 1;
    while (*end != quote && *end != '\0')
        end += *end == '\\' ? 2 : 1;
    return blank_until(at + 1, end) + 1;
}

void sw_source_blank(char *text)
{
    char *at = text;
    while (*at != '\0') {
        if (at[0] == '/' && (at[1] == '/' || at[1] == '*'))
            at = blank_comment(at);
        else if ((at == text || at[-1] == '\n') && strncmp(at, "#include", 8) == 0)
            at += strcspn(at, "\n");
        else if (*at == '"' || *at == '\'')
            at = blank_quoted(at);
        else
            at++;
    }
}

int sw_source_line(const char *text, const char *at)
{
    int line = 1;
    for (; text < at; text++)
        line += *text == '\n';
    return line;
}
