/*
 * plan_text.h - the parts of a plan to read.
 *
 * Those that begin with a heading end their last line.
 */
#ifndef REPORT_PLAN_TEXT_H
#define REPORT_PLAN_TEXT_H

#include "base/text.h"
#include "boreline.h"

/* What the parts are made of. */
typedef struct plan_view {
    const bl_pullback *pullback;
    const bl_assessment *assessment;
    const bl_plan *plan;
} plan_view;

/* plan_size_text.c: "16 x 120 mm". */
void plan_text_size(text *out, double diameter_mm, double length_mm);

/* "16 x 120 and 14 x 60 mm" of all chains; nothing where they are empty. */
void plan_text_sizes(text *out, const bl_chain *chains, size_t count);

/* plan_stretch_text.c: "Treat", "Landing" and "Cover" of one of them. */
void plan_text_stretch(text *out, const plan_view *of, size_t index);

/* plan_device_text.c: "Devices", "Wanted" or "Missing" of one of them. */
void plan_text_devices(text *out, const plan_view *of, size_t index);

/* "What if", where a chain was given. */
void plan_text_wish(text *out, const plan_view *of);

/* plan_doubt_text.c: "Otherwise": what lost, and why. */
void plan_text_alternatives(text *out, const plan_view *of);

/* "Lengths": how far they can be trusted, and when the plan would change. */
void plan_text_lengths(text *out, const plan_view *of);

#endif
