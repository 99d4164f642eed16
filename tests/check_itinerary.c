// Where the van is and what its clocks say: legs in UTC, days over changes of clock and zone, positions on
// the road against vector geometry of our own.
#include "support/checks.h"
#include "support/memory_loader.h"
#include "support/small_plan.h"

#include "stillwatt/civil.h"
#include "stillwatt/sphere.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

static int64_t utc(int year, int month, int day, int hour, int minute)
{
    return sw_days_from_civil(year, month, day) * 86400 + hour * 3600 + minute * 60;
}

typedef struct journey {
    sw_plan *plan;
    sw_itinerary *it;
} journey;

static journey travel_in(const char *legs, const char *zone_from, const char *zone_to)
{
    char *trip = trip_of_legs(legs), *changed = text_with(trip, zone_from, zone_to);
    journey out = {.plan = plan_of_trip(small_van, changed)};
    out.it = itinerary_of(out.plan);
    free(changed);
    free(trip);
    return out;
}

static journey travel(const char *legs)
{
    return travel_in(legs, "\"Road\"", "\"Road\"");
}

static void home(journey *j)
{
    sw_itinerary_free(j->it);
    sw_plan_free(j->plan);
}

/* ---- geometry of our own: unit vectors, chords and tangents in long double ---- */

typedef struct vector {
    long double x, y, z;
} vector;

static const long double degree = 0.01745329251994329576924L;

static vector unit(double lat, double lon)
{
    return (vector){cosl(lat * degree) * cosl(lon * degree), cosl(lat * degree) * sinl(lon * degree),
                    sinl(lat * degree)};
}

static long double dot(vector a, vector b)
{
    return a.x * b.x + a.y * b.y + a.z * b.z;
}

static long double chord(vector a, vector b)
{
    return sqrtl((a.x - b.x) * (a.x - b.x) + (a.y - b.y) * (a.y - b.y) + (a.z - b.z) * (a.z - b.z));
}

/* Mean radius 6371008.8 m: (2a + b)/3 of the GRS 80 ellipsoid, 6378137 and 6356752.3141 m. */
static long double distance_m(double lat1, double lon1, double lat2, double lon2)
{
    long double radius = (2 * 6378137.0L + 6356752.3141L) / 3;
    return radius * 2 * asinl(chord(unit(lat1, lon1), unit(lat2, lon2)) / 2);
}

/* The way from a to b, seen from a: its parts along the tangents to north and east. */
static long double bearing_deg(double lat1, double lon1, double lat2, double lon2)
{
    vector north = {-sinl(lat1 * degree) * cosl(lon1 * degree), -sinl(lat1 * degree) * sinl(lon1 * degree),
                    cosl(lat1 * degree)};
    vector east = {-sinl(lon1 * degree), cosl(lon1 * degree), 0}, to = unit(lat2, lon2);
    long double bearing = atan2l(dot(to, east), dot(to, north)) / degree;
    return bearing < 0 ? bearing + 360 : bearing;
}

static const double pairs[][4] = {{39.74, -104.98, 41.88, -87.63}, {41.88, -87.63, 40.71, -74.01},
                                  {-33.9, 18.4, -23.5, 133.9},     {64.1, -21.9, 64.2, 170.0},
                                  {10, 179.5, -10, -179.5},        {0, 0, 0, 1},
                                  {50.0000, 8.0, 50.0001, 8.0},    {38.5, -109.6, 38.4, -109.7}};

START_TEST(distances_and_bearings_match_vectors)
{
    for (size_t i = 0; i < sizeof pairs / sizeof pairs[0]; i++) {
        const double *p = pairs[i];
        double bearing, metres = sw_great_circle_m(p[0], p[1], p[2], p[3], &bearing);
        long double wanted = distance_m(p[0], p[1], p[2], p[3]);
        // The radius is stated to 0.1 m; double rounding of close points is far below a millimetre.
        ck_assert_double_eq_tol(metres, (double)wanted, 0.001 + 1e-8 * (double)wanted);
        // The chord between points 11 m apart keeps 9 digits.
        ck_assert_double_eq_tol(bearing, (double)bearing_deg(p[0], p[1], p[2], p[3]), 1e-6);
    }
}
END_TEST

