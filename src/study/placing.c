/*
 * placing.c - positions, marks and references, when every contour is there.
 *
 * Positions wait for the end, since the first frame may come late.
 */
#include "base/constants.h"
#include "base/number.h"
#include "pullback/positions.h"
#include "pullback/quote.h"
#include "study/inside.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

/* What a frame that comes back probably is, and what to do about it. */
static const char *why_back(const bl_row *a, const bl_row *b) {
    return a->points < 3 || b->points < 3
               ? "sort the rows by frame, or take out the row if it holds no "
                 "point"
               : "if it was traced twice keep one tracing, and if these are "
                 "two edges give each its kind";
}

/* Rows are sorted by frame and kind. */
static bl_status check_pair(bl_study *study, size_t i) {
    const bl_row *a = &study->store.rows[i - 1];
    const bl_row *b = &study->store.rows[i];
    uint64_t line = study->store.lines[i];
    if (a->frame != b->frame) {
        return BL_OK;
    }
    if (a->kind == b->kind) {
        (void)message_set(&study->message, BL_ERR_INPUT, line, 1,
                          "frame %lld (%s) comes back; its points began on "
                          "line %llu and must stand together: %s",
                          (long long)b->frame, bl_kind_name(b->kind),
                          (unsigned long long)study->store.lines[i - 1],
                          why_back(a, b));
        return findings_fault(&study->said, &study->message, b->frame);
    }
    if (number_differ(a->time_s, b->time_s) ||
        number_differ(a->position_mm, b->position_mm)) {
        (void)message_set(&study->message, BL_ERR_INPUT, line, 1,
                          "frame %lld has another time or position here than "
                          "on line %llu; a frame has one",
                          (long long)b->frame,
                          (unsigned long long)study->store.lines[i - 1]);
        return findings_fault(&study->said, &study->message, b->frame);
    }
    return BL_OK;
}

static bl_status check_frames(bl_study *study) {
    bl_status status = BL_OK;
    for (size_t i = 1; status == BL_OK && i < study->store.count; i++) {
        status = check_pair(study, i);
    }
    return status;
}

/* The frames of the table, once each. */
static position_frame *frames_of(const bl_study *study, size_t *count) {
    position_frame *frames = malloc(study->store.count * sizeof *frames);
    size_t held = 0;
    for (size_t i = 0; frames != NULL && i < study->store.count; i++) {
        const bl_row *row = &study->store.rows[i];
        if (held == 0 || frames[held - 1].frame != row->frame) {
            frames[held++] = (position_frame){(int32_t)row->frame, (uint32_t)i,
                                              row->time_s, row->position_mm};
        }
    }
    *count = held;
    return frames;
}

static void place_rows(bl_study *study, const position_frame *frames) {
    size_t at = 0;
    for (size_t i = 0; i < study->store.count; i++) {
        at += frames[at].frame != study->store.rows[i].frame;
        study->store.rows[i].position_mm = frames[at].position_mm;
    }
}

static int marks_by_position(const void *left, const void *right) {
    const bl_mark *a = left;
    const bl_mark *b = right;
    return (a->position_mm > b->position_mm) -
           (a->position_mm < b->position_mm);
}

/* Places under way. */
typedef struct placing {
    bl_study *study;
    position_frame *frames; /* of the table, once each */
    size_t count;
    bool cut; /* rows with faults were passed over, perhaps whole frames */
} placing;

/* The millimetres of a note's place, unknown for a frame that is not in the
 * table: a fault that says which. name is "" or the quoted name of a mark. */
static bl_status find_place(const placing *in, note_key key, const char *name,
                            const note_place *place, uint64_t line,
                            double *mm) {
    bl_study *study = in->study;
    if (positions_place(in->frames, in->count, *place, mm)) {
        return BL_OK;
    }
    *mm = UNKNOWN;
    (void)message_set(
        &study->message, BL_ERR_INPUT, line, line > 0,
        "%s%s%s names frame %lld, outside the frames of the table, %lld to "
        "%lld%s; name one of these",
        line > 0 ? notes_key_name(key) : notes_key_option(key),
        *name != '\0' ? " " : "", name, (long long)place->frame,
        (long long)in->frames[0].frame,
        (long long)in->frames[in->count - 1].frame,
        in->cut ? " as far as it can be read" : "");
    return findings_fault(&study->said, &study->message, -1);
}

static bl_status place_marks(const placing *in) {
    bl_study *study = in->study;
    const notes *given = &study->given;
    size_t held = 0;
    study->marks = calloc(given->mark_count + 1, sizeof *study->marks);
    if (study->marks == NULL) {
        return message_memory(&study->message);
    }
    for (size_t i = 0; i < given->mark_count; i++) {
        const note_mark *mark = &given->marks[i];
        double mm;
        bl_status status = find_place(
            in, NOTE_MARK, quote_bytes(mark->name, strlen(mark->name)).text,
            &mark->place, mark->line, &mm);
        if (status != BL_OK) {
            return status;
        }
        if (!isnan(mm)) {
            study->marks[held++] = (bl_mark){mark->name, mm, mark->line};
        }
    }
    qsort(study->marks, held, sizeof *study->marks, marks_by_position);
    study->pullback.marks = study->marks;
    study->pullback.mark_count = held;
    return BL_OK;
}

