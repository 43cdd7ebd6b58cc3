/*
 * finder.c - a search for healthy vein.
 *
 * The line is parted where healthy calibre steps (divisions.h), and each part
 * is to have its own reference. A candidate is REFERENCE_MM of vein at or below
 * the shoulder level, not flattened, without a flagged frame or a gap, of
 * stable calibre, and not far below the published normal: a uniformly scarred
 * vein is steady and round too. Narrowing and reference depend on each other,
 * so the search starts from a provisional taper between the larger calibres of
 * either half of each part, and is repeated with what it found until the same
 * stretches come back. In a part with a narrowing the best candidate on each
 * side of the worst one is taken, nearness counting against unsteadiness;
 * without one, one in each half, nearness to its end counting.
 *
 * A part without healthy vein lies between those of its neighbours, or takes
 * that of the one that has it; but never that of the cava, and never that of
 * the next vein but one. All limits here are our own measures.
 */
#include "assess/divisions.h"
#include "assess/workings.h"

#include "base/circle.h"
#include "base/constants.h"
#include "base/message.h"
#include "profile/median.h"
#include "pullback/veins.h"

#include <math.h>

#define ROUNDS_MAX 10
/* Kept from a narrowing's shoulder, where the calibre still rises. */
#define MARGIN_MM 3.0
/* Standard deviation and end-to-end trend of the diameter in a window, as a
 * share of its mean. */
#define STEADY_SHARE 0.06
#define TREND_SHARE 0.10
/* A window is lengthened while it stays a candidate, up to this. */
#define WINDOW_MAX_MM 20.0
/* A millimetre further away counts as much as this share of unsteadiness. */
#define DISTANCE_COST_PER_MM (STEADY_SHARE / 50.0)
#define UPPER_QUARTILE 0.75
/* The provisional calibre of a half: what a tenth of it exceeds, but no less
 * than what the larger half tapers to (published nominal diameters fall from
 * 16 mm, common iliac, to 12 mm, common femoral). */
#define UPPER_TENTH 0.90
#define TAPER_MOST 0.75
/* Below this share of the normal area steady vein is not taken for healthy;
 * where the vein is not known, of the smallest normal. */
#define SCARRED_SHARE 0.6

typedef struct window {
    size_t first;
    size_t last;
    double cost; /* HUGE_VAL: none */
} window;

/* What was found in one part of the line, on either side. */
typedef struct sides {
    window before;
    window after;
} sides;

typedef struct search {
    const workings *work;
    divisions parts;
    bool *clear;   /* no flag of its own, no left-out frame beside it */
    bool *healthy; /* and round, and at or below the shoulder level */
    double *total; /* running sums of the diameter and its square */
    double *square;
    double flatness;       /* upper quartile */
    reference provisional; /* serves while two segments are not found */
    bool small_too;        /* candidates far below the normal as well */
} search;

/* What is traced of a part; to_mm below from_mm when nothing is. */
static bl_span traced_of(const search *in, size_t part) {
    const profile *along = &in->work->profile;
    bl_span span = in->parts.pieces[part].span;
    return (bl_span){
        fmax(span.from_mm, along->points[0].position_mm),
        fmin(span.to_mm, along->points[along->count - 1].position_mm)};
}

static double upper_flatness(const workings *work, weighted *pairs) {
    const profile *along = &work->profile;
    size_t held = 0;
    for (size_t i = 0; i < along->count; i++) {
        double value = profile_flatness(&along->points[i]);
        if (!isnan(value)) {
            pairs[held++] = (weighted){
                value, profile_weight_mm(along->points, along->count, i)};
        }
    }
    return median_weighted_quantile(pairs, held, UPPER_QUARTILE);
}

/* The diameter that a tenth of the stretch between two positions exceeds. */
static double upper_diameter_mm(const workings *work, bl_span span,
                                weighted *pairs) {
    const profile *along = &work->profile;
    size_t held = 0;
    for (size_t i = profile_lower_bound(along, span.from_mm);
         i < along->count && along->points[i].position_mm <= span.to_mm; i++) {
        pairs[held++] =
            (weighted){along->points[i].equivalent_diameter_mm,
                       profile_weight_mm(along->points, along->count, i)};
    }
    return median_weighted_quantile(pairs, held, UPPER_TENTH);
}

