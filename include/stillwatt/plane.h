/// Light on a tilted panel: beam, sky and ground, and what passes its glass.
#ifndef STILLWATT_PLANE_H
#define STILLWATT_PLANE_H

#include "stillwatt/sky.h"

/// How a panel stands.
typedef struct sw_tilt {
    double tilt_deg;    ///< from the flat, [0, 180]
    double azimuth_deg; ///< the way it faces, clockwise from north; without meaning at tilt 0
} sw_tilt;

/// Constants of one tilt, worked out once and used at every moment.
typedef struct sw_plane {
    double cos_tilt, sin_tilt;            ///< cos_tilt is also the upward part of the plane's normal
    double normal_east, normal_north;     ///< its level parts
    double sky_view, ground_view;         ///< (1 + cos)/2, (1 - cos)/2
    double sky_modifier, ground_modifier; ///< glass, at the effective angles of [brandemuehl-beckman-1980]
} sw_plane;

/// What the place of the sun means for one plane, whatever the light: worked out once per moment, used for
/// many lights. The two `open` shares are 1 as they come from sw_plane_sun_of; a horizon or a shade lowers
/// them.
typedef struct sw_plane_sun {
    double cos_incidence; ///< on the front of the plane, never negative; 0 with the sun down
    double beam_modifier; ///< of the glass at that incidence
    double beam_open;     ///< share of the beam and of the light round the sun that nothing blocks, [0, 1]
    double sky_open;      ///< share of the rest of the sky that nothing blocks, [0, 1]
    double circumsolar_ratio;   ///< a/b of [perez-1990]
    double zenith_rad;          ///< of the sun, unrefracted
    double zenith_term;         ///< 1.041 zenith^3 of [perez-1990]
    double brightness_per_w_m2; ///< air mass over extraterrestrial: sky brightness of 1 W/m2 of sky light
    int sun_up;                 ///< zenith below 90 deg; otherwise the sky is isotropic and there is no beam
} sw_plane_sun;

/// Light on the plane, W/m2.
typedef struct sw_plane_light {
    double beam_w_m2, sky_w_m2, ground_w_m2; ///< before the glass; sky with the light round the sun
    double incident_w_m2;                    ///< their sum: what warms the cell
    double effective_w_m2;                   ///< after the incidence modifier of the glass
} sw_plane_light;

/// @param tilt tilt_deg in [0, 180]; any finite azimuth
void sw_plane_prepare(const sw_tilt *tilt, sw_plane *out);

/// Cosine of the angle between the sun and the plane's normal [duffie-beckman] eq. 1.6.2; may be negative.
double sw_cos_incidence(const sw_plane *plane, const sw_sun *sun);

/// Share that passes the glass at an angle of incidence: Fresnel and absorption, n 1.526, K 4 /m, 2 mm
/// [duffie-beckman] 5.1-5.3, over that at normal incidence; 0 at and beyond 90 deg.
double sw_glass_modifier(double cos_incidence);

/// The plane's view of the sun at a moment, with nothing in the way.
/// @param clock, sun of the same moment
void sw_plane_sun_of(const sw_plane *plane, const sw_sun_clock *clock, const sw_sun *sun, sw_plane_sun *out);

/// Light on a plane; sky light by [perez-1990] (8 bins). Edges: dhi <= 0 no sky; zenith >= 90 isotropic and
/// no beam; dni 0 clearness 1; sky >= 0; the circumsolar part takes the beam's modifier and the beam's
/// openness. A horizon band darker than the sky above it takes from the circumsolar part what the rest of the
/// sky cannot give.
/// @param plane, sun that belong together; albedo of the ground, [0, 1]; ghi and dni below 0 count as 0
void sw_plane_light_of(const sw_plane *plane, const sw_plane_sun *sun, const sw_light *light, double albedo,
                       sw_plane_light *out);

#endif
