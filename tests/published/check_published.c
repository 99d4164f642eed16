// Values that sources print against what the library computes: the quantities that the data files beside this
// one may name, and the checks of the reading itself. A new value needs a row in a data file; a new quantity
// a row here.
#include "support/checks.h"
#include "support/half_cells.h"
#include "support/published.h"
#include "support/random_case.h"
#include "support/small_plan.h"
#include "support/tilted_month.h"
#include "support/whole_file.h"

#include "stillwatt/array.h"
#include "stillwatt/battery.h"
#include "stillwatt/cabin.h"
#include "stillwatt/inverter.h"
#include "stillwatt/plane.h"
#include "stillwatt/sphere.h"
#include "stillwatt/stations.h"

#include <dirent.h>
#include <math.h>
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

static const double degree = 0.017453292519943295;
static const double w_per_mj_of_an_hour = 1e6 / 3600.0;

// ---- the sun ----

static sw_sun_clock clock_at(const double *date_and_utc_min)
{
    sw_sun_clock clock;
    int64_t utc_s = llround(date_and_utc_min[0] * 86400.0 + date_and_utc_min[1] * 60.0);
    ck_assert_int_eq(sw_sun_clock_at(utc_s, &clock), SW_OK);
    return clock;
}

/* Dates come as days of the library's sw_days_from_civil (support/published.c), which this tests. */
static double julian_day(const double *g)
{
    return 2440587.5 + g[0] + g[1] / 1440.0;
}

static double declination_deg(const double *g)
{
    return clock_at(g).declination_rad / degree;
}

static double equation_of_time_min(const double *g)
{
    return clock_at(g).equation_of_time_min;
}

static double sun_distance_au(const double *g)
{
    return clock_at(g).radius_au;
}

static double extraterrestrial_w_m2(const double *g)
{
    return clock_at(g).extraterrestrial_w_m2;
}

/* date, clock_min, zone_h, lat_deg, lon_deg */
static sw_sun sun_at(const double *g)
{
    sw_sun sun;
    int64_t utc_s = llround(g[0] * 86400.0 + g[1] * 60.0 - g[2] * 3600.0);
    ck_assert_int_eq(sw_sun_at(utc_s, g[3], g[4], &sun), SW_OK);
    return sun;
}

static double sun_zenith_deg(const double *g)
{
    return sun_at(g).zenith_deg;
}

static double sun_azimuth_deg(const double *g)
{
    return sun_at(g).azimuth_deg;
}

static double sun_apparent_height_deg(const double *g)
{
    return 90.0 - sun_at(g).apparent_zenith_deg;
}

/* On the equator's meridian of the sun the parts of the unit vector give the hour angle. */
static double solar_time_min(const double *g)
{
    const double on_equator[] = {g[0], g[1], g[2], 0.0, g[3]};
    sw_sun sun = sun_at(on_equator);
    return 720.0 + 4.0 * atan2(-sun.east, sun.cos_zenith) / degree;
}

/* At noon of a sun over the equator the zenith is the latitude, also beyond the pole. */
static double refraction_deg(const double *g)
{
    sw_sun_clock clock = {0.0, 0.0, 1.0, 1361.1};
    sw_sun sun;
    sw_sun_from(&clock, 43200, 90.0 - g[0], 0.0, &sun);
    return sun.zenith_deg - sun.apparent_zenith_deg;
}

/* date, zone_h, lat_deg, lon_deg: the times of the solar day whose noon is nearest to twelve of the clock */
static sw_sun_times times_of(const double *g)
{
    sw_sun_times times;
    int64_t around_s = llround(g[0] * 86400.0 + 43200.0 - g[1] * 3600.0);
    ck_assert_int_eq(sw_sun_times_near(around_s, g[2], g[3], &times), SW_OK);
    return times;
}

static double clock_min_of(int64_t utc_s, const double *g)
{
    return (double)utc_s / 60.0 - g[0] * 1440.0 + g[1] * 60.0;
}

static double sunrise_min(const double *g)
{
    return clock_min_of(times_of(g).rise_s, g);
}

static double solar_noon_min(const double *g)
{
    return clock_min_of(times_of(g).noon_s, g);
}

static double sunset_min(const double *g)
{
    return clock_min_of(times_of(g).set_s, g);
}

static double day_length_min(const double *g)
{
    sw_sun_times times = times_of(g);
    return (double)(times.set_s - times.rise_s) / 60.0;
}

// ---- above the air ----

static double daily_extraterrestrial_mj_m2(const double *g)
{
    sw_sun_clock clock = {.declination_rad = g[0] * degree, .radius_au = 1.0, .extraterrestrial_w_m2 = g[1]};
    return sw_sun_daily_extraterrestrial_wh_m2(&clock, g[2]) / w_per_mj_of_an_hour;
}

/* The clock of [duffie-beckman]: constant 1367 W/m2, eccentricity by eq. 1.4.1a, declination by eq. 1.6.1a.
 */
static double handbook_day_mj_m2(const double *g)
{
    const double clock[] = {23.45 * sin(360.0 * degree * (284.0 + g[0]) / 365.0),
                            1367.0 * (1.0 + 0.033 * cos(360.0 * degree * g[0] / 365.0)), g[1]};
    return daily_extraterrestrial_mj_m2(clock);
}

static double handbook_month_mj_m2(const double *g)
{
    static const int length[] = {31, 28, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31};
    int month = (int)g[0] - 1, first = 1;
    for (int m = 0; m < month; m++)
        first += length[m];
    double sum = 0.0;
    for (int day = first; day < first + length[month]; day++)
        sum += handbook_day_mj_m2((const double[]){day, g[1]});
    return sum / length[month];
}

