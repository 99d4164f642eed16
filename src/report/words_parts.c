// Sentences about what a trip comes to beside its charge: medical devices, times laid up, cabin, starter
// battery.
#include "report/words.h"

#include <math.h>

// ---- medical devices ----

void sw_words_night(const sw_night *night, sw_units units, page *out)
{
    char date[24], asked[48], missing[48], left[48];
    sw_words_date(night->date, date, sizeof date);
    sw_page_add(out, "night of %s: ", date);
    if (night->asked_wh - night->served_wh > 1e-9)
        sw_page_add(out, "%s of %s MISSING; ",
                    sw_words_quantity(night->asked_wh - night->served_wh, SW_DIM_ENERGY, units, missing),
                    sw_words_quantity(night->asked_wh, SW_DIM_ENERGY, units, asked));
    else
        sw_page_add(out, "%s, all served; ", sw_words_quantity(night->asked_wh, SW_DIM_ENERGY, units, asked));
    sw_page_add(out, "lowest charge %d %%; ", sw_words_percent(night->lowest_soc));
    if (night->hours_left * 60.0 < 1.0)
        sw_page_add(out, "then nothing is left for it.");
    else
        sw_page_add(out, "then the battery would carry it alone, all else off, for %s.",
                    sw_words_quantity(fmin(night->hours_left, 999.0) * 3600.0, SW_DIM_TIME, units, left));
}

void sw_words_medical(const sw_rehearsal *r, const sw_medical *device, sw_units units, page *out)
{
    char size[48];
    sw_page_add(out, "Medical device: %s, %s out of the battery", r->plan->van->load[device->load].name,
                sw_words_quantity(device->alone_w, SW_DIM_POWER, units, size));
}

// ---- laid up ----

/// What took from the battery while laid up.
typedef struct taker {
    const char *name;
    double wh;
} taker;

#define TAKERS_NAMED 3

static void keep_greatest(taker kept[TAKERS_NAMED], taker next)
{
    for (int i = 0; i < TAKERS_NAMED; i++)
        if (next.wh > kept[i].wh) {
            taker less = kept[i];
            kept[i] = next;
            next = less;
        }
}

static void find_takers(const sw_rehearsal *r, const sw_span *span, taker kept[TAKERS_NAMED])
{
    double self = 0.0, own = 0.0;
    for (int k = 0; k <= r->course->loads; k++) {
        double sum = 0.0;
        for (int h = 0; h < r->hours; h++) {
            const sw_account *hour = &r->hour[h];
            if (hour->start_s < span->start_s || hour->start_s >= span->end_s)
                continue;
            sum += k < r->course->loads ? hour->served_wh[k] : 0.0;
            self += k == 0 ? hour->value[SW_LEDGER_SELF_LOSS] : 0.0;
            own += k == 0 ? hour->value[SW_LEDGER_CONTROLLER_SELF] : 0.0;
        }
        if (k < r->course->loads)
            keep_greatest(kept, (taker){r->plan->van->load[k].name, sum});
    }
    keep_greatest(kept, (taker){sw_ledger_words(SW_LEDGER_SELF_LOSS), self});
    keep_greatest(kept, (taker){sw_ledger_words(SW_LEDGER_CONTROLLER_SELF), own});
}

/* Charge at a moment: at the end of the step that ends with it, or before. */
double sw_words_charge_by(const sw_rehearsal *r, int64_t utc_s)
{
    const sw_forcing *f = &r->course->forcing[SW_OUTLOOK_MAIN];
    int64_t steps = (utc_s - f->start_s) / f->step_s;
    if (steps <= 0)
        return r->plan->trip->start_soc;
    return r->charge[(steps < f->steps ? steps : f->steps) - 1];
}

void sw_words_store(const sw_rehearsal *r, const sw_span *span, sw_units units, page *out)
{
    const sw_itinerary *it = r->course->itinerary;
    char from[32], to[32], size[48];
    taker kept[TAKERS_NAMED] = {{NULL, 0.0}};
    sw_words_moment(it, span->start_s, from, sizeof from);
    sw_words_end_moment(it, span->end_s, to, sizeof to);
    find_takers(r, span, kept);
    sw_page_add(out, "%s, %s to %s: the charge goes from %d %% to %d %%.", it->stop[span->stop].name, from,
                to, sw_words_percent(sw_words_charge_by(r, span->start_s)),
                sw_words_percent(sw_words_charge_by(r, span->end_s)));
    for (int k = 0; k < TAKERS_NAMED && kept[k].wh >= 1.0; k++)
        sw_page_add(out, "%s %s %s", k == 0 ? " Most of it takes:" : ",", kept[k].name,
                    sw_words_quantity(kept[k].wh, SW_DIM_ENERGY, units, size));
    if (kept[0].wh >= 1.0)
        sw_page_add(out, "%s",
                    r->plan->trip->leg[span - it->span].disconnected
                        ? "."
                        : ". Switch off what need not run, or open the battery's main switch "
                          "(\"disconnected\").");
}

