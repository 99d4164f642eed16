// Light on a tilted panel: the handbook's equation, the glass by angles, and a slow second computation.
// Published values: tests/published/incidence.txt, tilt.txt and modules.txt.
#include "support/checks.h"
#include "support/slow_perez.h"

#include "stillwatt/plane.h"

#include <math.h>
#include <stdint.h>
#include <stdio.h>

static const double degree = 0.017453292519943295;

// A fixed sequence of numbers in [0, 1): the same cases at every run.
static double next_share(uint64_t *state)
{
    *state = *state * 6364136223846793005u + 1442695040888963407u;
    return (double)(*state >> 11) / 9007199254740992.0;
}

static double between(uint64_t *state, double low, double high)
{
    return low + (high - low) * next_share(state);
}

// The sun by latitude, declination and hour angle (whole seconds of time, so quarters of a minute of arc)
// instead of a date.
static sw_sun sun_of(double lat_deg, double declination_deg, double hour_angle_deg)
{
    sw_sun_clock clock = {.declination_rad = declination_deg * degree, .radius_au = 1.0};
    sw_sun sun;
    sw_sun_from(&clock, 43200 + llround(240.0 * hour_angle_deg), lat_deg, 0.0, &sun);
    return sun;
}

static sw_plane plane_of(double tilt_deg, double azimuth_deg)
{
    sw_plane plane;
    sw_plane_prepare(&(sw_tilt){tilt_deg, azimuth_deg}, &plane);
    return plane;
}

// Duffie & Beckman eq. 1.6.2 with its five terms (surface azimuth from south, west positive), in long double.
static long double five_terms(long double lat, long double d, long double hour, long double tilt,
                              long double azimuth)
{
    return sinl(d) * sinl(lat) * cosl(tilt) - sinl(d) * cosl(lat) * sinl(tilt) * cosl(azimuth) +
           cosl(d) * cosl(lat) * cosl(tilt) * cosl(hour) +
           cosl(d) * sinl(lat) * sinl(tilt) * cosl(azimuth) * cosl(hour) +
           cosl(d) * sinl(tilt) * sinl(azimuth) * sinl(hour);
}

// 1e-14: each side is a sum of five products of rounded cosines of at most 1.
START_TEST(incidence_is_the_five_terms_of_the_handbook)
{
    uint64_t state = 162;
    for (int i = 0; i < 2000; i++) {
        double lat_deg = between(&state, -90.0, 90.0), declination_deg = between(&state, -23.45, 23.45);
        double hour_deg = floor(between(&state, -180.0, 180.0) * 240.0) / 240.0;
        double tilt_deg = between(&state, 0.0, 180.0), azimuth_deg = between(&state, -360.0, 720.0);
        sw_sun sun = sun_of(lat_deg, declination_deg, hour_deg);
        sw_plane plane = plane_of(tilt_deg, azimuth_deg);
        long double slow = five_terms(lat_deg * (long double)degree, declination_deg * (long double)degree,
                                      hour_deg * (long double)degree, tilt_deg * (long double)degree,
                                      (azimuth_deg - 180.0L) * (long double)degree);
        ck_assert_double_eq_tol(sw_cos_incidence(&plane, &sun), (double)slow, 1e-14);
    }
}
END_TEST

START_TEST(the_glass_without_angles_is_the_glass_with_angles)
{
    for (int i = 0; i < 900; i++) {
        double incidence_deg = i / 10.0;
        // At grazing light the modifier rises by 6.0 for a unit of cosine, which is rounded to 1e-16.
        ck_assert_double_eq_tol(sw_glass_modifier(cos(incidence_deg * degree)),
                                (double)slow_glass(incidence_deg), 2e-15);
    }
    ck_assert_double_eq(sw_glass_modifier(1.0), 1.0);
    ck_assert_double_eq(sw_glass_modifier(1.0 + 1e-15), 1.0); // a rounded cosine is no error
    ck_assert_double_eq(sw_glass_modifier(0.0), 0.0);
    ck_assert_double_eq(sw_glass_modifier(-0.5), 0.0);
}
END_TEST

