// What every fuzz target is made of: choices and texts out of the input's bytes, assertions that stop the
// process, and records of results that can be compared.
#ifndef SW_TESTS_FUZZ_SUPPORT_FUZZ_H
#define SW_TESTS_FUZZ_SUPPORT_FUZZ_H

#include <stddef.h>
#include <stdint.h>

/// The entry point of libFuzzer; each target defines it.
int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size);

/// Says where and why, and aborts, so that fuzzer and replay both notice.
_Noreturn void fuzz_failed(const char *file, int line, const char *format, ...)
    __attribute__((format(printf, 3, 4)));

/// Stops with a message unless the condition holds.
#define FUZZ_ASSERT(condition, ...)                                                                          \
    do {                                                                                                     \
        if (!(condition))                                                                                    \
            fuzz_failed(__FILE__, __LINE__, __VA_ARGS__);                                                    \
    } while (0)

/// What is left of an input. Options stand in front, one byte each, so that a corpus file begins with digits
/// that a person can change; where the bytes have run out every choice is the first one.
typedef struct fuzz_input {
    const uint8_t *at;
    size_t left;
} fuzz_input;

/// The next option, 0 to count-1; the digit '0' is 0.
unsigned fuzz_choose(fuzz_input *input, unsigned count);
/// A number from low to high out of two bytes.
double fuzz_between(fuzz_input *input, double low, double high);
/// A whole number out of up to eight bytes, any value.
int64_t fuzz_integer(fuzz_input *input);

/// A text in memory of its own exact size and a NUL, so that a sanitizer sees any step beyond.
typedef struct fuzz_text {
    char *bytes;
    size_t length;
} fuzz_text;

/// The next piece of the input, up to a line "%%" or the end. Free with fuzz_text_free.
fuzz_text fuzz_piece(fuzz_input *input);
fuzz_text fuzz_text_of(const char *bytes, size_t length);
void fuzz_text_free(fuzz_text *text);

enum fuzz_shape { FUZZ_AS_IT_IS, FUZZ_CRLF, FUZZ_CR, FUZZ_WITH_MARK, FUZZ_CUT, FUZZ_SHAPES };
/// A change that editors and broken transfers make to a text: other line ends, a byte order mark, an end cut
/// off. Three options: which, and two for the place of the cut.
typedef struct fuzz_change {
    enum fuzz_shape shape;
    double keep; // share of the text
} fuzz_change;

fuzz_change fuzz_choose_change(fuzz_input *input);
void fuzz_change_text(fuzz_change change, fuzz_text *text);

/// A growing text of what came out; two runs of the same input must make the same one.
typedef struct fuzz_record {
    char *text;
    size_t length, room;
} fuzz_record;

void fuzz_note(fuzz_record *record, const char *format, ...) __attribute__((format(printf, 2, 3)));
/// Prints a record where the environment has FUZZ_SHOW: what an input leads to, for whoever looks at one.
void fuzz_show(const fuzz_record *record);
/// Shows the first record, asserts that both are the same, and releases them.
void fuzz_same(fuzz_record *first, fuzz_record *second);

/// Records what comes of a text, and of short work twice, which must be the same; shows and releases it, and
/// the text.
void fuzz_once_or_twice(fuzz_text *text, int twice, fuzz_record (*read)(const fuzz_text *text));

/// Memory or the end of the process.
void *fuzz_memory(size_t size);

#endif
