// The tokens of the scanner: encoding, blanks and comments, strings, numbers.
#include "files/decimal.h"
#include "files/document_scan_parts.h"
#include "files/plain.h"

#include <string.h>

static int is_digit(char c)
{
    return c >= '0' && c <= '9';
}

static int is_letter(char c)
{
    return (c >= 'a' && c <= 'z') || (c >= 'A' && c <= 'Z');
}

size_t sw_scan_word(const sw_scanner *s, size_t offset)
{
    size_t end = offset;
    while (is_letter(s->text[end]) || is_digit(s->text[end]) || s->text[end] == '_')
        end++;
    return end - offset;
}

sw_status sw_scan_encoding(sw_scanner *s)
{
    const unsigned char *bytes = (const unsigned char *)s->text;
    size_t at = 0;
    while (at < s->length) {
        size_t length = sw_utf8_length(s->text + at, s->length - at);
        if (length == 0)
            break;
        at += length;
    }
    if (at == s->length)
        return SW_OK;
    if (at == 0 && s->length >= 2 && (bytes[0] ^ bytes[1]) == (0xFE ^ 0xFF) && bytes[0] >= 0xFE)
        return sw_scan_fail(s, at, "save the file again as UTF-8", "the file is UTF-16 text, expected UTF-8");
    if (bytes[at] == 0)
        return sw_scan_fail(s, at, "remove it; if the file looks right in an editor, save it as UTF-8",
                            "there is a byte that is zero, expected text");
    return sw_scan_fail(s, at, "save the file again as UTF-8", "the byte 0x%02X is not UTF-8 here",
                        bytes[at]);
}

static size_t comment_end(const sw_scanner *s)
{
    const char *start = s->text + s->at;
    if (start[1] == '/')
        return s->at + strcspn(start, "\r\n");
    const char *end = strstr(start + 2, "*/");
    return end == NULL ? 0 : (size_t)(end - s->text) + 2;
}

sw_status sw_scan_space(sw_scanner *s)
{
    for (;;) {
        s->at += strspn(s->text + s->at, " \t\r\n");
        char second = s->text[s->at] == '/' ? s->text[s->at + 1] : '\0';
        if (second != '/' && second != '*')
            return SW_OK;
        size_t end = comment_end(s);
        if (end == 0)
            return sw_scan_fail(s, s->at, "end it with */", "the comment that begins here does not end");
        memset(s->text + s->at, ' ', end - s->at);
        s->at = end;
    }
}

// The four hexadecimal digits of a \u escape; -1 if they are not there.
static int hex4(const char *p)
{
    int code = 0;
    for (int i = 0; i < 4; i++) {
        char c = p[i];
        char low = (char)(c | 0x20);
        if (is_digit(c))
            code = code * 16 + (c - '0');
        else if (low >= 'a' && low <= 'f')
            code = code * 16 + (low - 'a' + 10);
        else
            return -1;
    }
    return code;
}

static sw_status pass_unicode_escape(sw_scanner *s)
{
    const char *p = s->text + s->at;
    int code = hex4(p + 2);
    if (code < 0)
        return sw_scan_fail(s, s->at, "write the character itself, or its code, such as \\u00b0",
                            "expected four digits after \\u, each 0 to 9 or a to f");
    if (code == 0)
        return sw_scan_fail(s, s->at, "remove it", "\\u0000 is not allowed in text");
    s->at += 6;
    if (code < 0xD800 || code > 0xDFFF)
        return SW_OK;
    int low = code <= 0xDBFF && p[6] == '\\' && p[7] == 'u' ? hex4(p + 8) : -1;
    if (low < 0xDC00 || low > 0xDFFF)
        return sw_scan_fail(s, s->at - 6, "write the character itself",
                            "the character code %.6s is incomplete", p);
    s->at += 6;
    return SW_OK;
}

static sw_status pass_escape(sw_scanner *s)
{
    char c = s->text[s->at + 1];
    if (c == 'u')
        return pass_unicode_escape(s);
    if (c == '\0' || strchr("\"\\/bfnrt", c) == NULL)
        return sw_scan_fail(s, s->at,
                            "write \\\\ for a backslash; known are \\\" \\\\ \\/ \\b \\f \\n \\r \\t \\u00b0",
                            "the backslash has no meaning before what follows it");
    s->at += 2;
    return SW_OK;
}

sw_status sw_scan_string(sw_scanner *s)
{
    size_t start = s->at++;
    for (;;) {
        unsigned char c = (unsigned char)s->text[s->at];
        if (c == '"') {
            s->at++;
            return SW_OK;
        }
        if (s->at == s->length || c == '\n' || c == '\r')
            return sw_scan_fail(s, start,
                                "close it with \" on its line; for a line break within it write \\n",
                                "the text that begins here has no closing quote on its line");
        if (c < 0x20)
            return sw_scan_fail(s, s->at, c == '\t' ? "write \\t for a tab" : "remove it",
                                "an invisible character (0x%02X) is not allowed in text", c);
        if (c != '\\') {
            s->at++;
            continue;
        }
        sw_status status = pass_escape(s);
        if (status != SW_OK)
            return status;
    }
}

// Passes over digits; fails if there is none.
static sw_status pass_digits(sw_scanner *s, const char *where, const char *hint)
{
    size_t count = strspn(s->text + s->at, "0123456789");
    if (count == 0)
        return sw_scan_fail(s, s->at, hint, "expected a digit %s", where);
    s->at += count;
    return SW_OK;
}

// The grammar of RFC 8259 section 6.
static sw_status pass_numeral(sw_scanner *s)
{
    const char *text = s->text;
    if (text[s->at] == '-')
        s->at++;
    if (text[s->at] == '0' && is_digit(text[s->at + 1]))
        return sw_scan_fail(s, s->at, "remove the zeros before it", "a number must not begin with 0");
    sw_status status = pass_digits(s, "after the minus sign", "write a number, such as -0.36");
    if (status == SW_OK && text[s->at] == '.') {
        s->at++;
        status = pass_digits(s, "after the decimal point", "write 1.0 or 1, not 1.");
    }
    if (status == SW_OK && (text[s->at] == 'e' || text[s->at] == 'E')) {
        s->at += text[s->at + 1] == '+' || text[s->at + 1] == '-' ? 2 : 1;
        status = pass_digits(s, "after the e", "write a number, such as 1.5e3");
    }
    return status;
}

sw_status sw_scan_number(sw_scanner *s, double *number)
{
    size_t start = s->at;
    sw_status status = pass_numeral(s);
    if (status != SW_OK)
        return status;
    switch (sw_decimal_read(s->text + start, s->at - start, number)) {
    case SW_DECIMAL_TOO_LARGE:
        return sw_scan_fail(s, start, "the largest number is about 1.8e308", "the number is too large");
    case SW_DECIMAL_TOO_SMALL:
        return sw_scan_fail(s, start, "write 0, or a number of at least 5e-324", "the number is too small");
    case SW_DECIMAL_FITS:
        break;
    }
    return SW_OK;
}
