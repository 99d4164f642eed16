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

static const struct {
    const char *begins;
    int after_blanks; // blanks and lines may stand before
    reader *read;
} formats[] = {
    {"LOCATION", 0, sw_epw_read}, {"{", 1, sw_answer_read},       {"[", 1, sw_answer_read},
    {"#", 0, sw_plain_csv_read},  {"end,", 0, sw_plain_csv_read}, {"begin,", 0, sw_plain_csv_read},
};

static reader *reader_of(sw_span text)
{
    sw_span after = text;
    while (after.at < after.end && *after.at != '\0' && strchr(" \t\r\n", *after.at) != NULL)
        after.at++;
    for (size_t i = 0; i < sizeof formats / sizeof formats[0]; i++)
        if (sw_span_begins(formats[i].after_blanks ? after : text, formats[i].begins))
            return formats[i].read;
    return looks_like_tmy3(text) ? sw_tmy3_read : NULL;
}

sw_status sw_weather_read(const char *text, size_t length, const char *name, sw_messages *messages,
                          sw_series **out)
{
    sw_span rest = {text, text + length};
    if (sw_span_begins(rest, "\xEF\xBB\xBF"))
        rest.at += 3;
    reader *read = reader_of(rest);
    if (read != NULL)
        return read(text, length, name, messages, out);
    sw_where where = {name, 1, 0, NULL};
    *out = NULL;
    return sw_error(
        messages, SW_BAD_INPUT, &where,
        "EPW begins with LOCATION, TMY3 with a station number, a service's answer with {, our CSV with #",
        "this is no weather file of a format that is read");
}
