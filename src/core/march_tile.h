// Bent lines in columns: piecewise-linear curves as y0 + sum of bend_k max(0, x - knot_k), so that a lane
// needs no table look-up and no branch, and the integral is as simple as the value.
#ifndef SW_CORE_MARCH_TILE_H
#define SW_CORE_MARCH_TILE_H

#include "stillwatt/march.h"

/// Loops over the lanes of a tile. No lane of a column reads another's, whatever the pointers: the compiler
/// is told so and vectorises without looking for overlaps. A sum over lanes needs an ordinary loop.
#define EACH_LANE(l) _Pragma("omp simd") for (int l = 0; l < SW_TILE; l++)

/// Whether any lane of a column is not zero.
static inline int any_lane(const sw_column column)
{
    double sum = 0.0;
    for (int l = 0; l < SW_TILE; l++)
        sum += column[l] != 0.0;
    return sum != 0.0;
}

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
