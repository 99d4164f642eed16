// A second opinion of whole rehearsals: everything between plan and ledger worked out again, slowly, in long
// double, one van and one moment at a time, from the published equations and the rules that the headers
// state. Nothing of the library computes here: its plan is read as data, and its results are compared with.
// Left to other checks: reading of files, the weighing of stations for a place, weather records of a real
// year and gaps in them, the weights of assumptions, findings of days.
#include "support/checks.h"
#include "support/memory_loader.h"
#include "support/random_files.h"
#include "support/small_plan.h"

#include "stillwatt/reader.h"
#include "stillwatt/rehearsal.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

enum { IN_A_ROW = 50, SEED = 201 };

/* Seeds of rare trips: the charge does not last for must AC, but for DC less dear; only AC is asked and
   speaks for an empty battery; the sun only just rises in an hour of a record; three hours on a hookup come
   together of touching stretches; a station's diffuse share is met before the last step towards it. */
static const unsigned long rare[] = {274, 868, 765, 372, 354};
enum { TRIPS = IN_A_ROW + sizeof rare / sizeof rare[0] };

typedef long double real;

#define SAME 1e-6L // of the trip's throughput, or of a full battery
#define SAME_COLUMN                                                                                          \
    1e-6L // C, V, A and h in the ledger, and columns of the forcing, as they are: the library's steps towards
          // a station's diffuse share leave its cells up to 2e-8 K off; fifty times that, and a thousandth of
          // the last digit that is shown

static const real pi = 3.14159265358979323846264338327950288L;

static real rad(real degrees)
{
    return degrees * pi / 180.0L;
}

static real deg(real radians)
{
    return radians * 180.0L / pi;
}

static real clamp(real x, real low, real high)
{
    return fmaxl(low, fminl(x, high));
}

// ---- comparisons that decide ----

#define EDGE 1e-12L

/* What a computation met on its way. Where two numbers that decide something are as close as an edge,
   rounding decides: such trips are counted. */
static struct {
    int edges, tapers, arrivals, repeats, steady_drops;
} met;

static int at_most(real a, real b)
{
    real size = fmaxl(fabsl(a), fabsl(b));
    met.edges += size > 0.0L && fabsl(a - b) <= EDGE * size;
    return a <= b;
}

// ---- lines through points ----

typedef struct line {
    int points;
    real x[12], y[12];
} line;

/* Straight between the points, level beyond. */
static real line_at(const line *l, real x)
{
    if (x <= l->x[0])
        return l->y[0];
    for (int i = 1; i < l->points; i++)
        if (x <= l->x[i])
            return l->y[i - 1] + (l->y[i] - l->y[i - 1]) * (x - l->x[i - 1]) / (l->x[i] - l->x[i - 1]);
    return l->y[l->points - 1];
}

/* Area under it from its first point to x, trapezium by trapezium. */
static real line_area(const line *l, real x)
{
    real area = x < l->x[0] ? (x - l->x[0]) * l->y[0] : 0.0L;
    for (int i = 1; i < l->points && x > l->x[i - 1]; i++) {
        real to = fminl(x, l->x[i]);
        area += (to - l->x[i - 1]) * (l->y[i - 1] + line_at(l, to)) / 2.0L;
    }
    int last = l->points - 1;
    return area + (x > l->x[last] ? (x - l->x[last]) * l->y[last] : 0.0L);
}

// ---- what happens to the van in a step of the trip ----

typedef struct happening {
    int64_t start_s;
    int driving, plugged, dark, inverter_on, generating, laid_up, cut, looked_after;
    real engine_cold;
    real air_c, cabin_c, sun_w_m2;
    real yield[SW_ARRAYS_MAX];  // W per rated W at a cell of 25 C
    real cell_c[SW_ARRAYS_MAX]; // weighted with what each light yields
    real cruise_share, idle_share, engine_share, pedestal_va, pedestal_steady_share;
    real mean_w[SW_BUS_COUNT][SW_HELD_COUNT], peak_w[SW_BUS_COUNT][SW_HELD_COUNT];
    real steady_w[SW_HELD_COUNT]; // AC that goes on for three hours and more
    real load_w[SW_LOADS_MAX];    // asked by each load; fridges are asked in the march
    real load_peak_w[SW_LOADS_MAX];
    real liquid_l[SW_LOADS_MAX]; // that a cooler evaporates or a heater burns
    int fires[SW_LOADS_MAX];     // whether a heater burns
} happening;

// ---- calendar and clocks ----

typedef struct date {
    int year, month, day;
} date;

static int days_of_month(int year, int month)
{
    static const int length[] = {31, 28, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31};
    int leap = (year % 4 == 0 && year % 100 != 0) || year % 400 == 0;
    return length[month - 1] + (leap && month == 2);
}

/* Days from 1970-01-01 to a date after it, counted month by month. */
static int64_t day_number(date d)
{
    int64_t days = d.day - 1;
    for (int year = 1970; year <= d.year; year++)
        for (int month = 1; month <= 12 && (year < d.year || month < d.month); month++)
            days += days_of_month(year, month);
    return days;
}

static date date_of(int64_t days)
{
    date d = {1970, 1, 1};
    while (days >= days_of_month(d.year, d.month)) {
        days -= days_of_month(d.year, d.month);
        d.month = d.month % 12 + 1;
        d.year += d.month == 1;
    }
    d.day = (int)days + 1;
    return d;
}

/* 0 is Sunday; 1970-01-01 was a Thursday. */
static int weekday(int64_t days)
{
    return (int)((days + 4) % 7);
}

/* The zones of the trips: hours east of UTC in winter, and whether the rule of the US Energy Policy Act of
   2005 holds (second Sunday of March to first Sunday of November, at 2 o'clock). */
static const struct clock_rule {
    const char *name;
    int32_t winter_s;
    int saves;
} clock_rules[] = {
    {"UTC", 0, 0},
    {"Africa/Johannesburg", 7200, 0},
    {"America/Phoenix", -25200, 0},
    {"America/Los_Angeles", -28800, 1},
    {"America/Denver", -25200, 1},
    {"America/Boise", -25200, 1},
    {"America/Chicago", -21600, 1},
    {"America/New_York", -18000, 1},
    {"America/St_Johns", -12600, 1},
};

static const struct clock_rule *clock_named(const char *name)
{
    for (size_t i = 0; i < sizeof clock_rules / sizeof clock_rules[0]; i++)
        if (strcmp(clock_rules[i].name, name) == 0)
            return &clock_rules[i];
    ck_abort_msg("add the rule of the zone %s to clock_rules", name);
    return NULL;
}

static int64_t nth_sunday(int year, int month, int n)
{
    int64_t day = day_number((date){year, month, 1});
    while (weekday(day) != 0)
        day++;
    return day + 7 * (n - 1);
}

static int64_t spring_s(const struct clock_rule *c, int year)
{
    return nth_sunday(year, 3, 2) * 86400 + 7200 - c->winter_s;
}

static int32_t offset_s(const struct clock_rule *c, int64_t utc_s)
{
    int year = date_of((utc_s + c->winter_s) / 86400).year;
    int64_t autumn_s = nth_sunday(year, 11, 1) * 86400 + 7200 - (c->winter_s + 3600);
    return c->winter_s + (c->saves && utc_s >= spring_s(c, year) && utc_s < autumn_s ? 3600 : 0);
}

/* The first moment at which the clock shows this; where it skips it, the moment at which it skips. */
static int64_t utc_of(const struct clock_rule *c, int64_t local_s)
{
    for (int summer = 1; summer >= 0; summer--) {
        int64_t utc = local_s - c->winter_s - 3600 * summer;
        if (utc + offset_s(c, utc) == local_s)
            return utc;
    }
    return spring_s(c, date_of(local_s / 86400).year);
}

// ---- sun: the NOAA calculator's equations ----

typedef struct sun {
    real zenith_deg, apparent_deg, azimuth_deg; // apparent: refracted
    real hour_deg, declination_rad, above_air_w_m2;
} sun;

static real refracted_by_deg(real height_deg)
{
    real t = tanl(rad(height_deg)), h = height_deg;
    if (h > 85.0L)
        return 0.0L;
    if (h > 5.0L)
        return (58.1L / t - 0.07L / (t * t * t) + 0.000086L / powl(t, 5.0L)) / 3600.0L;
    if (h > -0.575L)
        return (1735.0L - 518.2L * h + 103.4L * h * h - 12.79L * h * h * h + 0.711L * h * h * h * h) /
               3600.0L;
    return -20.772L / t / 3600.0L;
}

/* Declination, equation of time [min] and radiation above the air; 1361.1 W/m2 is Gueymard's of 2018. */
static real sun_clock(real utc_s, sun *out)
{
    real t = (utc_s - 946728000.0L) / 86400.0L / 36525.0L;
    real l = rad(280.46646L + 36000.76983L * t + 0.0003032L * t * t);
    real m = rad(357.52911L + 35999.05029L * t - 0.0001537L * t * t);
    real e = 0.016708634L - 0.000042037L * t - 0.0000001267L * t * t;
    real centre = rad((1.914602L - 0.004817L * t - 0.000014L * t * t) * sinl(m) +
                      (0.019993L - 0.000101L * t) * sinl(2.0L * m) + 0.000289L * sinl(3.0L * m));
    real node = rad(125.04L - 1934.136L * t);
    real longitude = l + centre - rad(0.00569L + 0.00478L * sinl(node));
    real mean =
        23.0L + 26.0L / 60.0L + (21.448L - 46.815L * t - 0.00059L * t * t + 0.001813L * t * t * t) / 3600.0L;
    real obliquity = rad(mean + 0.00256L * cosl(node)), y = powl(tanl(obliquity / 2.0L), 2.0L);
    real radius = 1.000001018L * (1.0L - e * e) / (1.0L + e * cosl(m + centre));
    out->declination_rad = asinl(sinl(obliquity) * sinl(longitude));
    out->above_air_w_m2 = 1361.1L / (radius * radius);
    return 4.0L * deg(y * sinl(2.0L * l) - 2.0L * e * sinl(m) + 4.0L * e * y * sinl(m) * cosl(2.0L * l) -
                      y * y / 2.0L * sinl(4.0L * l) - 5.0L / 4.0L * e * e * sinl(2.0L * m));
}

static sun sun_at(real utc_s, real lat_deg, real lon_deg)
{
    sun s;
    real equation_min = sun_clock(utc_s, &s), lat = rad(lat_deg), d = s.declination_rad;
    real true_solar_min = fmodl(utc_s, 86400.0L) / 60.0L + equation_min + 4.0L * lon_deg;
    s.hour_deg = remainderl(true_solar_min / 4.0L - 180.0L, 360.0L);
    real cos_zenith = sinl(lat) * sinl(d) + cosl(lat) * cosl(d) * cosl(rad(s.hour_deg));
    real zenith = acosl(clamp(cos_zenith, -1.0L, 1.0L));
    s.zenith_deg = deg(zenith);
    s.apparent_deg = s.zenith_deg - refracted_by_deg(90.0L - s.zenith_deg);
    real from_south = (sinl(lat) * cos_zenith - sinl(d)) / (cosl(lat) * sinl(zenith));
    real angle = deg(acosl(clamp(from_south, -1.0L, 1.0L)));
    s.azimuth_deg = s.hour_deg > 0.0L ? angle + 180.0L : 180.0L - angle;
    return s;
}

/* Energy above the air on the flat in a day, Wh/m2: Duffie & Beckman eq. 1.10.3. */
static real above_air_wh(int64_t noon_s, real lat_deg)
{
    sun s;
    sun_clock(noon_s, &s);
    real lat = rad(lat_deg), d = s.declination_rad, half = acosl(clamp(-tanl(lat) * tanl(d), -1.0L, 1.0L));
    return 24.0L / pi * s.above_air_w_m2 * (cosl(lat) * cosl(d) * sinl(half) + half * sinl(lat) * sinl(d));
}

static int limb_up(real utc_s, real lat_deg, real lon_deg)
{
    return sun_at(utc_s, lat_deg, lon_deg).zenith_deg <= 90.833L;
}

static int64_t noon_near(int64_t around_s, real lon_deg)
{
    real noon = around_s;
    for (int i = 0; i < 4; i++)
        noon -= 240.0L * sun_at(noon, 0.0L, lon_deg).hour_deg;
    return llroundl(noon);
}

/* When the limb crosses between a midnight and noon; the midnight if it is up then, noon if it is down then.
 */
static real crossing(int64_t midnight_s, int64_t noon_s, real lat_deg, real lon_deg)
{
    real down = midnight_s, up = noon_s;
    if (limb_up(down, lat_deg, lon_deg))
        return down;
    if (!limb_up(up, lat_deg, lon_deg))
        return up;
    while (fabsl(up - down) > 1e-5L) {
        real middle = (up + down) / 2.0L;
        if (limb_up(middle, lat_deg, lon_deg))
            up = middle;
        else
            down = middle;
    }
    return up;
}

// ---- sky ----

typedef struct light {
    real ghi, dni, dhi; // W/m2
} light;

static real cos_zenith(const sun *s)
{
    return s->zenith_deg < 90.0L ? cosl(rad(s->zenith_deg)) : 0.0L;
}

/* Kasten & Young 1989. */
static real air_mass(const sun *s)
{
    real z = clamp(s->apparent_deg, 0.0L, 90.0L);
    return 1.0L / (cosl(rad(z)) + 0.50572L * powl(96.07995L - z, -1.6364L));
}

/* Ineichen & Perez 2002 without exp(0.01 m^1.8); the lower of the two published beams. */
static light clear_light(const sun *s, real height_m, real turbidity)
{
    real i0 = s->above_air_w_m2, cosine = cos_zenith(s), tl = turbidity;
    if (cosine <= 0.0L)
        return (light){0};
    tl -= tl < 2.0L ? 0.25L * sqrtl(2.0L - tl) : 0.0L;
    real m = air_mass(s) * expl(-height_m / 8434.5L);
    real fh1 = expl(-height_m / 8000.0L), fh2 = expl(-height_m / 1250.0L);
    real ghi = (5.09e-5L * height_m + 0.868L) * i0 * cosine *
               expl(-(3.92e-5L * height_m + 0.0387L) * m * (fh1 + fh2 * (tl - 1.0L)));
    real beam = (0.664L + 0.163L / fh1) * i0 * expl(-0.09L * m * (tl - 1.0L));
    real other = ghi / cosine * (1.0L - (0.1L - 0.2L * expl(-tl)) / (0.1L + 0.88L / fh1));
    real dni = fminl(fminl(beam, other), fminl(ghi / cosine, i0));
    return (light){ghi, dni, ghi - dni * cosine};
}

/* Erbs, Klein & Duffie 1982, with a limit to the beam. */
static light split(real ghi, const sun *s, real most_dni)
{
    real cosine = cos_zenith(s), kt = ghi / (s->above_air_w_m2 * cosine);
    real share = kt <= 0.22L   ? 1.0L - 0.09L * kt
                 : kt <= 0.80L ? 0.9511L - 0.1604L * kt + 4.388L * kt * kt - 16.638L * kt * kt * kt +
                                     12.336L * kt * kt * kt * kt
                               : 0.165L;
    real dni = fminl((1.0L - share) * ghi / cosine, fminl(s->above_air_w_m2, most_dni));
    return (light){ghi, dni, ghi - dni * cosine};
}

/* Hollands & Huget 1983: density (1 - u) exp(a u) of u = kt / 0.864. Its integral from 0 to u, and that of u
   times it, as series where a is small and closed else. */
static real weight_below(real a, real u)
{
    if (fabsl(a) > 1.0L)
        return (expl(a * u) * (1.0L + a - a * u) - (1.0L + a)) / (a * a);
    real sum = 0.0L, term = u;
    for (int n = 0; n < 30; n++) {
        sum += term * (1.0L / (n + 1) - u / (n + 2));
        term *= a * u / (n + 1);
    }
    return sum;
}

static real first_moment(real a)
{
    if (fabsl(a) > 1.0L)
        return (expl(a) * (a - 2.0L) + a + 2.0L) / (a * a * a);
    real sum = 0.0L, term = 1.0L;
    for (int n = 0; n < 30; n++) {
        sum += term * (1.0L / (n + 2) - 1.0L / (n + 3));
        term *= a / (n + 1);
    }
    return sum;
}

/* The exponent whose mean is wanted, by halving. */
static real exponent_for(real mean_kt)
{
    real low = -20.0L, high = 40.0L;
    for (int i = 0; i < 80; i++) {
        real a = (low + high) / 2.0L;
        if (first_moment(a) / weight_below(a, 1.0L) < mean_kt / 0.864L)
            low = a;
        else
            high = a;
    }
    return low;
}

static real clearness_below(real exponent, real probability)
{
    real low = 0.0L, high = 1.0L, all = weight_below(exponent, 1.0L);
    for (int i = 0; i < 70; i++) {
        real u = (low + high) / 2.0L;
        if (weight_below(exponent, u) / all < probability)
            low = u;
        else
            high = u;
    }
    return 0.864L * low;
}

// ---- climate: monthly means to days ----

enum { LEVELS = 24, DAYS_KEPT = 24 };

/// A solar day at a place.
typedef struct solar_day {
    int known, lit;
    int64_t day;    // of the local calendar
    int64_t noon_s; // the sun's own, for told mornings
    real middle_s, daylight_s, low_c, high_c;
    real clearness, spread, wind_m_s, diffuse_share;
    const sw_told_day *told;
    real index[SW_OUTLOOKS][LEVELS]; // light over clear light of the days that stand for an average one
    real diffuse_factor;             // by which the split is moved
} solar_day;

/// A place of the trip, and its mid-month values.
typedef struct spot {
    real lat_deg, lon_deg, height_m, turbidity, albedo;
    const struct clock_rule *clock;
    real low_c[12], high_c[12], clearness[12], spread[12], wind_m_s[12], diffuse_share[12];
    real energy_factor[12];
    int knows_diffuse;
    int64_t first_day;
    solar_day day[DAYS_KEPT];
} spot;

static const real year_month[12] = {31, 28.25L, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31};

/* Mid-month values, joined by straight lines, whose monthly means are given. Half of month m lies towards
   each neighbour k; there the line's mean is that of a stretch of L/2 on a line over (L + L_k)/2. Solved by
   going round until nothing moves. */
static void mid_months(const real mean[12], real node[12])
{
    memcpy(node, mean, 12 * sizeof *node);
    for (int pass = 0; pass < 200; pass++)
        for (int m = 0; m < 12; m++) {
            int before = (m + 11) % 12, after = (m + 1) % 12;
            real l = year_month[m];
            real b = l / 4.0L / (l + year_month[before]), a = l / 4.0L / (l + year_month[after]);
            node[m] = (mean[m] - b * node[before] - a * node[after]) / (1.0L - a - b);
        }
}

static real on_date(const real node[12], int64_t day)
{
    date d = date_of(day);
    int month = d.month - 1;
    real past = d.day - 0.5L - days_of_month(d.year, d.month) / 2.0L;
    int other = past < 0.0L ? (month + 11) % 12 : (month + 1) % 12;
    real apart = (year_month[month] + year_month[other]) / 2.0L;
    return node[month] + fabsl(past) / apart * (node[other] - node[month]);
}

/* Noon of a day by local mean time; `shift_s` is the longitude in seconds, cut or rounded as the caller does.
 */
static int64_t mean_noon(int64_t day, int64_t shift_s)
{
    return day * 86400 + 43200 - shift_s;
}

enum { FIRST_OF_2001 = 11323, YEAR = 365 };

/* Mean energy above the air in each month of a common year, kWh/m2 a day. */
static void months_above_air(real lat_deg, real lon_deg, real out[12])
{
    memset(out, 0, 12 * sizeof *out);
    for (int64_t day = FIRST_OF_2001; day < FIRST_OF_2001 + YEAR; day++) {
        date d = date_of(day);
        out[d.month - 1] += above_air_wh(mean_noon(day, llroundl(lon_deg * 240.0L)), lat_deg) / 1000.0L /
                            days_of_month(d.year, d.month);
    }
}

/* Clearness of daily energies that the user gives; a month almost without sun takes that of the year. */
static void clearness_of(const spot *at, const double daily_sun_kwh_m2[12], real out[12])
{
    real above[12], all = 0.0L, below = 0.0L;
    months_above_air(at->lat_deg, at->lon_deg, above);
    for (int m = 0; m < 12; m++) {
        out[m] = above[m] > 0.0L ? daily_sun_kwh_m2[m] / above[m] : 0.0L;
        all += above[m];
        below += above[m] * out[m];
    }
    for (int m = 0; m < 12; m++)
        out[m] = above[m] < 0.05L ? below / all : out[m];
}

/// Monthly means of a place.
typedef struct means {
    real low_c[12], high_c[12], clearness[12], spread[12], wind_m_s[12], diffuse_share[12];
} means;

/* Own monthly means come with a wind of 3 m/s. Those of the station table are taken as the library weighs
   them: they are data here. */
static void means_of(const sw_place *p, const sw_climate *table, spot *at, means *out)
{
    at->knows_diffuse = p->normals == NULL;
    for (int m = 0; m < 12; m++) {
        const sw_month *month = &table->month[m];
        int own = p->normals != NULL, sunny = month->ghi_kwh_m2_day > 0.0;
        out->low_c[m] = own ? p->normals->low_c[m] : month->daily_min_c;
        out->high_c[m] = own ? p->normals->high_c[m] : month->daily_max_c;
        out->spread[m] = own ? p->normals->spread : month->kt_sd;
        out->wind_m_s[m] = own ? 3.0L : month->wind_m_s;
        out->clearness[m] = month->kt_mean;
        out->diffuse_share[m] = sunny && !own ? month->dhi_kwh_m2_day / (real)month->ghi_kwh_m2_day : 1.0L;
    }
    if (p->normals != NULL)
        clearness_of(at, p->normals->daily_sun_kwh_m2, out->clearness);
}

