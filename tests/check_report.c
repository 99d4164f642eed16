// What the report says, and that it says it only when it is so.
#include "support/checks.h"
#include "support/memory_loader.h"

#include "stillwatt/reader.h"
#include "stillwatt/report.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

/// A trip of one stay; the blanks are the van's battery and loads, and what else the van and the trip say.
typedef struct scene {
    const char *battery, *loads, *van_more, *trip_more, *sky, *hookup;
    sw_units units;
} scene;

static char *report(const scene *s, char **json)
{
    static char van[8192], trip[8192];
    snprintf(van, sizeof van,
             "{\"format\": \"stillwatt van 1\", \"name\": \"v\", \"battery\": %s, \"loads\": %s%s}",
             s->battery, s->loads, s->van_more != NULL ? s->van_more : "");
    snprintf(
        trip, sizeof trip,
        "{\"format\": \"stillwatt trip 1\", \"name\": \"t\", \"van\": \"van.json\", \"places\": {\"p\": "
        "{\"station\": \"Boise ID\"}},"
        " \"legs\": [{\"stay\": \"p\", \"from\": \"2026-01-10 12:00\", \"to\": \"2026-01-12 12:00\"%s%s}], "
        "\"sky\": %s%s}",
        s->hookup != NULL ? ", \"hookup\": " : "", s->hookup != NULL ? s->hookup : "",
        s->sky != NULL ? s->sky : "{\"kind\": \"told\", \"otherwise\": \"overcast\"}",
        s->trip_more != NULL ? s->trip_more : "");
    const memory_file files[] = {{"van.json", van}, {"trip.json", trip}, {NULL, NULL}};
    memory_files memory = {.file = files};
    sw_loader loader = memory_loader(&memory);
    sw_messages *messages = sw_messages_create();
    sw_plan *plan = NULL;
    sw_rehearsal *r = NULL;
    char said[2048] = "", *text = NULL;
    sw_status status = sw_read_trip(&loader, "trip.json", messages, &plan);
    if (status == SW_OK)
        status = sw_rehearse(plan, &loader, 300, messages, &r);
    if (sw_messages_count(messages) > 0)
        sw_message_format(sw_messages_at(messages, 0), said, sizeof said);
    ck_assert_msg(status == SW_OK, "%s", said);
    sw_report_style style = {s->units, 80, 0, 0};
    ck_assert_int_eq(sw_report_text(r, &style, &text), SW_OK);
    if (json != NULL)
        ck_assert_int_eq(sw_report_json(r, json), SW_OK);
    sw_rehearsal_free(r);
    sw_plan_free(plan);
    sw_messages_free(messages);
    return text;
}

/* Blanks and line breaks do not count: sentences are wrapped. */
static int says(const char *text, const char *sentence)
{
    for (; *text != '\0'; text++) {
        const char *a = text, *b = sentence;
        while (*b != '\0') {
            if (*b == ' ') {
                if (*a != ' ' && *a != '\n')
                    break;
                a += strspn(a, " \n");
                b++;
            } else if (*a++ != *b++) {
                break;
            }
            if (*b == '\0')
                return 1;
        }
    }
    return 0;
}

static void expect(const char *text, const char *sentence)
{
    ck_assert_msg(says(text, sentence), "the report should say \"%s\":\n%s", sentence, text);
}

static void refuse(const char *text, const char *sentence)
{
    ck_assert_msg(!says(text, sentence), "the report should not say \"%s\":\n%s", sentence, text);
}

#define LITHIUM "{\"chemistry\": \"lifepo4\", \"capacity\": \"100 Ah\", \"health\": \"100 %\"}"
#define STEADY(watts)                                                                                        \
    "{\"lamp\": {\"kind\": \"steady\", \"bus\": \"dc\", \"power\": \"" watts "\", \"held\": \"must\"}}"

/* 100 Ah at about 13.2 V is 1.3 kWh: 1 W for two days takes 4 %, 18 W takes 68 %, 22 W takes 85 %, 40 W all
 * of it. */
