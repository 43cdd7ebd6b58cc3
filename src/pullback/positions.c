/*
 * positions.c - where along the pullback each frame was taken.
 *
 * Position = (frame - first frame) / rate * speed, or (time - first time) *
 * speed; under a speed schedule the integral of its steps over the frames. It
 * comes from frame numbers, never from the order of rows, so missing frames
 * leave gaps. `motion` holds frames before and after the movement at its ends
 * and puts 0 at its start.
 */
#include "pullback/positions.h"

#include "base/constants.h"
#include "pullback/doubts.h"
#include "pullback/meant.h"
#include "pullback/schedule.h"

#include <math.h>

typedef struct finding {
    const notes *given;
    position_frame *frames;
    size_t count;
    const uint64_t *lines;
    bool moves; /* `motion` is given: from first to last frame of it */
    int64_t first;
    int64_t last;
    findings *said;
    bl_message *message;
} finding;

static bool is_given(const finding *in, note_key key) {
    return in->given->origin[key] != NOTE_UNSET;
}

/* Given, or meant to be: of a note that was refused no more is known. */
static bool is_meant(const finding *in, note_key key) {
    return is_given(in, key) || in->given->refused[key];
}

static uint64_t line_of(const finding *in, size_t i) {
    return in->lines[in->frames[i].row];
}

/* A fault of the table; BL_OK where it is a finding and more are looked for.
 */
static bl_status refuse(const finding *in, uint64_t line, int64_t frame,
                        const char *format, ...) MESSAGE_FORMAT(4, 5);

static bl_status refuse(const finding *in, uint64_t line, int64_t frame,
                        const char *format, ...) {
    va_list arguments;
    va_start(arguments, format);
    (void)message_set_list(in->message, BL_ERR_INPUT, line, 0, format,
                           arguments);
    va_end(arguments);
    return findings_fault(in->said, in->message, frame);
}

static int64_t frame_clamped(const finding *in, int64_t frame) {
    return frame < in->first ? in->first : frame > in->last ? in->last : frame;
}

bool positions_place(const position_frame *frames, size_t count,
                     note_place place, double *mm) {
    if (!place.by_frame) {
        *mm = place.mm;
        return true;
    }
    size_t low = 0;
    size_t high = count;
    while (low < high) {
        size_t middle = low + (high - low) / 2;
        if (frames[middle].frame < place.frame) {
            low = middle + 1;
        } else {
            high = middle;
        }
    }
    if (low == count || (low == 0 && frames[0].frame != place.frame)) {
        return false;
    }
    const position_frame *after = &frames[low];
    if (after->frame == place.frame) {
        *mm = after->position_mm;
        return true;
    }
    const position_frame *before = after - 1;
    double share = (double)(place.frame - before->frame) /
                   (double)(after->frame - before->frame);
    *mm = before->position_mm +
          share * (after->position_mm - before->position_mm);
    return true;
}

/* ------------------------------------------------------- speed over frames */

static bl_status check_schedule(const finding *in) {
    const notes *given = in->given;
    if (!given->speed_is_schedule || given->speeds[0].frame <= in->first) {
        return BL_OK;
    }
    return refuse(in, given->line[NOTE_SPEED], -1,
                  "the speed schedule starts at frame %lld, the pullback at "
                  "frame %lld; begin the schedule there",
                  (long long)given->speeds[0].frame, (long long)in->first);
}

/* Speed and, where asked for, rate, each to be there or said to lack. */
static bl_status check_meant(const finding *in, bool needs_rate) {
    bool speed = is_meant(in, NOTE_SPEED);
    bool rate = !needs_rate || is_meant(in, NOTE_RATE);
    if (speed && rate) {
        return BL_OK;
    }
    const char *words =
        rate    ? "no pullback speed; add --speed MM_PER_S or a note "
                  "'# speed_mm_per_s = MM_PER_S'"
        : speed ? "no frame rate; add --frame-rate HZ or a note "
                  "'# frame_rate_hz = HZ'"
                : "no pullback speed and no frame rate; add --speed MM_PER_S "
                  "and --frame-rate HZ or the notes "
                  "'# speed_mm_per_s = MM_PER_S' and '# frame_rate_hz = HZ'";
    return refuse(in, 0, -1, "%s", words);
}

