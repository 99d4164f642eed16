// Made from a seed, with likely values, so that whole trips march and a second opinion can follow them;
// tests/fuzz/support/make_files makes them from the bytes of a fuzzer, with any value that the key tables
// allow. The two stay apart.
#include "support/random_files.h"

#include "support/checks.h"
#include "support/small_plan.h"

#include "stillwatt/civil.h"
#include "stillwatt/sky.h"

#include <gsl/gsl_rng.h>
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

static double between(gsl_rng *rng, double low, double high)
{
    return low + (high - low) * gsl_rng_uniform(rng);
}

/* From `low` up to and with `high`. */
static int whole(gsl_rng *rng, int low, int high)
{
    return low + (int)gsl_rng_uniform_int(rng, (unsigned long)(high - low + 1));
}

static int one_in(gsl_rng *rng, int n)
{
    return whole(rng, 1, n) == 1;
}

static const char *pick(gsl_rng *rng, const char *const *words, int count)
{
    return words[whole(rng, 0, count - 1)];
}

// Each number is drawn by a call of its own: the order in which a call's arguments are worked out is the
// compiler's.

static void add_quantity(gsl_rng *rng, const char *key, double low, double high, const char *unit,
                         invented_text *t)
{
    invented_add(t, ", \"%s\": \"%.3f %s\"", key, between(rng, low, high), unit);
}

static void add_whole(gsl_rng *rng, const char *key, int low, int high, invented_text *t)
{
    invented_add(t, ", \"%s\": %d", key, whole(rng, low, high));
}

static void add_word(gsl_rng *rng, const char *key, const char *const *words, int count, invented_text *t)
{
    invented_add(t, ", \"%s\": \"%s\"", key, pick(rng, words, count));
}

static void add_clock(gsl_rng *rng, int from_h, int to_h, invented_text *t)
{
    invented_add(t, "%02d:", whole(rng, from_h, to_h));
    invented_add(t, "%02d", whole(rng, 0, 59));
}

/* A source of numbers beside another one, which it does not take from: with a new key the trips of known
   seeds stay what they were. */
static gsl_rng *beside(const gsl_rng *rng)
{
    gsl_rng *out = gsl_rng_clone(rng);
    gsl_rng_set(out, gsl_rng_get(out) ^ 0x5bd1e995ul);
    return out;
}

// ---- van ----

static const char *const mountings[] = {"open", "gap", "bonded"};

static void add_window(gsl_rng *rng, int from_h, int until_h, int to_h, int end_h, invented_text *t)
{
    invented_add(t, "\"");
    add_clock(rng, from_h, until_h, t);
    invented_add(t, "-");
    add_clock(rng, to_h, end_h, t);
    invented_add(t, "\"");
}

static void random_windows(gsl_rng *rng, const char *key, invented_text *t)
{
    int kind = whole(rng, 0, 2);
    invented_add(t, ", \"%s\": [", key);
    if (kind == 0)
        add_window(rng, 0, 11, 12, 23, t);
    else if (kind == 1)
        add_window(rng, 12, 23, 0, 11, t); // over midnight
    else
        add_window(rng, 0, 5, 6, 10, t);
    if (kind == 2) {
        invented_add(t, ", ");
        add_window(rng, 11, 17, 18, 23, t);
    }
    invented_add(t, "]");
}

static void random_hours(gsl_rng *rng, invented_text *t)
{
    random_windows(rng, "hours", t);
}

static void random_conditions(gsl_rng *rng, invented_text *t)
{
    static const char *const when[] = {"parked", "driving", "shore", "off-grid", "dark", "light"};
    static const char *const days[] = {"\"sat\", \"sun\"", "\"mon\", \"wed\", \"fri\"",
                                       "\"tue\", \"thu\", \"sat\", \"sun\""};
    if (one_in(rng, 4))
        add_word(rng, "when", when, 6, t);
    else if (one_in(rng, 8))
        invented_add(t, ", \"when\": [\"parked\", \"dark\"]");
    if (one_in(rng, 5))
        invented_add(t, ", \"days\": [%s]", pick(rng, days, 3));
    if (one_in(rng, 8))
        add_quantity(rng, "outside_below", -5, 25, "C", t);
    if (one_in(rng, 8))
        add_quantity(rng, "cabin_above", 0, 22, "C", t);
}

static void random_portions(const gsl_rng *known, invented_text *t)
{
    static const char *const drains[] = {"grey", "toilet", "nowhere"};
    gsl_rng *rng = beside(known);
    if (one_in(rng, 4)) {
        add_quantity(rng, "water", 0, 8, "L", t);
        add_word(rng, "drains_to", drains, 3, t);
    }
    if (one_in(rng, 3))
        invented_add(t, ", \"stored\": \"on\"");
    if (one_in(rng, 6))
        add_quantity(rng, "fuel", 0, 0.3, "L", t);
    gsl_rng_free(rng);
}

static void random_use(gsl_rng *rng, invented_text *t)
{
    add_quantity(rng, "power", 20, 1800, "W", t);
    invented_add(t, ", \"kind\": \"use\", \"each\": \"%d min\"", whole(rng, 1, 50));
    if (one_in(rng, 2)) {
        static const int hours[][2] = {{2, 2}, {7, 11}, {12, 13}, {14, 15}, {19, 23}};
        for (int i = 0; i < 5; i++) { // clocks skip the first hour in spring, and on the road eastward one of
                                      // those after noon
            invented_add(t, i == 0 ? ", \"at\": [\"" : "\", \"");
            add_clock(rng, hours[i][0], hours[i][1], t);
        }
        invented_add(t, "\"]");
    } else {
        invented_add(t, ", \"uses\": %.2f", between(rng, 0.3, 5));
    }
}

