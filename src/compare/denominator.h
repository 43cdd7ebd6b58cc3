/*
 * denominator.h - what an area of the vein is held against: the reference
 * before, the reference after, the nominal size of the device.
 */
#ifndef COMPARE_DENOMINATOR_H
#define COMPARE_DENOMINATOR_H

#include "compare/trace.h"

/* A device may shorten by so much (common practice, no source). */
#define SHORTENED_SHARE 0.10

/* Where one stretch of BEFORE's reference is measured again. */
typedef struct denominator_again {
    double middle_mm;
    double ratio;    /* of diameters, AFTER / BEFORE */
    double area_mm2; /* of BEFORE */
    double again_mm2;
} denominator_again;

/* One nominal size, laid down. */
typedef struct denominator_device {
    bl_span span;
    double diameter_mm;
} denominator_device;

typedef struct denominators {
    const trace *before; /* whose references are those of the assessments */
    const trace *after;
    const bl_assessment *before_from;
    const bl_assessment *after_from;
    bl_after_reference from;
    denominator_again *again; /* in position order */
    size_t again_count;
    size_t measured;             /* stretches that were */
    denominator_device *devices; /* in position order */
    size_t device_count; /* 0: not given, or of more than one diameter without
                            their lengths */
    bool is_laid;        /* by their lengths */
    bool is_denied;      /* so laid they would contradict the contours */
    bool is_cut;         /* an end of the device was not seen */
} denominators;

double denominator_before_mm2(const denominators *of, double at_mm);
double denominator_after_mm2(const denominators *of, double at_mm);
/* Of the smaller where two overlap; NaN outside and where it is not known. */
double denominator_nominal_mm2(const denominators *of, double at_mm);

#endif
