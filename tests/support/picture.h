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

/* Says which texts of a figure meet each other or leave the page: how many. */
size_t picture_texts(const bl_figure *of, const char *what);

/* Whether the words stand in it, texts taken one after another. */
bool picture_says(const bl_figure *of, const char *words);

/* Page sizes to try: common, small, narrow, flat, large. */
#define PICTURE_PAGES 9
extern const double picture_pages[PICTURE_PAGES][2];

/* For the end of a test group: the libraries keep fonts for the whole process.
 * Given back, a leak checker sees what this project forgot and nothing else. */
int picture_release(void **state);

#endif
