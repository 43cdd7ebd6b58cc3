/*
 * explained.h - what a search for healthy vein looked at, in words and JSON.
 */
#ifndef REPORT_EXPLAINED_H
#define REPORT_EXPLAINED_H

#include "base/text.h"
#include "boreline.h"
#include "report/json.h"

/* Lines under the heading "Candidates"; where nothing was searched they say
 * so. */
void explained_text(text *out, const bl_assessment *of);

/* Members "candidates", "more_candidates" and "more_rejected". */
void explained_json(json *to, const bl_assessment *of);

#endif
