/*
 * course.c - where a piecewise linear quantity runs below a level.
 *
 * Between two nodes value - share * level is linear, so each crossing is one
 * division. A node on the level belongs to the stretch below, and is on it
 * when it misses it by no more than rounding: 50.0 % must not print as 50.0 %
 * and yet not count.
 *
 * Everything is linear in the nodes: a walk from one stretch to its shoulder
 * ends where it meets the neighbouring stretch, whose shoulder is then its own.
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
    /* Where every node starts a stretch, each may be one of its own. */
    course_stretch *found = arena_alloc(owner, of->count, sizeof *found);
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

/* Where value reaches back, walking from a node towards the start; `known` is
 * the answer from a node before it, if that node is reached first. */
static course_end end_before(const course *of, size_t node, double back,
                             const course_stretch *other,
                             const course_end *known) {
    for (size_t i = node;; i--) {
        const course_node *here = &of->nodes[i];
        if (excess(here, back) >= 0.0) {
            double x_mm =
                i == node ? here->x_mm : crossing_mm(here, here + 1, back);
            return (course_end){x_mm, false};
        }
        if (here->starts) {
            return (course_end){here->x_mm, true};
        }
        if (other != NULL && i == other->first) {
            return *known;
        }
    }
}

static course_end end_after(const course *of, size_t node, double back,
                            const course_stretch *other,
                            const course_end *known) {
    for (size_t i = node;; i++) {
        const course_node *here = &of->nodes[i];
        if (excess(here, back) >= 0.0) {
            double x_mm =
                i == node ? here->x_mm : crossing_mm(here - 1, here, back);
            return (course_end){x_mm, false};
        }
        if (i + 1 == of->count || here[1].starts) {
            return (course_end){here->x_mm, true};
        }
        if (other != NULL && i == other->last) {
            return *known;
        }
    }
}

void course_shoulders(const course *of, const course_stretch *stretches,
                      size_t count, double back, course_ends *out) {
    for (size_t i = 0; i < count; i++) {
        bool any = i > 0;
        out[i].before = end_before(of, stretches[i].first, back,
                                   any ? &stretches[i - 1] : NULL,
                                   any ? &out[i - 1].before : NULL);
    }
    for (size_t i = count; i-- > 0;) {
        bool any = i + 1 < count;
        out[i].after = end_after(of, stretches[i].last, back,
                                 any ? &stretches[i + 1] : NULL,
                                 any ? &out[i + 1].after : NULL);
    }
}

course_points course_points_of(const course *of,
                               const course_stretch *stretch) {
    const course_node *last = &of->nodes[stretch->last];
    return (course_points){of->nodes[stretch->first].point,
                           last->point + (last->knot ? 0 : 1)};
}
