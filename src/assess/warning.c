/*
 * warning.c - what a careful reader should be told about an assessment.
 *
 * One function a matter; each adds at most a sentence or two. Limits that are
 * not from the definitions are our own measures.
 */
#include "assess/workings.h"

#include "base/constants.h"
#include "base/place.h"
#include "pullback/veins.h"

#include <math.h>

/* A found reference below this share of the published normal is doubted. */
#define NORMAL_SHARE 0.8
/* One above this share of it, in percent, too: our own measure. */
#define LARGE_PCT 200.0
/* A single frame this much below the smoothed minimum is worth a look. */
#define LOWEST_SHARE 0.9
/* The reference goes further than this beyond the last stretch. */
#define OUTWARD_MM 30.0
#define WARNINGS_LEAST ((size_t)16)
#define NAMED_MOST ((size_t)5)
#define READING_MOST ((size_t)12)

typedef struct list {
    const workings *work;
    bl_assessment *into;
    const char **texts;
    size_t count;
    size_t capacity;
    text draft;
    bool failed;
} list;

/* Room for one more; what was outgrown stays with the arena. */
static bool reserve(list *to) {
    if (to->count < to->capacity) {
        return true;
    }
    size_t capacity = to->capacity == 0 ? WARNINGS_LEAST : 2 * to->capacity;
    const char **texts = arena_alloc(to->work->owner, capacity, sizeof *texts);
    for (size_t i = 0; texts != NULL && i < to->count; i++) {
        texts[i] = to->texts[i];
    }
    to->texts = texts != NULL ? texts : to->texts;
    to->capacity = texts != NULL ? capacity : to->capacity;
    return texts != NULL;
}

/* Ends the sentence under way in the draft. */
static void finish(list *to) {
    if (to->draft.failed) {
        to->failed = true;
        return;
    }
    char *copy = arena_text(to->work->owner, to->draft.bytes, to->draft.size);
    if (copy != NULL && reserve(to)) {
        to->texts[to->count++] = copy;
    } else {
        to->failed = true;
    }
    to->draft.size = 0;
}

static void add_span(list *to, bl_span span) {
    text_span(&to->draft, span);
}

static void add_more(list *to, uint64_t more) {
    if (more > 0) {
        text_format(&to->draft, " (and %llu more of the same)",
                    (unsigned long long)more);
    }
}

/* What was met in the table, so that a record of the assessment holds it. A
 * table broken in many places must not crowd out the other notes. */
static void warn_reading(list *to) {
    const workings *work = to->work;
    for (size_t i = 0; i < work->said_count && i < READING_MOST; i++) {
        const bl_finding *one = &work->said[i];
        if (one->message.line > 0) {
            text_format(&to->draft,
                        "line %llu: ", (unsigned long long)one->message.line);
        }
        text_add(&to->draft, one->message.text);
        add_more(to, one->more);
        finish(to);
    }
    if (work->said_count > READING_MOST) {
        text_format(&to->draft,
                    "%zu more warnings of reading are not listed; 'boreline "
                    "check FILE' lists them",
                    work->said_count - READING_MOST);
        finish(to);
    }
}

static void warn_left_out(list *to) {
    const bl_assessment *of = to->into;
    if (of->left_out_count > 0) {
        text_format(&to->draft,
                    "%zu of %zu frames could not be measured and %s left out; "
                    "'boreline check FILE' lists %s",
                    of->left_out_count, of->frames,
                    of->left_out_count == 1 ? "is" : "are",
                    of->left_out_count == 1 ? "it" : "them");
        finish(to);
    }
}

static void warn_few_points(list *to) {
    size_t few = 0;
    for (size_t i = 0; i < to->into->profile_count; i++) {
        const bl_row *row = &to->work->rows[to->into->profile[i].row];
        few += row->points < FEW_TRACED_POINTS;
    }
    if (few > 0) {
        text_format(&to->draft,
                    "%zu %s fewer than %d points; %s area reads low (a circle "
                    "by 10 %% at 8 points, 2.55 %% at 16)",
                    few, few == 1 ? "frame has" : "frames have",
                    FEW_TRACED_POINTS, few == 1 ? "its" : "their");
        finish(to);
    }
}

