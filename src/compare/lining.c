/*
 * lining.c - where AFTER's positions are on the axis of BEFORE.
 *
 * Marks that both tables have go first, then a shift that is given, then the
 * profiles. Places are worked on as u, AFTER's position, turned around where
 * the catheters travelled in opposite directions, so that both axes grow the
 * same way; straight lines between knots keep the order. Of profiles one shift
 * is tried; then one ratio throughout, and a shift of its own for either side
 * of the treated stretch. Of those that fit, that with the lowest Bayesian
 * information criterion is taken, a ratio before two shifts where both fit as
 * well.
 */
#include "compare/lining.h"
#include "base/constants.h"
#include "base/message.h"
#include "base/words.h"
#include "compare/slack.h"

#include <math.h>
#include <string.h>

/* Our own: what makes another speed worth a word. */
#define PACE_SHARE 0.05
#define PACE_MM 3.0
#define SCALE_NOTED 0.01

#define CURE                                                                   \
    "; give the same marks in both tables (--mark does, or the note mark) or " \
    "the shift (--shift MM)"

/* --------------------------------------------------------------- the answer */

static double between_knots(const bl_alignment *of, size_t next, double u_mm) {
    double turn = lining_turn(of);
    const bl_knot *a = &of->knots[next - 1];
    const bl_knot *b = &of->knots[next];
    double part =
        (u_mm - turn * a->after_mm) / (turn * (b->after_mm - a->after_mm));
    return a->before_mm + part * (b->before_mm - a->before_mm);
}

double bl_alignment_before_mm(const bl_alignment *of, double after_mm) {
    double turn = lining_turn(of);
    double u = turn * after_mm;
    size_t next = 0;
    while (next < of->knot_count && turn * of->knots[next].after_mm <= u) {
        next++;
    }
    if (next > 0 && next < of->knot_count) {
        return between_knots(of, next, u);
    }
    const bl_knot *end = &of->knots[next == 0 ? 0 : next - 1];
    double ratio = of->scaled ? of->paces[0].ratio : 1.0;
    return end->before_mm + ratio * (u - turn * end->after_mm);
}

/* -------------------------------------------------------------------- parts */

static void add_knot(lining *to, double u_mm, double before_mm,
                     const char *mark) {
    to->knots[to->made.knot_count++] = (bl_knot){
        .after_mm = to->in->turn * u_mm, .before_mm = before_mm, .mark = mark};
}

static bl_status fill_paces(lining *of) {
    size_t count = of->made.knot_count - 1;
    bl_pace *paces = arena_alloc(of->in->owner, count, sizeof *paces);
    if (paces == NULL) {
        return BL_ERR_MEMORY;
    }
    for (size_t i = 0; i < count; i++) {
        const bl_knot *a = &of->knots[i];
        double after = of->in->turn * (a[1].after_mm - a->after_mm);
        double before = a[1].before_mm - a->before_mm;
        double ratio = before / after;
        paces[i] = (bl_pace){
            .span = {a->before_mm, a[1].before_mm},
            .ratio = ratio,
            .differs = fabs(ratio - 1.0) >= PACE_SHARE &&
                       fabs(before - after) >= PACE_MM,
        };
    }
    of->made.paces = paces;
    of->made.pace_count = count;
    return BL_OK;
}

/* ------------------------------------------------------------------- marks */

static bool is_named(const bl_mark *a, const bl_mark *b) {
    spelt x = words_spelt(a->name, strlen(a->name));
    spelt y = words_spelt(b->name, strlen(b->name));
    return x.size == y.size && x.size > 0 &&
           memcmp(x.bytes, y.bytes, x.size) == 0;
}

/* The only mark of that name; NULL where there is none or more than one. */
static const bl_mark *only_mark(const bl_pullback *of, const bl_mark *named) {
    const bl_mark *found = NULL;
    for (size_t i = 0; i < of->mark_count; i++) {
        if (is_named(&of->marks[i], named)) {
            if (found != NULL) {
                return NULL;
            }
            found = &of->marks[i];
        }
    }
    return found;
}

