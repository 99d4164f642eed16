// Distances on a sphere.
#include "stillwatt/sphere.h"

#include <math.h>
#include <stddef.h>

// (definition)
#define PI  3.14159265358979323846
#define RAD (PI / 180.0)

/* The arc whose tangent is |a x b| over a . b for unit vectors a and b: exact near 0 and near the antipode.
   (own derivation) */
double sw_great_circle_m(double lat1_deg, double lon1_deg, double lat2_deg, double lon2_deg,
                         double *bearing_deg)
{
    double lat1 = lat1_deg * RAD, lat2 = lat2_deg * RAD, across = (lon2_deg - lon1_deg) * RAD;
    double y = sin(across) * cos(lat2);
    double x = cos(lat1) * sin(lat2) - sin(lat1) * cos(lat2) * cos(across);
    double z = sin(lat1) * sin(lat2) + cos(lat1) * cos(lat2) * cos(across);
    if (bearing_deg != NULL)
        *bearing_deg = fmod(atan2(y, x) / RAD + 360.0, 360.0);
    return SW_EARTH_RADIUS_M * atan2(hypot(x, y), z);
}