/* A month of the library's own days, as its climates count it, with the solar constant of the source. */
static double climate_month_mj_m2(const double *g)
{
    sw_climate climate = {.neighbours = 0};
    for (int m = 0; m < 12; m++)
        climate.month[m].ghi_kwh_m2_day = 1.0;
    sw_climate_from_energy(g[1], 0.0, &climate);
    return 3.6 / climate.month[(int)g[0] - 1].kt_mean * g[2] / 1361.1;
}

// ---- sky ----

static double air_mass(const double *g)
{
    return sw_air_mass(g[0]);
}

static double pressure_ratio(const double *g)
{
    return sw_pressure_ratio(g[0]);
}

static double cloud_factor(const double *g)
{
    return sw_cloud_factor(g[0]);
}

static double diffuse_fraction(const double *g)
{
    return sw_diffuse_fraction(g[0]);
}

static sw_sun sun_at_zenith(double zenith_deg)
{
    return (sw_sun){
        .zenith_deg = zenith_deg, .apparent_zenith_deg = zenith_deg, .cos_zenith = cos(zenith_deg * degree)};
}

/* height_deg, elevation_m, linke_turbidity, normal_w_m2 */
static sw_light clear_sky(const double *g)
{
    sw_sun_clock clock = {.radius_au = 1.0, .extraterrestrial_w_m2 = g[3]};
    sw_sun sun = sun_at_zenith(90.0 - g[0]);
    return sw_clear_sky(&clock, &sun, g[1], g[2]);
}

static double clear_ghi_w_m2(const double *g)
{
    return clear_sky(g).ghi_w_m2;
}

static double clear_beam_w_m2(const double *g)
{
    return clear_sky(g).dni_w_m2;
}

/* The factor that the library leaves out on purpose is put back: exp(0.01 m^1.8) [ineichen-perez-2002]. */
static double clear_ghi_with_low_sun_factor_w_m2(const double *g)
{
    double m = sw_air_mass(90.0 - g[0]) * sw_pressure_ratio(g[1]);
    return clear_ghi_w_m2(g) * exp(0.01 * pow(m, 1.8));
}

/* hour_mj_m2, above_air_mj_m2: both on the flat, so that any zenith will do */
static sw_light split_mj_m2(const double *g)
{
    sw_sun_clock clock = {.radius_au = 1.0, .extraterrestrial_w_m2 = 2.0 * g[1]};
    sw_sun sun = sun_at_zenith(60.0);
    return sw_split(g[0], &clock, &sun, INFINITY);
}

static double split_diffuse_mj_m2(const double *g)
{
    return split_mj_m2(g).dhi_w_m2;
}

static double split_beam_mj_m2(const double *g)
{
    sw_light light = split_mj_m2(g);
    return light.ghi_w_m2 - light.dhi_w_m2;
}

// ---- geometry of planes ----

/* lat_deg, declination_deg, hour_angle_deg (to whole seconds of time) */
static sw_sun sun_of_hour(const double *g)
{
    sw_sun_clock clock = {.declination_rad = g[1] * degree, .radius_au = 1.0};
    sw_sun sun;
    sw_sun_from(&clock, 43200 + llround(240.0 * g[2]), g[0], 0.0, &sun);
    return sun;
}

static double hour_zenith_deg(const double *g)
{
    return sun_of_hour(g).zenith_deg;
}

static double hour_azimuth_from_south_deg(const double *g)
{
    return sun_of_hour(g).azimuth_deg - 180.0;
}

static sw_plane plane_of(double tilt_deg, double azimuth_from_south_deg)
{
    sw_plane plane;
    sw_plane_prepare(&(sw_tilt){tilt_deg, 180.0 + azimuth_from_south_deg}, &plane);
    return plane;
}

/* lat_deg, declination_deg, hour_angle_deg, tilt_deg, facing_from_south_deg */
static double hour_incidence_deg(const double *g)
{
    sw_plane plane = plane_of(g[3], g[4]);
    sw_sun sun = sun_of_hour(g);
    return acos(sw_cos_incidence(&plane, &sun)) / degree;
}

static double beam_ratio(const double *g)
{
    sw_plane plane = plane_of(g[3], g[4]);
    sw_sun sun = sun_of_hour(g);
    return sw_cos_incidence(&plane, &sun) / sun.cos_zenith;
}

/* zenith_deg, azimuth_deg, tilt_deg, facing_from_south_deg */
static double incidence_deg(const double *g)
{
    double z = g[0] * degree, a = g[1] * degree;
    sw_sun sun = {.cos_zenith = cos(z), .east = sin(z) * sin(a), .north = sin(z) * cos(a)};
    sw_plane plane = plane_of(g[2], g[3]);
    return acos(sw_cos_incidence(&plane, &sun)) / degree;
}

// ---- light on planes ----

/* lat_deg, declination_deg, hour_angle_deg, tilt_deg, albedo, beam_mj_m2, diffuse_mj_m2, normal_mj_m2. The
   model is of one degree in light, so MJ/m2 stand for W/m2. */
static sw_plane_light tilted_hour(const double *g, double beam_open)
{
    sw_sun_clock clock = {.declination_rad = g[1] * degree, .radius_au = 1.0, .extraterrestrial_w_m2 = g[7]};
    sw_sun sun = sun_of_hour(g);
    sw_plane plane = plane_of(g[3], 0.0);
    sw_plane_sun view;
    sw_plane_sun_of(&plane, &clock, &sun, &view);
    view.beam_open = beam_open;
    sw_light light = {g[5] + g[6], g[5] / sun.cos_zenith, g[6]};
    sw_plane_light on;
    sw_plane_light_of(&plane, &view, &light, g[4], &on);
    return on;
}

