// The loads of a van with the habits of a trip.
#include "files/read_van.h"
#include "files/values.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

static const char *const kind_names[] = {"steady", "use",         "measured", "fridge", "hot-water",
                                         "heater", "evaporative", "aircon",   "fan"};

static void check_load_keys(sw_reader *reader, const sw_layers *layers, const sw_load_spec *load)
{
    for (const sw_kind_key *row = sw_load_kind_keys; row->key != NULL; row++) {
        const sw_node *node = sw_layers_find(layers, row->key);
        if (node != NULL && (row->kinds & SW_KIND(load->kind)) == 0)
            sw_reader_error(reader, node, 1, "remove it, or choose another \"kind\"",
                            "a load of kind \"%s\" has no use for \"%s\"", kind_names[load->kind], node->key);
    }
}

static int is_given(const sw_layers *layers, const char *key)
{
    return key != NULL && sw_layers_find(layers, key) != NULL;
}

static void check_load_needs(sw_reader *reader, const sw_layers *layers, const sw_node *node,
                             const sw_load_spec *load)
{
    for (const sw_kind_need *need = sw_load_needs; need->key != NULL; need++)
        if ((need->kinds & SW_KIND(load->kind)) != 0 && !is_given(layers, need->key) &&
            !is_given(layers, need->instead))
            sw_reader_error(reader, node, 0, need->hint, "a load of kind \"%s\" needs \"%s\"",
                            kind_names[load->kind], need->told);
}

/* Of two keys that say the same in two ways the stronger layer's counts. @return the layer, or count */
static int layer_of(const sw_layers *layers, const char *key)
{
    int i = 0;
    while (i < layers->count && sw_node_member(layers->object[i], key) == NULL)
        i++;
    return i;
}

static void too_long(sw_reader *reader, const sw_node *node, const sw_load_spec *load)
{
    char each[48];
    sw_quantity_write(load->each_s, SW_DIM_TIME, SW_UNITS_SI, each, sizeof each);
    sw_reader_error(reader, node, 0,
                    load->kind == SW_LOAD_HOT_WATER
                        ? "less water, or more power"
                        : "for example \"each\": \"4 min\"; what always runs is of kind \"steady\"",
                    "%g times %s is more than a day holds", load->uses, each);
}

static void check_uses(sw_reader *reader, const sw_layers *layers, sw_load_spec *load)
{
    if (load->at != NULL && layer_of(layers, "at") < layer_of(layers, "uses"))
        load->uses = load->at->count;
    if (load->at != NULL && load->uses > load->at->count)
        sw_reader_error(reader, sw_layers_find(layers, "uses"), 0,
                        "give as many times, for example \"at\": [\"07:10\", \"12:30\", \"16:00\"]",
                        "there are %g uses a day, but \"at\" gives only %d times", load->uses,
                        load->at->count);
    if (load->uses * load->each_s > 86400.0)
        too_long(reader, sw_layers_find(layers, load->kind == SW_LOAD_HOT_WATER ? "water" : "each"), load);
}

static void check_measured(sw_reader *reader, const sw_layers *layers, const sw_node *node,
                           sw_load_spec *load)
{
    int energy = layer_of(layers, "energy_per_day"), charge = layer_of(layers, "charge_per_day");
    if (energy < charge)
        load->per_day_ah = NAN;
    else if (charge < energy)
        load->per_day_wh = NAN;
    else if (energy < layers->count)
        sw_reader_error(reader, node, 0, "keep the one that was measured",
                        "a load has either \"energy_per_day\" or \"charge_per_day\", not both");
}

