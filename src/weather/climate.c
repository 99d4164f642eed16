// What the nearest stations say about a place: weighted clearness, shares, and temperatures moved to its
// height.
#include "weather/climate.h"

#include "stillwatt/sphere.h"
#include "stillwatt/stations.h"
#include "stillwatt/sun.h"

#include <math.h>
#include <string.h>

#define PI                 3.14159265358979323846
#define REACH_KM           300.0
#define KM_PER_M_OF_HEIGHT 0.2
#define HERE_KM            0.1 /* distances are not told apart below this */
#define OWN_KM             5.0 /* nearer than this a station speaks for itself */
#define YEAR_DAYS          365
#define LAPSE_C_PER_M      0.0065
#define NO_STATION         (-1)
#define JANUARY_2001       INT64_C(11323) /* days from 1970: a common year stands for all */

typedef struct place {
    double lat_deg, lon_deg, elevation_m;
} place;

typedef struct neighbours {
    int count, index[SW_NEIGHBOURS];
    double apart_km[SW_NEIGHBOURS]; /* height included */
    double flat_km[SW_NEIGHBOURS];
    int nearest; /* of all, even beyond reach */
    double nearest_km;
} neighbours;

static void insert(neighbours *near, int index, double apart_km, double flat_km)
{
    int at = near->count;
    while (at > 0 && near->apart_km[at - 1] > apart_km)
        at--;
    if (at == SW_NEIGHBOURS)
        return;
    near->count += near->count < SW_NEIGHBOURS;
    for (int i = near->count - 1; i > at; i--) {
        near->index[i] = near->index[i - 1];
        near->apart_km[i] = near->apart_km[i - 1];
        near->flat_km[i] = near->flat_km[i - 1];
    }
    near->index[at] = index;
    near->apart_km[at] = apart_km;
    near->flat_km[at] = flat_km;
}

static void find_neighbours(const sw_station_table *table, const place *at, int left_out, neighbours *near)
{
    memset(near, 0, sizeof *near);
    near->nearest_km = INFINITY;
    for (int i = 0; i < sw_stations_count(table); i++) {
        const sw_station *station = sw_stations_at(table, i);
        double flat =
            sw_great_circle_m(at->lat_deg, at->lon_deg, station->lat_deg, station->lon_deg, NULL) / 1000.0;
        if (flat < near->nearest_km) {
            near->nearest_km = flat;
            near->nearest = i;
        }
        if (flat <= REACH_KM && i != left_out)
            insert(near, i, hypot(flat, (at->elevation_m - station->elevation_m) * KM_PER_M_OF_HEIGHT), flat);
    }
}

/* The sun's clock at the noons of a year: of one meridian, which serves its neighbours as well. */
static void noons_of(double lon_deg, sw_sun_clock noon[YEAR_DAYS])
{
    for (int day = 0; day < YEAR_DAYS; day++)
        (void)sw_sun_clock_at((JANUARY_2001 + day) * 86400 + 43200 - llround(lon_deg * 240), &noon[day]);
}

/* Mean daily extraterrestrial energy of each month. */
static void extraterrestrial_kwh_m2(const sw_sun_clock noon[YEAR_DAYS], double lat_deg, double out[12])
{
    static const int first_day[] = {0, 31, 59, 90, 120, 151, 181, 212, 243, 273, 304, 334, 365};
    for (int month = 0; month < 12; month++) {
        double sum = 0;
        for (int day = first_day[month]; day < first_day[month + 1]; day++)
            sum += sw_sun_daily_extraterrestrial_wh_m2(&noon[day], lat_deg);
        out[month] = sum / (first_day[month + 1] - first_day[month]) / 1000;
    }
}

static double ratio(double above, double below)
{
    return below > 0 ? above / below : 0;
}

/* Adds a station's month with its weight: radiation as shares, temperatures at the height of the place. */
static void add_month(const sw_month *from, double extraterrestrial, double warmer_c, double weight,
                      sw_month *sum)
{
    sum->kt_mean += weight * ratio(from->ghi_kwh_m2_day, extraterrestrial);
    sum->dni_kwh_m2_day += weight * ratio(from->dni_kwh_m2_day, from->ghi_kwh_m2_day);
    sum->dhi_kwh_m2_day += weight * ratio(from->dhi_kwh_m2_day, from->ghi_kwh_m2_day);
    sum->mean_c += weight * (from->mean_c + warmer_c);
    sum->daily_min_c += weight * (from->daily_min_c + warmer_c);
    sum->daily_max_c += weight * (from->daily_max_c + warmer_c);
    sum->humidity_pct += weight * from->humidity_pct;
    sum->wind_m_s += weight * from->wind_m_s;
    sum->kt_sd += weight * from->kt_sd;
    sum->dark_day_share += weight * from->dark_day_share;
}

