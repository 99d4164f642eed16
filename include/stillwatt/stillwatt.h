/// libstillwatt: everything at once. See the single headers.
#ifndef STILLWATT_STILLWATT_H
#define STILLWATT_STILLWATT_H

#include "stillwatt/array.h"
#include "stillwatt/battery.h"
#include "stillwatt/civil.h"
#include "stillwatt/course.h"
#include "stillwatt/document.h"
#include "stillwatt/forcing.h"
#include "stillwatt/inverter.h"
#include "stillwatt/itinerary.h"
#include "stillwatt/ledger.h"
#include "stillwatt/loader.h"
#include "stillwatt/march.h"
#include "stillwatt/message.h"
#include "stillwatt/plan.h"
#include "stillwatt/plane.h"
#include "stillwatt/quantity.h"
#include "stillwatt/reader.h"
#include "stillwatt/rehearsal.h"
#include "stillwatt/report.h"
#include "stillwatt/schema.h"
#include "stillwatt/series.h"
#include "stillwatt/sky.h"
#include "stillwatt/sky_days.h"
#include "stillwatt/sky_years.h"
#include "stillwatt/sphere.h"
#include "stillwatt/stations.h"
#include "stillwatt/status.h"
#include "stillwatt/sun.h"
#include "stillwatt/zone.h"

#endif
