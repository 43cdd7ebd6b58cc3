/*
 * store.c - the contours of a study: a row each, and their points if kept.
 */
#include "study/store.h"

#include "base/limits.h"

#include <stdlib.h>
#include <string.h>

void store_free(store *of) {
    free(of->rows);
    free(of->lines);
    free(of->kept);
    free(of->x);
    free(of->y);
    free(of->strays);
}

void store_drop_points(store *of) {
    free(of->kept);
    free(of->x);
    free(of->y);
    of->kept = NULL;
    of->x = NULL;
    of->y = NULL;
    of->keep = false;
}

/* At most: what its measurer finds and what its reader does. */
#define STRAYS_PER_ROW 2

/* The bytes that may be held. */
static uint64_t limit_of(const store *of) {
    return of->limit == 0 ? LIMIT_MEMORY_BYTES : of->limit;
}

/* With what may be odd of every row, whether it is or not: with threads that is
 * known later. */
static uint64_t bytes_of(const store *of, size_t rows, size_t points) {
    uint64_t row_bytes = sizeof *of->rows + sizeof *of->lines +
                         STRAYS_PER_ROW * sizeof *of->strays +
                         (of->keep ? sizeof *of->kept : 0) + of->beside;
    return rows * row_bytes + 2 * points * sizeof *of->x;
}

/* Whether arrays of these capacities may be held. */
static bl_status check_memory(const store *of, size_t rows, size_t points,
                              uint64_t line) {
    uint64_t limit = limit_of(of);
    if (bytes_of(of, rows, points) <= limit) {
        return BL_OK;
    }
    return message_set(of->message, BL_ERR_LIMIT, line, 1,
                       "the contours need more than %llu bytes of memory, the "
                       "limit; split the table, or raise --max-memory",
                       (unsigned long long)limit);
}

static bool grow_rows(store *of, size_t capacity) {
    bl_row *rows = realloc(of->rows, capacity * sizeof *rows);
    of->rows = rows != NULL ? rows : of->rows;
    uint64_t *starts = realloc(of->lines, capacity * sizeof *starts);
    of->lines = starts != NULL ? starts : of->lines;
    if (of->keep) {
        kept *places = realloc(of->kept, capacity * sizeof *places);
        of->kept = places != NULL ? places : of->kept;
        if (places == NULL) {
            return false;
        }
    }
    if (rows == NULL || starts == NULL) {
        return false;
    }
    of->capacity = capacity;
    return true;
}

/* By halves: a long table fits 16 MB with room to spare. */
static size_t more_than(size_t capacity) {
    return capacity < 256 ? 256 : capacity * 3 / 2;
}

bool store_take_room(store *to, bl_row *room, size_t capacity) {
    if (to->keep || to->capacity > 0 ||
        bytes_of(to, capacity, 0) > limit_of(to)) {
        return false;
    }
    uint64_t *starts = malloc(capacity * sizeof *starts);
    if (starts == NULL) {
        return false;
    }
    to->rows = room;
    to->lines = starts;
    to->capacity = capacity;
    return true;
}

static bl_status more_rows(store *of, uint64_t line) {
    if (of->count == LIMIT_CONTOURS) {
        return message_set(of->message, BL_ERR_LIMIT, line, 1,
                           "more than %d contours, the limit of a table; split "
                           "it",
                           LIMIT_CONTOURS);
    }
    if (of->count < of->capacity) {
        return BL_OK;
    }
    size_t capacity = more_than(of->capacity);
    bl_status status = check_memory(of, capacity, of->point_capacity, line);
    if (status != BL_OK) {
        return status;
    }
    return grow_rows(of, capacity) ? BL_OK : message_memory(of->message);
}

static bool grow_points(store *of, size_t capacity) {
    double *x = realloc(of->x, capacity * sizeof *x);
    of->x = x != NULL ? x : of->x;
    double *y = realloc(of->y, capacity * sizeof *y);
    of->y = y != NULL ? y : of->y;
    if (x == NULL || y == NULL) {
        return false;
    }
    of->point_capacity = capacity;
    return true;
}

