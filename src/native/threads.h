/*
 * threads.h - contours measured on several threads.
 */
#ifndef NATIVE_THREADS_H
#define NATIVE_THREADS_H

#include "boreline.h"

typedef struct threads threads;

/* Makes the study hand its contours to `count` >= 2 threads, the caller's
 * among them. They start when there is a batch of contours to measure, so a
 * small table needs none. NULL when memory is out. */
threads *threads_new(bl_study *study, unsigned count);

/* After bl_study_finish, or after it will not be called. */
void threads_free(threads *of);

#endif
