// Times march and forcing by themselves on the first demo trip, one core: lane-steps a second for each vector
// width that this machine has, also over one day again and again, whose columns stay in the second cache: the
// same arithmetic without the traffic of the memory; and forcing steps a second for each kind of sky.
// Printed, not asserted.
#include "core/march_width.h"
#include "stillwatt/course.h"
#include "stillwatt/reader.h"
#include "support/clock.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

enum { ROUNDS = 200, COURSES = 40, BEST_OF = 5, DAY_STEPS = 288 };

static double march_s(sw_marcher *march, const sw_forcing *forcing, const sw_variant *variant)
{
    static sw_tile_plan plan;
    static sw_tile_state state;
    double begin = sw_now_s();
    for (int i = 0; i < ROUNDS; i++) {
        for (int lane = 0; lane < SW_TILE; lane++)
            sw_tile_set(&plan, &state, lane, variant, forcing->step_s);
        (void)march(forcing, &plan, &state, NULL, NULL);
    }
    return sw_now_s() - begin;
}

static double best_march_s(sw_marcher *march, const sw_forcing *forcing, const sw_variant *variant)
{
    double best = 1e9;
    for (int i = 0; i < BEST_OF; i++) {
        double took = march_s(march, forcing, variant);
        best = took < best ? took : best;
    }
    return best;
}

static void bench_march(const sw_course *course, const sw_variant *variant)
{
    static const int widths[] = {0, 256, 512};
    const sw_forcing *trip = &course->forcing[0];
    sw_forcing day = *trip;
    day.steps = DAY_STEPS;
    for (size_t w = 0; w < sizeof widths / sizeof widths[0]; w++) {
        sw_marcher *march = sw_march_of_width(widths[w]);
        double lanes = (double)ROUNDS * SW_TILE / 1e6;
        if (march == NULL)
            printf("march, %3d bits: not on this machine\n", widths[w]);
        else
            printf("march, %3d bits: %5.1f million lane-steps a second, %5.1f over one day again and again\n",
                   widths[w], lanes * trip->steps / best_march_s(march, trip, variant),
                   lanes * DAY_STEPS / best_march_s(march, &day, variant));
    }
}

static int bench_forcing(sw_plan *plan, const sw_loader *loader, sw_messages *messages, int kind,
                         const char *says)
{
    double best = 1e9;
    int32_t steps = 0;
    plan->trip->sky.kind = kind;
    for (int k = 0; k < BEST_OF; k++) {
        double begin = sw_now_s();
        for (int i = 0; i < COURSES; i++) {
            sw_course *course = NULL;
            plan->trip->sky.draw = i;
            if (sw_course_make(plan, loader, 300, messages, &course) != SW_OK)
                return 0;
            steps = course->forcing[0].steps;
            sw_course_free(course);
        }
        double took = (sw_now_s() - begin) / COURSES;
        best = took < best ? took : best;
    }
    printf("forcing, %s sky: %.2f million steps a second, %.2f ms a week\n", says, steps / best / 1e6,
           best * 1e3);
    return 1;
}

int main(void)
{
    sw_messages *messages = sw_messages_create();
    sw_loader loader = sw_disk_loader(SW_SOURCE_DIR);
    sw_plan *plan = NULL;
    sw_course *course = NULL;
    sw_variant variant;
    if (sw_read_trip(&loader, SW_SOURCE_DIR "/profiles/trips/canyon-week.json", messages, &plan) != SW_OK ||
        sw_course_make(plan, &loader, 300, messages, &course) != SW_OK)
        return EXIT_FAILURE;
    sw_variant_of(plan, course, &variant);
    bench_march(course, &variant);
    int done = bench_forcing(plan, &loader, messages, SW_SKY_AVERAGE, "average") &&
               bench_forcing(plan, &loader, messages, SW_SKY_CHANCE, "chance");
    sw_course_free(course);
    sw_plan_free(plan);
    sw_messages_free(messages);
    return done ? EXIT_SUCCESS : EXIT_FAILURE;
}
