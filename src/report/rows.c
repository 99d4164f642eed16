// The rows of a study as CSV, and back.
#include "report/page.h"

#include "files/decimal.h"
#include "stillwatt/civil.h"
#include "stillwatt/report.h"

#include <inttypes.h>
#include <math.h>
#include <stdio.h>
#include <string.h>

#define DAY_S 86400

static const char heading[] =
    "case,trip,month,sky,start_charge_pct,choice,verdict,lowest_charge_pct,lowest_at,nights_held,nights,"
    "under_days,under_h,unserved_wh,missed_because_of_battery_wh,end_charge_pct,poor_verdict,"
    "poor_lowest_charge_pct,poor_under_days\r\n";

// Places of what is read back.
enum {
    NUMBER = 0,
    VERDICT = 6,
    LOWEST,
    NIGHTS_HELD = 9,
    NIGHTS,
    UNDER_DAYS,
    MISSED = 14,
    POOR = 16,
    POOR_LOWEST,
    POOR_UNDER,
    FIELDS
};

sw_status sw_report_rows_head(const sw_study *study, int32_t step_s, uint64_t fingerprint, char **out)
{
    page p = {0};
    sw_page_add(
        &p,
        "# stillwatt study rows 1; %d choices, %d trips, %d skies, %d start charges; steps of %d min; "
        "inputs %016" PRIx64 "\r\n%s",
        study->choices, study->trips, study->skies, study->starts, (int)(step_s / 60), fingerprint, heading);
    return sw_growing_take(&p, out);
}

// ---- writing ----

/* A row is one line, whatever somebody has called a file. */
static void put_text(page *p, const char *text)
{
    const char *quote = strpbrk(text, ",\"") != NULL ? "\"" : "";
    sw_page_add(p, ",%s", quote);
    sw_page_quoted(p, text);
    sw_page_add(p, "%s", quote);
}

static void put_number(page *p, double value, int decimals)
{
    char text[40];
    sw_decimal_write(value, decimals, text, sizeof text);
    sw_page_add(p, ",%s", text);
}

static void put_percent(page *p, double share)
{
    if (isnan(share))
        sw_page_add(p, ",");
    else
        put_number(p, 100.0 * share, 3);
}

static void put_local_time(page *p, int64_t local_s)
{
    int64_t days = sw_floor_div(local_s, DAY_S);
    int year, month, day, minute = (int)((local_s - days * DAY_S) / 60);
    sw_civil_from_days(days, &year, &month, &day);
    sw_page_add(p, ",%04d-%02d-%02dT%02d:%02d", year, month, day, minute / 60, minute % 60);
}

static void put_row(page *p, const sw_study *study, const sw_block *block, int place)
{
    const sw_case *c = &block->of[place];
    sw_page_add(p, "%" PRId64, block->index * block->cases + place + 1);
    put_text(p, study->trip[block->trip].file);
    put_text(p, block->month > 0 ? sw_month_word(block->month) : "");
    put_text(p, study->sky[block->sky].name);
    put_percent(p, study->start[place / study->choices]);
    put_text(p, study->choice[place % study->choices].name);
    put_text(p, sw_verdict_word(c->own.verdict));
    put_percent(p, c->own.lowest_soc);
    put_local_time(p, c->lowest_local_s);
    put_number(p, c->nights_held, 0);
    put_number(p, c->nights, 0);
    put_number(p, c->own.under_days, 0);
    put_number(p, c->own.under_h, 3);
    put_number(p, c->own.unserved_wh, 1);
    put_number(p, c->own.missed_wh, 1);
    put_percent(p, c->own.end_soc);
    if (c->has_poor) {
        put_text(p, sw_verdict_word(c->poor.verdict));
        put_percent(p, c->poor.lowest_soc);
        put_number(p, c->poor.under_days, 0);
    } else {
        sw_page_add(p, ",,,");
    }
    sw_page_add(p, "\r\n");
}

sw_status sw_report_rows(const sw_study *study, const sw_block *block, char **out)
{
    page p = {0};
    for (int place = 0; place < block->cases; place++)
        put_row(&p, study, block, place);
    return sw_growing_take(&p, out);
}

// ---- reading back ----

typedef struct field {
    const char *text;
    size_t length;
} field;

/* Commas within quotes part nothing. @return how many there are */
static int split(const char *line, size_t length, field out[FIELDS])
{
    int count = 0, quoted = 0;
    size_t begin = 0;
    for (size_t i = 0; i <= length; i++) {
        quoted ^= i < length && line[i] == '"';
        if (i < length && (line[i] != ',' || quoted))
            continue;
        if (count < FIELDS)
            out[count] = (field){line + begin, i - begin};
        count++;
        begin = i + 1;
    }
    return count;
}

/* Digits, a sign and a point, as they were written. */
static int read_number(const field *f, double *out)
{
    size_t digits = 0;
    for (size_t i = 0; i < f->length; i++) {
        int is_digit = f->text[i] >= '0' && f->text[i] <= '9';
        digits += (size_t)is_digit;
        if (!is_digit && f->text[i] != '.' && !(f->text[i] == '-' && i == 0))
            return 0;
    }
    return digits > 0 && f->length < 40 && sw_decimal_read(f->text, f->length, out) == SW_DECIMAL_FITS;
}

static int read_verdict(const field *f, sw_verdict *out)
{
    for (int v = SW_HOLDS; v <= SW_OUT; v++) {
        const char *word = sw_verdict_word((sw_verdict)v);
        if (f->length == strlen(word) && strncmp(f->text, word, f->length) == 0) {
            *out = (sw_verdict)v;
            return 1;
        }
    }
    return 0;
}

static int read_whole(const field *f, double most, int *out)
{
    double number;
    if (!read_number(f, &number) || !(number >= 0.0 && number <= most) || number != floor(number))
        return 0;
    *out = (int)number;
    return 1;
}

/* What counts is the worse of the two. */
static int read_poor(const field f[FIELDS], sw_row *out)
{
    double lowest;
    int under;
    sw_verdict verdict;
    if (f[POOR].length == 0)
        return f[POOR_LOWEST].length == 0 && f[POOR_UNDER].length == 0;
    if (!read_verdict(&f[POOR], &verdict) || !read_number(&f[POOR_LOWEST], &lowest) ||
        !read_whole(&f[POOR_UNDER], 1e6, &under))
        return 0;
    out->verdict = verdict > out->verdict ? verdict : out->verdict;
    out->lowest_soc = fmin(out->lowest_soc, lowest / 100.0);
    out->under_days = under > out->under_days ? under : out->under_days;
    return 1;
}

int sw_report_row_read(const char *line, size_t length, sw_row *out)
{
    field f[FIELDS];
    double number, lowest;
    if (split(line, length, f) != FIELDS || !read_number(&f[NUMBER], &number) ||
        !(number >= 1.0 && number <= 1e15) || !read_verdict(&f[VERDICT], &out->verdict) ||
        !read_number(&f[LOWEST], &lowest) || !read_whole(&f[NIGHTS_HELD], 1e6, &out->nights_held) ||
        !read_whole(&f[NIGHTS], 1e6, &out->nights) || !read_whole(&f[UNDER_DAYS], 1e6, &out->under_days) ||
        !read_number(&f[MISSED], &out->missed_wh))
        return 0;
    out->number = (int64_t)number;
    out->lowest_soc = lowest / 100.0;
    return read_poor(f, out);
}
