/*
 * gather.c - points become contours.
 *
 * Points are kept as written and brought to millimetres, y up, when their
 * contour is complete. Polar angles are in degrees about the catheter, which
 * is the origin.
 */
#include "read/gather.h"

#include "base/constants.h"
#include "base/limits.h"

#include <math.h>
#include <stdlib.h>

void gather_free(gather *of) {
    free(of->x);
    free(of->y);
    of->x = NULL;
    of->y = NULL;
}

static bool more_room(gather *to) {
    size_t capacity = to->capacity == 0 ? 256 : 2 * to->capacity;
    double *x = realloc(to->x, capacity * sizeof *x);
    to->x = x != NULL ? x : to->x;
    double *y = realloc(to->y, capacity * sizeof *y);
    to->y = y != NULL ? y : to->y;
    if (x == NULL || y == NULL) {
        return false;
    }
    to->capacity = capacity;
    return true;
}

bl_status gather_point(gather *to, double x, double y) {
    if (to->count >= LIMIT_POINTS) {
        return message_set(to->message, BL_ERR_LIMIT, to->now.line, 1,
                           "frame %lld has more than %d points, the limit of "
                           "a contour; does the frame column change?",
                           (long long)to->now.frame, LIMIT_POINTS);
    }
    if (to->count == to->capacity && !more_room(to)) {
        return message_memory(to->message);
    }
    to->x[to->count] = x;
    to->y[to->count] = y;
    to->count++;
    return BL_OK;
}

bl_status gather_marks(gather *to, bool comma, bool point, uint64_t number) {
    uint64_t comma_line =
        comma && to->comma_line == 0 ? number : to->comma_line;
    uint64_t point_line =
        point && to->point_line == 0 ? number : to->point_line;
    if (comma_line != 0 && point_line != 0 && (comma || point)) {
        uint64_t other = comma ? point_line : comma_line;
        return message_set(
            to->message, BL_ERR_INPUT, number, 1,
            "a decimal %s here and a decimal %s on line %llu; a table has one "
            "decimal mark: take out commas or points between thousands",
            comma ? "comma" : "point", comma ? "point" : "comma",
            (unsigned long long)other);
    }
    to->comma_line = comma_line;
    to->point_line = point_line;
    return BL_OK;
}

void gather_unscaled(gather *to) {
    to->unscaled = true;
    to->scale_x = 0x1p-20;
    to->scale_y = 0x1p-20;
}

bool gather_in_pixels(gather_units units) {
    return units == UNITS_PX || units == UNITS_POLAR_PX;
}

bool gather_in_angles(gather_units units) {
    return units == UNITS_POLAR_MM || units == UNITS_POLAR_PX;
}

static void to_millimetres(gather *of) {
    bool polar = gather_in_angles(of->units);
    bool pixels = gather_in_pixels(of->units);
    double sx = pixels ? of->scale_x : 1.0;
    double sy = pixels ? of->scale_y : 1.0;
    sy = of->y_down ? -sy : sy;
    for (size_t i = 0; i < of->count; i++) {
        double x = of->x[i];
        double y = of->y[i];
        if (polar) {
            /* 360 degrees repeat 0 to the last bit. */
            double angle = fmod(x, 360.0) / DEG_PER_RAD;
            x = y * cos(angle);
            y = y * sin(angle);
        }
        of->x[i] = x * sx;
        of->y[i] = y * sy;
    }
}

bl_status gather_end(gather *to) {
    if (!to->open) {
        return BL_OK;
    }
    to->open = false;
    to->now.contour = (bl_contour){to->x, to->y, to->count};
    to->now.doubted = suspicion_look(&to->suspicion, &to->now.contour,
                                     gather_in_angles(to->units), to->now.frame,
                                     to->now.line);
    if (to->units != UNITS_MM || to->y_down) {
        to_millimetres(to);
    }
    to->points += to->count;
    return to->receiver(to->context, &to->now);
}

bl_status gather_start(gather *to, const read_contour *heading) {
    bl_status status = gather_end(to);
    to->now = *heading;
    to->count = 0;
    to->open = true;
    return status;
}