// ---- the end ----

void sw_words_end(const sw_rehearsal *r, sw_units units, page *out)
{
    char size[48], time[48];
    sw_page_add(out, "At the end %d %% is left", sw_words_percent(r->trip.value[SW_LEDGER_CHARGE] / 100.0));
    if (r->usable_wh_left > 0.0 && isfinite(r->days_left))
        sw_page_add(out, ": %s above the reserve line, enough for %s of such use without any source",
                    sw_words_quantity(r->usable_wh_left, SW_DIM_ENERGY, units, size),
                    sw_words_quantity(fmin(r->days_left, 99.0) * 86400.0, SW_DIM_TIME, units, time));
    sw_page_add(out, ".");
}

// ---- cabin and starter battery ----

void sw_words_cabin(const sw_rehearsal *r, sw_units units, page *out)
{
    char low[48], high[48], when[2][32];
    int coldest = 0, hottest = 0;
    for (int h = 1; h < r->hours; h++) {
        coldest = r->hour[h].value[SW_LEDGER_CABIN] < r->hour[coldest].value[SW_LEDGER_CABIN] ? h : coldest;
        hottest = r->hour[h].value[SW_LEDGER_CABIN] > r->hour[hottest].value[SW_LEDGER_CABIN] ? h : hottest;
    }
    sw_words_moment(r->course->itinerary, r->hour[coldest].start_s, when[0], sizeof when[0]);
    sw_words_moment(r->course->itinerary, r->hour[hottest].start_s, when[1], sizeof when[1]);
    sw_page_add(
        out, "The cabin's coldest hour is at %s (%s), its hottest at %s (%s).",
        sw_words_quantity(r->hour[coldest].value[SW_LEDGER_CABIN], SW_DIM_TEMPERATURE, units, low), when[0],
        sw_words_quantity(r->hour[hottest].value[SW_LEDGER_CABIN], SW_DIM_TEMPERATURE, units, high), when[1]);
}

void sw_words_starter(const sw_rehearsal *r, sw_units units, page *out)
{
    const sw_starter_finding *f = &r->starter;
    char when[64], air[48];
    sw_words_moment(r->course->itinerary, f->lowest_at_s, when, sizeof when);
    sw_page_add(out, "It begins with %d %%, is lowest with %d %% (%s) and ends with %d %%. ",
                sw_words_percent(f->start), sw_words_percent(f->lowest), when, sw_words_percent(f->end));
    if (f->fails_at_s != INT64_MIN) {
        sw_words_moment(r->course->itinerary, f->fails_at_s, when, sizeof when);
        sw_page_add(out,
                    "With %d %% in %s it does not start the engine (%s): have a way to help it, or a "
                    "maintainer fed by the house battery. ",
                    sw_words_percent(f->fails_charge),
                    sw_words_quantity(f->fails_c, SW_DIM_TEMPERATURE, units, air), when);
    } else if (f->starts > 0) {
        sw_page_add(out, "It starts the engine each of %d times. ", f->starts);
    }
    sw_page_add(out, "After the trip it %s the engine.",
                f->starts_at_end ? "would start" : "would not start");
}

// ---- where averages come from ----

/* The stations that weigh most, by name; what a month may miss, unless one station speaks for itself. */
#define STATIONS_NAMED 4
#define WHOLE_WEIGHT   0.9

static void say_stations(const sw_itinerary *it, const sw_stop *stop, sw_units units, page *out)
{
    const sw_climate *climate = &stop->climate;
    char far[48], step[48];
    int named = 0;
    for (; named < climate->neighbours && named < STATIONS_NAMED && climate->weight[named] >= 0.01; named++) {
        const sw_station *s = sw_stations_at(it->table, climate->station[named]);
        sw_page_add(out, "%s%s %s (%.0f %%, %s away)", named > 0 ? ", " : "", s->name, sw_station_state(s),
                    100.0 * climate->weight[named],
                    sw_words_quantity(climate->distance_km[named] * 1000.0, SW_DIM_LENGTH, units, far));
    }
    if (named == STATIONS_NAMED && climate->neighbours > named)
        sw_page_add(out, " and %d more", climate->neighbours - named);
    if (named > 0 && climate->weight[0] < WHOLE_WEIGHT)
        sw_page_add(
            out, "; expect a month's light within %.0f %% and its temperature within %s, two times in three",
            100.0 * SW_CLIMATE_LIGHT_ERROR,
            sw_words_quantity(SW_CLIMATE_AIR_ERROR_K, SW_DIM_TEMPERATURE_STEP, units, step));
    sw_page_add(out, "%s", named > 0 ? "" : "own monthly means");
}

void sw_words_averages(const sw_itinerary *it, const sw_stop *stop, sw_units units, page *out)
{
    sw_page_add(out, "Averages of %s: ", stop->name);
    say_stations(it, stop, units, out);
    sw_page_add(out, ".");
}
