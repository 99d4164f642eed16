// Changes of a van or of its use as sentences for those who would make them.
#include "report/words.h"

#include <math.h>
#include <stdio.h>

static const char *towards(double deg)
{
    static const char *const names[] = {"north", "northeast", "east", "southeast",
                                        "south", "southwest", "west", "northwest"};
    return names[(int)floor(deg / 45.0 + 0.5) % 8];
}

static void clock_of(int minute, char out[8])
{
    snprintf(out, 8, "%02d:%02d", minute / 60 % 24, minute % 60);
}

/* "One more", "2 more" */
static void say_more(int count, const char *one, const char *many, page *out)
{
    if (count == 1)
        sw_page_add(out, "One more %s", one);
    else
        sw_page_add(out, "%d more %s", count, many);
}

#define HEAVY_W 700.0 // AC loads from there on are worth to wait for a hookup: common practice, no source

static const char *instead_of(const sw_van *van, const sw_load_spec *load)
{
    int is_heavy = load->bus == SW_BUS_AC && load->kind == SW_LOAD_USE && load->power_w >= HEAVY_W;
    return load->kind == SW_LOAD_HOT_WATER || (is_heavy && load->water_l > 0.0) ? ", or use gas for it"
           : is_heavy && van->shore != NULL                                     ? ", or keep it for a hookup"
                                                                                : "";
}

static void say_load(const sw_change *c, const sw_van *van, sw_units units, page *out)
{
    const sw_load_spec *load = &van->load[c->index];
    char value[48];
    switch (c->kind) {
    case SW_CHANGE_HALVE:
        sw_page_add(out, "Use \"%s\" half as much", load->name);
        break;
    case SW_CHANGE_LEAVE:
        sw_page_add(out, "Do without \"%s\"%s", load->name, instead_of(van, load));
        break;
    default:
        sw_words_quantity(c->value, SW_DIM_TEMPERATURE, units, value);
        if (load->kind == SW_LOAD_FRIDGE)
            sw_page_add(out, "Set \"%s\" to %s", load->name, value);
        else
            sw_page_add(out, "Let \"%s\" keep the cabin at %s", load->name, value);
        break;
    }
}

static void say_hour(const sw_change *c, const sw_trip *trip, page *out)
{
    char from[8], to[8], date[24], of[48];
    clock_of(c->from_min, from);
    clock_of(c->to_min, to);
    sw_words_date(c->date, date, sizeof date);
    snprintf(of, sizeof of, "%s, %s to %s", date, from, to);
    if (c->kind == SW_CHANGE_IDLE)
        sw_page_add(out, "Let the engine idle for an hour, best on %s", of);
    else if (c->kind == SW_CHANGE_DRIVE)
        sw_page_add(out, "Drive for an hour, best on %s", of);
    else
        sw_page_add(out, "Spend one night at a hookup, best the one from %s (near \"%s\")", date,
                    trip->place[trip->leg[c->leg].place].name);
}

int sw_words_stopped(const sw_van *van, const char *before, page *out)
{
    int named = 0;
    for (int k = 0; k < van->loads; k++) {
        int keeps_starter = van->starter != NULL && van->starter->kept_by == k;
        if (van->load[k].stored && van->load[k].count > 0 && (van->load[k].held == SW_MUST || keeps_starter))
            sw_page_add(out, "%s%s%s", named++ == 0 ? before : ", ", van->load[k].name,
                        keeps_starter ? ", which keeps the starter battery" : "");
    }
    return named;
}

void sw_words_change(const sw_change *c, const sw_plan *plan, sw_units units, page *out)
{
    const sw_van *van = plan->van;
    char size[48], from[8], to[8];
    switch (c->kind) {
    case SW_CHANGE_HALVE:
    case SW_CHANGE_LEAVE:
    case SW_CHANGE_SET:
        say_load(c, van, units, out);
        break;
    case SW_CHANGE_INVERTER:
        clock_of(c->from_min, from);
        clock_of(c->to_min, to);
        sw_page_add(out, "Switch the inverter off from %s to %s", from, to);
        break;
    case SW_CHANGE_PANELS:
        say_more(c->count, "panel", "panels", out);
        sw_page_add(out, " on \"%s\" (%s each)", van->array[c->index].name,
                    sw_words_quantity(van->array[c->index].rated_w, SW_DIM_POWER, units, size));
        break;
    case SW_CHANGE_TILT:
        sw_page_add(out, "Raise \"%s\" by %.0f degrees towards %s when parked", van->array[c->index].name,
                    c->value, towards(c->toward_deg));
        break;
    case SW_CHANGE_TURN:
        sw_page_add(out, "Park with the nose to the %s", towards(c->value));
        break;
    case SW_CHANGE_OPEN:
        sw_page_add(out, "Park clear of the trees");
        break;
    case SW_CHANGE_BATTERY:
        say_more(c->count * van->battery.series, "battery", "batteries", out);
        sw_page_add(out, " (%s at %s each)",
                    sw_words_quantity(van->battery.capacity_ah, SW_DIM_CHARGE, units, size),
                    van->battery.unit_v > 40.0   ? "48 V"
                    : van->battery.unit_v > 20.0 ? "24 V"
                                                 : "12 V");
        break;
    case SW_CHANGE_FULL:
        sw_page_add(out, "Start with a full battery");
        break;
    case SW_CHANGE_WARM:
        sw_page_add(out, "Move the battery into the cabin");
        break;
    case SW_CHANGE_ON:
        sw_page_add(out, "Leave the inverter on all day and night");
        break;
    case SW_CHANGE_OFF:
        sw_page_add(out, "Open the battery's main switch while the van is laid up");
        if (sw_words_stopped(van, " (then these stop: ", out) > 0)
            sw_page_add(out, ")");
        break;
    default:
        say_hour(c, plan->trip, out);
        break;
    }
}
