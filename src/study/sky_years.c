// The same trip under the weather of each year of a record.
#include "stillwatt/sky_years.h"

#include "stillwatt/itinerary.h"
#include "trip/record_dates.h"

#include <math.h>
#include <stdlib.h>

void sw_sky_years_free(sw_sky_years *years)
{
    if (years == NULL)
        return;
    sw_series_free(years->series);
    free(years);
}

// ---- which years ----

static sw_status find_years(sw_sky_years *out, const sw_loader *loader, int32_t step_s, sw_messages *messages)
{
    const sw_sky_spec *spec = &out->plan->trip->sky;
    sw_itinerary *it = NULL;
    sw_status status = sw_itinerary_make(out->plan, loader, step_s, messages, &it);
    if (status != SW_OK)
        return status;
    stretch of_trip = {it->start_s, it->end_s};
    int64_t moved_s;
    for (int year = 1; out->years < SW_SKY_YEARS_MAX; year++) {
        year = sw_record_next(out->series, &of_trip, year, &moved_s);
        if (year == 0)
            break;
        out->year[out->years++] = year;
    }
    sw_itinerary_free(it);
    return out->years > 0
               ? SW_OK
               : sw_error(messages, SW_BAD_INPUT, &spec->where, "choose other dates, or another record",
                          "no year of the weather record of %s has the dates of the trip whole",
                          out->series->place);
}

static sw_status read_record(sw_sky_years *out, const sw_loader *loader, sw_messages *messages)
{
    const sw_trip *trip = out->plan->trip;
    if (trip->sky.kind != SW_SKY_HOURLY)
        return sw_error(
            messages, SW_BAD_INPUT, &(sw_where){.file = trip->file, .path = "/sky"},
            "give the sky \"kind\": \"hourly\" and as \"file\" a folder with a file for each year, or a "
            "file of many years",
            "only an hourly sky has years");
    sw_status status =
        sw_weather_load(loader, trip->sky.file, trip->file, &trip->sky.where, messages, &out->series);
    if (status == SW_OK && out->series->typical_year)
        status =
            sw_error(messages, SW_BAD_INPUT, &trip->sky.where, "use records of real years",
                     "the weather record of %s is a typical year: it has one sky only", out->series->place);
    return status;
}

sw_status sw_sky_years_make(const sw_plan *plan, const sw_loader *loader, int32_t step_s,
                            sw_messages *messages, sw_sky_years **out)
{
    sw_sky_years *years = calloc(1, sizeof *years);
    *out = NULL;
    if (years == NULL)
        return sw_error(messages, SW_NO_MEMORY, NULL, NULL, "there is not enough memory for the years");
    years->plan = plan;
    sw_status status = read_record(years, loader, messages);
    if (status == SW_OK)
        status = find_years(years, loader, step_s, messages);
    if (status != SW_OK) {
        sw_sky_years_free(years);
        return status;
    }
    *out = years;
    return SW_OK;
}

// ---- one year ----

void sw_sky_year_plan_make(const sw_sky_years *years, int index, sw_sky_year_plan *out)
{
    out->plan = *years->plan;
    out->trip = *years->plan->trip;
    out->trip.sky.year = years->year[index];
    out->trip.sky.series = years->series;
    out->plan.trip = &out->trip;
}

static void add_day(const sw_sky_day *day, double share, sw_sky_year_sum *sum)
{
    sum->sun_h += share * day->sun_h;
    sum->flat_kwh_m2 += share * day->flat_kwh_m2;
    sum->clear_kwh_m2 += share * day->clear_kwh_m2;
    for (int a = 0; a < SW_ARRAYS_MAX; a++)
        sum->array_sun_h[a] += share * day->array_sun_h[a];
    sum->low_c = fmin(sum->low_c, day->low_c);
    sum->high_c = fmax(sum->high_c, day->high_c);
}

sw_status sw_sky_year_sum_make(const sw_sky_years *years, int index, const sw_loader *loader, int32_t step_s,
                               sw_messages *messages, sw_sky_year_sum *out)
{
    sw_sky_year_plan of;
    sw_sky_days *days = NULL;
    sw_sky_year_plan_make(years, index, &of);
    sw_status status = sw_sky_days_make(&of.plan, loader, step_s, messages, &days);
    if (status != SW_OK)
        return status;
    const sw_itinerary *it = days->course->itinerary;
    double per_day = 86400.0 / (double)(it->end_s - it->start_s);
    *out = (sw_sky_year_sum){.year = years->year[index], .low_c = INFINITY, .high_c = -INFINITY};
    for (int i = 0; i < days->days; i++)
        add_day(&days->day[i], per_day, out);
    sw_sky_days_free(days);
    return SW_OK;
}
