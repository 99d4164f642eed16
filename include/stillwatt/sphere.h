/// Distances on the Earth, taken as a sphere.
#ifndef STILLWATT_SPHERE_H
#define STILLWATT_SPHERE_H

/// Mean radius R1 of the International Union of Geodesy and Geophysics [iugg-1980], m.
#define SW_EARTH_RADIUS_M 6371008.8

/// Distance on the great circle [m] and, unless NULL, the bearing at its start [deg, clockwise from north].
/// Any finite positions in degrees; the bearing at a pole or between equal places is without meaning.
double sw_great_circle_m(double lat1_deg, double lon1_deg, double lat2_deg, double lon2_deg,
                         double *bearing_deg);

#endif
