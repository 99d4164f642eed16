// Nights of a medical device, from the ledger's hours.
#include "stillwatt/medical.h"

#include "stillwatt/civil.h"

#include <math.h>

#define DAY_S      86400
#define HALF_DAY_S 43200

/* A measured device has no power of its own: then the mean of the hours in which it is asked for. */
static double power_w(const sw_load_spec *load, int index, const sw_account *hour, int hours)
{
    double sum_wh = 0.0, asked_h = 0.0;
    if (!isnan(load->power_w))
        return load->power_w * load->duty * load->count;
    for (int h = 0; h < hours; h++) {
        sum_wh += hour[h].asked_wh[index];
        asked_h += hour[h].asked_wh[index] > 0.0 ? (double)(hour[h].end_s - hour[h].start_s) / 3600.0 : 0.0;
    }
    return asked_h > 0.0 ? sum_wh / asked_h : 0.0;
}

static int64_t evening_of(const sw_itinerary *it, int64_t utc_s)
{
    return sw_floor_div(sw_itinerary_local_s(it, utc_s) - HALF_DAY_S, DAY_S);
}

/* What cold and rate do not lock, at the open-circuit voltage of its middle. */
static double hours_left(const sw_variant *v, const sw_account *hour, double watts)
{
    double soc = hour->value[SW_LEDGER_CHARGE] / 100.0,
           reachable = hour->value[SW_LEDGER_LOWEST_REACHABLE] / 100.0;
    double middle_v =
        sw_curve_at(&sw_chemistry_of(v->chemistry)->open_circuit_v, soc - 0.5 * reachable) * v->units_12v;
    return watts > 0.0 ? reachable * v->rated_ah * v->health * middle_v / watts : 0.0;
}

void sw_medical_nights(const sw_load_spec *load, const sw_itinerary *it, const sw_variant *variant,
                       const sw_account *hour, int hours, sw_medical *device)
{
    device->nights = 0;
    double own_w = power_w(load, device->load, hour, hours);
    int is_carried = load->bus == SW_BUS_DC || variant->inverter_w > 0.0;
    device->alone_w = load->bus == SW_BUS_DC ? own_w : sw_inverter_input_w(&variant->inverter, own_w);
    for (int h = 0; h < hours; h++) {
        if (hour[h].asked_wh[device->load] <= 0.0)
            continue;
        int64_t date = evening_of(it, hour[h].start_s);
        if (device->nights == 0 || device->night[device->nights - 1].date != date)
            device->night[device->nights++] = (sw_night){.date = date, .lowest_soc = 1.0};
        sw_night *night = &device->night[device->nights - 1];
        double lowest = hour[h].value[SW_LEDGER_LOWEST] / 100.0;
        night->asked_wh += hour[h].asked_wh[device->load];
        night->served_wh += hour[h].served_wh[device->load];
        night->lowest_soc = lowest < night->lowest_soc ? lowest : night->lowest_soc;
        night->hours_left = is_carried ? hours_left(variant, &hour[h], device->alone_w) : 0.0;
    }
}
