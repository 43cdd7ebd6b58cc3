/*
 * scatter.c - how far areas stand off from what they stand for.
 *
 * Frame to frame: of each three neighbours the middle one is held against the
 * line between the other two (Gasser, Sroka and Jennen-Steinmetz, Biometrika
 * 1986;73:625-33, from memory), the standard deviation taken from the median of
 * the absolute residuals, which a few stray frames do not move.
 *
 * The mean of a stretch: its frames are not independent, for the vein itself
 * varies over millimetres. The stretch is cut into batches, whose means are
 * nearly so: the standard error is that of their mean, with Student's t (batch
 * means: Law and Kelton, Simulation Modeling and Analysis, from memory). Too
 * few frames for that stand for themselves.
 */
#include "assess/scatter.h"

#include "base/constants.h"
#include "profile/median.h"

#include <math.h>

#define BATCHES_MOST ((size_t)8)
#define BATCHES_LEAST ((size_t)4)
#define BATCH_FRAMES ((size_t)3)

/* The middle of three, as a share off the line between the others, scaled to
 * the standard deviation of one; NaN across a gap or at one position. */
static double residual(const bl_profile_point *at) {
    double x = at[1].position_mm - at[-1].position_mm;
    if (at->after_gap || at[1].after_gap || !(x > 0.0)) {
        return UNKNOWN;
    }
    double part = (at->position_mm - at[-1].position_mm) / x;
    double line =
        at[-1].raw_area_mm2 * (1.0 - part) + at[1].raw_area_mm2 * part;
    double spread = sqrt(1.0 + part * part + (1.0 - part) * (1.0 - part));
    return (at->raw_area_mm2 - line) / (line * spread);
}

bl_status scatter_of_frames(const bl_profile_point *points, size_t count,
                            double *share) {
    arena owner = {0};
    double *sizes = arena_alloc(&owner, count, sizeof *sizes);
    if (sizes == NULL) {
        return BL_ERR_MEMORY;
    }
    size_t held = 0;
    for (size_t i = 1; i + 1 < count; i++) {
        double off = fabs(residual(&points[i]));
        if (!isnan(off)) {
            sizes[held++] = off;
        }
    }
    *share = held < SCATTER_FRAMES
                 ? UNKNOWN
                 : DEVIATION_OF_MEDIAN * median_of(sizes, held);
    arena_free(&owner);
    return BL_OK;
}

/* Points [first, end) in the span. */
static void points_in(const bl_profile_point *points, size_t count,
                      bl_span span, size_t *first, size_t *end) {
    *first = 0;
    while (*first < count &&
           points[*first].position_mm < span.from_mm - EDGE_MM) {
        ++*first;
    }
    *end = *first;
    while (*end < count && points[*end].position_mm <= span.to_mm + EDGE_MM) {
        ++*end;
    }
}

/* Mean and standard deviation of `parts` batches of equally many points. */
static void batch_means(const bl_profile_point *points, size_t count,
                        size_t parts, double *mean, double *deviation) {
    double means[BATCHES_MOST];
    double total = 0.0;
    for (size_t part = 0; part < parts; part++) {
        size_t from = part * count / parts;
        size_t to = (part + 1) * count / parts;
        double sum = 0.0;
        for (size_t i = from; i < to; i++) {
            sum += points[i].raw_area_mm2;
        }
        means[part] = sum / (double)(to - from);
        total += means[part];
    }
    *mean = total / (double)parts;
    double squares = 0.0;
    for (size_t part = 0; part < parts; part++) {
        squares += (means[part] - *mean) * (means[part] - *mean);
    }
    *deviation = sqrt(squares / (double)(parts - 1));
}

scatter_mean scatter_of_mean(const bl_profile_point *points, size_t count,
                             bl_span span, double frame_share) {
    size_t first;
    size_t end;
    points_in(points, count, span, &first, &end);
    size_t frames = end - first;
    double alone = frame_share / sqrt((double)frames);
    size_t parts = frames / BATCH_FRAMES;
    parts = parts > BATCHES_MOST ? BATCHES_MOST : parts;
    if (parts < BATCHES_LEAST) {
        return (scatter_mean){alone, 0};
    }
    double mean;
    double deviation;
    batch_means(points + first, frames, parts, &mean, &deviation);
    double share = deviation / mean / sqrt((double)parts);
    return share > alone ? (scatter_mean){share, (unsigned)parts - 1}
                         : (scatter_mean){alone, 0};
}

double scatter_draw(const scatter_mean *of, chance *by) {
    double z =
        of->freedom == 0 ? chance_bell(by) : chance_student(by, of->freedom);
    return fmax(1.0 + of->share * z, FACTOR_LEAST);
}
