/*
 * plan_caption.h - the plan in the caption.
 */
#ifndef DRAW_PLAN_CAPTION_H
#define DRAW_PLAN_CAPTION_H

#include "draw/page.h"

/* The bars and landing points; nothing without a plan. brief: on a low page. */
void plan_caption(const page *on, text *to, bool brief);

#endif
