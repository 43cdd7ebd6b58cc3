/*
 * remark.c - what a reader of a comparison has to know: first how far it can be
 * trusted, then what cannot be said at all and why.
 */
#include "base/constants.h"
#include "compare/comparing.h"

#include <math.h>
#include <string.h>

/* So far apart two ends are not the same: marks are set again, and contours
 * begin, to within less (common practice, no source). */
#define MOVED_MM 5.0
/* Of areas: lumen beside a device that stands off is larger in places. */
#define WIDER 1.1
#define NEARLY_ALL 0.8

static text *say(comparing *in) {
    return &in->said.draft;
}

static void say_end(comparing *in) {
    sentences_end(&in->said);
}

static void say_whole(comparing *in, const char *sentence) {
    sentences_add(&in->said, sentence);
}

static void unsaid(comparing *in, const char *sentence) {
    sentences_add(&in->unsaid, sentence);
}

/* Where there are contours of a kind that nothing could be made of. */
static const char *measured_words(const comparing *in, bl_kind kind) {
    return in->left_out[kind].count > 0 ? " that can be measured" : "";
}

/* ------------------------------------------------------------------- labels */

static void on_labels(comparing *in) {
    const bl_pullback *a = in->tables[BEFORE].pullback;
    const bl_pullback *b = in->tables[AFTER].pullback;
    if (*a->case_name != '\0' && *b->case_name != '\0' &&
        strcmp(a->case_name, b->case_name) != 0) {
        text_format(say(in),
                    "The tables are labelled as two cases, %s and %s: see "
                    "whether they are of one vein.",
                    a->case_name, b->case_name);
        say_end(in);
    }
    if (strcmp(b->stage, "before") == 0 ||
        (strcmp(a->stage, "follow-up") == 0 &&
         strcmp(b->stage, "after") == 0)) {
        text_format(say(in),
                    "The second table says stage = %s: see whether the two "
                    "were given in the wrong order.",
                    b->stage);
        say_end(in);
    }
}

/* ---------------------------------------------------------------- reference */

/* Whether the first table has device contours within its reference; at an end
 * they only meet. */
static bool is_in_old_device(const comparing *in) {
    const bl_assessment *of = in->tables[BEFORE].assessment;
    const trace *device = &in->tables[BEFORE].device;
    for (size_t i = 0; i < of->segment_count; i++) {
        bl_span span = of->segments[i].span;
        span.from_mm += 2.0 * EDGE_MM;
        span.to_mm -= 2.0 * EDGE_MM;
        trace_run run = trace_within(device, span);
        if (run.first < run.end) {
            return true;
        }
    }
    return false;
}

/* Without device contours before, the treated stretch is where it was. */
static void on_first_reference(comparing *in) {
    if (is_in_old_device(in)) {
        say_whole(in, "The reference of the first table lies in the stretch "
                      "that has a device already, which is no healthy vein: "
                      "name a healthy stretch (--reference A..B).");
    } else if (in->out->since_after && in->tables[BEFORE].device.count == 0 &&
               denominators_in_treated(in, BEFORE)) {
        say_whole(in, "The first table is of after treatment and its reference "
                      "lies in the treated stretch, which is no healthy vein: "
                      "name a healthy stretch (--reference A..B).");
    }
}

static void on_measured_again(comparing *in) {
    size_t used = in->against.measured;
    size_t all = in->tables[BEFORE].assessment->segment_count;
    text_format(say(in),
                "The reference after is the reference before as the second "
                "table measures it, in %zu of its %zu stretch%s, since ",
                used, all, all == 1 ? "" : "es");
    bool found = in->tables[AFTER].assessment->reference_from == BL_FROM_FOUND;
    text_add(say(in), found ? "the one found in the second table lies in the "
                              "treated stretch, which is no healthy vein."
                            : "the second table has none of its own.");
    say_end(in);
}

static void on_reference(comparing *in) {
    bl_after_reference from = in->out->after_reference_from;
    if (from == BL_AFTER_REFERENCE_MEASURED) {
        on_measured_again(in);
    }
    if (from == BL_AFTER_REFERENCE_OWN && denominators_in_treated(in, AFTER)) {
        say_whole(in, "The reference given for the second table lies in the "
                      "treated stretch: what is held against it is held "
                      "against the device.");
    }
    on_first_reference(in);
    if (isnan(in->out->after.area_mm2)) {
        return; /* on_lumens tells why no residual is known */
    }
    if (isnan(in->out->before_reference_residual.area_stenosis_pct)) {
        unsaid(in, "Residual stenosis against the reference before: the first "
                   "table has no reference there; name a healthy stretch "
                   "(--reference A..B).");
    }
    if (from == BL_AFTER_REFERENCE_NONE) {
        unsaid(in, "Residual stenosis against the reference after: the second "
                   "table has no healthy vein that was named or found outside "
                   "the treated stretch, and no stretch of the reference "
                   "before; name one in its note reference = A..B.");
    } else if (isnan(in->out->after_reference_residual.area_stenosis_pct)) {
        unsaid(in, "Residual stenosis against the reference after: it is not "
                   "known in the treated stretch.");
    }
}

