#include "fuzz/support/march_checks.h"

#include "fuzz/support/fuzz.h"

#include <math.h>
#include <string.h>

// ---- a step ----

typedef struct watch {
    const sw_forcing *forcing;
    const sw_variant *variant; // one of each lane
    double step_h;
} watch;

static void check_balance(const sw_tile_flow *f, int l, double step_h, int32_t step)
{
    double in[] = {f->solar_used_w[l], f->alternator_used_w[l], f->shore_ac_w[l], f->charger_in_w[l]};
    double gone[] = {
        f->served_w[l],          f->inverter_loss_w[l], f->controller_self_w[l],
        f->resistance_loss_w[l], f->pad_w[l],           f->coulombic_loss_w[l],
        f->self_loss_w[l],       f->stored_w[l],        f->charger_in_w[l] - f->charger_out_w[l]};
    double sum = 0, all = 0;
    for (size_t i = 0; i < sizeof in / sizeof in[0]; i++)
        sum += in[i], all += fabs(in[i]);
    for (size_t i = 0; i < sizeof gone / sizeof gone[0]; i++)
        sum -= gone[i], all += fabs(gone[i]);
    FUZZ_ASSERT(fabs(sum) * step_h <= 1e-9 * all * step_h + 1e-9,
                "step %d, lane %d: %g W are missing of %g W", (int)step, l, sum, all);
}

// What cannot be negative is not, but for rounding.
static void check_signs(const sw_tile_flow *f, int l, int32_t step)
{
    const struct {
        const char *says;
        double value;
    } not_negative[] = {
        {"sun clipped", f->solar_clipped_w[l]},
        {"sun used", f->solar_used_w[l]},
        {"sun spilled", f->solar_offered_w[l] - f->solar_used_w[l]},
        {"alternator used", f->alternator_used_w[l]},
        {"alternator not used", f->alternator_offered_w[l] - f->alternator_used_w[l]},
        {"hookup to loads", f->shore_ac_w[l]},
        {"hookup to charger", f->charger_in_w[l]},
        {"charger's loss", f->charger_in_w[l] - f->charger_out_w[l]},
        {"served", f->served_w[l]},
        {"inverter's loss", f->inverter_loss_w[l]},
        {"controller's draw", f->controller_self_w[l]},
        {"heat", f->resistance_loss_w[l]},
        {"charging loss", f->coulombic_loss_w[l]},
        {"loss by itself", f->self_loss_w[l]},
        {"blocked by cold", f->cold_blocked_w[l]},
        {"blocked by heat", f->hot_blocked_w[l]},
        {"heater", f->pad_w[l]},
        {"alternator's overload", f->alternator_overload_a[l]},
        {"inverter's overload", f->inverter_overload_w[l]},
        {"hookup's overload", f->shore_overload_w[l]},
    };
    for (size_t i = 0; i < sizeof not_negative / sizeof not_negative[0]; i++)
        FUZZ_ASSERT(not_negative[i].value >= -1e-9 * (1 + f->throughput_w[l]), "step %d, lane %d: %s is %g W",
                    (int)step, l, not_negative[i].says, not_negative[i].value);
}

static void check_bounds(const watch *w, const sw_tile_flow *f, int l, int32_t step)
{
    const sw_variant *v = &w->variant[l];
    double current = f->battery_a[l];
    FUZZ_ASSERT(f->soc[l] >= 0 && f->soc[l] <= 1, "step %d, lane %d: a charge of %.17g", (int)step, l,
                f->soc[l]);
    FUZZ_ASSERT(f->soc_reachable[l] >= 0 && f->soc_reachable[l] <= f->soc[l] + 1e-9,
                "step %d, lane %d: %.17g can be reached of %.17g", (int)step, l, f->soc_reachable[l],
                f->soc[l]);
    FUZZ_ASSERT(-current <= v->charge_limit_a * (1 + 1e-9) + 1e-9,
                "step %d, lane %d: charged with %g of %g A", (int)step, l, -current, v->charge_limit_a);
    FUZZ_ASSERT(f->battery_v[l] > 0 && isfinite(f->battery_v[l]) && isfinite(f->battery_c[l]),
                "step %d, lane %d: %g V at %g C", (int)step, l, f->battery_v[l], f->battery_c[l]);
    FUZZ_ASSERT(f->shore_ac_w[l] + f->charger_in_w[l] <= w->forcing->pedestal_va[step] * (1 + 1e-9) + 1e-9,
                "step %d, lane %d: %g W from a hookup of %g VA", (int)step, l,
                f->shore_ac_w[l] + f->charger_in_w[l], w->forcing->pedestal_va[step]);
}

