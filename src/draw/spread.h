/*
 * spread.h - labels along a line, moved apart as little as possible.
 */
#ifndef DRAW_SPREAD_H
#define DRAW_SPREAD_H

#include <stdbool.h>
#include <stddef.h>

typedef struct spread_slot {
    double wanted; /* where its centre should be; ascending over the slots */
    double size;   /* its length along the line, gap included */
    double centre; /* out */
    double mean;   /* working memory */
    size_t weight; /* working memory */
} spread_slot;

/* Sets every centre so that the slots follow each other without overlap
 * within low .. high and the sum of squared moves is least. False, with no
 * centre set, when they are longer together than the room. */
bool spread_slots(spread_slot *slots, size_t count, double low, double high);

#endif
