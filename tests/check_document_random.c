// Documents that nobody would write: random trees against the list they were made from, truncations and
// mutations against a plain recursive reading of the grammar.
#include "stillwatt/document.h"
#include "support/checks.h"

#include <math.h>
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

static const uint64_t seed = 20261106;
static uint64_t random_state;

static unsigned next_random(unsigned below)
{
    random_state ^= random_state << 13;
    random_state ^= random_state >> 7;
    random_state ^= random_state << 17;
    return (unsigned)(random_state >> 20) % below;
}

static void start_random(void)
{
    random_state = seed * 6364136223846793005u + 1;
    printf("random seed %llu\n", (unsigned long long)seed);
}

// A second reading of RFC 8259 with comments, one function per rule, recursive: each returns where the rule
// ends or NULL. Texts end with NUL.
static const char *plain_value(const char *p, int depth);

static const char *plain_space(const char *p)
{
    for (;;) {
        if (*p == ' ' || *p == '\t' || *p == '\n' || *p == '\r') {
            p++;
        } else if (p[0] == '/' && p[1] == '/') {
            while (*p != '\0' && *p != '\n' && *p != '\r')
                p++;
        } else if (p[0] == '/' && p[1] == '*') {
            p = strstr(p + 2, "*/");
            if (p == NULL)
                return NULL;
            p += 2;
        } else {
            return p;
        }
    }
}

static long plain_hex(const char *p)
{
    char digits[5] = "";
    memcpy(digits, p, strnlen(p, 4));
    return strspn(digits, "0123456789abcdefABCDEF") == 4 ? strtol(digits, NULL, 16) : -1;
}

static const char *plain_string(const char *p)
{
    if (*p++ != '"')
        return NULL;
    while (*p != '"') {
        if ((unsigned char)*p < 0x20)
            return NULL;
        if (*p++ != '\\')
            continue;
        if (*p == 'u') {
            long code = plain_hex(p + 1);
            if (code <= 0 || (code >= 0xDC00 && code < 0xE000))
                return NULL;
            p += 5;
            if (code < 0xD800 || code > 0xDFFF)
                continue;
            long low = p[0] == '\\' && p[1] == 'u' ? plain_hex(p + 2) : -1;
            if (low < 0xDC00 || low > 0xDFFF)
                return NULL;
            p += 6;
        } else if (*p != '\0' && strchr("\"\\/bfnrt", *p) != NULL) {
            p++;
        } else {
            return NULL;
        }
    }
    return p + 1;
}

static const char *plain_digits(const char *p)
{
    size_t count = strspn(p, "0123456789");
    return count == 0 ? NULL : p + count;
}

static const char *plain_number(const char *start)
{
    const char *p = start + (*start == '-');
    const char *first = p;
    p = plain_digits(p);
    if (p == NULL || (*first == '0' && p > first + 1))
        return NULL;
    if (*p == '.' && (p = plain_digits(p + 1)) == NULL)
        return NULL;
    size_t mantissa = (size_t)(p - first);
    if (*p == 'e' || *p == 'E') {
        p++;
        p = plain_digits(p + (*p == '+' || *p == '-'));
    }
    double value = strtod(start, NULL);
    int is_zero = strcspn(first, "123456789") >= mantissa;
    return p != NULL && isfinite(value) && (value != 0 || is_zero) ? p : NULL;
}

static const char *plain_container(const char *p, int depth)
{
    char closer = *p == '{' ? '}' : ']';
    if (depth == SW_DOCUMENT_MAX_DEPTH || (p = plain_space(p + 1)) == NULL)
        return NULL;
    if (*p == closer)
        return p + 1;
    for (;; p++) {
        if (closer == '}') {
            if ((p = plain_space(p)) == NULL || (p = plain_string(p)) == NULL ||
                (p = plain_space(p)) == NULL || *p++ != ':')
                return NULL;
        }
        if ((p = plain_space(p)) == NULL || (p = plain_value(p, depth + 1)) == NULL ||
            (p = plain_space(p)) == NULL)
            return NULL;
        if (*p == closer)
            return p + 1;
        if (*p != ',')
            return NULL;
    }
}

static const char *plain_value(const char *p, int depth)
{
    if (*p == '{' || *p == '[')
        return plain_container(p, depth);
    if (*p == '"')
        return plain_string(p);
    if (strncmp(p, "true", 4) == 0 || strncmp(p, "null", 4) == 0)
        return p + 4;
    return strncmp(p, "false", 5) == 0 ? p + 5 : plain_number(p);
}