static double tilted_beam_mj_m2(const double *g)
{
    return tilted_hour(g, 1.0).beam_w_m2;
}

static double tilted_ground_mj_m2(const double *g)
{
    return tilted_hour(g, 1.0).ground_w_m2;
}

static double tilted_rest_of_sky_mj_m2(const double *g)
{
    return tilted_hour(g, 0.0).sky_w_m2; // what hides the sun hides the light round it as well
}

static double tilted_circumsolar_mj_m2(const double *g)
{
    return tilted_hour(g, 1.0).sky_w_m2 - tilted_rest_of_sky_mj_m2(g);
}

static double tilted_total_mj_m2(const double *g)
{
    return tilted_hour(g, 1.0).incident_w_m2;
}

/* Brightness round the sun (1) or of the horizon (2) that the library takes at a clearness, a brightness of
   the sky and a zenith angle, lit by 1 W/m2 of sky light: the first from a plane that sees the sun alone, the
   second from one that sees 1000 skies (so that a dark horizon is never more than the sky gives) and not the
   sun. */
static double perez_brightness(int which, double clearness, double brightness, double zenith_rad)
{
    sw_plane plane = {.sky_view = 1000.0, .sin_tilt = 1.0};
    sw_plane_sun sun = {.cos_incidence = 1.0,
                        .beam_open = which == 1 ? 1.0 : 0.0,
                        .sky_open = which == 2 ? 1.0 : 0.0,
                        .circumsolar_ratio = 1.0,
                        .zenith_rad = zenith_rad,
                        .brightness_per_w_m2 = brightness,
                        .sun_up = 1};
    sw_light light = {0.0, clearness - 1.0, 1.0};
    sw_plane_light on;
    sw_plane_light_of(&plane, &sun, &light, 0.0, &on);
    return which == 1 ? on.sky_w_m2 : on.sky_w_m2 - 1000.0;
}

/* clearness, coefficient (11, 12, 13, 21, 22 or 23). Both sums are linear in brightness and zenith. They are
   taken at zeniths of no real sun: at -3 rad the first is above its bound of 0 in every bin, at 30 rad it is
   at the bound. */
static double perez_coefficient(const double *g)
{
    int which = (int)g[1] / 10;
    double z = which == 1 ? -3.0 : 30.0;
    double at = perez_brightness(which, g[0], 0.0, z);
    double per_zenith = (perez_brightness(which, g[0], 0.0, 1.01 * z) - at) / (0.01 * z);
    double per_brightness = (perez_brightness(which, g[0], 0.01, z) - at) / 0.01;
    const double coefficient[] = {at - z * per_zenith, per_brightness, per_zenith};
    return coefficient[(int)g[1] % 10 - 1];
}

/* low, high: the clearness between them where the coefficients change */
static double perez_bin_limit(const double *g)
{
    double low = g[0], high = g[1], below = perez_brightness(1, low, 0.0, -3.0);
    while (high - low > 1e-9) {
        double middle = 0.5 * (low + high);
        if (perez_brightness(1, middle, 0.0, -3.0) == below)
            low = middle;
        else
            high = middle;
    }
    return low;
}

/* lat_deg, lon_deg, elevation_m, tilt_deg, albedo, twelve months on the flat, month */
static double tilted_month_kwh_m2(const double *g)
{
    tilted_month of = {.lat_deg = g[0],
                       .lon_deg = g[1],
                       .elevation_m = g[2],
                       .tilt_deg = g[3],
                       .albedo = g[4],
                       .month = (int)g[17]};
    memcpy(of.flat_kwh_m2_day, g + 5, sizeof of.flat_kwh_m2_day);
    return tilted_month_kwh_m2_day(&of);
}

/* The same without a month: the mean of the twelve. */
static double tilted_year_kwh_m2(const double *g)
{
    double with_month[18], sum = 0.0;
    memcpy(with_month, g, 17 * sizeof g[0]);
    for (int month = 1; month <= 12; month++) {
        with_month[17] = month;
        sum += tilted_month_kwh_m2(with_month);
    }
    return sum / 12.0;
}

// ---- modules ----

static double cell_temperature_c(sw_mounting mounting, const double *g)
{
    return sw_cell_temperature_c(mounting, g[0], g[1], g[2]);
}

static double open_cell_c(const double *g)
{
    return cell_temperature_c(SW_MOUNT_OPEN, g);
}

static double gap_cell_c(const double *g)
{
    return cell_temperature_c(SW_MOUNT_GAP, g);
}

static double bonded_cell_c(const double *g)
{
    return cell_temperature_c(SW_MOUNT_BONDED, g);
}

static double low_light(const double *g)
{
    return sw_low_light(g[0]);
}

static double glass_modifier(const double *g)
{
    return sw_glass_modifier(cos(g[0] * degree));
}

/* The angle at which the glass passes a beam as it passes a whole sky or ground. */
static double angle_of_modifier_deg(double modifier)
{
    double low = 0.0, high = 90.0;
    while (high - low > 1e-9) {
        double middle = 0.5 * (low + high);
        if (sw_glass_modifier(cos(middle * degree)) > modifier)
            low = middle;
        else
            high = middle;
    }
    return high;
}

static double sky_angle_deg(const double *g)
{
    return angle_of_modifier_deg(plane_of(g[0], 0.0).sky_modifier);
}

static double ground_angle_deg(const double *g)
{
    return angle_of_modifier_deg(plane_of(g[0], 0.0).ground_modifier);
}

// ---- batteries, loads ----

