// Decimal numerals to doubles: short ones by one exact division or product [clinger-1990], the others by the
// long division of big integers, one bit at a time: slow, plain, exact.
#include "files/decimal.h"

#include <math.h>
#include <stdint.h>
#include <stdio.h>
#include <string.h>

enum {
    SHORT_DIGITS = 15,      // any 15 digits are an exact double
    SHORT_POWER = 22,       // 10^22 is the last power of ten that is an exact double
    KEPT_DIGITS = 800,      // a tie between two doubles has at most 767 digits; what follows only breaks it
    EXPONENT_LIMIT = 99999, // stops the sum of exponent digits; beyond any double even after KEPT_DIGITS
    LARGEST_POWER = 309,    // of ten, of the first digit: 1e309 is too large
    SMALLEST_POWER = -325,  // and 1e-325 too small
    LIMBS = 96              // 3072 bits; 10^KEPT_DIGITS and 5^(325 + KEPT_DIGITS) take at most 2658
};

struct numeral {
    unsigned char
        digits[KEPT_DIGITS + 1]; // without leading zeros; the last one may stand for all that follow
    int count;
    long power; // of ten, of the last kept digit
    int negative;
};

struct big {
    uint32_t limb[LIMBS]; // least significant first
    int used;
};

static void add_digit(struct numeral *n, unsigned char digit, int after_point)
{
    if (n->count == 0 && digit == 0) {
        n->power -= after_point;
    } else if (n->count < KEPT_DIGITS) {
        n->digits[n->count++] = digit;
        n->power -= after_point;
    } else {
        // Not kept: only whether all of the rest is zero matters.
        n->digits[KEPT_DIGITS] |= digit;
        n->power += !after_point;
    }
}

static long read_exponent(const char *text, const char *end)
{
    int negative = text < end && *text == '-';
    if (text < end && (*text == '-' || *text == '+'))
        text++;
    long exponent = 0;
    for (; text < end; text++)
        exponent = exponent > EXPONENT_LIMIT * 100L ? exponent : exponent * 10 + (*text - '0');
    return negative ? -exponent : exponent;
}

static void read_numeral(const char *text, size_t length, struct numeral *n)
{
    const char *end = text + length;
    int after_point = 0;
    memset(n, 0, sizeof *n);
    for (; text < end && *text != 'e' && *text != 'E'; text++) {
        if (*text == '-')
            n->negative = 1;
        else if (*text == '.')
            after_point = 1;
        else if (*text != ',')
            add_digit(n, (unsigned char)(*text - '0'), after_point);
    }
    if (text < end)
        n->power += read_exponent(text + 1, end);
    if (n->digits[KEPT_DIGITS] != 0) {
        n->digits[KEPT_DIGITS] = 1;
        n->count++;
        n->power--;
    }
}

static double short_value(const struct numeral *n)
{
    static const double tens[SHORT_POWER + 1] = {1e0,  1e1,  1e2,  1e3,  1e4,  1e5,  1e6,  1e7,
                                                 1e8,  1e9,  1e10, 1e11, 1e12, 1e13, 1e14, 1e15,
                                                 1e16, 1e17, 1e18, 1e19, 1e20, 1e21, 1e22};
    double value = 0;
    for (int i = 0; i < n->count; i++)
        value = value * 10 + n->digits[i];
    return n->power < 0 ? value / tens[-n->power] : value * tens[n->power];
}

static void big_multiply_add(struct big *b, uint32_t factor, uint32_t addend)
{
    uint64_t carry = addend;
    for (int i = 0; i < b->used; i++) {
        carry += (uint64_t)b->limb[i] * factor;
        b->limb[i] = (uint32_t)carry;
        carry >>= 32;
    }
    if (carry != 0)
        b->limb[b->used++] = (uint32_t)carry;
}

static void big_multiply_by_power_of_5(struct big *b, long power)
{
    for (; power >= 13; power -= 13)
        big_multiply_add(b, 1220703125u, 0); // 5^13, the largest below 2^32
    for (; power > 0; power--)
        big_multiply_add(b, 5, 0);
}

static int big_bits(const struct big *b)
{
    int bits = (b->used - 1) * 32;
    for (uint32_t top = b->limb[b->used - 1]; top != 0; top >>= 1)
        bits++;
    return bits;
}

static void big_shift_up(struct big *b, int bits)
{
    for (; bits >= 31; bits -= 31)
        big_multiply_add(b, (uint32_t)1 << 31, 0);
    big_multiply_add(b, (uint32_t)1 << bits, 0);
}

static void trim(struct big *b)
{
    while (b->used > 0 && b->limb[b->used - 1] == 0)
        b->used--;
}

