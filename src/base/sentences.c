/*
 * sentences.c - a growing list of sentences, written one at a time.
 */
#include "base/sentences.h"

#define SENTENCES_LEAST ((size_t)16)

/* Room for one more; what was outgrown stays with the arena. */
static bool reserve(sentences *to) {
    if (to->count < to->capacity) {
        return true;
    }
    size_t capacity = to->capacity == 0 ? SENTENCES_LEAST : 2 * to->capacity;
    const char **texts = arena_alloc(to->owner, capacity, sizeof *texts);
    for (size_t i = 0; texts != NULL && i < to->count; i++) {
        texts[i] = to->texts[i];
    }
    to->texts = texts != NULL ? texts : to->texts;
    to->capacity = texts != NULL ? capacity : to->capacity;
    return texts != NULL;
}

void sentences_end(sentences *to) {
    if (to->draft.failed) {
        to->failed = true;
    }
    if (to->failed || to->draft.size == 0) {
        return;
    }
    char *copy = arena_text(to->owner, to->draft.bytes, to->draft.size);
    if (copy != NULL && reserve(to)) {
        to->texts[to->count++] = copy;
    } else {
        to->failed = true;
    }
    to->draft.size = 0;
}

void sentences_add(sentences *to, const char *sentence) {
    text_add(&to->draft, sentence);
    sentences_end(to);
}

void sentences_free(sentences *of) {
    text_free(&of->draft);
}
