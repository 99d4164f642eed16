// Wrong files: one change each to a good van, trip or part, and the exact first message that a builder reads,
// from the library and from the program.
#include "support/checks.h"
#include "support/memory_loader.h"
#include "support/program.h"
#include "support/refused.h"
#include "support/small_plan.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

/// `from` is replaced by `to` in the file; `errors` are told in all, `message` first.
typedef struct wrong_file {
    const char *from, *to;
    sw_status status;
    size_t errors;
    const char *message;
} wrong_file;

static const wrong_file vans[] = {
    {"\"100 Ah\"", "\"100 Aah\"", SW_BAD_INPUT, 1,
     "van.json:7:17: /battery/capacity: the unit \"Aah\" is not known; did you mean \"Ah\"?\n    for example "
     "\"capacity\": \"100 Ah\"\n"},
    {"\"100 Ah\"", "\"100 Wh\"", SW_BAD_INPUT, 1,
     "van.json:7:17: /battery/capacity: \"100 Wh\" is an energy, but a charge is expected (rated capacity of "
     "one unit at the 20 h rate)\n    for example \"capacity\": \"100 Ah\"\n"},
    {"\"100 Ah\"", "100", SW_BAD_INPUT, 1,
     "van.json:7:17: /battery/capacity: a number alone has no unit; a charge is expected, in quotes, in Ah, "
     "mAh\n    for example \"capacity\": \"100 Ah\"\n"},
    {"\"100 Ah\"", "\"100\"", SW_BAD_INPUT, 1,
     "van.json:7:17: /battery/capacity: \"100\" has no unit; a charge is expected, in Ah, mAh\n    for "
     "example \"capacity\": \"100 Ah\"\n"},
    {"\"100 Ah\"", "\"plenty\"", SW_BAD_INPUT, 1,
     "van.json:7:17: /battery/capacity: \"plenty\" does not begin with a number; a charge is expected (rated "
     "capacity of one unit at the 20 h rate)\n    for example \"capacity\": \"100 Ah\"\n"},
    {"\"100 Ah\"", "\"0.2 Ah\"", SW_BAD_INPUT, 1,
     "van.json:7:17: /battery/capacity: \"0.2 Ah\" must lie between 1 Ah and 5000 Ah (rated capacity of one "
     "unit at the 20 h rate)\n    for example \"capacity\": \"100 Ah\"\n"},
    {"\"100 Ah\"", "\"9000 Ah\"", SW_BAD_INPUT, 1,
     "van.json:7:17: /battery/capacity: \"9000 Ah\" must lie between 1 Ah and 5000 Ah (rated capacity of one "
     "unit at the 20 h rate)\n    for example \"capacity\": \"100 Ah\"\n"},
    {"\"100 Ah\"", "[\"100 Ah\"]", SW_BAD_INPUT, 1,
     "van.json:7:17: /battery/capacity: a charge is expected here (rated capacity of one unit at the 20 h "
     "rate), not a list\n    for example \"capacity\": \"100 Ah\"\n"},
    {"\"100 Ah\"", "\"1e9 Ah\"", SW_BAD_INPUT, 1,
     "van.json:7:17: /battery/capacity: the unit \"e9 Ah\" is not known; a charge is expected, in Ah, mAh\n  "
     "  for example \"capacity\": \"100 Ah\"\n"},
    {"\"620 kg\"", "\"620 quintals\"", SW_BAD_INPUT, 1,
     "van.json:4:26: /vehicle/payload: the unit \"quintals\" is not known; a mass is expected, in kg, g, lb, "
     "oz\n    for example \"payload\": \"620 kg\"\n"},
    {"\"900 USD\"", "\"900 dollars\"", SW_BAD_INPUT, 1,
     "van.json:10:14: /battery/price: the unit \"dollars\" is not known; an amount of money is expected, in "
     "USD, CAD, EUR or another currency code of three capitals\n    for example \"price\": \"450 USD\"\n"},
    {"\"150 USD\"", "\"150 CAD\"", SW_BAD_INPUT, 1,
     "van.json:13:44: /controller/price: this price is in CAD, others are in USD\n    give all prices in one "
     "currency\n"},
    {"    \"chemistry\": \"lifepo4\",\n", "", SW_BAD_INPUT, 1,
     "van.json:5:14: /battery: a battery needs the key \"chemistry\" (what the cells are)\n    add "
     "\"chemistry\": \"lifepo4\"\n"},
    {"\"chemistry\"", "\"chemisty\"", SW_BAD_INPUT, 2,
     "van.json:6:5: /battery/chemisty: a battery has no key \"chemisty\"; did you mean \"chemistry\"?\n    "
     "for example \"chemistry\": \"lifepo4\"\n"},
    {"\"parallel\": 2", "\"colour\": \"red\"", SW_BAD_INPUT, 1,
     "van.json:9:5: /battery/colour: a battery has no key \"colour\"\n    its keys are part, price, labour, "
     "mass, seat, chemistry, unit_voltage, capacity, series, parallel, health, resistance, charge_limit, "
     "discharge_limit, absorption, cut_out, restart, comes_back, cold_stop, cold_full, hot_full, hot_stop, "
     "discharge_stop, cold_loss, heater, heater_set_point, heater_from, management_draw, temperature_lag, "
     "place\n"},
    {"\"parallel\": 2", "\"parallel\": 2, \"parallel\": 3", SW_BAD_INPUT, 1,
     "van.json:9:20: /battery/parallel: this key is already in the same object, on line 9\n    keep one of "
     "the two\n"},
    {"\"name\": \"Small van\",", "\"name\": \"Small van\"", SW_BAD_INPUT, 1,
     "van.json:3:22: expected a comma or } but found text in quotes\n    write a comma between the two\n"},
    {"\"Small van\"", "\"\"", SW_BAD_INPUT, 1,
     "van.json:3:11: /name: this text is empty (what people call the van)\n    for example \"name\": "
     "\"Weekend van\"\n"},
    {"\"Small van\"", "17", SW_BAD_INPUT, 1,
     "van.json:3:11: /name: a text is expected here (what people call the van), not a number\n    for "
     "example \"name\": \"Weekend van\"\n"},
    {"\"lifepo4\"", "\"lifepo\"", SW_BAD_INPUT, 1,
     "van.json:6:18: /battery/chemistry: \"lifepo\" is not one of lifepo4, agm; did you mean \"lifepo4\"?\n  "
     "  for example \"chemistry\": \"lifepo4\"\n"},
    {"\"lifepo4\"", "\"nickel\"", SW_BAD_INPUT, 1,
     "van.json:6:18: /battery/chemistry: \"nickel\" is not one of lifepo4, agm\n    for example "
     "\"chemistry\": \"lifepo4\"\n"},
    {"\"lifepo4\"", "4", SW_BAD_INPUT, 1,
     "van.json:6:18: /battery/chemistry: one of lifepo4, agm is expected here (what the cells are), not a "
     "number\n    for example \"chemistry\": \"lifepo4\"\n"},
    {"\"parallel\": 2", "\"parallel\": 2.5", SW_BAD_INPUT, 1,
     "van.json:9:17: /battery/parallel: a whole number is expected (units in parallel)\n    for example "
     "\"parallel\": 2\n"},
    {"\"parallel\": 2", "\"parallel\": \"2\"", SW_BAD_INPUT, 1,
     "van.json:9:17: /battery/parallel: a number without quotes is expected here (units in parallel), not a "
     "text\n    for example \"parallel\": 2\n"},
    {"\"parallel\": 2", "\"parallel\": 0", SW_BAD_INPUT, 1,
     "van.json:9:17: /battery/parallel: 0 must lie between 1 and 32 (units in parallel)\n    for example "
     "\"parallel\": 2\n"},
    {"\"parallel\": 2", "\"hot_full\": \"60 C\", \"hot_stop\": \"50 C\"", SW_BAD_INPUT, 1,
     "van.json:9:17: /battery/hot_full: cold_full (10 C), hot_full (60 C) and hot_stop (50 C) must rise in "
     "this order\n    for example \"cold_full\": \"10 C\", \"hot_full\": \"45 C\", \"hot_stop\": \"55 "
     "C\"\n"},
    {"\"parallel\": 2", "\"heater_from\": \"solar\"", SW_BAD_INPUT, 1,
     "van.json:9:20: /battery/heater_from: \"solar\" is not one of battery, charger\n    for example "
     "\"heater_from\": \"charger\"\n"},
    {"\"loads\": {",
     "\"loads\": {\"stove\": {\"kind\": \"heater\", \"bus\": \"dc\", \"power\": \"30 W\", \"heat\": \"2 "
     "kW\", \"keeps\": \"18 C\"},",
     SW_BAD_INPUT, 1,
     "van.json:17:13: /loads/stove: \"stove\" follows the cabin's temperature, but the van says nothing of "
     "its \"cabin\"\n    add \"cabin\": {\"insulation\": \"some\"}\n"},
    {"\"loads\": {", "\"cabin\": {\"insulation\": \"thick\"}, \"loads\": {", SW_BAD_INPUT, 1,
     "van.json:17:27: /cabin/insulation: \"thick\" is not one of none, some, good\n    for example "
     "\"insulation\": \"some\"\n"},
    {"\"loads\": {", "\"cabin\": {\"loss\": \"50 W\"}, \"loads\": {", SW_BAD_INPUT, 1,
     "van.json:17:21: /cabin/loss: \"50 W\" is a power, but a loss of heat per degree is expected (heat that "
     "leaves the cabin for each degree that it is warmer than outside)\n    for example \"loss\": \"50 "
     "W/K\"\n"},
    {"\"kind\": \"steady\", \"bus\": \"dc\", \"power\": \"12 W\"",
     "\"kind\": \"evaporative\", \"bus\": \"dc\", \"power\": \"12 W\", \"keeps\": \"27 C\"", SW_BAD_INPUT, 1,
     "van.json:19:15: /loads/lights: a load of kind \"evaporative\" needs \"airflow\"\n    add \"airflow\": "
     "\"300 m3/h\"\n"},
    {"\"kind\": \"steady\", \"bus\": \"dc\", \"power\": \"12 W\"",
     "\"kind\": \"steady\", \"keeps\": \"27 C\", \"bus\": \"dc\", \"power\": \"12 W\"", SW_BAD_INPUT, 1,
     "van.json:19:34: /loads/lights/keeps: a load of kind \"steady\" has no use for \"keeps\"\n    remove "
     "it, or choose another \"kind\"\n"},
    {"\"kind\": \"use\", \"bus\": \"ac\", \"power\": \"900 W\", \"each\": \"5 min\"",
     "\"kind\": \"hot-water\", \"bus\": \"ac\", \"power\": \"900 W\", \"water\": \"5 L\", \"warm\": \"10 C\"",
     SW_BAD_INPUT, 1,
     "van.json:20:15: /loads/kettle: water that comes with 12 C is not made warm by 10 C\n    for example "
     "\"cold\": \"12 C\", \"warm\": \"40 C\"\n"},
    {"\"kind\": \"use\", \"bus\": \"ac\", \"power\": \"900 W\", \"each\": \"5 min\"",
     "\"kind\": \"hot-water\", \"bus\": \"ac\", \"power\": \"20 W\", \"water\": \"50 L\", \"warm\": \"60 C\"",
     SW_BAD_INPUT, 1,
     "van.json:20:76: /loads/kettle/water: 1 times 5 d 20 h is more than a day holds\n    less water, or "
     "more power\n"},
    {"\"limit\": \"30 A\"", "\"kind\": \"pwm\", \"limit\": \"30 A\"", SW_BAD_INPUT, 1,
     "van.json:12:14: /arrays/roof: with a controller of kind \"pwm\" panels need their "
     "\"working_voltage\"\n    copy it from the panel's label, such as \"working_voltage\": \"18.6 V\"\n"},
    {"{\"converter_output\": \"360 W\"}", "{\"voltage\": \"13.8 V\"}", SW_BAD_INPUT, 1,
     "van.json:14:17: /alternator: an alternator charger needs the key \"converter_output\" (rated output of "
     "the converter between starter and house battery)\n    add \"converter_output\": \"360 W\", or "
     "\"path\": \"relay\"\n"},
    {"\"unit_voltage\": \"12 V\",\n    \"parallel\": 2,\n    \"price\": \"900 USD\"\n  },\n  \"arrays\": "
     "{\"roof\": {\"rating\": \"200 W\", \"panels\": 2}},\n  \"controller\": {\"limit\": \"30 A\", "
     "\"price\": \"150 USD\"},\n  \"alternator\": {\"converter_output\": \"360 W\"}",
     "\"unit_voltage\": \"24 V\"},\n  \"alternator\": {\"path\": \"relay\"}", SW_BAD_INPUT, 1,
     "van.json:9:17: /alternator: a relay joins batteries of one voltage, but the bank has 24 V\n    charge "
     "it by a converter\n"},
    {"\"panels\": 2", "\"panels\": 3, \"series\": 2", SW_BAD_INPUT, 1,
     "van.json:12:65: /arrays/roof/series: 3 panels cannot be strings of 2 in series\n    strings of a "
     "controller are of "
     "one length\n"},
    {"\"panels\": 2", "\"panels\": 2, \"hours\": \"9-17\"", SW_BAD_INPUT, 1,
     "van.json:12:64: /arrays/roof/hours: \"9-17\" is not a stretch of hours (two digits each, begin and end "
     "apart, "
     "24:00 ends a day)\n    for example \"hours\": \"08:30-17:00\"\n"},
    {"{\"roof\": {\"rating\": \"200 W\", \"panels\": 2}}", "[\"200 W\"]", SW_BAD_INPUT, 1,
     "van.json:12:13: /arrays: \"arrays\" must hold them by name, in braces\n    \"arrays\": {\"roof\": "
     "{\"rating\": \"200 W\"}}\n"},
    {"{\"rating\": \"200 W\", \"panels\": 2}", "\"200 W\"", SW_BAD_INPUT, 1,
     "van.json:12:22: /arrays/roof: an array is expected here, with its keys in braces, not a text\n    for "
     "example {\"rating\": \"200 W\"}\n"},
    {"\"controller\": {\"limit\": \"30 A\", \"price\": \"150 USD\"},", "", SW_BAD_INPUT, 1,
     "van.json:12:3: /arrays: solar arrays need a \"controller\"\n    add \"controller\": {\"limit\": \"30 "
     "A\"}\n"},
    {"\"stillwatt van 1\"", "\"stillwatt van 2\"", SW_BAD_INPUT, 1,
     "van.json:2:13: /format: \"stillwatt van 2\" is not a known format; did you mean \"stillwatt van 1\"?\n "
     "   begin the file with \"format\": \"stillwatt van 1\" (or trip, part or study)\n"},
    {"  \"format\": \"stillwatt van 1\",\n", "", SW_BAD_INPUT, 1,
     "van.json:1:1: /: the key \"format\" must say what this file is\n    begin the file with \"format\": "
     "\"stillwatt van 1\" (or trip, part or study)\n"},
    {"\"12 V\"", "\"12.8 V\"", SW_BAD_INPUT, 1,
     "van.json:8:21: /battery/unit_voltage: one battery must have 12, 24 or 48 V by name, not 12.8 V\n    "
     "for example \"unit_voltage\": \"12 V\", also where the label says 12.8 V\n"},
    {"\"parallel\": 2", "\"series\": 3", SW_BAD_INPUT, 1,
     "van.json:9:15: /battery/series: 3 batteries of 12 V in series make 36 V, but a van has 12, 24 or 48 "
     "V\n    change \"series\" or \"unit_voltage\"; batteries side by side are \"parallel\"\n"},
    {"\"12 V\"", "\"24 V\", \"absorption\": \"14.2 V\"", SW_BAD_INPUT, 2,
     "van.json:8:43: /battery/absorption: \"absorption\" of 14.2 V does not suit a battery of 24 V; 26 V to "
     "32 V would\n    it is the voltage of one battery, not of all in series\n"},
    {"\"loads\": {", "\"starter\": {\"kept_by\": \"keeper\"}, \"loads\": {", SW_BAD_INPUT, 1,
     "van.json:17:26: /starter/kept_by: the van has no load \"keeper\" that could keep the starter battery "
     "filled\n"
     "    name one of the van's loads, such as a maintainer of 3 W\n"},
    {"\"converter_output\": \"360 W\"", "\"converter_output\": \"360 W\", \"cold_spare_idle\": \"20 A\"",
     SW_BAD_INPUT, 1,
     "van.json:14:17: /alternator: the alternator has less to spare cold than warm\n    the hotter an "
     "alternator "
     "is, the less it gives\n"},
    {"\"parallel\": 2", "\"restart\": \"11 V\", \"cut_out\": \"12 V\"", SW_BAD_INPUT, 1,
     "van.json:5:14: /battery: cut_out (12 V), restart (11 V) and absorption (14.2 V) must rise in this "
     "order\n    for example \"cut_out\": \"10.5 V\", \"restart\": \"12.6 V\", \"absorption\": \"14.2 V\"\n"},
    {"\"parallel\": 2", "\"cold_stop\": \"5 C\", \"cold_full\": \"0 C\"", SW_BAD_INPUT, 1,
     "van.json:9:38: /battery/cold_full: cold_full (0 C) must not lie below cold_stop (5 C)\n    for example "
     "\"cold_stop\": \"0 C\", \"cold_full\": \"10 C\"\n"},
    {"\"rating\": \"2000 W\",",
     "\"rating\": \"2000 W\", \"peak_efficiency\": \"85 %\", \"full_efficiency\": \"90 %\",", SW_BAD_INPUT, 1,
     "van.json:16:15: /inverter: the efficiency at full load (90.0 %) must not exceed the peak efficiency "
     "(85.0 %)\n    look idle, peak_efficiency and full_efficiency up in the data sheet, or measure what it "
     "takes with nothing plugged in, such as \"idle\": \"8 W\"\n"},
    {"\"rating\": \"2000 W\",", "\"rating\": \"2000 W\", \"peak_efficiency\": \"99.5 %\",", SW_BAD_INPUT, 1,
     "van.json:16:55: /inverter/peak_efficiency: \"99.5 %\" must lie between 50 % and 99 % (inverter's "
     "best "
     "efficiency, from its data sheet)\n    for example \"peak_efficiency\": \"93 %\"\n"},
    {"\"rating\": \"2000 W\",", "\"rating\": \"100 W\", \"idle\": \"90 W\",", SW_BAD_INPUT, 1,
     "van.json:16:15: /inverter: no inverter of 100 W with a peak efficiency of 93.0 % can take 90 W at "
     "idle\n    look idle, peak_efficiency and full_efficiency up in the data sheet, or measure what it "
     "takes with nothing plugged in, such as \"idle\": \"8 W\"\n"},
    {"\"rating\": \"2000 W\",", "\"rating\": \"2000 W\", \"cut_out\": \"12.6 V\", \"restart\": \"12 V\",",
     SW_BAD_INPUT, 1,
     "van.json:16:15: /inverter: the inverter's restart (12 V) must lie above its cut_out (12.6 V)\n    for "
     "example \"cut_out\": \"10.8 V\", \"restart\": \"12.5 V\"\n"},
    {"\"rating\": \"2000 W\",", "\"rating\": \"2000 W\", \"cut_out\": \"21 V\",", SW_BAD_INPUT, 1,
     "van.json:16:15: /inverter: the inverter's cut_out of 21 V does not suit batteries of 12 V\n    it is "
     "the voltage of all batteries in series together\n"},
    {"\"17:30-22:30\"", "\"17:30 to 22:30\"", SW_BAD_INPUT, 1,
     "van.json:19:73: /loads/lights/hours: \"17:30 to 22:30\" is not a stretch of hours (two digits each, "
     "begin and end apart, 24:00 ends a day)\n    for example \"hours\": \"18:00-22:30\"\n"},
    {"\"17:30-22:30\"", "\"7:30-22:30\"", SW_BAD_INPUT, 1,
     "van.json:19:73: /loads/lights/hours: \"7:30-22:30\" is not a stretch of hours (two digits each, begin "
     "and end apart, 24:00 ends a day)\n    for example \"hours\": \"18:00-22:30\"\n"},
    {"\"17:30-22:30\"", "\"17:30-25:00\"", SW_BAD_INPUT, 1,
     "van.json:19:73: /loads/lights/hours: \"17:30-25:00\" is not a stretch of hours (two digits each, begin "
     "and end apart, 24:00 ends a day)\n    for example \"hours\": \"18:00-22:30\"\n"},
    {"\"17:30-22:30\"", "\"17:30-17:30\"", SW_BAD_INPUT, 1,
     "van.json:19:73: /loads/lights/hours: \"17:30-17:30\" is not a stretch of hours (two digits each, begin "
     "and end apart, 24:00 ends a day)\n    for example \"hours\": \"18:00-22:30\"\n"},
    {"\"17:30-22:30\"", "[\"17:00-20:00\", \"19:00-21:00\"]", SW_BAD_INPUT, 1,
     "van.json:19:89: /loads/lights/hours/1: \"19:00-21:00\" overlaps another stretch of hours in this "
     "list\n    join the two, or part them\n"},
    {"\"17:30-22:30\"", "[\"20:00-06:00\", \"05:00-07:00\"]", SW_BAD_INPUT, 1,
     "van.json:19:89: /loads/lights/hours/1: \"05:00-07:00\" overlaps another stretch of hours in this "
     "list\n    join the two, or part them\n"},
    {"\"17:30-22:30\"", "[]", SW_BAD_INPUT, 1,
     "van.json:19:73: /loads/lights/hours: the list is empty (local hours; all day if not given)\n    for "
     "example \"hours\": \"18:00-22:30\"\n"},
    {"\"17:30-22:30\"", "true", SW_BAD_INPUT, 1,
     "van.json:19:73: /loads/lights/hours: a stretch of hours is expected here (local hours; all day if not "
     "given), not true or false\n    for example \"hours\": \"18:00-22:30\"\n"},
    {"\"07:10\", \"16:10\"", "\"07:60\", \"16:10\"", SW_BAD_INPUT, 1,
     "van.json:20:86: /loads/kettle/at/0: \"07:60\" is not a clock time (two digits each, 00:00 to 23:59)\n  "
     "  for example \"at\": [\"07:10\", \"16:00\"]\n"},
    {"\"07:10\", \"16:10\"", "7, 16", SW_BAD_INPUT, 2,
     "van.json:20:86: /loads/kettle/at/0: a clock time is expected here (when the uses begin; spread over "
     "the hours if not given), not a number\n    for example \"at\": [\"07:10\", \"16:00\"]\n"},
    {"\"hours\": \"17:30-22:30\"", "\"days\": [\"sat\", \"sonday\"]", SW_BAD_INPUT, 1,
     "van.json:19:80: /loads/lights/days/1: \"sonday\" is not one of sun, mon, tue, wed, thu, fri, sat\n    "
     "for example \"days\": [\"sat\", \"sun\"]\n"},
    {"\"hours\": \"17:30-22:30\"", "\"when\": [\"parked\", \"driving\"]", SW_BAD_INPUT, 1,
     "van.json:19:72: /loads/lights/when: it is never parked and driving at once, so that this load would "
     "never run\n    keep one of them, or leave both away\n"},
    {"\"hours\": \"17:30-22:30\"", "\"outside_above\": \"30 C\", \"outside_below\": \"20 C\"", SW_BAD_INPUT,
     1,
     "van.json:19:81: /loads/lights/outside_above: it is never warmer than 30 C and colder than 20 C outside "
     "at once\n    swap the two temperatures\n"},
    {"\"hours\": \"17:30-22:30\"", "\"at\": \"07:00\"", SW_BAD_INPUT, 1,
     "van.json:19:64: /loads/lights/at: a load of kind \"steady\" has no use for \"at\"\n    remove it, or "
     "choose another \"kind\"\n"},
    {"\"hours\": \"17:30-22:30\"", "\"set_point\": \"4 C\"", SW_BAD_INPUT, 1,
     "van.json:19:64: /loads/lights/set_point: a load of kind \"steady\" has no use for \"set_point\"\n    "
     "remove it, or choose another \"kind\"\n"},
    {"\"power\": \"12 W\", ", "", SW_BAD_INPUT, 1,
     "van.json:19:15: /loads/lights: a load of kind \"steady\" needs \"power\"\n    add \"power\": \"45 "
     "W\"\n"},
    {"\"each\": \"5 min\", ", "", SW_BAD_INPUT, 1,
     "van.json:20:15: /loads/kettle: a load of kind \"use\" needs \"each\"\n    add \"each\": \"4 min\"\n"},
    {"\"fan\": {",
     "\"mixer\": {\"kind\": \"use\", \"bus\": \"dc\", \"power\": \"9 W\", \"each\": \"1 min\"}, \"fan\": {",
     SW_BAD_INPUT, 1,
     "van.json:21:14: /loads/mixer: a load of kind \"use\" needs \"uses\"\n    add \"uses\": 2, or the times "
     "\"at\": [\"07:10\", \"16:00\"]\n"},
    {"\"charge_per_day\": \"10 Ah\"", "\"charge_per_day\": \"10 Ah\", \"energy_per_day\": \"120 Wh\"",
     SW_BAD_INPUT, 1,
     "van.json:21:12: /loads/fan: a load has either \"energy_per_day\" or \"charge_per_day\", not both\n    "
     "keep the one that was measured\n"},
    {"\"charge_per_day\": \"10 Ah\"", "\"held\": \"want\"", SW_BAD_INPUT, 1,
     "van.json:21:12: /loads/fan: a load of kind \"measured\" needs \"energy_per_day\" or "
     "\"charge_per_day\"\n    add one of them, such as \"charge_per_day\": \"15 Ah\"\n"},
    {"\"power\": \"45 W\"", "\"power\": \"45 W\", \"set_point\": \"15 C\", \"reference\": \"12 C\"",
     SW_BAD_INPUT, 1,
     "van.json:18:15: /loads/fridge: the fridge's set_point (15 C) must lie below its reference ambient (12 "
     "C)\n    for example \"set_point\": \"4 C\", \"reference\": \"25 C\"\n"},
    {"\"bus\": \"dc\", \"charge_per_day\"", "\"charge_per_day\"", SW_BAD_INPUT, 1,
     "van.json:21:12: /loads/fan: a load needs the key \"bus\" (fed by the battery (dc) or by inverter and "
     "hookup (ac))\n    add \"bus\": \"dc\"\n"},
    {"\"capacity\": \"100 Ah\"", "\"part\": \"lfp-1000000\"", SW_BAD_INPUT, 1,
     "van.json:7:13: /battery/part: the file " SW_SOURCE_DIR
     "/profiles/parts/lfp-1000000.json could not be read: there is no such file\n    give the name of a file "
     "in profiles/parts, such as \"lfp-100\", or a path seen from the folder of this file, such as "
     "\"parts/mine.json\"\n"},
    {"\"capacity\": \"100 Ah\"", "\"part\": 3", SW_BAD_INPUT, 1,
     "van.json:7:13: /battery/part: the name of a part is expected here\n    for example \"part\": "
     "\"lfp-100\"\n"},
    {"\"limit\": \"30 A\"", "\"part\": \"lfp-100\"", SW_BAD_INPUT, 1,
     "van.json:13:26: /controller/part: the part \"lfp-100\" is a battery, but a solar controller is wanted "
     "here\n    name a part of that kind\n"},
    {"\"limit\": \"30 A\"", "\"part\": \"trip.json\"", SW_BAD_INPUT, 1,
     "van.json:13:26: /controller/part: trip.json is a trip file, but a part file is wanted here\n    name a "
     "file with \"format\": \"stillwatt part 1\"\n"},
    {"\"loads\": {", "\"battery\": 12, \"loads\": {", SW_BAD_INPUT, 1,
     "van.json:17:3: /battery: this key is already in the same object, on line 5\n    keep one of the two\n"},
    {"  \"loads\": {\n    \"fridge\"", "  \"lodes\": {\n    \"fridge\"", SW_BAD_INPUT, 2,
     "van.json:17:3: /lodes: a van has no key \"lodes\"\n    its keys are format, name, vehicle, battery, "
     "arrays, controller, alternator, shore, generator, starter, inverter, loads, cabin, tanks, "
     "hold_back_below\n"},
    {"\"shore\": {\"inlet_current\": \"30 A\", \"inlet_voltage\": \"120 V\", \"charger_output\": \"500 W\"},",
     "\"generator\": {\"rating\": \"1000 W\"},", SW_BAD_INPUT, 1,
     "van.json:15:3: /generator: a generator is plugged into the inlet, but the van has no \"shore\"\n    "
     "add \"shore\": the inlet and its charger\n"},
    {"\"inverter\": {", "\"generator\": {\"rating\": \"1000 kg\"}, \"inverter\": {", SW_BAD_INPUT, 1,
     "van.json:16:27: /generator/rating: \"1000 kg\" is a mass, but a power is expected (power that it gives "
     "continuously; its volt-amperes are taken as many)\n    for example \"rating\": \"1000 W\"\n"},
    {"\"loads\": {", "\"tanks\": {\"fresh\": {\"capacity\": \"75 kg\"}}, \"loads\": {", SW_BAD_INPUT, 1,
     "van.json:17:35: /tanks/fresh/capacity: \"75 kg\" is a mass, but a volume is expected (what it holds)\n "
     "   for example \"capacity\": \"75 L\"\n"},
    {"\"loads\": {", "\"tanks\": {\"gray\": {\"capacity\": \"75 L\"}}, \"loads\": {", SW_BAD_INPUT, 1,
     "van.json:17:13: /tanks/gray: a set of tanks has no key \"gray\"; did you mean \"grey\"?\n    for "
     "example \"grey\": {\"capacity\": \"60 L\"}\n"},
    {"\"loads\": {", "\"tanks\": {\"toilet\": {}}, \"loads\": {", SW_BAD_INPUT, 1,
     "van.json:17:23: /tanks/toilet: a tank needs the key \"capacity\" (what it holds)\n    add "
     "\"capacity\": \"75 L\"\n"},
    {"\"loads\": {", "\"tanks\": [], \"loads\": {", SW_BAD_INPUT, 1,
     "van.json:17:12: /tanks: a set of tanks is expected here, with its keys in braces, not a list\n    for "
     "example {\"fresh\": {\"capacity\": \"75 L\"}}\n"},
    {"\"power\": \"12 W\"", "\"power\": \"0 W\", \"water\": \"2 L\"", SW_BAD_INPUT, 1,
     "van.json:19:15: /loads/lights: \"water\" and \"fuel\" follow the energy of a load, and this one takes "
     "none\n    a hand pump counts in the trip's \"water_per_person\"\n"},
    {"\"power\": \"45 W\"", "\"power\": \"45 W\", \"fuel\": \"2 L\"", SW_BAD_INPUT, 1,
     "van.json:18:64: /loads/fridge/fuel: a load of kind \"fridge\" has no use for \"fuel\"\n    remove it, "
     "or choose another \"kind\"\n"},
    {"{\"payload\": \"620 kg\"}", "\"620 kg\"", SW_BAD_INPUT, 1,
     "van.json:4:14: /vehicle: a vehicle is expected here, with its keys in braces, not a text\n    for "
     "example {\"payload\": \"620 kg\"}\n"},

};

