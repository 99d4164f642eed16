/// What a trip and its sky impose on a van, step by step: light, air, drives, hookups, what people switch on.
/// It depends on the trip, the sky and how the panels stand, not on the size of anything, and is shared by
/// every variant that is marched through it. Columns have one value per step; all are owned by the forcing.
#ifndef STILLWATT_FORCING_H
#define STILLWATT_FORCING_H

#include <stdint.h>

#define SW_ARRAYS_MAX  6
#define SW_THERMAL_MAX 4

typedef enum sw_bus { SW_BUS_DC, SW_BUS_AC, SW_BUS_COUNT } sw_bus;

/// How dearly a load is held. The order is the order of giving up, last first.
typedef enum sw_held { SW_MUST, SW_WANT, SW_CAN_WAIT, SW_HELD_COUNT } sw_held;

typedef enum sw_step_flag {
    SW_STEP_DRIVING = 1 << 0,  ///< for most of the step
    SW_STEP_SHORE = 1 << 1,    ///< plugged in
    SW_STEP_DARK = 1 << 2,     ///< sun below the horizon
    SW_STEP_INVERTER = 1 << 3, ///< the inverter is switched on by its hours
    SW_STEP_STORED = 1 << 4,   ///< laid up: compressors are off
    SW_STEP_CUT = 1 << 5,      ///< laid up with the battery's main switch open: nothing hangs on it
    SW_STEP_HAND = 1 << 6      ///< somebody aboard looks after a battery that has cut itself off
} sw_step_flag;

typedef struct sw_forcing {
    int32_t steps;
    int32_t step_s;
    int64_t start_s; ///< UTC

    uint8_t *flags;   ///< sw_step_flag
    double *air_c;    ///< outside
    double *cabin_c;  ///< stated
    double *ghi_w_m2; ///< for the ledger

    int arrays;
    double *yield[SW_ARRAYS_MAX];  ///< W per rated W at 25 degC cell: effective light/1000 x low-light, after
                                   ///< the glass
    double *cell_c[SW_ARRAYS_MAX]; ///< cell temperature

    double *cruise_share, *idle_share; ///< of the step: engine running on the road, and at idle
    double *engine_cold;               ///< 1: as after a night, 0: warm; mean of the step
    double *pedestal_va;               ///< what the hookup's breaker allows, 0 without one
    double *pedestal_steady_share;     ///< of it, what it allows for three hours and more

    double *load_w[SW_BUS_COUNT][SW_HELD_COUNT]; ///< scheduled loads asked, mean of the step
    double *peak_w[SW_HELD_COUNT];               ///< AC: greatest power at one moment of the step
    double *dc_peak_w[SW_HELD_COUNT];            ///< DC: likewise
    double
        *steady_w[SW_HELD_COUNT]; ///< AC: the part of the peak from loads that run for three hours and more
} sw_forcing;

/// Which sky a forcing is of. Only average skies have a poor week beside them.
typedef enum sw_outlook { SW_OUTLOOK_MAIN, SW_OUTLOOK_POOR, SW_OUTLOOKS } sw_outlook;

#endif
