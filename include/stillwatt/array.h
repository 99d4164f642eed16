/// From light on the panel to electrical power of one rated watt: cell temperature, low light, temperature.
#ifndef STILLWATT_ARRAY_H
#define STILLWATT_ARRAY_H

/// How the panel is held, which decides how well the wind cools it.
typedef enum sw_mounting { SW_MOUNT_OPEN, SW_MOUNT_GAP, SW_MOUNT_BONDED, SW_MOUNT_COUNT } sw_mounting;

/// Cell temperature [faiman-2008]: air + incident/(U0 + U1 wind); U0/U1 for 10 m wind: open underneath
/// 25/6.84; fitted to [king-2004] close to a roof 19.0/1.08, bonded or insulated behind 16.3/0.92.
/// @param mounting below SW_MOUNT_COUNT; wind_m_s at 10 m, negative counts as calm; incident_w_m2 before
/// glass and dirt
double sw_cell_temperature_c(sw_mounting mounting, double incident_w_m2, double air_c, double wind_m_s);

/// Efficiency at low light over that at 1000 W/m2, cell at 25 degC: 1 + k1 ln g + k2 ln^2 g of [huld-2010],
/// c-Si; never below 0; 0 at no light. @param effective_w_m2 not negative
double sw_low_light(double effective_w_m2);

#endif
