/*
 * comparison_text.h - the parts of a comparison to read.
 *
 * Those that begin with a heading end their last line.
 */
#ifndef REPORT_COMPARISON_TEXT_H
#define REPORT_COMPARISON_TEXT_H

#include "base/text.h"
#include "boreline.h"

/* What the parts are made of. */
typedef struct comparison_view {
    const bl_compared_table *before;
    const bl_compared_table *after;
    const bl_comparison *of;
} comparison_view;

/* What the tables are called: "before" and "after", or "after treatment" and
 * "at follow-up". */
const char *comparison_text_first(const bl_comparison *of);
const char *comparison_text_second(const bl_comparison *of);

/* "138.9 of 162.2 mm2". */
void comparison_text_of(text *out, double area_mm2, double denominator_mm2);

/* " (frame 93, 93.5 mm of its own table)": of a place of the second table,
 * whose own positions are others. */
void comparison_text_own(text *out, const bl_waist *at);

/* comparison_result_text.c: "Result", the whole in a few lines. */
void comparison_text_result(text *out, const comparison_view *in);

/* comparison_result_text.c: "Least area", "Gain" and "Residual". */
void comparison_text_areas(text *out, const comparison_view *in);

/* comparison_table_text.c: both tables, "Lined up" and "Treated". */
void comparison_text_tables(text *out, const comparison_view *in);

/* comparison_device_text.c: "Device" and "Apposition". */
void comparison_text_device(text *out, const comparison_view *in);

/* comparison_vein_text.c: "Edges" and "Untreated". */
void comparison_text_vein(text *out, const comparison_view *in);

/* comparison_since_text.c: "Follow-up" and "Change". */
void comparison_text_since(text *out, const comparison_view *in);

#endif
