// Decimal numerals to doubles, correctly rounded, and back; both without the C library's locale.
#ifndef SW_FILES_DECIMAL_H
#define SW_FILES_DECIMAL_H

#include <stddef.h>

typedef enum sw_decimal_fit { SW_DECIMAL_FITS, SW_DECIMAL_TOO_LARGE, SW_DECIMAL_TOO_SMALL } sw_decimal_fit;

/// The double nearest to a numeral (ties to even): digits with an optional '-', '.' and exponent, whose
/// grammar the caller has checked. Commas, whose places the caller has checked as well, are passed over.
/// @return TOO_LARGE if no finite double is near, TOO_SMALL if digits other than 0 come to 0; then `value` is
/// 0
sw_decimal_fit sw_decimal_read(const char *text, size_t length, double *value);

/// Writes a number for other programs: at most `decimals` decimals behind a point, no zeros at their end, no
/// negative zero. What is not finite comes out as "inf", "-inf" or "nan".
/// @param decimals 0 to 20
/// @return the length it needs, as snprintf
int sw_decimal_write(double value, int decimals, char *buffer, size_t size);

#endif
