/*
 * naming.c - the names that columns have, and those that are meant.
 *
 * A name is compared with what is left of a cell when everything but letters
 * and digits is one '_': units in brackets fall into place so.
 */
#include "read/naming.h"

#include "base/digit.h"
#include "base/number.h"
#include "base/words.h"
#include "pullback/cursor.h"

#include <string.h>

#define PLAIN_MOST 32
/* By spelling alone shorter words are like too much. */
#define SPELT_LEAST ((size_t)4)

static const char *const names[NAME_COUNT] = {
    [NAME_NONE] = "",
    [NAME_FRAME] = "frame",
    [NAME_X] = "x",
    [NAME_Y] = "y",
    [NAME_X_MM] = "x_mm",
    [NAME_Y_MM] = "y_mm",
    [NAME_X_PX] = "x_px",
    [NAME_Y_PX] = "y_px",
    [NAME_ANGLE] = "angle_deg",
    [NAME_RADIUS_MM] = "radius_mm",
    [NAME_RADIUS_PX] = "radius_px",
    [NAME_KIND] = "kind",
    [NAME_TIME] = "time_s",
    [NAME_POSITION] = "position_mm",
    [NAME_POINT] = "point",
};

const char *naming_of(name_id id) {
    return names[id];
}

static name_id find(const char *bytes, size_t size) {
    for (unsigned i = NAME_FRAME; i < NAME_COUNT; i++) {
        if (cursor_same(bytes, size, names[i])) {
            return (name_id)i;
        }
    }
    return NAME_NONE;
}

name_id naming_find(const cell_text *cell) {
    return find(cell->bytes, cell->size);
}

/* A cell's letters, lower-case, and digits; the rest is one '_' each time. */
typedef struct bare {
    char bytes[PLAIN_MOST];
    size_t size; /* 0 for a cell that is too long */
} bare;

static bare bare_of(const cell_text *cell) {
    bare out = {.size = 0};
    bool gap = false;
    for (size_t i = 0; i < cell->size; i++) {
        char c = cell->bytes[i];
        c = c >= 'A' && c <= 'Z' ? (char)(c - 'A' + 'a') : c;
        if (!((c >= 'a' && c <= 'z') || digit_is(c))) {
            gap = out.size > 0;
            continue;
        }
        if (out.size + 2 > sizeof out.bytes) {
            return (bare){.size = 0};
        }
        if (gap) {
            out.bytes[out.size++] = '_';
        }
        gap = false;
        out.bytes[out.size++] = c;
    }
    return out;
}

static bool begins(const char *text, size_t size, const char *with,
                   size_t with_size) {
    return size >= with_size && memcmp(text, with, with_size) == 0;
}

/* "position" begins position_mm; an x or y is one itself. */
static name_id without_unit(const bare *of) {
    for (unsigned i = NAME_ANGLE; i < NAME_COUNT; i++) {
        size_t size = strlen(names[i]);
        if (of->size > 1 && size > of->size && names[i][of->size] == '_' &&
            begins(names[i], size, of->bytes, of->size)) {
            return (name_id)i;
        }
    }
    return NAME_NONE;
}

static name_id by_spelling(const bare *of) {
    static const name_id ids[] = {NAME_FRAME, NAME_KIND, NAME_TIME,
                                  NAME_POSITION, NAME_ANGLE};
    const char *candidates[sizeof ids / sizeof ids[0]];
    for (size_t i = 0; i < sizeof ids / sizeof ids[0]; i++) {
        candidates[i] = names[ids[i]];
    }
    const char *near =
        of->size < SPELT_LEAST
            ? NULL
            : words_within(of->bytes, of->size, candidates,
                           sizeof ids / sizeof ids[0], of->size < 6 ? 1 : 2);
    return near == NULL ? NAME_NONE : find(near, strlen(near));
}

/* Units that are not read, and how they become mm, seconds or degrees. */
static const struct {
    const char *unit;
    const char *how;
} others[] = {
    {"cm", "multiply by 10"},   {"m", "multiply by 1000"},
    {"um", "divide by 1000"},   {"nm", "divide by 1000000"},
    {"in", "multiply by 25.4"}, {"inch", "multiply by 25.4"},
    {"ms", "divide by 1000"},   {"us", "divide by 1000000"},
    {"ns", "divide by 1e9"},    {"min", "multiply by 60"},
    {"h", "multiply by 3600"},  {"rad", "multiply by 57.2957795"},
};

