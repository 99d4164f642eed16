// The grammar of the scanner: a loop over places, with the open containers on a small stack of its own.
#include "files/document_scan.h"

#include "files/document_scan_parts.h"

#include <stdlib.h>
#include <string.h>

static sw_status add_spot(sw_scanner *s, double number)
{
    sw_scan *scan = s->scan;
    if (scan->count == scan->room) {
        size_t room = scan->room == 0 ? 256 : 2 * scan->room;
        sw_spot *spots = realloc(scan->spots, room * sizeof *spots);
        if (spots == NULL)
            return SW_NO_MEMORY;
        scan->spots = spots;
        scan->room = room;
    }
    size_t key = s->expect == SW_EXPECT_MEMBER ? s->key_offset : s->at;
    scan->spots[scan->count++] = (sw_spot){(uint32_t)s->at, (uint32_t)key, number};
    return SW_OK;
}

static void expect_next(sw_scanner *s)
{
    s->value_end = s->at;
    if (s->depth == 0)
        s->expect = SW_EXPECT_END;
    else
        s->expect = s->closers[s->depth - 1] == '}' ? SW_EXPECT_NEXT_MEMBER : SW_EXPECT_NEXT_ITEM;
}

static sw_status open_container(sw_scanner *s, char closer)
{
    if (s->depth == SW_DOCUMENT_MAX_DEPTH)
        return sw_scan_fail(s, s->at, "look for a bracket before it that is not closed",
                            "more than %d brackets are open here", SW_DOCUMENT_MAX_DEPTH);
    sw_status status = add_spot(s, 0);
    s->closers[s->depth++] = closer;
    s->expect = closer == '}' ? SW_EXPECT_FIRST_KEY : SW_EXPECT_FIRST_ITEM;
    s->at++;
    return status;
}

static sw_status close_container(sw_scanner *s)
{
    s->at++;
    s->depth--;
    s->after_number = 0;
    expect_next(s);
    return SW_OK;
}

static sw_status pass_string(sw_scanner *s)
{
    sw_status status = add_spot(s, 0);
    return status != SW_OK ? status : sw_scan_string(s);
}

static sw_status pass_number(sw_scanner *s)
{
    size_t start = s->at;
    sw_status status = add_spot(s, 0);
    if (status == SW_OK)
        status = sw_scan_number(s, &s->scan->spots[s->scan->count - 1].number);
    if (status == SW_OK) {
        memset(s->text + start, ' ', s->at - start);
        s->text[start] = '0';
    }
    return status;
}

static sw_status pass_literal(sw_scanner *s)
{
    static const char *const literals[] = {"true", "false", "null"};
    size_t length = sw_scan_word(s, s->at);
    for (size_t i = 0; i < sizeof literals / sizeof literals[0]; i++) {
        if (length != strlen(literals[i]) || memcmp(s->text + s->at, literals[i], length) != 0)
            continue;
        sw_status status = add_spot(s, 0);
        s->at += length;
        return status;
    }
    return sw_scan_unexpected(s);
}

static sw_status pass_value(sw_scanner *s)
{
    char c = s->text[s->at];
    if (c == '{' || c == '[')
        return open_container(s, c == '{' ? '}' : ']');
    s->after_number = c == '-' || (c >= '0' && c <= '9');
    sw_status status = c == '"' ? pass_string(s) : s->after_number ? pass_number(s) : pass_literal(s);
    expect_next(s);
    return status;
}

static sw_status pass_key(sw_scanner *s)
{
    if (s->text[s->at] != '"')
        return sw_scan_unexpected(s);
    s->key_offset = s->at;
    s->expect = SW_EXPECT_COLON;
    return sw_scan_string(s);
}

static sw_status pass_colon(sw_scanner *s)
{
    if (s->text[s->at] != ':')
        return sw_scan_unexpected(s);
    s->at++;
    s->expect = SW_EXPECT_MEMBER;
    return SW_OK;
}

static sw_status pass_comma_or_close(sw_scanner *s)
{
    char c = s->text[s->at];
    if (c == s->closers[s->depth - 1])
        return close_container(s);
    if (c != ',')
        return sw_scan_unexpected(s);
    s->comma = s->at++;
    s->expect = s->expect == SW_EXPECT_NEXT_MEMBER ? SW_EXPECT_KEY : SW_EXPECT_ITEM;
    return SW_OK;
}

static sw_status step(sw_scanner *s)
{
    switch (s->expect) {
    case SW_EXPECT_FIRST_ITEM:
        return s->text[s->at] == ']' ? close_container(s) : pass_value(s);
    case SW_EXPECT_FIRST_KEY:
        return s->text[s->at] == '}' ? close_container(s) : pass_key(s);
    case SW_EXPECT_KEY:
        return pass_key(s);
    case SW_EXPECT_COLON:
        return pass_colon(s);
    case SW_EXPECT_NEXT_ITEM:
    case SW_EXPECT_NEXT_MEMBER:
        return pass_comma_or_close(s);
    case SW_EXPECT_END:
        return sw_scan_unexpected(s);
    case SW_EXPECT_ROOT:
    case SW_EXPECT_ITEM:
    case SW_EXPECT_MEMBER:
        break;
    }
    return pass_value(s);
}

static void skip_byte_order_mark(sw_scanner *s)
{
    if (s->length < 3 || memcmp(s->text, "\xEF\xBB\xBF", 3) != 0)
        return;
    memset(s->text, ' ', 3);
    s->at = 3;
}

sw_status sw_scan_text(char *text, size_t length, sw_scan *scan)
{
    memset(scan, 0, sizeof *scan);
    sw_scanner s = {.text = text, .length = length, .expect = SW_EXPECT_ROOT, .scan = scan};
    sw_status status = sw_scan_encoding(&s);
    if (status == SW_OK)
        skip_byte_order_mark(&s);
    while (status == SW_OK) {
        status = sw_scan_space(&s);
        if (status == SW_OK && s.at == length && s.expect == SW_EXPECT_END)
            break;
        if (status == SW_OK)
            status = step(&s);
    }
    return status;
}

void sw_scan_free(sw_scan *scan)
{
    free(scan->spots);
    scan->spots = NULL;
}