START_TEST(a_panel_that_faces_down_sees_the_ground_as_its_mirror_image_sees_the_sky)
{
    for (int tilt_deg = 91; tilt_deg <= 180; tilt_deg++) {
        sw_plane down = plane_of(tilt_deg, 0.0), up = plane_of(180.0 - tilt_deg, 0.0);
        ck_assert_double_eq(down.sky_modifier, up.ground_modifier);
        ck_assert_double_eq(down.ground_modifier, up.sky_modifier);
        ck_assert_double_eq_tol(down.ground_view, up.sky_view, 1e-15);
    }
}
END_TEST

typedef struct scene {
    sw_sun_clock clock;
    sw_sun sun;
    sw_plane plane;
    sw_light light;
    double albedo;
    slow_perez_case slow;
} scene;

// Any sun, any plane, and light of every clearness: beam and sky light are drawn apart, over wide ranges.
static scene random_scene(uint64_t *state)
{
    scene s;
    double tilt_deg = between(state, 0.0, 90.0), azimuth_deg = between(state, 0.0, 360.0);
    int64_t utc_s = (int64_t)between(state, 0.0, 4e9);
    ck_assert_int_eq(sw_sun_clock_at(utc_s, &s.clock), SW_OK);
    sw_sun_from(&s.clock, utc_s, between(state, -66.0, 66.0), between(state, -180.0, 180.0), &s.sun);
    s.plane = plane_of(tilt_deg, azimuth_deg);
    s.albedo = next_share(state);
    s.light.dni_w_m2 = fmax(0.0, between(state, -200.0, 1100.0));
    s.light.dhi_w_m2 = 600.0 * pow(next_share(state), 3.0);
    s.light.ghi_w_m2 = s.light.dhi_w_m2 + s.light.dni_w_m2 * fmax(0.0, s.sun.cos_zenith);
    s.slow = (slow_perez_case){.zenith = s.sun.zenith_deg,
                               .apparent_zenith = s.sun.apparent_zenith_deg,
                               .sun_azimuth = s.sun.azimuth_deg,
                               .extraterrestrial = s.clock.extraterrestrial_w_m2,
                               .tilt = tilt_deg,
                               .plane_azimuth = azimuth_deg,
                               .albedo = s.albedo,
                               .ghi = s.light.ghi_w_m2,
                               .dni = s.light.dni_w_m2,
                               .dhi = s.light.dhi_w_m2};
    return s;
}

static sw_plane_light light_on(const scene *s, double beam_open, double sky_open)
{
    sw_plane_sun view;
    sw_plane_light on;
    sw_plane_sun_of(&s->plane, &s->clock, &s->sun, &view);
    view.beam_open = beam_open;
    view.sky_open = sky_open;
    sw_plane_light_of(&s->plane, &view, &s->light, s->albedo, &on);
    return on;
}

/* Sky light of next to nothing beside a full beam: the ratio that Perez's clearness is made of leaves the
 * doubles. */
START_TEST(a_sky_of_next_to_nothing_gives_next_to_nothing)
{
    uint64_t state = 7;
    scene s = random_scene(&state);
    s.light = (sw_light){.ghi_w_m2 = 500.0, .dni_w_m2 = 1000.0, .dhi_w_m2 = 5e-324};
    sw_plane_light on = light_on(&s, 1.0, 1.0);
    ck_assert(on.sky_w_m2 >= 0.0 && on.sky_w_m2 < 1e-300);
    ck_assert(isfinite(on.effective_w_m2));
}
END_TEST

