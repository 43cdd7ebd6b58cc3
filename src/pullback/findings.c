/*
 * findings.c - things met in a table that were not refused at once.
 *
 * A table with one fault has it on every line, often. Findings of one fault
 * are known by their words, less numbers and quotations.
 */
#include "pullback/findings.h"

#include "base/limits.h"

#include <stdlib.h>

void findings_free(findings *of) {
    free(of->list);
    free(of->faults);
    *of = (findings){0};
}

/* FNV-1a (Fowler, Noll, Vo) over what stays the same. */
static uint64_t hash_of(const bl_message *message) {
    uint64_t hash = UINT64_C(14695981039346656037) ^ message->status;
    bool quoted = false;
    for (const char *at = message->text; *at != '\0'; at++) {
        bool quote = *at == '\'';
        quoted = quoted != quote;
        if (!quoted && !quote && (*at < '0' || *at > '9')) {
            hash = (hash ^ (unsigned char)*at) * UINT64_C(1099511628211);
        }
    }
    return hash;
}

/* The fault of that hash, begun if need be; past LIMIT_FAULTS kinds the last
 * takes all. NULL when memory is out. */
static finding_fault *fault_of(findings *in, uint64_t hash) {
    for (size_t i = 0; i < in->fault_count; i++) {
        if (in->faults[i].hash == hash) {
            return &in->faults[i];
        }
    }
    if (in->fault_count == LIMIT_FAULTS) {
        return &in->faults[in->fault_count - 1];
    }
    if (in->faults == NULL) {
        in->faults = calloc(LIMIT_FAULTS, sizeof *in->faults);
        if (in->faults == NULL) {
            return NULL;
        }
    }
    finding_fault *made = &in->faults[in->fault_count++];
    *made = (finding_fault){.hash = hash};
    return made;
}

static bool list_reserve(findings *in) {
    if (in->count < in->capacity) {
        return true;
    }
    size_t capacity = in->capacity == 0 ? 4 : 2 * in->capacity;
    bl_finding *list = realloc(in->list, capacity * sizeof *list);
    if (list == NULL) {
        return false;
    }
    in->list = list;
    in->capacity = capacity;
    return true;
}

bl_status findings_add(findings *to, const bl_message *message, int64_t frame) {
    finding_fault *fault = fault_of(to, hash_of(message));
    if (fault == NULL || !list_reserve(to)) {
        return BL_ERR_MEMORY;
    }
    to->errors += message->status != BL_OK;
    size_t repeats = to->repeats == 0 ? LIMIT_REPEATS : to->repeats;
    if (fault->listed < repeats) {
        fault->listed++;
        fault->last = to->count;
        to->list[to->count++] = (bl_finding){*message, frame, 0};
    } else {
        to->list[fault->last].more++;
    }
    return BL_OK;
}

bl_status findings_warn(findings *to, uint64_t line, uint64_t column,
                        int64_t frame, const char *format, ...) {
    bl_message message;
    va_list arguments;
    va_start(arguments, format);
    (void)message_set_list(&message, BL_OK, line, column, format, arguments);
    va_end(arguments);
    return findings_add(to, &message, frame);
}
