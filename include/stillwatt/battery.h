/// What a battery chemistry is like, as short tables. The march turns them into columns; see march.h.
#ifndef STILLWATT_BATTERY_H
#define STILLWATT_BATTERY_H

typedef enum sw_chemistry { SW_LIFEPO4, SW_AGM, SW_CHEMISTRY_COUNT } sw_chemistry;

/// After the cut-out the management system comes back by itself, when a charger is at it, or when somebody
/// presses its button.
typedef enum sw_comes_back { SW_BACK_BY_ITSELF, SW_BACK_BY_CHARGER, SW_BACK_BY_HAND } sw_comes_back;

#define SW_CURVE_POINTS 12

/// A line through points, straight between them and level outside. x rises; count >= 1.
typedef struct sw_curve {
    int count;
    double x[SW_CURVE_POINTS];
    double y[SW_CURVE_POINTS];
} sw_curve;

/// Value of a curve; level beyond its ends.
double sw_curve_at(const sw_curve *curve, double x);

/// One chemistry. Voltages are those of a nominal 12 V unit (four LiFePO4 cells, six lead-acid cells) at 25
/// degC.
typedef struct sw_chemistry_data {
    const char *word;           ///< as files write it
    sw_curve open_circuit_v;    ///< against state of charge 0..1
    sw_curve charge_efficiency; ///< coulombic, against state of charge
    sw_curve capacity_share;    ///< capacity that can be reached, against degC; 1 at 25 degC
    sw_curve resistance_ratio;  ///< against degC; 1 at 25 degC
    double absorption_v,
        absorption_v_per_k;      ///< charging voltage at 25 degC, and its change per K of the battery
    double cut_out_v;            ///< where the battery's own protection (or the user's care) ends discharge
    double restart_v;            ///< where it comes back after that: typical, from memory
    double resistance_ohm_100ah; ///< polarisation included, of a 12 V 100 Ah unit; scales with 100/capacity
    double charge_c_rate, discharge_c_rate; ///< usual limits, A per Ah
    double acceptance_h; ///< current accepted is the missing charge over this time; 0: no such limit
    double peukert;      ///< exponent, 20 h rate; 1: none
    double cold_stop_c, cold_full_c; ///< no charging at or below; full current from
    double hot_full_c, hot_stop_c;   ///< full current up to; no charging at or above
    double discharge_stop_c;         ///< no discharge at or below
    double self_discharge_month;     ///< share of the charge lost in 30 days
    double management_w;             ///< what its management takes, of the whole bank: 0, it has none
    double reserve;                  ///< usual reserve line, state of charge
    double mass_kg_100ah;            ///< of a 12 V 100 Ah unit, typical
} sw_chemistry_data;

/// @return the data of a chemistry; static
const sw_chemistry_data *sw_chemistry_of(sw_chemistry chemistry);

/// Peukert: share of the rated capacity that can be taken at `ratio` = current over the 20 h current,
/// ratio^(1-k); 1 at and below ratio 1.
double sw_peukert_share(double ratio, double exponent);

#endif
