/*
 * explain.c - the stretches that a search for healthy vein looked at, with
 * their figures and what was made of each.
 *
 * Of each side of a part those that can serve come first. What is left of the
 * part falls into runs of frames that were passed over for one and the same
 * reason, of which the longest are listed.
 */
#include "assess/search.h"

#include "base/constants.h"

#include <math.h>

#define REJECTED_MOST ((size_t)8)
#define LISTED_MOST (2 * CANDIDATES_MOST + REJECTED_MOST)
/* The verdict on frames that a listed stretch holds, or a counted one may. */
#define SERVES BL_VERDICT_LOWER

typedef struct listing {
    const search *in;
    const sides *found;
    size_t part;
    bl_candidate *list;
    size_t count;
    size_t more_candidates;
    size_t more_rejected;
} listing;

/* Frames first to last, passed over for one reason. */
typedef struct run {
    size_t first;
    size_t last;
    bl_verdict verdict;
} run;

static double length_mm(const search *in, const run *of) {
    const bl_profile_point *points = in->work->profile.points;
    return points[of->last].position_mm - points[of->first].position_mm;
}

/* ------------------------------------------------------------- one stretch */

static bl_segment segment_of(const search *in, size_t first, size_t last) {
    const workings *work = in->work;
    const bl_profile_point *points = work->profile.points;
    bl_span span = {points[first].position_mm, points[last].position_mm};
    bl_segment out = {.span = span};
    /* It holds frames, so this cannot fail. */
    (void)reference_segment(points, work->profile.count, span, &out);
    workings_share_segment(work, &out);
    return out;
}

static void add(listing *to, size_t first, size_t last, bl_verdict verdict) {
    to->list[to->count++] = (bl_candidate){
        .part = to->part,
        .part_span = search_traced(to->in, to->part),
        .verdict = verdict,
        .score = {UNKNOWN, UNKNOWN, UNKNOWN, UNKNOWN, UNKNOWN, UNKNOWN},
        .segment = segment_of(to->in, first, last),
        .spread_pct = 100.0 * score_variation(to->in, first, last),
        .away_mm = UNKNOWN,
    };
}

static void add_side(listing *to, size_t number) {
    const side *on = &to->found[to->part].of[number];
    bl_end travel = to->in->work->pullback->travel;
    for (size_t i = 0; i < on->count; i++) {
        const window *one = &on->list[i];
        add(to, one->first, one->last,
            i == 0   ? BL_VERDICT_CHOSEN
            : i == 1 ? BL_VERDICT_RUNNER_UP
                     : BL_VERDICT_LOWER);
        bl_candidate *last = &to->list[to->count - 1];
        bl_span span = last->segment.span;
        last->score = one->score;
        last->away_mm = fmin(fabs(span.from_mm - on->near_mm),
                             fabs(span.to_mm - on->near_mm));
        last->segment.where = number == 1               ? travel
                              : travel == BL_END_CAUDAL ? BL_END_CRANIAL
                                                        : BL_END_CAUDAL;
    }
    to->more_candidates += on->more;
}

/* ---------------------------------------------------------------- the rest */

static bool is_listed(const listing *to, size_t frame) {
    bool found = false;
    for (size_t k = 0; k < 2; k++) {
        const side *on = &to->found[to->part].of[k];
        for (size_t i = 0; i < on->count; i++) {
            found = found ||
                    (frame >= on->list[i].first && frame <= on->list[i].last);
        }
    }
    return found;
}

/* Why a frame was passed over, as far as it alone tells; SERVES for none,
 * BL_VERDICT_SHORT for what of its neighbours is to tell. */
static bl_verdict reason_of(const listing *to, size_t frame) {
    const search *in = to->in;
    const side *both = to->found[to->part].of;
    double x = in->work->profile.points[frame].position_mm;
    if (is_listed(to, frame)) {
        return SERVES;
    }
    if (!in->clear[frame]) {
        return BL_VERDICT_FLAGGED;
    }
    if (!in->wide[frame]) {
        return BL_VERDICT_NARROWED;
    }
    bool beside = x > both[0].bounds.to_mm && x < both[1].bounds.from_mm;
    if (!in->full[frame]) {
        return beside ? BL_VERDICT_SHOULDER : BL_VERDICT_FLANK;
    }
    if (in->flank[frame]) {
        return BL_VERDICT_SHOULDER;
    }
    if (!in->healthy[frame]) {
        return BL_VERDICT_FLATTENED;
    }
    return beside ? BL_VERDICT_SHOULDER : BL_VERDICT_SHORT;
}