static sw_status add_station(const sw_station_table *table, int index, const place *at,
                             const sw_sun_clock noon[YEAR_DAYS], double weight, sw_messages *messages,
                             sw_month sum[12])
{
    const sw_station *station = sw_stations_at(table, index);
    sw_month months[12];
    double extraterrestrial[12];
    sw_status status = sw_stations_months(table, index, messages, months);
    if (status != SW_OK)
        return status;
    extraterrestrial_kwh_m2(noon, station->lat_deg, extraterrestrial);
    double warmer_c = (station->elevation_m - at->elevation_m) * LAPSE_C_PER_M;
    for (int month = 0; month < 12; month++)
        add_month(&months[month], extraterrestrial[month], warmer_c, weight, &sum[month]);
    return SW_OK;
}

/* In a month in which the sun hardly rises the ratio of two tiny energies says nothing of its sky; it would
   pull at the months beside it. Such a month takes the clearness of the year. */
#define DARK_MONTH_KWH_M2 0.05

static void settle_dark_months(const double extraterrestrial[12], sw_month months[12])
{
    double above_air = 0, below = 0;
    for (int month = 0; month < 12; month++) {
        above_air += extraterrestrial[month];
        below += extraterrestrial[month] * months[month].kt_mean;
    }
    for (int month = 0; month < 12; month++)
        if (extraterrestrial[month] < DARK_MONTH_KWH_M2)
            months[month].kt_mean = ratio(below, above_air);
}

/* Shares become energies of the place. */
static void settle(const place *at, const sw_sun_clock noon[YEAR_DAYS], sw_month months[12])
{
    double extraterrestrial[12];
    extraterrestrial_kwh_m2(noon, at->lat_deg, extraterrestrial);
    settle_dark_months(extraterrestrial, months);
    for (int month = 0; month < 12; month++) {
        sw_month *of = &months[month];
        of->ghi_kwh_m2_day = of->kt_mean * extraterrestrial[month];
        of->dni_kwh_m2_day *= of->ghi_kwh_m2_day;
        of->dhi_kwh_m2_day *= of->ghi_kwh_m2_day;
    }
}

void sw_climate_from_energy(double lat_deg, double lon_deg, sw_climate *climate)
{
    double extraterrestrial[12];
    sw_sun_clock noon[YEAR_DAYS];
    noons_of(lon_deg, noon);
    extraterrestrial_kwh_m2(noon, lat_deg, extraterrestrial);
    for (int month = 0; month < 12; month++)
        climate->month[month].kt_mean = ratio(climate->month[month].ghi_kwh_m2_day, extraterrestrial[month]);
    settle_dark_months(extraterrestrial, climate->month);
}

/* Measured by leaving each station of the table out (tests/check_interpolation.c): the inverse distance with
   twelve neighbours misses a month's clearness by 10.3 %, its inverse square with four by 11.1 %; the
   neighbours' own typical years scatter by some 9 %, so that little is left to gain. Near a station the
   inverse third power lets it speak for itself (own derivation). */
static void weigh(const neighbours *near, sw_climate *out)
{
    double sum = 0;
    out->neighbours = near->count;
    for (int i = 0; i < near->count; i++) {
        double apart_km = fmax(HERE_KM, near->apart_km[i]), own = OWN_KM / apart_km;
        out->station[i] = near->index[i];
        out->distance_km[i] = near->flat_km[i];
        out->weight[i] = (1 + own * own) / apart_km;
        sum += out->weight[i];
    }
    for (int i = 0; i < near->count; i++)
        out->weight[i] /= sum;
}

sw_status sw_climate_at(const sw_station_table *table, double lat_deg, double lon_deg, double elevation_m,
                        const sw_where *where, sw_messages *messages, sw_climate *out)
{
    return sw_climate_without(table, NO_STATION, lat_deg, lon_deg, elevation_m, where, messages, out);
}

sw_status sw_climate_without(const sw_station_table *table, int left_out, double lat_deg, double lon_deg,
                             double elevation_m, const sw_where *where, sw_messages *messages,
                             sw_climate *out)
{
    place at = {lat_deg, lon_deg, elevation_m};
    if (!(fabs(lat_deg) <= 90) || !(fabs(lon_deg) <= 360) || !(elevation_m >= -500 && elevation_m <= 9000))
        return sw_error(messages, SW_OUT_OF_RANGE, where,
                        "degrees north and east, and metres from -500 to 9000", "there is no such place");
    neighbours near;
    find_neighbours(table, &at, left_out, &near);
    if (near.count == 0)
        return sw_error(
            messages, SW_BAD_INPUT, where,
            "give the place's own monthly means as its \"normals\", or an hourly weather file",
            "no weather station of the table lies within %.0f km; the nearest is %s, %.0f km away", REACH_KM,
            sw_stations_at(table, near.nearest)->name, near.nearest_km);
    sw_climate climate;
    sw_sun_clock noon[YEAR_DAYS];
    memset(&climate, 0, sizeof climate);
    noons_of(lon_deg, noon);
    weigh(&near, &climate);
    for (int i = 0; i < near.count; i++) {
        sw_status status =
            add_station(table, near.index[i], &at, noon, climate.weight[i], messages, climate.month);
        if (status != SW_OK)
            return status;
    }
    settle(&at, noon, climate.month);
    *out = climate;
    return SW_OK;
}
