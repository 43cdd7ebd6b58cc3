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

/* plan_size_text.c: "16 x 120 and 14 x 60 mm" of all chains; nothing where they
 * are empty. */
void plan_text_sizes(text *out, const bl_chain *chains, size_t count);

/* "16 x 100 and 14 x 60 mm from 42.3 to 187.3 mm"; needs a device. */
void plan_text_chain(text *out, const bl_chain *of);

/* The plan in a line. */
void plan_text_summary(text *out, const plan_view *of);

/* Whether what a stretch lacks is more than that line says. */
bool plan_text_lacks(const bl_plan *of, const bl_stretch *one);

/* plan_stretch_text.c: "Treat", "Landing" and "Cover" of one of them. */
void plan_text_stretch(text *out, const plan_view *of, size_t index);

/* "29.7 mm between the landing points (95 %: 23.8 to 35.6 mm)". */
void plan_text_cover(text *out, const bl_stretch *one);

/* "32.2..52.0 mm, 19.8 mm from shoulder to shoulder". */
void plan_text_treat(text *out, const plan_view *of, const bl_stretch *one);

/* "cranial at 27.2 mm, common iliac vein, 19.2 mm caudal of
 * iliocaval_confluence". */
void plan_text_landing(text *out, const plan_view *of, const bl_landing *at);

/* "+0.4 mm": below 0 the vein is wider than the device. */
void plan_text_signed(text *out, double value, const char *unit);

/* plan_device_text.c: "Devices", "Wanted" or "Missing" of one of them. */
void plan_text_devices(text *out, const plan_view *of, size_t index);

/* "1 and 2 overlap by 15.0 mm; 3.2 mm beyond the landing points". */
void plan_text_reach(text *out, const bl_chain *of);

/* "it keeps the rules", of the user's chain. */
const char *plan_text_wish_verdict(const bl_plan *of);

/* "What if", where a chain was given. */
void plan_text_wish(text *out, const plan_view *of);

/* plan_doubt_text.c: "Otherwise": what lost, and why. */
void plan_text_alternatives(text *out, const plan_view *of);

/* "Lengths": how far they can be trusted, and when the plan would change. */
void plan_text_lengths(text *out, const plan_view *of);

#endif
