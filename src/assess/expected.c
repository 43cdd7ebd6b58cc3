/*
 * expected.c - the reference that is no stretch of this vein: the area expected
 * of each vein, where marks tell it.
 *
 * Constant within a vein, so it steps at marks; a vein of which no area is
 * expected has no reference, and its neighbours do not lend it theirs.
 */
#include "assess/workings.h"

#include "base/message.h"

#include <math.h>

/* Veins told by marks, of which areas are expected, among what was traced. */
typedef struct tally {
    size_t known;
    size_t expected;
} tally;

static tally count_points(const workings *work) {
    tally found = {0, 0};
    for (size_t i = 0; i < work->profile.count; i++) {
        double x = work->profile.points[i].position_mm;
        bl_vein vein = vein_line_at(&work->veins, x);
        found.known += vein != BL_VEIN_UNKNOWN;
        found.expected += isnan(workings_normal_area_mm2(work, vein)) ? 0 : 1;
    }
    return found;
}

static bl_status check_points(const workings *work) {
    tally found = count_points(work);
    if (found.known == 0) {
        return message_set(
            work->message, BL_ERR_REFERENCE, 0, 0,
            "no mark tells which vein was traced, so no area is expected of "
            "it; give the marks at both of its ends, as in --mark "
            "'iliocaval_confluence @ 10' --mark 'internal_iliac_confluence @ "
            "80'; the others are inguinal_ligament and femoral_confluence");
    }
    if (found.expected == 0) {
        return message_set(
            work->message, BL_ERR_REFERENCE, 0, 0,
            work->options.expected == NULL
                ? "no area is expected of any vein that was traced and that "
                  "marks tell; give more marks with --mark, your own areas "
                  "in a table for --expected, or a stretch with --reference "
                  "A..B"
                : "the table of expected areas has none of a vein that was "
                  "traced and that marks tell; add a row to it, give the side "
                  "(--side) where its rows have one, more marks with --mark, "
                  "or a stretch with --reference A..B");
    }
    return BL_OK;
}

bl_status expected_reference(const workings *work, reference *out) {
    bl_status status = check_points(work);
    if (status != BL_OK) {
        return status;
    }
    vein_piece pieces[VEIN_PIECES];
    reference made = {.rule = work->options.rule, .travel = work->veins.travel};
    made.piece_count = vein_line_pieces(&work->veins, pieces);
    for (size_t i = 0; i < made.piece_count; i++) {
        made.pieces[i] = (reference_piece){
            .piece = pieces[i],
            .area_mm2 = workings_normal_area_mm2(work, pieces[i].vein),
        };
    }
    reference_link_pieces(&made);
    *out = made;
    return BL_OK;
}

bl_status expected_why(const workings *work, const char **out) {
    text words = {0};
    text_add(&words, "expected: the ");
    text_add(&words, work->options.expected == NULL
                         ? "published normal minimal area"
                         : "normal area");
    text_add(&words, " of each vein, which marks tell (");
    text_add(&words, bl_normals_source(work->options.expected));
    text_add(&words, "); shapes are held against a circle");
    char *kept =
        words.failed ? NULL : arena_text(work->owner, words.bytes, words.size);
    text_free(&words);
    if (kept == NULL) {
        return BL_ERR_MEMORY;
    }
    *out = kept;
    return BL_OK;
}