static void random_load(gsl_rng *rng, int index, invented_text *t)
{
    static const char *const buses[] = {"dc", "ac"}, *const held[] = {"must", "want", "can-wait"};
    invented_add(t, ", \"load %d\": {\"count\": %d", index, one_in(rng, 4) ? 2 : 1);
    add_word(rng, "bus", buses, 2, t);
    add_word(rng, "held", held, 3, t);
    switch (whole(rng, 0, 3)) {
    case 0:
        invented_add(t, ", \"kind\": \"steady\"");
        add_quantity(rng, "power", 1, one_in(rng, 3) ? 900 : 150, "W", t);
        add_quantity(rng, "duty", 10, 100, "%", t);
        break;
    case 1:
        random_use(rng, t);
        break;
    case 2:
        invented_add(t, ", \"kind\": \"measured\"");
        add_quantity(rng, "energy_per_day", 5, 900, "Wh", t);
        break;
    default:
        invented_add(t, ", \"kind\": \"measured\"");
        add_quantity(rng, "charge_per_day", 1, 40, "Ah", t);
        break;
    }
    if (one_in(rng, 2))
        random_hours(rng, t);
    random_conditions(rng, t);
    random_portions(rng, t);
    invented_add(t, "}");
}

static void random_way_back(const gsl_rng *known, invented_text *t)
{
    static const char *const ways[] = {"by-itself", "by-charger", "by-hand"};
    gsl_rng *rng = beside(known);
    (void)gsl_rng_get(rng); // apart from what else is drawn beside the same numbers
    add_word(rng, "comes_back", ways, 3, t);
    gsl_rng_free(rng);
}

/* Heated, or with limits that a warm day already passes. */
static void random_heater(const gsl_rng *known, invented_text *t)
{
    static const char *const feeds[] = {"battery", "charger"};
    gsl_rng *rng = beside(known);
    if (one_in(rng, 3)) {
        add_quantity(rng, "heater", 5, 120, "W", t);
        add_quantity(rng, "heater_set_point", 0, 15, "C", t);
        add_word(rng, "heater_from", feeds, 2, t);
    }
    if (one_in(rng, 4)) {
        double full_c = between(rng, 20, 30);
        invented_add(t, ", \"cold_full\": \"%.2f C\", \"hot_full\": \"%.2f C\", \"hot_stop\": \"%.2f C\"",
                     full_c - 8, full_c, full_c + between(rng, 0, 8));
    }
    if (one_in(rng, 4))
        add_quantity(rng, "discharge_stop", -10, 5, "C", t);
    if (one_in(rng, 3))
        add_quantity(rng, "cold_loss", 0, 140, "%", t);
    gsl_rng_free(rng);
}

static void random_battery(gsl_rng *rng, const int bank[2], invented_text *t)
{
    static const char *const chemistries[] = {"lifepo4", "agm"}, *const places[] = {"cabin", "cabin",
                                                                                    "outside"};
    invented_add(t, "\"battery\": {\"unit_voltage\": \"%d V\", \"series\": %d", bank[0], bank[1]);
    add_word(rng, "chemistry", chemistries, 2, t);
    add_quantity(rng, "capacity", 30, 300, "Ah", t);
    add_whole(rng, "parallel", 1, 3, t);
    add_word(rng, "place", places, 3, t);
    if (one_in(rng, 3)) {
        add_quantity(rng, "health", 50, 100, "%", t);
        add_quantity(rng, "temperature_lag", 0.5, 12, "h", t);
    }
    if (one_in(rng, 4)) {
        add_quantity(rng, "discharge_limit", 5, 60, "A", t);
        add_quantity(rng, "charge_limit", 5, 60, "A", t);
    }
    if (one_in(rng, 2)) { // weak enough for the absorption voltage to rule
        add_quantity(rng, "absorption", 13.2 * bank[0] / 12, 14.4 * bank[0] / 12, "V", t);
        add_quantity(rng, "resistance", 10 * bank[0] / 12.0, 90 * bank[0] / 12.0, "mohm", t);
    }
    random_heater(rng, t);
    random_way_back(rng, t);
    invented_add(t, "}");
}

static void random_working_voltage(gsl_rng *rng, invented_text *t)
{
    static const char *const volts[] = {"17.5 V", "18.6 V", "20 V", "31 V", "62 V"};
    add_word(rng, "working_voltage", volts, 5, t);
}

static void random_tilted(gsl_rng *rng, gsl_rng *more, invented_text *t)
{
    static const char *const fixed[] = {"van", "compass"};
    invented_add(t, ", \"side\": {\"panels\": 1");
    add_quantity(rng, "rating", 50, 200, "W", t);
    add_quantity(rng, "tilt", 3, 90, "deg", t);
    add_quantity(rng, "facing", 0, 360, "deg", t);
    add_word(rng, "fixed_to", fixed, 2, t);
    add_word(rng, "mounting", mountings, 3, t);
    random_working_voltage(more, t);
    if (one_in(more, 2))
        invented_add(t, ", \"deployed\": \"raised\"");
    invented_add(t, "}");
}

