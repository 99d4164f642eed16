// The keys of van and part files. Defaults and their plausible ranges are the typical values of the trade;
// each row says where its default comes from.
#include "files/key_rows.h"

const sw_word sw_seat_words[] = {{"front", SW_SEAT_FRONT}, {"middle", SW_SEAT_MIDDLE}, {"rear", SW_SEAT_REAR},
                                 {"roof", SW_SEAT_ROOF},   {"under", SW_SEAT_UNDER},   {NULL, 0}};
static const sw_word chemistries[] = {{"lifepo4", SW_LIFEPO4}, {"agm", SW_AGM}, {NULL, 0}};
static const sw_word battery_places[] = {{"cabin", 0}, {"outside", 1}, {NULL, 0}};
static const sw_word ways_back[] = {{"by-itself", SW_BACK_BY_ITSELF},
                                    {"by-charger", SW_BACK_BY_CHARGER},
                                    {"by-hand", SW_BACK_BY_HAND},
                                    {NULL, 0}};
static const sw_word heater_feeds[] = {{"battery", 0}, {"charger", 1}, {NULL, 0}};
static const sw_word controller_kinds[] = {{"mppt", 0}, {"pwm", 1}, {NULL, 0}};
static const sw_word paths[] = {{"converter", 0}, {"relay", 1}, {NULL, 0}};
static const sw_word alternator_kinds[] = {{"plain", 0}, {"smart", 1}, {NULL, 0}};
static const sw_word at_idle[] = {{"runs", 0}, {"stops", 1}, {NULL, 0}};
static const sw_word insulations[] = {{"none", 0}, {"some", 1}, {"good", 2}, {NULL, 0}};
static const sw_word glasses[] = {{"few", 0}, {"many", 1}, {NULL, 0}};
static const sw_word yes_or_no[] = {{"no", 0}, {"yes", 1}, {NULL, 0}};
static const sw_word fixings[] = {{"van", SW_FIXED_VAN}, {"compass", SW_FIXED_COMPASS}, {NULL, 0}};
static const sw_word mountings[] = {
    {"open", SW_MOUNT_OPEN}, {"gap", SW_MOUNT_GAP}, {"bonded", SW_MOUNT_BONDED}, {NULL, 0}};
static const sw_word deployed[] = {{"always", SW_DEPLOYED_ALWAYS},
                                   {"parked", SW_DEPLOYED_PARKED},
                                   {"raised", SW_DEPLOYED_RAISED},
                                   {NULL, 0}};

#define SELF sw_vehicle
static const sw_key vehicle_keys[] = {
    {QUANTITY("payload", MASS), OPTIONAL, AT(payload_kg), RANGE(0, 5000), .example = "\"620 kg\"",
     .says = "what may still be loaded: parts, water, people, luggage"},
    {QUANTITY("front_axle_spare", MASS), OPTIONAL, AT(front_axle_spare_kg), RANGE(0, 5000),
     .example = "\"310 kg\"", .says = "what the front axle may still carry, as weighed before the parts"},
    {QUANTITY("rear_axle_spare", MASS), OPTIONAL, AT(rear_axle_spare_kg), RANGE(0, 5000),
     .example = "\"420 kg\"", .says = "what the rear axle may still carry, as weighed before the parts"},
    {QUANTITY("free_roof", AREA), OPTIONAL, AT(free_roof_m2), RANGE(0, 40), .example = "\"4.2 m2\"",
     .says = "roof area that panels may cover"},
    {QUANTITY("idle_fuel", VOLUME), OPTIONAL, AT(idle_fuel_l), RANGE(0.1, 20), .example = "\"1 L\"",
     .says = "fuel that the engine burns in an hour at idle"},
};
const sw_table sw_vehicle_table = {"a vehicle", vehicle_keys, COUNT_OF(vehicle_keys)};
#undef SELF

