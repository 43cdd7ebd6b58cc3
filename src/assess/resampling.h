/*
 * resampling.h - what the parts of the resampling hand to each other: a calm
 * profile that stands for what is true, the same made to scatter again and
 * again, and what is read from each.
 */
#ifndef ASSESS_RESAMPLING_H
#define ASSESS_RESAMPLING_H

#include "assess/again.h"
#include "assess/bins.h"
#include "assess/breathing.h"
#include "assess/scatter.h"
#include "assess/workings.h"
#include "base/limits.h"

/* What is read from one profile: five numbers of the whole, then four of each
 * narrowing. Shares are area / reference area; LEAST_PLACE is where the least
 * is, NEXT_SHARE the least outside the shoulders of the narrowings. */
enum {
    LEAST_AREA,
    SHARE_THERE,
    LEAST_SHARE,
    LEAST_PLACE,
    NEXT_SHARE,
    OF_WHOLE
};
enum { LENGTH, SHOULDERS, AREA, SHARE, OF_NARROWING };

/* And of the caudal end, after the last narrowing, where it is asked for. */
enum { INFLOW_LEAST, INFLOW_MEAN, INFLOW_NARROWED, INFLOW_FLOW, OF_INFLOW };

#define RESAMPLED_NARROWINGS ((size_t)LIMIT_INTERVALS)
#define READING_NUMBERS                                                        \
    (OF_WHOLE + OF_NARROWING * RESAMPLED_NARROWINGS + OF_INFLOW)

typedef struct resampling {
    const workings *work;
    profile traced; /* without the ripple that is likely */
    bins coarse;    /* what is made calm */
    double *calm;
    bins grid; /* what is made to scatter */
    bins_window *windows;
    double *steady; /* calm diameters of the grid, through the median */
    double *sums;   /* running sums of scatter, bins + 1 */
    scatter_mean errors[REFERENCE_SEGMENTS];
    double frame_share;
    double scatter_part; /* of it, what frames were measured to scatter */
    reference steady_reference; /* of the calm profile */
    reference now;              /* of this round */
    leeway may_miss;            /* what a found reference may miss by */
    leeway_draw misses;         /* in this round */
    breath_table breath;        /* what breathing may be in a round */
    double *ripple;             /* of the bins of the grid, that is likely */
    double *clock;
    bool *seen;                            /* whether a bin has it */
    double from_clock[REFERENCE_SEGMENTS]; /* of the reference's stretches */
    double to_clock[REFERENCE_SEGMENTS];
    bool seen_in[REFERENCE_SEGMENTS];
    again coarse_course;
    again grid_course;
    arena round; /* owns what belongs to one reading */
    /* Where the least area was found: its reference counts. */
    double minimum_mm;
    size_t minimum_link;
    const bl_narrowing *narrowings;
    size_t narrowing_count;
    bl_span inflow; /* the caudal end; NaN: not asked for */
    size_t width;   /* numbers of one reading */
    size_t rounds;  /* resamples */
    double *read;   /* rounds readings of one number after the other */
    double truth[READING_NUMBERS]; /* read from what is calm */
    double still[READING_NUMBERS]; /* and through the median, without scatter */
    double middle[READING_NUMBERS]; /* in the middle of what scatters only */
} resampling;

/* resample.c: with work, may_miss, minimum_mm, narrowings, frame_share and
 * scatter_part set, makes calm, reads and resamples; everything but `round` is
 * owner's. BL_ERR_MEMORY. */
bl_status resample_run(resampling *in, arena *owner);

/* The first narrowing from `narrowing` on whose shoulders a position, one that
 * grows from call to call, is not behind. */
size_t reading_narrowing_at(const resampling *in, size_t narrowing, double x_mm,
                            bool *inside);

/* The number of the first that is read of the caudal end. */
size_t reading_inflow(const resampling *in);

/* inflow_reading.c: areas; the rest becomes unknown. */
void inflow_read_areas(const resampling *in, const profile *along,
                       double out[OF_INFLOW]);

/* What needs a reference: narrowed length, of all the narrowings, and flow
 * index by area alone. */
void inflow_read_narrowed(const resampling *in, const course *along,
                          const course_stretch *stretches, size_t count,
                          double out[OF_INFLOW]);

/* reading.c: reads a profile, whose course is `nodes`, against the reference
 * of this round, into out[in->width]. BL_ERR_MEMORY. */
bl_status reading_take(resampling *in, const profile *along, again *nodes,
                       double *out);

#endif
