/*
 * crossing.c - does a contour cross itself? A plane sweep.
 *
 * A line sweeps over the vertices in lexicographic order (x, then y, as if
 * the plane were tilted a little, so that no edge is vertical) and keeps the
 * edges it meets in order from below (Shamos and Hoey 1976). Two edges that
 * cross in their interiors are neighbours before they cross, so testing each
 * new pair of neighbours finds the first crossing before the order is wrong.
 *
 * Everything else that can happen, happens at a vertex. There all edges
 * through the point are neighbours in the order. Each chain of the contour
 * through the point has two arms; going round the point, chains that only
 * touch nest like brackets, chains that cross do not. Two arms in one
 * direction are edges running along each other.
 *
 * Only input coordinates enter, through exact predicates: the answer is exact
 * and the order never breaks. O(n log n).
 */
#include "geometry/crossing.h"

#include "geometry/orient.h"
#include "geometry/status.h"

#include <assert.h>
#include <stdlib.h>

#define NONE (-1)

typedef struct event {
    double x;
    double y;
    int32_t vertex;
} event;

/* One way out of the point of an event. */
typedef struct arm {
    double from_x; /* the event's point, so that sorting needs nothing else */
    double from_y;
    double x;
    double y;
    bool leftward;
    int32_t chain;
    int32_t edge;
} arm;

struct crossing_finder {
    const double *x;
    const double *y;
    int32_t count;
    event *events;
    arm *arms;
    int32_t *open; /* chains met once while going round a point */
    size_t capacity;
    status_tree status;
    size_t work;
};

crossing_finder *crossing_new(void) {
    return calloc(1, sizeof(crossing_finder));
}

void crossing_free(crossing_finder *finder) {
    if (finder != NULL) {
        free(finder->events);
        free(finder->arms);
        free(finder->open);
        status_free(&finder->status);
        free(finder);
    }
}

size_t crossing_work(const crossing_finder *finder) {
    return finder->work;
}

static bool reserve(crossing_finder *in, size_t count) {
    if (count > in->capacity) {
        event *events = realloc(in->events, count * sizeof *events);
        in->events = events != NULL ? events : in->events;
        /* A point has at most two arms a vertex on it and two an edge through
         * it, and each of those belongs to one vertex or edge. */
        arm *arms = realloc(in->arms, 4 * count * sizeof *arms);
        in->arms = arms != NULL ? arms : in->arms;
        int32_t *open = realloc(in->open, 4 * count * sizeof *open);
        in->open = open != NULL ? open : in->open;
        if (events == NULL || arms == NULL || open == NULL) {
            return false;
        }
        in->capacity = count;
    }
    return status_reset(&in->status, count);
}

static bool before(double ax, double ay, double bx, double by) {
    return ax < bx || (ax <= bx && ay < by);
}

static int by_place(const void *left, const void *right) {
    const event *a = left;
    const event *b = right;
    return before(b->x, b->y, a->x, a->y) - before(a->x, a->y, b->x, b->y);
}

static int32_t next_vertex(const crossing_finder *in, int32_t i) {
    return i + 1 == in->count ? 0 : i + 1;
}

/* Edge i runs from vertex i to the next; its left end comes first. */
static void edge_ends(const crossing_finder *in, int32_t edge, int32_t *left,
                      int32_t *right) {
    int32_t a = edge;
    int32_t b = next_vertex(in, edge);
    bool forward = before(in->x[a], in->y[a], in->x[b], in->y[b]);
    *left = forward ? a : b;
    *right = forward ? b : a;
}

/* 1 when the point is above the edge, 0 on it, -1 below. */
static int side_of_edge(crossing_finder *in, int32_t edge, double x, double y) {
    int32_t l;
    int32_t r;
    edge_ends(in, edge, &l, &r);
    in->work++;
    return orient_sign(in->x[l], in->y[l], in->x[r], in->y[r], x, y);
}

static bool cross_inside(crossing_finder *in, int32_t a, int32_t b) {
    int32_t al;
    int32_t ar;
    int32_t bl;
    int32_t br;
    if (a == NONE || b == NONE) {
        return false;
    }
    edge_ends(in, a, &al, &ar);
    edge_ends(in, b, &bl, &br);
    return side_of_edge(in, a, in->x[bl], in->y[bl]) *
                   side_of_edge(in, a, in->x[br], in->y[br]) <
               0 &&
           side_of_edge(in, b, in->x[al], in->y[al]) *
                   side_of_edge(in, b, in->x[ar], in->y[ar]) <
               0;
}

/* The lowest edge that the point is on or below; *last_below the one under
 * it. Both may be NONE. */
static int32_t find_place(crossing_finder *in, double x, double y,
                          int32_t *last_below) {
    const status_node *nodes = in->status.nodes;
    int32_t found = NONE;
    int32_t under = NONE;
    for (int32_t at = in->status.root; at != NONE;) {
        if (side_of_edge(in, at, x, y) > 0) {
            under = at;
            at = nodes[at].child[1];
        } else {
            found = at;
            at = nodes[at].child[0];
        }
    }
    *last_below = under;
    return found;
}

