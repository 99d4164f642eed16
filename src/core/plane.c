// Light on a tilted panel. What depends on the sun's place alone is worked out apart from what depends on the
// light, because a moment is often evaluated for many skies.
#include "stillwatt/plane.h"

#include <math.h>

// (definition)
#define RAD_PER_DEG 0.017453292519943295
#define PEREZ_BINS  8

/* [perez-1990] the least cosine of the zenith that light round the sun is divided by */
static const double cos_85_deg = 0.087155742747658174;

/* [brandemuehl-beckman-1980] Angle at which a beam passes the glass as the whole sky or the whole ground
 * does. */
static double sky_angle_deg(double tilt_deg)
{
    return 59.7 - 0.1388 * tilt_deg + 0.001497 * tilt_deg * tilt_deg;
}

/* [brandemuehl-beckman-1980] */
static double ground_angle_deg(double tilt_deg)
{
    return 90.0 - 0.5788 * tilt_deg + 0.002693 * tilt_deg * tilt_deg;
}

/* Views of sky and ground: the isotropic sky of [duffie-beckman] eq. 2.15.1; glass:
 * [brandemuehl-beckman-1980]. */
void sw_plane_prepare(const sw_tilt *tilt, sw_plane *out)
{
    double tilt_deg = tilt->tilt_deg;
    double azimuth_rad = tilt->azimuth_deg * RAD_PER_DEG;
    // The fits end at 90 deg; a panel that faces down sees the ground as its mirror image sees the sky.
    int faces_down = tilt_deg > 90.0;
    double sky_deg = faces_down ? ground_angle_deg(180.0 - tilt_deg) : sky_angle_deg(tilt_deg);
    double ground_deg = faces_down ? sky_angle_deg(180.0 - tilt_deg) : ground_angle_deg(tilt_deg);

    out->cos_tilt = cos(tilt_deg * RAD_PER_DEG);
    out->sin_tilt = sin(tilt_deg * RAD_PER_DEG);
    out->normal_east = out->sin_tilt * sin(azimuth_rad);
    out->normal_north = out->sin_tilt * cos(azimuth_rad);
    out->sky_view = (1.0 + out->cos_tilt) / 2.0;
    out->ground_view = (1.0 - out->cos_tilt) / 2.0;
    out->sky_modifier = sw_glass_modifier(cos(sky_deg * RAD_PER_DEG));
    out->ground_modifier = sw_glass_modifier(cos(ground_deg * RAD_PER_DEG));
}

/* [duffie-beckman] eq. 1.6.2, written as the product of two unit vectors. */
double sw_cos_incidence(const sw_plane *plane, const sw_sun *sun)
{
    return plane->cos_tilt * sun->cos_zenith + plane->normal_east * sun->east +
           plane->normal_north * sun->north;
}

/* [duffie-beckman] eqs. 5.1.1-5.1.4 and 5.2.2: Snell's law gives the cosine inside the glass, and with both
   cosines the reflections of the two polarisations need no angle. */
double sw_glass_modifier(double cos_incidence)
{
    const double n = 1.526, absorption = 4.0 * 0.002;
    const double normal_reflection = ((n - 1.0) / (n + 1.0)) * ((n - 1.0) / (n + 1.0));
    double outside = fmax(0.0, cos_incidence); // from behind nothing passes, as along the glass
    double inside = sqrt(1.0 - (1.0 - outside * outside) / (n * n));
    double across = (outside - n * inside) / (outside + n * inside);
    double along = (n * outside - inside) / (n * outside + inside);
    double passed = 1.0 - (across * across + along * along) / 2.0;
    return passed / (1.0 - normal_reflection) * exp(absorption * (1.0 - 1.0 / inside));
}

/* Quantities of [perez-1990]: a/b, the third power of the zenith angle, air mass over extraterrestrial. */
void sw_plane_sun_of(const sw_plane *plane, const sw_sun_clock *clock, const sw_sun *sun, sw_plane_sun *out)
{
    out->sun_up = sun->cos_zenith > 0.0;
    out->cos_incidence = out->sun_up ? fmax(0.0, sw_cos_incidence(plane, sun)) : 0.0;
    out->beam_modifier = sw_glass_modifier(out->cos_incidence);
    out->beam_open = 1.0;
    out->sky_open = 1.0;
    out->circumsolar_ratio = out->cos_incidence / fmax(cos_85_deg, sun->cos_zenith);
    out->zenith_rad = sun->zenith_deg * RAD_PER_DEG;
    out->zenith_term = 1.041 * out->zenith_rad * out->zenith_rad * out->zenith_rad;
    out->brightness_per_w_m2 = sw_air_mass(sun->apparent_zenith_deg) / clock->extraterrestrial_w_m2;
}

