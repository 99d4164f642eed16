// The schemas in profiles/schema are what the key tables say today, and say what the tables mean.
#include "support/checks.h"
#include "support/program.h"

#include "files/schema_parts.h"
#include "files/values.h"
#include "stillwatt/schema.h"

#include <cjson/cJSON.h>
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

static const sw_table *const tables[] = {
    &sw_van_table,        &sw_vehicle_table, &sw_battery_table,  &sw_array_table, &sw_controller_table,
    &sw_alternator_table, &sw_shore_table,   &sw_inverter_table, &sw_load_table,  &sw_habit_table,
    &sw_trip_table,       &sw_place_table,   &sw_normals_table,  &sw_leg_table,   &sw_hookup_table,
    &sw_sky_table,        &sw_told_table,    &sw_part_table};
enum { TABLES = sizeof tables / sizeof tables[0] };

START_TEST(the_files_are_what_the_tables_say)
{
    char *text = NULL;
    ck_assert_int_eq(sw_schema_text((sw_file_kind)_i, &text), SW_OK);
    char *file = program_read(SW_SOURCE_DIR "/profiles/schema", sw_schema_file((sw_file_kind)_i));
    ck_assert_msg(file != NULL && strcmp(file, text) == 0,
                  "profiles/schema/%s is not what the key tables say: run scripts/schemas",
                  sw_schema_file((sw_file_kind)_i));
    free(file);
    free(text);
}
END_TEST

static cJSON *parsed(sw_file_kind kind)
{
    char *text = NULL;
    ck_assert_int_eq(sw_schema_text(kind, &text), SW_OK);
    cJSON *root = cJSON_Parse(text);
    ck_assert_ptr_nonnull(root);
    free(text);
    return root;
}

/* A key without a place in the structure is written as false. */
static void check_properties(const cJSON *object, const char *name)
{
    const cJSON *property;
    cJSON_ArrayForEach(property, cJSON_GetObjectItem(object, "properties"))
        ck_assert_msg(cJSON_IsObject(property) && cJSON_HasObjectItem(property, "description"),
                      "nothing says how \"%s\" of %s is read: add a row to `places` in schema_keys.c",
                      property->string, name);
}

START_TEST(every_key_is_described)
{
    cJSON *root = parsed((sw_file_kind)_i);
    const cJSON *definition;
    check_properties(root, sw_schema_file((sw_file_kind)_i));
    cJSON_ArrayForEach(definition, cJSON_GetObjectItem(root, "$defs"))
    {
        ck_assert(cJSON_HasObjectItem(definition, "description"));
        check_properties(definition, definition->string);
    }
    cJSON_Delete(root);
}
END_TEST

static int same_keys(const cJSON *properties, const sw_table *table)
{
    size_t i = 0;
    const cJSON *property;
    cJSON_ArrayForEach(property, properties)
    {
        if (i == table->count || strcmp(property->string, table->keys[i].name) != 0)
            return 0;
        i++;
    }
    return i == table->count;
}

/* In van and trip schemas, which leave no table out. */
START_TEST(every_table_is_in_a_schema_with_its_keys_in_order)
{
    cJSON *root[SW_FILE_KIND_COUNT];
    for (int kind = 0; kind < SW_FILE_KIND_COUNT; kind++)
        root[kind] = parsed((sw_file_kind)kind);
    for (int t = 0; t < TABLES; t++) {
        int found = 0;
        for (int kind = 0; kind < SW_FILE_KIND_COUNT; kind++) {
            const cJSON *definition;
            found += same_keys(cJSON_GetObjectItem(root[kind], "properties"), tables[t]);
            cJSON_ArrayForEach(definition, cJSON_GetObjectItem(root[kind], "$defs")) found +=
                same_keys(cJSON_GetObjectItem(definition, "properties"), tables[t]);
        }
        ck_assert_msg(found > 0, "the keys of %s are in no schema", tables[t]->name);
    }
    for (int kind = 0; kind < SW_FILE_KIND_COUNT; kind++)
        cJSON_Delete(root[kind]);
}
END_TEST

static void check_written(const sw_key *key, double value)
{
    char text[64];
    sw_quantity read;
    sw_key_write(key, value, text, sizeof text);
    if (key->dimension == SW_DIM_MONEY)
        strcat(text, " USD");
    ck_assert_int_eq(sw_quantity_read(text, key->dimension, &read), SW_QUANTITY_OK);
    ck_assert_msg(fabs(read.value - value) <= 1e-9 * fabs(value), "%s: %s is not %.17g", key->name, text,
                  value);
}

