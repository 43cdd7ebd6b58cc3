/*
 * plausible.c - calibres, pixels and lengths that no deep vein has.
 *
 * A slip in scale, speed, step or unit is seldom less than tenfold, so that
 * wide limits tell it. Those of the length are our own measure.
 */
#include "base/circle.h"
#include "base/constants.h"
#include "base/text.h"
#include "profile/median.h"
#include "profile/profile.h"
#include "study/inside.h"

#include <math.h>
#include <stdlib.h>

/* From the cava to the knee it is less; and so many frames are not taken of
 * less than that. */
#define LENGTH_MOST_MM 1000.0
#define LENGTH_LEAST_MM 5.0
#define MANY_FRAMES 10
/* Nor is a hundred frames of less than the 20 mm that a narrowing with healthy
 * vein on both sides takes: a step of a fifth of a mm and less is a unit or a
 * rate that is wrong. */
#define LENGTH_SHORT_MM 20.0
#define SHORT_FRAMES 100

static bl_status ended(bl_study *study, bl_status status) {
    return status == BL_OK ? BL_OK : message_memory(&study->message);
}

static bl_status say(bl_study *study, text *words) {
    return ended(study, findings_warn_text(&study->said, 0, -1, words));
}

/* Whether the median may be outside what is plausible: at most half of the
 * areas are inside. Most tables need no sorting to tell. */
static bool may_be_doubted(const store *of) {
    double least = circle_area_mm2(PLAUSIBLE_LEAST_MM);
    double most = circle_area_mm2(PLAUSIBLE_MOST_MM);
    size_t usable = 0;
    size_t inside = 0;
    for (size_t i = 0; i < of->count; i++) {
        double area = of->rows[i].measures.area_mm2;
        if (profile_is_usable_lumen(&of->rows[i])) {
            usable++;
            inside += area >= least && area <= most;
        }
    }
    return usable > 0 && 2 * inside <= usable;
}

static bl_status doubt_calibre(bl_study *study) {
    const store *of = &study->store;
    if (!may_be_doubted(of)) {
        return BL_OK;
    }
    double *diameters = malloc(of->count * sizeof *diameters);
    if (diameters == NULL) {
        return message_memory(&study->message);
    }
    size_t held = 0;
    for (size_t i = 0; i < of->count; i++) {
        if (profile_is_usable_lumen(&of->rows[i])) {
            diameters[held++] =
                circle_diameter_mm(of->rows[i].measures.area_mm2);
        }
    }
    double median = median_of(diameters, held);
    free(diameters);
    if (median >= PLAUSIBLE_LEAST_MM && median <= PLAUSIBLE_MOST_MM) {
        return BL_OK;
    }
    text words = {0};
    text_add(&words, "the median equivalent diameter is ");
    text_fixed(&words, median, 2);
    text_add(&words, " mm, and deep veins have 3 to 35 mm; check the scale and "
                     "the unit of the coordinates");
    return ended(study, findings_doubt_scale(&study->said, 0, -1, &words));
}

/* To six decimals, or where these are those of the other too, in full. */
static void add_scale(text *words, double value, double other) {
    if (fabs(value - other) < 1e-6) {
        text_double(words, value);
    } else {
        text_fixed(words, value, 6);
    }
}

static bl_status doubt_pixels(bl_study *study) {
    double x = study->pullback.mm_per_px_x;
    double y = study->pullback.mm_per_px_y;
    if (!(x < y || x > y)) {
        return BL_OK;
    }
    text words = {0};
    text_add(&words, "pixels are ");
    add_scale(&words, x, y);
    text_add(&words, " mm across and ");
    add_scale(&words, y, x);
    text_add(&words, " mm down; is that so?");
    return say(study, &words);
}

bl_status plausible_scale(bl_study *study) {
    if (study->reader.gather.unscaled) {
        return BL_OK;
    }
    bl_status status = doubt_calibre(study);
    return status == BL_OK ? doubt_pixels(study) : status;
}

bl_status plausible_length(bl_study *study) {
    double length = study->pullback.length_mm;
    size_t lumens = 0;
    for (size_t i = 0; i < study->store.count; i++) {
        lumens += study->store.rows[i].kind == BL_KIND_LUMEN;
    }
    bool is_short =
        length > 0.0 && ((length < LENGTH_LEAST_MM && lumens >= MANY_FRAMES) ||
                         (length < LENGTH_SHORT_MM && lumens >= SHORT_FRAMES));
    if (!(is_short || length > LENGTH_MOST_MM)) {
        return BL_OK;
    }
    text words = {0};
    text_add(&words, "the pullback is ");
    text_fixed(&words, length, 2);
    text_add(&words, " mm long, unlikely for deep veins; check speed, rate, "
                     "step or positions and their unit");
    return say(study, &words);
}
