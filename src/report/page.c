// Text as a terminal shows it.
#include "report/page.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

void sw_page_add(page *p, const char *format, ...)
{
    va_list arguments;
    va_start(arguments, format);
    sw_page_add_list(p, format, arguments);
    va_end(arguments);
}

void sw_page_add_list(page *p, const char *format, va_list arguments)
{
    va_list again;
    va_copy(again, arguments);
    int length = vsnprintf(NULL, 0, format, arguments);
    if (length > 0 && sw_growing_room(p, (size_t)length)) {
        vsnprintf(p->text + p->length, (size_t)length + 1, format, again);
        p->length += (size_t)length;
    }
    va_end(again);
}

/* Length in bytes of the character at the beginning of a text. The readers let only good UTF-8 in. */
static size_t character_length(const char *text)
{
    size_t length = 1;
    while (((unsigned char)text[length] & 0xC0) == 0x80)
        length++;
    return length;
}

/* Blocks of characters that terminals show two columns wide [unicode-eaw]; first and last. */
static const unsigned long wide_blocks[][2] = {{0x1100, 0x115F}, {0x2E80, 0xA4CF},   {0xAC00, 0xD7A3},
                                               {0xF900, 0xFAFF}, {0xFE30, 0xFE6F},   {0xFF00, 0xFF60},
                                               {0xFFE0, 0xFFE6}, {0x1F300, 0x1FAFF}, {0x20000, 0x3FFFD}};

static int character_columns(const char *text, size_t length)
{
    static const unsigned char lead_bits[] = {0, 0x7F, 0x1F, 0x0F, 0x07};
    unsigned long code = (unsigned char)text[0] & lead_bits[length <= 4 ? length : 4];
    for (size_t i = 1; i < length; i++)
        code = code << 6 | ((unsigned char)text[i] & 0x3F);
    for (size_t i = 0; i < sizeof wide_blocks / sizeof wide_blocks[0]; i++)
        if (code >= wide_blocks[i][0] && code <= wide_blocks[i][1])
            return 2;
    return 1;
}

static int columns_of(const char *text, size_t bytes)
{
    int columns = 0;
    for (const char *end = text + bytes; text < end;) {
        size_t length = character_length(text);
        columns += character_columns(text, length);
        text += length;
    }
    return columns;
}

void sw_page_quoted(page *p, const char *text)
{
    for (; *text != '\0'; text++)
        sw_page_add(p, "%s%c", *text == '"' ? "\"" : "", (unsigned char)*text < ' ' ? '?' : *text);
}

int sw_page_columns(const char *text)
{
    return columns_of(text, strlen(text));
}

/* @return the columns that are left over */
static int add_within(page *p, const char *text, int columns)
{
    while (*text != '\0') {
        size_t length = character_length(text);
        int more = character_columns(text, length);
        if (more > columns)
            break;
        sw_page_add(p, "%.*s", (int)length, text);
        columns -= more;
        text += length;
    }
    return columns;
}

void sw_page_cut(page *p, const char *text, int columns)
{
    static const char dots[] = "...";
    if (sw_page_columns(text) <= columns) {
        sw_page_add(p, "%s", text);
        return;
    }
    (void)add_within(p, text, columns - (int)strlen(dots));
    sw_page_add(p, "%s", dots);
}

void sw_page_cell(page *p, const char *text, int columns)
{
    sw_page_add(p, "%*s", add_within(p, text, columns), "");
}

#define UNIT_LONGEST 4 // bytes of what stays on the line of its number

/* A word; a number with its unit is one. */
static size_t word_length(const char *text)
{
    size_t length = strcspn(text, " ");
    int is_number = length > 0 && text[length - 1] >= '0' && text[length - 1] <= '9' && text[length] == ' ';
    size_t unit = is_number ? strcspn(text + length + 1, " ") : 0;
    return unit > 0 && unit <= UNIT_LONGEST ? length + 1 + unit : length;
}

void sw_page_wrap(page *p, int width, const char *first, const char *rest, const char *text)
{
    int column = sw_page_columns(first);
    int begun = 0;
    sw_page_add(p, "%s", first);
    while (*text != '\0') {
        size_t length = word_length(text);
        int columns = columns_of(text, length);
        if (begun && column + 1 + columns > width) {
            sw_page_add(p, "\n%s", rest);
            column = sw_page_columns(rest);
            begun = 0;
        }
        sw_page_add(p, "%s%.*s", begun ? " " : "", (int)length, text);
        column += columns + begun;
        begun = 1;
        text += length;
        text += strspn(text, " ");
    }
    sw_page_add(p, "\n");
}

void sw_page_wrap_page(page *p, int width, const char *first, const char *rest, page *paragraph)
{
    char *text = NULL;
    if (sw_growing_take(paragraph, &text) == SW_OK)
        sw_page_wrap(p, width, first, rest, text);
    else
        p->failed = 1;
    free(text);
}

void sw_page_escaped(page *p, const char *text)
{
    static const char *const names[] = {"&amp;", "&lt;", "&gt;", "&quot;", "&#39;"};
    static const char marks[] = "&<>\"'";
    for (; *text != '\0'; text++) {
        const char *mark = strchr(marks, *text);
        if (mark != NULL)
            sw_page_add(p, "%s", names[mark - marks]);
        else
            sw_page_add(p, "%c", *text);
    }
}

int sw_page_lines(const char *text)
{
    int lines = 0;
    for (; text != NULL && *text != '\0'; text++)
        lines += *text == '\n';
    return lines;
}
