// Documents: values and their places, what is refused and how it is said.
#include "stillwatt/document.h"
#include "support/checks.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

static sw_messages *messages;
static sw_document *document;

// Reads a copy that is exactly as long as the text, so that a sanitizer sees any byte read beyond it.
static sw_status read_bytes(const char *text, size_t length)
{
    char *copy = malloc(length + (length == 0));
    memcpy(copy, text, length);
    messages = sw_messages_create();
    sw_status status = sw_document_read(copy, length, "van.json", messages, &document);
    free(copy);
    return status;
}

static sw_status read_text(const char *text)
{
    return read_bytes(text, strlen(text));
}

static void done(void)
{
    sw_document_free(document);
    sw_messages_free(messages);
}

static const sw_node *root_of(const char *text)
{
    sw_status status = read_text(text);
    ck_assert_msg(status == SW_OK, "%s: %s", text, status == SW_OK ? "" : sw_messages_at(messages, 0)->what);
    return sw_document_root(document);
}

// The place of an offset by counting through the text.
static void count_place(const char *text, size_t offset, int *line, int *column)
{
    *line = *column = 1;
    for (size_t i = 0; i < offset; i++) {
        int breaks = text[i] == '\n' || (text[i] == '\r' && text[i + 1] != '\n');
        *line += breaks;
        *column = breaks ? 1 : *column + 1;
    }
}

static const char van[] =
    "// a van\n"
    "{\n"
    "  \"name\": \"Sage\", /* two\n lines */ \"seats\": 2,\r\n"
    "\t\"solar\": { \"roof\": { \"tilt\": 0.5e1, \"panels\": [400, -1.25, \"last\"] } },\r"
    "  \"lithium\": true, \"agm\": false, \"note\": null, \"none\": [], \"empty\": {}\n"
    "} // done";

static void check_member(const sw_node *object, const char *key, const char *value_text)
{
    char quoted[32];
    snprintf(quoted, sizeof quoted, "\"%s\"", key);
    const char *key_place = strstr(van, quoted);
    const char *value_place = strstr(key_place + strlen(quoted), value_text);
    const sw_node *member = sw_node_member(object, key);
    ck_assert_ptr_nonnull(member);
    ck_assert_str_eq(member->key, key);
    ck_assert_uint_eq(member->key_offset, (size_t)(key_place - van));
    ck_assert_uint_eq(member->offset, (size_t)(value_place - van));
    ck_assert_ptr_eq(member->parent, object);
    int line, column, expected_line, expected_column;
    sw_document_position(document, member->offset, &line, &column);
    count_place(van, member->offset, &expected_line, &expected_column);
    ck_assert_int_eq(line, expected_line);
    ck_assert_int_eq(column, expected_column);
}

START_TEST(every_value_stands_where_a_search_of_the_text_finds_it)
{
    const sw_node *root = root_of(van);
    ck_assert_uint_eq(root->offset, (size_t)(strchr(van, '{') - van));
    check_member(root, "name", "\"Sage\"");
    check_member(root, "seats", "2");
    check_member(root, "solar", "{");
    check_member(root, "lithium", "true");
    check_member(root, "agm", "false");
    check_member(root, "note", "null");
    check_member(root, "none", "[");
    check_member(root, "empty", "{");
    const sw_node *roof = sw_node_member(sw_node_member(root, "solar"), "roof");
    check_member(roof, "tilt", "0.5e1");
    check_member(roof, "panels", "[");
    const sw_node *item = sw_node_member(roof, "panels")->first;
    static const char *const items[] = {"400", "-1.25", "\"last\""};
    for (size_t i = 0; i < 3; i++, item = item->next) {
        ck_assert_uint_eq(item->offset, (size_t)(strstr(van, items[i]) - van));
        ck_assert_uint_eq(item->key_offset, item->offset);
        ck_assert_uint_eq(item->index, i);
        ck_assert_ptr_null(item->key);
    }
    ck_assert_ptr_null(item);
    done();
}
END_TEST

