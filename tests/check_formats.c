// Readers of weather formats on invented records: what they read, where they put it in time, what they
// refuse.
#include "stillwatt/civil.h"
#include "stillwatt/series.h"
#include "stillwatt/sky.h"
#include "support/checks.h"
#include "support/invented_epw.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

// ---- a clear day, written in every format ----

typedef struct site {
    double lat_deg, lon_deg, zone_h;
    int month, day;
} site;

/* North and south, east and west, whole and half hours, and the last day of a February. */
static const site sites[] = {
    {38.58, -109.54, -7.0, 6, 15}, {-37.01, 174.79, 12.0, 12, 15}, {18.52, 73.86, 5.5, 4, 10},
    {-31.95, 115.86, 8.0, 2, 28},  {64.1, -21.9, 0.0, 9, 1},
};
#define SITES (sizeof sites / sizeof sites[0])

static int64_t midnight_s(const site *at, int year)
{
    return sw_days_from_civil(year, at->month, at->day) * 86400 - (int64_t)(at->zone_h * 3600.0);
}

/* Mean clear light from one moment to another, minute by minute. */
static sw_light clear_mean(const site *at, int64_t from_s, int64_t to_s)
{
    sw_light sum = {0, 0, 0};
    double minutes = (double)(to_s - from_s) / 60.0;
    for (int64_t t = from_s + 30; t < to_s; t += 60) {
        sw_sun_clock clock;
        sw_sun sun;
        sw_expect(sw_sun_clock_at(t, &clock) == SW_OK, "no sun at %lld s", (long long)t);
        sw_sun_from(&clock, t, at->lat_deg, at->lon_deg, &sun);
        sw_light light = sw_clear_sky(&clock, &sun, 0.0, 3.0);
        sum.ghi_w_m2 += light.ghi_w_m2 / minutes;
        sum.dni_w_m2 += light.dni_w_m2 / minutes;
        sum.dhi_w_m2 += light.dhi_w_m2 / minutes;
    }
    return sum;
}

typedef void writer(const site *at, invented_text *out);

/* Light of the hour that ends at label `hour` of the day; none on other days. */
static sw_light of_label(const site *at, int year, int month, int day, int hour)
{
    int64_t end_s = midnight_s(at, year) + hour * 3600;
    int that_day = month == at->month && day == at->day;
    return that_day ? clear_mean(at, end_s - 3600, end_s) : (sw_light){0, 0, 0};
}

static void write_tmy3(const site *at, invented_text *out)
{
    invented_add(out, "123456,\"MADE UP\",XX,%.1f,%.3f,%.3f,0\n", at->zone_h, at->lat_deg, at->lon_deg);
    invented_add(out,
                 "Date (MM/DD/YYYY),Time (HH:MM),ETR (W/m^2),DNI (W/m^2),DNI source,GHI (W/m^2),DHI (W/m^2),"
                 "Dry-bulb (C),Pressure (mbar),Wspd (m/s),Alb (unitless)\n");
    for (int month = 1; month <= 12; month++)
        for (int day = 1; day <= sw_days_in_month(2001, month); day++)
            for (int hour = 1; hour <= 24; hour++) {
                sw_light light = of_label(at, 2001, month, day, hour);
                invented_add(out, "%02d/%02d/%d,%02d:00,0,%.3f,1,%.3f,%.3f,%d,1000,2.0,0.00\n", month, day,
                             1990 + month, hour, light.dni_w_m2, light.ghi_w_m2, light.dhi_w_m2, hour);
            }
}

static void write_epw(const site *at, invented_text *out)
{
    invented_add(out, "LOCATION,Made up,-,-,-,0,%.3f,%.3f,%.1f,0\nDATA PERIODS,1,1,Data,Sunday,1/1,12/31\n",
                 at->lat_deg, at->lon_deg, at->zone_h);
    for (int month = 1; month <= 12; month++)
        for (int day = 1; day <= sw_days_in_month(2001, month); day++)
            for (int hour = 1; hour <= 24; hour++) {
                sw_light light = of_label(at, 2001, month, day, hour);
                invented_add(out, "2001,%d,%d,%d,0,x,%d,0,40,100000,0,0,0,%.3f,%.3f,%.3f,0,0,0,0,0,2.0\n",
                             month, day, hour, hour, light.ghi_w_m2, light.dni_w_m2, light.dhi_w_m2);
            }
}

