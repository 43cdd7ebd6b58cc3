/*
 * bins.c - the profile in short bins.
 *
 * A few hundred bins stand for thousands of frames. Made calm, a bin has the
 * value of a parabola fitted to the diameters around it (local quadratic
 * regression: Fan and Gijbels 1996, from memory). How far the fit reaches is
 * chosen for each bin: of fits that reach further and further, the last whose
 * interval still meets those of all before it (intersection of confidence
 * intervals: Goldenshluger and Nemirovski, Math Methods Stat 1997;6:135-70,
 * from memory). So a plateau is made very calm, and a narrowing of 4 mm stays.
 *
 * The scatter of a median of k bells is that of their mean, larger by a factor
 * between 1 and the root of pi/2.
 */
#include "assess/bins.h"

#include "base/circle.h"
#include "base/constants.h"
#include "profile/median.h"

#include <math.h>

/* A fit is over so many bins or none; the width of its interval, in standard
 * deviations: our own measures. */
#define FIT_BINS_LEAST 5
#define BORNE_OUT 3.0
/* Standard deviations that a single frame is let off. */
#define LIKELY 3.0

/* Walks along the profile from bin to bin. */
typedef struct walk {
    double width_mm;
    double start_mm; /* of the stretch */
    double number;   /* of the bin in its stretch */
} walk;

static bool starts_bin(walk *on, const bl_profile_point *point) {
    if (point->after_gap) {
        on->start_mm = point->position_mm;
        on->number = 0.0;
        return true;
    }
    if (!(on->width_mm > 0.0)) {
        return true;
    }
    double now = floor((point->position_mm - on->start_mm) / on->width_mm);
    bool next = now > on->number;
    on->number = now;
    return next;
}

static size_t count_bins(const profile *along, double width_mm) {
    walk on = {.width_mm = width_mm};
    size_t count = 0;
    for (size_t i = 0; i < along->count; i++) {
        count += starts_bin(&on, &along->points[i]);
    }
    return count;
}

/* The diameter as traced, or as far from the middle as a single frame is likely
 * to be: a mean of those scatters less than one of medians. */
static double likely_diameter_mm(double traced_mm2, double middle_mm2,
                                 double frame_share) {
    double reach = LIKELY * frame_share * middle_mm2;
    return circle_diameter_mm(
        fmin(fmax(traced_mm2, middle_mm2 - reach), middle_mm2 + reach));
}

static void take_frame(bins *into, const bl_profile_point *point,
                       double diameter_mm) {
    size_t at = into->along.count - 1;
    bl_profile_point *bin = &into->along.points[at];
    double frames = into->frames[at] += 1.0;
    into->root_frames[at] = sqrt(frames);
    /* Running means: exact for one frame. */
    bin->position_mm += (point->position_mm - bin->position_mm) / frames;
    bin->equivalent_diameter_mm +=
        (diameter_mm - bin->equivalent_diameter_mm) / frames;
}

bl_status bins_make(const profile *along, const double *middle_mm2,
                    double width_mm, double frame_share, arena *owner,
                    size_t *bin_of, bins *out) {
    size_t count = count_bins(along, width_mm);
    bins made = {
        .along = {.points =
                      arena_alloc(owner, count, sizeof *made.along.points)},
        .frames = arena_alloc(owner, count, sizeof *made.frames),
        .root_frames = arena_alloc(owner, count, sizeof *made.root_frames),
    };
    if (made.along.points == NULL || made.frames == NULL ||
        made.root_frames == NULL) {
        return BL_ERR_MEMORY;
    }
    walk on = {.width_mm = width_mm};
    for (size_t i = 0; i < along->count; i++) {
        const bl_profile_point *point = &along->points[i];
        if (starts_bin(&on, point)) {
            made.along.points[made.along.count++].after_gap = point->after_gap;
        }
        take_frame(&made, point,
                   likely_diameter_mm(point->raw_area_mm2, middle_mm2[i],
                                      frame_share));
        if (bin_of != NULL) {
            bin_of[i] = made.along.count - 1;
        }
    }
    *out = made;
    return BL_OK;
}

/* -------------------------------------------------------------------- calm */

/* Weighted sums of a fit about one position: of u^0 .. u^4, and of y u^0 ..
 * y u^2. */
typedef struct fit {
    double u[5];
    double y[3];
    size_t bins;
} fit;

static void fit_take(fit *into, double u, double weight, double y) {
    double power = weight;
    for (int k = 0; k < 5; k++) {
        into->u[k] += power;
        if (k < 3) {
            into->y[k] += power * y;
        }
        power *= u;
    }
    into->bins++;
}