static bl_segment provisional_segment(const search *in, bl_span span,
                                      double diameter_mm) {
    return (bl_segment){
        .span = span,
        .area_mm2 = circle_area_mm2(diameter_mm),
        .equivalent_diameter_mm = diameter_mm,
        .perimeter_mm = PI * diameter_mm,
        .flatness = in->flatness,
    };
}

/* The larger calibre of each half of a part; NaN where it holds no frame. */
static void measure_halves(search *in, weighted *pairs,
                           double halves[REFERENCE_PIECES][2]) {
    for (size_t i = 0; i < in->parts.count; i++) {
        bl_span all = traced_of(in, i);
        double middle = 0.5 * (all.from_mm + all.to_mm);
        halves[i][0] =
            upper_diameter_mm(in->work, (bl_span){all.from_mm, middle}, pairs);
        halves[i][1] =
            upper_diameter_mm(in->work, (bl_span){middle, all.to_mm}, pairs);
        /* fmax passes over NaN. */
        double least = TAPER_MOST * fmax(halves[i][0], halves[i][1]);
        halves[i][0] = fmax(halves[i][0], least);
        halves[i][1] = fmax(halves[i][1], least);
    }
}

/* Healthy vein is no narrower than the vein caudal of it, and no more than so
 * much narrower than the vein cranial of it, but for the cava. */
static void bound_halves(const search *in, double halves[REFERENCE_PIECES][2]) {
    size_t count = in->parts.count;
    bool caudally = in->work->pullback->travel == BL_END_CAUDAL;
    for (size_t k = 1; k < count; k++) {
        size_t i = caudally ? count - 1 - k : k;
        size_t caudal = caudally ? i + 1 : i - 1;
        double least = fmin(halves[caudal][0], halves[caudal][1]);
        halves[i][0] = fmax(halves[i][0], least);
        halves[i][1] = fmax(halves[i][1], least);
    }
    for (size_t k = 1; k < count; k++) {
        size_t i = caudally ? k : count - 1 - k;
        size_t cranial = caudally ? i - 1 : i + 1;
        if (in->parts.pieces[cranial].vein != BL_VEIN_CAVA) {
            double least =
                TAPER_MOST * fmax(halves[cranial][0], halves[cranial][1]);
            halves[i][0] = fmax(halves[i][0], least);
            halves[i][1] = fmax(halves[i][1], least);
        }
    }
}

static void set_provisional(search *in, weighted *pairs) {
    double halves[REFERENCE_PIECES][2];
    reference *out = &in->provisional;
    *out = (reference){.rule = BL_RULE_TAPER,
                       .piece_count = in->parts.count,
                       .travel = in->work->pullback->travel};
    measure_halves(in, pairs, halves);
    bound_halves(in, halves);
    for (size_t i = 0; i < in->parts.count; i++) {
        bl_span all = traced_of(in, i);
        double middle = 0.5 * (all.from_mm + all.to_mm);
        size_t first = 2 * i;
        out->segments[first] = provisional_segment(
            in, (bl_span){all.from_mm, middle}, halves[i][0]);
        out->segments[first + 1] =
            provisional_segment(in, (bl_span){middle, all.to_mm}, halves[i][1]);
        out->pieces[i] = (reference_piece){.piece = in->parts.pieces[i],
                                           .segments = {first, first + 1},
                                           .count = 2,
                                           .area_mm2 = UNKNOWN};
    }
    out->count = 2 * in->parts.count;
    reference_ends(out, UNKNOWN);
}

/* A left-out frame spoils the frames on both sides of it. What is doubted by
 * its points is told and decides nothing. */
static void mark_clear(search *in) {
    const workings *work = in->work;
    const profile *along = &work->profile;
    for (size_t i = 0; i < along->count; i++) {
        const bl_row *row = &work->rows[along->points[i].row];
        in->clear[i] = (row->measures.flags & ~(uint32_t)BL_FLAG_DOUBTED) == 0;
    }
    for (size_t i = 0; i < along->left_out_count; i++) {
        double x = work->rows[along->left_out[i]].position_mm;
        size_t next = profile_lower_bound(along, x);
        if (next < along->count) {
            in->clear[next] = false;
        }
        if (next > 0) {
            in->clear[next - 1] = false;
        }
    }
}

