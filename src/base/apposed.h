/*
 * apposed.h - whether anything can be said of how a device lies on the wall.
 */
#ifndef BASE_APPOSED_H
#define BASE_APPOSED_H

#include "boreline.h"

/* A gap to the lumen is a gap; but a lumen that ends at the device says nothing
 * of the wall behind it: that takes a vessel contour. */
static inline bool apposed_is_known(const bl_device_state *of) {
    return of->unapposed_count > 0 || of->apposition_frames > of->against_lumen;
}

/* Frames in which the wall itself was seen. */
static inline size_t apposed_frames(const bl_device_state *of) {
    return of->apposition_frames - of->against_lumen;
}

#endif
