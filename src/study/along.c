/*
 * along.c - what rows tell when they stand in the order of their positions.
 */
#include "base/constants.h"
#include "base/text.h"
#include "base/tracing.h"
#include "profile/jump.h"
#include "profile/median.h"
#include "profile/profile.h"
#include "profile/reach.h"
#include "profile/rescale.h"
#include "pullback/marks.h"
#include "pullback/veins.h"
#include "study/inside.h"

#include <math.h>
#include <string.h>

/* Frames before and after `motion` are held at its ends on purpose. */
static bool is_held(const notes *given, const bl_row *row) {
    return given->origin[NOTE_MOTION] != NOTE_UNSET &&
           (row->frame < given->motion_from || row->frame > given->motion_to);
}

/* Rows are sorted by position. What is measured between two frames of one
 * position, a step or a slope, is not known. */
static bl_status warn_same_position(bl_study *study) {
    const bl_row *before = NULL;
    const bl_row *first = NULL;
    int64_t beside = 0;
    size_t pairs = 0;
    for (size_t i = 0; i < study->store.count; i++) {
        const bl_row *row = &study->store.rows[i];
        if (row->kind != BL_KIND_LUMEN || is_held(&study->given, row)) {
            continue;
        }
        if (before != NULL && before->frame != row->frame &&
            !(row->position_mm > before->position_mm)) {
            beside = first == NULL ? before->frame : beside;
            first = first == NULL ? row : first;
            pairs++;
        }
        before = row;
    }
    /* Equal positions that are known are meant. */
    if (pairs == 0 || study->pullback.position_from == BL_POSITION_AT) {
        return BL_OK;
    }
    bl_status status = findings_warn(
        &study->said, study->store.lines[first - study->store.rows], 0,
        first->frame,
        "%zu frame%s at the position of the frame before, %sframe %lld; "
        "correct the positions, or where the catheter stood still at an end "
        "say it by 'motion'",
        pairs, pairs == 1 ? " lies" : "s lie", pairs == 1 ? "" : "first with ",
        (long long)beside);
    return status == BL_OK ? BL_OK : message_memory(&study->message);
}

/* Says of a contour outside the reach how far it lies from the row at its end.
 */
static bl_status warn_outside(bl_study *study, size_t i, size_t nearest) {
    const bl_row *row = &study->store.rows[i];
    const bl_row *end = &study->store.rows[nearest];
    bool before = row->position_mm < end->position_mm;
    text words = {0};
    text_format(&words, "frame %lld has %u point%s and lies ",
                (long long)row->frame, row->points,
                row->points == 1 ? "" : "s");
    text_fixed(&words, fabs(row->position_mm - end->position_mm), 1);
    text_format(&words, " mm %s all others, at position ",
                before ? "before" : "beyond");
    text_fixed(&words, row->position_mm, 1);
    text_add(&words, " mm; the length is without it: correct its frame number, "
                     "or take the row out if it holds no point, such as a "
                     "total");
    bl_status status = findings_warn_text(&study->said, study->store.lines[i],
                                          row->frame, &words);
    return status == BL_OK ? BL_OK : message_memory(&study->message);
}

/* --------------------------------------------------------------- standing */

/* The least and greatest median of so many areas behind each other. */
typedef struct swing {
    double window[STANDS_WINDOW];
    size_t frames;
    double least;
    double most;
} swing;

static void swing_add(swing *to, double area_mm2) {
    to->window[to->frames++ % STANDS_WINDOW] = area_mm2;
    if (to->frames >= STANDS_WINDOW) {
        double sorted[STANDS_WINDOW];
        memcpy(sorted, to->window, sizeof sorted);
        double median = median_of(sorted, STANDS_WINDOW);
        bool first = to->frames == STANDS_WINDOW;
        to->least = first ? median : fmin(to->least, median);
        to->most = first ? median : fmax(to->most, median);
    }
}

