/*
 * suspicion.c - coordinates that read well and are hardly what was traced.
 *
 * A program that wants as many cells in each row fills them with zeros, and a
 * contour drawn out to 0,0 mostly still does not cross itself. Decimal commas
 * in a table separated by commas make two whole numbers of each.
 */
#include "read/suspicion.h"

#include <math.h>

/* Contours of fewer points are made by hand, often of whole numbers. */
#define TRACED_POINTS 12
/* A turn is less, 2 pi; a contour within so few degrees is none. */
#define TURN_RADIANS 6.3

static bool is_zero(double value) {
    return !(value < 0.0) && !(value > 0.0);
}

static bool is_whole(double value) {
    return !(floor(value) < value);
}

static bool at_origin(const bl_contour *of, size_t i) {
    return is_zero(of->x_mm[i]) && is_zero(of->y_mm[i]);
}

/* Points at 0,0 behind others; one that only closes the contour is none. */
static bool has_fill(const bl_contour *of) {
    size_t end = of->count;
    while (end > 0 && at_origin(of, end - 1)) {
        end--;
    }
    size_t closing = end > 0 && at_origin(of, 0);
    return end > 0 && of->count - end > closing;
}

/* The catheter lies in the vein, so that no radius is 0. */
static bool has_zero_radius(const bl_contour *of) {
    size_t i = 0;
    while (i < of->count && !is_zero(of->y_mm[i])) {
        i++;
    }
    return i < of->count;
}

static bool has_fraction(const bl_contour *of, bool polar) {
    size_t i = 0;
    while (i < of->count &&
           (is_whole(of->y_mm[i]) && (polar || is_whole(of->x_mm[i])))) {
        i++;
    }
    return i < of->count;
}

/* An angle beyond a turn in radians, either way. */
static bool has_degrees(const bl_contour *of) {
    size_t i = 0;
    while (i < of->count && fabs(of->x_mm[i]) <= TURN_RADIANS) {
        i++;
    }
    return i < of->count;
}

void suspicion_look(suspicion *of, const bl_contour *written, bool polar,
                    int64_t frame, uint64_t line) {
    of->contours += written->count > 0;
    of->points += written->count;
    of->fractions = of->fractions || has_fraction(written, polar);
    of->degrees = of->degrees || !polar || has_degrees(written);
    if (polar ? has_zero_radius(written) : has_fill(written)) {
        of->first_line = of->filled == 0 ? line : of->first_line;
        of->first_frame = of->filled == 0 ? frame : of->first_frame;
        of->filled++;
    }
}

static bl_status say_fill(const suspicion *of, bool polar, findings *said) {
    const char *s = of->filled == 1 ? "" : "s";
    const char *verb = of->filled == 1 ? "s" : "";
    return polar ? findings_warn(
                       said, of->first_line, 0, of->first_frame,
                       "%llu contour%s ha%s a radius of exactly 0, which the "
                       "catheter within the vein does not allow; if zeros fill "
                       "what was not traced, leave those contours out",
                       (unsigned long long)of->filled, s,
                       of->filled == 1 ? "s" : "ve")
                 : findings_warn(
                       said, of->first_line, 0, of->first_frame,
                       "%llu contour%s end%s in points at exactly 0,0; if "
                       "zeros fill what was not traced, leave them out: area "
                       "and shape are wrong with them",
                       (unsigned long long)of->filled, s, verb);
}

static bl_status say_whole(bool polar, char separator, findings *said) {
    return findings_warn(
        said, 0, 0, -1, "every %s is a whole number of mm; %s",
        polar ? "radius" : "coordinate",
        separator == ','
            ? "is the decimal mark a comma, which separates here? Then "
              "separate by semicolons. Or are these pixels? Then give their "
              "scale"
            : "are these pixels? Then give their scale");
}

bl_status suspicion_say(const suspicion *of, bool polar, bool millimetres,
                        char separator, findings *said) {
    bool traced =
        of->contours > 0 && of->points >= TRACED_POINTS * of->contours;
    bl_status status = BL_OK;
    if (of->filled > 0) {
        status = say_fill(of, polar, said);
    }
    if (status == BL_OK && traced && !of->degrees) {
        status = findings_warn(said, 0, 0, -1,
                               "no angle is beyond 6.3 degrees; are these "
                               "radians? Then give them in degrees");
    }
    if (status == BL_OK && traced && millimetres && !of->fractions) {
        status = say_whole(polar, separator, said);
    }
    return status;
}
