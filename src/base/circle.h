/*
 * circle.h - area and diameter of a circle: the equivalent diameter of an area
 * and the area that a diameter stands for.
 */
#ifndef BASE_CIRCLE_H
#define BASE_CIRCLE_H

#include "base/constants.h"

#include <math.h>

static inline double circle_diameter_mm(double area_mm2) {
    return 2.0 * sqrt(area_mm2 / PI);
}

static inline double circle_area_mm2(double diameter_mm) {
    return PI / 4.0 * diameter_mm * diameter_mm;
}

#endif