/* What makes each month's energy that of its mean clearness exactly. */
static void make_energy_exact(const real mean[12], spot *at)
{
    real wanted[12] = {0}, got[12] = {0};
    for (int64_t day = FIRST_OF_2001; day < FIRST_OF_2001 + YEAR; day++) {
        int m = date_of(day).month - 1;
        real above = above_air_wh(mean_noon(day, (int64_t)(at->lon_deg * 240.0L)), at->lat_deg);
        wanted[m] += above * mean[m];
        got[m] += above * on_date(at->clearness, day);
    }
    for (int m = 0; m < 12; m++)
        at->energy_factor[m] = wanted[m] > 0.0L && got[m] > 0.0L ? wanted[m] / got[m] : 1.0L;
}

static void spot_of(const sw_place *p, const sw_stop *station, int64_t first_date, spot *out)
{
    means mean;
    *out = (spot){.lat_deg = isnan(p->lat_deg) ? station->lat_deg : p->lat_deg,
                  .lon_deg = isnan(p->lon_deg) ? station->lon_deg : p->lon_deg,
                  .height_m = isnan(p->elevation_m) ? station->elevation_m : p->elevation_m,
                  .turbidity = p->turbidity,
                  .albedo = p->albedo,
                  .clock = clock_named(p->zone),
                  .first_day = first_date - 4};
    means_of(p, &station->climate, out, &mean);
    mid_months(mean.low_c, out->low_c);
    mid_months(mean.high_c, out->high_c);
    mid_months(mean.clearness, out->clearness);
    mid_months(mean.spread, out->spread);
    mid_months(mean.wind_m_s, out->wind_m_s);
    mid_months(mean.diffuse_share, out->diffuse_share);
    make_energy_exact(mean.clearness, out);
}

static const sw_told_day *told_on(const sw_sky_spec *sky, int64_t day)
{
    if (sky->kind != SW_SKY_TOLD)
        return NULL;
    for (int i = 1; i < sky->told_days; i++)
        if (sky->told[i].day == day)
            return &sky->told[i];
    return &sky->told[0];
}

/* A told day's own temperatures; the other one from the climate, whose range is halved on an overcast day. */
static void temper(solar_day *d)
{
    const sw_told_day *t = d->told;
    real middle = (d->low_c + d->high_c) / 2.0L, half = (d->high_c - d->low_c) / 2.0L;
    if (t == NULL)
        return;
    half *= t->morning_okta >= 7.5 && t->afternoon_okta >= 7.5 ? 0.5L : 1.0L;
    d->low_c = isnan(t->low_c) ? middle - half : t->low_c;
    d->high_c = isnan(t->high_c) ? fmaxl(d->low_c, middle + half) : t->high_c;
    d->low_c = isnan(t->low_c) ? fminl(d->low_c, d->high_c) : d->low_c;
}

static solar_day *day_at(spot *s, const sw_sky_spec *sky, int64_t index)
{
    ck_assert_int_ge(index, s->first_day);
    ck_assert_int_lt(index, s->first_day + DAYS_KEPT);
    solar_day *d = &s->day[index - s->first_day];
    if (d->known)
        return d;
    int64_t mean_noon_s = mean_noon(index, (int64_t)(s->lon_deg * 240.0L));
    int64_t day = (mean_noon_s + offset_s(s->clock, mean_noon_s)) / 86400;
    d->noon_s = noon_near(mean_noon_s, s->lon_deg);
    real rise =
        ceill(crossing(d->noon_s - 43200, d->noon_s, s->lat_deg, s->lon_deg)); // whole seconds, limb up
    real set = floorl(crossing(d->noon_s + 43200, d->noon_s, s->lat_deg, s->lon_deg));
    d->middle_s = (rise + set) / 2.0L;
    d->daylight_s = set - rise;
    d->low_c = on_date(s->low_c, day);
    d->high_c = fmaxl(on_date(s->high_c, day), d->low_c);
    d->clearness = clamp(on_date(s->clearness, day) * s->energy_factor[date_of(day).month - 1], 0.05L, 0.80L);
    d->spread = fmaxl(0.0L, on_date(s->spread, day));
    d->wind_m_s = on_date(s->wind_m_s, day);
    d->diffuse_share = on_date(s->diffuse_share, day);
    d->day = day;
    d->told = told_on(sky, day);
    temper(d);
    d->known = 1;
    return d;
}

/* Standard deviation of their distribution, by Simpson's rule on its moments. */
static real published_spread(real exponent)
{
    enum { PIECES = 4000 };
    real sum[3] = {0.0L, 0.0L, 0.0L};
    for (int i = 0; i <= PIECES; i++) {
        real u = (real)i / PIECES, weight = i == 0 || i == PIECES ? 1.0L : i % 2 == 1 ? 4.0L : 2.0L;
        real density = weight * (1.0L - u) * expl(exponent * (u - 1.0L));
        for (int k = 0; k < 3; k++)
            sum[k] += density * powl(u, k);
    }
    return 0.864L * sqrtl(sum[2] / sum[0] - sum[1] / sum[0] * (sum[1] / sum[0]));
}

/* Equally likely days of Hollands & Huget's distribution, drawn to the spread of the place about the mean. */
static void likely_days(real clearness, real spread, int count, real day[])
{
    real exponent = exponent_for(clearness), own = published_spread(exponent);
    real stretch = spread > 0.0L ? fminl(1.3L, spread / own) : 1.0L;
    for (int i = 0; i < count; i++) {
        real kt = clearness_below(exponent, (i + 0.5L) / count);
        day[i] = fmaxl(0.02L, clearness + (kt - clearness) * stretch);
    }
}

/* Twenty-four of them, scaled to the mean, as shares of the clear day's energy. */
static void levels_of(real clearness, real above, real clear, real index[LEVELS])
{
    real sum = 0.0L;
    likely_days(clearness, 0.0L, LEVELS, index);
    for (int i = 0; i < LEVELS; i++)
        sum += index[i];
    for (int i = 0; i < LEVELS; i++)
        index[i] = clear > 0.0L ? index[i] * LEVELS / sum * clearness * above / clear : 0.0L;
}

static uint64_t mixed(uint64_t x)
{
    x = (x ^ x >> 30) * 0xBF58476D1CE4E5B9u;
    x = (x ^ x >> 27) * 0x94D049BB133111EBu;
    return x ^ x >> 31;
}

/* A normal deviate of a day by Box & Muller, from two mixed counters. */
static real day_normal(uint64_t day)
{
    const uint64_t first = 0x9E3779B97F4A7C15u;
    real a = ((mixed(first + 2 * day) >> 11) + 0.5L) / 9007199254740992.0L;
    real b = ((mixed(first + 2 * day + 1) >> 11) + 0.5L) / 9007199254740992.0L;
    return sqrtl(-2.0L * logl(a)) * cosl(2.0L * pi * b);
}

static int compare_reals(const void *a, const void *b)
{
    real x = *(const real *)a, y = *(const real *)b;
    return (x > y) - (x < y);
}

enum { WEEKS = 3000 };

static real tenth(real of[WEEKS])
{
    qsort(of, WEEKS, sizeof of[0], compare_reals);
    return (of[WEEKS / 10 - 1] + of[WEEKS / 10]) / 2.0L;
}

/* By how many spreads the poor week is darker than its month: the tenth of three thousand drawn weeks. Days
   hang together by 0.29 in deviates (Graham, Hollands & Huget 1988); their clearness lies on straight lines
   between 64 equally likely ones. What the draw's mean deviates miss of their own tenth is made good in
   proportion. */
static real poor_by(real clearness, real spread)
{
    enum { KNOTS = 64 };
    static real share[WEEKS][7], luck;
    real knot[KNOTS], mean[WEEKS], variance = 0.0L;
    for (int w = 0; w < WEEKS && luck == 0.0L; w++) {
        real deviate = 0.0L;
        mean[w] = 0.0L;
        for (int d = 0; d < 7; d++) {
            real fresh = day_normal((uint64_t)(7 * w + d));
            deviate = d == 0 ? fresh : 0.29L * deviate + sqrtl(1.0L - 0.0841L) * fresh;
            mean[w] += deviate / 7.0L;
            share[w][d] = 1.0L - 0.5L * erfcl(deviate / sqrtl(2.0L));
        }
    }
    for (int i = 0; i < 7; i++)
        for (int k = 0; k < 7; k++)
            variance += powl(0.29L, abs(i - k)) / 49.0L;
    luck = luck == 0.0L ? -1.2815515655446004L * sqrtl(variance) / tenth(mean) : luck;
    likely_days(clearness, spread, KNOTS, knot);
    for (int w = 0; w < WEEKS; w++) {
        mean[w] = 0.0L;
        for (int d = 0; d < 7; d++) {
            real at = clamp(share[w][d] * KNOTS - 0.5L, 0.0L, KNOTS - 1.0L);
            int k = at >= KNOTS - 2 ? KNOTS - 2 : (int)at;
            mean[w] += (knot[k] * (k + 1 - at) + knot[k + 1] * (at - k)) / 7.0L;
        }
    }
    return luck * (clearness - tenth(mean)) / spread;
}

/* The light of one of the days that stand for an average one; the sky light of the split times a factor, as
   far as the global goes. */
static light level_light(real index, real factor, const light *clear, const sun *s)
{
    light l = split(index * clear->ghi, s, s->above_air_w_m2);
    if (l.dni <= 0.0L)
        return l;
    l.dni = fminl((l.ghi - fminl(l.ghi, l.dhi * factor)) / cos_zenith(s), s->above_air_w_m2);
    l.dhi = l.ghi - l.dni * cos_zenith(s);
    return l;
}

/* Diffuse share of a day over its levels and 24 moments, the split moved by a factor. */
static real day_diffuse_share(const spot *at, int64_t noon_s, const real index[LEVELS], real factor)
{
    real global = 0.0L, diffuse = 0.0L;
    for (int64_t t = noon_s - 43200 + 1800; t < noon_s + 43200; t += 3600) {
        sun s = sun_at(t, at->lat_deg, at->lon_deg);
        light clear = clear_light(&s, at->height_m, at->turbidity);
        for (int i = 0; i < LEVELS && clear.ghi > 0.0L; i++) {
            light l = level_light(index[i], factor, &clear, &s);
            global += l.ghi;
            diffuse += l.dhi;
        }
    }
    return global > 0.0L ? diffuse / global : 0.0L;
}

/* The factor from a half to two with which the day's diffuse share is that of the station, by halving. */
static real diffuse_factor(const spot *at, int64_t noon_s, const solar_day *d)
{
    real low = 0.5L, high = 2.0L;
    if (!at->knows_diffuse)
        return 1.0L;
    for (int i = 0; i < 50; i++) {
        real middle = (low + high) / 2.0L;
        if (day_diffuse_share(at, noon_s, d->index[SW_OUTLOOK_MAIN], middle) < d->diffuse_share)
            low = middle;
        else
            high = middle;
    }
    return low;
}

/* The same for all days of a month: that of its fifteenth. */
static real poor_in_month(const spot *at, int64_t day)
{
    int64_t middle = day - date_of(day).day + 15;
    real factor = at->energy_factor[date_of(day).month - 1];
    return poor_by(clamp(on_date(at->clearness, middle) * factor, 0.05L, 0.80L),
                   fmaxl(0.0L, on_date(at->spread, middle)));
}

static void light_day(const spot *at, int64_t index, solar_day *d)
{
    int64_t noon_s = mean_noon(index, (int64_t)(at->lon_deg * 240.0L));
    real above = above_air_wh(noon_s, at->lat_deg), clear = 0.0L;
    for (int64_t t = noon_s - 43200 + 300; t < noon_s + 43200; t += 600) {
        sun there = sun_at(t, at->lat_deg, at->lon_deg);
        clear += clear_light(&there, at->height_m, at->turbidity).ghi / 6.0L;
    }
    levels_of(d->clearness, above, clear, d->index[SW_OUTLOOK_MAIN]);
    real poor = fmaxl(0.05L, d->clearness - poor_in_month(at, d->day) * d->spread);
    levels_of(poor, above, clear, d->index[SW_OUTLOOK_POOR]);
    d->diffuse_factor = diffuse_factor(at, noon_s, d);
    d->lit = 1;
}

// ---- air: Parton & Logan 1981, joined without jumps ----

typedef struct swing {
    real minimum_s, maximum_s, sunset_s, low_c, high_c;
} swing;

static swing swing_of(const solar_day *d)
{
    real half = clamp(d->daylight_s, 4.0L * 3600.0L, 22.0L * 3600.0L) / 2.0L;
    return (swing){d->middle_s - half - 0.17L * 3600.0L, d->middle_s + 1.86L * 3600.0L, d->middle_s + half,
                   d->low_c, d->high_c};
}

static real by_day(const swing *d, real t)
{
    return d->low_c +
           (d->high_c - d->low_c) * sinl(pi / 2.0L * (t - d->minimum_s) / (d->maximum_s - d->minimum_s));
}

static real by_night(const swing *before, const swing *after, real t)
{
    real passed = (t - before->sunset_s) / (after->minimum_s - before->sunset_s);
    real left = (expl(-2.2L * passed) - expl(-2.2L)) / (1.0L - expl(-2.2L));
    return after->low_c + (by_day(before, before->sunset_s) - after->low_c) * left;
}

static int64_t solar_index(const spot *s, int64_t utc_s)
{
    return (utc_s + (int64_t)(s->lon_deg * 240.0L)) / 86400;
}

static real air_at(spot *s, const sw_sky_spec *sky, int64_t utc_s, real height_m)
{
    int64_t index = solar_index(s, utc_s);
    swing before = swing_of(day_at(s, sky, index - 1)), today = swing_of(day_at(s, sky, index));
    swing after = swing_of(day_at(s, sky, index + 1));
    real air = utc_s < today.minimum_s   ? by_night(&before, &today, utc_s)
               : utc_s <= today.sunset_s ? by_day(&today, utc_s)
                                         : by_night(&today, &after, utc_s);
    return air + 0.0065L * (s->height_m - height_m);
}

// ---- panels ----

/* Share that passes glass of n 1.526, K 4 /m, 2 mm at an angle, over that at normal incidence: Snell,
   Fresnel, Bouguer (Duffie & Beckman 5.1 to 5.3). */
static real glass(real angle_rad)
{
    real normal = expl(-0.008L) * (1.0L - powl(0.526L / 2.526L, 2.0L));
    if (angle_rad >= pi / 2.0L)
        return 0.0L;
    if (angle_rad < 1e-7L)
        return 1.0L;
    real inside = asinl(sinl(angle_rad) / 1.526L), minus = inside - angle_rad, plus = inside + angle_rad;
    real across = powl(sinl(minus) / sinl(plus), 2.0L), along = powl(tanl(minus) / tanl(plus), 2.0L);
    return expl(-0.008L / cosl(inside)) * (1.0L - (across + along) / 2.0L) / normal;
}

/* Perez et al. 1990, Table 1: where each bin of clearness ends, F11 F12 F13 F21 F22 F23. */
static const real perez_table[8][7] = {
    {1.065L, -0.008L, 0.588L, -0.062L, -0.060L, 0.072L, -0.022L},
    {1.230L, 0.130L, 0.683L, -0.151L, -0.019L, 0.066L, -0.029L},
    {1.500L, 0.330L, 0.487L, -0.221L, 0.055L, -0.064L, -0.026L},
    {1.950L, 0.568L, 0.187L, -0.295L, 0.109L, -0.152L, -0.014L},
    {2.800L, 0.873L, -0.392L, -0.362L, 0.226L, -0.462L, 0.001L},
    {4.500L, 1.132L, -1.237L, -0.412L, 0.288L, -0.823L, 0.056L},
    {6.200L, 1.060L, -1.600L, -0.359L, 0.264L, -1.127L, 0.131L},
    {1e9L, 0.678L, -0.327L, -0.250L, 0.156L, -1.377L, 0.251L},
};

/// A panel and the sun at a moment.
typedef struct view {
    real cos_incidence, tilt_rad, beam_glass, sky_glass, ground_glass, albedo;
    real beam_left, sky_left; // by hills and trees
} view;

static view view_of(const sun *s, real tilt_deg, real azimuth_deg, real albedo)
{
    real z = rad(s->zenith_deg), b = tilt_deg;
    view v = {.tilt_rad = rad(tilt_deg), .albedo = albedo, .beam_left = 1.0L, .sky_left = 1.0L};
    v.cos_incidence = fmaxl(0.0L, cosl(z) * cosl(v.tilt_rad) +
                                      sinl(z) * sinl(v.tilt_rad) * cosl(rad(s->azimuth_deg - azimuth_deg)));
    v.beam_glass = glass(acosl(fminl(1.0L, v.cos_incidence)));
    // Effective angles of Brandemuehl & Beckman 1980.
    v.sky_glass = glass(rad(59.7L - 0.1388L * b + 0.001497L * b * b));
    v.ground_glass = glass(rad(90.0L - 0.5788L * b + 0.002693L * b * b));
    return v;
}

/* Light on the plane before its glass, and behind it. */
static void on_panel(const view *v, const sun *s, const light *l, real *incident, real *effective)
{
    real z = rad(s->zenith_deg), around = 0.0L, rest = 0.0L;
    if (l->dhi > 0.0L) {
        real cube = 1.041L * z * z * z, clearness = ((l->dhi + l->dni) / l->dhi + cube) / (1.0L + cube);
        real brightness = l->dhi * air_mass(s) / s->above_air_w_m2;
        int bin = 0;
        while (bin < 7 && clearness >= perez_table[bin][0])
            bin++;
        const real *f = perez_table[bin];
        real f1 = fmaxl(0.0L, f[1] + f[2] * brightness + f[3] * z), f2 = f[4] + f[5] * brightness + f[6] * z;
        around = l->dhi * f1 * v->cos_incidence / fmaxl(cosl(rad(85.0L)), cosl(z));
        rest = l->dhi * ((1.0L - f1) * (1.0L + cosl(v->tilt_rad)) / 2.0L + f2 * sinl(v->tilt_rad));
    }
    around *= v->beam_left;
    rest *= v->sky_left;
    if (rest < 0.0L) { // a dark horizon takes no more than there is
        around = fmaxl(0.0L, around + rest);
        rest = 0.0L;
    }
    real beam = l->dni * v->cos_incidence * v->beam_left,
         ground = l->ghi * v->albedo * (1.0L - cosl(v->tilt_rad)) / 2.0L;
    *incident = beam + around + rest + ground;
    *effective = (beam + around) * v->beam_glass + rest * v->sky_glass + ground * v->ground_glass;
}

/* Huld et al. 2010, crystalline silicon, at 25 C. */
static real yield_of(real effective)
{
    if (effective <= 0.0L)
        return 0.0L;
    real g = effective / 1000.0L, n = logl(g);
    return g * fmaxl(0.0L, 1.0L - 0.017237L * n - 0.040465L * n * n);
}

/* Faiman 2008, for wind at 10 m. */
static real warmer_k(int mounting, real incident, real wind_m_s)
{
    real loss = mounting == SW_MOUNT_OPEN  ? 25.0L + 6.84L * wind_m_s
                : mounting == SW_MOUNT_GAP ? 19.0L + 1.08L * wind_m_s
                                           : 16.3L + 0.92L * wind_m_s;
    return incident / loss;
}

// ---- hills and trees ----

/* Straight from one point to the next, round the circle. */
static real hill_deg(const sw_place *p, real toward_deg)
{
    for (int i = 0; i < p->skyline_points; i++) {
        const sw_skyline_point *a = &p->skyline[i], *b = &p->skyline[(i + 1) % p->skyline_points];
        real end = b->toward_deg > a->toward_deg ? b->toward_deg : b->toward_deg + 360.0L;
        for (int turn = 0; turn < 2; turn++) {
            real at = toward_deg + 360.0L * turn;
            if (at >= a->toward_deg && at <= end)
                return a->height_deg +
                       (b->height_deg - a->height_deg) * (at - a->toward_deg) / (end - a->toward_deg);
        }
    }
    return 0.0L;
}

/* Sky light from one direction from a height up, on a plane whose normal is (up, out) towards it, by
   Simpson's rule from where the plane sees it. */
static real seen_above(real up, real out, real low_rad)
{
    enum { PARTS = 200 };
    real horizon = out < 0.0L ? atan2l(-out, up) : 0.0L, low = fmaxl(low_rad, horizon);
    real width = (pi / 2.0L - low) / PARTS, sum = 0.0L;
    for (int i = 0; i <= PARTS; i++) {
        real e = low + i * width, weight = i == 0 || i == PARTS ? 1.0L : i % 2 == 1 ? 4.0L : 2.0L;
        sum += weight * (up * sinl(e) + out * cosl(e)) * cosl(e);
    }
    return sum * width / 3.0L;
}

/* Of an even sky, over the middles of 72 directions. */
static real sky_over_hills(const sw_place *p, const sw_array_spec *a, real bearing_deg)
{
    real facing = a->facing_deg + (a->fixed_to == SW_FIXED_VAN ? bearing_deg : 0.0L), left = 0.0L, all = 0.0L;
    if (p->skyline_points == 0)
        return 1.0L;
    for (int i = 0; i < 72; i++) {
        real toward = 2.5L + 5.0L * i, up = cosl(rad(a->tilt_deg)),
             out = sinl(rad(a->tilt_deg)) * cosl(rad(toward - facing));
        left += seen_above(up, out, rad(hill_deg(p, toward)));
        all += seen_above(up, out, 0.0L);
    }
    return left / all;
}

