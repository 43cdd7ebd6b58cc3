/*
 * notes.c - which key a note has, and whether it counts.
 *
 * Invariant: keys set from outside come before the file's, so that a file's
 * note finds out on arrival that it is void.
 */
#include "pullback/notes.h"

#include "base/blank.h"
#include "base/number.h"
#include "base/words.h"
#include "pullback/noting.h"
#include "pullback/quote.h"

#include <string.h>

/* A shorter piece of a key is no hint at what was meant. */
#define PART_LEAST ((size_t)4)
/* So are shorter beginnings. */
#define START_LEAST ((size_t)5)
/* Shorter words before a colon are common in comments. */
#define COLON_LEAST ((size_t)6)

static const char *const key_names[NOTE_KEY_COUNT] = {
    [NOTE_SPEED] = "speed_mm_per_s",
    [NOTE_RATE] = "frame_rate_hz",
    [NOTE_STEP] = "step_mm",
    [NOTE_MOTION] = "motion",
    [NOTE_SCALE] = "mm_per_px",
    [NOTE_SCALE_X] = "mm_per_px_x",
    [NOTE_SCALE_Y] = "mm_per_px_y",
    [NOTE_Y_AXIS] = "y_axis",
    [NOTE_TRAVEL] = "travel",
    [NOTE_AT] = "at",
    [NOTE_MARK] = "mark",
    [NOTE_REFERENCE] = "reference",
    [NOTE_CASE] = "case",
    [NOTE_SIDE] = "side",
    [NOTE_READER] = "reader",
    [NOTE_STAGE] = "stage",
};

const char *notes_key_name(note_key key) {
    return key_names[key];
}

const char *notes_key_option(note_key key) {
    static const char *const names[NOTE_KEY_COUNT] = {
        [NOTE_SPEED] = "--speed",         [NOTE_RATE] = "--frame-rate",
        [NOTE_STEP] = "--step",           [NOTE_MOTION] = "--motion",
        [NOTE_SCALE] = "--mm-per-px",     [NOTE_SCALE_X] = "--mm-per-px-x",
        [NOTE_SCALE_Y] = "--mm-per-px-y", [NOTE_Y_AXIS] = "--y-axis",
        [NOTE_TRAVEL] = "--travel",       [NOTE_AT] = "--at",
        [NOTE_MARK] = "--mark",           [NOTE_REFERENCE] = "--reference",
        [NOTE_CASE] = "--case",           [NOTE_SIDE] = "--side",
        [NOTE_READER] = "--reader",       [NOTE_STAGE] = "--stage",
    };
    return names[key];
}

const char *noting_name(const noting *note) {
    return note->origin == NOTE_FROM_FILE ? key_names[note->key]
                                          : notes_key_option(note->key);
}

void notes_free(notes *of) {
    arena_free(&of->memory);
    *of = (notes){0};
}

/* NOTE_KEY_COUNT when there is no such key. */
static note_key key_find(const char *name, size_t size) {
    unsigned key = 0;
    while (key < NOTE_KEY_COUNT && !cursor_same(name, size, key_names[key])) {
        key++;
    }
    return (note_key)key;
}

static bool is_part(const char *word, size_t size, const char *of) {
    for (size_t at = 0; at + size <= strlen(of); at++) {
        size_t same = 0;
        while (same < size && word[same] == of[at + same]) {
            same++;
        }
        if (same == size) {
            return true;
        }
    }
    return false;
}

/* The only key that holds a name whole ("speed", "rate"), else NULL. */
static const char *key_holding(const char *name, size_t size) {
    const char *whole = NULL;
    size_t holders = 0;
    for (unsigned key = 0; key < NOTE_KEY_COUNT; key++) {
        if (size >= PART_LEAST && is_part(name, size, key_names[key])) {
            whole = key_names[key];
            holders++;
        }
    }
    return holders == 1 ? whole : NULL;
}