static int big_at_least(const struct big *a, const struct big *b)
{
    if (a->used != b->used)
        return a->used > b->used;
    for (int i = a->used - 1; i >= 0; i--)
        if (a->limb[i] != b->limb[i])
            return a->limb[i] > b->limb[i];
    return 1;
}

static void big_subtract(struct big *a, const struct big *b)
{
    int64_t borrow = 0;
    for (int i = 0; i < a->used; i++) {
        borrow += (int64_t)a->limb[i] - (i < b->used ? b->limb[i] : 0);
        a->limb[i] = (uint32_t)borrow;
        borrow >>= 32;
    }
    trim(a);
}

// The 64 leading bits of top/bottom; `exponent` becomes that of the first of them, `rest` tells if more
// follow.
static uint64_t leading_bits(struct big *top, struct big *bottom, int *exponent, int *rest)
{
    int shift = big_bits(top) - big_bits(bottom);
    big_shift_up(shift < 0 ? top : bottom, shift < 0 ? -shift : shift);
    uint64_t bits = 0;
    // The quotient now lies between 1/2 and 2, so that its first bit may be a zero, which is dropped.
    for (*exponent = shift + 63; bits >> 63 == 0; (*exponent)--) {
        bits <<= 1;
        if (big_at_least(top, bottom)) {
            big_subtract(top, bottom);
            bits |= 1;
        }
        big_shift_up(top, 1);
    }
    *exponent += 1;
    *rest = top->used > 0;
    return bits;
}

// Rounds bits x 2^(exponent - 63) to the 53 bits of a double, or to the fewer that a small one has (IEEE
// 754).
static double rounded(uint64_t bits, int exponent, int rest)
{
    int dropped = exponent >= -1022 ? 11 : 11 + (-1022 - exponent);
    if (dropped > 64)
        return 0;
    uint64_t kept = dropped == 64 ? 0 : bits >> dropped;
    uint64_t half = (uint64_t)1 << (dropped - 1);
    uint64_t below = bits & (half - 1);
    if ((bits & half) != 0 && (below != 0 || rest || (kept & 1) != 0))
        kept++;
    return ldexp((double)kept, exponent - 63 + dropped);
}

static double long_value(const struct numeral *n)
{
    struct big top = {.used = 0}, bottom = {.limb = {1}, .used = 1};
    for (int i = 0; i < n->count; i++)
        big_multiply_add(&top, 10, n->digits[i]);
    big_multiply_by_power_of_5(n->power < 0 ? &bottom : &top, n->power < 0 ? -n->power : n->power);
    int exponent, rest;
    uint64_t bits = leading_bits(&top, &bottom, &exponent, &rest);
    return rounded(bits, exponent + (int)n->power, rest);
}

sw_decimal_fit sw_decimal_read(const char *text, size_t length, double *value)
{
    struct numeral n;
    read_numeral(text, length, &n);
    *value = 0;
    long first_power = n.power + n.count - 1;
    if (n.count == 0)
        *value = 0;
    else if (first_power >= LARGEST_POWER)
        return SW_DECIMAL_TOO_LARGE;
    else if (first_power <= SMALLEST_POWER)
        return SW_DECIMAL_TOO_SMALL;
    else if (n.count <= SHORT_DIGITS && n.power >= -SHORT_POWER && n.power <= SHORT_POWER)
        *value = short_value(&n);
    else
        *value = long_value(&n);
    if (n.count > 0 && *value == 0)
        return SW_DECIMAL_TOO_SMALL;
    int finite = isfinite(*value);
    *value = !finite ? 0 : n.negative ? -*value : *value;
    return finite ? SW_DECIMAL_FITS : SW_DECIMAL_TOO_LARGE;
}

/* Only what stands between the whole digits and the decimals depends on the locale, where it need not be one
   byte: it is left out, and a point put there. */
int sw_decimal_write(double value, int decimals, char *buffer, size_t size)
{
    char text[360]; // the largest double has 309 whole digits
    if (!isfinite(value))
        decimals = 0;
    int length = snprintf(text, sizeof text, "%.*f", decimals, value);
    const char *fraction = text + length - decimals;
    int whole = decimals > 0 ? (int)strspn(text, "-0123456789") : length;
    while (decimals > 0 && fraction[decimals - 1] == '0')
        decimals--;
    if (decimals > 0)
        return snprintf(buffer, size, "%.*s.%.*s", whole, text, decimals, fraction);
    int is_negative_zero = whole == 2 && text[0] == '-' && text[1] == '0';
    return snprintf(buffer, size, "%.*s", is_negative_zero ? 1 : whole, text + is_negative_zero);
}
