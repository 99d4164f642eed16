/// An inverter's losses from the three figures of its data sheet.
#ifndef STILLWATT_INVERTER_H
#define STILLWATT_INVERTER_H

/// loss [W] = idle + linear P + square P^2 with P the AC power [W].
typedef struct sw_inverter_curve {
    double idle_w;
    double linear;
    double square_per_w;
} sw_inverter_curve;

typedef enum sw_inverter_fit {
    SW_FIT_OK,
    SW_FIT_STEEP,            ///< fits, but the loss first falls with load (linear < 0): worth a warning
    SW_FIT_PEAK_NOT_BELOW_1, ///< peak efficiency must be below 1
    SW_FIT_PEAK_BELOW_FULL,  ///< full-load efficiency exceeds the peak
    SW_FIT_IDLE_TOO_HIGH     ///< no such curve passes through the three figures
} sw_inverter_fit;

/// Loss curve through idle draw, peak efficiency and full-load efficiency. Derivation beside the code.
/// @param idle_w >= 0; rated_w > 0; efficiencies in (0, 1)
sw_inverter_fit sw_inverter_fit_curve(double idle_w, double rated_w, double peak_efficiency,
                                      double full_efficiency, sw_inverter_curve *out);

/// What an inverter that is on takes in [W] for an AC power [W].
double sw_inverter_input_w(const sw_inverter_curve *curve, double ac_w);

#endif
