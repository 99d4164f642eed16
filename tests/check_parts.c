// The library of parts: each file is accepted, alone and in a van, says what it is, and says of each value
// whether it is typical, invented or published.
#include "support/checks.h"
#include "support/complaints.h"
#include "support/memory_loader.h"

#include "stillwatt/document.h"
#include "stillwatt/quantity.h"
#include "stillwatt/reader.h"

#include <stdio.h>
#include <string.h>

#define FOLDER      SW_SOURCE_DIR "/profiles/parts"
#define PARTS_LEAST 50
#define PARTS_MOST  500
enum { KINDS = 10 };

static const char *const kinds[KINDS] = {"battery",  "array", "controller", "alternator", "shore",
                                         "inverter", "load",  "generator",  "tank",       "starter"};
static const char *const marks[] = {"// typical: ", "// invented: ", "// published: "};
enum { MARKS = sizeof marks / sizeof marks[0] };

static complaints found; // large, so not on the stack
static sw_loader disk;
static sw_text files; // the names in the folder, each ended by LF

static void set_up(void)
{
    char reason[200] = "";
    disk = sw_disk_loader(SW_SOURCE_DIR);
    found = (complaints){.count = 0};
    ck_assert_msg(disk.load(disk.context, SW_RESOURCE_FOLDER, FOLDER, NULL, &files, reason) == SW_OK, "%s",
                  reason);
}

static void tear_down(void)
{
    sw_text_free(&files);
}

/* The next name of the folder from `*at` on, without ".json"; moves `*at` behind it. */
static int next_name(const char **at, char name[64])
{
    char file[128];
    int length = 0;
    if (sscanf(*at, "%127[^\n]\n%n", file, &length) != 1)
        return 0;
    *at += length;
    size_t stem = strlen(file) - strlen(".json");
    ck_assert_msg(strlen(file) > strlen(".json") && strcmp(file + stem, ".json") == 0 && stem < 64,
                  "%s is no name of a part file", file);
    memcpy(name, file, stem);
    name[stem] = '\0';
    return 1;
}

/* The text of a part's file; released with sw_text_free. */
static sw_text text_of(const char *name)
{
    char path[512], reason[200] = "";
    sw_text text = {0};
    snprintf(path, sizeof path, FOLDER "/%s.json", name);
    ck_assert_msg(disk.load(disk.context, SW_RESOURCE_FILE, path, NULL, &text, reason) == SW_OK, "%s: %s",
                  path, reason);
    return text;
}

/* A text of a document, "" if it is not there. */
static const char *word_of(const sw_node *object, const char *key)
{
    const sw_node *node = sw_node_member(object, key);
    return node != NULL && node->text != NULL ? node->text : "";
}

static int kind_of(const sw_node *root)
{
    int kind = 0;
    while (kind < KINDS && strcmp(kinds[kind], word_of(root, "kind")) != 0)
        kind++;
    return kind;
}

// ---- what stands above the braces ----

typedef struct marked {
    char key[64];
    char source[160]; // what follows in round brackets, "" if nothing does
    int mark, line;
} marked;

typedef struct head {
    marked row[64];
    int rows, sentence_lines;
} head;

/* Keys that choose one of a few words, or say when: they say how a part is used and have nothing to measure.
 */
static int is_word(const char *key)
{
    static const char *const words[] = {
        "kind", "bus",   "held", "chemistry",   "mounting", "fixed_to", "deployed", "when",      "place",
        "seat", "hours", "path", "heater_from", "at_idle",  "medical",  "stored",   "comes_back"};
    for (size_t i = 0; i < sizeof words / sizeof words[0]; i++)
        if (strcmp(words[i], key) == 0)
            return 1;
    return 0;
}

/* "rating, price (90 USD to 140 USD), mass": keys with commas between, each with what follows it in brackets.
 */
