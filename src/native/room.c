/*
 * room.c - room for the rows of a table whose length is known.
 *
 * Rows that grow are moved, and what was moved is mapped again page by page: on
 * a virtual machine that took a tenth of the time of a table of 6,000 contours.
 * Where they lie from the start the system can map them by huge pages, if it is
 * asked to. Memory that is not touched is not used.
 */
#include "native/room.h"

#include "base/limits.h"
#include "study/batch.h"

#include <stdlib.h>
#include <sys/mman.h>

/* Of a table, for one row of a study: a contour of some 250 points. */
#define BYTES_A_ROW 4096
/* Of x86-64, and the usual one elsewhere. */
#define HUGE_BYTES ((size_t)2 << 20)

/* Of which one is worth it: touching all of it costs no more than being mapped
 * so much page by page. */
#define WORTH_BYTES (HUGE_BYTES / 4)

/* Huge pages are used whole: no more than rows will fill, or else one. */
static void ask_for_huge_pages(void *room, size_t used) {
    size_t whole = used / HUGE_BYTES * HUGE_BYTES;
    size_t size = whole == 0 ? HUGE_BYTES : whole;
#ifdef MADV_HUGEPAGE
    (void)madvise(room, size, MADV_HUGEPAGE); /* or not: it is a wish */
#else
    (void)room;
    (void)size;
#endif
}

void room_make(bl_study *study, uint64_t bytes) {
    uint64_t rows = bytes / BYTES_A_ROW;
    size_t used = (size_t)rows * sizeof(bl_row);
    if (rows > LIMIT_CONTOURS || used < WORTH_BYTES) {
        return; /* few are soon moved */
    }
    size_t size = (used + HUGE_BYTES - 1) / HUGE_BYTES * HUGE_BYTES;
    bl_row *room = aligned_alloc(HUGE_BYTES, size);
    if (room == NULL) {
        return;
    }
    ask_for_huge_pages(room, used);
    if (!study_take_room(study, room, size / sizeof *room)) {
        free(room);
    }
}
