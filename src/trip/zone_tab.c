// Zones suggested for a place: those whose principal town in zone.tab (ISO 6709 positions) is nearest.
#include "stillwatt/zone.h"

#include <math.h>
#include <string.h>

#define NAME_SIZE 40

typedef struct place {
    double lat_deg, lon_deg;
} place;

static double radians(double degrees)
{
    return degrees * (3.14159265358979323846 / 180.0);
}

/* Squared chord of the unit sphere: grows with distance, needs no care near 0 or 180 degrees. */
static double apart(place a, place b)
{
    double up = sin(radians(a.lat_deg - b.lat_deg) / 2), round = sin(radians(a.lon_deg - b.lon_deg) / 2);
    return up * up + cos(radians(a.lat_deg)) * cos(radians(b.lat_deg)) * round * round;
}

/* +DDMM, +DDDMM, +DDMMSS or +DDDMMSS. @return the text after it, NULL if it is none of them */
static const char *read_angle(const char *at, const char *end, int degree_digits, double *out)
{
    if (at == NULL || at == end || (*at != '+' && *at != '-'))
        return NULL;
    double sign = *at++ == '-' ? -1 : 1;
    int digits = 0, part[3] = {0, 0, 0};
    for (; at < end && *at >= '0' && *at <= '9' && digits < degree_digits + 4; at++, digits++) {
        int which = digits < degree_digits ? 0 : (digits - degree_digits) / 2 + 1;
        part[which] = part[which] * 10 + (*at - '0');
    }
    if (digits != degree_digits + 2 && digits != degree_digits + 4)
        return NULL;
    *out = sign * (part[0] + part[1] / 60.0 + part[2] / 3600.0);
    return at;
}

/* Names of zones are of ASCII letters, digits and a few signs. */
static int is_of_a_name(char c)
{
    return c > ' ' && c < 0x7F;
}

/* One line: country code, position, zone, comments; tabs between. @return 0 for a comment or a line of
 * another form */
static int read_line(const char *at, const char *end, place *position, char name[NAME_SIZE])
{
    const char *tab = *at == '#' ? NULL : memchr(at, '\t', (size_t)(end - at));
    const char *lon = tab != NULL ? read_angle(tab + 1, end, 2, &position->lat_deg) : NULL;
    const char *stop = read_angle(lon, end, 3, &position->lon_deg);
    if (stop == NULL || stop == end || *stop != '\t')
        return 0;
    size_t length = 0;
    const char *c = stop + 1;
    for (; c < end && is_of_a_name(*c); c++)
        length++;
    if (length == 0 || length >= NAME_SIZE || (c < end && *c != '\t' && *c != '\r'))
        return 0;
    memcpy(name, stop + 1, length);
    name[length] = '\0';
    return 1;
}

/* Keeps the nearest `room` in order. @return how many there are now */
static int insert(double key, const char *name, double *keys, char (*names)[NAME_SIZE], int count, int room)
{
    int at = count;
    while (at > 0 && keys[at - 1] > key)
        at--;
    if (at >= room)
        return count;
    count += count < room;
    for (int i = count - 1; i > at; i--) {
        keys[i] = keys[i - 1];
        memcpy(names[i], names[i - 1], NAME_SIZE);
    }
    keys[at] = key;
    memcpy(names[at], name, NAME_SIZE);
    return count;
}

int sw_zone_suggest(const char *zone_tab, size_t length, double lat_deg, double lon_deg, char (*names)[40],
                    int room)
{
    enum { KEPT = 16 };
    double keys[KEPT];
    place here = {lat_deg, lon_deg}, there;
    char name[NAME_SIZE] = "";
    int count = 0;
    room = room > KEPT ? KEPT : room;
    const char *end = zone_tab + length;
    for (const char *at = zone_tab, *stop; at < end; at = stop + 1) {
        stop = memchr(at, '\n', (size_t)(end - at));
        stop = stop != NULL ? stop : end;
        if (stop > at && read_line(at, stop, &there, name))
            count = insert(apart(here, there), name, keys, names, count, room);
        if (stop == end)
            break;
    }
    return count;
}