START_TEST(values_have_their_types_and_contents)
{
    const sw_node *root = root_of(van);
    ck_assert_int_eq(root->type, SW_JSON_OBJECT);
    ck_assert_ptr_null(root->parent);
    ck_assert_ptr_null(root->next);
    ck_assert_ptr_null(root->key);
    ck_assert_str_eq(sw_node_member(root, "name")->text, "Sage");
    ck_assert_int_eq(sw_node_member(root, "name")->type, SW_JSON_STRING);
    ck_assert_double_eq(sw_node_member(root, "seats")->number, 2);
    ck_assert_ptr_null(sw_node_member(root, "seats")->text);
    ck_assert_int_eq(sw_node_member(root, "lithium")->type, SW_JSON_BOOL);
    ck_assert_double_eq(sw_node_member(root, "lithium")->number, 1);
    ck_assert_int_eq(sw_node_member(root, "agm")->type, SW_JSON_BOOL);
    ck_assert_double_eq(sw_node_member(root, "agm")->number, 0);
    ck_assert_int_eq(sw_node_member(root, "note")->type, SW_JSON_NULL);
    ck_assert_int_eq(sw_node_member(root, "none")->type, SW_JSON_ARRAY);
    ck_assert_ptr_null(sw_node_member(root, "none")->first);
    const sw_node *panels = sw_node_member(sw_node_member(sw_node_member(root, "solar"), "roof"), "panels");
    ck_assert_double_eq(panels->first->next->number, -1.25);
    ck_assert_str_eq(sw_document_name(document), "van.json");
    done();
}
END_TEST

START_TEST(members_are_found_by_exact_key_alone)
{
    const sw_node *root = root_of("{\"Watt\": 1, \"watt\": 2, \"\": 3, \"list\": [4]}");
    ck_assert_double_eq(sw_node_member(root, "watt")->number, 2);
    ck_assert_double_eq(sw_node_member(root, "Watt")->number, 1);
    ck_assert_double_eq(sw_node_member(root, "")->number, 3);
    ck_assert_ptr_null(sw_node_member(root, "WATT"));
    ck_assert_ptr_null(sw_node_member(sw_node_member(root, "list"), "list"));
    ck_assert_ptr_null(sw_node_member(NULL, "watt"));
    done();
}
END_TEST

START_TEST(escapes_become_their_characters)
{
    const sw_node *root =
        root_of("\"a\\u00e9\\\" \\\\ \\/ \\b\\f\\n\\r\\t \\ud83d\\ude00 \\uD834\\uDD1E\\u0001 °\"");
    ck_assert_str_eq(root->text, "aé\" \\ / \b\f\n\r\t \xF0\x9F\x98\x80 \xF0\x9D\x84\x9E\x01 °");
    done();
}
END_TEST

START_TEST(any_value_may_be_the_whole_document)
{
    static const char *const texts[] = {"0",    "-0",         "\"\"",          "[]", "{}", "true",
                                        "null", " /**/ 7 //", "\xEF\xBB\xBF 8"};
    for (size_t i = 0; i < sizeof texts / sizeof texts[0]; i++) {
        ck_assert_ptr_null(root_of(texts[i])->first);
        done();
    }
}
END_TEST

START_TEST(numbers_are_read_to_the_bit)
{
    static const char *const texts[] = {
        "0.1",
        "-0.0",
        "1E3",
        "123456789.123456789",
        "9007199254740993",
        "2.5e-308",
        "5e-324",
        "1.7976931348623157e+308",
        "1e22",
        "1e23",
        "0.30000000000000004",
        "3.14159265358979323846264338327950288419716939937510582097494459230781"};
    for (size_t i = 0; i < sizeof texts / sizeof texts[0]; i++) {
        double number = root_of(texts[i])->number, expected = strtod(texts[i], NULL);
        ck_assert_msg(number == expected && signbit(number) == signbit(expected), "%s", texts[i]);
        done();
    }
}
END_TEST

struct refusal {
    const char *text;
    int line, column;
    const char *what, *hint; // parts of them
};