// 1e-12 of the light that went in: the terms cancel against each other, so that is the scale of their
// rounding.
START_TEST(any_light_on_any_plane_is_what_the_slow_computation_says)
{
    uint64_t state = 1990;
    for (int i = 0; i < 20000; i++) {
        scene s = random_scene(&state);
        sw_plane_light on = light_on(&s, 1.0, 1.0);
        slow_perez_light slow = slow_perez(&s.slow);
        double scale = s.light.ghi_w_m2 + s.light.dni_w_m2 + s.light.dhi_w_m2;
        ck_assert_double_eq_tol(on.beam_w_m2, (double)slow.beam, 1e-12 * scale);
        ck_assert_double_eq_tol(on.ground_w_m2, (double)slow.ground, 1e-12 * scale);
        ck_assert_double_eq_tol(on.incident_w_m2, (double)slow.incident, 1e-12 * scale);
        ck_assert_double_eq_tol(on.effective_w_m2, (double)slow.effective, 1e-12 * scale);
    }
}
END_TEST

START_TEST(no_light_is_ever_negative_and_glass_never_adds_to_it)
{
    uint64_t state = 11;
    for (int i = 0; i < 20000; i++) {
        scene s = random_scene(&state);
        sw_plane_light on = light_on(&s, next_share(&state), next_share(&state));
        ck_assert_double_ge(on.beam_w_m2, 0.0);
        ck_assert_double_ge(on.sky_w_m2, 0.0);
        ck_assert_double_ge(on.ground_w_m2, 0.0);
        ck_assert_double_ge(on.effective_w_m2, 0.0);
        ck_assert_double_le(on.effective_w_m2, on.incident_w_m2);
        ck_assert_double_eq_tol(on.incident_w_m2, on.beam_w_m2 + on.sky_w_m2 + on.ground_w_m2,
                                1e-15 * on.incident_w_m2);
    }
}
END_TEST

// Flat: a = cos Z and b = cos Z, so the circumsolar part and the isotropic part are the sky light again.
START_TEST(a_flat_panel_has_the_light_of_the_ground_it_lies_on)
{
    uint64_t state = 5;
    for (int i = 0; i < 2000; i++) {
        scene s = random_scene(&state);
        s.plane = plane_of(0.0, 123.0);
        if (s.sun.zenith_deg > 85.0) // from there on b is cos 85 deg and the model loses light by intent
            continue;
        sw_plane_light on = light_on(&s, 1.0, 1.0);
        ck_assert_double_eq_tol(on.incident_w_m2, s.light.ghi_w_m2, 1e-13 * s.light.ghi_w_m2 + 1e-300);
        ck_assert_double_eq(on.ground_w_m2, 0.0);
    }
}
END_TEST

static scene noon_scene(double tilt_deg, double azimuth_deg, sw_light light)
{
    scene s = {.sun = sun_of(40.0, 0.0, 0.0),
               .plane = plane_of(tilt_deg, azimuth_deg),
               .light = light,
               .albedo = 0.2};
    s.clock = (sw_sun_clock){.radius_au = 1.0, .extraterrestrial_w_m2 = 1361.1};
    return s;
}

START_TEST(without_sky_light_only_beam_and_ground_are_left)
{
    const double none[] = {0.0, -3.0};
    for (size_t i = 0; i < sizeof none / sizeof none[0]; i++) {
        scene s = noon_scene(40.0, 180.0, (sw_light){600.0, 800.0, none[i]});
        sw_plane_light on = light_on(&s, 1.0, 1.0);
        ck_assert_double_eq(on.sky_w_m2, 0.0);
        ck_assert_double_eq_tol(on.beam_w_m2, 800.0, 1e-9); // the panel faces the sun
        ck_assert_double_eq_tol(on.ground_w_m2, 600.0 * 0.2 * (1.0 - cos(40.0 * degree)) / 2.0, 1e-12);
    }
}
END_TEST

