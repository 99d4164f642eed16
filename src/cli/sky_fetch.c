// sky fetch TRIP: the hours of the trip's longest stay from an open service, kept in the user's cache. The
// network is reached by a program of its own, stillwatt-fetch, and only here.
#include "cli/sky_fetch.h"

#include "stillwatt/civil.h"
#include "stillwatt/itinerary.h"
#include "stillwatt/reader.h"
#include "stillwatt/series.h"

#include <errno.h>
#include <spawn.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>
#include <sys/wait.h>
#include <unistd.h>

#define NAME_MAX_BYTES    1024
#define ADDRESS_MAX_BYTES 2048
#define MARGIN_DAYS       1 // before and after, so that every hour of every clock is in it
#define DAY_S             86400
#define SCHEME            "https://"

/* How a service is asked; the dates are those of UTC, with and without dashes between. */
static const struct {
    const char *name, *address, *query;
    int dashes, changes; // changes: what was fetched before is out of date
} services[] = {
    {"historical", "https://archive-api.open-meteo.com/v1/archive",
     "latitude=%.4f&longitude=%.4f&start_date=%s&end_date=%s&timezone=GMT&wind_speed_unit=ms&hourly="
     "shortwave_radiation,direct_normal_irradiance,diffuse_radiation,temperature_2m,wind_speed_10m,"
     "precipitation",
     1, 0},
    {"forecast", "https://api.open-meteo.com/v1/forecast",
     "latitude=%.4f&longitude=%.4f&start_date=%s&end_date=%s&timezone=GMT&wind_speed_unit=ms&hourly="
     "shortwave_radiation,direct_normal_irradiance,diffuse_radiation,temperature_2m,wind_speed_10m,"
     "precipitation",
     1, 1},
    {"reanalysis", "https://power.larc.nasa.gov/api/temporal/hourly/point",
     "latitude=%.4f&longitude=%.4f&start=%s&end=%s&time-standard=UTC&community=RE&format=JSON&parameters="
     "ALLSKY_SFC_SW_DWN,ALLSKY_SFC_SW_DNI,ALLSKY_SFC_SW_DIFF,T2M,WS10M,PRECTOTCORR",
     0, 0},
};
enum { SERVICES = sizeof services / sizeof services[0] };

typedef struct request {
    int service;
    double lat_deg, lon_deg;
    char from[16], to[16]; // as the service writes dates
    char address[ADDRESS_MAX_BYTES];
    char folder[NAME_MAX_BYTES], kept[NAME_MAX_BYTES]; // where the answer is kept
} request;

// ---- what to ask ----

static int find_service(const char *name)
{
    if (name == NULL)
        return 0;
    for (int i = 0; i < SERVICES; i++)
        if (strcmp(name, services[i].name) == 0)
            return i;
    return -1;
}

static void write_date(int64_t utc_s, int dashes, char out[16])
{
    int year, month, day;
    sw_civil_from_days(sw_floor_div(utc_s, DAY_S), &year, &month, &day);
    snprintf(out, 16, dashes ? "%04d-%02d-%02d" : "%04d%02d%02d", year % 10000, month % 100, day % 100);
}

/* The stop at which the trip stays longest. */
static const sw_stop *longest_stay(const sw_itinerary *it)
{
    const sw_span *longest = &it->span[0];
    for (int i = 1; i < it->spans; i++)
        if (it->span[i].kind != SW_LEG_DRIVE &&
            (longest->kind == SW_LEG_DRIVE ||
             it->span[i].end_s - it->span[i].start_s > longest->end_s - longest->start_s))
            longest = &it->span[i];
    return &it->stop[longest->stop];
}

/* XDG_CACHE_HOME, or .cache in the home (XDG Base Directory Specification). @return 0 if there is neither */
static int cache_folder(char *out, size_t size)
{
    const char *cache = getenv("XDG_CACHE_HOME"), *home = getenv("HOME");
    int length = 0;
    if (cache != NULL && cache[0] == '/')
        length = snprintf(out, size, "%s/stillwatt", cache);
    else if (home != NULL && home[0] == '/')
        length = snprintf(out, size, "%s/.cache/stillwatt", home);
    return length > 0 && length < (int)size;
}