static void random_arrays(gsl_rng *rng, invented_text *t)
{
    gsl_rng *more = beside(rng);
    int held = one_in(more, 4);
    invented_add(t, ", \"controller\": {\"kind\": \"%s\", \"limit\": \"%.1f A\"}", held ? "pwm" : "mppt",
                 between(rng, 3, 50));
    int strings = whole(rng, 1, 4), in_series = one_in(more, 3) ? whole(more, 2, 3) : 1;
    invented_add(t, ", \"arrays\": {\"roof\": {\"panels\": %d, \"series\": %d", strings * in_series,
                 in_series);
    add_quantity(rng, "rating", 50, 250, "W", t);
    add_word(rng, "mounting", mountings, 3, t);
    add_quantity(rng, "roof_shade", 0, 20, "%", t);
    random_working_voltage(more, t);
    gsl_rng *dust = beside(more);
    if (one_in(dust, 3))
        add_quantity(dust, "soiling_per_day", 0, 5, "%", t);
    gsl_rng_free(dust);
    invented_add(t, "}");
    if (one_in(rng, 2))
        random_tilted(rng, more, t);
    if (one_in(rng, 2)) {
        invented_add(t, ", \"folding\": {\"fixed_to\": \"compass\", \"deployed\": \"parked\"");
        if (one_in(more, 2))
            random_hours(more, t);
        random_working_voltage(more, t);
        add_quantity(rng, "rating", 50, 200, "W", t);
        add_quantity(rng, "tilt", 5, 70, "deg", t);
        add_quantity(rng, "facing", 90, 270, "deg", t);
        invented_add(t, "}");
    }
    invented_add(t, "}");
    gsl_rng_free(more);
}

/* Some tanks, and none in every third van. */
static void random_tanks(const gsl_rng *known, invented_text *t)
{
    static const char *const names[] = {"fresh", "grey", "toilet", "fuel", "can"};
    gsl_rng *rng = beside(known);
    int fitted = one_in(rng, 3) ? 0 : whole(rng, 1, 31), written = 0;
    invented_add(t, ", \"tanks\": {");
    for (int i = 0; i < 5; i++) {
        double litres = between(rng, 2, 60), start = between(rng, 0, 100);
        if ((fitted >> i & 1) != 0)
            invented_add(t, "%s\"%s\": {\"capacity\": \"%.1f L\", \"start\": \"%.0f %%\"}",
                         written++ > 0 ? ", " : "", names[i], litres, start);
    }
    invented_add(t, "}");
    gsl_rng_free(rng);
}

static void random_inverter(gsl_rng *rng, double over_12v, invented_text *t)
{
    invented_add(t, ", \"inverter\": {\"rating\": \"%.1f W\"", between(rng, 200, 2500));
    if (one_in(rng, 2)) {
        add_quantity(rng, "cut_out", 11.5 * over_12v, 12.8 * over_12v, "V", t);
        add_quantity(rng, "restart", 12.85 * over_12v, 13.6 * over_12v, "V", t);
    }
    if (one_in(rng, 2))
        random_hours(rng, t);
    invented_add(t, "}");
}

static void random_generator(const gsl_rng *known, invented_text *t)
{
    gsl_rng *rng = beside(known);
    if (one_in(rng, 2))
        invented_add(t, ", \"generator\": {\"rating\": \"%.0f W\"}", between(rng, 300, 2500));
    gsl_rng_free(rng);
}

static void random_alternator(gsl_rng *known, int bank_v, invented_text *t)
{
    double output_w = between(known, 100, 900);
    gsl_rng *rng = beside(known);
    int relay = bank_v == 12 && one_in(rng, 2);
    if (relay)
        invented_add(t, ", \"alternator\": {\"path\": \"relay\", \"kind\": \"%s\"",
                     one_in(rng, 3) ? "smart" : "plain");
    else
        invented_add(t, ", \"alternator\": {\"converter_output\": \"%.1f W\"", output_w);
    if (relay && one_in(rng, 2))
        add_quantity(rng, "cable", 2, 30, "mohm", t);
    if (relay && one_in(rng, 2))
        add_quantity(rng, "voltage", 13, 14.6, "V", t);
    if (one_in(rng, 4))
        invented_add(t, ", \"at_idle\": \"stops\"");
    if (one_in(rng, 3))
        add_quantity(rng, "cold_spare_cruise", 90, 140, "A", t);
    if (one_in(rng, 3))
        add_quantity(rng, "cold_spare_idle", 50, 90, "A", t);
    if (one_in(rng, 3))
        add_quantity(rng, "warms_in", 4, 40, "min", t);
    invented_add(t, "}");
    gsl_rng_free(rng);
}

static void random_sources(gsl_rng *rng, int mains_v, int bank_v, invented_text *t)
{
    if (!one_in(rng, 8))
        random_arrays(rng, t);
    if (!one_in(rng, 3))
        random_alternator(rng, bank_v, t);
    if (!one_in(rng, 3)) {
        gsl_rng *more = beside(rng);
        invented_add(t, ", \"shore\": {\"inlet_voltage\": \"%d V\"", mains_v);
        add_whole(more, "hot_legs", 1, 2, t);
        gsl_rng_free(more);
        add_quantity(rng, "inlet_current", 4, 20, "A", t);
        add_quantity(rng, "charger_output", 50, 1500, "W", t);
        invented_add(t, "}");
        random_generator(rng, t);
    }
}

