// A month of an average sky on a tilted plane, from monthly means on the flat, by the way a trip goes.
#ifndef SW_TESTS_SUPPORT_TILTED_MONTH_H
#define SW_TESTS_SUPPORT_TILTED_MONTH_H

typedef struct tilted_month {
    double lat_deg, lon_deg, elevation_m;
    double flat_kwh_m2_day[12]; ///< daily means of the months
    double tilt_deg, albedo;    ///< facing the equator's side of the northern hemisphere: south
    int month;                  ///< 1 to 12, of 2026
} tilted_month;

/// Mean daily light on the plane [kWh/m2], before the glass.
double tilted_month_kwh_m2_day(const tilted_month *of);

#endif