static double determinant(const double a[3], const double b[3],
                          const double c[3]) {
    return a[0] * (b[1] * c[2] - b[2] * c[1]) -
           b[0] * (a[1] * c[2] - a[2] * c[1]) +
           c[0] * (a[1] * b[2] - a[2] * b[1]);
}

/* The parabola's value at u = 0, by Cramer's rule (u runs from -1 to 1), and
 * its standard deviation as a multiple of a single frame's. */
static double fit_value(const fit *of, double *spread) {
    const double *s = of->u;
    double below = determinant(&s[0], &s[1], &s[2]);
    *spread = sqrt((s[2] * s[4] - s[3] * s[3]) / below);
    return determinant(of->y, &s[1], &s[2]) / below;
}

/* The fit about bin `at` over the bins of its stretch, [start, end), in reach.
 */
static fit fit_around(const bins *of, const double *diameter_mm, size_t start,
                      size_t end, size_t at, double reach_mm) {
    const bl_profile_point *points = of->along.points;
    double x = points[at].position_mm;
    size_t i = at;
    while (i > start && points[i - 1].position_mm >= x - reach_mm) {
        i--;
    }
    fit around = {0};
    for (; i < end && points[i].position_mm <= x + reach_mm; i++) {
        fit_take(&around, (points[i].position_mm - x) / reach_mm, of->frames[i],
                 diameter_mm[i]);
    }
    return around;
}

static double calm_at(const bins *of, const double *diameter_mm,
                      double frame_share, size_t start, size_t end, size_t at) {
    static const double reaches_mm[] = {1.0, 1.6, 2.5, 4.0, 6.3, 10.0};
    double best = diameter_mm[at];
    /* A diameter stands off by half the share that its area does. */
    double one = 0.5 * frame_share * best;
    double low = -HUGE_VAL;
    double high = HUGE_VAL;
    for (size_t k = 0; k < sizeof reaches_mm / sizeof reaches_mm[0]; k++) {
        fit around = fit_around(of, diameter_mm, start, end, at, reaches_mm[k]);
        double spread = UNKNOWN;
        double value = around.bins < FIT_BINS_LEAST
                           ? UNKNOWN
                           : fit_value(&around, &spread);
        if (isnan(value)) {
            continue;
        }
        low = fmax(low, value - BORNE_OUT * spread * one);
        high = fmin(high, value + BORNE_OUT * spread * one);
        if (!(low <= high && value > 0.0)) {
            break;
        }
        best = value;
    }
    return best;
}

void bins_calm(const bins *of, const double *diameter_mm, double frame_share,
               double *calm) {
    size_t count = of->along.count;
    for (size_t start = 0; start < count;) {
        size_t end = profile_stretch_end(of->along.points, count, start);
        for (size_t i = start; i < end; i++) {
            calm[i] = calm_at(of, diameter_mm, frame_share, start, end, i);
        }
        start = end;
    }
}

/* ----------------------------------------------------------------- windows */

/* Standard deviation of a median of k bells against that of their mean, within
 * 0.5 % for odd k; an even k scatters up to 5 % less. */
static double median_loss(double frames) {
    return sqrt(1.0 + (PI / 2.0 - 1.0) * fmax(1.0 - 1.2 / frames, 0.0));
}

/* Of one stretch, as median_running has them; x_mm: its positions. */
static void windows_in(const bins *of, const double *x_mm, double smooth_mm,
                       size_t start, size_t end, bins_window *out) {
    size_t from = start;
    size_t to = start;
    double frames = 0.0;
    for (size_t i = start; i < end; i++) {
        double x = x_mm[i - start];
        bl_span over = {x, x};
        if (smooth_mm > 0.0) {
            over = median_window(x_mm, end - start, i - start, smooth_mm);
        }
        while (to < end && (to <= i || x_mm[to - start] <= over.to_mm)) {
            frames += of->frames[to++];
        }
        while (from < i && x_mm[from - start] < over.from_mm) {
            frames -= of->frames[from++];
        }
        out[i] = (bins_window){from, to, median_loss(frames) / frames};
    }
}

bl_status bins_windows(const bins *of, double smooth_mm, arena *owner,
                       bins_window *out) {
    size_t count = of->along.count;
    double *x_mm = arena_alloc(owner, count, sizeof *x_mm);
    if (x_mm == NULL) {
        return BL_ERR_MEMORY;
    }
    for (size_t i = 0; i < count; i++) {
        x_mm[i] = of->along.points[i].position_mm;
    }
    for (size_t start = 0; start < count;) {
        size_t end = profile_stretch_end(of->along.points, count, start);
        windows_in(of, x_mm + start, smooth_mm, start, end, out);
        start = end;
    }
    return BL_OK;
}