static int clock_shows(const sw_windows *hours, int64_t local_s)
{
    int64_t minute = local_s / 60 % 1440;
    if (hours == NULL)
        return 1;
    for (int i = 0; i < hours->count; i++)
        for (int day = 0; day < 2; day++)
            if (minute + 1440 * day >= hours->from_min[i] && minute + 1440 * day < hours->to_min[i])
                return 1;
    return 0;
}

// ---- the trip on the map and on the clock ----

typedef struct leg_time {
    const sw_leg *leg;
    int64_t start_s, end_s;
    real bearing_deg, speed_m_s;
    real sky_left[SW_ARRAYS_MAX]; // over the skyline
} leg_time;

typedef struct journey {
    const sw_plan *plan;
    int legs;
    leg_time leg[SW_LEGS_MAX];
    spot *spot;                  // per place
    const random_record *record; // of an hourly sky, else NULL
    int record_keeps_beam;
    int32_t step_s, slice_s;
    int steps;
} journey;

typedef struct vector {
    real x, y, z;
} vector;

static vector on_globe(const spot *p)
{
    real lat = rad(p->lat_deg), lon = rad(p->lon_deg);
    return (vector){cosl(lat) * cosl(lon), cosl(lat) * sinl(lon), sinl(lat)};
}

static real dot(vector a, vector b)
{
    return a.x * b.x + a.y * b.y + a.z * b.z;
}

/* Angle between two places as twice the arc sine of half the chord. */
static real arc_between(vector a, vector b)
{
    vector d = {a.x - b.x, a.y - b.y, a.z - b.z};
    return 2.0L * asinl(sqrtl(dot(d, d)) / 2.0L);
}

/* A drive: its bearing at the start, and its speed over its road; without a given one the great circle on the
   sphere of 6371.0088 km times 1.25. */
static void drive_of(const journey *j, leg_time *t)
{
    const spot *from = &j->spot[t->leg->place], *to = &j->spot[t->leg->to_place];
    real lat = rad(from->lat_deg), lon = rad(from->lon_deg);
    vector a = on_globe(from), b = on_globe(to);
    vector east = {-sinl(lon), cosl(lon), 0.0L};
    vector north = {-sinl(lat) * cosl(lon), -sinl(lat) * sinl(lon), cosl(lat)};
    real road = isnan(t->leg->distance_m) ? 1.25L * 6371008.8L * arc_between(a, b) : t->leg->distance_m;
    t->bearing_deg = deg(atan2l(dot(b, east), dot(b, north)));
    t->speed_m_s = road / (real)(t->end_s - t->start_s);
}

/* Slices of light: the longest part of a step and of a quarter of an hour that is not over five minutes. */
static int32_t slice_for(int32_t step_s)
{
    int32_t best = 60;
    for (int32_t s = 60; s <= 300; s += 60)
        best = step_s % s == 0 && 900 % s == 0 ? s : best;
    return best;
}

static void spots_of(const sw_trip *trip, const sw_itinerary *stations, journey *j)
{
    j->spot = calloc((size_t)trip->places, sizeof *j->spot);
    ck_assert_ptr_nonnull(j->spot);
    for (int i = 0; i < trip->places; i++)
        spot_of(&trip->place[i], &stations->stop[i], trip->leg[0].from_local_s / 86400, &j->spot[i]);
}

/* `stations` has what the station table says of the places that ask it, as data. */
static void journey_of(const sw_plan *plan, const sw_itinerary *stations, const random_record *record,
                       int32_t step_s, journey *j)
{
    const sw_trip *trip = plan->trip;
    *j = (journey){
        .plan = plan, .record = record, .legs = trip->legs, .step_s = step_s, .slice_s = slice_for(step_s)};
    spots_of(trip, stations, j);
    for (int i = 0; i < trip->legs; i++) {
        const sw_leg *l = &trip->leg[i];
        leg_time *t = &j->leg[i];
        *t = (leg_time){.leg = l, .bearing_deg = l->heading_deg};
        t->start_s = l->from_local_s != SW_NO_TIME ? utc_of(j->spot[l->place].clock, l->from_local_s)
                                                   : j->leg[i - 1].end_s;
        t->end_s = utc_of(j->spot[l->to_place].clock, l->to_local_s);
        if (l->kind == SW_LEG_DRIVE)
            drive_of(j, t);
        for (int a = 0; a < plan->van->arrays; a++)
            t->sky_left[a] = l->kind == SW_LEG_DRIVE ? 1.0L
                                                     : sky_over_hills(&trip->place[l->place],
                                                                      &plan->van->array[a], t->bearing_deg);
    }
    j->steps = (int)((j->leg[j->legs - 1].end_s - j->leg[0].start_s) / step_s);
}

static const leg_time *leg_at(const journey *j, int64_t utc_s)
{
    int i = 0;
    while (i + 1 < j->legs && utc_s >= j->leg[i].end_s)
        i++;
    return &j->leg[i];
}

/* On the road the clock is that of the place left. */
static const struct clock_rule *clock_at(const journey *j, int64_t utc_s)
{
    return j->spot[leg_at(j, utc_s)->leg->place].clock;
}

typedef struct whereabouts {
    const leg_time *leg;
    spot *spot; // on the road the nearer end
    real lat_deg, lon_deg, height_m;
} whereabouts;

static whereabouts where_at(const journey *j, int64_t utc_s)
{
    const leg_time *t = leg_at(j, utc_s);
    const spot *from = &j->spot[t->leg->place], *to = &j->spot[t->leg->to_place];
    if (t->leg->kind != SW_LEG_DRIVE)
        return (whereabouts){t, &j->spot[t->leg->place], from->lat_deg, from->lon_deg, from->height_m};
    real share = clamp((real)(utc_s - t->start_s) / (real)(t->end_s - t->start_s), 0.0L, 1.0L);
    vector a = on_globe(from), b = on_globe(to);
    real arc = arc_between(a, b), p = sinl((1.0L - share) * arc), q = sinl(share * arc);
    vector at = {p * a.x + q * b.x, p * a.y + q * b.y, p * a.z + q * b.z};
    return (whereabouts){t, &j->spot[share < 0.5L ? t->leg->place : t->leg->to_place],
                         deg(asinl(at.z / sqrtl(dot(at, at)))), deg(atan2l(at.y, at.x)),
                         from->height_m + share * ((real)to->height_m - from->height_m)};
}

// ---- hourly records ----

/* Row of a typical year that holds a moment: by the file's own clock, 29 February as 28 February. A row is
   the hour that ends at its label. */
static int record_row(const random_record *r, int64_t utc_s)
{
    int64_t local = utc_s + r->utc_offset_s;
    date d = date_of(local / 86400);
    d.day -= d.month == 2 && d.day == 29;
    d.year = 2001;
    return (int)((day_number(d) - FIRST_OF_2001) * 24 + local % 86400 / 3600);
}

static int64_t row_begins(const random_record *r, int64_t utc_s)
{
    return utc_s - (utc_s + r->utc_offset_s) % 3600;
}

/* Global against beam and sky light in the middle of the trip's hours: a file in which they are apart by more
   than a twentieth is taken by its global and its beam. */
static int keeps_beam(const journey *j)
{
    const random_record *r = j->record;
    real apart = 0.0L, whole = 0.0L;
    for (int64_t t = j->leg[0].start_s + 1800; t < j->leg[j->legs - 1].end_s; t += 3600) {
        const sw_weather_row *row = &r->row[record_row(r, t)];
        sun s = sun_at(row_begins(r, t) + 1800, r->lat_deg, r->lon_deg);
        if (cos_zenith(&s) <= 0.1L) // then the middle does not stand for the hour
            continue;
        apart += fabsl(row->ghi_w_m2 - row->dni_w_m2 * cos_zenith(&s) - row->dhi_w_m2);
        whole += row->ghi_w_m2;
    }
    return !at_most(apart, 0.05L * whole);
}

/* Mean clear light and mean height of the sun over a moment's hour, along the trip, on the moments at which
   the trip's light is taken: so the hour keeps its energy, however the trip's beginning lies to the hours. */
static void hour_means(const journey *j, int64_t utc_s, real *clear, real *height)
{
    int64_t from_s = row_begins(j->record, utc_s), t = j->leg[0].start_s + j->slice_s / 2;
    int slices = 0;
    *clear = *height = 0.0L;
    while (t > from_s)
        t -= j->slice_s;
    for (; t < from_s + 3600; t += j->slice_s) {
        if (t < from_s)
            continue;
        whereabouts w = where_at(j, t);
        sun s = sun_at(t, w.lat_deg, w.lon_deg);
        *clear += clear_light(&s, w.height_m, w.spot->turbidity).ghi;
        *height += cos_zenith(&s);
        slices++;
    }
    *clear /= slices;
    *height /= slices;
}

/* The hour's global along the clear sky, its diffuse share kept; where there is next to no clear light, along
   the sun's height and all of it sky light. */
static light record_light(const journey *j, int64_t utc_s, const sun *s, const light *clear)
{
    const sw_weather_row *row = &j->record->row[record_row(j->record, utc_s)];
    real hour_clear, hour_height, global = row->ghi_w_m2, cosine = cos_zenith(s);
    hour_means(j, utc_s, &hour_clear, &hour_height);
    if (cosine <= 0.0L || global <= 0.0L || hour_height <= 0.0L)
        return (light){0};
    /* No more than falls above the air; low in the sky as if the sun stood at 7.5 deg. */
    real most = s->above_air_w_m2 * fmaxl(cosine, sinl(rad(7.5L)));
    if (!at_most(1.0L, hour_clear)) {
        real ghi = fminl(most, global * cosine / hour_height);
        return (light){ghi, 0.0L, ghi};
    }
    real ghi = fminl(most, global * clear->ghi / hour_clear);
    real diffuse = j->record_keeps_beam ? fmaxl(0.0L, 1.0L - row->dni_w_m2 * hour_height / global)
                                        : fminl(1.0L, row->dhi_w_m2 / global);
    real dni = fminl(ghi * (1.0L - diffuse) / cosine, fminl(s->above_air_w_m2, 1.1L * clear->dni));
    return (light){ghi, dni, ghi - dni * cosine};
}

/* Air and wind are values at the labels, straight between them. */
static real between_labels(const random_record *r, int64_t utc_s, real before, real at_label)
{
    return before + (at_label - before) * (utc_s - row_begins(r, utc_s)) / 3600.0L;
}

static real record_air(const random_record *r, int64_t utc_s, real height_m)
{
    int row = record_row(r, utc_s), before = (row + RANDOM_RECORD_ROWS - 1) % RANDOM_RECORD_ROWS;
    return between_labels(r, utc_s, r->row[before].air_c, r->row[row].air_c) +
           0.0065L * (r->elevation_m - height_m);
}

/* 2 m/s where the file does not say. */
static real record_wind(const random_record *r, int64_t utc_s)
{
    int row = record_row(r, utc_s), before = (row + RANDOM_RECORD_ROWS - 1) % RANDOM_RECORD_ROWS;
    real wind = between_labels(r, utc_s, r->row[before].wind_m_s, r->row[row].wind_m_s);
    return isnan(wind) ? 2.0L : wind;
}

// ---- light in a step ----

/* Equally likely lights of a moment. */
static int lights_of(const journey *j, const whereabouts *w, int64_t utc_s, const sun *s, int outlook,
                     light out[LEVELS])
{
    const sw_sky_spec *sky = &j->plan->trip->sky;
    light clear = clear_light(s, w->height_m, w->spot->turbidity);
    out[0] = j->record != NULL ? record_light(j, utc_s, s, &clear) : clear;
    if (clear.ghi <= 0.0L || j->record != NULL)
        return 1;
    int64_t index = solar_index(w->spot, utc_s);
    solar_day *d = day_at(w->spot, sky, index);
    if (sky->kind == SW_SKY_TOLD) { // Kasten & Czeplak 1980
        real okta = utc_s < d->noon_s ? d->told->morning_okta : d->told->afternoon_okta, haze = sky->haze;
        if (okta > 0.0L || haze > 0.0L)
            out[0] =
                split(clear.ghi * (1.0L - 0.75L * powl(okta / 8.0L, 3.4L)) * (1.0L - haze), s, clear.dni);
        return 1;
    }
    if (!d->lit)
        light_day(w->spot, index, d);
    for (int i = 0; i < LEVELS; i++)
        out[i] = level_light(d->index[outlook][i], d->diffuse_factor, &clear, s);
    return LEVELS;
}

/// Sums over a step's slices and lights, of one array.
typedef struct lit {
    real yield, yield_cell, cell;
} lit;

/// What else is there at a moment: the air in the middle of the step, wind at 10 m, the ground's albedo.
typedef struct around {
    real air_c, wind_m_s, albedo;
} around;

/* On the road the wind is at least the van's own. */
static around around_at(const journey *j, const whereabouts *w, int64_t utc_s, real air_c)
{
    around a = {air_c, 0.0L, w->spot->albedo};
    if (j->record != NULL) {
        double ground = j->record->row[record_row(j->record, utc_s)].albedo;
        a.albedo = isnan(ground) ? a.albedo : ground;
        a.wind_m_s = record_wind(j->record, utc_s);
    } else {
        a.wind_m_s = day_at(w->spot, &j->plan->trip->sky, solar_index(w->spot, utc_s))->wind_m_s;
    }
    a.wind_m_s = w->leg->leg->kind == SW_LEG_DRIVE ? fmaxl(a.wind_m_s, w->leg->speed_m_s) : a.wind_m_s;
    return a;
}

/* What hills and trees leave. Shade lies on one panel of a string first, which holds the others back. */
static void stand_in_shade(const journey *j, const whereabouts *w, int array, int64_t local_s, const sun *s,
                           view *v)
{
    const sw_leg *leg = w->leg->leg;
    real tree_beam = 0.0L, tree_sky = 0.0L;
    if (leg->kind == SW_LEG_DRIVE)
        return;
    for (int i = 0; i < leg->shades; i++)
        if (clock_shows(leg->shade[i].hours, local_s)) {
            tree_beam = fmaxl(tree_beam, leg->shade[i].beam);
            tree_sky = fmaxl(tree_sky, leg->shade[i].sky);
        }
    const sw_place *place = &j->plan->trip->place[leg->place];
    int hidden = place->skyline_points > 0 && 90.0L - s->apparent_deg <= hill_deg(place, s->azimuth_deg);
    v->beam_left = hidden ? 0.0L : fmaxl(0.0L, 1.0L - tree_beam * j->plan->van->array[array].in_series);
    v->sky_left = w->leg->sky_left[array] * (1.0L - tree_sky);
}

/* Whether the panels have been washed by a moment, and when last: the rain of each date is gathered from its
   first slice on, and each leg has at most one wash by hand. Slow and plain: all of the trip, every time. */
static int64_t washed_s(const journey *j, int64_t by_s, int with_rain)
{
    int64_t last_s = SW_NO_TIME, on = INT64_MIN;
    int by_hands = 0;
    for (int i = 0; i < j->legs; i++)
        by_hands = by_hands || j->leg[i].leg->washed_local_s != SW_NO_TIME;
    if (!by_hands && (!with_rain || j->record == NULL))
        return SW_NO_TIME;
    const leg_time *done = NULL;
    real fallen_mm = 0.0L;
    for (int64_t t = j->leg[0].start_s + j->slice_s / 2; t <= by_s; t += j->slice_s) {
        const leg_time *l = leg_at(j, t);
        int64_t local_s = t + offset_s(clock_at(j, t), t);
        fallen_mm = local_s / 86400 == on ? fallen_mm : 0.0L;
        on = local_s / 86400;
        if (j->record != NULL)
            fallen_mm += j->record->row[record_row(j->record, t)].rain_mm * (real)j->slice_s / 3600.0L;
        int by_hand = l->leg->washed_local_s != SW_NO_TIME && local_s >= l->leg->washed_local_s && done != l;
        done = by_hand ? l : done;
        last_s = by_hand || (with_rain && fallen_mm >= 6.0L) ? t : last_s;
    }
    return last_s;
}

/* Light behind the dirt of a moment, of that behind the dirt of the start. */
static real cleaner(const journey *j, const sw_array_spec *p, int64_t utc_s)
{
    if (p->soiling_per_day == 0.0)
        return washed_s(j, utc_s, 0) == SW_NO_TIME ? 1.0L : 1.0L / (1.0L - p->soiling);
    int64_t wash_s = washed_s(j, utc_s, 1), from_s = wash_s != SW_NO_TIME ? wash_s : j->leg[0].start_s;
    real dirt = wash_s != SW_NO_TIME ? 0.0L : p->soiling, most = fmaxl(dirt, 0.3L);
    dirt += (real)p->soiling_per_day * (utc_s - from_s) / 86400.0L;
    return (1.0L - fminl(dirt, most)) / (1.0L - p->soiling);
}

static void light_array(const journey *j, int array, const whereabouts *w, int64_t utc_s, const around *there,
                        const sun *s, const light *l, int lights, lit *sum)
{
    const sw_array_spec *p = &j->plan->van->array[array];
    int64_t local_s = utc_s + offset_s(clock_at(j, utc_s), utc_s);
    real part = (real)j->slice_s / j->step_s;
    int drives = w->leg->leg->kind == SW_LEG_DRIVE;
    int away = (p->deployed == SW_DEPLOYED_PARKED || p->hours != NULL) && drives;
    real tilt_deg = p->deployed == SW_DEPLOYED_RAISED && drives ? 0.0 : p->tilt_deg;
    real azimuth = p->facing_deg + (p->fixed_to == SW_FIXED_VAN ? w->leg->bearing_deg : 0.0L);
    const sw_leg *leg = w->leg->leg;
    int by_van = p->hours == NULL,
        snow = leg->snow_until_local_s != SW_NO_TIME && local_s / 60 * 60 < leg->snow_until_local_s;
    away = away || (by_van && (snow || leg->covered || leg->disconnected)) ||
           (!by_van && leg->kind == SW_LEG_STORE);
    if (l[0].ghi <= 0.0L || away || !clock_shows(p->hours, local_s)) {
        sum->cell += part * there->air_c;
        return;
    }
    view v = view_of(s, tilt_deg, azimuth, there->albedo);
    real clean = cleaner(j, p, utc_s);
    stand_in_shade(j, w, array, local_s, s, &v);
    for (int i = 0; i < lights; i++) {
        real incident, effective;
        on_panel(&v, s, &l[i], &incident, &effective);
        real cell = there->air_c + warmer_k(p->mounting, incident, there->wind_m_s),
             yield = clean * yield_of(effective);
        sum->yield += part / lights * yield;
        sum->yield_cell += part / lights * yield * cell;
        sum->cell += part / lights * cell;
    }
}

static void light_step(const journey *j, int outlook, happening *now)
{
    lit sum[SW_ARRAYS_MAX] = {{0}};
    int slices = j->step_s / j->slice_s;
    now->sun_w_m2 = 0.0L;
    for (int k = 0; k < slices; k++) {
        int64_t t = now->start_s + k * j->slice_s + j->slice_s / 2;
        whereabouts w = where_at(j, t);
        sun s = sun_at(t, w.lat_deg, w.lon_deg);
        around there = around_at(j, &w, t, now->air_c);
        light l[LEVELS];
        int lights = lights_of(j, &w, t, &s, outlook, l);
        for (int i = 0; i < lights; i++)
            now->sun_w_m2 += l[i].ghi / lights / slices;
        for (int a = 0; a < j->plan->van->arrays; a++)
            light_array(j, a, &w, t, &there, &s, l, lights, &sum[a]);
    }
    for (int a = 0; a < j->plan->van->arrays; a++) {
        now->yield[a] = sum[a].yield;
        now->cell_c[a] = sum[a].yield > 0.0L ? sum[a].yield_cell / sum[a].yield : sum[a].cell;
    }
}

// ---- air, road and hookup in a step ----

static int64_t overlap_s(int64_t a, int64_t b, int64_t c, int64_t d)
{
    int64_t from = a > c ? a : c, to = b < d ? b : d;
    return to > from ? to - from : 0;
}

static void place_step(const journey *j, happening *now)
{
    const sw_trip *trip = j->plan->trip;
    int64_t middle_s = now->start_s + j->step_s / 2;
    whereabouts w = where_at(j, middle_s);
    now->air_c = j->record != NULL ? record_air(j->record, middle_s, w.height_m)
                                   : air_at(w.spot, &trip->sky, middle_s, w.height_m);
    now->cabin_c = clamp(now->air_c, trip->cabin_least_c, trip->cabin_most_c);
    now->dark = !limb_up(middle_s, w.lat_deg, w.lon_deg);
    for (int i = 0; i < j->legs; i++) {
        const leg_time *t = &j->leg[i];
        int64_t inside = overlap_s(t->start_s, t->end_s, now->start_s, now->start_s + j->step_s);
        real share = (real)inside / j->step_s;
        if (t->leg->kind == SW_LEG_DRIVE) {
            now->cruise_share += share * (1.0L - t->leg->idle_share);
            int stops = j->plan->van->alternator != NULL && j->plan->van->alternator->stops;
            now->idle_share += stops ? 0.0L : share * t->leg->idle_share;
            now->driving = now->driving || 2 * inside > j->step_s;
        } else if (t->leg->kind == SW_LEG_STORE && 2 * inside > j->step_s) {
            now->laid_up = 1;
            now->cut = t->leg->disconnected;
            now->cabin_c = now->air_c;
        }
        if (!isnan(t->leg->shore_a) && 2 * inside > j->step_s && !now->cut) {
            now->plugged = 1;
            now->pedestal_va = (real)t->leg->shore_a * t->leg->shore_v * t->leg->shore_legs;
            now->pedestal_steady_share = t->leg->shore_steady;
        }
    }
}

