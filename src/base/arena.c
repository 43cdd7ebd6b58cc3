/*
 * arena.c - blocks in a chain, filled from the front.
 *
 * Invariant: every block's used is a multiple of ALIGN and at most its size.
 * A request larger than a block gets a block of its own. After arena_reuse the
 * next block holds what all blocks held, so that one is enough from then on.
 */
#include "base/arena.h"

#include <stdint.h>
#include <stdlib.h>
#include <string.h>

#define ALIGN 16
#define BLOCK_BYTES 8192

struct arena_block {
    arena_block *next;
    size_t used;
    size_t size;
    _Alignas(ALIGN) unsigned char bytes[];
};

static arena_block *block_add(arena *owner, size_t need) {
    size_t least =
        owner->least_bytes > BLOCK_BYTES ? owner->least_bytes : BLOCK_BYTES;
    size_t size = need > least ? need : least;
    if (size > SIZE_MAX - sizeof(arena_block)) {
        return NULL;
    }
    arena_block *block = malloc(sizeof(arena_block) + size);
    if (block == NULL) {
        return NULL;
    }
    block->next = owner->blocks;
    block->used = 0;
    block->size = size;
    owner->blocks = block;
    return block;
}

void *arena_alloc(arena *owner, size_t count, size_t size) {
    if (size != 0 && count > (SIZE_MAX - ALIGN) / size) {
        return NULL;
    }
    size_t need = (count * size + ALIGN - 1) / ALIGN * ALIGN;
    arena_block *block = owner->blocks;
    if (block == NULL || block->size - block->used < need) {
        block = block_add(owner, need);
        if (block == NULL) {
            return NULL;
        }
    }
    void *out = block->bytes + block->used;
    block->used += need;
    memset(out, 0, need);
    return out;
}

char *arena_text(arena *owner, const char *text, size_t size) {
    char *copy = arena_alloc(owner, size + 1, 1);
    if (copy != NULL && size != 0) {
        memcpy(copy, text, size);
    }
    return copy;
}

void arena_reuse(arena *owner) {
    size_t used = 0;
    for (arena_block *at = owner->blocks; at != NULL; at = at->next) {
        used += at->used;
    }
    if (owner->blocks != NULL && owner->blocks->next == NULL) {
        owner->blocks->used = 0;
    } else {
        arena_free(owner);
        owner->least_bytes = used;
    }
}

void arena_free(arena *owner) {
    while (owner->blocks != NULL) {
        arena_block *next = owner->blocks->next;
        free(owner->blocks);
        owner->blocks = next;
    }
    owner->least_bytes = 0;
}
