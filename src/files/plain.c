// What is a whole character, and what of a text may be shown to people.
#include "files/plain.h"

#include "stillwatt/reader.h"

#include <string.h>

size_t sw_utf8_length(const char *at, size_t left)
{
    static const struct {
        unsigned char first_low, first_high, second_low, second_high, length;
    } forms[] = {
        {0x01, 0x7F, 0x00, 0xFF, 1}, {0xC2, 0xDF, 0x80, 0xBF, 2}, {0xE0, 0xE0, 0xA0, 0xBF, 3},
        {0xE1, 0xEC, 0x80, 0xBF, 3}, {0xED, 0xED, 0x80, 0x9F, 3}, {0xEE, 0xEF, 0x80, 0xBF, 3},
        {0xF0, 0xF0, 0x90, 0xBF, 4}, {0xF1, 0xF3, 0x80, 0xBF, 4}, {0xF4, 0xF4, 0x80, 0x8F, 4},
    };
    const unsigned char *p = (const unsigned char *)at;
    for (size_t i = 0; i < sizeof forms / sizeof forms[0]; i++) {
        if (p[0] < forms[i].first_low || p[0] > forms[i].first_high)
            continue;
        size_t length = forms[i].length;
        if (left < length)
            return 0;
        if (length > 1 && (p[1] < forms[i].second_low || p[1] > forms[i].second_high))
            return 0;
        for (size_t k = 2; k < length; k++)
            if ((p[k] & 0xC0) != 0x80)
                return 0;
        return length;
    }
    return 0;
}

static int is_control(const unsigned char *c)
{
    return c[0] < 0x20 || c[0] == 0x7F || (c[0] == 0xC2 && c[1] < 0xA0);
}

/* U+061C, U+200E, U+200F, U+202A to U+202E, U+2066 to U+2069: all of the property Bidi_Control of Unicode.
   The lines and paragraphs that U+2028 and U+2029 end stand just before U+202A. */
static int turns_or_breaks(const unsigned char *c)
{
    if (c[0] == 0xD8)
        return c[1] == 0x9C;
    if (c[0] != 0xE2)
        return 0;
    if (c[1] == 0x80)
        return (c[2] >= 0x8E && c[2] <= 0x8F) || (c[2] >= 0xA8 && c[2] <= 0xAE);
    return c[1] == 0x81 && c[2] >= 0xA6 && c[2] <= 0xA9;
}

size_t sw_plain_length(const char *at, size_t left)
{
    size_t length = sw_utf8_length(at, left);
    const unsigned char *c = (const unsigned char *)at;
    return length > 0 && !is_control(c) && !turns_or_breaks(c) ? length : 0;
}

int sw_text_is_plain(const char *text)
{
    size_t left = strlen(text);
    while (left > 0) {
        size_t length = sw_utf8_length(text, left);
        if (length > 0 && sw_plain_length(text, left) == 0)
            return 0;
        length += length == 0; // what is not UTF-8 is told where it is read
        text += length;
        left -= length;
    }
    return 1;
}

void sw_text_make_plain(char *text)
{
    size_t left = strlen(text);
    while (left > 0) {
        size_t length = sw_plain_length(text, left);
        if (length == 0)
            *text = '?';
        length += length == 0;
        text += length;
        left -= length;
    }
}