static void warn_jumps(list *to) {
    size_t jumps = 0;
    for (size_t i = 0; i < to->into->profile_count; i++) {
        const bl_row *row = &to->work->rows[to->into->profile[i].row];
        jumps += (row->measures.flags & BL_FLAG_JUMP) != 0;
    }
    if (jumps > 0) {
        text_format(&to->draft,
                    jumps == 1 ? "%zu frame has an area unlike its neighbours' "
                                 "(flag jump); it was used, look at its contour"
                               : "%zu frames have an area unlike their "
                                 "neighbours' (flag jump); they were used, "
                                 "look at their contours",
                    jumps);
        finish(to);
    }
}

/* Whether the vein beside a gap is narrower than shoulders end. */
static bool is_narrow_beside(const list *to, bl_span gap) {
    const profile *along = &to->work->profile;
    size_t after = profile_lower_bound(along, gap.to_mm);
    size_t before = profile_lower_bound(along, gap.from_mm);
    double shoulder = to->work->options.shoulder_pct;
    return workings_place(to->work, before).area_stenosis_pct > shoulder ||
           workings_place(to->work, after).area_stenosis_pct > shoulder;
}

/* A narrowing may lie where nothing was traced. */
static void warn_narrow_gaps(list *to) {
    const bl_assessment *of = to->into;
    size_t narrow = 0;
    for (size_t i = 0; i < of->gap_count; i++) {
        if (is_narrow_beside(to, of->gaps[i]) && ++narrow <= NAMED_MOST) {
            text_add(&to->draft, "the vein is narrow where the gap ");
            add_span(to, of->gaps[i]);
            text_add(&to->draft, " begins or ends: what lies in it may be "
                                 "tighter than anything that was traced, and "
                                 "no interval contains that");
            finish(to);
        }
    }
    if (narrow > NAMED_MOST) {
        text_format(&to->draft, "so it is beside %zu more gaps",
                    narrow - NAMED_MOST);
        finish(to);
    }
}

static void warn_gaps(list *to) {
    const bl_assessment *of = to->into;
    if (of->gap_count == 0) {
        return;
    }
    text_format(&to->draft, "%zu %s over 5 mm without a usable frame (",
                of->gap_count, of->gap_count == 1 ? "stretch" : "stretches");
    for (size_t i = 0; i < of->gap_count && i < 3; i++) {
        text_add(&to->draft, i == 0 ? "" : ", ");
        add_span(to, of->gaps[i]);
    }
    text_add(&to->draft, of->gap_count > 3 ? ", ...): nothing is known there"
                                           : "): nothing is known there");
    finish(to);
}

static bool overlap(bl_span a, bl_span b) {
    return a.from_mm < b.to_mm && b.from_mm < a.to_mm;
}

/* A given stretch may reach out of the traced vein, or lie in another vein
 * than the worst place. */
static void warn_given_place(list *to, const bl_segment *segment) {
    const bl_assessment *of = to->into;
    double first = of->profile[0].position_mm;
    double last = of->profile[of->profile_count - 1].position_mm;
    if (segment->span.from_mm < first - EDGE_MM ||
        segment->span.to_mm > last + EDGE_MM) {
        text_add(&to->draft, "reference ");
        add_span(to, segment->span);
        text_add(&to->draft, " reaches beyond the traced vein, ");
        add_span(to, (bl_span){first, last});
        finish(to);
    }
    bl_vein here = segment->vein;
    if (of->segment_count == 1 && here != BL_VEIN_UNKNOWN &&
        of->worst.vein != BL_VEIN_UNKNOWN && here != of->worst.vein) {
        text_add(&to->draft, "the reference lies in the ");
        text_add(&to->draft, bl_vein_name(here));
        text_add(&to->draft, ", the worst place in the ");
        text_add(&to->draft, bl_vein_name(of->worst.vein));
        text_add(&to->draft, ": their calibres differ without disease");
        finish(to);
    }
}