/* ---------------------------------------------------------- the five ways */

static bl_status check_known(const finding *in) {
    const notes *given = in->given;
    const note_at *at = given->at;
    if (given->at_count < 2) {
        return refuse(in, at[0].line, -1,
                      "one known position is not enough; give a second 'at' "
                      "note or --at FRAME=MM");
    }
    bl_status status = BL_OK;
    for (size_t i = 1; status == BL_OK && i < given->at_count; i++) {
        if (at[i].mm < at[i - 1].mm) {
            status = refuse(in, at[i].line, -1,
                            "the known position of frame %lld lies before "
                            "that of frame %lld; positions grow with the "
                            "frame number",
                            (long long)at[i].frame, (long long)at[i - 1].frame);
        }
    }
    return status;
}

static bl_status refuse_unknown(const finding *in, size_t i, int64_t frame) {
    const note_at *at = in->given->at;
    return refuse(in, line_of(in, i), frame,
                  "frame %lld is outside the known positions, frames %lld to "
                  "%lld; give an 'at' note or --at FRAME=MM that covers it",
                  (long long)frame, (long long)at[0].frame,
                  (long long)at[in->given->at_count - 1].frame);
}

static bl_status from_at(const finding *in) {
    const notes *given = in->given;
    const note_at *at = given->at;
    size_t piece = 1;
    bl_status status = check_known(in);
    for (size_t i = 0; status == BL_OK && given->at_count > 1 && i < in->count;
         i++) {
        int64_t frame = frame_clamped(in, in->frames[i].frame);
        if (frame < at[0].frame || frame > at[given->at_count - 1].frame) {
            status = refuse_unknown(in, i, frame);
            continue;
        }
        while (frame > at[piece].frame) {
            piece++;
        }
        const note_at *a = &at[piece - 1];
        double share =
            (double)(frame - a->frame) / (double)(at[piece].frame - a->frame);
        in->frames[i].position_mm = a->mm + share * (at[piece].mm - a->mm);
    }
    return status;
}

static bl_status from_step(const finding *in) {
    for (size_t i = 0; i < in->count; i++) {
        int64_t frame = frame_clamped(in, in->frames[i].frame);
        in->frames[i].position_mm =
            (double)(frame - in->first) * in->given->step_mm;
    }
    return BL_OK;
}

static bl_status from_rate(const finding *in) {
    const notes *given = in->given;
    bl_status status = check_schedule(in);
    if (status != BL_OK) {
        return status;
    }
    schedule_walk walk = {given->speeds, given->speed_count, 0, 0.0};
    for (size_t i = 0; i < in->count; i++) {
        int64_t frame = frame_clamped(in, in->frames[i].frame);
        in->frames[i].position_mm =
            given->speed_is_schedule
                ? schedule_to(&walk, in->first, frame) / given->frame_rate_hz
                : (double)(frame - in->first) / given->frame_rate_hz *
                      given->speeds[0].mm_per_s;
    }
    return BL_OK;
}

/* Frames outside the movement get the position of its nearer end, and its
 * start becomes 0. */
