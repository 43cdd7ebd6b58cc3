/*
 * warning_ripple.c - what is told of breathing ripple.
 */
#include "assess/warning.h"

#include <math.h>

static void add_change(warning_list *to, double traced, double steady,
                       const char *unit) {
    text_fixed(&to->draft, steady, 1);
    text_add(&to->draft, unit);
    text_add(&to->draft, " instead of ");
    text_fixed(&to->draft, traced, 1);
    text_add(&to->draft, unit);
}

/* What ripple does to the figures that a decision hangs on. */
static void warn_ripple_effect(warning_list *to) {
    const bl_ripple *ripple = &to->into->ripple;
    text_add(&to->draft, ripple->removed
                             ? "the ripple was taken off: least area "
                             : "with the ripple taken off (--steady) the "
                               "least area would be ");
    add_change(to, ripple->with.minimum.area_mm2,
               ripple->without.minimum.area_mm2, " mm2");
    if (!isnan(ripple->with.worst.area_stenosis_pct)) {
        text_add(&to->draft, ", greatest area stenosis ");
        add_change(to, ripple->with.worst.area_stenosis_pct,
                   ripple->without.worst.area_stenosis_pct, " %");
    }
    if (to->into->reference_from == BL_FROM_FOUND && !ripple->removed) {
        text_add(&to->draft, " (against the same stretches of healthy vein: "
                             "--steady looks for them anew, and may take "
                             "others)");
    }
    text_add(&to->draft, "; a narrowing is taken to ripple as the vein on "
                         "either side of it, which a stiff scar may not");
    warning_finish(to);
}

void warn_ripple(warning_list *to) {
    const bl_ripple *ripple = &to->into->ripple;
    if (!ripple->found) {
        if (to->work->options.steady) {
            text_add(&to->draft,
                     "no breathing ripple was found: --steady changes nothing");
            warning_finish(to);
        }
        return;
    }
    text_add(&to->draft, "the diameter ripples by ");
    text_fixed(&to->draft, ripple->share_of_diameter_pct, 0);
    text_add(&to->draft, " % (peak to trough) every ");
    text_fixed(&to->draft, ripple->wavelength_mm, 1);
    text_add(&to->draft, " mm");
    if (!isnan(ripple->period_s)) {
        text_add(&to->draft, ", ");
        text_fixed(&to->draft, ripple->period_s, 1);
        text_add(&to->draft, " s");
    }
    text_add(&to->draft, ": breathing can look like a narrowing, and the "
                         "running median does not remove it");
    warning_finish(to);
    warn_ripple_effect(to);
}
