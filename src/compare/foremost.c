/*
 * foremost.c - what has to be read before any figure of a comparison: each is
 * one sentence, the same in text, record, picture and JSON.
 */
#include "base/constants.h"
#include "compare/comparing.h"

#include <math.h>

static const char *second_name(const comparing *in) {
    return in->out->follow_up     ? "at follow-up"
           : in->out->since_after ? "later"
                                  : "after treatment";
}

/* Least areas say nothing of what was not traced. Without any lumen there
 * nothing else is said either. */
static void on_no_lumen(comparing *in, sentences *to) {
    const bl_comparison *of = in->out;
    double rest = of->treated.to_mm - of->treated.from_mm - of->after_traced_mm;
    if (!(rest > GAP_MM) || isnan(of->after.area_mm2)) {
        return;
    }
    text_format(&to->draft, "No lumen was traced %s over ", second_name(in));
    text_fixed(&to->draft, rest, 1);
    text_add(&to->draft, " mm of the treated stretch: occluded or not traced; "
                         "what follows is of the rest.");
    sentences_end(to);
}

static void on_hole(comparing *in, sentences *to, bl_span hole) {
    const trace *before = &in->tables[BEFORE].device;
    bool was_there =
        !isnan(trace_area_mm2(before, 0.5 * (hole.from_mm + hole.to_mm)));
    text *words = &to->draft;
    text_add(words, "No device contours over ");
    text_fixed(words, hole.to_mm - hole.from_mm, 1);
    text_add(words, " mm of the treated stretch, ");
    text_span(words, hole);
    text_add(words,
             was_there ? ", where the first table has them: the device came "
                         "apart or was not traced; its figures are of the rest."
                       : ": no device lies there, or it was not traced; its "
                         "figures are of the rest.");
    sentences_end(to);
}

static void on_moved(comparing *in, sentences *to) {
    bl_span first = trace_extent(&in->tables[BEFORE].device);
    if (!remark_is_moved(in)) {
        return;
    }
    text_add(&to->draft, "The device contours are not where they were, ");
    text_span(&to->draft, first);
    text_add(&to->draft, ", but reach over ");
    text_span(&to->draft, in->out->device.span);
    text_add(&to->draft, ".");
    sentences_end(to);
}

void foremost_collect(comparing *in) {
    sentences *to = &in->foremost;
    const bl_device_state *device = &in->out->device;
    if (remark_is_swapped(in, NULL)) {
        text_add(&to->draft, "The kinds lumen and device may be swapped in the "
                             "second table: see the notes before anything "
                             "else.");
        sentences_end(to);
    }
    mistrust_kinds(in);
    lining_lead(in);
    on_no_lumen(in, to);
    mistrust_untraced(in);
    for (size_t i = 1; i < device->part_count; i++) {
        on_hole(
            in, to,
            (bl_span){device->parts[i - 1].to_mm, device->parts[i].from_mm});
    }
    on_moved(in, to);
    mistrust_sizes(in);
    mistrust_edges(in);
}
