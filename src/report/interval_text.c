/*
 * interval_text.c - intervals, and what they contain.
 */
#include "report/assessment_text.h"

#include "base/limits.h"
#include "report/prose.h"
#include "report/source.h"

#include <math.h>

void interval_text_between(text *out, bl_interval of, unsigned decimals,
                           const char *unit) {
    if (isnan(of.low)) {
        text_add(out, "not known");
        return;
    }
    text_fixed(out, of.low, decimals);
    text_add(out, " to ");
    text_fixed(out, of.high, decimals);
    text_add(out, unit);
}

/* More area than the reference is no stenosis. */
void interval_text_stenosis(text *out, bl_interval of) {
    if (!(of.low < 0.0)) {
        interval_text_between(out, of, 1, " %");
        return;
    }
    text_add(out, "none");
    if (of.high >= 0.0) {
        text_add(out, " to ");
        text_fixed(out, of.high, 1);
        text_add(out, " %");
    }
}

/* What is open is longer than what was traced of it. */
static void length_between(text *out, bl_interval of, const char *what,
                           bool open) {
    if (isnan(of.low)) {
        text_add(out, "not known how ");
        text_add(out, what);
        text_add(out, ",");
        return;
    }
    interval_text_between(out, of, 1, " mm ");
    text_add(out, what);
    text_add(out, open ? " of what was traced," : ",");
}

/* A worst place that is not known to 2 mm is said to be so. */
static void place_between(text *out, bl_interval of) {
    if (of.high - of.low > 2.0) {
        prose_next_line(out);
        text_add(out, "worst place between ");
        text_fixed(out, of.low, 1);
        text_add(out, " and ");
        text_fixed(out, of.high, 1);
        text_add(out, " mm");
    }
}

static void narrowing_intervals(text *out, const bl_narrowing *one) {
    prose_next_line(out);
    text_add(out, "narrowing ");
    text_span(out, one->span);
    text_add(out, ": ");
    length_between(out, one->length_interval_mm, "long",
                   one->span_open_from || one->span_open_to);
    prose_next_line(out);
    text_add(out, "  ");
    length_between(out, one->shoulders_interval_mm, "long between shoulders",
                   one->open_from || one->open_to);
    prose_next_line(out);
    text_add(out, "  least ");
    interval_text_between(out, one->min_area_interval_mm2, 1, " mm2");
    text_add(out, ", area stenosis ");
    interval_text_stenosis(out, one->area_stenosis_interval_pct);
}

static bool lies_in(bl_interval of, double value) {
    return isnan(of.low) || (value >= of.low && value <= of.high);
}

static void breathing_contents(text *out, const bl_intervals *all) {
    bool likely = !isnan(all->likely_ripple_pct);
    double swing = likely ? all->likely_ripple_pct : all->unseen_ripple_pct;
    if (!(swing > 0.0)) {
        text_add(out, "no breathing");
        return;
    }
    text_add(out, "breathing (a ripple of ");
    text_add(out, likely ? "" : "up to ");
    text_fixed(out, swing, 0);
    text_add(out, likely ? " % of the diameter is likely and taken off)"
                         : " % of the diameter could not be seen)");
}

void interval_text_contents(text *out, const bl_assessment *of) {
    const bl_intervals *all = &of->intervals;
    text_add(out, "They contain an error of ");
    text_short(out, of->options.area_cv_pct, 4);
    text_add(out, " % in the area of each contour (");
    text_add(out, bl_error_from_name(all->area_cv_from));
    text_add(out, "), ");
    if (of->segment_count > 0) {
        text_add(out, "the spread within the reference, ");
    }
    if (of->reference_from == BL_FROM_FOUND) {
        text_add(out, "taper and joining veins beyond and between its "
                      "stretches, ");
    }
    breathing_contents(out, all);
    text_add(out, " and ");
    if (of->options.speed_cv_pct > 0.0) {
        text_add(out, "in lengths an error of ");
        text_short(out, of->options.speed_cv_pct, 4);
        text_add(out, " % in speed (");
        text_add(out, bl_error_from_name(all->speed_cv_from));
        text_add(out, ")");
    } else {
        text_add(out, "no error of position");
    }
    text_add(out, "; that the least of many frames reads low, here by ");
    text_fixed(out, fmax(all->minimum_reads_low_pct, 0.0), 1);
    text_add(out, " %, is corrected");
    bool within =
        lies_in(all->minimum_area_mm2, of->minimum.area_mm2) &&
        lies_in(all->worst_area_stenosis_pct, of->worst.area_stenosis_pct);
    text_add(out, within ? "." : ": so a number can lie outside its interval.");
    text_add(out, " They do not contain a reference that is diseased, what "
                  "else neighbouring frames have in common, obliquity or "
                  "scale.");
}

void interval_text(text *out, const bl_assessment *of) {
    const bl_intervals *all = &of->intervals;
    source_heading(out, "Intervals");
    if (all->resamples == 0) {
        text_add(out, "none: the profile is smoothed over more than 5 mm\n");
        return;
    }
    text_add(out, "95 %: least area ");
    interval_text_between(out, all->minimum_area_mm2, 1, " mm2");
    if (!isnan(all->worst_area_stenosis_pct.low)) {
        prose_next_line(out);
        text_add(out, "greatest area stenosis ");
        interval_text_stenosis(out, all->worst_area_stenosis_pct);
        if (all->worst_corrected_pct >= 0.0) {
            text_add(out, ", corrected ");
            text_fixed(out, all->worst_corrected_pct, 1);
            text_add(out, " %");
        }
        if (of->narrowing_count > 0) {
            place_between(out, all->worst_position_mm);
        }
    }
    for (size_t i = 0; i < of->narrowing_count && i < LIMIT_INTERVALS; i++) {
        narrowing_intervals(out, &of->narrowings[i]);
    }
    if (of->narrowing_count > LIMIT_INTERVALS) {
        prose_next_line(out);
        text_format(out, "%zu more narrowings have none",
                    of->narrowing_count - LIMIT_INTERVALS);
    }
    text words = {0};
    interval_text_contents(&words, of);
    text_add(out, "\n");
    prose_wrapped_line(out, 0, &words);
}
