#include "support/small_plan.h"
#include "support/checks.h"
#include "support/memory_loader.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

const char small_van[] =
    "{\n"
    "  \"format\": \"stillwatt van 1\",\n"
    "  \"name\": \"Small van\",\n"
    "  \"vehicle\": {\"payload\": \"620 kg\"},\n"
    "  \"battery\": {\n"
    "    \"chemistry\": \"lifepo4\",\n"
    "    \"capacity\": \"100 Ah\",\n"
    "    \"unit_voltage\": \"12 V\",\n"
    "    \"parallel\": 2,\n"
    "    \"price\": \"900 USD\"\n"
    "  },\n"
    "  \"arrays\": {\"roof\": {\"rating\": \"200 W\", \"panels\": 2}},\n"
    "  \"controller\": {\"limit\": \"30 A\", \"price\": \"150 USD\"},\n"
    "  \"alternator\": {\"converter_output\": \"360 W\"},\n"
    "  \"shore\": {\"inlet_current\": \"30 A\", \"inlet_voltage\": \"120 V\", \"charger_output\": \"500 "
    "W\"},\n"
    "  \"inverter\": {\"rating\": \"2000 W\", \"hours\": [\"06:30-09:00\", \"17:00-22:00\"]},\n"
    "  \"loads\": {\n"
    "    \"fridge\": {\"kind\": \"fridge\", \"bus\": \"dc\", \"power\": \"45 W\", \"held\": \"must\"},\n"
    "    \"lights\": {\"kind\": \"steady\", \"bus\": \"dc\", \"power\": \"12 W\", \"hours\": "
    "\"17:30-22:30\"},\n"
    "    \"kettle\": {\"kind\": \"use\", \"bus\": \"ac\", \"power\": \"900 W\", \"each\": \"5 min\", "
    "\"at\": [\"07:10\", \"16:10\"]},\n"
    "    \"fan\": {\"kind\": \"measured\", \"bus\": \"dc\", \"charge_per_day\": \"10 Ah\"}\n"
    "  }\n"
    "}\n";

const char small_trip[] =
    "{\n"
    "  \"format\": \"stillwatt trip 1\", // two nights\n"
    "  \"name\": \"Two nights\",\n"
    "  \"van\": \"van.json\",\n"
    "  \"places\": {\n"
    "    \"town\": {\"station\": \"Grand Junction CO\"},\n"
    "    \"mesa\": {\n"
    "      \"latitude\": 38.5,\n"
    "      \"longitude\": -109.6,\n"
    "      \"elevation\": \"1500 m\",\n"
    "      \"zone\": \"America/Denver\"\n"
    "    }\n"
    "  },\n"
    "  \"legs\": [\n"
    "    {\"stay\": \"town\", \"from\": \"2026-11-06 12:00\", \"to\": \"2026-11-06 13:00\",\n"
    "     \"hookup\": {\"current\": \"30 A\", \"voltage\": \"120 V\"}},\n"
    "    {\"drive\": [\"town\", \"mesa\"], \"to\": \"2026-11-06 15:00\", \"distance\": \"180 km\"},\n"
    "    {\"stay\": \"mesa\", \"to\": \"2026-11-08 10:00\"}\n"
    "  ],\n"
    "  \"sky\": {\"kind\": \"average\"},\n"
    "  \"habits\": {\"kettle\": {\"uses\": 1}}\n"
    "}\n";

const char small_part[] = "{\n"
                          "  \"format\": \"stillwatt part 1\",\n"
                          "  \"name\": \"Unit\",\n"
                          "  \"kind\": \"battery\",\n"
                          "  \"is\": {\"capacity\": \"100 Ah\"}\n"
                          "}\n";

char *text_with(const char *text, const char *from, const char *to)
{
    const char *at = strstr(text, from);
    ck_assert_msg(at != NULL, "no \"%s\" in the text", from);
    ck_assert_msg(strstr(at + 1, from) == NULL, "\"%s\" is more than once in the text", from);
    size_t size = strlen(text) - strlen(from) + strlen(to) + 1;
    char *out = malloc(size);
    ck_assert_ptr_nonnull(out);
    snprintf(out, size, "%.*s%s%s", (int)(at - text), text, to, at + strlen(from));
    return out;
}

void print_messages(const sw_messages *messages)
{
    char text[2000];
    for (size_t i = 0; i < sw_messages_count(messages); i++) {
        sw_message_format(sw_messages_at(messages, i), text, sizeof text);
        printf("  %s", text);
    }
    fflush(stdout);
}

