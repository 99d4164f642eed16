// From monthly means to days.
#include "trip/climate_days.h"

#include "stillwatt/civil.h"
#include "stillwatt/sun.h"

#include <math.h>

#define YEAR       365
#define FIRST_DATE INT64_C(11323) // 2001-01-01: a common year stands for all

static const double month_days[12] = {31, 28.25, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31};

/* The line is straight between mid-months. Over month m of length L its mean is n_m plus, for each neighbour
   k, L/(4 (L + L_k)) (n_k - n_m): twelve equations on a circle, solved by elimination. */
void sw_nodes_of_means(const double mean[12], double node[12])
{
    double a[12][13] = {{0}};
    for (int m = 0; m < 12; m++) {
        int before = (m + 11) % 12, after = (m + 1) % 12;
        double to_before = month_days[m] / (4.0 * (month_days[m] + month_days[before]));
        double to_after = month_days[m] / (4.0 * (month_days[m] + month_days[after]));
        a[m][m] = 1.0 - to_before - to_after;
        a[m][before] = to_before;
        a[m][after] = to_after;
        a[m][12] = mean[m];
    }
    for (int m = 0; m < 12; m++) // diagonally dominant: no pivoting needed
        for (int row = m + 1; row < 12; row++) {
            double factor = a[row][m] / a[m][m];
            for (int k = m; k < 13; k++)
                a[row][k] -= factor * a[m][k];
        }
    for (int m = 11; m >= 0; m--) {
        double sum = a[m][12];
        for (int k = m + 1; k < 12; k++)
            sum -= a[m][k] * node[k];
        node[m] = sum / a[m][m];
    }
}

/* Where a date stands between two mid-months. */
static double between_months(int64_t date, int *from, int *to)
{
    int year, month, day;
    sw_civil_from_days(date, &year, &month, &day);
    double length = sw_days_in_month(year, month);
    double past_middle = day - 0.5 - 0.5 * length;
    *from = past_middle < 0.0 ? (month + 10) % 12 : month - 1;
    *to = (*from + 1) % 12;
    double apart = 0.5 * (month_days[*from] + month_days[*to]);
    return past_middle < 0.0 ? 1.0 + past_middle / apart : past_middle / apart;
}

/* The nodes make the mean of clearness exact; a month's energy is that of clearness times the energy above
   the air, which changes by the day. What is left to make it exact is a factor for each month, within 0.5 %
   of 1 at middle latitudes. */
static void scale_clearness(const sw_climate *climate, double lat_deg, double lon_deg, climate_nodes *n)
{
    double flat[12] = {0}, sloped[12] = {0};
    for (int day = 0; day < YEAR; day++) {
        int year, month, date, from, to;
        sw_sun_clock noon;
        sw_civil_from_days(FIRST_DATE + day, &year, &month, &date);
        double share = between_months(FIRST_DATE + day, &from, &to);
        (void)sw_sun_clock_at((FIRST_DATE + day) * 86400 + 43200 - (int64_t)(lon_deg * 240.0), &noon);
        double above_air = sw_sun_daily_extraterrestrial_wh_m2(&noon, lat_deg);
        double clearness = n->clearness[from] + share * (n->clearness[to] - n->clearness[from]);
        flat[month - 1] += above_air * climate->month[month - 1].kt_mean;
        sloped[month - 1] += above_air * clearness;
    }
    for (int m = 0; m < 12; m++)
        n->clearness_factor[m] = sloped[m] > 0.0 && flat[m] > 0.0 ? flat[m] / sloped[m] : 1.0;
}

void sw_climate_nodes_of(const sw_climate *climate, double lat_deg, double lon_deg, climate_nodes *out)
{
    double mean[6][12];
    for (int m = 0; m < 12; m++) {
        const sw_month *month = &climate->month[m];
        mean[0][m] = month->kt_mean;
        mean[1][m] = month->kt_sd;
        mean[2][m] = month->daily_min_c;
        mean[3][m] = month->daily_max_c;
        mean[4][m] = month->wind_m_s;
        mean[5][m] = month->ghi_kwh_m2_day > 0.0 ? month->dhi_kwh_m2_day / month->ghi_kwh_m2_day : 1.0;
    }
    double *node[6] = {out->clearness, out->spread,   out->low_c,
                       out->high_c,    out->wind_m_s, out->diffuse_share};
    for (int i = 0; i < 6; i++)
        sw_nodes_of_means(mean[i], node[i]);
    scale_clearness(climate, lat_deg, lon_deg, out);
}

void sw_climate_day_of(const climate_nodes *n, int64_t date, climate_day *out)
{
    int a, b;
    double share = between_months(date, &a, &b);
#define BETWEEN(field) out->field = n->field[a] + share * (n->field[b] - n->field[a])
    BETWEEN(clearness);
    BETWEEN(spread);
    BETWEEN(low_c);
    BETWEEN(high_c);
    BETWEEN(wind_m_s);
    BETWEEN(diffuse_share);
#undef BETWEEN
    int year, month, day;
    sw_civil_from_days(date, &year, &month, &day);
    out->clearness =
        fmin(fmax(out->clearness * n->clearness_factor[month - 1], CLIMATE_DARKEST), CLIMATE_OPENEST);
    out->spread = fmax(out->spread, 0.0);
    out->high_c = fmax(out->high_c, out->low_c);
}