/* The cava is larger than any vein below it. */
static void warn_cava(list *to, const bl_segment *segment) {
    if (segment->vein == BL_VEIN_CAVA) {
        text_add(&to->draft, "reference ");
        add_span(to, segment->span);
        text_add(&to->draft, " lies in the inferior vena cava, which is too "
                             "large for an iliac vein: trust no narrowing "
                             "outside the cava");
        finish(to);
    }
}

static void warn_given_segment(list *to, const bl_segment *segment) {
    const bl_assessment *of = to->into;
    warn_given_place(to, segment);
    if (segment->span.to_mm - segment->span.from_mm < REFERENCE_MM) {
        text_add(&to->draft, "reference ");
        add_span(to, segment->span);
        text_add(&to->draft, " is shorter than 10 mm");
        finish(to);
    }
    size_t touched = 0;
    for (size_t i = 0; i < of->narrowing_count; i++) {
        bool touches = overlap(segment->span, of->narrowings[i].shoulders);
        touched += touches;
        if (touches && touched <= NAMED_MOST) {
            text_add(&to->draft, "reference ");
            add_span(to, segment->span);
            text_add(&to->draft, " reaches into the narrowing at ");
            add_span(to, of->narrowings[i].span);
            text_add(&to->draft, " or its shoulders");
            finish(to);
        }
    }
    if (touched > NAMED_MOST) {
        text_format(&to->draft, "it reaches into %zu more narrowings",
                    touched - NAMED_MOST);
        finish(to);
    }
    for (size_t i = 0; i < of->compression_count; i++) {
        if (overlap(segment->span, of->compressions[i].span)) {
            text_add(&to->draft, "reference ");
            add_span(to, segment->span);
            text_add(&to->draft, " holds a compression point");
            finish(to);
            break;
        }
    }
}

/* No vein is so wide: a scale that is too large, or pixels taken for
 * millimetres. */
static void warn_large_reference(list *to, const bl_segment *segment) {
    if (segment->share_of_normal_pct > LARGE_PCT) {
        text_add(&to->draft, "reference ");
        add_span(to, segment->span);
        text_add(&to->draft, " has ");
        text_fixed(&to->draft, segment->share_of_normal_pct, 0);
        text_add(&to->draft, " % of the normal area of its vein: look at the "
                             "scale, and whether coordinates are pixels; every "
                             "size is wrong if it is");
        finish(to);
    }
}

/* Shape alone cannot tell a uniformly scarred vein from a healthy one. */
static void warn_small_reference(list *to, const bl_segment *segment) {
    bool known = !isnan(segment->normal_area_mm2);
    bl_vein vein = known ? segment->vein : workings_least_normal(to->work);
    double normal = workings_normal_area_mm2(to->work, vein);
    if (!(segment->area_mm2 < NORMAL_SHARE * normal)) {
        return;
    }
    text_add(&to->draft, "reference ");
    add_span(to, segment->span);
    text_add(&to->draft, " has ");
    text_fixed(&to->draft, segment->area_mm2, 1);
    text_add(&to->draft, " mm2, well below the ");
    text_add(&to->draft, to->work->options.expected == NULL ? "published normal"
                                                            : "expected area");
    text_add(&to->draft, " of ");
    text_fixed(&to->draft, normal, 0);
    text_add(&to->draft, known ? " mm2 (" : " mm2 (the smallest, ");
    text_add(&to->draft, bl_vein_name(vein));
    text_add(&to->draft, "): it may itself be diseased, and every percentage "
                         "then reads low");
    if (to->into->reference_from == BL_FROM_FOUND) {
        text_add(&to->draft, "; the search took it because nothing on its side "
                             "of that part scores better: it may be the best "
                             "of a bad lot");
    }
    finish(to);
}