/* What runs to charge at camp, looked at in the middle of each minute. */
static void run_engines(const journey *j, happening *now)
{
    int generating = 0, minutes = j->step_s / 60;
    for (int m = 0; m < minutes; m++) {
        int64_t utc_s = now->start_s + 60 * m + 30;
        for (int i = 0; i < j->legs; i++) {
            const leg_time *t = &j->leg[i];
            const sw_leg *leg = t->leg;
            const sw_place *place = &j->plan->trip->place[leg->place];
            if (utc_s < t->start_s || utc_s >= t->end_s)
                continue;
            int64_t local_s = utc_s + offset_s(j->spot[leg->place].clock, utc_s);
            if (place->quiet_hours != NULL && clock_shows(place->quiet_hours, local_s))
                continue;
            if (leg->engine_hours != NULL && clock_shows(leg->engine_hours, local_s))
                now->engine_share += 1.0L / minutes;
            if (leg->generator_hours != NULL && clock_shows(leg->generator_hours, local_s) &&
                isnan(leg->shore_a))
                generating++;
        }
    }
    now->idle_share += now->engine_share;
    if (2 * generating > minutes) {
        now->generating = 1;
        now->pedestal_va = j->plan->van->generator->rated_w;
        now->pedestal_steady_share = 1.0L;
    }
}

/* Newton's law of cooling, towards warm with the engine running and cold without: its integral over the step
   is what the difference to the goal loses times the time constant. */
static void warm_alternator(const journey *j, real *cold, happening *now)
{
    const sw_alternator_spec *a = j->plan->van->alternator;
    if (a == NULL)
        return;
    int runs = now->cruise_share > 0.0L || now->idle_share > 0.0L;
    real lag_s = runs ? a->warms_s : 7200.0L, goal = runs ? 0.0L : 1.0L;
    real before = *cold - goal, after = before * expl(-j->step_s / lag_s);
    now->engine_cold = goal + (before - after) * lag_s / j->step_s;
    *cold = goal + after;
}

/* The clock passes 8 between the end of the step before and that of this one's first moment. */
static void look_after(const journey *j, happening *now)
{
    int64_t at_s = now->start_s;
    const leg_time *t = &j->leg[0];
    for (int i = 0; i < j->legs; i++)
        if (at_s >= j->leg[i].start_s)
            t = &j->leg[i];
    int64_t local_s = at_s + offset_s(j->spot[t->leg->place].clock, at_s);
    int64_t of_day = (local_s % 86400 + 86400) % 86400;
    now->looked_after = !now->laid_up && of_day >= 8 * 3600 && of_day - j->step_s < 8 * 3600;
}

// ---- loads on the clock ----

/// A stretch of the trip on one clock.
typedef struct clock_run {
    int64_t start_s, end_s;
    const struct clock_rule *clock;
} clock_run;

static int clock_runs(const journey *j, clock_run out[SW_LEGS_MAX])
{
    int n = 0;
    for (int i = 0; i < j->legs; i++) {
        const leg_time *t = &j->leg[i];
        const struct clock_rule *c = j->spot[t->leg->place].clock;
        if (n > 0 && out[n - 1].clock == c)
            out[n - 1].end_s = t->end_s;
        else
            out[n++] = (clock_run){t->start_s, t->end_s, c};
    }
    return n;
}

/// What a load's power is in a step: its mean and its greatest, and whether its conditions let it run.
typedef struct draw {
    real mean_w, peak_w;
    int allowed;
} draw;

enum { USES_KEPT = 200, STRETCHES = DAYS_KEPT * USES_KEPT };

typedef struct stretch {
    int64_t from_s, to_s;
} stretch;

/// A load laid on the trip: what it draws in each step, and when it is on.
typedef struct laid {
    draw *steps;
    int stretches;
    stretch on[STRETCHES];
} laid;

static void switch_on(const journey *j, int64_t from_s, int64_t to_s, real power_w, laid *load)
{
    int64_t start_s = j->leg[0].start_s;
    ck_assert_int_lt(load->stretches, STRETCHES);
    load->on[load->stretches++] = (stretch){from_s, to_s};
    for (int i = 0; i < j->steps; i++) {
        int64_t on =
            overlap_s(from_s, to_s, start_s + (int64_t)i * j->step_s, start_s + (int64_t)(i + 1) * j->step_s);
        draw *d = &load->steps[i];
        d->mean_w += power_w * on / j->step_s;
        d->peak_w = on > 0 ? fmaxl(d->peak_w, power_w) : d->peak_w;
    }
}

static int64_t minute_on(const struct clock_rule *c, int64_t day, int minute)
{
    return utc_of(c, day * 86400 + (int64_t)minute * 60);
}

static int runs_on(const sw_load_spec *l, int64_t day)
{
    return (l->weekdays & (1u << weekday(day))) != 0;
}

static const sw_windows whole_day = {1, {0}, {1440}};

/* Its windows of one date, as far as they lie on that clock. Measured energy is the same on a day of 23 or 25
   hours. */
static void lay_windows(const journey *j, const clock_run *run, const sw_windows *hours, int64_t day,
                        real power_w, real energy_wh, laid *load)
{
    int64_t seconds = 0;
    for (int i = 0; i < hours->count; i++)
        seconds +=
            minute_on(run->clock, day, hours->to_min[i]) - minute_on(run->clock, day, hours->from_min[i]);
    if (energy_wh > 0.0L)
        power_w = seconds > 0 ? energy_wh * 3600.0L / seconds : 0.0L;
    for (int i = 0; i < hours->count; i++) {
        int64_t from = minute_on(run->clock, day, hours->from_min[i]);
        int64_t to = minute_on(run->clock, day, hours->to_min[i]);
        from = from > run->start_s ? from : run->start_s;
        to = to < run->end_s ? to : run->end_s;
        if (to > from)
            switch_on(j, from, to, power_w, load);
    }
}

/* Uses of a date, in whole numbers: files give a few decimals, so uses a day are so many millionths, and a
   day has as many as the running sum since 1970 passes whole ones. */
static int uses_on(double uses, int64_t day)
{
    int64_t millionths = llround(uses * 1e6);
    return (int)((day + 1) * millionths / 1000000 - day * millionths / 1000000);
}

/* What a clock shows at the place of a use in its day: the time given, or the middle of the use's equal part
   of the hours put end to end. */
static int use_minute(const sw_load_spec *l, int use, int count)
{
    const sw_windows *hours = l->hours != NULL ? l->hours : &whole_day;
    int minutes = 0, w = 0;
    if (l->at != NULL)
        return l->at->at_min[use];
    for (int i = 0; i < hours->count; i++)
        minutes += hours->to_min[i] - hours->from_min[i];
    int into = minutes * (2 * use + 1) / (2 * count);
    for (; into >= hours->to_min[w] - hours->from_min[w]; w++)
        into -= hours->to_min[w] - hours->from_min[w];
    return hours->from_min[w] + into;
}

/* A use begins as soon as the clock in force shows its time or a later one. Before the trip the first clock
   is in force. @return INT64_MAX if the trip is over by then */
static int64_t use_begins(const journey *j, const sw_load_spec *l, int64_t day, int minute)
{
    clock_run runs[SW_LEGS_MAX];
    int count = clock_runs(j, runs);
    int64_t begins_s = INT64_MAX, ahead_s = l->at != NULL ? 0 : llround(l->each_s) / 2;
    for (int r = 0; r < count; r++) {
        int64_t shown_s = minute_on(runs[r].clock, day, minute) - ahead_s;
        int passed = r > 0 && shown_s < runs[r].start_s;
        int64_t from_s = passed ? runs[r].start_s : shown_s;
        if (from_s >= runs[r].end_s)
            continue;
        met.arrivals += passed && begins_s == INT64_MAX;
        met.repeats += !passed && begins_s < INT64_MAX;
        begins_s = begins_s < from_s ? begins_s : from_s;
    }
    return begins_s;
}

/* Each use once. What was begun before the trip is no use of the trip. */
static void lay_uses(const journey *j, const sw_load_spec *l, int64_t day, laid *load)
{
    int count = uses_on(l->uses, day);
    ck_assert_int_le(count, USES_KEPT);
    for (int use = 0; use < count; use++) {
        int64_t begins_s = use_begins(j, l, day, use_minute(l, use, count));
        if (begins_s >= j->leg[0].start_s && begins_s < INT64_MAX)
            switch_on(j, begins_s, begins_s + llround(l->each_s), (real)l->power_w * l->count, load);
    }
}

static void lay_load(const journey *j, const sw_load_spec *l, laid *load)
{
    clock_run runs[SW_LEGS_MAX];
    int count = clock_runs(j, runs);
    int64_t first = j->leg[0].start_s / 86400 - 3, last = j->leg[j->legs - 1].end_s / 86400 + 2;
    real bank_v = (real)j->plan->van->battery.unit_v * j->plan->van->battery.series;
    real energy_wh = (isnan(l->per_day_wh) ? l->per_day_ah * bank_v : l->per_day_wh) * l->count;
    const sw_windows *hours = l->hours != NULL ? l->hours : &whole_day;
    ck_assert_int_lt(last - first, DAYS_KEPT);
    for (int64_t day = first; day <= last; day++) {
        if (!runs_on(l, day))
            continue;
        int use = l->kind == SW_LOAD_USE || l->kind == SW_LOAD_HOT_WATER;
        if (use)
            lay_uses(j, l, day, load);
        for (int r = 0; r < count && !use; r++)
            lay_windows(j, &runs[r], hours, day, (real)l->power_w * l->count,
                        l->kind == SW_LOAD_MEASURED ? energy_wh : 0.0L, load);
    }
}

static int allowed(const sw_load_spec *l, const happening *now)
{
    if (now->cut || (now->laid_up && !l->stored))
        return 0;
    if (((l->when & SW_WHEN_PARKED) && now->driving) || ((l->when & SW_WHEN_DRIVING) && !now->driving) ||
        ((l->when & SW_WHEN_SHORE) && !now->plugged) || ((l->when & SW_WHEN_OFF_GRID) && now->plugged) ||
        ((l->when & SW_WHEN_DARK) && !now->dark) || ((l->when & SW_WHEN_LIGHT) && now->dark))
        return 0;
    return (isnan(l->outside_above_c) || !at_most(now->air_c, l->outside_above_c)) &&
           (isnan(l->outside_below_c) || !at_most(l->outside_below_c, now->air_c)) &&
           (isnan(l->cabin_above_c) || !at_most(now->cabin_c, l->cabin_above_c)) &&
           (isnan(l->cabin_below_c) || !at_most(l->cabin_below_c, now->cabin_c));
}

static int by_beginning(const void *a, const void *b)
{
    const stretch *x = a, *y = b;
    return (x->from_s > y->from_s) - (x->from_s < y->from_s);
}

/* Adds a stretch behind others that begin no later; where they touch or overlap they are one. */
static int join(stretch *all, int count, stretch next)
{
    stretch *before = count > 0 ? &all[count - 1] : NULL;
    if (next.to_s <= next.from_s)
        return count;
    if (before == NULL || next.from_s > before->to_s) {
        all[count] = next;
        return count + 1;
    }
    before->to_s = before->to_s > next.to_s ? before->to_s : next.to_s;
    return count;
}

static stretch common(stretch a, stretch b)
{
    return (stretch){a.from_s > b.from_s ? a.from_s : b.from_s, a.to_s < b.to_s ? a.to_s : b.to_s};
}

static stretch step_at(const journey *j, int i)
{
    int64_t from_s = j->leg[0].start_s + (int64_t)i * j->step_s;
    return (stretch){from_s, from_s + j->step_s};
}

/* When a load is really on: as its hours and uses say, less the steps in which its conditions forbid it.
   `out` has room for as many as there are stretches and steps. */
static int truly_on(const journey *j, laid *load, stretch *out)
{
    int stretches = 0, count = 0;
    qsort(load->on, (size_t)load->stretches, sizeof load->on[0], by_beginning);
    for (int k = 0; k < load->stretches; k++)
        stretches = join(load->on, stretches, load->on[k]);
    load->stretches = stretches;
    for (int i = 0; i < j->steps; i++)
        for (int k = 0; k < stretches && load->steps[i].allowed; k++)
            count = join(out, count, common(load->on[k], step_at(j, i)));
    return count;
}

/* AC that is on for three hours without a break counts against a hookup's limit for that, in every step that
   it touches. */
static void mark_steady(const journey *j, const sw_load_spec *l, laid *load, happening *step)
{
    stretch *on = calloc((size_t)(load->stretches + j->steps), sizeof *on);
    ck_assert_ptr_nonnull(on);
    int count = truly_on(j, load, on);
    for (int i = 0; i < j->steps; i++) {
        int within = 0;
        for (int k = 0; k < count; k++) {
            stretch inside = common(on[k], step_at(j, i));
            within = within || (on[k].to_s - on[k].from_s >= 3 * 3600 && inside.to_s > inside.from_s);
        }
        step[i].steady_w[l->held] += within ? load->steps[i].peak_w : 0.0L;
    }
    free(on);
}

static laid *nothing_laid(const journey *j)
{
    laid *load = calloc(1, sizeof *load);
    ck_assert_ptr_nonnull(load);
    load->steps = calloc((size_t)j->steps, sizeof *load->steps);
    ck_assert_ptr_nonnull(load->steps);
    return load;
}

static void forget_laid(laid *load)
{
    free(load->steps);
    free(load);
}

static void lay_one(const journey *j, int number, happening *step)
{
    const sw_load_spec *l = &j->plan->van->load[number];
    laid *load = nothing_laid(j);
    lay_load(j, l, load);
    for (int i = 0; i < j->steps; i++) {
        draw *d = &load->steps[i];
        d->allowed = allowed(l, &step[i]);
        d->mean_w *= d->allowed ? (l->kind == SW_LOAD_MEASURED ? 1.0L : l->duty) : 0.0L;
        d->peak_w = d->allowed ? fmaxl(d->peak_w, d->mean_w) : 0.0L;
        step[i].load_w[number] = d->mean_w;
        step[i].mean_w[l->bus][l->held] += d->mean_w;
        step[i].peak_w[l->bus][l->held] += d->peak_w;
    }
    if (l->bus == SW_BUS_AC)
        mark_steady(j, l, load, step);
    forget_laid(load);
}

static int is_thermostat(const sw_load_spec *l)
{
    return l->kind == SW_LOAD_HEATER || l->kind == SW_LOAD_EVAPORATIVE || l->kind == SW_LOAD_AIRCON ||
           l->kind == SW_LOAD_FAN;
}

static void lay_loads(const journey *j, int with_eye_on_cabin, happening *step)
{
    for (int k = 0; k < j->plan->van->loads; k++) {
        const sw_load_spec *l = &j->plan->van->load[k];
        int eye = !isnan(l->cabin_above_c) || !isnan(l->cabin_below_c);
        // A fridge follows the cabin, in the march.
        if (l->kind != SW_LOAD_FRIDGE && !is_thermostat(l) && eye == with_eye_on_cabin)
            lay_one(j, k, step);
    }
}

// ---- the cabin ----

/* Magnus over Stull: what the dew point makes of the air, and where wet pads bring it. */
static real wet_bulb(real air_c, real rh)
{
    return air_c * atanl(0.151977L * sqrtl(rh + 8.313659L)) + atanl(air_c + rh) - atanl(rh - 1.676331L) +
           0.00391838L * powl(rh, 1.5L) * atanl(0.023101L * rh) - 4.686035L;
}

static real vapour(real c)
{
    return expl(17.27L * c / (c + 237.3L));
}

/* Without a record: 2 K under the lowest air within half a day. */
static real damp_pct(const journey *j, const happening *step, int i)
{
    if (j->record != NULL)
        return 40.0L; // random records have one humidity
    real dew_c = step[i].air_c;
    for (int k = 0; k < j->steps; k++)
        if (abs(k - i) * (int64_t)j->step_s <= 43200 / j->step_s * j->step_s)
            dew_c = fminl(dew_c, step[k].air_c);
    return 100.0L * vapour(dew_c - 2.0L) / vapour(step[i].air_c);
}

/// The walls, an own draft and gains; `c` is the temperature.
typedef struct chamber {
    real c, wall_w_k, outside_c, draft_w_k, draft_c, gains_w, hours;
} chamber;

static real chamber_ends_at(const chamber *r)
{
    real flow = r->wall_w_k + r->draft_w_k;
    real rest = (r->wall_w_k * r->outside_c + r->draft_w_k * r->draft_c + r->gains_w) / flow;
    return rest + (r->c - rest) * expl(-flow * r->hours / 100.0L); // 100 Wh/K
}

/* The share of a machine by halving: of its heat (cold where negative), or of its draft. */
static real share_wanted(const chamber *r, real keeps_c, real heat_w, real draft_w_k)
{
    int cools = heat_w <= 0.0L;
    real low = 0.0L, high = 1.0L;
    for (int i = 0; i < 70; i++) {
        chamber with = *r;
        real middle = i == 0 ? 0.0L : i == 1 ? 1.0L : (low + high) / 2.0L;
        with.gains_w += middle * heat_w;
        with.draft_w_k += middle * draft_w_k;
        int enough = cools ? chamber_ends_at(&with) <= keeps_c : chamber_ends_at(&with) >= keeps_c;
        if ((i == 0 && enough) || (i == 1 && !enough))
            return middle;
        if (enough)
            high = middle;
        else
            low = middle;
    }
    return (low + high) / 2.0L;
}

/* When it may run, as a load of a watt that has the same hours and conditions. */
static void may_run(const journey *j, const sw_load_spec *l, const happening *step, real *out)
{
    sw_load_spec watt = *l;
    laid *load = nothing_laid(j);
    watt.kind = SW_LOAD_STEADY;
    watt.power_w = 1.0;
    watt.count = 1;
    lay_load(j, &watt, load);
    for (int i = 0; i < j->steps; i++) {
        int fed = l->bus == SW_BUS_DC || step[i].plugged || step[i].generating || step[i].inverter_on;
        out[i] = fed && allowed(l, &step[i]) ? load->steps[i].mean_w : 0.0L;
    }
    forget_laid(load);
}

static void run_thermostat(const journey *j, int number, int i, real may, happening *step, chamber *r)
{
    const sw_load_spec *l = &j->plan->van->load[number];
    real share = 0.0L;
    if (l->kind == SW_LOAD_FAN) {
        whereabouts w = where_at(j, step[i].start_s + j->step_s / 2);
        real stream =
            l->airflow_m3_h * l->count * may / 3600.0L * 1.2L * expl(-w.height_m / 8434.5L) * 1006.0L;
        chamber open = *r;
        open.wall_w_k += stream;
        if (may > 0.0L && chamber_ends_at(&open) < chamber_ends_at(r)) {
            chamber as_draft = *r;
            as_draft.draft_c = r->outside_c;
            share = share_wanted(&as_draft, l->keeps_c, 0.0L, stream);
        }
        r->wall_w_k += share * stream;
    } else if (l->kind == SW_LOAD_EVAPORATIVE) {
        whereabouts w = where_at(j, step[i].start_s + j->step_s / 2);
        real rh = damp_pct(j, step, i), air = step[i].air_c;
        r->draft_c = air - l->effectiveness * (air - fminl(air, wet_bulb(air, rh)));
        real stream =
            l->airflow_m3_h * l->count * may / 3600.0L * 1.2L * expl(-w.height_m / 8434.5L) * 1006.0L;
        chamber blown = *r;
        blown.draft_w_k = stream;
        int cools = chamber_ends_at(&blown) < chamber_ends_at(r);
        share = may > 0.0L && cools ? share_wanted(r, l->keeps_c, 0.0L, stream) : 0.0L;
        r->draft_w_k = share * stream;
        step[i].liquid_l[number] = r->draft_w_k * (air - r->draft_c) / 2.45e6L * 3600.0L * r->hours;
    } else {
        real heat = (l->kind == SW_LOAD_HEATER ? 1.0L : -1.0L) * l->heat_w * l->count * may;
        share = may > 0.0L ? share_wanted(r, l->keeps_c, heat, 0.0L) : 0.0L;
        r->gains_w += share * heat;
        if (l->kind == SW_LOAD_HEATER && !isnan(l->fuel_l))
            step[i].liquid_l[number] = share * may * l->fuel_l * l->count * r->hours;
    }
    real watts = share * may * l->power_w * l->count, at_once = watts > 0.0L ? l->power_w : 0.0L;
    step[i].fires[number] = l->kind == SW_LOAD_HEATER && watts > 0.0L;
    if (l->kind == SW_LOAD_HEATER && l->start_w > 0.0) {
        real glows = 0.0L; // how long: each start of the last hour burns on into this step
        for (int k = i; k >= 0 && (i - k) * j->step_s < l->start_s; k--)
            if (step[k].fires[number] && (k == 0 || !step[k - 1].fires[number])) {
                glows = fminl(l->start_s - (i - k) * j->step_s, j->step_s);
                break;
            }
        watts += l->start_w * l->count * glows / j->step_s;
        at_once = watts > 0.0L ? l->power_w + (glows > 0.0L ? l->start_w : 0.0L) : 0.0L;
    }
    step[i].load_w[number] = watts;
    step[i].mean_w[l->bus][l->held] += watts;
    step[i].peak_w[l->bus][l->held] += at_once * l->count;
    if (l->bus == SW_BUS_AC)
        step[i].steady_w[l->held] += watts;
}

