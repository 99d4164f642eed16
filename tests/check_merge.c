// Merge patches: the published examples, random pairs against the algorithm of the standard on another tree,
// and the places that messages point at.
#include "files/merge.h"
#include "stillwatt/loader.h"
#include "support/checks.h"
#include "support/small_plan.h"

#include <cjson/cJSON.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

// ---- trees as text ----

typedef struct text {
    char bytes[4096];
    size_t length;
} text;

static void add(text *out, const char *piece)
{
    ck_assert(out->length + strlen(piece) + 1 < sizeof out->bytes);
    strcpy(out->bytes + out->length, piece);
    out->length += strlen(piece);
}

/* Members in their order; the texts of these tests need no escapes. */
static void write_node(const sw_node *node, text *out)
{
    char number[32];
    int is_list = node->type == SW_JSON_ARRAY;
    switch (node->type) {
    case SW_JSON_STRING:
        add(out, "\"");
        add(out, node->text);
        add(out, "\"");
        return;
    case SW_JSON_NUMBER:
        snprintf(number, sizeof number, "%g", node->number);
        add(out, number);
        return;
    case SW_JSON_BOOL:
        add(out, node->number != 0.0 ? "true" : "false");
        return;
    case SW_JSON_NULL:
        add(out, "null");
        return;
    default:
        break;
    }
    add(out, is_list ? "[" : "{");
    size_t index = 0;
    for (const sw_node *member = node->first; member != NULL; member = member->next) {
        ck_assert_uint_eq(member->index, index);
        add(out, index++ > 0 ? "," : "");
        if (!is_list) {
            add(out, "\"");
            add(out, member->key);
            add(out, "\":");
        }
        write_node(member, out);
    }
    add(out, is_list ? "]" : "}");
}

/* Released by the caller. */
static sw_document *document_of(const char *json, const char *name)
{
    sw_document *out = NULL;
    sw_messages *messages = sw_messages_create();
    sw_status status = sw_document_read(json, strlen(json), name, messages, &out);
    print_messages(messages);
    ck_assert_int_eq(status, SW_OK);
    sw_messages_free(messages);
    return out;
}

static text merged(const char *base, const char *patch)
{
    text out = {0};
    sw_arena *arena = sw_arena_create();
    sw_document *a = document_of(base, "base"), *b = document_of(patch, "patch");
    const sw_node *node = sw_node_merge(sw_document_root(a), sw_document_root(b), arena);
    ck_assert_ptr_nonnull(node);
    write_node(node, &out);
    sw_document_free(a);
    sw_document_free(b);
    sw_arena_free(arena);
    return out;
}

// ---- examples ----

/* Appendix A of the standard [rfc-7396]: all of its fifteen. */
START_TEST(the_published_examples_come_out)
{
    static const char *const examples[][3] = {
        {"{\"a\":\"b\"}", "{\"a\":\"c\"}", "{\"a\":\"c\"}"},
        {"{\"a\":\"b\"}", "{\"b\":\"c\"}", "{\"a\":\"b\",\"b\":\"c\"}"},
        {"{\"a\":\"b\"}", "{\"a\":null}", "{}"},
        {"{\"a\":\"b\",\"b\":\"c\"}", "{\"a\":null}", "{\"b\":\"c\"}"},
        {"{\"a\":[\"b\"]}", "{\"a\":\"c\"}", "{\"a\":\"c\"}"},
        {"{\"a\":\"c\"}", "{\"a\":[\"b\"]}", "{\"a\":[\"b\"]}"},
        {"{\"a\":{\"b\":\"c\"}}", "{\"a\":{\"b\":\"d\",\"c\":null}}", "{\"a\":{\"b\":\"d\"}}"},
        {"{\"a\":[{\"b\":\"c\"}]}", "{\"a\":[1]}", "{\"a\":[1]}"},
        {"[\"a\",\"b\"]", "[\"c\",\"d\"]", "[\"c\",\"d\"]"},
        {"{\"a\":\"b\"}", "[\"c\"]", "[\"c\"]"},
        {"{\"a\":\"foo\"}", "null", "null"},
        {"{\"a\":\"foo\"}", "\"bar\"", "\"bar\""},
        {"{\"e\":null}", "{\"a\":1}", "{\"e\":null,\"a\":1}"},
        {"[1,2]", "{\"a\":\"b\",\"c\":null}", "{\"a\":\"b\"}"},
        {"{}", "{\"a\":{\"bb\":{\"ccc\":null}}}", "{\"a\":{\"bb\":{}}}"}};
    text out = merged(examples[_i][0], examples[_i][1]);
    ck_assert_str_eq(out.bytes, examples[_i][2]);
}
END_TEST

// ---- random pairs ----

static unsigned seed;

static int draw(int below)
{
    seed = seed * 1103515245u + 12345u;
    return (int)((seed >> 16) % (unsigned)below);
}