/* What is known of the cava is no denominator: src/pullback/normals.c. */
static void add_median(list *to, bl_vein vein) {
    double median =
        bl_published_of(vein, to->work->pullback->side).median_area_mm2;
    if (to->work->options.expected == NULL && !isnan(median)) {
        text_add(&to->draft, " (only a median of people without disease is "
                             "published, ");
        text_fixed(&to->draft, median, 1);
        text_add(&to->draft, " mm2)");
    }
}

/* Where the vein, or what to expect of it, is not known. */
static void warn_unexpected(list *to) {
    const bl_assessment *of = to->into;
    const reference *now = &to->work->reference;
    double first = of->profile[0].position_mm;
    double last = of->profile[of->profile_count - 1].position_mm;
    for (size_t i = 0; i < now->piece_count; i++) {
        vein_piece piece = now->pieces[i].piece;
        bl_span traced = {fmax(piece.span.from_mm, first),
                          fmin(piece.span.to_mm, last)};
        if (!isnan(now->pieces[i].area_mm2) ||
            !(traced.to_mm > traced.from_mm)) {
            continue;
        }
        add_span(to, traced);
        if (piece.vein == BL_VEIN_UNKNOWN) {
            text_add(&to->draft, ": marks do not tell the vein");
        } else {
            text_add(&to->draft, ", ");
            text_add(&to->draft, bl_vein_name(piece.vein));
            text_add(&to->draft,
                     to->work->options.expected == NULL
                         ? ": no area is expected of it"
                         : ": the table of expected areas has none of it");
            add_median(to, piece.vein);
        }
        text_add(&to->draft, ", so there is no reference and no percentage, "
                             "and nothing is called narrowed there");
        finish(to);
    }
}

/* A table with rows by side says nothing where the side is not known. */
static void warn_side(list *to) {
    const bl_normals *table = to->work->options.expected;
    const bl_assessment *of = to->into;
    for (size_t i = 0; table != NULL && i < of->vein_count; i++) {
        bl_vein vein = of->veins[i].vein;
        bool by_side = normals_find(table, vein, "left") != NULL ||
                       normals_find(table, vein, "right") != NULL;
        if (by_side && to->work->pullback->side[0] == '\0') {
            text_add(&to->draft, "the table of expected areas has rows of one "
                                 "side for the ");
            text_add(&to->draft, bl_vein_name(vein));
            text_add(&to->draft, ", which are not used: the side is not known; "
                                 "give it with --side left or right");
            finish(to);
        }
    }
}

static void warn_expected(list *to) {
    text_add(&to->draft, "the reference is what is expected of other people's "
                         "veins, not healthy vein of this person: a vein "
                         "small by nature reads as narrowed, a large one as "
                         "healthy");
    finish(to);
    warn_unexpected(to);
}

/* What another vein lends is scaled where normals of both are known. */
static void add_scale(list *to, const bl_segment *lender, bl_vein vein) {
    const workings *work = to->work;
    bl_vein from = vein_line_at(&work->veins, reference_middle_mm(lender));
    double lent = workings_normal_area_mm2(work, from);
    double own = workings_normal_area_mm2(work, vein);
    if (isnan(own / lent)) {
        text_add(&to->draft, ", whose calibre may differ without disease");
        return;
    }
    text_add(&to->draft, " of the ");
    text_add(&to->draft, bl_vein_name(from));
    text_add(&to->draft, ", its area times ");
    text_fixed(&to->draft, own, 0);
    text_add(&to->draft, "/");
    text_fixed(&to->draft, lent, 0);
    text_add(&to->draft, ", the normal areas of the two veins");
}

