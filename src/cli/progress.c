/*
 * progress.c - how far a long reading has come, for somebody who waits.
 */
#include "cli/progress.h"

#include <stdio.h>
#include <unistd.h>

#define TENTHS_BEFORE 10

void progress_begin(progress *out) {
    *out = (progress){.is_shown = isatty(STDERR_FILENO) == 1};
    (void)clock_gettime(CLOCK_MONOTONIC, &out->start);
}

static uint64_t tenths_since(const struct timespec *start) {
    struct timespec now;
    (void)clock_gettime(CLOCK_MONOTONIC, &now);
    int64_t nanoseconds = (int64_t)(now.tv_sec - start->tv_sec) * 1000000000 +
                          (now.tv_nsec - start->tv_nsec);
    return (uint64_t)nanoseconds / 100000000;
}

void progress_step(void *context, uint64_t bytes, uint64_t total) {
    progress *of = context;
    if (!of->is_shown) {
        return;
    }
    uint64_t now = tenths_since(&of->start);
    if (now < TENTHS_BEFORE || now == of->last) {
        return;
    }
    of->last = now;
    of->is_begun = true;
    if (total > 0) {
        (void)fprintf(stderr, "\rboreline: %llu %% read",
                      (unsigned long long)(bytes * 100 / total));
    } else {
        (void)fprintf(stderr, "\rboreline: %llu MB read",
                      (unsigned long long)(bytes / 1000000));
    }
    (void)fflush(stderr);
}

void progress_end(progress *of) {
    if (of->is_begun) {
        (void)fprintf(stderr, "\r%*s\r", 40, "");
        (void)fflush(stderr);
    }
}
