// A second, plain and slow computation of the light on a tilted plane, for checks of the fast one.
#ifndef SW_TESTS_SUPPORT_SLOW_PEREZ_H
#define SW_TESTS_SUPPORT_SLOW_PEREZ_H

/// What the fast and the slow computation are both given. Angles in degrees, light in W/m2.
typedef struct slow_perez_case {
    long double zenith, apparent_zenith, sun_azimuth, extraterrestrial;
    long double tilt, plane_azimuth, albedo;
    long double ghi, dni, dhi;
} slow_perez_case;

typedef struct slow_perez_light {
    long double beam, circumsolar, rest_of_sky,
        ground; ///< circumsolar and rest as the model gives them, unlimited
    long double incident, effective;
} slow_perez_light;

slow_perez_light slow_perez(const slow_perez_case *c);

/// Glass of n 1.526, K 4 /m, 2 mm by the angles of Snell and Fresnel themselves, relative to normal
/// incidence.
long double slow_glass(long double incidence_deg);

#endif