#define SELF sw_battery_spec
static const sw_key battery_keys[] = {
    PART_ROWS,
    {CHOICE("chemistry", chemistries), NEEDED, AT(chemistry), .example = "\"lifepo4\"",
     .says = "what the cells are"},
    {QUANTITY("unit_voltage", VOLTAGE), USUALLY(12), AT(unit_v), RANGE(12, 48), .example = "\"12 V\"",
     .says = "nominal voltage of one unit: 12, 24 or 48 V"},
    {QUANTITY("capacity", CHARGE), NEEDED, AT(capacity_ah), RANGE(1, 5000), .example = "\"100 Ah\"",
     .says = "rated capacity of one unit at the 20 h rate"},
    {COUNT("series"), USUALLY(1), AT(series), RANGE(1, 4), .example = "1", .says = "units in series"},
    {COUNT("parallel"), USUALLY(1), AT(parallel), RANGE(1, 32), .example = "2", .says = "units in parallel"},
    {QUANTITY("health", RATIO), ASSUMED(0.95, 0.80, 1.00, TYPICAL), AT(health), RANGE(0.2, 1.1),
     .example = "\"95 %\"", .says = "battery's capacity today over rated"},
    {QUANTITY("resistance", RESISTANCE), OPTIONAL, AT(resistance_ohm), RANGE(1e-5, 1),
     .example = "\"10 mohm\"", .says = "internal resistance of one unit at 25 C, with its slow part"},
    {QUANTITY("charge_limit", CURRENT), OPTIONAL, AT(charge_limit_a), RANGE(0.1, 2000), .example = "\"50 A\"",
     .says = "greatest charging current of one unit"},
    {QUANTITY("discharge_limit", CURRENT), OPTIONAL, AT(discharge_limit_a), RANGE(0.1, 5000),
     .example = "\"100 A\"", .says = "greatest discharging current of one unit"},
    {QUANTITY("absorption", VOLTAGE), OPTIONAL, AT(absorption_v), RANGE(10, 70), .example = "\"14.2 V\"",
     .says = "charging voltage that chargers hold, of one unit"},
    {QUANTITY("cut_out", VOLTAGE), OPTIONAL, AT(cut_out_v), RANGE(8, 56), .example = "\"10.5 V\"",
     .says = "voltage of one unit at which discharge ends"},
    {QUANTITY("restart", VOLTAGE), OPTIONAL, AT(restart_v), RANGE(8, 64), .example = "\"12.6 V\"",
     .says = "voltage of one unit at which it comes back after the cut-out"},
    {CHOICE("comes_back", ways_back), USUALLY(SW_BACK_BY_ITSELF), AT(comes_back), .example = "\"by-itself\"",
     .says = "how it comes back: by itself, when a charger is at it, or by hand (at 8 in the morning)"},
    {QUANTITY("cold_stop", TEMPERATURE), OPTIONAL, AT(cold_stop_c), RANGE(-40, 15), .example = "\"0 C\"",
     .says = "battery temperature at and below which it may not be charged"},
    {QUANTITY("cold_full", TEMPERATURE), OPTIONAL, AT(cold_full_c), RANGE(-39, 30), .example = "\"10 C\"",
     .says = "battery temperature from which it takes the full charging current"},
    {QUANTITY("hot_full", TEMPERATURE), OPTIONAL, AT(hot_full_c), RANGE(20, 80), .example = "\"45 C\"",
     .says = "battery temperature up to which it takes the full charging current"},
    {QUANTITY("hot_stop", TEMPERATURE), OPTIONAL, AT(hot_stop_c), RANGE(20, 90), .example = "\"55 C\"",
     .says = "battery temperature at and above which it may not be charged"},
    {QUANTITY("discharge_stop", TEMPERATURE), OPTIONAL, AT(discharge_stop_c), RANGE(-60, 10),
     .example = "\"-20 C\"", .says = "battery temperature at and below which it gives nothing"},
    {QUANTITY("cold_loss", RATIO), ASSUMED(1, 0.4, 1.2, TYPICAL), AT(cold_loss), RANGE(0, 1.5),
     .example = "\"60 %\"",
     .says = "how much of the usual loss of capacity in cold the battery shows; small loads lose less"},
    {QUANTITY("heater", POWER), USUALLY(0), AT(heater_w), RANGE(0, 2000), .example = "\"60 W\"",
     .says = "heater pads under the battery, all units together"},
    {QUANTITY("heater_set_point", TEMPERATURE), USUALLY(5), AT(heater_set_c), RANGE(-10, 30),
     .example = "\"5 C\"", .says = "battery temperature that the heater keeps"},
    {CHOICE("heater_from", heater_feeds), USUALLY(0), AT(heater_from), .example = "\"charger\"",
     .says = "what feeds the heater: the battery, or only what chargers have to spare"},
    {QUANTITY("management_draw", POWER), OPTIONAL, AT(management_w), RANGE(0, 20), .example = "\"0.3 W\"",
     .says = "what the battery's own management takes, all units together; lead has none"},
    {QUANTITY("temperature_lag", TIME), ASSUMED(21600, 10800, 43200, TYPICAL), AT(lag_s), RANGE(600, 864000),
     .example = "\"6 h\"", .says = "how slowly the battery follows the air around it"},
    {CHOICE("place", battery_places), USUALLY(0), AT(place), .example = "\"cabin\"",
     .says = "whether it stands in the cabin or outside"},
};
const sw_table sw_battery_table = {"a battery", battery_keys, COUNT_OF(battery_keys)};
#undef SELF