static void live_in_cabin(const journey *j, happening *step)
{
    static const int order[] = {SW_LOAD_HEATER, SW_LOAD_FAN, SW_LOAD_EVAPORATIVE, SW_LOAD_AIRCON};
    const sw_van *van = j->plan->van;
    const sw_cabin_spec *cabin = van->cabin;
    real *may = calloc((size_t)van->loads * (size_t)j->steps, sizeof *may);
    ck_assert_ptr_nonnull(may);
    for (int k = 0; k < van->loads; k++)
        if (is_thermostat(&van->load[k]))
            may_run(j, &van->load[k], step, may + (size_t)k * (size_t)j->steps);
    chamber r = {
        .c = clamp(step[0].air_c, 10.0L, 30.0L), .wall_w_k = cabin->loss_w_k, .hours = j->step_s / 3600.0L};
    for (int i = 0; i < j->steps; i++) {
        happening now = step[i];
        light_step(j, SW_OUTLOOK_MAIN, &now);
        r.outside_c = step[i].air_c;
        r.draft_w_k = 0.0L;
        r.wall_w_k = cabin->loss_w_k;
        r.gains_w = (cabin->covers && !step[i].driving ? 0.3L : 1.0L) * cabin->glass_m2 * now.sun_w_m2 +
                    75.0L * (j->plan->trip->people > 0 && !step[i].laid_up ? j->plan->trip->people : 0);
        for (int k = 0; k < van->loads; k++)
            r.gains_w += van->load[k].kind == SW_LOAD_FRIDGE && step[i].laid_up ? 0.0L
                         : van->load[k].kind == SW_LOAD_FRIDGE
                             ? (real)van->load[k].reference_wh / 24.0L * van->load[k].count
                             : step[i].load_w[k];
        for (int turn = 0; turn < 4; turn++)
            for (int k = 0; k < van->loads; k++)
                if (van->load[k].kind == order[turn])
                    run_thermostat(j, k, i, may[(size_t)k * (size_t)j->steps + (size_t)i], step, &r);
        real after = chamber_ends_at(&r);
        step[i].cabin_c = (r.c + after) / 2.0L;
        r.c = after;
    }
    free(may);
}

static void switch_inverter(const journey *j, happening *step)
{
    const sw_inverter_spec *inverter = j->plan->van->inverter;
    if (inverter == NULL)
        return;
    sw_load_spec as_load = {.kind = SW_LOAD_STEADY, .power_w = 1.0, .count = 1, .weekdays = 127};
    as_load.hours = inverter->hours;
    as_load.per_day_wh = as_load.per_day_ah = 0.0;
    laid *load = nothing_laid(j);
    lay_load(j, &as_load, load);
    for (int i = 0; i < j->steps; i++)
        step[i].inverter_on = load->steps[i].mean_w > 0.5L && !step[i].laid_up;
    forget_laid(load);
}

// ---- a trip, step by step ----

/* Everything but the light, which has an outlook. */
static happening *happenings_of(journey *j)
{
    j->record_keeps_beam = j->record != NULL && keeps_beam(j);
    happening *step = calloc((size_t)j->steps, sizeof *step);
    ck_assert_ptr_nonnull(step);
    real cold = 1.0L;
    for (int i = 0; i < j->steps; i++) {
        step[i].start_s = j->leg[0].start_s + (int64_t)i * j->step_s;
        place_step(j, &step[i]);
        run_engines(j, &step[i]);
        warm_alternator(j, &cold, &step[i]);
        look_after(j, &step[i]);
    }
    switch_inverter(j, step);
    lay_loads(j, 0, step);
    if (j->plan->van->cabin != NULL)
        live_in_cabin(j, step);
    lay_loads(j, 1, step);
    return step;
}

/* Rows are local hours of local days; when the clocks change, an hour shown twice is two rows, and the trip's
   day never goes back. */
static int *rows_of(const journey *j, const happening *step)
{
    int *row_of = calloc((size_t)j->steps, sizeof *row_of);
    ck_assert_ptr_nonnull(row_of);
    int64_t hour_before = 0, day_before = 0;
    for (int i = 0, row = -1; i < j->steps; i++) {
        int32_t offset = offset_s(clock_at(j, step[i].start_s), step[i].start_s);
        int64_t local = step[i].start_s + offset;
        int64_t hour = local / 3600 * 3600 - offset, day = local / 86400;
        day = day > day_before ? day : day_before;
        row += hour != hour_before || day != day_before;
        hour_before = hour;
        day_before = day;
        row_of[i] = row;
    }
    return row_of;
}

// ---- battery: two chemistries ----

typedef struct chemistry {
    line rest_v; // of a 12 V unit, against charge 0..1
    line charging, reach, ohm_ratio;
    real absorption_per_k, acceptance_h, peukert, lost_in_30_days, kg_of_100ah;
} chemistry;

/* Safari & Delacourt 2011, J. Electrochem. Soc. 158: A63 eq. 10 and A562, volt against lithium. */
static real iron_phosphate_v(real y)
{
    real e = 1.0L - y;
    return 3.4323L - 0.8428L * expl(-80.2493L * powl(e, 1.3198L)) -
           3.2474e-6L * expl(20.2645L * powl(e, 3.8003L)) + 3.2482e-6L * expl(20.2646L * powl(e, 3.7995L));
}

static real graphite_v(real x)
{
    return 0.6379L + 0.5416L * expl(-305.5309L * x) + 0.044L * tanhl(-(x - 0.1958L) / 0.1088L) -
           0.1978L * tanhl((x - 1.0571L) / 0.0854L) - 0.6875L * tanhl((x + 0.0117L) / 0.0529L) -
           0.0175L * tanhl((x - 0.5692L) / 0.0875L);
}

/* Lithium: four cells between the windows x 0.01..0.80 and y 0.96..0.05, to a millivolt. The rest is typical,
   from memory, as it stands beside the library's tables. */
static void lithium(chemistry *c)
{
    static const real soc[12] = {0.0L,  0.02L, 0.05L, 0.10L, 0.20L, 0.30L,
                                 0.40L, 0.60L, 0.80L, 0.95L, 0.98L, 1.0L};
    *c = (chemistry){.charging = {1, {0.0L}, {0.995L}},
                     .reach = {6, {-20, -10, 0, 10, 25, 45}, {0.65L, 0.78L, 0.87L, 0.95L, 1, 1}},
                     .ohm_ratio = {6, {-20, -10, 0, 10, 25, 45}, {4, 2.8L, 2, 1.5L, 1, 0.8L}},
                     .peukert = 1.0L,
                     .lost_in_30_days = 0.02L,
                     .kg_of_100ah = 11.5L};
    c->rest_v.points = 12;
    for (int i = 0; i < 12; i++) {
        real cell = iron_phosphate_v(0.96L - 0.91L * soc[i]) - graphite_v(0.01L + 0.79L * soc[i]);
        c->rest_v.x[i] = soc[i];
        c->rest_v.y[i] = roundl(4000.0L * cell) / 1000.0L;
    }
}

/* AGM: common figures, from memory; the reach in the cold down to -3.9 C is one over the temperature factors
   of IEEE 485 (1.520, 1.300, 1.190, 1.080), to three digits. */
static void absorbed_glass(chemistry *c)
{
    static const real factor[4] = {1.520L, 1.300L, 1.190L, 1.080L};
    *c = (chemistry){.rest_v = {5, {0, 0.25L, 0.5L, 0.75L, 1}, {11.70L, 11.95L, 12.15L, 12.45L, 12.75L}},
                     .charging = {4, {0, 0.8L, 0.9L, 1}, {0.98L, 0.95L, 0.85L, 0.60L}},
                     .reach = {7, {-20, -3.9L, 4.4L, 10, 18.3L, 25, 45}, {0.45L, 0, 0, 0, 0, 1, 1}},
                     .ohm_ratio = {4, {-20, 0, 25, 45}, {2, 1.4L, 1, 0.9L}},
                     .absorption_per_k = -0.024L,
                     .acceptance_h = 1.5L,
                     .peukert = 1.10L,
                     .lost_in_30_days = 0.02L,
                     .kg_of_100ah = 30.0L};
    for (int i = 0; i < 4; i++)
        c->reach.y[i + 1] = roundl(1000.0L / factor[i]) / 1000.0L;
}

// ---- the van in the terms of its bank ----

typedef struct cold_box {
    real set_c, watts_at_reference, reference_rise_k, rated_w;
    int bus, held, load;
} cold_box;

typedef struct rig {
    const sw_van *plan;
    chemistry cells;
    real over_12v, full_ah, rated_ah, ohm_25c;
    real charge_a, discharge_a, absorption_v, cut_out_v, restart_v;
    real panel_w[SW_ARRAYS_MAX];
    real controller_efficiency, controller_a, controller_own_w;
    real cruise_w, idle_w, cold_cruise_w, cold_idle_w;
    real heat_wh_k; // of the bank
    real inlet_va, charger_w, charger_efficiency, charger_factor;
    real inverter_w, inverter_idle_w, inverter_k1, inverter_k2, inverter_cut_v, inverter_restart_v;
    int fridges;
    cold_box fridge[SW_THERMAL_MAX];
} rig;

static void van_bank(rig *v)
{
    const sw_battery_spec *b = &v->plan->battery;
    if (b->chemistry == SW_AGM)
        absorbed_glass(&v->cells);
    else
        lithium(&v->cells);
    v->over_12v = b->unit_v * b->series / 12.0L;
    v->rated_ah = (real)b->capacity_ah * b->parallel;
    v->full_ah = v->rated_ah * b->health;
    v->ohm_25c = (real)b->resistance_ohm * b->series / b->parallel;
    v->charge_a = (real)b->charge_limit_a * b->parallel;
    v->discharge_a = (real)b->discharge_limit_a * b->parallel;
    v->absorption_v = (real)b->absorption_v * b->series;
    v->cut_out_v = (real)b->cut_out_v * b->series;
    v->restart_v = (real)b->restart_v * b->series;
    real unit_kg = b->cost.mass_kg > 0.0 ? (real)b->cost.mass_kg
                                         : v->cells.kg_of_100ah * b->capacity_ah * b->unit_v / 1200.0L;
    v->heat_wh_k = unit_kg * b->series * b->parallel / 3.6L; // 1 kJ of a kg and kelvin
}

/* Loss per rated watt p0 + k1 p + k2 p^2 through three figures: k1 + 2 sqrt(p0 k2) = 1/peak - 1 and
   p0 + k1 + k2 = 1/full - 1. The second less the first is (sqrt(k2) - sqrt(p0))^2. */
static void van_inverter(rig *v)
{
    const sw_inverter_spec *i = v->plan->inverter;
    if (i == NULL)
        return;
    real p0 = (real)i->idle_w / i->rated_w;
    real root = sqrtl(p0) + sqrtl(1.0L / i->full_efficiency - 1.0L / i->peak_efficiency);
    v->inverter_w = i->rated_w;
    v->inverter_idle_w = i->idle_w;
    v->inverter_k1 = 1.0L / i->full_efficiency - 1.0L - p0 - root * root;
    v->inverter_k2 = root * root / i->rated_w;
    v->inverter_cut_v = i->cut_out_v;
    v->inverter_restart_v = i->restart_v;
}

static void van_sources(rig *v)
{
    const sw_alternator_spec *a = v->plan->alternator;
    const sw_shore_spec *s = v->plan->shore;
    for (int k = 0; k < v->plan->arrays; k++) {
        const sw_array_spec *p = &v->plan->array[k];
        v->panel_w[k] = (real)p->rated_w * p->panels * (1.0L - p->soiling) * (1.0L - p->wiring) *
                        (1.0L - p->mismatch) * (1.0L - p->ageing) * (1.0L - p->roof_shade);
    }
    if (v->plan->controller != NULL && v->plan->arrays > 0) {
        v->controller_efficiency = v->plan->controller->efficiency;
        v->controller_a = v->plan->controller->limit_a;
        v->controller_own_w = v->plan->controller->self_w;
    }
    if (a != NULL && a->path == 0) {
        real per_ampere_w = (real)a->converter_efficiency * a->alternator_v;
        real cold_road_a = isnan(a->cold_cruise_a) ? a->spare_cruise_a : a->cold_cruise_a;
        real cold_idle_a = isnan(a->cold_idle_a) ? a->spare_idle_a : a->cold_idle_a;
        v->cruise_w = fminl(per_ampere_w * a->spare_cruise_a, a->converter_w);
        v->idle_w = fminl(per_ampere_w * a->spare_idle_a, a->converter_w);
        v->cold_cruise_w = fminl(per_ampere_w * cold_road_a, a->converter_w);
        v->cold_idle_w = fminl(per_ampere_w * cold_idle_a, a->converter_w);
    }
    v->charger_efficiency = v->charger_factor = 1.0L;
    if (s != NULL) {
        v->inlet_va = (real)s->inlet_a * s->inlet_v * s->hot_legs;
        v->charger_w = s->charger_w;
        v->charger_efficiency = s->charger_efficiency;
        v->charger_factor = s->charger_power_factor;
    }
}

static void van_of(const sw_van *plan, rig *v)
{
    *v = (rig){.plan = plan};
    van_bank(v);
    van_sources(v);
    van_inverter(v);
    for (int k = 0; k < plan->loads; k++) {
        const sw_load_spec *l = &plan->load[k];
        if (l->kind == SW_LOAD_FRIDGE)
            v->fridge[v->fridges++] = (cold_box){l->set_c,
                                                 l->reference_wh * (real)l->count / 24.0L,
                                                 (real)l->reference_c - l->set_c,
                                                 l->power_w * (real)l->count,
                                                 l->bus,
                                                 l->held,
                                                 k};
    }
}

// ---- the march: battery ----

typedef struct state {
    real charge_ah, battery_c, hour_mean_a;
    int inverter_off, battery_off; // held off by a low voltage, until the voltage is back
} state;

/// The battery as it is while a step lasts.
typedef struct cell {
    real hours, charge_ah, rest_v, ohm, eta, floor_ah, own_loss_w;
} cell;

static real rest_v(const rig *v, real charge_ah)
{
    return v->over_12v * line_at(&v->cells.rest_v, charge_ah / v->full_ah);
}

/* Stored energy: rest voltage integrated over charge. */
static real stored_wh(const rig *v, real charge_ah)
{
    return v->over_12v * v->full_ah * line_area(&v->cells.rest_v, charge_ah / v->full_ah);
}

/* Peukert's share ratio^(1 - k) of the current over the 20-hour one, on chords whose ends lie at 1.5^n,
   n = 0..8; the last chord goes on. */
static real peukert_share(const rig *v, real current_a)
{
    real ratio = current_a * 20.0L / v->rated_ah, k = v->cells.peukert, low = 1.0L;
    if (ratio <= 1.0L || k == 1.0L)
        return 1.0L;
    for (int n = 0; n < 7 && ratio > 1.5L * low; n++)
        low *= 1.5L;
    real at_low = powl(low, 1.0L - k), at_high = powl(1.5L * low, 1.0L - k);
    return at_low + (at_high - at_low) * (ratio - low) / (0.5L * low);
}

/* Resistance, efficiency and what is locked are those of the step's beginning; then self-discharge and the
   management's draw leave through the cell. */
static cell cell_begins(const rig *v, const state *s, real hours)
{
    real own_a = s->charge_ah * v->cells.lost_in_30_days / 720.0L +
                 v->plan->battery.management_w / rest_v(v, s->charge_ah);
    cell c = {.hours = hours, .charge_ah = fmaxl(0.0L, s->charge_ah - own_a * hours)};
    c.ohm = v->ohm_25c * line_at(&v->cells.ohm_ratio, s->battery_c);
    c.eta = line_at(&v->cells.charging, s->charge_ah / v->full_ah);
    c.own_loss_w = (stored_wh(v, s->charge_ah) - stored_wh(v, c.charge_ah)) / hours;
    c.rest_v = rest_v(v, c.charge_ah);
    real cold = (1.0L - line_at(&v->cells.reach, s->battery_c)) * v->plan->battery.cold_loss;
    real reach = (1.0L - cold) * peukert_share(v, s->hour_mean_a);
    c.floor_ah = v->full_ah * (1.0L - clamp(reach, 0.0L, 1.0L));
    return c;
}

/* Power at the terminals for a charging current held through the step. */
static real charging_w(const rig *v, const cell *c, real current_a)
{
    real gained = stored_wh(v, c->charge_ah + c->eta * current_a * c->hours) - stored_wh(v, c->charge_ah);
    return gained / (c->eta * c->hours) + c->ohm * current_a * current_a;
}

/* The current with which the terminals stand at the absorption voltage when the step ends, by halving. */
static real tapered_a(const rig *v, const cell *c, real battery_c)
{
    real target = v->absorption_v + v->cells.absorption_per_k * v->over_12v * (battery_c - 25.0L);
    real low = 0.0L, high = fmaxl(0.0L, target) / c->ohm;
    for (int i = 0; i < 80; i++) {
        real middle = (low + high) / 2.0L;
        if (rest_v(v, c->charge_ah + c->eta * middle * c->hours) + c->ohm * middle <= target)
            low = middle;
        else
            high = middle;
    }
    return low;
}

/* What the battery would take: now, and if cold forbade nothing. */
static void battery_takes(const rig *v, const cell *c, real battery_c, real *takes_w, real *warm_w)
{
    const sw_battery_spec *b = &v->plan->battery;
    real room_ah = fmaxl(0.0L, v->full_ah - c->charge_ah), stored_h = c->eta * c->hours;
    // The mean over the step of a current that dies away with the room, and no more than fills it.
    real accepted = fminl(room_ah / (v->cells.acceptance_h + stored_h / 2.0L), room_ah / stored_h);
    real limit_a = fminl(v->charge_a, accepted), taper_a = tapered_a(v, c, battery_c);
    real warm_a = fminl(limit_a, taper_a);
    met.tapers += taper_a < limit_a;
    real ramp_k = fmaxl((real)b->cold_full_c - b->cold_stop_c, 0.01L);
    real hot_k = fmaxl((real)b->hot_stop_c - b->hot_full_c, 0.01L);
    real allowed =
        clamp(fminl((battery_c - b->cold_stop_c) / ramp_k, (b->hot_stop_c - battery_c) / hot_k), 0.0L, 1.0L);
    *takes_w = charging_w(v, c, fminl(warm_a, allowed * v->charge_a));
    *warm_w = charging_w(v, c, warm_a);
}

/* Current that pulls the terminals down to a voltage, or to half the rest voltage, where power is greatest.
 */
static real current_down_to(const cell *c, real low_v)
{
    return fmaxl(0.0L, c->rest_v - fmaxl(low_v, c->rest_v / 2.0L)) / c->ohm;
}

static real terminal_w(const cell *c, real current_a)
{
    return current_a * (c->rest_v - c->ohm * current_a);
}

typedef struct gift {
    real moment_w, moment_above_inverter_cut_w, mean_w;
    real full_moment_w, full_above_inverter_cut_w; // if the battery were full
    int charge_binds;                              // the mean hangs on what is left, not on the rate
    int voltage_binds;                             // and the rate on the voltage, not on the limit
} gift;

static gift battery_gives(const rig *v, const state *s, const cell *c)
{
    if (s->battery_off || s->battery_c <= v->plan->battery.discharge_stop_c)
        return (gift){0};
    real most_a = fminl(v->discharge_a, current_down_to(c, v->cut_out_v));
    real lasting_a = fmaxl(0.0L, c->charge_ah - c->floor_ah) / c->hours, mean_a = fminl(most_a, lasting_a);
    cell full = *c;
    full.rest_v = rest_v(v, v->full_ah);
    real full_a = fminl(v->discharge_a, current_down_to(&full, v->cut_out_v));
    real given_wh = stored_wh(v, c->charge_ah) - stored_wh(v, c->charge_ah - mean_a * c->hours);
    return (gift){.moment_w = terminal_w(c, most_a),
                  .moment_above_inverter_cut_w =
                      terminal_w(c, fminl(most_a, current_down_to(c, v->inverter_cut_v))),
                  .mean_w = given_wh / c->hours - c->ohm * mean_a * mean_a,
                  .full_moment_w = terminal_w(&full, full_a),
                  .full_above_inverter_cut_w =
                      terminal_w(&full, fminl(full_a, current_down_to(&full, v->inverter_cut_v))),
                  .charge_binds = lasting_a < most_a,
                  .voltage_binds = current_down_to(c, v->cut_out_v) < v->discharge_a};
}

/* Energy at the terminals when `ah` leave the cell at an even current. */
static real given_by(const rig *v, const cell *c, real ah)
{
    return stored_wh(v, c->charge_ah) - stored_wh(v, c->charge_ah - ah) - c->ohm * ah * ah / c->hours;
}

/* The charge that leaves for a power; the energy given rises with it up to the charge at which one ampere
   more costs as much as it brings. */
static real discharge_ah(const rig *v, const cell *c, real watts)
{
    real low = 0.0L, high = c->rest_v / (2.0L * c->ohm) * c->hours;
    for (int i = 0; i < 80; i++) {
        real middle = (low + high) / 2.0L;
        if (rest_v(v, c->charge_ah - middle) > 2.0L * c->ohm * middle / c->hours)
            low = middle;
        else
            high = middle;
    }
    high = low;
    low = 0.0L;
    for (int i = 0; i < 80; i++) {
        real middle = (low + high) / 2.0L;
        if (given_by(v, c, middle) < watts * c->hours)
            low = middle;
        else
            high = middle;
    }
    return low;
}

/* The current that a charging power drives. */
static real charging_a(const rig *v, const cell *c, real watts)
{
    real low = 0.0L, high = watts / c->rest_v * 2.0L + 1.0L;
    for (int i = 0; i < 80; i++) {
        real middle = (low + high) / 2.0L;
        if (charging_w(v, c, middle) < watts)
            low = middle;
        else
            high = middle;
    }
    return low;
}

// ---- the march: house ----

typedef enum why { KEPT, HELD_BACK, NO_AC, OVERLOAD, EMPTY, RATE, SAG } why;

