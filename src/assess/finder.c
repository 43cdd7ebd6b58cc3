/*
 * finder.c - a search for healthy vein.
 *
 * The line is parted where healthy calibre steps, long parts are cut
 * (divisions.h), and each piece is to have stretches of its own: on either side
 * of its worst narrowing, or in either half, that of best score (score.c) among
 * steady, round vein of healthy calibre (candidates.c). Narrowing and reference
 * depend on each other, so the search starts from a provisional taper
 * (search.c) and is repeated with what it found until the same stretches come
 * back, or ROUNDS_MAX is reached, which is told. From stretch to stretch the
 * calibre runs as links.c says.
 *
 * A vein without healthy vein lies between those of its neighbours, or takes
 * that of the one that has it; but never that of the cava, and never that of
 * the next vein but one. All limits here are our own measures.
 */
#include "assess/search.h"

#include "base/constants.h"
#include "base/message.h"

#include <math.h>

#define ROUNDS_MAX 20
/* Of the diameter; noise and breath leave less over 10 mm. */
#define NARROWER_SHARE 0.03

/* --------------------------------------------------- from windows to pieces */

/* Of a side the stretch of that rank, or the last that it has. */
static void add_window(const search *in, const side *found, size_t rank,
                       reference_piece *to, reference *out) {
    const profile *along = &in->work->profile;
    if (found->count > 0) {
        const window *one =
            &found->list[rank < found->count ? rank : found->count - 1];
        bl_span span = {along->points[one->first].position_mm,
                        along->points[one->last].position_mm};
        to->segments[to->count++] = out->count;
        /* A window holds frames, so this cannot fail. */
        (void)reference_segment(along->points, along->count, span,
                                &out->segments[out->count++]);
    }
}

/* Whether a piece's own reference may serve another: in its own vein, or in
 * another where neither is the cava, for which iliac vein is too small. */
static bool may_lend(const search *in, const size_t own[REFERENCE_PIECES],
                     size_t from, size_t to) {
    const vein_piece *pieces = in->parts.pieces;
    bool same = divisions_marks(&in->parts, from, to) == 0;
    return own[from] > 0 && (same || (pieces[from].vein != BL_VEIN_CAVA &&
                                      pieces[to].vein != BL_VEIN_CAVA));
}

/* Between its neighbours, or as the one of them that has healthy vein, in the
 * same vein or the next. */
static void fill_part(const search *in, reference *of, size_t part,
                      const size_t own[REFERENCE_PIECES]) {
    reference_piece *to = &of->pieces[part];
    size_t before = part;
    size_t after = part + 1;
    while (before > 0 && !may_lend(in, own, before - 1, part)) {
        before--;
    }
    while (after < of->piece_count && !may_lend(in, own, after, part)) {
        after++;
    }
    bool any_before = before > 0;
    bool any_after = after < of->piece_count;
    bool between = any_before && any_after;
    if (any_before &&
        (between || divisions_marks(&in->parts, before - 1, part) < 2)) {
        const reference_piece *from = &of->pieces[before - 1];
        to->segments[to->count++] = from->segments[own[before - 1] - 1];
    }
    if (any_after &&
        (between || divisions_marks(&in->parts, part, after) < 2)) {
        to->segments[to->count++] = of->pieces[after].segments[0];
    }
}

/* rank 0: of the best stretch on every side; 1: of the next best, where there
 * is one. */
static void reference_from(const search *in,
                           const sides found[REFERENCE_PIECES], size_t rank,
                           reference *out) {
    size_t own[REFERENCE_PIECES] = {0};
    *out = (reference){.rule = in->work->options.rule,
                       .piece_count = in->parts.count,
                       .travel = in->work->pullback->travel};
    for (size_t i = 0; i < in->parts.count; i++) {
        reference_piece *piece = &out->pieces[i];
        *piece = (reference_piece){.piece = in->parts.pieces[i],
                                   .area_mm2 = UNKNOWN};
        add_window(in, &found[i].of[0], rank, piece, out);
        add_window(in, &found[i].of[1], rank, piece, out);
        own[i] = piece->count;
    }
    for (size_t i = 0; i < in->parts.count; i++) {
        if (own[i] == 0) {
            fill_part(in, out, i, own);
        }
    }
    links_join(in, out);
    reference_ends(out, UNKNOWN);
}

/* What the next round is held against: a part that has not two stretches of
 * its own keeps its provisional calibre. */
static reference basis_of(const search *in, const reference *now) {
    reference out = in->provisional;
    for (size_t i = 0; i < now->piece_count; i++) {
        const reference_piece *found = &now->pieces[i];
        bool own = found->count == 2;
        for (size_t k = 0; own && k < 2; k++) {
            bl_span span = now->segments[found->segments[k]].span;
            own = span.from_mm >= found->piece.span.from_mm &&
                  span.to_mm <= found->piece.span.to_mm;
        }
        if (own) {
            out.segments[2 * i] = now->segments[found->segments[0]];
            out.segments[2 * i + 1] = now->segments[found->segments[1]];
        }
    }
    links_join(in, &out);
    return out;
}

bool finder_same(const reference *a, const reference *b) {
    bool same = a->count == b->count;
    for (size_t i = 0; same && i < a->count; i++) {
        same = fabs(a->segments[i].span.from_mm - b->segments[i].span.from_mm) <
                   EDGE_MM &&
               fabs(a->segments[i].span.to_mm - b->segments[i].span.to_mm) <
                   EDGE_MM;
    }
    return same;
}

/* A narrowing with healthy vein on both sides takes more. */
#define SHORT_MM 20.0

