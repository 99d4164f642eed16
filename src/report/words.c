// Words for people: dates, clocks, shares and quantities, assumptions, cautions. The words of the other
// findings stand in words_*.c.
#include "report/words.h"

#include "stillwatt/civil.h"

#include <math.h>
#include <stdio.h>

#define EMPTY_LONG_H 48.0 // from which a cut-off battery is cautioned about: common practice, no source

static const char *const weekdays[] = {"Sun", "Mon", "Tue", "Wed", "Thu", "Fri", "Sat"};
static const char *const months[] = {"Jan", "Feb", "Mar", "Apr", "May", "Jun",
                                     "Jul", "Aug", "Sep", "Oct", "Nov", "Dec"};

void sw_words_date(int64_t date, char *buffer, size_t size)
{
    int year, month, day;
    sw_civil_from_days(date, &year, &month, &day);
    snprintf(buffer, size, "%s %d %s", weekdays[sw_weekday(date)], day, months[month - 1]);
}

static int64_t local_of(const sw_itinerary *it, int64_t utc_s, int64_t *date)
{
    int64_t local = sw_itinerary_local_s(it, utc_s);
    *date = sw_floor_div(local, 86400);
    return local - *date * 86400;
}

void sw_words_clock(const sw_itinerary *it, int64_t utc_s, char *buffer, size_t size)
{
    int64_t date;
    int seconds = (int)local_of(it, utc_s, &date);
    snprintf(buffer, size, "%02d:%02d", seconds / 3600, seconds / 60 % 60);
}

void sw_words_end_clock(const sw_itinerary *it, int64_t utc_s, char *buffer, size_t size)
{
    int64_t date;
    if (local_of(it, utc_s, &date) == 0 && utc_s > it->start_s)
        snprintf(buffer, size, "24:00");
    else
        sw_words_clock(it, utc_s, buffer, size);
}

void sw_words_moment(const sw_itinerary *it, int64_t utc_s, char *buffer, size_t size)
{
    int64_t date;
    char day[24], clock[24];
    local_of(it, utc_s, &date);
    sw_words_date(date, day, sizeof day);
    sw_words_clock(it, utc_s, clock, sizeof clock);
    snprintf(buffer, size, "%s %s", day, clock);
}

void sw_words_end_moment(const sw_itinerary *it, int64_t utc_s, char *buffer, size_t size)
{
    int64_t date;
    char day[24];
    if (local_of(it, utc_s, &date) != 0 || utc_s <= it->start_s) {
        sw_words_moment(it, utc_s, buffer, size);
        return;
    }
    sw_words_date(date - 1, day, sizeof day);
    snprintf(buffer, size, "%s 24:00", day);
}

int sw_words_share(double share)
{
    return (int)floor(100.0 * share + 0.5);
}

int sw_words_percent(double soc)
{
    return (int)floor(soc * 100.0 + 1e-9);
}

const char *sw_words_quantity(double value, sw_dimension dimension, sw_units units, char buffer[48])
{
    sw_quantity_write(value, dimension, units, buffer, 48);
    return buffer;
}

/* A share in whole percent, with a decimal where it is not whole: what people set, such as the reserve line.
 */
const char *sw_words_exact(double share, char buffer[16])
{
    double percent = 100.0 * share;
    snprintf(buffer, 16, fabs(percent - floor(percent + 0.5)) < 1e-6 ? "%.0f" : "%.1f", percent);
    return buffer;
}

// ---- assumptions ----

#define WEIGHT_POINTS 0.005 // half a point
#define WEIGHT_WH     10.0
#define WEIGHT_SHARE  0.01

/* What goes unserved counts where its change shows beside all of it. */
static int moves_unserved(const sw_weight *w)
{
    return w->unserved_wh >= fmax(WEIGHT_WH, WEIGHT_SHARE * fmax(w->unserved_at_low, w->unserved_at_high));
}

int sw_words_is_heavy(const sw_weight *w)
{
    return w->points >= WEIGHT_POINTS || moves_unserved(w);
}

/* With a decimal where whole percent would hide the change. */
static void say_lowest_change(const sw_weight *w, page *out)
{
    int low = sw_words_percent(w->lowest_at_low), high = sw_words_percent(w->lowest_at_high);
    if (low != high)
        sw_page_add(out, "the lowest charge goes from %d %% to %d %%", low, high);
    else
        sw_page_add(out, "the lowest charge goes from %.1f %% to %.1f %%", 100.0 * w->lowest_at_low,
                    100.0 * w->lowest_at_high);
}

