/*
 * doubts.c - what about the positions that were found cannot be meant.
 *
 * Positions come from the first source that is there. What else the table says
 * of them is not used, and may say otherwise.
 */
#include "pullback/doubts.h"

#include "base/text.h"
#include "pullback/quote.h"

#include <math.h>
#include <string.h>

/* Times may be written to few digits, so that only what adds up counts. */
#define RATE_SHARE 0.01
/* Frames are taken at one a heartbeat to some hundred a second: times that give
 * fewer or more are in another unit (our own measure). */
#define RATE_LEAST_HZ 0.2
#define RATE_MOST_HZ 500.0

/* -------------------------------------------------------------- not used */

static bl_status warn_unused_key(const notes *given, note_key key,
                                 bl_position_from from, findings *said) {
    bool option = given->origin[key] == NOTE_FROM_OPTION;
    const char *name = bl_position_from_name(from);
    return option ? findings_warn(said, 0, 0, -1,
                                  "%s is not used: positions come from %s",
                                  notes_key_option(key), name)
                  : findings_warn(said, given->line[key], 0, -1,
                                  "the note '%s' is not used: positions come "
                                  "from %s",
                                  notes_key_name(key), name);
}

/* The keys that place frames, and in which ways. */
static const struct {
    note_key key;
    bool used[BL_POSITION_RATE + 1];
} uses[] = {
    {NOTE_AT, {[BL_POSITION_AT] = true}},
    {NOTE_STEP, {[BL_POSITION_STEP] = true}},
    {NOTE_RATE, {[BL_POSITION_RATE] = true}},
    {NOTE_SPEED, {[BL_POSITION_TIME] = true, [BL_POSITION_RATE] = true}},
    {NOTE_MOTION,
     {[BL_POSITION_AT] = true,
      [BL_POSITION_STEP] = true,
      [BL_POSITION_TIME] = true,
      [BL_POSITION_RATE] = true}},
};
#define USES (sizeof uses / sizeof uses[0])

static bl_status warn_unused(const notes *given, bl_position_from from,
                             findings *said) {
    bl_status status = BL_OK;
    for (size_t i = 0; status == BL_OK && i < USES; i++) {
        note_key key = uses[i].key;
        if (given->origin[key] != NOTE_UNSET && !uses[i].used[from]) {
            status = warn_unused_key(given, key, from, said);
        }
    }
    return status;
}

/* ------------------------------------------------------------------- moved */

/* An option that places frames, and the note of the file that would have placed
 * them otherwise. */
typedef struct moving {
    note_key option;
    note_key note;
    uint64_t line;
} moving;

/* A note of the file that an option's way of placing goes before; 0 for the
 * line of none. */
static moving passed_over(const notes *given, note_key option,
                          bl_position_from from) {
    bool step =
        from == BL_POSITION_AT && given->origin[NOTE_STEP] == NOTE_FROM_FILE;
    bool speed = (from == BL_POSITION_AT || from == BL_POSITION_STEP) &&
                 given->origin[NOTE_SPEED] == NOTE_FROM_FILE;
    note_key note = step ? NOTE_STEP : NOTE_SPEED;
    bool goes_before = option == NOTE_AT || option == NOTE_STEP;
    return (moving){option, note,
                    goes_before && (step || speed) ? given->line[note] : 0};
}

/* An option that says otherwise than a note of its key, or that goes before
 * another; a line of 0 where there is none. */
static moving find_moving(const notes *given, bl_position_from from) {
    moving found = {.line = 0};
    for (size_t i = 0; i < USES && found.line == 0; i++) {
        note_key key = uses[i].key;
        if (uses[i].used[from] && given->origin[key] == NOTE_FROM_OPTION) {
            found = (moving){key, key, given->replaced[key]};
            found = found.line > 0 ? found : passed_over(given, key, from);
        }
    }
    return found;
}

/* Adds a place of the file, the first of them by name, and counts it. */
static void add_noted(text *words, size_t *count, const char *name,
                      uint64_t line) {
    if ((*count)++ == 0) {
        text_add(words, name);
        text_format(words, " of line %llu", (unsigned long long)line);
    }
}