static int by_direction(const void *left, const void *right) {
    const arm *a = left;
    const arm *b = right;
    if (a->leftward != b->leftward) {
        return a->leftward - b->leftward;
    }
    return -orient_sign(a->from_x, a->from_y, a->x, a->y, b->x, b->y);
}

static void add_arm(crossing_finder *in, size_t *count, const event *at,
                    int32_t tip, int32_t chain, int32_t edge) {
    in->arms[(*count)++] = (arm){
        .from_x = at->x,
        .from_y = at->y,
        .x = in->x[tip],
        .y = in->y[tip],
        .leftward = before(in->x[tip], in->y[tip], at->x, at->y),
        .chain = chain,
        .edge = edge,
    };
}

/* True when two arms coincide or two chains do not nest. Arms are sorted. */
static bool arms_cross(crossing_finder *in, size_t count) {
    size_t held = 0;
    for (size_t i = 0; i < count; i++) {
        const arm *here = &in->arms[i];
        if (i > 0 && by_direction(here - 1, here) == 0) {
            return true;
        }
        if (held > 0 && in->open[held - 1] == here->chain) {
            held--;
        } else {
            in->open[held++] = here->chain;
        }
    }
    return held != 0;
}

static bool ends_at(const crossing_finder *in, int32_t vertex,
                    const event *at) {
    return !before(in->x[vertex], in->y[vertex], at->x, at->y) &&
           !before(at->x, at->y, in->x[vertex], in->y[vertex]);
}

/* Arms of the vertices at the point, then of edges passing through it; the
 * edges that end here leave the order. *low and *high become the neighbours
 * below and above all that is left at the point; returns the arms. */
static size_t gather(crossing_finder *in, const event *at, size_t vertices,
                     int32_t *low, int32_t *high) {
    size_t count = 0;
    for (size_t v = 0; v < vertices; v++) {
        int32_t i = at[v].vertex;
        int32_t previous = i == 0 ? in->count - 1 : i - 1;
        add_arm(in, &count, at, previous, i, previous);
        add_arm(in, &count, at, next_vertex(in, i), i, i);
    }
    int32_t edge = find_place(in, at->x, at->y, low);
    while (edge != NONE && side_of_edge(in, edge, at->x, at->y) == 0) {
        int32_t above = in->status.nodes[edge].beside[1];
        int32_t l;
        int32_t r;
        edge_ends(in, edge, &l, &r);
        if (ends_at(in, r, at)) {
            status_remove(&in->status, edge);
        } else {
            add_arm(in, &count, at, l, in->count + edge, NONE);
            add_arm(in, &count, at, r, in->count + edge, edge);
        }
        edge = above;
    }
    *high = edge;
    return count;
}

/* Puts the edges that start here into the order; rightward arms come first
 * and rise. Edges passing through are there already and are stepped over. */
static void enter(crossing_finder *in, size_t count, int32_t low,
                  int32_t *lowest, int32_t *highest) {
    int32_t under = low;
    *lowest = NONE;
    *highest = NONE;
    for (size_t i = 0; i < count && !in->arms[i].leftward; i++) {
        const arm *here = &in->arms[i];
        if (here->chain < in->count) {
            bool above = under != NONE;
            int32_t near = above ? under : status_lowest(&in->status);
            status_insert(&in->status, here->edge, near, above);
        }
        under = here->edge;
        if (*lowest == NONE) {
            *lowest = under;
        }
        *highest = under;
    }
}

static bool sweep_point(crossing_finder *in, const event *at, size_t vertices) {
    int32_t low;
    int32_t high;
    size_t count = gather(in, at, vertices, &low, &high);
    qsort(in->arms, count, sizeof *in->arms, by_direction);
    if (arms_cross(in, count)) {
        return true;
    }
    int32_t lowest;
    int32_t highest;
    enter(in, count, low, &lowest, &highest);
    if (lowest == NONE) {
        return cross_inside(in, low, high);
    }
    return cross_inside(in, low, lowest) || cross_inside(in, highest, high);
}

bl_status crossing_find(crossing_finder *in, const double *x, const double *y,
                        size_t count, bool *crosses) {
    assert(count >= 3 && count <= INT32_MAX / 4);
    if (!reserve(in, count)) {
        return BL_ERR_MEMORY;
    }
    in->x = x;
    in->y = y;
    in->count = (int32_t)count;
    in->work = 0;
    for (size_t i = 0; i < count; i++) {
        in->events[i] = (event){x[i], y[i], (int32_t)i};
    }
    qsort(in->events, count, sizeof *in->events, by_place);
    *crosses = false;
    for (size_t i = 0; i < count && !*crosses;) {
        size_t end = i + 1;
        while (end < count && by_place(&in->events[i], &in->events[end]) == 0) {
            end++;
        }
        *crosses = sweep_point(in, &in->events[i], end - i);
        i = end;
    }
    return BL_OK;
}