/* The day before, the day and the day after, in UTC, by names [power-hourly]. */
static void write_reanalysis(const site *at, invented_text *out)
{
    static const char *const names[] = {"ALLSKY_SFC_SW_DWN", "ALLSKY_SFC_SW_DNI", "ALLSKY_SFC_SW_DIFF",
                                        "T2M"};
    int64_t from_s = sw_days_from_civil(2024, at->month, at->day) * 86400 - 86400;
    invented_add(out,
                 "{\"type\":\"Feature\",\"geometry\":{\"type\":\"Point\",\"coordinates\":[%.3f,%.3f,0.0]},"
                 "\"properties\":{\"parameter\":{",
                 at->lon_deg, at->lat_deg);
    for (int which = 0; which < 4; which++) {
        invented_add(out, "%s\"%s\":{", which > 0 ? "," : "", names[which]);
        for (int hour = 0; hour < 72; hour++) {
            int year, month, day;
            int64_t begin_s = from_s + hour * 3600;
            sw_light light = clear_mean(at, begin_s, begin_s + 3600);
            double value[] = {light.ghi_w_m2, light.dni_w_m2, light.dhi_w_m2, hour % 48};
            sw_civil_from_days(begin_s / 86400, &year, &month, &day);
            invented_add(out, "%s\"%04d%02d%02d%02d\":%.3f", hour > 0 ? "," : "", year, month, day,
                         (int)(begin_s / 3600 % 24), value[which]);
        }
        invented_add(out, "}");
    }
    invented_add(out, "}},\"header\":{\"fill_value\":-999.0,\"time_standard\":\"UTC\"},\"parameters\":{"
                      "\"ALLSKY_SFC_SW_DWN\":{\"units\":\"Wh/m^2\"},\"T2M\":{\"units\":\"C\"}}}");
}

/* Lists beside a list of local times that end their hour [open-meteo]. */
static void write_beside(const site *at, invented_text *out)
{
    static const char *const names[] = {"shortwave_radiation", "direct_normal_irradiance",
                                        "diffuse_radiation", "temperature_2m", "wind_speed_10m"};
    int64_t offset_s = (int64_t)(at->zone_h * 3600.0), from_s = midnight_s(at, 2024) - 86400;
    invented_add(out,
                 "{\"latitude\":%.3f,\"longitude\":%.3f,\"elevation\":0,\"utc_offset_seconds\":%d,\"hourly\":"
                 "{\"time\":[",
                 at->lat_deg, at->lon_deg, (int)offset_s);
    for (int hour = 0; hour < 72; hour++) {
        int year, month, day;
        int64_t local_s = from_s + hour * 3600 + offset_s;
        sw_civil_from_days(local_s / 86400, &year, &month, &day);
        invented_add(out, "%s\"%04d-%02d-%02dT%02d:00\"", hour > 0 ? "," : "", year, month, day,
                     (int)(local_s / 3600 % 24));
    }
    invented_add(out, "]");
    for (int which = 0; which < 5; which++) {
        invented_add(out, ",\"%s\":[", names[which]);
        for (int hour = 0; hour < 72; hour++) {
            int64_t end_s = from_s + hour * 3600;
            sw_light light = clear_mean(at, end_s - 3600, end_s);
            double value[] = {light.ghi_w_m2, light.dni_w_m2, light.dhi_w_m2, 32.0 + 1.8 * (hour % 48), 36.0};
            invented_add(out, "%s%.3f", hour > 0 ? "," : "", value[which]);
        }
        invented_add(out, "]");
    }
    invented_add(out, "},\"hourly_units\":{\"time\":\"iso8601\",\"shortwave_radiation\":\"W/m²\","
                      "\"temperature_2m\":\"°F\",\"wind_speed_10m\":\"km/h\"}}");
}