START_TEST(the_four_verdicts)
{
    static const struct {
        const char *loads, *headline, *sentence;
    } cases[] = {
        {STEADY("1 W"), "HOLDS\nUnder the sky as told the charge stays above",
         "clear of the reserve line of 20 %"},
        {STEADY("20 W"), "TIGHT\nUnder the sky as told the charge stays above",
         "over the reserve line of 20 %"},
        {STEADY("24 W"), "UNDER THE RESERVE\nUnder the sky as told the charge falls to",
         "under the reserve line of 20 % for"},
        {STEADY("40 W"), "OUT\nUnder the sky as told the charge falls to",
         "the battery runs empty, first at Sun 11 Jan"},
    };
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
        char *text = report(&(scene){.battery = LITHIUM, .loads = cases[i].loads}, NULL);
        ck_assert_msg(strncmp(text, cases[i].headline, strlen(cases[i].headline)) == 0, "case %zu:\n%.300s",
                      i, text);
        expect(text, cases[i].sentence);
        free(text);
    }
}
END_TEST

START_TEST(an_average_sky_is_never_a_bare_verdict)
{
    char *text =
        report(&(scene){.battery = LITHIUM, .loads = STEADY("1 W"), .sky = "{\"kind\": \"average\"}"}, NULL);
    expect(text, "HOLDS, on average and in a poor week");
    expect(text, "in the poor week of place and month (1 in 10)");
    free(text);
}
END_TEST

#define INVERTER ", \"inverter\": {\"rating\": \"500 W\", \"idle\": \"4 W\"}"
#define KETTLE                                                                                               \
    "{\"kettle\": {\"kind\": \"use\", \"bus\": \"ac\", \"power\": \"800 W\", \"each\": \"4 min\", \"at\": "  \
    "\"07:30\", \"held\": \"must\"}}"

START_TEST(an_overload_and_an_unserved_must_stand_beside_the_verdict)
{
    char *text = report(&(scene){.battery = LITHIUM, .loads = KETTLE, .van_more = INVERTER}, NULL);
    expect(text, "The AC loads ask up to 300 W more than the inverter gives (Sun 11 Jan 07:30)");
    expect(text, "Too much at once, so not served: kettle (must) 107 Wh.");
    expect(text, "An overloaded inverter shuts down or overheats");
    expect(text, "for all AC wiring follow local codes and a licensed practitioner");
    free(text);
    text = report(&(scene){.battery = LITHIUM, .loads = STEADY("1 W")}, NULL);
    refuse(text, "overload");
    refuse(text, "ot served");
    refuse(text, "Mains voltage kills");
    refuse(text, "exhaust");
    free(text);
}
END_TEST

#define INLET                                                                                                \
    ", \"shore\": {\"inlet_current\": \"15 A\", \"inlet_voltage\": \"120 V\", \"charger_output\": \"200 "    \
    "W\"}"
#define AC_HEATER(watts, each)                                                                               \
    "{\"heater\": {\"kind\": \"use\", \"bus\": \"ac\", \"power\": \"" watts "\", \"each\": \"" each          \
    "\", \"at\": \"08:00\"}}"

/* 15 A at 120 V is 1800 VA, of which 1440 may be drawn for three hours and more (US National Electrical
 * Code). */
START_TEST(a_hookup_carries_its_full_breaker_for_short_uses_only)
{
    static const struct {
        const char *loads;
        int served;
    } cases[] = {{AC_HEATER("1700 W", "2 h"), 1},
                 {AC_HEATER("1700 W", "4 h"), 0},
                 {AC_HEATER("1400 W", "4 h"), 1},
                 {AC_HEATER("1900 W", "2 h"), 0}};
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
        char *text = report(&(scene){.battery = LITHIUM,
                                     .loads = cases[i].loads,
                                     .van_more = INLET,
                                     .hookup = "{\"current\": \"15 A\", \"voltage\": \"120 V\"}"},
                            NULL);
        ck_assert_msg(says(text, "Too much at once, so not served: heater") != cases[i].served,
                      "case %zu:\n%s", i, text);
        ck_assert_int_ne(says(text, "An overloaded hookup trips its breaker"), cases[i].served);
        free(text);
    }
}
END_TEST

