/*
 * study.c - one table: read, measured, placed along the pullback.
 *
 * Contours are measured as they come and only their measures are kept, so
 * memory does not grow with points (unless contours are to be kept). Positions
 * wait for the end, since the first frame may come late.
 */
#include "base/constants.h"
#include "base/limits.h"
#include "base/message.h"
#include "base/number.h"
#include "geometry/measurer.h"
#include "profile/jump.h"
#include "pullback/notes.h"
#include "pullback/positions.h"
#include "pullback/quote.h"
#include "read/reader.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

/* Where a kept contour's points lie. */
typedef struct kept {
    size_t first;
    size_t count;
} kept;

struct bl_study {
    bl_study_options options;
    notes given;
    warnings said;
    bl_message message;
    reader reader;
    bl_measurer *measurer;
    bl_row *rows;
    uint64_t *lines; /* where each row's contour begins */
    kept *kept;      /* only when contours are kept */
    size_t count;
    size_t capacity;
    double *x; /* points of kept contours */
    double *y;
    size_t points;
    size_t point_capacity;
    bl_pullback pullback;
    bl_mark *marks;
    bool finished;
};

static bl_status receive(void *context, const read_contour *contour);

bl_status bl_study_new(const bl_study_options *options, bl_study **out) {
    bl_study *made = calloc(1, sizeof *made);
    if (made == NULL) {
        return BL_ERR_MEMORY;
    }
    made->options = *options;
    /* Flags need the area, to tell a jump. */
    uint32_t columns = options->columns | BL_BIT(BL_COL_AREA_MM2);
    if (bl_measurer_new(columns, &made->measurer) != BL_OK) {
        free(made);
        return BL_ERR_MEMORY;
    }
    reader_begin(&made->reader, &made->given, &made->said, &made->message,
                 receive, made);
    *out = made;
    return BL_OK;
}

void bl_study_free(bl_study *study) {
    if (study != NULL) {
        notes_free(&study->given);
        warnings_free(&study->said);
        reader_free(&study->reader);
        bl_measurer_free(study->measurer);
        free(study->rows);
        free(study->lines);
        free(study->kept);
        free(study->x);
        free(study->y);
        free(study->marks);
        free(study);
    }
}

bl_status bl_study_set(bl_study *study, const char *key, const char *value) {
    return notes_set(&study->given, key, value, &study->message);
}

bl_status bl_study_feed(bl_study *study, const char *bytes, size_t size) {
    return reader_feed(&study->reader, bytes, size);
}

const bl_message *bl_study_message(const bl_study *study) {
    return &study->message;
}

size_t bl_study_warning_count(const bl_study *study) {
    return study->said.count;
}

const bl_message *bl_study_warning(const bl_study *study, size_t index) {
    return index < study->said.count && index < LIMIT_WARNINGS
               ? &study->said.list[index]
               : NULL;
}

size_t bl_study_row_count(const bl_study *study) {
    return study->count;
}

const bl_row *bl_study_rows(const bl_study *study) {
    return study->rows;
}

const bl_pullback *bl_study_pullback(const bl_study *study) {
    return &study->pullback;
}

bl_contour bl_study_contour(const bl_study *study, size_t index) {
    if (!study->options.keep_contours || index >= study->count) {
        return (bl_contour){0};
    }
    const kept *of = &study->kept[index];
    return (bl_contour){study->x + of->first, study->y + of->first, of->count};
}

static bool more_rows(bl_study *study) {
    size_t capacity = study->capacity == 0 ? 1024 : 2 * study->capacity;
    bl_row *rows = realloc(study->rows, capacity * sizeof *rows);
    study->rows = rows != NULL ? rows : study->rows;
    uint64_t *starts = realloc(study->lines, capacity * sizeof *starts);
    study->lines = starts != NULL ? starts : study->lines;
    if (study->options.keep_contours) {
        kept *places = realloc(study->kept, capacity * sizeof *places);
        study->kept = places != NULL ? places : study->kept;
        if (places == NULL) {
            return false;
        }
    }
    if (rows == NULL || starts == NULL) {
        return false;
    }
    study->capacity = capacity;
    return true;
}

