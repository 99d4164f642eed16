// The march beside what a practitioner's notebook would reach: march_numpy.py marches the same vans through
// the same forcing, one core each. Prints both speeds, their ratio, and how far the charges lie apart. usage:
// bench_numpy [VANS]
#include "stillwatt/course.h"
#include "stillwatt/reader.h"
#include "support/clock.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

enum { VANS_MOST = 20000 };

typedef struct bench {
    char folder[64];
    const sw_forcing *forcing;
    sw_variant base;
    int vans;
    double ends[VANS_MOST];
    double *first; // charge of the first van at each step's end
} bench;

/* Sizes of battery and panels that differ as those of march_numpy.py do. */
static sw_variant van_of(const bench *b, int index)
{
    sw_variant v = b->base;
    double size = index == 0 ? 1.0 : 0.6 + 0.8 * ((index * 7) % 1000) / 999.0;
    double sun = index == 0 ? 1.0 : 0.5 + ((index * 13) % 1000) / 999.0;
    v.rated_ah *= size;
    v.resistance_ohm /= size;
    v.charge_limit_a *= size;
    v.discharge_limit_a *= size;
    v.array_w[0] *= sun;
    return v;
}

static void keep_first(void *context, int32_t step, const sw_tile_flow *flow)
{
    bench *b = context;
    b->first[step] = flow->soc[0];
}

/* @return seconds */
static double march_all(bench *b)
{
    static sw_tile_plan plan;
    static sw_tile_state state;
    double begin = sw_now_s();
    for (int from = 0; from < b->vans; from += SW_TILE) {
        for (int lane = 0; lane < SW_TILE; lane++) {
            sw_variant v = van_of(b, from + lane < b->vans ? from + lane : 0);
            sw_tile_set(&plan, &state, lane, &v, b->forcing->step_s);
        }
        (void)sw_march(b->forcing, &plan, &state, from == 0 ? keep_first : NULL, b);
        for (int lane = 0; lane < SW_TILE && from + lane < b->vans; lane++)
            b->ends[from + lane] = state.charge_ah[lane] * plan.inverse_capacity[lane];
    }
    return sw_now_s() - begin;
}

// ---- handing over ----

static FILE *open_in(const bench *b, const char *name)
{
    char path[128];
    snprintf(path, sizeof path, "%s/%s", b->folder, name);
    return fopen(path, "wb");
}

static int write_column(const bench *b, const char *name, const double *values, size_t count)
{
    FILE *out = open_in(b, name);
    int good = out != NULL && fwrite(values, sizeof *values, count, out) == count;
    return out != NULL && fclose(out) == 0 && good;
}

static void write_curve(FILE *out, const char *name, const sw_curve *curve)
{
    for (int axis = 0; axis < 2; axis++) {
        fprintf(out, ", \"%s_%c\": [", name, "xy"[axis]);
        for (int i = 0; i < curve->count; i++)
            fprintf(out, "%s%.17g", i > 0 ? ", " : "", axis == 0 ? curve->x[i] : curve->y[i]);
        fprintf(out, "]");
    }
}

