// Perez et al. 1990 with every term written out in long double and angles, as the paper and Duffie & Beckman
// print it.
#include "support/slow_perez.h"

#include <math.h>

static const long double degree = 0.01745329251994329576924L;

// Perez et al. 1990, Table 1: lower bound of the clearness, then F11 F12 F13 F21 F22 F23.
static const long double table_1[8][7] = {
    {1.000L, -0.008L, 0.588L, -0.062L, -0.060L, 0.072L, -0.022L},
    {1.065L, 0.130L, 0.683L, -0.151L, -0.019L, 0.066L, -0.029L},
    {1.230L, 0.330L, 0.487L, -0.221L, 0.055L, -0.064L, -0.026L},
    {1.500L, 0.568L, 0.187L, -0.295L, 0.109L, -0.152L, -0.014L},
    {1.950L, 0.873L, -0.392L, -0.362L, 0.226L, -0.462L, 0.001L},
    {2.800L, 1.132L, -1.237L, -0.412L, 0.288L, -0.823L, 0.056L},
    {4.500L, 1.060L, -1.600L, -0.359L, 0.264L, -1.127L, 0.131L},
    {6.200L, 0.678L, -0.327L, -0.250L, 0.156L, -1.377L, 0.251L},
};

// Transmitted share of what is not absorbed, by the angles: r = sin^2(t - i)/sin^2(t + i) and the same in
// tangents.
static long double transmittance(long double incidence)
{
    long double inside = asinl(sinl(incidence) / 1.526L);
    long double minus = inside - incidence, plus = inside + incidence;
    long double across = powl(sinl(minus) / sinl(plus), 2), along = powl(tanl(minus) / tanl(plus), 2);
    return expl(-4.0L * 0.002L / cosl(inside)) * (1.0L - (across + along) / 2.0L);
}

long double slow_glass(long double incidence_deg)
{
    if (incidence_deg >= 90.0L)
        return 0.0L;
    long double normal = expl(-4.0L * 0.002L) * (1.0L - powl(0.526L / 2.526L, 2));
    // At normal incidence the ratio of sines is 0/0: there the limit is taken.
    return incidence_deg < 1e-6L ? 1.0L : transmittance(incidence_deg * degree) / normal;
}

static long double slow_air_mass(long double zenith_deg)
{
    long double z = zenith_deg > 90.0L ? 90.0L : zenith_deg;
    return 1.0L / (cosl(z * degree) + 0.50572L * powl(96.07995L - z, -1.6364L));
}

static void slow_sky(const slow_perez_case *c, long double cos_incidence, slow_perez_light *out)
{
    long double z = c->zenith * degree, view = (1.0L + cosl(c->tilt * degree)) / 2.0L;
    out->circumsolar = out->rest_of_sky = 0.0L;
    if (c->dhi <= 0.0L)
        return;
    if (c->zenith >= 90.0L) {
        out->rest_of_sky = c->dhi * view;
        return;
    }
    long double eps = ((c->dhi + c->dni) / c->dhi + 1.041L * z * z * z) / (1.0L + 1.041L * z * z * z);
    long double delta = slow_air_mass(c->apparent_zenith) * c->dhi / c->extraterrestrial;
    const long double *f = table_1[0];
    for (int bin = 1; bin < 8; bin++)
        if (eps >= table_1[bin][0])
            f = table_1[bin];
    long double f1 = fmaxl(0.0L, f[1] + f[2] * delta + f[3] * z), f2 = f[4] + f[5] * delta + f[6] * z;
    long double a = fmaxl(0.0L, cos_incidence), b = fmaxl(cosl(85.0L * degree), cosl(z));
    out->circumsolar = c->dhi * f1 * a / b;
    out->rest_of_sky = c->dhi * ((1.0L - f1) * view + f2 * sinl(c->tilt * degree));
}

// Effective angles of Brandemuehl & Beckman 1980; the fits end at a tilt of 90 deg.
static long double sky_glass(long double tilt)
{
    return slow_glass(59.7L - 0.1388L * tilt + 0.001497L * tilt * tilt);
}

static long double ground_glass(long double tilt)
{
    return slow_glass(90.0L - 0.5788L * tilt + 0.002693L * tilt * tilt);
}

slow_perez_light slow_perez(const slow_perez_case *c)
{
    slow_perez_light out;
    long double z = c->zenith * degree, tilt = c->tilt * degree;
    long double cos_incidence =
        cosl(z) * cosl(tilt) + sinl(z) * sinl(tilt) * cosl((c->sun_azimuth - c->plane_azimuth) * degree);
    int lit = c->zenith < 90.0L && cos_incidence > 0.0L;
    long double beam_glass = lit ? slow_glass(acosl(fminl(1.0L, cos_incidence)) / degree) : 0.0L;
    slow_sky(c, cos_incidence, &out);
    out.beam = lit ? c->dni * cos_incidence : 0.0L;
    out.ground = c->ghi * c->albedo * (1.0L - cosl(tilt)) / 2.0L;

    // What a dark horizon band takes beyond the rest of the sky, it takes from the light round the sun.
    long double around = out.circumsolar + fminl(0.0L, out.rest_of_sky), rest = fmaxl(0.0L, out.rest_of_sky);
    around = fmaxl(0.0L, around);
    out.incident = out.beam + around + rest + out.ground;
    out.effective =
        (out.beam + around) * beam_glass + rest * sky_glass(c->tilt) + out.ground * ground_glass(c->tilt);
    return out;
}