static bl_status crossed_marks(const lining *of, const bl_mark *mark) {
    const bl_knot *last = &of->knots[of->made.knot_count - 1];
    text words = {0};
    text_add(&words, "the marks \"");
    text_add(&words, last->mark);
    text_add(&words, "\" and \"");
    text_add(&words, mark->name);
    text_add(&words,
             "\" stand in one order in the first table and in the other in "
             "the second; mend the marks, or, where one catheter travelled "
             "the other way, say so (the note travel = cranial)");
    return text_message(&words, BL_ERR_INPUT, of->in->message);
}

/* Two that stand apart in BEFORE and at one place in AFTER. */
static bl_status joined_marks(const lining *of, const bl_mark *mark) {
    const bl_knot *last = &of->knots[of->made.knot_count - 1];
    text words = {0};
    text_add(&words, "the marks \"");
    text_add(&words, last->mark);
    text_add(&words, "\" and \"");
    text_add(&words, mark->name);
    text_add(&words, "\" stand ");
    text_fixed(&words, mark->position_mm - last->before_mm, 1);
    text_add(&words, " mm apart in the first table and at one place, ");
    text_fixed(&words, last->after_mm, 1);
    text_add(&words, " mm, in the second; mend the marks");
    return text_message(&words, BL_ERR_INPUT, of->in->message);
}

/* Marks of BEFORE are in position order; two at one place count once. */
static bl_status take_marks(lining *of) {
    const bl_pullback *before = of->in->tables[BEFORE].pullback;
    const bl_pullback *after = of->in->tables[AFTER].pullback;
    for (size_t i = 0; i < before->mark_count; i++) {
        const bl_mark *mark = &before->marks[i];
        const bl_mark *other = only_mark(after, mark);
        if (other == NULL || only_mark(before, mark) == NULL) {
            continue;
        }
        double u = of->in->turn * other->position_mm;
        if (of->made.knot_count > 0) {
            const bl_knot *last = &of->knots[of->made.knot_count - 1];
            double away = u - of->in->turn * last->after_mm;
            double step = mark->position_mm - last->before_mm;
            if (away < -EDGE_MM) {
                return crossed_marks(of, mark);
            }
            if (step > EDGE_MM && away <= EDGE_MM) {
                return joined_marks(of, mark);
            }
            if (step <= EDGE_MM) {
                continue;
            }
        }
        add_knot(of, u, mark->position_mm, mark->name);
    }
    return BL_OK;
}

/* Whether knots lie at or beyond both ends of the treated stretch. */
static bool knots_hold(const lining *of) {
    const bl_knot *knots = of->knots;
    size_t last = of->made.knot_count - 1;
    double turn = of->in->turn;
    bl_span treated = of->in->options->treated;
    if (of->in->options->treated_given) {
        return knots[0].before_mm <= treated.from_mm + BESIDE_DEVICE_MM &&
               knots[last].before_mm >= treated.to_mm - BESIDE_DEVICE_MM;
    }
    return turn * knots[0].after_mm <= of->device.from_mm + BESIDE_DEVICE_MM &&
           turn * knots[last].after_mm >= of->device.to_mm - BESIDE_DEVICE_MM;
}

static bl_status by_marks(lining *of) {
    of->made.by = BL_ALIGNED_MARKS;
    of->made.pace_checked = of->made.knot_count > 1 && knots_hold(of);
    return fill_paces(of);
}

/* ----------------------------------------------------------------- profiles */

static const char *doubt_words(likeness_doubt doubt) {
    switch (doubt) {
    case LIKENESS_EVEN:
        return "the vein outside the treated stretch is of one calibre, so "
               "that no place of it is like itself only";
    case LIKENESS_POOR:
        return "the calibres outside the treated stretch do not agree at any "
               "shift";
    case LIKENESS_SECOND:
        return "the calibres outside the treated stretch agree at more than "
               "one shift";
    case LIKENESS_BROAD:
        return "the calibres outside the treated stretch agree over more than "
               "10 mm of shift";
    case LIKENESS_SURE:
    default:
        return "";
    }
}