/* Makes a folder and those above it, for the user alone (XDG Base Directory Specification): the names in it
   tell where somebody travels. */
static int make_folder(const char *path)
{
    char part[NAME_MAX_BYTES];
    for (const char *slash = strchr(path + 1, '/');; slash = strchr(slash + 1, '/')) {
        size_t length = slash != NULL ? (size_t)(slash - path) : strlen(path);
        if (length >= sizeof part)
            return 0;
        memcpy(part, path, length);
        part[length] = '\0';
        if (mkdir(part, 0700) != 0 && errno != EEXIST)
            return 0;
        if (slash == NULL)
            return 1;
    }
}

/* What is asked for, and of whom. @return 0 or the exit status after a message */
static int write_address(const options *given, request *out)
{
    char query[ADDRESS_MAX_BYTES];
    const char *address = given->address != NULL ? given->address : services[out->service].address;
    if (strncmp(address, SCHEME, strlen(SCHEME)) != 0)
        return complain(2, "--address begins with " SCHEME ", not \"%s\"", address);
    // The formats stand in the table above and take the same four values.
    snprintf(query, sizeof query, services[out->service].query, out->lat_deg, out->lon_deg, out->from,
             out->to);
    if (snprintf(out->address, sizeof out->address, "%s%c%s", address,
                 strchr(address, '?') != NULL ? '&' : '?', query) >= (int)sizeof out->address)
        return complain(2, "--address is too long");
    return 0;
}

/* Where the answer is kept: by service and host, place and dates. @return 0 or the exit status after a
 * message */
static int name_kept(request *out)
{
    const char *host = out->address + strlen(SCHEME);
    size_t length = strcspn(host, "/?#");
    if (!cache_folder(out->folder, sizeof out->folder) || strpbrk(out->folder, "\"\\\n") != NULL ||
        snprintf(out->kept, sizeof out->kept, "%s/%s_%.*s_%.4f_%.4f_%s_%s.json", out->folder,
                 services[out->service].name, (int)(length < 100 ? length : 100), host, out->lat_deg,
                 out->lon_deg, out->from, out->to) >= (int)sizeof out->kept)
        return complain(
            4, "there is no folder to keep the answer in: set XDG_CACHE_HOME or HOME, without quotes in it");
    return 0;
}

/* @return 0 or the exit status after a message */
static int make_request(const options *given, const sw_itinerary *it, request *out)
{
    long patience = given->patience != NULL ? strtol(given->patience, NULL, 10) : 1;
    out->service = find_service(given->service);
    if (out->service < 0)
        return complain(2, "--service is historical, forecast or reanalysis, not \"%s\"", given->service);
    if (patience < 1 || patience > 60000)
        return complain(2, "--patience is 1 to 60000 ms, not \"%s\"", given->patience);
    const sw_stop *stop = longest_stay(it);
    out->lat_deg = stop->lat_deg;
    out->lon_deg = stop->lon_deg;
    int dashes = services[out->service].dashes;
    write_date(it->start_s - MARGIN_DAYS * DAY_S, dashes, out->from);
    write_date(it->end_s + MARGIN_DAYS * DAY_S, dashes, out->to);
    int wrong = write_address(given, out);
    return wrong != 0 ? wrong : name_kept(out);
}

// ---- the answer ----

/* An answer is kept only if it is weather that covers the trip. @return 0 or the exit status after messages
 */
static int check_answer(const char *file, const sw_loader *loader, const sw_itinerary *it)
{
    sw_series *series = NULL;
    sw_messages *messages = sw_messages_create();
    int wrong = messages == NULL ? complain(4, "there is not enough memory for the answer") : 0;
    if (wrong == 0)
        wrong = tell(messages, sw_weather_load(loader, file, NULL, NULL, messages, &series));
    if (wrong == 0 &&
        (sw_series_index(series, it->start_s) < 0 || sw_series_index(series, it->end_s - 1) < 0))
        wrong = complain(3, "the answer does not cover the trip");
    sw_series_free(series);
    sw_messages_free(messages);
    return wrong;
}

