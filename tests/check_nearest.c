// The nearest known word, against a plain recursive definition of the distance.
#include "stillwatt/quantity.h"
#include "support/checks.h"

#include <ctype.h>
#include <stdint.h>
#include <stdio.h>
#include <string.h>

static const char *const keys[] = {"capacity", "health",   "reserve", "resistance",
                                   "series",   "parallel", "tilt"};
enum { KEYS = sizeof keys / sizeof keys[0] };

START_TEST(slips_of_the_finger_find_their_word)
{
    ck_assert_str_eq(sw_nearest_word("capasity", keys, KEYS), "capacity");
    ck_assert_str_eq(sw_nearest_word("Capacity", keys, KEYS), "capacity");
    ck_assert_str_eq(sw_nearest_word("paralell", keys, KEYS), "parallel");
    ck_assert_str_eq(sw_nearest_word("titl", keys, KEYS), "tilt");
    ck_assert_str_eq(sw_nearest_word("reserv", keys, KEYS), "reserve");
    ck_assert_str_eq(sw_nearest_word("tilt", keys, KEYS), "tilt");
}
END_TEST

START_TEST(words_that_are_not_alike_find_nothing)
{
    ck_assert_ptr_null(sw_nearest_word("voltage", keys, KEYS));
    ck_assert_ptr_null(sw_nearest_word("til", (const char *const[]){"roof"}, 1));
    ck_assert_ptr_null(sw_nearest_word("", keys, KEYS));
    ck_assert_ptr_null(sw_nearest_word("tilt", keys, 0));
    ck_assert_ptr_null(sw_nearest_word("x", (const char *const[]){"w"}, 1));
    ck_assert_str_eq(sw_nearest_word("W", (const char *const[]){"J", "Wh"}, 2), "Wh");
}
END_TEST

START_TEST(of_equally_near_words_the_first_is_taken)
{
    ck_assert_str_eq(sw_nearest_word("cat", (const char *const[]){"car", "cab", "bat"}, 3), "car");
    ck_assert_str_eq(sw_nearest_word("cat", (const char *const[]){"car", "CAT", "cat"}, 3), "CAT");
}
END_TEST

START_TEST(words_of_any_length_do_no_harm)
{
    static char longest[100001];
    memset(longest, 'a', sizeof longest - 1);
    const char *known[] = {longest, "tilt"};
    ck_assert_ptr_null(sw_nearest_word(longest, known, 2));
    ck_assert_str_eq(sw_nearest_word("tlit", known, 2), "tilt");
    char edge[65] = "";
    memset(edge, 'b', 63);
    ck_assert_ptr_eq(sw_nearest_word(edge, (const char *const[]){edge}, 1), edge);
    edge[63] = 'b';
    ck_assert_ptr_null(sw_nearest_word(edge, (const char *const[]){edge}, 1));
}
END_TEST

// The distance of [damerau-1964] as its definition says it, on suffixes, exponential in time.
static int slow_distance(const char *a, const char *b)
{
    if (*a == '\0' || *b == '\0')
        return (int)(strlen(a) + strlen(b));
    int best = slow_distance(a + 1, b + 1) + (tolower(*a) != tolower(*b));
    int other = slow_distance(a + 1, b) + 1;
    best = other < best ? other : best;
    other = slow_distance(a, b + 1) + 1;
    best = other < best ? other : best;
    if (a[1] != '\0' && b[1] != '\0' && tolower(a[0]) == tolower(b[1]) && tolower(a[1]) == tolower(b[0])) {
        other = slow_distance(a + 2, b + 2) + 1;
        best = other < best ? other : best;
    }
    return best;
}

static const char *slow_nearest(const char *word, const char *const *known, size_t count)
{
    int length = (int)strlen(word);
    int allowed = length / 3 < 1 ? 1 : length / 3 > 3 ? 3 : length / 3;
    const char *best = NULL;
    int least = allowed + 1;
    for (size_t i = 0; i < count; i++) {
        int other = (int)strlen(known[i]);
        int apart = slow_distance(word, known[i]);
        int all = length > other ? length : other;
        if (apart < least && (apart < all || apart == 0)) {
            least = apart;
            best = known[i];
        }
    }
    return best;
}

static uint32_t random_state = 2463534242u;

static uint32_t next_random(uint32_t below)
{
    random_state ^= random_state << 13;
    random_state ^= random_state >> 17;
    random_state ^= random_state << 5;
    return random_state % below;
}

START_TEST(the_distance_agrees_with_its_definition)
{
    int found = 0;
    for (int trial = 0; trial < 3000; trial++) {
        char words[4][8];
        for (int i = 0; i < 4; i++) {
            size_t length = next_random(8);
            for (size_t k = 0; k < length; k++)
                words[i][k] = "abcB"[next_random(4)];
            words[i][length] = '\0';
        }
        const char *known[] = {words[1], words[2], words[3]};
        const char *nearest = sw_nearest_word(words[0], known, 3);
        ck_assert_msg(nearest == slow_nearest(words[0], known, 3), "%s: %s %s %s", words[0], words[1],
                      words[2], words[3]);
        found += nearest != NULL;
    }
    ck_assert_int_gt(found, 300);
    ck_assert_int_lt(found, 2700);
}
END_TEST

Suite *sw_suite(void)
{
    const TTest *const tests[] = {
        slips_of_the_finger_find_their_word,      words_that_are_not_alike_find_nothing,
        of_equally_near_words_the_first_is_taken, words_of_any_length_do_no_harm,
        the_distance_agrees_with_its_definition,  NULL,
    };
    return sw_suite_of("nearest", tests, 10);
}
