/*
 * words.h - the names that numbers of the public header print as, and the
 * nearest name to a mistyped word.
 */
#ifndef BASE_WORDS_H
#define BASE_WORDS_H

#include <stddef.h>

#define WORDS_NAME_MOST 64

/* A name as keys are written: "Frame rate" is frame_rate. */
typedef struct spelt {
    char bytes[WORDS_NAME_MOST];
    size_t size; /* 0 for a name that is longer */
} spelt;

spelt words_spelt(const char *name, size_t size);

/* The name nearest to word (size bytes) by edit distance, when it is near
 * enough to have been meant; else NULL. */
const char *words_nearest(const char *word, size_t size,
                          const char *const *names, size_t count);

/* The same, at most `most` letters changed, added or left out. */
const char *words_within(const char *word, size_t size,
                         const char *const *names, size_t count, size_t most);

#endif