/* The key of several pieces that begins as this one does, "speed_mms", two
 * letters aside; NULL for none. Other keys are one piece. */
static const char *key_beginning(const char *name, size_t size) {
    static const char *const starts[] = {"speed", "frame", "step"};
    static const note_key keys[] = {NOTE_SPEED, NOTE_RATE, NOTE_STEP};
    size_t piece = 0;
    while (piece < size && name[piece] != '_') {
        piece++;
    }
    const char *near =
        piece < START_LEAST ? NULL : words_within(name, piece, starts, 3, 2);
    for (size_t i = 0; near != NULL && i < 3; i++) {
        if (near == starts[i]) {
            return key_names[keys[i]];
        }
    }
    return NULL;
}

/* The key that an unknown one stands for: the one that holds it or begins as
 * it does, else the nearest by spelling; NULL when there is none. */
static const char *key_meant(const char *name, size_t size) {
    spelt as = words_spelt(name, size);
    const char *meant = key_holding(as.bytes, as.size);
    if (meant == NULL) {
        meant = key_beginning(as.bytes, as.size);
    }
    return meant != NULL || as.size == 0
               ? meant
               : words_nearest(as.bytes, as.size, key_names, NOTE_KEY_COUNT);
}

/* The same before a colon, where comments have words too. */
static const char *key_surely_meant(const char *name, size_t size) {
    note_key key = key_find(name, size);
    if (key != NOTE_KEY_COUNT) {
        return key_names[key];
    }
    spelt as = words_spelt(name, size);
    const char *holder = key_holding(as.bytes, as.size);
    return holder != NULL || as.size < COLON_LEAST
               ? holder
               : words_within(as.bytes, as.size, key_names, NOTE_KEY_COUNT, 2);
}

static bool is_repeatable(note_key key) {
    return key == NOTE_AT || key == NOTE_MARK || key == NOTE_REFERENCE;
}

/* An option makes this note of the file void. Marks go by name instead. */
static bool is_void(const notes *of, note_key key) {
    bool single_axis = key == NOTE_SCALE_X || key == NOTE_SCALE_Y;
    return key != NOTE_MARK &&
           (of->origin[key] == NOTE_FROM_OPTION ||
            (single_axis && of->origin[NOTE_SCALE] == NOTE_FROM_OPTION));
}

static bl_status refuse_second(const noting *note) {
    if (note->origin == NOTE_FROM_OPTION) {
        return message_set(note->message, BL_ERR_ARGUMENT, 0, 0,
                           "%s is given twice; keep one", noting_name(note));
    }
    return message_set(note->message, BL_ERR_INPUT, note->line, note->column,
                       "%s is given twice, first on line %llu; keep one",
                       noting_name(note),
                       (unsigned long long)note->to->line[note->key]);
}

static bl_status note_take(const noting *note) {
    notes *to = note->to;
    if (to->origin[note->key] == note->origin && !is_repeatable(note->key)) {
        return refuse_second(note);
    }
    if (note->value.end - note->value.at > LIMIT_NOTE_BYTES) {
        return message_set(note->message, BL_ERR_LIMIT, note->line,
                           note->column, "%s: longer than %d bytes; shorten it",
                           noting_name(note), LIMIT_NOTE_BYTES);
    }
    bl_status status = values_read(note);
    if (status == BL_OK && to->origin[note->key] == NOTE_UNSET) {
        to->origin[note->key] = note->origin;
        to->line[note->key] = note->line;
    }
    return status;
}

static bl_status warn_unknown(cursor key, uint64_t line, uint64_t column,
                              findings *said, bl_message *message) {
    size_t size = (size_t)(key.end - key.at);
    const char *near = key_meant(key.at, size);
    bl_status status = findings_warn(
        said, line, column, -1, "no note is called %s, it is ignored; %s%s%s",
        quote_bytes(key.at, size).text,
        near ? "did you mean '" : "docs/formats.md has the list",
        near ? near : "", near ? "'?" : "");
    return status == BL_OK ? BL_OK : message_memory(message);
}