/* The van's battery is this part. */
static const wrong_file parts[] = {
    {"\"battery\"", "\"batery\"", SW_BAD_INPUT, 1,
     "part.json:4:11: /kind: \"batery\" is not a kind of part; did you mean \"battery\"?\n    battery, "
     "array, "
     "controller, alternator, shore, generator, inverter, load, tank or starter\n"},
    {"\"battery\"", "\"controller\"", SW_BAD_INPUT, 1,
     "van.json:7:13: /battery/part: the part \"part.json\" is a solar controller, but a battery is wanted "
     "here\n    name a part of that kind\n"},
    {"  \"name\": \"Unit\",\n", "", SW_BAD_INPUT, 1,
     "part.json:1:1: /: a part needs the key \"name\" (what the part is)\n    add \"name\": \"100 Ah lithium "
     "unit\"\n"},
    {"{\"capacity\": \"100 Ah\"}", "{\"capacity\": \"100 A\"}", SW_BAD_INPUT, 1,
     "part.json:5:22: /is/capacity: \"100 A\" is a current, but a charge is expected (rated capacity of one "
     "unit at the 20 h rate)\n    for example \"capacity\": \"100 Ah\"\n"},
    {"{\"capacity\": \"100 Ah\"}", "{\"capacity\": \"100 Ah\", \"part\": \"lfp-100\"}", SW_BAD_INPUT, 1,
     "part.json:5:32: /is/part: a part cannot stand on another part\n    write its keys here\n"},
    {"\"is\": {\"capacity\": \"100 Ah\"}", "\"was\": {\"capacity\": \"100 Ah\"}", SW_BAD_INPUT, 2,
     "part.json:5:3: /was: a part has no key \"was\"\n    its keys are format, name, kind, is\n"},

};