/// What the house asks and gets in a step.
typedef struct house {
    real asked[SW_BUS_COUNT][SW_HELD_COUNT], peak[SW_BUS_COUNT][SW_HELD_COUNT];
    int served[SW_BUS_COUNT][SW_HELD_COUNT];
    why lost[SW_BUS_COUNT][SW_HELD_COUNT];
    real fridge_w[SW_THERMAL_MAX], warming_w;
    real shore_va; // of inlet and pedestal; 0 without
    real solar_w, clipped_w, alternator_w, charger_w, shore_ac_w;
    real inverter_over_w, shore_over_w;
    int on_inverter; // AC hangs on an inverter that is on
    int dear_kept, empties, sags;
    real controller_w, pad_asks_w, pad_on_battery_w; // heater of the bank
} house;

/* A compressor: leak and lift both grow with the rise, the condenser stands 25 K above the cabin. */
static real fridge_wants_w(const cold_box *f, real cabin_c)
{
    real rise = fmaxl(0.0L, cabin_c - f->set_c), reference = f->reference_rise_k;
    return f->watts_at_reference * (rise / reference) * ((rise + 25.0L) / (reference + 25.0L));
}

static void house_asks(const rig *v, const happening *now, real soc, house *h)
{
    memcpy(h->asked, now->mean_w, sizeof h->asked);
    memcpy(h->peak, now->peak_w, sizeof h->peak);
    for (int i = 0; i < v->fridges; i++) {
        const cold_box *f = &v->fridge[i];
        real wants = now->laid_up ? 0.0L : fridge_wants_w(f, now->cabin_c), draws = fminl(wants, f->rated_w);
        h->fridge_w[i] = draws;
        h->warming_w += wants - draws;
        h->asked[f->bus][f->held] += draws;
        h->peak[f->bus][f->held] += draws > 0.0L ? f->rated_w : 0.0L;
    }
    int held_back = !at_most(v->plan->hold_back_below, soc);
    for (int bus = 0; bus < SW_BUS_COUNT; bus++)
        for (int held = 0; held < SW_HELD_COUNT; held++) {
            int back = held_back && held == SW_CAN_WAIT;
            h->served[bus][held] = !back;
            h->lost[bus][held] = back ? HELD_BACK : KEPT;
        }
}

static real served_w(const house *h, int bus)
{
    real sum = 0.0L;
    for (int held = 0; held < SW_HELD_COUNT; held++)
        sum += h->served[bus][held] ? h->asked[bus][held] : 0.0L;
    return sum;
}

static void sources_offer(const rig *v, const happening *now, const cell *c, house *h)
{
    real panels = 0.0L, best = 0.0L;
    for (int a = 0; a < v->plan->arrays; a++) {
        const sw_array_spec *p = &v->plan->array[a];
        real warm_k = now->cell_c[a] - 25.0L, hot = 1.0L + p->gamma_per_k * warm_k;
        real at_best = v->panel_w[a] * fmaxl(0.0L, now->yield[a] * hot), held = at_best;
        // At the voltage of the battery: the current of the best point, 0.05 % more a kelvin, up to the
        // voltage of that point, and less from there to that of open panels.
        if (v->plan->controller->kind == 1) {
            real best_v = (real)p->working_v * p->in_series,
                 string_a = v->panel_w[a] / best_v * now->yield[a];
            real warm_v = best_v * fmaxl(hot, 0.05L), open_v = 1.2L * warm_v;
            real share = clamp((open_v - c->rest_v) / (open_v - warm_v), 0.0L, 1.0L);
            held = fmaxl(0.0L, fminl(at_best, string_a * (1.0L + 5e-4L * warm_k) * share * c->rest_v));
        }
        best += at_best * v->controller_efficiency;
        panels += held * v->controller_efficiency;
    }
    h->solar_w = fminl(panels, v->controller_a * c->rest_v);
    h->clipped_w = best - h->solar_w;
    real cold = now->engine_cold, warm = 1.0L - cold;
    h->alternator_w = now->cruise_share * (warm * v->cruise_w + cold * v->cold_cruise_w) +
                      now->idle_share * (warm * v->idle_w + cold * v->cold_idle_w);
    const sw_alternator_spec *engine = v->plan->alternator;
    if (engine != NULL && engine->path == 1) {
        real free_a = fmaxl(0.0L, engine->alternator_v - c->rest_v) / (engine->cable_ohm + c->ohm);
        real cold_road_a = isnan(engine->cold_cruise_a) ? engine->spare_cruise_a : engine->cold_cruise_a;
        real cold_idle_a = isnan(engine->cold_idle_a) ? engine->spare_idle_a : engine->cold_idle_a;
        real road_a = fminl(free_a, warm * engine->spare_cruise_a + cold * cold_road_a);
        real idle_a = fminl(free_a, warm * engine->spare_idle_a + cold * cold_idle_a);
        h->alternator_w = now->cruise_share * road_a * (engine->alternator_v - road_a * engine->cable_ohm) +
                          now->idle_share * idle_a * (engine->alternator_v - idle_a * engine->cable_ohm);
    }
    h->shore_va = fminl(v->inlet_va, now->pedestal_va); // 0 where neither hookup nor generator is
}

/* AC classes, dearest first, as long as their sum stays within what feeds AC: the hookup, else the inverter.
 */
static void limit_ac(const rig *v, const happening *now, const state *s, house *h)
{
    real switched_w = now->inverter_on ? v->inverter_w : 0.0L;
    real running_w = s->inverter_off || s->battery_off ? 0.0L : switched_w;
    int shore = h->shore_va > 0.0L;
    real limit = shore ? h->shore_va : running_w,
         steady_limit = shore ? limit * now->pedestal_steady_share : running_w;
    why none = switched_w == 0.0L ? NO_AC : s->battery_off ? EMPTY : SAG;
    real peak = 0.0L, steady = 0.0L;
    for (int held = 0; held < SW_HELD_COUNT; held++) {
        if (!h->served[SW_BUS_AC][held])
            continue;
        peak += h->peak[SW_BUS_AC][held];
        steady += now->steady_w[held];
        int peak_fits = at_most(peak, limit), steady_fits = at_most(steady, steady_limit);
        met.steady_drops += shore && peak_fits && !steady_fits;
        if (peak_fits && steady_fits)
            continue;
        h->served[SW_BUS_AC][held] = 0;
        h->lost[SW_BUS_AC][held] = limit > 0.0L ? OVERLOAD : none;
    }
    real over = limit > 0.0L ? fmaxl(0.0L, fmaxl(peak - limit, steady - steady_limit)) : 0.0L;
    h->shore_over_w = shore ? over : 0.0L;
    h->inverter_over_w = shore ? 0.0L : over;
    h->on_inverter = !shore && running_w > 0.0L;
    h->shore_ac_w = shore ? served_w(h, SW_BUS_AC) : 0.0L;
    real left_va = fmaxl(0.0L, h->shore_va * now->pedestal_steady_share - h->shore_ac_w);
    h->charger_w = shore ? fminl(v->charger_w, left_va * v->charger_factor * v->charger_efficiency) : 0.0L;
}

static real inverter_draws_w(const rig *v, real ac_w)
{
    return ac_w + v->inverter_idle_w + v->inverter_k1 * ac_w + v->inverter_k2 * ac_w * ac_w;
}

// Classes are numbered dearest first: must DC, must AC, want DC, want AC, can-wait DC, can-wait AC. A set of
// them is a number whose bit k says that class k is kept.
enum { CLASSES = SW_BUS_COUNT * SW_HELD_COUNT, MUST_AC = 1 };

static int in_set(unsigned set, int class)
{
    return set >> class & 1u;
}

static int bus_of(int class)
{
    return class % SW_BUS_COUNT;
}

static int held_of(int class)
{
    return class / SW_BUS_COUNT;
}

/// What the keeping of classes is judged by.
typedef struct scales {
    const rig *v;
    const house *h;
    real moment_w, mean_w; // what sources and battery give
    real full_moment_w;    // and would if it were full
    real pad_w;            // of the heater, on the battery
    int connected;         // the battery gives something at all
    int charge_binds, voltage_binds;
} scales;

typedef struct burden {
    real mean_w, moment_w;
} burden;

/* What a set of classes weighs. Its moment is never less than the mean of what it holds so far; the inverter
   idles for the first AC class. */
static burden burden_of(const scales *s, unsigned set)
{
    real own = s->h->controller_w;
    real lowest = own + s->pad_w;
    burden on[SW_BUS_COUNT] = {{lowest, lowest}, {0.0L, 0.0L}};
    for (int k = 0; k < CLASSES; k++) {
        burden *b = &on[bus_of(k)];
        if (!in_set(set, k) || !s->h->served[bus_of(k)][held_of(k)])
            continue;
        b->mean_w += s->h->asked[bus_of(k)][held_of(k)];
        b->moment_w = fmaxl(b->mean_w, b->moment_w + s->h->peak[bus_of(k)][held_of(k)]);
    }
    if (!in_set(set, MUST_AC))
        return on[SW_BUS_DC];
    return (burden){on[SW_BUS_DC].mean_w + inverter_draws_w(s->v, on[SW_BUS_AC].mean_w),
                    on[SW_BUS_DC].moment_w + inverter_draws_w(s->v, on[SW_BUS_AC].moment_w)};
}

static burden with_dearer(const scales *s, unsigned set, int class)
{
    return burden_of(s, (set & ((1u << class) - 1u)) | 1u << class);
}

/* What is wanting for a class beside the dearer ones of a set: charge, also where the voltage is so low that
   what a full battery could do is out of reach; or less at once. */
static why wanting(const scales *s, unsigned set, int class)
{
    burden b = with_dearer(s, set, class);
    int has_moment = at_most(b.moment_w, s->moment_w);
    if (has_moment && at_most(b.mean_w, s->mean_w))
        return KEPT;
    int is_spent = s->voltage_binds && at_most(b.moment_w, s->full_moment_w);
    return s->connected && !is_spent && !(has_moment && s->charge_binds) ? RATE : EMPTY;
}

/* Whether a DC class finds the charge at its end. Sources that are alone and cannot start a load may still
   carry a smaller one. */
static int finds_the_end(const scales *s, unsigned set, int class)
{
    if (!s->connected)
        return !at_most(with_dearer(s, set, class).mean_w, s->mean_w);
    return wanting(s, set, class) == EMPTY;
}

/* Whether the charge ends before a class is reached: it is short for the controller or for dearer DC. */
static int spent_before(const scales *s, unsigned set, int class)
{
    int spent = !at_most(s->h->controller_w, s->mean_w);
    for (int k = 0; k < class; k++)
        spent = spent || (bus_of(k) == SW_BUS_DC && finds_the_end(s, set, k));
    return spent;
}

/* The AC class that closes AC for another one: the dearest that the set leaves out. */
static int closing(unsigned set, int class)
{
    for (int k = MUST_AC; k < class; k += SW_BUS_COUNT)
        if (!in_set(set, k))
            return k;
    return class;
}

/* Why a class is not in the set that holds what is dearer; KEPT if it ought to be. */
static why verdict_on(const scales *s, unsigned set, int class)
{
    if (spent_before(s, set, class))
        return EMPTY;
    return wanting(s, set, bus_of(class) == SW_BUS_AC ? closing(set, class) : class);
}

/* A set is right if each class is in it exactly when the dearer ones of the set leave room for it. */
static int is_right(const scales *s, unsigned set)
{
    for (int k = 0; k < CLASSES; k++) {
        int takes_part = bus_of(k) == SW_BUS_DC || s->h->on_inverter;
        if (in_set(set, k) != (takes_part && verdict_on(s, set, k) == KEPT))
            return 0;
    }
    return 1;
}

/* Of all sets there are exactly one is right. Edges count only where they decide about that one. */
static unsigned right_set(const scales *s)
{
    int edges = met.edges, found = 0;
    unsigned right = 0;
    for (unsigned set = 0; set < 1u << CLASSES; set++)
        if (is_right(s, set)) {
            right = set;
            found++;
        }
    ck_assert_int_eq(found, 1);
    met.edges = edges;
    is_right(s, right);
    return right;
}

/* The first class of a bus that is asked for; CLASSES if none is. */
static int dearest_asked(const house *h, int bus)
{
    for (int k = bus; k < CLASSES; k += SW_BUS_COUNT)
        if (h->served[bus][held_of(k)] && h->asked[bus][held_of(k)] > 0.0L)
            return k;
    return CLASSES;
}

/* The battery is empty when the charge is short for the dearest DC that is asked of it, or for the controller
   where none is; AC speaks for the battery only where no DC does. */
static int runs_empty(const scales *s, unsigned set)
{
    int dc = dearest_asked(s->h, SW_BUS_DC), ac = dearest_asked(s->h, SW_BUS_AC);
    if (dc < CLASSES)
        return spent_before(s, set, dc + 1);
    return spent_before(s, set, 1) || (s->h->on_inverter && ac < CLASSES && verdict_on(s, set, ac) == EMPTY);
}

/* Keeps the right set; under the inverter's own cut-out voltage all AC goes. */
static void keep_what_lasts(const rig *v, const state *s, const gift *can, house *h)
{
    const house before = *h;
    real sources = h->solar_w + h->alternator_w + h->charger_w;
    scales on = {.v = v, .h = &before, .moment_w = sources + can->moment_w, .mean_w = sources + can->mean_w};
    on.connected = !s->battery_off && can->moment_w > 0.0L;
    on.charge_binds = can->charge_binds;
    on.voltage_binds = can->voltage_binds;
    on.full_moment_w = sources + can->full_moment_w;
    real with_pad = h->controller_w + h->pad_asks_w;
    int heats =
        v->plan->battery.heater_from == 0 && at_most(with_pad, on.mean_w) && at_most(with_pad, on.moment_w);
    on.pad_w = h->pad_on_battery_w = heats ? h->pad_asks_w : 0.0L;
    unsigned set = right_set(&on);
    int runs = in_set(set, MUST_AC);
    h->dear_kept = !spent_before(&on, set, 1);
    h->empties = runs_empty(&on, set);
    h->sags = runs && !at_most(burden_of(&on, set).moment_w, sources + can->moment_above_inverter_cut_w);
    h->on_inverter = runs && !h->sags;
    for (int k = 0; k < CLASSES; k++) {
        int bus = bus_of(k), held = held_of(k), ac = bus == SW_BUS_AC;
        why lost = ac && !before.on_inverter ? KEPT : verdict_on(&on, set, k);
        if (lost == KEPT && ac && h->sags)
            lost =
                at_most(burden_of(&on, set).moment_w, sources + can->full_above_inverter_cut_w) ? SAG : RATE;
        if (!before.served[bus][held] || lost == KEPT)
            continue;
        h->served[bus][held] = 0;
        h->lost[bus][held] = lost;
    }
}

// ---- the march: a step, gathered into a row ----

typedef struct row {
    int64_t start_s, end_s;
    real v[SW_LEDGER_COLUMNS], asked_wh[SW_LOADS_MAX], served_wh[SW_LOADS_MAX], missed_wh, rate_wh;
} row;

static void value_of_house(const house *h, const happening *now, real v[SW_LEDGER_COLUMNS])
{
    static const int unserved[] = {SW_LEDGER_UNSERVED_MUST, SW_LEDGER_UNSERVED_WANT,
                                   SW_LEDGER_UNSERVED_CAN_WAIT};
    v[SW_LEDGER_STORED_H] = now->laid_up;
    v[SW_LEDGER_AIR] = now->air_c;
    v[SW_LEDGER_CABIN] = now->cabin_c;
    v[SW_LEDGER_SUN] = now->sun_w_m2;
    v[SW_LEDGER_SOLAR_OFFERED] = h->solar_w;
    v[SW_LEDGER_SOLAR_CLIPPED] = h->clipped_w;
    v[SW_LEDGER_ALTERNATOR_OFFERED] = h->alternator_w;
    v[SW_LEDGER_SHORE_AC] = h->shore_ac_w;
    for (int held = 0; held < SW_HELD_COUNT; held++)
        for (int bus = 0; bus < SW_BUS_COUNT; bus++) {
            v[SW_LEDGER_ASKED] += h->asked[bus][held];
            v[unserved[held]] += h->served[bus][held] ? 0.0L : h->asked[bus][held];
            v[SW_LEDGER_SERVED] += h->served[bus][held] ? h->asked[bus][held] : 0.0L;
        }
    v[SW_LEDGER_FOOD_WARMING] = h->warming_w;
    v[SW_LEDGER_INVERTER_OVERLOAD] = h->inverter_over_w;
    v[SW_LEDGER_SHORE_OVERLOAD] = h->shore_over_w;
}

/* Solar first, then the alternator, then the charger, for the house and for what the battery takes. @return
   what the battery gives, negative where it takes */
static real share_out(const rig *v, const house *h, real takes_w, real refused_w, real out[SW_LEDGER_COLUMNS])
{
    real ac = h->on_inverter ? served_w(h, SW_BUS_AC) : 0.0L;
    real input = h->on_inverter ? inverter_draws_w(v, ac) : 0.0L;
    real own = h->dear_kept ? h->controller_w : 0.0L;
    real house_w = served_w(h, SW_BUS_DC) + input + own + h->pad_on_battery_w, pad = h->pad_on_battery_w;
    if (v->plan->battery.heater_from == 1) {
        pad = fminl(h->pad_asks_w, fmaxl(0.0L, h->solar_w + h->alternator_w + h->charger_w - house_w));
        house_w += pad;
    }
    real wanted = house_w + takes_w;
    real solar = fminl(h->solar_w, wanted);
    real alternator = fminl(h->alternator_w, wanted - solar);
    real charger = fminl(h->charger_w, wanted - solar - alternator);
    real spilled = h->solar_w - solar;
    real left = spilled + h->alternator_w - alternator + h->charger_w - charger;
    out[SW_LEDGER_SOLAR_USED] = solar;
    out[SW_LEDGER_SOLAR_SPILLED] = spilled;
    out[SW_LEDGER_ALTERNATOR_USED] = alternator;
    out[SW_LEDGER_CHARGER_IN] = charger / v->charger_efficiency;
    out[SW_LEDGER_CHARGER_LOSS] = charger / v->charger_efficiency - charger;
    out[SW_LEDGER_INVERTER_LOSS] = input - ac;
    out[SW_LEDGER_CONTROLLER_SELF] = own;
    const sw_battery_spec *b = &v->plan->battery;
    int is_cold = out[SW_LEDGER_BATTERY_C] < ((real)b->cold_full_c + b->hot_full_c) / 2.0L;
    out[SW_LEDGER_PAD] = pad;
    out[is_cold ? SW_LEDGER_COLD_BLOCKED : SW_LEDGER_HOT_BLOCKED] = fminl(spilled, fminl(left, refused_w));
    return house_w - solar - alternator - charger;
}

static void battery_ends(const rig *v, const cell *c, real gives_w, real reserve, state *s,
                         real out[SW_LEDGER_COLUMNS])
{
    real current = gives_w > 0.0L   ? discharge_ah(v, c, gives_w) / c->hours
                   : gives_w < 0.0L ? -charging_a(v, c, -gives_w)
                                    : 0.0L;
    real inner = current > 0.0L ? current : c->eta * current; // what reaches the charge
    s->charge_ah = clamp(c->charge_ah - inner * c->hours, 0.0L, v->full_ah);
    real gained_w = (stored_wh(v, s->charge_ah) - stored_wh(v, c->charge_ah)) / c->hours;
    real soc = s->charge_ah / v->full_ah;
    out[SW_LEDGER_BATTERY_A] = current;
    out[SW_LEDGER_BATTERY_V] = rest_v(v, s->charge_ah) - c->ohm * current;
    out[SW_LEDGER_RESISTANCE_LOSS] = c->ohm * current * current;
    out[SW_LEDGER_COULOMBIC_LOSS] = current < 0.0L ? gained_w / c->eta - gained_w : 0.0L;
    out[SW_LEDGER_SELF_LOSS] = c->own_loss_w;
    out[SW_LEDGER_STORED] = gained_w - c->own_loss_w;
    line freezing = {5, {0, 0.25L, 0.5L, 0.75L, 1}, {-8, -16, -23, -37, -57}};
    out[SW_LEDGER_FROZEN_H] = v->plan->battery.chemistry == SW_AGM && s->battery_c < line_at(&freezing, soc);
    out[SW_LEDGER_UNDER] = !at_most(reserve, soc);
    out[SW_LEDGER_LOWEST] = out[SW_LEDGER_CHARGE] = 100.0L * soc;
    out[SW_LEDGER_LOWEST_REACHABLE] = 100.0L * fmaxl(0.0L, s->charge_ah - c->floor_ah) / v->full_ah;
    s->hour_mean_a += (fmaxl(0.0L, current) - s->hour_mean_a) * (1.0L - expl(-c->hours));
}

/* What lead takes, of what it would take at the absorption voltage, is how far a charger has lifted it. */
static real lifted_v(const rig *v, const state *s, const real out[SW_LEDGER_COLUMNS])
{
    real target = v->absorption_v + v->cells.absorption_per_k * v->over_12v * (s->battery_c - 25.0L);
    real volts = out[SW_LEDGER_BATTERY_V], current = -out[SW_LEDGER_BATTERY_A];
    real at_target_a =
        v->cells.acceptance_h > 0.0L ? (v->full_ah - s->charge_ah) / v->cells.acceptance_h : INFINITY;
    if (current <= 0.0L || target <= volts)
        return volts;
    return current >= at_target_a ? target : volts + current / at_target_a * (target - volts);
}

/* A cut-out holds until the voltage is back at its restart level. */
static void cut_outs(const rig *v, const happening *now, const house *h, state *s,
                     real out[SW_LEDGER_COLUMNS])
{
    int inverter_off = s->inverter_off || h->sags, battery_off = s->battery_off || h->empties;
    out[SW_LEDGER_TRIPPED] = inverter_off;
    out[SW_LEDGER_CUT_OFF] = battery_off;
    real volts = lifted_v(v, s, out);
    s->inverter_off = inverter_off && !at_most(v->inverter_restart_v, volts);
    int way = v->plan->battery.comes_back;
    int waits = (way == SW_BACK_BY_CHARGER && out[SW_LEDGER_BATTERY_A] >= 0.0L) ||
                (way == SW_BACK_BY_HAND && !now->looked_after);
    s->battery_off = battery_off && (waits || !at_most(v->restart_v, volts));
}

