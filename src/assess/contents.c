/*
 * contents.c - the errors that intervals are to contain, where options leave
 * them open.
 */
#include "assess/scatter.h"
#include "assess/workings.h"

#include "base/constants.h"

#include <math.h>

/* Our own measure. */
#define AREA_CV_PCT 5.0
#define CV_MOST_PCT 50.0
/* Of a motor: mean absolute error of length 9 to 19 % in four motorised systems
 * (Int J Cardiovasc Imaging 2007). */
#define SPEED_CV_PCT 10.0

static bool is_from_speed(bl_position_from from) {
    return from == BL_POSITION_STEP || from == BL_POSITION_TIME ||
           from == BL_POSITION_RATE;
}

const char *bl_error_from_name(bl_error_from from) {
    static const char *const names[] = {"assumed", "given", "measured"};
    return names[from];
}

bl_status interval_inputs(workings *work, bl_assessment *out) {
    double scatter;
    bl_status status =
        scatter_of_frames(work->profile.points, work->profile.count, &scatter);
    if (status != BL_OK) {
        return status;
    }
    bl_assess_options *options = &work->options;
    bl_intervals *to = &out->intervals;
    to->scatter_cv_pct = 100.0 * scatter;
    to->area_cv_from = BL_ERROR_GIVEN;
    to->speed_cv_from = BL_ERROR_GIVEN;
    if (isnan(options->area_cv_pct)) {
        bool more = to->scatter_cv_pct > AREA_CV_PCT;
        options->area_cv_pct =
            more ? fmin(to->scatter_cv_pct, CV_MOST_PCT) : AREA_CV_PCT;
        to->area_cv_from = more ? BL_ERROR_MEASURED : BL_ERROR_ASSUMED;
    }
    if (isnan(options->speed_cv_pct)) {
        options->speed_cv_pct =
            is_from_speed(work->pullback->position_from) ? SPEED_CV_PCT : 0.0;
        to->speed_cv_from = BL_ERROR_ASSUMED;
    }
    return BL_OK;
}