/* Suggested stations are of weather/stations.csv, suggested zones of the system's zone.tab. */
static const wrong_file trips[] = {
    {"\"uses\": 1", "\"uses\": 2, \"each\": \"13 h\"", SW_BAD_INPUT, 1,
     "trip.json:21:44: /habits/kettle/each: 2 times 13 h is more than a day holds\n    for example \"each\": "
     "\"4 min\"; what always runs is of kind \"steady\"\n"},
    {"\"van\": \"van.json\"", "\"van\": \"part.json\"", SW_BAD_INPUT, 1,
     "trip.json:4:10: /van: part.json is a part file, but a van file is wanted here\n    name a file with "
     "\"format\": \"stillwatt van 1\"\n"},
    {"\"Two nights\"", "null", SW_BAD_INPUT, 1,
     "trip.json:3:11: /name: a text is expected here (what people call the trip), not null\n    for example "
     "\"name\": \"A week on the mesa\"\n"},
    {"{\"stay\": \"mesa\", \"to\": \"2026-11-08 10:00\"}", "\"mesa\"", SW_BAD_INPUT, 1,
     "trip.json:18:5: /legs/2: a leg is expected here, with its keys in braces\n    {\"stay\": \"mesa\", "
     "\"to\": \"2026-11-08 10:00\"} or {\"drive\": [\"town\", \"mesa\"], \"to\": \"2026-11-06 15:00\"}\n"},
    {"\"van.json\"", "\"vans.json\"", SW_BAD_INPUT, 1,
     "trip.json:4:10: /van: the file vans.json could not be read: there is no such file\n    give its path "
     "as seen from the folder of this file, such as \"../vans/weekend.json\"\n"},
    {"\"van.json\"", "\"trip.json\"", SW_BAD_INPUT, 1,
     "trip.json:4:10: /van: trip.json is a trip file, but a van file is wanted here\n    name a file with "
     "\"format\": \"stillwatt van 1\"\n"},
    {"\"van.json\"", "{\"name\": \"Van\"}", SW_BAD_INPUT, 1,
     "trip.json:4:10: /van: the name of a van file is expected here\n    \"van\": "
     "\"../vans/weekend.json\"\n"},
    {"  \"van\": \"van.json\",\n", "", SW_BAD_INPUT, 1,
     "trip.json:1:1: /: a trip needs the key \"van\" (the van file, seen from this file)\n    add \"van\": "
     "\"../vans/weekend.json\"\n"},
    {"\"stillwatt trip 1\"", "\"stillwatt van 1\"", SW_BAD_INPUT, 1,
     "trip.json:2:13: /format: this is a van file, but a trip file is wanted\n    a trip file begins with "
     "\"format\": \"stillwatt trip 1\" and names its \"van\"\n"},
    {"\"kettle\": {\"uses\": 1}", "\"kettel\": {\"uses\": 1}", SW_BAD_INPUT, 1,
     "trip.json:21:14: /habits/kettel: the van has no load \"kettel\"; did you mean \"kettle\"?\n    habits "
     "change loads of the van file\n"},
    {"{\"kettle\": {\"uses\": 1}}", "[]", SW_BAD_INPUT, 1,
     "trip.json:21:13: /habits: \"habits\" must hold loads of the van by name, in braces\n    \"habits\": "
     "{\"kettle\": {\"uses\": 3}}\n"},
    {"\"uses\": 1", "\"uses\": 3", SW_BAD_INPUT, 1,
     "trip.json:21:33: /habits/kettle/uses: there are 3 uses a day, but \"at\" gives only 2 times\n    give "
     "as many times, for example \"at\": [\"07:10\", \"12:30\", \"16:00\"]\n"},
    {"\"uses\": 1", "\"uses\": \"1\"", SW_BAD_INPUT, 1,
     "trip.json:21:33: /habits/kettle/uses: a number without quotes is expected here (uses a day), not a "
     "text\n    for example \"uses\": 2\n"},
    {"\"uses\": 1", "\"power\": \"700 W\"", SW_BAD_INPUT, 1,
     "trip.json:21:25: /habits/kettle/power: a habit has no key \"power\"\n    its keys are held, count, "
     "duty, hours, uses, each, at, energy_per_day, charge_per_day, days, when, outside_above, outside_below, "
     "cabin_above, cabin_below, set_point, keeps, stored\n"},
    {"\"Grand Junction CO\"", "\"Grand Junktion\"", SW_BAD_INPUT, 1,
     "trip.json:6:13: /places/town: \"Grand Junktion\" does not name exactly one station of the weather "
     "table\n    did you mean \"Grand Junction Walker Field CO\", \"Grand Forks AFB ND\", \"Grand Forks "
     "International Airport ND\"\n"},
    {"\"Grand Junction CO\"", "\"Atlantis\"", SW_BAD_INPUT, 1,
     "trip.json:6:13: /places/town: \"Atlantis\" does not name exactly one station of the weather table\n    "
     "did you mean \"Atlantic IA\", \"Atlanta Hartsfield International Airport GA\"\n"},
    {"\"Grand Junction CO\"", "\"Springfield\"", SW_BAD_INPUT, 1,
     "trip.json:6:13: /places/town: \"Springfield\" does not name exactly one station of the weather table\n "
     "   did you mean \"Springfield Regional Airport MO\", \"Springfield Hartness VT\"\n"},
    {"\"station\": \"Grand Junction CO\"", "\"station\": \"Grand Junction CO\", \"latitude\": 39",
     SW_BAD_INPUT, 1,
     "trip.json:6:13: /places/town: a place has either a station or a position, not both\n    keep one of "
     "the two\n"},
    {"\"town\": {\"station\": \"Grand Junction CO\"}", "\"town\": \"Grand Junction CO\"", SW_BAD_INPUT, 1,
     "trip.json:6:13: /places/town: a place is expected here, with its keys in braces, not a text\n    for "
     "example "
     "{\"station\": \"Grand Junction CO\"}\n"},
    {"\"latitude\": 38.5", "\"latitude\": 98.5", SW_BAD_INPUT, 1,
     "trip.json:8:19: /places/mesa/latitude: 98.5 must lie between -90 and 90 (degrees, north positive)\n    "
     "for example \"latitude\": 38.57\n"},
    {"\"latitude\": 38.5", "\"latitude\": \"38.5\"", SW_BAD_INPUT, 1,
     "trip.json:8:19: /places/mesa/latitude: a number without quotes is expected here (degrees, north "
     "positive), not a text\n    for example \"latitude\": 38.57\n"},
    {"      \"latitude\": 38.5,\n", "", SW_BAD_INPUT, 1,
     "trip.json:7:13: /places/mesa: a place needs a station of the weather table, or its latitude and "
     "longitude\n    \"station\": \"Grand Junction CO\", or latitude, longitude, elevation and zone\n"},
    {"      \"elevation\": \"1500 m\",\n", "", SW_BAD_INPUT, 1,
     "trip.json:7:13: /places/mesa: a place given by its position needs its \"elevation\"\n    add "
     "\"elevation\": \"1370 m\"\n"},
    {"\"elevation\": \"1500 m\",\n      \"zone\": \"America/Denver\"", "\"elevation\": \"1500 m\"",
     SW_BAD_INPUT, 1,
     "trip.json:7:13: /places/mesa: the place \"mesa\" has no time zone\n    add \"zone\": "
     "\"America/Denver\" (or \"America/Phoenix\", \"America/Boise\")\n"},
    {"\"America/Denver\"", "\"America/Denvr\"", SW_BAD_INPUT, 1,
     "trip.json:7:13: /places/mesa: the time zone \"America/Denvr\" is not known\n    add \"zone\": "
     "\"America/Denver\" (or \"America/Phoenix\", \"America/Boise\")\n"},
    {"\"America/Denver\"", "\"America\"", SW_BAD_INPUT, 1,
     "trip.json:7:13: /places/mesa: the time zone \"America\" is not known\n    add \"zone\": "
     "\"America/Denver\" (or \"America/Phoenix\", \"America/Boise\")\n"},
    {"\"latitude\": 38.5,\n      \"longitude\": -109.6", "\"latitude\": 0,\n      \"longitude\": -140",
     SW_BAD_INPUT, 1,
     "trip.json:7:13: /places/mesa: no weather station of the table lies within 300 km; the nearest is Hilo "
     "International Airport, 2738 km away\n    give the place's own monthly means as its \"normals\", or an "
     "hourly weather file\n"},
    {"\"zone\": \"America/Denver\"",
     "\"zone\": \"America/Denver\", \"normals\": {\"daily_sun\": [\"2 kWh/m2\", \"3 kWh/m2\"], \"low\": [], "
     "\"high\": []}",
     SW_BAD_INPUT, 3,
     "trip.json:11:58: /places/mesa/normals/daily_sun: twelve values are expected, January to December, not "
     "2\n    for example \"daily_sun\": [\"2.9 kWh/m2\", ... twelve values]\n"},
    {"\"2026-11-06 12:00\"", "\"2027-02-29 12:00\"", SW_BAD_INPUT, 1,
     "trip.json:15:30: /legs/0/from: \"2027-02-29 12:00\" is not a date and time that exists (year-month-day "
     "hour:minute)\n    for example \"from\": \"2026-11-06 16:00\"\n"},
    {"\"2026-11-06 12:00\"", "\"2026-11-06 25:00\"", SW_BAD_INPUT, 1,
     "trip.json:15:30: /legs/0/from: \"2026-11-06 25:00\" is not a date and time that exists (year-month-day "
     "hour:minute)\n    for example \"from\": \"2026-11-06 16:00\"\n"},
    {"\"2026-11-06 12:00\"", "\"2026-11-06\"", SW_BAD_INPUT, 1,
     "trip.json:15:30: /legs/0/from: \"2026-11-06\" has no clock time\n    for example \"from\": "
     "\"2026-11-06 16:00\"\n"},
    {"\"2026-11-06 12:00\"", "\"1826-11-06 12:00\"", SW_BAD_INPUT, 1,
     "trip.json:15:30: /legs/0/from: the year must lie between 1900 and 2099\n    for example \"from\": "
     "\"2026-11-06 16:00\"\n"},
    {"\"2026-11-06 12:00\"", "20261106", SW_BAD_INPUT, 1,
     "trip.json:15:30: /legs/0/from: a local date and time is expected here (local begin; the end of the leg "
     "before if not given), not a number\n    for example \"from\": \"2026-11-06 16:00\"\n"},
    {"\"from\": \"2026-11-06 12:00\", ", "", SW_BAD_INPUT, 1,
     "trip.json:15:5: /legs/0: the first leg needs its \"from\"\n    add \"from\": \"2026-11-06 16:00\"\n"},
    {", \"to\": \"2026-11-08 10:00\"", "", SW_BAD_INPUT, 1,
     "trip.json:18:5: /legs/2: a leg needs the key \"to\" (local end, on the clock of the place where it "
     "ends)\n    add \"to\": \"2026-11-08 10:00\"\n"},
    {"{\"station\": \"Grand Junction CO\"}", "\"Grand Junction CO\"", SW_BAD_INPUT, 1,
     "trip.json:6:13: /places/town: a place is expected here, with its keys in braces, not a text\n    for "
     "example {\"station\": \"Grand Junction CO\"}\n"},
    {"{\"stay\": \"mesa\"", "{\"stay\": \"messa\"", SW_BAD_INPUT, 1,
     "trip.json:18:14: /legs/2/stay: there is no place \"messa\"; did you mean \"mesa\"?\n    the name must "
     "be one of \"places\"\n"},
    {"{\"stay\": \"mesa\"", "{\"stay\": \"a lake\"", SW_BAD_INPUT, 1,
     "trip.json:18:14: /legs/2/stay: there is no place \"a lake\"\n    add it to \"places\", for example "
     "\"mesa\": {\"station\": \"Moab\"}\n"},
    {"[\"town\", \"mesa\"]", "[\"town\"]", SW_BAD_INPUT, 1,
     "trip.json:17:15: /legs/1/drive: a drive names the two places it joins\n    \"drive\": [\"town\", "
     "\"mesa\"]\n"},
    {"[\"town\", \"mesa\"]", "[\"mesa\", \"town\"]", SW_BAD_INPUT, 2,
     "trip.json:17:5: /legs/1: this leg begins at \"mesa\", but the one before ends at \"town\"\n    add the "
     "drive between them\n"},
    {"[\"town\", \"mesa\"], \"to\": \"2026-11-06 15:00\", \"distance\": \"180 km\"",
     "[\"town\", \"town\"], \"to\": \"2026-11-06 15:00\"", SW_BAD_INPUT, 2,
     "trip.json:17:5: /legs/1: this drive goes nowhere: both ends are the same place\n    give its "
     "\"distance\": \"40 km\", or make it a stay\n"},
    {"\"distance\": \"180 km\"", "\"from\": \"2026-11-06 13:30\"", SW_BAD_INPUT, 1,
     "trip.json:17:5: /legs/1: there is a gap of 0 h 30 min between this leg and the one before\n    leave "
     "\"from\" away: a leg then begins where the one before ends\n"},
    {"\"distance\": \"180 km\"", "\"from\": \"2026-11-06 12:30\"", SW_BAD_INPUT, 1,
     "trip.json:17:5: /legs/1: this leg overlaps the one before by 0 h 30 min\n    leave \"from\" away: a "
     "leg then begins where the one before ends\n"},
    {"\"2026-11-06 15:00\"", "\"2026-11-06 13:00\"", SW_BAD_INPUT, 1,
     "trip.json:17:5: /legs/1: this leg takes no time: it ends when it begins\n    give a \"to\" after the "
     "\"from\"\n"},
    {"\"2026-11-06 15:00\"", "\"2026-11-06 11:00\"", SW_BAD_INPUT, 1,
     "trip.json:17:5: /legs/1: this leg takes no time: it ends before it begins\n    give a \"to\" after the "
     "\"from\"\n"},
    {"\"180 km\"", "\"1800 km\"", SW_BAD_INPUT, 1,
     "trip.json:17:5: /legs/1: this drive of 1800 km in 2.0 h would average 900 km/h\n    check the times "
     "and the places\n"},
    {"\"180 km\"", "\"80 km\"", SW_BAD_INPUT, 1,
     "trip.json:17:5: /legs/1: the distance of 80 km is shorter than the straight line of 116 km\n    give "
     "the length of the road, or leave \"distance\" away\n"},
    {"\"1500 m\",",
     "\"1500 m\", \"skyline\": [{\"toward\": \"90 deg\", \"height\": \"5 deg\"}, {\"toward\": \"90 deg\", "
     "\"height\": "
     "\"6 deg\"}],",
     SW_BAD_INPUT, 1,
     "trip.json:10:41: /places/mesa/skyline: the directions of a skyline must rise: 90 deg follows 90 deg\n  "
     "  go round "
     "clockwise from north, from 0 deg to below 360 deg\n"},
    {"\"1500 m\",", "\"1500 m\", \"skyline\": {},", SW_BAD_INPUT, 1,
     "trip.json:10:41: /places/mesa/skyline: this must be a list of 1 to 72 objects, in brackets\n    "
     "\"skyline\": "
     "[{\"toward\": \"90 deg\", \"height\": \"18 deg\"}]\n"},
    {"\"1500 m\",", "\"1500 m\", \"skyline\": [{\"toward\": \"90 deg\"}],", SW_BAD_INPUT, 1,
     "trip.json:10:42: /places/mesa/skyline/0: a point of the skyline needs the key \"height\" (how high "
     "hills or "
     "woods stand there over the level)\n    add \"height\": \"18 deg\"\n"},
    {"\"1500 m\",", "\"1500 m\", \"skyline\": [{\"toward\": \"90 deg\", \"height\": \"86 deg\"}],",
     SW_BAD_INPUT, 1,
     "trip.json:10:73: /places/mesa/skyline/0/height: \"86 deg\" must lie between 0 deg and 85 deg (how high "
     "hills or "
     "woods stand there over the level)\n    for example \"height\": \"18 deg\"\n"},
    {"{\"stay\": \"mesa\"", "{\"stay\": \"mesa\", \"shade\": []", SW_BAD_INPUT, 1,
     "trip.json:18:31: /legs/2/shade: this must be a list of 1 to 8 objects, in brackets\n    \"shade\": "
     "[{\"hours\": "
     "\"06:00-10:30\", \"beam\": \"80 %\"}]\n"},
    {"{\"stay\": \"mesa\"", "{\"stay\": \"mesa\", \"shade\": [{\"sky\": \"50 %\"}]", SW_BAD_INPUT, 1,
     "trip.json:18:32: /legs/2/shade/0: a shade needs the key \"beam\" (share of the panels that the sun "
     "does not "
     "reach)\n    add \"beam\": \"80 %\"\n"},
    {"\"distance\": \"180 km\"", "\"shade\": [{\"beam\": \"50 %\"}]", SW_BAD_INPUT, 1,
     "trip.json:17:59: /legs/1/shade: a drive has no \"shade\"\n    remove it\n"},
    {"{\"stay\": \"mesa\"", "{\"stay\": \"mesa\", \"generator_hours\": \"09:00-11:00\"", SW_BAD_INPUT, 1,
     "trip.json:18:22: /legs/2/generator_hours: the van has no generator that could run\n    add "
     "\"generator\": {\"rating\": \"1000 W\"} to the van file\n"},
    {"{\"stay\": \"mesa\"", "{\"stay\": \"mesa\", \"engine_hours\": \"09:00-9\"", SW_BAD_INPUT, 1,
     "trip.json:18:38: /legs/2/engine_hours: \"09:00-9\" is not a stretch of hours (two digits each, begin "
     "and end apart, 24:00 ends a day)\n    for example \"engine_hours\": \"17:00-17:45\"\n"},
    {"{\"stay\": \"mesa\"", "{\"stay\": \"mesa\", \"services\": [\"fresh\"]", SW_BAD_INPUT, 1,
     "trip.json:18:34: /legs/2/services: the van has no \"fresh\" tank\n    add it to the \"tanks\" of the "
     "van file, or leave the service away\n"},
    {"{\"stay\": \"mesa\"", "{\"stay\": \"mesa\", \"services\": \"water\"", SW_BAD_INPUT, 1,
     "trip.json:18:34: /legs/2/services: \"water\" is not one of fresh, grey, toilet, fuel, can\n    for "
     "example \"services\": [\"fresh\", \"grey\"]\n"},
    {"\"distance\": \"180 km\"", "\"engine_hours\": \"09:00-10:00\"", SW_BAD_INPUT, 1,
     "trip.json:17:59: /legs/1/engine_hours: a drive has no \"engine_hours\"\n    remove it\n"},
    {"\"1500 m\",", "\"1500 m\", \"quiet_hours\": [],", SW_BAD_INPUT, 1,
     "trip.json:10:45: /places/mesa/quiet_hours: the list is empty (when neither generator nor engine may "
     "run to charge)\n    for example \"quiet_hours\": \"20:00-08:00\"\n"},
    {"\"van.json\",", "\"van.json\", \"people\": 0,", SW_BAD_INPUT, 1,
     "trip.json:4:32: /people: 0 must lie between 1 and 12 (how many are aboard)\n    for example "
     "\"people\": 2\n"},
    {"\"distance\": \"180 km\"", "\"heading\": \"90 deg\"", SW_BAD_INPUT, 1,
     "trip.json:17:59: /legs/1/heading: a drive has no \"heading\"\n    remove it\n"},
    {"{\"stay\": \"mesa\"", "{\"stay\": \"mesa\", \"drive\": [\"mesa\", \"town\"]", SW_BAD_INPUT, 1,
     "trip.json:18:5: /legs/2: a leg is one of \"stay\", \"drive\" and \"store\"\n    {\"stay\": \"mesa\", "
     "\"to\": "
     "\"2026-11-08 10:00\"} or {\"drive\": [\"town\", \"mesa\"], \"to\": \"2026-11-06 15:00\"}\n"},
    {"\"2026-11-08 10:00\"", "\"2027-03-14 02:30\"", SW_BAD_INPUT, 1,
     "trip.json:18:5: /legs/2: the clocks of America/Denver skip 2027-03-14 02:30 (daylight saving begins)\n "
     "   choose a time an hour later\n"},
    {"\"2026-11-08 10:00\"", "\"2028-11-08 10:00\"", SW_BAD_INPUT, 1,
     "trip.json:18:5: /legs/2: the trip is longer than 400 days\n    check the years of the dates\n"},
    {"\"voltage\": \"120 V\"", "\"voltage\": \"230 V\"", SW_BAD_INPUT, 1,
     "trip.json:15:5: /legs/0: the van's inlet is for 120 V, this hookup gives 230 V\n    check the hookup's "
     "\"voltage\" and the van's \"inlet_voltage\"\n"},
    {"\"current\": \"30 A\", ", "", SW_BAD_INPUT, 1,
     "trip.json:16:16: /legs/0/hookup: a hookup needs the key \"current\" (breaker of the pedestal)\n    add "
     "\"current\": \"30 A\"\n"},
    {"\"voltage\": \"120 V\"", "\"voltage\": \"12 V\"", SW_BAD_INPUT, 1,
     "trip.json:16:47: /legs/0/hookup/voltage: \"12 V\" must lie between 90 V and 260 V (its voltage of one "
     "hot leg, of a weak pedestal under load)\n    "
     "for example \"voltage\": \"120 V\"\n"},
    {"{\"current\": \"30 A\", \"voltage\": \"120 V\"}", "true", SW_BAD_INPUT, 1,
     "trip.json:16:16: /legs/0/hookup: a hookup is expected here, with its keys in braces, not true or "
     "false\n    for example {\"current\": \"30 A\", \"voltage\": \"120 V\"}\n"},
    {"\"drive\": [\"town\", \"mesa\"], \"to\": \"2026-11-06 15:00\", \"distance\": \"180 km\"",
     "\"stay\": \"mesa\", \"to\": \"2026-11-06 15:00\"", SW_BAD_INPUT, 1,
     "trip.json:17:5: /legs/1: this leg begins at \"mesa\", but the one before ends at \"town\"\n    add the "
     "drive between them\n"},
    {"\"180 km\"", "\"0 km\"", SW_BAD_INPUT, 1,
     "trip.json:17:5: /legs/1: the distance of 0 km is shorter than the straight line of 116 km\n    give "
     "the length of the road, or leave \"distance\" away\n"},
    {"\"180 km\"", "\"180 min\"", SW_BAD_INPUT, 1,
     "trip.json:17:71: /legs/1/distance: \"180 min\" is a time, but a length is expected (length of the "
     "road)\n    for example \"distance\": \"180 km\"\n"},
    {"\"to\": \"2026-11-06 13:00\"", "\"to\": \"2026-11-06 12:00\"", SW_BAD_INPUT, 1,
     "trip.json:15:5: /legs/0: this leg takes no time: it ends when it begins\n    give a \"to\" after the "
     "\"from\"\n"},
    {"\"average\"", "\"sunny\"", SW_BAD_INPUT, 1,
     "trip.json:20:19: /sky/kind: \"sunny\" is not one of average, told, hourly, chance\n    for example "
     "\"kind\": "
     "\"average\"\n"},
    {"{\"kind\": \"average\"}", "{\"kind\": \"told\"}", SW_BAD_INPUT, 1,
     "trip.json:20:10: /sky: a told sky needs \"otherwise\", the cloud of all days not named\n    add "
     "\"otherwise\": \"scattered\"\n"},
    {"{\"kind\": \"average\"}", "{\"kind\": \"told\", \"otherwise\": \"cloudy\"}", SW_BAD_INPUT, 1,
     "trip.json:20:40: /sky/otherwise: \"cloudy\" is not a cloud amount\n    clear, few, scattered, broken, "
     "overcast, or oktas 0 to 8\n"},
    {"{\"kind\": \"average\"}", "{\"kind\": \"told\", \"otherwise\": 9}", SW_BAD_INPUT, 1,
     "trip.json:20:40: /sky/otherwise: a cloud amount is expected here, as a word or in oktas\n    clear, "
     "few, scattered, broken, overcast, or oktas 0 to 8\n"},
    {"{\"kind\": \"average\"}",
     "{\"kind\": \"told\", \"otherwise\": \"few\", \"days\": {\"2026-11-31\": \"few\"}}", SW_BAD_INPUT, 1,
     "trip.json:20:56: /sky/days/2026-11-31: \"2026-11-31\" is not a date that exists\n    for example "
     "\"2026-11-08\": \"overcast\"\n"},
    {"{\"kind\": \"average\"}",
     "{\"kind\": \"told\", \"otherwise\": \"few\", \"days\": {\"2026-11-07\": {\"morning\": \"few\"}}}",
     SW_BAD_INPUT, 1,
     "trip.json:20:70: /sky/days/2026-11-07: a told day needs the key \"afternoon\" (cloud after solar "
     "noon)\n    add \"afternoon\": \"broken\"\n"},
    {"{\"kind\": \"average\"}", "{\"kind\": \"average\", \"haze\": \"20 %\"}", SW_BAD_INPUT, 1,
     "trip.json:20:30: /sky/haze: only a sky of kind \"told\" has \"haze\"\n    use \"kind\": \"told\"\n"},
    {"{\"kind\": \"average\"}", "{\"kind\": \"hourly\"}", SW_BAD_INPUT, 1,
     "trip.json:20:10: /sky: an hourly sky needs its \"file\"\n    add \"file\": \"denver.epw\"\n"},
    {"{\"kind\": \"average\"}", "{\"kind\": \"hourly\", \"file\": \"nowhere.epw\"}", SW_BAD_INPUT, 1,
     "trip.json:20:37: /sky/file: the weather file nowhere.epw could not be read: there is no such file\n    "
     "give its path as seen from the folder of this file, such as \"weather/denver.epw\"\n"},
    {"{\"kind\": \"average\"}", "{\"kind\": \"average\", \"file\": \"nowhere.epw\"}", SW_BAD_INPUT, 1,
     "trip.json:20:30: /sky/file: only a sky of kind \"hourly\" has \"file\"\n    use \"kind\": "
     "\"hourly\"\n"},
    {"\"sky\": {\"kind\": \"average\"}", "\"cabin_at_least\": \"40 C\", \"cabin_at_most\": \"20 C\"",
     SW_BAD_INPUT, 1,
     "trip.json:1:1: /: cabin_at_least (40 C) must not lie above cabin_at_most (20 C)\n    for example "
     "\"cabin_at_least\": \"16 C\", \"cabin_at_most\": \"30 C\"\n"},

};