/* Of frames each of which is healthy. A steady window of healthy calibre among
 * them could have served, and is counted. */
static bl_verdict reason_of_run(const listing *to, const run *of) {
    const search *in = to->in;
    const bl_profile_point *points = in->work->profile.points;
    bl_verdict found = BL_VERDICT_SHORT;
    size_t first = of->first;
    for (size_t last = first; last <= of->last; last++) {
        while (first + 1 <= last &&
               points[last].position_mm - points[first + 1].position_mm >=
                   REFERENCE_MM) {
            first++;
        }
        if (points[last].position_mm - points[first].position_mm <
            REFERENCE_MM) {
            continue;
        }
        bool steady = score_spread(in, first, last) < HUGE_VAL;
        if (steady && candidates_mean_mm(in, first, last) >=
                          to->found[to->part].of[0].least_mm) {
            return SERVES;
        }
        if (found != BL_VERDICT_SMALL) {
            found = steady ? BL_VERDICT_SMALL : BL_VERDICT_UNSTEADY;
        }
    }
    return found;
}

/* Without a narrowing the sides meet, and no stretch goes across. */
static bool is_before(const listing *to, size_t frame) {
    return to->in->work->profile.points[frame].position_mm <=
           to->found[to->part].of[0].bounds.to_mm;
}

/* The next run from *frame on, before `end`, which moves past it. */
static run next_run(const listing *to, size_t *frame, size_t end) {
    const bl_profile_point *points = to->in->work->profile.points;
    run out = {*frame, *frame, reason_of(to, *frame)};
    size_t next = *frame + 1;
    while (next < end && !points[next].after_gap &&
           reason_of(to, next) == out.verdict &&
           (out.verdict != BL_VERDICT_SHORT ||
            is_before(to, next) == is_before(to, *frame))) {
        out.last = next++;
    }
    *frame = next;
    if (out.verdict == BL_VERDICT_SHORT) {
        out.verdict = reason_of_run(to, &out);
    }
    return out;
}

/* Keeps the longest, in position order; of equal ones the first. */
static void keep_longest(listing *to, run kept[REJECTED_MOST], size_t *count,
                         run one) {
    size_t shortest = 0;
    if (*count < REJECTED_MOST) {
        kept[(*count)++] = one;
        return;
    }
    to->more_rejected++;
    for (size_t i = 1; i < *count; i++) {
        if (length_mm(to->in, &kept[i]) < length_mm(to->in, &kept[shortest])) {
            shortest = i;
        }
    }
    if (length_mm(to->in, &one) > length_mm(to->in, &kept[shortest])) {
        for (size_t i = shortest; i + 1 < *count; i++) {
            kept[i] = kept[i + 1];
        }
        kept[*count - 1] = one;
    }
}

static void add_rejected(listing *to) {
    const profile *along = &to->in->work->profile;
    bl_span span = search_traced(to->in, to->part);
    size_t frame = profile_lower_bound(along, span.from_mm);
    size_t end = frame;
    while (end < along->count && along->points[end].position_mm <= span.to_mm) {
        end++;
    }
    run kept[REJECTED_MOST];
    size_t count = 0;
    while (frame < end) {
        run one = next_run(to, &frame, end);
        if (one.verdict != SERVES) {
            keep_longest(to, kept, &count, one);
        }
    }
    for (size_t i = 0; i < count; i++) {
        add(to, kept[i].first, kept[i].last, kept[i].verdict);
    }
}

bl_status explain_list(const search *in, const sides found[REFERENCE_PIECES],
                       arena *owner, found_reference *into) {
    listing to = {.in = in, .found = found};
    to.list =
        arena_alloc(owner, in->parts.count * LISTED_MOST, sizeof *to.list);
    if (to.list == NULL) {
        return BL_ERR_MEMORY;
    }
    for (; to.part < in->parts.count; to.part++) {
        add_side(&to, 0);
        add_side(&to, 1);
        add_rejected(&to);
    }
    into->candidates = to.list;
    into->candidate_count = to.count;
    into->more_candidates = to.more_candidates;
    into->more_rejected = to.more_rejected;
    return BL_OK;
}
