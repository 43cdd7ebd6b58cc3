/*
 * likeness.h - how well two lumen profiles agree outside the treated stretch,
 * and the shift at which they agree best.
 */
#ifndef COMPARE_LIKENESS_H
#define COMPARE_LIKENESS_H

#include "compare/trace.h"

/* Profiles agree where their difference is no more of their spread than this,
 * and the spread is enough to tell. */
#define UNLIKE_MOST 0.4
#define SPREAD_LEAST_PCT 3.0

enum { LIKENESS_BELOW = 1, LIKENESS_ABOVE = 2, LIKENESS_BOTH = 3 };

/* x = middle + scale (u - middle) + shift: a place u of AFTER, counted as
 * BEFORE counts, on the axis of BEFORE. */
typedef struct likeness_line {
    double middle_mm;
    double scale;
    double shift_mm;
} likeness_line;

/* Unknown where nothing can be compared. */
typedef struct likeness_fit {
    double compared_mm;
    double difference_pct;
    double spread_pct;
    double side_mm[2]; /* what is compared below and above */
    double level[2];   /* 100 ln of the ratio of diameters, AFTER / BEFORE */
} likeness_fit;

/* AFTER sampled at even steps outside the stretch that is left out, BEFORE
 * ready to be looked up. */
typedef struct likeness {
    double step_mm;
    double *u_mm;  /* of AFTER */
    double *x_mm;  /* where they come to lie: working memory */
    double *level; /* 100 ln of the equivalent diameter: differences are
                      percent */
    size_t count;
    double *before; /* the same of BEFORE every fine_mm; NaN in gaps */
    size_t before_count;
    double before_from_mm;
    double fine_mm;
    bl_span without;    /* left out; NaN: nothing */
    bool on_before;     /* on the axis of BEFORE, else on that of AFTER (u) */
    likeness_line line; /* middle of the samples, 1, 0: where searches begin */
} likeness;

/* Either lumen with at least two nodes. BL_ERR_MEMORY. */
bl_status likeness_open(const trace *before, const trace *after,
                        bl_span without, bool on_before, arena *owner,
                        likeness *out);

/* As lined up by an alignment, or by a line on one side or both. */
likeness_fit likeness_as_aligned(likeness *of, const bl_alignment *by);
likeness_fit likeness_by(likeness *of, const likeness_line *line, int sides);

/* Best line of a search and how it stands out. */
typedef struct likeness_found {
    bool scaled;
    likeness_line line;
    likeness_fit fit;
    bl_interval shift_mm; /* 95 % */
    double next_shift_mm; /* 5 mm or more away; NaN: no other valley */
    likeness_fit next;
} likeness_found;

/* The best shift at scale 1, or, `scaled`, at the best scale from 0.80 to 1.26;
 * of those at which at least three quarters of what any shift allows are
 * compared. False where no shift compares 20 mm. BL_ERR_MEMORY through *status.
 */
bool likeness_search(likeness *of, int sides, bool scaled, likeness_found *out,
                     bl_status *status);

/* What speaks against a fit that was found; NULL: nothing. */
typedef enum likeness_doubt {
    LIKENESS_SURE,
    LIKENESS_EVEN,   /* no shape to be matched */
    LIKENESS_POOR,   /* the profiles differ too much */
    LIKENESS_SECOND, /* another shift fits nearly as well */
    LIKENESS_BROAD   /* the shift is not told to 10 mm */
} likeness_doubt;

likeness_doubt likeness_judge(const likeness_found *of);

#endif