/* ------------------------------------------------------------------ treated */

static void not_traced(comparing *in, int which, double traced) {
    bl_span treated = in->out->treated;
    double length = treated.to_mm - treated.from_mm;
    if (length - traced > comparing_untraced_mm(&in->tables[which])) {
        text_add(say(in), "Of the treated stretch, ");
        text_span(say(in), treated);
        text_add(say(in), ", ");
        text_fixed(say(in), traced, 1);
        text_format(say(in),
                    " mm have a lumen in the %s table: what lies "
                    "in the rest is not known.",
                    which == BEFORE ? "first" : "second");
        say_end(in);
    }
}

static void on_treated(comparing *in) {
    const bl_comparison *of = in->out;
    if (of->treated_from == BL_TREATED_NOWHERE) {
        text_format(
            &in->unsaid.draft,
            "What was treated: the second table has no device "
            "contours%s and no stretch was named (--treated A..B). The figures "
            "are of all that both tables trace, where the least area "
            "before and that after may be of two places.",
            measured_words(in, BL_KIND_DEVICE));
        sentences_end(&in->unsaid);
        return;
    }
    not_traced(in, AFTER, of->after_traced_mm);
    bl_span device = of->device.span;
    if (of->treated_from == BL_TREATED_GIVEN && of->device.traced &&
        (device.from_mm < of->treated.from_mm - EDGE_MM ||
         device.to_mm > of->treated.to_mm + EDGE_MM)) {
        text_add(say(in), "The device contours, ");
        text_span(say(in), device);
        text_add(say(in), ", reach out of the treated stretch that was "
                          "named.");
        say_end(in);
    }
    for (size_t i = 0; i < of->edge_count; i++) {
        if (!(of->edges[i].traced_mm >= 0.5 * in->options->edge_mm)) {
            text_format(&in->unsaid.draft,
                        "The %s edge: the second table has less than half of "
                        "the vein beyond that end.",
                        bl_end_name(of->edges[i].where));
            sentences_end(&in->unsaid);
        }
    }
}

static void on_lumens(comparing *in) {
    if (isnan(in->out->before.area_mm2)) {
        unsaid(in, "The gain: the first table has no usable lumen in the "
                   "treated stretch.");
    }
    if (isnan(in->out->after.area_mm2)) {
        unsaid(in, "The gain and the residual stenosis: the second table has "
                   "no usable lumen in the treated stretch; trace the lumen "
                   "beside the device.");
    }
}

/* Narrow vein before, of which AFTER has no frame. */
static void on_unseen(comparing *in) {
    const bl_assessment *of = in->tables[BEFORE].assessment;
    const trace *after = &in->tables[AFTER].lumen;
    for (size_t i = 0; i < of->narrowing_count; i++) {
        double at = of->narrowings[i].worst.position_mm;
        bl_span treated = in->out->treated;
        if ((at >= treated.from_mm && at <= treated.to_mm) ||
            !isnan(trace_area_mm2(after, at))) {
            continue;
        }
        text *words = &in->unsaid.draft;
        text_add(words, "The narrowing at ");
        text_span(words, of->narrowings[i].span);
        text_add(words, " of the first table: the second does not trace its "
                        "narrowest place.");
        sentences_end(&in->unsaid);
    }
}

/* ------------------------------------------------------------------- device */

static double longest_mm(const comparing *in) {
    const bl_device_state *of = &in->out->device;
    double longest = 0.0;
    for (size_t i = 0; i < of->nominal_count; i++) {
        longest = fmax(longest, of->nominals[i].length_mm);
    }
    return longest;
}

/* Of one device the length is its own; of more the overlaps make up what they
 * have too much, but none is longer than all of them. */
static bool is_length_doubted(const comparing *in, double total_mm,
                              double traced_mm) {
    bool sized = in->against.is_laid || in->against.is_denied;
    if (!sized || !in->out->device.traced) {
        return false;
    }
    return in->out->device.nominal_count == 1
               ? fabs(total_mm - traced_mm) > SHORTENED_SHARE * traced_mm
               : total_mm < traced_mm ||
                     longest_mm(in) > (1.0 + SHORTENED_SHARE) * traced_mm;
}

