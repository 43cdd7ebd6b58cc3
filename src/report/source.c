/*
 * source.c - what every report says of its input.
 */
#include "report/source.h"

#include "base/constants.h"
#include "base/origin.h"

#include <math.h>
#include <string.h>

void source_checksum(text *out, const bl_source *source) {
    if (source->bytes > 0) {
        text_format(out, "%08lx", (unsigned long)source->crc32);
    } else {
        text_add(out, "not known"); /* reading stopped */
    }
}

void source_json(json *to, const bl_source *source) {
    json_string(to, "file", source->file);
    if (source->bytes > 0) {
        text check = {0};
        source_checksum(&check, source);
        json_string(to, "crc32", text_c(&check));
        to->out->failed = to->out->failed || check.failed;
        text_free(&check);
    } else {
        json_number(to, "crc32", UNKNOWN);
    }
    json_string(to, "options", source->options);
}

static void labels_json(json *to, const bl_pullback *pullback) {
    const struct {
        const char *key;
        const char *value;
    } labels[] = {{"case", pullback->case_name},
                  {"side", pullback->side},
                  {"reader", pullback->reader},
                  {"stage", pullback->stage}};
    for (size_t i = 0; i < sizeof labels / sizeof labels[0]; i++) {
        if (labels[i].value[0] != '\0') {
            json_string(to, labels[i].key, labels[i].value);
        }
    }
}

static void schedule_json(json *to, const bl_pullback *pullback) {
    if (pullback->speed_count == 0) {
        return;
    }
    json_open(to, "speed_schedule", '[', false);
    for (size_t i = 0; i < pullback->speed_count; i++) {
        json_open(to, NULL, '{', true);
        json_integer(to, "from_frame", pullback->speeds[i].frame);
        json_number(to, "mm_per_s", pullback->speeds[i].mm_per_s);
        json_close(to, '{');
    }
    json_close(to, '[');
}

static void motion_json(json *to, const bl_pullback *pullback) {
    if (!pullback->has_motion) {
        return;
    }
    json_open(to, "motion", '{', true);
    json_integer(to, "from_frame", pullback->motion_from);
    json_integer(to, "to_frame", pullback->motion_to);
    json_integer(to, "held_before", (int64_t)pullback->held_before);
    json_integer(to, "held_after", (int64_t)pullback->held_after);
    json_close(to, '{');
}

void source_pullback_json(json *to, const bl_study *study) {
    const bl_pullback *pullback = bl_study_pullback(study);
    json_open(to, "pullback", '{', false);
    labels_json(to, pullback);
    json_number(to, "length_mm", pullback->length_mm);
    json_string(to, "position_from",
                bl_position_from_name(pullback->position_from));
    json_number(to, "speed_mm_per_s", pullback->speed_mm_per_s);
    json_bool(to, "speed_is_schedule", pullback->speed_is_schedule);
    schedule_json(to, pullback);
    motion_json(to, pullback);
    json_number(to, "frame_rate_hz", pullback->frame_rate_hz);
    json_number(to, "step_mm", pullback->step_mm);
    bool scaled = !isnan(pullback->mm_per_px_x);
    bool pixels = scaled || pullback->scale_is_missing;
    json_string(to, "units", pixels ? "px" : "mm");
    if (pullback->scale_is_missing) {
        json_number(to, "scale_from", UNKNOWN);
    } else {
        json_string(to, "scale_from",
                    !pixels                       ? "unit"
                    : pullback->scale_from_option ? "option"
                                                  : "note");
    }
    json_number(to, "mm_per_px_x", pullback->mm_per_px_x);
    json_number(to, "mm_per_px_y", pullback->mm_per_px_y);
    json_string(to, "travel", bl_end_name(pullback->travel));
    json_open(to, "marks", '[', false);
    for (size_t i = 0; i < pullback->mark_count; i++) {
        json_open(to, NULL, '{', true);
        json_string(to, "name", pullback->marks[i].name);
        json_number(to, "position_mm", pullback->marks[i].position_mm);
        json_close(to, '{');
    }
    json_close(to, '[');
    json_close(to, '{');
}

bl_status bl_report_origin_text(const bl_study *study, bl_sink sink,
                                void *context) {
    text out = {0};
    origin_words(&out, bl_study_pullback(study));
    bl_status status = text_flush(&out, sink, context);
    text_free(&out);
    return status;
}

void source_labels(text *out, const bl_pullback *pullback) {
    const char *labels[] = {pullback->case_name, pullback->side,
                            pullback->stage, pullback->reader};
    for (size_t i = 0; i < sizeof labels / sizeof labels[0]; i++) {
        if (labels[i][0] != '\0') {
            text_add(out, i == 3 ? "; reader " : "; ");
            text_add(out, labels[i]);
        }
    }
}

void source_heading(text *out, const char *words) {
    size_t start = out->size;
    text_add(out, words);
    while (!out->failed && out->size - start < SOURCE_HEADING_WIDTH) {
        text_add(out, " ");
    }
}
