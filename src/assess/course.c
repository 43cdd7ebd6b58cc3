/*
 * course.c - where a piecewise linear quantity runs below a level.
 *
 * Between two nodes value - share * level is linear, so each crossing is one
 * division. A node on the level belongs to the stretch below, and is on it
 * when it misses it by no more than rounding: 50.0 % must not print as 50.0 %
 * and yet not count.
 */
#include "assess/course.h"

#include <math.h>

#define ROUNDING 1e-12

static double excess(const course_node *node, double share) {
    return node->value - share * node->level;
}

static bool is_below(const course_node *node, double share) {
    return excess(node, share) <= ROUNDING * node->level;
}

/* Where excess is 0 between two nodes of opposite sign. */
static double crossing_mm(const course_node *a, const course_node *b,
                          double share) {
    double before = excess(a, share);
    double after = excess(b, share);
    double part = before / (before - after);
    return a->x_mm + fmin(fmax(part, 0.0), 1.0) * (b->x_mm - a->x_mm);
}

static bool joins(const course *of, const course_stretch *before,
                  const course_stretch *next, double back, double join_mm) {
    if (next->span.from_mm - before->span.to_mm >= join_mm) {
        return false;
    }
    for (size_t i = before->last + 1; i <= next->first; i++) {
        if (of->nodes[i].starts || excess(&of->nodes[i], back) >= 0.0) {
            return false;
        }
    }
    return true;
}

bl_status course_below(const course *of, double share, double back,
                       double join_mm, arena *owner, course_stretch **out,
                       size_t *count) {
    course_stretch *found =
        arena_alloc(owner, of->count / 2 + 1, sizeof *found);
    if (found == NULL) {
        return BL_ERR_MEMORY;
    }
    size_t held = 0;
    for (size_t i = 0; i < of->count; i++) {
        const course_node *node = &of->nodes[i];
        if (!is_below(node, share)) {
            continue;
        }
        course_stretch next = {{node->x_mm, node->x_mm}, i, i};
        if (!node->starts) {
            next.span.from_mm = crossing_mm(node - 1, node, share);
        }
        while (next.last + 1 < of->count && !of->nodes[next.last + 1].starts &&
               is_below(&of->nodes[next.last + 1], share)) {
            next.last++;
        }
        next.span.to_mm = of->nodes[next.last].x_mm;
        if (next.last + 1 < of->count && !of->nodes[next.last + 1].starts) {
            next.span.to_mm = crossing_mm(&of->nodes[next.last],
                                          &of->nodes[next.last + 1], share);
        }
        i = next.last;
        if (held > 0 && joins(of, &found[held - 1], &next, back, join_mm)) {
            found[held - 1].span.to_mm = next.span.to_mm;
            found[held - 1].last = next.last;
        } else {
            found[held++] = next;
        }
    }
    *out = found;
    *count = held;
    return BL_OK;
}

double course_back_before_mm(const course *of, size_t node, double share,
                             bool *open) {
    *open = false;
    for (size_t i = node;; i--) {
        const course_node *here = &of->nodes[i];
        if (excess(here, share) >= 0.0) {
            return i == node ? here->x_mm : crossing_mm(here, here + 1, share);
        }
        if (here->starts) {
            *open = true;
            return here->x_mm;
        }
    }
}

double course_back_after_mm(const course *of, size_t node, double share,
                            bool *open) {
    *open = false;
    for (size_t i = node;; i++) {
        const course_node *here = &of->nodes[i];
        if (excess(here, share) >= 0.0) {
            return i == node ? here->x_mm : crossing_mm(here - 1, here, share);
        }
        if (i + 1 == of->count || here[1].starts) {
            *open = true;
            return here->x_mm;
        }
    }
}
