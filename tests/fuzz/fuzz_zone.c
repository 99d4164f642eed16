// Any bytes as TZif data; where they are a zone, its clocks and its moments must agree both ways.
#include "fuzz/support/said.h"

#include "stillwatt/zone.h"

#include <string.h>

enum { MOMENTS = 24 };

static void check_moment(const sw_zone *zone, int64_t utc_s, fuzz_record *record)
{
    int32_t offset = sw_zone_offset_s(zone, utc_s);
    const char *abbreviation = sw_zone_abbreviation(zone, utc_s);
    FUZZ_ASSERT(offset >= -89999 && offset <= 93599, "an offset of %d s",
                (int)offset); // RFC 8536 section 3.2
    FUZZ_ASSERT(abbreviation != NULL && strlen(abbreviation) <= 65536, "no abbreviation");
    fuzz_note(record, "%lld %d %s\n", (long long)utc_s, (int)offset, abbreviation);
}

// A clock time that is shown at some moment is neither skipped nor found later than that moment.
static void check_shown(const sw_zone *zone, int64_t utc_s)
{
    int64_t local = utc_s + sw_zone_offset_s(zone, utc_s), found = 0;
    sw_local_kind kind = sw_zone_to_utc(zone, local, &found);
    FUZZ_ASSERT(kind == SW_LOCAL_ONCE || kind == SW_LOCAL_TWICE, "the clock shows %lld and skips it",
                (long long)local);
    FUZZ_ASSERT(found + sw_zone_offset_s(zone, found) == local, "the clock does not show %lld at %lld",
                (long long)local, (long long)found);
    FUZZ_ASSERT(found == utc_s || (kind == SW_LOCAL_TWICE && found < utc_s),
                "%lld is shown at %lld, but found at %lld", (long long)local, (long long)utc_s,
                (long long)found);
}

static void check_local(const sw_zone *zone, int64_t local, fuzz_record *record)
{
    int64_t utc_s = 0;
    sw_local_kind kind = sw_zone_to_utc(zone, local, &utc_s);
    fuzz_note(record, "%lld %d %lld\n", (long long)local, (int)kind, (long long)utc_s);
    int64_t shown = utc_s + sw_zone_offset_s(zone, utc_s);
    FUZZ_ASSERT(kind == SW_LOCAL_GAP || shown == local, "%lld is found where the clock shows %lld",
                (long long)local, (long long)shown);
    if (kind != SW_LOCAL_GAP)
        return;
    int64_t before = utc_s - 1 + sw_zone_offset_s(zone, utc_s - 1);
    FUZZ_ASSERT(shown > local && before < local, "%lld lies in no gap between %lld and %lld",
                (long long)local, (long long)before, (long long)shown);
}

// Moments of a trip's years, and of all years that sixty bits hold, where only sums must not overflow.
static void check_clocks(const sw_zone *zone, fuzz_input moments, fuzz_record *record)
{
    static const int64_t far[] = {INT64_MIN, INT64_MIN / 16, INT64_MAX / 16, INT64_MAX};
    int64_t utc_s;
    for (size_t i = 0; i < sizeof far / sizeof far[0]; i++) {
        check_moment(zone, far[i], record);
        (void)sw_zone_to_utc(zone, far[i], &utc_s);
    }
    for (int i = 0; i < MOMENTS; i++) {
        int64_t moment = INT64_C(1767225600) + i * INT64_C(1314871); // 2026, every fifteen days and a bit
        if (i % 2 == 1)
            moment = fuzz_integer(&moments) % INT64_C(8000000000);
        check_moment(zone, moment, record);
        check_shown(zone, moment);
        check_local(zone, moment, record);
    }
}

static fuzz_record read_once(const uint8_t *bytes, size_t length, fuzz_input moments)
{
    static const sw_status statuses[] = {SW_BAD_INPUT, SW_NO_MEMORY, SW_OK};
    sw_messages *messages = sw_messages_create();
    sw_zone *zone = NULL;
    fuzz_record record = {NULL, 0, 0};
    sw_status status = sw_zone_read(bytes, length, "Made/Up", messages, &zone);
    fuzz_check_said(messages, status, statuses, NULL, 0, &record);
    FUZZ_ASSERT((zone != NULL) == (status == SW_OK), "status %d, but %s zone", (int)status,
                zone != NULL ? "a" : "no");
    if (zone != NULL) {
        FUZZ_ASSERT(strcmp(sw_zone_name(zone), "Made/Up") == 0, "the zone has lost its name");
        check_clocks(zone, moments, &record);
    }
    sw_zone_free(zone);
    sw_messages_free(messages);
    return record;
}

// The moments to ask for are the end of the data once more: the last changes and the footer's letters.
int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size)
{
    size_t asked = size < 8 * (MOMENTS / 2) ? size : 8 * (MOMENTS / 2);
    fuzz_input moments = {data + (size - asked), asked};
    fuzz_record first = read_once(data, size, moments), second = read_once(data, size, moments);
    fuzz_same(&first, &second);
    return 0;
}