static void check_refusal(const struct refusal *refusal, size_t length)
{
    sw_status status = read_bytes(refusal->text, length);
    ck_assert_msg(status == SW_BAD_INPUT, "%s was read", refusal->text);
    ck_assert_ptr_null(document);
    ck_assert_uint_eq(sw_messages_count(messages), 1);
    const sw_message *message = sw_messages_at(messages, 0);
    ck_assert_str_eq(message->where.file, "van.json");
    ck_assert_msg(message->where.line == refusal->line && message->where.column == refusal->column,
                  "%s: at %d:%d, not %d:%d", refusal->text, message->where.line, message->where.column,
                  refusal->line, refusal->column);
    ck_assert_msg(strstr(message->what, refusal->what) != NULL, "%s: %s", refusal->text, message->what);
    const char *hint = message->hint == NULL ? "" : message->hint;
    ck_assert_msg(strstr(hint, refusal->hint) != NULL, "%s: hint %s", refusal->text, hint);
    done();
}

static void check_refusals(const struct refusal *refusals, size_t count)
{
    for (size_t i = 0; i < count; i++)
        check_refusal(&refusals[i], strlen(refusals[i].text));
}

#define CHECK_REFUSALS(table) check_refusals(table, sizeof table / sizeof table[0])

START_TEST(each_slip_of_grammar_is_told_at_its_place_with_a_remedy)
{
    static const struct refusal table[] = {
        {"", 1, 1, "expected a value but found the end of the file", "begin with {"},
        {" \n // nothing", 2, 12, "end of the file", "begin with {"},
        {"{\"a\": 1,}", 1, 8, "expected a key in double quotes after the comma but found }",
         "remove the comma"},
        {"{\"a\": 1,\n // last\n}", 1, 8, "after the comma", "remove the comma"},
        {"[1, 2, ]", 1, 6, "expected a value after the comma but found ]", "remove the comma"},
        {"[1,, 2]", 1, 4, "but found ,", "remove the comma"},
        {"[,1]", 1, 2, "expected a value or ]", "remove the comma"},
        {"{,}", 1, 2, "expected a key in double quotes or }", "remove the comma"},
        {"{\"a\": 1\n \"b\": 2}", 1, 8, "expected a comma or } but found text", "write a comma between"},
        {"[1 2]", 1, 3, "expected a comma or ] but found a number", "write a comma between"},
        {"[{} {}]", 1, 4, "expected a comma or ] but found {", "write a comma between"},
        {"{\"a\" 1}", 1, 6, "expected a colon after the key but found a number", ""},
        {"{\"a\" = 1}", 1, 6, "expected a colon", "write a colon"},
        {"{\"a\": }", 1, 7, "expected a value after the colon but found }", ""},
        {"{\"a\": 1; \"b\": 2}", 1, 8, "but found ;", "write a comma"},
        {"{\"a\": 1", 1, 8, "expected a comma or } but found the end of the file", "close every {"},
        {"{\"a\": [1, 2}", 1, 12, "expected a comma or ] but found }", "opened last"},
        {"[1)", 1, 3, "expected a comma or ] but found )", ""},
        {"[\"a\": 1]", 1, 5, "but found :", "stand between { and }"},
        {"{} {}", 1, 4, "expected nothing more but found {", "one value"},
        {"{}}", 1, 3, "expected nothing more but found }", ""},
        {"1 x", 1, 3, "expected nothing more but found the word x", ""},
        {"{1: 2}", 1, 2, "expected a key in double quotes or } but found a number", ""},
        {"\xEF\xBB\xBF[1,]", 1, 3, "after the comma", "remove the comma"},
        {"\r\n\r[1,]", 3, 3, "after the comma", "remove the comma"},
        {"[\xC2\xB0]", 1, 2, "but found \xC2\xB0", ""},
        {"[\x01]", 1, 2, "but found an invisible character (0x01)", ""},
    };
    CHECK_REFUSALS(table);
}
END_TEST

