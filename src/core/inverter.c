// Inverter losses: a parabola in the AC power through idle draw, peak efficiency and full-load efficiency.
#include "stillwatt/inverter.h"

#include <math.h>

/* With p = P/Prated the loss per rated watt is p0 + k1 p + k2 p^2, so the loss per watt served is p0/p + k1 +
   k2 p: smallest at p = sqrt(p0/k2), where it is k1 + 2 sqrt(p0 k2). The peak efficiency gives a = 1/peak - 1
   for that minimum, the full-load efficiency b = 1/full - 1 = p0 + k1 + k2. Subtracting, b - a = (sqrt(k2) -
   sqrt(p0))^2, hence sqrt(k2) = sqrt(p0) + sqrt(b - a). The root with the plus sign puts the peak inside the
   rating. (own derivation) */
sw_inverter_fit sw_inverter_fit_curve(double idle_w, double rated_w, double peak_efficiency,
                                      double full_efficiency, sw_inverter_curve *out)
{
    double p0 = idle_w / rated_w;
    double a = 1.0 / peak_efficiency - 1.0;
    double b = 1.0 / full_efficiency - 1.0;
    if (!(a > 0.0))
        return SW_FIT_PEAK_NOT_BELOW_1;
    if (b < a)
        return SW_FIT_PEAK_BELOW_FULL;
    double root_k2 = sqrt(p0) + sqrt(b - a);
    double k2 = root_k2 * root_k2;
    double k1 = a - 2.0 * sqrt(p0 * k2);
    if (!(k1 > -1.0))
        return SW_FIT_IDLE_TOO_HIGH;
    out->idle_w = idle_w;
    out->linear = k1;
    out->square_per_w = k2 / rated_w;
    return k1 < 0.0 ? SW_FIT_STEEP : SW_FIT_OK;
}

double sw_inverter_input_w(const sw_inverter_curve *c, double ac_w)
{
    return ac_w + c->idle_w + ac_w * (c->linear + c->square_per_w * ac_w);
}
