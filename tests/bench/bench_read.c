// Times the readers of weather in processor time, best of many, beside a plain read of the same bytes. Fails
// where a year takes 15 ms or the table of stations 5 ms.
#include "stillwatt/series.h"
#include "stillwatt/stations.h"
#include "support/whole_file.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <time.h>

enum { RUNS = 20 };

typedef int reader(const char *text, size_t length);

static int read_epw(const char *text, size_t length)
{
    sw_series *series = NULL;
    sw_status status = sw_epw_read(text, length, "x.epw", NULL, &series);
    sw_series_free(series);
    return status == SW_OK;
}

static int open_table(const char *text, size_t length)
{
    sw_station_table *table = NULL;
    sw_status status = sw_stations_open(text, length, "stations.csv", NULL, &table);
    sw_stations_free(table);
    return status == SW_OK;
}

static const struct {
    const char *path, *says;
    reader *read;
    double most_ms;
} readers[] = {
    {SW_SHARED_DIR "/weather-data/USA_CO_Denver.Intl.AP.725650_TMY3.epw", "a year of EPW", read_epw, 15.0},
    {SW_SOURCE_DIR "/weather/stations.csv", "the table of stations, opened", open_table, 5.0},
};

static double now_ms(void)
{
    struct timespec t;
    clock_gettime(CLOCK_PROCESS_CPUTIME_ID, &t);
    return (double)t.tv_sec * 1e3 + (double)t.tv_nsec / 1e6;
}

int main(void)
{
    int good = 1;
    for (size_t i = 0; i < sizeof readers / sizeof readers[0]; i++) {
        double plain_ms = INFINITY, read_ms = INFINITY;
        size_t length = 0;
        char *text = read_whole_file(readers[i].path, &length);
        if (text == NULL) {
            printf("%-32s not measured: the file is not there\n", readers[i].says);
            continue;
        }
        for (int run = 0; run < RUNS; run++) {
            double begin = now_ms();
            free(text);
            text = read_whole_file(readers[i].path, &length);
            double middle = now_ms();
            good = text != NULL && readers[i].read(text, length) && good;
            plain_ms = fmin(plain_ms, middle - begin);
            read_ms = fmin(read_ms, now_ms() - middle);
        }
        free(text);
        good = read_ms < readers[i].most_ms && good;
        printf("%-32s %6.2f ms, plain read of its %.1f MB %.2f ms\n", readers[i].says, read_ms,
               (double)length / 1e6, plain_ms);
    }
    return good ? EXIT_SUCCESS : EXIT_FAILURE;
}
