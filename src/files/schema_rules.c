// Rules over several keys of an object: what is needed, what belongs to which kind, what excludes each other.
#include "files/schema_parts.h"

#include "files/read_van.h"

#include <string.h>

static void constant(sw_schema *s, const char *key, const char *word)
{
    sw_json_open(&s->w, key, '{');
    sw_json_text(&s->w, "const", word);
    sw_json_close(&s->w, '}');
}

/* "if": the key is this word */
static void if_word(sw_schema *s, const char *key, const char *word)
{
    sw_json_open(&s->w, "if", '{');
    sw_json_open(&s->w, "properties", '{');
    constant(s, key, word);
    sw_json_close(&s->w, '}');
    sw_schema_require(s, key);
    sw_json_close(&s->w, '}');
}

static void if_has(sw_schema *s, const char *key)
{
    sw_json_open(&s->w, "if", '{');
    sw_schema_require(s, key);
    sw_json_close(&s->w, '}');
}

// ---- rules over several keys ----

int sw_schema_is_of_part(const sw_schema *s, const sw_table *table)
{
    return s->kind == SW_FILE_PART && table != &sw_part_table;
}

static int can_have_part(const sw_table *table)
{
    return strcmp(table->keys[0].name, "part") == 0;
}

static void required_keys(sw_schema *s, const sw_table *table)
{
    sw_json_begin_words(&s->w, "required");
    for (size_t i = 0; i < table->count; i++)
        if (table->keys[i].need == SW_NEEDED)
            sw_json_word(&s->w, table->keys[i].name);
    sw_json_end_words(&s->w);
}

/* What a part may give is needed only where there is no part. */
static void begin_without_part(sw_schema *s)
{
    sw_json_raw(&s->w, "if", "{\"properties\": {\"part\": false}}");
    sw_json_open(&s->w, "then", '{');
}

static void needed(sw_schema *s, const sw_table *table)
{
    if (!can_have_part(table)) {
        required_keys(s, table);
        return;
    }
    begin_without_part(s);
    required_keys(s, table);
    sw_json_close(&s->w, '}');
}

static void refuse_strangers(sw_schema *s, const sw_kind_key *rows, int kind)
{
    sw_json_open(&s->w, "properties", '{');
    for (; rows->key != NULL; rows++)
        if ((rows->kinds & SW_KIND(kind)) == 0)
            sw_json_raw(&s->w, rows->key, "false");
    sw_json_close(&s->w, '}');
}

static void one_of_two(sw_schema *s, const char *how, const char *one, const char *other)
{
    sw_json_open(&s->w, how, '[');
    for (int i = 0; i < 2; i++) {
        sw_json_open(&s->w, NULL, '{');
        sw_schema_require(s, i == 0 ? one : other);
        sw_json_close(&s->w, '}');
    }
    sw_json_close(&s->w, ']');
}

/* The next need of a kind that one key alone can meet, or that either of two can. */
static const sw_kind_need *next_need(const sw_kind_need *need, int kind, int of_two)
{
    while (need->key != NULL && ((need->kinds & SW_KIND(kind)) == 0 || (need->instead != NULL) != of_two))
        need++;
    return need;
}

static void require_needs(sw_schema *s, const sw_kind_need *needs, int kind)
{
    const sw_kind_need *need = next_need(needs, kind, 0);
    if (need->key != NULL) {
        sw_json_begin_words(&s->w, "required");
        for (; need->key != NULL; need = next_need(need + 1, kind, 0))
            sw_json_word(&s->w, need->key);
        sw_json_end_words(&s->w);
    }
    need = next_need(needs, kind, 1); // no kind has two of them
    if (need->key != NULL)
        one_of_two(s, "anyOf", need->key, need->instead);
}

/* By the word of "kind": keys that have no use, keys that are needed. */
static void kind_rules(sw_schema *s, const sw_table *table, const sw_kind_key *keys,
                       const sw_kind_need *needs)
{
    const sw_key *kind = table->keys;
    while (strcmp(kind->name, "kind") != 0)
        kind++;
    for (const sw_word *word = kind->words; word->word != NULL; word++) {
        sw_json_open(&s->w, NULL, '{');
        if_word(s, "kind", word->word);
        sw_json_open(&s->w, "then", '{');
        refuse_strangers(s, keys, word->value);
        if (can_have_part(table))
            begin_without_part(s);
        require_needs(s, needs, word->value);
        if (can_have_part(table))
            sw_json_close(&s->w, '}');
        sw_json_close(&s->w, '}');
        sw_json_close(&s->w, '}');
    }
}