/* "the best, -1.5 mm, leaves a difference of 3.1 % where ... 4.0 %". */
static void found_words(text *out, const likeness_found *found) {
    text_add(out, " (best at ");
    text_fixed(out, found->line.shift_mm, 1);
    text_add(out, " mm, where diameters differ by ");
    text_fixed(out, found->fit.difference_pct, 1);
    text_add(out, " % and vary by ");
    text_fixed(out, found->fit.spread_pct, 1);
    if (!isnan(found->next_shift_mm)) {
        text_add(out, " %; next at ");
        text_fixed(out, found->next_shift_mm, 1);
        text_add(out, " mm, ");
        text_fixed(out, found->next.difference_pct, 1);
        text_add(out, " % and ");
        text_fixed(out, found->next.spread_pct, 1);
    }
    text_add(out, " %)");
}

static bl_status refuse(const lining *of, const likeness_found *found,
                        const char *why) {
    text words = {0};
    text_add(&words, "the two tables cannot be lined up: ");
    text_add(&words, why);
    if (found != NULL) {
        found_words(&words, found);
    }
    text_add(&words, CURE);
    return text_message(&words, BL_ERR_INPUT, of->in->message);
}

/* Either side by itself. */
typedef struct two_sides {
    likeness_found found[2];
    bool sure;
} two_sides;

static bl_status find_sides(lining *of, two_sides *out) {
    static const int sides[] = {LIKENESS_BELOW, LIKENESS_ABOVE};
    out->sure = lining_has_treated(of);
    for (int i = 0; i < 2 && out->sure; i++) {
        bl_status status = BL_OK;
        out->sure = likeness_search(&of->alike, sides[i], false, &out->found[i],
                                    &status) &&
                    likeness_judge(&out->found[i]) == LIKENESS_SURE;
        if (status != BL_OK) {
            return status;
        }
    }
    return BL_OK;
}

/* The ends of the treated stretch in AFTER, u, by either side's own shift. */
static bl_span treated_u(const lining *of, const two_sides *sides) {
    bl_span treated = of->in->options->treated;
    return of->in->options->treated_given
               ? (bl_span){treated.from_mm - sides->found[0].line.shift_mm,
                           treated.to_mm - sides->found[1].line.shift_mm}
               : of->device;
}

static bool sides_can_be(const lining *of, const two_sides *sides) {
    bl_span ends = treated_u(of, sides);
    double length = ends.to_mm - ends.from_mm;
    double ratio =
        1.0 + (sides->found[1].line.shift_mm - sides->found[0].line.shift_mm) /
                  length;
    return length > PACE_MM && ratio >= PACE_LEAST && ratio <= PACE_MOST;
}

static void take_line(lining *of, const likeness_found *found) {
    of->made.shift_interval_mm = found->shift_mm;
    of->made.next_shift_mm = found->next_shift_mm;
    of->made.next_difference_pct = found->next.difference_pct;
}

static bl_status by_sides(lining *of, const two_sides *sides) {
    bl_span ends = treated_u(of, sides);
    add_knot(of, ends.from_mm, ends.from_mm + sides->found[0].line.shift_mm,
             NULL);
    add_knot(of, ends.to_mm, ends.to_mm + sides->found[1].line.shift_mm, NULL);
    const bl_interval *a = &sides->found[0].shift_mm;
    const bl_interval *b = &sides->found[1].shift_mm;
    of->made.shift_interval_mm =
        (bl_interval){0.5 * (a->low + b->low), 0.5 * (a->high + b->high)};
    return fill_paces(of);
}

static bl_status by_scale(lining *of, const likeness_found *found) {
    const likeness_line *line = &found->line;
    bl_span extent = trace_extent(&of->in->tables[AFTER].lumen);
    const double ends[] = {extent.from_mm, extent.to_mm};
    for (int i = 0; i < 2; i++) {
        double before = line->middle_mm + line->shift_mm +
                        line->scale * (ends[i] - line->middle_mm);
        add_knot(of, ends[i], before, NULL);
    }
    take_line(of, found);
    of->made.scaled = true;
    return fill_paces(of);
}

