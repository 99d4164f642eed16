// Whether the light of a record stands at the hours that its labels say: by the sun, from the file alone.
#include "weather/timing.h"

#include "stillwatt/sun.h"

#include <math.h>
#include <stdlib.h>

#define DAY_S       86400
#define SAMPLE_S    600 // of the sun's height
#define SHIFT_S     1800
#define SHIFTS      7 // -90 to +90 min
#define MARGIN_S    (SHIFT_S * (SHIFTS / 2))
#define SAMPLES     ((DAY_S + 2 * MARGIN_S) / SAMPLE_S)
#define DAYS_LOOKED 73 // of a year every fifth: enough to tell half an hour, and a fifth of the time

/* A right record misses by 1 to 8 W/m2, half an hour costs 15 to 35 (seen in real files): a shift is told
   where it takes a quarter of the miss away, and 4 W/m2. */
#define BETTER_BY     0.75
#define BETTER_BY_WM2 4.0
#define RIGHT_WM2     12.0 // more than that is no right record at any shift

/* Height of the sun over a day of rows and a margin on both sides, as the cosine of its zenith, 0 when down.
 */
static void sample_heights(const sw_series *series, int64_t start_s, double height[SAMPLES])
{
    sw_sun_clock clock;
    sw_sun sun;
    if (sw_sun_clock_at(start_s + DAY_S / 2, &clock) != SW_OK)
        clock = (sw_sun_clock){0};
    for (int i = 0; i < SAMPLES; i++) {
        int64_t moment_s = start_s - MARGIN_S + (int64_t)i * SAMPLE_S + SAMPLE_S / 2;
        sw_sun_from(&clock, moment_s, series->lat_deg, series->lon_deg, &sun);
        height[i] = fmax(0.0, sun.cos_zenith);
    }
}

static double mean_height(const double height[SAMPLES], int32_t begin_s, int32_t step_s)
{
    int first = begin_s / SAMPLE_S, last = (begin_s + step_s - 1) / SAMPLE_S;
    double sum = 0.0;
    for (int i = first; i <= last; i++)
        sum += height[i];
    return sum / (last - first + 1);
}

/* Adds the squared miss of a day's rows at each shift. @return how many rows had all three lights and a sun
 */
static int add_day(const sw_series *series, int32_t first, int32_t rows, double miss[SHIFTS])
{
    double height[SAMPLES];
    int counted = 0;
    sample_heights(series, series->start_s + (int64_t)first * series->step_s, height);
    for (int32_t i = 0; i < rows; i++) {
        const sw_weather_row *row = &series->row[first + i];
        double flat = row->ghi_w_m2 - row->dhi_w_m2;
        if (isnan(flat) || isnan(row->dni_w_m2) || row->ghi_w_m2 <= 0.0)
            continue;
        counted++;
        for (int k = 0; k < SHIFTS; k++) {
            double off =
                flat - row->dni_w_m2 * mean_height(height, i * series->step_s + k * SHIFT_S, series->step_s);
            miss[k] += off * off;
        }
    }
    return counted;
}

void sw_timing_look(sw_series *series, const char *name, sw_messages *messages)
{
    double miss[SHIFTS] = {0};
    int32_t rows = DAY_S / series->step_s, days = series->count / rows;
    int32_t stride = days > DAYS_LOOKED ? days / DAYS_LOOKED : 1;
    int counted = 0, best = SHIFTS / 2;
    for (int32_t day = 0; day < days; day += stride)
        counted += add_day(series, day * rows, rows, miss);
    if (counted == 0)
        return;
    for (int k = 0; k < SHIFTS; k++) {
        miss[k] = sqrt(miss[k] / counted);
        best = miss[k] < miss[best] ? k : best;
    }
    double stays = miss[SHIFTS / 2], moved = miss[best];
    if (moved >= BETTER_BY * stays || stays - moved < BETTER_BY_WM2 || moved > RIGHT_WM2)
        return;
    series->light_shift_s = (best - SHIFTS / 2) * SHIFT_S;
    sw_where where = {name, 0, 0, NULL};
    sw_warn(messages, &where,
            "it is moved by that for a trip; in a file that is right it would cost a tilted panel some of "
            "its light",
            "by the sun the light of this record belongs %d min %s than its hours say (global, beam and sky "
            "light "
            "miss each other by %.0f W/m2 as they stand, by %.0f W/m2 then)",
            (int)(labs((long)series->light_shift_s) / 60), series->light_shift_s < 0 ? "earlier" : "later",
            stays, moved);
}