static void read_mark(const char *list, int mark, const char *file, int line, head *out, complaints *c)
{
    for (int length; *list != '\0'; list += length) {
        marked row = {.mark = mark, .line = line};
        length = 0;
        if (out->rows == 64 || sscanf(list, "%63[a-z_]%n", row.key, &length) != 1) {
            complain_at(c, file, line, "a key is expected at \"%.20s\"", list);
            return;
        }
        int more = 0;
        if (sscanf(list + length, " (%159[^)])%n", row.source, &more) == 1 && more > 0)
            length += more;
        if (strncmp(list + length, ", ", 2) == 0)
            length += 2;
        else if (list[length] != '\0')
            complain_at(c, file, line, "a comma is expected at \"%.20s\"", list + length);
        out->row[out->rows++] = row;
        if (list[length - 1] != ' ' && list[length] != '\0')
            return; // told
    }
}

static int mark_of(const char *line)
{
    int mark = 0;
    while (mark < MARKS && strncmp(line, marks[mark], strlen(marks[mark])) != 0)
        mark++;
    return mark;
}

/* A sentence of one or more lines first, then the marks, then the braces. */
static void read_head(const char *text, const char *file, head *out, complaints *c)
{
    char line[256], last = ' ';
    *out = (head){.rows = 0};
    for (int number = 1; sscanf(text, "%255[^\n]", line) == 1 && line[0] != '{'; number++) {
        int mark = mark_of(line);
        text += strlen(line) + (text[strlen(line)] == '\n');
        if (mark < MARKS)
            read_mark(line + strlen(marks[mark]), mark, file, number, out, c);
        else if (strncmp(line, "// ", 3) != 0 || out->rows > 0)
            complain_at(c, file, number, "a comment or a mark is expected, not \"%.40s\"", line);
        else
            out->sentence_lines++, last = line[strlen(line) - 1];
        if (strlen(line) > 120)
            complain_at(c, file, number, "the line is longer than 120 columns");
    }
    if (out->sentence_lines == 0 || last != '.')
        complain_at(c, file, 1, "the file does not begin with a sentence that ends in a full stop");
}

static int times_marked(const head *h, const char *key)
{
    int times = 0;
    for (int i = 0; i < h->rows; i++)
        times += strcmp(h->row[i].key, key) == 0;
    return times;
}

// ---- marks and keys ----

static void check_every_key_is_marked(const head *h, const sw_node *is, const char *file, complaints *c)
{
    for (const sw_node *key = is->first; key != NULL; key = key->next) {
        int line, column, times = times_marked(h, key->key), wanted = is_word(key->key) ? 0 : 1;
        sw_document_position(key->document, key->key_offset, &line, &column);
        if (times != wanted)
            complain_at(c, file, line, "\"%s\" stands under %d marks, not under %d", key->key, times, wanted);
    }
}

static void check_every_mark_has_its_key(const head *h, const sw_node *is, const char *file, complaints *c)
{
    for (int i = 0; i < h->rows; i++) {
        const marked *row = &h->row[i];
        if (sw_node_member(is, row->key) == NULL)
            complain_at(c, file, row->line, "\"%s\" is marked, but the part does not give it", row->key);
        if (strcmp(marks[row->mark], "// published: ") == 0 && row->source[0] == '\0')
            complain_at(c, file, row->line, "\"%s\" is published, but where is not said", row->key);
    }
}

static int money_of(const char *text, sw_quantity *out)
{
    return sw_quantity_read(text, SW_DIM_MONEY, out) == SW_QUANTITY_OK;
}

