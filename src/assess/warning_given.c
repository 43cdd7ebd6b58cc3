/*
 * warning_given.c - what is told of a reference that was given.
 */
#include "assess/warning.h"

#include "base/constants.h"

static bool overlap(bl_span a, bl_span b) {
    return a.from_mm < b.to_mm && b.from_mm < a.to_mm;
}

/* A given stretch may reach out of the traced vein. */
static void warn_given_place(warning_list *to, const bl_segment *segment) {
    const bl_assessment *of = to->into;
    double first = of->profile[0].position_mm;
    double last = of->profile[of->profile_count - 1].position_mm;
    if (segment->span.from_mm < first - EDGE_MM ||
        segment->span.to_mm > last + EDGE_MM) {
        text_add(&to->draft, "reference ");
        warning_add_span(to, segment->span);
        text_add(&to->draft, " reaches beyond the traced vein, ");
        warning_add_span(to, (bl_span){first, last});
        warning_finish(to);
    }
}

/* The cava is larger than any vein below it. */
static void warn_cava(warning_list *to, const bl_segment *segment) {
    if (segment->vein == BL_VEIN_CAVA) {
        text_add(&to->draft, "reference ");
        warning_add_span(to, segment->span);
        text_add(&to->draft, " lies in the inferior vena cava, which is too "
                             "large for an iliac vein: trust no narrowing "
                             "outside the cava");
        warning_finish(to);
    }
}

static void warn_given_segment(warning_list *to, const bl_segment *segment) {
    const bl_assessment *of = to->into;
    warn_given_place(to, segment);
    if (segment->span.to_mm - segment->span.from_mm < REFERENCE_MM) {
        text_add(&to->draft, "reference ");
        warning_add_span(to, segment->span);
        text_add(&to->draft, " is shorter than 10 mm");
        warning_finish(to);
    }
    size_t touched = 0;
    for (size_t i = 0; i < of->narrowing_count; i++) {
        bool touches = overlap(segment->span, of->narrowings[i].shoulders);
        touched += touches;
        if (touches && touched <= NAMED_MOST) {
            text_add(&to->draft, "reference ");
            warning_add_span(to, segment->span);
            text_add(&to->draft, " reaches into the narrowing at ");
            warning_add_span(to, of->narrowings[i].span);
            text_add(&to->draft, " or its shoulders");
            warning_finish(to);
        }
    }
    if (touched > NAMED_MOST) {
        text_format(&to->draft, "it reaches into %zu more narrowings",
                    touched - NAMED_MOST);
        warning_finish(to);
    }
    for (size_t i = 0; i < of->compression_count; i++) {
        if (overlap(segment->span, of->compressions[i].span)) {
            text_add(&to->draft, "reference ");
            warning_add_span(to, segment->span);
            text_add(&to->draft, " holds a compression point");
            warning_finish(to);
            break;
        }
    }
}

void warn_given(warning_list *to, const bl_segment *segment) {
    warn_given_segment(to, segment);
    warn_cava(to, segment);
}
