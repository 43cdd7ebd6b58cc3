/*
 * stretch.c - a stretch of the pullback, as a user writes it.
 */
#include "pullback/noting.h"
#include "pullback/quote.h"
#include "study/inside.h"

#include <math.h>
#include <string.h>

/* The millimetres of a place; false for a frame that the table has not. */
static bool find_place(const bl_study *study, const note_place *place,
                       double *mm) {
    const bl_row *rows = bl_study_rows(study);
    if (!place->by_frame) {
        *mm = place->mm;
        return true;
    }
    for (size_t i = 0; i < bl_study_row_count(study); i++) {
        if (rows[i].frame == place->frame) {
            *mm = rows[i].position_mm;
            return true;
        }
    }
    return false;
}

static bl_status refuse_frame(const note_place *place, bl_message *message) {
    return message_set(message, BL_ERR_INPUT, 0, 0,
                       "frame %lld is not in the table; name frames that are",
                       (long long)place->frame);
}

bl_status bl_study_stretch(const bl_study *study, const char *words,
                           bl_span *out, bl_message *message) {
    cursor value = cursor_trimmed(words, strlen(words));
    note_place from = {0};
    note_place to = {0};
    double one;
    double other;
    if (!values_range(value, &from, &to)) {
        return message_set(message, BL_ERR_ARGUMENT, 0, 0,
                           "%s is no stretch; write A..B in mm or 'frame "
                           "A..frame B', B not before A%s",
                           quote_bytes(words, strlen(words)).text,
                           values_range_slip(value));
    }
    if (!find_place(study, &from, &one)) {
        return refuse_frame(&from, message);
    }
    if (!find_place(study, &to, &other)) {
        return refuse_frame(&to, message);
    }
    *out = (bl_span){fmin(one, other), fmax(one, other)};
    return BL_OK;
}