static void write_csv(const site *at, invented_text *out, int begins, int minutes)
{
    int64_t offset_s = (int64_t)(at->zone_h * 3600.0), from_s = midnight_s(at, 2026) - 86400;
    int shift_min = abs((int)(at->zone_h * 60.0));
    invented_add(
        out,
        "# stillwatt weather 1\n# place: Made up\n# latitude: %.3f\n# longitude: %.3f\n# elevation: 0 ft\n",
        at->lat_deg, at->lon_deg);
    invented_add(out, "%s,ghi [W/m2],dni [W/m2],dhi [W/m2],air [F],wind [mph]\n", begins ? "begin" : "end");
    for (int row = 0; row < 3 * 24 * 60 / minutes; row++) {
        int year, month, day;
        int64_t begin_s = from_s + (int64_t)row * minutes * 60,
                label_s = begin_s + (begins ? 0 : minutes * 60);
        int64_t local_s = label_s + offset_s;
        sw_light light = clear_mean(at, begin_s, begin_s + minutes * 60);
        sw_civil_from_days(local_s / 86400, &year, &month, &day);
        invented_add(out, "%04d-%02d-%02dT%02d:%02d%c%02d:%02d,%.3f,%.3f,%.3f,50,10\n", year, month, day,
                     (int)(local_s / 3600 % 24), (int)(local_s / 60 % 60), at->zone_h < 0 ? '-' : '+',
                     shift_min / 60, shift_min % 60, light.ghi_w_m2, light.dni_w_m2, light.dhi_w_m2);
    }
}

static void write_csv_ends(const site *at, invented_text *out)
{
    write_csv(at, out, 0, 60);
}

static void write_csv_begins(const site *at, invented_text *out)
{
    write_csv(at, out, 1, 15);
}

static void write_csv_five_minutes(const site *at, invented_text *out)
{
    write_csv(at, out, 0, 5);
}

static const struct {
    const char *name;
    writer *write;
    int year;
} formats[] = {
    {"EPW", write_epw, 2001},
    {"TMY3", write_tmy3, 2001},
    {"reanalysis", write_reanalysis, 2024},
    {"beside", write_beside, 2024},
    {"CSV, hours that end", write_csv_ends, 2026},
    {"CSV, quarters that begin", write_csv_begins, 2026},
    {"CSV, five minutes", write_csv_five_minutes, 2026},
};
#define FORMATS (sizeof formats / sizeof formats[0])

static epw_reading read_any(const char *text, size_t length)
{
    return read_by(sw_weather_read, text, length);
}

static epw_reading read_written(writer *write, const site *at)
{
    invented_text text = {NULL, 0, 0};
    write(at, &text);
    epw_reading r = read_any(text.text, text.length);
    if (r.status != SW_OK)
        printf("  %s\n", sw_messages_at(r.messages, 0)->what);
    free(text.text);
    return r;
}

/* The light's centre of gravity on a clear day is solar noon, and its sum is that of the sky: an hour's or
   half an hour's shift shows, and so does light that lands on another day. */
