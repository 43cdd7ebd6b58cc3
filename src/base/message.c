/*
 * message.c - what went wrong, in words that fit the struct.
 *
 * What is too long is mostly a quoted name, and what to do stands at the end:
 * the name is shortened, else what stands before the cure.
 */
#include "base/message.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#define DOTS "..."
#define DOTS_SIZE (sizeof DOTS - 1)
#define TEXT_MOST ((size_t)BL_MESSAGE_BYTES - 1)
/* Less of a name does not tell which. */
#define QUOTED_LEAST 16
/* A longer cure is cut with the rest. */
#define CURE_MOST (TEXT_MOST / 2)

/* Of that many bytes those that end no character in its midst. */
static size_t whole_characters(const char *bytes, size_t size) {
    while (size > 0 && ((unsigned char)bytes[size] & 0xc0U) == 0x80U) {
        size--;
    }
    return size;
}

/* The longest stretch between two quotes: its start, or NULL for none. */
static const char *longest_quoted(const char *words, size_t *size) {
    const char *longest = NULL;
    const char *quote = strchr(words, '\'');
    *size = 0;
    while (quote != NULL) {
        const char *next = strchr(quote + 1, '\'');
        if (next != NULL && (size_t)(next - quote - 1) > *size) {
            longest = quote + 1;
            *size = (size_t)(next - longest);
        }
        quote = next;
    }
    return longest;
}

static const char *cure_of(const char *words) {
    const char *last = NULL;
    for (const char *at = strstr(words, "; "); at != NULL;
         at = strstr(at + 1, "; ")) {
        last = at;
    }
    return last;
}

/* Puts words of `size` bytes that are too long into the text. */
static void shorten(char text[BL_MESSAGE_BYTES], const char *words,
                    size_t size) {
    size_t excess = size + DOTS_SIZE - TEXT_MOST;
    size_t quoted;
    const char *from = longest_quoted(words, &quoted);
    const char *rest = cure_of(words);
    size_t before = TEXT_MOST - DOTS_SIZE;
    if (quoted >= excess + QUOTED_LEAST) {
        rest = from + quoted;
        before = (size_t)(rest - words) - excess;
    } else if (rest != NULL && (size_t)(words + size - rest) <= CURE_MOST) {
        before -= (size_t)(words + size - rest);
    } else {
        rest = words + size;
    }
    before = whole_characters(words, before);
    size_t behind = (size_t)(words + size - rest);
    memcpy(text, words, before);
    memcpy(text + before, DOTS, DOTS_SIZE);
    memcpy(text + before + DOTS_SIZE, rest, behind);
    text[before + DOTS_SIZE + behind] = '\0';
}

/* The words of the format, of which the text holds the first. */
MESSAGE_FORMAT(3, 0)
static void write_long(char text[BL_MESSAGE_BYTES], size_t size,
                       const char *format, va_list arguments) {
    char *words = malloc(size + 1);
    if (words == NULL || vsnprintf(words, size + 1, format, arguments) < 0) {
        size_t before = whole_characters(text, TEXT_MOST - DOTS_SIZE);
        memcpy(text + before, DOTS, sizeof DOTS);
    } else {
        shorten(text, words, size);
    }
    free(words);
}

bl_status message_set_list(bl_message *message, bl_status status, uint64_t line,
                           uint64_t column, const char *format,
                           va_list arguments) {
    if (message == NULL) {
        return status;
    }
    message->status = status;
    message->line = line;
    message->column = column;
    va_list again;
    va_copy(again, arguments);
    int size =
        vsnprintf(message->text, sizeof message->text, format, arguments);
    if (size < 0) {
        message->text[0] = '\0';
    } else if ((size_t)size > TEXT_MOST) {
        write_long(message->text, (size_t)size, format, again);
    }
    va_end(again);
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