static bl_status warn_comment(cursor text, const char *meant, const char *line,
                              uint64_t number, findings *said,
                              bl_message *message) {
    bl_status status = findings_warn(
        said, number, quote_column(line, text.at), -1,
        "%s is a comment, since it has no '='; a note is written '# %s = ...'",
        quote_bytes(text.at, (size_t)(text.end - text.at)).text, meant);
    return status == BL_OK ? BL_OK : message_memory(message);
}

/* Whether these words are a value of that note. Any are a label, which is
 * nothing to go by. */
static bool reads_as(note_key key, cursor value) {
    if (key == NOTE_KEY_COUNT || key == NOTE_CASE || key == NOTE_READER) {
        return false;
    }
    notes scratch = {0};
    bl_message ignored;
    noting note = {.to = &scratch,
                   .key = key,
                   .origin = NOTE_FROM_FILE,
                   .value = value,
                   .message = &ignored};
    bool reads = values_read(&note) == BL_OK;
    notes_free(&scratch);
    return reads;
}

/* What stands between words, and behind the last cell of a row. */
static bool parts_words(char c) {
    return blank_is(c) || c == ',' || c == ';';
}

/* The key that words stand for whole; NOTE_KEY_COUNT for none. */
static note_key key_of_words(const char *words, size_t size) {
    spelt as = words_spelt(words, size);
    const char *whole = key_holding(as.bytes, as.size);
    return whole == NULL ? key_find(as.bytes, as.size)
                         : key_find(whole, strlen(whole));
}

/* The key that "travel cranial" or "frame rate, 30" begins with, when a value
 * of it follows; NULL for other words. A value is only looked for behind a key,
 * and a key is short: else lines of separators would take long. */
static const char *key_without_sign(cursor text) {
    for (const char *at = text.at;
         at != text.end && at - text.at <= WORDS_NAME_MOST; at++) {
        note_key key = parts_words(*at)
                           ? key_of_words(text.at, (size_t)(at - text.at))
                           : NOTE_KEY_COUNT;
        if (key == NOTE_KEY_COUNT) {
            continue;
        }
        const char *value = at;
        while (value != text.end && parts_words(*value)) {
            value++;
        }
        if (reads_as(key, cursor_trimmed(value, (size_t)(text.end - value)))) {
            return key_names[key];
        }
    }
    return NULL;
}

/* "# speed: 1" and "# travel cranial": comments by their form, notes by their
 * words. */
static bl_status doubt_comment(cursor text, const char *line, uint64_t number,
                               findings *said, bl_message *message) {
    text = cursor_trimmed(text.at, (size_t)(text.end - text.at));
    size_t size = (size_t)(text.end - text.at);
    const char *colon = size == 0 ? NULL : memchr(text.at, ':', size);
    const char *meant = NULL;
    if (colon != NULL) {
        cursor name = cursor_trimmed(text.at, (size_t)(colon - text.at));
        meant = key_surely_meant(name.at, (size_t)(name.end - name.at));
    }
    if (meant == NULL && size <= LIMIT_NOTE_BYTES) {
        meant = key_without_sign(text);
    }
    return meant == NULL
               ? BL_OK
               : warn_comment(text, meant, line, number, said, message);
}

static const char *skip_blanks(const char *at, const char *end) {
    while (at < end && blank_is(*at)) {
        at++;
    }
    return at;
}

bool notes_is_line(const char *bytes, size_t size) {
    const char *end = bytes + size;
    const char *at = skip_blanks(bytes, end);
    return at < end &&
           (*at == '#' || (*at == '"' && end - at > 1 && at[1] == '#'));
}

/* What is left of a line without the separators that a spreadsheet puts behind
 * its last cell, the quotes that it puts around one with commas, and '#'. */
