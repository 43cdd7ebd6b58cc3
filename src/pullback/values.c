/*
 * values.c - the grammar of every note's value.
 *
 * A reader per key, in a table. Each works on a copy of the value's cursor
 * and writes to the notes only after the whole value has been read.
 */
#include "base/unicode.h"
#include "pullback/lookalike.h"
#include "pullback/noting.h"
#include "pullback/quote.h"

#include <string.h>

static bl_status status_refused(const noting *note) {
    return note->origin == NOTE_FROM_FILE ? BL_ERR_INPUT : BL_ERR_ARGUMENT;
}

static bool is_digit(char c) {
    return c >= '0' && c <= '9';
}

static bool is_letter(char c) {
    return (c | 0x20) >= 'a' && (c | 0x20) <= 'z';
}

/* A comma between two digits. In a schedule it separates where the digits
 * behind it are a frame, with a colon. */
static bool has_decimal_comma(cursor value) {
    for (const char *at = value.at; at != value.end; at++) {
        bool between = *at == ',' && at != value.at && is_digit(at[-1]) &&
                       at + 1 != value.end && is_digit(at[1]);
        cursor behind = {at + 1, value.end};
        int64_t frame;
        if (between &&
            !(cursor_frame(&behind, &frame) && cursor_literal(&behind, ":"))) {
            return true;
        }
    }
    return false;
}

/* Letters behind a digit, with blanks between or not: "12 mm", "30fps"; not
 * the exponent of a number. */
static bool has_unit(cursor value) {
    for (const char *at = value.at; at != value.end; at++) {
        cursor behind = {at + 1, value.end};
        double number;
        cursor whole = {at, value.end};
        if (is_digit(*at) && !cursor_done(&behind) && is_letter(*behind.at) &&
            cursor_number(&whole, &number) && whole.at <= behind.at) {
            return true;
        }
    }
    return false;
}

/* Two numbers with a dash between: "5-15", "frame 5 - frame 15". */
static bool has_dash(cursor value) {
    static const char *const dashes[] = {"-", "\u2013", "\u2014", "\u2212"};
    for (const char *at = value.at; at != value.end; at++) {
        cursor behind = {at + 1, value.end};
        for (size_t i = 0; is_digit(*at) && i < 4; i++) {
            if (cursor_literal(&behind, dashes[i])) {
                return true;
            }
        }
    }
    return false;
}

/* What a person writes where bare numbers are wanted: a character that only
 * looks like one of a number, a decimal comma, a unit. alone: what to say of
 * that. */
static const char *number_slip(cursor value, const char *alone) {
    const char *lookalike =
        lookalike_hint(value.at, (size_t)(value.end - value.at));
    return *lookalike != '\0' ? lookalike
           : has_decimal_comma(value)
               ? "; write a decimal point, whatever the table has"
           : has_unit(value) ? alone
                             : "";
}

#define ALONE_MM "; write the number alone, in mm"

const char *values_range_slip(cursor value) {
    return has_dash(value) ? "; write '..' between the two"
                           : number_slip(value, "; write both numbers alone, "
                                                "in mm or each behind 'frame'");
}

/* The name of a mark is text; behind it a number may slip. */
static const char *mark_slip(cursor value) {
    const char *sign = value.end;
    while (sign != value.at && sign[-1] != '@') {
        sign--;
    }
    if (sign == value.at) {
        return "; write '@' between name and place";
    }
    size_t size = (size_t)(sign - 1 - value.at);
    return unicode_is_printable(value.at, size)
               ? number_slip((cursor){sign, value.end}, ALONE_MM)
               : lookalike_hint(value.at, size);
}

/* What the value of a note was written as, and how to write it: words to end a
 * message with; "" where no slip is known. */
