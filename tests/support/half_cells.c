#include "support/half_cells.h"

#include <math.h>

double positive_half_cell_v(double y)
{
    double e = 1.0 - y;
    return 3.4323 - 0.8428 * exp(-80.2493 * pow(e, 1.3198)) - 3.2474e-6 * exp(20.2645 * pow(e, 3.8003)) +
           3.2482e-6 * exp(20.2646 * pow(e, 3.7995));
}

double graphite_half_cell_v(double x)
{
    return 0.6379 + 0.5416 * exp(-305.5309 * x) + 0.044 * tanh(-(x - 0.1958) / 0.1088) -
           0.1978 * tanh((x - 1.0571) / 0.0854) - 0.6875 * tanh((x + 0.0117) / 0.0529) -
           0.0175 * tanh((x - 0.5692) / 0.0875);
}
