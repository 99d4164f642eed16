// The tide in characters. Each column is an equal stretch of the trip and shows its lowest charge; eighths of
// a row in UTF-8, halves in ASCII.
#include "report/sketch.h"

#include "report/words.h"

#include <stdio.h>
#include <string.h>

enum { ROWS = 8, LEFT = 7, COLUMNS_MAX = 200 };

typedef struct strip {
    int columns;
    double lowest[COLUMNS_MAX];
    char rail[COLUMNS_MAX]; // ' ' day, '.' night, '>' drive, '=' hookup, '*' engine or generator
} strip;

/* Engine and generator run for an hour or two, where a column may be as long: a third of it shows them. */
static char rail_of(const sw_course *course, int32_t from, int32_t to)
{
    const sw_forcing *f = &course->forcing[SW_OUTLOOK_MAIN];
    int32_t dark = 0, driving = 0, shore = 0, running = 0, count = to - from;
    for (int32_t i = from; i < to; i++) {
        dark += (f->flags[i] & SW_STEP_DARK) != 0;
        driving += (f->flags[i] & SW_STEP_DRIVING) != 0;
        shore += (f->flags[i] & SW_STEP_SHORE) != 0;
        running += course->generator_share[i] > 0.0 || course->engine_share[i] > 0.0;
    }
    return 3 * running >= count   ? '*'
           : 2 * driving >= count ? '>'
           : 2 * shore >= count   ? '='
           : 2 * dark >= count    ? '.'
                                  : ' ';
}

static int64_t column_time(const sw_rehearsal *r, const strip *s, int column)
{
    return r->trip.start_s + (r->trip.end_s - r->trip.start_s) * column / s->columns;
}

static void fill_strip(const sw_rehearsal *r, strip *s)
{
    const sw_forcing *f = &r->course->forcing[SW_OUTLOOK_MAIN];
    int hour = 0;
    for (int c = 0; c < s->columns; c++) {
        int64_t from = column_time(r, s, c), to = column_time(r, s, c + 1);
        while (hour + 1 < r->hours && r->hour[hour].end_s <= from)
            hour++;
        s->lowest[c] = r->hour[hour].value[SW_LEDGER_LOWEST];
        for (int h = hour; h < r->hours && r->hour[h].start_s < to; h++)
            s->lowest[c] = r->hour[h].value[SW_LEDGER_LOWEST] < s->lowest[c]
                               ? r->hour[h].value[SW_LEDGER_LOWEST]
                               : s->lowest[c];
        int32_t first = (int32_t)((from - f->start_s) / f->step_s),
                last = (int32_t)((to - f->start_s) / f->step_s);
        last = last > first ? last : first + 1;
        s->rail[c] = rail_of(r->course, first, last > f->steps ? f->steps : last);
    }
}

static const char *cell(double filled, int reserve_row, int utf8)
{
    static const char *const eighths[] = {" ", "▁", "▂", "▃", "▄", "▅", "▆", "▇", "█"};
    if (filled <= 0.0)
        return !reserve_row ? " " : utf8 ? "┄" : "-";
    if (utf8)
        return eighths[(int)(filled >= 1.0 ? 8 : filled * 8.0 < 1.0 ? 1 : filled * 8.0)];
    return filled >= 1.0 ? "#" : filled >= 0.5 ? ":" : reserve_row ? "-" : "_";
}

static void draw_rows(const sw_rehearsal *r, const strip *s, const sw_report_style *style, page *out)
{
    double height = 100.0 / ROWS, reserve = 100.0 * r->plan->trip->reserve;
    char number[16];
    sw_words_exact(r->plan->trip->reserve, number);
    for (int row = ROWS - 1; row >= 0; row--) {
        double floor_pct = row * height;
        int reserve_row = reserve >= floor_pct && reserve < floor_pct + height;
        int end = s->columns; // no blanks at the end of a line
        while (end > 0 && !reserve_row && s->lowest[end - 1] <= floor_pct)
            end--;
        int labelled = row == ROWS - 1 || row == ROWS / 2 - 1;
        if (reserve_row)
            sw_page_add(out, strlen(number) > 3 ? "%s%% %s" : "%3s %% %s", number, style->utf8 ? "┄" : "-");
        else if (labelled && (int)(floor_pct + height) != (int)reserve)
            sw_page_add(out, "%3d %%%*s", (int)(floor_pct + height), end > 0 ? LEFT - 5 : 0, "");
        else
            sw_page_add(out, "%*s", end > 0 ? LEFT : 0, "");
        for (int c = 0; c < end; c++)
            sw_page_add(out, "%s", cell((s->lowest[c] - floor_pct) / height, reserve_row, style->utf8));
        sw_page_add(out, "\n");
    }
}

static void draw_rail(const strip *s, const sw_report_style *style, page *out)
{
    int end = s->columns;
    while (end > 0 && s->rail[end - 1] == ' ')
        end--;
    sw_page_add(out, "%*s", LEFT, "");
    for (int c = 0; c < end; c++) {
        if (s->rail[c] == '.' && style->utf8)
            sw_page_add(out, "·");
        else
            sw_page_add(out, "%c", s->rail[c]);
    }
    sw_page_add(out, "\n");
}

/* Day names under the column where the day begins, as long as there is room. */
static void draw_days(const sw_rehearsal *r, const strip *s, page *out)
{
    char line[COLUMNS_MAX + 32];
    int free_from = 0;
    memset(line, ' ', sizeof line);
    for (int d = 0; d < r->days; d++) {
        char date[24];
        double share =
            (double)(r->day[d].start_s - r->trip.start_s) / (double)(r->trip.end_s - r->trip.start_s);
        int at = (int)(share * s->columns);
        sw_words_date(r->course->itinerary->day[r->day[d].day].date, date, sizeof date);
        char *space = strrchr(date, ' ');
        if (d > 0 && s->columns < 10 * r->days && s->columns >= 7 * r->days && space != NULL)
            *space = '\0'; // without the month where days are narrow
        int length = (int)strlen(date);
        if (at < free_from || at + length > s->columns)
            continue;
        memcpy(line + at, date, (size_t)length);
        free_from = at + length + 1;
    }
    int end = s->columns;
    while (end > 0 && line[end - 1] == ' ')
        end--;
    sw_page_add(out, "%*s%.*s\n", LEFT, "", end, line);
}

static void explain_rail(const strip *s, const sw_report_style *style, page *out)
{
    static const struct {
        char mark;
        const char *says;
    } marks[] = {{'.', "night"}, {'>', "driving"}, {'=', "hookup"}, {'*', "engine or generator to charge"}};
    int said = 0;
    sw_page_add(out, "%*s", LEFT, "");
    for (int i = 0; i < (int)(sizeof marks / sizeof marks[0]); i++) {
        if (memchr(s->rail, marks[i].mark, (size_t)s->columns) == NULL)
            continue;
        sw_page_add(out, "%s%s %s", said++ ? "   " : "",
                    style->utf8 && marks[i].mark == '.' ? "·" : (char[2]){marks[i].mark, 0}, marks[i].says);
    }
    sw_page_add(out, "%s%s reserve line\n", said ? "   " : "", style->utf8 ? "┄" : "-");
}

void sw_sketch_charge(const sw_rehearsal *r, const sw_report_style *style, page *out)
{
    strip s = {.columns = style->width - LEFT - 1};
    s.columns = s.columns > COLUMNS_MAX ? COLUMNS_MAX : s.columns;
    fill_strip(r, &s);
    draw_rows(r, &s, style, out);
    draw_rail(&s, style, out);
    draw_days(r, &s, out);
    explain_rail(&s, style, out);
}
