/*
 * links.c - how the calibre of healthy vein runs from one found stretch to the
 * next.
 *
 * Within a vein it goes straight from the middle of one to the middle of the
 * next. Where a border lies between two, each holds on its own side, and the
 * calibre changes in the wall of the confluence: where the profile does so, by
 * least squares, within MOVED_MM of the border and over no more than RAMP_MM on
 * either side; over that much where disease hides it (our own measures). Where
 * marks tell more borders than one, the first vein keeps its calibre to the
 * first, the last from the last on, and those between pass from the one to the
 * other. Past steps alone, or one that disease covers, it goes straight too.
 * Before the first stretch and after the last the calibre goes on as nominal
 * diameters do, or by half as much where marks tell that it is one vein.
 */
#include "assess/search.h"

#include "base/constants.h"

#include <math.h>

#define RAMP_MM 5.0
#define SHOWN_MM 10.0
#define BREAK_MM 5.0
/* Marks are set by eye. */
#define MOVED_MM 3.0
#define STEP_MM 0.5
#define HALVES ((size_t)(RAMP_MM / STEP_MM))
#define MOVES ((size_t)(MOVED_MM / STEP_MM))

/* Pieces first to before end whose stretches follow each other. */
typedef struct chain {
    size_t first;
    size_t end;
    size_t segment; /* the first and the last of their own */
    size_t last;
} chain;

static bool lies_in(const bl_segment *segment, bl_span span) {
    double middle = reference_middle_mm(segment);
    return middle >= span.from_mm && middle <= span.to_mm;
}

static bool is_own(const reference *of, size_t piece) {
    const reference_piece *one = &of->pieces[piece];
    return one->count > 0 &&
           lies_in(&of->segments[one->segments[0]], one->piece.span);
}

/* Whether a piece has nothing, or what another vein lends it from one side. */
static bool stands_alone(const search *in, const reference *of, size_t piece) {
    const reference_piece *one = &of->pieces[piece];
    if (one->count != 1 || is_own(of, piece)) {
        return one->count == 0;
    }
    double middle = reference_middle_mm(&of->segments[one->segments[0]]);
    size_t lender = 0;
    while (lender + 1 < of->piece_count &&
           middle > of->pieces[lender].piece.span.to_mm) {
        lender++;
    }
    return divisions_marks(&in->parts, lender, piece) > 0;
}

static bool same_lender(const reference_piece *a, const reference_piece *b) {
    return a->piece.vein == b->piece.vein && a->count == b->count &&
           (a->count == 0 || a->segments[0] == b->segments[0]);
}

/* ----------------------------------------------------------------- borders */

/* Whether a step shows the border itself: where disease begins, the vein beside
 * the step is narrower than that on either side of it. */
static bool shows(const search *in, double border_mm, double narrower_mm) {
    const profile *along = &in->work->profile;
    double least =
        narrower_mm * workings_diameter_share(in->work->options.shoulder_pct);
    bool wide = true;
    for (size_t i = profile_lower_bound(along, border_mm - SHOWN_MM);
         i < along->count &&
         along->points[i].position_mm <= border_mm + SHOWN_MM;
         i++) {
        wide = wide && along->points[i].equivalent_diameter_mm >= least;
    }
    return wide;
}

/* What parts the vein between two segments. */
typedef struct borders {
    bl_span marks; /* the first and the last */
    size_t mark_count;
    double step_mm; /* the last */
    size_t step_count;
} borders;

static borders borders_between(const search *in, bl_span between) {
    borders out = {.marks = {UNKNOWN, UNKNOWN}, .step_mm = UNKNOWN};
    for (size_t i = 1; i < in->parts.count; i++) {
        double at = in->parts.pieces[i].span.from_mm;
        if (at <= between.from_mm || at >= between.to_mm) {
            continue;
        }
        if (in->parts.begins[i] == DIVISION_MARK) {
            out.marks.from_mm = out.mark_count == 0 ? at : out.marks.from_mm;
            out.marks.to_mm = at;
            out.mark_count++;
        } else if (in->parts.begins[i] == DIVISION_STEP) {
            out.step_mm = at;
            out.step_count++;
        }
    }
    return out;
}