#define SELF sw_array_spec
static const sw_key array_keys[] = {
    PART_ROWS,
    {QUANTITY("rating", POWER), NEEDED, AT(rated_w), RANGE(1, 2000), .example = "\"200 W\"",
     .says = "rated power of one panel"},
    {COUNT("panels"), USUALLY(1), AT(panels), RANGE(1, 40), .example = "2", .says = "panels of this kind"},
    {QUANTITY("area", AREA), OPTIONAL, AT(area_m2), RANGE(0.05, 5), .example = "\"1.0 m2\"",
     .says = "area of one panel"},
    {QUANTITY("tilt", ANGLE), USUALLY(0), AT(tilt_deg), RANGE(0, 90), .example = "\"30 deg\"",
     .says = "slope of the panel, 0 lies flat"},
    {QUANTITY("facing", ANGLE), USUALLY(0), AT(facing_deg), RANGE(0, 360), .example = "\"180 deg\"",
     .says = "the way the slope looks, clockwise from the van's nose or from north"},
    {CHOICE("fixed_to", fixings), USUALLY(SW_FIXED_VAN), AT(fixed_to), .example = "\"van\"",
     .says = "whether the facing turns with the van or is set by the compass when parked"},
    {CHOICE("deployed", deployed), USUALLY(0), AT(deployed), .example = "\"always\"",
     .says = "whether it works as it stands on the road too, only when parked, or lies flat on the road and "
             "is raised when "
             "parked"},
    {.name = "hours",
     .kind = SW_KEY_WINDOWS,
     OPTIONAL,
     AT(hours),
     .example = "\"08:30-17:00\"",
     .says = "of a portable set: when it stands outside while parked; it is fitted to the van if not given"},
    {COUNT("series"), USUALLY(1), AT(in_series), RANGE(1, 20), .example = "2",
     .says = "panels in series in each string; where part of a string is shaded, all of it loses"},
    {QUANTITY("open_circuit", VOLTAGE), OPTIONAL, AT(open_circuit_v), RANGE(1, 200), .example = "\"22.5 V\"",
     .says = "voltage of one panel at 25 C with nothing connected"},
    {QUANTITY("working_voltage", VOLTAGE), OPTIONAL, AT(working_v), RANGE(1, 200), .example = "\"18.6 V\"",
     .says = "voltage of one panel at 25 C at its rated power"},
    {QUANTITY("voltage_coefficient", PER_KELVIN), USUALLY(-0.0029), AT(voltage_per_k), RANGE(-0.01, 0),
     .example = "\"-0.29 %/K\"",
     .says = "change of the open voltage a kelvin; typical of silicon if not given"},
    {CHOICE("mounting", mountings), ASSUMED(SW_MOUNT_GAP, SW_MOUNT_GAP, SW_MOUNT_GAP, PRACTICE), AT(mounting),
     .example = "\"gap\"", .says = "how air reaches the back: open, gap to the roof, or bonded to it"},
    {QUANTITY("temperature_coefficient", PER_KELVIN), ASSUMED(-0.0036, -0.0045, -0.0028, TYPICAL),
     AT(gamma_per_k), RANGE(-0.008, 0), .example = "\"-0.35 %/K\"",
     .says = "solar power lost per kelvin of the cell"},
    {QUANTITY("soiling", RATIO), ASSUMED(0.04, 0.01, 0.10, TYPICAL), AT(soiling), RANGE(0, 0.9),
     .example = "\"4 %\"", .says = "solar loss to dirt"},
    {QUANTITY("soiling_per_day", RATIO), USUALLY(0), AT(soiling_per_day), RANGE(0, 0.05),
     .example = "\"0.15 %\"",
     .says = "by which dirt grows a dry day, from \"soiling\" at the start of a trip; rain of 6 mm in a day, "
             "or a wash, takes it off"},
    {QUANTITY("wiring", RATIO), ASSUMED(0.03, 0.01, 0.05, TYPICAL), AT(wiring), RANGE(0, 0.5),
     .example = "\"3 %\"", .says = "solar loss in the cables from panel to controller"},
    {QUANTITY("mismatch", RATIO), ASSUMED(0.02, 0.01, 0.05, TYPICAL), AT(mismatch), RANGE(0, 0.5),
     .example = "\"2 %\"", .says = "solar loss to unlike panels and to tracking"},
    {QUANTITY("ageing", RATIO), USUALLY(0), AT(ageing), RANGE(0, 0.6), .example = "\"5 %\"",
     .says = "power lost over the years"},
    {QUANTITY("roof_shade", RATIO), ASSUMED(0.0, 0.0, 0.10, PRACTICE), AT(roof_shade), RANGE(0, 0.9),
     .example = "\"3 %\"", .says = "solar loss to the shadow of rack, vent or air-conditioner"},
};
const sw_table sw_array_table = {"an array", array_keys, COUNT_OF(array_keys)};
#undef SELF

