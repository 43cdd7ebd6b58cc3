/*
 * words.c - the names that numbers of the public header print as.
 */
#include "base/words.h"

#include "base/blank.h"
#include "base/message.h"
#include "base/number.h"

#include <math.h>
#include <string.h>

#define COUNT(array) (sizeof(array) / sizeof(array)[0])

const char *bl_version(void) {
    return BL_VERSION;
}

const char *bl_caution(void) {
    return "For education and record support. Not a medical device: a licensed "
           "operator decides, and local rules prevail.";
}

bool bl_number_from_text(const char *text, double *value) {
    double read = 0.0;
    size_t size = strlen(text);
    if (size == 0 || number_scan(text, size, '.', &read) != size ||
        !isfinite(read)) {
        return false;
    }
    *value = read;
    return true;
}

static const char *const column_names[BL_COLUMN_COUNT] = {
    "frame",
    "time_s",
    "position_mm",
    "kind",
    "points",
    "area_mm2",
    "perimeter_mm",
    "equivalent_diameter_mm",
    "perimeter_diameter_mm",
    "min_diameter_mm",
    "max_diameter_mm",
    "min_feret_mm",
    "max_feret_mm",
    "inscribed_diameter_mm",
    "aspect_ratio",
    "eccentricity",
    "circularity",
    "solidity",
    "long_axis_deg",
    "centroid_x_mm",
    "centroid_y_mm",
    "flags",
};

const char *bl_column_name(unsigned column) {
    return column < BL_COLUMN_COUNT ? column_names[column] : NULL;
}

static bl_status column_add(const char *name, size_t size, uint32_t *seen,
                            bl_column *out, bl_message *message) {
    for (unsigned i = 0; i < BL_COLUMN_COUNT; i++) {
        if (strlen(column_names[i]) != size ||
            memcmp(column_names[i], name, size) != 0) {
            continue;
        }
        if (*seen & BL_BIT(i)) {
            return message_set(message, BL_ERR_ARGUMENT, 0, 0,
                               "column '%s' is named twice; name each once",
                               column_names[i]);
        }
        *seen |= BL_BIT(i);
        *out = (bl_column)i;
        return BL_OK;
    }
    const char *near = words_nearest(name, size, column_names, BL_COLUMN_COUNT);
    return message_set(message, BL_ERR_ARGUMENT, 0, 0,
                       "no column is called '%.*s'; %s%s%s", (int)size, name,
                       near ? "did you mean '" : "see the help for the names",
                       near ? near : "", near ? "'?" : "");
}

bl_status bl_columns_from_text(const char *text,
                               bl_column columns[BL_COLUMN_COUNT],
                               size_t *count, bl_message *message) {
    bl_column found[BL_COLUMN_COUNT];
    size_t number = 0;
    uint32_t seen = 0;
    const char *at = text;
    for (;;) {
        at += strspn(at, " \t");
        size_t size = strcspn(at, ",");
        size_t name = size;
        while (name != 0 && blank_is(at[name - 1])) {
            name--;
        }
        bl_column column = BL_COL_FRAME;
        bl_status status =
            column_add(at, name > 64 ? 64 : name, &seen, &column, message);
        if (status != BL_OK) {
            return status;
        }
        found[number++] = column;
        if (at[size] == '\0') {
            break;
        }
        at += size + 1;
    }
    memcpy(columns, found, number * sizeof found[0]);
    *count = number;
    return BL_OK;
}

static const char *name_at(const char *const *names, size_t count,
                           unsigned number) {
    return number < count ? names[number] : NULL;
}

const char *bl_flag_name(unsigned number) {
    static const char *const names[BL_FLAG_COUNT] = {
        "few-points", "no-area",        "crossing", "out-of-range",
        "jump",       "centre-outside", "doubted"};
    return name_at(names, COUNT(names), number);
}

const char *bl_shape_name(bl_shape shape) {
    static const char *const names[] = {"long", "wide", "wide polar", "blocks"};
    return name_at(names, COUNT(names), shape);
}

const char *bl_kind_name(bl_kind kind) {
    static const char *const names[] = {"lumen", "device", "vessel"};
    return name_at(names, COUNT(names), kind);
}

const char *bl_position_from_name(bl_position_from from) {
    static const char *const names[] = {"position_mm", "at", "step_mm",
                                        "time_s", "frame_rate"};
    return name_at(names, COUNT(names), from);
}