static bl_status none_steady(const workings *work) {
    const profile *along = &work->profile;
    double length_mm = along->points[along->count - 1].position_mm -
                       along->points[0].position_mm;
    text length = {0};
    if (length_mm < SHORT_MM) {
        text_add(&length, ", and the traced vein is only ");
        text_fixed(&length, length_mm, 1);
        text_add(&length, " mm long: check positions, speed and their unit");
    }
    bl_status status = message_set(
        work->message, BL_ERR_REFERENCE, 0, 0,
        "no healthy vein was found to serve as reference (it takes 10 mm of "
        "steady, round, unflagged vein outside every narrowing%s); look at the "
        "profile with 'boreline plot' and name a stretch with --reference "
        "A..B, once or twice, or where marks tell the veins use --reference "
        "expected",
        text_c(&length));
    text_free(&length);
    return status;
}

static bl_status none_large(const workings *work, const bl_segment *widest) {
    text words = {0};
    text_add(&words, "no healthy vein was found to serve as reference: the "
                     "widest steady stretch, ");
    text_fixed(&words, widest->span.from_mm, 1);
    text_add(&words, "..");
    text_fixed(&words, widest->span.to_mm, 1);
    text_add(&words, " mm, has ");
    text_fixed(&words, widest->area_mm2, 1);
    text_add(&words, " mm2, less than 60 % of the normal area (80 % of the "
                     "smallest where marks do not tell the vein), and may be "
                     "scarred throughout; where marks tell the veins use "
                     "--reference expected, or name a stretch that you know "
                     "to be healthy with --reference A..B");
    return text_message(&words, BL_ERR_REFERENCE, work->message);
}

/* Says whether there is no steady vein, or none of healthy calibre. */
static bl_status none_found(search *in, const reference *basis) {
    sides found[REFERENCE_PIECES] = {{{{.count = 0}}}};
    in->small_too = true;
    bl_status status = candidates_choose(in, basis, found);
    if (status != BL_OK) {
        return status;
    }
    reference small;
    reference_from(in, found, 0, &small);
    const bl_segment *widest = &small.segments[0];
    for (size_t i = 1; i < small.count; i++) {
        if (small.segments[i].area_mm2 > widest->area_mm2) {
            widest = &small.segments[i];
        }
    }
    return small.count == 0 ? none_steady(in->work)
                            : none_large(in->work, widest);
}

static const char *why_of(const reference *found) {
    if (found->piece_count > 1) {
        return "found: steady healthy vein in each part of the line, as far as "
               "there is some; parts end where calibre steps";
    }
    return found->count == 2
               ? "found: steady healthy vein on two sides"
               : "found: steady healthy vein on one side only; the other side "
                 "has none";
}

/* It is full no more. */
static void strike(search *in, const window *one) {
    for (size_t i = one->first; i <= one->last; i++) {
        in->full[i] = false;
    }
}

/* Healthy vein is no narrower than vein caudal of it: a stretch that is, in the
 * same vein or unmarked line, is a flank that its frames did not give away. */
static void strike_narrower(search *in, const sides found[REFERENCE_PIECES]) {
    bool caudally = in->work->pullback->travel == BL_END_CAUDAL;
    size_t count = in->parts.count;
    double widest = 0.0;
    for (size_t k = 0; k < count; k++) {
        size_t i = caudally ? count - 1 - k : k;
        size_t border = caudally ? i + 1 : i;
        if (k > 0 && in->parts.begins[border] == DIVISION_MARK) {
            widest = 0.0;
        }
        for (size_t m = 0; m < 2; m++) {
            const side *on = &found[i].of[caudally ? 1 - m : m];
            if (on->count > 0) {
                const window *best = &on->list[0];
                double mean = candidates_mean_mm(in, best->first, best->last);
                if (mean < (1.0 - NARROWER_SHARE) * widest) {
                    strike(in, best);
                }
                widest = fmax(widest, mean);
            }
        }
    }
}

/* Rounds until the same stretches come back. */
static bl_status settle(search *in, sides found[REFERENCE_PIECES],
                        found_reference *out) {
    *out = (found_reference){.settled = false};
    for (int round = 0; round < ROUNDS_MAX && !out->settled; round++) {
        reference basis = basis_of(in, &out->chosen);
        search_mark_healthy(in, &basis);
        bl_status status = candidates_choose(in, &basis, found);
        if (status != BL_OK) {
            return status;
        }
        strike_narrower(in, found);
        reference next;
        reference_from(in, found, 0, &next);
        if (next.count == 0) {
            return none_found(in, &basis);
        }
        out->settled = round > 0 && finder_same(&out->chosen, &next);
        out->chosen = next;
    }
    out->why = why_of(&out->chosen);
    return BL_OK;
}

static void set_runner_up(const search *in, const sides found[REFERENCE_PIECES],
                          found_reference *out) {
    bool any = false;
    for (size_t i = 0; i < in->parts.count; i++) {
        any = any || found[i].of[0].count > 1 || found[i].of[1].count > 1;
    }
    if (any) {
        reference_from(in, found, 1, &out->runner_up);
    }
}

bl_status finder_search(const workings *work, found_reference *out) {
    arena scratch = {0};
    workings own = *work;
    own.owner = &scratch;
    search in;
    sides found[REFERENCE_PIECES] = {{{{.count = 0}}}};
    bl_status status = search_start(&in, &own);
    if (status == BL_OK) {
        status = settle(&in, found, out);
    }
    if (status == BL_OK) {
        links_fit(&in, &out->chosen);
        set_runner_up(&in, found, out);
        links_fit(&in, &out->runner_up);
        if (work->options.explain) {
            status = explain_list(&in, found, work->owner, out);
        }
    }
    arena_free(&scratch);
    return status;
}
