// The nearest known word to a misspelt one, by the restricted Damerau-Levenshtein distance [damerau-1964].
#include "stillwatt/quantity.h"

#include <stdlib.h>
#include <string.h>

enum { LONGEST_WORD = 63 };

static int lower(char c)
{
    return c >= 'A' && c <= 'Z' ? c + ('a' - 'A') : c;
}

static int least(int a, int b)
{
    return a < b ? a : b;
}

// Insertions, deletions, changes and swaps of neighbours that turn one word into the other, no place edited
// twice.
static int distance(const char *a, int a_length, const char *b, int b_length)
{
    int row[3][LONGEST_WORD + 1];
    for (int j = 0; j <= b_length; j++)
        row[0][j] = j;
    for (int i = 1; i <= a_length; i++) {
        int *now = row[i % 3], *above = row[(i + 2) % 3], *above_that = row[(i + 1) % 3];
        now[0] = i;
        for (int j = 1; j <= b_length; j++) {
            int change = lower(a[i - 1]) != lower(b[j - 1]);
            now[j] = least(least(above[j], now[j - 1]) + 1, above[j - 1] + change);
            if (i > 1 && j > 1 && lower(a[i - 1]) == lower(b[j - 2]) && lower(a[i - 2]) == lower(b[j - 1]))
                now[j] = least(now[j], above_that[j - 2] + 1);
        }
    }
    return row[a_length % 3][b_length];
}

const char *sw_nearest_word(const char *word, const char *const *known, size_t count)
{
    size_t length = strlen(word);
    if (length > LONGEST_WORD)
        return NULL;
    int limit = length < 6 ? 1 : length < 9 ? 2 : 3;
    const char *nearest = NULL;
    for (size_t i = 0; i < count; i++) {
        size_t other = strlen(known[i]);
        if (other > LONGEST_WORD)
            continue;
        int apart = distance(word, (int)length, known[i], (int)other);
        // Words that share no letter in its place are not alike, however short they are.
        if (apart > limit || (apart > 0 && (size_t)apart >= (length > other ? length : other)))
            continue;
        nearest = known[i];
        limit = apart - 1;
        if (limit < 0)
            break;
    }
    return nearest;
}