/* The one border between two segments; NaN for none, or for more. */
static double border_of(const search *in, const borders *all,
                        double narrower_mm) {
    if (all->mark_count + all->step_count != 1) {
        return UNKNOWN;
    }
    if (all->mark_count == 1) {
        return all->marks.from_mm;
    }
    return shows(in, all->step_mm, narrower_mm) ? all->step_mm : UNKNOWN;
}

/* ------------------------------------------------------------------- links */

static reference_link join(const search *in, const reference *of, size_t a) {
    bl_span middles = {reference_middle_mm(&of->segments[a]),
                       reference_middle_mm(&of->segments[a + 1])};
    borders between = borders_between(in, middles);
    double narrower = fmin(of->segments[a].equivalent_diameter_mm,
                           of->segments[a + 1].equivalent_diameter_mm);
    reference_link out = {.span = middles,
                          .ramp = middles,
                          .border_mm = border_of(in, &between, narrower),
                          .segments = {a, a + 1},
                          .count = 2,
                          .scale = {1.0, 1.0},
                          .area_mm2 = UNKNOWN};
    if (between.mark_count > 1) {
        out.ramp = between.marks;
    } else if (!isnan(out.border_mm)) {
        out.ramp.from_mm = fmax(middles.from_mm, out.border_mm - RAMP_MM);
        out.ramp.to_mm = fmin(middles.to_mm, out.border_mm + RAMP_MM);
    }
    return out;
}

static reference_link level(size_t segment, double scale) {
    return (reference_link){.border_mm = UNKNOWN,
                            .segments = {segment, segment},
                            .count = 1,
                            .scale = {scale, scale},
                            .area_mm2 = UNKNOWN};
}

/* Where healthy vein that goes on from a stretch towards where tracing ends
 * comes to more than BREAK_MM of other vein. */
static double healthy_to(const search *in, const bl_segment *from,
                         bool backwards) {
    const profile *along = &in->work->profile;
    double reached = backwards ? from->span.from_mm : from->span.to_mm;
    size_t start = profile_lower_bound(along, reached);
    for (size_t k = 0; k < (backwards ? start + 1 : along->count - start);
         k++) {
        size_t i = backwards ? start - k : start + k;
        double x = along->points[i].position_mm;
        if (fabs(x - reached) > BREAK_MM) {
            break;
        }
        reached = in->healthy[i] ? x : reached;
    }
    return reached;
}

/* From the last healthy vein to where tracing ends, if that is far; faster
 * where marks do not tell the vein, since one may join another there. Level
 * otherwise. */
static reference_link outward(const search *in, const reference *of,
                              size_t segment, size_t piece, double end_mm) {
    reference_link out = level(segment, 1.0);
    const bl_segment *last = &of->segments[segment];
    bool backwards = end_mm < reference_middle_mm(last);
    double start_mm = healthy_to(in, last, backwards);
    double away = fabs(end_mm - start_mm);
    bool caudally = backwards == (in->work->pullback->travel == BL_END_CRANIAL);
    bool known = in->parts.pieces[piece].vein != BL_VEIN_UNKNOWN;
    if (away > REFERENCE_MM) {
        double taper = known ? TAPER_WITHIN_PER_MM : TAPER_PER_MM;
        double part = taper * away / last->equivalent_diameter_mm;
        double scale = caudally ? fmax(1.0 - part, TAPER_MOST)
                                : fmin(1.0 + part, 1.0 / TAPER_MOST);
        out.count = 2;
        out.ramp = backwards ? (bl_span){end_mm, start_mm}
                             : (bl_span){start_mm, end_mm};
        out.scale[backwards ? 0 : 1] = scale;
    }
    return out;
}