START_TEST(clear_days_are_symmetric_about_solar_noon_in_every_format)
{
    for (size_t k = 0; k < FORMATS; k++)
        for (size_t i = 0; i < SITES; i++) {
            const site *at = &sites[i];
            epw_reading r = read_written(formats[k].write, at);
            ck_assert_msg(r.status == SW_OK, "%s, site %zu", formats[k].name, i);
            sw_sun_times times;
            int64_t day_s = midnight_s(at, formats[k].year);
            ck_assert_int_eq(sw_sun_times_near(day_s + 43200, at->lat_deg, at->lon_deg, &times), SW_OK);
            double sum = 0.0, moment = 0.0;
            for (int64_t t = times.noon_s - 43200; t < times.noon_s + 43200; t += 300) {
                double ghi = r.series->row[sw_series_index(r.series, t + 150)].ghi_w_m2;
                sum += ghi * 300.0 / 3600.0;
                moment += ghi * 300.0 / 3600.0 * (double)(t + 150 - times.noon_s);
            }
            double want = clear_mean(at, times.noon_s - 43200, times.noon_s + 43200).ghi_w_m2 * 24.0;
            ck_assert_msg(fabs(moment / sum) < 200.0, "%s, site %zu: centre %.0f s from solar noon",
                          formats[k].name, i, moment / sum);
            ck_assert_msg(fabs(sum / want - 1.0) < 0.002, "%s, site %zu: %.1f Wh/m2, not %.1f",
                          formats[k].name, i, sum, want);
            ck_assert_int_eq(r.series->light_shift_s, 0);
            free_reading(&r);
        }
}
END_TEST

/* A record whose light stands beside its hours, by as much as is told. */
START_TEST(shifted_light_is_noticed)
{
    for (int shift_s = -5400; shift_s <= 5400; shift_s += 1800)
        for (size_t i = 0; i < SITES; i++) {
            invented_text text = {NULL, 0, 0};
            site at = sites[i];
            write_csv_ends(&at, &text);
            epw_reading r = read_any(text.text, text.length);
            ck_assert_int_eq(r.status, SW_OK);
            free(text.text);
            char *moved;
            r.series->start_s -=
                shift_s; // the rows now say an earlier hour, so that their light belongs later
            ck_assert_int_eq(sw_plain_csv_write(r.series, &moved), SW_OK);
            epw_reading again = read_any(moved, strlen(moved));
            ck_assert_int_eq(again.status, SW_OK);
            ck_assert_int_eq(again.series->light_shift_s, shift_s);
            ck_assert_uint_eq(sw_messages_count(again.messages), shift_s != 0);
            free(moved);
            free_reading(&r);
            free_reading(&again);
        }
}
END_TEST

START_TEST(units_are_read)
{
    epw_reading r = read_written(write_beside, &sites[0]);
    ck_assert_double_eq_tol(r.series->row[30].air_c, 30.0, 1e-9);
    ck_assert_double_eq_tol(r.series->row[30].wind_m_s, 10.0, 1e-9);
    free_reading(&r);
    r = read_written(write_csv_ends, &sites[0]);
    ck_assert_double_eq_tol(r.series->row[30].air_c, 10.0, 1e-9);
    ck_assert_double_eq_tol(r.series->row[30].wind_m_s, 4.4704, 1e-9); // 10 mph [nist-sp811]
    ck_assert_double_eq(r.series->elevation_m, 0.0);
    free_reading(&r);
    r = read_written(write_tmy3, &sites[0]);
    ck_assert_double_eq(r.series->row[30].pressure_pa, 100000.0);
    ck_assert(isnan(r.series->row[30].albedo));
    ck_assert_str_eq(r.series->place, "MADE UP");
    free_reading(&r);
}
END_TEST

/* Hourly means of air stand at the middle of their hour. */
START_TEST(the_moment_of_air_is_kept)
{
    epw_reading r = read_written(write_reanalysis, &sites[0]);
    ck_assert_int_eq(r.series->air_before_end_s, 1800);
    char *text;
    ck_assert_int_eq(sw_plain_csv_write(r.series, &text), SW_OK);
    epw_reading again = read_any(text, strlen(text));
    ck_assert_int_eq(again.series->air_before_end_s, 1800);
    free(text);
    free_reading(&r);
    free_reading(&again);
}
END_TEST