/* Else the schemas, and the messages, would tell other limits than those that are meant. */
START_TEST(limits_and_defaults_survive_being_written_for_people)
{
    for (int t = 0; t < TABLES; t++) {
        for (size_t i = 0; i < tables[t]->count; i++) {
            const sw_key *key = &tables[t]->keys[i];
            if (key->kind != SW_KEY_QUANTITY && key->kind != SW_KEY_MONTHS)
                continue;
            check_written(key, key->least);
            check_written(key, key->most);
            if (key->need == SW_DEFAULTED)
                check_written(key, key->fallback);
        }
    }
}
END_TEST

/* An example is shortened with dots, or JSON. */
START_TEST(examples_are_json)
{
    for (int t = 0; t < TABLES; t++) {
        for (size_t i = 0; i < tables[t]->count; i++) {
            cJSON *example = cJSON_Parse(tables[t]->keys[i].example);
            ck_assert_msg(example != NULL || strstr(tables[t]->keys[i].example, "...") != NULL,
                          "the example of \"%s\" is no JSON", tables[t]->keys[i].name);
            cJSON_Delete(example);
        }
    }
}
END_TEST

START_TEST(json_is_laid_out_for_people)
{
    sw_json_writer w = {0};
    char *text = NULL;
    sw_json_open(&w, NULL, '{');
    sw_json_text(&w, "a \"b\"", "c\\d");
    sw_json_open(&w, "list", '[');
    sw_json_number(&w, NULL, -0.5);
    sw_json_raw(&w, NULL, "null");
    sw_json_close(&w, ']');
    sw_json_begin_words(&w, "words");
    sw_json_word(&w, "x");
    sw_json_word(&w, "y");
    sw_json_end_words(&w);
    sw_json_raw_list(&w, "one", "[1]");
    sw_json_open(&w, "empty", '{');
    sw_json_close(&w, '}');
    sw_json_close(&w, '}');
    ck_assert_int_eq(sw_json_take(&w, &text), SW_OK);
    ck_assert_str_eq(text, "{\n  \"a \\\"b\\\"\": \"c\\\\d\",\n  \"list\": [\n    -0.5,\n    null\n  ],\n"
                           "  \"words\": [\"x\", \"y\"],\n  \"one\": [[1]],\n  \"empty\": {}\n}\n");
    free(text);
}
END_TEST

/* One table more than there is room for: a reference to it would lead to nothing. */
START_TEST(a_table_too_many_spoils_the_schema)
{
    for (int count = SW_SCHEMA_TABLES_MAX; count <= SW_SCHEMA_TABLES_MAX + 1; count++) {
        static sw_table table[SW_SCHEMA_TABLES_MAX + 1];
        sw_schema s = {.kind = SW_FILE_VAN};
        char *text = NULL;
        sw_json_open(&s.w, NULL, '{');
        for (int i = 0; i < count; i++) {
            table[i].name = "a thing";
            sw_schema_refer_table(&s, &table[i]);
            sw_schema_refer_table(&s, &table[0]); // again: takes no room
        }
        sw_json_close(&s.w, '}');
        int fits = count == SW_SCHEMA_TABLES_MAX;
        ck_assert_int_eq(sw_json_take(&s.w, &text), fits ? SW_OK : SW_NO_MEMORY);
        ck_assert_int_eq(text != NULL, fits);
        free(text);
    }
}
END_TEST

Suite *sw_suite(void)
{
    Suite *suite = suite_create("schema");
    TCase *each = tcase_create("each kind of file"), *all = tcase_create("all");
    tcase_add_loop_test(each, the_files_are_what_the_tables_say, 0, SW_FILE_KIND_COUNT);
    tcase_add_loop_test(each, every_key_is_described, 0, SW_FILE_KIND_COUNT);
    tcase_add_test(all, every_table_is_in_a_schema_with_its_keys_in_order);
    tcase_add_test(all, limits_and_defaults_survive_being_written_for_people);
    tcase_add_test(all, examples_are_json);
    tcase_add_test(all, json_is_laid_out_for_people);
    tcase_add_test(all, a_table_too_many_spoils_the_schema);
    suite_add_tcase(suite, each);
    suite_add_tcase(suite, all);
    return suite;
}
