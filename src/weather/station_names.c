// Finds stations by names as people write them. Names and questions become lower-case words without accents.
#include "stillwatt/stations.h"

#include <string.h>
#include <strings.h>

#define WORDS     16
#define WORD_SIZE 24
#define KEPT      16
#define NO_MATCH  (-1)
#define UNLIKE    4 /* cost of a word that resembles none of the name's */

typedef struct words {
    int count;
    char word[WORDS][WORD_SIZE];
} words;

/* Abbreviations and what they stand for, on both sides. */
static const char *const same[][2] = {
    {"ap", "airport"},     {"arpt", "airport"}, {"apt", "airport"},   {"intl", "international"},
    {"muni", "municipal"}, {"co", "county"},    {"rgnl", "regional"}, {"regl", "regional"},
    {"fld", "field"},      {"mem", "memorial"}, {"natl", "national"}, {"ft", "fort"},
    {"mt", "mount"},       {"saint", "st"},
};

/* Words that may be left out or added. */
static const char *const fillers[] = {"airport",  "international", "municipal", "regional", "county", "field",
                                      "memorial", "national",      "terminal",  "afb",      "awos",   "asos"};

/* ASCII letters for U+00C0 to U+017F. */
static const char folded[] = "aaaaaaaceeeeiiiidnooooo ouuuuyts"
                             "aaaaaaaceeeeiiiidnooooo ouuuuyty"
                             "aaaaaaccccccccddddeeeeeeeeeegggg"
                             "gggghhhhiiiiiiiiiiiijjkkklllllll"
                             "lllnnnnnnnnnoooooooorrrrrrssssss"
                             "ssttttttuuuuuuuuuuuuwwyyyzzzzzzs";

/* Takes a character. @return its letter or digit, ' ' between words, '\0' for one that is passed over */
static char fold(const unsigned char **at)
{
    unsigned c = *(*at)++;
    if (c >= 'A' && c <= 'Z')
        return (char)(c - 'A' + 'a');
    if ((c >= 'a' && c <= 'z') || (c >= '0' && c <= '9'))
        return (char)c;
    if (c == '\'')
        return '\0';
    if ((c & 0xE0) != 0xC0 || (**at & 0xC0) != 0x80)
        return ' ';
    unsigned point = (c & 0x1F) << 6 | (*(*at)++ & 0x3Fu);
    if (point >= 0x300 && point <= 0x36F) /* combining accents */
        return '\0';
    return point >= 0xC0 && point <= 0x17F ? folded[point - 0xC0] : ' ';
}

static void split(const char *text, words *out)
{
    const unsigned char *at = (const unsigned char *)text;
    int length = 0;
    out->count = 0;
    while (*at != '\0') {
        char c = fold(&at);
        if (c == ' ' && length > 0) {
            length = 0;
            out->count++;
        } else if (c != ' ' && c != '\0' && out->count < WORDS && length < WORD_SIZE - 1) {
            out->word[out->count][length++] = c;
            out->word[out->count][length] = '\0';
        }
    }
    out->count += length > 0;
}

static const char *full(const char *word)
{
    for (size_t i = 0; i < sizeof same / sizeof same[0]; i++)
        if (strcmp(word, same[i][0]) == 0)
            return same[i][1];
    return word;
}

static int is_filler(const char *word)
{
    for (size_t i = 0; i < sizeof fillers / sizeof fillers[0]; i++)
        if (strcmp(full(word), fillers[i]) == 0)
            return 1;
    return 0;
}

static int has_word(const words *in, const char *word)
{
    for (int i = 0; i < in->count; i++)
        if (strcmp(full(in->word[i]), full(word)) == 0)
            return 1;
    return 0;
}

/* How much the name says beyond the question: other words, fillers asked for in vain, other fillers. */
static int surplus(const words *asked, const words *name)
{
    int sum = 0;
    for (int i = 0; i < name->count; i++)
        if (!has_word(asked, name->word[i]))
            sum += is_filler(name->word[i]) ? 1 : 100;
    for (int i = 0; i < asked->count; i++)
        sum += is_filler(asked->word[i]) && !has_word(name, asked->word[i]) ? 2 : 0;
    return sum;
}

static int has_code(const sw_station *station, const char *code)
{
    return strcasecmp(station->region, code) == 0 || strcasecmp(station->country, code) == 0;
}

/* All words asked for must be in the name. Fillers may be absent unless nothing else is asked, or at the end
   where a region or country was looked for in vain. @return the surplus, or NO_MATCH */
static int match(const words *asked, const words *name, int last_counts)
{
    int solid = 0;
    for (int i = 0; i < asked->count; i++)
        solid += !is_filler(asked->word[i]);
    for (int i = 0; i < asked->count; i++) {
        int may_lack = solid > 0 && is_filler(asked->word[i]) && !(last_counts && i == asked->count - 1);
        if (!may_lack && !has_word(name, asked->word[i]))
            return NO_MATCH;
    }
    return surplus(asked, name);
}

