/*
 * tail.h - where the last device of a chain lies.
 */
#ifndef PLAN_TAIL_H
#define PLAN_TAIL_H

#include "plan/fitting.h"

#define TAIL_NONE INT32_MIN
/* No device before it that it could lie over. */
#define TAIL_FREE INT32_MAX

/* Of one kind: for every place where it can begin, the nearest from there on
 * where it fits, cranially and caudally; TAIL_NONE where there is none. */
typedef struct tail_table {
    int32_t first; /* the place of [0], tenths from the landing point */
    int32_t *cranial;
    int32_t *caudal;
} tail_table;

/* Where it is best, were it to fit everywhere: what lies beyond the caudal
 * landing point goes as far as there is room, then back into the overlap or, of
 * a single device (from is 0), cranially as far as there is room; of that
 * cranially first where the site says so. */
fitting_place tail_wanted(const fitting_site *site, int32_t from,
                          int32_t covers);

/* BL_ERR_MEMORY. */
bl_status tail_build(const fitting_table *table, const fitting_rules *rules,
                     const shelf *stock, const fitting_site *site,
                     fitting_letting letting, const shelf_kind *kind,
                     arena *owner, tail_table *out);

/* Where it lies of all places where it fits: the least of it past the room
 * that there is, then the least moved back; `back` at most, from `from`.
 * TAIL_NONE: it fits nowhere. */
int32_t tail_place(const tail_table *of, const fitting_site *site, int32_t from,
                   int32_t covers, int32_t back);

#endif