static double positive_electrode_v(const double *g)
{
    return positive_half_cell_v(g[0]);
}

static double graphite_electrode_v(const double *g)
{
    return graphite_half_cell_v(g[0]);
}

static double lifepo4_rest_v(const double *g)
{
    return sw_curve_at(&sw_chemistry_of(SW_LIFEPO4)->open_circuit_v, g[0]);
}

static double lead_temperature_factor(const double *g)
{
    return 1.0 / sw_curve_at(&sw_chemistry_of(SW_AGM)->capacity_share, g[0]);
}

/* rated_ah, rated_h, exponent, current_a */
static double peukert_h(const double *g)
{
    return g[0] * sw_peukert_share(g[3] * g[1] / g[0], g[2]) / g[3];
}

/* A published curve p/(p + p0 + v p + r p^2), p the load over the rating, has a peak and a full-load
   efficiency; a data sheet would print those and the idle draw. The fit through the three must give the curve
   back. Given: p0, v, r, load. */
static double inverter_efficiency(const double *g)
{
    const double rated_w = 1000.0;
    double peak = 1.0 / (1.0 + g[1] + 2.0 * sqrt(g[0] * g[2])), full = 1.0 / (1.0 + g[0] + g[1] + g[2]);
    sw_inverter_curve c;
    sw_inverter_fit fit = sw_inverter_fit_curve(g[0] * rated_w, rated_w, peak, full, &c);
    if (fit != SW_FIT_OK && fit != SW_FIT_STEEP)
        return NAN;
    double ac_w = g[3] * rated_w;
    return ac_w / (ac_w + c.idle_w + c.linear * ac_w + c.square_per_w * ac_w * ac_w);
}

/* breaker_a, supply_v: what a hookup in a trip file may carry for three hours and more */
static double wet_bulb_c(const double *g)
{
    return sw_wet_bulb_c(g[0], g[1]);
}

static double cooler_drop_k(const double *g)
{
    return g[0] - sw_cooler_air_of(g[0], g[1], g[2], 100.0, 0.0).supply_c;
}

/* litres, cold_c, warm_c: a use of a boiler that takes 1 kW, by its power and its length. */
static double hot_water_wh(const double *g)
{
    char load[200];
    snprintf(load, sizeof load,
             "{\"kind\": \"hot-water\", \"bus\": \"ac\", \"power\": \"1000 W\", \"water\": \"%g L\", "
             "\"cold\": \"%g C\", "
             "\"warm\": \"%g C\", \"at\": [\"07:10\", \"16:10\"]}",
             g[0], g[1], g[2]);
    char *van = text_with(
        small_van,
        "{\"kind\": \"use\", \"bus\": \"ac\", \"power\": \"900 W\", \"each\": \"5 min\", \"at\": [\"07:10\", "
        "\"16:10\"]}",
        load);
    sw_plan *plan = plan_of_van(van);
    double wh = plan->van->load[2].power_w * plan->van->load[2].each_s / 3600.0;
    sw_plan_free(plan);
    free(van);
    return wh;
}

static void add_solar_w(void *context, int32_t step, const sw_tile_flow *flow)
{
    (void)step;
    *(double *)context += flow->solar_offered_w[0];
}

/* daily_sun_kwh_m2, rated_w, kept: full sun for as many hours, dark for the rest of the day. */
static double array_mean_w(const double *g)
{
    enum { ROWS = 1440 };
    sw_forcing f = sw_forcing_made(ROWS, 60, 1);
    sw_variant v = sw_plain_variant(SW_LIFEPO4);
    sw_tile_plan plan;
    sw_tile_state state;
    double sum_w = 0.0;
    fill_column(f.yield[0], 0, (int32_t)(g[0] * 60.0 + 0.5), 1.0);
    v.array_w[0] = g[1];
    v.array_keep[0] = g[2];
    for (int lane = 0; lane < SW_TILE; lane++)
        sw_tile_set(&plan, &state, lane, &v, f.step_s);
    ck_assert_int_eq(sw_march(&f, &plan, &state, add_solar_w, &sum_w), SW_OK);
    sw_forcing_unmake(&f);
    return sum_w / ROWS;
}

/* daily_sun_kwh_m2, daily_kwh */
static double array_for_kw(const double *g)
{
    return g[1] / (array_mean_w((const double[]){g[0], 1000.0, 1.0}) * 24.0 / 1000.0);
}

static double hookup_steady_w(const double *g)
{
    char hookup[100];
    snprintf(hookup, sizeof hookup, "{\"current\": \"%g A\", \"voltage\": \"%g V\"}", g[0], g[1]);
    char *trip = text_with(small_trip, "{\"current\": \"30 A\", \"voltage\": \"120 V\"}", hookup);
    sw_plan *plan = plan_of_trip(small_van, trip);
    const sw_leg *leg = plan->trip->leg;
    double steady_w = leg->shore_a * leg->shore_v * leg->shore_steady;
    sw_plan_free(plan);
    free(trip);
    return steady_w;
}

// ---- statistics, air, distance ----

/* Share of days below x under the density (ku - x) exp(lambda x) of [hollands-huget-1983], by its integral.
 */
static double share_of_days(double lambda, double ku, double x)
{
    double whole = exp(lambda * ku) - 1.0 - lambda * ku;
    return ((lambda * (ku - x) + 1.0) * exp(lambda * x) - 1.0 - lambda * ku) / whole;
}

/* The exponent lambda of the distribution that the library's median is the median of. */
static double clearness_exponent(const double *g)
{
    const double ku = 0.864;
    double median = sw_clearness_quantile(g[0], 0.5), low = 0.01, high = 40.0; // more lambda, clearer days
    while (high - low > 1e-9) {
        double middle = 0.5 * (low + high);
        if (share_of_days(middle, ku, median) > 0.5)
            low = middle;
        else
            high = middle;
    }
    return low;
}

