// What reaches the ground: air mass, clear sky, cloud, the split into beam and sky light, the spread of daily
// clearness, and the air temperature within a day.
#include "stillwatt/sky.h"

#include <math.h>

// (definition)
#define RAD_PER_DEG 0.017453292519943295
#define PI          3.141592653589793

/* [standard-atmosphere] the scale height of air at 15 degC, R T/(M g), taken as the same at all heights */
double sw_pressure_ratio(double elevation_m)
{
    return exp(-elevation_m / 8434.5);
}

/* [kasten-young-1989] */
double sw_air_mass(double apparent_zenith_deg)
{
    double zenith_deg = fmin(90.0, fmax(0.0, apparent_zenith_deg));
    return 1.0 / (cos(zenith_deg * RAD_PER_DEG) + 0.50572 * pow(96.07995 - zenith_deg, -1.6364));
}

/* [ineichen-perez-2002] The paper multiplies the global by exp(0.01 m^1.8) as well; it is left out on
   purpose: at low sun it lets the global grow without bound (m 38: a factor of 1000). Where the two published
   forms of the beam disagree the lower one is taken. */
sw_light sw_clear_sky(const sw_sun_clock *clock, const sw_sun *sun, double elevation_m,
                      double linke_turbidity)
{
    if (sun->cos_zenith <= 0.0)
        return (sw_light){0.0, 0.0, 0.0};
    double turbidity = linke_turbidity - 0.25 * sqrt(fmax(0.0, 2.0 - linke_turbidity));
    double air_mass = sw_air_mass(sun->apparent_zenith_deg) * sw_pressure_ratio(elevation_m);
    double fh1 = exp(-elevation_m / 8000.0), fh2 = exp(-elevation_m / 1250.0);
    double cg1 = 5.09e-5 * elevation_m + 0.868, cg2 = 3.92e-5 * elevation_m + 0.0387;
    double limit_w_m2 = clock->extraterrestrial_w_m2;

    // The global over cos Z: the beam can be no more, and nothing is divided by a cosine near 0.
    double normal_w_m2 = cg1 * limit_w_m2 * exp(-cg2 * air_mass * (fh1 + fh2 * (turbidity - 1.0)));
    double beam_w_m2 = (0.664 + 0.163 / fh1) * limit_w_m2 * exp(-0.09 * air_mass * (turbidity - 1.0));
    double other_beam_w_m2 = normal_w_m2 * (1.0 - (0.1 - 0.2 * exp(-turbidity)) / (0.1 + 0.88 / fh1));
    sw_light light = {
        .ghi_w_m2 = normal_w_m2 * sun->cos_zenith,
        .dni_w_m2 = fmin(fmin(beam_w_m2, other_beam_w_m2), fmin(normal_w_m2, limit_w_m2)),
    };
    light.dhi_w_m2 = (normal_w_m2 - light.dni_w_m2) * sun->cos_zenith;
    return light;
}

/* [kasten-czeplak-1980] */
double sw_cloud_factor(double okta)
{
    double share = fmin(8.0, fmax(0.0, okta)) / 8.0;
    return 1.0 - 0.75 * pow(share, 3.4);
}

/* [erbs-1982] hourly */
double sw_diffuse_fraction(double kt)
{
    if (kt <= 0.22)
        return 1.0 - 0.09 * fmax(0.0, kt);
    if (kt <= 0.80)
        return 0.9511 + kt * (-0.1604 + kt * (4.388 + kt * (-16.638 + kt * 12.336)));
    return 0.165;
}

sw_light sw_split(double ghi_w_m2, const sw_sun_clock *clock, const sw_sun *sun, double dni_limit_w_m2)
{
    double ghi = fmax(0.0, ghi_w_m2);
    if (sun->cos_zenith <= 0.0)
        return (sw_light){ghi, 0.0, ghi};
    double normal_w_m2 = ghi / sun->cos_zenith;
    double diffuse = sw_diffuse_fraction(normal_w_m2 / clock->extraterrestrial_w_m2);
    double limit_w_m2 = fmin(clock->extraterrestrial_w_m2, fmax(0.0, dni_limit_w_m2));
    double dni_w_m2 = fmin((1.0 - diffuse) * normal_w_m2, limit_w_m2);
    return (sw_light){ghi, dni_w_m2, ghi - dni_w_m2 * sun->cos_zenith};
}

/* e^x - 1 - x - x^2/2 without loss of digits near 0 (numerics). */
static double cubic_tail(double x)
{
    if (fabs(x) > 0.5)
        return expm1(x) - x - x * x / 2.0;
    double term = x * x * x / 6.0, sum = term;
    for (int power = 4; power <= 14; power++) { // 0.5^15 / 15! is below the last digit
        term *= x / power;
        sum += term;
    }
    return sum;
}

/* e^x - 1 - x */
static double square_tail(double x)
{
    return x * x / 2.0 + cubic_tail(x);
}

/* [hollands-huget-1983] Their density of u = kt/ku is C (1 - u) exp(a u) on [0, 1], here with a = lambda ku.
 */
