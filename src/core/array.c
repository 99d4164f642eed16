// From light on the panel to cell temperature and the efficiency at low light.
#include "stillwatt/array.h"

#include <math.h>

/* [faiman-2008] Coefficients for wind at 10 m, one row per sw_mounting: the open one is the mean of the
   paper's modules; the other two are lines in the wind (own derivation), within 3 % of the models of
   [king-2004] for a roof close behind and an insulated back up to 10 m/s. */
static const struct {
    double still_w_m2_k; // U0
    double wind_ws_m3_k; // U1
} cooling[SW_MOUNT_COUNT] = {
    [SW_MOUNT_OPEN] = {25.0, 6.84},
    [SW_MOUNT_GAP] = {19.0, 1.08},
    [SW_MOUNT_BONDED] = {16.3, 0.92},
};

double sw_cell_temperature_c(sw_mounting mounting, double incident_w_m2, double air_c, double wind_m_s)
{
    double loss_w_m2_k =
        cooling[mounting].still_w_m2_k + cooling[mounting].wind_ws_m3_k * fmax(0.0, wind_m_s);
    return air_c + incident_w_m2 / loss_w_m2_k;
}

/* [huld-2010] k1 and k2 of crystalline silicon. Their terms in temperature are left out: a panel's own
   temperature coefficient stands for them. */
double sw_low_light(double effective_w_m2)
{
    const double k1 = -0.017237, k2 = -0.040465;
    double log_light =
        log(fmax(0.0, effective_w_m2) / 1000.0); // in the dark minus infinity, which ends at 0 too
    return fmax(0.0, 1.0 + log_light * (k1 + log_light * k2));
}
