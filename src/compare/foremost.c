/*
 * foremost.c - what has to be read before any figure of a comparison: each is
 * one sentence, the same in text, record, picture and JSON.
 */
#include "base/constants.h"
#include "base/stages.h"
#include "compare/comparing.h"

#include <math.h>

/* Like sentences are told one by one up to so many. */
#define FEW ((size_t)3)

/* ---------------------------------------------------------- holes, together */

/* Holes that one sentence tells. */
typedef struct hole_group {
    size_t holes;
    size_t frames;
    size_t left_out;
    double length_mm;
    const bl_hole *first;
    size_t bridged; /* of them */
} hole_group;

static void group_take(hole_group *to, const bl_hole *one) {
    to->first = to->holes == 0 ? one : to->first;
    to->holes++;
    to->frames += one->frames;
    to->left_out += one->left_out;
    to->length_mm += one->span.to_mm - one->span.from_mm;
    to->bridged += one->bridged;
}

static void say_place(text *words, bl_span at) {
    if (at.to_mm - at.from_mm > EDGE_MM) {
        text_span(words, at);
    } else {
        text_fixed(words, at.from_mm, 1);
        text_add(words, " mm");
    }
}

/* "figures bridge it", with what figures they are. */
static void say_bridged(text *words, const char *figures, bool one,
                        const hole_group *of) {
    text_add(words, figures);
    text_add(words, of->bridged == 0          ? " are of the rest."
                    : of->bridged < of->holes ? " bridge what is short and are "
                                                "of the rest."
                    : one                     ? " bridge it."
                                              : " bridge them.");
}

typedef struct hole_list {
    const bl_hole *holes;
    size_t count;
    bool (*belongs)(const comparing *in, const bl_hole *one); /* NULL: all */
    void (*say)(const comparing *in, sentences *to, const hole_group *of);
} hole_list;

/* Each by itself, or, of more than a few, all in one. */
static void tell_holes(const comparing *in, sentences *to, hole_list of) {
    hole_group all = {0};
    for (size_t i = 0; i < of.count; i++) {
        if (of.belongs == NULL || of.belongs(in, &of.holes[i])) {
            group_take(&all, &of.holes[i]);
        }
    }
    for (size_t i = 0; i < of.count && all.holes <= FEW; i++) {
        if (of.belongs == NULL || of.belongs(in, &of.holes[i])) {
            hole_group one = {0};
            group_take(&one, &of.holes[i]);
            of.say(in, to, &one);
        }
    }
    if (all.holes > FEW) {
        of.say(in, to, &all);
    }
}

/* -------------------------------------------------------------------- lumen */

static bool is_short(const comparing *in, const bl_hole *of) {
    (void)in;
    return !of->gap;
}

static void say_short(const comparing *in, sentences *to,
                      const hole_group *of) {
    text *words = &to->draft;
    bool one = of->frames == 1;
    (void)in;
    text_format(words, "%zu frame%s inside the device", of->frames,
                one ? "" : "s");
    if (of->holes > 1) {
        text_format(words, ", in %zu places, first at ", of->holes);
    } else {
        text_add(words, " (");
    }
    say_place(words, of->first->within);
    text_add(words, of->holes > 1 ? ", " : ") ");
    text_add(words, one ? "has no lumen" : "have no lumen");
    text_add(words, of->left_out < of->frames ? ": occluded or not traced; "
                                              : " that can be measured; ");
    say_bridged(words, "figures", one, of);
    sentences_end(to);
}

static void on_nothing(const comparing *in, sentences *to) {
    text_format(&to->draft, "No lumen was traced %s in the treated stretch, ",
                stages_second_alone(in->out));
    text_span(&to->draft, in->out->treated);
    text_add(&to->draft, ": occluded or not traced; gain and residual stenosis "
                         "are not known.");
    sentences_end(to);
}

/* Least areas say nothing of what was not traced. */
static void on_no_lumen(const comparing *in, sentences *to) {
    const bl_comparison *of = in->out;
    double rest = 0.0;
    if (of->treated_from == BL_TREATED_NOWHERE) {
        return;
    }
    if (isnan(of->after.area_mm2)) {
        on_nothing(in, to);
        return;
    }
    for (size_t i = 0; i < of->lumen_hole_count; i++) {
        const bl_hole *one = &of->lumen_holes[i];
        rest += one->gap ? one->span.to_mm - one->span.from_mm : 0.0;
    }
    if (rest > 0.0) {
        text_format(&to->draft, "No lumen was traced %s over ",
                    stages_second_alone(in->out));
        text_fixed(&to->draft, rest, 1);
        text_add(&to->draft, " mm of the treated stretch: occluded or not "
                             "traced; what follows is of the rest.");
        sentences_end(to);
    }
    tell_holes(in, to,
               (hole_list){of->lumen_holes, of->lumen_hole_count, is_short,
                           say_short});
}