START_TEST(what_is_written_is_read_back)
{
    for (size_t k = 0; k < FORMATS; k++) {
        epw_reading r = read_written(formats[k].write, &sites[k % SITES]);
        char *text;
        ck_assert_int_eq(sw_plain_csv_write(r.series, &text), SW_OK);
        epw_reading again = read_any(text, strlen(text));
        ck_assert_msg(again.status == SW_OK, "%s", formats[k].name);
        const sw_series *a = r.series, *b = again.series;
        ck_assert_str_eq(a->place, b->place);
        ck_assert_int_eq(a->count, b->count);
        ck_assert_int_eq(a->start_s, b->start_s);
        ck_assert_int_eq(a->step_s, b->step_s);
        ck_assert_int_eq(a->utc_offset_s, b->utc_offset_s);
        ck_assert_int_eq(a->typical_year, b->typical_year);
        ck_assert_int_eq(a->air_before_end_s, b->air_before_end_s);
        ck_assert_double_eq_tol(a->lat_deg, b->lat_deg, 1e-9);
        ck_assert_double_eq_tol(a->lon_deg, b->lon_deg, 1e-9);
        ck_assert_double_eq_tol(a->elevation_m, b->elevation_m, 1e-9);
        for (int i = 0; i < a->count; i++) {
            ck_assert_double_eq_tol(a->row[i].ghi_w_m2, b->row[i].ghi_w_m2,
                                    0.000501); // three digits are written
            ck_assert(isnan(a->row[i].dni_w_m2) ? isnan(b->row[i].dni_w_m2)
                                                : fabs(a->row[i].dni_w_m2 - b->row[i].dni_w_m2) < 0.000501);
            ck_assert(isnan(a->row[i].dhi_w_m2) ? isnan(b->row[i].dhi_w_m2)
                                                : fabs(a->row[i].dhi_w_m2 - b->row[i].dhi_w_m2) < 0.000501);
            ck_assert(isnan(a->row[i].pressure_pa)
                          ? isnan(b->row[i].pressure_pa)
                          : fabs(a->row[i].pressure_pa - b->row[i].pressure_pa) < 0.501);
            ck_assert_double_eq_tol(a->row[i].air_c, b->row[i].air_c, 0.000501);
            ck_assert(isnan(a->row[i].wind_m_s) ? isnan(b->row[i].wind_m_s)
                                                : fabs(a->row[i].wind_m_s - b->row[i].wind_m_s) < 0.000501);
        }
        free(text);
        free_reading(&r);
        free_reading(&again);
    }
}
END_TEST

// ---- gaps ----

#define CSV_HEAD                 "# latitude: 38.58\n# longitude: -109.54\n"
#define CSV_ROW(day, hour, rest) "2026-06-" day "T" hour ":00-06:00," rest "\n"

START_TEST(short_gaps_are_filled_and_rows_may_be_missing_or_out_of_order)
{
    static const char text[] = CSV_HEAD "end,ghi [W/m2],air [C]\n" CSV_ROW("01", "11", "800,20")
        CSV_ROW("01", "10", "700,10") CSV_ROW("01", "12", ",") CSV_ROW("01", "15", "500,28");
    epw_reading r = read_any(text, strlen(text));
    ck_assert_int_eq(r.status, SW_OK);
    ck_assert_int_eq(r.series->count, 6);
    ck_assert_double_eq_tol(r.series->row[2].ghi_w_m2, 725.0, 1e-9); // three rows between 800 and 500
    ck_assert_double_eq_tol(r.series->row[4].air_c, 26.0, 1e-9);
    expect_message(&r, "global radiation was missing in 3 rows, the first of 1 June 2026 12:00", 0);
    ck_assert(isnan(r.series->row[0].dni_w_m2));
    free_reading(&r);
}
END_TEST

