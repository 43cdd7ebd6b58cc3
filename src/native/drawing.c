/*
 * drawing.c - cairo and fontconfig, loaded when the first picture is painted.
 *
 * The names carry the version of the binary interface, which the headers that
 * this is compiled with describe; they are those of the Debian packages
 * libcairo2 and libfontconfig1 and have not changed in twenty years.
 */
#include "native/drawing.h"

#include <dlfcn.h>
#include <pthread.h>
#include <stddef.h>
#include <string.h>

#define CAIRO "libcairo.so.2"
#define FONTCONFIG "libfontconfig.so.1"

typedef struct call_name {
    const char *name;
    size_t offset;
} call_name;

#define NAME(call) {#call, offsetof(drawing_calls, call)},

static const call_name cairo_names[] = {DRAWING_CAIRO(NAME)};
static const call_name fontconfig_names[] = {DRAWING_FONTCONFIG(NAME)};

drawing_calls drawing;

static bool find_calls(void *library, const call_name *names, size_t count,
                       drawing_calls *out) {
    for (size_t i = 0; i < count; i++) {
        void *found = dlsym(library, names[i].name);
        if (found == NULL) {
            return false;
        }
        /* POSIX: what dlsym returns is also a pointer to a function. */
        memcpy((char *)out + names[i].offset, &found, sizeof found);
    }
    return true;
}

static void close_library(void *library) {
    if (library != NULL) {
        (void)dlclose(library);
    }
}

bl_status drawing_load_from(const char *cairo, const char *fontconfig,
                            drawing_calls *out) {
    void *paints = dlopen(cairo, RTLD_NOW | RTLD_LOCAL);
    void *finds_fonts = dlopen(fontconfig, RTLD_NOW | RTLD_LOCAL);
    drawing_calls found;
    bool whole =
        paints != NULL && finds_fonts != NULL &&
        find_calls(paints, cairo_names,
                   sizeof cairo_names / sizeof cairo_names[0], &found) &&
        find_calls(finds_fonts, fontconfig_names,
                   sizeof fontconfig_names / sizeof fontconfig_names[0],
                   &found);
    if (!whole) {
        close_library(paints);
        close_library(finds_fonts);
        return BL_ERR_LIBRARY;
    }
    *out = found;
    return BL_OK;
}

bl_status drawing_load(void) {
    static pthread_mutex_t one_at_a_time = PTHREAD_MUTEX_INITIALIZER;
    static bool loaded;
    bl_status status = BL_OK;
    (void)pthread_mutex_lock(&one_at_a_time);
    if (!loaded) {
        status = drawing_load_from(CAIRO, FONTCONFIG, &drawing);
        loaded = status == BL_OK;
    }
    (void)pthread_mutex_unlock(&one_at_a_time);
    return status;
}