static bl_status hold_outside_motion(const finding *in) {
    note_place first = {.by_frame = true, .frame = in->first};
    note_place last = {.by_frame = true, .frame = in->last};
    double start = 0.0;
    double end = 0.0;
    bool known = positions_place(in->frames, in->count, first, &start) &&
                 positions_place(in->frames, in->count, last, &end);
    if (!known) {
        return refuse(in, in->given->line[NOTE_MOTION], -1,
                      "motion reaches beyond the frames of the table, where "
                      "no time is known; give it within frame %lld to frame "
                      "%lld",
                      (long long)in->frames[0].frame,
                      (long long)in->frames[in->count - 1].frame);
    }
    for (size_t i = 0; i < in->count; i++) {
        position_frame *frame = &in->frames[i];
        double mm = frame->frame < in->first  ? start
                    : frame->frame > in->last ? end
                                              : frame->position_mm;
        frame->position_mm = mm - start;
    }
    return BL_OK;
}

static bl_status from_time(const finding *in) {
    const notes *given = in->given;
    bl_status status = check_schedule(in);
    if (status != BL_OK) {
        return status;
    }
    position_frame *frames = in->frames;
    frames[0].position_mm = 0.0;
    schedule_walk walk = {given->speeds, given->speed_count, 0, 0.0};
    for (size_t i = 1; i < in->count; i++) {
        position_frame *to = &frames[i];
        const position_frame *from = to - 1;
        if (!given->speed_is_schedule) {
            to->position_mm =
                (to->time_s - frames[0].time_s) * given->speeds[0].mm_per_s;
            continue;
        }
        double mean = schedule_between(&walk, from->frame, to->frame) /
                      (double)(to->frame - from->frame);
        to->position_mm =
            from->position_mm + mean * (to->time_s - from->time_s);
    }
    return in->moves ? hold_outside_motion(in) : BL_OK;
}

/* ------------------------------------------------------------------ choice */

static double value_of(const position_frame *frame, bool position) {
    return position ? frame->position_mm : frame->time_s;
}

/* Whether frames have positions (or times): all or none may. */
static bl_status find_values(const finding *in, bool position, bool *any) {
    const position_frame *frames = in->frames;
    size_t have = 0;
    while (have < in->count && isnan(value_of(&frames[have], position))) {
        have++;
    }
    *any = have < in->count;
    bl_status status = BL_OK;
    for (size_t i = 0; *any && status == BL_OK && i < in->count; i++) {
        if (isnan(value_of(&frames[i], position))) {
            status = refuse(in, line_of(in, i), frames[i].frame,
                            "frame %lld has no %s, frame %lld has one; give "
                            "every frame one, or none",
                            (long long)frames[i].frame,
                            position ? "position" : "time",
                            (long long)frames[have].frame);
        }
    }
    return status;
}

static bl_status check_times(const finding *in) {
    bl_status status = BL_OK;
    for (size_t i = 1; status == BL_OK && i < in->count; i++) {
        const position_frame *frame = &in->frames[i];
        if (frame->time_s < frame[-1].time_s) {
            status =
                refuse(in, line_of(in, i), frame->frame,
                       "the time of frame %lld is before that of frame "
                       "%lld; times must not run backwards",
                       (long long)frame->frame, (long long)frame[-1].frame);
        }
    }
    return status;
}

/* Where positions come from, and whether what that needs is there. */
static bl_status choose(const finding *in, bl_position_from *from) {
    bool any = false;
    bl_status status = find_values(in, true, &any);
    if (status != BL_OK || any) {
        *from = BL_POSITION_COLUMN;
        return status;
    }
    if (is_meant(in, NOTE_AT) || is_meant(in, NOTE_STEP)) {
        *from = is_meant(in, NOTE_AT) ? BL_POSITION_AT : BL_POSITION_STEP;
        return BL_OK;
    }
    status = find_values(in, false, &any);
    *from = any ? BL_POSITION_TIME : BL_POSITION_RATE;
    return status == BL_OK ? check_meant(in, !any) : status;
}

