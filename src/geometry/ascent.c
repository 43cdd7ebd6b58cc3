/*
 * ascent.c - from a circle inside a contour to one that is locally largest.
 *
 * A linear programme in (x, y, clearance) by the dual simplex method: three
 * edges whose directions surround the origin give the point where their
 * distances, taken as planes, are equal; the edge nearest to that point enters
 * and one of the three leaves. Distances are curved, so the planes are laid
 * anew at every point, as Newton's method would. At first the three are none
 * of the contour's but slopes that let the circle grow by the trust.
 */
#include "geometry/ascent.h"

#include "geometry/bound.h"
#include "geometry/lanes.h"

#include <math.h>

#define SLOPE UINT32_MAX
#define EXCHANGES 32
/* The ascent ends where the planes promise less than this part of the radius,
 * or where the trust, which no gain exceeds, is so small. */
#define GAIN_ENDS 1e-11
#define TRUST_ENDS 1e-7

typedef struct climb {
    edge_set *edges;
    circle *best;
    double x;
    double y;
    edge_view at[3]; /* planes, as seen from (x, y) */
    double least_gain;
} climb;

static void lay_slopes(climb *of, double trust) {
    static const double away[3][2] = {
        {1.0, 0.0}, {-0.5, 0.8660254037844386}, {-0.5, -0.8660254037844386}};
    of->x = of->best->x;
    of->y = of->best->y;
    for (int i = 0; i < 3; i++) {
        of->at[i] = (edge_view){of->best->radius + trust, away[i][0],
                                away[i][1], SLOPE};
    }
}

/* The edge takes the place of one of the three so that the others and it still
 * surround the origin. False when no two of them do. */
static bool enter(climb *of, const edge_view *edge) {
    for (int i = 0; i < 3; i++) {
        if (of->at[i].edge == edge->edge) {
            of->at[i] = *edge;
            return true;
        }
    }
    int leaves = -1;
    double best = -1e-9;
    for (int i = 0; i < 3; i++) {
        const edge_view *b = &of->at[(i + 1) % 3];
        const edge_view *c = &of->at[(i + 2) % 3];
        double we = b->gx * c->gy - b->gy * c->gx;
        double wb = c->gx * edge->gy - c->gy * edge->gx;
        double wc = edge->gx * b->gy - edge->gy * b->gx;
        double total = we + wb + wc;
        double least = lesser(lesser(we / total, wb / total), wc / total);
        if (fabs(total) > 1e-9 && least > best) {
            best = least;
            leaves = i;
        }
    }
    if (leaves >= 0) {
        of->at[leaves] = *edge;
    }
    return leaves >= 0;
}

/* Moves by a step and lays the planes anew. False when that leads outside. */
static bool move(climb *of, double dx, double dy) {
    const circle *best = of->best;
    of->x += dx;
    of->y += dy;
    double from_x = of->x - best->x;
    double from_y = of->y - best->y;
    if (from_x * from_x + from_y * from_y >= best->radius * best->radius &&
        !edges_inside(of->edges, of->x, of->y)) {
        return false;
    }
    for (int i = 0; i < 3; i++) {
        if (of->at[i].edge == SLOPE) {
            of->at[i].distance += dx * of->at[i].gx + dy * of->at[i].gy;
        } else {
            of->at[i] = edges_view(of->edges, of->at[i].edge, of->x, of->y);
        }
    }
    return true;
}

/* The nearest edge, which the planes or the best circle's mostly tell. */
static edge_view look(const climb *of) {
    uint32_t hints[4] = {of->best->touch[0].edge};
    size_t count = 1;
    for (int i = 0; i < 3; i++) {
        if (of->at[i].edge != SLOPE) {
            hints[count++] = of->at[i].edge;
        }
    }
    return edges_nearest(of->edges, hints, count, of->x, of->y);
}

/* Goes where the planes are equal and takes what is nearest there; *gained is
 * false at a top of the planes. False where the way ends. */
static bool step(climb *of, bool *gained) {
    double weights[3];
    double dx;
    double dy;
    if (!bound_level_weights(&of->at[0], &of->at[1], &of->at[2], weights, &dx,
                             &dy)) {
        return false;
    }
    double level = weights[0] * of->at[0].distance +
                   weights[1] * of->at[1].distance +
                   weights[2] * of->at[2].distance;
    *gained = level > of->best->radius + of->least_gain;
    if (!*gained) {
        return true;
    }
    if (!move(of, dx, dy)) {
        return false;
    }
    edge_view near = look(of);
    if (near.distance > of->best->radius) {
        of->best->x = of->x;
        of->best->y = of->y;
        of->best->radius = near.distance;
        of->best->touch[0] = near;
    }
    return enter(of, &near);
}

/* What the circle touches, at a top: the planes that are no slopes. */
static void take_touch(const climb *of) {
    circle *best = of->best;
    best->touching = 0;
    for (int i = 0; i < 3; i++) {
        if (of->at[i].edge != SLOPE) {
            best->touch[best->touching++] =
                edges_view(of->edges, of->at[i].edge, best->x, best->y);
        }
    }
}

void ascent_climb(edge_set *edges, double trust, circle *best) {
    climb of = {.edges = edges, .best = best};
    while (trust > TRUST_ENDS * best->radius) {
        double before = best->radius;
        bool gained = true;
        of.least_gain = GAIN_ENDS * best->radius;
        lay_slopes(&of, trust);
        bool holds = enter(&of, &best->touch[0]);
        for (int i = 0; i < EXCHANGES && holds && gained; i++) {
            holds = step(&of, &gained);
        }
        if (holds && !gained && of.x == best->x && of.y == best->y) {
            take_touch(&of);
            return;
        }
        trust *= best->radius > before + of.least_gain ? 0.5 : 0.125;
    }
    best->touching = 1;
}
