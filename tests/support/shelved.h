/*
 * shelved.h - veins made by hand and stocks in a line, for tests of plans.
 */
#ifndef SUPPORT_SHELVED_H
#define SUPPORT_SHELVED_H

#include "boreline.h"
#include "support/check.h"

#define MADE_POINTS 8000
#define MADE_NARROWINGS 24

/* An assessment whose every number is known, and the study it is of. */
typedef struct made {
    bl_assessment of;
    bl_study *study;
    bl_profile_point profile[MADE_POINTS];
    bl_segment segments[2];
    bl_narrowing narrowings[MADE_NARROWINGS];
    bl_compression compressions[4];
    double first_mm; /* and the reference's equivalent diameter there */
    double last_mm;
    double wide_mm;
    double narrow_mm;
} made;

/* A vein without disease, frames 0.5 mm apart, whose reference goes linearly
 * from wide_mm at the first frame to narrow_mm at the last. notes: lines of the
 * table, or "". The reference's perimeter is 1.1 times that of a circle. */
void made_vein(made *out, double first_mm, double last_mm, double wide_mm,
               double narrow_mm, const char *notes);

/* Half the calibre from shoulder to shoulder, which the narrowing ends at. */
void made_narrow(made *in, double from_mm, double to_mm);

/* Takes the frames of a stretch out: a gap. */
void made_gap(made *in, double from_mm, double to_mm);

void made_free(made *of);

/* A stock of lines "label,diameter,length,foreshortening", all with ",count" or
 * none. */
bl_stock *shelved(const char *lines);

/* The default options with that stock, or NULL for none. */
bl_plan_options shelved_options(const bl_stock *stock);

/* The plan; fails the test on an error. */
bl_plan *made_plan(const made *of, const bl_plan_options *options);

/* Fails the test unless a warning, or a finding on the user's chain, holds the
 * words. */
void made_says(const bl_plan *plan, const char *words);
void made_finds(const bl_plan *plan, const char *words);

/* Fails the test unless one of the sentences holds the words. */
void check_told(const char *const *list, size_t count, const char *words);
/* Fails the test where what is not certain of a plan holds them. */
void check_no_doubt(const bl_plan *plan, const char *words);

/* Fails the test unless it lies there, to 1e-9 mm. */
void check_span(bl_span got, double from, double to);
/* Fails the test unless it is on the list under that label. */
void check_label(const bl_device *device, const char *label);

#endif