static size_t add_places(text *words, const notes *given) {
    size_t count = 0;
    for (size_t i = 0; i < given->mark_count; i++) {
        const note_mark *mark = &given->marks[i];
        if (mark->line > 0 && !mark->place.by_frame) {
            quote name = quote_bytes(mark->name, strlen(mark->name));
            text_add(words, count == 0 ? "the mark " : "");
            add_noted(words, &count, name.text, mark->line);
        }
    }
    for (size_t i = 0; i < given->reference_count; i++) {
        const note_span *span = &given->references[i];
        if (span->line > 0 && !span->from.by_frame) {
            add_noted(words, &count, "the reference", span->line);
        }
    }
    if (count > 1) {
        text_format(words, " and %zu more", count - 1);
    }
    return count;
}

/* What the file notes in millimetres keeps them, and lies at other frames. */
static bl_status warn_moved(const notes *given, bl_position_from from,
                            findings *said) {
    moving by = find_moving(given, from);
    if (by.line == 0) {
        return BL_OK;
    }
    text places = {0};
    size_t count = add_places(&places, given);
    text words = {0};
    text_add(&words, notes_key_option(by.option));
    text_format(&words,
                " counts instead of the note '%s', which places frames "
                "otherwise: ",
                notes_key_name(by.note));
    text_add(&words, text_c(&places));
    text_add(&words, count > 1 ? " keep their" : " keeps its");
    text_add(&words, " mm, where other frames are now; if frames are meant "
                     "give them by frame ('frame N') or anew with --mark and "
                     "--reference");
    bl_status status = BL_OK;
    if (places.failed || words.failed) {
        status = BL_ERR_MEMORY;
    } else if (count > 0) {
        status = findings_warn(said, by.line, 0, -1, "%s", text_c(&words));
    }
    text_free(&places);
    text_free(&words);
    return status;
}

/* ---------------------------------------------------------- time and rate */

/* The first frame whose time is further from what the rate says than a frame
 * and a hundredth; count when there is none. */
static size_t find_off_rate(const position_frame *frames, size_t count,
                            double rate_hz) {
    size_t i = 1;
    for (; i < count; i++) {
        double by_rate = (frames[i].frame - frames[0].frame) / rate_hz;
        double by_time = frames[i].time_s - frames[0].time_s;
        double most = fmax(1.0 / rate_hz, RATE_SHARE * by_rate);
        /* A time that is not known contradicts nothing. */
        if (fabs(by_time - by_rate) > most) {
            break;
        }
    }
    return i < count ? i : count;
}

static bl_status check_rate(const notes *given, const position_frame *frames,
                            size_t count, const uint64_t *lines,
                            bl_position_from from, findings *said) {
    if (given->origin[NOTE_RATE] == NOTE_UNSET) {
        return BL_OK;
    }
    double rate = given->frame_rate_hz;
    size_t off = find_off_rate(frames, count, rate);
    if (off == count) {
        return BL_OK;
    }
    const position_frame *at = &frames[off];
    text words = {0};
    text_format(&words, "times contradict the frame rate: frame %lld is ",
                (long long)at->frame);
    text_fixed(&words, at->time_s - frames[0].time_s, 2);
    text_format(&words, " s after frame %lld, and ",
                (long long)frames[0].frame);
    text_fixed(&words, (at->frame - frames[0].frame) / rate, 2);
    text_format(&words,
                " s by the rate; positions come from %s, drop or correct the "
                "other",
                bl_position_from_name(from));
    return findings_warn_text(said, lines[at->row], at->frame, &words);
}

