// Days by chance: how their clearness is spread, one drawn day after another, and the poor week among them.
#include "trip/sky_inside.h"

#include "stillwatt/civil.h"

#include <math.h>
#include <stdlib.h>

#define DAY_TO_DAY   0.29 // autocorrelation of daily clearness, in deviates [graham-1988]
#define MEMORY_DAYS  18   // 0.29^18 is below the last digit that counts
#define WEEKS        3000
#define WEEK_DAYS    7
#define POOR_ONE_IN  10
#define NORMAL_TENTH (-1.2815515655446004) // standard normal deviate of one tenth (definition)
#define KNOTS        64                    // of a quantile function that many days are drawn from
#define WIDEST       1.3 // some months of one year are wider than any long run: their tails would leave the scale
#define LEAST_KT     0.02

// ---- spread ----

/* Days of real places lie closer together than the published distribution has them (0.148 against 0.198 as
   the mean over the table of stations, with 12 % of dark days against 16 %); drawn together about the mean it
   has 11 %, and the scatter of months is that of 31 days. tests/check_chance.c measures it. */
sky_clearness sw_sky_clearness(double mean, double spread)
{
    double own = sw_clearness_spread(mean);
    double stretch = spread > 0.0 ? fmin(WIDEST, spread / own) : 1.0;
    return (sky_clearness){.mean = mean, .stretch = stretch};
}

double sw_sky_clearness_at(const sky_clearness *of, double probability)
{
    double kt = of->mean + (sw_clearness_quantile(of->mean, probability) - of->mean) * of->stretch;
    return fmax(LEAST_KT, kt);
}

// ---- draws ----

/* A number from 0 to 1 that hangs on nothing but seed, date and which one it is: the mixing of a 64-bit
   counter by shifts and odd products (from memory). */
static double drawn(uint64_t seed, int64_t date, uint64_t which)
{
    uint64_t x = (seed + 1) * UINT64_C(0x9E3779B97F4A7C15) + (uint64_t)date * 2 + which;
    x = (x ^ (x >> 30)) * UINT64_C(0xBF58476D1CE4E5B9);
    x = (x ^ (x >> 27)) * UINT64_C(0x94D049BB133111EB);
    x ^= x >> 31;
    return ((double)(x >> 11) + 0.5) / 9007199254740992.0;
}

static double normal(uint64_t seed, int64_t date)
{
    return sqrt(-2.0 * log(drawn(seed, date, 0))) * cos(6.283185307179586 * drawn(seed, date, 1));
}

/* First-order autocorrelation written out as a sum over the days before, so that a date's deviate does not
   hang on where a trip begins [graham-1988]. */
static double deviate(uint64_t seed, int64_t date)
{
    double sum = 0.0, weight = sqrt(1.0 - DAY_TO_DAY * DAY_TO_DAY);
    for (int before = 0; before < MEMORY_DAYS; before++) {
        sum += weight * normal(seed, date - before);
        weight *= DAY_TO_DAY;
    }
    return sum;
}

static double share_of_deviate(double deviate)
{
    return 0.5 * erfc(-deviate / sqrt(2.0));
}

double sw_sky_chance_clearness(int draw, int64_t date, double mean, double spread)
{
    sky_clearness of = sw_sky_clearness(mean, spread);
    return sw_sky_clearness_at(&of, share_of_deviate(deviate((uint64_t)draw, date)));
}

// ---- the poor week ----

static int by_size(const void *a, const void *b)
{
    double x = *(const double *)a, y = *(const double *)b;
    return (x > y) - (x < y);
}

/* The value that a tenth of so many stays below; sorts them. */
static double tenth_of(double *values)
{
    qsort(values, WEEKS, sizeof *values, by_size);
    return 0.5 * (values[WEEKS / POOR_ONE_IN - 1] + values[WEEKS / POOR_ONE_IN]);
}

/* Tenth of the mean deviate of seven days on end: normal, with the variance of seven values that hang
   together from day to day (own derivation). */
static double tenth_of_deviates(void)
{
    double sum = 1.0, power = 1.0;
    for (int k = 1; k < WEEK_DAYS; k++) {
        power *= DAY_TO_DAY;
        sum += 2.0 * (1.0 - (double)k / WEEK_DAYS) * power;
    }
    return NORMAL_TENTH * sqrt(sum / WEEK_DAYS);
}

int sw_sky_draw_weeks(sky *s)
{
    double x = 0.0, mean[WEEKS] = {0.0};
    s->week_share = malloc((size_t)WEEKS * WEEK_DAYS * sizeof *s->week_share);
    if (s->week_share == NULL)
        return 0;
    for (int i = 0; i < WEEKS * WEEK_DAYS; i++) {
        double fresh = normal(0, i);
        x = i % WEEK_DAYS == 0 ? fresh : DAY_TO_DAY * x + sqrt(1.0 - DAY_TO_DAY * DAY_TO_DAY) * fresh;
        mean[i / WEEK_DAYS] += x / WEEK_DAYS;
        s->week_share[i] = share_of_deviate(x);
    }
    s->week_luck = tenth_of_deviates() / tenth_of(mean);
    return 1;
}

/* Straight lines between quantiles at the middles of equal shares. */
static double between_knots(const double knot[KNOTS], double share)
{
    double at = fmin(fmax(share * KNOTS - 0.5, 0.0), KNOTS - 1.0);
    int below = (int)fmin(at, KNOTS - 2.0);
    return knot[below] + (at - below) * (knot[below + 1] - knot[below]);
}

static double poor_week_of(const sky *s, double mean, double spread)
{
    double knot[KNOTS], week_mean[WEEKS];
    sky_clearness of = sw_sky_clearness(mean, spread);
    for (int i = 0; i < KNOTS; i++)
        knot[i] = sw_sky_clearness_at(&of, (i + 0.5) / KNOTS);
    for (int week = 0; week < WEEKS; week++) {
        week_mean[week] = 0.0;
        for (int day = 0; day < WEEK_DAYS; day++)
            week_mean[week] += between_knots(knot, s->week_share[week * WEEK_DAYS + day]) / WEEK_DAYS;
    }
    return s->week_luck * (mean - tenth_of(week_mean)) / spread;
}

double sw_sky_poor_week(sky *s, int stop, int64_t date)
{
    int year, month, day;
    sw_civil_from_days(date, &year, &month, &day);
    double *known = &s->poor_week[stop][month - 1];
    if (!isnan(*known))
        return *known;
    climate_day middle;
    sw_climate_day_of(&s->nodes[stop], sw_days_from_civil(year, month, 15), &middle);
    *known = middle.spread > 0.0 ? poor_week_of(s, middle.clearness, middle.spread) : 0.0;
    return *known;
}
