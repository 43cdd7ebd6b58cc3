/*
 * notes.h - what a table, and the options put over it, say about a pullback.
 *
 * One grammar serves both: "# key = value" lines of a file and keys set from
 * outside. A key set from outside makes the file's notes of that key void;
 * marks are replaced by name instead, and a general scale set from outside
 * makes the file's scales of single axes void too.
 */
#ifndef PULLBACK_NOTES_H
#define PULLBACK_NOTES_H

#include "base/arena.h"
#include "base/limits.h"
#include "boreline.h"
#include "pullback/findings.h"

typedef enum note_key {
    NOTE_SPEED,
    NOTE_RATE,
    NOTE_STEP,
    NOTE_MOTION,
    NOTE_SCALE,
    NOTE_SCALE_X,
    NOTE_SCALE_Y,
    NOTE_Y_AXIS,
    NOTE_TRAVEL,
    NOTE_AT,
    NOTE_MARK,
    NOTE_REFERENCE,
    NOTE_CASE,
    NOTE_SIDE,
    NOTE_READER,
    NOTE_STAGE,
    NOTE_KEY_COUNT
} note_key;

typedef enum note_origin {
    NOTE_UNSET,
    NOTE_FROM_FILE,
    NOTE_FROM_OPTION
} note_origin;

/* A position as written: millimetres, or a frame whose position is asked. */
typedef struct note_place {
    bool by_frame;
    int64_t frame;
    double mm;
} note_place;

typedef struct note_mark {
    const char *name; /* in the notes' arena */
    note_place place;
    note_origin origin;
    uint64_t line; /* 0 from an option */
} note_mark;

typedef struct note_span {
    note_place from;
    note_place to;
    uint64_t line;
} note_span;

/* A known position of a frame. */
typedef struct note_at {
    int64_t frame;
    double mm;
    uint64_t line;
} note_at;

/* Zero-initialised is empty and ready. Values of keys whose origin is
 * NOTE_UNSET mean nothing. */
typedef struct notes {
    arena memory;
    note_origin origin[NOTE_KEY_COUNT];
    uint64_t line[NOTE_KEY_COUNT]; /* where first given, 0 from an option */
    bool refused[NOTE_KEY_COUNT];  /* a note of the file was: what it says is
                                      not known where reading goes on */
    uint64_t replaced[NOTE_KEY_COUNT]; /* of how frames are placed: the line of
                                          a note that an option makes void and
                                          that says otherwise, else 0 */

    bl_speed speeds[LIMIT_SCHEDULE]; /* by frame, rising */
    size_t speed_count;
    bool speed_is_schedule; /* else speeds[0] holds everywhere */
    double frame_rate_hz;
    double step_mm;
    int64_t motion_from;
    int64_t motion_to;
    double mm_per_px;
    double mm_per_px_x;
    double mm_per_px_y;
    bool y_down;
    bl_end travel;           /* valid through notes_travel only */
    note_at at[LIMIT_MARKS]; /* by frame, rising */
    size_t at_count;
    note_mark marks[LIMIT_MARKS];
    size_t mark_count;
    note_span references[2];
    size_t reference_count;
    const char *labels[4]; /* case, side, reader, stage; NULL when unset */
} notes;

void notes_free(notes *of);

/* The key's name, "speed_mm_per_s", and its option, "--speed". */
const char *notes_key_name(note_key key);
const char *notes_key_option(note_key key);

/* Whether a line of a file is one of notes_line's: behind blanks it starts with
 * '#', or with a quote and '#', as spreadsheets write a cell with commas. */
bool notes_is_line(const char *bytes, size_t size);

/* Takes such a line; separators at its end are dropped. late: the table has
 * begun, so that a known note is an error. BL_ERR_INPUT with line and column,
 * BL_ERR_LIMIT, BL_ERR_MEMORY; an unknown key is a warning. A line without
 * '=' is a comment, warned of when it reads like "speed: 1". */
bl_status notes_line(notes *to, const char *bytes, size_t size, uint64_t line,
                     bool late, findings *said, bl_message *message);

/* Sets a key from outside. BL_ERR_ARGUMENT, BL_ERR_LIMIT, BL_ERR_MEMORY. */
bl_status notes_set(notes *to, const char *key, const char *value,
                    bl_message *message);

/* The scales of the two axes, from the general or the single ones; false
 * when either is not known, or one was refused that may have been meant. */
bool notes_scale(const notes *of, double *x_mm_per_px, double *y_mm_per_px);

/* Any note about a scale at all, also one that was refused; whether one was;
 * and whether an option gave one. */
bool notes_has_scale(const notes *of);
bool notes_scale_is_refused(const notes *of);

/* The scale for both axes is given and each has its own. */
bool notes_scale_is_void(const notes *of);
bool notes_scale_is_option(const notes *of);

/* Caudal unless said otherwise. */
bl_end notes_travel(const notes *of);

/* The label of a key from NOTE_CASE to NOTE_STAGE, "" when not given. */
const char *notes_label(const notes *of, note_key key);

#endif