static bl_status keep_points(store *of, const bl_contour *contour,
                             uint64_t line) {
    size_t need = of->points + contour->count;
    if (need > of->point_capacity) {
        size_t capacity = need + need / 2;
        bl_status status = check_memory(of, of->capacity, capacity, line);
        if (status != BL_OK) {
            return status;
        }
        if (!grow_points(of, capacity)) {
            return message_memory(of->message);
        }
    }
    of->kept[of->count] = (kept){of->points, contour->count};
    if (contour->count > 0) {
        memcpy(of->x + of->points, contour->x_mm,
               contour->count * sizeof *of->x);
        memcpy(of->y + of->points, contour->y_mm,
               contour->count * sizeof *of->y);
    }
    of->points = need;
    return BL_OK;
}

static int compare(int64_t a, int64_t b) {
    return (a > b) - (a < b);
}

static int by_frame(const bl_row *a, const bl_row *b) {
    int order = compare(a->frame, b->frame);
    return order != 0 ? order : compare(a->kind, b->kind);
}

bl_status store_add(store *to, const bl_row *row, uint64_t line,
                    const bl_contour *contour) {
    bl_status status = more_rows(to, line);
    if (status == BL_OK && to->keep) {
        status = keep_points(to, contour, line);
    }
    if (status == BL_OK) {
        to->mixed = to->mixed || (to->count > 0 &&
                                  by_frame(&to->rows[to->count - 1], row) > 0);
        to->lines[to->count] = line;
        to->rows[to->count++] = *row;
    }
    return status;
}

bl_status store_add_stray(store *to, const stray_row *one) {
    if (to->stray_count == to->stray_capacity) {
        size_t capacity = more_than(to->stray_capacity);
        stray_row *grown = realloc(to->strays, capacity * sizeof *grown);
        if (grown == NULL) {
            return message_memory(to->message);
        }
        to->strays = grown;
        to->stray_capacity = capacity;
    }
    to->strays[to->stray_count++] = *one;
    return BL_OK;
}

/* ---------------------------------------------------------------- sorting */

/* Everything of one row, so that sorting keeps it together. */
typedef struct whole_row {
    bl_row row;
    uint64_t line;
    kept kept;
} whole_row;

static int by_position(const bl_row *a, const bl_row *b) {
    if (a->position_mm < b->position_mm) {
        return -1;
    }
    return a->position_mm > b->position_mm ? 1 : by_frame(a, b);
}

static int whole_by_frame(const void *left, const void *right) {
    const whole_row *a = left;
    const whole_row *b = right;
    int order = by_frame(&a->row, &b->row);
    return order != 0 ? order : compare((int64_t)a->line, (int64_t)b->line);
}

static int whole_by_position(const void *left, const void *right) {
    return by_position(&((const whole_row *)left)->row,
                       &((const whole_row *)right)->row);
}

static bool in_order_of_position(const store *of) {
    for (size_t i = 1; i < of->count; i++) {
        if (by_position(&of->rows[i - 1], &of->rows[i]) > 0) {
            return false;
        }
    }
    return true;
}

/* Sorting takes a copy, and nearly every table is in order already. */
static bl_status sort_rows(store *of,
                           int (*order)(const void *, const void *)) {
    whole_row *all = malloc(of->count * sizeof *all);
    if (all == NULL) {
        return message_memory(of->message);
    }
    for (size_t i = 0; i < of->count; i++) {
        kept place = {0};
        if (of->keep) {
            place = of->kept[i];
        }
        all[i] = (whole_row){of->rows[i], of->lines[i], place};
    }
    qsort(all, of->count, sizeof *all, order);
    for (size_t i = 0; i < of->count; i++) {
        of->rows[i] = all[i].row;
        of->lines[i] = all[i].line;
        if (of->keep) {
            of->kept[i] = all[i].kept;
        }
    }
    free(all);
    return BL_OK;
}

bl_status store_sort_by_frame(store *of) {
    if (!of->mixed) {
        return BL_OK;
    }
    of->mixed = false;
    return sort_rows(of, whole_by_frame);
}

bl_status store_sort_by_position(store *of) {
    return in_order_of_position(of) ? BL_OK : sort_rows(of, whole_by_position);
}
