// The cabin of a van, and who decides about its temperature.
#include "files/key_rows.h"
#include "files/read_van.h"

#include <math.h>

// ---- the van ----

static void derive(sw_reader *reader, double *at, double value, const char *key, const char *says,
                   sw_dimension dimension, double low, double high)
{
    if (!isnan(*at))
        return;
    *at = value;
    sw_assume(reader, "van /cabin", key, says, TYPICAL, at, dimension, value * low, value * high);
}

/* What builders say in words, in numbers: typical, from memory. */
static void derive_cabin(sw_reader *reader, sw_cabin_spec *cabin)
{
    static const double loss_w_k[] = {90, 50, 30}, glass_m2[] = {0.5, 1.5};
    derive(reader, &cabin->loss_w_k, loss_w_k[cabin->insulation], "loss",
           "heat that leaves the cabin for each degree", SW_DIM_HEAT_LOSS, 0.6, 1.6);
    derive(reader, &cabin->glass_m2, glass_m2[cabin->glass], "sun_area", "area of glass that lets the sun in",
           SW_DIM_AREA, 0.5, 2.0);
    cabin->heat_wh_k = 100.0;
    sw_assume_word(reader, "van /cabin", "", "heat that warms what is in it", TYPICAL, "100 Wh/K");
}

/* Thermostats need something to keep warm. */
static void check_thermostats(sw_reader *reader, const sw_node *root, const sw_van *van)
{
    const sw_node *map = sw_node_member(root, "loads"), *node = map != NULL ? map->first : NULL;
    for (int i = 0; i < van->loads && node != NULL; i++, node = node->next)
        if (van->cabin == NULL && van->load[i].kind >= SW_LOAD_HEATER)
            sw_reader_error(
                reader, node, 1, "add \"cabin\": {\"insulation\": \"some\"}",
                "\"%s\" follows the cabin's temperature, but the van says nothing of its \"cabin\"",
                van->load[i].name);
}

void sw_reader_cabin(sw_reader *reader, const sw_node *root, sw_van *van)
{
    size_t before = sw_messages_errors(reader->messages);
    van->cabin = sw_reader_optional(reader, root, "cabin", &sw_cabin_table, sizeof *van->cabin);
    if (van->cabin != NULL && sw_reader_clean_since(reader, before))
        derive_cabin(reader, van->cabin);
    if (!reader->failed)
        check_thermostats(reader, root, van);
}

// ---- the trip ----

void sw_reader_cabin_of_trip(sw_reader *reader, const sw_node *root, const sw_van *van)
{
    static const char *const stated[] = {"cabin_at_least", "cabin_at_most"};
    if (van->cabin == NULL)
        return;
    for (int i = 0; i < 2; i++) {
        const sw_node *node = sw_node_member(root, stated[i]);
        sw_reader_forget(reader, sw_reader_text(reader, "trip /%s", stated[i]));
        if (node != NULL)
            sw_reader_error(reader, node, 1, "leave it away; heaters and coolers have \"keeps\"",
                            "the cabin's temperature is worked out, as the van file describes its \"cabin\"");
    }
}
