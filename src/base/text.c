/*
 * text.c - growing text, and numbers written without locale.
 *
 * Fixed decimals take a short way: with p = value * 10^d < 2^53, rounding p
 * to an integer is right because .5 boundaries are doubles and rounding is
 * monotone; only p exactly on a boundary needs the error of the product.
 * Everything else goes through vsnprintf, whose only locale-dependent part is
 * the decimal separator, which is then replaced.
 */
#include "base/text.h"

#include "base/digit.h"
#include "base/number.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#define TWO_53 9007199254740992.0

void text_free(text *out) {
    free(out->bytes);
    *out = (text){0};
}

/* Room for `more` bytes and a NUL. */
static bool text_reserve(text *out, size_t more) {
    if (out->failed || more > SIZE_MAX / 4 - out->size) {
        out->failed = true;
        return false;
    }
    size_t need = out->size + more + 1;
    if (need <= out->capacity) {
        return true;
    }
    size_t capacity = need < 256 ? 256 : need + need / 2;
    char *bytes = realloc(out->bytes, capacity);
    if (bytes == NULL) {
        out->failed = true;
        return false;
    }
    out->bytes = bytes;
    out->capacity = capacity;
    return true;
}

void text_bytes(text *out, const char *bytes, size_t size) {
    if (size != 0 && text_reserve(out, size)) {
        memcpy(out->bytes + out->size, bytes, size);
        out->size += size;
    }
}

void text_add(text *out, const char *string) {
    text_bytes(out, string, strlen(string));
}

void text_format(text *out, const char *format, ...) {
    va_list arguments;
    va_list again;
    va_start(arguments, format);
    va_copy(again, arguments);
    int size = vsnprintf(NULL, 0, format, arguments);
    va_end(arguments);
    if (size < 0) {
        out->failed = true;
    } else if (text_reserve(out, (size_t)size)) {
        (void)vsnprintf(out->bytes + out->size, (size_t)size + 1, format,
                        again);
        out->size += (size_t)size;
    }
    va_end(again);
}

/* Replaces whatever separator the host's locale printed by a point. */
static size_t point_instead_of_separator(char *bytes, size_t size) {
    size_t kept = 0;
    bool in_separator = false;
    for (size_t i = 0; i < size; i++) {
        char c = bytes[i];
        bool plain = digit_is(c) || c == '-' || c == '+' || c == 'e';
        if (plain) {
            bytes[kept++] = c;
        } else if (!in_separator) {
            bytes[kept++] = '.';
        }
        in_separator = !plain;
    }
    return kept;
}

static size_t drop_negative_zero(char *bytes, size_t size) {
    if (bytes[0] != '-') {
        return size;
    }
    for (size_t i = 1; i < size; i++) {
        if (bytes[i] >= '1' && bytes[i] <= '9') {
            return size;
        }
    }
    memmove(bytes, bytes + 1, size - 1);
    return size - 1;
}

static size_t fixed_write_slow(char *buffer, double value, unsigned decimals) {
    int size = snprintf(buffer, FIXED_BYTES, "%.*f", (int)decimals, value);
    size_t kept = point_instead_of_separator(buffer, (size_t)size);
    return drop_negative_zero(buffer, kept);
}

/* |value| times a power of ten, below 2^52, rounded to an integer, a tie by
 * what the product lost. */
static uint64_t round_scaled(double magnitude, double power) {
    double scaled = magnitude * power;
    uint64_t integer = (uint64_t)scaled;
    double part = scaled - (double)integer;
    if (part == 0.5) {
        double lost = fma(magnitude, power, -scaled);
        return integer + (lost > 0.0 || (lost == 0.0 && (integer & 1U)));
    }
    return integer + (part > 0.5);
}

/* Digits from the last on, at least `least`, before `end`; returns the first.
 */
static char *digits_before(char *end, uint64_t integer, unsigned least) {
    char *at = end;
    while (integer >= 10 || at > end - least + 1) {
        *--at = (char)('0' + integer % 10);
        integer /= 10;
    }
    *--at = (char)('0' + integer);
    return at;
}

size_t fixed_write(char *buffer, double value, unsigned decimals) {
    static const double power[] = {1e0, 1e1, 1e2, 1e3, 1e4, 1e5, 1e6, 1e7, 1e8};
    double magnitude = fabs(value);
    if (decimals > 8 || !(magnitude * power[decimals] < TWO_53 / 2)) {
        return fixed_write_slow(buffer, value, decimals);
    }
    uint64_t integer = round_scaled(magnitude, power[decimals]);
    char digits[20];
    char *end = digits + sizeof digits;
    char *first = digits_before(end, integer, decimals + 1);
    size_t whole = (size_t)(end - first) - decimals;
    char *out = buffer;
    if (value < 0 && integer != 0) {
        *out++ = '-';
    }
    memcpy(out, first, whole);
    out += whole;
    if (decimals > 0) {
        *out++ = '.';
        memcpy(out, first + whole, decimals);
        out += decimals;
    }
    return (size_t)(out - buffer);
}

void text_fixed(text *out, double value, unsigned decimals) {
    if (isfinite(value) && text_reserve(out, FIXED_BYTES)) {
        out->size += fixed_write(out->bytes + out->size, value, decimals);
    }
}

void text_short(text *out, double value, unsigned most) {
    size_t before = out->size;
    text_fixed(out, value, most);
    if (most == 0 || out->size == before) {
        return;
    }
    while (out->bytes[out->size - 1] == '0') {
        out->size--;
    }
    out->size -= out->bytes[out->size - 1] == '.';
}

void text_device_size(text *out, double diameter_mm, double length_mm) {
    text_short(out, diameter_mm, 2);
    text_add(out, " x ");
    text_short(out, length_mm, 2);
    text_add(out, " mm");
}

void text_span(text *out, bl_span span) {
    text_fixed(out, span.from_mm, 1);
    text_add(out, "..");
    text_fixed(out, span.to_mm, 1);
    text_add(out, " mm");
}

void text_double(text *out, double value) {
    if (!isfinite(value)) {
        text_add(out, "null");
        return;
    }
    char buffer[64];
    size_t size = 0;
    for (int digits = 15; digits <= 17; digits++) {
        int printed = snprintf(buffer, sizeof buffer, "%.*g", digits, value);
        size = point_instead_of_separator(buffer, (size_t)printed);
        double back = 0.0;
        if (number_scan(buffer, size, '.', &back) == size &&
            !(back < value || back > value)) {
            break;
        }
    }
    text_bytes(out, buffer, size);
}

const char *text_c(text *out) {
    if (!text_reserve(out, 0)) {
        return "";
    }
    out->bytes[out->size] = '\0';
    return out->bytes;
}

bl_status text_flush(text *out, bl_sink sink, void *context) {
    if (out->failed) {
        return BL_ERR_MEMORY;
    }
    size_t size = out->size;
    out->size = 0;
    return size == 0 ? BL_OK : sink(context, out->bytes, size);
}

bl_status text_message(text *words, bl_status status, bl_message *message) {
    bl_status told =
        words->failed ? message_memory(message)
                      : message_set(message, status, 0, 0, "%s", text_c(words));
    text_free(words);
    return told;
}
