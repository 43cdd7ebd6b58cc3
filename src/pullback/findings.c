/*
 * findings.c - things met in a table that were not refused at once.
 *
 * A table with one fault has it on every line, often. Findings of one fault
 * are known by their words, less numbers and quotations.
 */
#include "pullback/findings.h"

#include "base/limits.h"
#include "base/text.h"

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

static bool is_fault(const bl_message *message) {
    return message->status != BL_OK;
}

static bool is_of_further_kinds(const findings *in, const finding_fault *of) {
    return of >= in->faults + LIMIT_FAULTS;
}

/* The fault of that message, begun if need be. NULL when memory is out. */
static finding_fault *fault_of(findings *in, const bl_message *message) {
    if (in->faults == NULL) {
        in->faults = calloc(LIMIT_FAULTS + 2, sizeof *in->faults);
        if (in->faults == NULL) {
            return NULL;
        }
    }
    uint64_t hash = hash_of(message);
    for (size_t i = 0; i < in->fault_count; i++) {
        if (in->faults[i].hash == hash) {
            return &in->faults[i];
        }
    }
    if (in->fault_count == LIMIT_FAULTS) {
        return &in->faults[LIMIT_FAULTS + is_fault(message)];
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

/* Stands for a finding of a kind that has no place of its own. */
static bl_finding further(const bl_finding *of) {
    bl_finding out = {
        .frame = -1, .more = of->more, .doubts_scale = of->doubts_scale};
    (void)message_set(&out.message, of->message.status, 0, 0,
                      "more than %d kinds of %s: those of further kinds are "
                      "not listed; correct what is and check again",
                      LIMIT_FAULTS,
                      is_fault(&of->message) ? "errors" : "warnings");
    return out;
}

bl_status findings_take(findings *to, const bl_finding *finding) {
    finding_fault *fault = fault_of(to, &finding->message);
    if (fault == NULL || !list_reserve(to)) {
        return BL_ERR_MEMORY;
    }
    bool is_further = is_of_further_kinds(to, fault);
    size_t repeats = is_further         ? 1
                     : to->repeats == 0 ? LIMIT_REPEATS
                                        : to->repeats;
    to->errors += is_fault(&finding->message) ? 1 + finding->more : 0;
    if (fault->listed < repeats) {
        fault->listed++;
        fault->last = to->count;
        to->list[to->count++] = is_further ? further(finding) : *finding;
    } else {
        bl_finding *last = &to->list[fault->last];
        last->more += 1 + finding->more;
        last->doubts_scale = last->doubts_scale || finding->doubts_scale;
    }
    return BL_OK;
}

bl_status findings_add(findings *to, const bl_message *message, int64_t frame) {
    bl_finding finding = {.message = *message, .frame = frame};
    return findings_take(to, &finding);
}

bl_status findings_fault(findings *to, bl_message *message, int64_t frame) {
    if (!to->go_on) {
        return message->status;
    }
    return findings_add(to, message, frame) == BL_OK ? BL_OK
                                                     : message_memory(message);
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

bl_status findings_warn_text(findings *to, uint64_t line, int64_t frame,
                             struct text *words) {
    bl_status status =
        words->failed ? BL_ERR_MEMORY
                      : findings_warn(to, line, 0, frame, "%s", text_c(words));
    text_free(words);
    return status;
}

bl_status findings_doubt_scale(findings *to, uint64_t line, int64_t frame,
                               struct text *words) {
    bl_finding finding = {.frame = frame, .doubts_scale = true};
    bl_status status = BL_ERR_MEMORY;
    if (!words->failed) {
        (void)message_set(&finding.message, BL_OK, line, 0, "%s",
                          text_c(words));
        status = findings_take(to, &finding);
    }
    text_free(words);
    return status;
}