// UTF-8 by decoding: the bits are put together and the result must be a character that needs so many bytes.
static int plain_utf8(const unsigned char *p)
{
    while (*p != 0) {
        int more = *p < 0x80 ? 0 : *p >> 5 == 6 ? 1 : *p >> 4 == 14 ? 2 : *p >> 3 == 30 ? 3 : -1;
        if (more < 0)
            return 0;
        static const unsigned least[] = {0, 0x80, 0x800, 0x10000};
        unsigned code = more == 0 ? *p : *p & (0x3Fu >> more);
        p++;
        for (int i = 0; i < more; i++, p++) {
            if (*p >> 6 != 2)
                return 0;
            code = code << 6 | (*p & 0x3F);
        }
        if (code < least[more] || code > 0x10FFFF || (code >= 0xD800 && code <= 0xDFFF))
            return 0;
    }
    return 1;
}

static int plain_accepts(const char *text, size_t length)
{
    if (strlen(text) != length || !plain_utf8((const unsigned char *)text))
        return 0;
    const char *p = plain_space(strncmp(text, "\xEF\xBB\xBF", 3) == 0 ? text + 3 : text);
    p = p == NULL ? NULL : plain_value(p, 0);
    p = p == NULL ? NULL : plain_space(p);
    return p != NULL && *p == '\0';
}

static const sw_node *following(const sw_node *node)
{
    if (node->first != NULL)
        return node->first;
    while (node != NULL && node->next == NULL)
        node = node->parent;
    return node == NULL ? NULL : node->next;
}

// What must hold of the tree of any text: each node stands on a byte that can begin it, after the one before.
static void check_tree(const sw_document *document, const char *text)
{
    static const char *const begins[] = {"n", "tf", "-0123456789", "\"", "[", "{"};
    size_t last = 0;
    for (const sw_node *node = sw_document_root(document); node != NULL; node = following(node)) {
        ck_assert_ptr_nonnull(strchr(begins[node->type], text[node->offset]));
        ck_assert(node->offset >= last);
        ck_assert_int_eq(node->text != NULL, node->type == SW_JSON_STRING);
        int in_object = node->parent != NULL && node->parent->type == SW_JSON_OBJECT;
        ck_assert_int_eq(node->key != NULL, in_object);
        ck_assert_int_eq(text[node->key_offset] == '"' && node->key_offset < node->offset, in_object);
        if (node->next != NULL)
            ck_assert_uint_eq(node->next->index, node->index + 1);
        if (node->first != NULL)
            ck_assert_ptr_eq(node->first->parent, node);
        last = node->offset + 1;
    }
}

static void check_message(const sw_messages *messages, const char *text, size_t length)
{
    const sw_message *message = sw_messages_at(messages, 0);
    ck_assert_ptr_nonnull(message);
    ck_assert_int_ge(message->where.line, 1);
    ck_assert_int_ge(message->where.column, 1);
    ck_assert_int_le(message->where.column, (int)length + 1);
    ck_assert_uint_gt(strlen(message->what), 10);
    int lines = 1;
    for (size_t i = 0; i < length; i++)
        lines += text[i] == '\n' || text[i] == '\r';
    ck_assert_int_le(message->where.line, lines);
}

static int about_duplicates(const sw_messages *messages)
{
    return strstr(sw_messages_at(messages, 0)->what, "already") != NULL;
}

// Reads bytes that may be anything. Returns 1 if they were accepted. `text` ends with NUL; the reader sees no
// more of it than it should.
static int check_any(const char *text, size_t length)
{
    char *bytes = malloc(length + (length == 0));
    memcpy(bytes, text, length);
    sw_messages *messages = sw_messages_create();
    sw_document *document = NULL;
    sw_status status = sw_document_read(bytes, length, "any", messages, &document);
    free(bytes);
    ck_assert(status == SW_OK || status == SW_BAD_INPUT);
    ck_assert_int_eq(status == SW_OK, document != NULL);
    ck_assert_int_eq(status == SW_OK, sw_messages_count(messages) == 0);
    if (status == SW_OK)
        check_tree(document, text);
    else
        check_message(messages, text, length);
    int accepted = status == SW_OK || about_duplicates(messages);
    ck_assert_msg(accepted == plain_accepts(text, length), "read differently: %s", text);
    sw_document_free(document);
    sw_messages_free(messages);
    return status == SW_OK;
}

