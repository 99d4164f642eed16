// The reports of remedy, stretch, odds and limits: lines that fit a terminal, and JSON that says what was
// found.
#include "report/page.h"
#include "stillwatt/report.h"
#include "support/checks.h"
#include "support/memory_loader.h"
#include "support/small_plan.h"

#include <cjson/cJSON.h>
#include <math.h>
#include <stdlib.h>
#include <string.h>

static const sw_report_style narrow = {SW_UNITS_SI, 80, 1, 0};

/* A van that falls short, and a trip of a week. */
static rehearsed weary(void)
{
    char *van = text_with(small_van, "\"charge_per_day\": \"10 Ah\"",
                          "\"charge_per_day\": \"40 Ah\", \"price\": \"45 USD\", \"mass\": \"2 kg\"");
    char *tanks =
        text_with(van, "\"loads\": {", "\"tanks\": {\"fresh\": {\"capacity\": \"60 L\"}}, \"loads\": {");
    char *trip = text_with(small_trip, "\"to\": \"2026-11-08 10:00\"", "\"to\": \"2026-11-13 10:00\"");
    rehearsed out = rehearse_texts(tanks, trip, 900);
    free(trip);
    free(tanks);
    free(van);
    return out;
}

static sw_loader disk(memory_files *files)
{
    static const memory_file none[] = {{NULL, NULL}};
    files->file = none;
    return memory_loader(files);
}

/* No line is wider than the terminal, none ends in a blank, and each of the words is there. */
static void reads_well(char *text, const char *const words[])
{
    ck_assert_ptr_nonnull(text);
    for (int i = 0; words[i] != NULL; i++)
        ck_assert_msg(strstr(text, words[i]) != NULL, "\"%s\" is not in:\n%s", words[i], text);
    for (char *line = strtok(text, "\n"); line != NULL; line = strtok(NULL, "\n"))
        ck_assert_msg(sw_page_columns(line) <= 80, "too wide: %s", line);
    free(text);
}

static double number_at(const cJSON *root, const char *key, const char *inner)
{
    const cJSON *item = cJSON_GetObjectItemCaseSensitive(root, key);
    item = inner != NULL ? cJSON_GetObjectItemCaseSensitive(item, inner) : item;
    ck_assert_msg(cJSON_IsNumber(item), "no number at %s %s", key, inner != NULL ? inner : "");
    return item->valuedouble;
}

START_TEST(remedies_are_told)
{
    rehearsed x = weary();
    memory_files files;
    sw_loader loader = disk(&files);
    sw_messages *messages = sw_messages_create();
    sw_remedies *of = NULL;
    char *text = NULL, *json = NULL;
    ck_assert_int_eq(sw_find_remedies(x.r, &loader, 900, messages, &of), SW_OK);
    ck_assert_int_eq(sw_report_remedies(of, &narrow, &text), SW_OK);
    ck_assert_int_eq(sw_report_remedies_json(of, &json), SW_OK);
    static const char *const words[] = {"Do without \"fan\"", "The smallest that holds", "follow local codes",
                                        "USD", NULL};
    reads_well(text, words);
    cJSON *root = cJSON_Parse(json);
    const cJSON *list = cJSON_GetObjectItemCaseSensitive(root, "remedies");
    ck_assert_int_eq(cJSON_GetArraySize(list), of->count);
    for (int i = 0; i < of->count; i++)
        ck_assert_double_eq_tol(number_at(cJSON_GetArrayItem(list, i), "poor_week", "lowest_charge_pct"),
                                100.0 * of->remedy[i].poor.lowest_soc, 1e-3);
    ck_assert_double_eq(number_at(root, "changes_tried", NULL), of->tried);
    cJSON_Delete(root);
    free(json);
    sw_remedies_free(of);
    sw_messages_free(messages);
    forget_rehearsed(&x);
}
END_TEST

