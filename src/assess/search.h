/*
 * search.h - what the parts of the search for healthy vein hand to each other.
 */
#ifndef ASSESS_SEARCH_H
#define ASSESS_SEARCH_H

#include "assess/divisions.h"
#include "assess/workings.h"

/* Standard deviation and end-to-end trend of the diameter in a window, as a
 * share of its mean. */
#define STEADY_SHARE 0.06
#define TREND_SHARE 0.10
/* Healthy vein tapers within a part to no less than so much of it: nominal
 * diameters fall from 16 mm, common iliac, to 12 mm, common femoral vein. */
#define TAPER_MOST 0.75
/* A window is lengthened while it stays a candidate, up to this. */
#define WINDOW_MAX_MM 20.0
/* Stretches that are kept on either side of a part. */
#define CANDIDATES_MOST ((size_t)4)

/* Frames first to last, and how good they are. */
typedef struct window {
    size_t first;
    size_t last;
    bl_score score;
} window;

/* One side of a part: where a stretch may lie, from where its distance counts,
 * and the best that do not overlap, best first. */
typedef struct side {
    bl_span bounds;
    double near_mm;
    double least_mm; /* less calibre is not taken for healthy */
    window list[CANDIDATES_MOST];
    size_t count;
    size_t more; /* that fit in beside these */
} side;

/* What was found in one part of the line, on either side. */
typedef struct sides {
    side of[2];
} sides;

typedef struct search {
    const workings *work; /* in which diameters and areas are the calibre */
    const bl_profile_point *points; /* in which they are not */
    workings own;
    divisions parts;
    bool *clear;   /* no flag of its own, no left-out frame beside it */
    bool *full;    /* as wide as the vein beside it */
    bool *wide;    /* at or below the shoulder level */
    bool *flank;   /* beside what is not, where a flank may go on */
    bool *healthy; /* clear, full, wide, round and no flank */
    bool *taken;   /* in a stretch that is listed */
    double *worth; /* of the window that ends at a frame; negative: none */
    size_t *start; /* and where that window begins */
    double *total; /* running sums of the diameter, its square, the flatness */
    double *square;
    double *flat;
    double *envelope;      /* the larger diameter at each frame */
    double flatness;       /* upper quartile */
    reference provisional; /* serves while two segments are not found */
    bool small_too;        /* candidates far below the normal as well */
} search;

/* search.c: parts the line and says what the first round is held against.
 * BL_ERR_MEMORY. */
bl_status search_start(search *in, const workings *work);

/* fullness.c: marks full[] of the profile's frames, which come in false. total:
 * running sums of the diameter. BL_ERR_MEMORY. */
bl_status fullness_mark(const search *in, const double *total, bool *full);

/* flanks.c: marks flank[], where wide[] is marked against that reference. */
void flanks_mark(search *in, const reference *now);

/* How far a flank may go on beyond the shoulder of a narrowing. */
double flanks_of_narrowing_mm(double shoulder_mm, double narrowing_mm);

/* links.c: joins the segments of the pieces of a reference. */
void links_join(const search *in, reference *of);

/* links.c: sets the ramps of a joined reference to where the profile ramps. */
void links_fit(const search *in, reference *of);

/* What is traced of a part; to_mm below from_mm when nothing is. */
bl_span search_traced(const search *in, size_t part);

/* Marks what is healthy as far as a frame tells, against a reference. */
void search_mark_healthy(search *in, const reference *now);

/* score.c: coefficient of variation of the calibre in a window. */
double score_variation(const search *in, size_t first, size_t last);

/* score.c: coefficient of variation of the diameter in a window; HUGE_VAL when
 * it, or the difference of its ends, is more than what is steady. */
double score_spread(const search *in, size_t first, size_t last);

/* The score of a steady window; nearness is that to near_mm. */
bl_score score_of(const search *in, size_t first, size_t last, double near_mm);

/* candidates.c: the best stretches on each side of every part, where the
 * narrowings are those under the reference. BL_ERR_MEMORY. */
bl_status candidates_choose(search *in, const reference *now,
                            sides out[REFERENCE_PIECES]);

/* Mean diameter of a window. */
double candidates_mean_mm(const search *in, size_t first, size_t last);

/* explain.c: lists what was found, and what was not taken and why, after the
 * last round; the list is owner's. BL_ERR_MEMORY. */
bl_status explain_list(const search *in, const sides found[REFERENCE_PIECES],
                       arena *owner, found_reference *into);

#endif