static void on_lengths(comparing *in) {
    const bl_device_state *of = &in->out->device;
    double total = 0.0;
    for (size_t i = 0; i < of->nominal_count; i++) {
        total += of->nominals[i].length_mm;
    }
    double traced = of->span.to_mm - of->span.from_mm;
    bool one = of->nominal_count == 1;
    if (!is_length_doubted(in, total, traced)) {
        return;
    }
    text *words = say(in);
    text_add(words, one ? "The nominal length is "
                        : "The nominal lengths are "
                          "together ");
    text_fixed(words, total, 1);
    text_add(words, " mm, and the device contours reach over ");
    text_fixed(words, traced, 1);
    text_add(words, " mm: see whether sizes, speed and contours are right.");
    say_end(in);
}

static void on_denied(comparing *in) {
    if (in->against.device_count == 0) {
        unsaid(in, "Nominal expansion, compression and residual stenosis "
                   "against the nominal area: laid from both ends of the "
                   "device contours the nominal lengths would overlap where "
                   "there are none, or reach beyond the ends.");
    }
    unsaid(in, "Where the devices overlap: the nominal lengths contradict the "
               "device contours.");
}

static void on_nominal(comparing *in) {
    const bl_device_state *of = &in->out->device;
    if (of->nominal_count == 0) {
        unsaid(in, "Nominal expansion, compression and residual stenosis "
                   "against the nominal area: no nominal size was given "
                   "(--nominal 16x120).");
    } else if (in->against.is_denied) {
        on_denied(in);
    } else if (in->against.is_cut && in->against.device_count == 0) {
        unsaid(in, "Nominal expansion, compression and residual stenosis "
                   "against the nominal area: an end of the device was not "
                   "seen, so which nominal size lies where cannot be told.");
    } else if (in->against.device_count == 0 && of->nominal_count == 1) {
        unsaid(in, "Nominal expansion, compression and residual stenosis "
                   "against the nominal area: it takes device contours or a "
                   "treated stretch (--treated A..B).");
    } else if (in->against.device_count == 0) {
        unsaid(in, "Nominal expansion, compression and residual stenosis "
                   "against the nominal area: with more than one diameter the "
                   "length of each is needed (--nominal 16x120,14x80), and "
                   "device contours or a treated stretch.");
    }
    on_lengths(in);
    for (size_t i = 0; i < of->overlap_count; i++) {
        if (!of->overlaps[i].exact) {
            say_whole(in, "Of more than two devices the overlaps are taken to "
                          "be alike: where each begins is not known.");
            return;
        }
    }
}

static void on_outside(comparing *in) {
    const bl_device_state *of = &in->out->device;
    if (of->outside_count == 0) {
        return;
    }
    text_format(say(in), "In %zu frame%s the device lies outside the vessel (",
                of->outside_count, of->outside_count == 1 ? "" : "s");
    for (size_t i = 0; i < of->outside_count && i < FRAMES_NAMED; i++) {
        text_format(say(in), "%s%lld", i == 0 ? "" : ", ",
                    (long long)of->outside_frames[i]);
    }
    text_add(say(in), of->outside_count > FRAMES_NAMED ? ", ...)" : ")");
    text_add(say(in), ", which is a fault of the tracing: they are left out of "
                      "apposition.");
    say_end(in);
}

static void on_apposition(comparing *in) {
    const bl_device_state *of = &in->out->device;
    if (of->apposition_frames == 0) {
        text_format(&in->unsaid.draft,
                    "Apposition: no frame of the second table has a vessel "
                    "contour%s, or a lumen reaching beyond the device, to hold "
                    "the device against.",
                    measured_words(in, BL_KIND_VESSEL));
        sentences_end(&in->unsaid);
        return;
    }
    if (of->apposition_frames + of->outside_count < of->frames) {
        text_format(say(in),
                    "Apposition is known in %zu of %zu frame%s with a "
                    "device.",
                    of->apposition_frames, of->frames,
                    of->frames == 1 ? "" : "s");
        say_end(in);
    }
    if (of->unapposed_count == 0 &&
        of->apposition_frames == of->against_lumen) {
        text_format(&in->unsaid.draft,
                    "Apposition: no frame of the second table has a vessel "
                    "contour%s, and a lumen that ends at the device says "
                    "nothing of the wall behind it.",
                    measured_words(in, BL_KIND_VESSEL));
        sentences_end(&in->unsaid);
    }
    if (of->against_lumen > 0) {
        text_format(say(in),
                    "In %zu of %zu frame%s the device is held against "
                    "the lumen, since there is no vessel contour%s.",
                    of->against_lumen, of->apposition_frames,
                    of->apposition_frames == 1 ? "" : "s",
                    measured_words(in, BL_KIND_VESSEL));
        say_end(in);
    }
}

