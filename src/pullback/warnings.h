/*
 * warnings.h - things said but not refused, in the order met.
 */
#ifndef PULLBACK_WARNINGS_H
#define PULLBACK_WARNINGS_H

#include "base/message.h"
#include "boreline.h"

/* Zero-initialised is empty and ready. */
typedef struct warnings {
    bl_message *list; /* LIMIT_WARNINGS of them at most; later ones are lost */
    size_t count;
} warnings;

/* A blank message to fill with message_set(..., BL_OK, ...). When the list is
 * full it is BL_OK and *out NULL, which message_set takes. BL_ERR_MEMORY. */
bl_status warnings_add(warnings *to, bl_message **out);

void warnings_free(warnings *of);

#endif