static const char rich[] =
    "\xEF\xBB\xBF// a van\n{ /* * / */ \"battery\": {\"kind\": \"LiFePO4\", \"capacity\": \"100 Ah\", \"n\": "
    "[2, -0.5e-3, 1E+2]},\r\n"
    "\"a~/b\\u00e9\\ud83d\\ude00\": [[], {}, [[null], true, false]], \"°\": \"\\\"\\\\\\/\\b\\f\\n\\r\\t é "
    "😀\",\n"
    "\"x\": {\"x\": {\"x\": 0, \"y\": -0.0}}, \"long\": 123456789012345678901234567890.5e-10 } // end\n";

START_TEST(each_truncation_is_an_error_or_a_document)
{
    char text[sizeof rich];
    int accepted = 0;
    for (size_t length = 0; length < sizeof rich; length++) {
        memcpy(text, rich, length);
        text[length] = '\0';
        accepted += check_any(text, length);
    }
    // Only what follows the last brace may be missing: a blank, the comment and its line break, cut anywhere
    // but after the comment's first slash.
    ck_assert_int_eq(accepted, (int)strlen(" // end\n"));
}
END_TEST

static size_t mutate(char *text, size_t length, size_t room)
{
    static const char tempting[] = "{}[]:,\"\\/*-+.0123456789eEutfn \n\r\t'#\x01\x7F\x80\xC3\xE2\xED\xF0\xFF";
    size_t at = next_random((unsigned)length + 1);
    char byte = next_random(8) == 0 ? (char)next_random(256) : tempting[next_random(sizeof tempting)];
    size_t other = next_random((unsigned)length + 1), span = 1 + next_random(12);
    switch (next_random(4)) {
    case 0: // replace
        if (at < length)
            text[at] = byte;
        return length;
    case 1: // insert
        if (length + 1 >= room)
            return length;
        memmove(text + at + 1, text + at, length - at);
        text[at] = byte;
        return length + 1;
    case 2: // remove
        if (at + span > length)
            return length;
        memmove(text + at, text + at + span, length - at - span);
        return length - span;
    default: // copy a piece over another
        if (at + span <= length && other + span <= length)
            memmove(text + at, text + other, span);
        return length;
    }
}

START_TEST(mutations_never_crash_and_are_judged_as_the_grammar_does)
{
    static const char *const origins[] = {rich, "{\"a\": [1, 2.5, \"x\"], \"b\": null}",
                                          "[\"\\ud834\\udd1e\", -1e5, {}]", "[[[[0.1]]]]/**/"};
    int accepted = 0;
    start_random();
    for (int trial = 0; trial < 20000; trial++) {
        char text[1024];
        const char *origin = origins[trial % 4];
        size_t length = strlen(origin);
        memcpy(text, origin, length);
        for (unsigned n = 1 + next_random(3); n > 0; n--)
            length = mutate(text, length, sizeof text);
        text[length] = '\0';
        accepted += check_any(text, length);
    }
    ck_assert_int_gt(accepted, 2000);
    ck_assert_int_lt(accepted, 18000);
}
END_TEST

START_TEST(noise_never_crashes)
{
    start_random();
    for (int trial = 0; trial < 5000; trial++) {
        char text[65];
        size_t length = next_random(64);
        for (size_t i = 0; i < length; i++)
            text[i] = "{}[]:,\"\\/*-.01eu \n"[next_random(18)];
        text[length] = '\0';
        check_any(text, length);
    }
}
END_TEST

// A random document, written down together with the list of what is in it.
struct expected {
    sw_json_type type;
    size_t offset, key_offset;
    double number;
    char text[80], key[24];
    int parent; // index in the list, -1 at the root
};

enum { MOST_VALUES = 2000, MOST_BYTES = 1 << 18 };
static char made[MOST_BYTES];
static size_t made_length;
static struct expected list[MOST_VALUES];
static int list_count;

static void emit(const char *text)
{
    size_t length = strlen(text);
    ck_assert_uint_lt(made_length + length + 1, MOST_BYTES);
    memcpy(made + made_length, text, length + 1);
    made_length += length;
}

static void emit_space(void)
{
    static const char *const spaces[] = {"", " ", "\n", "\r\n", "\t", "/* { */", "// \"\n", " /**/ ", "", ""};
    emit(spaces[next_random(sizeof spaces / sizeof spaces[0])]);
}