static bl_status search_start(search *in, const workings *work) {
    size_t count = work->profile.count;
    weighted *pairs = arena_alloc(work->owner, count, sizeof *pairs);
    *in = (search){
        .work = work,
        .clear = arena_alloc(work->owner, count, sizeof *in->clear),
        .healthy = arena_alloc(work->owner, count, sizeof *in->healthy),
        .total = arena_alloc(work->owner, count + 1, sizeof *in->total),
        .square = arena_alloc(work->owner, count + 1, sizeof *in->square),
    };
    if (pairs == NULL || in->clear == NULL || in->healthy == NULL ||
        in->total == NULL || in->square == NULL) {
        return BL_ERR_MEMORY;
    }
    bl_status status = divisions_find(work, &in->parts);
    if (status != BL_OK) {
        return status;
    }
    in->flatness = upper_flatness(work, pairs);
    set_provisional(in, pairs);
    mark_clear(in);
    for (size_t i = 0; i < count; i++) {
        double d = work->profile.points[i].equivalent_diameter_mm;
        in->total[i + 1] = in->total[i] + d;
        in->square[i + 1] = in->square[i] + d * d;
    }
    return BL_OK;
}

static void mark_healthy(search *in, const reference *now) {
    const workings *work = in->work;
    double share = workings_diameter_share(work->options.shoulder_pct);
    for (size_t i = 0; i < work->profile.count; i++) {
        const bl_profile_point *point = &work->profile.points[i];
        double wanted = reference_diameter_mm(now, point->position_mm);
        in->healthy[i] =
            in->clear[i] && point->equivalent_diameter_mm >= share * wanted &&
            profile_flatness(point) > FLATTENED_SHARE * in->flatness;
    }
}

/* Coefficient of variation of the diameter in a window; HUGE_VAL when its
 * ends differ by more than the trend allowed. */
static double unsteadiness(const search *in, size_t first, size_t last) {
    const bl_profile_point *points = in->work->profile.points;
    double frames = (double)(last - first + 1);
    double mean = (in->total[last + 1] - in->total[first]) / frames;
    double mean_square = (in->square[last + 1] - in->square[first]) / frames;
    double spread = sqrt(fmax(mean_square - mean * mean, 0.0)) / mean;
    double trend = fabs(points[last].equivalent_diameter_mm -
                        points[first].equivalent_diameter_mm) /
                   mean;
    return trend > TREND_SHARE || spread > STEADY_SHARE ? HUGE_VAL : spread;
}

/* Lengthens the window while it stays a candidate within the bounds. */
static window lengthen(const search *in, window from, bl_span bounds) {
    const profile *along = &in->work->profile;
    const bl_profile_point *points = along->points;
    bool grown = true;
    while (grown) {
        grown = false;
        size_t after = from.last + 1;
        if (after < along->count && !points[after].after_gap &&
            in->healthy[after] && points[after].position_mm <= bounds.to_mm &&
            points[after].position_mm - points[from.first].position_mm <=
                WINDOW_MAX_MM &&
            unsteadiness(in, from.first, after) < HUGE_VAL) {
            from.last = after;
            grown = true;
        }
        size_t before = from.first - 1;
        if (!points[from.first].after_gap && in->healthy[before] &&
            points[before].position_mm >= bounds.from_mm &&
            points[from.last].position_mm - points[before].position_mm <=
                WINDOW_MAX_MM &&
            unsteadiness(in, before, from.last) < HUGE_VAL) {
            from.first = before;
            grown = true;
        }
    }
    return from;
}

/* The diameter that steady vein of this part must have to be taken for
 * healthy. */
static double least_diameter_mm(const search *in, size_t part) {
    if (in->small_too) {
        return 0.0;
    }
    bl_vein vein = in->parts.pieces[part].vein;
    double normal = workings_normal_area_mm2(in->work, vein);
    if (isnan(normal)) {
        normal =
            workings_normal_area_mm2(in->work, workings_least_normal(in->work));
    }
    /* A user's table may tell nothing at all. */
    normal = isnan(normal) ? 0.0 : normal;
    return circle_diameter_mm(SCARRED_SHARE * normal);
}

/* What a window costs; HUGE_VAL when it is no candidate. */
static double cost_of(const search *in, size_t first, size_t last,
                      double near_mm, double least_mm) {
    const bl_profile_point *points = in->work->profile.points;
    double from = points[first].position_mm;
    double to = points[last].position_mm;
    double mean =
        (in->total[last + 1] - in->total[first]) / (double)(last - first + 1);
    if (to - from < REFERENCE_MM || mean < least_mm) {
        return HUGE_VAL;
    }
    double away = fmin(fabs(from - near_mm), fabs(to - near_mm));
    return unsteadiness(in, first, last) + away * DISTANCE_COST_PER_MM;
}

