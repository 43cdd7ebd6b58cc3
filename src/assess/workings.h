/*
 * workings.h - what the parts of an assessment hand to each other.
 */
#ifndef ASSESS_WORKINGS_H
#define ASSESS_WORKINGS_H

#include "assess/course.h"
#include "assess/reference.h"
#include "base/arena.h"
#include "base/text.h"
#include "boreline.h"
#include "profile/median.h"
#include "profile/profile.h"
#include "profile/ripple.h"
#include "pullback/normals.h"
#include "pullback/veins.h"

/* Flattened more than the reference: minimum diameter as a share of perimeter
 * diameter down by a quarter (our own measure; no published limit exists). */
#define FLATTENED_SHARE 0.75
/* The shortest stretch that can serve as reference (common practice). */
#define REFERENCE_MM 10.0
/* Healthy vein is told to so much of the diameter, 5 % of the area: what is
 * narrower than the vein beside it by less is taken for full. */
#define FULL_SHARE 0.025
/* A vein tapers by no more a mm of its length: 4 mm in 200 mm, as nominal
 * diameters fall from common iliac to common femoral vein. Where the vein is
 * not known one may join another, and they differ by 2 mm (nominal 16, 14 and
 * 12 mm) within 40 mm, or so. */
#define TAPER_PER_MM 0.02
/* Of which half is the step from one vein to the next. */
#define TAPER_WITHIN_PER_MM 0.01
#define TAPER_UNKNOWN_PER_MM 0.05

/* Breathing as far as it can be told. */
typedef struct breathing {
    ripple_guess likely; /* its shares are of the profile's points */
    double *clock;       /* of the profile's points */
    bool is_time;        /* in seconds, else in mm */
    bool removed;        /* the profile is without it */
} breathing;

/* One assessment under way. Everything is allocated from owner. */
typedef struct workings {
    const bl_row *rows;
    size_t row_count;
    const bl_finding *said; /* met in reading */
    size_t said_count;
    const bl_pullback *pullback;
    vein_line veins; /* of the pullback */
    bl_assess_options options;
    arena *owner;
    bl_message *message;
    profile profile;
    reference reference;
    breathing breath; /* steady.c: in the rows as traced */
} workings;

/* sqrt(1 - pct/100): the diameter share at an area stenosis. */
double workings_diameter_share(double area_stenosis_pct);

/* How much two spans share, mm. */
double workings_shared_mm(bl_span a, bl_span b);

/* The smoothed diameter against a reference, with the reference's breaks as
 * nodes of their own: one at a knot, two at a step. Where there is no reference
 * the course is broken, as at a gap. It belongs to owner. BL_ERR_MEMORY. */
bl_status workings_calibre_course(const workings *work, const reference *of,
                                  arena *owner, course *out);

/* Flatness of the smoothed profile against the reference's, in the same way;
 * frames whose diameters are unknown are passed over. BL_ERR_MEMORY. */
bl_status workings_flatness_course(const workings *work, const reference *of,
                                   arena *owner, course *out);

/* The calibre at each frame of the profile: running median of its equivalent
 * diameter over width_mm, into out[profile.count]. BL_ERR_MEMORY. */
bl_status workings_calibre(const workings *work, double width_mm, double *out);

/* The area expected of a healthy vein; NaN when none is. */
double workings_normal_area_mm2(const workings *work, bl_vein vein);

/* The vein of which the least area is expected, `above` 0, or the next larger
 * one, 1, and so on, or the largest of all; unknown when none is. */
bl_vein workings_least_normal(const workings *work, size_t above);

/* Fills the stretch's vein, its normal and the share of that. */
void workings_share_segment(const workings *work, bl_segment *segment);

/* The stretches of work's reference, where worst_mm is the worst place.
 * BL_ERR_MEMORY. */
bl_status workings_segments(const workings *work, double worst_mm,
                            const bl_segment **out);

