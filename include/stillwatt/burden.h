/// What the parts of a van weigh, cost and cover, and what the vehicle bears.
#ifndef STILLWATT_BURDEN_H
#define STILLWATT_BURDEN_H

#include "stillwatt/plan.h"

/// Sums over the parts of a van, with all their units. What a part does not tell counts as nothing.
typedef struct sw_burden {
    double mass_kg, price, labour_s;
    double front_kg, rear_kg; ///< on the axles, by the seats of the parts: front and rear whole, the rest by
                              ///< halves (assumption: it sits between the axles)
    double roof_m2;           ///< panels seated on the roof
    int parts, without_mass, without_price;
} sw_burden;

typedef enum sw_limit {
    SW_FITS,
    SW_OVER_PAYLOAD,
    SW_OVER_FRONT_AXLE,
    SW_OVER_REAR_AXLE,
    SW_OVER_ROOF
} sw_limit;

void sw_burden_of(const sw_van *van, sw_burden *out);

/// What one van costs and weighs more than another. Parts are held against those of the same place and name.
typedef struct sw_burden_change {
    double price, labour_s, mass_kg;
    int price_known, mass_known; ///< 0: a part that came, went or changed does not tell it
} sw_burden_change;

void sw_burden_between(const sw_van *before, const sw_van *after, sw_burden_change *out);

/// The first limit of the vehicle that its parts go over; SW_FITS where none is told.
sw_limit sw_burden_over(const sw_van *van);

#endif