static const char *slip_of(note_key key, cursor value) {
    switch (key) {
    case NOTE_SPEED:
        return number_slip(value, "; write the number alone, in mm/s");
    case NOTE_RATE:
        return number_slip(value, "; write the number alone, in frames/s");
    case NOTE_STEP:
    case NOTE_SCALE:
    case NOTE_SCALE_X:
    case NOTE_SCALE_Y:
    case NOTE_AT:
        return number_slip(value, ALONE_MM);
    case NOTE_MOTION:
    case NOTE_REFERENCE:
        return values_range_slip(value);
    case NOTE_MARK:
        return mark_slip(value);
    case NOTE_Y_AXIS:
    case NOTE_TRAVEL:
    case NOTE_CASE:
    case NOTE_SIDE:
    case NOTE_READER:
    case NOTE_STAGE:
    case NOTE_KEY_COUNT:
    default:
        return lookalike_hint(value.at, (size_t)(value.end - value.at));
    }
}

/* "NAME: found '...'; expected ..." with the note's place. */
static bl_status value_refuse(const noting *note, const char *expected) {
    size_t size = (size_t)(note->value.end - note->value.at);
    return message_set(note->message, status_refused(note), note->line,
                       note->column, "%s: found %s; expected %s%s",
                       noting_name(note),
                       quote_bytes(note->value.at, size).text, expected,
                       slip_of(note->key, note->value));
}

static bl_status refuse_amount(const noting *note, unsigned most,
                               const char *what) {
    return message_set(note->message, BL_ERR_LIMIT, note->line, note->column,
                       "%s: more than %u %s; give at most %u",
                       noting_name(note), most, what, most);
}

/* ------------------------------------------------------------ single values */

static bl_status read_positive(const noting *note, double *out,
                               const char *expected) {
    cursor value = note->value;
    double number = 0.0;
    if (!cursor_number(&value, &number) || !cursor_done(&value) ||
        number <= 0.0) {
        return value_refuse(note, expected);
    }
    *out = number;
    return BL_OK;
}

static bl_status read_rate(const noting *note) {
    return read_positive(note, &note->to->frame_rate_hz,
                         "frames per second, a number above 0 such as 30");
}

static bl_status read_step(const noting *note) {
    return read_positive(note, &note->to->step_mm,
                         "millimetres from one frame to the next, a number "
                         "above 0 such as 0.5");
}

static bl_status read_scale(const noting *note) {
    notes *to = note->to;
    double *out = note->key == NOTE_SCALE     ? &to->mm_per_px
                  : note->key == NOTE_SCALE_X ? &to->mm_per_px_x
                                              : &to->mm_per_px_y;
    return read_positive(note, out,
                         "millimetres per pixel, a number above 0 such as "
                         "0.026");
}

/* The number of the word among `count` that the whole value is; count when
 * it is none of them. */
static size_t read_choice(const noting *note, const char *const *words,
                          size_t count) {
    size_t size = (size_t)(note->value.end - note->value.at);
    size_t i = 0;
    while (i < count && !cursor_same(note->value.at, size, words[i])) {
        i++;
    }
    return i;
}

static bl_status read_y_axis(const noting *note) {
    static const char *const words[] = {"up", "down"};
    size_t choice = read_choice(note, words, 2);
    if (choice == 2) {
        return value_refuse(note, "up or down");
    }
    note->to->y_down = choice == 1;
    return BL_OK;
}

static bl_status read_travel(const noting *note) {
    static const char *const words[] = {"cranial", "caudal"};
    size_t choice = read_choice(note, words, 2);
    if (choice == 2) {
        return value_refuse(note, "caudal or cranial");
    }
    note->to->travel = choice == 0 ? BL_END_CRANIAL : BL_END_CAUDAL;
    return BL_OK;
}

static bl_status read_side(const noting *note) {
    static const char *const words[] = {"left", "right"};
    size_t choice = read_choice(note, words, 2);
    if (choice == 2) {
        return value_refuse(note, "left or right");
    }
    note->to->labels[NOTE_SIDE - NOTE_CASE] = words[choice];
    return BL_OK;
}