/* Air of invented equal days: sunrise 6 h, noon 12 h, sunset 18 h, 5 to 20 degC. */
static double air_c(double hour)
{
    sw_air_day day[3];
    for (int i = 0; i < 3; i++) {
        int64_t noon_s = 43200 + 86400 * (i - 1);
        day[i] = (sw_air_day){{SW_DAY_AND_NIGHT, noon_s - 21600, noon_s, noon_s + 21600}, 5.0, 20.0};
    }
    return sw_air_temperature_c(llround(hour * 3600.0), &day[0], &day[1], &day[2]);
}

/* The hour between two at which the air is warmest (1) or coldest (-1). */
static double extreme_h(double from_h, double to_h, double sign)
{
    double best = from_h;
    for (double hour = from_h; hour <= to_h; hour += 0.001)
        best = sign * air_c(hour) > sign * air_c(best) ? hour : best;
    return best;
}

static double air_maximum_after_noon_h(const double *g)
{
    (void)g;
    return extreme_h(6.0, 18.0, 1.0) - 12.0;
}

static double air_minimum_after_sunrise_h(const double *g)
{
    (void)g;
    return extreme_h(0.0, 12.0, -1.0) - 6.0;
}

/* Half-way through the night (exp(-b/2) - exp(-b))/(1 - exp(-b)) = 1/(1 + exp(b/2)) of the drop is left. */
static double air_night_shape(const double *g)
{
    double begin_h = 18.0, end_h = 30.0 + air_minimum_after_sunrise_h(g), middle_h = 0.5 * (begin_h + end_h);
    double left = (air_c(middle_h) - 5.0) / (air_c(begin_h) - 5.0);
    return 2.0 * log(1.0 / left - 1.0);
}

static double earth_radius_m(const double *g)
{
    (void)g;
    return sw_great_circle_m(0.0, 0.0, 0.0, 90.0, NULL) / (90.0 * degree);
}

// ---- the table ----

#define PLACE_AND_TIME                                                                                       \
    {                                                                                                        \
        "date", "clock_min", "zone_h", "lat_deg", "lon_deg"                                                  \
    }
#define DAY                                                                                                  \
    {                                                                                                        \
        "date", "zone_h", "lat_deg", "lon_deg"                                                               \
    }
#define MOMENT                                                                                               \
    {                                                                                                        \
        "date", "utc_min"                                                                                    \
    }
#define HOUR                                                                                                 \
    {                                                                                                        \
        "lat_deg", "declination_deg", "hour_angle_deg"                                                       \
    }
#define HOUR_AND_PLANE                                                                                       \
    {                                                                                                        \
        "lat_deg", "declination_deg", "hour_angle_deg", "tilt_deg", "facing_from_south_deg"                  \
    }
#define HOUR_OF_LIGHT                                                                                        \
    {                                                                                                        \
        "lat_deg", "declination_deg", "hour_angle_deg", "tilt_deg", "albedo", "beam_mj_m2", "diffuse_mj_m2", \
            "normal_mj_m2"                                                                                   \
    }
#define FLAT_MONTHS                                                                                          \
    "lat_deg", "lon_deg", "elevation_m", "tilt_deg", "albedo", "jan", "feb", "mar", "apr", "may", "jun",     \
        "jul", "aug", "sep", "oct", "nov", "dec"
#define CLEAR_SKY                                                                                            \
    {                                                                                                        \
        "height_deg", "elevation_m", "linke_turbidity", "normal_w_m2"                                        \
    }
#define CELL                                                                                                 \
    {                                                                                                        \
        "light_w_m2", "air_c", "wind_m_s"                                                                    \
    }