static void random_fridges(gsl_rng *rng, invented_text *t)
{
    invented_add(t, "\"fridge\": {\"kind\": \"fridge\", \"held\": \"must\", \"bus\": \"%s\"",
                 one_in(rng, 4) ? "ac" : "dc");
    add_quantity(rng, "power", 15, 90, "W", t);
    invented_add(t, "}");
    if (!one_in(rng, 3))
        return;
    invented_add(t, ", \"freezer\": {\"kind\": \"fridge\", \"bus\": \"dc\", \"set_point\": \"-18 C\"");
    add_quantity(rng, "power", 20, 60, "W", t);
    add_quantity(rng, "reference_energy", 300, 900, "Wh", t);
    invented_add(t, "}");
}

/* A cabin of its own in every second van, with a heater and a cooler or neither. */
static void random_cabin(const gsl_rng *known, invented_text *t)
{
    static const char *const words[] = {"none", "some", "good"}, *const glass[] = {"few", "many"},
                             *const covers[] = {"no", "yes"};
    gsl_rng *rng = beside(known);
    if (one_in(rng, 2)) {
        invented_add(t, ", \"cabin\": {\"insulation\": \"%s\"", pick(rng, words, 3));
        add_word(rng, "glass", glass, 2, t);
        add_word(rng, "covers", covers, 2, t);
        if (one_in(rng, 2))
            add_quantity(rng, "loss", 20, 120, "W/K", t);
        invented_add(t, "}");
    }
    gsl_rng_free(rng);
}

static void random_thermostats(const gsl_rng *known, const char *van, invented_text *t)
{
    static const char *const buses[] = {"dc", "ac"};
    gsl_rng *rng = beside(known);
    if (strstr(van, "\"cabin\": {") != NULL) {
        invented_add(t, ", \"stove\": {\"kind\": \"heater\", \"bus\": \"dc\", \"held\": \"must\"");
        add_quantity(rng, "power", 10, 40, "W", t);
        add_quantity(rng, "heat", 500, 4000, "W", t);
        add_quantity(rng, "keeps", 8, 22, "C", t);
        add_quantity(rng, "fuel", 0.05, 0.4, "L", t);
        if (one_in(rng, 3))
            random_hours(rng, t);
        gsl_rng *plug = beside(rng);
        if (one_in(plug, 2)) {
            add_quantity(plug, "start_power", 50, 150, "W", t);
            add_quantity(plug, "start_time", 60, 3000, "s", t);
        }
        gsl_rng_free(plug);
        invented_add(t, "}");
        if (one_in(rng, 2)) {
            invented_add(t, ", \"pads\": {\"kind\": \"evaporative\", \"bus\": \"dc\", \"when\": \"parked\"");
            add_quantity(rng, "power", 20, 60, "W", t);
            add_quantity(rng, "airflow", 100, 900, "m3/h", t);
            add_quantity(rng, "keeps", 23, 29, "C", t);
            invented_add(t, "}");
        }
        if (one_in(rng, 2)) {
            invented_add(t, ", \"cold air\": {\"kind\": \"aircon\"");
            add_word(rng, "bus", buses, 2, t);
            add_quantity(rng, "power", 200, 900, "W", t);
            add_quantity(rng, "heat", 600, 2600, "W", t);
            add_quantity(rng, "keeps", 22, 28, "C", t);
            if (one_in(rng, 3))
                add_quantity(rng, "outside_above", 15, 30, "C", t);
            invented_add(t, "}");
        }
        gsl_rng *air = beside(rng);
        if (one_in(air, 2)) {
            invented_add(t, ", \"roof fan\": {\"kind\": \"fan\", \"bus\": \"dc\"");
            add_quantity(air, "power", 5, 40, "W", t);
            add_quantity(air, "airflow", 100, 1500, "m3/h", t);
            add_quantity(air, "keeps", 18, 28, "C", t);
            invented_add(t, "}");
        }
        gsl_rng_free(air);
        if (one_in(rng, 3)) {
            invented_add(t, ", \"boiler\": {\"kind\": \"hot-water\", \"bus\": \"ac\"");
            add_quantity(rng, "power", 300, 900, "W", t);
            add_quantity(rng, "water", 1, 8, "L", t);
            add_quantity(rng, "warm", 30, 60, "C", t);
            invented_add(t, ", \"uses\": %.2f}", between(rng, 0.5, 2));
        }
    }
    gsl_rng_free(rng);
}

static void random_van(gsl_rng *rng, int mains_v, invented_text *t)
{
    static const int banks[][2] = {{12, 1}, {12, 1}, {12, 2}, {12, 4}, {24, 1}, {24, 2}, {48, 1}};
    const int *bank = banks[whole(rng, 0, 6)];
    invented_add(t, "{\"format\": \"stillwatt van 1\", \"name\": \"random\", ");
    random_battery(rng, bank, t);
    random_sources(rng, mains_v, bank[0] * bank[1], t);
    if (!one_in(rng, 5))
        random_inverter(rng, bank[0] * bank[1] / 12.0, t);
    if (one_in(rng, 3))
        add_quantity(rng, "hold_back_below", 5, 60, "%", t);
    random_cabin(rng, t);
    invented_add(t, ", \"loads\": {");
    random_fridges(rng, t);
    int loads = whole(rng, 1, 7);
    for (int i = 0; i < loads; i++)
        random_load(rng, i, t);
    random_thermostats(rng, t->text, t);
    invented_add(t, "}");
    random_tanks(rng, t);
    invented_add(t, "}");
}

// ---- places ----