/* Edit distance (insert, delete, replace) of short words. */
static int distance(const char *a, const char *b)
{
    int row[WORD_SIZE], columns = (int)strlen(b);
    for (int j = 0; j <= columns; j++)
        row[j] = j;
    for (int i = 1; a[i - 1] != '\0'; i++) {
        int diagonal = row[0];
        row[0] = i;
        for (int j = 1; j <= columns; j++) {
            int best = diagonal + (a[i - 1] != b[j - 1]);
            diagonal = row[j];
            best = row[j] + 1 < best ? row[j] + 1 : best;
            row[j] = row[j - 1] + 1 < best ? row[j - 1] + 1 : best;
        }
    }
    return row[columns];
}

static int word_cost(const char *word, const words *name)
{
    int length = (int)strlen(word), best = UNLIKE;
    for (int i = 0; i < name->count; i++) {
        int cost = distance(word, name->word[i]);
        if (length >= 3 && cost > 1 && strncmp(word, name->word[i], (size_t)length) == 0)
            cost = 1;
        best = cost <= (length + 1) / 3 && cost < best ? cost : best;
    }
    return best;
}

/* @return a rank by likeness, or NO_MATCH if no word resembles one of the name's */
static int resemble(const words *asked, const words *name)
{
    int cost = 0, unlike = 0, solid = 0;
    for (int i = 0; i < asked->count; i++) {
        if (is_filler(asked->word[i]))
            continue;
        int of_word = word_cost(asked->word[i], name);
        cost += of_word;
        unlike += of_word == UNLIKE;
        solid++;
    }
    return unlike == solid ? NO_MATCH : cost * 1000 + surplus(asked, name);
}

/* Stations that fit, the best KEPT of them in order of rank, lowest first. */
typedef struct ranked {
    int matches, kept, index[KEPT], rank[KEPT];
    int several_regions;
} ranked;

static int same_region(const sw_station *a, const sw_station *b)
{
    return strcmp(a->region, b->region) == 0 && strcmp(a->country, b->country) == 0;
}

static void note(ranked *list, const sw_station_table *table, int index, int rank)
{
    list->several_regions |= list->matches > 0 && !same_region(sw_stations_at(table, index),
                                                               sw_stations_at(table, list->index[0]));
    list->matches++;
    int at = list->kept;
    while (at > 0 && list->rank[at - 1] > rank)
        at--;
    if (at == KEPT)
        return;
    list->kept += list->kept < KEPT;
    for (int i = list->kept - 1; i > at; i--) {
        list->index[i] = list->index[i - 1];
        list->rank[i] = list->rank[i - 1];
    }
    list->index[at] = index;
    list->rank[at] = rank;
}

/* One station, or the best of several in one state or country if no other is as good. */
static int is_settled(const ranked *list)
{
    return list->matches == 1 ||
           (list->matches > 1 && !list->several_regions && list->rank[0] < list->rank[1]);
}

typedef enum ask { ASK_NAME, ASK_NAME_TO_ITS_LAST_WORD, ASK_LIKENESS } ask;

/* @param codes how many words at the end are codes that the station must have */
static void rank_all(const sw_station_table *table, const words *asked, int codes, ask how, ranked *list)
{
    words name, front = *asked;
    front.count -= codes;
    for (int i = 0; i < sw_stations_count(table); i++) {
        const sw_station *station = sw_stations_at(table, i);
        int has_codes = 1;
        for (int c = front.count; c < asked->count; c++)
            has_codes &= has_code(station, asked->word[c]);
        if (!has_codes)
            continue;
        split(station->name, &name);
        int rank = how == ASK_LIKENESS ? resemble(asked, &name)
                                       : match(&front, &name, how == ASK_NAME_TO_ITS_LAST_WORD);
        if (rank != NO_MATCH)
            note(list, table, i, rank);
    }
}

/* How many words at the end, two at most, are codes of a region or country; the first word never is. */
static int trailing_codes(const sw_station_table *table, const words *asked)
{
    int codes = 0;
    while (codes < 2 && codes + 1 < asked->count) {
        const char *word = asked->word[asked->count - 1 - codes];
        int known = 0;
        for (int i = 0; i < sw_stations_count(table) && !known; i++)
            known = has_code(sw_stations_at(table, i), word);
        if (!known)
            break;
        codes++;
    }
    return codes;
}

int sw_stations_find(const sw_station_table *table, const char *name, int *suggest, int room, int *suggested)
{
    words asked;
    split(name, &asked);
    ranked list = {0, 0, {0}, {0}, 0};
    *suggested = 0;
    if (asked.count == 0)
        return -1;
    int codes = trailing_codes(table, &asked);
    rank_all(table, &asked, codes, ASK_NAME, &list);
    if (list.matches == 0 && codes > 0)
        rank_all(table, &asked, 0, ASK_NAME_TO_ITS_LAST_WORD, &list);
    if (is_settled(&list))
        return list.index[0];
    if (list.matches == 0)
        rank_all(table, &asked, 0, ASK_LIKENESS, &list);
    for (; *suggested < list.kept && *suggested < room; ++*suggested)
        suggest[*suggested] = list.index[*suggested];
    return -1;
}