static void add_chain(const search *in, reference *of, const chain *from) {
    const profile *along = &in->work->profile;
    bl_span all = {of->pieces[from->first].piece.span.from_mm,
                   of->pieces[from->end - 1].piece.span.to_mm};
    bl_span traced = {
        fmax(all.from_mm, along->points[0].position_mm),
        fmin(all.to_mm, along->points[along->count - 1].position_mm)};
    reference_link first =
        outward(in, of, from->segment, from->first, traced.from_mm);
    first.span = (bl_span){all.from_mm,
                           reference_middle_mm(&of->segments[from->segment])};
    of->links[of->link_count++] = first;
    for (size_t i = from->segment; i < from->last; i++) {
        of->links[of->link_count++] = join(in, of, i);
    }
    reference_link last =
        outward(in, of, from->last, from->end - 1, traced.to_mm);
    last.span =
        (bl_span){reference_middle_mm(&of->segments[from->last]), all.to_mm};
    of->links[of->link_count++] = last;
}

/* A vein that another one lends its reference is as much smaller or larger as
 * the two normally are, where marks tell them and a normal is known. */
static double lent_scale(const search *in, const bl_segment *lender,
                         const vein_piece *to) {
    double from = workings_normal_area_mm2(
        in->work, vein_line_at(&in->work->veins, reference_middle_mm(lender)));
    double ratio = workings_normal_area_mm2(in->work, to->vein) / from;
    return isnan(ratio) ? 1.0 : sqrt(ratio);
}

/* From the level of the lender, which the link beside it ends with, to that of
 * the vein that it is lent to, in the wall of the confluence between them. */
static void pass_into(reference *of, reference_link *lent, double border_mm,
                      bool backwards) {
    double near_mm = border_mm + (backwards ? RAMP_MM : -RAMP_MM);
    double far_mm = border_mm + (backwards ? -RAMP_MM : RAMP_MM);
    size_t near = backwards ? 1 : 0;
    double middle = reference_middle_mm(&of->segments[lent->segments[0]]);
    near_mm = backwards ? fmin(near_mm, middle) : fmax(near_mm, middle);
    lent->count = 2;
    lent->scale[near] = 1.0;
    lent->border_mm = border_mm;
    if (backwards) {
        lent->ramp = (bl_span){far_mm, near_mm};
        lent->span.to_mm = near_mm;
    } else {
        lent->ramp = (bl_span){near_mm, far_mm};
        lent->span.from_mm = near_mm;
    }
}

/* Pieces first to before end that one stretch is lent to, or none is. */
static void add_alone(const search *in, reference *of, size_t first,
                      size_t end) {
    const reference_piece *one = &of->pieces[first];
    bl_span span = {one->piece.span.from_mm,
                    of->pieces[end - 1].piece.span.to_mm};
    reference_link out = {.border_mm = UNKNOWN, .area_mm2 = UNKNOWN};
    if (one->count == 1) {
        size_t lender = one->segments[0];
        out = level(lender, lent_scale(in, &of->segments[lender], &one->piece));
    }
    out.span = span;
    of->links[of->link_count++] = out;
}

static bool is_scaled(const reference_link *of) {
    return of->count == 1 && fabs(of->scale[0] - 1.0) > 0.0;
}

/* Where a link's calibre passes into that of a vein to which it is lent. */
static void join_lent(reference *of) {
    for (size_t i = 0; i + 1 < of->link_count; i++) {
        reference_link *a = &of->links[i];
        reference_link *b = a + 1;
        double border = b->span.from_mm;
        if (is_scaled(b) && a->count > 0 && a->segments[1] == b->segments[0]) {
            pass_into(of, b, border, false);
            a->span.to_mm = b->span.from_mm;
        } else if (is_scaled(a) && b->count > 0 &&
                   a->segments[0] == b->segments[0]) {
            pass_into(of, a, border, true);
            b->span.from_mm = a->span.to_mm;
        }
    }
}

/* Every chain holds a piece with stretches of its own, since those are what
 * another piece of it was lent. */