static bl_status read_stage(const noting *note) {
    static const char *const words[] = {"before", "after", "follow-up"};
    size_t choice = read_choice(note, words, 3);
    if (choice == 3) {
        return value_refuse(note, "before, after or follow-up");
    }
    note->to->labels[NOTE_STAGE - NOTE_CASE] = words[choice];
    return BL_OK;
}

static bl_status read_label(const noting *note) {
    size_t size = (size_t)(note->value.end - note->value.at);
    if (size == 0 || !unicode_is_printable(note->value.at, size)) {
        return value_refuse(note, "text in UTF-8");
    }
    char *copy = arena_text(&note->to->memory, note->value.at, size);
    if (copy == NULL) {
        return message_memory(note->message);
    }
    note->to->labels[note->key - NOTE_CASE] = copy;
    return BL_OK;
}

/* ------------------------------------------------------------ several pieces
 */

#define SPEED_EXPECTED                                                         \
    "a speed in mm/s above 0 such as 1.0, or a schedule of rising frames "     \
    "such as '0: 1.0, 600: 0.5'"

static bl_status read_speed(const noting *note) {
    bl_speed speeds[LIMIT_SCHEDULE] = {{0, 0.0}};
    size_t count = 0;
    size_t size = (size_t)(note->value.end - note->value.at);
    bool schedule = size != 0 && memchr(note->value.at, ':', size) != NULL;
    cursor value = note->value;
    do {
        if (count == LIMIT_SCHEDULE) {
            return refuse_amount(note, LIMIT_SCHEDULE, "pieces of a schedule");
        }
        bl_speed *piece = &speeds[count++];
        if (schedule && (!cursor_frame(&value, &piece->frame) ||
                         !cursor_literal(&value, ":"))) {
            return value_refuse(note, SPEED_EXPECTED);
        }
        if (!cursor_number(&value, &piece->mm_per_s) ||
            piece->mm_per_s <= 0.0 ||
            (count > 1 && piece[-1].frame >= piece->frame)) {
            return value_refuse(note, SPEED_EXPECTED);
        }
    } while (schedule && cursor_literal(&value, ","));
    if (!cursor_done(&value)) {
        return value_refuse(note, SPEED_EXPECTED);
    }
    memcpy(note->to->speeds, speeds, sizeof speeds);
    note->to->speed_count = count;
    note->to->speed_is_schedule = schedule;
    return BL_OK;
}

static bool read_place(cursor *value, note_place *out) {
    *out = (note_place){.by_frame = cursor_word(value, "frame")};
    return out->by_frame ? cursor_frame(value, &out->frame)
                         : cursor_number(value, &out->mm);
}

bool values_range(cursor value, note_place *from, note_place *to) {
    return read_place(&value, from) && cursor_literal(&value, "..") &&
           read_place(&value, to) && cursor_done(&value) &&
           from->by_frame == to->by_frame &&
           (from->by_frame ? from->frame <= to->frame : from->mm <= to->mm);
}

static bl_status read_motion(const noting *note) {
    note_place from = {0};
    note_place to = {0};
    if (!values_range(note->value, &from, &to) || !from.by_frame) {
        return value_refuse(note, "'frame A..frame B', B not before A");
    }
    note->to->motion_from = from.frame;
    note->to->motion_to = to.frame;
    return BL_OK;
}

static bl_status read_reference(const noting *note) {
    note_span span = {.line = note->line};
    if (!values_range(note->value, &span.from, &span.to)) {
        return value_refuse(note, "'A..B' in mm or 'frame A..frame B', B not "
                                  "before A");
    }
    if (note->to->reference_count == 2) {
        return message_set(note->message, status_refused(note), note->line,
                           note->column,
                           "%s: a third one; give at most two, a cranial and "
                           "a caudal one",
                           noting_name(note));
    }
    note->to->references[note->to->reference_count++] = span;
    return BL_OK;
}

