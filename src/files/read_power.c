// The parts of a van that store and bring energy: battery, arrays, chargers, inverter.
#include "files/key_rows.h"
#include "files/read_van.h"
#include "files/values.h"

#include "stillwatt/battery.h"
#include "stillwatt/inverter.h"

#include <math.h>
#include <string.h>

#define RESTART_OVER_V                                                                                       \
    0.5 // a restart level is so far over its cut-out at least, of 12 V: typical, from memory

// ---- battery ----

/* A default that follows from the chemistry and the unit's size. */
static void derive(sw_reader *reader, double *at, double value, const char *key, const char *says,
                   sw_dimension dimension, double low, double high)
{
    if (!isnan(*at))
        return;
    *at = value;
    sw_assume(reader, "van /battery", key, says, "typical of the chemistry, from memory", at, dimension,
              value * low, value * high);
}

/* The two factors of each row are the ends of the usual spread over the typical value: from memory, as the
 * values are. */
static void derive_battery(sw_reader *reader, sw_battery_spec *b)
{
    const sw_chemistry_data *data = sw_chemistry_of((sw_chemistry)b->chemistry);
    double over_12 = b->unit_v / 12.0;
    /* Resistance per 12 V unit falls with its size; a 24 V unit has twice the cells of a 12 V one. */
    derive(reader, &b->resistance_ohm, data->resistance_ohm_100ah * over_12 * 100.0 / b->capacity_ah,
           "resistance", "internal resistance of one unit", SW_DIM_RESISTANCE, 0.5, 2.0);
    derive(reader, &b->charge_limit_a, data->charge_c_rate * b->capacity_ah, "charge_limit",
           "greatest charging current of one unit", SW_DIM_CURRENT, 0.5, 1.5);
    derive(reader, &b->discharge_limit_a, data->discharge_c_rate * b->capacity_ah, "discharge_limit",
           "greatest discharging current of one unit", SW_DIM_CURRENT, 0.7, 1.5);
    derive(reader, &b->absorption_v, data->absorption_v * over_12, "absorption",
           "charging voltage of one unit", SW_DIM_VOLTAGE, 0.985, 1.015);
    derive(reader, &b->cut_out_v, data->cut_out_v * over_12, "cut_out", "voltage at which discharge ends",
           SW_DIM_VOLTAGE, 1.0, 1.05);
    derive(reader, &b->restart_v, fmax(data->restart_v, b->cut_out_v / over_12 + RESTART_OVER_V) * over_12,
           "restart", "voltage at which the battery comes back", SW_DIM_VOLTAGE, 0.98, 1.02);
    if (data->management_w > 0.0)
        derive(reader, &b->management_w, data->management_w, "management_draw",
               "what the battery's own management takes, all units together", SW_DIM_POWER, 1.0 / 3.0,
               10.0 / 3.0);
    else if (isnan(b->management_w))
        b->management_w = 0.0;
    derive(reader, &b->cold_stop_c, data->cold_stop_c, "cold_stop",
           "temperature at and below which it may not be charged", SW_DIM_TEMPERATURE, 1.0, 1.0);
    derive(reader, &b->cold_full_c, fmax(data->cold_full_c, b->cold_stop_c), "cold_full",
           "temperature from which it takes the full charging current", SW_DIM_TEMPERATURE, 1.0, 1.0);
    derive(reader, &b->hot_full_c,
           isnan(b->hot_stop_c) ? data->hot_full_c : fmin(data->hot_full_c, b->hot_stop_c), "hot_full",
           "temperature up to which it takes the full charging current", SW_DIM_TEMPERATURE, 1.0, 1.0);
    derive(reader, &b->hot_stop_c, fmax(data->hot_stop_c, b->hot_full_c), "hot_stop",
           "temperature at and above which it may not be charged", SW_DIM_TEMPERATURE, 1.0, 1.0);
    derive(reader, &b->discharge_stop_c, data->discharge_stop_c, "discharge_stop",
           "temperature at and below which it gives nothing", SW_DIM_TEMPERATURE, 1.0, 1.0);
}

static int is_nominal(double volts)
{
    return volts == 12.0 || volts == 24.0 || volts == 48.0;
}

/* The node that gives a key, or the whole object. */
static const sw_node *given(const sw_layers *layers, const char *key)
{
    const sw_node *node = sw_layers_find(layers, key);
    return node != NULL ? node : layers->object[0];
}