static const published_quantity quantities[] = {
    {"julian_day", "d", MOMENT, julian_day},
    {"declination_deg", "deg", MOMENT, declination_deg},
    {"equation_of_time_min", "min", MOMENT, equation_of_time_min},
    {"sun_distance_au", "AU", MOMENT, sun_distance_au},
    {"extraterrestrial_w_m2", "W/m2", MOMENT, extraterrestrial_w_m2},
    {"sun_zenith_deg", "deg", PLACE_AND_TIME, sun_zenith_deg},
    {"sun_azimuth_deg", "deg", PLACE_AND_TIME, sun_azimuth_deg},
    {"sun_apparent_height_deg", "deg", PLACE_AND_TIME, sun_apparent_height_deg},
    {"refraction_deg", "deg", {"height_deg"}, refraction_deg},
    {"solar_time_min", "min", {"date", "clock_min", "zone_h", "lon_deg"}, solar_time_min},
    {"sunrise_min", "min", DAY, sunrise_min},
    {"solar_noon_min", "min", DAY, solar_noon_min},
    {"sunset_min", "min", DAY, sunset_min},
    {"day_length_min", "min", DAY, day_length_min},

    {"daily_extraterrestrial_mj_m2",
     "MJ/m2",
     {"declination_deg", "normal_w_m2", "lat_deg"},
     daily_extraterrestrial_mj_m2},
    {"handbook_day_mj_m2", "MJ/m2", {"n", "lat_deg"}, handbook_day_mj_m2},
    {"handbook_month_mj_m2", "MJ/m2", {"month", "lat_deg"}, handbook_month_mj_m2},
    {"climate_month_mj_m2", "MJ/m2", {"month", "lat_deg", "constant_w_m2"}, climate_month_mj_m2},

    {"air_mass", "plain", {"zenith_deg"}, air_mass},
    {"pressure_ratio", "plain", {"elevation_m"}, pressure_ratio},
    {"cloud_factor", "plain", {"okta"}, cloud_factor},
    {"diffuse_fraction", "plain", {"kt"}, diffuse_fraction},
    {"clear_ghi_w_m2", "W/m2", CLEAR_SKY, clear_ghi_w_m2},
    {"clear_beam_w_m2", "W/m2", CLEAR_SKY, clear_beam_w_m2},
    {"clear_ghi_with_low_sun_factor_w_m2", "W/m2", CLEAR_SKY, clear_ghi_with_low_sun_factor_w_m2},
    {"split_diffuse_mj_m2", "MJ/m2", {"hour_mj_m2", "above_air_mj_m2"}, split_diffuse_mj_m2},
    {"split_beam_mj_m2", "MJ/m2", {"hour_mj_m2", "above_air_mj_m2"}, split_beam_mj_m2},

    {"hour_zenith_deg", "deg", HOUR, hour_zenith_deg},
    {"hour_azimuth_from_south_deg", "deg", HOUR, hour_azimuth_from_south_deg},
    {"hour_incidence_deg", "deg", HOUR_AND_PLANE, hour_incidence_deg},
    {"beam_ratio", "plain", HOUR_AND_PLANE, beam_ratio},
    {"incidence_deg",
     "deg",
     {"zenith_deg", "azimuth_deg", "tilt_deg", "facing_from_south_deg"},
     incidence_deg},

    {"tilted_beam_mj_m2", "MJ/m2", HOUR_OF_LIGHT, tilted_beam_mj_m2},
    {"tilted_ground_mj_m2", "MJ/m2", HOUR_OF_LIGHT, tilted_ground_mj_m2},
    {"tilted_circumsolar_mj_m2", "MJ/m2", HOUR_OF_LIGHT, tilted_circumsolar_mj_m2},
    {"tilted_rest_of_sky_mj_m2", "MJ/m2", HOUR_OF_LIGHT, tilted_rest_of_sky_mj_m2},
    {"tilted_total_mj_m2", "MJ/m2", HOUR_OF_LIGHT, tilted_total_mj_m2},
    {"perez_coefficient", "plain", {"clearness", "coefficient"}, perez_coefficient},
    {"perez_bin_limit", "plain", {"low", "high"}, perez_bin_limit},
    {"tilted_month_kwh_m2", "kWh/m2", {FLAT_MONTHS, "month"}, tilted_month_kwh_m2},
    {"tilted_year_kwh_m2", "kWh/m2", {FLAT_MONTHS}, tilted_year_kwh_m2},

    {"open_cell_c", "K", CELL, open_cell_c},
    {"gap_cell_c", "K", CELL, gap_cell_c},
    {"bonded_cell_c", "K", CELL, bonded_cell_c},
    {"low_light", "plain", {"light_w_m2"}, low_light},
    {"glass_modifier", "plain", {"incidence_deg"}, glass_modifier},
    {"sky_angle_deg", "deg", {"tilt_deg"}, sky_angle_deg},
    {"ground_angle_deg", "deg", {"tilt_deg"}, ground_angle_deg},

    {"positive_electrode_v", "V", {"y"}, positive_electrode_v},
    {"graphite_electrode_v", "V", {"x"}, graphite_electrode_v},
    {"lifepo4_rest_v", "V", {"soc"}, lifepo4_rest_v},
    {"lead_temperature_factor", "plain", {"battery_c"}, lead_temperature_factor},
    {"peukert_h", "h", {"rated_ah", "rated_h", "exponent", "current_a"}, peukert_h},
    {"inverter_efficiency", "plain", {"p0", "v", "r", "load"}, inverter_efficiency},
    {"hookup_steady_w", "W", {"breaker_a", "supply_v"}, hookup_steady_w},
    {"wet_bulb_c", "C", {"air_c", "humidity_pct"}, wet_bulb_c},
    {"cooler_drop_k", "K", {"air_c", "humidity_pct", "effectiveness"}, cooler_drop_k},
    {"hot_water_wh", "Wh", {"litres", "cold_c", "warm_c"}, hot_water_wh},
    {"array_mean_w", "W", {"daily_sun_kwh_m2", "rated_w", "kept"}, array_mean_w},
    {"array_for_kw", "kW", {"daily_sun_kwh_m2", "daily_kwh"}, array_for_kw},

    {"clearness_exponent", "plain", {"mean_kt"}, clearness_exponent},
    {"air_maximum_after_noon_h", "h", {NULL}, air_maximum_after_noon_h},
    {"air_minimum_after_sunrise_h", "h", {NULL}, air_minimum_after_sunrise_h},
    {"air_night_shape", "plain", {NULL}, air_night_shape},
    {"earth_radius_m", "m", {NULL}, earth_radius_m},
};
enum { QUANTITIES = sizeof quantities / sizeof quantities[0] };

/* Equations of support/half_cells.c, which check_battery.c holds the library against. */
static const char *const of_test[] = {"positive_electrode_v", "graphite_electrode_v", NULL};

// ---- the data ----

static complaints found; // large, so not on the stack

static source_table sources_of_project(void)
{
    source_table table;
    char *markdown = read_whole_file(SW_SOURCE_DIR "/DEVELOPERS.md", NULL);
    ck_assert_ptr_nonnull(markdown);
    sources_of(markdown, "DEVELOPERS.md", &table, &found);
    free(markdown);
    return table;
}

static int is_data(const struct dirent *entry)
{
    const char *end = strrchr(entry->d_name, '.');
    return end != NULL && strcmp(end, ".txt") == 0 && strcmp(entry->d_name, "FORMAT.txt") != 0;
}