/* The profile point as a place, against work's reference. */
bl_place workings_place(const workings *work, size_t point);

/* The point of least smoothed area. */
size_t workings_least_of(const profile *along);

/* The point with the greatest area stenosis among those, which hold one with a
 * reference. */
size_t workings_worst_of(const workings *work, course_points among);

/* steady.c: finds breathing ripple in the profile. Where there is one, *other
 * becomes the profile without it, or, where that is what is to be assessed and
 * takes the other's place, with it. BL_ERR_MEMORY. */
bl_status steady_profile(workings *work, bl_ripple *out, profile *other);

/* Sets the key figures with ripple and without. BL_ERR_MEMORY. */
bl_status steady_compare(const workings *work, const profile *other,
                         bl_ripple *into);

/* narrowing.c: BL_ERR_MEMORY. */
bl_status narrowing_find(const workings *work, bl_narrowing **out,
                         size_t *count);

/* compression.c: BL_ERR_MEMORY. */
bl_status compression_find(const workings *work, bl_compression **out,
                           size_t *count);

/* What a search found. */
typedef struct found_reference {
    reference chosen;
    reference runner_up; /* no reference where no side has a next best */
    reference usual;     /* that of the usual threshold and shoulder, where
                            another was asked for and finds another */
    bool settled;        /* reference and narrowings agree */
    const char *why;
    const bl_candidate *candidates; /* with the option to explain */
    size_t candidate_count;
    size_t more_candidates;
    size_t more_rejected;
} found_reference;

/* finder.c: searches healthy vein. BL_ERR_REFERENCE with a message, or
 * BL_ERR_MEMORY. */
bl_status finder_search(const workings *work, found_reference *out);

/* Whether two references have the same stretches. */
bool finder_same(const reference *a, const reference *b);

/* level.c: sets `usual` of what a search found; where it failed, the message
 * says so if the usual levels find one. The search's status, or
 * BL_ERR_MEMORY. */
bl_status level_compare(const workings *work, bl_status searched,
                        found_reference *found);

/* What of the levels is not usual, "--threshold 60 and --shoulder 30"; and what
 * is. */
void level_words(text *out, const bl_assess_options *of);
void level_usual_words(text *out);

/* expected.c: the area expected of each vein. BL_ERR_REFERENCE with a message
 * when none is of what was traced. */
bl_status expected_reference(const workings *work, reference *out);

/* Why, as a sentence. BL_ERR_MEMORY. */
bl_status expected_why(const workings *work, const char **out);

/* inflow_stretch.c: the caudal end where it is asked for, without intervals;
 * needs narrowings. */
void inflow_stretch_fill(const workings *work, bl_assessment *into);

/* contents.c: what intervals are to contain, where the options leave it open.
 * BL_ERR_MEMORY. */
bl_status interval_inputs(workings *work, bl_assessment *into);

/* interval.c: needs places and narrowings, and fills the intervals of both;
 * runner_up: of a search, or no reference.
 * BL_ERR_MEMORY. */
bl_status interval_fill(const workings *work, const reference *runner_up,
                        bl_narrowing *narrowings, bl_assessment *into);

/* sensitivity.c: what holds under each rule, and under the runner-up where it
 * is a reference; needs places and narrowings. BL_ERR_MEMORY. */
bl_status sensitivity_fill(const workings *work, const reference *runner_up,
                           bl_assessment *into);

/* vein_table.c: needs narrowings and compression points. BL_ERR_MEMORY. */
bl_status vein_table_fill(const workings *work, bl_assessment *into);

/* untold.c: stretches of which marks do not tell the vein. BL_ERR_MEMORY. */
bl_status untold_fill(const workings *work, bl_assessment *into);

/* warning.c: everything a careful reader should be told of. BL_ERR_MEMORY. */
bl_status warning_collect(const workings *work, const found_reference *found,
                          bl_assessment *into);

#endif
