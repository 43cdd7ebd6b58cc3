/*
 * plan_json.h - a plan as JSON, for outputs that show one beside other things.
 */
#ifndef REPORT_PLAN_JSON_H
#define REPORT_PLAN_JSON_H

#include "boreline.h"
#include "report/json.h"

/* Every member of a plan that is not of its assessment; "warnings" are the
 * plan's own. */
void plan_json_members(json *to, const bl_study *study,
                       const bl_assessment *assessment, const bl_plan *plan);

#endif