static double mean_share(double a)
{
    return 1.0 - 2.0 * cubic_tail(a) / (a * square_tail(a));
}

/* [hollands-huget-1983] The integral of that density up to u. */
static double share_below(double a, double u)
{
    return (square_tail(a * u) + expm1(a * u) * (a - a * u)) / square_tail(a);
}

/* The exponent that gives the density its mean. The paper's fit for it is good to 0.0003 of clearness from
   0.3 to 0.7 but gives 0.10 where 0.05 is asked for, so the equation that it fits is solved instead. The
   halves of [-20, 40], which holds the means 0.05 to 0.80, never meet 0, where both tails vanish. (own
   derivation) */
static double exponent_of_mean(double share)
{
    double low = -20.0, high = 40.0;
    while (high - low > 1e-10) {
        double middle = (low + high) / 2.0;
        if (mean_share(middle) < share)
            low = middle;
        else
            high = middle;
    }
    return (low + high) / 2.0;
}

static const double upper_kt = 0.864; /* [hollands-huget-1983] daily */

/* The range of means is that of the halves above (own derivation). */
static double exponent_of(double mean_kt)
{
    return exponent_of_mean(fmin(0.80, fmax(0.05, mean_kt)) / upper_kt);
}

/* The variance of an exponential family is the derivative of its mean by the exponent; those of the tails are
   the next tails up. (own derivation) */
double sw_clearness_spread(double mean_kt)
{
    double a = exponent_of(mean_kt), cubic = cubic_tail(a), square = square_tail(a);
    double below = a * square, below_slope = square + a * (square + a);
    return upper_kt * sqrt(2.0 * (cubic * below_slope - square * below) / (below * below));
}

/* Halving to 1e-9 of the range (numerics). */
double sw_clearness_quantile(double mean_kt, double probability)
{
    double a = exponent_of(mean_kt), low = 0.0, high = 1.0;
    while (high - low > 1e-9) {
        double middle = (low + high) / 2.0;
        if (share_below(a, middle) < probability)
            low = middle;
        else
            high = middle;
    }
    return upper_kt * (low + high) / 2.0;
}

/* [parton-logan-1981] for air at 1.5 m: hours by which the maximum follows noon, shape of the night, hours by
   which the minimum follows sunrise. */
static const double lag_h = 1.86, night_shape = 2.20, minimum_after_rise_h = -0.17;

/* The moments that shape a day, in hours from the moment asked for. */
typedef struct day_course {
    double minimum_h, maximum_h, sunset_h;
    double min_c, max_c;
} day_course;

/* The middle of the day stands for noon. Days are taken as 4 to 22 h long (own derivation), so that polar
   ones have a minimum and a maximum as well. */
static day_course course_of(const sw_air_day *day, int64_t moment_s)
{
    double middle_h = (double)((day->sun.rise_s - moment_s) + (day->sun.set_s - moment_s)) / 7200.0;
    double daylight_h = (double)(day->sun.set_s - day->sun.rise_s) / 3600.0;
    double half_h = fmin(22.0, fmax(4.0, daylight_h)) / 2.0; // the maximum needs a day, the minimum a night
    return (day_course){
        .minimum_h = middle_h - half_h + minimum_after_rise_h,
        .maximum_h = middle_h + lag_h,
        .sunset_h = middle_h + half_h,
        .min_c = day->min_c,
        .max_c = day->max_c,
    };
}

/* [parton-logan-1981] As commonly written the sine lasts Y + 2a from the minimum, which puts its peak at noon
   + a + c. Adapted: its quarter wave spans from the minimum to noon + a, that is Y + 2(a - c), and the
   maximum stands where it says. */
static double by_day_c(const day_course *day, double hour)
{
    double quarter_waves = (hour - day->minimum_h) / (day->maximum_h - day->minimum_h);
    return day->min_c + (day->max_c - day->min_c) * sin(quarter_waves * PI / 2.0);
}

/* [parton-logan-1981] As commonly written the exponential is still exp(-b) of its drop above the minimum when
   the night ends, and jumps there. Adapted: displaced and scaled, so that it begins at sunset's temperature
   and ends on the minimum. */
static double by_night_c(const day_course *before, const day_course *after)
{
    double sunset_c = by_day_c(before, before->sunset_h);
    double passed = -before->sunset_h / (after->minimum_h - before->sunset_h);
    double end = exp(-night_shape);
    double left = (exp(-night_shape * passed) - end) / (1.0 - end);
    return after->min_c + (sunset_c - after->min_c) * left;
}

double sw_air_temperature_c(int64_t utc_s, const sw_air_day *yesterday, const sw_air_day *today,
                            const sw_air_day *tomorrow)
{
    day_course day = course_of(today, utc_s);
    if (day.minimum_h > 0.0) {
        day_course before = course_of(yesterday, utc_s);
        return by_night_c(&before, &day);
    }
    if (day.sunset_h >= 0.0)
        return by_day_c(&day, 0.0);
    day_course after = course_of(tomorrow, utc_s);
    return by_night_c(&day, &after);
}
