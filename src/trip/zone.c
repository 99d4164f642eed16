// Time zones from TZif data (RFC 8536): clocks at any moment, and moments of a local clock.
#include "stillwatt/zone.h"
#include "trip/zone_rule.h"

#include <stdlib.h>
#include <string.h>

#define HEADER_BYTES 44
#define OFFSET_LOW   (-89999) /* RFC 8536 section 3.2: -25 h to 26 h, both not reached */
#define OFFSET_HIGH  93599
#define MOMENT_LIMIT (INT64_C(1) << 60)

typedef struct clock_type {
    int32_t offset_s;
    const char *abbreviation; /* inside zone->abbreviations */
} clock_type;

struct sw_zone {
    char *name;
    uint32_t changes, types;
    int64_t *change_s; /* ascending */
    unsigned char *to; /* type from each change on */
    clock_type *type;
    char *abbreviations;
    int has_rule;
    sw_zone_rule rule;
};

/* A stretch of time with one clock. */
typedef struct clock_span {
    int32_t offset_s;
    const char *abbreviation;
    int64_t begin_s, end_s; /* UTC, end not included; the ends of int64 where nothing changes */
} clock_span;

/* One data block: counts of its header and where its parts begin. */
typedef struct block {
    uint32_t ut, standard, leaps, changes, types, letters;
    size_t wide; /* bytes of a moment: 4 in the first block, 8 in the second */
    const unsigned char *change_s, *to, *type, *abbreviations, *end;
} block;

static uint32_t big_endian_32(const unsigned char *at)
{
    return (uint32_t)at[0] << 24 | (uint32_t)at[1] << 16 | (uint32_t)at[2] << 8 | at[3];
}

static int64_t signed_32(const unsigned char *at)
{
    uint32_t value = big_endian_32(at);
    return value < UINT32_C(0x80000000) ? (int64_t)value : (int64_t)value - (INT64_C(1) << 32);
}

static int64_t read_moment(const unsigned char *at, size_t wide)
{
    return wide == 4 ? signed_32(at) : signed_32(at) * (INT64_C(1) << 32) + big_endian_32(at + 4);
}

/* Reads a header and lays its block out. @return what is wrong, NULL if nothing */
static const char *read_block(const unsigned char *at, const unsigned char *end, size_t wide, block *out)
{
    if (end - at < HEADER_BYTES || memcmp(at, "TZif", 4) != 0)
        return "it does not begin with the letters TZif and a header of 44 bytes";
    out->ut = big_endian_32(at + 20);
    out->standard = big_endian_32(at + 24);
    out->leaps = big_endian_32(at + 28);
    out->changes = big_endian_32(at + 32);
    out->types = big_endian_32(at + 36);
    out->letters = big_endian_32(at + 40);
    out->wide = wide;
    out->change_s = at + HEADER_BYTES;
    uint64_t left = (uint64_t)(end - out->change_s);
    uint64_t moments = (uint64_t)out->changes * wide,
             rest = (uint64_t)out->leaps * (wide + 4) + out->standard + out->ut;
    if (moments + out->changes + (uint64_t)out->types * 6 + out->letters + rest > left)
        return "it ends too early";
    out->to = out->change_s + moments;
    out->type = out->to + out->changes;
    out->abbreviations = out->type + (size_t)out->types * 6;
    out->end = out->abbreviations + out->letters + rest;
    return NULL;
}

static const char *read_types(const block *from, sw_zone *zone)
{
    if (from->types < 1 || from->types > 256 || from->letters < 1 || from->letters > 65536)
        return "it has no clocks, or too many";
    zone->type = calloc(from->types, sizeof *zone->type);
    zone->abbreviations = malloc((size_t)from->letters + 1);
    if (zone->type == NULL || zone->abbreviations == NULL)
        return "";
    zone->types = from->types;
    memcpy(zone->abbreviations, from->abbreviations, from->letters);
    zone->abbreviations[from->letters] = '\0';
    for (uint32_t i = 0; i < from->types; i++) {
        const unsigned char *at = from->type + (size_t)i * 6;
        int64_t offset = signed_32(at);
        if (offset < OFFSET_LOW || offset > OFFSET_HIGH || at[4] > 1 || at[5] >= from->letters)
            return "one of its clocks is impossible";
        zone->type[i] = (clock_type){(int32_t)offset, zone->abbreviations + at[5]};
    }
    return NULL;
}

static const char *read_changes(const block *from, sw_zone *zone)
{
    if (from->leaps > 0)
        return "it counts leap seconds (a zone of the folder \"right\")";
    zone->change_s = malloc(((size_t)from->changes + 1) * sizeof *zone->change_s);
    zone->to = malloc((size_t)from->changes + 1);
    if (zone->change_s == NULL || zone->to == NULL)
        return "";
    zone->changes = from->changes;
    for (uint32_t i = 0; i < from->changes; i++) {
        zone->change_s[i] = read_moment(from->change_s + i * from->wide, from->wide);
        zone->to[i] = from->to[i];
        if (zone->to[i] >= zone->types || (i > 0 && zone->change_s[i] <= zone->change_s[i - 1]))
            return "its changes are out of order or lead to no clock";
    }
    return NULL;
}

