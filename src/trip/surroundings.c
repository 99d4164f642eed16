// What stands between the sky and the panels of a parked van: the skyline of the place, trees by the hour.
#include "trip/surroundings.h"

#include "trip/schedule.h"

#include <math.h>

#define PI    3.14159265358979323846
#define RAD   (PI / 180.0)
#define LOOKS 72 // directions that the sky is summed over: every 5 deg

double sw_skyline_height_deg(const sw_place *place, double toward_deg)
{
    int points = place->skyline_points, after = 0;
    const sw_skyline_point *point = place->skyline;
    if (points == 0)
        return 0.0;
    while (after < points && point[after].toward_deg <= toward_deg)
        after++;
    const sw_skyline_point *a = &point[(after + points - 1) % points], *b = &point[after % points];
    double width = fmod(b->toward_deg - a->toward_deg + 360.0, 360.0);
    double into = fmod(toward_deg - a->toward_deg + 360.0, 360.0);
    return width > 0.0 ? a->height_deg + (b->height_deg - a->height_deg) * into / width : a->height_deg;
}

int sw_skyline_shows_sun(const sw_place *place, const sw_sun *sun)
{
    return place->skyline_points == 0 ||
           90.0 - sun->apparent_zenith_deg > sw_skyline_height_deg(place, sun->azimuth_deg);
}

/* Light from the sky of one direction, from a height up, on a plane: the integral over the height e of
   (upward sin e + outward cos e) cos e, from where the plane begins to see it (own derivation). */
static double view_above(double upward, double outward, double height_rad)
{
    double edge = outward >= 0.0 ? 0.0 : atan2(-outward, upward);
    double low = fmax(height_rad, edge);
    return 0.5 * upward * cos(low) * cos(low) + 0.5 * outward * (PI / 2.0 - low - sin(low) * cos(low));
}

double sw_skyline_sky_open(const sw_place *place, const sw_plane *plane)
{
    double open = 0.0, whole = 0.0;
    if (place->skyline_points == 0)
        return 1.0;
    for (int i = 0; i < LOOKS; i++) {
        double toward_deg = (i + 0.5) * 360.0 / LOOKS;
        double outward =
            plane->normal_east * sin(toward_deg * RAD) + plane->normal_north * cos(toward_deg * RAD);
        open += view_above(plane->cos_tilt, outward, sw_skyline_height_deg(place, toward_deg) * RAD);
        whole += view_above(plane->cos_tilt, outward, 0.0);
    }
    return open / whole;
}

sw_shade sw_shade_at(const sw_leg *leg, int local_min)
{
    sw_shade most = {NULL, 0.0, 0.0};
    for (int i = 0; i < leg->shades; i++)
        if (sw_windows_hold(leg->shade[i].hours, local_min)) {
            most.beam = fmax(most.beam, leg->shade[i].beam);
            most.sky = fmax(most.sky, leg->shade[i].sky);
        }
    return most;
}

double sw_shade_beam_open(double share, int in_series)
{
    return fmax(0.0, 1.0 - share * in_series);
}
