// The readers when the C library is against them: each allocation fails once, and the decimal point is a
// comma. The functions of the C library are replaced in this program alone; sanitizers replace them too, so
// there it skips.
#include "stillwatt/document.h"
#include "support/checks.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#if defined(__has_feature)
#if __has_feature(address_sanitizer)
#define UNDER_SANITIZER 1
#endif
#endif
#if defined(__SANITIZE_ADDRESS__) || defined(UNDER_SANITIZER) || !defined(__GLIBC__)

Suite *sw_suite(void)
{
    const TTest *const tests[] = {NULL};
    printf("skipped: failing allocations (the allocator cannot be replaced here)\n");
    return sw_suite_of("document, hostile", tests, 10);
}

#else

// glibc's own functions, under the names that it keeps for replacements.
extern void *__libc_malloc(size_t size);
extern void *__libc_calloc(size_t count, size_t size);
extern void *__libc_realloc(void *bytes, size_t size);
extern void __libc_free(void *bytes);

static int counting;    // only while a reader runs
static long until_fail; // allocations that still succeed
static long failed, alive;

static int fails(void)
{
    if (!counting || until_fail-- > 0)
        return 0;
    failed++;
    return 1;
}

static void *counted(void *bytes)
{
    alive += counting && bytes != NULL;
    return bytes;
}

void *malloc(size_t size)
{
    return fails() ? NULL : counted(__libc_malloc(size));
}

void *calloc(size_t count, size_t size)
{
    return fails() ? NULL : counted(__libc_calloc(count, size));
}

void *realloc(void *bytes, size_t size)
{
    if (fails())
        return NULL;
    return bytes == NULL ? counted(__libc_realloc(NULL, size)) : __libc_realloc(bytes, size);
}

void free(void *bytes)
{
    alive -= counting && bytes != NULL;
    __libc_free(bytes);
}

// What strtod does where the decimal point is a comma, for plain numbers.
static int comma_locale;
double strtod(const char *text, char **end)
{
    double value = 0, place = 1;
    const char *p = text + (*text == '-');
    for (; *p >= '0' && *p <= '9'; p++)
        value = value * 10 + (*p - '0');
    if (*p == (comma_locale ? ',' : '.'))
        for (p++; *p >= '0' && *p <= '9'; p++)
            value += (*p - '0') * (place /= 10);
    if (end != NULL)
        *end = (char *)(size_t)p;
    return *text == '-' ? -value : value;
}

static const char good[] =
    "{\"name\": \"Sage\", \"solar\": [1.5, -2.25e3, {\"tilt\": 0}], /* c */ \"on\": true}";
static const char wrong[] = "{\"name\": \"Sage\", \"solar\": [1.5,, 2]}";
static const char twice[] = "{\"name\": 1, \"name\": 2, \"name\": 3}";

// Lets n allocations succeed and none after them, for n = 0, 1, ... until the reading needs no more than n.
// Returns how many it needs.
static long starve(const char *text, sw_status otherwise)
{
    for (long enough = 0;; enough++) {
        sw_document *document = NULL;
        failed = alive = 0;
        until_fail = enough;
        counting = 1;
        sw_status status = SW_NO_MEMORY;
        sw_messages *messages = sw_messages_create();
        if (messages != NULL)
            status = sw_document_read(text, strlen(text), "van.json", messages, &document);
        int was_made = document != NULL;
        sw_document_free(document);
        sw_messages_free(messages);
        counting = 0;
        ck_assert_int_eq(alive, 0);
        ck_assert_int_eq(status, failed > 0 ? SW_NO_MEMORY : otherwise);
        ck_assert_int_eq(was_made, status == SW_OK);
        if (failed == 0)
            return enough;
    }
}

// The least counts are what must be allocated: list and arena and its chunk, document and its chunk, copy,
// spots; for cJSON one of each value and each string.
START_TEST(no_memory_is_told_and_nothing_leaks_while_a_good_file_is_read)
{
    ck_assert_int_ge(starve(good, SW_OK), 6 + 8 + 5);
}
END_TEST

START_TEST(no_memory_is_told_and_nothing_leaks_while_a_wrong_file_is_read)
{
    ck_assert_int_ge(starve(wrong, SW_BAD_INPUT), 7);
}
END_TEST

START_TEST(no_memory_is_told_and_nothing_leaks_while_duplicates_are_told)
{
    ck_assert_int_ge(starve(twice, SW_BAD_INPUT), 7 + 4 + 3);
}
END_TEST

START_TEST(a_message_that_cannot_be_kept_still_counts)
{
    sw_messages *messages = sw_messages_create();
    until_fail = 0;
    counting = 1;
    sw_status status = sw_error(messages, SW_BAD_INPUT, NULL, "hint", "what");
    counting = 0;
    ck_assert_int_eq(status, SW_NO_MEMORY);
    ck_assert_int_eq(sw_messages_status(messages), SW_NO_MEMORY);
    ck_assert_uint_eq(sw_messages_errors(messages), 1);
    ck_assert_uint_eq(sw_messages_count(messages), 0);
    ck_assert_int_eq(sw_error(messages, SW_BAD_INPUT, NULL, "hint", "what"), SW_BAD_INPUT);
    ck_assert_uint_eq(sw_messages_count(messages), 1);
    sw_messages_free(messages);
}
END_TEST

START_TEST(a_comma_as_decimal_point_changes_no_number)
{
    char *end;
    comma_locale = 1;
    ck_assert_double_eq(strtod("1.5", &end), 1); // the replacement is the one that is called
    sw_messages *messages = sw_messages_create();
    sw_document *document = NULL;
    ck_assert_int_eq(sw_document_read(good, strlen(good), "van.json", messages, &document), SW_OK);
    const sw_node *item = sw_node_member(sw_document_root(document), "solar")->first;
    comma_locale = 0;
    ck_assert(item->number == 1.5);
    ck_assert(item->next->number == -2250);
    sw_document_free(document);
    sw_messages_free(messages);
}
END_TEST

Suite *sw_suite(void)
{
    const TTest *const tests[] = {
        no_memory_is_told_and_nothing_leaks_while_a_good_file_is_read,
        no_memory_is_told_and_nothing_leaks_while_a_wrong_file_is_read,
        no_memory_is_told_and_nothing_leaks_while_duplicates_are_told,
        a_message_that_cannot_be_kept_still_counts,
        a_comma_as_decimal_point_changes_no_number,
        NULL,
    };
    return sw_suite_of("document, hostile", tests, 10);
}

#endif
