/*
 * vein_table.c - what was found, vein by vein, where marks tell the veins.
 *
 * The line is parted at the marks, so the parts cover every millimetre once: a
 * narrowing across a mark counts in both veins with what lies in each.
 */
#include "assess/workings.h"

#include "base/constants.h"

#include <math.h>

/* How much of a lies in b. */
static double shared_mm(bl_span a, bl_span b) {
    return fmax(fmin(a.to_mm, b.to_mm) - fmax(a.from_mm, b.from_mm), 0.0);
}

/* The part of the piece that lies between the first and the last frame. */
static bl_span within_frames(const profile *along, bl_span piece) {
    double first = along->points[0].position_mm;
    double last = along->points[along->count - 1].position_mm;
    return (bl_span){fmax(piece.from_mm, first), fmin(piece.to_mm, last)};
}

static double traced_mm(const profile *along, bl_span in) {
    double sum = 0.0;
    for (size_t i = 1; i < along->count; i++) {
        const bl_profile_point *point = &along->points[i];
        if (!point->after_gap) {
            sum += shared_mm(
                (bl_span){point[-1].position_mm, point->position_mm}, in);
        }
    }
    return sum;
}

static double narrowed_mm(const bl_assessment *of, bl_span in) {
    double sum = 0.0;
    for (size_t i = 0; i < of->narrowing_count; i++) {
        sum += shared_mm(of->narrowings[i].span, in);
    }
    return sum;
}

static size_t compressions_in(const workings *work, const bl_assessment *of,
                              const vein_piece *piece) {
    size_t count = 0;
    for (size_t i = 0; i < of->compression_count; i++) {
        double x = of->compressions[i].place.position_mm;
        count += vein_piece_holds(piece, work->veins.travel, x);
    }
    return count;
}

static course_points points_in(const workings *work, const vein_piece *piece) {
    const profile *along = &work->profile;
    course_points out = {0, 0};
    while (out.first < along->count &&
           !vein_piece_holds(piece, work->veins.travel,
                             along->points[out.first].position_mm)) {
        out.first++;
    }
    out.end = out.first;
    while (out.end < along->count &&
           vein_piece_holds(piece, work->veins.travel,
                            along->points[out.end].position_mm)) {
        out.end++;
    }
    return out;
}

static size_t least_of(const profile *along, course_points among) {
    size_t best = among.first;
    for (size_t i = among.first; i < among.end; i++) {
        if (along->points[i].area_mm2 < along->points[best].area_mm2) {
            best = i;
        }
    }
    return best;
}

static bl_vein_row describe(const workings *work, const bl_assessment *of,
                            const vein_piece *piece, course_points among) {
    const profile *along = &work->profile;
    bl_vein_row out = {
        .vein = piece->vein,
        .span = within_frames(along, piece->span),
        .frames = among.end - among.first,
        .minimum = workings_place(work, least_of(along, among)),
        .narrowed_mm = UNKNOWN,
    };
    out.traced_mm = traced_mm(along, out.span);
    out.worst = out.minimum;
    /* A vein has a reference everywhere or nowhere. */
    out.has_reference = !isnan(out.minimum.reference_area_mm2);
    if (out.has_reference) {
        out.worst = workings_place(work, workings_worst_of(work, among));
        out.narrowed_mm = narrowed_mm(of, out.span);
        out.compression_count = compressions_in(work, of, piece);
    }
    return out;
}

bl_status vein_table_fill(const workings *work, bl_assessment *into) {
    vein_piece pieces[VEIN_PIECES];
    size_t count = vein_line_pieces(&work->veins, pieces);
    bl_vein_row *rows = arena_alloc(work->owner, count, sizeof *rows);
    if (rows == NULL) {
        return BL_ERR_MEMORY;
    }
    size_t held = 0;
    for (size_t i = 0; i < count; i++) {
        course_points among = points_in(work, &pieces[i]);
        if (pieces[i].vein != BL_VEIN_UNKNOWN && among.end > among.first) {
            rows[held++] = describe(work, into, &pieces[i], among);
        }
    }
    into->veins = rows;
    into->vein_count = held;
    return BL_OK;
}