static bool keep_points(bl_study *study, const bl_contour *contour) {
    size_t need = study->points + contour->count;
    if (need > study->point_capacity) {
        size_t capacity = need + need / 2;
        double *x = realloc(study->x, capacity * sizeof *x);
        study->x = x != NULL ? x : study->x;
        double *y = realloc(study->y, capacity * sizeof *y);
        study->y = y != NULL ? y : study->y;
        if (x == NULL || y == NULL) {
            return false;
        }
        study->point_capacity = capacity;
    }
    study->kept[study->count] = (kept){study->points, contour->count};
    if (contour->count > 0) {
        memcpy(study->x + study->points, contour->x_mm,
               contour->count * sizeof *study->x);
        memcpy(study->y + study->points, contour->y_mm,
               contour->count * sizeof *study->y);
    }
    study->points = need;
    return true;
}

static bl_status receive(void *context, const read_contour *contour) {
    bl_study *study = context;
    if (study->count == LIMIT_CONTOURS) {
        return message_set(&study->message, BL_ERR_LIMIT, contour->line, 1,
                           "more than %d contours, the limit of a table; split "
                           "it",
                           LIMIT_CONTOURS);
    }
    if (study->count == study->capacity && !more_rows(study)) {
        return message_memory(&study->message);
    }
    bl_row row = {
        .frame = contour->frame,
        .time_s = contour->time_s,
        .position_mm = contour->position_mm,
        .kind = contour->kind,
    };
    bl_status status =
        bl_measurer_measure(study->measurer, &contour->contour, &row.measures);
    if (status == BL_ERR_ARGUMENT) {
        return message_set(&study->message, BL_ERR_INPUT, contour->line, 1,
                           "frame %lld has a coordinate too large to compute "
                           "with; check the scale",
                           (long long)contour->frame);
    }
    if (status != BL_OK) { /* too many points stop at the reader */
        return message_memory(&study->message);
    }
    row.points = (uint32_t)measurer_point_count(study->measurer);
    if (study->options.keep_contours &&
        !keep_points(study, &contour->contour)) {
        return message_memory(&study->message);
    }
    study->lines[study->count] = contour->line;
    study->rows[study->count++] = row;
    return BL_OK;
}

/* ---------------------------------------------------------------- the end */

/* Everything of one row, so that sorting keeps it together. */
typedef struct whole_row {
    bl_row row;
    uint64_t line;
    kept kept;
} whole_row;

static int compare(int64_t a, int64_t b) {
    return (a > b) - (a < b);
}

static int by_frame(const bl_row *a, const bl_row *b) {
    int order = compare(a->frame, b->frame);
    return order != 0 ? order : compare(a->kind, b->kind);
}

static int by_position(const bl_row *a, const bl_row *b) {
    if (a->position_mm < b->position_mm) {
        return -1;
    }
    return a->position_mm > b->position_mm ? 1 : by_frame(a, b);
}

static int whole_by_frame(const void *left, const void *right) {
    const whole_row *a = left;
    const whole_row *b = right;
    int order = by_frame(&a->row, &b->row);
    return order != 0 ? order : compare((int64_t)a->line, (int64_t)b->line);
}

static int whole_by_position(const void *left, const void *right) {
    return by_position(&((const whole_row *)left)->row,
                       &((const whole_row *)right)->row);
}

static bool in_order(const bl_study *study,
                     int (*order)(const bl_row *, const bl_row *)) {
    for (size_t i = 1; i < study->count; i++) {
        if (order(&study->rows[i - 1], &study->rows[i]) > 0) {
            return false;
        }
    }
    return true;
}