#define SELF sw_controller_spec
static const sw_key controller_keys[] = {
    PART_ROWS,
    {CHOICE("kind", controller_kinds), USUALLY(0), AT(kind), .example = "\"mppt\"",
     .says = "mppt finds the panels' best voltage, pwm holds them at the battery's"},
    {QUANTITY("efficiency", RATIO), ASSUMED(0.96, 0.93, 0.98, TYPICAL), AT(efficiency), RANGE(0.5, 1),
     .example = "\"96 %\"", .says = "efficiency of the solar controller"},
    {QUANTITY("limit", CURRENT), NEEDED, AT(limit_a), RANGE(1, 500), .example = "\"30 A\"",
     .says = "greatest current into the battery"},
    {QUANTITY("input_limit", VOLTAGE), OPTIONAL, AT(input_limit_v), RANGE(10, 600), .example = "\"100 V\"",
     .says = "greatest voltage that it bears from the panels"},
    {QUANTITY("starts_over", VOLTAGE), USUALLY(5), AT(starts_over_v), RANGE(0, 50), .example = "\"5 V\"",
     .says = "how far the panels must stand over the battery for it to charge"},
    {QUANTITY("own_draw", POWER), ASSUMED(1.0, 0.3, 2.0, TYPICAL), AT(self_w), RANGE(0, 20),
     .example = "\"1 W\"", .says = "what the controller itself takes, day and night"},
};
const sw_table sw_controller_table = {"a solar controller", controller_keys, COUNT_OF(controller_keys)};
#undef SELF

#define SELF sw_alternator_spec
static const sw_key alternator_keys[] = {
    PART_ROWS,
    {CHOICE("path", paths), USUALLY(0), AT(path), .example = "\"converter\"",
     .says = "how the battery is charged: by a converter, or by a relay that joins both batteries"},
    {CHOICE("kind", alternator_kinds), USUALLY(0), AT(is_smart), .example = "\"plain\"",
     .says = "plain holds its voltage, smart lets it fall while cruising"},
    {CHOICE("at_idle", at_idle), USUALLY(0), AT(stops), .example = "\"runs\"",
     .says = "whether the engine runs on in traffic, or stops by itself"},
    {QUANTITY("spare_cruise", CURRENT), ASSUMED(60, 40, 90, TYPICAL), AT(spare_cruise_a), RANGE(0, 400),
     .example = "\"60 A\"", .says = "current that the engine's alternator has to spare on the road"},
    {QUANTITY("spare_idle", CURRENT), ASSUMED(30, 15, 50, TYPICAL), AT(spare_idle_a), RANGE(0, 400),
     .example = "\"30 A\"", .says = "current that the engine's alternator has to spare at idle"},
    {QUANTITY("cold_spare_cruise", CURRENT), OPTIONAL, AT(cold_cruise_a), RANGE(0, 400),
     .example = "\"80 A\"", .says = "what it has to spare on the road just after the start, still cold"},
    {QUANTITY("cold_spare_idle", CURRENT), OPTIONAL, AT(cold_idle_a), RANGE(0, 400), .example = "\"50 A\"",
     .says = "what it has to spare at idle just after the start, still cold"},
    {QUANTITY("warms_in", TIME), OPTIONAL, AT(warms_s), RANGE(60, 7200), .example = "\"10 min\"",
     .says = "time constant in which it goes from cold to warm"},
    {QUANTITY("voltage", VOLTAGE), OPTIONAL, AT(alternator_v), RANGE(11, 30), .example = "\"13.8 V\"",
     .says = "voltage of the alternator with the engine running"},
    {QUANTITY("converter_output", POWER), OPTIONAL, AT(converter_w), RANGE(10, 10000), .example = "\"360 W\"",
     .says = "rated output of the converter between starter and house battery"},
    {QUANTITY("converter_efficiency", RATIO), OPTIONAL, AT(converter_efficiency), RANGE(0.5, 1),
     .example = "\"90 %\"", .says = "efficiency of the converter"},
    {QUANTITY("cable", RESISTANCE), OPTIONAL, AT(cable_ohm), RANGE(0.0005, 1), .example = "\"10 mohm\"",
     .says = "resistance of a relay's cable, there and back, with fuses and terminals"},
};
const sw_table sw_alternator_table = {"an alternator charger", alternator_keys, COUNT_OF(alternator_keys)};
#undef SELF

