// The loads of a drafted van. The figures called typical are ours, from memory: usual ones of the trade,
// there to be replaced by measurements.
#include "report/draft_rows.h"

#define LIGHTS_END_M   1350 /* 22:30, in minutes of the day */
#define FAN_ABOVE_C    25.0
#define HEATER_BELOW_C 10.0

double sw_draft_cooking_w(draft_cooking cooking)
{
    static const double watts[DRAFT_COOKINGS] = {[DRAFT_KETTLE] = 1000.0, [DRAFT_INDUCTION] = 1200.0};
    return watts[cooking];
}

// ---- values made from answers ----

static void make_light_hours(page *p, const draft_answers *a)
{
    int from = LIGHTS_END_M - 60 * a->light_hours;
    sw_page_add(p, "\"%02d:%02d-%02d:%02d\"", from / 60, from % 60, LIGHTS_END_M / 60, LIGHTS_END_M % 60);
}

static void make_fan_above(page *p, const draft_answers *a)
{
    sw_draft_temperature(p, FAN_ABOVE_C, a);
}

static void make_heater_below(page *p, const draft_answers *a)
{
    sw_draft_temperature(p, HEATER_BELOW_C, a);
}

static void make_laptops(page *p, const draft_answers *a)
{
    sw_page_add(p, "%d", a->laptops);
}

static void make_kettle_power(page *p, const draft_answers *a)
{
    (void)a;
    sw_page_add(p, "\"%g W\"", sw_draft_cooking_w(DRAFT_KETTLE));
}

static void make_hob_power(page *p, const draft_answers *a)
{
    (void)a;
    sw_page_add(p, "\"%g W\"", sw_draft_cooking_w(DRAFT_INDUCTION));
}

// ---- what is wanted ----

static int has_fridge(const draft_answers *a)
{
    return a->fridge;
}

static int has_lights(const draft_answers *a)
{
    return a->light_hours > 0;
}

static int has_heater(const draft_answers *a)
{
    return a->heater;
}

static int has_laptops(const draft_answers *a)
{
    return a->laptops > 0;
}

static int has_kettle(const draft_answers *a)
{
    return a->cooking == DRAFT_KETTLE;
}

static int has_hob(const draft_answers *a)
{
    return a->cooking == DRAFT_INDUCTION;
}

// ---- loads ----

static const draft_row fridge_rows[] = {
    DRAFT_FIXED("kind", "\"fridge\"", NULL),
    DRAFT_FIXED("bus", "\"dc\"", NULL),
    DRAFT_FIXED("held", "\"must\"", NULL),
    DRAFT_FIXED("power", "\"45 W\"", "typical: while the compressor runs"),
    DRAFT_GROWS("reference_energy", 400, 50, "Wh", "typical: a day with 25 C around it"),
    DRAFT_FIXED("reference", "\"25 C\"", "the ambient of that energy"),
    DRAFT_FIXED("set_point", "\"4 C\"", "inside"),
    {0},
};

static const draft_row lights_rows[] = {
    DRAFT_FIXED("kind", "\"steady\"", NULL),
    DRAFT_FIXED("bus", "\"dc\"", NULL),
    DRAFT_FIXED("held", "\"want\"", NULL),
    DRAFT_GROWS("power", 4, 4, "W", "typical: all that are lit"),
    DRAFT_MADE("hours", make_light_hours, NULL),
    DRAFT_FIXED("when", "\"dark\"", "and only with the sun down"),
    {0},
};

static const draft_row fan_rows[] = {
    DRAFT_FIXED("kind", "\"steady\"", NULL),
    DRAFT_FIXED("bus", "\"dc\"", NULL),
    DRAFT_FIXED("held", "\"want\"", NULL),
    DRAFT_FIXED("power", "\"20 W\"", "typical: at middle speed"),
    DRAFT_MADE("outside_above", make_fan_above, "only when it is warmer outside"),
    {0},
};

static const draft_row heater_rows[] = {
    DRAFT_FIXED("kind", "\"steady\"", NULL),
    DRAFT_FIXED("bus", "\"dc\"", NULL),
    DRAFT_FIXED("held", "\"must\"", NULL),
    DRAFT_FIXED("power", "\"20 W\"", "typical: fan, fuel pump and control"),
    DRAFT_MADE("outside_below", make_heater_below, "only when it is colder outside"),
    {0},
};

static const draft_row pump_rows[] = {
    DRAFT_FIXED("kind", "\"use\"", NULL),
    DRAFT_FIXED("bus", "\"dc\"", NULL),
    DRAFT_FIXED("held", "\"must\"", NULL),
    DRAFT_FIXED("power", "\"60 W\"", "typical"),
    DRAFT_GROWS("uses", 0, 5, NULL, "typical: 5 a person and day"),
    DRAFT_FIXED("each", "\"1 min\"", "typical"),
    DRAFT_FIXED("hours", "\"07:00-22:00\"", "spread over these hours"),
    {0},
};