/* Sorting takes a copy, and nearly every table is in order already. */
static bl_status sort_rows(bl_study *study,
                           int (*order)(const bl_row *, const bl_row *),
                           int (*whole_order)(const void *, const void *)) {
    if (in_order(study, order)) {
        return BL_OK;
    }
    whole_row *all = malloc(study->count * sizeof *all);
    if (all == NULL) {
        return message_memory(&study->message);
    }
    for (size_t i = 0; i < study->count; i++) {
        kept place = {0};
        if (study->options.keep_contours) {
            place = study->kept[i];
        }
        all[i] = (whole_row){study->rows[i], study->lines[i], place};
    }
    qsort(all, study->count, sizeof *all, whole_order);
    for (size_t i = 0; i < study->count; i++) {
        study->rows[i] = all[i].row;
        study->lines[i] = all[i].line;
        if (study->options.keep_contours) {
            study->kept[i] = all[i].kept;
        }
    }
    free(all);
    return BL_OK;
}

/* Rows are sorted by frame and kind. */
static bl_status check_frames(bl_study *study) {
    for (size_t i = 1; i < study->count; i++) {
        const bl_row *a = &study->rows[i - 1];
        const bl_row *b = &study->rows[i];
        if (a->frame != b->frame) {
            continue;
        }
        if (a->kind == b->kind) {
            return message_set(&study->message, BL_ERR_INPUT, study->lines[i],
                               1,
                               "frame %lld (%s) comes back; its points began "
                               "on line %llu and must stand together",
                               (long long)b->frame, bl_kind_name(b->kind),
                               (unsigned long long)study->lines[i - 1]);
        }
        if (number_differ(a->time_s, b->time_s) ||
            number_differ(a->position_mm, b->position_mm)) {
            return message_set(
                &study->message, BL_ERR_INPUT, study->lines[i], 1,
                "frame %lld has another time or position here "
                "than on line %llu; a frame has one",
                (long long)b->frame, (unsigned long long)study->lines[i - 1]);
        }
    }
    return BL_OK;
}

/* The frames of the table, once each. */
static position_frame *frames_of(const bl_study *study, size_t *count) {
    position_frame *frames = malloc(study->count * sizeof *frames);
    size_t held = 0;
    for (size_t i = 0; frames != NULL && i < study->count; i++) {
        const bl_row *row = &study->rows[i];
        if (held == 0 || frames[held - 1].frame != row->frame) {
            frames[held++] = (position_frame){
                row->frame, row->time_s, row->position_mm, study->lines[i]};
        }
    }
    *count = held;
    return frames;
}

static void place_rows(bl_study *study, const position_frame *frames) {
    size_t at = 0;
    for (size_t i = 0; i < study->count; i++) {
        at += frames[at].frame != study->rows[i].frame;
        study->rows[i].position_mm = frames[at].position_mm;
    }
}

static int marks_by_position(const void *left, const void *right) {
    const bl_mark *a = left;
    const bl_mark *b = right;
    return (a->position_mm > b->position_mm) -
           (a->position_mm < b->position_mm);
}

/* Says which frame of which note is not in the table; name is "" or the
 * quoted name of a mark. */
static bl_status outside(bl_study *study, note_key key, const char *name,
                         const note_place *place, uint64_t line,
                         const position_frame *frames, size_t count) {
    return message_set(&study->message, BL_ERR_INPUT, line, line > 0,
                       "%s%s%s names frame %lld, outside the frames of the "
                       "table, %lld to %lld; name one of these",
                       line > 0 ? notes_key_name(key) : notes_key_option(key),
                       *name != '\0' ? " " : "", name, (long long)place->frame,
                       (long long)frames[0].frame,
                       (long long)frames[count - 1].frame);
}

static bl_status place_marks(bl_study *study, const position_frame *frames,
                             size_t count) {
    const notes *given = &study->given;
    study->marks = calloc(given->mark_count + 1, sizeof *study->marks);
    if (study->marks == NULL) {
        return message_memory(&study->message);
    }
    for (size_t i = 0; i < given->mark_count; i++) {
        const note_mark *mark = &given->marks[i];
        study->marks[i].name = mark->name;
        if (!positions_place(frames, count, mark->place,
                             &study->marks[i].position_mm)) {
            return outside(study, NOTE_MARK,
                           quote_bytes(mark->name, strlen(mark->name)).text,
                           &mark->place, mark->line, frames, count);
        }
    }
    qsort(study->marks, given->mark_count, sizeof *study->marks,
          marks_by_position);
    study->pullback.marks = study->marks;
    study->pullback.mark_count = given->mark_count;
    return BL_OK;
}

