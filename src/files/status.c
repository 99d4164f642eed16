// Sentences and exit statuses of sw_status, both read off the one list in the header.
#include "stillwatt/status.h"

#include <stddef.h>

static const struct {
    int exit_status;
    const char *sentence;
} rows[] = {
#define STATUS_ROW(name, exit_status, sentence) [name] = {exit_status, sentence},
    SW_STATUS_LIST(STATUS_ROW)
#undef STATUS_ROW
};

static int is_known(sw_status status)
{
    return (size_t)status < sizeof rows / sizeof rows[0];
}

const char *sw_status_sentence(sw_status status)
{
    return is_known(status) ? rows[status].sentence : "unknown status";
}

int sw_status_exit(sw_status status)
{
    // What is not known is a fault of the program itself, as an unbalanced account is.
    return rows[is_known(status) ? status : SW_UNBALANCED].exit_status;
}
