/*
 * comparison_json.h - parts of a comparison as JSON.
 */
#ifndef REPORT_COMPARISON_JSON_H
#define REPORT_COMPARISON_JSON_H

#include "boreline.h"
#include "report/json.h"

/* Members "from_mm" and "to_mm". */
void comparison_json_span(json *to, bl_span span);

/* Every member of a comparison that is not of its tables; "series" only with
 * frames. */
void comparison_json_members(json *to, const bl_compared_table *before,
                             const bl_comparison *comparison, bool frames);

/* An array of holes. */
void comparison_json_holes(json *to, const char *key, const bl_hole *holes,
                           size_t count);

/* Member "device", null without device contours. */
void comparison_json_device(json *to, const bl_comparison *of);

#endif