/* The best window within bounds; cost grows with distance from near_mm. */
static window best_window(const search *in, bl_span bounds, double near_mm,
                          double least_mm) {
    const profile *along = &in->work->profile;
    const bl_profile_point *points = along->points;
    window best = {0, 0, HUGE_VAL};
    size_t first = profile_lower_bound(along, bounds.from_mm);
    for (size_t last = first;
         last < along->count && points[last].position_mm <= bounds.to_mm;
         last++) {
        if (!in->healthy[last]) {
            first = last + 1;
            continue;
        }
        if (points[last].after_gap) {
            first = last;
        }
        while (first + 1 <= last &&
               points[last].position_mm - points[first + 1].position_mm >=
                   REFERENCE_MM) {
            first++;
        }
        double cost = cost_of(in, first, last, near_mm, least_mm);
        if (cost < best.cost) {
            best = (window){first, last, cost};
        }
    }
    return best.cost < HUGE_VAL ? lengthen(in, best, bounds) : best;
}

/* Every narrowing under the reference of this round, in `round`. */
static bl_status narrowings_of(const search *in, const reference *now,
                               arena *round, bl_narrowing **list,
                               size_t *count) {
    workings work = *in->work;
    work.reference = *now;
    work.owner = round;
    return narrowing_find(&work, list, count);
}

/* The worst of those that reach into the part; NULL when none does. */
static const bl_narrowing *worst_in(bl_span part, const bl_narrowing *list,
                                    size_t count) {
    const bl_narrowing *worst = NULL;
    for (size_t i = 0; i < count; i++) {
        bool reaches = list[i].shoulders.to_mm > part.from_mm &&
                       list[i].shoulders.from_mm < part.to_mm;
        if (reaches && (worst == NULL || list[i].worst.area_stenosis_pct >
                                             worst->worst.area_stenosis_pct)) {
            worst = &list[i];
        }
    }
    return worst;
}

static sides choose_in(const search *in, size_t part,
                       const bl_narrowing *worst) {
    bl_span all = traced_of(in, part);
    double least = least_diameter_mm(in, part);
    double middle = 0.5 * (all.from_mm + all.to_mm);
    bl_span before = {all.from_mm, middle};
    bl_span after = {middle, all.to_mm};
    double near_before = all.from_mm;
    double near_after = all.to_mm;
    if (worst != NULL) {
        before.to_mm = fmin(worst->shoulders.from_mm - MARGIN_MM, all.to_mm);
        after.from_mm = fmax(worst->shoulders.to_mm + MARGIN_MM, all.from_mm);
        near_before = before.to_mm;
        near_after = after.from_mm;
    }
    return (sides){best_window(in, before, near_before, least),
                   best_window(in, after, near_after, least)};
}

static bl_status choose(const search *in, const reference *now,
                        sides out[REFERENCE_PIECES]) {
    arena round = {0};
    bl_narrowing *list = NULL;
    size_t count = 0;
    bl_status status = narrowings_of(in, now, &round, &list, &count);
    for (size_t i = 0; status == BL_OK && i < in->parts.count; i++) {
        out[i] = choose_in(in, i, worst_in(traced_of(in, i), list, count));
    }
    arena_free(&round);
    return status;
}

/* --------------------------------------------------- from windows to pieces */

static void add_window(const search *in, const window *found,
                       reference_piece *to, reference *out) {
    const profile *along = &in->work->profile;
    if (found->cost < HUGE_VAL) {
        bl_span span = {along->points[found->first].position_mm,
                        along->points[found->last].position_mm};
        to->segments[to->count++] = out->count;
        /* A window holds frames, so this cannot fail. */
        (void)reference_segment(along->points, along->count, span,
                                &out->segments[out->count++]);
    }
}

/* Whether a part's own reference may serve the part beside it. */
static bool may_lend(const reference *of, size_t part, size_t own) {
    return own > 0 && of->pieces[part].piece.vein != BL_VEIN_CAVA;
}