static bl_status place_references(const placing *in) {
    const notes *given = &in->study->given;
    bl_pullback *to = &in->study->pullback;
    size_t held = 0;
    for (size_t i = 0; i < given->reference_count; i++) {
        const note_span *span = &given->references[i];
        double from;
        double end;
        bl_status status =
            find_place(in, NOTE_REFERENCE, "", &span->from, span->line, &from);
        if (status == BL_OK) {
            status =
                find_place(in, NOTE_REFERENCE, "", &span->to, span->line, &end);
        }
        if (status != BL_OK) {
            return status;
        }
        if (!isnan(from) && !isnan(end)) {
            to->references[held++] =
                (bl_span){fmin(from, end), fmax(from, end)};
        }
    }
    to->reference_count = held;
    if (held == 2 && to->references[0].from_mm > to->references[1].from_mm) {
        bl_span first = to->references[1];
        to->references[1] = to->references[0];
        to->references[0] = first;
    }
    return BL_OK;
}

static void describe(bl_study *study, bl_position_from from) {
    const notes *given = &study->given;
    bl_pullback *out = &study->pullback;
    bool by_speed = from == BL_POSITION_TIME || from == BL_POSITION_RATE;
    out->position_from = from;
    out->speed_mm_per_s = by_speed ? given->speeds[0].mm_per_s : UNKNOWN;
    out->speed_is_schedule = by_speed && given->speed_is_schedule;
    out->speeds = given->speeds;
    out->speed_count = out->speed_is_schedule ? given->speed_count : 0;
    out->frame_rate_hz =
        from == BL_POSITION_RATE ? given->frame_rate_hz : UNKNOWN;
    out->step_mm = from == BL_POSITION_STEP ? given->step_mm : UNKNOWN;
}

void placing_describe(bl_study *study) {
    const notes *given = &study->given;
    bl_pullback *out = &study->pullback;
    gather_units units = study->reader.gather.units;
    bool pixels = gather_in_pixels(units);
    out->case_name = notes_label(given, NOTE_CASE);
    out->side = notes_label(given, NOTE_SIDE);
    out->reader = notes_label(given, NOTE_READER);
    out->stage = notes_label(given, NOTE_STAGE);
    out->travel = notes_travel(given);
    out->speed_mm_per_s = UNKNOWN;
    out->frame_rate_hz = UNKNOWN;
    out->step_mm = UNKNOWN;
    out->length_mm = UNKNOWN;
    bool scaled = pixels && !study->reader.gather.unscaled;
    out->mm_per_px_x = scaled ? study->reader.gather.scale_x : UNKNOWN;
    out->mm_per_px_y = scaled ? study->reader.gather.scale_y : UNKNOWN;
    out->scale_is_missing = pixels && !scaled;
    out->polar = gather_in_angles(units);
    out->scale_from_option = scaled && notes_scale_is_option(given);
    out->y_down = given->y_down;
    out->shape = reader_shape(&study->reader);
    out->separator = reader_separator(&study->reader);
    out->begins = study->reader.begins;
    out->points = study->reader.gather.points;
    out->ignored_columns = study->reader.columns.ignored;
}

/* How many frames stand before the movement and behind it, and where. */
static void describe_motion(const placing *in) {
    const notes *given = &in->study->given;
    bl_pullback *out = &in->study->pullback;
    out->has_motion = given->origin[NOTE_MOTION] != NOTE_UNSET &&
                      out->position_from != BL_POSITION_COLUMN;
    if (!out->has_motion) {
        return;
    }
    out->motion_from = given->motion_from;
    out->motion_to = given->motion_to;
    out->held_before_mm = in->frames[0].position_mm;
    out->held_after_mm = in->frames[in->count - 1].position_mm;
    for (size_t i = 0; i < in->count; i++) {
        out->held_before += in->frames[i].frame < given->motion_from;
        out->held_after += in->frames[i].frame > given->motion_to;
    }
}

/* Whether frames are placed stands in each of them: unknown for none. */
static bl_status place_all(const placing *in) {
    bl_study *study = in->study;
    bl_position_from from;
    bl_status status =
        positions_find(&study->given, in->frames, in->count, study->store.lines,
                       &from, &study->said, &study->message);
    if (status != BL_OK) {
        return status;
    }
    place_rows(study, in->frames);
    if (!isnan(in->frames[0].position_mm)) {
        describe(study, from);
        describe_motion(in);
    }
    status = place_marks(in);
    return status == BL_OK ? place_references(in) : status;
}

bl_status placing_finish(bl_study *study) {
    placing in = {.study = study, .cut = study->said.errors > 0};
    bl_status status = store_sort_by_frame(&study->store);
    if (status == BL_OK) {
        status = check_frames(study);
    }
    if (status != BL_OK || study->store.count == 0) {
        return status;
    }
    in.frames = frames_of(study, &in.count);
    if (in.frames == NULL) {
        return message_memory(&study->message);
    }
    status = place_all(&in);
    bool placed = status == BL_OK && !isnan(in.frames[0].position_mm);
    free(in.frames);
    return placed ? along_finish(study) : status;
}
