/*
 * suspicion.c - coordinates that read well and are hardly what was traced.
 *
 * A program that wants as many cells in each row fills them with zeros, and a
 * contour drawn out to 0,0 mostly still does not cross itself. Decimal commas
 * in a table separated by commas make two whole numbers of each.
 */
#include "read/suspicion.h"

#include "base/text.h"
#include "base/tracing.h"

#include <math.h>

/* A turn is less, 2 pi; a contour within so few degrees is none. */
#define TURN_RADIANS 6.3
/* From the first angle to the last it is no more, rounding apart. */
#define TURN_DEG 360.5

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

static bool far_apart(double a, double b) {
    return fmax(a, b) >= FILL_TIMES * fmin(a, b);
}

/* Whether FILL_ANGLES and more radii before the one at `end` are the very same
 * and far from both beside them; `run` is how many are the same. */
static bool is_filled(const bl_contour *of, size_t end, size_t run) {
    const double *radius = of->y_mm;
    size_t count = of->count;
    size_t before = (end + 2 * count - run - 1) % count;
    size_t last = (end + count - 1) % count;
    return run >= FILL_ANGLES && far_apart(radius[last], radius[before]) &&
           far_apart(radius[last], radius[end % count]);
}

/* The first angle behind a run of radii that are filled; count for none. They
 * go round, so that what begins in the last angles ends in the first. */
static size_t behind_fill(const bl_contour *of) {
    const double *radius = of->y_mm;
    size_t start = 1;
    while (start < of->count && !(fabs(radius[start] - radius[0]) > 0.0)) {
        start++;
    }
    size_t run = 0;
    size_t i = start;
    double before = radius[start - 1];
    for (size_t k = 0; start < of->count && k <= of->count; k++) {
        if (fabs(radius[i] - before) > 0.0) {
            if (is_filled(of, i, run)) {
                return i;
            }
            run = 0;
        }
        run++;
        before = radius[i];
        i = i + 1 == of->count ? 0 : i + 1;
    }
    return of->count;
}