START_TEST(a_stretch_is_told)
{
    rehearsed x = weary();
    memory_files files;
    sw_loader loader = disk(&files);
    sw_messages *messages = sw_messages_create();
    sw_stretched *of = NULL;
    char *text = NULL, *json = NULL;
    ck_assert_int_eq(sw_find_stretch(x.plan, &loader, 900, messages, &of), SW_OK);
    ck_assert_int_eq(sw_report_stretch(of, &narrow, &text), SW_OK);
    ck_assert_int_eq(sw_report_stretch_json(of, &json), SW_OK);
    static const char *const words[] = {"The stay at \"mesa\" lasts", "would add a day", "fresh water",
                                        "poor sky", NULL};
    reads_well(text, words);
    cJSON *root = cJSON_Parse(json);
    const cJSON *ends = cJSON_GetObjectItemCaseSensitive(root, "ends");
    ck_assert_double_eq_tol(number_at(ends, "charge", "days"), of->end[SW_STRETCH_CHARGE].days, 1e-3);
    ck_assert_double_eq(number_at(root, "looked_at_days", NULL), 60.0);
    cJSON_Delete(root);
    free(json);
    sw_stretch_free(of);
    sw_messages_free(messages);
    forget_rehearsed(&x);
}
END_TEST

START_TEST(odds_are_told)
{
    rehearsed x = weary();
    memory_files files;
    sw_loader loader = disk(&files);
    sw_messages *messages = sw_messages_create();
    sw_odds_ask ask = {.width = 0.9, .months = 1};
    sw_odds *of = NULL;
    char *text = NULL, *json = NULL;
    ck_assert_int_eq(sw_find_odds(x.plan, &loader, 1800, &ask, messages, &of), SW_OK);
    ck_assert_int_eq(sw_report_odds(of, &narrow, &text), SW_OK);
    ck_assert_int_eq(sw_report_odds_json(of, &json), SW_OK);
    static const char *const words[] = {"a chance of", "Month by month", "September", "Nine times in ten",
                                        NULL};
    reads_well(text, words);
    cJSON *root = cJSON_Parse(json);
    ck_assert_double_eq(number_at(root, "chance", "of"), of->draws);
    ck_assert_double_eq_tol(number_at(root, "chance", "high"), of->holds.high, 1e-6);
    ck_assert_double_eq_tol(number_at(root, "lowest_charge_pct", "50"), 100.0 * of->lowest_soc[1], 1e-3);
    ck_assert_int_eq(cJSON_GetArraySize(cJSON_GetObjectItemCaseSensitive(root, "months")), 12);
    cJSON_Delete(root);
    free(json);
    sw_odds_free(of);
    sw_messages_free(messages);
    forget_rehearsed(&x);
}
END_TEST

START_TEST(limits_are_told)
{
    rehearsed x = weary();
    sw_messages *messages = sw_messages_create();
    sw_limits *of = NULL;
    char *text = NULL, *json = NULL;
    ck_assert_int_eq(sw_find_limits(x.r, messages, &of), SW_OK);
    ck_assert_int_eq(sw_report_limits(of, &narrow, &text), SW_OK);
    ck_assert_int_eq(sw_report_limits_json(of, &json), SW_OK);
    static const char *const words[] = {"a full battery lasts", "at a hookup", "Evening mark", NULL};
    ck_assert_ptr_null(strstr(text, "Not alone, or not at once")); // it has one AC appliance
    reads_well(text, words);
    cJSON *root = cJSON_Parse(json);
    ck_assert_double_eq_tol(number_at(root, "nights_without_sun", NULL), of->nights, 1e-3);
    ck_assert_double_eq_tol(number_at(root, "refill", "hookup_h"), of->refill_h[SW_REFILL_HOOKUP], 1e-3);
    ck_assert_int_eq(cJSON_GetArraySize(cJSON_GetObjectItemCaseSensitive(root, "evening_marks")),
                     of->evenings);
    cJSON_Delete(root);
    free(json);
    sw_limits_free(of);
    sw_messages_free(messages);
    forget_rehearsed(&x);
}
END_TEST

Suite *sw_suite(void)
{
    const TTest *const tests[] = {remedies_are_told, a_stretch_is_told, odds_are_told, limits_are_told, NULL};
    return sw_suite_of("what ifs", tests, 180);
}