/* Reads the trip and makes it ready for the march, as a rehearsal does: no plan and no course may come out.
 */
static sw_status read_all(const char *van, const char *trip, const char *part, sw_messages *messages)
{
    memory_file file[] = {{"van.json", van}, {"trip.json", trip}, {"part.json", part}, {NULL, NULL}};
    memory_files files = {.file = file};
    sw_loader loader = memory_loader(&files);
    sw_plan *plan = NULL;
    sw_course *course = NULL;
    sw_status status = sw_read_trip(&loader, "trip.json", messages, &plan);
    ck_assert_int_eq(status == SW_OK, plan != NULL);
    if (status == SW_OK)
        status = sw_course_make(plan, &loader, 3600, messages, &course);
    ck_assert_int_eq(status == SW_OK, course != NULL);
    sw_course_free(course);
    sw_plan_free(plan);
    return status;
}

static const sw_message *first_error(const sw_messages *messages)
{
    size_t i = 0;
    while (i < sw_messages_count(messages) && sw_messages_at(messages, i)->severity != SW_ERROR)
        i++;
    return sw_messages_at(messages, i);
}

static int differs(const wrong_file *wrong, sw_status status, const sw_messages *messages)
{
    char text[3000] = "nothing wrong was found\n";
    if (first_error(messages) != NULL)
        sw_message_format(first_error(messages), text, sizeof text);
    if (status == wrong->status && sw_messages_errors(messages) == wrong->errors &&
        strcmp(text, wrong->message) == 0)
        return 0;
    printf("%s -> %s: status %d, %zu errors\n  expected: %s  found:    %s", wrong->from, wrong->to, status,
           sw_messages_errors(messages), wrong->message, text);
    return 1;
}

