// The clear sky against the clear hours of real records: the median of recorded over computed global light,
// by the height of the sun.
#include "stillwatt/series.h"
#include "stillwatt/sky.h"
#include "support/checks.h"
#include "support/whole_file.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

static const char *const files[] = {
    "USA_UT_Moab-Canyonlands.Field.724776_TMY3.epw",
    "USA_CO_Denver.Intl.AP.725650_TMY3.epw",
    "US_CO_Boulder_AMY_2012.epw",
    "USA_AZ_Phoenix-Sky.Harbor.Intl.AP.722780_TMY3.epw",
    "USA_OR_Portland.Intl.AP.726980_TMY3.epw",
    "USA_MN_Duluth.Intl.AP.727450_TMY3.epw",
    "FL-Miami_Intl_Ap.tmy3",
    "723170TYA.CSV",
    "703165TY.csv",
    "FRA_AR_Lyon-Bron.AP.074800_TMYx.2004-2018.epw",
    "NZL_Auckland-Auckland.AK.931190_NIWA.epw",
    "ETH_Addis.Ababa-Bole.634500_SWERA.epw",
};
#define FILES (sizeof files / sizeof files[0])

enum { BANDS = 3, HOURS_MAX = 9000 };
static const double band_deg[BANDS + 1] = {8.0, 20.0, 40.0, 90.0};

static sw_series *read_real(const char *name)
{
    char path[400];
    size_t length;
    sw_series *series = NULL;
    snprintf(path, sizeof path, "%s/weather-data/%s", SW_SHARED_DIR, name);
    char *text = read_whole_file(path, &length);
    ck_assert_msg(text != NULL, "cannot read %s", path);
    ck_assert_int_eq(sw_weather_read(text, length, name, NULL, &series), SW_OK);
    free(text);
    return series;
}

/* Mean clear light over the hour of a row, every five minutes; the least height of the sun in it. */
static double clear_hour(const sw_series *series, int32_t index, double turbidity, double *height_deg)
{
    double sum = 0.0;
    *height_deg = 90.0;
    for (int k = 0; k < 12; k++) {
        sw_sun_clock clock;
        sw_sun sun;
        int64_t t = series->start_s + (int64_t)index * 3600 + k * 300 + 150;
        sw_expect(sw_sun_clock_at(t, &clock) == SW_OK, "no sun at %lld s", (long long)t);
        sw_sun_from(&clock, t, series->lat_deg, series->lon_deg, &sun);
        sum += sw_clear_sky(&clock, &sun, series->elevation_m, turbidity).ghi_w_m2 / 12.0;
        *height_deg = fmin(*height_deg, 90.0 - sun.zenith_deg);
    }
    return sum;
}

/* Beam and little else: sky light of a cloudless hour is a fifth of the global or less, a little more under a
   low sun (common practice, no source); the hours beside must be so too. */
static int is_clear(const sw_series *series, int32_t index, double height_deg)
{
    for (int32_t i = index - 1; i <= index + 1; i++) {
        const sw_weather_row *row = &series->row[i];
        double least = height_deg > 25.0 ? 0.20 : 0.35;
        if (!(row->ghi_w_m2 > 0.0) || !(row->dhi_w_m2 < least * row->ghi_w_m2) || !(row->dni_w_m2 > 200.0))
            return 0;
    }
    return 1;
}

static int by_size(const void *a, const void *b)
{
    double x = *(const double *)a, y = *(const double *)b;
    return (x > y) - (x < y);
}

START_TEST(clear_hours_of_records_are_near_the_clear_sky)
{
    static double ratio[BANDS][HOURS_MAX];
    if (!sw_shared_present("the clear sky against clear hours of records"))
        return;
    printf("median of recorded over clear light at turbidity 3, hours in brackets; sun at 8..20, 20..40, "
           "40..90 deg\n");
    for (size_t i = 0; i < FILES; i++) {
        sw_series *series = read_real(files[i]);
        int count[BANDS] = {0};
        for (int32_t row = 1; row + 1 < series->count; row++) {
            double height_deg, clear = clear_hour(series, row, 3.0, &height_deg);
            for (int b = 0; b < BANDS; b++)
                if (height_deg >= band_deg[b] && height_deg < band_deg[b + 1] &&
                    is_clear(series, row, height_deg))
                    ratio[b][count[b]++] = series->row[row].ghi_w_m2 / clear;
        }
        printf("%-34.34s", files[i]);
        for (int b = 0; b < BANDS; b++) {
            qsort(ratio[b], (size_t)count[b], sizeof ratio[b][0], by_size);
            printf("  %5.3f (%4d)", count[b] > 0 ? ratio[b][count[b] / 2] : NAN, count[b]);
        }
        printf("\n");
        ck_assert_int_gt(count[2], 20);
        // The turbidity of no site is known. 3 is the usual one; the highland of Ethiopia is dustier.
        int dusty = strstr(files[i], "Addis") != NULL;
        ck_assert_double_eq_tol(ratio[2][count[2] / 2], dusty ? 0.88 : 1.0, dusty ? 0.03 : 0.08);
        ck_assert(dusty || (ratio[1][count[1] / 2] > 0.96 && ratio[1][count[1] / 2] < 1.06));
        sw_series_free(series);
    }
}
END_TEST

Suite *sw_suite(void)
{
    const TTest *const tests[] = {clear_hours_of_records_are_near_the_clear_sky, NULL};
    return sw_suite_of("clear hours", tests, 60);
}
