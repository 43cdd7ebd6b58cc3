/*
 * message.h - filling a bl_message.
 */
#ifndef BASE_MESSAGE_H
#define BASE_MESSAGE_H

#include "boreline.h"

#include <stdarg.h>

#if defined(__GNUC__)
#define MESSAGE_FORMAT(at, first) __attribute__((format(__printf__, at, first)))
#else
#define MESSAGE_FORMAT(at, first)
#endif

/* Fills the message, which may be NULL, and returns status. Words that are too
 * long are cut with "...", never in a UTF-8 character: the longest quoted
 * name, else what stands before the cure, "; what to do". The format takes
 * integers and text only: doubles would print by locale (see text.h). */
bl_status message_set(bl_message *message, bl_status status, uint64_t line,
                      uint64_t column, const char *format, ...)
    MESSAGE_FORMAT(5, 6);

/* The same with the arguments as a list. */
bl_status message_set_list(bl_message *message, bl_status status, uint64_t line,
                           uint64_t column, const char *format,
                           va_list arguments) MESSAGE_FORMAT(5, 0);

/* The message for an exhausted memory. */
bl_status message_memory(bl_message *message);

#endif