enum which { VAN, TRIP, PART, KINDS };

static const char *const names[KINDS] = {"van.json", "trip.json", "part.json"};
static const struct {
    const wrong_file *row;
    size_t count;
} tables[KINDS] = {{vans, sizeof vans / sizeof vans[0]},
                   {trips, sizeof trips / sizeof trips[0]},
                   {parts, sizeof parts / sizeof parts[0]}};

typedef struct three_files {
    char *text[KINDS];
} three_files;

static three_files good_files(enum which wrong)
{
    const char *battery = wrong == PART ? "\"part\": \"part.json\"" : "\"capacity\": \"100 Ah\"";
    return (three_files){{text_with(small_van, "\"capacity\": \"100 Ah\"", battery),
                          text_with(small_trip, "Two nights", "Two nights"),
                          text_with(small_part, "kind", "kind")}};
}

static three_files wrong_files(enum which wrong, const wrong_file *row)
{
    three_files files = good_files(wrong);
    char *changed = text_with(files.text[wrong], row->from, row->to);
    free(files.text[wrong]);
    files.text[wrong] = changed;
    return files;
}

static void forget_files(three_files *files)
{
    for (int i = 0; i < KINDS; i++)
        free(files->text[i]);
}

static void check_wrong(enum which wrong)
{
    int different = 0;
    for (size_t i = 0; i < tables[wrong].count; i++) {
        const wrong_file *row = &tables[wrong].row[i];
        three_files files = wrong_files(wrong, row);
        sw_messages *messages = sw_messages_create();
        sw_status status = read_all(files.text[VAN], files.text[TRIP], files.text[PART], messages);
        different += differs(row, status, messages);
        sw_messages_free(messages);
        forget_files(&files);
    }
    fflush(stdout); // a failed check leaves without it
    ck_assert_int_eq(different, 0);
}