/* Where a trip may be: places and zones are invented, and need not be on land. */
typedef struct region {
    double south, north, west, east;
    const char *zone[2];
} region;

static const region regions[] = {
    {33, 48, -103, -99, {"America/Denver", "America/Chicago"}},
    {36, 48, -117, -114, {"America/Los_Angeles", "America/Denver"}},
    {32, 37, -112, -109, {"America/Phoenix", "America/Denver"}},
    {38, 46, -87, -84, {"America/Chicago", "America/New_York"}},
    {46, 50, -57, -53, {"America/St_Johns", "America/St_Johns"}},
    {-34, -24, 18, 31, {"Africa/Johannesburg", "Africa/Johannesburg"}},
    {50, 63, -8, 0, {"UTC", "UTC"}},
    {67, 69, 14, 20, {"UTC", "UTC"}},
};
enum { REGIONS = sizeof regions / sizeof regions[0] };

/* Mean energy above the air of a month's middle day, kWh/m2. */
static double month_above_air(int month, double lat, double lon)
{
    sw_sun_clock noon;
    int64_t day = sw_days_from_civil(2001, month + 1, 15);
    ck_assert_int_eq(sw_sun_clock_at(day * 86400 + 43200 - (int64_t)(240 * lon), &noon), SW_OK);
    return sw_sun_daily_extraterrestrial_wh_m2(&noon, lat) / 1000;
}

/* Own monthly means: a share of what there is above the air, and the temperatures of a random climate. */
static void random_normals(gsl_rng *rng, double lat, double lon, double mean_c, invented_text *t)
{
    double swing_c = between(rng, 2, 12) * (lat < 0 ? -1 : 1), half_range_c = between(rng, 3, 9);
    invented_add(t, ", \"normals\": {\"spread\": \"%.1f %%\", \"daily_sun\": [", between(rng, 8, 22));
    for (int m = 0; m < 12; m++)
        invented_add(t, "%s\"%.3f kWh/m2\"", m > 0 ? ", " : "",
                     month_above_air(m, lat, lon) * between(rng, 0.25, 0.68));
    for (int high = 0; high < 2; high++) {
        invented_add(t, "], \"%s\": [", high ? "high" : "low");
        for (int m = 0; m < 12; m++)
            invented_add(t, "%s\"%.2f C\"", m > 0 ? ", " : "",
                         mean_c - swing_c * cos(0.5235987755982988 * m) +
                             (high ? half_range_c : -half_range_c));
    }
    invented_add(t, "]}");
}

/* Hills all round, or in one direction alone; in one place of three. */
static void random_skyline(const gsl_rng *known, invented_text *t)
{
    gsl_rng *rng = beside(known);
    int points = one_in(rng, 3) ? whole(rng, 1, 6) : 0;
    double toward = between(rng, 0, 50);
    invented_add(t, points > 0 ? ", \"skyline\": [" : "");
    for (int i = 0; i < points; i++, toward += between(rng, 5, 55))
        invented_add(t, "%s{\"toward\": \"%.2f deg\", \"height\": \"%.2f deg\"}", i > 0 ? ", " : "", toward,
                     between(rng, 0, 40));
    invented_add(t, points > 0 ? "]" : "");
    gsl_rng_free(rng);
}

static void random_shade(const gsl_rng *known, invented_text *t)
{
    gsl_rng *rng = beside(known);
    int shades = one_in(rng, 4) ? whole(rng, 1, 2) : 0;
    invented_add(t, shades > 0 ? ", \"shade\": [" : "");
    for (int i = 0; i < shades; i++) {
        invented_add(t, "%s{\"beam\": \"%.1f %%\"", i > 0 ? ", " : "", between(rng, 0, 100));
        if (one_in(rng, 2))
            add_quantity(rng, "sky", 0, 100, "%", t);
        if (one_in(rng, 2))
            random_hours(rng, t);
        invented_add(t, "}");
    }
    invented_add(t, shades > 0 ? "]" : "");
    gsl_rng_free(rng);
}

static void random_quiet(const gsl_rng *known, invented_text *t)
{
    gsl_rng *rng = beside(known);
    gsl_rng_set(rng, gsl_rng_get(rng)); // other numbers than the skyline's
    if (one_in(rng, 2))
        random_windows(rng, "quiet_hours", t);
    gsl_rng_free(rng);
}

/* What charges a parked van, as far as the van has it. */
static void random_engines(const gsl_rng *known, const char *van, invented_text *t)
{
    gsl_rng *rng = beside(known);
    gsl_rng_set(rng, gsl_rng_get(rng)); // other numbers than the shade's
    if (one_in(rng, 2) && strstr(van, "\"generator\"") != NULL)
        random_windows(rng, "generator_hours", t);
    if (one_in(rng, 3) && strstr(van, "\"alternator\"") != NULL)
        random_windows(rng, "engine_hours", t);
    gsl_rng_free(rng);
}

static void random_spot(gsl_rng *rng, const char *name, const char *zone, double lat, double lon,
                        invented_text *t)
{
    invented_add(t, "\"%s\": {\"latitude\": %.4f, \"longitude\": %.4f, \"zone\": \"%s\"", name, lat, lon,
                 zone);
    invented_add(t, ", \"turbidity\": %.2f", between(rng, 1.5, 5));
    add_quantity(rng, "elevation", 0, 2600, "m", t);
    add_quantity(rng, "albedo", 5, 70, "%", t);
    random_skyline(rng, t);
    random_quiet(rng, t);
}