static cursor note_text(const char *bytes, size_t size, bool *quoted) {
    cursor text = {skip_blanks(bytes, bytes + size), bytes + size};
    while (text.end > text.at + 1 && parts_words(text.end[-1])) {
        text.end--;
    }
    *quoted = *text.at == '"';
    if (*quoted) {
        text.at++;
        text.end -= text.end > text.at && text.end[-1] == '"';
    }
    while (text.at != text.end && *text.at == '#') {
        text.at++;
    }
    return text;
}

static bool same_speeds(const notes *a, const notes *b) {
    size_t i = 0;
    while (i < a->speed_count && i < b->speed_count &&
           a->speeds[i].frame == b->speeds[i].frame &&
           !number_differ(a->speeds[i].mm_per_s, b->speeds[i].mm_per_s)) {
        i++;
    }
    return i == a->speed_count && i == b->speed_count;
}

static bool has_at(const notes *in, const note_at *wanted) {
    size_t i = 0;
    while (i < in->at_count && (in->at[i].frame != wanted->frame ||
                                number_differ(in->at[i].mm, wanted->mm))) {
        i++;
    }
    return i < in->at_count;
}

/* Whether one note says of where frames are what those taken say. */
static bool says_same(note_key key, const notes *one, const notes *taken) {
    return key == NOTE_SPEED ? same_speeds(one, taken)
           : key == NOTE_RATE
               ? !number_differ(one->frame_rate_hz, taken->frame_rate_hz)
           : key == NOTE_STEP   ? !number_differ(one->step_mm, taken->step_mm)
           : key == NOTE_AT     ? has_at(taken, &one->at[0])
           : key == NOTE_MOTION ? one->motion_from == taken->motion_from &&
                                      one->motion_to == taken->motion_to
                                : true; /* it places nothing */
}

/* A note that an option makes void counts for nothing; that it says otherwise
 * is kept. One that cannot be read says nothing. */
static void pass_void(const noting *note) {
    notes alone = {0};
    bl_message ignored;
    noting again = *note;
    again.to = &alone;
    again.message = &ignored;
    uint64_t *line = &note->to->replaced[note->key];
    if (*line == 0 && values_read(&again) == BL_OK &&
        !says_same(note->key, &alone, note->to)) {
        *line = note->line;
    }
    notes_free(&alone);
}

static bl_status take_known(const noting *note, bool late, const char *name,
                            const char *line, bool quoted) {
    if (late) {
        return message_set(note->message, BL_ERR_INPUT, note->line,
                           quote_column(line, name),
                           "the note '%s' comes after the table has begun; "
                           "move it to the top",
                           key_names[note->key]);
    }
    if (is_void(note->to, note->key)) {
        pass_void(note);
        return BL_OK;
    }
    size_t size = (size_t)(note->value.end - note->value.at);
    if (quoted && size > 0 && memchr(note->value.at, '"', size) != NULL) {
        return message_set(note->message, BL_ERR_INPUT, note->line,
                           note->column,
                           "the note '%s' stands in quotes and holds others; "
                           "take them out",
                           key_names[note->key]);
    }
    return note_take(note);
}

bl_status notes_line(notes *to, const char *bytes, size_t size, uint64_t line,
                     bool late, findings *said, bl_message *message) {
    bool quoted;
    cursor text = note_text(bytes, size, &quoted);
    const char *equals =
        text.at == text.end
            ? NULL
            : memchr(text.at, '=', (size_t)(text.end - text.at));
    if (equals == NULL) {
        return doubt_comment(text, bytes, line, said, message);
    }
    cursor name = cursor_trimmed(text.at, (size_t)(equals - text.at));
    note_key key = key_find(name.at, (size_t)(name.end - name.at));
    if (key == NOTE_KEY_COUNT) {
        return warn_unknown(name, line, quote_column(bytes, name.at), said,
                            message);
    }
    /* Where it begins is told even where nothing is left of it. */
    cursor value =
        cursor_trimmed(equals + 1, (size_t)(bytes + size - equals - 1));
    value.end = text.end > value.at ? text.end : value.at;
    noting note = {.to = to,
                   .key = key,
                   .origin = NOTE_FROM_FILE,
                   .line = line,
                   .column = quote_column(bytes, value.at),
                   .value = value,
                   .message = message};
    bl_status status = take_known(&note, late, name.at, bytes, quoted);
    to->refused[key] =
        to->refused[key] || status == BL_ERR_INPUT || status == BL_ERR_LIMIT;
    return status;
}