START_TEST(the_unchanged_files_are_good)
{
    sw_messages *messages = sw_messages_create();
    for (int wrong = 0; wrong < KINDS; wrong++) {
        three_files files = good_files((enum which)wrong);
        ck_assert_int_eq(read_all(files.text[VAN], files.text[TRIP], files.text[PART], messages), SW_OK);
        forget_files(&files);
    }
    ck_assert_uint_eq(sw_messages_count(messages), 0);
    sw_messages_free(messages);
}
END_TEST

START_TEST(a_wrong_van_is_told_where_what_and_what_instead)
{
    check_wrong(VAN);
}
END_TEST

START_TEST(a_wrong_part_is_told_where_what_and_what_instead)
{
    check_wrong(PART);
}
END_TEST

START_TEST(a_wrong_trip_is_told_where_what_and_what_instead)
{
    check_wrong(TRIP);
}
END_TEST

static void check_by_the_program(const char *folder, enum which wrong, refusals *seen)
{
    for (size_t i = 0; i < tables[wrong].count; i++) {
        const wrong_file *row = &tables[wrong].row[i];
        three_files files = wrong_files(wrong, row);
        for (int k = 0; k < KINDS; k++)
            program_write(folder, names[k], files.text[k]);
        refusal expected = {row->to, row->message, sw_status_exit(row->status)};
        refused_rehearse(folder, "stillwatt", &expected, seen);
        forget_files(&files);
    }
}