// ---- the helper ----

/* Beside this program. @return 0 if it is not there, as in a build without libcurl */
static int find_helper(char *out, size_t size)
{
    ssize_t length = readlink("/proc/self/exe", out, size - 1);
    if (length <= 0)
        return 0;
    out[length] = '\0';
    char *slash = strrchr(out, '/');
    size_t room = size - (size_t)(slash - out) - 1;
    return snprintf(slash + 1, room, "stillwatt-fetch") < (int)room && access(out, X_OK) == 0;
}

/* @return the exit status of the helper, -1 if it could not run */
static int run_helper(const char *helper, const options *given, const char *address, const char *file)
{
    extern char **environ;
    const char *words[] = {helper,
                           address,
                           file,
                           given->certificates != NULL ? given->certificates : "",
                           given->patience != NULL ? given->patience : "1000",
                           NULL};
    int status = 0;
    pid_t child;
    if (posix_spawn(&child, helper, NULL, NULL, (char *const *)(const void *)words, environ) != 0)
        return -1;
    while (waitpid(child, &status, 0) < 0)
        if (errno != EINTR)
            return -1;
    return WIFEXITED(status) ? WEXITSTATUS(status) : -1;
}

static int by_hand(const request *r)
{
    return complain(
        4, "this build has no libcurl; download this yourself, and give the file to an hourly sky:\n  %s",
        r->address);
}

static int fetch_into_cache(const options *given, const request *r, const sw_loader *loader,
                            const sw_itinerary *it)
{
    char helper[NAME_MAX_BYTES], part[NAME_MAX_BYTES + 32];
    if (!find_helper(helper, sizeof helper))
        return by_hand(r);
    if (!make_folder(r->folder))
        return complain(4, "the folder %s could not be made: %s", r->folder, strerror(errno));
    snprintf(part, sizeof part, "%s.%ld.part", r->kept, (long)getpid());
    int wrong = run_helper(helper, given, r->address, part) == 0
                    ? check_answer(part, loader, it)
                    : complain(4, "nothing could be fetched from the %s service", services[r->service].name);
    if (wrong == 0 && rename(part, r->kept) != 0)
        wrong = complain(4, "could not write %s: %s", r->kept, strerror(errno));
    if (wrong != 0)
        unlink(part);
    return wrong;
}

static int fetch(const options *given, const sw_loader *loader, const sw_itinerary *it)
{
    request r;
    char answer[2 * NAME_MAX_BYTES];
    int wrong = make_request(given, it, &r);
    // A forecast is another one tomorrow.
    int kept = wrong == 0 && !given->force && !services[r.service].changes && access(r.kept, R_OK) == 0;
    if (wrong == 0)
        wrong = kept ? check_answer(r.kept, loader, it) : fetch_into_cache(given, &r, loader, it);
    if (wrong != 0)
        return wrong;
    snprintf(answer, sizeof answer,
             "%s\n\nIn the trip file:\n  \"sky\": {\"kind\": \"hourly\", \"file\": \"%s\"}\n",
             kept ? "Fetched before and kept." : "Fetched.", r.kept);
    return print(answer);
}

int sky_fetch(const options *given, const char *file)
{
    sw_messages *messages = sw_messages_create();
    sw_loader loader = sw_disk_loader(data_folder(given));
    sw_plan *plan = NULL;
    sw_itinerary *it = NULL;
    if (messages == NULL)
        return complain(4, "there is not enough memory to read %s", file);
    sw_status status = sw_read_trip(&loader, file, messages, &plan);
    if (status == SW_OK)
        status = sw_itinerary_make(plan, &loader, given->step_s, messages, &it);
    int wrong = tell(messages, status);
    if (wrong == 0 && it != NULL)
        wrong = fetch(given, &loader, it);
    sw_itinerary_free(it);
    sw_plan_free(plan);
    sw_messages_free(messages);
    return wrong;
}
