// Any text as zone.tab: what is suggested stands in the text, nearest first, and nothing else is written.
#include "fuzz/support/fuzz.h"

#include "stillwatt/zone.h"

#include <string.h>

enum { ROOM = 20, MOST = 16 };

static void check_name(const char *name, const fuzz_text *text)
{
    size_t length = strnlen(name, 40);
    FUZZ_ASSERT(length > 0 && length < 40, "a name of %zu bytes", length);
    for (size_t i = 0; i + length <= text->length; i++)
        if (memcmp(text->bytes + i, name, length) == 0)
            return;
    FUZZ_ASSERT(0, "%s does not stand in the text", name);
}

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size)
{
    fuzz_input input = {data, size};
    double lat_deg = fuzz_between(&input, -90, 90), lon_deg = fuzz_between(&input, -180, 180);
    int room = (int)fuzz_choose(&input, ROOM + 1);
    fuzz_text text = fuzz_text_of((const char *)input.at, input.left);
    char names[ROOM + 1][40], all[ROOM + 1][40];
    memset(names, 0x5A, sizeof names);
    memset(all, 0x5A, sizeof all);
    int count = sw_zone_suggest(text.bytes, text.length, lat_deg, lon_deg, names, room);
    int most = sw_zone_suggest(text.bytes, text.length, lat_deg, lon_deg, all, ROOM);
    FUZZ_ASSERT(count >= 0 && count <= room && most >= 0 && most <= MOST, "%d of %d, %d of %d", count, room,
                most, ROOM);
    FUZZ_ASSERT(count == (room < most ? room : most), "%d are suggested in room for %d, %d in all", count,
                room, most);
    for (int i = 0; i < count; i++) {
        check_name(names[i], &text);
        FUZZ_ASSERT(strcmp(names[i], all[i]) == 0, "%s is nearest with less room, %s with more", names[i],
                    all[i]);
    }
    for (size_t i = 0; i < sizeof names[0]; i++)
        FUZZ_ASSERT(names[count][i] == 0x5A, "more is written than counted");
    fuzz_text_free(&text);
    return 0;
}
