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

/* "against 200.7 mm2 of healthy vein"; needs a reference there. */
void place_text_against(text *out, const bl_assessment *of,
                        const bl_place *place);

/* "diameter 3.96 mm least, 23.58 mm greatest, 9.63 mm equivalent". */
void place_text_diameters(text *out, const bl_place *place);

/* "lowest as traced: 71.7 mm2 in frame 129 at 43.0 mm". */
void place_text_lowest(text *out, const bl_place *lowest);

/* A line of what speaks against a contour, once: that was said of `above`. */
void place_text_doubts(text *out, unsigned indent, const bl_place *place,
                       const bl_place *above);

/* "in the 53.0 mm that have a reference; 145.0 mm were not judged". */
void place_text_unjudged_words(text *out, const bl_assessment *of);

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

/* "cranial 12.0..22.0 mm: 201.4 mm2, equivalent diameter 16.01 mm". */
void reference_text_segment(text *out, const bl_segment *of);

/* "Normal", where shares of one are given. */
void reference_text_normal(text *out, const bl_assessment *of);

/* "published normal minimal area of each vein: ..."; nothing where no share of
 * one is given. */
void reference_text_normal_words(text *out, const bl_assessment *of);

/* rule_text.c: "By reference", where there is more than one. */
void rule_text(text *out, const bl_assessment *of);

/* ripple_text.c: "Ripple", where there is one or it was to be taken off. */
void ripple_text(text *out, const bl_assessment *of);

/* narrowing_text.c: "Narrowings". */
void narrowing_text(text *out, const bl_assessment *of);

/* "narrowing open at 3.0 mm, shoulder open at 92.0 mm"; nothing where both its
 * ends were seen. */
void narrowing_text_open(text *words, const bl_narrowing *of);

/* "9.7 mm long or more". */
void narrowing_text_length(text *out, const bl_narrowing *of);

/* "flattened (flattening share 0.94)". */
void narrowing_text_pattern(text *out, const bl_narrowing *of);

/* "2 frames between its shoulders were left out"; nothing where none was. */
void narrowing_text_left_out(text *words, const bl_narrowing *of);

/* compression_text.c: "Compression". */
void compression_text(text *out, const bl_assessment *of);

/* "3.96 x 23.58 mm (aspect ratio 5.96)". */
void compression_text_size(text *out, const bl_compression *of);

/* "perimeter kept 97 %, long axis 15 deg". */
void compression_text_wall(text *out, const bl_assessment *of,
                           const bl_compression *one);

/* "34.7 mm from the mark "; needs one. */
void compression_text_away(text *out, const bl_compression *of);

/* interval_text.c: "Intervals". */
void interval_text(text *out, const bl_assessment *of);

/* flow_report.c: "Flow index". */
void flow_text(text *out, const bl_assessment *of);

/* "70.5 to 79.5 mm2", or "not known". */
void interval_text_between(text *out, bl_interval of, unsigned decimals,
                           const char *unit);

/* What intervals are made of, in sentences; needs resamples. */
void interval_text_contents(text *out, const bl_assessment *of);

/* "60.2 to 64.9 %", "none to 12.0 %" or "not known". */
void interval_text_stenosis(text *out, bl_interval of);

/* vein_text.c: "Vein by vein". */
void vein_text(text *out, const bl_assessment *of);

#endif
