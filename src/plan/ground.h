/*
 * ground.h - the vein as a plan sees it: calibre, reference and healthy vein
 * along an axis that grows caudally, whichever way the catheter went. A
 * pullback drawn the other way is its mirror image here and nowhere else.
 */
#ifndef PLAN_GROUND_H
#define PLAN_GROUND_H

#include "base/arena.h"
#include "base/constants.h"
#include "boreline.h"

/* Lengths that differ by less are the same, mm: sizes come through sums, and a
 * vein of 16 mm takes a device of 16 mm. */
#define GROUND_SAME_MM 1e-6
/* What prints alike is alike: a vein of 16.01 mm takes a device of 16 mm. */
#define GROUND_PRINTED_MM PRINTED_LEAST

/* A frame, or one side of a step of the reference. */
typedef struct ground_node {
    double at_mm;
    double diameter_mm; /* equivalent; NaN at a step in a gap */
    double aspect_ratio;
    double reference_mm[2]; /* by bl_size_by; NaN unknown */
    bool joined;            /* no gap between this and the node before */
} ground_node;

/* A stretch of healthy vein and what it ends at. */
typedef struct ground_healthy {
    double from_mm;
    double to_mm;
    bl_border before;
    bl_border after;
} ground_healthy;

/* Running integrals of the reference, where it is known. */
typedef struct ground_sum {
    double known_mm;
    double reference_mm2[2]; /* mm of diameter times mm of length */
} ground_sum;

typedef struct ground {
    double turn; /* 1, or -1 where positions grow cranially */
    const ground_node *nodes;
    const ground_sum *sums; /* up to each node */
    size_t count;           /* 2 or more */
    const ground_healthy *healthy;
    size_t healthy_count;
    const double *left_out; /* places of left-out frames, rising */
    size_t left_out_count;
    bool has_perimeter; /* of the reference */
    /* Where the iliac vein begins and the common femoral ends, as far as marks
     * tell: devices are not laid across. */
    double confluences[2];
    size_t confluence_count;
} ground;

#define GROUND_ILIOCAVAL "iliocaval_confluence"
#define GROUND_FEMORAL "femoral_confluence"

/* What is mean and known of the reference over a stretch. */
typedef struct ground_mean {
    double reference_mm[2]; /* NaN where none is known */
    double known_mm;        /* of the stretch */
} ground_mean;

/* From the study's frames and their assessment. BL_ERR_MEMORY. */
bl_status ground_build(const bl_study *study, const bl_assessment *assessment,
                       arena *owner, ground *out);

double ground_at(const ground *of, double position_mm);
double ground_position(const ground *of, double at_mm);
/* The same of two places, in position order. */
bl_span ground_span(const ground *of, double from_mm, double to_mm);

/* The integral from the first node; constant beyond the ends. */
ground_sum ground_sum_at(const ground *of, double at_mm);
ground_mean ground_mean_of(ground_sum from, ground_sum to);
ground_mean ground_mean_over(const ground *of, double from_mm, double to_mm);

/* The vein at a place, between frames linear; all NaN in a gap and beyond. */
ground_node ground_node_at(const ground *of, double at_mm);

/* How far frames follow each other with a reference, outwards from a place. */
double ground_known_to(const ground *of, double at_mm, bool caudally);

/* Healthy vein: its length in all, and from the first of it to the
 * last, on the ground; NaN where there is none. */
typedef struct ground_part {
    double length_mm;
    double from_mm;
    double to_mm;
} ground_part;

/* Adds what of it lies in a stretch. */
void ground_add_healthy(const ground *of, double from_mm, double to_mm,
                        ground_part *to);

/* Length of a stretch that nothing is known of: gaps and beyond the ends. */
double ground_unseen_mm(const ground *of, double from_mm, double to_mm);

/* Whether vein was traced from node i - 1 to node i and no reference is known
 * of it: it was not judged. i is 1 or more. */
bool ground_is_unjudged(const ground *of, size_t i);
/* The length of such vein in a stretch. */
double ground_unjudged_mm(const ground *of, double from_mm, double to_mm);

/* The healthy vein that a place lies in, as printed; NULL: in none. */
const ground_healthy *ground_healthy_at(const ground *of, double at_mm);

#endif
