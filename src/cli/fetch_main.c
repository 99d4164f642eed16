// Fetches one address over https into a file: stillwatt-fetch ADDRESS FILE [CERTIFICATES [MILLISECONDS]]. A
// program of its own because libcurl takes 5 ms to load, and so that nothing else can reach a network.
//
// CERTIFICATES is a file of authorities to trust instead of the system's, "" for the system's; MILLISECONDS
// is the first wait before another try (1000), each following one is twice as long. Exit status: 0 fetched; 1
// the service refused or answered something else; 2 wrong use; 3 could not be reached; 4 could not write the
// file. One line on standard error says why.
#include <curl/curl.h>
#include <errno.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <time.h>

enum { FETCHED, REFUSED, WRONG_USE, UNREACHED, UNWRITTEN };

#define MOST_BYTES    (4L << 20) // what a document may have; an hourly year of one place has one
#define TRIES         4
#define CONNECT_S     10L
#define WHOLE_S       60L
#define SLOW_BYTES_S  100L // slower than this for SLOW_S seconds is given up
#define SLOW_S        10L
#define REDIRECTS     3L
#define TOO_MANY      429L // status of a service that asks for patience
#define FIRST_WAIT_MS 1000
#define ERROR_STATUS  400L // from here on an answer is a refusal

enum { BEGIN_BYTES = 200 }; // of a refusal that are shown

typedef struct sink {
    FILE *file;
    long long bytes;
    int too_large, failed;
    char begin[BEGIN_BYTES + 1]; // of the answer
} sink;

static size_t keep(char *bytes, size_t size, size_t count, void *context)
{
    sink *s = context;
    size_t length = size * count;
    if (s->bytes < BEGIN_BYTES) {
        size_t room = BEGIN_BYTES - (size_t)s->bytes;
        memcpy(s->begin + s->bytes, bytes, length < room ? length : room);
    }
    s->bytes += (long long)length;
    s->too_large = s->bytes > MOST_BYTES;
    if (s->too_large)
        return 0;
    s->failed = fwrite(bytes, 1, length, s->file) != length;
    return s->failed ? 0 : length;
}

static void wait_ms(long ms)
{
    struct timespec left = {ms / 1000, ms % 1000 * 1000000L};
    while (nanosleep(&left, &left) != 0 && errno == EINTR)
        continue;
}

/* What may go better another time. */
static int worth_another_try(CURLcode code, long status)
{
    return code == CURLE_COULDNT_CONNECT || code == CURLE_OPERATION_TIMEDOUT || code == CURLE_PARTIAL_FILE ||
           code == CURLE_GOT_NOTHING || code == CURLE_RECV_ERROR || status == TOO_MANY || status >= 500;
}

/* @return 0 if the connection cannot be held to https */
static int set_up(CURL *curl, const char *address, const char *certificates, sink *s)
{
    int safe = curl_easy_setopt(curl, CURLOPT_URL, address) == CURLE_OK &&
               curl_easy_setopt(curl, CURLOPT_PROTOCOLS_STR, "https") == CURLE_OK &&
               curl_easy_setopt(curl, CURLOPT_REDIR_PROTOCOLS_STR, "https") == CURLE_OK;
    curl_easy_setopt(curl, CURLOPT_FOLLOWLOCATION, 1L);
    curl_easy_setopt(curl, CURLOPT_MAXREDIRS, REDIRECTS);
    curl_easy_setopt(curl, CURLOPT_CONNECTTIMEOUT, CONNECT_S);
    curl_easy_setopt(curl, CURLOPT_TIMEOUT, WHOLE_S);
    curl_easy_setopt(curl, CURLOPT_LOW_SPEED_LIMIT, SLOW_BYTES_S);
    curl_easy_setopt(curl, CURLOPT_LOW_SPEED_TIME, SLOW_S);
    curl_easy_setopt(curl, CURLOPT_MAXFILESIZE, MOST_BYTES);
    curl_easy_setopt(curl, CURLOPT_USERAGENT, "stillwatt/" STILLWATT_VERSION);
    curl_easy_setopt(curl, CURLOPT_WRITEFUNCTION, keep);
    curl_easy_setopt(curl, CURLOPT_WRITEDATA, s);
    if (certificates[0] != '\0')
        safe = safe && curl_easy_setopt(curl, CURLOPT_CAINFO, certificates) == CURLE_OK;
    return safe;
}

static int say(int exit_status, const char *what)
{
    fprintf(stderr, "%s\n", what);
    return exit_status;
}

/* What a service gives as its reason, on one line and without anything that a terminal would obey; a page of
   HTML says nothing to people here. */
static int refuse(long status, sink *s)
{
    for (char *at = s->begin; *at != '\0'; at++)
        if (*at < ' ' || *at > '~')
            *at = *at == '\n' || *at == '\r' || *at == '\t' ? ' ' : '?';
    int shown = s->begin[0] != '\0' && s->begin[0] != '<';
    fprintf(stderr, "the service answered with status %ld%s%s\n", status, shown ? ": " : "",
            shown ? s->begin : "");
    return status == TOO_MANY || status >= 500 ? UNREACHED : REFUSED;
}

static int judge(CURLcode code, long status, sink *s)
{
    if (code == CURLE_OK)
        return status < ERROR_STATUS ? FETCHED : refuse(status, s);
    if (s->failed)
        return say(UNWRITTEN, strerror(errno));
    if (s->too_large || code == CURLE_FILESIZE_EXCEEDED)
        return say(REFUSED, "the answer is longer than 4 MB and was given up");
    if (code == CURLE_UNSUPPORTED_PROTOCOL)
        return say(REFUSED, "only https is used, also where a service sends one on");
    return say(UNREACHED, curl_easy_strerror(code));
}

/* One try after another into the same file, begun anew each time. */
static int fetch(CURL *curl, const char *address, const char *name, const char *certificates, long wait)
{
    for (int attempt = 1;; attempt++, wait *= 2) {
        sink s = {.file = fopen(name, "wb")};
        long status = 0;
        if (s.file == NULL)
            return say(UNWRITTEN, strerror(errno));
        CURLcode code =
            set_up(curl, address, certificates, &s) ? curl_easy_perform(curl) : CURLE_UNSUPPORTED_PROTOCOL;
        curl_easy_getinfo(curl, CURLINFO_RESPONSE_CODE, &status);
        if (fclose(s.file) != 0)
            s.failed = 1;
        if (s.failed)
            code = CURLE_WRITE_ERROR;
        if (attempt == TRIES || s.failed || s.too_large || !worth_another_try(code, status))
            return judge(code, status, &s);
        wait_ms(wait);
    }
}

int main(int count, char **words)
{
    if (count < 3 || count > 5)
        return say(WRONG_USE, "use: stillwatt-fetch ADDRESS FILE [CERTIFICATES [MILLISECONDS]]");
    long wait = count > 4 ? strtol(words[4], NULL, 10) : FIRST_WAIT_MS;
    if (curl_global_init(CURL_GLOBAL_DEFAULT) != 0)
        return say(UNREACHED, "libcurl does not start");
    CURL *curl = curl_easy_init();
    int exit_status = curl != NULL ? fetch(curl, words[1], words[2], count > 3 ? words[3] : "", wait)
                                   : say(UNREACHED, "libcurl does not start");
    if (exit_status != FETCHED)
        remove(words[2]);
    curl_easy_cleanup(curl);
    curl_global_cleanup();
    return exit_status;
}