static bl_status say_stands(bl_study *study, const swing *of, bool before) {
    const bl_pullback *pullback = &study->pullback;
    if (of->frames < STANDS_FRAMES || !(of->most > STANDS_RATIO * of->least)) {
        return BL_OK;
    }
    text words = {0};
    text_format(&words, "%zu frames %s motion stand at ", of->frames,
                before ? "before" : "behind");
    text_fixed(&words,
               before ? pullback->held_before_mm : pullback->held_after_mm, 1);
    text_add(&words, " mm, and areas there go from ");
    text_fixed(&words, of->least, 1);
    text_add(&words, " to ");
    text_fixed(&words, of->most, 1);
    text_format(&words,
                " mm2: did the catheter move there? Then correct 'motion', "
                "frames %lld..%lld: a vein is hidden in that place",
                (long long)pullback->motion_from,
                (long long)pullback->motion_to);
    bl_status status = words.failed ? BL_ERR_MEMORY
                                    : findings_warn(&study->said, 0, 0, -1,
                                                    "%s", text_c(&words));
    text_free(&words);
    return status == BL_OK ? BL_OK : message_memory(&study->message);
}

/* Frames that stand at one position are in the order of their numbers. */
static bl_status doubt_motion(bl_study *study) {
    swing before = {.frames = 0};
    swing after = {.frames = 0};
    if (!study->pullback.has_motion) {
        return BL_OK;
    }
    for (size_t i = 0; i < study->store.count; i++) {
        const bl_row *row = &study->store.rows[i];
        if (profile_is_usable_lumen(row) && is_held(&study->given, row)) {
            swing_add(row->frame < study->pullback.motion_from ? &before
                                                               : &after,
                      row->measures.area_mm2);
        }
    }
    bl_status status = say_stands(study, &before, true);
    return status == BL_OK ? say_stands(study, &after, false) : status;
}

/* ------------------------------------------------------------------ alone */

/* Warns of the first or last lumen where it lies alone. */
static bl_status doubt_end(bl_study *study, const bl_row *end,
                           const bl_row *next, double mean_mm) {
    double away = fabs(end->position_mm - next->position_mm);
    if (!(away > ALONE_MM && away > ALONE_TIMES * mean_mm)) {
        return BL_OK;
    }
    text words = {0};
    text_format(&words, "frame %lld lies alone, ", (long long)end->frame);
    text_fixed(&words, away, 1);
    text_format(&words,
                " mm %s all others; correct its frame number or "
                "position: the length is wrong with it",
                end->position_mm < next->position_mm ? "before" : "beyond");
    bl_status status =
        words.failed
            ? BL_ERR_MEMORY
            : findings_warn(&study->said,
                            study->store.lines[end - study->store.rows], 0,
                            end->frame, "%s", text_c(&words));
    text_free(&words);
    return status == BL_OK ? BL_OK : message_memory(&study->message);
}

/* A frame number or position with a wrong digit. */
static bl_status doubt_alone(bl_study *study) {
    const bl_row *first[2] = {NULL, NULL};
    const bl_row *last[2] = {NULL, NULL};
    size_t lumens = 0;
    for (size_t i = 0; i < study->store.count; i++) {
        const bl_row *row = &study->store.rows[i];
        if (!profile_is_usable_lumen(row)) {
            continue;
        }
        first[lumens < 2 ? lumens : 1] = lumens < 2 ? row : first[1];
        last[0] = last[1];
        last[1] = row;
        lumens++;
    }
    if (lumens < ALONE_FRAMES) {
        return BL_OK;
    }
    double steps = (double)(lumens - 2);
    double without_last =
        (last[0]->position_mm - first[0]->position_mm) / steps;
    double without_first =
        (last[1]->position_mm - first[1]->position_mm) / steps;
    bl_status status = doubt_end(study, last[1], last[0], without_last);
    return status == BL_OK ? doubt_end(study, first[0], first[1], without_first)
                           : status;
}

/* ------------------------------------------------------------------ scale */

