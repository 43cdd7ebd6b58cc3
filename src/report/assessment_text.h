/*
 * assessment_text.h - the parts of an assessment to read.
 *
 * Those that begin with a heading end their last line.
 */
#ifndef REPORT_ASSESSMENT_TEXT_H
#define REPORT_ASSESSMENT_TEXT_H

#include "base/text.h"
#include "boreline.h"

/* pullback_text.c: "Pullback". */
void pullback_text(text *out, const bl_study *study, const bl_assessment *of,
                   const bl_source *source);

/* place_text.c: "36 % of normal (common iliac vein, 200 mm2)". */
void place_text_share(text *out, bl_vein vein, double share_pct,
                      double normal_mm2);

/* A percentage below zero is no stenosis, and is not called one. */
void place_text_stenosis(text *out, const char *kind, double pct);

/* A line of what speaks against a contour, once: that was said of `above`. */
void place_text_doubts(text *out, unsigned indent, const bl_place *place,
                       const bl_place *above);

/* A next line where what is said holds for a part of the vein only. */
void place_text_unjudged(text *out, const bl_assessment *of);

/* A next line where the reference has no shape. */
void place_text_circle(text *out, const bl_assessment *of);

/* "Worst place", or what it is called; needs a reference. */
void place_text_worst(text *out, const bl_assessment *of);

/* "Least area". */
void place_text_least(text *out, const bl_assessment *of);

/* "Single frame". */
void place_text_single_frame(text *out, const bl_assessment *of);

/* reference_text.c: "Reference"; needs one. */
void reference_text(text *out, const bl_assessment *of);

/* "Normal", where shares of one are given. */
void reference_text_normal(text *out, const bl_assessment *of);

/* rule_text.c: "By reference", where there is more than one. */
void rule_text(text *out, const bl_assessment *of);

/* ripple_text.c: "Ripple", where there is one or it was to be taken off. */
void ripple_text(text *out, const bl_assessment *of);

/* narrowing_text.c: "Narrowings". */
void narrowing_text(text *out, const bl_assessment *of);

/* compression_text.c: "Compression". */
void compression_text(text *out, const bl_assessment *of);

/* interval_text.c: "Intervals". */
void interval_text(text *out, const bl_assessment *of);

/* flow_report.c: "Flow index". */
void flow_text(text *out, const bl_assessment *of);

/* vein_text.c: "Vein by vein". */
void vein_text(text *out, const bl_assessment *of);

#endif
