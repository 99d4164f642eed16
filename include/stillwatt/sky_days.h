/// The sky of a trip day by day: hours of sun, light on the flat and on each array, air, against what is
/// usual.
#ifndef STILLWATT_SKY_DAYS_H
#define STILLWATT_SKY_DAYS_H

#include "stillwatt/course.h"

/// One local day of the trip; the first and the last may be cut. NAN: not known.
typedef struct sw_sky_day {
    int64_t date; ///< days since 1970-01-01
    int whole;    ///< 0: the trip begins or ends in it
    int stop;     ///< where the van is in the middle of the day's part
    double sun_h; ///< hours in which the sun shines; of an average sky the mean of its days
    double flat_kwh_m2, clear_kwh_m2; ///< light on the flat, and under a cloudless sky
    double
        array_sun_h[SW_ARRAYS_MAX]; ///< hours of full sun that each array's light comes to, behind its glass
    double low_c, high_c;           ///< of the steps
    double usual_kwh_m2;            ///< of a whole day at the stop, by the averages of place and date
    double usual_low_c, usual_high_c;
} sw_sky_day;

typedef struct sw_sky_days {
    const sw_plan *plan; ///< not owned
    sw_course *course;   ///< owned
    int days;
    sw_sky_day *day; ///< owned
} sw_sky_days;

/// @param step_s as for sw_course_make
/// @return as sw_course_make; on failure `*out` is NULL. Places without averages leave their
/// values NAN.
sw_status sw_sky_days_make(const sw_plan *plan, const sw_loader *loader, int32_t step_s,
                           sw_messages *messages, sw_sky_days **out);
/// Releases it with its course; NULL is allowed.
void sw_sky_days_free(sw_sky_days *days);

#endif
