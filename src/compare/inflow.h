/*
 * inflow.h - what the parts of a comparison of inflow veins hand to each other.
 */
#ifndef COMPARE_INFLOW_H
#define COMPARE_INFLOW_H

#include "base/arena.h"
#include "base/text.h"
#include "boreline.h"

/* One comparison under way. Everything is allocated from owner. */
typedef struct inflow {
    bl_inflow public; /* first, so that one pointer serves for both */
    bl_inflow_candidate *candidates;
    arena owner;
} inflow;

/* A figure of a candidate. */
const bl_inflow_figure *inflow_figure(const bl_inflow_candidate *of,
                                      unsigned measure);

/* Whether more of a measure is better; else less is. */
bool inflow_more_is_better(unsigned measure);

/* The figure as it prints, in whole numbers of its last decimal, the better the
 * larger; -HUGE_VAL where it is unknown. */
double inflow_merit(const bl_inflow_candidate *of, unsigned measure);

/* The mark that a stretch runs on beyond, into vein that candidates share. */
typedef struct inflow_border {
    const bl_mark *mark; /* the most caudal one; NULL: none is in the way */
    double caudal_mm;    /* of the stretch, caudal of it; below 0 beyond it */
    bool begins_own;     /* the candidate's own vein begins there */
} inflow_border;

inflow_border inflow_border_of(const bl_inflow_candidate *of);

/* Where vein that candidates share begins, at the stretch's cranial end or
 * further on; NULL: no mark tells. */
const bl_mark *inflow_next_border(const bl_inflow_candidate *of);

/* "the femoral confluence". */
void inflow_border_words(text *out, const inflow_border *of);

/* What is wrong with its own vein cranial of its stretch; NULL: nothing. */
typedef struct inflow_way {
    const bl_span *gap; /* the first without a usable frame */
    const bl_narrowing *narrowing;
    const bl_profile_point *smaller; /* where less than in its stretch */
    bool is_bordered;                /* a mark tells where it ends */
} inflow_way;

inflow_way inflow_way_of(const inflow *all, const bl_inflow_candidate *of);

bool inflow_way_is_barred(const inflow_way *of);

/* "is narrowed by 90 % of area, to 7.9 mm2, at 37.5 mm; what comes ...". */
void inflow_way_words(text *out, const inflow_way *of);

/* Whether a mark of that name is where a candidate's own vein begins. */
bool inflow_begins_own(const char *name);

/* What doubts the scale of its table; NULL: nothing does. */
const bl_finding *inflow_scale_doubt(const bl_inflow_candidate *of);

/* The vein that two of them share, as both tables have it. */
typedef struct inflow_common {
    const bl_inflow_candidate *wider;
    const bl_inflow_candidate *narrower;
    double wider_mm; /* medians of equivalent diameters */
    double narrower_mm;
    double length_mm; /* compared */
} inflow_common;

/* Whether the vein that the first shares with another keeps the first from
 * being named: it is not the same in both tables, or the first stands apart
 * from the other by least area and would not if all its areas were smaller by
 * as much as its shared vein is larger. False where it is not known: not both
 * have a mark where they part, or less than 10 mm cranial of it. */
bool inflow_common_bars(const bl_inflow_candidate *first,
                        const bl_inflow_candidate *other, inflow_common *out);

/* "the vein that both share, ..., is 20.0 % wider in the table of B ...". */
void inflow_common_words(text *out, const inflow_common *of,
                         const bl_inflow_candidate *first);

/* inflow_note.c: whether the tables are of both sides, and what says so: "the
 * tables are of different sides (A left, B right): ...". */
bool inflow_is_of_two_sides(const inflow *of);
void inflow_side_words(text *out, const inflow *of);

/* inflow_verdict.c: what each measure says, and which is named; needs order and
 * ranks. BL_ERR_MEMORY. */
bl_status inflow_judge(inflow *of);

/* inflow_note.c: notes of the candidates, and warnings of all. BL_ERR_MEMORY.
 */
bl_status inflow_note(inflow *of);

#endif
