// Whole trips: any van and trip that the reader takes must march with its energy in balance and its values
// in their bounds, in every step and every variant.
#include "fuzz/support/data_loader.h"
#include "fuzz/support/invented_year.h"
#include "fuzz/support/make_files.h"
#include "fuzz/support/march_checks.h"
#include "fuzz/support/plan_walk.h"

#include "stillwatt/course.h"
#include "stillwatt/reader.h"
#include "stillwatt/rehearsal.h"
#include "stillwatt/report.h"
#include "stillwatt/sheet.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

enum { TRIP, VAN, TYPICAL, OF_2004, FILES };

typedef struct files {
    fuzz_named file[FILES];
    sw_loader data;
} files;

static sw_status load(void *context, sw_resource kind, const char *name, const char *beside, sw_text *out,
                      char *reason)
{
    const files *f = context;
    for (int i = 0; i < FILES; i++)
        if (strcmp(f->file[i].name, name) == 0)
            return fuzz_found(&f->file[i], out);
    return f->data.load(f->data.context, kind, name, beside, out, reason);
}

// The plan's own van in the first and the last lane; others beside it.
static void make_variants(fuzz_input *input, const sw_variant *own, sw_variant variant[SW_TILE])
{
    for (int lane = 0; lane < SW_TILE; lane++) {
        sw_variant *v = &variant[lane];
        *v = *own;
        if (lane == 0 || lane == SW_TILE - 1)
            continue;
        double size = fuzz_between(input, 0.3, 3);
        v->rated_ah *= size;
        v->resistance_ohm /= size;
        v->charge_limit_a *= size;
        v->discharge_limit_a *= size;
        for (int a = 0; a < SW_ARRAYS_MAX; a++)
            v->array_w[a] *= fuzz_between(input, 0, 3);
        v->start_soc = fuzz_between(input, 0, 1);
        v->start_c = fuzz_between(input, -40, 60);
    }
}

// ---- a rehearsal ----

/* The column of a tank that the van has not. */
static int is_absent(const sw_plan *plan, int column)
{
    return column >= SW_LEDGER_FRESH && column <= SW_LEDGER_CAN &&
           isnan(plan->van->tank[column - SW_LEDGER_FRESH].capacity_l);
}

static void check_account(const sw_rehearsal *r, const sw_account *a)
{
    for (int c = 0; c < SW_LEDGER_COLUMNS; c++)
        FUZZ_ASSERT(isfinite(a->value[c]) || is_absent(r->plan, c), "%s is not finite",
                    sw_ledger_heading((sw_ledger_column)c));
    for (int k = 0; k < r->course->loads; k++)
        FUZZ_ASSERT(a->served_wh[k] >= -1e-9 && a->served_wh[k] <= a->asked_wh[k] * (1 + 1e-9) + 1e-9,
                    "load %d is served %g of %g Wh", k, a->served_wh[k], a->asked_wh[k]);
    double lowest = a->value[SW_LEDGER_LOWEST], end = a->value[SW_LEDGER_CHARGE];
    FUZZ_ASSERT(lowest >= 0 && lowest <= end + 1e-9 && end <= 100,
                "the charge is at least %g, in the end %g %%", lowest, end);
}

/* What a page must not say of any trip. */
static void check_text(const char *what, sw_status status, char *text)
{
    static const char *const wrong[] = {">nan", " nan",   "=\"nan", ",nan", "-nan", " inf",
                                        ">inf", "=\"inf", ",inf",   "%d",   "%s"};
    FUZZ_ASSERT(status == SW_OK && text != NULL, "%s is not made: %d", what, (int)status);
    for (size_t i = 0; i < sizeof wrong / sizeof wrong[0]; i++)
        FUZZ_ASSERT(strstr(text, wrong[i]) == NULL, "%s says \"%s\": %.80s", what, wrong[i],
                    strstr(text, wrong[i]));
    free(text);
}

/* The page of the trip with its chart, whatever the input has made of it. */
static void check_pages(const sw_rehearsal *r, sw_messages *messages)
{
    char *text = NULL;
    sw_limits *limits = NULL;
    sw_sheet sheet = {.rehearsal = r, .imprint = {.version = "0", .made = "2026-11-01"}};
    sw_status status = sw_find_limits(r, messages, &limits);
    FUZZ_ASSERT(status == SW_OK || status == SW_BAD_INPUT, "limits fail: %d", (int)status);
    sheet.limits = limits;
    status = sw_report_sheet(&sheet, &text);
    check_text("the page", status, text);
    status = sw_report_tide(r, &text);
    check_text("the tide", status, text);
    sw_limits_free(limits);
}

