/*
 * drawing.c - cairo, fontconfig and libpng, loaded when the first picture is
 * painted.
 *
 * The names carry the version of the binary interface, which the headers that
 * this is compiled with describe: those of the Debian packages libcairo2,
 * libfontconfig1 and libpng16-16, which have not changed for ten years.
 */
#include "native/drawing.h"

#include <dlfcn.h>
#include <pthread.h>
#include <stddef.h>
#include <string.h>

static const drawing_names installed = {"libcairo.so.2", "libfontconfig.so.1",
                                        "libpng16.so.16"};

typedef struct call_name {
    const char *name;
    size_t offset;
} call_name;

#define NAME(call) {#call, offsetof(drawing_calls, call)},

static const call_name cairo_calls[] = {DRAWING_CAIRO(NAME)};
static const call_name fontconfig_calls[] = {DRAWING_FONTCONFIG(NAME)};
static const call_name png_calls[] = {DRAWING_PNG(NAME)};

#define COUNT(list) (sizeof(list) / sizeof(list)[0])

drawing_calls drawing;

/* The library stays open where all of it is found. */
static void *load(const char *library, const call_name *calls, size_t count,
                  drawing_calls *out) {
    void *opened = dlopen(library, RTLD_NOW | RTLD_LOCAL);
    for (size_t i = 0; opened != NULL && i < count; i++) {
        void *found = dlsym(opened, calls[i].name);
        if (found == NULL) {
            (void)dlclose(opened);
            return NULL;
        }
        /* POSIX: what dlsym returns is also a pointer to a function. */
        memcpy((char *)out + calls[i].offset, &found, sizeof found);
    }
    return opened;
}

bl_status drawing_load_from(const drawing_names *names, drawing_calls *out) {
    drawing_calls found;
    void *const libraries[] = {
        load(names->cairo, cairo_calls, COUNT(cairo_calls), &found),
        load(names->fontconfig, fontconfig_calls, COUNT(fontconfig_calls),
             &found),
        load(names->png, png_calls, COUNT(png_calls), &found),
    };
    size_t loaded = 0;
    for (size_t i = 0; i < COUNT(libraries); i++) {
        loaded += libraries[i] != NULL;
    }
    if (loaded == COUNT(libraries)) {
        *out = found;
        return BL_OK;
    }
    for (size_t i = 0; i < COUNT(libraries); i++) {
        if (libraries[i] != NULL) {
            (void)dlclose(libraries[i]);
        }
    }
    return BL_ERR_LIBRARY;
}

bl_status drawing_load(void) {
    static pthread_mutex_t one_at_a_time = PTHREAD_MUTEX_INITIALIZER;
    static bool loaded;
    bl_status status = BL_OK;
    (void)pthread_mutex_lock(&one_at_a_time);
    if (!loaded) {
        status = drawing_load_from(&installed, &drawing);
        loaded = status == BL_OK;
    }
    (void)pthread_mutex_unlock(&one_at_a_time);
    return status;
}