static const char *read_footer(const unsigned char *at, const unsigned char *end, sw_zone *zone)
{
    const unsigned char *stop = at < end && *at == '\n' ? memchr(at + 1, '\n', (size_t)(end - at - 1)) : NULL;
    if (stop == NULL)
        return "it has no footer between two line ends";
    zone->has_rule = stop > at + 1;
    if (zone->has_rule && !sw_zone_rule_read((const char *)at + 1, (size_t)(stop - at - 1), &zone->rule))
        return "the rule in its footer cannot be read";
    return NULL;
}

/* @return what is wrong, "" without memory, NULL if nothing */
static const char *read_data(const unsigned char *bytes, size_t length, sw_zone *zone)
{
    const unsigned char *end = bytes + length;
    block first, second;
    const char *wrong = read_block(bytes, end, 4, &first);
    if (wrong != NULL)
        return wrong;
    int version = bytes[4];
    if (version != '\0' && (version < '2' || version > '4'))
        return "its version is not 1 to 4";
    const block *used = &first;
    if (version != '\0') {
        wrong = read_block(first.end, end, 8, &second);
        used = &second;
    }
    wrong = wrong != NULL ? wrong : read_types(used, zone);
    wrong = wrong != NULL ? wrong : read_changes(used, zone);
    if (wrong == NULL && version != '\0')
        wrong = read_footer(second.end, end, zone);
    return wrong;
}

sw_status sw_zone_read(const unsigned char *bytes, size_t length, const char *name, sw_messages *messages,
                       sw_zone **out)
{
    sw_zone *zone = calloc(1, sizeof *zone);
    *out = NULL;
    if (zone == NULL)
        return SW_NO_MEMORY;
    zone->name = strdup(name);
    const char *wrong = zone->name != NULL ? read_data(bytes, length, zone) : "";
    if (wrong == NULL) {
        *out = zone;
        return SW_OK;
    }
    sw_zone_free(zone);
    sw_where where = {name, 0, 0, NULL};
    return *wrong == '\0' ? SW_NO_MEMORY
                          : sw_error(messages, SW_BAD_INPUT, &where, "install the tzdata package anew",
                                     "the time zone's data cannot be used: %s", wrong);
}

void sw_zone_free(sw_zone *zone)
{
    if (zone == NULL)
        return;
    free(zone->name);
    free(zone->change_s);
    free(zone->to);
    free(zone->type);
    free(zone->abbreviations);
    free(zone);
}

const char *sw_zone_name(const sw_zone *zone)
{
    return zone->name;
}

/* How many changes are not after the moment. */
static uint32_t changes_until(const sw_zone *zone, int64_t utc_s)
{
    uint32_t low = 0, high = zone->changes;
    while (low < high) {
        uint32_t middle = low + (high - low) / 2;
        if (zone->change_s[middle] <= utc_s)
            low = middle + 1;
        else
            high = middle;
    }
    return low;
}

/* Before the first change the first clock is in force; after the last, the footer's rule if there is one. */
static clock_span span_at(const sw_zone *zone, int64_t utc_s)
{
    uint32_t done = changes_until(zone, utc_s);
    int64_t begin = done > 0 ? zone->change_s[done - 1] : INT64_MIN;
    if (done == zone->changes && zone->has_rule) {
        sw_rule_span span = sw_zone_rule_at(&zone->rule, utc_s);
        return (clock_span){zone->rule.offset_s[span.saving], zone->rule.abbreviation[span.saving],
                            span.begin_s > begin ? span.begin_s : begin, span.end_s};
    }
    const clock_type *type = &zone->type[done > 0 ? zone->to[done - 1] : 0];
    return (clock_span){type->offset_s, type->abbreviation, begin,
                        done < zone->changes ? zone->change_s[done] : INT64_MAX};
}

static int64_t within_limit(int64_t moment)
{
    return moment > MOMENT_LIMIT ? MOMENT_LIMIT : moment < -MOMENT_LIMIT ? -MOMENT_LIMIT : moment;
}

int32_t sw_zone_offset_s(const sw_zone *zone, int64_t utc_s)
{
    return span_at(zone, within_limit(utc_s)).offset_s;
}

const char *sw_zone_abbreviation(const sw_zone *zone, int64_t utc_s)
{
    return span_at(zone, within_limit(utc_s)).abbreviation;
}

sw_local_kind sw_zone_to_utc(const sw_zone *zone, int64_t local_s, int64_t *utc_s)
{
    int64_t local = within_limit(local_s), last = local - OFFSET_LOW, gap_end = local;
    int found = 0;
    clock_span span = span_at(zone, local - OFFSET_HIGH);
    for (;;) {
        int64_t candidate = local - span.offset_s;
        if (candidate >= span.begin_s && candidate < span.end_s && found++ == 0)
            *utc_s = candidate;
        if (span.end_s > last)
            break;
        clock_span next = span_at(zone, span.end_s);
        if (span.end_s <= candidate && span.end_s > local - next.offset_s)
            gap_end = span.end_s;
        span = next;
    }
    if (found == 0)
        *utc_s = gap_end;
    return found == 0 ? SW_LOCAL_GAP : found == 1 ? SW_LOCAL_ONCE : SW_LOCAL_TWICE;
}
