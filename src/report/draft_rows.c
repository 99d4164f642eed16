// Writes rows of keys as commented JSON.
#include "report/draft_rows.h"

#define WIDTH          80
#define COMMENT_COLUMN 40

void sw_draft_quote(page *p, const char *text)
{
    sw_page_add(p, "\"");
    for (; *text != '\0'; text++) {
        unsigned char c = (unsigned char)*text;
        if (c == '"' || c == '\\')
            sw_page_add(p, "\\%c", c);
        else if (c < 0x20 || c == 0x7F)
            sw_page_add(p, "\\u%04x", c);
        else
            sw_page_add(p, "%c", c);
    }
    sw_page_add(p, "\"");
}

void sw_draft_comment(page *p, int indent, const char *text)
{
    static const char mark[] = "        // ";
    const char *start = mark + 8 - indent;
    sw_page_wrap(p, WIDTH, start, start, text);
}

void sw_draft_temperature(page *p, double celsius, const draft_answers *a)
{
    char text[48];
    sw_quantity_write(celsius, SW_DIM_TEMPERATURE, a->units, text, sizeof text);
    sw_draft_quote(p, text);
}

static void add_value(page *p, const draft_row *row, const draft_answers *a)
{
    double grown = row->base + row->per_person * a->people;
    if (row->value != NULL)
        sw_page_add(p, "%s", row->value);
    else if (row->make != NULL)
        row->make(p, a);
    else if (row->unit != NULL)
        sw_page_add(p, "\"%g %s\"", grown, row->unit);
    else
        sw_page_add(p, "%g", grown);
}

void sw_draft_add_rows(page *p, int indent, const draft_row *rows, const draft_answers *a, int more)
{
    for (const draft_row *row = rows; row->key != NULL; row++) {
        size_t start = p->length;
        sw_page_add(p, "%*s\"%s\": ", indent, "", row->key);
        add_value(p, row, a);
        sw_page_add(p, "%s", more || row[1].key != NULL ? "," : "");
        int gap = COMMENT_COLUMN - (int)(p->length - start);
        if (row->says != NULL)
            sw_page_add(p, "%*s// %s", gap > 1 ? gap : 1, "", row->says);
        sw_page_add(p, "\n");
    }
}

static void open_brace(page *p, int indent, const char *name)
{
    sw_page_add(p, "%*s\"%s\": {\n", indent, "", name);
}

int sw_draft_add_object(page *p, int indent, const draft_object *object, const draft_answers *a)
{
    int inner = indent + (object->group != NULL ? 2 : 0);
    if (object->wanted != NULL && !object->wanted(a))
        return 0;
    if (object->group != NULL)
        open_brace(p, indent, object->group);
    sw_draft_comment(p, inner, object->says);
    open_brace(p, inner, object->name);
    sw_draft_add_rows(p, inner + 2, object->rows, a, 0);
    sw_page_add(p, "%*s}", inner, "");
    if (object->group != NULL)
        sw_page_add(p, "\n%*s}", indent, "");
    return 1;
}

// ---- the answers ----

static const struct {
    const char *says;
    unsigned files;
} answers[DRAFT_ANSWERS] = {
    [DRAFT_STATION] = {"weather station", DRAFT_TRIP},
    [DRAFT_FROM] = {"first day", DRAFT_TRIP},
    [DRAFT_NIGHTS] = {"nights", DRAFT_TRIP},
    [DRAFT_PEOPLE] = {"people", DRAFT_VAN},
    [DRAFT_PANELS] = {"solar panels", DRAFT_VAN},
    [DRAFT_BATTERY] = {"battery", DRAFT_VAN},
    [DRAFT_INVERTER] = {"inverter", DRAFT_VAN},
    [DRAFT_SHORE] = {"shore inlet", DRAFT_VAN},
    [DRAFT_DRIVING] = {"charging while driving", DRAFT_VAN},
    [DRAFT_FRIDGE] = {"compressor fridge", DRAFT_VAN},
    [DRAFT_COOKING] = {"cooking", DRAFT_VAN},
    [DRAFT_HEATER] = {"heater with a fan", DRAFT_VAN | DRAFT_TRIP},
    [DRAFT_LIGHTS] = {"hours of light", DRAFT_VAN},
    [DRAFT_LAPTOPS] = {"laptops", DRAFT_VAN},
    [DRAFT_FOLDER] = {"folder", 0},
};

unsigned sw_draft_answer_files(draft_answer answer)
{
    return answers[answer].files;
}

void sw_draft_add_answers(page *p, unsigned file, const draft_answers *a)
{
    sw_page_add(p, "// The answers behind it (default: nobody gave another):\n");
    for (int i = 0; i < DRAFT_ANSWERS; i++) {
        if ((answers[i].files & file) == 0)
            continue;
        sw_page_add(p, "//   %-23s ", answers[i].says);
        sw_draft_quote(p, a->said[i]);
        sw_page_add(p, "%s\n", (a->assumed >> i & 1u) != 0 ? "  (default)" : "");
    }
}