/* [perez-1990] Table 1: coefficients of the brightness round the sun (f1) and of the horizon (f2). */
static const struct {
    double clearness_from;
    double f11, f12, f13, f21, f22, f23;
} perez_bins[PEREZ_BINS] = {
    {-INFINITY, -0.008, 0.588, -0.062, -0.060, 0.072, -0.022},
    {1.065, 0.130, 0.683, -0.151, -0.019, 0.066, -0.029},
    {1.230, 0.330, 0.487, -0.221, 0.055, -0.064, -0.026},
    {1.500, 0.568, 0.187, -0.295, 0.109, -0.152, -0.014},
    {1.950, 0.873, -0.392, -0.362, 0.226, -0.462, 0.001},
    {2.800, 1.132, -1.237, -0.412, 0.288, -0.823, 0.056},
    {4.500, 1.060, -1.600, -0.359, 0.264, -1.127, 0.131},
    {6.200, 0.678, -0.327, -0.250, 0.156, -1.377, 0.251},
};

/* Sky light on the plane, apart by the way it goes through the glass. */
typedef struct sky_parts {
    double circumsolar_w_m2, rest_w_m2;
} sky_parts;

/* [perez-1990] f1 is not allowed below 0, as in the paper; f2 may be. */
static sky_parts perez_sky(const sw_plane *plane, const sw_plane_sun *sun, double dni_w_m2, double dhi_w_m2)
{
    double clearness = ((dhi_w_m2 + dni_w_m2) / dhi_w_m2 + sun->zenith_term) / (1.0 + sun->zenith_term);
    double brightness = dhi_w_m2 * sun->brightness_per_w_m2;
    int bin = PEREZ_BINS - 1;
    while (clearness < perez_bins[bin].clearness_from)
        bin--;
    double f1 =
        perez_bins[bin].f11 + perez_bins[bin].f12 * brightness + perez_bins[bin].f13 * sun->zenith_rad;
    double f2 =
        perez_bins[bin].f21 + perez_bins[bin].f22 * brightness + perez_bins[bin].f23 * sun->zenith_rad;
    f1 = fmax(0.0, f1);
    return (sky_parts){
        .circumsolar_w_m2 = dhi_w_m2 * f1 * sun->circumsolar_ratio,
        .rest_w_m2 = dhi_w_m2 * ((1.0 - f1) * plane->sky_view + f2 * plane->sin_tilt),
    };
}

static sky_parts sky_on(const sw_plane *plane, const sw_plane_sun *sun, double dni_w_m2, double dhi_w_m2)
{
    if (!(dhi_w_m2 > 0.0))
        return (sky_parts){0.0, 0.0};
    if (!sun->sun_up)
        return (sky_parts){0.0, dhi_w_m2 * plane->sky_view * sun->sky_open};
    sky_parts sky = perez_sky(plane, sun, dni_w_m2, dhi_w_m2);
    sky.circumsolar_w_m2 *= sun->beam_open;
    sky.rest_w_m2 *= sun->sky_open;
    // What the horizon takes beyond the rest it takes from the light round the sun.
    sky.circumsolar_w_m2 = fmax(0.0, sky.circumsolar_w_m2 + fmin(0.0, sky.rest_w_m2));
    sky.rest_w_m2 = fmax(0.0, sky.rest_w_m2);
    return sky;
}

void sw_plane_light_of(const sw_plane *plane, const sw_plane_sun *sun, const sw_light *light, double albedo,
                       sw_plane_light *out)
{
    double dni_w_m2 = fmax(0.0, light->dni_w_m2);
    sky_parts sky = sky_on(plane, sun, dni_w_m2, light->dhi_w_m2);
    out->beam_w_m2 = dni_w_m2 * sun->cos_incidence * sun->beam_open;
    out->sky_w_m2 = sky.circumsolar_w_m2 + sky.rest_w_m2;
    out->ground_w_m2 = fmax(0.0, light->ghi_w_m2) * albedo * plane->ground_view;
    out->incident_w_m2 = out->beam_w_m2 + out->sky_w_m2 + out->ground_w_m2;
    out->effective_w_m2 = (out->beam_w_m2 + sky.circumsolar_w_m2) * sun->beam_modifier +
                          sky.rest_w_m2 * plane->sky_modifier + out->ground_w_m2 * plane->ground_modifier;
}
