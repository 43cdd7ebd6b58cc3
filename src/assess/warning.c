/*
 * warning.c - what a careful reader should be told about an assessment, in its
 * order.
 *
 * One function a matter; each adds at most a sentence or two. Limits that are
 * not from the definitions are our own measures.
 */
#include "assess/warning.h"

#define WARNINGS_LEAST ((size_t)16)
#define READING_MOST ((size_t)12)

/* Room for one more; what was outgrown stays with the arena. */
static bool reserve(warning_list *to) {
    if (to->count < to->capacity) {
        return true;
    }
    size_t capacity = to->capacity == 0 ? WARNINGS_LEAST : 2 * to->capacity;
    const char **texts = arena_alloc(to->work->owner, capacity, sizeof *texts);
    for (size_t i = 0; texts != NULL && i < to->count; i++) {
        texts[i] = to->texts[i];
    }
    to->texts = texts != NULL ? texts : to->texts;
    to->capacity = texts != NULL ? capacity : to->capacity;
    return texts != NULL;
}

/* Ends the sentence under way in the draft. */
void warning_finish(warning_list *to) {
    if (to->draft.failed) {
        to->failed = true;
        return;
    }
    char *copy = arena_text(to->work->owner, to->draft.bytes, to->draft.size);
    if (copy != NULL && reserve(to)) {
        to->texts[to->count++] = copy;
    } else {
        to->failed = true;
    }
    to->draft.size = 0;
}

void warning_add_span(warning_list *to, bl_span span) {
    text_span(&to->draft, span);
}

static void add_more(warning_list *to, uint64_t more) {
    if (more > 0) {
        text_format(&to->draft, " (and %llu more of the same)",
                    (unsigned long long)more);
    }
}

/* What was met in the table, so that a record of the assessment holds it. A
 * table broken in many places must not crowd out the other notes. */
static void warn_reading(warning_list *to) {
    const workings *work = to->work;
    for (size_t i = 0; i < work->said_count && i < READING_MOST; i++) {
        const bl_finding *one = &work->said[i];
        if (one->message.line > 0) {
            text_format(&to->draft,
                        "line %llu: ", (unsigned long long)one->message.line);
        }
        text_add(&to->draft, one->message.text);
        add_more(to, one->more);
        warning_finish(to);
    }
    if (work->said_count > READING_MOST) {
        text_format(&to->draft,
                    "%zu more warnings of reading are not listed; 'boreline "
                    "check FILE' lists them",
                    work->said_count - READING_MOST);
        warning_finish(to);
    }
}

bl_status warning_collect(const workings *work, const found_reference *found,
                          bl_assessment *into) {
    warning_list all = {.work = work, .into = into};
    warn_reading(&all);
    into->reading_warning_count = all.count;
    warn_table(&all);
    warn_side(&all);
    warn_reference(&all, found->settled);
    warn_levels(&all, &found->usual);
    warn_call(&all);
    warn_open_shoulders(&all);
    warn_narrow_gaps(&all);
    warn_perimeters(&all);
    warn_minimum(&all);
    warn_uncertain(&all);
    warn_scatter(&all);
    warn_long_median(&all);
    warn_ripple(&all);
    size_t before = all.count;
    warn_doubted(&all);
    warn_gaps(&all);
    warn_left_out(&all);
    warn_jumps(&all);
    warn_few_points(&all);
    bool failed = all.failed || all.draft.failed;
    text_free(&all.draft);
    into->warnings = all.texts;
    into->warning_count = all.count;
    into->frame_warning_count = all.count - before;
    return failed ? BL_ERR_MEMORY : BL_OK;
}