static void check_rehearsal(const sw_plan *plan, const sw_loader *loader, int32_t step_s)
{
    sw_rehearsal *r = NULL;
    sw_messages *messages = sw_messages_create();
    sw_status status = sw_rehearse(plan, loader, step_s, messages, &r);
    FUZZ_ASSERT(status == SW_OK && r != NULL, "the course is made, but the rehearsal fails: %d", (int)status);
    for (int h = 0; h < r->hours; h++)
        check_account(r, &r->hour[h]);
    check_account(r, &r->trip);
    FUZZ_ASSERT(r->worst_imbalance <= 1e-9, "an imbalance of %g", r->worst_imbalance);
    FUZZ_ASSERT(r->outcome.verdict >= SW_HOLDS && r->outcome.verdict <= SW_OUT, "verdict %d",
                (int)r->outcome.verdict);
    FUZZ_ASSERT(r->outcome.lowest_soc >= 0 && r->outcome.lowest_soc <= 1 && isfinite(r->usable_wh_left),
                "the lowest charge is %g, %g Wh are left", r->outcome.lowest_soc, r->usable_wh_left);
    for (int d = 0; d < r->days; d++) {
        const sw_day_finding *day = &r->day_finding[d];
        int is_poor = day->poor_lowest >= 0 && day->poor_lowest <= 1 && day->poor_missed_wh >= 0;
        FUZZ_ASSERT(r->has_poor ? is_poor : isnan(day->poor_lowest),
                    "day %d falls to %g in a poor week, %g Wh missed", d, day->poor_lowest,
                    day->poor_missed_wh);
    }
    for (int i = 0; i < r->weights; i++)
        FUZZ_ASSERT(r->weight[i].assumption >= 0 && r->weight[i].assumption < plan->assumptions &&
                        isfinite(r->weight[i].points) && r->weight[i].points >= 0 && r->weight[i].points <= 1,
                    "weight %d moves the charge by %g", i, r->weight[i].points);
    check_pages(r, messages);
    sw_rehearsal_free(r);
    sw_messages_free(messages);
}

// ---- all of it ----

static void check_course(fuzz_input *input, const sw_plan *plan, const files *f, const sw_loader *loader,
                         int32_t step_s)
{
    static const sw_status statuses[] = {SW_BAD_INPUT, SW_CANNOT_READ, SW_NO_MEMORY, SW_OK};
    int whole = fuzz_choose(input, 4) == 1;
    sw_messages *messages = sw_messages_create();
    sw_course *course = NULL;
    fuzz_record record = {NULL, 0, 0};
    sw_variant own, variant[SW_TILE];
    sw_status status = sw_course_make(plan, loader, step_s, messages, &course);
    fuzz_check_said(messages, status, statuses, f->file, FILES, &record);
    FUZZ_ASSERT((course != NULL) == (status == SW_OK), "status %d, but %s course", (int)status,
                course != NULL ? "a" : "no");
    if (course != NULL) {
        FUZZ_ASSERT(sw_variant_of(plan, course, &own), "the reader allows an inverter that cannot be");
        make_variants(input, &own, variant);
        for (int outlook = 0; outlook < course->outlooks; outlook++)
            fuzz_check_march(&course->forcing[outlook], variant);
    }
    sw_course_free(course);
    if (status == SW_OK && whole)
        check_rehearsal(plan, loader, step_s);
    free(record.text);
    sw_messages_free(messages);
}

static void rehearse(fuzz_input *input, files *f, int32_t step_s)
{
    static const sw_status statuses[] = {SW_BAD_INPUT, SW_CANNOT_READ, SW_NO_MEMORY, SW_OK};
    sw_loader loader = {load, f};
    sw_messages *messages = sw_messages_create();
    sw_plan *plan = NULL;
    fuzz_record record = {NULL, 0, 0};
    sw_status status = sw_read_trip(&loader, "trip.json", messages, &plan);
    fuzz_check_said(messages, status, statuses, f->file, FILES, &record);
    if (plan != NULL) {
        fuzz_check_plan(plan, &record);
        check_course(input, plan, f, &loader, step_s);
    }
    fuzz_show(&record);
    sw_plan_free(plan);
    sw_messages_free(messages);
    free(record.text);
}

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size)
{
    static const int32_t steps_s[] = {900, 3600, 1800, 600, 300, 60, 720};
    fuzz_input input = {data, size};
    int32_t step_s = steps_s[fuzz_choose(&input, sizeof steps_s / sizeof steps_s[0])];
    fuzz_record trip = {NULL, 0, 0}, van = {NULL, 0, 0};
    fuzz_make_trip(&input, &trip);
    fuzz_make_van(&input, trip.text, &van);
    static fuzz_text typical, of_2004;
    if (typical.bytes == NULL) {
        typical = fuzz_whole_year(0);
        of_2004 = fuzz_whole_year(1);
    }
    files f = {{{"trip.json", trip.text, trip.length, 1},
                {"van.json", van.text, van.length, 1},
                {"typical.epw", typical.bytes, typical.length, 0},
                {"2004.epw", of_2004.bytes, of_2004.length, 0}},
               fuzz_data_loader()};
    fuzz_show(&trip);
    fuzz_show(&van);
    rehearse(&input, &f, step_s);
    free(trip.text);
    free(van.text);
    return 0;
}
