// The key tables agree with themselves: limits as messages say them are allowed, defaults lie within them.
#include "support/checks.h"

#include "files/values.h"

#include <stdio.h>

static const sw_table *const tables[] = {
    &sw_van_table,   &sw_vehicle_table,    &sw_battery_table, &sw_array_table,  &sw_controller_table,
    &sw_shore_table, &sw_alternator_table, &sw_load_table,    &sw_habit_table,  &sw_inverter_table,
    &sw_place_table, &sw_normals_table,    &sw_leg_table,     &sw_hookup_table, &sw_trip_table,
    &sw_sky_table,   &sw_told_table};

static int said_limit_is_refused(const sw_table *table, const sw_key *key, double limit)
{
    char said[48];
    sw_quantity read;
    sw_key_write(key, limit, said, sizeof said);
    if (sw_quantity_read(said, key->dimension, &read) == SW_QUANTITY_OK && read.value >= key->least &&
        read.value <= key->most)
        return 0;
    printf("  %s: the limit %.17g of %s is said as %s, which is refused\n", table->name, limit, key->name,
           said);
    return 1;
}

START_TEST(a_limit_as_messages_say_it_may_be_written)
{
    int refused = 0;
    for (size_t t = 0; t < sizeof tables / sizeof tables[0]; t++)
        for (size_t k = 0; k < tables[t]->count; k++) {
            const sw_key *key = &tables[t]->keys[k];
            if ((key->kind != SW_KEY_QUANTITY && key->kind != SW_KEY_MONTHS) ||
                key->dimension == SW_DIM_MONEY)
                continue; // money is written without its currency
            refused += said_limit_is_refused(tables[t], key, key->least);
            refused += said_limit_is_refused(tables[t], key, key->most);
        }
    ck_assert_int_eq(refused, 0);
}
END_TEST

START_TEST(defaults_and_their_plausible_ranges_are_allowed)
{
    for (size_t t = 0; t < sizeof tables / sizeof tables[0]; t++)
        for (size_t k = 0; k < tables[t]->count; k++) {
            const sw_key *key = &tables[t]->keys[k];
            if (key->need != SW_DEFAULTED || key->least == key->most)
                continue; // choices have no limits
            ck_assert_msg(key->fallback >= key->least && key->fallback <= key->most, "%s", key->name);
            ck_assert_msg(key->low >= key->least && key->high <= key->most && key->low <= key->fallback &&
                              key->fallback <= key->high,
                          "%s", key->name);
        }
}
END_TEST

Suite *sw_suite(void)
{
    const TTest *const tests[] = {a_limit_as_messages_say_it_may_be_written,
                                  defaults_and_their_plausible_ranges_are_allowed, NULL};
    return sw_suite_of("key tables", tests, 20);
}