static void write_van(FILE *out, const bench *b)
{
    const sw_variant *v = &b->base;
    const sw_chemistry_data *data = sw_chemistry_of(v->chemistry);
    double hours = b->forcing->step_s / 3600.0;
    const struct {
        const char *name;
        double value;
    } numbers[] = {{"units_12v", v->units_12v},
                   {"rated_ah", v->rated_ah},
                   {"health", v->health},
                   {"resistance_ohm", v->resistance_ohm},
                   {"charge_limit_a", v->charge_limit_a},
                   {"discharge_limit_a", v->discharge_limit_a},
                   {"absorption_v", v->absorption_v},
                   {"absorption_per_k", data->absorption_v_per_k * v->units_12v},
                   {"acceptance_h", data->acceptance_h},
                   {"cut_out", v->cut_out_v},
                   {"dc_restart", v->dc_restart_v},
                   {"cold_stop", v->cold_stop_c},
                   {"cold_full", v->cold_full_c},
                   {"hot_full", v->hot_full_c},
                   {"hot_stop", v->hot_stop_c},
                   {"discharge_stop", v->discharge_stop_c},
                   {"management_w", v->management_w},
                   {"self_discharge_per_h", v->self_discharge_month / 720.0},
                   {"temperature_gain", 1.0 - exp(-hours / v->temperature_lag_h)},
                   {"mean_current_gain", 1.0 - exp(-hours)},
                   {"peukert", data->peukert},
                   {"outside", v->outside},
                   {"array_w", v->array_w[0] * v->array_keep[0]},
                   {"array_gamma", v->array_gamma[0]},
                   {"controller_efficiency", v->controller_efficiency},
                   {"controller_limit", v->controller_limit_a},
                   {"controller_self", v->controller_self_w},
                   {"cruise_w", v->alternator_cruise_w},
                   {"idle_w", v->alternator_idle_w},
                   {"cruise_cold_w", v->alternator_cruise_cold_w},
                   {"idle_cold_w", v->alternator_idle_cold_w},
                   {"inverter_w", v->inverter_w},
                   {"inverter_idle", v->inverter.idle_w},
                   {"inverter_linear", v->inverter.linear},
                   {"inverter_square", v->inverter.square_per_w},
                   {"inverter_cut_out", v->inverter_cut_out_v},
                   {"inverter_restart", v->inverter_restart_v},
                   {"hold_back_below", v->hold_back_below},
                   {"fridge_set", v->thermal[0].set_c},
                   {"fridge_rise", v->thermal[0].reference_dt_k},
                   {"fridge_w", v->thermal[0].at_reference_w},
                   {"fridge_rated", v->thermal[0].rated_w},
                   {"fridge_held", v->thermal[0].held},
                   {"start_soc", v->start_soc},
                   {"reserve", 0.2},
                   {"start_c", v->start_c}};
    fprintf(out, "{\"lanes_of\": 1");
    for (size_t i = 0; i < sizeof numbers / sizeof numbers[0]; i++)
        fprintf(out, ", \"%s\": %.17g", numbers[i].name, numbers[i].value);
    write_curve(out, "ocv", &data->open_circuit_v);
    write_curve(out, "eta", &data->charge_efficiency);
    write_curve(out, "reach", &data->capacity_share);
    write_curve(out, "ohm", &data->resistance_ratio);
    fprintf(out, "}");
}

static int write_forcing(const bench *b, const char *const *name, const double *const *column, int columns)
{
    FILE *out = open_in(b, "forcing.f64"), *about = open_in(b, "about.json");
    size_t steps = (size_t)b->forcing->steps;
    if (out == NULL || about == NULL)
        return 0;
    fprintf(about, "{\"steps\": %d, \"hours\": %.17g, \"lanes\": %d, \"columns\": [", b->forcing->steps,
            b->forcing->step_s / 3600.0, b->vans);
    for (int i = 0; i < columns; i++) {
        fwrite(column[i], sizeof **column, steps, out);
        fprintf(about, "%s\"%s\"", i > 0 ? ", " : "", name[i]);
    }
    fprintf(about, "], \"van\": ");
    write_van(about, b);
    fprintf(about, "}\n");
    return fclose(out) == 0 && fclose(about) == 0;
}

