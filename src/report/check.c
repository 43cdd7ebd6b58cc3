/*
 * check.c - what is wrong with a table: a line a finding, then a summary.
 */
#include "base/origin.h"
#include "report/source.h"

#include <math.h>
#include <string.h>

static const char *severity(const bl_finding *of) {
    return of->message.status == BL_OK ? "warning" : "error";
}

static void finding_line(text *out, const char *file, const bl_finding *of) {
    text_add(out, strcmp(file, "-") == 0 ? "standard input" : file);
    text_add(out, ":");
    if (of->message.line > 0) {
        text_format(out, "%llu:", (unsigned long long)of->message.line);
        if (of->message.column > 0) {
            text_format(out, "%llu:", (unsigned long long)of->message.column);
        }
    }
    if (of->frame >= 0) {
        text_format(out, " frame %lld:", (long long)of->frame);
    }
    text_format(out, " %s: %s\n", severity(of), of->message.text);
    if (of->more > 0) {
        text_format(out, "    and %llu more of the same; --repeats N lists N\n",
                    (unsigned long long)of->more);
    }
}

static const char *separator_words(char separator) {
    switch (separator) {
    case ',':
        return "comma";
    case ';':
        return "semicolon";
    case '\t':
        return "tab";
    case '|':
        return "bar";
    case ' ':
        return "blanks";
    default:
        return "unknown";
    }
}

static void table_lines(text *out, const bl_pullback *pullback) {
    source_heading(out, "Shape");
    text_format(out, "%s, separator %s\n", bl_shape_name(pullback->shape),
                separator_words(pullback->separator));
    source_heading(out, "Units");
    origin_units_words(out, pullback);
    text_add(out, "\n");
}

static void count_lines(text *out, const bl_check *of) {
    source_heading(out, "Frames");
    text_format(out,
                "%zu with a lumen contour, %zu of them left out; %zu "
                "contour%s in all\n",
                of->frames, of->left_out, of->contours,
                of->contours == 1 ? "" : "s");
    source_heading(out, "Points");
    text_format(out, "%u least, ", of->points_least);
    text_short(out, of->points_median, 1);
    text_format(out, " median, %u most\n", of->points_most);
    source_heading(out, "Diameter");
    if (isnan(of->median_diameter_mm)) {
        text_add(out, "unknown\n");
        return;
    }
    text_fixed(out, of->median_diameter_mm, 2);
    text_add(out, " mm equivalent, median");
    text_add(out, of->scale_is_suspicious ? ": a suspicious scale\n" : "\n");
}

static void position_lines(text *out, const bl_study *study,
                           const bl_check *of) {
    const bl_pullback *pullback = bl_study_pullback(study);
    source_heading(out, "Position");
    if (!of->placed) {
        text_add(out, "unknown, because of the errors\n");
        return;
    }
    text_add(out, "from ");
    origin_position_words(out, pullback);
    text_add(out, "\n");
    source_heading(out, "Length");
    text_fixed(out, pullback->length_mm, 1);
    text_format(out, " mm%s, %zu gap%s over 5 mm",
                bl_study_fault_count(study) > 0 ? " of what was read" : "",
                of->gaps, of->gaps == 1 ? "" : "s");
    if (pullback->outside > 0) {
        text_format(out, "; without %zu stray row%s far outside",
                    pullback->outside, pullback->outside == 1 ? "" : "s");
    }
    text_add(out, "\n");
}

static void summary(text *out, const bl_study *study, const bl_check *of) {
    const bl_pullback *pullback = bl_study_pullback(study);
    text_add(out, of->finding_count > 0 ? "\n" : "");
    if (of->contours > 0) {
        table_lines(out, pullback);
        count_lines(out, of);
        position_lines(out, study, of);
    }
    source_heading(out, "Verdict");
    text_format(out, "%s: %llu error%s, %llu warning%s\n",
                of->usable ? "can be assessed" : "cannot be assessed",
                (unsigned long long)of->faults, of->faults == 1 ? "" : "s",
                (unsigned long long)of->warnings, of->warnings == 1 ? "" : "s");
    text_add(out, bl_caution());
    text_add(out, "\n");
}

bl_status bl_report_check_text(const bl_study *study, const bl_check *check,
                               const bl_source *source, bl_sink sink,
                               void *context) {
    text out = {0};
    for (size_t i = 0; i < check->finding_count; i++) {
        finding_line(&out, source->file, &check->findings[i]);
    }
    summary(&out, study, check);
    bl_status status = text_flush(&out, sink, context);
    text_free(&out);
    return status;
}

/* -------------------------------------------------------------------- JSON */

static void place(json *to, const char *key, int64_t value, bool known) {
    if (known) {
        json_integer(to, key, value);
    } else {
        json_number(to, key, (double)NAN);
    }
}

static void findings_json(json *to, const bl_check *of) {
    json_open(to, "findings", '[', false);
    for (size_t i = 0; i < of->finding_count; i++) {
        const bl_finding *one = &of->findings[i];
        json_open(to, NULL, '{', true);
        json_string(to, "severity", severity(one));
        place(to, "line", (int64_t)one->message.line, one->message.line > 0);
        place(to, "column", (int64_t)one->message.column,
              one->message.column > 0);
        place(to, "frame", one->frame, one->frame >= 0);
        json_string(to, "what", one->message.text);
        json_integer(to, "more", (int64_t)one->more);
        json_close(to, '{');
    }
    json_close(to, '[');
}

static void table_json(json *to, const bl_study *study, const bl_check *of) {
    const bl_pullback *pullback = bl_study_pullback(study);
    json_open(to, "table", '{', false);
    if (of->contours > 0) {
        json_string(to, "shape", bl_shape_name(pullback->shape));
        json_string(to, "separator", separator_words(pullback->separator));
        json_integer(to, "ignored_columns", (int64_t)pullback->ignored_columns);
    }
    json_integer(to, "contours", (int64_t)of->contours);
    json_integer(to, "frames", (int64_t)of->frames);
    json_integer(to, "left_out", (int64_t)of->left_out);
    json_integer(to, "points_least", of->points_least);
    json_number(to, "points_median", of->points_median);
    json_integer(to, "points_most", of->points_most);
    json_number(to, "median_equivalent_diameter_mm", of->median_diameter_mm);
    json_bool(to, "scale_is_suspicious", of->scale_is_suspicious);
    place(to, "gaps", (int64_t)of->gaps, of->placed);
    json_close(to, '{');
}

bl_status bl_report_check_json(const bl_study *study, const bl_check *check,
                               const bl_source *source, bl_sink sink,
                               void *context) {
    text out = {0};
    json to = {.out = &out};
    json_open(&to, NULL, '{', false);
    json_string(&to, "boreline", bl_version());
    json_open(&to, "input", '{', false);
    source_json(&to, source);
    json_close(&to, '{');
    json_bool(&to, "usable", check->usable);
    json_integer(&to, "errors", (int64_t)check->faults);
    json_integer(&to, "warnings", (int64_t)check->warnings);
    findings_json(&to, check);
    table_json(&to, study, check);
    if (check->placed) {
        source_pullback_json(&to, study);
    }
    json_string(&to, "caution", bl_caution());
    json_close(&to, '{');
    bl_status status = text_flush(&out, sink, context);
    text_free(&out);
    return status;
}