static bl_status place_references(bl_study *study, const position_frame *frames,
                                  size_t count) {
    const notes *given = &study->given;
    bl_pullback *to = &study->pullback;
    for (size_t i = 0; i < given->reference_count; i++) {
        const note_span *span = &given->references[i];
        bl_span *out = &to->references[i];
        bool from = positions_place(frames, count, span->from, &out->from_mm);
        if (!from || !positions_place(frames, count, span->to, &out->to_mm)) {
            return outside(study, NOTE_REFERENCE, "",
                           from ? &span->to : &span->from, span->line, frames,
                           count);
        }
        if (out->from_mm > out->to_mm) {
            *out = (bl_span){out->to_mm, out->from_mm};
        }
    }
    to->reference_count = given->reference_count;
    if (to->reference_count == 2 &&
        to->references[0].from_mm > to->references[1].from_mm) {
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
    gather_units units = study->reader.gather.units;
    bool pixels = units == UNITS_PX || units == UNITS_POLAR_PX;
    out->case_name = notes_label(given, NOTE_CASE);
    out->side = notes_label(given, NOTE_SIDE);
    out->reader = notes_label(given, NOTE_READER);
    out->stage = notes_label(given, NOTE_STAGE);
    out->travel = notes_travel(given);
    out->y_down = given->y_down;
    out->position_from = from;
    out->speed_mm_per_s = by_speed ? given->speeds[0].mm_per_s : UNKNOWN;
    out->speed_is_schedule = by_speed && given->speed_is_schedule;
    out->frame_rate_hz =
        from == BL_POSITION_RATE ? given->frame_rate_hz : UNKNOWN;
    out->step_mm = from == BL_POSITION_STEP ? given->step_mm : UNKNOWN;
    out->mm_per_px_x = pixels ? study->reader.gather.scale_x : UNKNOWN;
    out->mm_per_px_y = pixels ? study->reader.gather.scale_y : UNKNOWN;
    out->shape = reader_shape(&study->reader);
    out->separator = reader_separator(&study->reader);
    out->points = study->reader.gather.points;
    out->ignored_columns = study->reader.columns.ignored;
}

static bl_status place_all(bl_study *study) {
    size_t count;
    position_frame *frames = frames_of(study, &count);
    if (frames == NULL) {
        return message_memory(&study->message);
    }
    bl_position_from from;
    bl_status status = positions_find(&study->given, frames, count, &from,
                                      &study->said, &study->message);
    if (status == BL_OK) {
        place_rows(study, frames);
        describe(study, from);
        status = place_marks(study, frames, count);
    }
    if (status == BL_OK) {
        status = place_references(study, frames, count);
    }
    free(frames);
    return status;
}

bl_status bl_study_finish(bl_study *study) {
    if (study->finished) {
        return message_set(&study->message, BL_ERR_ARGUMENT, 0, 0,
                           "the study is finished already");
    }
    study->finished = true;
    bl_status status = reader_finish(&study->reader);
    if (status == BL_OK && study->count == 0) {
        status = message_set(&study->message, BL_ERR_INPUT,
                             study->reader.lines.number, 0,
                             "the table has a header and no rows; expected a "
                             "row a point");
    }
    if (status == BL_OK) {
        status = sort_rows(study, by_frame, whole_by_frame);
    }
    if (status == BL_OK) {
        status = check_frames(study);
    }
    if (status == BL_OK) {
        status = place_all(study);
    }
    if (status == BL_OK) {
        status = sort_rows(study, by_position, whole_by_position);
    }
    if (status == BL_OK) {
        jump_flag(study->rows, study->count);
        study->pullback.length_mm = study->rows[study->count - 1].position_mm -
                                    study->rows[0].position_mm;
    }
    return status;
}