/* Of a mark: at all that part veins but the ligament another one flows in. */
static bool joins_veins(const char *name) {
    bool joins = false;
    for (unsigned i = 0; i <= VEIN_BORDERS; i++) {
        joins = joins || (i != VEIN_BORDER_INGUINAL &&
                          strcmp(name, vein_border_name(i)) == 0);
    }
    return joins;
}

/* A confluence explains a change where it is marked and the wider vein is
 * cranial of it. */
static bool is_confluence(const bl_pullback *of, const rescale *found,
                          double behind_mm) {
    bool wider_cranially =
        (found->ratio < 1.0) == (of->travel == BL_END_CAUDAL);
    bool near = false;
    for (size_t i = 0; i < of->mark_count; i++) {
        const bl_mark *mark = &of->marks[i];
        near = near ||
               (joins_veins(mark->name) &&
                mark->position_mm >=
                    found->before_mm - RESCALE_MARK_MM - EDGE_MM &&
                mark->position_mm <= behind_mm + RESCALE_MARK_MM + EDGE_MM);
    }
    return near && wider_cranially;
}

static bl_status say_rescale(bl_study *study, const rescale *found) {
    const bl_row *row = &study->store.rows[found->row];
    bool wider = found->ratio > 1.0;
    text words = {0};
    text_add(&words, "from here on areas are ");
    text_fixed(&words, wider ? found->ratio : 1.0 / found->ratio, 2);
    text_format(&words,
                " times %s than up to frame %lld, all at once and with the "
                "same shape: a changed depth, zoom or scale of the picture "
                "does that, or a confluence; bring both parts to one scale, "
                "or add the mark of the confluence",
                wider ? "larger" : "smaller", (long long)found->frame);
    bl_status status = findings_doubt_scale(
        &study->said, study->store.lines[found->row], row->frame, &words);
    return status == BL_OK ? BL_OK : message_memory(&study->message);
}

static bl_status doubt_scale(bl_study *study) {
    const store *of = &study->store;
    rescale_search search = {.rows = of->rows, .count = of->count};
    rescale found;
    bl_status status = BL_OK;
    while (status == BL_OK && rescale_next(&search, &found)) {
        if (!is_confluence(&study->pullback, &found,
                           of->rows[found.row].position_mm)) {
            status = say_rescale(study, &found);
        }
    }
    return status;
}

static bl_status find_length(bl_study *study, bl_span *traced) {
    const store *of = &study->store;
    reach in = reach_of(of->rows, of->count);
    bl_pullback *out = &study->pullback;
    *traced = (bl_span){of->rows[in.first].position_mm,
                        of->rows[in.end - 1].position_mm};
    out->length_mm = traced->to_mm - traced->from_mm;
    out->outside = of->count - (in.end - in.first);
    bl_status status = BL_OK;
    for (size_t i = 0; status == BL_OK && i < in.first; i++) {
        status = warn_outside(study, i, in.first);
    }
    for (size_t i = in.end; status == BL_OK && i < of->count; i++) {
        status = warn_outside(study, i, in.end - 1);
    }
    return status;
}

bl_status along_finish(bl_study *study) {
    store *rows = &study->store;
    bl_status status = store_sort_by_position(rows);
    if (status != BL_OK) {
        return status;
    }
    jump_flag(rows->rows, rows->count);
    bl_span traced;
    status = find_length(study, &traced);
    if (status == BL_OK) {
        status = warn_same_position(study);
    }
    if (status == BL_OK) {
        status = doubt_motion(study);
    }
    if (status == BL_OK) {
        status = doubt_alone(study);
    }
    if (status == BL_OK) {
        status = doubt_scale(study);
    }
    if (status == BL_OK) {
        status = plausible_length(study);
    }
    if (status == BL_OK &&
        marks_doubt(&study->pullback, traced, &study->said) != BL_OK) {
        status = message_memory(&study->message);
    }
    return status;
}