/* NULL for a unit that is none of them. */
static const char *how_from(const char *unit, size_t size) {
    for (size_t i = 0; i < sizeof others / sizeof others[0]; i++) {
        if (cursor_same(unit, size, others[i].unit)) {
            return others[i].how;
        }
    }
    return NULL;
}

static bool is_other_unit(const char *unit, size_t size) {
    return how_from(unit, size) != NULL;
}

name_id naming_converted(const cell_text *cell, const char **how) {
    bare of = bare_of(cell);
    for (unsigned i = NAME_X_MM; i < NAME_COUNT; i++) {
        const char *unit = strchr(names[i], '_');
        size_t stem = unit == NULL ? 0 : (size_t)(unit + 1 - names[i]);
        if (stem == 0 || !begins(of.bytes, of.size, names[i], stem)) {
            continue;
        }
        *how = how_from(of.bytes + stem, of.size - stem);
        if (*how != NULL) {
            return (name_id)i;
        }
    }
    return NAME_NONE;
}

name_id naming_meant(const cell_text *cell) {
    bare of = bare_of(cell);
    name_id found = find(of.bytes, of.size);
    if (found == NAME_NONE) {
        found = without_unit(&of);
    }
    if (found == NAME_NONE && begins(of.bytes, of.size, names[NAME_FRAME],
                                     strlen(names[NAME_FRAME]))) {
        found = NAME_FRAME; /* frame_no, frame_number, frames */
    }
    return found == NAME_NONE ? by_spelling(&of) : found;
}

bool naming_numbered(const cell_text *cell, char letter, size_t *number) {
    double value;
    if (cell->size < 2 || cell->size > 9 || (cell->bytes[0] | 0x20) != letter) {
        return false;
    }
    for (size_t i = 1; i < cell->size; i++) {
        if (cell->bytes[i] < '0' || cell->bytes[i] > '9') {
            return false;
        }
    }
    (void)number_scan(cell->bytes + 1, cell->size - 1, '.', &value);
    *number = (size_t)value;
    return true;
}

static bool is_coordinate_unit(const char *unit, size_t size) {
    return cursor_same(unit, size, "mm") || cursor_same(unit, size, "px");
}

/* The next run of digits or of letters. */
static size_t run_at(const bare *of, size_t at) {
    size_t end = at;
    while (end < of->size && of->bytes[end] != '_' &&
           digit_is(of->bytes[end]) == digit_is(of->bytes[at])) {
        end++;
    }
    return end - at;
}

bool naming_numbered_meant(const cell_text *cell, numbered *out) {
    bare of = bare_of(cell);
    *out = (numbered){.letter = of.size > 0 ? of.bytes[0] : '\0'};
    if (of.size < 2 || strchr("xyr", out->letter) == NULL ||
        naming_numbered(cell, out->letter, &out->number)) {
        return false;
    }
    bool any = false;
    for (size_t at = 1; at < of.size;) {
        at += of.bytes[at] == '_';
        size_t size = run_at(&of, at);
        /* A letter before it makes it a name such as x12. */
        char name[PLAIN_MOST + 1] = "x";
        memcpy(name + 1, of.bytes + at, size);
        cell_text piece = {name, size + 1, name};
        bool converts = is_other_unit(of.bytes + at, size);
        if (!any && naming_numbered(&piece, 'x', &out->number)) {
            any = true;
        } else if (!out->has_unit &&
                   (converts || is_coordinate_unit(of.bytes + at, size))) {
            out->has_unit = true;
            out->converts = converts;
        } else {
            return false;
        }
        at += size;
    }
    return any;
}

bool naming_is_unit(const cell_text *cell) {
    static const char *const units[] = {
        "mm",  "px",  "pixel",   "pixels",      "s",
        "sec", "deg", "degrees", "millimetres", "millimeters"};
    bare of = bare_of(cell);
    size_t i = 0;
    while (i < sizeof units / sizeof units[0] &&
           !cursor_same(of.bytes, of.size, units[i])) {
        i++;
    }
    return i < sizeof units / sizeof units[0] ||
           is_other_unit(of.bytes, of.size);
}
