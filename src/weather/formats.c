// Which format a weather file has, told by its first bytes.
#include "stillwatt/series.h"
#include "weather/span.h"

#include <string.h>

typedef sw_status reader(const char *text, size_t length, const char *name, sw_messages *messages,
                         sw_series **out);

/* A TMY3 file begins with the number of its station and a name in quotes. */
static int looks_like_tmy3(sw_span text)
{
    sw_span line, field;
    double number;
    return sw_span_line(&text, &line) && sw_span_field(&line, ',', &field) &&
           sw_span_number(field, &number) && sw_span_field(&line, ',', &field);
}

sw_status sw_weather_read(const char *text, size_t length, const char *name, sw_messages *messages,
                          sw_series **out)
{
    sw_span rest = {text, text + length};
    if (sw_span_begins(rest, "\xEF\xBB\xBF"))
        rest.at += 3;
    sw_span json = rest; // may begin with blanks and lines
    while (json.at < json.end && *json.at != '\0' && strchr(" \t\r\n", *json.at) != NULL)
        json.at++;
    reader *read =
        sw_span_begins(rest, "LOCATION")                         ? sw_epw_read
        : sw_span_begins(json, "{") || sw_span_begins(json, "[") ? sw_answer_read
        : sw_span_begins(rest, "#") || sw_span_begins(rest, "end,") || sw_span_begins(rest, "begin,")
            ? sw_plain_csv_read
        : looks_like_tmy3(rest) ? sw_tmy3_read
                                : NULL;
    if (read != NULL)
        return read(text, length, name, messages, out);
    sw_where where = {name, 1, 0, NULL};
    *out = NULL;
    return sw_error(
        messages, SW_BAD_INPUT, &where,
        "EPW begins with LOCATION, TMY3 with a station number, a service's answer with {, our CSV with #",
        "this is no weather file of a format that is read");
}
