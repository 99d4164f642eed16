/// Local clocks: time zones read from TZif data (RFC 8536, its footer rule included).
/// Never asks the process for its zone.
#ifndef STILLWATT_ZONE_H
#define STILLWATT_ZONE_H

#include "stillwatt/civil.h"
#include "stillwatt/message.h"

#include <stdint.h>

typedef struct sw_zone sw_zone;

/// @param bytes the TZif file's content, copied; @param name as in "America/Denver"
/// Versions 1 to 4; of versions 2+ the 64-bit block and footer are used. Malformed data is SW_BAD_INPUT, and
/// so are the zones that count leap seconds. On failure `*out` is NULL.
sw_status sw_zone_read(const unsigned char *bytes, size_t length, const char *name, sw_messages *messages,
                       sw_zone **out);
/// Releases a zone; NULL is allowed.
void sw_zone_free(sw_zone *zone);
/// Its IANA name; owned by the zone.
const char *sw_zone_name(const sw_zone *zone);

/// Seconds east of UTC in force at a moment.
int32_t sw_zone_offset_s(const sw_zone *zone, int64_t utc_s);
/// Abbreviation in force, such as MST; owned by the zone.
const char *sw_zone_abbreviation(const sw_zone *zone, int64_t utc_s);

typedef enum sw_local_kind { SW_LOCAL_ONCE, SW_LOCAL_GAP, SW_LOCAL_TWICE } sw_local_kind;

/// UTC of a local clock time (given as if it were UTC seconds, "local seconds").
/// GAP: the clock skips it; `utc_s` is the first valid moment after the gap. TWICE: the first of the two.
sw_local_kind sw_zone_to_utc(const sw_zone *zone, int64_t local_s, int64_t *utc_s);

/// Suggests zones for a place from the text of zone.tab (ISO 6709 positions): the nearest ones, nearest
/// first.
/// @return how many were written to `names` (each at most 39 characters), at most `room` and 16
int sw_zone_suggest(const char *zone_tab, size_t length, double lat_deg, double lon_deg, char (*names)[40],
                    int room);

#endif