static void check_bank(sw_reader *reader, const sw_layers *layers, const sw_battery_spec *b)
{
    if (!is_nominal(b->unit_v))
        sw_reader_error(reader, given(layers, "unit_voltage"), 0,
                        "for example \"unit_voltage\": \"12 V\", also where the label says 12.8 V",
                        "one battery must have 12, 24 or 48 V by name, not %g V", b->unit_v);
    else if (!is_nominal(b->unit_v * b->series))
        sw_reader_error(reader, given(layers, "series"), 0,
                        "change \"series\" or \"unit_voltage\"; batteries side by side are \"parallel\"",
                        "%d batteries of %g V in series make %g V, but a van has 12, 24 or 48 V", b->series,
                        b->unit_v, b->unit_v * b->series);
}

/* Voltages copied from a data sheet of another nominal voltage: wide limits per 12 V, from memory. */
static void check_fits_unit(sw_reader *reader, const sw_layers *layers, const sw_battery_spec *b)
{
    const struct {
        const char *key;
        double volts, least, most;
    } limits[] = {
        {"absorption", b->absorption_v, 13.0, 16.0},
        {"cut_out", b->cut_out_v, 8.0, 13.2},
        {"restart", b->restart_v, 10.0, 14.0},
    };
    double over_12 = b->unit_v / 12.0;
    for (size_t i = 0; i < sizeof limits / sizeof limits[0]; i++)
        if (limits[i].volts < limits[i].least * over_12 || limits[i].volts > limits[i].most * over_12)
            sw_reader_error(reader, given(layers, limits[i].key), 0,
                            "it is the voltage of one battery, not of all in series",
                            "\"%s\" of %g V does not suit a battery of %g V; %g V to %g V would",
                            limits[i].key, limits[i].volts, b->unit_v, limits[i].least * over_12,
                            limits[i].most * over_12);
}

static void check_battery(sw_reader *reader, const sw_layers *layers, const sw_battery_spec *b)
{
    check_bank(reader, layers, b);
    check_fits_unit(reader, layers, b);
    if (!(b->cut_out_v < b->restart_v && b->restart_v < b->absorption_v))
        sw_reader_error(reader, layers->object[0], 0,
                        "for example \"cut_out\": \"10.5 V\", \"restart\": \"12.6 V\", \"absorption\": "
                        "\"14.2 V\"",
                        "cut_out (%g V), restart (%g V) and absorption (%g V) must rise in this order",
                        b->cut_out_v, b->restart_v, b->absorption_v);
    if (b->cold_full_c < b->cold_stop_c)
        sw_reader_error(reader, given(layers, "cold_full"), 0,
                        "for example \"cold_stop\": \"0 C\", \"cold_full\": \"10 C\"",
                        "cold_full (%g C) must not lie below cold_stop (%g C)", b->cold_full_c,
                        b->cold_stop_c);
    if (b->hot_stop_c < b->hot_full_c || b->hot_full_c < b->cold_full_c)
        sw_reader_error(reader, given(layers, "hot_full"), 0,
                        "for example \"cold_full\": \"10 C\", \"hot_full\": \"45 C\", \"hot_stop\": \"55 C\"",
                        "cold_full (%g C), hot_full (%g C) and hot_stop (%g C) must rise in this order",
                        b->cold_full_c, b->hot_full_c, b->hot_stop_c);
}

static void read_battery(sw_reader *reader, const sw_node *root, sw_van *van)
{
    size_t before = sw_messages_errors(reader->messages);
    const sw_node *node = sw_node_member(root, "battery");
    if (node == NULL)
        return;
    sw_layers layers = sw_reader_layers(reader, &sw_battery_table, node, NULL, "van /battery");
    if (layers.count > 0)
        sw_fill(reader, &sw_battery_table, &layers, &van->battery);
    if (sw_reader_clean_since(reader, before)) {
        derive_battery(reader, &van->battery);
        check_battery(reader, &layers, &van->battery);
    }
}

// ---- chargers and inverter ----

/* Voltages of a 12 V vehicle with the engine running; typical, from memory. */
#define PLAIN_V 13.8
#define SMART_V 12.7

static void assume_alternator(sw_reader *reader, double *at, double value, const char *key, const char *says,
                              sw_dimension dimension, double low, double high)
{
    if (!isnan(*at))
        return;
    *at = value;
    sw_assume(reader, "van /alternator", key, says, TYPICAL, at, dimension, low, high);
}

#define WARMS_S 600.0

