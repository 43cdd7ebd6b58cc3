/*
 * allocation.c - allocations that can be made to fail.
 *
 * Linked into the program with --wrap. BORELINE_FAIL_AT=N makes the N-th
 * allocation of our own code and every later one fail, which is how an
 * exhausted machine behaves; on exit the count goes to the file named by
 * BORELINE_COUNT_TO.
 */
#include <errno.h>
#include <stddef.h>
#include <stdio.h>
#include <stdlib.h>

void *__real_malloc(size_t size);
void *__real_calloc(size_t count, size_t size);
void *__real_realloc(void *old, size_t size);
void *__real_aligned_alloc(size_t alignment, size_t size);
char *__real_strdup(const char *text);
void *__wrap_malloc(size_t size);
void *__wrap_calloc(size_t count, size_t size);
void *__wrap_realloc(void *old, size_t size);
void *__wrap_aligned_alloc(size_t alignment, size_t size);
char *__wrap_strdup(const char *text);

static long made;
static long fail_at = -1;

static void report(void) {
    const char *path = getenv("BORELINE_COUNT_TO");
    FILE *to = path == NULL ? NULL : fopen(path, "w");
    if (to != NULL) {
        (void)fprintf(to, "%ld\n", made);
        (void)fclose(to);
    }
}

static int fails(void) {
    if (fail_at < 0) {
        const char *at = getenv("BORELINE_FAIL_AT");
        fail_at = at == NULL ? 0 : strtol(at, NULL, 10);
        (void)atexit(report);
    }
    made++;
    if (fail_at > 0 && made >= fail_at) {
        errno = ENOMEM; /* as the real ones do */
        return 1;
    }
    return 0;
}

void *__wrap_malloc(size_t size) {
    return fails() ? NULL : __real_malloc(size);
}

void *__wrap_calloc(size_t count, size_t size) {
    return fails() ? NULL : __real_calloc(count, size);
}

void *__wrap_realloc(void *old, size_t size) {
    return fails() ? NULL : __real_realloc(old, size);
}

void *__wrap_aligned_alloc(size_t alignment, size_t size) {
    return fails() ? NULL : __real_aligned_alloc(alignment, size);
}

char *__wrap_strdup(const char *text) {
    return fails() ? NULL : __real_strdup(text);
}