#define SELF sw_shore_spec
static const sw_key shore_keys[] = {
    PART_ROWS,
    {QUANTITY("inlet_current", CURRENT), NEEDED, AT(inlet_a), RANGE(1, 125), .example = "\"30 A\"",
     .says = "rating of the van's inlet"},
    {QUANTITY("inlet_voltage", VOLTAGE), NEEDED, AT(inlet_v), RANGE(90, 260), .example = "\"120 V\"",
     .says = "voltage of the van's inlet, of one hot leg"},
    {COUNT("hot_legs"), USUALLY(1), AT(hot_legs), RANGE(1, 2), .example = "2",
     .says = "hot legs of the inlet: 2 of a 50 A inlet of 120/240 V, each with the whole current"},
    {QUANTITY("charger_output", POWER), NEEDED, AT(charger_w), RANGE(0, 20000), .example = "\"500 W\"",
     .says = "greatest charging power into the battery"},
    {QUANTITY("charger_efficiency", RATIO), ASSUMED(0.88, 0.80, 0.94, TYPICAL), AT(charger_efficiency),
     RANGE(0.3, 1), .example = "\"88 %\"", .says = "efficiency of the shore charger"},
    {QUANTITY("charger_power_factor", RATIO), ASSUMED(0.95, 0.70, 0.99, TYPICAL), AT(charger_power_factor),
     RANGE(0.3, 1), .example = "\"95 %\"", .says = "watts over volt-amperes that the charger draws"},
};
const sw_table sw_shore_table = {"a shore inlet", shore_keys, COUNT_OF(shore_keys)};
#undef SELF

#define SELF sw_cabin_spec
static const sw_key cabin_keys[] = {
    {CHOICE("insulation", insulations), ASSUMED(1, 1, 1, PRACTICE), AT(insulation), .example = "\"some\"",
     .says = "of walls, roof and floor: none, some or good"},
    {CHOICE("glass", glasses), ASSUMED(0, 0, 0, PRACTICE), AT(glass), .example = "\"few\"",
     .says = "windows: few or many"},
    {CHOICE("covers", yes_or_no), ASSUMED(0, 0, 0, PRACTICE), AT(covers), .example = "\"yes\"",
     .says = "whether the windows are covered while parked"},
    {QUANTITY("loss", HEAT_LOSS), OPTIONAL, AT(loss_w_k), RANGE(2, 1000), .example = "\"50 W/K\"",
     .says = "heat that leaves the cabin for each degree that it is warmer than outside"},
    {QUANTITY("sun_area", AREA), OPTIONAL, AT(glass_m2), RANGE(0, 20), .example = "\"0.5 m2\"",
     .says = "area of glass that lets as much sun in as falls on as much flat ground"},
};
const sw_table sw_cabin_table = {"a cabin", cabin_keys, COUNT_OF(cabin_keys)};
#undef SELF