#define LIMITED "{\"chemistry\": \"lifepo4\", \"capacity\": \"100 Ah\", \"discharge_limit\": \"40 A\"}"
#define WORK                                                                                                 \
    "\"saw\": {\"kind\": \"use\", \"bus\": \"ac\", \"power\": \"700 W\", \"each\": \"1 h\", \"at\": "        \
    "\"08:00\"}"
#define BLOWER                                                                                               \
    ", \"blower\": {\"kind\": \"use\", \"bus\": \"ac\", \"power\": \"900 W\", \"each\": \"1 h\", \"at\": "   \
    "\"08:00\", \"held\": \"can-wait\"}"
#define BIG_INVERTER ", \"inverter\": {\"rating\": \"1000 W\", \"idle\": \"6 W\"}"

#define BIG_INVERTER_BY_HOUR                                                                                 \
    ", \"inverter\": {\"rating\": \"1000 W\", \"idle\": \"6 W\", \"hours\": \"07:00-07:30\"}"

/* 40 A at 13 V is 520 W. Another load that is too much for the inverter changes nothing for the first, and no
   verdict is better for a load more. */
START_TEST(each_class_of_loads_has_its_own_reason)
{
    static const char *const loads[] = {"{" WORK "}", "{" WORK BLOWER "}"};
    for (int i = 0; i < 2; i++) {
        char *text = report(&(scene){.battery = LIMITED, .loads = loads[i], .van_more = BIG_INVERTER}, NULL);
        ck_assert_msg(strncmp(text, "OUT\n", 4) == 0, "%s", text);
        expect(text, "the loads ask more than the battery may give at once, first at Sun 11 Jan 08:00");
        expect(text, "Not served because the battery may not give so much at once: saw 1.4 kWh.");
        if (i == 1)
            expect(text, "Too much at once, so not served: blower 1.8 kWh.");
        free(text);
    }
}
END_TEST

/* A minute at 900 W is 180 W over a step of five, and yet more than 40 A. The light beside it goes on. */
START_TEST(the_power_of_a_moment_counts_for_dc_loads_too)
{
    const char *loads =
        "{\"winch\": {\"kind\": \"use\", \"bus\": \"dc\", \"power\": \"900 W\", \"each\": \"1 min\", \"at\": "
        "\"08:01\","
        " \"held\": \"must\"}, \"light\": {\"kind\": \"steady\", \"bus\": \"dc\", \"power\": \"5 W\"}}";
    char *text = report(&(scene){.battery = LIMITED, .loads = loads}, NULL);
    expect(text, "Not served because the battery may not give so much at once: winch (must) 30 Wh.");
    refuse(text, "light 5");
    refuse(text, ", light");
    free(text);
}
END_TEST

/* 1 W for two days takes 4 % of the charge; the kettle's 75 Wh a step are never there. What it cannot have
   does not cut the battery off, and nothing is locked. */
START_TEST(a_kettle_that_the_charge_does_not_last_for_leaves_the_fan_running)
{
    const char *loads =
        "{\"fan\": {\"kind\": \"steady\", \"bus\": \"dc\", \"power\": \"1 W\"}, \"kettle\": {\"kind\": "
        "\"use\", \"bus\": \"ac\","
        " \"power\": \"900 W\", \"each\": \"10 min\", \"at\": \"07:15\", \"held\": \"must\"}}";
    char *json = NULL;
    char *text = report(&(scene){.battery = LITHIUM,
                                 .loads = loads,
                                 .van_more = BIG_INVERTER_BY_HOUR,
                                 .trip_more = ", \"start_charge\": \"10 %\", \"reserve\": \"0 %\""},
                        &json);
    expect(text, "what is left does not last for all that is asked, first at Sun 11 Jan 07:15");
    expect(text, "Not served because the battery is empty or cut off: kettle (must) 300 Wh.");
    refuse(text, ", fan");
    ck_assert_ptr_nonnull(strstr(json, "\"battery_cut_off_h\":\t0,"));
    free(text);
    free(json);
}
END_TEST

/* 10 A at 13 V of 800 W of panels on a clear day; a battery of which nothing is left is cut off from then on.
 */