START_TEST(bare_words_and_other_quotes_are_told_how_to_be_written)
{
    static const struct refusal table[] = {
        {"{\"a\": NaN}", 1, 7, "the word NaN", "write a number"},
        {"[-Infinity]", 1, 3, "expected a digit after the minus sign", "-0.36"},
        {"[Infinity]", 1, 2, "the word Infinity", "write a number"},
        {"[True]", 1, 2, "the word True", "true in small letters"},
        {"[FALSE]", 1, 2, "the word FALSE", "false in small letters"},
        {"[None]", 1, 2, "the word None", "null"},
        {"[yes]", 1, 2, "the word yes", "write true"},
        {"[off]", 1, 2, "the word off", "write false"},
        {"[truely]", 1, 2, "the word truely", "double quotes"},
        {"[tru", 1, 2, "the word tru", "double quotes"},
        {"{name: 1}", 1, 2, "expected a key in double quotes or } but found the word name",
         "key in double quotes"},
        {"{\"a\": 1, name: 1}", 1, 10, "after the comma but found the word name", "key in double quotes"},
        {"{'a': 1}", 1, 2, "but found '", "write double quotes"},
        {"['a']", 1, 2, "but found '", "write double quotes"},
        {"[\xE2\x80\x9C"
         "a\xE2\x80\x9D]",
         1, 2, "but found \xE2\x80\x9C", "straight double quotes"},
        {"{\"rating\": 180 W}", 1, 16, "the word W", "\"180 W\""},
        {"{\"rating\": 180W}", 1, 15, "the word W", "\"180 W\""},
        {"# a van\n{}", 1, 1, "but found #", "begins with //"},
        {"{} # a van", 1, 4, "but found #", "begins with //"},
    };
    CHECK_REFUSALS(table);
}
END_TEST

START_TEST(numbers_outside_the_grammar_or_a_double_are_refused)
{
    static const struct refusal table[] = {
        {"[012]", 1, 2, "must not begin with 0", "remove the zeros"},
        {"[-012]", 1, 3, "must not begin with 0", "remove the zeros"},
        {"[1.]", 1, 4, "expected a digit after the decimal point", "1.0"},
        {"[.5]", 1, 2, "expected a value or ] but found .", "write a 0 before"},
        {"[+1]", 1, 2, "but found +", "leave out the plus"},
        {"[1e]", 1, 4, "expected a digit after the e", "1.5e3"},
        {"[1e+]", 1, 5, "expected a digit after the e", "1.5e3"},
        {"[-]", 1, 3, "expected a digit after the minus sign", ""},
        {"[1.2.3]", 1, 5, "but found .", ""},
        {"[0x10]", 1, 3, "but found the word x10", ""},
        {"[1e999]", 1, 2, "too large", "1.8e308"},
        {"[-1e309]", 1, 2, "too large", "1.8e308"},
        {"[1e-999]", 1, 2, "too small", "write 0"},
        {"[2e-324]", 1, 2, "too small", "write 0"},
    };
    CHECK_REFUSALS(table);
}
END_TEST

START_TEST(text_that_is_not_closed_or_holds_what_it_must_not_is_refused)
{
    static const struct refusal table[] = {
        {"{\"a\": \"b", 1, 7, "has no closing quote", "close it"},
        {"{\"a\": \"b\n}", 1, 7, "has no closing quote on its line", "\\n"},
        {"{\"a: 1}\n", 1, 2, "has no closing quote", "close it"},
        {"[\"a\tb\"]", 1, 4, "invisible character (0x09)", "\\t"},
        {"[\"a\x7F\x01\"]", 1, 5, "invisible character (0x01)", "remove it"},
        {"[\"a\\x\"]", 1, 4, "has no meaning before", "\\\\"},
        {"[\"a\\", 1, 4, "has no meaning before", "\\\\"},
        {"[\"\\u12\"]", 1, 3, "four digits after \\u", "\\u00b0"},
        {"[\"\\u12G4\"]", 1, 3, "four digits after \\u", "\\u00b0"},
        {"[\"\\u0000\"]", 1, 3, "\\u0000", "remove it"},
        {"[\"\\ud800\"]", 1, 3, "code \\ud800 is incomplete", "character itself"},
        {"[\"\\ud800x\\udc00\"]", 1, 3, "code \\ud800 is incomplete", "character itself"},
        {"[\"\\ud800\\u0041\"]", 1, 3, "code \\ud800 is incomplete", "character itself"},
        {"[\"\\udc00\\ud800\"]", 1, 3, "code \\udc00 is incomplete", "character itself"},
    };
    CHECK_REFUSALS(table);
}
END_TEST