/* Goes that way where all of it is known. */
static bl_status go(const finding *in, bl_position_from from) {
    static bl_status (*const ways[])(const finding *) = {
        [BL_POSITION_AT] = from_at,
        [BL_POSITION_STEP] = from_step,
        [BL_POSITION_TIME] = from_time,
        [BL_POSITION_RATE] = from_rate,
    };
    static const note_key keys[] = {
        [BL_POSITION_AT] = NOTE_AT,
        [BL_POSITION_STEP] = NOTE_STEP,
        [BL_POSITION_TIME] = NOTE_SPEED,
        [BL_POSITION_RATE] = NOTE_SPEED,
    };
    bool known = from != BL_POSITION_COLUMN && is_given(in, keys[from]) &&
                 (from != BL_POSITION_RATE || is_given(in, NOTE_RATE));
    return known ? ways[from](in) : BL_OK;
}

/* The movement, or without that note the frames of the table. */
static bl_status find_motion(finding *in) {
    in->first = in->frames[0].frame;
    in->last = in->frames[in->count - 1].frame;
    in->moves = is_given(in, NOTE_MOTION);
    if (!in->moves) {
        return BL_OK;
    }
    int64_t from = in->given->motion_from;
    int64_t to = in->given->motion_to;
    if (to < in->first || from > in->last) {
        in->moves = false;
        return refuse(in, in->given->line[NOTE_MOTION], -1,
                      "motion is outside the frames of the table, frame %lld "
                      "to frame %lld; correct it",
                      (long long)in->first, (long long)in->last);
    }
    in->first = from;
    in->last = to;
    return BL_OK;
}

/* No pullback is longer; what is beyond comes from a wrong speed or unit. */
static bl_status check_range(const finding *in) {
    bl_status status = BL_OK;
    for (size_t i = 0; status == BL_OK && i < in->count; i++) {
        if (!(fabs(in->frames[i].position_mm) <= LIMIT_POSITION_MM)) {
            (void)message_set(in->message, BL_ERR_INPUT, line_of(in, i), 1,
                              "the position of frame %lld is beyond +-%d mm; "
                              "check speed, rate, step and units",
                              (long long)in->frames[i].frame,
                              LIMIT_POSITION_MM);
            status = findings_fault(in->said, in->message, in->frames[i].frame);
        }
    }
    return status;
}

/* A note that could have placed frames was refused: where they are is unknown,
 * whatever others say. */
static bool is_unsure(const finding *in, bl_position_from from) {
    static const note_key keys[] = {NOTE_AT, NOTE_STEP, NOTE_SPEED, NOTE_RATE,
                                    NOTE_MOTION};
    if (from == BL_POSITION_COLUMN) {
        return false;
    }
    size_t i = 0;
    while (i < sizeof keys / sizeof keys[0] && !in->given->refused[keys[i]]) {
        i++;
    }
    return i < sizeof keys / sizeof keys[0];
}

bl_status positions_find(const notes *given, position_frame *frames,
                         size_t count, const uint64_t *lines,
                         bl_position_from *from, findings *said,
                         bl_message *message) {
    finding in = {.given = given,
                  .frames = frames,
                  .count = count,
                  .lines = lines,
                  .said = said,
                  .message = message};
    uint64_t before = said->errors;
    bl_position_from way = BL_POSITION_COLUMN;
    bl_status status = find_motion(&in);
    if (status == BL_OK) {
        status = check_times(&in);
    }
    if (status == BL_OK) {
        status = choose(&in, &way);
    }
    if (status == BL_OK) {
        status = go(&in, way);
    }
    bool known = said->errors == before && !is_unsure(&in, way);
    if (status == BL_OK && known) {
        status = check_range(&in);
        known = said->errors == before;
    }
    for (size_t i = 0; !known && i < count; i++) {
        frames[i].position_mm = UNKNOWN;
    }
    if (status == BL_OK &&
        doubts_find(given, frames, count, lines, way, known, said) != BL_OK) {
        status = message_memory(message);
    }
    if (status == BL_OK && known &&
        meant_find(given, frames, count, way, said) != BL_OK) {
        status = message_memory(message);
    }
    if (status == BL_OK) {
        *from = way;
    }
    return status;
}