bl_status notes_set(notes *to, const char *key, const char *value,
                    bl_message *message) {
    size_t size = strlen(key);
    noting note = {.to = to,
                   .key = key_find(key, size),
                   .origin = NOTE_FROM_OPTION,
                   .value = cursor_trimmed(value, strlen(value)),
                   .message = message};
    if (note.key == NOTE_KEY_COUNT) {
        const char *near = key_meant(key, size);
        return message_set(
            message, BL_ERR_ARGUMENT, 0, 0, "no note is called %s; %s%s%s",
            quote_bytes(key, size).text,
            near ? "did you mean '" : "docs/formats.md has the list",
            near ? near : "", near ? "'?" : "");
    }
    return note_take(&note);
}

/* An option for both axes counts before the file's notes for one. */
static bool has_own_scale(const notes *of, note_key axis) {
    return of->origin[axis] != NOTE_UNSET &&
           (of->origin[axis] == NOTE_FROM_OPTION ||
            of->origin[NOTE_SCALE] != NOTE_FROM_OPTION);
}

static double scale_of_axis(const notes *of, note_key key, double scale,
                            bool *known) {
    if (has_own_scale(of, key)) {
        return scale;
    }
    *known = *known && of->origin[NOTE_SCALE] != NOTE_UNSET;
    return of->mm_per_px;
}

bool notes_scale_is_refused(const notes *of) {
    return of->refused[NOTE_SCALE] || of->refused[NOTE_SCALE_X] ||
           of->refused[NOTE_SCALE_Y];
}

bool notes_scale(const notes *of, double *x_mm_per_px, double *y_mm_per_px) {
    bool known = !notes_scale_is_refused(of);
    double x = scale_of_axis(of, NOTE_SCALE_X, of->mm_per_px_x, &known);
    double y = scale_of_axis(of, NOTE_SCALE_Y, of->mm_per_px_y, &known);
    if (known) {
        *x_mm_per_px = x;
        *y_mm_per_px = y;
    }
    return known;
}

bool notes_has_scale(const notes *of) {
    return of->origin[NOTE_SCALE] != NOTE_UNSET ||
           of->origin[NOTE_SCALE_X] != NOTE_UNSET ||
           of->origin[NOTE_SCALE_Y] != NOTE_UNSET || notes_scale_is_refused(of);
}

bool notes_scale_is_void(const notes *of) {
    return of->origin[NOTE_SCALE] != NOTE_UNSET &&
           has_own_scale(of, NOTE_SCALE_X) && has_own_scale(of, NOTE_SCALE_Y);
}

bool notes_scale_is_option(const notes *of) {
    return of->origin[NOTE_SCALE] == NOTE_FROM_OPTION ||
           of->origin[NOTE_SCALE_X] == NOTE_FROM_OPTION ||
           of->origin[NOTE_SCALE_Y] == NOTE_FROM_OPTION;
}

bl_end notes_travel(const notes *of) {
    return of->origin[NOTE_TRAVEL] == NOTE_UNSET ? BL_END_CAUDAL : of->travel;
}

const char *notes_label(const notes *of, note_key key) {
    const char *label = of->labels[key - NOTE_CASE];
    return label != NULL ? label : "";
}
