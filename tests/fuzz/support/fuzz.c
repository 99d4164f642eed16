#include "fuzz/support/fuzz.h"

#include <stdarg.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

void fuzz_failed(const char *file, int line, const char *format, ...)
{
    va_list arguments;
    fflush(stdout);
    fprintf(stderr, "%s:%d: ", file, line);
    va_start(arguments, format);
    vfprintf(stderr, format, arguments);
    va_end(arguments);
    fputc('\n', stderr);
    abort();
}

void *fuzz_memory(size_t size)
{
    void *memory = malloc(size > 0 ? size : 1);
    FUZZ_ASSERT(memory != NULL, "no memory for %zu bytes", size);
    return memory;
}

// ---- choices ----

static unsigned next_byte(fuzz_input *input)
{
    if (input->left == 0)
        return '0';
    input->left--;
    return *input->at++;
}

unsigned fuzz_choose(fuzz_input *input, unsigned count)
{
    return ((next_byte(input) - '0') & 0xFF) % count;
}

double fuzz_between(fuzz_input *input, double low, double high)
{
    unsigned high_byte = next_byte(input), share = high_byte << 8 | next_byte(input);
    return low + (high - low) * (share / 65535.0);
}

int64_t fuzz_integer(fuzz_input *input)
{
    uint64_t bits = 0;
    for (int i = 0; i < 8; i++)
        bits = bits << 8 | (input->left > 0 ? next_byte(input) : 0);
    return (int64_t)bits;
}

// ---- texts ----

fuzz_text fuzz_text_of(const char *bytes, size_t length)
{
    fuzz_text text = {fuzz_memory(length + 1), length};
    if (length > 0)
        memcpy(text.bytes, bytes, length);
    text.bytes[length] = '\0';
    return text;
}

void fuzz_text_free(fuzz_text *text)
{
    free(text->bytes);
    *text = (fuzz_text){NULL, 0};
}

fuzz_text fuzz_piece(fuzz_input *input)
{
    static const char border[] = "\n%%\n";
    size_t length = 0, gap = 0;
    for (; length < input->left; length++) {
        if (input->left - length >= sizeof border - 1 &&
            memcmp(input->at + length, border, sizeof border - 1) == 0) {
            gap = sizeof border - 1;
            break;
        }
    }
    fuzz_text piece = fuzz_text_of((const char *)input->at, length);
    input->at += length + gap;
    input->left -= length + gap;
    return piece;
}

static fuzz_text with_line_ends(const fuzz_text *text, const char *line_end)
{
    size_t length = 0, width = strlen(line_end);
    fuzz_text out = {fuzz_memory(text->length * width + 1), 0};
    for (size_t i = 0; i < text->length; i++) {
        int ends = text->bytes[i] == '\n';
        memcpy(out.bytes + length, ends ? line_end : text->bytes + i, ends ? width : 1);
        length += ends ? width : 1;
    }
    fuzz_text exact = fuzz_text_of(out.bytes, length);
    free(out.bytes);
    return exact;
}

static fuzz_text with_mark(const fuzz_text *text)
{
    fuzz_text out = {fuzz_memory(text->length + 4), text->length + 3};
    memcpy(out.bytes, "\xEF\xBB\xBF", 3);
    memcpy(out.bytes + 3, text->bytes, text->length + 1);
    return out;
}

fuzz_change fuzz_choose_change(fuzz_input *input)
{
    enum fuzz_shape shape = (enum fuzz_shape)fuzz_choose(input, FUZZ_SHAPES);
    return (fuzz_change){shape, fuzz_between(input, 0, 1)};
}

void fuzz_change_text(fuzz_change change, fuzz_text *text)
{
    fuzz_text shaped;
    if (change.shape == FUZZ_CRLF || change.shape == FUZZ_CR)
        shaped = with_line_ends(text, change.shape == FUZZ_CRLF ? "\r\n" : "\r");
    else if (change.shape == FUZZ_WITH_MARK)
        shaped = with_mark(text);
    else if (change.shape == FUZZ_CUT)
        shaped = fuzz_text_of(text->bytes, (size_t)(change.keep * (double)text->length));
    else
        return;
    fuzz_text_free(text);
    *text = shaped;
}

// ---- records ----

void fuzz_note(fuzz_record *record, const char *format, ...)
{
    va_list arguments, again;
    va_start(arguments, format);
    va_copy(again, arguments);
    int length = vsnprintf(NULL, 0, format, again);
    va_end(again);
    FUZZ_ASSERT(length >= 0, "a result cannot be written");
    if (record->room - record->length <= (size_t)length) {
        record->room = 2 * record->room + (size_t)length + 1000;
        record->text = realloc(record->text, record->room);
        FUZZ_ASSERT(record->text != NULL, "no memory for %zu bytes", record->room);
    }
    vsnprintf(record->text + record->length, (size_t)length + 1, format, arguments);
    record->length += (size_t)length;
    va_end(arguments);
}

void fuzz_show(const fuzz_record *record)
{
    if (getenv("FUZZ_SHOW") != NULL)
        printf("%s\n", record->text != NULL ? record->text : "");
}

void fuzz_same(fuzz_record *first, fuzz_record *second)
{
    fuzz_show(first);
    FUZZ_ASSERT(first->length == second->length &&
                    (first->length == 0 || memcmp(first->text, second->text, first->length) == 0),
                "the same input gave two results:\n%s\n---- and then ----\n%s",
                first->text != NULL ? first->text : "", second->text != NULL ? second->text : "");
    free(first->text);
    free(second->text);
}

void fuzz_once_or_twice(fuzz_text *text, int twice, fuzz_record (*read)(const fuzz_text *text))
{
    fuzz_record first = read(text);
    if (twice) {
        fuzz_record second = read(text);
        fuzz_same(&first, &second);
    } else {
        fuzz_show(&first);
        free(first.text);
    }
    fuzz_text_free(text);
}
