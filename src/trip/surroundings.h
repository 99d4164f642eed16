// What stands between the sky and the panels of a parked van: the skyline of the place, trees by the hour.
#ifndef SW_TRIP_SURROUNDINGS_H
#define SW_TRIP_SURROUNDINGS_H

#include "stillwatt/plan.h"
#include "stillwatt/plane.h"
#include "stillwatt/sun.h"

/// Height of the skyline in a direction [deg]: straight lines between its points, round the circle.
double sw_skyline_height_deg(const sw_place *place, double toward_deg);

/// Whether the middle of the sun stands over the skyline.
int sw_skyline_shows_sun(const sw_place *place, const sw_sun *sun);

/// Share of the sky that a plane sees over the skyline, of what it would see over a level horizon, for a sky
/// that is alike everywhere.
/// @param plane of a tilt of at most 90 deg
double sw_skyline_sky_open(const sw_place *place, const sw_plane *plane);

/// What trees take at a minute of the local day; of several shades at once the most.
sw_shade sw_shade_at(const sw_leg *leg, int local_min);

/// Share of the beam that is left to strings of so many panels in series. The shade lies on one panel of a
/// string first, and a string carries the current of the panel that is lit least (common practice, no
/// source: by-pass diodes save some of it).
double sw_shade_beam_open(double share, int in_series);

#endif
