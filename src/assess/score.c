/*
 * score.c - how well a stretch of vein would serve as reference.
 *
 * Five parts, each from 0 to 1, and their weighted sum, from 0 to 1 as well
 * (docs/definitions.md). All of it is our own measure.
 */
#include "assess/search.h"

#include <math.h>

/* The weights add to 1. Calibre counts most: disease narrows, and an evenly
 * scarred stretch differs from a healthy one in nothing else. Steadiness and
 * nearness weigh alike: irregular vein is often diseased, and vein far away has
 * another calibre without disease. Roundness less: healthy veins are a little
 * oval. Length least: a longer mean is less noisy, but 10 mm do. */
#define CALIBRE_WEIGHT 0.35
#define STEADINESS_WEIGHT 0.20
#define NEARNESS_WEIGHT 0.20
#define ROUNDNESS_WEIGHT 0.15
#define LENGTH_WEIGHT 0.10
/* So much narrower than the envelope, as a share of its diameter, calibre
 * counts nothing: common iliac, external iliac and common femoral vein step by
 * 12 to 14 %. */
#define SHORTFALL_MOST 0.15
/* So far away nearness is down to a half. */
#define HALF_MM 50.0

static double within_1(double value) {
    return fmin(fmax(value, 0.0), 1.0);
}

double score_variation(const search *in, size_t first, size_t last) {
    double frames = (double)(last - first + 1);
    double mean = candidates_mean_mm(in, first, last);
    double mean_square = (in->square[last + 1] - in->square[first]) / frames;
    return sqrt(fmax(mean_square - mean * mean, 0.0)) / mean;
}

double score_spread(const search *in, size_t first, size_t last) {
    const bl_profile_point *points = in->work->profile.points;
    double mean = candidates_mean_mm(in, first, last);
    double spread = score_variation(in, first, last);
    double trend = fabs(points[last].equivalent_diameter_mm -
                        points[first].equivalent_diameter_mm) /
                   mean;
    return trend > TREND_SHARE || spread > STEADY_SHARE ? HUGE_VAL : spread;
}

bl_score score_of(const search *in, size_t first, size_t last, double near_mm) {
    const bl_profile_point *points = in->work->profile.points;
    double from = points[first].position_mm;
    double to = points[last].position_mm;
    double frames = (double)(last - first + 1);
    double flatness = (in->flat[last + 1] - in->flat[first]) / frames;
    double wanted = in->envelope[first + (last - first) / 2];
    double shortfall = 1.0 - candidates_mean_mm(in, first, last) / wanted;
    double away = fmin(fabs(from - near_mm), fabs(to - near_mm));
    bl_score out = {
        .calibre = within_1(1.0 - shortfall / SHORTFALL_MOST),
        .steadiness =
            within_1(1.0 - score_spread(in, first, last) / STEADY_SHARE),
        .roundness = within_1((flatness / in->flatness - FLATTENED_SHARE) /
                              (1.0 - FLATTENED_SHARE)),
        .length = within_1((to - from - REFERENCE_MM) /
                           (WINDOW_MAX_MM - REFERENCE_MM)),
        .nearness = HALF_MM / (HALF_MM + away),
    };
    out.total = CALIBRE_WEIGHT * out.calibre +
                STEADINESS_WEIGHT * out.steadiness +
                ROUNDNESS_WEIGHT * out.roundness + LENGTH_WEIGHT * out.length +
                NEARNESS_WEIGHT * out.nearness;
    return out;
}