#define OVERNIGHT                                                                                            \
    "{\"stay\": \"denver\", \"from\": \"2026-11-06 12:00\", \"to\": \"2026-11-06 14:00\"},"                  \
    "{\"drive\": [\"denver\", \"chicago\"], \"to\": \"2026-11-07 08:00\", \"idling\": \"20 %\"},"            \
    "{\"stay\": \"chicago\", \"heading\": \"90 deg\", \"to\": \"2026-11-08 10:00\"}"

START_TEST(legs_join_in_utc_on_the_clocks_of_their_ends)
{
    journey j = travel(OVERNIGHT);
    const sw_span *s = j.it->span;
    ck_assert_int_eq(j.it->spans, 3);
    ck_assert(s[0].start_s == utc(2026, 11, 6, 19, 0)); // Denver is 7 h behind
    ck_assert(s[0].end_s == utc(2026, 11, 6, 21, 0) && s[1].start_s == s[0].end_s);
    ck_assert(s[1].end_s == utc(2026, 11, 7, 14, 0) && s[2].start_s == s[1].end_s); // Chicago 6 h
    ck_assert(s[2].end_s == utc(2026, 11, 8, 16, 0));
    ck_assert(j.it->start_s == s[0].start_s && j.it->end_s == s[2].end_s);
    ck_assert_int_eq(j.it->zones, 5 - 1); // two places share one
    home(&j);
}
END_TEST

START_TEST(a_drive_has_the_speed_of_its_road_and_the_bearing_of_its_start)
{
    journey j = travel(OVERNIGHT);
    const sw_span *s = j.it->span;
    double direct = (double)distance_m(39.74, -104.98, 41.88, -87.63);
    // Without a distance the road is a quarter longer than the great circle; 17 h.
    ck_assert_double_eq_tol(s[1].speed_m_s, 1.25 * direct / (17 * 3600.0), 1e-6);
    ck_assert_double_eq_tol(s[1].bearing_deg, (double)bearing_deg(39.74, -104.98, 41.88, -87.63), 1e-6);
    ck_assert_double_eq_tol(s[1].idle_share, 0.2, 1e-15);
    ck_assert_double_eq(s[0].bearing_deg, 0);
    ck_assert_double_eq(s[2].bearing_deg, 90);
    home(&j);
    j = travel("{\"drive\": [\"denver\", \"chicago\"], \"from\": \"2026-11-06 12:00\", \"to\": \"2026-11-07 "
               "11:00\", \"distance\": \"1,000 mi\"}");
    ck_assert_double_eq_tol(j.it->span[0].speed_m_s, 1609344 / (22 * 3600.0), 1e-9);
    home(&j);
}
END_TEST

/* Spherical direct problem: so far from a point in a direction. */
static void check_on_the_way(const sw_position *at, double share)
{
    long double arc = 2 * asinl(chord(unit(39.74, -104.98), unit(41.88, -87.63)) / 2) * share;
    long double lat = 39.74L * degree, way = bearing_deg(39.74, -104.98, 41.88, -87.63) * degree;
    long double sine = sinl(lat) * cosl(arc) + cosl(lat) * sinl(arc) * cosl(way);
    long double across = atan2l(sinl(way) * sinl(arc) * cosl(lat), cosl(arc) - sinl(lat) * sine);
    ck_assert_double_eq_tol(at->lat_deg, (double)(asinl(sine) / degree), 1e-9);
    ck_assert_double_eq_tol(at->lon_deg, (double)(-104.98L + across / degree), 1e-9);
    ck_assert_double_eq_tol(at->elevation_m, 1600 + share * (180 - 1600), 1e-9);
}

START_TEST(on_the_road_the_van_is_on_the_great_circle)
{
    journey j = travel(OVERNIGHT);
    const sw_span *drive = &j.it->span[1];
    for (int i = 0; i < 17; i++) {
        sw_position at = sw_itinerary_at(j.it, drive->start_s + i * 3600);
        check_on_the_way(&at, i / 17.0);
        ck_assert_int_eq(at.span, 1);
        ck_assert_int_eq(at.stop, i < 8.5 ? drive->stop : drive->to_stop);
    }
    home(&j);
}
END_TEST

