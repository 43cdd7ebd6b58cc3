/*
 * wording.h - phrases that several sentences of a plan share.
 */
#ifndef PLAN_WORDING_H
#define PLAN_WORDING_H

#include "plan/planner.h"

/* "47.3 mm". */
void wording_length(text *out, double length_mm);
/* The same of a place of the ground, as a position. */
void wording_position(text *out, const planner *in, double at_mm);
/* "16 x 120 mm at 42.0..162.0 mm". */
void wording_device(text *out, const bl_device *of);
/* "1 device", "2 devices". */
void wording_devices(text *out, size_t count);
/* "cranial", "caudal". */
const char *wording_end(bool caudal);
/* "the caudal end"; of several stretches "the caudal end of stretch 2", its
 * number in position order from 0. */
void wording_end_of(text *out, const bl_plan *plan, size_t stretch, bl_end end);
/* "lies cranial of iliocaval_confluence, 70.0 mm, in the cava: ..." */
void wording_beyond(text *out, const bl_mark *mark, bool caudal);
/* "in the cava": what lies beyond such a mark. */
void wording_vein_beyond(text *out, const bl_mark *mark);
/* Keeps the text with the plan and frees it; NULL when memory is out. */
const char *wording_keep(const planner *in, text *words);

#endif