static bl_status by_shift(lining *of, double shift_mm) {
    double middle = of->alike.line.middle_mm;
    add_knot(of, middle, middle + shift_mm, NULL);
    return fill_paces(of);
}

/* What profiles were lined up by: one shift, a ratio, or two shifts. */
typedef struct matches {
    bool any;
    likeness_found one;
    likeness_found scaled;
    two_sides sides;
} matches;

static bl_status find_matches(lining *of, matches *out) {
    bl_status status = BL_OK;
    out->any =
        likeness_search(&of->alike, LIKENESS_BOTH, false, &out->one, &status) &&
        likeness_search(&of->alike, LIKENESS_BOTH, true, &out->scaled, &status);
    return status == BL_OK && out->any ? find_sides(of, &out->sides) : status;
}

typedef enum match_kind { MATCH_ONE, MATCH_SCALED, MATCH_SIDES } match_kind;

/* Where a match puts the ends of the treated stretch. */
static slack_place match_place(const matches *from, match_kind kind,
                               const double end_u_mm[2]) {
    const likeness_line *line =
        kind == MATCH_SCALED ? &from->scaled.line : &from->one.line;
    slack_place out = {.scale = line->scale};
    for (int i = 0; i < 2; i++) {
        out.at_mm[i] = kind == MATCH_SIDES
                           ? end_u_mm[i] + from->sides.found[i].line.shift_mm
                           : line->middle_mm + line->shift_mm +
                                 line->scale * (end_u_mm[i] - line->middle_mm);
    }
    out.scale = kind == MATCH_SIDES ? 1.0 : out.scale;
    return out;
}

static bool match_can_be(const lining *of, const matches *from,
                         match_kind kind) {
    switch (kind) {
    case MATCH_SCALED:
        return likeness_judge(&from->scaled) == LIKENESS_SURE &&
               fabs(from->scaled.line.scale - 1.0) >= SCALE_NOTED;
    case MATCH_SIDES:
        return from->sides.sure && sides_can_be(of, &from->sides);
    case MATCH_ONE:
    default:
        return likeness_judge(&from->one) == LIKENESS_SURE;
    }
}

static bl_status take_kind(lining *of, const matches *from, match_kind kind) {
    switch (kind) {
    case MATCH_SCALED:
        return by_scale(of, &from->scaled);
    case MATCH_SIDES:
        return by_sides(of, &from->sides);
    case MATCH_ONE:
    default:
        take_line(of, &from->one);
        return by_shift(of, from->one.line.shift_mm);
    }
}

/* The ends of the treated stretch in AFTER, u; where they are given for BEFORE,
 * by the line that fits. */
static void find_ends(const lining *of, const matches *from, double out[2]) {
    bl_span ends = of->device;
    if (of->in->options->treated_given) {
        bool scaled = match_can_be(of, from, MATCH_SCALED) &&
                      !match_can_be(of, from, MATCH_ONE);
        const likeness_line *line =
            scaled ? &from->scaled.line : &from->one.line;
        double from_mm = line->middle_mm + line->shift_mm;
        bl_span treated = of->in->options->treated;
        ends.from_mm =
            line->middle_mm + (treated.from_mm - from_mm) / line->scale;
        ends.to_mm = line->middle_mm + (treated.to_mm - from_mm) / line->scale;
    }
    out[0] = ends.from_mm;
    out[1] = ends.to_mm;
}

static bool is_checked(const slack_found *of) {
    return of->ratio.high - of->ratio.low <=
           PACE_SHARE * (of->ratio.high + of->ratio.low);
}

/* The same profiles, with a span of AFTER left out. */
static bl_status open_beside(const lining *of, const double ends[2],
                             likeness *out) {
    bl_span without = {ends[0] - BESIDE_DEVICE_MM, ends[1] + BESIDE_DEVICE_MM};
    return likeness_open(&of->in->tables[BEFORE].lumen,
                         &of->in->tables[AFTER].lumen, without, false,
                         of->in->owner, out);
}

