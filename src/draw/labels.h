/*
 * labels.h - a row of labels, shortened and thinned until it fits.
 */
#ifndef DRAW_LABELS_H
#define DRAW_LABELS_H

#include "draw/page.h"

#define LABEL_TEXTS 4

typedef struct label {
    const char *texts[LABEL_TEXTS]; /* from long to short; NULL ends early */
    double wanted_x;
    double worth; /* the least worth is left out first */
    uint32_t colour;
    bool bold;
    const char *shown; /* out: NULL when left out */
    double x;          /* out: its centre */
} label;

/* Sorts the labels by wanted_x and places them between x0 and x1: all with
 * their longest text that lets all fit, else with the shortest and the least
 * worthy left out. Returns how many were left out. */
size_t labels_place(page *on, label *labels, size_t count, double x0,
                    double x1);

/* Gives placed labels, bold ones first, the longest of their texts that has
 * room where they stand. */
void labels_lengthen(page *on, label *labels, size_t count, double x0,
                     double x1);

#endif