/* The price is marked as "price (180 USD to 280 USD)" and lies within. */
static void check_price(const head *h, const sw_node *is, const char *file, complaints *c)
{
    const marked *row = h->row;
    while (row < h->row + h->rows && strcmp(row->key, "price") != 0)
        row++;
    char low[32] = "", high[32] = "";
    sw_quantity least, most, price;
    if (row == h->row + h->rows || sscanf(row->source, "%31[^t] to %31[^t]", low, high) != 2 ||
        !money_of(low, &least) || !money_of(high, &most) || !money_of(word_of(is, "price"), &price))
        complain_at(c, file, 1, "the price and its range are wanted, as \"price (180 USD to 280 USD)\"");
    else if (strcmp(least.unit, price.unit) != 0 || strcmp(most.unit, price.unit) != 0)
        complain_at(c, file, row->line, "the price is in another currency than its range");
    else if (!(least.value < most.value && least.value <= price.value && price.value <= most.value))
        complain_at(c, file, row->line, "the price of %s lies outside of its range, %s", word_of(is, "price"),
                    row->source);
}

static void check_mass(const sw_node *is, const char *file, complaints *c)
{
    sw_quantity mass;
    if (sw_quantity_read(word_of(is, "mass"), SW_DIM_MASS, &mass) != SW_QUANTITY_OK || mass.value <= 0.0)
        complain_at(c, file, 1, "the mass is wanted, above 0");
}

static void check_text(const sw_text *text, const char *file, complaints *c)
{
    head h;
    sw_document *document = NULL;
    if (sw_document_read(text->bytes, text->length, file, NULL, &document) != SW_OK) {
        complain_at(c, file, 1, "this is no JSON with comments");
        return;
    }
    const sw_node *is = sw_node_member(sw_document_root(document), "is");
    read_head(text->bytes, file, &h, c);
    if (is == NULL)
        complain_at(c, file, 1, "\"is\" is not there");
    else {
        check_every_key_is_marked(&h, is, file, c);
        check_every_mark_has_its_key(&h, is, file, c);
        check_price(&h, is, file, c);
        check_mass(is, file, c);
    }
    sw_document_free(document);
}

START_TEST(every_value_is_marked_and_every_price_lies_in_its_range)
{
    char name[64];
    int count = 0;
    for (const char *at = files.bytes; next_name(&at, name); count++) {
        sw_text text = text_of(name);
        check_text(&text, name, &found);
        sw_text_free(&text);
    }
    ck_assert_msg(found.count == 0, "%d are wrong:\n%s", found.count, found.text);
    ck_assert_int_ge(count, PARTS_LEAST);
}
END_TEST

/* The checker's own check. */
START_TEST(what_is_wrong_with_a_part_is_seen)
{
    static const struct {
        const char *head, *is, *says;
    } cases[] = {
        {"// A.\n// typical: mass\n// invented: price (1 USD to 3 USD)\n", "\"mass\": \"1 kg\"", NULL},
        {"// A\n// b.\n// invented: price (1 USD to 3 USD), mass\n", "\"mass\": \"1 lb\", \"seat\": \"rear\"",
         NULL},
        {"// A.\n// invented: price (1 USD to 3 USD)\n", "\"mass\": \"1 kg\"",
         "\"mass\" stands under 0 marks"},
        {"// A.\n// typical: mass\n// invented: price (1 USD to 3 USD), mass\n", "\"mass\": \"1 kg\"",
         "\"mass\" stands under 2 marks"},
        {"// A.\n// invented: price (1 USD to 3 USD), mass, seat\n", "\"mass\": \"1 kg\", \"seat\": \"rear\"",
         "\"seat\" stands under 1 marks, not under 0"},
        {"// A.\n// typical: idle\n// invented: price (1 USD to 3 USD), mass\n", "\"mass\": \"1 kg\"",
         "p:2: \"idle\" is marked, but the part does not give it"},
        {"// A.\n// published: mass\n// invented: price (1 USD to 3 USD)\n", "\"mass\": \"1 kg\"",
         "where is not said"},
        {"// A.\n// published: mass (a table, of 2001)\n// invented: price (1 USD to 3 USD)\n",
         "\"mass\": \"1 kg\"", NULL},
        {"// A.\n// invented: price (3 USD to 4 USD), mass\n", "\"mass\": \"1 kg\"",
         "p:2: the price of 2 USD lies outside of its range, 3 USD to 4 USD"},
        {"// A.\n// invented: price (1 EUR to 4 EUR), mass\n", "\"mass\": \"1 kg\"", "another currency"},
        {"// A.\n// invented: price, mass\n", "\"mass\": \"1 kg\"", "the price and its range are wanted"},
        {"// A.\n// invented: price (1 USD to 3 USD)\n", "\"seat\": \"rear\"", "the mass is wanted"},
        {"// A.\n// invented: price (1 USD to 3 USD) mass\n", "\"mass\": \"1 kg\"", "a comma is expected"},
        {"// A.\n// invented: price (1 USD to 3 USD), 5\n", "\"mass\": \"1 kg\"", "a key is expected"},
        {"// A.\n// invented: price (1 USD to 3 USD), mass\n// B.\n", "\"mass\": \"1 kg\"", "not \"// B.\""},
        {"// A\n// invented: price (1 USD to 3 USD), mass\n", "\"mass\": \"1 kg\"", "ends in a full stop"},
        {"// invented: price (1 USD to 3 USD), mass\n", "\"mass\": \"1 kg\"", "begin with a sentence"},
    };
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
        char bytes[512];
        snprintf(bytes, sizeof bytes, "%s{\"is\": {\"price\": \"2 USD\", %s}}\n", cases[i].head, cases[i].is);
        found = (complaints){.count = 0};
        check_text(&(sw_text){.bytes = bytes, .length = strlen(bytes)}, "p", &found);
        ck_assert_msg(cases[i].says == NULL ? found.count == 0 : strstr(found.text, cases[i].says) != NULL,
                      "case %zu says: %s", i, found.text);
    }
}
END_TEST

