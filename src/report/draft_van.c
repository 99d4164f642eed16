// The text of a drafted van file. The figures called typical are ours, from memory: usual ones of the trade,
// there to be replaced by measurements. What the reader assumes with a range is left to it, so that `check`
// and the reports keep listing it.
#include "report/draft_rows.h"

#include <math.h>

#define BATTERY_V    12.0
#define CONTROLLER_A 10.0  /* controllers are sold in such steps */
#define IDLE_SHARE   0.008 /* 16 W of 2000 W; above 1 % it contradicts the usual efficiencies */

// ---- values made from answers ----

static void make_chemistry(page *p, const draft_answers *a)
{
    sw_draft_quote(p, sw_chemistry_of((sw_chemistry)a->chemistry)->word);
}

static void make_capacity(page *p, const draft_answers *a)
{
    sw_page_add(p, "\"%.6g Ah\"", a->battery_ah);
}

static void make_parallel(page *p, const draft_answers *a)
{
    sw_page_add(p, "%d", a->batteries);
}

static void make_panel_rating(page *p, const draft_answers *a)
{
    sw_page_add(p, "\"%.6g W\"", a->panel_w);
}

static void make_panels(page *p, const draft_answers *a)
{
    sw_page_add(p, "%d", a->panels);
}

static void make_controller_limit(page *p, const draft_answers *a)
{
    double amperes = a->panels * a->panel_w / BATTERY_V;
    sw_page_add(p, "\"%g A\"", CONTROLLER_A * ceil(amperes / CONTROLLER_A));
}

static void make_inverter_rating(page *p, const draft_answers *a)
{
    sw_page_add(p, "\"%.6g W\"", a->inverter_w);
}

static void make_inverter_idle(page *p, const draft_answers *a)
{
    sw_page_add(p, "\"%.3g W\"", IDLE_SHARE * a->inverter_w);
}

// ---- what is wanted ----

static int has_panels(const draft_answers *a)
{
    return a->panels > 0;
}

static int has_driving(const draft_answers *a)
{
    return a->driving;
}

static int has_shore(const draft_answers *a)
{
    return a->shore;
}

static int has_inverter(const draft_answers *a)
{
    return a->inverter_w > 0.0;
}

// ---- the electrical system ----

static const draft_row battery_rows[] = {
    DRAFT_MADE("chemistry", make_chemistry, "lifepo4 or agm"),
    DRAFT_FIXED("unit_voltage", "\"12 V\"", "of one unit"),
    DRAFT_MADE("capacity", make_capacity, "of one unit, at the 20 h rate"),
    DRAFT_FIXED("series", "1", "units in series"),
    DRAFT_MADE("parallel", make_parallel, "units side by side"),
    DRAFT_FIXED("place", "\"cabin\"", "cabin or outside"),
    {0},
};

static const draft_row roof_rows[] = {
    DRAFT_MADE("rating", make_panel_rating, "of one panel"),
    DRAFT_MADE("panels", make_panels, "how many of them"),
    DRAFT_FIXED("tilt", "\"0 deg\"", "0 lies flat"),
    DRAFT_FIXED("deployed", "\"always\"", "always, parked, or raised when parked"),
    {0},
};

static const draft_row controller_rows[] = {
    DRAFT_MADE("limit", make_controller_limit, "typical: enough for the panels"),
    {0},
};

static const draft_row alternator_rows[] = {
    DRAFT_FIXED("converter_output", "\"360 W\"", "typical"),
    {0},
};

static const draft_row shore_rows[] = {
    DRAFT_FIXED("inlet_current", "\"30 A\"", "typical; 16 A in Europe"),
    DRAFT_FIXED("inlet_voltage", "\"120 V\"", "230 V in Europe"),
    DRAFT_FIXED("charger_output", "\"500 W\"", "typical: into the battery"),
    {0},
};

static const draft_row inverter_rows[] = {
    DRAFT_MADE("rating", make_inverter_rating, "what it gives for hours"),
    DRAFT_MADE("idle", make_inverter_idle, "typical: on, nothing plugged in"),
    DRAFT_FIXED("hours", "[\"06:30-09:00\", \"17:00-21:00\"]", "typical"),
    {0},
};

static const draft_object system_objects[] = {
    {NULL, "battery", NULL, "The house battery: equal units of 12, 24 or 48 V.", battery_rows},
    {"arrays", "roof", has_panels,
     "Panels that are alike and stand alike. More of them: \"left\": { ... } and so on.", roof_rows},
    {NULL, "controller", has_panels, "The solar charge controller, a tracking one.", controller_rows},
    {NULL, "alternator", has_driving,
     "Charging while driving: the converter between the starter battery and the house battery.",
     alternator_rows},
    {NULL, "shore", has_shore, "The inlet for a hookup, and the charger behind it.", shore_rows},
    {NULL, "inverter", has_inverter,
     "AC away from a hookup. It takes its idle draw in all the hours in which it is switched on; without "
     "\"hours\" it is always on.",
     inverter_rows},
};
enum { SYSTEM_OBJECTS = sizeof system_objects / sizeof system_objects[0] };

static void add_system(page *p, const draft_answers *a)
{
    for (int i = 0; i < SYSTEM_OBJECTS; i++)
        if (sw_draft_add_object(p, 2, &system_objects[i], a))
            sw_page_add(p, ",\n\n");
}

sw_status sw_draft_van_text(const draft_answers *a, char **out)
{
    page p = {0};
    sw_draft_comment(
        &p, 0,
        "A van: its electrical system and its appliances, drafted from a few answers and meant to "
        "be edited. Text after // is for people. Every quantity carries its unit: \"180 W\", "
        "\"100 Ah\", \"90 min\", \"75 F\". Figures called typical are usual ones, not measured in "
        "this van: put yours in their place. `stillwatt check` on this file finds mistakes and "
        "lists what is assumed beyond it.");
    sw_page_add(&p, "//\n");
    sw_draft_add_answers(&p, DRAFT_VAN, a);
    sw_page_add(&p, "{\n  \"format\": \"stillwatt van 1\",\n  \"name\": ");
    sw_draft_quote(&p, a->van_name);
    sw_page_add(&p, ",\n\n");
    add_system(&p, a);
    sw_draft_add_loads(&p, a);
    sw_page_add(&p, "}\n");
    return sw_growing_take(&p, out);
}