/* What was measured is an energy or a charge. */
static void measured_rule(sw_schema *s)
{
    sw_json_open(&s->w, NULL, '{');
    if_has(s, "energy_per_day");
    sw_json_raw(&s->w, "then", "{\"properties\": {\"charge_per_day\": false}}");
    sw_json_close(&s->w, '}');
}

static void load_rules(sw_schema *s)
{
    kind_rules(s, &sw_load_table, sw_load_kind_keys, sw_load_needs);
    measured_rule(s);
}

static void sky_rules(sw_schema *s)
{
    kind_rules(s, &sw_sky_table, sw_sky_kind_keys, sw_sky_needs);
}

static void leg_rules(sw_schema *s)
{
    sw_json_open(&s->w, NULL, '{');
    sw_json_open(&s->w, "oneOf", '[');
    for (int kind = 0; kind < SW_LEG_KINDS; kind++) {
        sw_json_open(&s->w, NULL, '{');
        sw_schema_require(s, sw_leg_kind_words[kind]);
        sw_json_close(&s->w, '}');
    }
    sw_json_close(&s->w, ']');
    sw_json_close(&s->w, '}');
    for (int kind = 0; kind < SW_LEG_KINDS; kind++) {
        sw_json_open(&s->w, NULL, '{');
        if_has(s, sw_leg_kind_words[kind]);
        sw_json_open(&s->w, "then", '{');
        refuse_strangers(s, sw_leg_kind_keys, kind);
        sw_json_close(&s->w, '}');
        sw_json_close(&s->w, '}');
    }
}

static void place_rules(sw_schema *s)
{
    sw_json_open(&s->w, NULL, '{');
    if_has(s, "station");
    sw_json_raw(&s->w, "then", "{\"properties\": {\"latitude\": false, \"longitude\": false}}");
    sw_json_raw(&s->w, "else", "{\"required\": [\"latitude\", \"longitude\", \"elevation\"]}");
    sw_json_close(&s->w, '}');
}

static void van_rules(sw_schema *s)
{
    sw_json_open(&s->w, NULL, '{');
    sw_json_raw(&s->w, "if",
                "{\"properties\": {\"arrays\": {\"minProperties\": 1}}, \"required\": [\"arrays\"]}");
    sw_json_raw(&s->w, "then", "{\"required\": [\"controller\"]}");
    sw_json_close(&s->w, '}');
}

static void part_rules(sw_schema *s)
{
    for (int i = 0; i < SW_PART_KINDS; i++) {
        sw_json_open(&s->w, NULL, '{');
        if_word(s, "kind", sw_part_kinds[i].word);
        sw_json_open(&s->w, "then", '{');
        sw_json_open(&s->w, "properties", '{');
        sw_json_open(&s->w, "is", '{');
        sw_schema_refer_table(s, sw_part_kinds[i].table);
        for (int level = 0; level < 4; level++)
            sw_json_close(&s->w, '}');
    }
}

static const struct {
    const sw_table *table;
    void (*write)(sw_schema *s);
} rules[] = {
    {&sw_van_table, van_rules},       {&sw_part_table, part_rules},   {&sw_load_table, load_rules},
    {&sw_habit_table, measured_rule}, {&sw_place_table, place_rules}, {&sw_leg_table, leg_rules},
    {&sw_sky_table, sky_rules},
};

void sw_schema_rules(sw_schema *s, const sw_table *table)
{
    if (sw_schema_is_of_part(s, table))
        return;
    needed(s, table);
    for (size_t i = 0; i < sizeof rules / sizeof rules[0]; i++) {
        if (rules[i].table != table)
            continue;
        sw_json_open(&s->w, "allOf", '[');
        rules[i].write(s);
        sw_json_close(&s->w, ']');
    }
}