/* A station of the weather table and a place not far from it, whose climate the table gives. */
static void random_places_of_table(gsl_rng *rng, double *lat, double *lon, invented_text *t)
{
    static const struct {
        const char *name, *zone;
        double lat, lon;
    } stations[] = {{"Moab UT", "America/Denver", 38.58, -109.54},
                    {"Grand Junction CO", "America/Denver", 39.13, -108.53},
                    {"Boise ID", "America/Boise", 43.62, -116.21},
                    {"Needles CA", "America/Los_Angeles", 34.77, -114.62},
                    {"Astoria OR", "America/Los_Angeles", 46.15, -123.88}};
    int i = whole(rng, 0, 4);
    *lat = stations[i].lat;
    *lon = stations[i].lon;
    invented_add(t, "\"a\": {\"station\": \"%s\", \"zone\": \"%s\"}, ", stations[i].name, stations[i].zone);
    double to_lat = *lat + between(rng, -1, 1), to_lon = *lon + between(rng, 0, 1.5);
    random_spot(rng, "b", stations[i].zone, to_lat, to_lon, t);
    invented_add(t, "}");
}

static void random_places(gsl_rng *rng, double *lat, double *lon, invented_text *t)
{
    const region *r = &regions[whole(rng, 0, REGIONS - 1)];
    int turn = one_in(rng, 2);
    double mean_c = between(rng, -8, 24);
    if (one_in(rng, 4)) {
        random_places_of_table(rng, lat, lon, t);
        return;
    }
    *lat = between(rng, r->south, r->north);
    *lon = between(rng, r->west, r->east);
    random_spot(rng, "a", r->zone[turn], *lat, *lon, t);
    random_normals(rng, *lat, *lon, mean_c, t);
    double to_lat = *lat + between(rng, -1, 1), to_lon = *lon + between(rng, -1.5, 1.5);
    invented_add(t, "}, ");
    random_spot(rng, "b", r->zone[!turn], to_lat, to_lon, t);
    random_normals(rng, to_lat, to_lon, mean_c, t);
    invented_add(t, "}");
}

static void random_cloud(gsl_rng *rng, invented_text *t)
{
    static const char *const clouds[] = {"clear", "few", "scattered", "broken", "overcast"};
    if (one_in(rng, 3))
        invented_add(t, "%.1f", between(rng, 0, 8));
    else
        invented_add(t, "\"%s\"", pick(rng, clouds, 5));
}

static void random_hookup(gsl_rng *rng, int mains_v, invented_text *t)
{
    if (!one_in(rng, 2))
        return;
    gsl_rng *more = beside(rng);
    int hot_legs = one_in(more, 3) ? 2 : 1;
    gsl_rng_free(more);
    invented_add(t, ", \"hookup\": {\"hot_legs\": %d, \"voltage\": \"%d V\"", hot_legs,
                 mains_v == 230 && one_in(rng, 2) ? 240 : mains_v);
    add_quantity(rng, "current", 3, 16, "A", t);
    invented_add(t, "}");
}

/* Writes the date some days after `d`. */
static void add_date(invented_text *t, sw_civil d, int after)
{
    sw_civil_from_days(sw_days_from_civil(d.year, d.month, d.day) + after, &d.year, &d.month, &d.day);
    invented_add(t, "%04d-%02d-%02d", d.year, d.month, d.day);
}

/* Dates before a change of clocks are taken often. */
static sw_civil random_date(gsl_rng *rng)
{
    sw_civil d = {.year = whole(rng, 2020, 2029)};
    d.month = whole(rng, 1, 12);
    d.day = whole(rng, 1, 28);
    if (!one_in(rng, 3))
        return d;
    int spring = one_in(rng, 2);
    int64_t sunday = sw_days_from_civil(d.year, spring ? 3 : 11, 1);
    while (sw_weekday(sunday) != 0)
        sunday++;
    sw_civil_from_days(sunday + (spring ? 7 : 0) - whole(rng, 1, 2), &d.year, &d.month, &d.day);
    return d;
}

static void random_told(gsl_rng *rng, sw_civil d, invented_text *t)
{
    invented_add(t, "\"sky\": {\"kind\": \"told\", \"haze\": \"%.1f %%\", \"otherwise\": ",
                 one_in(rng, 2) ? 0 : between(rng, 1, 60));
    random_cloud(rng, t);
    invented_add(t, ", \"days\": {\"");
    add_date(t, d, 0);
    invented_add(t, "\": {\"morning\": ");
    random_cloud(rng, t);
    invented_add(t, ", \"afternoon\": ");
    random_cloud(rng, t);
    if (one_in(rng, 2))
        invented_add(t, ", \"low\": \"%.1f C\"", between(rng, -12, 5));
    if (one_in(rng, 2))
        invented_add(t, ", \"high\": \"%.1f C\"", between(rng, 5, 25));
    invented_add(t, "}, \"");
    add_date(t, d, 1);
    invented_add(t, "\": ");
    random_cloud(rng, t);
    invented_add(t, "}}");
}

