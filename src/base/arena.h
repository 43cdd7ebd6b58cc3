/*
 * arena.h - memory with one owner: many small allocations, one free.
 */
#ifndef BASE_ARENA_H
#define BASE_ARENA_H

#include <stddef.h>

typedef struct arena_block arena_block;

/* Zero-initialised is empty and ready. */
typedef struct arena {
    arena_block *blocks;
    size_t least_bytes; /* of the next block */
} arena;

/* count * size zeroed bytes, aligned for any type; NULL when memory is out or
 * the product overflows. count or size 0 gives a valid pointer. */
void *arena_alloc(arena *owner, size_t count, size_t size);

/* A copy of `size` bytes of text with a final NUL; NULL when memory is out. */
char *arena_text(arena *owner, const char *text, size_t size);

/* Gives up all that was allocated and keeps memory for as much again: work that
 * is repeated asks the system for none after its second round. */
void arena_reuse(arena *owner);

/* Frees everything; the arena is empty and ready again. */
void arena_free(arena *owner);

#endif