bool remark_is_swapped(const comparing *in, size_t counts[2]) {
    const trace *of = &in->tables[AFTER].device;
    size_t both = 0;
    size_t wider = 0;
    for (size_t i = 0; i < of->count; i++) {
        const bl_apposition *one =
            wall_of(in->tables[AFTER].study, of->nodes[i].row);
        if (one != NULL && !isnan(one->tissue_mm2)) {
            both++;
            wider += one->lumen_mm2 > WIDER * one->device_mm2;
        }
    }
    if (counts != NULL) {
        counts[0] = wider;
        counts[1] = both;
    }
    return both > 0 && (double)wider >= NEARLY_ALL * (double)both;
}

static void on_swapped(comparing *in) {
    size_t counts[2];
    if (remark_is_swapped(in, counts)) {
        text_format(
            say(in),
            "In %zu of %zu frame%s the lumen has 10 %% more area than the "
            "device, or more: see whether the kinds lumen and device "
            "are swapped.",
            counts[0], counts[1], counts[1] == 1 ? "" : "s");
        say_end(in);
    }
}

/* Which foremost tells where it leaves the nominal area unknown. */
static void on_end_unseen(comparing *in) {
    if (in->against.is_cut && !foremost_is_cut(in)) {
        text_format(say(in), "%s: its length%s not known.", hole_ends_words(in),
                    in->out->device.nominal_count > 1 ? " and overlap are"
                                                      : " is");
        say_end(in);
    }
}

static void on_device(comparing *in) {
    const bl_device_state *of = &in->out->device;
    on_nominal(in);
    if (!of->traced) {
        text_format(&in->unsaid.draft,
                    "Expansion, symmetry, tissue inside the device and "
                    "apposition: the second table has no device contours%s.",
                    measured_words(in, BL_KIND_DEVICE));
        sentences_end(&in->unsaid);
        return;
    }
    on_end_unseen(in);
    crossed_mark_tell(in);
    on_outside(in);
    on_apposition(in);
    on_swapped(in);
    if (isnan(of->tissue_inside_pct)) {
        unsaid(in, "Tissue inside the device: no frame of the second table "
                   "has both a device and a lumen contour.");
    }
}

/* ---------------------------------------------------------------- follow-up */

/* inward_mm: how much further in it is than it was. An end that was not seen
 * may lie further out. */
static bool is_end_moved(const comparing *in, int end, double inward_mm,
                         double room_mm) {
    bool may_be_there = inward_mm > 0.0 ? in->tables[AFTER].end_unseen[end]
                                        : in->tables[BEFORE].end_unseen[end];
    return fabs(inward_mm) > room_mm && !may_be_there;
}

bool remark_is_moved(const comparing *in) {
    bl_span first = trace_extent(&in->tables[BEFORE].device);
    bl_span second = in->out->device.span;
    double step =
        fmax(in->tables[BEFORE].pace.step_mm, in->tables[AFTER].pace.step_mm);
    double room = fmax(MOVED_MM, step) + comparing_shift_error_mm(in);
    return is_end_moved(in, 0, second.from_mm - first.from_mm, room) ||
           is_end_moved(in, 1, first.to_mm - second.to_mm, room);
}

/* A device that moved, shortened, or was not traced to its end. */
static void on_moved(comparing *in) {
    bl_span first = trace_extent(&in->tables[BEFORE].device);
    bl_span second = in->out->device.span;
    if (!remark_is_moved(in)) {
        return;
    }
    text *words = say(in);
    text_add(words, "The device contours reach over ");
    text_span(words, first);
    text_add(words, " in the first table and over ");
    text_span(words, second);
    text_add(words, " in the second: the device moved or shortened, an end "
                    "was not traced, or the tables are lined up wrongly.");
    if (in->against.is_laid) {
        text_add(words, " Nominal sizes are laid over the second.");
    }
    say_end(in);
}

static void on_lost_device(comparing *in) {
    if (in->tables[BEFORE].device.count > 0 && !in->out->device.traced) {
        bool any = in->left_out[BL_KIND_DEVICE].count > 0;
        say_whole(in,
                  any ? "The first table has device contours and the "
                        "second has none that can be measured: mend them."
                      : "The first table has device contours and the "
                        "second has none: see whether they were left out, or "
                        "the tables given in the wrong order.");
    }
}

static void on_follow_up(comparing *in) {
    const bl_comparison *of = in->out;
    on_moved(in);
    on_lost_device(in);
    if (of->follow_up && !of->since_after) {
        unsaid(in, "The change since the after-state: the first table is of "
                   "before treatment; give the after table first and the "
                   "follow-up second.");
    }
    if (of->since_after && of->device.traced &&
        isnan(of->device_least.change_mm2)) {
        unsaid(in, "The change of the device: the first table has no device "
                   "contours there.");
    }
}

void remark_collect(comparing *in) {
    on_labels(in);
    lining_remark(in);
    on_treated(in);
    on_lumens(in);
    on_reference(in);
    left_out_tell(in);
    on_device(in);
    on_unseen(in);
    on_follow_up(in);
}