static bl_status take_match(lining *of, const matches *from) {
    static const double fitted[] = {1.0, 2.0, 3.0};
    double ends[2];
    find_ends(of, from, ends);
    likeness beside;
    bl_status status = open_beside(of, ends, &beside);
    if (status != BL_OK) {
        return status;
    }
    double best = HUGE_VAL;
    match_kind taken = MATCH_ONE;
    for (int i = MATCH_ONE; i <= MATCH_SIDES; i++) {
        match_kind kind = (match_kind)i;
        slack_place place = match_place(from, kind, ends);
        if (match_can_be(of, from, kind)) {
            double value = slack_criterion(&beside, ends, &place, fitted[kind]);
            taken = value < best ? kind : taken;
            best = fmin(best, value);
        }
    }
    if (!(best < HUGE_VAL)) {
        return refuse(of, &from->one, doubt_words(likeness_judge(&from->one)));
    }
    slack_place place = match_place(from, taken, ends);
    slack_found found;
    status = slack_find(&beside, ends, &place, &found);
    if (status == BL_OK) {
        status = take_kind(of, from, taken);
    }
    of->made.end_interval_mm[0] = found.end_mm[0];
    of->made.end_interval_mm[1] = found.end_mm[1];
    of->made.pace_checked = is_checked(&found);
    return status;
}

static bl_status by_profiles(lining *of) {
    of->made.by = BL_ALIGNED_PROFILES;
    if (!lining_has_treated(of)) {
        return refuse(of, NULL,
                      "there are no marks that both have, and without device "
                      "contours or a treated stretch (--treated A..B) it is "
                      "not known where the vein was left as it was");
    }
    matches found = {.any = false};
    bl_status status = find_matches(of, &found);
    if (status != BL_OK) {
        return status;
    }
    return found.any ? take_match(of, &found)
                     : refuse(of, NULL,
                              "less than 20 mm of vein outside the treated "
                              "stretch is in both");
}

/* -------------------------------------------------------------------- whole */

static bl_status find(lining *of) {
    bl_status status = lining_open(of, BESIDE_DEVICE_MM, &of->alike);
    if (status == BL_OK) {
        status = take_marks(of);
    }
    if (status != BL_OK) {
        return status;
    }
    if (of->made.knot_count > 0) {
        status = by_marks(of);
    } else if (!isnan(of->in->options->shift_mm)) {
        of->made.by = BL_ALIGNED_SHIFT;
        status = by_shift(of, of->in->options->shift_mm);
    } else {
        status = by_profiles(of);
    }
    if (status != BL_OK) {
        return status;
    }
    status = lining_measure(of);
    if (status != BL_OK) {
        return status;
    }
    of->made.how = lining_words(of->in, &of->made, lining_has_treated(of));
    return of->made.how == NULL ? BL_ERR_MEMORY : BL_OK;
}

static void place_tables(comparing *in) {
    const bl_alignment *by = &in->out->alignment;
    trace_place(&in->tables[AFTER].lumen, by);
    trace_place(&in->tables[AFTER].device, by);
}

bl_status lining_find(comparing *in) {
    size_t marks = in->tables[BEFORE].pullback->mark_count;
    lining of = {
        .in = in,
        .made = {.turned = in->turn < 0.0,
                 .shift_interval_mm = {UNKNOWN, UNKNOWN},
                 .end_interval_mm = {{UNKNOWN, UNKNOWN}, {UNKNOWN, UNKNOWN}},
                 .next_shift_mm = UNKNOWN,
                 .next_difference_pct = UNKNOWN,
                 .better_shift_mm = UNKNOWN,
                 .better_difference_pct = UNKNOWN},
        .device = trace_extent(&in->tables[AFTER].device),
    };
    of.knots = arena_alloc(in->owner, marks + 2, sizeof *of.knots);
    of.made.knots = of.knots;
    bl_status status = of.knots == NULL ? BL_ERR_MEMORY : find(&of);
    if (status == BL_OK) {
        in->out->alignment = of.made;
        place_tables(in);
    }
    return status;
}
