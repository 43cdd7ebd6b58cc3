/*
 * message.c - what went wrong, in words that fit the struct.
 */
#include "base/message.h"

#include <stdio.h>

bl_status message_set_list(bl_message *message, bl_status status, uint64_t line,
                           uint64_t column, const char *format,
                           va_list arguments) {
    if (message == NULL) {
        return status;
    }
    message->status = status;
    message->line = line;
    message->column = column;
    if (vsnprintf(message->text, sizeof message->text, format, arguments) < 0) {
        message->text[0] = '\0';
    }
    return status;
}

bl_status message_set(bl_message *message, bl_status status, uint64_t line,
                      uint64_t column, const char *format, ...) {
    va_list arguments;
    va_start(arguments, format);
    (void)message_set_list(message, status, line, column, format, arguments);
    va_end(arguments);
    return status;
}

bl_status message_memory(bl_message *message) {
    return message_set(message, BL_ERR_MEMORY, 0, 0,
                       "out of memory; close other programs or split the "
                       "table");
}