START_TEST(before_and_after_the_trip_the_van_is_at_its_ends)
{
    journey j = travel(OVERNIGHT);
    sw_position before = sw_itinerary_at(j.it, j.it->start_s - 5000),
                after = sw_itinerary_at(j.it, j.it->end_s);
    ck_assert_double_eq(before.lat_deg, 39.74);
    ck_assert_double_eq(before.elevation_m, 1600);
    ck_assert_int_eq(before.span, 0);
    ck_assert_double_eq(after.lon_deg, -87.63);
    ck_assert_int_eq(after.span, 2);
    home(&j);
}
END_TEST

START_TEST(the_clock_changes_on_arrival)
{
    journey j = travel(OVERNIGHT);
    int64_t arrival = j.it->span[1].end_s;
    ck_assert_int_eq(j.it->stretches, 2);
    ck_assert(sw_itinerary_local_s(j.it, arrival - 60) == utc(2026, 11, 7, 6, 59));
    ck_assert(sw_itinerary_local_s(j.it, arrival) == utc(2026, 11, 7, 8, 0));
    home(&j);
}
END_TEST

/* Days cover the trip without gap, with rising dates. */
static void check_days(const sw_itinerary *it)
{
    ck_assert(it->day[0].start_s == it->start_s && it->day[it->days - 1].end_s == it->end_s);
    for (int i = 0; i < it->days; i++) {
        ck_assert(it->day[i].end_s > it->day[i].start_s);
        ck_assert_int_eq(sw_itinerary_day(it, it->day[i].start_s), i);
        ck_assert_int_eq(sw_itinerary_day(it, it->day[i].end_s - 1), i);
        if (i > 0)
            ck_assert(it->day[i].start_s == it->day[i - 1].end_s && it->day[i].date > it->day[i - 1].date);
    }
}

static double hours_of(const sw_itinerary *it, int year, int month, int day)
{
    double hours = 0;
    for (int i = 0; i < it->days; i++)
        if (it->day[i].date == sw_days_from_civil(year, month, day))
            hours += (double)(it->day[i].end_s - it->day[i].start_s) / 3600;
    return hours;
}

START_TEST(days_of_a_clock_change_have_23_and_25_hours)
{
    journey j =
        travel("{\"stay\": \"denver\", \"from\": \"2026-03-06 12:00\", \"to\": \"2026-11-03 06:00\"}");
    check_days(j.it);
    ck_assert_double_eq(hours_of(j.it, 2026, 3, 6), 12);
    ck_assert_double_eq(hours_of(j.it, 2026, 3, 7), 24);
    ck_assert_double_eq(hours_of(j.it, 2026, 3, 8), 23);
    ck_assert_double_eq(hours_of(j.it, 2026, 7, 1), 24);
    ck_assert_double_eq(hours_of(j.it, 2026, 11, 1), 25);
    ck_assert_double_eq(hours_of(j.it, 2026, 11, 3), 6);
    ck_assert_int_eq(j.it->days, 25 + 30 + 31 + 30 + 31 + 31 + 30 + 31 + 3 + 1);
    home(&j);
}
END_TEST

START_TEST(a_day_of_an_eastward_drive_is_an_hour_shorter)
{
    journey j = travel(OVERNIGHT);
    check_days(j.it);
    ck_assert_int_eq(j.it->days, 3);
    ck_assert_double_eq(hours_of(j.it, 2026, 11, 6), 12);
    ck_assert_double_eq(hours_of(j.it, 2026, 11, 7), 23);
    ck_assert_double_eq(hours_of(j.it, 2026, 11, 8), 10);
    home(&j);
}
END_TEST

/* Midnight passes on the road; on arrival it is again before midnight of the day before. */
START_TEST(a_day_that_a_westward_drive_turns_back_goes_on)
{
    journey j = travel("{\"drive\": [\"new york\", \"chicago\"], \"from\": \"2026-11-06 10:00\", \"to\": "
                       "\"2026-11-06 23:40\"},"
                       "{\"stay\": \"chicago\", \"to\": \"2026-11-08 10:00\"}");
    check_days(j.it);
    ck_assert_int_eq(j.it->days, 3);
    ck_assert_double_eq(hours_of(j.it, 2026, 11, 6), 14);
    ck_assert_double_eq(hours_of(j.it, 2026, 11, 7), 25);
    ck_assert_double_eq(hours_of(j.it, 2026, 11, 8), 10);
    home(&j);
}
END_TEST

/* Until 2011 Newfoundland put its clocks back at 00:01, to 23:01 of the day before [tz database,
 * northamerica]. */
