// The writer of JSON text; see json_write.h.
#include "files/json_write.h"

#include "files/decimal.h"

static void put(sw_json_writer *w, const char *text)
{
    sw_growing_add(&w->out, text);
}

static void put_quoted(sw_json_writer *w, const char *text)
{
    put(w, "\"");
    sw_json_piece(w, text);
    put(w, "\"");
}

static void new_line(sw_json_writer *w)
{
    put(w, "\n");
    for (int i = 0; i < w->depth; i++)
        put(w, "  ");
}

/* Whatever comes next stands on a line of its own, after a comma if it is not the first. */
static void begin(sw_json_writer *w, const char *key)
{
    if (w->depth > 0) {
        put(w, w->opened ? "" : ",");
        new_line(w);
    }
    w->opened = 0;
    if (key == NULL)
        return;
    put_quoted(w, key);
    put(w, ": ");
}

void sw_json_open(sw_json_writer *w, const char *key, char bracket)
{
    begin(w, key);
    put(w, (const char[]){bracket, '\0'});
    w->depth++;
    w->opened = 1;
}

void sw_json_close(sw_json_writer *w, char bracket)
{
    w->depth--;
    if (!w->opened)
        new_line(w);
    w->opened = 0;
    put(w, (const char[]){bracket, '\0'});
}

void sw_json_piece(sw_json_writer *w, const char *text)
{
    for (; *text != '\0'; text++) {
        if (*text == '"' || *text == '\\')
            put(w, "\\");
        put(w, (const char[]){*text, '\0'});
    }
}

void sw_json_begin_text(sw_json_writer *w, const char *key)
{
    begin(w, key);
    put(w, "\"");
}

void sw_json_end_text(sw_json_writer *w)
{
    put(w, "\"");
}

void sw_json_text(sw_json_writer *w, const char *key, const char *text)
{
    begin(w, key);
    put_quoted(w, text);
}

void sw_json_number(sw_json_writer *w, const char *key, double number)
{
    char digits[40];
    sw_decimal_write(number, 9, digits, sizeof digits);
    sw_json_raw(w, key, digits);
}

void sw_json_raw(sw_json_writer *w, const char *key, const char *json)
{
    begin(w, key);
    put(w, json);
}

void sw_json_raw_list(sw_json_writer *w, const char *key, const char *json)
{
    begin(w, key);
    put(w, "[");
    put(w, json);
    put(w, "]");
}

void sw_json_begin_words(sw_json_writer *w, const char *key)
{
    begin(w, key);
    put(w, "[");
    w->opened = 1;
}

void sw_json_word(sw_json_writer *w, const char *word)
{
    put(w, w->opened ? "" : ", ");
    w->opened = 0;
    put_quoted(w, word);
}

void sw_json_end_words(sw_json_writer *w)
{
    put(w, "]");
    w->opened = 0;
}

sw_status sw_json_take(sw_json_writer *w, char **out)
{
    put(w, "\n");
    sw_status status = sw_growing_take(&w->out, out);
    *w = (sw_json_writer){0};
    return status;
}
