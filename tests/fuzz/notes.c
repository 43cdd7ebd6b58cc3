/*
 * notes.c - notes set from outside and notes of a file, a line each: one that
 * starts with '!' is set, every other is a note line.
 */
#include "fuzz/fuzz.h"

#include "pullback/notes.h"

#include <math.h>

static bool is_positive(double value) {
    return isfinite(value) && value > 0.0;
}

static void must_be_sane(const notes *of) {
    must(of->speed_count <= LIMIT_SCHEDULE && of->at_count <= LIMIT_MARKS);
    must(of->mark_count <= LIMIT_MARKS && of->reference_count <= 2);
    for (size_t i = 0; i < of->speed_count; i++) {
        must(is_positive(of->speeds[i].mm_per_s));
        must(i == 0 || of->speeds[i - 1].frame < of->speeds[i].frame);
    }
    for (size_t i = 0; i < of->at_count; i++) {
        must(isfinite(of->at[i].mm));
        must(of->at[i].frame >= 0 && of->at[i].frame <= LIMIT_FRAME);
        must(i == 0 || of->at[i - 1].frame < of->at[i].frame);
    }
    for (size_t i = 0; i < of->mark_count; i++) {
        must(of->marks[i].name != NULL && of->marks[i].name[0] != '\0');
        must(strlen(of->marks[i].name) <= LIMIT_NOTE_BYTES);
        must(isfinite(of->marks[i].place.mm));
    }
    must(of->origin[NOTE_SPEED] == NOTE_UNSET || of->speed_count > 0);
    must(of->origin[NOTE_RATE] == NOTE_UNSET || is_positive(of->frame_rate_hz));
    must(of->origin[NOTE_STEP] == NOTE_UNSET || is_positive(of->step_mm));
    must(of->origin[NOTE_SCALE] == NOTE_UNSET || is_positive(of->mm_per_px));
    must(of->origin[NOTE_MOTION] == NOTE_UNSET ||
         of->motion_from <= of->motion_to);
    double x;
    double y;
    must(!notes_scale(of, &x, &y) || (is_positive(x) && is_positive(y)));
}

static void must_be_said(const bl_message *message, bl_status status,
                         uint64_t line, size_t size) {
    must(message->status == status && message->text[0] != '\0');
    must(message->line == line && message->column <= size + 1);
}

/* Copies of text with a final NUL, which the caller frees. */
static char *text_of(const char *bytes, size_t size) {
    char *out = malloc(size + 1);
    must(out != NULL);
    memcpy(out, bytes, size);
    out[size] = '\0';
    return out;
}

/* Whatever fails leaves everything as it was, but for the arena, and that a
 * note of the file was refused. */
static void must_be_untouched(const notes *now, notes *before) {
    before->memory = now->memory;
    memcpy(before->refused, now->refused, sizeof now->refused);
    must(memcmp(now, before, sizeof *now) == 0);
}

static bl_status set(notes *to, const char *bytes, size_t size) {
    const char *equals = memchr(bytes, '=', size);
    size_t key_size = equals == NULL ? size : (size_t)(equals - bytes);
    size_t skip = equals == NULL ? size : key_size + 1;
    char *key = text_of(bytes, key_size);
    char *value = text_of(bytes + skip, size - skip);
    bl_message message = {.status = BL_OK};
    bl_status status = notes_set(to, key, value, &message);
    if (status != BL_OK) {
        must(status == BL_ERR_ARGUMENT || status == BL_ERR_LIMIT);
        must_be_said(&message, status, 0, 0);
    }
    free(key);
    free(value);
    return status;
}

static bl_status take(notes *to, const char *bytes, size_t size,
                      uint64_t number, findings *said) {
    bl_message message = {.status = BL_OK};
    char *line = malloc(size + 1);
    must(line != NULL);
    line[0] = '#';
    if (size > 0) {
        memcpy(line + 1, bytes, size);
    }
    bl_status status =
        notes_line(to, line, size + 1, number, false, said, &message);
    if (status != BL_OK) {
        must(status == BL_ERR_INPUT || status == BL_ERR_LIMIT);
        must_be_said(&message, status, number, size + 1);
    }
    free(line);
    return status;
}

static bool same_place(const note_place *a, const note_place *b) {
    return a->by_frame == b->by_frame && a->frame == b->frame &&
           same_double(a->mm, b->mm);
}