static void add_loads(const rig *v, const happening *now, const house *h, real hours, row *into)
{
    for (int k = 0; k < v->plan->loads; k++) {
        const sw_load_spec *load = &v->plan->load[k];
        real asked = now->load_w[k];
        for (int i = 0; i < v->fridges; i++)
            asked = v->fridge[i].load == k ? h->fridge_w[i] : asked;
        int served = h->served[load->bus][load->held];
        why lost = h->lost[load->bus][load->held];
        into->asked_wh[k] += asked * hours;
        into->served_wh[k] += served ? asked * hours : 0.0L;
        int liquid = load->kind == SW_LOAD_HEATER ? SW_LEDGER_HEATER_FUEL : SW_LEDGER_EVAPORATED;
        into->v[liquid] += served ? now->liquid_l[k] : 0.0L;
        if (!served && (lost == EMPTY || lost == RATE || lost == SAG))
            into->missed_wh += asked * hours;
        if (!served && lost == RATE)
            into->rate_wh += asked * hours;
    }
}

/// How columns of steps become those of an hour, and of hours those of a trip.
typedef enum gather { SUM = 1, MEAN, LEAST, END } gather;

/* Energy and hours add up; temperatures and the current are means over time; voltage and charge are those of
   the end; what is lowest is the lowest of all. */
static const gather gathering[SW_LEDGER_COLUMNS] = {
    [SW_LEDGER_SUN] = SUM,
    [SW_LEDGER_SOLAR_OFFERED] = SUM,
    [SW_LEDGER_SOLAR_USED] = SUM,
    [SW_LEDGER_SOLAR_SPILLED] = SUM,
    [SW_LEDGER_SOLAR_CLIPPED] = SUM,
    [SW_LEDGER_ALTERNATOR_OFFERED] = SUM,
    [SW_LEDGER_ALTERNATOR_USED] = SUM,
    [SW_LEDGER_ENGINE_IDLE] = SUM,
    [SW_LEDGER_ENGINE_IDLE_H] = SUM,
    [SW_LEDGER_SHORE_AC] = SUM,
    [SW_LEDGER_CHARGER_IN] = SUM,
    [SW_LEDGER_GENERATOR] = SUM,
    [SW_LEDGER_GENERATOR_H] = SUM,
    [SW_LEDGER_CHARGER_LOSS] = SUM,
    [SW_LEDGER_EVAPORATED] = SUM,
    [SW_LEDGER_HEATER_FUEL] = SUM,
    [SW_LEDGER_ASKED] = SUM,
    [SW_LEDGER_SERVED] = SUM,
    [SW_LEDGER_UNSERVED_MUST] = SUM,
    [SW_LEDGER_UNSERVED_WANT] = SUM,
    [SW_LEDGER_UNSERVED_CAN_WAIT] = SUM,
    [SW_LEDGER_INVERTER_LOSS] = SUM,
    [SW_LEDGER_CONTROLLER_SELF] = SUM,
    [SW_LEDGER_RESISTANCE_LOSS] = SUM,
    [SW_LEDGER_COULOMBIC_LOSS] = SUM,
    [SW_LEDGER_SELF_LOSS] = SUM,
    [SW_LEDGER_STORED] = SUM,
    [SW_LEDGER_PAD] = SUM,
    [SW_LEDGER_COLD_BLOCKED] = SUM,
    [SW_LEDGER_HOT_BLOCKED] = SUM,
    [SW_LEDGER_FOOD_WARMING] = SUM,
    [SW_LEDGER_INVERTER_OVERLOAD] = SUM,
    [SW_LEDGER_SHORE_OVERLOAD] = SUM,
    [SW_LEDGER_TRIPPED] = SUM,
    [SW_LEDGER_FROZEN_H] = SUM,
    [SW_LEDGER_STORED_H] = SUM,
    [SW_LEDGER_CUT_OFF] = SUM,
    [SW_LEDGER_UNDER] = SUM,
    [SW_LEDGER_AIR] = MEAN,
    [SW_LEDGER_CABIN] = MEAN,
    [SW_LEDGER_BATTERY_C] = MEAN,
    [SW_LEDGER_BATTERY_A] = MEAN,
    [SW_LEDGER_BATTERY_V] = END,
    [SW_LEDGER_CHARGE] = END,
    [SW_LEDGER_FRESH] = END,
    [SW_LEDGER_GREY] = END,
    [SW_LEDGER_TOILET] = END,
    [SW_LEDGER_FUEL] = END,
    [SW_LEDGER_CAN] = END,
    [SW_LEDGER_LOWEST] = LEAST,
    [SW_LEDGER_LOWEST_REACHABLE] = LEAST,
};

static void add_step(row *into, const real value[SW_LEDGER_COLUMNS], int64_t start_s, int64_t end_s,
                     real scale)
{
    real before = (real)(into->end_s - into->start_s), length = (real)(end_s - start_s);
    for (int c = 0; c < SW_LEDGER_COLUMNS; c++) {
        gather how = gathering[c];
        if (how == SUM)
            into->v[c] += value[c] * scale;
        else if (how == MEAN)
            into->v[c] = (into->v[c] * before + value[c] * length) / (before + length);
        else if (how == END || before == 0.0L)
            into->v[c] = value[c];
        else
            into->v[c] = fminl(into->v[c], value[c]);
    }
    into->end_s = end_s;
}

static void value_of_engines(const happening *now, real out[SW_LEDGER_COLUMNS])
{
    real turning = now->cruise_share + now->idle_share;
    out[SW_LEDGER_ENGINE_IDLE_H] = now->engine_share;
    out[SW_LEDGER_GENERATOR_H] = now->generating;
    if (now->generating)
        out[SW_LEDGER_GENERATOR] = out[SW_LEDGER_SHORE_AC] + out[SW_LEDGER_CHARGER_IN];
    if (now->engine_share > 0.0L)
        out[SW_LEDGER_ENGINE_IDLE] = out[SW_LEDGER_ALTERNATOR_USED] * now->engine_share / turning;
}

static void march_step(const rig *v, const happening *now, int32_t step_s, real reserve, state *s, row *into)
{
    real value[SW_LEDGER_COLUMNS] = {0}, takes_w, warm_w, hours = step_s / 3600.0L;
    house h = {.controller_w = now->cut ? 0.0L : v->controller_own_w};
    real place_c = v->plan->battery.place == 1 ? now->air_c : now->cabin_c;
    real lag_h = v->plan->battery.lag_s / 3600.0L, gone = 1.0L - expl(-hours / lag_h);
    real left_alone_c = place_c + (s->battery_c - place_c) * (1.0L - gone);
    // A watt for the whole step warms the bank by what it stores less what has leaked by then.
    real k_of_watt = lag_h / v->heat_wh_k * gone;
    value[SW_LEDGER_BATTERY_C] = s->battery_c;
    h.pad_asks_w =
        clamp((v->plan->battery.heater_set_c - left_alone_c) / k_of_watt, 0.0L, v->plan->battery.heater_w);
    cell c = cell_begins(v, s, hours);
    sources_offer(v, now, &c, &h);
    house_asks(v, now, c.charge_ah / v->full_ah, &h);
    limit_ac(v, now, s, &h);
    battery_takes(v, &c, s->battery_c, &takes_w, &warm_w);
    gift can = battery_gives(v, s, &c);
    keep_what_lasts(v, s, &can, &h);
    value_of_house(&h, now, value);
    real gives_w = share_out(v, &h, takes_w, warm_w - takes_w, value);
    value_of_engines(now, value);
    battery_ends(v, &c, gives_w, reserve, s, value);
    cut_outs(v, now, &h, s, value);
    s->battery_c = left_alone_c + value[SW_LEDGER_PAD] * k_of_watt;
    add_step(into, value, now->start_s, now->start_s + step_s, hours);
    add_loads(v, now, &h, hours, into);
}

// ---- tanks ----

/* How often a load ran in an hour: uses, hours, measured days. */
static real times_run(const sw_plan *plan, int k, const row *hour)
{
    const sw_load_spec *l = &plan->van->load[k];
    real bank_v = (real)plan->van->battery.unit_v * plan->van->battery.series, once_wh = l->power_w;
    if (l->kind == SW_LOAD_USE || l->kind == SW_LOAD_HOT_WATER)
        once_wh *= (real)l->duty * l->each_s / 3600.0L;
    if (l->kind == SW_LOAD_MEASURED)
        once_wh = isnan(l->per_day_ah) ? (real)l->per_day_wh : l->per_day_ah * bank_v;
    return hour->served_wh[k] / once_wh;
}

static void let_in(real *litres, double room_l, real more)
{
    *litres = fminl(*litres + more, room_l);
}

static void let_out(real *litres, real less)
{
    *litres = fmaxl(0.0L, *litres - less);
}

/* What is not in the fresh tank does not run into the others; without such a tank there is water enough. */
static void pass_water(const sw_plan *plan, row *hour, real litres[SW_TANKS])
{
    const sw_van *van = plan->van;
    const sw_trip *trip = plan->trip;
    real days = ((hour->end_s - hour->start_s) / 3600.0L - hour->v[SW_LEDGER_STORED_H]) / 24.0L,
         heads = trip->people > 0 ? trip->people : 0;
    real daily = isnan(trip->water_l) ? 0.0L : heads * trip->water_l * days;
    real fresh = daily + hour->v[SW_LEDGER_EVAPORATED],
         grey = isnan(trip->drained) ? 0.0L : daily * trip->drained, flushed = 0.0L,
         fuel = hour->v[SW_LEDGER_HEATER_FUEL];
    for (int k = 0; k < van->loads; k++) {
        const sw_load_spec *l = &van->load[k];
        real water =
            isnan(l->water_l) || !(hour->served_wh[k] > 0.0L) ? 0.0L : times_run(plan, k, hour) * l->water_l;
        fresh += water;
        grey += l->drain == SW_TANK_GREY ? water : 0.0L;
        flushed += l->drain == SW_TANK_TOILET ? water : 0.0L;
        fuel += l->kind == SW_LOAD_HEATER || isnan(l->fuel_l) || !(hour->served_wh[k] > 0.0L)
                    ? 0.0L
                    : times_run(plan, k, hour) * l->fuel_l;
    }
    real had = fresh <= 0.0L                  ? 0.0L
               : isnan(litres[SW_TANK_FRESH]) ? 1.0L
                                              : fminl(1.0L, litres[SW_TANK_FRESH] / fresh);
    if (hour->v[SW_LEDGER_ENGINE_IDLE_H] > 0.0L)
        fuel += hour->v[SW_LEDGER_ENGINE_IDLE_H] * van->vehicle.idle_fuel_l;
    for (int k = 0; k < SW_TANKS; k++)
        if (!isnan(litres[k])) {
            real people =
                k == SW_TANK_TOILET && !isnan(trip->toilet_l) ? heads * trip->toilet_l * days : 0.0L;
            if (k == SW_TANK_FRESH)
                let_out(&litres[k], fresh);
            else if (k == SW_TANK_GREY)
                let_in(&litres[k], van->tank[k].capacity_l, grey * had);
            else if (k == SW_TANK_TOILET)
                let_in(&litres[k], van->tank[k].capacity_l, people + flushed * had);
            else if (k == SW_TANK_FUEL)
                let_out(&litres[k], fuel);
            else if (van->generator != NULL)
                let_out(&litres[k],
                        hour->v[SW_LEDGER_GENERATOR_H] * van->generator->idle_fuel_l +
                            hour->v[SW_LEDGER_GENERATOR] / 1000.0L * van->generator->fuel_l_per_kwh);
        }
    for (int k = 0; k < SW_TANKS; k++)
        hour->v[SW_LEDGER_FRESH + k] = litres[k];
}

/// A trip marched: its rows, and all of them in one.
typedef struct account {
    int rows;
    row *hour;
    row trip;
} account;

/* `row_of` says to which hour a step belongs. */
static account march(const sw_plan *plan, const happening *step, const int *row_of, int steps, int32_t step_s)
{
    rig v;
    van_of(plan->van, &v);
    const happening *first = &step[0];
    state s = {.charge_ah = plan->trip->start_soc * v.full_ah,
               .battery_c = plan->van->battery.place == 1 ? first->air_c : first->cabin_c};
    account out = {.rows = row_of[steps - 1] + 1};
    out.hour = calloc((size_t)out.rows, sizeof *out.hour);
    ck_assert_ptr_nonnull(out.hour);
    out.trip.start_s = out.trip.end_s = first->start_s;
    for (int i = 0; i < steps; i++) {
        row *hour = &out.hour[row_of[i]];
        if (hour->end_s == 0)
            hour->start_s = hour->end_s = step[i].start_s;
        march_step(&v, &step[i], step_s, plan->trip->reserve, &s, hour);
        for (int k = 0; k < 2 && i == 0; k++) {
            real *lowest = &hour->v[k ? SW_LEDGER_LOWEST_REACHABLE : SW_LEDGER_LOWEST];
            *lowest = fminl(*lowest, 100.0L * plan->trip->start_soc);
        }
    }
    real litres[SW_TANKS];
    for (int k = 0; k < SW_TANKS; k++)
        litres[k] = (real)plan->van->tank[k].capacity_l * plan->van->tank[k].start; // NAN: none
    for (int h = 0; h < out.rows; h++) {
        row *hour = &out.hour[h];
        pass_water(plan, hour, litres);
        add_step(&out.trip, hour->v, hour->start_s, hour->end_s, 1.0L);
        out.trip.missed_wh += hour->missed_wh;
        out.trip.rate_wh += hour->rate_wh;
        for (int k = 0; k < plan->van->loads; k++) {
            out.trip.asked_wh[k] += hour->asked_wh[k];
            out.trip.served_wh[k] += hour->served_wh[k];
        }
    }
    return out;
}

// ---- comparing ----

typedef struct worst {
    real energy, charge, other; // share of throughput; of a full battery; C, V, A and h as they are
    real column;                // of the forcing
    char at[160];
} worst;

static void note(real *worst_so_far, real off, char at[160], const char *what, int index)
{
    if (off <= *worst_so_far)
        return;
    *worst_so_far = isnan(off) ? INFINITY : off;
    snprintf(at, 160, "%s, row %d, off by %.2Le", what, index, off);
}

static real throughput_wh(const row *trip)
{
    static const int flows[] = {
        SW_LEDGER_SOLAR_USED,     SW_LEDGER_ALTERNATOR_USED, SW_LEDGER_SHORE_AC,
        SW_LEDGER_CHARGER_IN,     SW_LEDGER_SERVED,          SW_LEDGER_CHARGER_LOSS,
        SW_LEDGER_INVERTER_LOSS,  SW_LEDGER_CONTROLLER_SELF, SW_LEDGER_RESISTANCE_LOSS,
        SW_LEDGER_COULOMBIC_LOSS, SW_LEDGER_SELF_LOSS,       SW_LEDGER_STORED};
    real sum = 0.0L;
    for (size_t i = 0; i < sizeof flows / sizeof flows[0]; i++)
        sum += fabsl(trip->v[flows[i]]);
    return sum;
}

static int counts_hours(int column)
{
    return column == SW_LEDGER_FROZEN_H || column == SW_LEDGER_STORED_H || column == SW_LEDGER_EVAPORATED ||
           column == SW_LEDGER_HEATER_FUEL || column == SW_LEDGER_GENERATOR_H ||
           column == SW_LEDGER_ENGINE_IDLE_H || column == SW_LEDGER_TRIPPED || column == SW_LEDGER_CUT_OFF ||
           column == SW_LEDGER_UNDER;
}

static int is_charge(int column)
{
    return column == SW_LEDGER_LOWEST || column == SW_LEDGER_LOWEST_REACHABLE || column == SW_LEDGER_CHARGE;
}

static void compare_rows(const row *mine, const sw_account *theirs, int loads, real through, int index,
                         worst *w)
{
    ck_assert_int_eq(mine->start_s, theirs->start_s);
    ck_assert_int_eq(mine->end_s, theirs->end_s);
    for (int c = 0; c < SW_LEDGER_COLUMNS; c++) {
        int neither = isnan(mine->v[c]) && isnan(theirs->value[c]); // a tank that the van has not
        real off = neither ? 0.0L : fabsl(mine->v[c] - theirs->value[c]);
        const char *name = sw_ledger_heading((sw_ledger_column)c);
        if (is_charge(c))
            note(&w->charge, off / 100.0L, w->at, name, index);
        else if (gathering[c] == SUM && !counts_hours(c))
            note(&w->energy, off / through, w->at, name, index);
        else
            note(&w->other, off, w->at, name, index);
    }
    for (int k = 0; k < loads; k++) {
        note(&w->energy, fabsl(mine->asked_wh[k] - theirs->asked_wh[k]) / through, w->at, "load asked",
             index);
        note(&w->energy, fabsl(mine->served_wh[k] - theirs->served_wh[k]) / through, w->at, "load served",
             index);
    }
    note(&w->energy, fabsl(mine->missed_wh - theirs->missed_wh) / through, w->at, "missed", index);
    note(&w->energy, fabsl(mine->rate_wh - theirs->rate_wh) / through, w->at, "too much at once", index);
}

/* `out` if the battery left something unserved, else by the lowest charge; tight are ten points above the
   reserve line. */
static sw_verdict verdict_of(const row *trip, real lowest, real reserve)
{
    return trip->missed_wh > 1e-9L           ? SW_OUT
           : lowest < reserve - 1e-9L        ? SW_UNDER
           : lowest < reserve + 0.1L - 1e-9L ? SW_TIGHT
                                             : SW_HOLDS;
}

static void compare_outcome(const row *trip, const sw_trip *plan, const sw_outcome *theirs, worst *w)
{
    const real *v = trip->v;
    real unserved = v[SW_LEDGER_UNSERVED_MUST] + v[SW_LEDGER_UNSERVED_WANT] + v[SW_LEDGER_UNSERVED_CAN_WAIT];
    real lowest = fminl(v[SW_LEDGER_LOWEST] / 100.0L, plan->start_soc);
    note(&w->charge, fabsl(lowest - theirs->lowest_soc), w->at, "lowest charge of all", 0);
    note(&w->energy, fabsl(unserved - theirs->unserved_wh) / throughput_wh(trip), w->at, "unserved in all",
         0);
    note(&w->other, fabsl(v[SW_LEDGER_UNDER] - theirs->under_h), w->at, "hours under the reserve in all", 0);
    note(&w->other, verdict_of(trip, lowest, plan->reserve) != theirs->verdict, w->at, "verdict", 0);
}

static void compare_accounts(const account *mine, const sw_rehearsal *r, worst *w)
{
    real through = throughput_wh(&mine->trip);
    int loads = r->plan->van->loads;
    ck_assert_int_eq(mine->rows, r->hours);
    for (int h = 0; h < r->hours; h++)
        compare_rows(&mine->hour[h], &r->hour[h], loads, through, h, w);
    compare_rows(&mine->trip, &r->trip, loads, through, -1, w);
}

// ---- a trip read and rehearsed ----

typedef struct case_of {
    unsigned long seed;
    random_files files;
    sw_plan *plan;
    sw_rehearsal *r;
} case_of;

/* To be looked at where something differs; they are too long for a message of Check. */
static void print_files(const random_files *f)
{
    printf("van.json\n%s\ntrip.json\n%s\n", f->van.text, f->trip.text);
    fflush(stdout);
}

static void make_case(int number, case_of *c)
{
    *c = (case_of){.seed = number < IN_A_ROW ? SEED + (unsigned long)number : rare[number - IN_A_ROW]};
    random_files *f = &c->files;
    random_files_make(c->seed, f);
    const memory_file files[] = {{"van.json", f->van.text},
                                 {"trip.json", f->trip.text},
                                 {f->weather.text != NULL ? "made.epw" : NULL, f->weather.text},
                                 {NULL, NULL}};
    memory_files memory = {.file = files};
    sw_loader loader = memory_loader(&memory);
    sw_messages *messages = sw_messages_create();
    sw_status status = sw_read_trip(&loader, "trip.json", messages, &c->plan);
    if (status == SW_OK)
        status = sw_rehearse(c->plan, &loader, f->step_s, messages, &c->r);
    if (status != SW_OK) {
        print_messages(messages);
        print_files(f);
    }
    ck_assert_msg(status == SW_OK, "seed %lu (its files are printed above): status %d", c->seed, (int)status);
    sw_messages_free(messages);
}

static void forget_case(case_of *c)
{
    sw_rehearsal_free(c->r);
    sw_plan_free(c->plan);
    random_files_free(&c->files);
}

// ---- what occurred ----

