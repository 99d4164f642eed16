// Bent lines in columns: piecewise-linear curves as y0 + sum of bend_k max(0, x - knot_k), so that a lane
// needs no table look-up and no branch, and the integral is as simple as the value.
#ifndef SW_CORE_MARCH_TILE_H
#define SW_CORE_MARCH_TILE_H

#include "stillwatt/march.h"

/// Loops over the lanes of a tile; the trip count is constant so that the compiler vectorises.
#define EACH_LANE(l) for (int l = 0; l < SW_TILE; l++)

static inline double larger(double a, double b)
{
    return a > b ? a : b;
}

static inline double smaller(double a, double b)
{
    return a < b ? a : b;
}

static inline double between(double x, double low, double high)
{
    return larger(low, smaller(x, high));
}

#endif