/* ------------------------------------------------- lumen outside the device */

static void say_outside(const comparing *in, sentences *to,
                        const hole_group *of) {
    text *words = &to->draft;
    bool nowhere = in->out->treated_from == BL_TREATED_NOWHERE;
    text_format(words, "The second table has no lumen%s ",
                of->left_out > 0 ? " that can be measured" : "");
    if (of->length_mm > EDGE_MM) {
        text_add(words, "over ");
        text_fixed(words, of->length_mm, 1);
        text_add(words, " mm");
    } else {
        text_format(words, "in %zu frame%s", of->frames,
                    of->frames == 1 ? "" : "s");
    }
    text_add(words, nowhere ? ", " : " outside the treated stretch, ");
    if (of->holes > 1) {
        text_format(words, "in %zu places, first at ", of->holes);
    }
    say_place(words, of->first->span);
    text_add(words, ", where the vessel wall was traced");
    text_add(words,
             of->left_out < of->frames ? ": occluded or not traced; " : ": ");
    text_add(words, nowhere ? "what is narrow there is not known."
                            : "edges and what was left there are not known.");
    sentences_end(to);
}

static void on_outside_holes(const comparing *in, sentences *to) {
    tell_holes(in, to,
               (hole_list){in->out->outside_holes, in->out->outside_hole_count,
                           NULL, say_outside});
}

/* ------------------------------------------------------------------- device */

static bool has_left_out(const comparing *in, const bl_hole *of) {
    (void)in;
    return of->left_out > 0;
}

static bool came_apart(const comparing *in, const bl_hole *of) {
    return !has_left_out(in, of) && of->was_there;
}

static bool is_between(const comparing *in, const bl_hole *of) {
    return !has_left_out(in, of) && !of->was_there;
}

static void say_hole(const comparing *in, sentences *to, const hole_group *of) {
    text *words = &to->draft;
    text_format(words, "No device contours%s over ",
                of->left_out > 0 ? " that can be measured" : "");
    text_fixed(words, of->length_mm, 1);
    text_add(words, " mm of the treated stretch, ");
    if (of->holes > 1) {
        text_format(words, "in %zu places, first at ", of->holes);
    }
    text_span(words, of->first->span);
    if (of->left_out > 0) {
        text_format(words, ": %zu %s left out (flag ", of->left_out,
                    of->left_out == 1 ? "is" : "are");
        left_out_flags(words, in->left_out[BL_KIND_DEVICE].flags);
        text_add(words, ");");
    } else {
        text_add(words, of->first->was_there
                            ? ", where the first table has them: the device "
                              "came apart or was not traced;"
                            : ": no device lies there, or it was not traced;");
    }
    say_bridged(words, " its figures", of->holes == 1, of);
    sentences_end(to);
}

static void on_holes(const comparing *in, sentences *to) {
    const bl_device_state *of = &in->out->device;
    bool (*const groups[])(const comparing *, const bl_hole *) = {
        has_left_out, came_apart, is_between};
    for (size_t i = 0; i < sizeof groups / sizeof groups[0]; i++) {
        tell_holes(in, to,
                   (hole_list){of->holes, of->hole_count, groups[i], say_hole});
    }
}

/* ------------------------------------------------------ what was not looked at
 */

bool foremost_is_cut(const comparing *in) {
    return in->against.is_cut && in->against.device_count == 0 &&
           in->options->nominal_count > 0;
}

static void on_cut(const comparing *in, sentences *to) {
    if (foremost_is_cut(in)) {
        text_format(&to->draft,
                    "%s: overlap and nominal figures are not known.",
                    hole_ends_words(in));
        sentences_end(to);
    }
}

static void on_coarse(const comparing *in, sentences *to) {
    for (int which = BEFORE; which < TABLES; which++) {
        double step = in->tables[which].pace.step_mm;
        if (step > GAP_MM) {
            text_format(&to->draft, "Frames of the %s table stand ",
                        which == BEFORE ? "first" : "second");
            text_fixed(&to->draft, step, 1);
            text_add(&to->draft, " mm apart: what lies between them was not "
                                 "seen, and figures bridge it.");
            sentences_end(to);
        }
    }
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
    if (remark_is_swapped(in, NULL)) {
        text_add(&to->draft, "The kinds lumen and device may be swapped in the "
                             "second table: see the notes before anything "
                             "else.");
        sentences_end(to);
    }
    mistrust_kinds(in);
    mistrust_scale(in);
    lining_lead(in);
    on_no_lumen(in, to);
    on_outside_holes(in, to);
    left_out_lead(in);
    mistrust_untraced(in);
    on_holes(in, to);
    on_cut(in, to);
    on_moved(in, to);
    mistrust_sizes(in);
    on_coarse(in, to);
    mistrust_edges(in);
}