static bool look_for_alike(suspicion *of, const bl_contour *written,
                           int64_t frame, uint64_t line) {
    size_t behind =
        written->count < TRACED_POINTS ? written->count : behind_fill(written);
    if (behind == written->count) {
        return false;
    }
    if (of->alike == 0) {
        of->alike_line = line;
        of->alike_frame = frame;
        of->alike_radius =
            written->y_mm[(behind + written->count - 1) % written->count];
    }
    of->alike++;
    return true;
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

/* How far the contour's first point lies from 0,0 along the axis where that is
 * more. */
static double distance_of(const bl_contour *of) {
    return of->count == 0 ? 0.0 : fmax(fabs(of->x_mm[0]), fabs(of->y_mm[0]));
}

/* From one angle to the next by the shorter way. */
static double turn_to(double from_deg, double to_deg) {
    return remainder(to_deg - from_deg, 360.0);
}

/* The widest gap between angles, which go round in order: between two of them,
 * or what is left of a turn behind the last. */
static double widest_gap(const bl_contour *of) {
    double turned = 0.0;
    double widest = 0.0;
    for (size_t i = 1; i < of->count; i++) {
        double step = turn_to(of->x_mm[i - 1], of->x_mm[i]);
        turned += step;
        widest = fmax(widest, fabs(step));
    }
    return fmax(widest, 360.0 - fabs(turned));
}

static bool look_for_gap(suspicion *of, const bl_contour *written,
                         int64_t frame, uint64_t line) {
    double gap = written->count < TRACED_POINTS ? 0.0 : widest_gap(written);
    if (!(gap >= OPEN_DEG)) {
        return false;
    }
    if (of->gaps == 0) {
        of->gap_line = line;
        of->gap_frame = frame;
        of->gap_deg = gap;
    }
    of->gaps++;
    return true;
}

bool suspicion_look(suspicion *of, const bl_contour *written, bool polar,
                    int64_t frame, uint64_t line) {
    of->contours += written->count > 0;
    of->points += written->count;
    of->fractions = of->fractions || has_fraction(written, polar);
    of->degrees = of->degrees || !polar || has_degrees(written);
    if (!polar && distance_of(written) > FAR_MM) {
        of->far_mm = of->far == 0 ? distance_of(written) : of->far_mm;
        of->far++;
    }
    if (polar && written->count >= TRACED_POINTS &&
        fabs(written->x_mm[written->count - 1] - written->x_mm[0]) > TURN_DEG) {
        of->beyond_deg = of->beyond == 0 ? written->x_mm[written->count - 1]
                                         : of->beyond_deg;
        of->beyond++;
    }
    bool filled = polar ? has_zero_radius(written) : has_fill(written);
    bool open = polar && look_for_gap(of, written, frame, line);
    if (filled) {
        of->first_line = of->filled == 0 ? line : of->first_line;
        of->first_frame = of->filled == 0 ? frame : of->first_frame;
        of->filled++;
    }
    bool alike = polar && !filled && look_for_alike(of, written, frame, line);
    return filled || open || alike;
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

static bl_status say_alike(const suspicion *of, findings *said) {
    bool one = of->alike == 1;
    text words = {0};
    text_format(&words,
                "%llu contour%s the very same radius at %d neighbouring angles "
                "or more, far from those beside them (",
                (unsigned long long)of->alike, one ? " has" : "s have",
                FILL_ANGLES);
    text_short(&words, of->alike_radius, 4);
    text_format(&words,
                " in frame %lld); if a number fills what was not traced, leave "
                "it out: area and shape are wrong with it",
                (long long)of->alike_frame);
    bl_status status =
        words.failed ? BL_ERR_MEMORY
                     : findings_warn(said, of->alike_line, 0, of->alike_frame,
                                     "%s", text_c(&words));
    text_free(&words);
    return status;
}

static bl_status say_gaps(const suspicion *of, findings *said) {
    bool one = of->gaps == 1;
    return findings_warn(
        said, of->gap_line, 0, of->gap_frame,
        "%llu contour%s no point in a quarter of the turn or more (%d "
        "degrees in frame %lld): angles count from 0 to 360 about the "
        "catheter, and what was not traced is cut off by a straight edge; "
        "correct the angles or leave %s out",
        (unsigned long long)of->gaps, one ? " has" : "s have",
        (int)lround(of->gap_deg), (long long)of->gap_frame,
        one ? "it" : "them");
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

/* How far is anything that a double holds. */
static bl_status say_far(const suspicion *of, findings *said) {
    text words = {0};
    text_add(&words, "most contours lie far from 0,0, the first of them ");
    text_double(&words, round(of->far_mm));
    text_add(&words, " mm; are these pixels? Then give their scale");
    return findings_warn_text(said, 0, -1, &words);
}

bl_status suspicion_say(const suspicion *of, bool polar, bool millimetres,
                        char separator, findings *said) {
    bool traced =
        of->contours > 0 && of->points >= TRACED_POINTS * of->contours;
    bl_status status = BL_OK;
    if (of->filled > 0) {
        status = say_fill(of, polar, said);
    }
    if (status == BL_OK && of->alike > 0) {
        status = say_alike(of, said);
    }
    bool radians = traced && !of->degrees;
    if (status == BL_OK && of->gaps > 0 && !radians) {
        status = say_gaps(of, said);
    }
    if (status == BL_OK && radians) {
        status = findings_warn(said, 0, 0, -1,
                               "no angle is beyond 6.3 degrees; are these "
                               "radians? Then give them in degrees");
    }
    if (status == BL_OK && 2 * of->beyond > of->contours) {
        status = findings_warn(said, 0, 0, -1,
                               "most contours have angles over more than a "
                               "turn, the first of them to %d degrees; are "
                               "these gon, 400 to a turn? Then multiply them "
                               "by 0.9",
                               (int)lround(of->beyond_deg));
    }
    if (status == BL_OK && traced && millimetres && !of->fractions) {
        status = say_whole(polar, separator, said);
    }
    if (status == BL_OK && millimetres && 2 * of->far > of->contours) {
        status = say_far(of, said);
    }
    return status;
}