/* Fill values and nulls are missing; a leap day is a day like others. */
START_TEST(codes_of_the_services_are_missing_values)
{
    static const char by_name[] =
        "{\"geometry\":{\"coordinates\":[-109.5,38.6,1200]},\"header\":{\"fill_value\":-999.0,\"time_"
        "standard\":\"LST\"},"
        "\"properties\":{\"parameter\":{"
        "\"ALLSKY_SFC_SW_DWN\":{\"2024022922\":-999.0,\"2024022921\":5,\"2024022923\":-999,\"2024030100\":0},"
        "\"T2M\":{\"2024022921\":1.5,\"2024022922\":2.5,\"2024022923\":3.5,\"2024030100\":4.5}}}}";
    epw_reading r = read_any(by_name, strlen(by_name));
    ck_assert_int_eq(r.status, SW_OK);
    ck_assert_int_eq(r.series->count, 4);
    /* Its local solar time is that of fifteen degrees an hour: 109.5 west is 7 h behind. */
    ck_assert_int_eq(r.series->start_s, sw_days_from_civil(2024, 2, 29) * 86400 + (21 + 7) * 3600);
    expect_message(&r, "global radiation was missing in 2 rows, the first of 29 February 2024 23:00", 0);
    free_reading(&r);
    static const char beside[] =
        "{\"latitude\":38.6,\"longitude\":-109.5,\"elevation\":1200,\"utc_offset_seconds\":0,\"hourly\":{"
        "\"time\":[1709244000,1709247600,1709251200],\"shortwave_radiation\":[3,null,1],\"temperature_2m\":["
        "1,2,3]}}";
    r = read_any(beside, strlen(beside));
    ck_assert_int_eq(r.status, SW_OK);
    ck_assert_int_eq(r.series->start_s, 1709244000 - 3600);
    ck_assert_double_eq(r.series->row[1].ghi_w_m2, 2.0);
    free_reading(&r);
}
END_TEST

// ---- refused ----

#define POWER(rest)                                                                                          \
    "{\"geometry\":{\"coordinates\":[-109.5,38.6,1200]},\"properties\":{\"parameter\":{" rest "}}}"
#define BESIDE(rest) "{\"latitude\":38.6,\"longitude\":-109.5,\"hourly\":{" rest "}}"
#define TMY3_NAMES                                                                                           \
    "1,\"a\",XX,-7,38,-109,1000\nDate (MM/DD/YYYY),Time (HH:MM),GHI (W/m^2),DNI (W/m^2),DHI "                \
    "(W/m^2),Dry-bulb (C)\n"