static bl_status read_at(const noting *note) {
    notes *to = note->to;
    note_at known = {.line = note->line};
    cursor value = note->value;
    cursor_word(&value, "frame");
    if (!cursor_frame(&value, &known.frame) || !cursor_literal(&value, "=") ||
        !cursor_number(&value, &known.mm) || !cursor_done(&value)) {
        return value_refuse(note, "'FRAME = MM' such as '120 = 40.5'");
    }
    size_t place = to->at_count;
    while (place > 0 && to->at[place - 1].frame >= known.frame) {
        place--;
    }
    if (place < to->at_count && to->at[place].frame == known.frame) {
        return message_set(note->message, status_refused(note), note->line,
                           note->column,
                           "%s: frame %lld is given twice; keep one",
                           noting_name(note), (long long)known.frame);
    }
    if (to->at_count == LIMIT_MARKS) {
        return refuse_amount(note, LIMIT_MARKS, "known positions");
    }
    memmove(&to->at[place + 1], &to->at[place],
            (to->at_count - place) * sizeof known);
    to->at[place] = known;
    to->at_count++;
    return BL_OK;
}

/* ------------------------------------------------------------------- marks */

static note_mark *mark_named(notes *in, const char *name, size_t size) {
    for (size_t i = 0; i < in->mark_count; i++) {
        if (strlen(in->marks[i].name) == size &&
            memcmp(in->marks[i].name, name, size) == 0) {
            return &in->marks[i];
        }
    }
    return NULL;
}

static bl_status mark_add(const noting *note, note_mark mark, size_t size) {
    notes *to = note->to;
    const note_mark *same = mark_named(to, mark.name, size);
    if (same != NULL && same->origin == note->origin) {
        return message_set(
            note->message, status_refused(note), note->line, note->column,
            "%s: %s is given twice; keep one or rename it", noting_name(note),
            quote_bytes(mark.name, size).text);
    }
    if (same != NULL) {
        return BL_OK; /* options come before the file and stay */
    }
    if (to->mark_count == LIMIT_MARKS) {
        return refuse_amount(note, LIMIT_MARKS, "marks");
    }
    mark.name = arena_text(&to->memory, mark.name, size);
    if (mark.name == NULL) {
        return message_memory(note->message);
    }
    to->marks[to->mark_count++] = mark;
    return BL_OK;
}

static bl_status read_mark(const noting *note) {
    static const char expected[] =
        "'NAME @ MM' or 'NAME @ frame N', the name in UTF-8";
    const char *sign = note->value.end;
    while (sign != note->value.at && sign[-1] != '@') {
        sign--;
    }
    if (sign == note->value.at) {
        return value_refuse(note, expected);
    }
    cursor name =
        cursor_trimmed(note->value.at, (size_t)(sign - 1 - note->value.at));
    size_t size = (size_t)(name.end - name.at);
    cursor value = {sign, note->value.end};
    note_mark mark = {
        .name = name.at, .origin = note->origin, .line = note->line};
    if (size == 0 || !unicode_is_printable(name.at, size) ||
        !read_place(&value, &mark.place) || !cursor_done(&value)) {
        return value_refuse(note, expected);
    }
    return mark_add(note, mark, size);
}

bl_status values_read(const noting *note) {
    static bl_status (*const readers[NOTE_KEY_COUNT])(const noting *) = {
        [NOTE_SPEED] = read_speed,   [NOTE_RATE] = read_rate,
        [NOTE_STEP] = read_step,     [NOTE_MOTION] = read_motion,
        [NOTE_SCALE] = read_scale,   [NOTE_SCALE_X] = read_scale,
        [NOTE_SCALE_Y] = read_scale, [NOTE_Y_AXIS] = read_y_axis,
        [NOTE_TRAVEL] = read_travel, [NOTE_AT] = read_at,
        [NOTE_MARK] = read_mark,     [NOTE_REFERENCE] = read_reference,
        [NOTE_CASE] = read_label,    [NOTE_SIDE] = read_side,
        [NOTE_READER] = read_label,  [NOTE_STAGE] = read_stage,
    };
    return readers[note->key](note);
}