/* The same rows in files on a disk: the program ends with 3 or 4, says the same first, and writes nothing. */
START_TEST(the_program_says_the_same_and_writes_nothing)
{
    refusals seen = {0, 0, 0};
    char *folder = program_folder();
    for (int wrong = 0; wrong < KINDS; wrong++)
        check_by_the_program(folder, (enum which)wrong, &seen);
    program_remove(folder);
    refused_conclude("wrong vans, trips and parts", &seen);
}
END_TEST

/* Every message that a builder can get here has a place in a file and says what to write instead. */
START_TEST(every_message_names_a_place_and_gives_a_hint)
{
    for (int t = 0; t < KINDS; t++)
        for (size_t i = 0; i < tables[t].count; i++) {
            const char *message = tables[t].row[i].message, *colon = strchr(message, ':');
            ck_assert_ptr_nonnull(colon);
            ck_assert_msg(colon[1] >= '1' && colon[1] <= '9', "%s", message);
            ck_assert_msg(strstr(message, "\n    ") != NULL, "%s", message);
        }
}
END_TEST

typedef sw_status read_wanted(const sw_loader *loader, const char *file, sw_messages *messages,
                              sw_plan **out);

static void check_named(read_wanted *read, const char *name, sw_status status, const char *expected)
{
    memory_file file[] = {
        {"van.json", small_van}, {"trip.json", small_trip}, {"part.json", small_part}, {NULL, NULL}};
    memory_files files = {.file = file};
    sw_loader loader = memory_loader(&files);
    sw_messages *messages = sw_messages_create();
    sw_plan *plan = NULL;
    char text[1000];
    ck_assert_int_eq(read(&loader, name, messages, &plan), status);
    ck_assert_ptr_null(plan);
    ck_assert_uint_eq(sw_messages_count(messages), 1);
    sw_message_format(sw_messages_at(messages, 0), text, sizeof text);
    ck_assert_str_eq(text, expected);
    sw_messages_free(messages);
}

