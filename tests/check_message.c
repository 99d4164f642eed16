// Messages and statuses: what is kept, what is counted, how a message reads.
#include "stillwatt/message.h"
#include "support/checks.h"

#include <stdio.h>
#include <string.h>

START_TEST(texts_are_copied)
{
    sw_messages *messages = sw_messages_create();
    char file[] = "van.json", path[] = "/battery", hint[] = "write a power", word[] = "pow";
    sw_where where = {file, 3, 7, path};
    sw_error(messages, SW_BAD_INPUT, &where, hint, "unknown key %s (%d)", word, 42);
    file[0] = path[0] = hint[0] = word[0] = '#';
    const sw_message *message = sw_messages_at(messages, 0);
    ck_assert_str_eq(message->where.file, "van.json");
    ck_assert_str_eq(message->where.path, "/battery");
    ck_assert_str_eq(message->hint, "write a power");
    ck_assert_str_eq(message->what, "unknown key pow (42)");
    ck_assert_int_eq(message->where.line, 3);
    ck_assert_int_eq(message->where.column, 7);
    ck_assert_int_eq(message->severity, SW_ERROR);
    ck_assert_int_eq(message->status, SW_BAD_INPUT);
    sw_messages_free(messages);
}
END_TEST

START_TEST(what_a_file_holds_cannot_steer_a_terminal)
{
    static const struct {
        const char *text, *shown;
    } cases[] = {
        {"caf\xC3\xA9 \xF0\x9F\x9A\x90", "caf\xC3\xA9 \xF0\x9F\x9A\x90"}, // letters of any script stay
        {"\x1B[31mred", "?[31mred"},
        {"two\nlines\t\x7F", "two?lines??"},
        {"\xC2\x9B"
         "31m \xC2\xA0",
         "??31m \xC2\xA0"}, // a C1 control; a no-break space stays
        {"a\xE2\x80\xAE"
         "b\xE2\x81\xA6",
         "a???b???"}, // marks that turn the direction
        {"a\u200E\u200F\u061C\u2067", "a???????????"},
        {"a\u2028\u2029", "a??????"}, // separators of lines and paragraphs
        {"\u200D\u2010\u2027\u202F\u061B\u061D", "\u200D\u2010\u2027\u202F\u061B\u061D"}, // their neighbours
        {"cut in a character \xC3", "cut in a character ?"}, // as a long quotation may be
    };
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
        sw_messages *messages = sw_messages_create();
        sw_where where = {cases[i].text, 1, 1, cases[i].text};
        sw_error(messages, SW_BAD_INPUT, &where, cases[i].text, "%s", cases[i].text);
        const sw_message *message = sw_messages_at(messages, 0);
        ck_assert_str_eq(message->what, cases[i].shown);
        ck_assert_str_eq(message->hint, cases[i].shown);
        ck_assert_str_eq(message->where.file, cases[i].shown);
        ck_assert_str_eq(message->where.path, cases[i].shown);
        sw_messages_free(messages);
    }
}
END_TEST

START_TEST(an_error_hands_its_status_back_with_or_without_a_list)
{
    sw_messages *messages = sw_messages_create();
    ck_assert_int_eq(sw_error(messages, SW_CANNOT_READ, NULL, NULL, "no"), SW_CANNOT_READ);
    ck_assert_int_eq(sw_error(NULL, SW_OUT_OF_RANGE, NULL, NULL, "no"), SW_OUT_OF_RANGE);
    sw_warn(NULL, NULL, NULL, "nothing happens");
    sw_messages_free(messages);
}
END_TEST

START_TEST(warnings_are_no_errors)
{
    sw_messages *messages = sw_messages_create();
    sw_warn(messages, NULL, NULL, "a warning");
    ck_assert_int_eq(sw_messages_status(messages), SW_OK);
    ck_assert_uint_eq(sw_messages_errors(messages), 0);
    sw_error(messages, SW_BAD_INPUT, NULL, NULL, "first");
    sw_error(messages, SW_CANNOT_READ, NULL, NULL, "second");
    ck_assert_uint_eq(sw_messages_count(messages), 3);
    ck_assert_uint_eq(sw_messages_errors(messages), 2);
    ck_assert_int_eq(sw_messages_status(messages), SW_BAD_INPUT);
    ck_assert_int_eq(sw_messages_at(messages, 0)->severity, SW_WARNING);
    ck_assert_int_eq(sw_messages_at(messages, 0)->status, SW_OK);
    ck_assert_ptr_null(sw_messages_at(messages, 3));
    sw_messages_free(messages);
}
END_TEST