// ---- names ----

START_TEST(names_are_short_and_no_two_parts_share_one)
{
    static sw_document *document[PARTS_MOST];
    char name[64];
    int count = 0;
    for (const char *at = files.bytes; next_name(&at, name); count++) {
        sw_text text = text_of(name);
        ck_assert_int_lt(count, PARTS_MOST);
        ck_assert_int_eq(sw_document_read(text.bytes, text.length, name, NULL, &document[count]), SW_OK);
        sw_text_free(&text);
        ck_assert_msg(strlen(name) <= 28 &&
                          strspn(name, "abcdefghijklmnopqrstuvwxyz0123456789-") == strlen(name),
                      "%s: lower case, digits and dashes", name);
        const char *called = word_of(sw_document_root(document[count]), "name");
        for (int i = 0; i < count; i++)
            ck_assert_msg(strcmp(word_of(sw_document_root(document[i]), "name"), called) != 0,
                          "%s and %s are both called \"%s\"", sw_document_name(document[i]), name, called);
    }
    for (int i = 0; i < count; i++)
        sw_document_free(document[i]);
}
END_TEST

// ---- the reader ----

static void assert_silent(const sw_messages *messages, const char *name)
{
    char text[1024] = "";
    if (sw_messages_count(messages) > 0)
        sw_message_format(sw_messages_at(messages, 0), text, sizeof text);
    ck_assert_msg(sw_messages_count(messages) == 0, "%s: %s", name, text);
}

START_TEST(every_part_is_accepted_without_a_message)
{
    char name[64], path[512];
    for (const char *at = files.bytes; next_name(&at, name);) {
        sw_messages *messages = sw_messages_create();
        sw_file_kind kind = SW_FILE_VAN;
        sw_plan *plan = NULL;
        snprintf(path, sizeof path, FOLDER "/%s.json", name);
        sw_status status = sw_read_any(&disk, path, messages, &kind, &plan);
        assert_silent(messages, name);
        ck_assert_msg(status == SW_OK && kind == SW_FILE_PART && plan == NULL, "%s is no part", name);
        sw_messages_free(messages);
    }
}
END_TEST

/* A van with nothing but what the part of a kind needs around it. Panels stand two in series: a single one of
   18 V is too low for the reader to be silent about it. */
