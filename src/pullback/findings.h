/*
 * findings.h - things met in a table that were not refused at once, in the
 * order met: warnings, and faults that reading went on behind.
 */
#ifndef PULLBACK_FINDINGS_H
#define PULLBACK_FINDINGS_H

#include "base/message.h"
#include "boreline.h"

struct text; /* base/text.h */

/* One fault and how often it was met. */
typedef struct finding_fault {
    uint64_t hash;
    size_t last; /* the last of the fault that is listed */
    size_t listed;
} finding_fault;

/* Zero-initialised is empty and ready. Two findings are the same fault when
 * they differ only in numbers and in what they quote: `repeats` of each are
 * listed (0: LIMIT_REPEATS), the rest is counted in the last that is. Past
 * LIMIT_FAULTS kinds one finding counts the faults of further kinds, and one
 * the warnings. */
typedef struct findings {
    bl_finding *list;
    size_t count;
    size_t capacity;
    size_t repeats;
    bool go_on;            /* faults that can be read behind are findings */
    uint64_t errors;       /* in all, listed or not */
    finding_fault *faults; /* behind the last kind the two of further ones */
    size_t fault_count;
} findings;

/* A warning about the table; frame -1 for none. BL_ERR_MEMORY. */
bl_status findings_warn(findings *to, uint64_t line, uint64_t column,
                        int64_t frame, const char *format, ...)
    MESSAGE_FORMAT(5, 6);

/* The same in these words, which are freed. */
bl_status findings_warn_text(findings *to, uint64_t line, int64_t frame,
                             struct text *words);

/* The same, of what doubts the scale. */
bl_status findings_doubt_scale(findings *to, uint64_t line, int64_t frame,
                               struct text *words);

/* A fault, or warning when its status is BL_OK, already worded. BL_ERR_MEMORY.
 */
bl_status findings_add(findings *to, const bl_message *message, int64_t frame);

/* The same of what is counted already: `more` of it are not listed.
 * BL_ERR_MEMORY. */
bl_status findings_take(findings *to, const bl_finding *finding);

/* A fault that is worded in *message and can be gone on behind: its status, or
 * where faults are findings BL_OK when it is one now. BL_ERR_MEMORY with its
 * words. */
bl_status findings_fault(findings *to, bl_message *message, int64_t frame);

void findings_free(findings *of);

#endif