static void add_lender(list *to, const reference_piece *piece) {
    const bl_segment *segments = to->work->reference.segments;
    if (piece->count == 2) {
        text_add(&to->draft, ", so its reference lies between those on its two "
                             "sides");
    } else if (piece->count == 1) {
        const bl_segment *lender = &segments[piece->segments[0]];
        text_add(&to->draft, ", so it is held against the vein beside it, ");
        add_span(to, lender->span);
        add_scale(to, lender, piece->piece.vein);
    } else {
        text_add(
            &to->draft,
            ", and none beside it may serve, so there is no reference and no "
            "percentage, and nothing is called narrowed there");
    }
}

/* Whether a stretch lies in it. */
static bool has_own(const reference *now, bl_span span) {
    bool any = false;
    for (size_t i = 0; i < now->count; i++) {
        double middle = reference_middle_mm(&now->segments[i]);
        any = any || (middle >= span.from_mm && middle <= span.to_mm);
    }
    return any;
}

static bl_span traced_of(const list *to, bl_span span) {
    const bl_assessment *of = to->into;
    return (bl_span){
        fmax(span.from_mm, of->profile[0].position_mm),
        fmin(span.to_mm, of->profile[of->profile_count - 1].position_mm)};
}

/* A vein that has no healthy vein of its own. */
static void warn_borrower(list *to, const reference_piece *piece,
                          bl_span traced) {
    add_span(to, traced);
    if (piece->piece.vein != BL_VEIN_UNKNOWN) {
        text_add(&to->draft, ", ");
        text_add(&to->draft, bl_vein_name(piece->piece.vein));
    }
    text_add(&to->draft, ": no healthy vein was found in it");
    add_lender(to, piece);
    finish(to);
}

/* Where marks do not tell the vein the reference goes on from the last stretch
 * by the taper of nominal diameters, which is told where it goes far. */
static void warn_outward(list *to) {
    const reference *now = &to->work->reference;
    for (size_t i = 0; i < now->link_count; i++) {
        const reference_link *link = &now->links[i];
        double length = link->ramp.to_mm - link->ramp.from_mm;
        bool outward = link->count == 2 && isnan(link->border_mm) &&
                       link->segments[0] == link->segments[1];
        if (outward && length > OUTWARD_MM) {
            add_span(to, link->ramp);
            text_add(&to->draft,
                     ": no healthy vein was found beyond, and marks do not "
                     "tell the vein, so the reference there changes by 0.02 mm "
                     "a mm, as nominal diameters do from common iliac to "
                     "common femoral vein; marks would tell more");
            finish(to);
        }
    }
}

static void warn_borrowed(list *to) {
    const reference *now = &to->work->reference;
    for (size_t i = 0; i < now->piece_count;) {
        const reference_piece *piece = &now->pieces[i];
        bl_span all = piece->piece.span;
        for (i++; i < now->piece_count &&
                  now->pieces[i].piece.vein == piece->piece.vein;
             i++) {
            all.to_mm = now->pieces[i].piece.span.to_mm;
        }
        bl_span traced = traced_of(to, all);
        if (!has_own(now, all) && traced.to_mm > traced.from_mm) {
            warn_borrower(to, piece, traced);
        }
    }
    warn_outward(to);
}

static void warn_reference(list *to, bool settled) {
    const bl_assessment *of = to->into;
    for (size_t i = 0; i < of->segment_count; i++) {
        if (of->reference_from == BL_FROM_GIVEN) {
            warn_given_segment(to, &of->segments[i]);
            warn_cava(to, &of->segments[i]);
        }
        warn_small_reference(to, &of->segments[i]);
        warn_large_reference(to, &of->segments[i]);
    }
    if (of->segment_count == 1) {
        text_add(&to->draft, "one reference stretch only: taper along the "
                             "vessel is not accounted for");
        finish(to);
    }
    if (of->reference_from == BL_FROM_EXPECTED) {
        warn_expected(to);
    }
    if (of->reference_from == BL_FROM_FOUND) {
        warn_borrowed(to);
        text_add(&to->draft,
                 "the reference was found by shape and rough calibre; a vein "
                 "scarred evenly and not much looks the same: compare absolute "
                 "areas");
        finish(to);
    }
    if (!settled) {
        text_add(&to->draft, "reference and narrowings did not settle on each "
                             "other; name the reference with --reference A..B");
        finish(to);
    }
}

