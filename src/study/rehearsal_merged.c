// Steps of a forcing made into one: powers and light are means, so that energies stay; greatest powers are
// the greatest; flags and the pedestal are those of the middle.
#include "study/rehearsal_merged.h"

typedef struct merging {
    const sw_forcing *fine;
    int32_t times; // fine steps of one
    int32_t steps;
    sw_arena *arena;
    int short_of_memory;
} merging;

static double *room(merging *m)
{
    double *out = sw_arena_alloc(m->arena, (size_t)m->steps * sizeof *out);
    m->short_of_memory = m->short_of_memory || out == NULL;
    return out;
}

static double *means(merging *m, const double *from)
{
    double *out = room(m);
    for (int32_t i = 0; out != NULL && i < m->steps; i++) {
        for (int32_t k = 0; k < m->times; k++)
            out[i] += from[i * m->times + k];
        out[i] /= m->times;
    }
    return out;
}

static double *greatest(merging *m, const double *from)
{
    double *out = room(m);
    for (int32_t i = 0; out != NULL && i < m->steps; i++)
        for (int32_t k = 0; k < m->times; k++)
            out[i] = from[i * m->times + k] > out[i] ? from[i * m->times + k] : out[i];
    return out;
}

static double *middles(merging *m, const double *from)
{
    double *out = room(m);
    for (int32_t i = 0; out != NULL && i < m->steps; i++)
        out[i] = from[i * m->times + m->times / 2];
    return out;
}

/* As the light is shared out over the fine steps: bright ones are hot, and count for more. */
static double *cells(merging *m, const double *cell_c, const double *yield)
{
    double *out = room(m);
    for (int32_t i = 0; out != NULL && i < m->steps; i++) {
        double light = 0.0, sum = 0.0, warm = 0.0;
        for (int32_t k = i * m->times; k < (i + 1) * m->times; k++) {
            light += yield[k];
            sum += yield[k] * cell_c[k];
            warm += cell_c[k];
        }
        out[i] = light > 0.0 ? sum / light : warm / m->times;
    }
    return out;
}

static void merge_flags(merging *m, sw_forcing *out)
{
    out->flags = sw_arena_alloc(m->arena, (size_t)m->steps * sizeof *out->flags);
    m->short_of_memory = m->short_of_memory || out->flags == NULL;
    for (int32_t i = 0; out->flags != NULL && i < m->steps; i++)
        out->flags[i] = m->fine->flags[i * m->times + m->times / 2];
}

static int32_t times_of(const sw_forcing *fine, int32_t longest_s)
{
    int32_t times = longest_s / fine->step_s;
    while (times > 1 && fine->steps % times != 0)
        times--;
    return times > 1 ? times : 1;
}

sw_status sw_merge_steps(const sw_forcing *fine, int32_t longest_s, sw_arena *arena, sw_forcing *out)
{
    int32_t times = times_of(fine, longest_s);
    merging m = {fine, times, fine->steps / times, arena, 0};
    if (times == 1) {
        *out = *fine;
        return SW_OK;
    }
    *out = (sw_forcing){.steps = m.steps,
                        .step_s = fine->step_s * times,
                        .start_s = fine->start_s,
                        .arrays = fine->arrays,
                        .air_c = means(&m, fine->air_c),
                        .cabin_c = means(&m, fine->cabin_c),
                        .ghi_w_m2 = means(&m, fine->ghi_w_m2),
                        .cruise_share = means(&m, fine->cruise_share),
                        .idle_share = means(&m, fine->idle_share),
                        .engine_cold = means(&m, fine->engine_cold),
                        .pedestal_va = middles(&m, fine->pedestal_va),
                        .pedestal_steady_share = middles(&m, fine->pedestal_steady_share)};
    merge_flags(&m, out);
    for (int a = 0; a < fine->arrays; a++) {
        out->yield[a] = means(&m, fine->yield[a]);
        out->cell_c[a] = cells(&m, fine->cell_c[a], fine->yield[a]);
    }
    for (int held = 0; held < SW_HELD_COUNT; held++) {
        for (int bus = 0; bus < SW_BUS_COUNT; bus++)
            out->load_w[bus][held] = means(&m, fine->load_w[bus][held]);
        out->peak_w[held] = greatest(&m, fine->peak_w[held]);
        out->dc_peak_w[held] = greatest(&m, fine->dc_peak_w[held]);
        out->steady_w[held] = greatest(&m, fine->steady_w[held]);
    }
    return m.short_of_memory ? SW_NO_MEMORY : SW_OK;
}
