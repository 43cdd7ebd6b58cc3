/*
 * inflow.c - candidate inflow veins in order.
 *
 * The order is by what prints, so that it can be checked by eye: measures one
 * after the other, each in whole numbers of its last decimal. That is a total
 * order; whether two are told apart is another question (inflow_verdict.c).
 */
#include "compare/inflow.h"

#include "base/inflow_words.h"
#include "base/limits.h"
#include "base/message.h"

#include <assert.h>
#include <math.h>
#include <stdlib.h>

static_assert(LIMIT_INFLOW == BL_INFLOW_MOST, "one limit");

static const char rule[] =
    "Ordered by least area, the larger first; those that print the same by "
    "mean area, then by the shorter narrowed length, then by the smaller flow "
    "index; what is not known comes last. One is named only where the 95 % "
    "interval of its least area lies above those of all others, no other "
    "measure tells another apart from it as better, all of its stretch was "
    "traced, no least area and no table's scale is doubtful, the tables are "
    "not of two sides, its own vein cranial of its stretch is neither narrowed "
    "nor smaller nor interrupted and, as far as marks tell, no stretch runs on "
    "into vein that candidates share, and that vein is alike in all tables.";

const char *bl_inflow_intervals_note(void) {
    return "95 %, by the resampling of 'boreline assess', of each pullback by "
           "itself. They contain errors of single contours, breathing, the "
           "spread within the reference and, in lengths, the error of speed. "
           "They do not contain what all frames of a pullback share: obliquity "
           "(a vein cut at 20 degrees reads 6.4 % large), scale, filling, the "
           "reader's own habit. The least of many frames reads low, and that "
           "is corrected: a figure can lie outside its interval.";
}

const bl_inflow_figure *inflow_figure(const bl_inflow_candidate *of,
                                      unsigned measure) {
    return &of->input.assessment->inflow.figures[measure];
}

bool inflow_more_is_better(unsigned measure) {
    return measure == BL_INFLOW_MIN_AREA || measure == BL_INFLOW_MEAN_AREA;
}

double inflow_merit(const bl_inflow_candidate *of, unsigned measure) {
    double value = inflow_figure(of, measure)->value;
    if (isnan(value)) {
        return -HUGE_VAL;
    }
    double last = inflow_decimals(measure) == 2 ? 100.0 : 10.0;
    double whole = floor(value * last + 0.5);
    return inflow_more_is_better(measure) ? whole : -whole;
}

/* Whether a stands before b. */
static bool is_before(const bl_inflow_candidate *a,
                      const bl_inflow_candidate *b) {
    for (unsigned i = 0; i < BL_INFLOW_MEASURES; i++) {
        double of_a = inflow_merit(a, i);
        double of_b = inflow_merit(b, i);
        if (of_a > of_b || of_a < of_b) {
            return of_a > of_b;
        }
    }
    return a->letter < b->letter;
}

/* By insertion: there are few. */
static void order(inflow *of) {
    for (size_t i = 1; i < of->public.candidate_count; i++) {
        bl_inflow_candidate moved = of->candidates[i];
        size_t to = i;
        for (; to > 0 && is_before(&moved, &of->candidates[to - 1]); to--) {
            of->candidates[to] = of->candidates[to - 1];
        }
        of->candidates[to] = moved;
    }
}

static size_t count_known(const inflow *of, unsigned measure) {
    size_t count = 0;
    for (size_t i = 0; i < of->public.candidate_count; i++) {
        bool known = !isnan(inflow_figure(&of->candidates[i], measure)->value);
        count += known;
    }
    return count;
}

/* One more than there are better ones; what is alone is first of nothing. */
static void rank(inflow *of, unsigned measure) {
    bool enough = count_known(of, measure) > 1;
    for (size_t i = 0; i < of->public.candidate_count; i++) {
        bl_inflow_candidate *own = &of->candidates[i];
        double merit = inflow_merit(own, measure);
        size_t before = 0;
        for (size_t k = 0; k < of->public.candidate_count; k++) {
            before += inflow_merit(&of->candidates[k], measure) > merit;
        }
        bool known = !isnan(inflow_figure(own, measure)->value);
        own->ranks[measure] = known && enough ? before + 1 : 0;
    }
}

static bl_status check_inputs(const bl_inflow_input *inputs, size_t count,
                              bl_message *message) {
    if (count < 2) {
        return message_set(message, BL_ERR_ARGUMENT, 0, 0,
                           "one inflow vein has nothing to be held against; "
                           "give two or more");
    }
    if (count > LIMIT_INFLOW) {
        return message_set(message, BL_ERR_LIMIT, 0, 0,
                           "%zu inflow veins are more than the limit of %zu; "
                           "compare fewer",
                           count, LIMIT_INFLOW);
    }
    double within_mm = inputs[0].assessment->options.inflow_mm;
    for (size_t i = 0; i < count; i++) {
        double own_mm = inputs[i].assessment->options.inflow_mm;
        if (!(own_mm > 0.0) || own_mm < within_mm || own_mm > within_mm) {
            return message_set(message, BL_ERR_ARGUMENT, 0, 0,
                               "not all were assessed as inflow veins over one "
                               "length; assess them so");
        }
    }
    return BL_OK;
}

static bl_status fill(inflow *of, const bl_inflow_input *inputs, size_t count) {
    of->candidates = arena_alloc(&of->owner, count, sizeof *of->candidates);
    if (of->candidates == NULL) {
        return BL_ERR_MEMORY;
    }
    for (size_t i = 0; i < count; i++) {
        of->candidates[i].input = inputs[i];
        of->candidates[i].letter = (char)('A' + (int)i);
    }
    of->public.within_mm = inputs[0].assessment->options.inflow_mm;
    of->public.candidates = of->candidates;
    of->public.candidate_count = count;
    of->public.rule = rule;
    order(of);
    for (unsigned i = 0; i < BL_INFLOW_MEASURES; i++) {
        rank(of, i);
    }
    bl_status status = inflow_judge(of);
    return status == BL_OK ? inflow_note(of) : status;
}

bl_status bl_inflow_new(const bl_inflow_input *inputs, size_t count,
                        bl_inflow **out, bl_message *message) {
    bl_status status = check_inputs(inputs, count, message);
    if (status != BL_OK) {
        return status;
    }
    inflow *made = calloc(1, sizeof *made);
    if (made == NULL) {
        return message_memory(message);
    }
    status = fill(made, inputs, count);
    if (status != BL_OK) {
        bl_inflow_free(&made->public);
        return message_memory(message);
    }
    *out = &made->public;
    return BL_OK;
}

void bl_inflow_free(bl_inflow *of) {
    if (of != NULL) {
        inflow *made = (inflow *)of;
        arena_free(&made->owner);
        free(made);
    }
}