/* The rules, and the runner-up, under which there is a narrowing, or none. */
static void add_calls(list *to, bool narrowed) {
    const bl_assessment *of = to->into;
    const char *between = "";
    for (unsigned rule = 0; rule < BL_RULE_COUNT; rule++) {
        if ((of->narrowings_by_rule[rule] > 0) == narrowed) {
            text_add(&to->draft, between);
            text_add(&to->draft, bl_rule_name(rule));
            text_add(&to->draft, " (");
            text_fixed(&to->draft, of->worst_by_rule_pct[rule], 1);
            text_add(&to->draft, " %)");
            between = ", ";
        }
    }
    const bl_runner_up *next = of->runner_up;
    if (next != NULL && (next->narrowing_count > 0) == narrowed) {
        text_add(&to->draft, between);
        text_add(&to->draft, "the runner-up (");
        text_fixed(&to->draft, next->worst.area_stenosis_pct, 1);
        text_add(&to->draft, " %)");
    }
}

/* The search's next best stretches may show another narrowing, or one less. */
static void warn_count(list *to) {
    const bl_assessment *of = to->into;
    const bl_runner_up *next = of->runner_up;
    if (next != NULL && next->narrowing_count != of->narrowing_count) {
        text_format(&to->draft,
                    "the number of narrowings depends on the reference: %zu "
                    "under the chosen, %zu under the runner-up, narrowed over ",
                    of->narrowing_count, next->narrowing_count);
        text_fixed(&to->draft, next->narrowed_mm, 1);
        text_add(&to->draft, " mm");
        finish(to);
    }
}

static void warn_call(list *to) {
    const bl_assessment *of = to->into;
    if (!of->call_depends) {
        warn_count(to);
        return;
    }
    text_add(&to->draft, "the call depends on the reference: at a threshold of "
                         "");
    text_fixed(&to->draft, of->options.threshold_pct, 1);
    text_add(&to->draft, " % area stenosis there is a narrowing under ");
    add_calls(to, true);
    text_add(&to->draft, ", and none under ");
    add_calls(to, false);
    text_add(&to->draft, "; in brackets the greatest area stenosis");
    finish(to);
}

/* What a narrowing, or only its shoulder, runs into. */
static void open_words(list *to, const bl_narrowing *one) {
    bool itself = one->span_open_from || one->span_open_to;
    text_add(&to->draft,
             itself ? "the narrowing at " : "a shoulder of the narrowing at ");
    add_span(to, one->span);
    text_add(&to->draft,
             to->work->reference.piece_count > 1
                 ? " runs into a gap, a vein without reference or the end of "
                   "the pullback: "
                 : " runs into a gap or the end of the pullback: ");
    text_add(&to->draft, itself ? "it is at least that long, and may be longer "
                                  "and tighter"
                                : "the length of the narrowing is known, but "
                                  "where the vein recovers was not seen");
}

/* The first few by place, the others by number: a table broken in many places
 * must not crowd out the other notes. */
static void warn_open_shoulders(list *to) {
    const bl_assessment *of = to->into;
    size_t open = 0;
    for (size_t i = 0; i < of->narrowing_count; i++) {
        const bl_narrowing *one = &of->narrowings[i];
        open += one->open_from || one->open_to;
        if ((one->open_from || one->open_to) && open <= NAMED_MOST) {
            open_words(to, one);
            finish(to);
        }
    }
    if (open > NAMED_MOST) {
        text_format(&to->draft,
                    "%zu more narrowings, or their shoulders, run into such",
                    open - NAMED_MOST);
        finish(to);
    }
}