void links_join(const search *in, reference *of) {
    of->link_count = 0;
    size_t i = 0;
    while (i < of->piece_count) {
        if (stands_alone(in, of, i)) {
            size_t first = i++;
            while (i < of->piece_count && stands_alone(in, of, i) &&
                   same_lender(&of->pieces[first], &of->pieces[i])) {
                i++;
            }
            add_alone(in, of, first, i);
            continue;
        }
        chain now = {.first = i, .segment = of->count, .end = i};
        while (now.end < of->piece_count && !stands_alone(in, of, now.end)) {
            const reference_piece *piece = &of->pieces[now.end];
            if (is_own(of, now.end)) {
                now.segment = now.segment < piece->segments[0]
                                  ? now.segment
                                  : piece->segments[0];
                now.last = piece->segments[piece->count - 1];
            }
            now.end++;
        }
        add_chain(in, of, &now);
        i = now.end;
    }
    join_lent(of);
}

/* -------------------------------------------------------------------- fits */

/* Frames around a border. */
typedef struct around {
    size_t first;
    size_t end;
} around;

static around frames_around(const search *in, const reference_link *link) {
    const profile *along = &in->work->profile;
    double reach = MOVED_MM + RAMP_MM;
    double from = fmax(link->span.from_mm, link->border_mm - reach);
    double to = fmin(link->span.to_mm, link->border_mm + reach);
    around out = {profile_lower_bound(along, from), 0};
    out.end = out.first;
    while (out.end < along->count && in->points[out.end].position_mm <= to) {
        out.end++;
    }
    return out;
}

/* Sum of squares that the profile is off by, with this ramp. */
static double misfit(const search *in, around frames, const double diameters[2],
                     bl_span ramp) {
    /* A border is the caudal vein's. */
    bool caudally = in->work->pullback->travel == BL_END_CAUDAL;
    double sum = 0.0;
    for (size_t i = frames.first; i < frames.end; i++) {
        double x = in->points[i].position_mm;
        double length = ramp.to_mm - ramp.from_mm;
        bool first = caudally ? x < ramp.from_mm : x <= ramp.from_mm;
        double part = first          ? 0.0
                      : length > 0.0 ? fmin((x - ramp.from_mm) / length, 1.0)
                                     : 1.0;
        double here = diameters[0] + part * (diameters[1] - diameters[0]);
        double off = in->points[i].equivalent_diameter_mm - here;
        sum += off * off;
    }
    return sum;
}

/* The narrowest of those that fit best, nearest to the border. */
static void fit_ramp(const search *in, const double diameters[2],
                     reference_link *link) {
    around frames = frames_around(in, link);
    double border = link->border_mm;
    bl_span best = {border, border};
    double least = misfit(in, frames, diameters, best);
    for (size_t h = 0; h <= HALVES; h++) {
        double half = (double)h * STEP_MM;
        /* 0, -1, 1, -2, 2, ... steps off */
        for (size_t k = 0; k <= 2 * MOVES; k++) {
            double sign = k % 2 == 1 ? -1.0 : 1.0;
            size_t steps = (k + 1) / 2;
            double middle = border + sign * (double)steps * STEP_MM;
            bl_span ramp = {fmax(middle - half, link->span.from_mm),
                            fmin(middle + half, link->span.to_mm)};
            double now = misfit(in, frames, diameters, ramp);
            if (now < least) {
                least = now;
                best = ramp;
                link->border_mm = middle;
            }
        }
    }
    link->ramp = best;
}

void links_fit(const search *in, reference *of) {
    for (size_t i = 0; i < of->link_count; i++) {
        reference_link *link = &of->links[i];
        if (link->count == 2 && !isnan(link->border_mm) &&
            link->segments[0] != link->segments[1]) {
            const double diameters[2] = {
                of->segments[link->segments[0]].equivalent_diameter_mm,
                of->segments[link->segments[1]].equivalent_diameter_mm};
            if (shows(in, link->border_mm, fmin(diameters[0], diameters[1]))) {
                fit_ramp(in, diameters, link);
            }
        }
    }
}