START_TEST(comments_that_are_none_are_refused)
{
    static const struct refusal table[] = {
        {"{ /* no end }", 1, 3, "comment that begins here does not end", "*/"},
        {"{} /*/", 1, 4, "does not end", "*/"},
        {"{} /", 1, 4, "but found /", "//"},
        {"[1 / 2]", 1, 4, "but found /", "//"},
        {"{} /* a */ */", 1, 12, "but found *", ""},
    };
    CHECK_REFUSALS(table);
}
END_TEST

START_TEST(bytes_that_are_not_utf8_are_refused_at_their_place)
{
    static const struct refusal table[] = {
        {"[\"caf\xE9\"]", 1, 6, "0xE9 is not UTF-8", "save the file"},
        {"// caf\xE9\n[]", 1, 7, "0xE9", "save the file"},
        {"[\"\xC0\x80\"]", 1, 3, "0xC0", ""},         // overlong NUL
        {"[\"\xE0\x80\xAF\"]", 1, 3, "0xE0", ""},     // overlong /
        {"[\"\xED\xA0\x80\"]", 1, 3, "0xED", ""},     // a surrogate
        {"[\"\xF4\x90\x80\x80\"]", 1, 3, "0xF4", ""}, // beyond U+10FFFF
        {"[\"\xF5\x80\x80\x80\"]", 1, 3, "0xF5", ""},
        {"[\"\x80\"]", 1, 3, "0x80", ""},
        {"[\"\xE2\x82\"]", 1, 3, "0xE2", ""},
        {"[\"\xE2\x82", 1, 3, "0xE2", ""},
        {"\xFF\xFE{", 1, 1, "UTF-16", "UTF-8"},
        {"\xFE\xFF{", 1, 1, "UTF-16", "UTF-8"},
    };
    CHECK_REFUSALS(table);
    check_refusal(&(struct refusal){"[1]\0", 1, 4, "byte that is zero", "remove it"}, 4);
    check_refusal(&(struct refusal){"[\"a\0b\"]", 1, 4, "byte that is zero", "remove it"}, 7);
}
END_TEST

START_TEST(brackets_nest_64_deep_and_no_deeper)
{
    static char text[20001];
    for (int depth = 63; depth <= 65; depth++) {
        memset(text, '[', (size_t)depth);
        memset(text + depth, ']', (size_t)depth);
        ck_assert_int_eq(read_bytes(text, 2 * (size_t)depth), depth <= 64 ? SW_OK : SW_BAD_INPUT);
        done();
    }
    memset(text, '[', 10000);
    memset(text + 10000, ']', 10000);
    check_refusal(&(struct refusal){text, 1, 65, "more than 64 brackets are open", "not closed"}, 20000);
    for (size_t i = 0; i < 10000; i += 5)
        memcpy(text + i, "{\"a\":", 5);
    check_refusal(&(struct refusal){text, 1, 321, "more than 64 brackets are open", "not closed"}, 10000);
}
END_TEST

