/*
 * failing.h - malloc, calloc and realloc that fail from the n-th call on, for a
 * test program that the Makefile links with --wrap.
 *
 * For one source file of such a program: it defines what it declares.
 */
#ifndef FAULTS_FAILING_H
#define FAULTS_FAILING_H

#include <stdbool.h>
#include <stddef.h>

void *__real_malloc(size_t size);
void *__real_calloc(size_t count, size_t size);
void *__real_realloc(void *old, size_t size);
void *__wrap_malloc(size_t size);
void *__wrap_calloc(size_t count, size_t size);
void *__wrap_realloc(void *old, size_t size);

static size_t failing_made; /* calls so far */
static size_t failing_from; /* 0: none fails */

static bool failing_now(void) {
    failing_made++;
    return failing_from > 0 && failing_made >= failing_from;
}

void *__wrap_malloc(size_t size) {
    return failing_now() ? NULL : __real_malloc(size);
}

void *__wrap_calloc(size_t count, size_t size) {
    return failing_now() ? NULL : __real_calloc(count, size);
}

void *__wrap_realloc(void *old, size_t size) {
    return failing_now() ? NULL : __real_realloc(old, size);
}

#endif