// A class is served or not, says why not, and what is served in all is the sum of the classes.
static void check_classes(const sw_tile_flow *f, int l, int32_t step)
{
    double served = 0;
    for (int bus = 0; bus < SW_BUS_COUNT; bus++)
        for (int held = 0; held < SW_HELD_COUNT; held++) {
            double asked = f->asked_w[bus][held][l], share = f->served_share[bus][held][l];
            double lost = f->lost[bus][held][l];
            FUZZ_ASSERT(asked >= 0 && isfinite(asked) && share >= 0 && share <= 1,
                        "step %d, lane %d: %g W are asked and %g of them served", (int)step, l, asked, share);
            FUZZ_ASSERT(lost >= SW_KEPT && lost <= SW_LOST_SAG &&
                            (asked == 0 || (lost == SW_KEPT) == (share == 1)),
                        "step %d, lane %d: served %g, why lost %g", (int)step, l, share, lost);
            served += asked * share;
        }
    FUZZ_ASSERT(fabs(served - f->served_w[l]) <= 1e-9 * (1 + served),
                "step %d, lane %d: %g W served, %g in all", (int)step, l, served, f->served_w[l]);
}

static void check_step(void *context, int32_t step, const sw_tile_flow *flow)
{
    const watch *w = context;
    for (int lane = 0; lane < SW_TILE; lane++) {
        check_balance(flow, lane, w->step_h, step);
        check_signs(flow, lane, step);
        check_bounds(w, flow, lane, step);
        check_classes(flow, lane, step);
    }
}

// ---- a march ----

// Above the air, facing the sun: 1361 W/m2 and 3.5 % in January. On the flat the equations of the clear sky
// give up to 5.09e-5 * 6000 + 0.868 of it at 6000 m, where they were not made for [ineichen-perez-2002].
#define MOST_ABOVE_W_M2 1410
#define MOST_FLAT_W_M2  (1.174 * MOST_ABOVE_W_M2)

// On a panel that faces a low sun: the beam, and the light round the sun. A weather file may give sky light
// of 0.1305 of the above (LOW_SUN of sky_record.c), times 11.5 for the sun's height of at least 5 deg and
// times f1 of the sky's model, which at the air mass of the horizon, 38, reaches 0.33 + 0.68 * 0.1305 * 38
// = 3.7.
#define MOST_PANEL_W_M2 (MOST_ABOVE_W_M2 * (1 + 0.1305 * 11.5 * 3.7))

static void check_forcing(const sw_forcing *f)
{
    FUZZ_ASSERT(f->steps >= 1, "a trip of no step");
    for (int32_t i = 0; i < f->steps; i++) {
        FUZZ_ASSERT(fabs(f->air_c[i]) < 150 && fabs(f->cabin_c[i]) < 150, "step %d: %g and %g C", (int)i,
                    f->air_c[i], f->cabin_c[i]);
        FUZZ_ASSERT(f->ghi_w_m2[i] >= 0 && f->ghi_w_m2[i] <= MOST_FLAT_W_M2, "step %d: light of %g W/m2",
                    (int)i, f->ghi_w_m2[i]);
        for (int a = 0; a < f->arrays; a++)
            FUZZ_ASSERT(f->yield[a][i] >= 0 && f->yield[a][i] <= MOST_PANEL_W_M2 / 600 &&
                            isfinite(f->cell_c[a][i]),
                        "step %d: array %d yields %g at %g C", (int)i, a, f->yield[a][i], f->cell_c[a][i]);
        FUZZ_ASSERT(f->cruise_share[i] >= 0 && f->idle_share[i] >= 0 &&
                        f->cruise_share[i] + f->idle_share[i] <= 1 + 1e-9,
                    "step %d: driving %g, idling %g", (int)i, f->cruise_share[i], f->idle_share[i]);
    }
}

static void march(const sw_forcing *forcing, const sw_variant variant[SW_TILE], sw_tile_state *state)
{
    static sw_tile_plan plan;
    watch w = {forcing, variant, forcing->step_s / 3600.0};
    memset(&plan, 0, sizeof plan);
    memset(state, 0, sizeof *state);
    for (int lane = 0; lane < SW_TILE; lane++)
        sw_tile_set(&plan, state, lane, &variant[lane], forcing->step_s);
    FUZZ_ASSERT(sw_march(forcing, &plan, state, check_step, &w) == SW_OK, "the march does not balance");
}

void fuzz_check_march(const sw_forcing *forcing, const sw_variant variant[SW_TILE])
{
    static sw_tile_state first, second;
    check_forcing(forcing);
    march(forcing, variant, &first);
    march(forcing, variant, &second);
    FUZZ_ASSERT(memcmp(&first, &second, sizeof first) == 0, "the same march ends twice in another way");
    FUZZ_ASSERT(first.charge_ah[0] == first.charge_ah[SW_TILE - 1] &&
                    first.battery_c[0] == first.battery_c[SW_TILE - 1],
                "two lanes with the same van end apart");
}