/* Between its neighbours, or as the one beside it that has healthy vein. */
static void fill_part(reference *of, size_t part,
                      const size_t own[REFERENCE_PIECES]) {
    reference_piece *to = &of->pieces[part];
    size_t before = part;
    size_t after = part + 1;
    while (before > 0 && !may_lend(of, before - 1, own[before - 1])) {
        before--;
    }
    while (after < of->piece_count && !may_lend(of, after, own[after])) {
        after++;
    }
    bool any_before = before > 0;
    bool any_after = after < of->piece_count;
    bool between = any_before && any_after;
    if (any_before && (between || before == part)) {
        const reference_piece *from = &of->pieces[before - 1];
        to->segments[to->count++] = from->segments[own[before - 1] - 1];
    }
    if (any_after && (between || after == part + 1)) {
        to->segments[to->count++] = of->pieces[after].segments[0];
    }
}

static void reference_from(const search *in,
                           const sides found[REFERENCE_PIECES],
                           reference *out) {
    size_t own[REFERENCE_PIECES] = {0};
    *out = (reference){.rule = in->work->options.rule,
                       .piece_count = in->parts.count,
                       .travel = in->work->pullback->travel};
    for (size_t i = 0; i < in->parts.count; i++) {
        reference_piece *piece = &out->pieces[i];
        *piece = (reference_piece){.piece = in->parts.pieces[i],
                                   .area_mm2 = UNKNOWN};
        add_window(in, &found[i].before, piece, out);
        add_window(in, &found[i].after, piece, out);
        own[i] = piece->count;
    }
    for (size_t i = 0; i < in->parts.count; i++) {
        /* Iliac vein is too small for the cava. */
        if (own[i] == 0 && out->pieces[i].piece.vein != BL_VEIN_CAVA) {
            fill_part(out, i, own);
        }
    }
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
    return out;
}

static bool same_spans(const reference *a, const reference *b) {
    bool same = a->count == b->count;
    for (size_t i = 0; same && i < a->count; i++) {
        same = fabs(a->segments[i].span.from_mm - b->segments[i].span.from_mm) <
                   EDGE_MM &&
               fabs(a->segments[i].span.to_mm - b->segments[i].span.to_mm) <
                   EDGE_MM;
    }
    return same;
}

static bl_status none_steady(const workings *work) {
    return message_set(
        work->message, BL_ERR_REFERENCE, 0, 0,
        "no healthy vein was found to serve as reference (it takes 10 mm of "
        "steady, round, unflagged vein outside every narrowing); look at the "
        "profile with 'boreline plot' and name a stretch with --reference "
        "A..B, once or twice, or where marks tell the veins use --reference "
        "expected");
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
    text_add(&words, " mm2, less than 60 % of the normal area, and may be "
                     "scarred throughout; where marks tell the veins use "
                     "--reference expected, or name a stretch that you know "
                     "to be healthy with --reference A..B");
    return text_message(&words, BL_ERR_REFERENCE, work->message);
}

/* Says whether there is no steady vein, or none of healthy calibre. */
static bl_status none_found(search *in, const reference *basis) {
    sides found[REFERENCE_PIECES] = {{{0, 0, 0.0}, {0, 0, 0.0}}};
    in->small_too = true;
    bl_status status = choose(in, basis, found);
    if (status != BL_OK) {
        return status;
    }
    reference small;
    reference_from(in, found, &small);
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
               ? "found: steady healthy vein at each end"
               : "found: steady healthy vein on one side only; the other side "
                 "has none";
}

bl_status finder_search(const workings *work, reference *out, bool *settled,
                        const char **why) {
    search in;
    bl_status status = search_start(&in, work);
    if (status != BL_OK) {
        return status;
    }
    reference now = {.piece_count = 0};
    *settled = false;
    for (int round = 0; round < ROUNDS_MAX && !*settled; round++) {
        sides found[REFERENCE_PIECES] = {{{0, 0, 0.0}, {0, 0, 0.0}}};
        reference basis = basis_of(&in, &now);
        mark_healthy(&in, &basis);
        status = choose(&in, &basis, found);
        if (status != BL_OK) {
            return status;
        }
        reference next;
        reference_from(&in, found, &next);
        if (next.count == 0) {
            return none_found(&in, &basis);
        }
        *settled = round > 0 && same_spans(&now, &next);
        now = next;
    }
    *why = why_of(&now);
    *out = now;
    return BL_OK;
}