static int hand_over(const bench *b)
{
    static double inverter_on[1 << 16];
    const sw_forcing *f = b->forcing;
    const char *const names[] = {"air_c",        "cabin_c",      "yield_w",      "cell_c",
                                 "cruise",       "idle",         "engine_cold",  "inverter_on",
                                 "dc_must",      "dc_want",      "dc_wait",      "ac_must",
                                 "ac_want",      "ac_wait",      "ac_peak_must", "ac_peak_want",
                                 "ac_peak_wait", "dc_peak_must", "dc_peak_want", "dc_peak_wait"};
    const double *const columns[] = {f->air_c,        f->cabin_c,      f->yield[0],     f->cell_c[0],
                                     f->cruise_share, f->idle_share,   f->engine_cold,  inverter_on,
                                     f->load_w[0][0], f->load_w[0][1], f->load_w[0][2], f->load_w[1][0],
                                     f->load_w[1][1], f->load_w[1][2], f->peak_w[0],    f->peak_w[1],
                                     f->peak_w[2],    f->dc_peak_w[0], f->dc_peak_w[1], f->dc_peak_w[2]};
    for (int32_t i = 0; i < f->steps; i++)
        inverter_on[i] = (f->flags[i] & SW_STEP_INVERTER) != 0;
    return write_forcing(b, names, columns, sizeof names / sizeof names[0]) &&
           write_column(b, "first.f64", b->first, (size_t)f->steps) &&
           write_column(b, "ends.f64", b->ends, (size_t)b->vans);
}

/* @return 1 if it answered */
static int run_numpy(const bench *b, double rate)
{
    char command[256];
    double other, apart, half, most;
    snprintf(command, sizeof command,
             "OMP_NUM_THREADS=1 OPENBLAS_NUM_THREADS=1 /usr/bin/python3 '%s/tests/bench/march_numpy.py' %s",
             SW_SOURCE_DIR, b->folder);
    FILE *pipe = popen(command, "r");
    int read = pipe != NULL ? fscanf(pipe, "%lf %lf %lf %lf", &other, &apart, &half, &most) : 0;
    if (pipe == NULL || pclose(pipe) != 0 || read != 4)
        return 0;
    printf("%5d vans: %.2f million lane-steps a second, NumPy %.3f: %.0f times; charge of the first van "
           "apart by at "
           "most %.4f, of all at the end by %.4f in the middle and %.4f at most\n",
           b->vans, rate / 1e6, other / 1e6, rate / other, apart, half, most);
    return 1;
}

static int compare(bench *b, int vans)
{
    char command[128];
    b->vans = vans;
    double took = march_all(b);
    for (int i = 0; i < 2; i++) {
        double again = march_all(b);
        took = again < took ? again : took;
    }
    int good = hand_over(b) && run_numpy(b, (double)vans * b->forcing->steps / took);
    snprintf(command, sizeof command, "rm -f %s/*", b->folder);
    return system(command) == 0 && good;
}

int main(int count, char **words)
{
    static bench b;
    sw_messages *messages = sw_messages_create();
    sw_loader loader = sw_disk_loader(SW_SOURCE_DIR);
    sw_plan *plan = NULL;
    sw_course *course = NULL;
    int vans = count > 1 ? atoi(words[1]) : 0;
    snprintf(b.folder, sizeof b.folder, "/tmp/stillwatt-numpy-XXXXXX");
    if (system("/usr/bin/python3 -c 'import numpy' 2>/dev/null") != 0) {
        printf("skipped: the yardstick of NumPy (the package python3-numpy is not there)\n");
        return EXIT_SUCCESS;
    }
    if (mkdtemp(b.folder) == NULL || vans < 0 || vans > VANS_MOST ||
        sw_read_trip(&loader, SW_SOURCE_DIR "/profiles/trips/canyon-week.json", messages, &plan) != SW_OK ||
        sw_course_make(plan, &loader, 300, messages, &course) != SW_OK)
        return EXIT_FAILURE;
    b.forcing = &course->forcing[0];
    b.first = calloc((size_t)b.forcing->steps, sizeof *b.first);
    sw_variant_of(plan, course, &b.base);
    int good = b.first != NULL &&
               (vans > 0 ? compare(&b, vans) : compare(&b, 200) && compare(&b, 1000) && compare(&b, 2000));
    rmdir(b.folder);
    free(b.first);
    sw_course_free(course);
    sw_plan_free(plan);
    sw_messages_free(messages);
    return good ? EXIT_SUCCESS : EXIT_FAILURE;
}