static void print_tally(const char *name, const published_tally *t)
{
    printf("  %-16s %4d seen %4d derived %4d memory", name, t->values[MARK_SEEN], t->values[MARK_DERIVED],
           t->values[MARK_MEMORY]);
    if (t->of_test > 0)
        printf(" (and %d of the tests' own equations)", t->of_test);
    printf("; at most %.2f of a tolerance", t->greatest_share);
}

static void run_file(const char *name, const published_rules *rules, published_tally *sum)
{
    char path[1024];
    published_tally tally;
    snprintf(path, sizeof path, SW_SOURCE_DIR "/tests/published/%s", name);
    char *text = read_whole_file(path, NULL);
    ck_assert_msg(text != NULL, "%s cannot be read", path);
    published_run(text, name, rules, &tally, &found);
    free(text);
    print_tally(name, &tally);
    printf(", line %d\n", tally.greatest_line);
    for (int mark = 0; mark < MARK_COUNT; mark++)
        sum->values[mark] += tally.values[mark];
    sum->of_test += tally.of_test;
    sum->greatest_share = fmax(sum->greatest_share, tally.greatest_share);
}

START_TEST(the_library_computes_what_the_sources_print)
{
    static int used[QUANTITIES];
    published_tally sum = {.of_test = 0};
    struct dirent **entry;
    found = (complaints){.count = 0};
    source_table table = sources_of_project();
    published_rules rules = {quantities, QUANTITIES, &table, used, of_test};
    int entries = scandir(SW_SOURCE_DIR "/tests/published", &entry, is_data, alphasort);
    ck_assert_int_gt(entries, 0);
    for (int i = 0; i < entries; i++) {
        run_file(entry[i]->d_name, &rules, &sum);
        free(entry[i]);
    }
    free(entry);
    published_settle(&rules, &found);
    print_tally("all", &sum);
    printf("\n  memory: recalled, or worked out from recalled coefficients, often those of the library\n%s",
           found.text);
    fflush(stdout);
    ck_assert_msg(found.count == 0, "%d complaints, printed above", found.count);
}
END_TEST

// ---- the reading's own checks ----

#define HEAD "source [usno] a table\nmark seen\n"
#define SUN  HEAD "quantity air_mass\n"
#define GOOD SUN "tolerance 0.1 plain: as printed\ncolumns zenith_deg expected\n"

static int complaints_of(const char *text)
{
    static int used[QUANTITIES];
    static source_table table;
    published_tally tally;
    found = (complaints){.count = 0};
    sources_of("## Sources\n\n| usno | Almanac |\n", "D.md", &table, &found);
    published_rules rules = {quantities, QUANTITIES, &table, used, of_test};
    published_run(text, "v.txt", &rules, &tally, &found);
    return found.count;
}

START_TEST(a_good_text_is_run_and_counted)
{
    static int used[QUANTITIES];
    source_table table;
    published_tally tally;
    found = (complaints){.count = 0};
    sources_of("## Sources\n\n| usno | Almanac |\n", "D.md", &table, &found);
    published_rules rules = {quantities, QUANTITIES, &table, used, of_test};
    published_run("# a comment\n\n" GOOD "  60 1.994 # more\n  0  1.05\n"
                  "mark memory\nquantity cloud_factor\ntolerance 1 %: two words,\n  recalled\n"
                  "columns okta=0 okta=4 okta=8\n  1.0 - 0.2501\n"
                  "mark derived\nquantity positive_electrode_v\ntolerance 0.1 V: as printed\n"
                  "columns y expected\n  0.5 3.43\n",
                  "v.txt", &rules, &tally, &found);
    ck_assert_msg(found.count == 0, "%s", found.text);
    ck_assert_int_eq(tally.values[MARK_SEEN], 2);
    ck_assert_int_eq(tally.values[MARK_DERIVED], 0);
    ck_assert_int_eq(tally.values[MARK_MEMORY], 2);
    ck_assert_int_eq(tally.of_test, 1); // of the test's own equation: not among those derived
    ck_assert_double_eq_tol(tally.greatest_share, 0.5029, 1e-4); // 1.05 for 0.99971, of 0.1
    ck_assert_int_eq(tally.greatest_line, 9);
    published_settle(&rules, &found);
    ck_assert_int_eq(found.count, QUANTITIES - 3);
    ck_assert_ptr_nonnull(strstr(found.text, "no file in tests/published/ has a value of sunrise_min"));
}
END_TEST

START_TEST(clocks_dates_and_columns_by_name_are_read)
{
    // 1970-01-02 07:25:30 of a zone an hour east of Greenwich, on the meridian of that zone
    ck_assert_int_eq(complaints_of(HEAD "quantity solar_time_min\ntolerance 16 min: the equation of time\n"
                                        "given zone_h 1, lon_deg 15\ncolumns date clock_min expected\n"
                                        " 1970-01-02 7:25:30 7:25:30\n 2010-06-21 11:00 660\n"),
                     0);
    ck_assert_int_eq(complaints_of(HEAD "quantity solar_time_min\ntolerance 16 min: the equation of time\n"
                                        "given zone_h 1, lon_deg 15, clock_min 7:25\n"
                                        "columns date=1970-02-10 date=1970-05-10\n 7:10 7:28\n"),
                     0);
}
END_TEST

START_TEST(a_value_that_differs_is_told_with_all_that_it_came_from)
{
    ck_assert_int_eq(complaints_of(GOOD "  60 2.5\n"), 1);
    static const char *const parts[] = {"v.txt:6: [usno] a table, seen", "air_mass of zenith_deg 60",
                                        "expected 2.5, got 1.994", "off by 0.5057", "tolerance 0.1"};
    for (size_t i = 0; i < sizeof parts / sizeof parts[0]; i++)
        ck_assert_msg(strstr(found.text, parts[i]) != NULL, "no \"%s\" in %s", parts[i], found.text);
}
END_TEST

