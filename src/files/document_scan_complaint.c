// What the scanner says when something else was expected: what, what stands there, and what to write instead.
#include "files/document_scan_parts.h"

#include <stdarg.h>
#include <stdio.h>
#include <string.h>

#define AT(state)   (1u << (state))
#define ANY_VALUE   (AT(SW_EXPECT_ROOT) | AT(SW_EXPECT_FIRST_ITEM) | AT(SW_EXPECT_ITEM) | AT(SW_EXPECT_MEMBER))
#define ANY_KEY     (AT(SW_EXPECT_FIRST_KEY) | AT(SW_EXPECT_KEY))
#define ANY_NEXT    (AT(SW_EXPECT_NEXT_ITEM) | AT(SW_EXPECT_NEXT_MEMBER))
#define AFTER_COMMA (AT(SW_EXPECT_KEY) | AT(SW_EXPECT_ITEM))
#define ANYWHERE    (~0u)

static const char *const expected[] = {
    [SW_EXPECT_ROOT] = "a value",
    [SW_EXPECT_FIRST_ITEM] = "a value or ]",
    [SW_EXPECT_ITEM] = "a value after the comma",
    [SW_EXPECT_FIRST_KEY] = "a key in double quotes or }",
    [SW_EXPECT_KEY] = "a key in double quotes after the comma",
    [SW_EXPECT_COLON] = "a colon after the key",
    [SW_EXPECT_MEMBER] = "a value after the colon",
    [SW_EXPECT_NEXT_ITEM] = "a comma or ]",
    [SW_EXPECT_NEXT_MEMBER] = "a comma or }",
    [SW_EXPECT_END] = "nothing more",
};

// The first row that fits gives the hint: any of these characters, in any of these states.
static const struct {
    const char *characters;
    unsigned states;
    const char *hint;
} hints[] = {
    {"}]", AFTER_COMMA, "remove the comma"},
    {",", AFTER_COMMA | AT(SW_EXPECT_FIRST_ITEM) | AT(SW_EXPECT_FIRST_KEY), "remove the comma"},
    {"'`", ANYWHERE, "write double quotes"},
    {"#", ANYWHERE, "a comment begins with //"},
    {"/", ANYWHERE, "a comment begins with // or stands between /* and */"},
    {"+", ANY_VALUE, "leave out the plus sign"},
    {".", ANY_VALUE, "write a 0 before the decimal point"},
    {"=", AT(SW_EXPECT_COLON), "write a colon between the key and its value"},
    {";", ANY_NEXT, "write a comma"},
    {"\"{[-0123456789", ANY_NEXT, "write a comma between the two"},
    {":", AT(SW_EXPECT_NEXT_ITEM), "a key and its value stand between { and }, not between [ and ]"},
    {"]}", ANYWHERE, "close what was opened last: { with } and [ with ]"},
};

static const struct {
    const char *word, *hint;
} words[] = {
    {"true", "write true in small letters"},
    {"false", "write false in small letters"},
    {"null", "write null in small letters"},
    {"none", "write null, or leave the key out"},
    {"nil", "write null, or leave the key out"},
    {"undefined", "write null, or leave the key out"},
    {"nan", "write a number, or leave the key out"},
    {"inf", "write a number, or leave the key out"},
    {"infinity", "write a number, or leave the key out"},
    {"yes", "write true"},
    {"on", "write true"},
    {"no", "write false"},
    {"off", "write false"},
};

sw_status sw_scan_fail(sw_scanner *s, size_t offset, const char *hint, const char *what, ...)
{
    va_list arguments;
    va_start(arguments, what);
    vsnprintf(s->scan->what, sizeof s->scan->what, what, arguments);
    va_end(arguments);
    s->scan->hint = hint;
    s->scan->error_offset = offset;
    return SW_BAD_INPUT;
}

static int is_word_start(char c)
{
    return (c >= 'a' && c <= 'z') || (c >= 'A' && c <= 'Z') || c == '_';
}

static int same_word(const char *word, const char *text, size_t length)
{
    for (size_t i = 0; i < length; i++)
        if (word[i] == '\0' || (text[i] | 0x20) != word[i])
            return 0;
    return word[length] == '\0';
}

static const char *word_hint(const sw_scanner *s)
{
    unsigned state = AT(s->expect);
    size_t length = sw_scan_word(s, s->at);
    if ((state & ANY_KEY) != 0)
        return "write the key in double quotes";
    if ((state & ANY_NEXT) != 0)
        return s->after_number
                   ? "a quantity with its unit is text: write it in double quotes, such as \"180 W\""
                   : "write text in double quotes";
    if ((state & ANY_VALUE) == 0)
        return NULL;
    for (size_t i = 0; i < sizeof words / sizeof words[0]; i++)
        if (same_word(words[i].word, s->text + s->at, length))
            return words[i].hint;
    return "write text in double quotes; without them stand only true, false and null";
}

static const char *hint_here(const sw_scanner *s)
{
    char c = s->text[s->at];
    if (is_word_start(c))
        return word_hint(s);
    // The curly quotes U+2018 to U+201F, which word processors put in.
    if (strncmp(s->text + s->at, "\xE2\x80", 2) == 0 && (s->text[s->at + 2] & 0xF8) == 0x98)
        return "write straight double quotes";
    for (size_t i = 0; i < sizeof hints / sizeof hints[0]; i++)
        if (c != '\0' && strchr(hints[i].characters, c) != NULL && (hints[i].states & AT(s->expect)) != 0)
            return hints[i].hint;
    if (s->expect == SW_EXPECT_END)
        return "a file holds one value; remove what follows it";
    if (c == '\0' && s->depth > 0)
        return "the file stops early: close every { with } and every [ with ]";
    return s->expect == SW_EXPECT_ROOT ? "begin with { and end with }" : NULL;
}

// What stands here, as a person calls it. The text is well-formed UTF-8, so a character is cut at no byte.
static void describe(const sw_scanner *s, char *buffer, size_t size)
{
    const char *p = s->text + s->at;
    size_t length = sw_scan_word(s, s->at);
    if (s->at == s->length)
        snprintf(buffer, size, "the end of the file");
    else if (*p == '"')
        snprintf(buffer, size, "text in quotes");
    else if (*p == '-' || (*p >= '0' && *p <= '9'))
        snprintf(buffer, size, "a number");
    else if (length > 0)
        snprintf(buffer, size, "the word %.*s%s", (int)(length > 24 ? 24 : length), p,
                 length > 24 ? "..." : "");
    else if ((unsigned char)*p < 0x20 || *p == 0x7F)
        snprintf(buffer, size, "an invisible character (0x%02X)", (unsigned)*p);
    else {
        size_t bytes = 1;
        while ((p[bytes] & 0xC0) == 0x80)
            bytes++;
        snprintf(buffer, size, "%.*s", (int)bytes, p);
    }
}

// A missing comma is shown where it belongs, a comma too many where it stands.
static size_t place(const sw_scanner *s)
{
    char c = s->text[s->at];
    if ((AT(s->expect) & ANY_NEXT) != 0 && c != '\0' && strchr("\"{[-0123456789", c) != NULL)
        return s->value_end;
    if ((AT(s->expect) & AFTER_COMMA) != 0 && (c == '}' || c == ']'))
        return s->comma;
    return s->at;
}

sw_status sw_scan_unexpected(sw_scanner *s)
{
    char found[64];
    describe(s, found, sizeof found);
    return sw_scan_fail(s, place(s), hint_here(s), "expected %s but found %s", expected[s->expect], found);
}
