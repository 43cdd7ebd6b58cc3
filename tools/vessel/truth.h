/*
 * truth.h - searches along a described vessel and rows of its truth.
 */
#ifndef TRUTH_H
#define TRUTH_H

#include "vessel.h"

typedef struct segment {
    double middle_mm;
    double area_mm2;
    double perimeter_mm;
} segment;

typedef struct truth {
    const vessel *of;
    FILE *out;
    double end_mm; /* position of the last frame */
    segment segments[VESSEL_REFERENCES];
    size_t segment_count;
} truth;

/* A quantity along the vessel, to be searched or summed. */
typedef double (*quantity)(const truth *, double at_mm);

truth truth_of(const vessel *of, FILE *out);
double truth_area(const truth *in, double at_mm);
/* Of the reference, rule taper; needs a segment. */
double truth_reference_area(const truth *in, double at_mm);
/* The place of the least value in from..to. */
double truth_least(const truth *in, quantity of, double from, double to);
void truth_place(const truth *in, const char *name, double at_mm, double value);
void truth_value(const truth *in, const char *name, double value);

#endif