START_TEST(clocks_put_back_over_midnight_make_a_longer_day)
{
    journey j =
        travel("{\"stay\": \"st johns\", \"from\": \"2010-11-06 12:00\", \"to\": \"2010-11-08 12:00\"}");
    check_days(j.it);
    ck_assert_int_eq(j.it->days, 3);
    ck_assert_double_eq(hours_of(j.it, 2010, 11, 6), 12);
    ck_assert_double_eq(hours_of(j.it, 2010, 11, 7), 25);
    ck_assert_double_eq(hours_of(j.it, 2010, 11, 8), 12);
    home(&j);
}
END_TEST

/* Samoa left out 30 December 2011 [tz database, australasia]. */
START_TEST(a_date_that_a_zone_leaves_out_is_no_day)
{
    journey j =
        travel_in("{\"stay\": \"st johns\", \"from\": \"2011-12-29 12:00\", \"to\": \"2011-12-31 12:00\"}",
                  "America/St_Johns", "Pacific/Apia");
    check_days(j.it);
    ck_assert_int_eq(j.it->days, 2);
    ck_assert_double_eq(hours_of(j.it, 2011, 12, 29), 12);
    ck_assert_double_eq(hours_of(j.it, 2011, 12, 31), 12);
    home(&j);
}
END_TEST

START_TEST(a_local_time_that_comes_twice_is_the_first)
{
    journey j =
        travel("{\"stay\": \"denver\", \"from\": \"2026-11-01 01:30\", \"to\": \"2026-11-01 06:00\"}");
    ck_assert(j.it->start_s == utc(2026, 11, 1, 7, 30)); // still daylight saving, 6 h
    ck_assert(j.it->end_s == utc(2026, 11, 1, 13, 0));
    home(&j);
}
END_TEST

/* ---- what is found at places ---- */

START_TEST(a_station_gives_position_height_and_zone)
{
    char *trip =
        text_with(small_trip, "\"Grand Junction CO\"", "\"Grand Junction CO\", \"elevation\": \"1600 m\"");
    sw_plan *plan = plan_of_trip(small_van, trip);
    sw_itinerary *it = itinerary_of(plan);
    // Grand Junction, Colorado: 39.1 N, 108.5 W; from memory, to a tenth.
    ck_assert_double_eq_tol(it->stop[0].lat_deg, 39.1, 0.15);
    ck_assert_double_eq_tol(it->stop[0].lon_deg, -108.5, 0.15);
    ck_assert_str_eq(sw_zone_name(it->stop[0].zone), "America/Denver");
    ck_assert_double_eq(it->stop[0].elevation_m, 1600);
    ck_assert_ptr_nonnull(
        strstr(sw_stations_at(it->table, it->stop[0].climate.station[0])->name, "Grand Junction"));
    ck_assert_ptr_eq(it->stop[0].zone, it->stop[1].zone);
    sw_itinerary_free(it);
    sw_plan_free(plan);
    free(trip);
}
END_TEST

static sw_status try_trip(const char *legs, const char *from, const char *to, sw_messages *messages)
{
    char *trip = trip_of_legs(legs), *changed = text_with(trip, from, to);
    sw_plan *plan = plan_of_trip(small_van, changed);
    memory_file file[] = {{NULL, NULL}};
    memory_files files = {.file = file};
    sw_loader loader = memory_loader(&files);
    sw_itinerary *it = NULL;
    sw_status status = sw_itinerary_make(plan, &loader, 300, messages, &it);
    ck_assert_int_eq(status == SW_OK, it != NULL);
    sw_itinerary_free(it);
    sw_plan_free(plan);
    free(changed);
    free(trip);
    return status;
}

/* Mean daily energy above the air in 2001: the closed form of Duffie & Beckman, chapter 1, with the sun of
   the Astronomical Almanac's low-precision formulas (page C: 0.01 deg), at noon of 105 W. */