#define FEATURE_LIST(X)                                                                                      \
    X(TOLD)                                                                                                  \
    X(HOURLY)                                                                                                \
    X(BEAM_KEPT)                                                                                             \
    X(STATION_TABLE)                                                                                         \
    X(AVERAGE)                                                                                               \
    X(LITHIUM)                                                                                               \
    X(ABSORBED)                                                                                              \
    X(TILTED_ON_VAN)                                                                                         \
    X(TILTED_BY_COMPASS)                                                                                     \
    X(ONLY_PARKED)                                                                                           \
    X(RAISED)                                                                                                \
    X(ALTERNATOR)                                                                                            \
    X(IDLING)                                                                                                \
    X(ENGINE_AT_IDLE)                                                                                        \
    X(GENERATOR)                                                                                             \
    X(HOOKUP_120_V)                                                                                          \
    X(HOOKUP_230_V)                                                                                          \
    X(INVERTER_HOURS)                                                                                        \
    X(FRIDGE_DC)                                                                                             \
    X(FRIDGE_AC)                                                                                             \
    X(STEADY)                                                                                                \
    X(USES)                                                                                                  \
    X(USES_IN_FRACTIONS)                                                                                     \
    X(USES_AT_TIMES)                                                                                         \
    X(MEASURED_WH)                                                                                           \
    X(MEASURED_AH)                                                                                           \
    X(MUST)                                                                                                  \
    X(WANT)                                                                                                  \
    X(CAN_WAIT)                                                                                              \
    X(ON_DC)                                                                                                 \
    X(ON_AC)                                                                                                 \
    X(WEEKDAYS)                                                                                              \
    X(CONDITIONS)                                                                                            \
    X(CUT_OFF)                                                                                               \
    X(TRIPPED)                                                                                               \
    X(COLD_BLOCKED)                                                                                          \
    X(HOT_BLOCKED)                                                                                           \
    X(HEATED)                                                                                                \
    X(HEATED_BY_CHARGER)                                                                                     \
    X(TOO_COLD_TO_GIVE)                                                                                      \
    X(HELD_PANELS)                                                                                           \
    X(LAID_UP)                                                                                               \
    X(DISCONNECTED)                                                                                          \
    X(SOILED)                                                                                                \
    X(WASHED)                                                                                                \
    X(RAINED)                                                                                                \
    X(SNOW)                                                                                                  \
    X(CABIN)                                                                                                 \
    X(GLOWS)                                                                                                 \
    X(HEATER)                                                                                                \
    X(EVAPORATIVE)                                                                                           \
    X(FAN)                                                                                                   \
    X(AIRCON)                                                                                                \
    X(HOT_WATER)                                                                                             \
    X(RELAY)                                                                                                 \
    X(SPILLED)                                                                                               \
    X(CLIPPED)                                                                                               \
    X(INVERTER_OVERLOAD)                                                                                     \
    X(HOOKUP_OVERLOAD)                                                                                       \
    X(UNSERVED)                                                                                              \
    X(BACK_HELD)                                                                                             \
    X(FRIDGE_SHORT)                                                                                          \
    X(UNDER)                                                                                                 \
    X(FULL)                                                                                                  \
    X(HIGHER_BANK)                                                                                           \
    X(OUTSIDE)                                                                                               \
    X(CLOCKS_CHANGE)                                                                                         \
    X(ZONE_CHANGES)                                                                                          \
    X(PORTABLE)                                                                                              \
    X(STRINGS)                                                                                               \
    X(SHADED)                                                                                                \
    X(HILLS)                                                                                                 \
    X(HALF_HOUR_ZONE) X(SOUTHERN) X(POLAR) X(TAPERED) X(USE_ON_ARRIVAL) X(USE_NOT_AGAIN) X(STEADY_LIMIT)

typedef enum feature {
#define NAMED(name) name,
    FEATURE_LIST(NAMED) FEATURES
#undef NAMED
} feature;

static const char *const feature_words[] = {
#define NAMED(name) #name,
    FEATURE_LIST(NAMED)
#undef NAMED
};

static void seen_in_loads(const sw_van *van, int seen[FEATURES])
{
    for (int k = 0; k < van->loads; k++) {
        const sw_load_spec *l = &van->load[k];
        int fridge = l->kind == SW_LOAD_FRIDGE, use = l->kind == SW_LOAD_USE,
            measured = l->kind == SW_LOAD_MEASURED;
        seen[FRIDGE_DC] |= fridge && l->bus == SW_BUS_DC;
        seen[FRIDGE_AC] |= fridge && l->bus == SW_BUS_AC;
        seen[STEADY] |= l->kind == SW_LOAD_STEADY;
        seen[USES] |= use;
        seen[USES_IN_FRACTIONS] |= use && l->uses != floor(l->uses);
        seen[USES_AT_TIMES] |= use && l->at != NULL;
        seen[MEASURED_WH] |= measured && !isnan(l->per_day_wh);
        seen[MEASURED_AH] |= measured && isnan(l->per_day_wh);
        seen[HEATER] |= l->kind == SW_LOAD_HEATER;
        seen[GLOWS] |= l->kind == SW_LOAD_HEATER && l->start_w > 0.0;
        seen[EVAPORATIVE] |= l->kind == SW_LOAD_EVAPORATIVE;
        seen[AIRCON] |= l->kind == SW_LOAD_AIRCON;
        seen[FAN] |= l->kind == SW_LOAD_FAN;
        seen[HOT_WATER] |= l->kind == SW_LOAD_HOT_WATER;
        seen[MUST + l->held] = 1;
        seen[ON_DC + l->bus] = 1;
        seen[WEEKDAYS] |= l->weekdays != 127;
        seen[CONDITIONS] |= l->when != 0;
    }
}

static void seen_in_van(const sw_van *van, const double *v, int seen[FEATURES])
{
    seen[van->battery.chemistry == SW_AGM ? ABSORBED : LITHIUM] = 1;
    seen[HIGHER_BANK] = van->battery.unit_v * van->battery.series > 12.0;
    seen[OUTSIDE] = van->battery.place == 1;
    seen[CABIN] = van->cabin != NULL;
    for (int a = 0; a < van->arrays; a++) {
        const sw_array_spec *p = &van->array[a];
        seen[TILTED_ON_VAN] |= p->tilt_deg > 0.0 && p->fixed_to == SW_FIXED_VAN;
        seen[TILTED_BY_COMPASS] |= p->tilt_deg > 0.0 && p->fixed_to == SW_FIXED_COMPASS;
        seen[ONLY_PARKED] |= p->deployed == SW_DEPLOYED_PARKED;
        seen[RAISED] |= p->deployed == SW_DEPLOYED_RAISED;
        seen[PORTABLE] |= p->hours != NULL;
        seen[STRINGS] |= p->in_series > 1;
    }
    seen[INVERTER_HOURS] = van->inverter != NULL && van->inverter->hours != NULL;
    seen[ALTERNATOR] = v[SW_LEDGER_ALTERNATOR_USED] > 0.0;
    seen[RELAY] = seen[ALTERNATOR] && van->alternator->path == 1;
    seen[HELD_PANELS] =
        van->controller != NULL && van->controller->kind == 1 && v[SW_LEDGER_SOLAR_USED] > 0.0;
    seen[HEATED_BY_CHARGER] = v[SW_LEDGER_PAD] > 0.0 && van->battery.heater_from == 1;
    seen[ENGINE_AT_IDLE] = v[SW_LEDGER_ENGINE_IDLE] > 0.0;
    seen[GENERATOR] = v[SW_LEDGER_GENERATOR] > 0.0;
    int plugged = v[SW_LEDGER_SHORE_AC] + v[SW_LEDGER_CHARGER_IN] > v[SW_LEDGER_GENERATOR];
    seen[HOOKUP_120_V] = plugged && van->shore->inlet_v < 150.0;
    seen[HOOKUP_230_V] = plugged && van->shore->inlet_v > 150.0;
}

static void seen_in_rows(const sw_rehearsal *r, int seen[FEATURES])
{
    static const struct {
        feature seen;
        int column;
    } from[] = {{CUT_OFF, SW_LEDGER_CUT_OFF},
                {TRIPPED, SW_LEDGER_TRIPPED},
                {COLD_BLOCKED, SW_LEDGER_COLD_BLOCKED},
                {HOT_BLOCKED, SW_LEDGER_HOT_BLOCKED},
                {HEATED, SW_LEDGER_PAD},
                {SPILLED, SW_LEDGER_SOLAR_SPILLED},
                {CLIPPED, SW_LEDGER_SOLAR_CLIPPED},
                {INVERTER_OVERLOAD, SW_LEDGER_INVERTER_OVERLOAD},
                {HOOKUP_OVERLOAD, SW_LEDGER_SHORE_OVERLOAD},
                {FRIDGE_SHORT, SW_LEDGER_FOOD_WARMING},
                {UNDER, SW_LEDGER_UNDER}};
    for (size_t i = 0; i < sizeof from / sizeof from[0]; i++)
        seen[from[i].seen] = r->trip.value[from[i].column] > 0.0;
    seen[UNSERVED] = r->outcome.unserved_wh > 0.0;
    for (int k = 0; k < r->plan->van->loads; k++)
        seen[BACK_HELD] |= r->missed_wh[k][SW_MISSED_HELD_BACK] > 0.0,
            seen[TOO_COLD_TO_GIVE] |= r->missed_wh[k][SW_MISSED_COLD] > 0.0;
    for (int h = 0; h < r->hours; h++)
        seen[FULL] |= r->hour[h].value[SW_LEDGER_CHARGE] > 99.9;
}

static void seen_in_trip(const sw_trip *trip, const journey *j, int seen[FEATURES])
{
    const struct clock_rule *a = clock_named(trip->place[0].zone), *b = clock_named(trip->place[1].zone);
    int64_t start_s = j->leg[0].start_s, end_s = j->leg[j->legs - 1].end_s;
    seen[trip->sky.kind == SW_SKY_TOLD ? TOLD : j->record != NULL ? HOURLY : AVERAGE] = 1;
    seen[STATION_TABLE] = trip->sky.kind == SW_SKY_AVERAGE && trip->place[0].normals == NULL;
    seen[BEAM_KEPT] = j->record_keeps_beam;
    for (int i = 0; i < trip->legs; i++)
        seen[IDLING] |= trip->leg[i].kind == SW_LEG_DRIVE && trip->leg[i].idle_share > 0.0;
    for (int i = 0; i < trip->legs; i++) {
        seen[LAID_UP] |= trip->leg[i].kind == SW_LEG_STORE;
        seen[DISCONNECTED] |= trip->leg[i].kind == SW_LEG_STORE && trip->leg[i].disconnected;
        seen[SNOW] |= trip->leg[i].snow_until_local_s != SW_NO_TIME;
        seen[WASHED] |= trip->leg[i].washed_local_s != SW_NO_TIME && j->plan->van->arrays > 0 &&
                        j->plan->van->array[0].soiling_per_day > 0.0;
    }
    seen[SOILED] = j->plan->van->arrays > 0 && j->plan->van->array[0].soiling_per_day > 0.0;
    seen[RAINED] = seen[SOILED] && !seen[WASHED] && washed_s(j, end_s, 1) != SW_NO_TIME;
    for (int i = 0; i < trip->legs; i++)
        seen[SHADED] |= trip->leg[i].shades > 0;
    for (int i = 0; i < trip->places; i++)
        seen[HILLS] |= trip->place[i].skyline_points > 0;
    seen[CLOCKS_CHANGE] =
        offset_s(a, start_s) != offset_s(a, end_s) && offset_s(b, start_s) != offset_s(b, end_s);
    seen[ZONE_CHANGES] = a != b;
    seen[HALF_HOUR_ZONE] = a->winter_s % 3600 != 0;
    seen[SOUTHERN] = j->spot[0].lat_deg < 0.0;
    seen[POLAR] = j->spot[0].lat_deg > 66.6;
}

static void count_features(const case_of *c, const journey *j, int counts[FEATURES])
{
    int seen[FEATURES] = {0};
    seen_in_loads(c->plan->van, seen);
    seen_in_van(c->plan->van, c->r->trip.value, seen);
    seen_in_rows(c->r, seen);
    seen_in_trip(c->plan->trip, j, seen);
    seen[TAPERED] = met.tapers > 0;
    seen[USE_ON_ARRIVAL] = met.arrivals > 0;
    seen[USE_NOT_AGAIN] = met.repeats > 0;
    seen[STEADY_LIMIT] = met.steady_drops > 0;
    for (int f = 0; f < FEATURES; f++)
        counts[f] += seen[f] != 0;
}

static void print_features(const int counts[FEATURES])
{
    printf("trips with");
    for (int f = 0; f < FEATURES; f++)
        printf("%s %s %d", f > 0 ? "," : "", feature_words[f], counts[f]);
    printf("\n");
    fflush(stdout);
    for (int f = 0; f < FEATURES; f++)
        ck_assert_msg(counts[f] > 0, "no trip has: %s; choose another SEED or more TRIPS", feature_words[f]);
}

// ---- the tests ----

/* The library's forcing as data, for the march by itself. */
static void take_forcing(const case_of *c, const sw_forcing *f, happening *step)
{
    for (int i = 0; i < f->steps; i++) {
        happening *s = &step[i];
        *s = (happening){.start_s = f->start_s + (int64_t)i * f->step_s,
                         .driving = (f->flags[i] & SW_STEP_DRIVING) != 0,
                         .plugged = (f->flags[i] & SW_STEP_SHORE) != 0,
                         .dark = (f->flags[i] & SW_STEP_DARK) != 0,
                         .inverter_on = (f->flags[i] & SW_STEP_INVERTER) != 0,
                         .air_c = f->air_c[i],
                         .cabin_c = f->cabin_c[i],
                         .sun_w_m2 = f->ghi_w_m2[i],
                         .cruise_share = f->cruise_share[i],
                         .idle_share = f->idle_share[i],
                         .engine_share = c->r->course->engine_share[i],
                         .laid_up = (f->flags[i] & SW_STEP_STORED) != 0,
                         .cut = (f->flags[i] & SW_STEP_CUT) != 0,
                         .generating = c->r->course->generator_share[i] > 0.0,
                         .looked_after = (f->flags[i] & SW_STEP_HAND) != 0,
                         .engine_cold = f->engine_cold[i],
                         .pedestal_va = f->pedestal_va[i],
                         .pedestal_steady_share = f->pedestal_steady_share[i]};
        for (int a = 0; a < f->arrays; a++) {
            s->yield[a] = f->yield[a][i];
            s->cell_c[a] = f->cell_c[a][i];
        }
        for (int held = 0; held < SW_HELD_COUNT; held++) {
            for (int bus = 0; bus < SW_BUS_COUNT; bus++)
                s->mean_w[bus][held] = f->load_w[bus][held][i];
            s->peak_w[SW_BUS_AC][held] = f->peak_w[held][i];
            s->peak_w[SW_BUS_DC][held] = f->dc_peak_w[held][i];
            s->steady_w[held] = f->steady_w[held][i];
        }
        for (int k = 0; k < c->plan->van->loads; k++) {
            s->load_w[k] = c->r->course->asked_w[k][i];
            s->liquid_l[k] = c->r->course->liquid_l[k] != NULL ? c->r->course->liquid_l[k][i] : 0.0;
        }
    }
}

static void compare_steps(const happening *mine, const happening *theirs, const sw_van *van, int index,
                          worst *w)
{
#define THE_SAME(field) note(&w->column, fabsl((real)mine->field - theirs->field), w->at, #field, index)
    ck_assert_int_eq(mine->start_s, theirs->start_s);
    THE_SAME(driving);
    THE_SAME(plugged);
    THE_SAME(dark);
    THE_SAME(inverter_on);
    THE_SAME(air_c);
    THE_SAME(cabin_c);
    THE_SAME(cruise_share);
    THE_SAME(idle_share);
    THE_SAME(engine_share);
    THE_SAME(looked_after);
    THE_SAME(engine_cold);
    THE_SAME(laid_up);
    THE_SAME(cut);
    THE_SAME(generating);
    THE_SAME(pedestal_va);
    THE_SAME(pedestal_steady_share);
    THE_SAME(sun_w_m2 / 1000.0L);
    for (int a = 0; a < van->arrays; a++) {
        THE_SAME(yield[a]);
        THE_SAME(cell_c[a]);
    }
    for (int held = 0; held < SW_HELD_COUNT; held++) {
        for (int bus = 0; bus < SW_BUS_COUNT; bus++) {
            THE_SAME(mean_w[bus][held]);
            THE_SAME(peak_w[bus][held]);
        }
        THE_SAME(steady_w[held]);
    }
    for (int k = 0; k < van->loads; k++)
        THE_SAME(load_w[k]);
#undef THE_SAME
}

/// What a test over all trips comes to.
typedef struct tally {
    int hours, on_edge, counts[FEATURES];
    worst worst;
} tally;

static int is_off(const worst *w)
{
    return !(w->energy <= SAME && w->charge <= SAME && w->other <= SAME_COLUMN && w->column <= SAME_COLUMN);
}

/* No trip may differ, not even one that stands on an edge. */
static void judge(const case_of *c, const worst *w, tally *t)
{
    worst *all = &t->worst;
    t->hours += c->r->hours;
    t->on_edge += met.edges > 0;
    if (is_off(w))
        print_files(&c->files);
    ck_assert_msg(!is_off(w),
                  "seed %lu (its files are printed above, %d edges met): energy off by %.2Le of throughput, "
                  "charge by %.2Le, other columns by %.2Le, forcing by %.2Le; last at %s",
                  c->seed, met.edges, w->energy, w->charge, w->other, w->column, w->at);
    all->energy = fmaxl(all->energy, w->energy);
    all->charge = fmaxl(all->charge, w->charge);
    all->other = fmaxl(all->other, w->other);
    all->column = fmaxl(all->column, w->column);
}

static void conclude(const char *what, const tally *t)
{
    const worst *w = &t->worst;
    printf("%s: %d trips (seeds %d to %d and rare ones), %d hours; greatest deviation in energy %.1Le of "
           "throughput, in "
           "charge "
           "%.1Le, in C, V, A, h %.1Le, in columns of the forcing %.1Le; %d trips on an edge\n",
           what, TRIPS, SEED, SEED + IN_A_ROW - 1, t->hours, w->energy, w->charge, w->other, w->column,
           t->on_edge);
}

START_TEST(the_march_by_itself_is_that_of_the_library)
{
    tally t = {0};
    for (int i = 0; i < TRIPS; i++) {
        case_of c;
        journey j;
        worst w = {0};
        make_case(i, &c);
        const sw_forcing *f = &c.r->course->forcing[SW_OUTLOOK_MAIN];
        memset(&met, 0, sizeof met);
        journey_of(c.plan, c.r->course->itinerary, c.files.record, c.files.step_s, &j);
        ck_assert_int_eq(j.steps, f->steps);
        happening *step = calloc((size_t)f->steps, sizeof *step);
        ck_assert_ptr_nonnull(step);
        take_forcing(&c, f, step);
        int *row_of = rows_of(&j, step);
        account mine = march(c.plan, step, row_of, f->steps, c.files.step_s);
        compare_accounts(&mine, c.r, &w);
        judge(&c, &w, &t);
        free(mine.hour);
        free(row_of);
        free(step);
        free(j.spot);
        forget_case(&c);
    }
    conclude("march alone", &t);
}
END_TEST

static void compare_forcing(const case_of *c, int outlook, const journey *j, const happening *mine, worst *w)
{
    happening *theirs = calloc((size_t)j->steps, sizeof *theirs);
    ck_assert_ptr_nonnull(theirs);
    take_forcing(c, &c->r->course->forcing[outlook], theirs);
    for (int i = 0; i < j->steps; i++)
        compare_steps(&mine[i], &theirs[i], c->plan->van, i, w);
    free(theirs);
}

/* Under the trip's own sky the rows are compared; the poor week beside an average sky has none, but what it
   comes to. */
static void compare_outlook(const case_of *c, int outlook, const journey *j, happening *step, worst *w)
{
    for (int i = 0; i < j->steps; i++)
        light_step(j, outlook, &step[i]);
    compare_forcing(c, outlook, j, step, w);
    int *row_of = rows_of(j, step);
    account mine = march(c->plan, step, row_of, j->steps, c->files.step_s);
    if (outlook == SW_OUTLOOK_MAIN)
        compare_accounts(&mine, c->r, w);
    compare_outcome(&mine.trip, c->plan->trip, outlook == SW_OUTLOOK_MAIN ? &c->r->outcome : &c->r->poor, w);
    free(mine.hour);
    free(row_of);
}

static void whole_trip(int number, tally *t)
{
    case_of c;
    journey j;
    worst w = {0};
    make_case(number, &c);
    memset(&met, 0, sizeof met);
    journey_of(c.plan, c.r->course->itinerary, c.files.record, c.files.step_s, &j);
    ck_assert_int_eq(j.steps, c.r->course->forcing[0].steps);
    ck_assert_int_eq(c.r->has_poor, c.plan->trip->sky.kind == SW_SKY_AVERAGE);
    happening *step = happenings_of(&j);
    for (int outlook = 0; outlook <= c.r->has_poor; outlook++)
        compare_outlook(&c, outlook, &j, step, &w);
    count_features(&c, &j, t->counts);
    judge(&c, &w, t);
    free(step);
    free(j.spot);
    forget_case(&c);
}

START_TEST(a_whole_rehearsal_is_that_of_the_library)
{
    tally t = {0};
    for (int i = 0; i < TRIPS; i++)
        whole_trip(i, &t);
    conclude("whole rehearsal", &t);
    print_features(t.counts);
}
END_TEST

START_TEST(columns_are_gathered_as_in_the_library)
{
    static const sw_gather theirs[] = {[SUM] = SW_GATHER_ENERGY,
                                       [MEAN] = SW_GATHER_MEAN,
                                       [LEAST] = SW_GATHER_LOWEST,
                                       [END] = SW_GATHER_LAST};
    for (int c = 0; c < SW_LEDGER_COLUMNS; c++) {
        const char *name = sw_ledger_heading((sw_ledger_column)c);
        ck_assert_msg(gathering[c] != 0, "add column %s to the table `gathering` of this test", name);
        ck_assert_msg(sw_ledger_gather((sw_ledger_column)c) == theirs[gathering[c]],
                      "column %s is gathered otherwise than its meaning says: see `gathering`", name);
    }
}
END_TEST

Suite *sw_suite(void)
{
    const TTest *const tests[] = {columns_are_gathered_as_in_the_library,
                                  the_march_by_itself_is_that_of_the_library,
                                  a_whole_rehearsal_is_that_of_the_library, NULL};
    return sw_suite_of("second opinion", tests, 300);
}
