/*
 * cure.h - what to do about text that stands where a number belongs.
 */
#ifndef READ_CURE_H
#define READ_CURE_H

#include <stdbool.h>
#include <stddef.h>

/* Words to end a message with, or "" where nothing is known. */
const char *cure_of(const char *bytes, size_t size);

/* Whether it says that there is no value: "NaN", "-". */
bool cure_is_nothing(const char *bytes, size_t size);

/* Whether it is a name and a number behind it, "IMG007". */
bool cure_has_prefix(const char *bytes, size_t size);

#endif