START_TEST(with_the_sun_down_the_sky_is_isotropic_and_there_is_no_beam)
{
    scene s = noon_scene(60.0, 90.0, (sw_light){4.0, 50.0, 4.0});
    s.sun = sun_of(40.0, 0.0, -90.5); // half a degree under the horizon, in front of the panel
    sw_plane_light on = light_on(&s, 1.0, 1.0);
    ck_assert_double_eq(on.beam_w_m2, 0.0);
    ck_assert_double_eq_tol(on.sky_w_m2, 4.0 * 0.75, 1e-15 * 4.0);
    ck_assert_double_eq_tol(on.effective_w_m2,
                            on.sky_w_m2 * s.plane.sky_modifier + on.ground_w_m2 * s.plane.ground_modifier,
                            1e-15);
}
END_TEST

START_TEST(negative_sky_light_counts_as_none_at_night_too)
{
    scene s = noon_scene(60.0, 90.0, (sw_light){0.0, 0.0, -3.0});
    s.sun = sun_of(40.0, 0.0, -120.0);
    ck_assert_double_eq(light_on(&s, 1.0, 1.0).incident_w_m2, 0.0);
}
END_TEST

START_TEST(a_sun_behind_the_panel_gives_no_beam_and_no_light_round_it)
{
    scene s = noon_scene(90.0, 0.0, (sw_light){700.0, 700.0, 160.0});
    sw_plane_light on = light_on(&s, 1.0, 1.0), blocked = light_on(&s, 0.0, 1.0);
    ck_assert_double_eq(on.beam_w_m2, 0.0);
    ck_assert_double_eq(on.sky_w_m2, blocked.sky_w_m2);
}
END_TEST

// A vanishing trace of sky light makes the clearness overflow: the last bin stands for it.
START_TEST(a_trace_of_sky_light_is_no_trouble)
{
    scene s = noon_scene(30.0, 180.0, (sw_light){800.0, 900.0, 5e-324});
    ck_assert_double_eq_tol(light_on(&s, 1.0, 1.0).sky_w_m2, 0.0, 1e-300);
}
END_TEST

// What a blocked horizon takes: the beam and the light round the sun by one share, the rest of the sky by the
// other.
START_TEST(shade_takes_its_share_of_each_part)
{
    uint64_t state = 77;
    for (int i = 0; i < 2000; i++) {
        scene s = random_scene(&state);
        slow_perez_light slow = slow_perez(&s.slow);
        if (slow.rest_of_sky < 0.0L)
            continue;
        double beam_open = next_share(&state), sky_open = next_share(&state);
        sw_plane_light on = light_on(&s, beam_open, sky_open);
        double scale = s.light.ghi_w_m2 + s.light.dni_w_m2 + s.light.dhi_w_m2;
        ck_assert_double_eq_tol(on.beam_w_m2, beam_open * (double)slow.beam, 1e-12 * scale);
        ck_assert_double_eq_tol(on.sky_w_m2,
                                beam_open * (double)slow.circumsolar + sky_open * (double)slow.rest_of_sky,
                                1e-12 * scale);
        ck_assert_double_eq_tol(on.ground_w_m2, (double)slow.ground, 1e-12 * scale);
    }
}
END_TEST

Suite *sw_suite(void)
{
    const TTest *tests[] = {
        incidence_is_the_five_terms_of_the_handbook,
        the_glass_without_angles_is_the_glass_with_angles,
        a_panel_that_faces_down_sees_the_ground_as_its_mirror_image_sees_the_sky,
        a_sky_of_next_to_nothing_gives_next_to_nothing,
        any_light_on_any_plane_is_what_the_slow_computation_says,
        no_light_is_ever_negative_and_glass_never_adds_to_it,
        a_flat_panel_has_the_light_of_the_ground_it_lies_on,
        without_sky_light_only_beam_and_ground_are_left,
        with_the_sun_down_the_sky_is_isotropic_and_there_is_no_beam,
        negative_sky_light_counts_as_none_at_night_too,
        a_sun_behind_the_panel_gives_no_beam_and_no_light_round_it,
        a_trace_of_sky_light_is_no_trouble,
        shade_takes_its_share_of_each_part,
        NULL,
    };
    return sw_suite_of("plane", tests, 30.0);
}
