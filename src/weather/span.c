// Scanning of delimited text in place: lines, fields, numbers and names.
#include "weather/span.h"
#include "files/decimal.h"
#include "files/plain.h"

#include <stdint.h>
#include <string.h>
#include <strings.h>

static int is_blank(char c)
{
    return c == ' ' || c == '\t' || c == '\r';
}

static int is_digit(char c)
{
    return c >= '0' && c <= '9';
}

int sw_span_line(sw_span *rest, sw_span *line)
{
    if (rest->at == rest->end)
        return 0;
    const char *stop = memchr(rest->at, '\n', (size_t)(rest->end - rest->at));
    line->at = rest->at;
    line->end = stop != NULL ? stop : rest->end;
    rest->at = stop != NULL ? stop + 1 : rest->end;
    while (line->end > line->at && line->end[-1] == '\r')
        line->end--;
    return 1;
}

int sw_span_field(sw_span *rest, char separator, sw_span *field)
{
    if (rest->at == NULL)
        return 0;
    const char *stop = memchr(rest->at, separator, (size_t)(rest->end - rest->at));
    field->at = rest->at;
    field->end = stop != NULL ? stop : rest->end;
    rest->at = stop != NULL ? stop + 1 : NULL;
    return 1;
}

sw_span sw_span_trim(sw_span span)
{
    while (span.at < span.end && is_blank(*span.at))
        span.at++;
    while (span.end > span.at && is_blank(span.end[-1]))
        span.end--;
    return span;
}

int sw_span_begins(sw_span span, const char *word)
{
    size_t length = strlen(word);
    return (size_t)(span.end - span.at) >= length && strncasecmp(span.at, word, length) == 0;
}

/* A number as whole digits times a power of ten; `exact` as long as a double holds the digits. */
typedef struct numeral {
    uint64_t digits;
    int power, any, exact;
} numeral;

static const char *scan_digits(const char *at, const char *end, int after_point, numeral *number)
{
    const uint64_t limit = UINT64_C(900719925474099); /* times ten and nine more stays within 2^53 */
    for (; at < end && is_digit(*at); at++) {
        number->any = 1;
        number->exact &= number->digits < limit;
        if (number->exact) {
            number->digits = number->digits * 10 + (uint64_t)(*at - '0');
            number->power -= after_point;
        }
    }
    return at;
}

static const char *scan_exponent(const char *at, const char *end, numeral *number)
{
    if (at == end || (*at != 'e' && *at != 'E'))
        return at;
    at++;
    int negative = at < end && *at == '-';
    at += at < end && (*at == '-' || *at == '+');
    if (at == end || !is_digit(*at))
        return NULL;
    int exponent = 0;
    for (; at < end && is_digit(*at); at++)
        exponent = exponent < 10000 ? exponent * 10 + (*at - '0') : exponent;
    number->power += negative ? -exponent : exponent;
    return at;
}

/* One exact product or quotient where the digits and the power of ten are exact doubles [clinger-1990]. */
static int short_value(const numeral *number, double *out)
{
    static const double ten_to[] = {1e0,  1e1,  1e2,  1e3,  1e4,  1e5,  1e6,  1e7,  1e8,  1e9,  1e10, 1e11,
                                    1e12, 1e13, 1e14, 1e15, 1e16, 1e17, 1e18, 1e19, 1e20, 1e21, 1e22};
    if (!number->exact || number->power < -22 || number->power > 22)
        return 0;
    double digits = (double)number->digits;
    *out = number->power < 0 ? digits / ten_to[-number->power] : digits * ten_to[number->power];
    return 1;
}

int sw_span_number(sw_span span, double *out)
{
    span = sw_span_trim(span);
    int negative = span.at < span.end && *span.at == '-';
    span.at += span.at < span.end && (*span.at == '-' || *span.at == '+');
    numeral number = {0, 0, 0, 1};
    const char *at = scan_digits(span.at, span.end, 0, &number);
    if (at < span.end && *at == '.')
        at = scan_digits(at + 1, span.end, 1, &number);
    at = number.any ? scan_exponent(at, span.end, &number) : NULL;
    if (at != span.end)
        return 0;
    double value;
    if (!short_value(&number, &value) &&
        sw_decimal_read(span.at, (size_t)(span.end - span.at), &value) == SW_DECIMAL_TOO_LARGE)
        return 0;
    *out = negative ? -value : value;
    return 1;
}

const char *sw_span_digits(const char *at, int count, int *out)
{
    *out = 0;
    for (; at != NULL && count > 0; count--, at++) {
        if (!is_digit(*at))
            return NULL;
        *out = 10 * *out + (*at - '0');
    }
    return at;
}

void sw_span_copy(sw_span span, char *out, size_t size)
{
    const char *at = span.at, *end = span.end;
    size_t used = 0;
    while (at < end) {
        size_t length = sw_utf8_length(at, (size_t)(end - at));
        unsigned char first = (unsigned char)*at;
        const char latin[2] = {(char)(0xC0 | (first >> 6)), (char)(0x80 | (first & 0x3F))};
        const char *from = at;
        size_t count = length;
        if (length == 0 && first >= 0xA0) {
            from = latin;
            count = 2;
        } else if (sw_plain_length(at, (size_t)(end - at)) == 0) {
            from = " ";
            count = 1;
        }
        if (used + count >= size)
            break;
        memcpy(out + used, from, count);
        used += count;
        at += length > 0 ? length : 1;
    }
    out[used] = '\0';
}
