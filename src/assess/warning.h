/*
 * warning.h - the list of what a careful reader is told, and the parts that add
 * to it.
 *
 * A part writes a sentence into the draft and finishes it; without anything to
 * tell it adds nothing.
 */
#ifndef ASSESS_WARNING_H
#define ASSESS_WARNING_H

#include "assess/workings.h"

/* So many of a kind are named, the others counted. */
#define NAMED_MOST ((size_t)5)

typedef struct warning_list {
    const workings *work;
    bl_assessment *into;
    const char **texts;
    size_t count;
    size_t capacity;
    text draft;
    bool failed;
} warning_list;

/* Ends the sentence under way in the draft. */
void warning_finish(warning_list *to);

void warning_add_span(warning_list *to, bl_span span);

/* warning_reference.c: the reference, however it was come by. */
void warn_reference(warning_list *to, bool settled);

/* The usual threshold and shoulder find another. */
void warn_levels(warning_list *to, const reference *usual);

/* warning_given.c: one stretch of a given reference. */
void warn_given(warning_list *to, const bl_segment *segment);

/* warning_expected.c: a reference of expected areas. */
void warn_expected(warning_list *to);
/* Rows of a user's table that are hardly meant, */
void warn_table(warning_list *to);
/* and that are not used because the side is not known. */
void warn_side(warning_list *to);

/* warning_vein.c: veins held against another's healthy vein. */
void warn_other_veins(warning_list *to);

/* warning_call.c: other references that say otherwise. */
void warn_call(warning_list *to);
/* Intervals that hold the threshold, */
void warn_uncertain(warning_list *to);
/* and that are too narrow. */
void warn_scatter(warning_list *to);

void warn_long_median(warning_list *to);

/* warning_narrowing.c: what runs out of what was traced, */
void warn_open_shoulders(warning_list *to);
/* what a gap may hide, */
void warn_narrow_gaps(warning_list *to);
/* and what was not only pressed flat. */
void warn_perimeters(warning_list *to);

/* warning_frame.c: a frame far below the smoothed minimum. */
void warn_minimum(warning_list *to);
/* Places that headline, on contours that are doubted. */
void warn_doubted(warning_list *to);
void warn_gaps(warning_list *to);
void warn_left_out(warning_list *to);
void warn_jumps(warning_list *to);
void warn_few_points(warning_list *to);

/* warning_ripple.c */
void warn_ripple(warning_list *to);

#endif
