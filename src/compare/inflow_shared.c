/*
 * inflow_shared.c - whether the stretch of an inflow vein runs on into vein
 * that all candidates share.
 *
 * They part at the femoral confluence: what lies cranial of it feeds from all
 * of them and is the inflow of none.
 */
#include "compare/inflow.h"

#include "base/constants.h"

#include <string.h>

/* At these a candidate begins; the others lie cranial of where it does. */
#define OWN_MARKS 2

static const char *const shared_marks[] = {
    "femoral_confluence", "deep_femoral_mouth", "inguinal_ligament",
    "internal_iliac_confluence", "iliocaval_confluence"};

static bool find_name(const char *name, size_t *out) {
    for (size_t i = 0; i < sizeof shared_marks / sizeof shared_marks[0]; i++) {
        if (strcmp(name, shared_marks[i]) == 0) {
            *out = i;
            return true;
        }
    }
    return false;
}

bool inflow_begins_own(const char *name) {
    size_t i;
    return find_name(name, &i) && i < OWN_MARKS;
}

/* No mark of it where the mark is none of shared vein. */
static inflow_border border_at(const bl_inflow_candidate *of, size_t i) {
    const bl_pullback *pullback = bl_study_pullback(of->input.study);
    bl_span span = of->input.assessment->inflow.span;
    const bl_mark *mark = &pullback->marks[i];
    double caudal_mm = pullback->travel == BL_END_CAUDAL
                           ? span.to_mm - mark->position_mm
                           : mark->position_mm - span.from_mm;
    size_t name;
    return find_name(mark->name, &name)
               ? (inflow_border){mark, caudal_mm, name < OWN_MARKS}
               : (inflow_border){.mark = NULL};
}

/* The most caudal one, in the stretch or at its cranial end and beyond. */
static inflow_border most_caudal(const bl_inflow_candidate *of,
                                 bool in_stretch) {
    size_t count = bl_study_pullback(of->input.study)->mark_count;
    bl_span span = of->input.assessment->inflow.span;
    double length_mm = span.to_mm - span.from_mm;
    inflow_border out = {.mark = NULL};
    for (size_t i = 0; i < count; i++) {
        inflow_border one = border_at(of, i);
        if (one.mark != NULL &&
            (one.caudal_mm < length_mm - EDGE_MM) == in_stretch &&
            (out.mark == NULL || one.caudal_mm < out.caudal_mm)) {
            out = one;
        }
    }
    return out;
}

inflow_border inflow_border_of(const bl_inflow_candidate *of) {
    return most_caudal(of, true);
}

const bl_mark *inflow_next_border(const bl_inflow_candidate *of) {
    return most_caudal(of, false).mark;
}

void inflow_border_words(text *out, const inflow_border *of) {
    text_add(out, "the ");
    for (const char *at = of->mark->name; *at != '\0'; at++) {
        text_bytes(out, *at == '_' ? " " : at, 1);
    }
}