/* Conditions that can never be met together are a mistake. */
static void check_conditions(sw_reader *reader, const sw_layers *layers, const sw_load_spec *load)
{
    static const struct {
        unsigned both;
        const char *says;
    } contrary[] = {{SW_WHEN_PARKED | SW_WHEN_DRIVING, "parked and driving"},
                    {SW_WHEN_SHORE | SW_WHEN_OFF_GRID, "on shore and off grid"},
                    {SW_WHEN_DARK | SW_WHEN_LIGHT, "dark and light"}};
    for (size_t i = 0; i < sizeof contrary / sizeof contrary[0]; i++)
        if ((load->when & contrary[i].both) == contrary[i].both)
            sw_reader_error(reader, sw_layers_find(layers, "when"), 0, "keep one of them, or leave both away",
                            "it is never %s at once, so that this load would never run", contrary[i].says);
    if (load->outside_above_c >= load->outside_below_c)
        sw_reader_error(reader, sw_layers_find(layers, "outside_above"), 0, "swap the two temperatures",
                        "it is never warmer than %g C and colder than %g C outside at once",
                        load->outside_above_c, load->outside_below_c);
    if (load->cabin_above_c >= load->cabin_below_c)
        sw_reader_error(reader, sw_layers_find(layers, "cabin_above"), 0, "swap the two temperatures",
                        "it is never warmer than %g C and colder than %g C in the cabin at once",
                        load->cabin_above_c, load->cabin_below_c);
}

/* Water and fuel follow the energy that is served, so there must be some. */
static void check_portions(sw_reader *reader, const sw_layers *layers, const sw_node *node,
                           const sw_load_spec *load)
{
    int measured = load->kind == SW_LOAD_MEASURED;
    double each = load->kind == SW_LOAD_USE ? load->each_s * load->duty : 1.0; // hot water: by what it takes
    double energy = measured ? fmax(load->per_day_wh, load->per_day_ah) : load->power_w * each;
    if ((is_given(layers, "water") || is_given(layers, "fuel")) && !(energy > 0.0))
        sw_reader_error(reader, node, 0, "a hand pump counts in the trip's \"water_per_person\"",
                        "\"water\" and \"fuel\" follow the energy of a load, and this one takes none");
}

static void check_load(sw_reader *reader, const sw_layers *layers, const sw_node *node, sw_load_spec *load)
{
    check_load_keys(reader, layers, load);
    check_conditions(reader, layers, load);
    check_load_needs(reader, layers, node, load);
    if (load->kind == SW_LOAD_USE)
        check_uses(reader, layers, load);
    else if (load->kind == SW_LOAD_MEASURED)
        check_measured(reader, layers, node, load);
    check_portions(reader, layers, node, load);
    if (load->kind == SW_LOAD_FRIDGE && load->set_c >= load->reference_c)
        sw_reader_error(reader, node, 0, "for example \"set_point\": \"4 C\", \"reference\": \"25 C\"",
                        "the fridge's set_point (%g C) must lie below its reference ambient (%g C)",
                        load->set_c, load->reference_c);
}

/* Defaults of one kind are nobody else's. */
static void forget_strangers(sw_reader *reader, int assumed_before, const sw_load_spec *load)
{
    int kept = assumed_before;
    for (int i = assumed_before; i < reader->assumptions; i++) {
        const char *key = strrchr(reader->assumption[i].path, '/') + 1;
        const sw_kind_key *row = sw_load_kind_keys;
        while (row->key != NULL && strcmp(row->key, key) != 0)
            row++;
        if (row->key == NULL || (row->kinds & SW_KIND(load->kind)) != 0)
            reader->assumption[kept++] = reader->assumption[i];
    }
    reader->assumptions = kept;
}

#define WATER_J_KG_K 4186.0 // and a litre is a kilogram: from memory

/* A use lasts as long as its power needs to warm its water, in whole seconds. */
static void finish_hot_water(sw_reader *reader, const sw_layers *layers, const sw_node *node,
                             sw_load_spec *load)
{
    if (load->warm_c <= load->cold_c) {
        sw_reader_error(reader, node, 0, "for example \"cold\": \"12 C\", \"warm\": \"40 C\"",
                        "water that comes with %g C is not made warm by %g C", load->cold_c, load->warm_c);
        return;
    }
    double seconds = load->water_l * WATER_J_KG_K * (load->warm_c - load->cold_c) / load->power_w;
    load->each_s = fmax(1.0, floor(seconds + 0.5));
    check_uses(reader, layers, load);
}