START_TEST(what_the_charge_does_not_show_is_told_beside_it)
{
    static const scene clipped = {.battery = LITHIUM,
                                  .loads = STEADY("20 W"),
                                  .van_more =
                                      ", \"arrays\": {\"roof\": {\"rating\": \"800 W\"}}, \"controller\": "
                                      "{\"limit\": \"10 A\"}",
                                  .trip_more = ", \"start_charge\": \"30 %\"",
                                  .sky = "{\"kind\": \"told\", \"otherwise\": \"clear\"}"};
    static const scene empty = {.battery = LITHIUM,
                                .loads = STEADY("40 W"),
                                .trip_more = ", \"start_charge\": \"20 %\", \"reserve\": \"0 %\""};
    char *json = NULL, *text = report(&clipped, &json);
    double held =
        atof(strstr(strstr(json, "\"total\""), "\"solar_clipped_wh\":") + strlen("\"solar_clipped_wh\":"));
    char sentence[120];
    snprintf(sentence, sizeof sentence, "The solar controller (10 A) holds back %.0f Wh of the panels' sun.",
             held);
    ck_assert_double_gt(held, 200.0);
    expect(text, sentence);
    refuse(text, "is cut off for");
    free(text);
    free(json);
    text = report(&empty, NULL);
    expect(text, "The battery is cut off for ");
    expect(text, "in all; it comes back by itself over 12.4 V.");
    refuse(text, "holds back");
    free(text);
}
END_TEST

/* A load that is too much for a full battery: no word of a low charge. */
START_TEST(a_day_that_is_not_low_is_not_called_low)
{
    const char *loads = "{\"winch\": {\"kind\": \"use\", \"bus\": \"dc\", \"power\": \"900 W\", \"each\": "
                        "\"5 min\", \"at\": \"08:00\"}}";
    char *text = report(&(scene){.battery = LIMITED, .loads = loads}, NULL);
    expect(text, "Sun 11 Jan: the battery leaves 75 Wh unserved.");
    refuse(text, "low from the days before");
    free(text);
}
END_TEST

START_TEST(a_very_long_word_is_kept_whole)
{
    static char loads[4096] = "{\"";
    for (int i = 0; i < 200; i++)
        strcat(loads, "\u00e9");
    strcat(loads, "\": {\"kind\": \"steady\", \"bus\": \"dc\", \"power\": \"60 W\"}}");
    char *text = report(&(scene){.battery = LITHIUM, .loads = loads}, NULL);
    const char *first = strstr(text, "cut off:");
    ck_assert_ptr_nonnull(first);
    first = strstr(first, "\u00e9");
    ck_assert_ptr_nonnull(first);
    for (int i = 0; i < 200; i++)
        ck_assert_int_eq(strncmp(first + 2 * i, "\u00e9", 2), 0);
    free(text);
}
END_TEST

START_TEST(exactly_ten_points_over_the_line_holds)
{
    char *text = report(&(scene){.battery = LITHIUM,
                                 .loads = "{}",
                                 .van_more = INLET,
                                 .trip_more = ", \"start_charge\": \"30 %\"",
                                 .hookup = "{\"current\": \"15 A\", \"voltage\": \"120 V\"}"},
                        NULL);
    ck_assert_msg(strncmp(text, "HOLDS\n", 6) == 0, "%s", text);
    free(text);
}
END_TEST

START_TEST(loads_that_can_never_run_are_named_with_the_reason)
{
    char *text = report(
        &(scene){
            .battery = LITHIUM,
            .loads = AC_HEATER("400 W", "10 min"),
            .van_more =
                ", \"inverter\": {\"rating\": \"500 W\", \"idle\": \"4 W\", \"hours\": \"17:00-18:00\"}"},
        NULL);
    expect(text, "The inverter is switched off when these are asked for: heater 133 Wh.");
    free(text);
}
END_TEST

#define SUN ", \"arrays\": {\"roof\": {\"rating\": \"800 W\"}}, \"controller\": {\"limit\": \"30 A\"}"

