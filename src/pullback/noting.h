/*
 * noting.h - one note on its way into the notes: shared by notes.c, which
 * finds the key, and values.c, which reads the value.
 */
#ifndef PULLBACK_NOTING_H
#define PULLBACK_NOTING_H

#include "pullback/cursor.h"
#include "pullback/notes.h"

typedef struct noting {
    notes *to;
    note_key key;
    note_origin origin; /* file or option */
    uint64_t line;      /* 0 from an option */
    uint64_t column;    /* of the value; 0 from an option */
    cursor value;       /* without blanks at its ends */
    bl_message *message;
} noting;

/* Reads note->value into note->to, which stays as it was on failure.
 * BL_ERR_INPUT from a file, BL_ERR_ARGUMENT from an option, BL_ERR_LIMIT,
 * BL_ERR_MEMORY. */
bl_status values_read(const noting *note);

/* A..B in mm or by frames, B not before A: false for anything else, when the
 * slip says what to do about it, or is "". */
bool values_range(cursor value, note_place *from, note_place *to);
const char *values_range_slip(cursor value);

/* What the user called the key: its note name or its option. */
const char *noting_name(const noting *note);

#endif
