/*
 * implant.c - an implanted device and the vein's wall around it.
 *
 * The device is an ellipse from the first to the last place where it is
 * described, linear between them. Tissue leaves a smaller ellipse of the same
 * shape open. The wall lies on the device at a fixed distance and stands
 * further off where the description says so; the distance is along the
 * device's normal, so that it is the gap itself where it does not change
 * around.
 */
#include "vessel.h"

bool device_covers(const vessel *of, double at_mm) {
    return of->device_count > 1 && at_mm >= of->devices[0].at_mm &&
           at_mm <= of->devices[of->device_count - 1].at_mm;
}

wall device_at(const vessel *of, double at_mm) {
    calibre c = calibre_at(of->devices, of->device_count, at_mm);
    double root = sqrt(c.aspect);
    return (wall){.long_mm = 0.5 * c.diameter_mm * root,
                  .short_mm = 0.5 * c.diameter_mm / root,
                  .axis_deg = c.axis_deg};
}

wall device_lumen(const vessel *of, double at_mm) {
    wall out = device_at(of, at_mm);
    double open = 1.0;
    for (size_t i = 0; i < of->tissue_count; i++) {
        const tissue *t = &of->tissues[i];
        open *= 1.0 - t->share_pct / 100.0 *
                          plateau(at_mm, t->from_mm, t->to_mm, t->edge_mm);
    }
    out.long_mm *= sqrt(open);
    out.short_mm *= sqrt(open);
    return out;
}

double device_gap(const vessel *of, double at_mm, double t) {
    double gap = of->apposed_mm;
    for (size_t i = 0; i < of->standoff_count; i++) {
        const standoff *s = &of->standoffs[i];
        double away = remainder(t - s->middle_deg * PI / 180.0, 2.0 * PI);
        gap += (s->largest_mm - of->apposed_mm) *
               plateau(at_mm, s->from_mm, s->to_mm, s->edge_mm) *
               hump(away, s->arc_deg * PI / 360.0);
    }
    return gap;
}

void wall_normal(const wall *of, double t, double *along, double *across) {
    double x = of->short_mm * cos(t);
    double y = of->long_mm * sin(t);
    double length = sqrt(x * x + y * y);
    *along = x / length;
    *across = y / length;
}