static void warn_perimeters(list *to) {
    const bl_assessment *of = to->into;
    size_t longer = 0;
    for (size_t i = 0; i < of->compression_count; i++) {
        const bl_compression *one = &of->compressions[i];
        bool is_long = place_perimeter_is_long(one);
        longer += is_long;
        if (is_long && longer <= NAMED_MOST) {
            text_add(&to->draft, "the perimeter at the compression point at ");
            text_fixed(&to->draft, one->place.position_mm, 1);
            text_add(&to->draft, " mm, ");
            text_fixed(&to->draft, one->perimeter_kept_pct, 0);
            text_add(&to->draft, " %, is ");
            place_perimeter_words(&to->draft, of);
            finish(to);
        }
    }
    if (longer > NAMED_MOST) {
        text_format(&to->draft, "so it is at %zu more compression points",
                    longer - NAMED_MOST);
        finish(to);
    }
}

static void warn_doubted_place(list *to, const char *name,
                               const bl_place *place) {
    text_add(&to->draft, name);
    text_add(&to->draft, ", at ");
    text_fixed(&to->draft, place->position_mm, 1);
    text_add(&to->draft, " mm, is doubtful: ");
    place_doubt_words(&to->draft, place);
    finish(to);
}

/* The places that headline, where their own contours are doubted; the worst of
 * the first few other narrowings. */
static void warn_doubted(list *to) {
    const bl_assessment *of = to->into;
    bool any = reference_exists(&to->work->reference);
    if (any && place_is_doubted(&of->worst)) {
        text words = {0};
        text_add(&words, "the ");
        text_add(&words, place_worst_name(of));
        warn_doubted_place(to, text_c(&words), &of->worst);
        to->failed = to->failed || words.failed;
        text_free(&words);
    }
    if ((!any || of->minimum.row != of->worst.row) &&
        place_is_doubted(&of->minimum)) {
        warn_doubted_place(to, "the least area", &of->minimum);
    }
    size_t said = 0;
    for (size_t i = 0; i < of->narrowing_count && said < NAMED_MOST; i++) {
        const bl_place *place = &of->narrowings[i].worst;
        if (place->row != of->worst.row && place->row != of->minimum.row &&
            place_is_doubted(place)) {
            warn_doubted_place(to, "the worst of a narrowing", place);
            said++;
        }
    }
}

/* Held against what is smoothed of the profile as traced. */
static void warn_minimum(list *to) {
    const bl_assessment *of = to->into;
    double smooth = of->ripple.removed ? of->ripple.with.minimum.area_mm2
                                       : of->minimum.area_mm2;
    if (of->lowest_frame.area_mm2 < LOWEST_SHARE * smooth) {
        text_add(&to->draft, "one frame reads ");
        text_fixed(&to->draft, of->lowest_frame.area_mm2, 1);
        text_add(&to->draft, " mm2 where the smoothed minimum is ");
        text_fixed(&to->draft, smooth, 1);
        text_format(&to->draft, " mm2; look at frame %lld",
                    (long long)of->lowest_frame.frame);
        finish(to);
    }
}

static void add_interval(list *to, bl_interval of) {
    text_fixed(&to->draft, of.low, 1);
    text_add(&to->draft, " to ");
    text_fixed(&to->draft, of.high, 1);
    text_add(&to->draft, " %");
}

/* Whether the vein is narrowed is not certain where the interval holds the
 * threshold. */
static void warn_uncertain(list *to) {
    const bl_assessment *of = to->into;
    double threshold = of->options.threshold_pct;
    size_t open = 0;
    for (size_t i = 0; i < of->narrowing_count; i++) {
        const bl_narrowing *one = &of->narrowings[i];
        if (one->area_stenosis_interval_pct.low < threshold &&
            ++open <= NAMED_MOST) {
            text_add(&to->draft, "the narrowing at ");
            add_span(to, one->span);
            text_add(&to->draft, " is not certain: its area stenosis may be ");
            add_interval(to, one->area_stenosis_interval_pct);
            finish(to);
        }
    }
    bl_interval worst = of->intervals.worst_area_stenosis_pct;
    if (of->narrowing_count == 0 && worst.high >= threshold) {
        text_add(&to->draft, "that nothing is narrowed is not certain: the "
                             "greatest area stenosis may be ");
        add_interval(to, worst);
        finish(to);
    }
}