const char *bl_reference_from_name(bl_reference_from from) {
    static const char *const names[] = {"none", "given", "found", "expected"};
    return name_at(names, COUNT(names), from);
}

const char *bl_end_name(bl_end end) {
    static const char *const names[] = {"cranial", "caudal"};
    return name_at(names, COUNT(names), end);
}

const char *bl_vein_name(bl_vein vein) {
    static const char *const names[] = {"",
                                        "inferior vena cava",
                                        "common iliac vein",
                                        "external iliac vein",
                                        "common femoral vein",
                                        "femoral vein"};
    return name_at(names, COUNT(names), vein);
}

const char *bl_rule_name(unsigned rule) {
    static const char *const names[BL_RULE_COUNT] = {"taper", "mean", "cranial",
                                                     "caudal", "largest"};
    return name_at(names, COUNT(names), rule);
}

const char *bl_verdict_name(bl_verdict verdict) {
    static const char *const names[] = {"chosen",
                                        "runner-up",
                                        "lower score",
                                        "narrowed",
                                        "beside a narrowing",
                                        "beside wider vein",
                                        "flattened",
                                        "flagged",
                                        "too short",
                                        "unsteady",
                                        "too small"};
    return name_at(names, COUNT(names), verdict);
}

const char *bl_pattern_name(bl_pattern pattern) {
    static const char *const names[] = {"flattened", "mixed", "round"};
    return name_at(names, COUNT(names), pattern);
}

const char *bl_size_by_name(bl_size_by by) {
    static const char *const names[] = {"area", "perimeter"};
    return name_at(names, COUNT(names), by);
}

const char *bl_border_name(bl_border border) {
    static const char *const names[] = {"end of the pullback",
                                        "gap",
                                        "frame that was left out",
                                        "vein narrower than the shoulder level",
                                        "compression point",
                                        "vein without a reference",
                                        "confluence"};
    return name_at(names, COUNT(names), border);
}

const char *bl_aligned_by_name(bl_aligned_by by) {
    static const char *const names[] = {"marks", "shift", "profiles"};
    return name_at(names, COUNT(names), by);
}

const char *bl_treated_from_name(bl_treated_from from) {
    static const char *const names[] = {"nowhere", "device", "given"};
    return name_at(names, COUNT(names), from);
}

const char *bl_after_reference_name(bl_after_reference from) {
    static const char *const names[] = {"none", "own", "measured", "expected"};
    return name_at(names, COUNT(names), from);
}

static size_t smaller(size_t a, size_t b) {
    return a < b ? a : b;
}

/* Levenshtein distance, one row at a time; both at most 64 bytes. */
static size_t words_distance(const char *a, size_t na, const char *b,
                             size_t nb) {
    size_t row[65];
    for (size_t j = 0; j <= nb; j++) {
        row[j] = j;
    }
    for (size_t i = 1; i <= na; i++) {
        size_t diagonal = row[0];
        row[0] = i;
        for (size_t j = 1; j <= nb; j++) {
            size_t change = diagonal + (a[i - 1] != b[j - 1]);
            diagonal = row[j];
            row[j] = smaller(change, smaller(row[j], row[j - 1]) + 1);
        }
    }
    return row[nb];
}

const char *words_within(const char *word, size_t size,
                         const char *const *names, size_t count, size_t most) {
    const char *best = NULL;
    size_t best_distance = most + 1;
    for (size_t i = 0; size <= 64 && i < count; i++) {
        size_t length = strlen(names[i]);
        if (length > 64) {
            continue;
        }
        size_t distance = words_distance(word, size, names[i], length);
        if (distance < best_distance) {
            best_distance = distance;
            best = names[i];
        }
    }
    return best;
}

spelt words_spelt(const char *name, size_t size) {
    spelt out = {.size = size <= WORDS_NAME_MOST ? size : 0};
    for (size_t i = 0; i < out.size; i++) {
        char c = name[i];
        bool upper = c >= 'A' && c <= 'Z';
        out.bytes[i] = c == ' ' || c == '-' ? '_'
                       : upper              ? (char)(c - 'A' + 'a')
                                            : c;
    }
    return out;
}

const char *words_nearest(const char *word, size_t size,
                          const char *const *names, size_t count) {
    return words_within(word, size, names, count, size / 3 + 1);
}
