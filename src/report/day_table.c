// The energy columns of the table of the days.
#include "report/day_table.h"

#define LEAST_WH 0.5 // a column that would hold only zeros is left out

/// A column is the sum of ledger columns; another head where a source beside the usual one ran.
static const struct {
    const char *head, *else_head;
    sw_ledger_column other_h;
    int parts;
    sw_ledger_column part[3];
} columns[DAY_COLUMNS_MAX] = {
    {"sun in", NULL, 0, 1, {SW_LEDGER_SOLAR_USED}},
    {"spilled", NULL, 0, 1, {SW_LEDGER_SOLAR_SPILLED}},
    {"driving", "engine", SW_LEDGER_ENGINE_IDLE_H, 1, {SW_LEDGER_ALTERNATOR_USED}},
    {"hookup", "inlet", SW_LEDGER_GENERATOR_H, 2, {SW_LEDGER_CHARGER_IN, SW_LEDGER_SHORE_AC}},
    {"used", NULL, 0, 1, {SW_LEDGER_SERVED}},
    {"missed", NULL, 0, 3, {SW_LEDGER_UNSERVED_MUST, SW_LEDGER_UNSERVED_WANT, SW_LEDGER_UNSERVED_CAN_WAIT}},
};

static double wh_of(const sw_account *a, int column)
{
    double sum = 0.0;
    for (int i = 0; i < columns[column].parts; i++)
        sum += a->value[columns[column].part[i]];
    return sum;
}

int sw_day_columns(const sw_rehearsal *r, int column[DAY_COLUMNS_MAX])
{
    int count = 0;
    for (int c = 0; c < DAY_COLUMNS_MAX; c++)
        if (wh_of(&r->trip, c) > LEAST_WH)
            column[count++] = c;
    return count;
}

const char *sw_day_column_head(const sw_rehearsal *r, int column)
{
    int is_other = columns[column].else_head != NULL && r->trip.value[columns[column].other_h] > 0.0;
    return is_other ? columns[column].else_head : columns[column].head;
}

double sw_day_column_kwh(const sw_rehearsal *r, int column, int first, int count)
{
    double sum = 0.0;
    for (int d = first; d < first + count; d++)
        sum += wh_of(&r->day[d], column);
    return sum / 1000.0;
}