static void must_mean_same(const notes *a, const notes *b) {
    must(a->speed_count == b->speed_count);
    must(memcmp(a->speeds, b->speeds, sizeof a->speeds) == 0);
    must(same_double(a->frame_rate_hz, b->frame_rate_hz));
    must(same_double(a->step_mm, b->step_mm));
    must(a->motion_from == b->motion_from && a->motion_to == b->motion_to);
    must(same_double(a->mm_per_px, b->mm_per_px));
    must(same_double(a->mm_per_px_x, b->mm_per_px_x));
    must(same_double(a->mm_per_px_y, b->mm_per_px_y));
    must(a->y_down == b->y_down && notes_travel(a) == notes_travel(b));
    must(a->at_count == b->at_count && a->mark_count == b->mark_count);
    must(a->at_count == 0 || (a->at[0].frame == b->at[0].frame &&
                              same_double(a->at[0].mm, b->at[0].mm)));
    must(a->mark_count == 0 ||
         (strcmp(a->marks[0].name, b->marks[0].name) == 0 &&
          same_place(&a->marks[0].place, &b->marks[0].place)));
    must(a->reference_count == b->reference_count);
    must(a->reference_count == 0 ||
         (same_place(&a->references[0].from, &b->references[0].from) &&
          same_place(&a->references[0].to, &b->references[0].to)));
    for (note_key key = NOTE_CASE; key <= NOTE_STAGE; key++) {
        must(strcmp(notes_label(a, key), notes_label(b, key)) == 0);
    }
}

/* One grammar: a known key means the same in a file and from outside. */
static void try_both(const char *bytes, size_t size) {
    static notes from_file;
    static notes from_option;
    findings said = {0};
    const char *equals = memchr(bytes, '=', size);
    bool blank = size > 0 && (bytes[0] == '#' || bytes[0] == ' ');
    bool before = equals != NULL && equals > bytes &&
                  (equals[-1] == ' ' || equals[-1] == '\t');
    size_t used = size;
    while (used > 0 && (bytes[used - 1] == ' ' || bytes[used - 1] == '\t')) {
        used--;
    }
    /* A file's note loses the separators at its end. */
    bool after = used > 0 && (bytes[used - 1] == ',' || bytes[used - 1] == ';');
    if (equals == NULL || blank || before || after ||
        (size > 0 && bytes[0] == '\t') || memchr(bytes, '\0', size) != NULL) {
        return; /* outside, keys have no blanks and a NUL ends the text */
    }
    bl_status lined = take(&from_file, bytes, size, 1, &said);
    bl_status outside = set(&from_option, bytes, size);
    if (said.count > 0) {
        must(lined == BL_OK && outside == BL_ERR_ARGUMENT); /* unknown */
    } else {
        must((lined == BL_OK) == (outside == BL_OK));
        must((lined == BL_ERR_LIMIT) == (outside == BL_ERR_LIMIT));
        must_mean_same(&from_file, &from_option);
    }
    findings_free(&said);
    notes_free(&from_file);
    notes_free(&from_option);
}

/* One line, when it is of the sort that is taken now. */
static void try_line(notes *given, const char *bytes, size_t size,
                     uint64_t number, bool outside, findings *said) {
    static notes before;
    if (outside != (size > 0 && *bytes == '!')) {
        return;
    }
    before = *given;
    bl_status status = outside ? set(given, bytes + 1, size - 1)
                               : take(given, bytes, size, number, said);
    if (status != BL_OK) {
        must_be_untouched(given, &before);
    }
    must_be_sane(given);
    if (number <= 2) {
        try_both(bytes + outside, size - outside);
    }
}

int LLVMFuzzerTestOneInput(const uint8_t *bytes, size_t size) {
    static notes given;
    findings said = {0};
    /* What is set from outside comes before the file. */
    for (int pass = 0; pass < 2; pass++) {
        const char *at = (const char *)bytes;
        const char *end = at + size;
        for (uint64_t number = 1; at < end; number++) {
            const char *feed = memchr(at, '\n', (size_t)(end - at));
            const char *stop = feed == NULL ? end : feed;
            try_line(&given, at, (size_t)(stop - at), number, pass == 0, &said);
            at = feed == NULL ? end : feed + 1;
        }
    }
    findings_free(&said);
    notes_free(&given);
    return 0;
}
