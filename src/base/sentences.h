/*
 * sentences.h - a growing list of sentences, written one at a time.
 */
#ifndef BASE_SENTENCES_H
#define BASE_SENTENCES_H

#include "base/arena.h"
#include "base/text.h"

/* Zero-initialised but for the owner is empty and ready. Once memory is out
 * `failed` stays set: check once at the end. */
typedef struct sentences {
    arena *owner; /* of texts and what they point at */
    const char **texts;
    size_t count;
    size_t capacity;
    text draft; /* of the sentence under way */
    bool failed;
} sentences;

/* Ends the sentence under way in the draft; without one nothing is added. */
void sentences_end(sentences *to);

/* Adds a whole sentence. */
void sentences_add(sentences *to, const char *sentence);

/* Gives up the draft; texts stay with the owner. */
void sentences_free(sentences *of);

#endif