START_TEST(four_megabytes_are_read_and_not_one_byte_more)
{
    size_t most = SW_DOCUMENT_MAX_BYTES;
    ck_assert_uint_eq(most, 4 * 1024 * 1024);
    char *text = malloc(most + 1);
    memset(text, 'x', most + 1);
    text[0] = text[most - 1] = '"';
    ck_assert_int_eq(read_bytes(text, most), SW_OK);
    ck_assert_uint_eq(strlen(sw_document_root(document)->text), most - 2);
    done();
    text[most - 1] = 'x';
    text[most] = '"';
    ck_assert_int_eq(read_bytes(text, most + 1), SW_BAD_INPUT);
    ck_assert_ptr_null(document);
    ck_assert_ptr_nonnull(strstr(sw_messages_at(messages, 0)->what, "4194305 bytes"));
    done();
    free(text);
}
END_TEST

START_TEST(every_duplicate_key_is_told_and_no_other)
{
    ck_assert_int_eq(
        read_text(
            "{\"a\": {\"a\": 1, \"b\": 2},\n \"b\": 1, \"\\u0061\": 2,\n \"c\": [{\"x\": 1}, {\"x\": 1, "
            "\"x\": 2, \"x\": 3}],\n \"a\": 3}"),
        SW_BAD_INPUT);
    static const struct {
        int line, column;
        const char *path, *what;
    } expected[] = {{2, 10, "/a", "on line 1"},
                    {3, 27, "/c/1/x", "on line 3"},
                    {3, 35, "/c/1/x", "on line 3"},
                    {4, 2, "/a", "on line 1"}};
    ck_assert_uint_eq(sw_messages_count(messages), 4);
    for (size_t i = 0; i < 4; i++) {
        const sw_message *message = sw_messages_at(messages, i);
        ck_assert_int_eq(message->where.line, expected[i].line);
        ck_assert_int_eq(message->where.column, expected[i].column);
        ck_assert_str_eq(message->where.path, expected[i].path);
        ck_assert_ptr_nonnull(strstr(message->what, expected[i].what));
    }
    done();
}
END_TEST

START_TEST(thousands_of_duplicates_are_all_told)
{
    enum { MEMBERS = 20000 };
    char *text = malloc(MEMBERS * 16 + 8), *end = text;
    end += sprintf(end, "{\"k\": 0");
    for (int i = 0; i < MEMBERS; i++)
        end += sprintf(end, ",\n\"k%d\": 0", i % (MEMBERS / 2));
    end += sprintf(end, "}");
    ck_assert_int_eq(read_text(text), SW_BAD_INPUT);
    ck_assert_uint_eq(sw_messages_count(messages), MEMBERS / 2);
    for (int i = 0; i < MEMBERS / 2; i++)
        ck_assert_int_eq(sw_messages_at(messages, (size_t)i)->where.line, MEMBERS / 2 + 2 + i);
    done();
    free(text);
}
END_TEST

static void check_pointer(const sw_node *node, const char *expected)
{
    char whole[100], part[100];
    int length = sw_node_pointer(node, whole, sizeof whole);
    ck_assert_str_eq(whole, expected);
    ck_assert_int_eq(length, (int)strlen(expected));
    for (size_t size = 1; size <= (size_t)length; size++) {
        memset(part, '#', sizeof part);
        ck_assert_int_eq(sw_node_pointer(node, part, size), length);
        ck_assert_uint_eq(strlen(part), size - 1);
        ck_assert_int_eq(strncmp(part, whole, size - 1), 0);
        ck_assert_int_eq(part[size], '#');
    }
    ck_assert_int_eq(sw_node_pointer(node, NULL, 0), length);
}

// The escapes and several of the keys are those of the examples in RFC 6901 section 5.
START_TEST(pointers_are_those_of_rfc_6901)
{
    const sw_node *root =
        root_of("{\"foo\": [\"bar\", [0, {\"q\": 1}]], \"\": 0, \"a/b\": 1, \"c%d\": 2, \"m~n\": 8, "
                "\"~1/~0\": {\"/\": 3}}");
    check_pointer(root, "/");
    check_pointer(sw_node_member(root, "foo"), "/foo");
    check_pointer(sw_node_member(root, "foo")->first, "/foo/0");
    check_pointer(sw_node_member(root, "foo")->first->next->first->next->first, "/foo/1/1/q");
    check_pointer(sw_node_member(root, ""), "/");
    check_pointer(sw_node_member(root, "a/b"), "/a~1b");
    check_pointer(sw_node_member(root, "c%d"), "/c%d");
    check_pointer(sw_node_member(root, "m~n"), "/m~0n");
    check_pointer(sw_node_member(root, "~1/~0")->first, "/~01~1~00/~1");
    done();
}
END_TEST