static double above_air_kwh_m2(double lat_deg, int month)
{
    const double pi = 3.14159265358979, rad = pi / 180, lat = lat_deg * rad;
    int days = sw_days_in_month(2001, month + 1);
    double sum = 0;
    for (int day = 1; day <= days; day++) {
        double since_2000 =
            (double)(sw_days_from_civil(2001, month + 1, day) - sw_days_from_civil(2000, 1, 1));
        double d = since_2000 - 0.5 + 19.0 / 24; // from noon of 1 January 2000
        double g = (357.529 + 0.98560028 * d) * rad;
        double longitude = (280.459 + 0.98564736 * d + 1.915 * sin(g) + 0.020 * sin(2 * g)) * rad;
        double away = 1.00014 - 0.01671 * cos(g) - 0.00014 * cos(2 * g);
        double decl = asin(sin(23.437 * rad) * sin(longitude)), set = acos(-tan(lat) * tan(decl));
        sum +=
            24 / pi * 1.3611 / (away * away) * (cos(lat) * cos(decl) * sin(set) + set * sin(lat) * sin(decl));
    }
    return sum / days;
}

START_TEST(own_means_give_the_clearness_of_the_place)
{
    journey j =
        travel("{\"stay\": \"denver\", \"from\": \"2026-11-06 12:00\", \"to\": \"2026-11-08 10:00\"}");
    const sw_stop *denver = &j.it->stop[0];
    ck_assert_int_eq(denver->climate.neighbours, 0);
    // The months are sampled to 0.1 %; the sun of 0.01 deg adds 0.05 % in winter.
    for (int month = 0; month < 12; month++) {
        double wanted = 2 / above_air_kwh_m2(39.74, month);
        ck_assert_double_eq_tol(denver->climate.month[month].kt_mean, wanted, 0.0015 * wanted);
    }
    home(&j);
}
END_TEST

START_TEST(more_sun_than_there_is_is_an_error_at_the_place)
{
    sw_messages *messages = sw_messages_create();
    char text[800];
    // 2 kWh/m2 a day in January at 60 N, where less than 1 kWh/m2 arrives above the air.
    ck_assert_int_eq(
        try_trip("{\"stay\": \"denver\", \"from\": \"2026-11-06 12:00\", \"to\": \"2026-11-08 10:00\"}",
                 "\"latitude\": 39.74", "\"latitude\": 60", messages),
        SW_BAD_INPUT);
    ck_assert_uint_eq(sw_messages_errors(messages), 1);
    sw_message_format(sw_messages_at(messages, 0), text, sizeof text);
    ck_assert_ptr_nonnull(
        strstr(text, ": /places/denver: in month 1 the daily sun of \"denver\", 2.0 kWh/m2"));
    sw_messages_free(messages);
}
END_TEST

START_TEST(a_wrong_leg_makes_no_other_wrong)
{
    sw_messages *messages = sw_messages_create();
    // The clocks skip the begin of the first leg.
    ck_assert_int_eq(
        try_trip("{\"stay\": \"denver\", \"from\": \"2026-03-08 02:30\", \"to\": \"2026-03-08 10:00\"},"
                 "{\"drive\": [\"denver\", \"salt lake\"], \"to\": \"2026-03-08 20:00\"},"
                 "{\"stay\": \"salt lake\", \"to\": \"2026-03-10 02:30\"}",
                 "\"Road\"", "\"Road\"", messages),
        SW_BAD_INPUT);
    if (sw_messages_errors(messages) != 1)
        print_messages(messages);
    ck_assert_uint_eq(sw_messages_errors(messages), 1);
    sw_messages_free(messages);
}
END_TEST

Suite *sw_suite(void)
{
    const TTest *const tests[] = {distances_and_bearings_match_vectors,
                                  legs_join_in_utc_on_the_clocks_of_their_ends,
                                  a_drive_has_the_speed_of_its_road_and_the_bearing_of_its_start,
                                  on_the_road_the_van_is_on_the_great_circle,
                                  before_and_after_the_trip_the_van_is_at_its_ends,
                                  the_clock_changes_on_arrival,
                                  days_of_a_clock_change_have_23_and_25_hours,
                                  a_day_of_an_eastward_drive_is_an_hour_shorter,
                                  a_day_that_a_westward_drive_turns_back_goes_on,
                                  clocks_put_back_over_midnight_make_a_longer_day,
                                  a_date_that_a_zone_leaves_out_is_no_day,
                                  a_local_time_that_comes_twice_is_the_first,
                                  a_station_gives_position_height_and_zone,
                                  own_means_give_the_clearness_of_the_place,
                                  more_sun_than_there_is_is_an_error_at_the_place,
                                  a_wrong_leg_makes_no_other_wrong,
                                  NULL};
    return sw_suite_of("itinerary", tests, 20);
}
