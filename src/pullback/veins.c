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

/* The last parts none of the five: it tells where another vein begins. */
static const char *const border_names[VEIN_BORDERS + 1] = {
    "iliocaval_confluence", "internal_iliac_confluence", "inguinal_ligament",
    "femoral_confluence", "deep_femoral_mouth"};

const char *vein_border_name(unsigned border) {
    return border_names[border];
}

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
        words_within(as.bytes, as.size, border_names, VEIN_BORDERS + 1, 2);
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

/* The known borders, from cranial to caudal whatever their names say. */
static size_t sorted_borders(const vein_line *line, double out[VEIN_BORDERS]) {
    size_t count = 0;
    for (unsigned i = 0; i < VEIN_BORDERS; i++) {
        if (isnan(line->border_mm[i])) {
            continue;
        }
        size_t at = count++;
        for (; at > 0 && out[at - 1] > line->border_mm[i]; at--) {
            out[at] = out[at - 1];
        }
        out[at] = line->border_mm[i];
    }
    return count;
}

/* The piece whose cranial end is border number `from`; a border belongs to the
 * vein caudal of it, so the end itself stands for all of the piece. */
static vein_piece piece_at(const vein_line *line, const double *borders,
                           size_t count, size_t from) {
    double sign = line->travel == BL_END_CAUDAL ? 1.0 : -1.0;
    double cranial = from == 0 ? -HUGE_VAL : borders[from - 1];
    double caudal = from < count ? borders[from] : HUGE_VAL;
    bl_vein vein = vein_line_at(line, sign * cranial);
    return sign > 0.0 ? (vein_piece){{cranial, caudal}, vein}
                      : (vein_piece){{-caudal, -cranial}, vein};
}

size_t vein_line_pieces(const vein_line *line, vein_piece out[VEIN_PIECES]) {
    double borders[VEIN_BORDERS];
    size_t count = sorted_borders(line, borders);
    size_t held = 0;
    for (size_t i = 0; i <= count; i++) {
        size_t from = line->travel == BL_END_CAUDAL ? i : count - i;
        vein_piece next = piece_at(line, borders, count, from);
        if (!(next.span.to_mm > next.span.from_mm)) {
            continue;
        }
        if (held > 0 && out[held - 1].vein == next.vein) {
            out[held - 1].span.to_mm = next.span.to_mm;
        } else {
            out[held++] = next;
        }
    }
    return held;
}

bool vein_piece_holds(const vein_piece *piece, bl_end travel,
                      double position_mm) {
    bl_span span = piece->span;
    return travel == BL_END_CAUDAL
               ? position_mm >= span.from_mm && position_mm < span.to_mm
               : position_mm > span.from_mm && position_mm <= span.to_mm;
}

bl_vein bl_pullback_vein_at(const bl_pullback *pullback, double position_mm) {
    vein_line line = vein_line_of(pullback);
    return vein_line_at(&line, position_mm);
}
