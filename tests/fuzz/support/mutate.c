#include "fuzz/support/mutate.h"

#include "files/keys.h"
#include "fuzz/support/make_files.h"

#include <ctype.h>
#include <stdlib.h>
#include <string.h>

typedef struct mutant {
    uint8_t *data;
    size_t size, room;
    uint64_t random;
} mutant;

// xorshift64*, by Vigna: small, and the same everywhere.
static size_t below(mutant *m, size_t count)
{
    m->random ^= m->random >> 12;
    m->random ^= m->random << 25;
    m->random ^= m->random >> 27;
    return count > 0 ? (size_t)(m->random * UINT64_C(2685821657736338717) >> 33) % count : 0;
}

/* Puts a piece in the place of `old` bytes; nothing where it does not fit. */
static void replace(mutant *m, size_t at, size_t old, const void *piece, size_t size)
{
    if (at + old > m->size || m->size - old + size > m->room)
        return;
    memmove(m->data + at + size, m->data + at + old, m->size - at - old);
    memcpy(m->data + at, piece, size);
    m->size += size - old;
}

// ---- bytes ----

static void flip_bit(mutant *m)
{
    size_t at = below(m, m->size);
    if (m->size > 0)
        m->data[at] ^= (uint8_t)(1u << below(m, 8));
}

static void set_byte(mutant *m)
{
    static const uint8_t bytes[] = {0,   '\n', '\r', '"',  '\\', ',',  '-',
                                    '{', '}',  '[',  0x7F, 0x80, 0xC2, 0xFF};
    size_t at = below(m, m->size);
    if (m->size > 0)
        m->data[at] = bytes[below(m, sizeof bytes)];
}

static void cut_end(mutant *m)
{
    m->size -= below(m, m->size + 1);
}

static void cut_out(mutant *m)
{
    size_t at = below(m, m->size), length = below(m, 40);
    replace(m, at, length < m->size - at ? length : m->size - at, "", 0);
}

/* A piece of the data once more, somewhere else or several times in a row. */
static void copy_piece(mutant *m)
{
    uint8_t piece[256];
    size_t from = below(m, m->size), length = below(m, sizeof piece), times = 1;
    if (below(m, 2) == 1)
        times += below(m, 60);
    if (length > m->size - from)
        length = m->size - from;
    memcpy(piece, m->data + from, length);
    size_t at = below(m, m->size + 1);
    for (size_t i = 0; i < times; i++)
        replace(m, at, 0, piece, length);
}

// ---- text ----

static size_t word_length(const mutant *m, size_t at, int (*belongs)(int))
{
    size_t end = at;
    while (end < m->size && belongs(m->data[end]))
        end++;
    return end - at;
}

static int is_number(int byte)
{
    return isdigit(byte) || byte == '.' || byte == '-';
}

static int is_name(int byte)
{
    return isalpha(byte) || byte == '_';
}

/* The first byte from a random place on that belongs to such a word; the size if there is none. */
static size_t find_word(mutant *m, int (*belongs)(int))
{
    size_t at = below(m, m->size);
    while (at < m->size && !belongs(m->data[at]))
        at++;
    return at;
}

static void extreme_number(mutant *m)
{
    static const char *const numbers[] = {
        "0",       "-1",         "1e308",      "-1e-308",    "1e999",  "99999999999999999999",
        "0.00001", "2147483648", "-32769",     "1.",         "00",     "1,000",
        "24",      "60",         "9999-12-31", "2024-02-29", "24:00",  "12:60",
        "90",      "-180",       "12",         "4294967296", "0.9999", "1000000"};
    size_t at = find_word(m, is_number);
    const char *number = numbers[below(m, sizeof numbers / sizeof numbers[0])];
    replace(m, at, word_length(m, at, is_number), number, strlen(number));
}

static void other_word(mutant *m)
{
    uint8_t word[32];
    size_t from = find_word(m, is_name), length = word_length(m, from, is_name);
    if (length > sizeof word)
        length = sizeof word;
    if (from >= m->size)
        return;
    memcpy(word, m->data + from, length);
    size_t at = find_word(m, is_name);
    replace(m, at, word_length(m, at, is_name), word, length);
}

static const sw_table *const tables[] = {
    &sw_van_table,   &sw_vehicle_table,  &sw_battery_table, &sw_array_table, &sw_controller_table,
    &sw_shore_table, &sw_inverter_table, &sw_load_table,    &sw_trip_table,  &sw_alternator_table,
    &sw_place_table, &sw_normals_table,  &sw_leg_table,     &sw_sky_table,   &sw_hookup_table,
    &sw_told_table,  &sw_part_table};
enum { TABLES = sizeof tables / sizeof tables[0] };

static int has_key(const sw_table *table, const uint8_t *name, size_t length)
{
    for (size_t i = 0; i < table->count; i++)
        if (strlen(table->keys[i].name) == length && memcmp(table->keys[i].name, name, length) == 0)
            return 1;
    return 0;
}

/* A place in front of some key of the text, and a table that this key may belong to; NULL if none is found.
 */
static const sw_table *find_object(mutant *m, size_t *at)
{
    size_t name = find_word(m, is_name), length = word_length(m, name, is_name);
    if (name == 0 || m->data[name - 1] != '"')
        return NULL;
    *at = name - 1;
    for (size_t i = 0, first = below(m, TABLES); i < TABLES; i++)
        if (has_key(tables[(first + i) % TABLES], m->data + name, length))
            return tables[(first + i) % TABLES];
    return NULL;
}

/* A limit of a key, or a little inside or outside of it; its example where it has no limits. */
static void put_limit(mutant *m, const sw_key *key, fuzz_record *out)
{
    static const double shares[] = {-0.5, -0.001, 0, 0.001, 0.999, 1, 1.001, 1.5};
    double value = key->least + (key->most - key->least) * shares[below(m, sizeof shares / sizeof shares[0])];
    if (key->kind == SW_KEY_QUANTITY)
        fuzz_put_quantity(key->dimension, value, out);
    else if (key->kind == SW_KEY_NUMBER || key->kind == SW_KEY_COUNT)
        fuzz_note(out, "%.*f", key->kind == SW_KEY_COUNT ? 0 : 4, value);
    else
        fuzz_note(out, "%s", key->example);
}

/* A key into an object in which it may stand. */
static void put_key_in(mutant *m)
{
    size_t at = 0;
    const sw_table *table = find_object(m, &at);
    if (table == NULL)
        return;
    const sw_key *key = &table->keys[below(m, table->count)];
    fuzz_record text = {NULL, 0, 0};
    fuzz_note(&text, "\"%s\": ", key->name);
    if (below(m, 2) == 0)
        fuzz_note(&text, "%s", key->example);
    else
        put_limit(m, key, &text);
    fuzz_note(&text, ", ");
    replace(m, at, 0, text.text, text.length);
    free(text.text);
}

size_t fuzz_mutate(uint8_t *data, size_t size, size_t room, unsigned long seed)
{
    static void (*const steps[])(mutant *) = {flip_bit,       set_byte,   cut_end,    cut_out,
                                              copy_piece,     copy_piece, other_word, extreme_number,
                                              extreme_number, put_key_in, put_key_in};
    mutant m = {data, size, room, (uint64_t)seed * UINT64_C(6364136223846793005) + 1442695040888963407};
    for (size_t i = 0, count = 1 + below(&m, 4); i < count; i++)
        steps[below(&m, sizeof steps / sizeof steps[0])](&m);
    return m.size;
}
