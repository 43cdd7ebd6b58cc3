/*
 * warnings.c - things said but not refused, in the order met.
 */
#include "pullback/warnings.h"

#include "base/limits.h"

#include <stdlib.h>

bl_status warnings_add(warnings *to, bl_message **out) {
    *out = NULL;
    if (to->count == LIMIT_WARNINGS) {
        return BL_OK;
    }
    /* Grown at 0, 1, 2, 4, 8, ...: the counts with one bit at most. */
    if ((to->count & (to->count - 1)) == 0) {
        size_t capacity = to->count == 0 ? 1 : 2 * to->count;
        bl_message *list = realloc(to->list, capacity * sizeof *list);
        if (list == NULL) {
            return BL_ERR_MEMORY;
        }
        to->list = list;
    }
    *out = &to->list[to->count++];
    **out = (bl_message){.status = BL_OK};
    return BL_OK;
}

void warnings_free(warnings *of) {
    free(of->list);
    *of = (warnings){0};
}
