// What codes allow on the mains.
#include "stillwatt/plan.h"

#define LOW_MAINS_V 150.0 // supplies of North America lie below

double sw_steady_share(double volts)
{
    return volts <= LOW_MAINS_V ? 0.8 : 1.0;
}
