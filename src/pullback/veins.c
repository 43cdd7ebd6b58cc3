/*
 * veins.c - which vein a position lies in, as far as marks tell.
 *
 * The four confluences and the ligament, from cranial to caudal, part the
 * line into five veins. A vein is known only between its own two ends, or
 * beyond the outermost two.
 */
#include "pullback/veins.h"

#include "base/constants.h"
#include "base/words.h"

#include <math.h>
#include <string.h>

static const char *const border_names[VEIN_BORDERS] = {
    "iliocaval_confluence", "internal_iliac_confluence", "inguinal_ligament",
    "femoral_confluence"};

const bl_mark *vein_border(const bl_pullback *pullback, unsigned border) {
    for (size_t i = 0; i < pullback->mark_count; i++) {
        if (strcmp(pullback->marks[i].name, border_names[border]) == 0) {
            return &pullback->marks[i];
        }
    }
    return NULL;
}

const char *vein_border_meant(const char *name) {
    spelt as = words_spelt(name, strlen(name));
    const char *near =
        words_within(as.bytes, as.size, border_names, VEIN_BORDERS, 2);
    return near != NULL && strcmp(near, name) != 0 ? near : NULL;
}

static double caudally(bl_end travel, double position_mm) {
    return travel == BL_END_CAUDAL ? position_mm : -position_mm;
}

vein_line vein_line_of(const bl_pullback *pullback) {
    vein_line out = {.travel = pullback->travel};
    for (unsigned i = 0; i < VEIN_BORDERS; i++) {
        const bl_mark *mark = vein_border(pullback, i);
        out.border_mm[i] = mark == NULL
                               ? UNKNOWN
                               : caudally(pullback->travel, mark->position_mm);
    }
    return out;
}

bl_vein vein_line_at(const vein_line *line, double position_mm) {
    double at = caudally(line->travel, position_mm);
    double cranial = -(double)INFINITY;
    for (unsigned i = 0; i <= VEIN_BORDERS; i++) {
        double caudal =
            i < VEIN_BORDERS ? line->border_mm[i] : (double)INFINITY;
        /* Comparisons with a missing mark, NaN, are false. */
        if (at >= cranial && at < caudal) {
            return (bl_vein)(BL_VEIN_CAVA + i);
        }
        cranial = caudal;
    }
    return BL_VEIN_UNKNOWN;
}

bl_vein bl_pullback_vein_at(const bl_pullback *pullback, double position_mm) {
    vein_line line = vein_line_of(pullback);
    return vein_line_at(&line, position_mm);
}

double bl_vein_normal_area_mm2(bl_vein vein) {
    switch (vein) {
    case BL_VEIN_COMMON_ILIAC:
        return 200.0;
    case BL_VEIN_EXTERNAL_ILIAC:
        return 150.0;
    case BL_VEIN_COMMON_FEMORAL:
        return 125.0;
    case BL_VEIN_UNKNOWN:
    case BL_VEIN_CAVA:
    case BL_VEIN_FEMORAL:
    default:
        return UNKNOWN;
    }
}