static void random_value(text *out, int depth)
{
    static const char *const leaves[] = {"null", "1", "2.5", "\"x\"", "\"y\"", "true", "[1,{\"a\":null}]",
                                         "[]"};
    char key[8];
    if (depth == 0 || draw(3) == 0) {
        add(out, leaves[draw(8)]);
        return;
    }
    add(out, "{");
    unsigned used = 0;
    for (int i = draw(5); i > 0; i--) {
        int letter = draw(5);
        if ((used >> letter & 1u) != 0)
            continue;
        snprintf(key, sizeof key, "%s\"%c\":", used != 0 ? "," : "", 'a' + letter);
        used |= 1u << letter;
        add(out, key);
        random_value(out, depth - 1);
    }
    add(out, "}");
}

/* The standard's own lines (section 2), on a tree that is changed in place. Takes the target over. */
static cJSON *plain_merge(cJSON *target, const cJSON *patch)
{
    if (!cJSON_IsObject(patch)) {
        cJSON_Delete(target);
        return cJSON_Duplicate(patch, 1);
    }
    if (!cJSON_IsObject(target)) {
        cJSON_Delete(target);
        target = cJSON_CreateObject();
    }
    for (const cJSON *member = patch->child; member != NULL; member = member->next) {
        cJSON *old = cJSON_DetachItemFromObjectCaseSensitive(target, member->string);
        if (cJSON_IsNull(member))
            cJSON_Delete(old);
        else
            cJSON_AddItemToObject(target, member->string, plain_merge(old, member));
    }
    return target;
}

START_TEST(random_pairs_come_out_as_the_standard_says)
{
    for (unsigned start = 1; start < 3000; start++) {
        text base = {0}, patch = {0};
        seed = start;
        random_value(&base, 3);
        random_value(&patch, 3);
        cJSON *b = cJSON_Parse(patch.bytes), *expected = plain_merge(cJSON_Parse(base.bytes), b);
        text out = merged(base.bytes, patch.bytes);
        cJSON *mine = cJSON_Parse(out.bytes);
        ck_assert_msg(cJSON_Compare(mine, expected, 1), "%s with %s gives %s", base.bytes, patch.bytes,
                      out.bytes);
        cJSON_Delete(mine);
        cJSON_Delete(expected);
        cJSON_Delete(b);
    }
}
END_TEST

// ---- places ----

START_TEST(every_value_keeps_its_file_and_its_line)
{
    sw_document *a = document_of("{\"x\": {\n\"one\": 1,\n\"two\": 2}}", "base");
    sw_document *b = document_of("{\"patch\": {\n\n\n\"x\": {\"two\": 3}}}", "study");
    sw_arena *arena = sw_arena_create();
    const sw_node *patch = sw_node_member(sw_document_root(b), "patch");
    const sw_node *x = sw_node_member(sw_node_merge(sw_document_root(a), patch, arena), "x");
    const sw_node *one = sw_node_member(x, "one"), *two = sw_node_member(x, "two");
    char path[40];
    int line, column;
    ck_assert_str_eq(sw_document_name(one->document), "base");
    ck_assert_str_eq(sw_document_name(two->document), "study");
    sw_document_position(one->document, one->offset, &line, &column);
    ck_assert_int_eq(line, 2);
    sw_document_position(two->document, two->offset, &line, &column);
    ck_assert_int_eq(line, 4);
    sw_node_pointer(one, path, sizeof path);
    ck_assert_str_eq(path, "/x/one");
    sw_node_pointer(two, path, sizeof path);
    ck_assert_str_eq(path, "/patch/x/two");
    // The documents themselves are as they were.
    ck_assert(sw_node_member(sw_node_member(sw_document_root(a), "x"), "two")->number == 2.0);
    sw_document_free(a);
    sw_document_free(b);
    sw_arena_free(arena);
}
END_TEST

// ---- what was loaded ----

/* FNV-1a of 64 bits [fnv], from memory: of nothing, "a" and "foobar". */
START_TEST(the_sum_of_bytes_is_the_published_one)
{
    static const struct {
        const char *text;
        uint64_t sum;
    } known[] = {{"", 0xcbf29ce484222325u}, {"a", 0xaf63dc4c8601ec8cu}, {"foobar", 0x85944171f73967e8u}};
    sw_fingerprint f;
    for (int i = 0; i < 3; i++) {
        sw_fingerprint_begin(&f, NULL);
        sw_fingerprint_add(&f, known[i].text, strlen(known[i].text));
        ck_assert(f.sum == known[i].sum);
    }
}
END_TEST

Suite *sw_suite(void)
{
    const TTest *const tests[] = {random_pairs_come_out_as_the_standard_says,
                                  every_value_keeps_its_file_and_its_line,
                                  the_sum_of_bytes_is_the_published_one, NULL};
    Suite *suite = sw_suite_of("merge", tests, 60);
    TCase *each = tcase_create("examples");
    tcase_add_loop_test(each, the_published_examples_come_out, 0, 15);
    suite_add_tcase(suite, each);
    return suite;
}
