/*
 * facing.c - vectors in order of direction, in blocks.
 */
#include "geometry/facing.h"

#include "geometry/lanes.h"
#include "geometry/opposite.h"

#include <math.h>
#include <stdlib.h>

#define WIDE ((size_t)8)

void facing_free(facing *of) {
    free(of->start_x);
    free(of->across);
    *of = (facing){0};
}

static bool reserve(facing *in, size_t blocks) {
    if (blocks <= in->capacity) {
        return true;
    }
    double *starts = malloc(2 * blocks * sizeof *starts);
    uint32_t *across = malloc(blocks * sizeof *across);
    if (starts == NULL || across == NULL) {
        free(starts);
        free(across);
        return false;
    }
    free(in->start_x);
    free(in->across);
    in->start_x = starts;
    in->start_y = starts + blocks;
    in->across = across;
    in->capacity = blocks;
    return true;
}

static bool take_blocks(facing *out, size_t width) {
    size_t blocks = (out->count + width - 1) / width;
    if (!reserve(out, blocks)) {
        return false;
    }
    out->width = width;
    out->blocks = blocks;
    for (size_t k = 0; k < blocks; k++) {
        out->start_x[k] = out->x[k * width];
        out->start_y[k] = out->y[k * width];
    }
    return true;
}

/* Then what is opposite to a block is less than a quarter of a turn too, and
 * cannot leave a block and come back to it. */
static bool are_narrow(const facing *of) {
    const double *x = of->start_x;
    const double *y = of->start_y;
    bool narrow = of->blocks > 4;
    for (size_t k = 0; k < of->blocks; k++) {
        size_t next = facing_after(of, k);
        narrow = narrow && x[k] * x[next] + y[k] * y[next] > 0.0 &&
                 x[k] * y[next] - y[k] * x[next] > 0.0;
    }
    return narrow;
}

bool facing_find(facing *out, const double *x, const double *y, size_t count) {
    out->x = x;
    out->y = y;
    out->count = count;
    if (!take_blocks(out, WIDE)) {
        return false;
    }
    out->narrow = are_narrow(out);
    if (!out->narrow && !take_blocks(out, 1)) {
        return false;
    }
    out->steps =
        opposite_find(out->start_x, out->start_y, out->blocks, out->across);
    return true;
}

facing_worth facing_worth_of(const facing *of, size_t block, const double *near,
                             const double *far, double least, double most) {
    if (!of->narrow) {
        return (facing_worth){0.0, HUGE_VAL};
    }
    size_t last = of->across[facing_after(of, block)];
    size_t k = of->across[block];
    double nearest = near[k];
    double furthest = far[k];
    while (k != last) {
        k = facing_after(of, k);
        nearest = lesser(near[k], nearest);
        furthest = larger(far[k], furthest);
    }
    double beyond = larger(most - furthest, 0.0);
    double within = larger(least - nearest, 0.0);
    return (facing_worth){beyond * beyond, within * within};
}

void facing_seek_about(facing *of, size_t block, double x, double y,
                       double slack, bool up, size_t *at) {
    size_t last = facing_end(of, of->across[facing_after(of, block)]) - 1;
    while (*at != last) {
        size_t next = *at + 1 < of->count ? *at + 1 : 0;
        double nx = of->x[next];
        double ny = of->y[next];
        /* The sine of the way on, with both lengths. */
        double turn = x * ny - y * nx;
        double most = slack * sqrt((x * x + y * y) * (nx * nx + ny * ny));
        if (turn < (up ? -most : most)) {
            break;
        }
        *at = next;
        of->steps++;
    }
}