START_TEST(a_message_stays_where_it_is_while_the_list_grows)
{
    sw_messages *messages = sw_messages_create();
    sw_error(messages, SW_BAD_INPUT, NULL, NULL, "number %d", 0);
    const sw_message *first = sw_messages_at(messages, 0);
    for (int i = 1; i < 3000; i++)
        sw_error(messages, SW_BAD_INPUT, NULL, NULL, "number %d", i);
    ck_assert_ptr_eq(sw_messages_at(messages, 0), first);
    for (int i = 0; i < 3000; i++) {
        char expected[32];
        snprintf(expected, sizeof expected, "number %d", i);
        ck_assert_str_eq(sw_messages_at(messages, (size_t)i)->what, expected);
    }
    sw_messages_free(messages);
}
END_TEST

START_TEST(a_message_may_be_long)
{
    static char text[100001];
    memset(text, 'x', sizeof text - 1);
    sw_messages *messages = sw_messages_create();
    sw_error(messages, SW_BAD_INPUT, NULL, text, "%s", text);
    ck_assert_str_eq(sw_messages_at(messages, 0)->what, text);
    ck_assert_str_eq(sw_messages_at(messages, 0)->hint, text);
    sw_messages_free(messages);
}
END_TEST

static void check_format(sw_where where, const char *hint, const char *expected)
{
    sw_message message = {SW_ERROR, SW_BAD_INPUT, where, "expected a power", hint};
    char buffer[200];
    int length = sw_message_format(&message, buffer, sizeof buffer);
    ck_assert_str_eq(buffer, expected);
    ck_assert_int_eq(length, (int)strlen(expected));
}

START_TEST(each_part_that_is_absent_is_left_out)
{
    const char *hint = "write \"180 W\"";
    check_format((sw_where){"van.json", 3, 7, "/solar/roof/rating"}, hint,
                 "van.json:3:7: /solar/roof/rating: expected a power\n    write \"180 W\"\n");
    check_format((sw_where){"van.json", 3, 7, NULL}, NULL, "van.json:3:7: expected a power\n");
    check_format((sw_where){"van.json", 3, 0, NULL}, NULL, "van.json:3: expected a power\n");
    check_format((sw_where){"van.json", 0, 7, NULL}, NULL, "van.json: expected a power\n");
    check_format((sw_where){NULL, 3, 7, NULL}, NULL, "3:7: expected a power\n");
    check_format((sw_where){NULL, 0, 0, "/solar"}, NULL, "/solar: expected a power\n");
    check_format((sw_where){NULL, 0, 0, NULL}, hint, "expected a power\n    write \"180 W\"\n");
}
END_TEST

START_TEST(a_small_buffer_is_ended_and_the_length_needed_is_told)
{
    sw_message message = {SW_ERROR, SW_BAD_INPUT, {"van.json", 1, 2, "/a"}, "what", "hint"};
    char whole[100], part[100];
    int length = sw_message_format(&message, whole, sizeof whole);
    for (size_t size = 1; size <= (size_t)length + 1; size++) {
        memset(part, '#', sizeof part);
        ck_assert_int_eq(sw_message_format(&message, part, size), length);
        ck_assert_uint_eq(strlen(part), size - 1);
        ck_assert_int_eq(strncmp(part, whole, size - 1), 0);
        ck_assert_int_eq(part[size], '#');
    }
    ck_assert_int_eq(sw_message_format(&message, NULL, 0), length);
}
END_TEST

// The exit statuses that the program promises: 2 bad use, 3 bad input, 4 cannot read or write, 5 internal.
START_TEST(each_status_has_a_sentence_and_its_exit_status)
{
    static const int exits[] = {0, 2, 3, 3, 4, 4, 4, 5};
    static const sw_status statuses[] = {SW_OK,          SW_BAD_USE,      SW_BAD_INPUT, SW_OUT_OF_RANGE,
                                         SW_CANNOT_READ, SW_CANNOT_WRITE, SW_NO_MEMORY, SW_UNBALANCED};
    for (size_t i = 0; i < sizeof statuses / sizeof statuses[0]; i++) {
        ck_assert_int_eq(sw_status_exit(statuses[i]), exits[i]);
        ck_assert_uint_gt(strlen(sw_status_sentence(statuses[i])), 3);
        for (size_t k = 0; k < i; k++)
            ck_assert_str_ne(sw_status_sentence(statuses[i]), sw_status_sentence(statuses[k]));
    }
    ck_assert_str_eq(sw_status_sentence((sw_status)99), "unknown status");
    ck_assert_str_eq(sw_status_sentence((sw_status)-1), "unknown status");
    ck_assert_int_eq(sw_status_exit((sw_status)99), 5);
}
END_TEST

Suite *sw_suite(void)
{
    const TTest *const tests[] = {
        texts_are_copied,
        what_a_file_holds_cannot_steer_a_terminal,
        an_error_hands_its_status_back_with_or_without_a_list,
        warnings_are_no_errors,
        a_message_stays_where_it_is_while_the_list_grows,
        a_message_may_be_long,
        each_part_that_is_absent_is_left_out,
        a_small_buffer_is_ended_and_the_length_needed_is_told,
        each_status_has_a_sentence_and_its_exit_status,
        NULL,
    };
    return sw_suite_of("message", tests, 10);
}