START_TEST(cold_that_forbids_charging_is_said_with_its_caution)
{
    const char *outside = "{\"chemistry\": \"lifepo4\", \"capacity\": \"100 Ah\", \"place\": \"outside\", "
                          "\"cold_stop\": \"15 C\", \"cold_full\": \"20 C\"}";
    char *text = report(&(scene){.battery = outside, .loads = STEADY("20 W"), .van_more = SUN}, NULL);
    expect(text, "The battery is too cold to take");
    expect(text, "Charging lithium cells at or below 15 C harms them for good");
    free(text);
    text = report(
        &(scene){.battery = outside, .loads = STEADY("20 W"), .van_more = SUN, .units = SW_UNITS_US}, NULL);
    expect(text, "Charging lithium cells at or below 59 F harms them for good");
    free(text);
    text = report(&(scene){.battery = LITHIUM, .loads = STEADY("20 W"), .van_more = SUN}, NULL);
    refuse(text, "too cold");
    free(text);
}
END_TEST

START_TEST(days_under_the_line_have_their_cause)
{
    char *json = NULL;
    const char *loads =
        "{\"lamp\": {\"kind\": \"steady\", \"bus\": \"dc\", \"power\": \"8 W\"}, \"oven\": {\"kind\": "
        "\"use\", \"bus\": \"dc\","
        " \"power\": \"400 W\", \"each\": \"2 h\", \"uses\": 1, \"at\": \"18:00\", \"days\": \"sun\"}}";
    char *text = report(&(scene){.battery = LITHIUM, .loads = loads}, &json);
    expect(text, "Why it falls short");
    expect(text, "Sun 11 Jan: the day takes");
    expect(text, "more for oven");
    ck_assert_ptr_nonnull(strstr(json, "more for oven"));
    refuse(text, "Sat 10 Jan: ");
    free(text);
    free(json);
}
END_TEST

START_TEST(names_come_out_of_the_json_as_they_went_in)
{
    char *json = NULL;
    const char *loads =
        "{\"a \\\"b\\\" \\u00e9\": {\"kind\": \"steady\", \"bus\": \"dc\", \"power\": \"1 W\"}}";
    char *text = report(&(scene){.battery = LITHIUM, .loads = loads}, &json);
    ck_assert_ptr_nonnull(strstr(json, "\"a \\\"b\\\" \xc3\xa9\""));
    free(text);
    free(json);
}
END_TEST

/* [unicode-eaw] gives each of these characters two columns. */
START_TEST(long_names_are_cut_between_characters)
{
    const char *loads = "{\"\u65e5\u672c\u8a9e\u306e\u51b7\u8535\u5eab\u306e\u540d\u524d\u304c\u3068\u3066"
                        "\u3082\": {\"kind\": \"steady\", \"bus\": \"dc\","
                        " \"power\": \"10 W\"}}";
    char *text = report(&(scene){.battery = LITHIUM, .loads = loads}, NULL);
    // Fourteen of its fifteen characters, two columns each, fill the cell of 28.
    expect(text, "\u65e5\u672c\u8a9e\u306e\u51b7\u8535\u5eab\u306e\u540d\u524d\u304c\u3068\u3066\u3082 ");
    free(text);
}
END_TEST

Suite *sw_suite(void)
{
    const TTest *const tests[] = {the_four_verdicts,
                                  an_average_sky_is_never_a_bare_verdict,
                                  an_overload_and_an_unserved_must_stand_beside_the_verdict,
                                  cold_that_forbids_charging_is_said_with_its_caution,
                                  a_hookup_carries_its_full_breaker_for_short_uses_only,
                                  each_class_of_loads_has_its_own_reason,
                                  the_power_of_a_moment_counts_for_dc_loads_too,
                                  a_kettle_that_the_charge_does_not_last_for_leaves_the_fan_running,
                                  a_day_that_is_not_low_is_not_called_low,
                                  what_the_charge_does_not_show_is_told_beside_it,
                                  a_very_long_word_is_kept_whole,
                                  exactly_ten_points_over_the_line_holds,
                                  loads_that_can_never_run_are_named_with_the_reason,
                                  days_under_the_line_have_their_cause,
                                  names_come_out_of_the_json_as_they_went_in,
                                  long_names_are_cut_between_characters,
                                  NULL};
    return sw_suite_of("report", tests, 30);
}