START_TEST(what_is_wrong_is_told_with_its_place)
{
    static const struct {
        const char *text, *says;
        int line;
    } cases[] = {
        {"hello\n", "this is no weather file of a format that is read", 1},
        {"\n\n", "this is no weather file of a format that is read", 1},
        {CSV_HEAD, "and the line of column names are needed", 2},
        {"# latitude: 95\n", "the latitude must be a number from -90 to 90", 1},
        {"# latitude: 5\n# elevation: 3 kg\n", "the elevation cannot be \"3 kg\"", 2},
        {"# latitude: 5\n# year: other\n", "\"year\" is real or typical, not \"other\"", 2},
        {CSV_HEAD "time,ghi [W/m2]\n", "the first column is \"end\" or \"begin\"", 3},
        {CSV_HEAD "end,ghi [W/m2]\n", "the columns \"ghi\" and \"air\" are needed", 3},
        {CSV_HEAD "end,ghi [kW],air [C]\n", "\"ghi\" is given in [W/m2], not in \"kW\"", 3},
        {CSV_HEAD "end,ghi [W/m2],air [C],airr [C]\n", "there is no column \"airr\"; did you mean \"air\"?",
         3},
        {CSV_HEAD "end,ghi [W/m2],air [C],air [C]\n", "the column \"air\" stands twice", 3},
        {CSV_HEAD "end,ghi [W/m2],air [C]\n", "the file has no rows of data", 3},
        {CSV_HEAD "end,ghi [W/m2],air [C]\n2026-06-01T10:00,1,1\n", "a time cannot be \"2026-06-01T10:00\"",
         4},
        {CSV_HEAD "end,ghi [W/m2],air [C]\n2026-06-31T10:00Z,1,1\n", "a time cannot be \"2026-06-31T10:00Z\"",
         4},
        {CSV_HEAD "end,ghi [W/m2],air [C]\n2026-06-01T10:00Z,1\n",
         "a row has as many values as there are columns", 4},
        {CSV_HEAD "end,ghi [W/m2],air [C]\n2026-06-01T10:00Z,1,1,1\n",
         "a row has as many values as there are columns", 4},
        {CSV_HEAD "end,ghi [W/m2],air [C]\n2026-06-01T10:00Z,1,warm\n", "air temperature cannot be \"warm\"",
         4},
        {CSV_HEAD "end,ghi [W/m2],air [C]\n2026-06-01T10:00Z,2500,1\n", "global radiation cannot be \"2500\"",
         4},
        {CSV_HEAD "end,ghi [W/m2],air [C]\n2026-06-01T10:00Z,1,1\n2026-06-01T10:00Z,1,1\n",
         "this time is given twice, first in line 4", 5},
        {CSV_HEAD "end,ghi [W/m2],air [C]\n2026-06-01T10:00Z,1,1\n2026-06-01T10:01Z,1,1\n",
         "this row is only 60 s after the one before", 5},
        {CSV_HEAD "end,ghi [W/m2],air [C]\n2026-06-01T10:00Z,1,1\n2026-06-01T10:25Z,1,1\n",
         "the rows are 25 min apart, which does not divide the hour", 4},
        {CSV_HEAD
         "end,ghi [W/m2],air [C]\n2026-06-01T10:00Z,1,1\n2026-06-01T11:00Z,1,1\n2026-06-01T12:30Z,1,1\n",
         "this row does not stand on the 60 min that the others keep", 6},
        {CSV_HEAD
         "end,ghi [W/m2],air [C]\n1901-06-01T10:00Z,1,1\n2099-06-01T10:00Z,1,1\n2099-06-01T10:05Z,1,1\n",
         "steps after the first", 5},
        {CSV_HEAD "end,ghi [W/m2],air [C]\n2026-06-01T10:00Z,1,1\n2026-06-01T13:00Z,1,1\n",
         "the rows are 180 min apart, which does not divide the hour", 4},
        {CSV_HEAD "end,ghi [W/m2],air [C],wind [m/s]\n2026-06-01T10:00Z,1,1,-50\n", "wind cannot be \"-50\"",
         4},
        {CSV_HEAD "end,ghi [W/m2],air [C]\n2026-06-01T10:00Z,-90,1\n", "global radiation cannot be \"-90\"",
         4},
        {"# year: typical\n" CSV_HEAD "end,ghi [W/m2],air [C]\n2026-06-01T10:00Z,1,1\n",
         "a typical year has the 8760 hours of 2001", 0},
        {"1,\"a\",XX,-70,38,-109,1000\n", "the time zone must be a number from -14 to 14, not \"-70\"", 1},
        {"1,\"a\",XX,-7,38,-109,1000\nx,y\n", "the second line of a TMY3 file names its columns", 2},
        {"1,\"a\",XX,-7,38,-109,1000\nDate (MM/DD/YYYY),Time (HH:MM),GHI (W/m^2)\n",
         "there is no column \"DNI (W/m^2)\"", 2},
        {TMY3_NAMES "1/1/1999,1:00,0,0,0,5\n1/2/1999,2:00,0,0,0,5\n",
         "the row of month 1 day 1 hour 2 should stand here, not month 1 day 2 hour 2", 4},
        {TMY3_NAMES "1/1/1999,1:00,0,0,0\n", "this row has only 5 of 6 values", 3},
        {TMY3_NAMES "1-1-1999,1:00,0,0,0,5\n", "a date cannot be \"1-1-1999\"", 3},
        {TMY3_NAMES "1/1/1999,1:30,0,0,0,5\n", "should stand here", 3},
        {"{}", "this is not an answer of a weather service that is known", 1},
        {"[{}]", "this answer is a list of several", 1},
        {"{\"error\":true,\"reason\":\"too many days\"}", "the service answered: too many days", 1},
        {POWER("\"T2M\":{}"), "the answer has no \"ALLSKY_SFC_SW_DWN\" (global radiation)", 1},
        {POWER("\"ALLSKY_SFC_SW_DWN\":{\"2024023000\":1},\"T2M\":{}"), "this is not a time", 1},
        {POWER("\"ALLSKY_SFC_SW_DWN\":{\"2024022900\":\"1\"},\"T2M\":{}"),
         "global radiation must be a number from 0 to 2000", 1},
        {"{\"geometry\":{\"coordinates\":[\"x\",\"y\"]},\"properties\":{\"parameter\":{}}}",
         "the answer does not say where it is of", 1},
        {BESIDE("\"time\":[1717236000,1717236000],\"shortwave_radiation\":[1,2],\"temperature_2m\":[1,1]"),
         "this time is given twice", 1},
        {BESIDE("\"time\":[9e10],\"shortwave_radiation\":[1],\"temperature_2m\":[1]"), "this is not a time",
         1},
        {BESIDE("\"time\":[1717236000],\"shortwave_radiation\":[1],\"temperature_2m\":1"),
         "a list of values is expected here", 1},
        {BESIDE("\"time\":[1717236000],\"shortwave_radiation\":[1],\"temperature_2m\":[1],\"wind_speed_10m\":"
                "[1]"),
         "the answer does not say in what unit its wind is", 1},
        {BESIDE("\"shortwave_radiation\":[1]"), "the answer has no list \"time\"", 1},
        {BESIDE("\"time\":[\"2026-06-01T10:00\"],\"shortwave_radiation\":[1,2],\"temperature_2m\":[1]"),
         "this list is not as long as that of the times", 1},
        {BESIDE("\"time\":[\"June\"],\"shortwave_radiation\":[1],\"temperature_2m\":[1]"),
         "this is not a time", 1},
        {"{\"latitude\":38.6,\"hourly\":{\"time\":[]}}", "the answer does not say where it is of", 1},
        {"{\"latitude\":38.6,\"longitude\":7,\"hourly\":{\"time\":[1],\"shortwave_radiation\":[1],"
         "\"temperature_2m\":[1]},"
         "\"hourly_units\":{\"shortwave_radiation\":\"MJ/m²\"}}",
         "global radiation must be in W/m²", 1},
    };
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
        epw_reading r = read_any(cases[i].text, strlen(cases[i].text));
        ck_assert_msg(r.status == SW_BAD_INPUT, "case %zu was taken: %s", i, cases[i].says);
        ck_assert_ptr_null(r.series);
        expect_message(&r, cases[i].says, cases[i].line);
        free_reading(&r);
    }
}
END_TEST