static sw_plan *read_plan(const char *van, const char *trip, sw_messages *messages)
{
    memory_file file[] = {{"van.json", van}, {"trip.json", trip}, {NULL, NULL}};
    memory_files files = {.file = file};
    sw_loader loader = memory_loader(&files);
    sw_plan *plan = NULL;
    sw_status status = trip != NULL ? sw_read_trip(&loader, "trip.json", messages, &plan)
                                    : sw_read_van(&loader, "van.json", messages, &plan);
    if (status != SW_OK)
        print_messages(messages);
    ck_assert_int_eq(status, SW_OK);
    ck_assert_ptr_nonnull(plan);
    return plan;
}

sw_plan *plan_of_trip(const char *van, const char *trip)
{
    sw_messages *messages = sw_messages_create();
    sw_plan *plan = read_plan(van, trip, messages);
    sw_messages_free(messages);
    return plan;
}

sw_plan *plan_of_van(const char *van)
{
    return plan_of_trip(van, NULL);
}

sw_itinerary *itinerary_of(const sw_plan *plan)
{
    memory_file file[] = {{NULL, NULL}};
    memory_files files = {.file = file};
    sw_loader loader = memory_loader(&files);
    sw_messages *messages = sw_messages_create();
    sw_itinerary *out = NULL;
    sw_status status = sw_itinerary_make(plan, &loader, 300, messages, &out);
    if (status != SW_OK)
        print_messages(messages);
    ck_assert_int_eq(status, SW_OK);
    sw_messages_free(messages);
    return out;
}

rehearsed rehearse_texts(const char *van, const char *trip, int32_t step_s)
{
    rehearsed out = {plan_of_trip(van, trip), NULL};
    memory_file file[] = {{NULL, NULL}};
    memory_files files = {.file = file};
    sw_loader loader = memory_loader(&files);
    sw_messages *messages = sw_messages_create();
    sw_status status = sw_rehearse(out.plan, &loader, step_s, messages, &out.r);
    if (status != SW_OK)
        print_messages(messages);
    ck_assert_int_eq(status, SW_OK);
    sw_messages_free(messages);
    return out;
}

void forget_rehearsed(rehearsed *x)
{
    sw_rehearsal_free(x->r);
    sw_plan_free(x->plan);
}

#define TWELVE(a) "[" a "," a "," a "," a "," a "," a "," a "," a "," a "," a "," a "," a "]"
#define NORMALS                                                                                              \
    "\"normals\": {\"daily_sun\": " TWELVE("\"2 kWh/m2\"") ", \"low\": " TWELVE(                             \
        "\"0 C\"") ", \"high\": " TWELVE("\"10 C\"") "}"
#define PLACE(name, lat, lon, height, zone)                                                                  \
    "\"" name "\": {\"latitude\": " lat ", \"longitude\": " lon ", \"elevation\": \"" height                 \
    "\", \"zone\": \"" zone "\", " NORMALS "}"

char *trip_of_legs(const char *legs)
{
    static const char frame[] =
        "{\"format\": \"stillwatt trip 1\", \"name\": \"Road\", \"van\": \"van.json\", "
        "\"places\": {" PLACE("denver", "39.74", "-104.98", "1600 m", "America/Denver") "," PLACE(
            "salt lake", "40.76", "-111.89", "1300 m",
            "America/Denver") "," PLACE("chicago", "41.88", "-87.63", "180 m",
                                        "America/Chicago") "," PLACE("new york", "40.71", "-74.01", "10 m",
                                                                     "America/New_York") "," PLACE("st "
                                                                                                   "john"
                                                                                                   "s",
                                                                                                   "47."
                                                                                                   "56",
                                                                                                   "-52."
                                                                                                   "71",
                                                                                                   "60 m",
                                                                                                   "Ameri"
                                                                                                   "ca/"
                                                                                                   "St_"
                                                                                                   "John"
                                                                                                   "s") "}, "
                                                                                                        "\"le"
                                                                                                        "gs\""
                                                                                                        ": "
                                                                                                        "[LEG"
                                                                                                        "S]}";
    return text_with(frame, "LEGS", legs);
}

const sw_assumption *assumption_at(const sw_plan *plan, const char *path)
{
    const sw_assumption *found = NULL;
    for (int i = 0; i < plan->assumptions; i++) {
        if (strcmp(plan->assumption[i].path, path) != 0)
            continue;
        ck_assert_msg(found == NULL, "%s is assumed twice", path);
        found = &plan->assumption[i];
    }
    return found;
}