/* How fast it warms is an assumption only where a cold one differs from a warm one. */
static void finish_cold(sw_reader *reader, const sw_node *node, sw_alternator_spec *a)
{
    if (a->cold_cruise_a < a->spare_cruise_a || a->cold_idle_a < a->spare_idle_a)
        sw_reader_error(reader, node, 0, "the hotter an alternator is, the less it gives",
                        "the alternator has less to spare cold than warm");
    if (isnan(a->cold_cruise_a) && isnan(a->cold_idle_a) && isnan(a->warms_s))
        a->warms_s = WARMS_S;
    assume_alternator(reader, &a->warms_s, WARMS_S, "warms_in", "time in which the alternator warms",
                      SW_DIM_TIME, WARMS_S, WARMS_S);
}

static void finish_alternator(sw_reader *reader, const sw_node *node, sw_van *van)
{
    sw_alternator_spec *a = van->alternator;
    double bank_v = van->battery.unit_v * van->battery.series;
    if (a->path == 0 && isnan(a->converter_w))
        sw_reader_error(
            reader, node, 0, "add \"converter_output\": \"360 W\", or \"path\": \"relay\"",
            "an alternator charger needs the key \"converter_output\" (rated output of the converter "
            "between starter and house battery)");
    if (a->path == 1 && bank_v != 12.0)
        sw_reader_error(reader, node, 0, "charge it by a converter",
                        "a relay joins batteries of one voltage, but the bank has %g V", bank_v);
    finish_cold(reader, node, a);
    if (isnan(a->alternator_v) && !a->is_smart)
        a->alternator_v = PLAIN_V;
    assume_alternator(reader, &a->alternator_v, SMART_V, "voltage",
                      "voltage of the alternator while cruising", SW_DIM_VOLTAGE, 12.3, 13.5);
    if (a->path == 0)
        assume_alternator(reader, &a->converter_efficiency, 0.90, "converter_efficiency",
                          "efficiency of the converter", SW_DIM_RATIO, 0.85, 0.95);
    else
        assume_alternator(reader, &a->cable_ohm, 0.010, "cable",
                          "resistance of the relay's cable, there and back", SW_DIM_RESISTANCE, 0.005, 0.025);
}

static void check_curve(sw_reader *reader, const sw_node *node, const sw_inverter_spec *inverter)
{
    sw_inverter_curve curve;
    const char *hint =
        "look idle, peak_efficiency and full_efficiency up in the data sheet, or measure what it "
        "takes with nothing plugged in, such as \"idle\": \"8 W\"";
    switch (sw_inverter_fit_curve(inverter->idle_w, inverter->rated_w, inverter->peak_efficiency,
                                  inverter->full_efficiency, &curve)) {
    case SW_FIT_OK:
        break;
    case SW_FIT_STEEP:
        sw_node_warn(reader->messages, node, hint,
                     "an idle draw of %g W is high for an inverter of %g W with these efficiencies",
                     inverter->idle_w, inverter->rated_w);
        break;
    case SW_FIT_PEAK_BELOW_FULL:
        sw_reader_error(reader, node, 0, hint,
                        "the efficiency at full load (%.1f %%) must not exceed the peak efficiency (%.1f %%)",
                        100.0 * inverter->full_efficiency, 100.0 * inverter->peak_efficiency);
        break;
    default:
        sw_reader_error(reader, node, 0, hint,
                        "no inverter of %g W with a peak efficiency of %.1f %% can take %g W at idle",
                        inverter->rated_w, 100.0 * inverter->peak_efficiency, inverter->idle_w);
        break;
    }
}

/* A voltage copied from a bank of another nominal voltage: wide limits per 12 V, from memory. */
static void check_switching(sw_reader *reader, const sw_node *node, const sw_inverter_spec *inverter,
                            double bank_over_12)
{
    if (inverter->restart_v <= inverter->cut_out_v)
        sw_reader_error(reader, node, 0, "for example \"cut_out\": \"10.8 V\", \"restart\": \"12.5 V\"",
                        "the inverter's restart (%g V) must lie above its cut_out (%g V)",
                        inverter->restart_v, inverter->cut_out_v);
    else if (inverter->cut_out_v < 8.0 * bank_over_12 || inverter->cut_out_v > 13.2 * bank_over_12)
        sw_reader_error(reader, node, 0, "it is the voltage of all batteries in series together",
                        "the inverter's cut_out of %g V does not suit batteries of %g V", inverter->cut_out_v,
                        12.0 * bank_over_12);
}

