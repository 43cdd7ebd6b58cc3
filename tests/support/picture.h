/*
 * picture.h - a small figure, a sink that keeps what it is given, and giving
 * back what the drawing libraries hold.
 */
#ifndef SUPPORT_PICTURE_H
#define SUPPORT_PICTURE_H

#include "draw/figure.h"

/* A figure of a line and two words; what is in it does not matter. */
bl_figure *picture_small(double width_mm, double height_mm);

/* A bl_sink over a text. */
bl_status picture_keep(void *context, const char *bytes, size_t size);

/* For the end of a test group: the libraries keep fonts for the whole process.
 * Given back, a leak checker sees what this project forgot and nothing else. */
int picture_release(void **state);

#endif