START_TEST(a_file_of_the_wrong_kind_or_none_is_told_with_what_to_try)
{
    check_named(sw_read_trip, "van.json", SW_BAD_INPUT,
                "van.json:2:13: /format: this is a van file, but a trip file is wanted\n"
                "    a trip file begins with \"format\": \"stillwatt trip 1\" and names its \"van\"\n");
    check_named(sw_read_trip, "part.json", SW_BAD_INPUT,
                "part.json:2:13: /format: this is a part file, but a trip file is wanted\n"
                "    a trip file begins with \"format\": \"stillwatt trip 1\" and names its \"van\"\n");
    check_named(sw_read_van, "trip.json", SW_BAD_INPUT,
                "trip.json:2:13: /format: this is a trip file, but a van file is wanted\n"
                "    a van file begins with \"format\": \"stillwatt van 1\"\n");
    check_named(sw_read_trip, "mesa.json", SW_CANNOT_READ,
                "mesa.json: there is no such file\n    check the spelling and the folder; a file in another "
                "folder needs its path, such as trips/mesa.json\n");
}
END_TEST

Suite *sw_suite(void)
{
    const TTest *const tests[] = {the_unchanged_files_are_good,
                                  a_wrong_van_is_told_where_what_and_what_instead,
                                  a_wrong_part_is_told_where_what_and_what_instead,
                                  a_wrong_trip_is_told_where_what_and_what_instead,
                                  the_program_says_the_same_and_writes_nothing,
                                  every_message_names_a_place_and_gives_a_hint,
                                  a_file_of_the_wrong_kind_or_none_is_told_with_what_to_try,
                                  NULL};
    return sw_suite_of("bad files", tests, 60);
}