/* Idle draw grows with the size of an inverter: 15 W at 2000 W, 6 to 40 W. */
static void derive_idle(sw_reader *reader, sw_inverter_spec *inverter)
{
    if (!isnan(inverter->idle_w))
        return;
    inverter->idle_w = 0.0075 * inverter->rated_w;
    sw_assume(reader, "van /inverter", "idle", "what the inverter takes while on with nothing plugged in",
              TYPICAL, &inverter->idle_w, SW_DIM_POWER, 0.4 * inverter->idle_w, 2.7 * inverter->idle_w);
}

static void finish_inverter(sw_reader *reader, const sw_node *root, sw_van *van)
{
    const sw_node *node = sw_node_member(root, "inverter");
    sw_inverter_spec *inverter = van->inverter;
    double bank_v = van->battery.unit_v * van->battery.series, bank_over_12 = bank_v / 12.0;
    derive_idle(reader, inverter);
    check_curve(reader, node, inverter);
    if (!is_nominal(bank_v))
        return; // already told
    if (isnan(inverter->cut_out_v)) {
        inverter->cut_out_v = 10.5 * bank_over_12;
        sw_assume(reader, "van /inverter", "cut_out", "voltage at which the inverter switches off", TYPICAL,
                  &inverter->cut_out_v, SW_DIM_VOLTAGE, 10.0 * bank_over_12, 11.5 * bank_over_12);
    }
    if (isnan(inverter->restart_v)) {
        inverter->restart_v = fmax(12.5, inverter->cut_out_v / bank_over_12 + RESTART_OVER_V) * bank_over_12;
        sw_assume(reader, "van /inverter", "restart", "voltage at which the inverter comes back", TYPICAL,
                  &inverter->restart_v, SW_DIM_VOLTAGE, inverter->restart_v, inverter->restart_v);
    }
    check_switching(reader, node, inverter, bank_over_12);
    if (inverter->hours == NULL)
        sw_assume_word(reader, "van /inverter", "hours", "always switched on",
                       "the safe reading of a van file that does not say", "");
}

// ---- arrays ----

static void read_arrays(sw_reader *reader, const sw_node *root, sw_van *van)
{
    const sw_node *map =
        sw_reader_map(reader, root, "arrays", "\"arrays\": {\"roof\": {\"rating\": \"200 W\"}}");
    int count = sw_reader_members(map);
    if (count > SW_ARRAYS_MAX) {
        sw_reader_error(reader, map, 0, "join panels that stand alike into one array",
                        "at most %d arrays are possible", SW_ARRAYS_MAX);
        return;
    }
    van->array = sw_arena_alloc(reader->arena, (size_t)count * sizeof *van->array);
    if (van->array == NULL) {
        sw_reader_no_memory(reader);
        return;
    }
    for (const sw_node *node = map != NULL ? map->first : NULL; node != NULL; node = node->next) {
        sw_array_spec *array = &van->array[van->arrays++];
        array->name = sw_name_read(reader, node);
        sw_layers layers = sw_reader_layers(reader, &sw_array_table, node, NULL,
                                            sw_reader_text(reader, "van /arrays/%s", node->key));
        size_t before = sw_messages_errors(reader->messages);
        if (layers.count > 0)
            sw_fill(reader, &sw_array_table, &layers, array);
        if (layers.count > 0 && sw_reader_clean_since(reader, before) &&
            array->panels % array->in_series != 0)
            sw_reader_error(reader, given(&layers, "series"), 0, "strings of a controller are of one length",
                            "%d panels cannot be strings of %d in series", array->panels, array->in_series);
    }
    if (count > 0 && sw_node_member(root, "controller") == NULL)
        sw_reader_error(reader, map, 1, "add \"controller\": {\"limit\": \"30 A\"}",
                        "solar arrays need a \"controller\"");
}

#define COLD_MORNING_C (-20.0) // cells on the coldest morning reckoned with: common practice, no source
#define HOT_CELLS_C    70.0    // cells on a hot roof: common practice, no source
#define RATED_C        25.0

/* Voltages add up along a string: the cold one must not destroy the controller. */
static void check_cold_string(sw_reader *reader, const sw_node *node, const sw_array_spec *a,
                              const sw_controller_spec *c)
{
    double cold_v = a->in_series * a->open_circuit_v * (1.0 + a->voltage_per_k * (COLD_MORNING_C - RATED_C));
    if (cold_v > c->input_limit_v) // false where either is not known
        sw_node_warn(
            reader->messages, node,
            "put fewer in series or take a controller that bears more; follow local codes and a licensed "
            "practitioner",
            "%d of these panels in series reach %.0f V on a morning of %g C, and the controller bears %g V: "
            "it may be destroyed",
            a->in_series, cold_v, COLD_MORNING_C, c->input_limit_v);
}

