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

/* What a residual stenosis is of. */
typedef enum comparison_denominator {
    DENOMINATOR_FIRST,
    DENOMINATOR_SECOND,
    DENOMINATOR_NOMINAL,
    DENOMINATOR_COUNT
} comparison_denominator;

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

/* ------------------------------------------------ sentences, for a record too
 */

/* comparison_result_text.c: "least lumen area 60.4 to 131.9 mm2 (+118.2 %) in
 * the treated stretch". */
void comparison_text_gain(text *out, const bl_comparison *of);

/* "the lumen lost up to 35.0 % of its area, at 40.0 mm (...), beyond reader
 * error; ...": the greatest losses since the first table, in short; nothing
 * where neither is of after treatment. */
void comparison_text_lost(text *out, const bl_comparison *of);

/* "before: 60.4 mm2 at 93.0 mm (frame 93); diameter 8.44 mm least, ..." */
void comparison_text_waist(text *out, const char *table, const bl_waist *at,
                           bool second);

/* "area stenosis 61.2 %, 60.4 of 155.7 mm2 of the reference before"; nothing
 * where none is known. */
void comparison_text_waist_stenosis(text *out, const bl_comparison *of,
                                    const bl_waist *at);

/* "Gain", or "Loss" where the least area is less than it was. */
const char *comparison_text_gain_name(const bl_comparison *of);

/* "+71.4 mm2 of least area (+118.2 %), +3.90 mm of minimum diameter ..." */
void comparison_text_gained(text *out, const bl_comparison *of);

/* "greatest in the treated stretch, by three denominators". */
void comparison_text_residual_scope(text *out, const bl_comparison *of);

/* "reference before: area stenosis 7.9 % at 116.5 mm, 131.9 of 143.2 mm2", or
 * that it is not known. */
void comparison_text_residual(text *out, const bl_comparison *of,
                              comparison_denominator against);

/* comparison_table_text.c: "+3.5 mm is added to positions of the second
 * table", or "-10.5 to +3.5 mm", where that varies. */
void comparison_text_shift(text *out, const bl_alignment *of);

/* "between 50.0 and 96.0 mm the first table is 1.12 times as long ..." */
void comparison_text_pace(text *out, const bl_alignment *in, const bl_pace *of);

/* Where the reference of the second table comes from. */
void comparison_text_after_reference(text *out, const comparison_view *in);

/* "26.5..150.5 mm, 124.0 mm long: where the second table has device contours".
 */
void comparison_text_treated(text *out, const bl_comparison *of);

/* comparison_device_text.c: "nominal 16 x 120 mm; contours in 125 frames, ..."
 */
void comparison_text_size(text *out, const bl_device_state *of);

/* "crosses femoral_confluence, 140.0 mm, and ends 12.0 mm caudal of it". */
void comparison_text_crossed(text *out, const bl_crossed *of);

/* "least area 131.9 mm2 at 116.5 mm, mean 157.9 mm2". */
void comparison_text_device_least(text *out, const bl_device_state *of);

/* "expansion index 0.92 of the reference before, 0.95 of that after: ..." */
void comparison_text_expansion(text *out, const bl_comparison *in);

/* "expansion along the device 0.88 least, at 65.0 mm, 1.00 mean of the
 * reference before; ..."; nothing where it is not known. */
void comparison_text_expansion_along(text *out, const bl_comparison *in);

/* "nominal expansion 65.6 % least, at 116.5 mm, ..."; nothing where it is not
 * known. */
void comparison_text_nominal(text *out, const bl_device_state *of);

/* "symmetry index 0.14 greatest, at 42.5 mm, 0.08 mean: ..." */
void comparison_text_symmetry(text *out, const bl_device_state *of);

/* "not lumen inside it: 0.5 % of its volume, ..."; nothing at follow-up. */
void comparison_text_inside(text *out, const bl_comparison *in);

/* "devices 1 and 2 overlap over 15.0 mm, 60.0..75.0 mm, ..." */
void comparison_text_overlap(text *out, const bl_overlap *of);

/* "on the wall within 0.3 mm ..." or that it stands off. */
void comparison_text_apposed(text *out, const bl_device_state *of);

/* "the device stands off the wall over 14.0 mm in 1 stretch, gap to 1.20 mm,
 * arc to 110 deg"; of one that does. */
void comparison_text_stands_off(text *out, const bl_device_state *of);

/* "96.0..99.0 mm, 4 frames: gap up to 1.20 mm at ..." */
void comparison_text_unapposed(text *out, const bl_unapposed *of);

/* "looked at in 125 frames over 124.0 mm". */
void comparison_text_looked_at(text *out, const bl_device_state *of);

/* comparison_vein_text.c: "cranial, 16.5..26.5 mm: area stenosis 1.2 %, ..." */
void comparison_text_edge(text *out, const bl_comparison *in,
                          const bl_edge *of);

/* ": not known, ..." where no vein outside the treated stretch could be judged;
 * ", judged over 20.0 of 60.0 mm: ..." where not all; else nothing. */
void comparison_text_judged(text *out, const bl_comparison *of);

/* "181.0..186.0 mm: area stenosis 52.0 %, ..." */
void comparison_text_untreated(text *out, const bl_comparison *in,
                               const bl_untreated *of);

/* comparison_since_text.c: "tissue inside the device: 0.5 % of its volume ..."
 */
void comparison_text_tissue(text *out, const bl_device_state *of);

/* "the device itself: lost 35.0 % at most, at 40.0 mm, ..." */
void comparison_text_compressed(text *out, const bl_comparison *in);

/* Whether anything is known of what changed. */
bool comparison_text_is_change_known(const bl_comparison *of);

/* "from the first table to the second, reader error 5 % ..." */
void comparison_text_change_scope(text *out, const bl_comparison *of);

/* "greatest loss at one place 35.0 %, at 40.0 mm (173.0 to 112.4 mm2), ..." of
 * one of the two losses of a comparison; nothing where it is not known. */
void comparison_text_loss(text *out, const char *what, const bl_comparison *in,
                          const bl_place_loss *of);

/* "least lumen area 60.4 to 131.9 mm2, +118.2 % (95 %: 91.0 to 148.1 %): beyond
 * reader error", where it is called `what`; nothing where it is not known. */
void comparison_text_change(text *out, const char *what, const bl_change *of);

/* The same of the least lumen area, with its places where they may be two. */
void comparison_text_least_change(text *out, const bl_comparison *of);

#endif
