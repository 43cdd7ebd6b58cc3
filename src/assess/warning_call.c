/*
 * warning_call.c - what is told of how sure it is that there is a narrowing.
 */
#include "assess/warning.h"

/* Of 1,000 invented vessels with breath and noise the worst scatters by 25 %;
 * alternate frames of an edge and one 1.25 times as wide by 45. Our own
 * measure. */
/* Below this the intervals hold as with the usual 1 mm (docs/simulation.md). */
#define LONG_MEDIAN_MM 2.0
#define SCATTER_MOST_PCT 30.0
/* Errors in percent that are given: our own measure. */
#define FRACTION_PCT 1.0

/* The rules, and the runner-up, under which there is a narrowing, or none. */
static void add_calls(warning_list *to, bool narrowed) {
    const bl_assessment *of = to->into;
    const char *between = "";
    for (unsigned rule = 0; rule < BL_RULE_COUNT; rule++) {
        if ((of->narrowings_by_rule[rule] > 0) == narrowed) {
            text_add(&to->draft, between);
            text_add(&to->draft, bl_rule_name(rule));
            text_add(&to->draft, " (");
            text_fixed(&to->draft, of->worst_by_rule_pct[rule], 1);
            text_add(&to->draft, " %)");
            between = ", ";
        }
    }
    const bl_runner_up *next = of->runner_up;
    if (next != NULL && (next->narrowing_count > 0) == narrowed) {
        text_add(&to->draft, between);
        text_add(&to->draft, "the runner-up (");
        text_fixed(&to->draft, next->worst.area_stenosis_pct, 1);
        text_add(&to->draft, " %)");
    }
}

/* The search's next best stretches may show another narrowing, or one less. */
static void warn_count(warning_list *to) {
    const bl_assessment *of = to->into;
    const bl_runner_up *next = of->runner_up;
    if (next != NULL && next->narrowing_count != of->narrowing_count) {
        text_format(&to->draft,
                    "the number of narrowings depends on the reference: %zu "
                    "under the chosen, %zu under the runner-up, narrowed over ",
                    of->narrowing_count, next->narrowing_count);
        text_fixed(&to->draft, next->narrowed_mm, 1);
        text_add(&to->draft, " mm");
        warning_finish(to);
    }
}

void warn_call(warning_list *to) {
    const bl_assessment *of = to->into;
    if (!of->call_depends) {
        warn_count(to);
        return;
    }
    text_add(&to->draft, "the call depends on the reference: at a threshold of "
                         "");
    text_fixed(&to->draft, of->options.threshold_pct, 1);
    text_add(&to->draft, " % area stenosis there is a narrowing under ");
    add_calls(to, true);
    text_add(&to->draft, ", and none under ");
    add_calls(to, false);
    text_add(&to->draft, "; in brackets the greatest area stenosis");
    warning_finish(to);
}

/* More area than the reference is no stenosis. */
static void add_interval(warning_list *to, bl_interval of) {
    if (of.low < 0.0) {
        text_add(&to->draft, "none");
    } else {
        text_fixed(&to->draft, of.low, 1);
    }
    text_add(&to->draft, " to ");
    text_fixed(&to->draft, of.high, 1);
    text_add(&to->draft, " %");
}

/* A place outside every shoulder may be another narrowing. */
static void warn_next(warning_list *to) {
    const bl_assessment *of = to->into;
    const bl_intervals *all = &of->intervals;
    bl_interval next = all->next_area_stenosis_interval_pct;
    if (of->narrowing_count > 0 && next.high >= of->options.threshold_pct) {
        text_add(&to->draft, "that nothing else is narrowed is not certain: at "
                             "");
        text_fixed(&to->draft, all->next_position_mm, 1);
        text_add(&to->draft,
                 " mm, outside every shoulder, the area stenosis is ");
        text_fixed(&to->draft, all->next_area_stenosis_pct, 1);
        text_add(&to->draft, " %, and may be ");
        add_interval(to, next);
        warning_finish(to);
    }
}

/* Whether the vein is narrowed is not certain where the interval holds the
 * threshold. */
void warn_uncertain(warning_list *to) {
    const bl_assessment *of = to->into;
    double threshold = of->options.threshold_pct;
    size_t open = 0;
    for (size_t i = 0; i < of->narrowing_count; i++) {
        const bl_narrowing *one = &of->narrowings[i];
        if (one->area_stenosis_interval_pct.low < threshold &&
            ++open <= NAMED_MOST) {
            text_add(&to->draft, "the narrowing at ");
            warning_add_span(to, one->span);
            text_add(&to->draft, " is not certain: its area stenosis may be ");
            add_interval(to, one->area_stenosis_interval_pct);
            warning_finish(to);
        }
    }
    bl_interval worst = of->intervals.worst_area_stenosis_pct;
    if (of->narrowing_count == 0 && worst.high >= threshold) {
        text_add(&to->draft, "that nothing is narrowed is not certain: the "
                             "greatest area stenosis may be ");
        add_interval(to, worst);
        warning_finish(to);
    }
    warn_next(to);
}

/* An error in percent that is less than any hand's is a fraction. */
static void warn_fraction(warning_list *to, const char *name, double pct) {
    if (pct > 0.0 && pct < FRACTION_PCT) {
        text_format(&to->draft, "--%s was given as ", name);
        text_short(&to->draft, pct, 4);
        text_add(&to->draft, " %: is it a fraction? 0.05 is 5 percent; the "
                             "intervals are too narrow if it is");
        warning_finish(to);
    }
}

/* Intervals that contain less than the frames show; and frames of which every
 * other one may be of another edge. */
void warn_scatter(warning_list *to) {
    const bl_intervals *of = &to->into->intervals;
    if (of->scatter_cv_pct > SCATTER_MOST_PCT) {
        text_add(&to->draft, "areas scatter by ");
        text_fixed(&to->draft, of->scatter_cv_pct, 1);
        text_add(&to->draft, " % from frame to frame, more than tracing one "
                             "edge does: were two edges traced in turn, or is "
                             "the order of frames wrong? Look at neighbouring "
                             "contours");
        warning_finish(to);
    }
    warn_fraction(to, "area-cv", to->into->options.area_cv_pct);
    warn_fraction(to, "speed-cv", to->into->options.speed_cv_pct);
    if (of->area_cv_from == BL_ERROR_GIVEN &&
        of->scatter_cv_pct > to->into->options.area_cv_pct) {
        text_add(&to->draft, "areas scatter by ");
        text_fixed(&to->draft, of->scatter_cv_pct, 1);
        text_add(&to->draft, " % from frame to frame, more than the error "
                             "given for a contour: the intervals are too "
                             "narrow");
        warning_finish(to);
    }
}

/* Intervals that a long median makes too narrow. */
void warn_long_median(warning_list *to) {
    const bl_assessment *of = to->into;
    if (of->options.smooth_mm > LONG_MEDIAN_MM && of->intervals.resamples > 0) {
        text_add(&to->draft, "the profile is smoothed over ");
        text_short(&to->draft, of->options.smooth_mm, 4);
        text_add(&to->draft,
                 " mm: a median over more than 2 mm fills short narrowings "
                 "more than the 95 % intervals and corrected stenoses tell; "
                 "those are made for the usual 1 mm");
        warning_finish(to);
    }
}