START_TEST(the_deepest_node_has_a_pointer)
{
    char text[200], expected[200] = "", found[200];
    memset(text, '[', 64);
    strcpy(text + 64, "7");
    memset(text + 65, ']', 64);
    for (int i = 0; i < 64; i++)
        strcat(expected, "/0");
    ck_assert_int_eq(read_bytes(text, 129), SW_OK);
    const sw_node *node = sw_document_root(document);
    while (node->first != NULL)
        node = node->first;
    sw_node_pointer(node, found, sizeof found);
    ck_assert_str_eq(found, expected);
    done();
}
END_TEST

START_TEST(messages_about_a_node_point_at_its_value_or_its_key)
{
    const sw_node *root = root_of("{\n  \"solar\": {\n    \"rating\": \"400\" }\n}");
    const sw_node *rating = sw_node_member(sw_node_member(root, "solar"), "rating");
    ck_assert_int_eq(sw_node_error(messages, rating, 0, "write \"400 W\"", "expected %s", "a power"),
                     SW_BAD_INPUT);
    ck_assert_int_eq(sw_node_error(messages, rating, 1, NULL, "unknown key"), SW_BAD_INPUT);
    sw_node_warn(messages, rating, NULL, "%d is much", 400);
    char text[200];
    sw_message_format(sw_messages_at(messages, 0), text, sizeof text);
    ck_assert_str_eq(text, "van.json:3:15: /solar/rating: expected a power\n    write \"400 W\"\n");
    sw_message_format(sw_messages_at(messages, 1), text, sizeof text);
    ck_assert_str_eq(text, "van.json:3:5: /solar/rating: unknown key\n");
    ck_assert_int_eq(sw_messages_at(messages, 2)->severity, SW_WARNING);
    ck_assert_str_eq(sw_messages_at(messages, 2)->what, "400 is much");
    ck_assert_uint_eq(sw_messages_errors(messages), 2);
    done();
}
END_TEST

START_TEST(a_long_path_is_told_whole)
{
    char text[3000] = "{\"", path[3000] = "/";
    memset(text + 2, 'k', 2000);
    strcpy(text + 2002, "\": 1}");
    memset(path + 1, 'k', 2000);
    const sw_node *node = root_of(text)->first;
    sw_node_error(messages, node, 0, NULL, "too long");
    ck_assert_str_eq(sw_messages_at(messages, 0)->where.path, path);
    done();
}
END_TEST

Suite *sw_suite(void)
{
    const TTest *const tests[] = {
        every_value_stands_where_a_search_of_the_text_finds_it,
        values_have_their_types_and_contents,
        members_are_found_by_exact_key_alone,
        escapes_become_their_characters,
        any_value_may_be_the_whole_document,
        numbers_are_read_to_the_bit,
        each_slip_of_grammar_is_told_at_its_place_with_a_remedy,
        bare_words_and_other_quotes_are_told_how_to_be_written,
        numbers_outside_the_grammar_or_a_double_are_refused,
        text_that_is_not_closed_or_holds_what_it_must_not_is_refused,
        comments_that_are_none_are_refused,
        bytes_that_are_not_utf8_are_refused_at_their_place,
        brackets_nest_64_deep_and_no_deeper,
        four_megabytes_are_read_and_not_one_byte_more,
        every_duplicate_key_is_told_and_no_other,
        thousands_of_duplicates_are_all_told,
        pointers_are_those_of_rfc_6901,
        the_deepest_node_has_a_pointer,
        messages_about_a_node_point_at_its_value_or_its_key,
        a_long_path_is_told_whole,
        NULL,
    };
    return sw_suite_of("document", tests, 20);
}