/* Intervals that contain less than the frames show. */
static void warn_scatter(list *to) {
    const bl_intervals *of = &to->into->intervals;
    if (of->area_cv_from == BL_ERROR_GIVEN &&
        of->scatter_cv_pct > to->into->options.area_cv_pct) {
        text_add(&to->draft, "areas scatter by ");
        text_fixed(&to->draft, of->scatter_cv_pct, 1);
        text_add(&to->draft, " % from frame to frame, more than the error "
                             "given for a contour: the intervals are too "
                             "narrow");
        finish(to);
    }
}

static void add_change(list *to, double traced, double steady,
                       const char *unit) {
    text_fixed(&to->draft, steady, 1);
    text_add(&to->draft, unit);
    text_add(&to->draft, " instead of ");
    text_fixed(&to->draft, traced, 1);
    text_add(&to->draft, unit);
}

/* What ripple does to the figures that a decision hangs on. */
static void warn_ripple_effect(list *to) {
    const bl_ripple *ripple = &to->into->ripple;
    text_add(&to->draft, ripple->removed
                             ? "the ripple was taken off: least area "
                             : "with the ripple taken off (--steady) the "
                               "least area would be ");
    add_change(to, ripple->with.minimum.area_mm2,
               ripple->without.minimum.area_mm2, " mm2");
    if (!isnan(ripple->with.worst.area_stenosis_pct)) {
        text_add(&to->draft, ", greatest area stenosis ");
        add_change(to, ripple->with.worst.area_stenosis_pct,
                   ripple->without.worst.area_stenosis_pct, " %");
    }
    text_add(&to->draft, "; a narrowing is taken to ripple as the vein on "
                         "either side of it, which a stiff scar may not");
    finish(to);
}

static void warn_ripple(list *to) {
    const bl_ripple *ripple = &to->into->ripple;
    if (!ripple->found) {
        if (to->work->options.steady) {
            text_add(&to->draft,
                     "no breathing ripple was found: --steady changes nothing");
            finish(to);
        }
        return;
    }
    text_add(&to->draft, "the diameter ripples by ");
    text_fixed(&to->draft, ripple->share_of_diameter_pct, 0);
    text_add(&to->draft, " % (peak to trough) every ");
    text_fixed(&to->draft, ripple->wavelength_mm, 1);
    text_add(&to->draft, " mm");
    if (!isnan(ripple->period_s)) {
        text_add(&to->draft, ", ");
        text_fixed(&to->draft, ripple->period_s, 1);
        text_add(&to->draft, " s");
    }
    text_add(&to->draft, ": breathing can look like a narrowing, and the "
                         "running median does not remove it");
    finish(to);
    warn_ripple_effect(to);
}

bl_status warning_collect(const workings *work, bl_assessment *into,
                          bool settled) {
    list all = {.work = work, .into = into};
    warn_reading(&all);
    into->reading_warning_count = all.count;
    warn_side(&all);
    warn_reference(&all, settled);
    warn_call(&all);
    warn_open_shoulders(&all);
    warn_narrow_gaps(&all);
    warn_perimeters(&all);
    warn_minimum(&all);
    warn_uncertain(&all);
    warn_scatter(&all);
    warn_ripple(&all);
    size_t before = all.count;
    warn_doubted(&all);
    warn_gaps(&all);
    warn_left_out(&all);
    warn_jumps(&all);
    warn_few_points(&all);
    bool failed = all.failed || all.draft.failed;
    text_free(&all.draft);
    into->warnings = all.texts;
    into->warning_count = all.count;
    into->frame_warning_count = all.count - before;
    return failed ? BL_ERR_MEMORY : BL_OK;
}
