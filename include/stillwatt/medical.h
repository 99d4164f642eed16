/// Medical devices: what each got, night by night, and how long the battery would carry it alone.
#ifndef STILLWATT_MEDICAL_H
#define STILLWATT_MEDICAL_H

#include "stillwatt/itinerary.h"
#include "stillwatt/ledger.h"
#include "stillwatt/march.h"

/// A night: from noon to noon of the local clock, the date that of the evening.
typedef struct sw_night {
    int64_t date; ///< days since 1970-01-01
    double asked_wh, served_wh;
    double lowest_soc;
    double
        hours_left; ///< of the device alone, all else shut off, from the charge at the end of its last hour
} sw_night;

typedef struct sw_medical {
    int load;       ///< of the van
    double alone_w; ///< out of the battery while it runs, with the inverter's own draw and loss where it is
                    ///< on AC
    int nights;
    sw_night *night; ///< those in which it is asked for
} sw_medical;

/// What the hours of a ledger say of a device.
/// @param device with its `load` and room for as many nights as the trip has days, and two more
void sw_medical_nights(const sw_load_spec *load, const sw_itinerary *it, const sw_variant *variant,
                       const sw_account *hour, int hours, sw_medical *device);

#endif