static const struct {
    const char *text, *complaint;
} malformed[] = {
    {"source usno a table\n", "v.txt:1: write the key and the place"},
    {"source [usno]\n", "v.txt:1: write the key and the place"},
    {"source [nobody] a table\n", "v.txt:1: the source [nobody] is unknown"},
    {"source [usno] a table\nmark guessed\n", "v.txt:2: a mark is seen"},
    {"source [usno] a table\nmark seen memory\n", "v.txt:2: a mark is seen"},
    {HEAD "quantity air_weight\n", "v.txt:3: the quantity \"air_weight\" is unknown"},
    {HEAD "tolerance 1 min: as printed\n", "v.txt:3: a line \"tolerance\" belongs below a line \"quantity\""},
    {HEAD "value 1\n", "v.txt:3: a line begins with source"},
    {SUN "tolerance 0.1 plain\n", "v.txt:4: a tolerance needs its reason"},
    {SUN "tolerance 0.1 plain: why\n", "v.txt:4: a tolerance needs its reason"},
    {SUN "tolerance 0.1: as printed\n", "v.txt:4: the tolerance of air_mass needs its unit: plain or %"},
    {SUN "tolerance 0.1 deg: as printed\n", "v.txt:4: the tolerance of air_mass needs its unit"},
    {SUN "tolerance 0 plain: as printed\n", "v.txt:4: a tolerance begins with a number above 0"},
    {SUN "given height_deg 3\n", "v.txt:4: air_mass is not computed from \"height_deg\""},
    {SUN "given zenith_deg high\n", "v.txt:4: write \"zenith_deg\" and one number"},
    {SUN "given zenith_deg 1 2\n", "v.txt:4: write \"zenith_deg\" and one number"},
    {SUN "columns zenith_deg expected\n", "v.txt:4: air_mass needs a line \"tolerance\""},
    {"quantity air_mass\ntolerance 0.1 plain: as printed\ncolumns zenith_deg expected\n",
     "v.txt:3: a table needs the lines \"source\" and \"mark\""},
    {SUN "tolerance 0.1 plain: as printed\ncolumns zenith_deg\n", "v.txt:5: a table needs one column"},
    {SUN "tolerance 0.1 plain: as printed\ncolumns expected zenith_deg\n",
     "v.txt:5: a table needs one column"},
    {SUN "tolerance 0.1 plain: as printed\ncolumns zenith_deg=1 expected\n",
     "v.txt:5: a table needs one column"},
    {SUN "tolerance 0.1 plain: as printed\ncolumns zenith expected\n",
     "v.txt:5: air_mass is not computed from"},
    {SUN "tolerance 0.1 plain: as printed\ncolumns zenith_deg=high\n",
     "v.txt:5: the column \"zenith_deg=high\""},
    {SUN "tolerance 0.1 plain: as printed\ncolumns expected\n  1.0\n",
     "v.txt:6: air_mass also needs \"zenith_deg\""},
    {GOOD "  60\n", "v.txt:6: the row must have 2 cells"},
    {GOOD "  60 2 2\n", "v.txt:6: the row must have 2 cells"},
    {GOOD "  60 two\n", "v.txt:6: \"two\" is no number"},
    {GOOD "  60 nan\n", "v.txt:6: \"nan\" is no number"},
    {GOOD "  - 2\n", "v.txt:6: \"-\" is no number"},
    {GOOD "  1:75 2\n", "v.txt:6: \"1:75\" is no number"},
    {GOOD "  2001-02-29 2\n", "v.txt:6: \"2001-02-29\" is no number"},
    {"# nothing\n  60 2\n", "v.txt:2: a row stands below a line \"columns\""},
    {"# nothing\n", "v.txt:2: the file has no values"},
    {GOOD, "v.txt:6: the file has no values"},
    {GOOD "  60 2\n" HEAD "# nothing\n", "v.txt:7: no value is compared under [usno] a table"},
    {GOOD "  60 2\n" HEAD HEAD "quantity air_mass\n", "v.txt:7: no value is compared under [usno] a table"},
    {GOOD "  60 2\n" HEAD "quantity air_mass\ntolerance 0.1 plain: as printed\n"
          "columns zenith_deg expected\n  60 -\n",
     "v.txt:7: no value is compared under [usno] a table"},
    {"source [usno] a table\nmark memory\nquantity air_mass\ntolerance 0.1 plain: as printed\n"
     "columns zenith_deg expected\n",
     "v.txt:5: say in the reason of the tolerance why it holds"},
};

START_TEST(malformed_lines_are_told)
{
    for (size_t i = 0; i < sizeof malformed / sizeof malformed[0]; i++) {
        ck_assert_msg(complaints_of(malformed[i].text) > 0, "nothing is told of:\n%s", malformed[i].text);
        ck_assert_msg(strstr(found.text, malformed[i].complaint) == found.text, "told of:\n%sis:\n%s",
                      malformed[i].text, found.text);
    }
}
END_TEST

Suite *sw_suite(void)
{
    const TTest *const tests[] = {
        the_library_computes_what_the_sources_print,
        a_good_text_is_run_and_counted,
        clocks_dates_and_columns_by_name_are_read,
        a_value_that_differs_is_told_with_all_that_it_came_from,
        malformed_lines_are_told,
        NULL,
    };
    return sw_suite_of("published", tests, 60);
}