/* Whether times give a rate that no catheter has; warned of if so. */
static bl_status check_seconds(const position_frame *frames, size_t count,
                               const uint64_t *lines, findings *said,
                               bool *told) {
    double time = frames[count - 1].time_s - frames[0].time_s;
    double rate = (frames[count - 1].frame - frames[0].frame) / time;
    bool slow = rate < RATE_LEAST_HZ;
    *told = time > 0.0 && (slow || rate > RATE_MOST_HZ);
    if (!*told) {
        return BL_OK;
    }
    text words = {0};
    text_format(&words, "by time_s frame %lld is ",
                (long long)frames[count - 1].frame);
    text_fixed(&words, time, 3);
    text_format(&words, " s after frame %lld, which is ",
                (long long)frames[0].frame);
    text_fixed(&words, rate, slow ? 4 : 0);
    text_format(&words, " frames/s; are the times in %s? Then %s",
                slow ? "milliseconds" : "minutes",
                slow ? "divide them by 1000" : "multiply them by 60");
    return findings_warn_text(said, lines[frames[0].row], -1, &words);
}

/* ---------------------------------------------------------------- direction */

/* Steps of a column of positions, in the order of frame numbers. */
typedef struct steps {
    size_t rising;
    size_t falling;
    size_t first_falling; /* the frame it leads to */
} steps;

static steps count_steps(const position_frame *frames, size_t count) {
    steps out = {0};
    for (size_t i = 1; i < count; i++) {
        out.rising += frames[i].position_mm > frames[i - 1].position_mm;
        if (frames[i].position_mm < frames[i - 1].position_mm) {
            out.first_falling = out.falling == 0 ? i : out.first_falling;
            out.falling++;
        }
    }
    return out;
}

static void add_place(text *words, const position_frame *frame) {
    text_format(words, "frame %lld at ", (long long)frame->frame);
    text_fixed(words, frame->position_mm, 2);
    text_add(words, " mm");
}

/* Then frames are numbered against the withdrawal, or positions are, and what
 * is cranial may be called caudal. */
static void word_falling(text *words, bl_end travel,
                         const position_frame *first,
                         const position_frame *last) {
    bl_end other = travel == BL_END_CAUDAL ? BL_END_CRANIAL : BL_END_CAUDAL;
    text_add(words, "position_mm falls as frame numbers grow (");
    add_place(words, first);
    text_add(words, ", ");
    add_place(words, last);
    const char *told = bl_end_name(travel);
    const char *meant = bl_end_name(other);
    text_format(words,
                "), and travel = %s takes larger positions for the %s ones; "
                "count positions as the catheter is withdrawn, or where "
                "larger is more %s add --travel %s or a note '# travel = %s'",
                told, told, meant, meant, meant);
}

static void word_going_back(text *words, const position_frame *to,
                            size_t times) {
    text_format(words,
                "position_mm goes back %zu time%s as frame numbers "
                "grow, %s (",
                times, times == 1 ? "" : "s", times == 1 ? "here" : "first");
    add_place(words, to - 1);
    text_add(words, ", ");
    add_place(words, to);
    text_add(words, "); was the catheter pushed? Else correct it");
}

static bl_status check_direction(const notes *given,
                                 const position_frame *frames, size_t count,
                                 const uint64_t *lines, findings *said) {
    steps found = count_steps(frames, count);
    if (found.falling == 0) {
        return BL_OK;
    }
    const position_frame *at = &frames[found.first_falling];
    text words = {0};
    if (found.rising == 0) {
        word_falling(&words, notes_travel(given), &frames[0],
                     &frames[count - 1]);
    } else {
        word_going_back(&words, at, found.falling);
    }
    bl_status status =
        words.failed
            ? BL_ERR_MEMORY
            : findings_warn(said, lines[at->row], 0,
                            found.rising == 0 ? -1 : (int64_t)at->frame, "%s",
                            text_c(&words));
    text_free(&words);
    return status;
}

bl_status doubts_find(const notes *given, const position_frame *frames,
                      size_t count, const uint64_t *lines,
                      bl_position_from from, bool placed, findings *said) {
    bool told = false;
    bl_status status = warn_unused(given, from, said);
    if (status == BL_OK && placed) {
        status = warn_moved(given, from, said);
    }
    if (status == BL_OK && placed) {
        status = check_seconds(frames, count, lines, said, &told);
    }
    if (status == BL_OK && placed && !told) {
        status = check_rate(given, frames, count, lines, from, said);
    }
    return status == BL_OK && placed && from == BL_POSITION_COLUMN
               ? check_direction(given, frames, count, lines, said)
               : status;
}
