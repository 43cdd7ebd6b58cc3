/*
 * text.h - growing text, and numbers written without locale.
 */
#ifndef BASE_TEXT_H
#define BASE_TEXT_H

#include "base/message.h"
#include "boreline.h"

/* Zero-initialised is empty and ready; text_free makes it so again. Once an
 * append fails, `failed` stays set and later appends do nothing: check once at
 * the end. bytes has no final NUL; text_c gives one. */
typedef struct text {
    char *bytes;
    size_t size;
    size_t capacity;
    bool failed;
} text;

void text_free(text *out);
void text_bytes(text *out, const char *bytes, size_t size);
void text_add(text *out, const char *string);
/* Integers and strings only, as in message_set. */
void text_format(text *out, const char *format, ...) MESSAGE_FORMAT(2, 3);
/* value with `decimals` (0 .. 17) after the point, the decimal nearest to it,
 * exact ties to even, as printf's "%.*f" in the C locale; never "-0.00".
 * NaN adds nothing. */
void text_fixed(text *out, double value, unsigned decimals);
/* The same in the fewest decimals that show it, at most `most`. */
void text_short(text *out, double value, unsigned most);
/* "12.0..22.5 mm". */
void text_span(text *out, bl_span span);
/* "16 x 120 mm". */
void text_device_size(text *out, double diameter_mm, double length_mm);
/* The shortest of 15, 16 or 17 significant digits that reads back to the same
 * double; "null" for a value that is not finite. */
void text_double(text *out, double value);
/* A NUL-terminated view, valid until the next append; "" when failed. */
const char *text_c(text *out);
/* Hands everything to the sink and empties the text, keeping its memory.
 * BL_ERR_MEMORY when an append had failed. */
bl_status text_flush(text *out, bl_sink sink, void *context);

/* The message of an error in these words, which are freed: status, or
 * BL_ERR_MEMORY when an append had failed. */
bl_status text_message(text *words, bl_status status, bl_message *message);

/* Writes value as text_fixed does into buffer of at least FIXED_BYTES bytes,
 * without a NUL, and returns the length. value must be finite. */
#define FIXED_BYTES 352
size_t fixed_write(char *buffer, double value, unsigned decimals);

#endif