START_TEST(huge_lines_and_many_columns_are_read_in_place)
{
    size_t length = 20u << 20;
    char *text = malloc(length);
    memset(text, ',', length);
    memcpy(text, TMY3_NAMES, 60);
    epw_reading r = read_any(text, length);
    ck_assert_int_eq(r.status, SW_BAD_INPUT);
    free_reading(&r);
    memset(text, '1', length);
    memcpy(text, CSV_HEAD "end,", strlen(CSV_HEAD) + 4);
    r = read_any(text, length);
    ck_assert_int_eq(r.status, SW_BAD_INPUT);
    ck_assert_uint_le(sw_messages_errors(r.messages), 25);
    free_reading(&r);
    free(text);
}
END_TEST

Suite *sw_suite(void)
{
    const TTest *const tests[] = {
        clear_days_are_symmetric_about_solar_noon_in_every_format,
        shifted_light_is_noticed,
        units_are_read,
        the_moment_of_air_is_kept,
        what_is_written_is_read_back,
        short_gaps_are_filled_and_rows_may_be_missing_or_out_of_order,
        codes_of_the_services_are_missing_values,
        what_is_wrong_is_told_with_its_place,
        huge_lines_and_many_columns_are_read_in_place,
        NULL,
    };
    return sw_suite_of("formats", tests, 60);
}