/* No leg begins or ends in the hour after 2 o'clock, which clocks skip in spring. */
static void random_legs(gsl_rng *rng, sw_civil d, int mains_v, const char *van, invented_text *t)
{
    int late = one_in(rng, 4); // a drive over midnight
    invented_add(t, "\"legs\": [{\"stay\": \"a\", \"from\": \"");
    add_date(t, d, 0);
    invented_add(t, " ");
    add_clock(rng, 4, 12, t);
    invented_add(t, "\", \"to\": \"");
    add_date(t, d, !late);
    invented_add(t, late ? " 20:%02d\"" : " 07:%02d\"", whole(rng, 0, 59));
    add_quantity(rng, "heading", 0, 360, "deg", t);
    random_hookup(rng, mains_v, t);
    random_shade(rng, t);
    random_engines(rng, van, t);
    invented_add(t, "}, {\"drive\": [\"a\", \"b\"], \"to\": \"");
    add_date(t, d, 1);
    invented_add(t, " %02d:", late ? 0 : whole(rng, 12, 15));
    invented_add(t, "%02d\"", whole(rng, 15, 59));
    if (one_in(rng, 2))
        add_quantity(rng, "idling", 0, 60, "%", t);
    if (one_in(rng, 3))
        add_quantity(rng, "distance", 280, 300, "km", t);
    gsl_rng *more = beside(rng);
    gsl_rng_set(more, gsl_rng_get(more) ^ 0x27d4eb2ful);
    int laid_up = one_in(more, 4);
    invented_add(t, "}, {\"%s\": \"b\", \"to\": \"", laid_up ? "store" : "stay");
    add_date(t, d, 2);
    invented_add(t, " ");
    add_clock(rng, 4, 20, t);
    invented_add(t, "\"");
    add_quantity(rng, "heading", 0, 360, "deg", t);
    random_hookup(rng, mains_v, t);
    random_shade(rng, t);
    if (laid_up)
        invented_add(t, ", \"panels\": \"%s\", \"disconnected\": \"%s\"",
                     one_in(more, 2) ? "covered" : "open", one_in(more, 4) ? "yes" : "no");
    else
        random_engines(rng, van, t);
    if (one_in(more, 5)) {
        invented_add(t, ", \"snow_until\": \"");
        add_date(t, d, 2);
        invented_add(t, " 11:%02d\"", whole(more, 0, 59));
    }
    if (one_in(more, 4)) {
        invented_add(t, ", \"washed\": \"");
        add_date(t, d, 1);
        invented_add(t, " 19:%02d\"", whole(more, 0, 59));
    }
    gsl_rng_free(more);
    invented_add(t, "}], ");
}

// ---- weather ----

static double rounded(double value, double unit)
{
    return round(value / unit) * unit;
}

/* An hour: a share of the clear light at its middle, split at random, and some twilight. With `closed` the
   three add up as far as whole watts and the middle of the hour allow. */
static void random_hour(gsl_rng *rng, const random_record *r, int hour, double open, int closed,
                        sw_weather_row *row)
{
    sw_sun_clock clock;
    sw_sun sun;
    int64_t middle_s = (int64_t)11323 * 86400 + hour * 3600 + 1800 - r->utc_offset_s; // of the year 2001
    ck_assert_int_eq(sw_sun_clock_at(middle_s, &clock), SW_OK);
    sw_sun_from(&clock, middle_s, r->lat_deg, r->lon_deg, &sun);
    sw_light clear = sw_clear_sky(&clock, &sun, r->elevation_m, 3);
    row->ghi_w_m2 = round(clear.ghi_w_m2 * open);
    row->dhi_w_m2 = round(row->ghi_w_m2 * between(rng, 0.1, 1));
    row->dni_w_m2 = sun.cos_zenith > 0.05 ? round((row->ghi_w_m2 - row->dhi_w_m2) / sun.cos_zenith) : 0;
    row->dni_w_m2 = fmin(round(row->dni_w_m2 * (closed ? 1 : 0.5)), 1400);
    if (sun.zenith_deg > 88 && sun.zenith_deg < 95 && one_in(rng, 2))
        row->ghi_w_m2 = row->dhi_w_m2 = whole(rng, 1, 6);
}

static void random_rows(gsl_rng *rng, random_record *r)
{
    double open = 0.5, mean_c = between(rng, -5, 22);
    int closed = !one_in(rng, 3), ground = one_in(rng, 2);
    gsl_rng *wet = beside(rng);
    for (int hour = 0; hour < RANDOM_RECORD_ROWS; hour++) {
        sw_weather_row *row = &r->row[hour];
        *row = (sw_weather_row){.humidity_pct = 40, .pressure_pa = 88000, .snow_m = 0};
        open = hour % 24 == 0 ? between(rng, 0.1, 1.1) : open;
        random_hour(rng, r, hour, open, closed, row);
        row->air_c = rounded(mean_c + 6 * sin(hour * 0.2617993878) + between(rng, -2, 2), 0.1);
        row->wind_m_s = one_in(rng, 20) ? NAN : rounded(between(rng, 0, 12), 0.1);
        row->albedo = ground ? rounded(between(rng, 0.1, 0.8), 0.01) : NAN;
        row->rain_mm = one_in(wet, 6) ? whole(wet, 0, 5) + 0.3 : 0;
    }
    gsl_rng_free(wet);
}

