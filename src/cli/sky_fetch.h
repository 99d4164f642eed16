// sky fetch TRIP.
#ifndef SW_CLI_SKY_FETCH_H
#define SW_CLI_SKY_FETCH_H

#include "cli/cli.h"

/// Fetches the weather of the trip's longest stay into the user's cache, unless it is there, and says how to
/// use it.
/// @return the exit status
int sky_fetch(const options *given, const char *file);

#endif
