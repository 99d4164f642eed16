// Battery chemistries as tables. Published where a source stands beside the numbers; the rest says that it is
// from memory (m), so that `check` can list what stands on it.
#include "stillwatt/battery.h"

#include <math.h>

/* LiFePO4 open circuit: half-cell equations of [safari-delacourt-2011] (positive: A63 eq. 10; graphite:
   A562), four cells in series. The windows x 0.01..0.80 and y 0.96..0.05 are ours: they put the rest voltage
   of a full battery at 13.6 V and of an empty one at 10 V, as in use. tests/check_battery.c recomputes every
   point. Coulombic efficiency, resistance, rates, self-discharge, temperatures at which charging and
   discharging end: m, low to medium confidence. Capacity in the cold: m, the spread between papers is large.
 */
static const sw_chemistry_data lifepo4 = {
    .word = "lifepo4",
    .open_circuit_v = {12,
                       {0.00, 0.02, 0.05, 0.10, 0.20, 0.30, 0.40, 0.60, 0.80, 0.95, 0.98, 1.00},
                       {10.047, 11.318, 12.270, 12.800, 13.016, 13.143, 13.213, 13.258, 13.360, 13.401,
                        13.467, 13.615}},
    .charge_efficiency = {1, {0.5}, {0.995}},
    .capacity_share = {5, {-20, -10, 0, 10, 25}, {0.65, 0.78, 0.87, 0.95, 1.00}},
    .resistance_ratio = {6, {-20, -10, 0, 10, 25, 45}, {4.0, 2.8, 2.0, 1.5, 1.0, 0.8}},
    .absorption_v = 14.2,
    .absorption_v_per_k = 0.0,
    .cut_out_v = 10.0,
    .restart_v = 12.4,
    .resistance_ohm_100ah = 0.010,
    .charge_c_rate = 0.5,
    .discharge_c_rate = 1.0,
    .acceptance_h = 0.0,
    .peukert = 1.0,
    .cold_stop_c = 0.0,
    .cold_full_c = 10.0,
    .hot_full_c = 45.0,
    .hot_stop_c = 55.0,
    .discharge_stop_c = -20.0,
    .self_discharge_month = 0.02,
    .management_w = 0.3,
    .reserve = 0.20,
    .mass_kg_100ah = 11.5,
};

/* AGM: rest voltages in the middle of the ranges in common use (m); charge efficiency falling near full in
   the manner of [stevens-corey-1996], whose figures are for flooded cells (m); capacity in the cold is the
   inverse of the temperature factors of [ieee-485] (m, high) down to -3.9 degC, below that m, low;
   absorption 14.4 V and -24 mV/K (m); acceptance time constant 1.5 h, 1 to 3 (m); Peukert 1.10, 1.05 to 1.15
   (m). */
static const sw_chemistry_data agm = {
    .word = "agm",
    .open_circuit_v = {5, {0.00, 0.25, 0.50, 0.75, 1.00}, {11.70, 11.95, 12.15, 12.45, 12.75}},
    .charge_efficiency = {4, {0.0, 0.8, 0.9, 1.0}, {0.98, 0.95, 0.85, 0.60}},
    .capacity_share = {6, {-20, -3.9, 4.4, 10, 18.3, 25}, {0.45, 0.658, 0.769, 0.840, 0.926, 1.000}},
    .resistance_ratio = {4, {-20, 0, 25, 45}, {2.0, 1.4, 1.0, 0.9}},
    .absorption_v = 14.4,
    .absorption_v_per_k = -0.024,
    .cut_out_v = 10.5,
    .restart_v = 12.0,
    .resistance_ohm_100ah = 0.012,
    .charge_c_rate = 0.25,
    .discharge_c_rate = 1.0,
    .acceptance_h = 1.5,
    .peukert = 1.10,
    .cold_stop_c = -20.0,
    .cold_full_c = -10.0,
    .hot_full_c = 45.0,
    .hot_stop_c = 55.0,
    .discharge_stop_c = -40.0,
    .self_discharge_month = 0.02,
    .reserve = 0.50,
    .mass_kg_100ah = 30.0,
};

const sw_chemistry_data *sw_chemistry_of(sw_chemistry chemistry)
{
    return chemistry == SW_AGM ? &agm : &lifepo4;
}

double sw_curve_at(const sw_curve *curve, double x)
{
    double y = curve->y[0];
    for (int i = 1; i < curve->count; i++) {
        double passed = (x - curve->x[i - 1]) / (curve->x[i] - curve->x[i - 1]);
        y += fmin(1.0, fmax(0.0, passed)) * (curve->y[i] - curve->y[i - 1]);
    }
    return y;
}

/* t = H (C/(I H))^k, so the charge I t is C ratio^(1-k) with ratio = I H/C [peukert] */
double sw_peukert_share(double ratio, double exponent)
{
    return pow(fmax(1.0, ratio), 1.0 - exponent);
}