/* Layout: the EnergyPlus EPW data dictionary [epw]. */
static void write_record(const random_record *r, invented_text *t)
{
    static const int length[] = {31, 28, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31};
    invented_add(t, "LOCATION,Made Field,XX,ZZZ,invented,-,%.4f,%.4f,%.1f,%.1f\n", r->lat_deg, r->lon_deg,
                 r->utc_offset_s / 3600.0, r->elevation_m);
    invented_add(t, "DATA PERIODS,1,1,Data,Sunday, 1/ 1,12/31\n");
    for (int month = 0, hour = 0; month < 12; month++)
        for (int last = hour + 24 * length[month], first = hour; hour < last; hour++) {
            const sw_weather_row *row = &r->row[hour];
            invented_add(t, "2003,%d,%d,%d,0,?9,%.1f,5.5,40,88000,0,1412,300,%.0f,%.0f,%.0f", month + 1,
                         (hour - first) / 24 + 1, hour % 24 + 1, row->air_c, row->ghi_w_m2, row->dni_w_m2,
                         row->dhi_w_m2);
            invented_add(t, ",0,0,9999,99999,180,%.1f,0,0,9999,99999,9,999999999,10,.05,0,88,%.2f,%.1f,1\n",
                         isnan(row->wind_m_s) ? 999 : row->wind_m_s, isnan(row->albedo) ? 0 : row->albedo,
                         row->rain_mm);
        }
}

/* A record of a field not far from the trip. */
static void random_weather(gsl_rng *rng, double lat, double lon, random_files *out)
{
    out->record = calloc(1, sizeof *out->record);
    ck_assert_ptr_nonnull(out->record);
    out->record->lat_deg = rounded(lat + between(rng, -0.3, 0.3), 1e-4);
    out->record->lon_deg = rounded(lon + between(rng, -0.3, 0.3), 1e-4);
    out->record->elevation_m = rounded(between(rng, 0, 2000), 0.1);
    out->record->utc_offset_s = (int32_t)(rounded(lon / 15, 0.5) * 3600);
    random_rows(rng, out->record);
    write_record(out->record, &out->weather);
}

// ---- all files ----

static void random_people(const gsl_rng *known, invented_text *t)
{
    gsl_rng *rng = beside(known);
    if (one_in(rng, 2))
        add_whole(rng, "people", 1, 5, t);
    gsl_rng_free(rng);
}

static void random_trip(gsl_rng *rng, int mains_v, random_files *out)
{
    invented_text *t = &out->trip;
    double lat, lon;
    sw_civil d = random_date(rng);
    invented_add(t, "{\"format\": \"stillwatt trip 1\", \"name\": \"random\", \"van\": \"van.json\"");
    add_quantity(rng, "start_charge", 5, 100, "%", t);
    add_quantity(rng, "reserve", 0, 60, "%", t);
    double least_c = between(rng, -12, 18), most_c = between(rng, 24, 45);
    if (strstr(out->van.text, "\"cabin\": {") == NULL)
        invented_add(t, ", \"cabin_at_least\": \"%.3f C\", \"cabin_at_most\": \"%.3f C\"", least_c, most_c);
    random_people(rng, t);
    invented_add(t, ", \"places\": {");
    random_places(rng, &lat, &lon, t);
    invented_add(t, "}, ");
    random_legs(rng, d, mains_v, out->van.text, t);
    int sky = whole(rng, 0, 4);
    if (sky < 2)
        invented_add(t, "\"sky\": {\"kind\": \"average\"}");
    else if (sky < 4)
        random_told(rng, d, t);
    else
        invented_add(t, "\"sky\": {\"kind\": \"hourly\", \"file\": \"made.epw\"}");
    if (sky == 4)
        random_weather(rng, lat, lon, out);
    invented_add(t, "}");
}

static int32_t random_step(gsl_rng *rng)
{
    static const int32_t steps[] = {600, 600, 600, 300, 900, 720, 1800, 3600};
    return steps[whole(rng, 0, 7)];
}

void random_files_make(unsigned long seed, random_files *out)
{
    gsl_rng *rng = gsl_rng_alloc(gsl_rng_mt19937);
    ck_assert_ptr_nonnull(rng);
    gsl_rng_set(rng, seed);
    int mains_v = one_in(rng, 2) ? 120 : 230;
    *out = (random_files){.step_s = random_step(rng)};
    random_van(rng, mains_v, &out->van);
    random_trip(rng, mains_v, out);
    gsl_rng_free(rng);
}

void random_files_free(random_files *files)
{
    free(files->van.text);
    free(files->trip.text);
    free(files->weather.text);
    free(files->record);
}

void random_files_print(const random_files *files)
{
    printf("van.json\n%s\ntrip.json\n%s\n", files->van.text, files->trip.text);
    fflush(stdout); // a failed check leaves without it
}

sw_loader random_files_loader(random_files *files)
{
    files->named[0] = (memory_file){"van.json", files->van.text};
    files->named[1] = (memory_file){"trip.json", files->trip.text};
    files->named[2] = (memory_file){files->weather.text != NULL ? "made.epw" : NULL, files->weather.text};
    files->named[3] = (memory_file){NULL, NULL};
    files->memory.file = files->named;
    return memory_loader(&files->memory);
}

void random_files_rehearse(unsigned long seed, random_files *files, sw_plan **plan, sw_rehearsal **out)
{
    sw_loader loader = random_files_loader(files);
    sw_messages *messages = sw_messages_create();
    sw_status status = sw_read_trip(&loader, "trip.json", messages, plan);
    if (status == SW_OK)
        status = sw_rehearse(*plan, &loader, files->step_s, messages, out);
    if (status != SW_OK) {
        print_messages(messages);
        random_files_print(files);
    }
    ck_assert_msg(status == SW_OK, "seed %lu (its files are printed above): status %d", seed, (int)status);
    sw_messages_free(messages);
}