// Writes a string in one of several spellings and puts what it means at the end of `meaning`.
static void emit_string(char *meaning, unsigned pieces)
{
    static const struct {
        const char *written, *means;
    } piece[] = {{"a", "a"},   {"\\u0041", "A"},   {"\\n", "\n"},
                 {"\\/", "/"}, {"/", "/"},         {"\\\"", "\""},
                 {"°", "°"},   {"\\u00B0", "°"},   {"\\ud83D\\uDe00", "😀"},
                 {"😀", "😀"},   {"// no", "// no"}, {"~", "~"},
                 {"{", "{"},   {"\\\\", "\\"}};
    emit("\"");
    emit(meaning);
    while (pieces-- > 0) {
        unsigned i = next_random(sizeof piece / sizeof piece[0]);
        emit(piece[i].written);
        strcat(meaning, piece[i].means);
    }
    emit("\"");
}

static void make_value(int parent, int depth);

static void make_container(int self, char opener, int depth)
{
    emit(opener == '{' ? "{" : "[");
    emit_space();
    for (unsigned members = next_random(6), i = 0; i < members && list_count < MOST_VALUES - 100; i++) {
        if (i > 0)
            emit(",");
        emit_space();
        make_value(self, depth + 1);
        emit_space();
    }
    emit(opener == '{' ? "}" : "]");
}

static void make_value(int parent, int depth)
{
    int self = list_count++;
    struct expected *e = &list[self];
    memset(e, 0, sizeof *e);
    e->parent = parent;
    int keyed = parent >= 0 && list[parent].type == SW_JSON_OBJECT;
    if (keyed) {
        e->key_offset = made_length;
        sprintf(e->key, "%d", self); // makes each key another one
        emit_string(e->key, next_random(3));
        emit_space();
        emit(":");
        emit_space();
    }
    e->offset = made_length;
    if (!keyed)
        e->key_offset = e->offset;
    e->type = depth < 3 ? (sw_json_type)(SW_JSON_ARRAY + next_random(2)) : (sw_json_type)next_random(6);
    e->type = depth >= 40 ? SW_JSON_NULL : e->type;
    char digits[40];
    switch (e->type) {
    case SW_JSON_NULL:
        emit("null");
        break;
    case SW_JSON_BOOL:
        e->number = next_random(2);
        emit(e->number == 1 ? "true" : "false");
        break;
    case SW_JSON_NUMBER:
        e->number = ldexp((double)random_state, (int)next_random(200) - 150) * (next_random(2) ? 1 : -1);
        next_random(2);
        snprintf(digits, sizeof digits, "%.17g",
                 e->number); // enough digits to tell every double from its neighbours
        emit(digits);
        break;
    case SW_JSON_STRING:
        emit_string(e->text, next_random(9));
        break;
    default:
        make_container(self, e->type == SW_JSON_OBJECT ? '{' : '[', depth);
    }
}

static void check_made(const sw_document *document)
{
    int i = 0;
    const sw_node *nodes[MOST_VALUES];
    for (const sw_node *node = sw_document_root(document); node != NULL; node = following(node), i++) {
        ck_assert_int_lt(i, list_count);
        const struct expected *e = &list[i];
        nodes[i] = node;
        ck_assert_int_eq(node->type, e->type);
        ck_assert_uint_eq(node->offset, e->offset);
        ck_assert_uint_eq(node->key_offset, e->key_offset);
        ck_assert(node->number == e->number);
        ck_assert_str_eq(node->text == NULL ? "" : node->text, e->text);
        ck_assert_str_eq(node->key == NULL ? "" : node->key, e->key);
        ck_assert_ptr_eq(node->parent, e->parent < 0 ? NULL : nodes[e->parent]);
        ck_assert_ptr_eq(node->document, document);
    }
    ck_assert_int_eq(i, list_count);
}

START_TEST(random_documents_are_read_as_they_were_made)
{
    start_random();
    int largest = 0;
    for (int trial = 0; trial < 300; trial++) {
        made_length = 0;
        list_count = 0;
        emit_space();
        make_value(-1, 0);
        emit_space();
        sw_messages *messages = sw_messages_create();
        sw_document *document = NULL;
        sw_status status = sw_document_read(made, made_length, "made", messages, &document);
        ck_assert_msg(status == SW_OK, "%s", made);
        check_made(document);
        sw_document_free(document);
        sw_messages_free(messages);
        largest = list_count > largest ? list_count : largest;
    }
    ck_assert_int_gt(largest, 100);
}
END_TEST

Suite *sw_suite(void)
{
    const TTest *const tests[] = {
        each_truncation_is_an_error_or_a_document,
        mutations_never_crash_and_are_judged_as_the_grammar_does,
        noise_never_crashes,
        random_documents_are_read_as_they_were_made,
        NULL,
    };
    return sw_suite_of("document, random", tests, 60);
}
