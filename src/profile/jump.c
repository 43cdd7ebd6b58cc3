/*
 * jump.c - single frames whose area is unlike that of their neighbours.
 *
 * A median of five passes over one or two stray values and follows a step and
 * any steady slope exactly: the middle of five rising values is their median.
 * So strays are found, and a true narrowing's edge is not.
 */
#include "profile/jump.h"

#include "base/constants.h"
#include "profile/median.h"
#include "profile/profile.h"

#include <math.h>

#define WINDOW 5
#define MIDDLE 2
#define RATIO_MOST 1.5

static double median_of_window(bl_row *const window[WINDOW]) {
    double areas[WINDOW];
    for (size_t i = 0; i < WINDOW; i++) {
        areas[i] = window[i]->measures.area_mm2;
    }
    return median_of_few(areas, WINDOW);
}

/* Without a scale areas may be too large to be known. */
static bool has_area(const bl_row *row) {
    return profile_is_usable_lumen(row) && isfinite(row->measures.area_mm2);
}

/* Frames on either side no further than a gap. */
static bool is_near(bl_row *const window[WINDOW]) {
    return window[0] != NULL &&
           window[MIDDLE]->position_mm - window[0]->position_mm <= GAP_MM &&
           window[WINDOW - 1]->position_mm - window[MIDDLE]->position_mm <=
               GAP_MM;
}

void jump_flag(bl_row *rows, size_t count) {
    bl_row *window[WINDOW] = {NULL};
    for (size_t i = 0; i < count; i++) {
        if (!has_area(&rows[i])) {
            continue;
        }
        for (size_t k = 1; k < WINDOW; k++) {
            window[k - 1] = window[k];
        }
        window[WINDOW - 1] = &rows[i];
        if (!is_near(window)) {
            continue;
        }
        double median = median_of_window(window);
        double area = window[MIDDLE]->measures.area_mm2;
        if (area > median * RATIO_MOST || area * RATIO_MOST < median) {
            window[MIDDLE]->measures.flags |= BL_FLAG_JUMP;
        }
    }
}
