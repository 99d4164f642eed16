/// Whether the light of a record stands at the hours that its labels say.
#ifndef STILLWATT_WEATHER_TIMING_H
#define STILLWATT_WEATHER_TIMING_H

#include "stillwatt/series.h"

/// Finds the shift in half hours, within an hour and a half, at which global light is best the beam times the
/// sun's height plus the sky light; sets the series' light_shift_s, and warns where it is not 0. Says nothing
/// of records that do not give all three, nor of clocks that are off by more: for a trip those show as light
/// with the sun down.
void sw_timing_look(sw_series *series, const char *name, sw_messages *messages);

#endif