static const struct {
    const char *key, *of_part, *end, *otherwise;
} places[KINDS] = {
    {"battery", "{\"part\": \"", "\"}", "{\"chemistry\": \"lifepo4\", \"capacity\": \"100 Ah\"}"},
    {"arrays", "{\"a\": {\"part\": \"", "\", \"panels\": 2, \"series\": 2}}", "{}"},
    {"controller", "{\"part\": \"", "\"}", "{\"limit\": \"30 A\"}"},
    {"alternator", "{\"part\": \"", "\"}", "{\"converter_output\": \"360 W\"}"},
    {"shore", "{\"part\": \"", "\"}",
     "{\"inlet_current\": \"30 A\", \"inlet_voltage\": \"120 V\", \"charger_output\": \"500 W\"}"},
    {"inverter", "{\"part\": \"", "\"}", "{\"rating\": \"2000 W\"}"},
    {"loads", "{\"a\": {\"part\": \"", "\"}}", "{}"},
    {"generator", "{\"part\": \"", "\"}", "{\"rating\": \"1000 W\"}"},
    {"tanks", "{\"fresh\": {\"part\": \"", "\"}}", "{}"},
    {"starter", "{\"part\": \"", "\"}", "{}"},
};

static void write_van(int kind, const char *name, char *van, size_t size)
{
    snprintf(van, size, "{\"format\": \"stillwatt van 1\", \"name\": \"v\"");
    for (int i = 0; i < KINDS; i++) {
        size_t used = strlen(van);
        if (i == kind)
            snprintf(van + used, size - used, ", \"%s\": %s%s%s", places[i].key, places[i].of_part, name,
                     places[i].end);
        else
            snprintf(van + used, size - used, ", \"%s\": %s", places[i].key, places[i].otherwise);
    }
    snprintf(van + strlen(van), size - strlen(van), "}");
}

/* What a part alone does not tell: whether its values go together (an inverter's three figures, what a kind
   of load needs) is seen where it stands in a van. */
static void read_in_a_van(int kind, const char *name)
{
    char van[2048];
    write_van(kind, name, van, sizeof van);
    memory_files memory = {.file = (const memory_file[]){{"van.json", van}, {NULL, NULL}}};
    sw_loader loader = memory_loader(&memory);
    sw_messages *messages = sw_messages_create();
    sw_plan *plan = NULL;
    sw_status status = sw_read_van(&loader, "van.json", messages, &plan);
    assert_silent(messages, name);
    ck_assert_msg(status == SW_OK, "%s in a van: %s", name, van);
    sw_plan_free(plan);
    sw_messages_free(messages);
}

START_TEST(every_part_does_its_work_in_a_van)
{
    char name[64];
    int of_kind[KINDS] = {0}, count = 0;
    for (const char *at = files.bytes; next_name(&at, name); count++) {
        sw_text text = text_of(name);
        sw_document *document = NULL;
        ck_assert_int_eq(sw_document_read(text.bytes, text.length, name, NULL, &document), SW_OK);
        int kind = kind_of(sw_document_root(document));
        sw_document_free(document);
        sw_text_free(&text);
        ck_assert_msg(kind < KINDS, "%s is of no kind that is known", name);
        of_kind[kind]++;
        read_in_a_van(kind, name);
    }
    printf("%d parts:", count);
    for (int i = 0; i < KINDS; i++)
        printf(" %s %d%s", kinds[i], of_kind[i], i + 1 < KINDS ? "," : "\n");
    ck_assert_int_ge(count, PARTS_LEAST);
}
END_TEST

Suite *sw_suite(void)
{
    const TTest *const tests[] = {
        every_value_is_marked_and_every_price_lies_in_its_range,
        what_is_wrong_with_a_part_is_seen,
        names_are_short_and_no_two_parts_share_one,
        every_part_is_accepted_without_a_message,
        every_part_does_its_work_in_a_van,
        NULL,
    };
    return sw_suite_with("parts", tests, 60, set_up, tear_down);
}
