/*
 * profile.c - from rows to a profile along the vessel.
 *
 * A stretch is a run of usable frames no more than GAP_MM apart. Smoothing
 * never reaches across a gap. Equivalent diameter follows from the smoothed
 * area, so that the two never contradict each other.
 */
#include "profile/profile.h"

#include "base/circle.h"
#include "base/constants.h"
#include "base/sum.h"
#include "profile/median.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

bool profile_is_usable_lumen(const bl_row *row) {
    return row->kind == BL_KIND_LUMEN &&
           (row->measures.flags & BL_FLAGS_LEFT_OUT) == 0;
}

static void sort_rows(const bl_row *rows, size_t row_count, const double *scale,
                      profile *out) {
    for (size_t i = 0; i < row_count; i++) {
        const bl_row *row = &rows[i];
        if (row->kind != BL_KIND_LUMEN) {
            continue;
        }
        if (!profile_is_usable_lumen(row)) {
            out->left_out[out->left_out_count++] = i;
            continue;
        }
        bl_profile_point *point = &out->points[out->count];
        double by = scale == NULL ? 1.0 : scale[out->count];
        double area = row->measures.area_mm2 * by * by;
        *point = (bl_profile_point){
            .row = i,
            .position_mm = row->position_mm,
            .raw_area_mm2 = area,
            .area_mm2 = area,
            .perimeter_mm = row->measures.perimeter_mm * by,
            .min_diameter_mm = row->measures.min_diameter_mm * by,
            .max_diameter_mm = row->measures.max_diameter_mm * by,
            .reference_area_mm2 = UNKNOWN,
        };
        if (out->count == 0) {
            point->after_gap = true;
        } else if (point->position_mm - point[-1].position_mm > GAP_MM) {
            point->after_gap = true;
            out->gaps[out->gap_count++] =
                (bl_span){point[-1].position_mm, point->position_mm};
        }
        out->count++;
    }
}

size_t profile_stretch_end(const bl_profile_point *points, size_t count,
                           size_t first) {
    size_t end = first + 1;
    while (end < count && !points[end].after_gap) {
        end++;
    }
    return end;
}

/* Working memory for smoothing one stretch. */
typedef struct smoothing {
    double width_mm;
    double *x_mm;
    double *values;
    double *smooth;
    median_slot *slots;
} smoothing;

/* Smooths the double at byte `offset` of every point of one stretch. */
static void smooth_field(const smoothing *with, bl_profile_point *points,
                         size_t count, size_t offset) {
    for (size_t i = 0; i < count; i++) {
        const char *field = (const char *)&points[i] + offset;
        with->x_mm[i] = points[i].position_mm;
        memcpy(&with->values[i], field, sizeof *with->values);
    }
    median_running(with->x_mm, with->values, count, with->width_mm, with->slots,
                   with->smooth);
    for (size_t i = 0; i < count; i++) {
        memcpy((char *)&points[i] + offset, &with->smooth[i],
               sizeof *with->smooth);
    }
}

static void smooth_stretches(const smoothing *with, profile *of) {
    static const size_t fields[] = {
        offsetof(bl_profile_point, area_mm2),
        offsetof(bl_profile_point, perimeter_mm),
        offsetof(bl_profile_point, min_diameter_mm),
        offsetof(bl_profile_point, max_diameter_mm),
    };
    for (size_t first = 0; first < of->count;) {
        size_t end = profile_stretch_end(of->points, of->count, first);
        for (size_t f = 0; f < sizeof fields / sizeof fields[0]; f++) {
            smooth_field(with, of->points + first, end - first, fields[f]);
        }
        first = end;
    }
}

static bl_status smooth_all(profile *of, double width_mm) {
    size_t count = of->count;
    double *numbers = calloc(3 * count + 1, sizeof *numbers);
    median_slot *slots = calloc(count + 1, sizeof *slots);
    bl_status status = numbers == NULL || slots == NULL ? BL_ERR_MEMORY : BL_OK;
    if (status == BL_OK) {
        smoothing with = {width_mm, numbers, numbers + count,
                          numbers + 2 * count, slots};
        smooth_stretches(&with, of);
    }
    free(numbers);
    free(slots);
    return status;
}

bl_status profile_build(const bl_row *rows, size_t row_count, double smooth_mm,
                        const double *scale, arena *owner, profile *out) {
    size_t usable = 0;
    size_t left_out = 0;
    for (size_t i = 0; i < row_count; i++) {
        if (rows[i].kind == BL_KIND_LUMEN) {
            *(profile_is_usable_lumen(&rows[i]) ? &usable : &left_out) += 1;
        }
    }
    profile built = {
        .points = arena_alloc(owner, usable, sizeof *built.points),
        .left_out = arena_alloc(owner, left_out, sizeof *built.left_out),
        .gaps = arena_alloc(owner, usable, sizeof *built.gaps),
    };
    if (built.points == NULL || built.left_out == NULL || built.gaps == NULL) {
        return BL_ERR_MEMORY;
    }
    sort_rows(rows, row_count, scale, &built);
    if (smooth_all(&built, smooth_mm) != BL_OK) {
        return BL_ERR_MEMORY;
    }
    for (size_t i = 0; i < built.count; i++) {
        built.points[i].equivalent_diameter_mm =
            circle_diameter_mm(built.points[i].area_mm2);
    }
    *out = built;
    return BL_OK;
}

size_t profile_lower_bound(const profile *of, double position_mm) {
    size_t low = 0;
    size_t high = of->count;
    while (low < high) {
        size_t middle = low + (high - low) / 2;
        if (of->points[middle].position_mm < position_mm) {
            low = middle + 1;
        } else {
            high = middle;
        }
    }
    return low;
}

double profile_volume_mm3(const bl_profile_point *points, size_t count,
                          double *traced_mm) {
    sum volume = {0};
    sum length = {0};
    for (size_t i = 1; i < count; i++) {
        if (points[i].after_gap) {
            continue;
        }
        double step = points[i].position_mm - points[i - 1].position_mm;
        sum_add(&length, step);
        sum_add(&volume,
                0.5 * step *
                    (points[i].raw_area_mm2 + points[i - 1].raw_area_mm2));
    }
    *traced_mm = sum_value(&length);
    return sum_value(&volume);
}

double profile_weight_mm(const bl_profile_point *points, size_t count,
                         size_t i) {
    double before = points[i].after_gap
                        ? 0.0
                        : points[i].position_mm - points[i - 1].position_mm;
    double after = i + 1 == count || points[i + 1].after_gap
                       ? 0.0
                       : points[i + 1].position_mm - points[i].position_mm;
    return 0.5 * (before + after);
}

double profile_flatness(const bl_profile_point *point) {
    return point->min_diameter_mm * PI / point->perimeter_mm;
}
