// The arena: alignment, zeroed memory, no overlap, copies, sizes at the edge.
#include "files/arena.h"
#include "support/checks.h"

#include <stdalign.h>
#include <stddef.h>
#include <stdint.h>
#include <string.h>

START_TEST(every_piece_is_aligned_for_any_type)
{
    sw_arena *arena = sw_arena_create();
    for (size_t size = 0; size < 300; size++)
        ck_assert_uint_eq((uintptr_t)sw_arena_alloc(arena, size) % alignof(max_align_t), 0);
    sw_arena_free(arena);
}
END_TEST

static size_t bytes_other_than(unsigned char expected, const unsigned char *bytes, size_t size)
{
    size_t others = 0;
    for (size_t i = 0; i < size; i++)
        others += bytes[i] != expected;
    return others;
}

// Fills each piece with its own byte and looks at all of them at the end: sizes that fit, fill and exceed a
// chunk.
START_TEST(pieces_are_zeroed_and_never_overlap)
{
    enum { PIECES = 400 };
    static unsigned char *piece[PIECES];
    static size_t sizes[PIECES];
    sw_arena *arena = sw_arena_create();
    for (int i = 0; i < PIECES; i++) {
        sizes[i] = i % 50 == 49 ? 100000 + (size_t)i : (size_t)(i * 37 % 700);
        piece[i] = sw_arena_alloc(arena, sizes[i]);
        ck_assert_ptr_nonnull(piece[i]);
        ck_assert_uint_eq(bytes_other_than(0, piece[i], sizes[i]), 0);
        memset(piece[i], 1 + i % 255, sizes[i]);
    }
    for (int i = 0; i < PIECES; i++)
        ck_assert_uint_eq(bytes_other_than((unsigned char)(1 + i % 255), piece[i], sizes[i]), 0);
    sw_arena_free(arena);
}
END_TEST

START_TEST(pieces_of_no_size_have_addresses_of_their_own)
{
    sw_arena *arena = sw_arena_create();
    void *first = sw_arena_alloc(arena, 0);
    void *second = sw_arena_alloc(arena, 0);
    ck_assert_ptr_nonnull(first);
    ck_assert_ptr_nonnull(second);
    ck_assert_ptr_ne(first, second);
    sw_arena_free(arena);
}
END_TEST

START_TEST(a_size_that_no_memory_has_is_refused_and_the_arena_goes_on)
{
    sw_arena *arena = sw_arena_create();
    ck_assert_ptr_null(sw_arena_alloc(arena, SIZE_MAX));
    ck_assert_ptr_null(sw_arena_alloc(arena, SIZE_MAX / 2 + 1));
    ck_assert_ptr_nonnull(sw_arena_alloc(arena, 8));
    sw_arena_free(arena);
}
END_TEST

START_TEST(a_text_is_copied_with_its_end)
{
    sw_arena *arena = sw_arena_create();
    char original[] = "21 gal";
    char *copy = sw_arena_text(arena, original);
    original[0] = 'x';
    ck_assert_str_eq(copy, "21 gal");
    ck_assert_str_eq(sw_arena_text(arena, ""), "");
    sw_arena_free(arena);
}
END_TEST

START_TEST(no_arena_is_released_without_harm)
{
    sw_arena_free(NULL);
}
END_TEST

Suite *sw_suite(void)
{
    const TTest *const tests[] = {
        every_piece_is_aligned_for_any_type,
        pieces_are_zeroed_and_never_overlap,
        pieces_of_no_size_have_addresses_of_their_own,
        a_size_that_no_memory_has_is_refused_and_the_arena_goes_on,
        a_text_is_copied_with_its_end,
        no_arena_is_released_without_harm,
        NULL,
    };
    return sw_suite_of("arena", tests, 10);
}