static void read_load(sw_reader *reader, const sw_node *node, const sw_node *habit, sw_load_spec *load)
{
    size_t before = sw_messages_errors(reader->messages);
    sw_layers layers = sw_reader_layers(reader, &sw_load_table, node, habit,
                                        sw_reader_text(reader, "van /loads/%s", node->key));
    load->name = sw_name_read(reader, node);
    int assumed_before = reader->assumptions;
    if (layers.count > 0)
        sw_fill(reader, &sw_load_table, &layers, load);
    if (!sw_reader_clean_since(reader, before))
        return;
    forget_strangers(reader, assumed_before, load);
    check_load(reader, &layers, node, load);
    if (load->kind == SW_LOAD_HOT_WATER && sw_reader_clean_since(reader, before))
        finish_hot_water(reader, &layers, node, load);
}

static int fridges(const sw_van *van)
{
    int count = 0;
    for (int i = 0; i < van->loads; i++)
        count += van->load[i].kind == SW_LOAD_FRIDGE;
    return count;
}

/* A habit must belong to a load of the van. */
static void check_habits(sw_reader *reader, const sw_node *habits, const sw_node *loads, const sw_van *van)
{
    if (loads == NULL || loads->type != SW_JSON_OBJECT)
        return; // already told
    if (habits != NULL && habits->type != SW_JSON_OBJECT) {
        sw_reader_error(reader, habits, 0, "\"habits\": {\"kettle\": {\"uses\": 3}}",
                        "\"habits\" must hold loads of the van by name, in braces");
        return;
    }
    for (const sw_node *habit = habits != NULL ? habits->first : NULL; habit != NULL; habit = habit->next) {
        const char *names[SW_LOADS_MAX];
        size_t count = 0;
        int known = 0;
        for (int i = 0; i < van->loads && count < SW_LOADS_MAX; i++) {
            names[count++] = van->load[i].name;
            known = known || strcmp(van->load[i].name, habit->key) == 0;
        }
        if (!known)
            sw_reader_error(reader, habit, 1, "habits change loads of the van file",
                            "the van has no load \"%s\"%s", habit->key,
                            sw_reader_guess(reader, habit->key, names, count));
    }
}

/* AC needs an inverter or a hookup; hours outside the inverter's own are seen in the rehearsal. */
static void warn_without_ac(sw_reader *reader, const sw_node *loads, const sw_van *van)
{
    for (int i = 0; i < van->loads && van->inverter == NULL; i++) {
        const sw_load_spec *load = &van->load[i];
        if (load->bus == SW_BUS_AC && load->count > 0)
            sw_node_warn(reader->messages, sw_node_member(loads, load->name),
                         "add an \"inverter\", or change its \"bus\"",
                         "\"%s\" needs AC, but the van has no inverter%s", load->name,
                         van->shore != NULL ? ": it runs on hookups only" : " and no inlet: it never runs");
    }
}

void sw_reader_loads(sw_reader *reader, const sw_node *root, const sw_node *habits, sw_van *van)
{
    const sw_node *map = sw_reader_map(
        reader, root, "loads",
        "\"loads\": {\"lights\": {\"kind\": \"steady\", \"bus\": \"dc\", \"power\": \"15 W\"}}");
    van->load = sw_arena_alloc(reader->arena, (size_t)sw_reader_members(map) * sizeof *van->load);
    if (van->load == NULL) {
        sw_reader_no_memory(reader);
        return;
    }
    for (const sw_node *node = map != NULL ? map->first : NULL; node != NULL; node = node->next)
        read_load(reader, node, sw_node_member(habits, node->key), &van->load[van->loads++]);
    if (fridges(van) > SW_THERMAL_MAX)
        sw_reader_error(reader, map, 0, "describe one of them as measured", "at most %d fridges are possible",
                        SW_THERMAL_MAX);
    if (van->loads > SW_LOADS_MAX)
        sw_reader_error(reader, map, 0, "join some of them into one, such as measured energy a day",
                        "at most %d loads are possible", SW_LOADS_MAX);
    check_habits(reader, habits, map, van);
    warn_without_ac(reader, map, van);
}
