/*
 * meant.c - whether what a table's notes say of its frames is meant so.
 *
 * One figure of a known position, a count that begins elsewhere or a step
 * between other frames than the numbers count: positions then are well formed
 * and wrong, and so is every length.
 */
#include "pullback/meant.h"

#include "base/text.h"

#include <math.h>

/* Neighbouring pieces between known positions are told where the catheter goes
 * so many times as far a frame in one as in the other: what spacing is called
 * uneven for. */
#define UNEVEN 1.5
/* Two frames have any distance. */
#define STEP_FRAMES 3

static bl_status say(findings *said, uint64_t line, text *words) {
    bl_status status =
        words->failed ? BL_ERR_MEMORY
                      : findings_warn(said, line, 0, -1, "%s", text_c(words));
    text_free(words);
    return status;
}

/* ---------------------------------------------------------- known positions */

/* The millimetres a frame behind a known position; 0 where it stands. */
static double rate_behind(const note_at *at) {
    return (at[1].mm - at[0].mm) / (double)(at[1].frame - at[0].frame);
}

/* By how many times the pieces before and behind a known position differ; a
 * catheter that stands is meant to. */
static double change_at(const note_at *at) {
    double before = rate_behind(at - 1);
    double behind = rate_behind(at);
    return before > 0.0 && behind > 0.0
               ? fmax(before, behind) / fmin(before, behind)
               : 1.0;
}

static void add_piece(text *words, const note_at *at) {
    text_fixed(words, rate_behind(at), 3);
    text_format(words, " mm a frame from frame %lld to %lld",
                (long long)at[0].frame, (long long)at[1].frame);
}

static bl_status check_known(const notes *given, findings *said) {
    const note_at *most = NULL;
    for (size_t i = 1; i + 1 < given->at_count; i++) {
        const note_at *at = &given->at[i];
        if (change_at(at) > (most == NULL ? UNEVEN : change_at(most))) {
            most = at;
        }
    }
    if (most == NULL) {
        return BL_OK;
    }
    text words = {0};
    text_add(&words, "known positions give ");
    add_piece(&words, most - 1);
    text_add(&words, " and ");
    add_piece(&words, most);
    text_add(&words, "; was the catheter pulled so unevenly? Else correct the "
                     "known positions: lengths are wrong with them");
    return say(said, most->line, &words);
}

/* ---------------------------------------------------------- speed schedule */

static bl_status check_schedule(const notes *given, int64_t first, int64_t last,
                                findings *said) {
    size_t idle = 0;
    const bl_speed *named = NULL;
    for (size_t i = 0; i < given->speed_count; i++) {
        const bl_speed *piece = &given->speeds[i];
        bool over = i + 1 < given->speed_count && piece[1].frame <= first;
        if (over || (i > 0 && piece->frame >= last)) {
            named = named == NULL ? piece : named;
            idle++;
        }
    }
    if (idle == 0) {
        return BL_OK;
    }
    text words = {0};
    text_format(&words,
                idle == 1 ? "%zu piece of the speed schedule holds no frame of "
                            "the table ("
                          : "%zu pieces of the speed schedule hold no frame of "
                            "the table (the first ",
                idle);
    text_short(&words, named->mm_per_s, 4);
    text_format(&words,
                " mm/s from frame %lld; frames are %lld to %lld): do both "
                "count from the same frame? Lengths are wrong if they do not",
                (long long)named->frame, (long long)first, (long long)last);
    return say(said, given->line[NOTE_SPEED], &words);
}

/* --------------------------------------------------------------------- step */

static int64_t common_divisor(int64_t a, int64_t b) {
    while (b != 0) {
        int64_t rest = a % b;
        a = b;
        b = rest;
    }
    return a;
}

static bl_status check_step(const notes *given, const position_frame *frames,
                            size_t count, findings *said) {
    int64_t by = 0;
    for (size_t i = 1; i < count && by != 1; i++) {
        by = common_divisor(frames[i].frame - frames[i - 1].frame, by);
    }
    if (count < STEP_FRAMES || by <= 1) {
        return BL_OK;
    }
    text words = {0};
    text_format(&words, "frame numbers go by %lld, so that a step of ",
                (long long)by);
    text_short(&words, given->step_mm, 4);
    text_add(&words, " mm a frame is ");
    text_short(&words, given->step_mm * (double)by, 4);
    text_add(&words, " mm from one traced frame to the next; if it is the step "
                     "between traced frames, number them 0, 1, 2 or give ");
    text_short(&words, given->step_mm / (double)by, 4);
    return say(said, given->line[NOTE_STEP], &words);
}

bl_status meant_find(const notes *given, const position_frame *frames,
                     size_t count, bl_position_from from, findings *said) {
    switch (from) {
    case BL_POSITION_AT:
        return check_known(given, said);
    case BL_POSITION_STEP:
        return check_step(given, frames, count, said);
    case BL_POSITION_TIME:
    case BL_POSITION_RATE:
        return given->speed_is_schedule
                   ? check_schedule(given, frames[0].frame,
                                    frames[count - 1].frame, said)
                   : BL_OK;
    case BL_POSITION_COLUMN:
    default:
        return BL_OK;
    }
}