#define SELF sw_starter_spec
static const sw_key starter_keys[] = {
    PART_ROWS,
    {QUANTITY("capacity", CHARGE), ASSUMED(80, 60, 100, TYPICAL), AT(capacity_ah), RANGE(10, 400),
     .example = "\"80 Ah\"", .says = "capacity of the starter battery"},
    {QUANTITY("charge", RATIO), ASSUMED(0.90, 0.75, 1.00, TYPICAL), AT(charge), RANGE(0, 1),
     .example = "\"90 %\"", .says = "its charge when the trip begins"},
    {QUANTITY("drain", POWER), ASSUMED(0.4, 0.2, 1.0, TYPICAL), AT(drain_w), RANGE(0, 50),
     .example = "\"0.4 W\"", .says = "what the parked vehicle itself takes from it, day and night"},
    {QUANTITY("needs", RATIO), ASSUMED(0.50, 0.40, 0.60, PRACTICE), AT(needs), RANGE(0, 1),
     .example = "\"50 %\"", .says = "charge under which it does not start a warm engine"},
    {TEXT("kept_by"), OPTIONAL, AT(kept), .example = "\"maintainer\"",
     .says = "load of the van that keeps it filled from the house battery"},
};
const sw_table sw_starter_table = {"a starter battery", starter_keys, COUNT_OF(starter_keys)};
#undef SELF

#define SELF sw_generator_spec
static const sw_key generator_keys[] = {
    PART_ROWS,
    {QUANTITY("rating", POWER), NEEDED, AT(rated_w), RANGE(100, 20000), .example = "\"1000 W\"",
     .says = "power that it gives continuously; its volt-amperes are taken as many"},
    {QUANTITY("idle_fuel", VOLUME), ASSUMED(0.25, 0.15, 0.4, TYPICAL), AT(idle_fuel_l), RANGE(0, 10),
     .example = "\"0.25 L\"", .says = "fuel that the generator burns in an hour with nothing plugged in"},
    {QUANTITY("fuel_per_kwh", VOLUME), ASSUMED(0.45, 0.35, 0.6, TYPICAL), AT(fuel_l_per_kwh), RANGE(0.1, 2),
     .example = "\"0.45 L\"", .says = "more fuel that the generator burns for each kWh"},
};
const sw_table sw_generator_table = {"a generator", generator_keys, COUNT_OF(generator_keys)};
#undef SELF

#define SELF sw_tank_spec
static const sw_key tank_keys[] = {
    PART_ROWS,
    {QUANTITY("capacity", VOLUME), NEEDED, AT(capacity_l), RANGE(0.5, 2000), .example = "\"75 L\"",
     .says = "what it holds"},
    {QUANTITY("start", RATIO), OPTIONAL, AT(start), RANGE(0, 1), .example = "\"100 %\"",
     .says = "how full it is when the trip begins; what is used up begins full, what is collected empty"},
};
const sw_table sw_tank_table = {"a tank", tank_keys, COUNT_OF(tank_keys)};
#undef SELF

// In the order of sw_tank.
static const sw_key tanks_keys[SW_TANKS] = {
    {OTHER("fresh"), OPTIONAL, .example = "{\"capacity\": \"75 L\"}", .says = "fresh water"},
    {OTHER("grey"), OPTIONAL, .example = "{\"capacity\": \"60 L\"}",
     .says = "what runs from sinks and shower"},
    {OTHER("toilet"), OPTIONAL, .example = "{\"capacity\": \"18 L\"}", .says = "what the toilet collects"},
    {OTHER("fuel"), OPTIONAL, .example = "{\"capacity\": \"70 L\"}",
     .says = "the fuel of engine and heater, as far as a stay may use it"},
    {OTHER("can"), OPTIONAL, .example = "{\"capacity\": \"10 L\"}", .says = "the fuel of the generator"},
};
const sw_table sw_tanks_table = {"a set of tanks", tanks_keys, COUNT_OF(tanks_keys)};

