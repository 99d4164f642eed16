// What the program takes for typical of each chemistry stands printed in chemistries.txt, so that a change of
// it shows as a difference to be read. STILLWATT_REWRITE=1 writes the file anew.
#include "support/checks.h"

#include "stillwatt/battery.h"

#include <stddef.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#define PRINTED SW_SOURCE_DIR "/tests/golden/chemistries.txt"

static const struct {
    const char *name;
    size_t offset;
} curves[] = {{"open_circuit_v, by charge", offsetof(sw_chemistry_data, open_circuit_v)},
              {"charge_efficiency, by charge", offsetof(sw_chemistry_data, charge_efficiency)},
              {"capacity_share, by degC", offsetof(sw_chemistry_data, capacity_share)},
              {"resistance_ratio, by degC", offsetof(sw_chemistry_data, resistance_ratio)}};

#define NUMBER(field)                                                                                        \
    {                                                                                                        \
#field, offsetof(sw_chemistry_data, field)                                                           \
    }
static const struct {
    const char *name;
    size_t offset;
} numbers[] = {NUMBER(absorption_v),
               NUMBER(absorption_v_per_k),
               NUMBER(cut_out_v),
               NUMBER(resistance_ohm_100ah),
               NUMBER(charge_c_rate),
               NUMBER(discharge_c_rate),
               NUMBER(acceptance_h),
               NUMBER(peukert),
               NUMBER(cold_stop_c),
               NUMBER(cold_full_c),
               NUMBER(self_discharge_month),
               NUMBER(reserve),
               NUMBER(mass_kg_100ah)};

#define LENGTH_OF(list) (sizeof(list) / sizeof(list)[0])

static void print_chemistry(const sw_chemistry_data *data, FILE *out)
{
    fprintf(out, "%s\n", data->word);
    for (size_t c = 0; c < LENGTH_OF(curves); c++) {
        const sw_curve *curve = (const void *)((const char *)data + curves[c].offset);
        fprintf(out, "  %s:", curves[c].name);
        for (int i = 0; i < curve->count; i++)
            fprintf(out, " %g %g%s", curve->x[i], curve->y[i], i + 1 < curve->count ? "," : "\n");
    }
    for (size_t n = 0; n < LENGTH_OF(numbers); n++)
        fprintf(out, "  %s: %g\n", numbers[n].name,
                *(const double *)(const void *)((const char *)data + numbers[n].offset));
}

static void print_all(char *text, size_t size)
{
    FILE *out = fmemopen(text, size, "w");
    ck_assert_ptr_nonnull(out);
    print_chemistry(sw_chemistry_of(SW_LIFEPO4), out);
    print_chemistry(sw_chemistry_of(SW_AGM), out);
    fclose(out);
}

static void read_printed(char *text, size_t size)
{
    FILE *in = fopen(PRINTED, "r");
    ck_assert_msg(in != NULL,
                  "tests/golden/chemistries.txt is missing: run this test with STILLWATT_REWRITE=1");
    text[fread(text, 1, size - 1, in)] = '\0';
    fclose(in);
}

START_TEST(typical_values_are_those_that_were_read)
{
    char now[8192] = "", before[8192];
    print_all(now, sizeof now);
    if (getenv("STILLWATT_REWRITE") != NULL) {
        FILE *out = fopen(PRINTED, "w");
        ck_assert_ptr_nonnull(out);
        fputs(now, out);
        fclose(out);
    }
    read_printed(before, sizeof before);
    ck_assert_msg(strcmp(now, before) == 0,
                  "the typical values of a chemistry have changed; if that is meant, run this test with "
                  "STILLWATT_REWRITE=1 and read the difference. Now:\n%s",
                  now);
}
END_TEST

Suite *sw_suite(void)
{
    const TTest *const tests[] = {typical_values_are_those_that_were_read, NULL};
    return sw_suite_of("chemistries", tests, 10);
}
