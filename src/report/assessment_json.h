/*
 * assessment_json.h - parts of an assessment as JSON that a plan shows too.
 */
#ifndef REPORT_ASSESSMENT_JSON_H
#define REPORT_ASSESSMENT_JSON_H

#include "boreline.h"
#include "report/json.h"

/* Every member of an assessment, "input" to "warnings". */
void assessment_json_members(json *to, const bl_study *study,
                             const bl_assessment *of, const bl_source *source);

/* Member "input". */
void assessment_json_input(json *to, const bl_study *study,
                           const bl_assessment *of, const bl_source *source);

/* Members of "settings". */
void assessment_json_settings(json *to, const bl_assess_options *options);

/* Members "reference", null where there is none, and "narrowings". */
void assessment_json_reference(json *to, const bl_assessment *of);
void assessment_json_narrowings(json *to, const bl_assessment *of);

/* flow_report.c: member "flow". */
void flow_json(json *to, const bl_assessment *of);

#endif