#define SELF sw_inverter_spec
static const sw_key inverter_keys[] = {
    PART_ROWS,
    {QUANTITY("rating", POWER), NEEDED, AT(rated_w), RANGE(20, 20000), .example = "\"2000 W\"",
     .says = "power that it gives continuously"},
    {QUANTITY("idle", POWER), OPTIONAL, AT(idle_w), RANGE(0, 200), .example = "\"15 W\"",
     .says = "what it takes while on with nothing plugged in"},
    {QUANTITY("peak_efficiency", RATIO), ASSUMED(0.93, 0.90, 0.95, TYPICAL), AT(peak_efficiency),
     RANGE(0.5, 0.99), .example = "\"93 %\"", .says = "inverter's best efficiency, from its data sheet"},
    {QUANTITY("full_efficiency", RATIO), ASSUMED(0.87, 0.84, 0.90, TYPICAL), AT(full_efficiency),
     RANGE(0.4, 0.99), .example = "\"87 %\"", .says = "inverter's efficiency at its rating"},
    {QUANTITY("cut_out", VOLTAGE), OPTIONAL, AT(cut_out_v), RANGE(8, 56), .example = "\"10.8 V\"",
     .says = "bank voltage at which it switches off"},
    {QUANTITY("restart", VOLTAGE), OPTIONAL, AT(restart_v), RANGE(8, 64), .example = "\"12.5 V\"",
     .says = "bank voltage at which it comes back"},
    {.name = "hours",
     .kind = SW_KEY_WINDOWS,
     OPTIONAL,
     AT(hours),
     .example = "[\"06:30-09:00\", \"17:00-22:00\"]",
     .says = "when it is switched on; always if not given"},
};
const sw_table sw_inverter_table = {"an inverter", inverter_keys, COUNT_OF(inverter_keys)};
#undef SELF

#define SELF sw_van
static const sw_key van_keys[] = {
    {OTHER("format"), NEEDED, .example = "\"stillwatt van 1\"", .says = "what this file is"},
    {TEXT("name"), NEEDED, AT(name), .example = "\"Weekend van\"", .says = "what people call the van"},
    {OTHER("vehicle"), OPTIONAL, .example = "{\"payload\": \"620 kg\"}",
     .says = "what the vehicle may carry"},
    {OTHER("battery"), NEEDED, .example = "{\"chemistry\": \"lifepo4\", \"capacity\": \"100 Ah\"}",
     .says = "the house battery"},
    {OTHER("arrays"), OPTIONAL, .example = "{\"roof\": {\"rating\": \"200 W\", \"panels\": 2}}",
     .says = "solar arrays by name"},
    {OTHER("controller"), OPTIONAL, .example = "{\"limit\": \"30 A\"}",
     .says = "the solar charge controller"},
    {OTHER("alternator"), OPTIONAL, .example = "{\"converter_output\": \"360 W\"}",
     .says = "charging while driving"},
    {OTHER("shore"), OPTIONAL,
     .example = "{\"inlet_current\": \"30 A\", \"inlet_voltage\": \"120 V\", \"charger_output\": \"500 W\"}",
     .says = "inlet and charger for a hookup"},
    {OTHER("generator"), OPTIONAL, .example = "{\"rating\": \"1000 W\"}",
     .says = "a portable generator that is plugged into the inlet"},
    {OTHER("starter"), OPTIONAL, .example = "{\"capacity\": \"80 Ah\"}",
     .says = "the battery that starts the engine"},
    {OTHER("inverter"), OPTIONAL, .example = "{\"rating\": \"2000 W\"}", .says = "AC away from a hookup"},
    {OTHER("loads"), NEEDED,
     .example = "{\"lights\": {\"kind\": \"steady\", \"bus\": \"dc\", \"power\": \"15 W\"}}",
     .says = "appliances by name"},
    {OTHER("cabin"), OPTIONAL, .example = "{\"insulation\": \"some\"}",
     .says = "its heat: the cabin's temperature is then worked out, not stated by the trip"},
    {OTHER("tanks"), OPTIONAL, .example = "{\"fresh\": {\"capacity\": \"75 L\"}}",
     .says = "what holds water, waste and fuel"},
    {QUANTITY("hold_back_below", RATIO), USUALLY(0), AT(hold_back_below), RANGE(0, 1), .example = "\"25 %\"",
     .says = "charge under which the people stop what can wait"},
};
const sw_table sw_van_table = {"a van", van_keys, COUNT_OF(van_keys)};
#undef SELF

#define SELF sw_van
static const sw_key part_keys[] = {
    {OTHER("format"), NEEDED, .example = "\"stillwatt part 1\"", .says = "what this file is"},
    {TEXT("name"), NEEDED, AT(name), .example = "\"100 Ah lithium unit\"", .says = "what the part is"},
    {OTHER("kind"), NEEDED, .example = "\"battery\"",
     .says = "battery, array, controller, alternator, shore, generator, inverter, load, tank or starter"},
    {OTHER("is"), NEEDED, .example = "{\"capacity\": \"100 Ah\"}", .says = "its keys, as in a van file"},
};
const sw_table sw_part_table = {"a part", part_keys, COUNT_OF(part_keys)};
#undef SELF
