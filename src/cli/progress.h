/*
 * progress.h - how far a long reading has come, for somebody who waits.
 */
#ifndef CLI_PROGRESS_H
#define CLI_PROGRESS_H

#include <stdbool.h>
#include <stdint.h>
#include <time.h>

typedef struct progress {
    bool is_shown; /* standard error is a terminal */
    bool is_begun; /* something was written */
    struct timespec start;
    uint64_t last; /* tenths of a second at which it was written last */
} progress;

void progress_begin(progress *out);

/* For bl_read_options: writes once the work has lasted a second, then ten times
 * a second at most. */
void progress_step(void *context, uint64_t bytes, uint64_t total);

/* Wipes the line. */
void progress_end(progress *of);

#endif
