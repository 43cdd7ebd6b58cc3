/*
 * console.c - words for people.
 */
#include "cli/console.h"

#include "cli/request.h"

#include <stdarg.h>
#include <stdio.h>
#include <string.h>

static void name(const char *file) {
    (void)fprintf(stderr,
                  "%s:", strcmp(file, "-") == 0 ? "standard input" : file);
}

void console_begin(const char *file) {
    (void)fprintf(stderr, "boreline: ");
    name(file);
    (void)fprintf(stderr, " ");
}

bl_status console_sink(void *context, const char *bytes, size_t size) {
    (void)context;
    (void)fwrite(bytes, 1, size, stderr);
    return BL_OK;
}

void console_end(void) {
    (void)fprintf(stderr, "\n");
}

void console_note(const char *file, const char *kind, const char *words) {
    console_begin(file);
    (void)fprintf(stderr, "%s%s", kind, words);
    console_end();
}

static void say(const char *file, const char *kind, const bl_message *what) {
    (void)fprintf(stderr, "boreline: ");
    if (file != NULL) {
        name(file);
        if (what->line > 0) {
            (void)fprintf(stderr, "%llu:", (unsigned long long)what->line);
        }
        if (what->line > 0 && what->column > 0) {
            (void)fprintf(stderr, "%llu:", (unsigned long long)what->column);
        }
        (void)fprintf(stderr, " ");
    }
    (void)fprintf(stderr, "%s%s\n", kind, what->text);
}

void console_error(const char *file, const bl_message *message) {
    say(file, "", message);
}

void console_warning(const char *file, const bl_message *message) {
    say(file, "warning: ", message);
}

void console_hint(const char *words) {
    (void)fprintf(stderr, "boreline: %s\n", words);
}

int console_usage(const char *words, ...) {
    va_list arguments;
    va_start(arguments, words);
    (void)fprintf(stderr, "boreline: ");
    (void)vfprintf(stderr, words, arguments);
    (void)fprintf(stderr, "\n");
    va_end(arguments);
    return EXIT_USAGE;
}

int console_print(const char *words) {
    bl_output *output = NULL;
    bl_message message;
    bl_status status = bl_output_open("-", &output, &message);
    if (status == BL_OK) {
        /* A write that fails is remembered and told by commit. */
        (void)bl_output_sink(output, words, strlen(words));
        status = bl_output_commit(output, &message);
    }
    bl_output_free(output);
    if (status != BL_OK) {
        console_error("standard output", &message);
        return EXIT_WORK;
    }
    return 0;
}