static void say_weight(const sw_weight *w, sw_units units, page *out)
{
    char a[48], b[48];
    if (moves_unserved(w))
        sw_page_add(out, "what is not served goes from %s to %s",
                    sw_words_quantity(w->unserved_at_low, SW_DIM_ENERGY, units, a),
                    sw_words_quantity(w->unserved_at_high, SW_DIM_ENERGY, units, b));
    else
        say_lowest_change(w, out);
}

void sw_words_weight(const sw_rehearsal *r, const sw_weight *w, sw_units units, page *out)
{
    const sw_assumption *a = &r->plan->assumption[w->assumption];
    char low[48], high[48], value[48];
    sw_page_add(out, "%s: %s (%s; %s). From %s to %s ", a->says,
                sw_words_quantity(*a->at, a->dimension, units, value), a->mark, a->path,
                sw_words_quantity(w->low, a->dimension, units, low),
                sw_words_quantity(w->high, a->dimension, units, high));
    say_weight(w, units, out);
    sw_page_add(out, ".");
}
// ---- cautions ----

void sw_words_cautions(const sw_rehearsal *r, sw_units units, page *out)
{
    char cold[48];
    if (r->plan->van->battery.chemistry == SW_LIFEPO4 && r->trip.value[SW_LEDGER_COLD_BLOCKED] > 0.0) {
        sw_words_quantity(r->plan->van->battery.cold_stop_c, SW_DIM_TEMPERATURE, units, cold);
        sw_page_add(out,
                    "Charging lithium cells at or below %s harms them for good: see that the battery's "
                    "protection forbids it.\n",
                    cold);
    }
    if (r->trip.value[SW_LEDGER_FROZEN_H] > 0.0)
        sw_page_add(
            out,
            "A frozen battery may burst, and must not be charged before it has thawed: keep lead batteries "
            "full in the cold.\n");
    if (r->plan->van->battery.chemistry != SW_LIFEPO4)
        sw_page_add(
            out,
            "Lead batteries give off explosive gas when they are charged: let air in, no sparks, nothing "
            "of metal across the poles. Charge them full every few days: left half empty they lose "
            "capacity for good (common practice, no source).\n");
    if (r->trip.value[SW_LEDGER_HOT_BLOCKED] > 0.0)
        sw_page_add(out, "Charging a hot battery ages it fast and may damage it: give it shade and air.\n");
    if (r->greatest_alternator_overload_a > 0.0)
        sw_page_add(out, "An overloaded alternator burns out or sets fire to its cable: charge through a "
                         "converter.\n");
    if (r->greatest_inverter_overload_w > 0.0)
        sw_page_add(out, "An overloaded inverter shuts down or overheats: run fewer AC loads at once.\n");
    if (r->greatest_shore_overload_w > 0.0)
        sw_page_add(out, "An overloaded hookup trips its breaker and heats plug and cable: turn loads down "
                         "before plugging in.\n");
    if (r->trip.value[SW_LEDGER_CUT_OFF] > EMPTY_LONG_H)
        sw_page_add(
            out, "A battery that stands empty for days is damaged for good, lithium and lead alike, and its "
                 "management system may have to be woken: switch off or disconnect before.\n");
    if (r->medicals > 0)
        sw_page_add(
            out, "Health depends on a medical device: keep an independent backup that does not hang on the "
                 "van's battery, and ask clinician and supplier what it takes and what to do when power "
                 "fails.\n");
    for (int k = 0; k < r->plan->van->loads; k++)
        if (r->plan->van->load[k].kind == SW_LOAD_HEATER) {
            sw_page_add(
                out,
                "A fuel heater takes in air and lets out its exhaust outside: keep both ends open and away "
                "from the door, and have a carbon monoxide alarm in the van.\n");
            break;
        }
    if (r->trip.value[SW_LEDGER_ENGINE_IDLE_H] > 0.0 || r->plan->van->generator != NULL)
        sw_page_add(out,
                    "Exhaust kills, also from outside: run engine and generator away from doors, windows and "
                    "neighbours, never while anyone sleeps, and have a carbon monoxide alarm in the van.\n");
    else if (r->trip.value[SW_LEDGER_ALTERNATOR_OFFERED] > 0.0)
        sw_page_add(out,
                    "Engine exhaust kills: never idle the engine to charge where people sleep or exhaust "
                    "can gather.\n");
    if (r->plan->van->inverter != NULL || r->plan->van->shore != NULL)
        sw_page_add(
            out, "Mains voltage kills: for all AC wiring follow local codes and a licensed practitioner.\n");
    sw_page_add(out, "This plans energy; it designs no wiring and certifies nothing.\n");
}