static const draft_row phones_rows[] = {
    DRAFT_FIXED("kind", "\"measured\"", "so much a day, spread"),
    DRAFT_FIXED("bus", "\"dc\"", NULL),
    DRAFT_FIXED("held", "\"want\"", NULL),
    DRAFT_GROWS("count", 0, 1, NULL, "one a person"),
    DRAFT_FIXED("energy_per_day", "\"15 Wh\"", "typical, of each"),
    DRAFT_FIXED("hours", "\"18:00-23:00\"", NULL),
    {0},
};

static const draft_row laptops_rows[] = {
    DRAFT_FIXED("kind", "\"measured\"", "so much a day, spread"),
    DRAFT_FIXED("bus", "\"dc\"", "by a 12 V supply"),
    DRAFT_FIXED("held", "\"want\"", NULL),
    DRAFT_MADE("count", make_laptops, NULL),
    DRAFT_FIXED("energy_per_day", "\"60 Wh\"", "typical, of each: one full charge"),
    DRAFT_FIXED("hours", "\"09:00-17:00\"", NULL),
    {0},
};

static const draft_row kettle_rows[] = {
    DRAFT_FIXED("kind", "\"use\"", NULL),
    DRAFT_FIXED("bus", "\"ac\"", "through the inverter or a hookup"),
    DRAFT_FIXED("held", "\"can-wait\"", NULL),
    DRAFT_MADE("power", make_kettle_power, "typical"),
    DRAFT_GROWS("each", 0, 2, "min", "typical: 2 min a person"),
    DRAFT_FIXED("at", "[\"07:10\", \"17:30\"]", "within the inverter's hours"),
    {0},
};

static const draft_row hob_rows[] = {
    DRAFT_FIXED("kind", "\"use\"", NULL),
    DRAFT_FIXED("bus", "\"ac\"", "through the inverter or a hookup"),
    DRAFT_FIXED("held", "\"want\"", NULL),
    DRAFT_MADE("power", make_hob_power, "typical"),
    DRAFT_GROWS("each", 6, 5, "min", "typical"),
    DRAFT_FIXED("at", "[\"07:10\", \"17:30\"]", "within the inverter's hours"),
    {0},
};

static const draft_row always_rows[] = {
    DRAFT_FIXED("kind", "\"steady\"", NULL),
    DRAFT_FIXED("bus", "\"dc\"", NULL),
    DRAFT_FIXED("held", "\"must\"", NULL),
    DRAFT_FIXED("power", "\"5 W\"", "typical: measure it, it never stops"),
    {0},
};

/// The last one is always wanted, so that every other one is followed by a comma.
static const draft_object load_objects[] = {
    {NULL, "fridge", has_fridge, "Compressor fridge. What it takes follows the warmth of the cabin.",
     fridge_rows},
    {NULL, "lights", has_lights, "Lights of an evening.", lights_rows},
    {NULL, "roof fan", NULL, "Fan in the roof, in warm weather.", fan_rows},
    {NULL, "heater fan", has_heater, "Heater that burns fuel; its fan and control run on the battery.",
     heater_rows},
    {NULL, "water pump", NULL, "Water pump.", pump_rows},
    {NULL, "phones", NULL, "Phones, cameras and the like.", phones_rows},
    {NULL, "laptops", has_laptops, "Laptops.", laptops_rows},
    {NULL, "kettle", has_kettle, "Electric kettle.", kettle_rows},
    {NULL, "induction hob", has_hob, "Induction hob, two meals a day.", hob_rows},
    {NULL, "always on", NULL, "Detectors, displays, a router, standby: what nobody switches off.",
     always_rows},
};
enum { LOAD_OBJECTS = sizeof load_objects / sizeof load_objects[0] };

void sw_draft_add_loads(page *p, const draft_answers *a)
{
    sw_draft_comment(
        p, 2,
        "Everything that takes energy, by name. \"bus\" is dc (the battery) or ac (inverter or "
        "hookup). \"held\" is how dearly people hold it: must, want or can-wait. Typical figures "
        "grow with the number of people.");
    sw_page_add(p, "  \"loads\": {\n");
    for (int i = 0; i < LOAD_OBJECTS; i++)
        if (sw_draft_add_object(p, 4, &load_objects[i], a))
            sw_page_add(p, i + 1 < LOAD_OBJECTS ? ",\n\n" : "\n");
    sw_page_add(p, "  }\n");
}