/* The hot one must still fill the battery while it works, and a tracker must find so much more over a half
   full battery, open, that it starts. */
static void check_hot_string(sw_reader *reader, const sw_node *node, const sw_array_spec *a,
                             const sw_van *van)
{
    const sw_battery_spec *b = &van->battery;
    const sw_chemistry_data *data = sw_chemistry_of((sw_chemistry)b->chemistry);
    double units_12v = b->unit_v * b->series / 12.0,
           half_v = sw_curve_at(&data->open_circuit_v, 0.5) * units_12v;
    double works_v = a->in_series * a->working_v * (1.0 + a->gamma_per_k * (HOT_CELLS_C - RATED_C));
    double open_v = a->in_series * a->open_circuit_v * (1.0 + a->voltage_per_k * (HOT_CELLS_C - RATED_C));
    double starts_v = half_v + van->controller->starts_over_v, fills_v = b->absorption_v * b->series;
    const char *hint =
        a->panels > a->in_series ? "put more of them in series" : "take a panel of a higher voltage";
    if (works_v < fills_v)
        sw_node_warn(
            reader->messages, node, hint,
            "%d of these panels in series give %.1f V with cells of %g C, but it takes %.1f V to fill the "
            "battery",
            a->in_series, works_v, HOT_CELLS_C, fills_v);
    else if (van->controller->kind == 0 && open_v < starts_v)
        sw_node_warn(
            reader->messages, node, hint,
            "%d of these panels in series reach %.1f V with cells of %g C, but the controller starts at "
            "%.1f V",
            a->in_series, open_v, HOT_CELLS_C, starts_v);
}

static void check_string(sw_reader *reader, const sw_node *node, const sw_array_spec *a, const sw_van *van)
{
    check_cold_string(reader, node, a, van->controller);
    check_hot_string(reader, node, a, van);
}

static void check_strings(sw_reader *reader, const sw_node *root, const sw_van *van)
{
    const sw_node *map = sw_node_member(root, "arrays");
    const sw_node *node = map != NULL && van->controller != NULL ? map->first : NULL;
    for (int i = 0; i < van->arrays && node != NULL; i++, node = node->next)
        check_string(reader, node, &van->array[i], van);
}

/* A controller that holds the panels at the battery's voltage: what they lose by it hangs on their own. */
static void check_held(sw_reader *reader, const sw_node *root, const sw_van *van)
{
    const sw_node *map = sw_node_member(root, "arrays");
    const sw_node *node = map != NULL ? map->first : NULL;
    for (int i = 0; i < van->arrays && node != NULL; i++, node = node->next)
        if (isnan(van->array[i].working_v))
            sw_reader_error(reader, node, 1,
                            "copy it from the panel's label, such as \"working_voltage\": \"18.6 V\"",
                            "with a controller of kind \"pwm\" panels need their \"working_voltage\"");
}

// ---- all of them ----

void sw_reader_power(sw_reader *reader, const sw_node *root, sw_van *van)
{
    read_battery(reader, root, van);
    read_arrays(reader, root, van);
    van->controller =
        sw_reader_optional(reader, root, "controller", &sw_controller_table, sizeof *van->controller);
    if (!reader->failed)
        check_strings(reader, root, van);
    if (!reader->failed && van->controller != NULL && van->controller->kind == 1)
        check_held(reader, root, van);
    size_t alternator_before = sw_messages_errors(reader->messages);
    van->alternator =
        sw_reader_optional(reader, root, "alternator", &sw_alternator_table, sizeof *van->alternator);
    if (van->alternator != NULL && sw_reader_clean_since(reader, alternator_before))
        finish_alternator(reader, sw_node_member(root, "alternator"), van);
    van->shore = sw_reader_optional(reader, root, "shore", &sw_shore_table, sizeof *van->shore);
    van->generator =
        sw_reader_optional(reader, root, "generator", &sw_generator_table, sizeof *van->generator);
    if (van->generator != NULL && van->shore == NULL)
        sw_reader_error(reader, sw_node_member(root, "generator"), 1,
                        "add \"shore\": the inlet and its charger",
                        "a generator is plugged into the inlet, but the van has no \"shore\"");
    size_t before = sw_messages_errors(reader->messages);
    van->inverter = sw_reader_optional(reader, root, "inverter", &sw_inverter_table, sizeof *van->inverter);
    if (van->inverter != NULL && sw_reader_clean_since(reader, before))
        finish_inverter(reader, root, van);
}
