/*
 * bound.c - how far from a contour any point of a rectangle can be at most.
 *
 * Distance to an edge is convex, since an edge is a convex set. The clearance
 * is the least of these distances, so at most any mean of some of them with
 * weights >= 0 of sum 1. A mean of convex functions is convex, so over a
 * rectangle it is greatest at a corner. Hence
 *     clearance in the rectangle <= max over corners of sum w_i f_i(corner)
 * for any edges and weights: their choice only has to be good.
 */
#include "geometry/bound.h"

#include "geometry/lanes.h"

#include <math.h>

double bound_at(const edge_set *edges, const mean *of, double x, double y) {
    double sum = 0.0;
    for (size_t i = 0; i < of->count; i++) {
        sum += of->weight[i] * edges_distance(edges, of->edge[i], x, y);
    }
    return sum;
}

void bound_corners(const edge_set *edges, const rectangle *of, uint32_t edge,
                   double out[4]) {
    static const double side_x[4] = {-1.0, 1.0, -1.0, 1.0};
    static const double side_y[4] = {-1.0, -1.0, 1.0, 1.0};
    const edge_block *block = &edges->blocks[edge / EDGES_BLOCK];
    size_t i = edge % EDGES_BLOCK;
    double px = of->x - block->x[i];
    double py = of->y - block->y[i];
    double ux = block->ux[i];
    double uy = block->uy[i];
    double half = block->half[i];
    for (int k = 0; k < 4; k++) {
        double x = px + side_x[k] * of->half_x;
        double y = py + side_y[k] * of->half_y;
        double across = x * uy - y * ux;
        double beyond = fabs(x * ux + y * uy) - half;
        beyond = 0.5 * (beyond + fabs(beyond)); /* 0 beside the edge */
        out[k] = across * across + beyond * beyond;
    }
    for (int k = 0; k < 4; k++) {
        out[k] = sqrt(out[k]);
    }
}

double bound_greatest(const double of[4], int *where) {
    *where = 0;
    for (int k = 1; k < 4; k++) {
        *where = of[k] > of[*where] ? k : *where;
    }
    return of[*where];
}

void bound_mean_corners(const edge_set *edges, const rectangle *area,
                        const mean *of, double out[4]) {
    double sum[4] = {0.0};
    for (size_t i = 0; i < of->count; i++) {
        double distances[4];
        bound_corners(edges, area, of->edge[i], distances);
        for (int k = 0; k < 4; k++) {
            sum[k] += of->weight[i] * distances[k];
        }
    }
    for (int k = 0; k < 4; k++) {
        out[k] = sum[k];
    }
}

double bound_mean(const edge_set *edges, const rectangle *area,
                  const mean *of) {
    double corners[4];
    int where;
    bound_mean_corners(edges, area, of, corners);
    return bound_greatest(corners, &where);
}

/* How much from a corner on of a rectangle's side stays above a level, when
 * the other end is below: a convex function is below its chord. */
static double part_above(double from, double to, double level) {
    return from > level ? (from - level) / (from - to) : 0.0;
}

double bound_part_above(const double of[4], double level, int *side) {
    /* Sides as pairs of corners, and what lies opposite to each. */
    static const int at[4][2] = {{0, 2}, {1, 3}, {0, 1}, {2, 3}};
    double least = 1.0;
    for (int i = 0; i < 4; i++) {
        const int *low = at[i ^ 1];
        if (of[low[0]] <= level && of[low[1]] <= level) {
            double part = larger(part_above(of[at[i][0]], of[low[0]], level),
                                 part_above(of[at[i][1]], of[low[1]], level));
            *side = part < least ? i : *side;
            least = lesser(least, part);
        }
    }
    return least;
}

double bound_share(const double a[4], const double b[4], double *bound) {
    double share = 0.0;
    int k;
    *bound = bound_greatest(a, &k);
    for (int i = 0; i < 4; i++) {
        for (int j = i + 1; j < 4; j++) {
            double slope = (b[i] - a[i]) - (b[j] - a[j]);
            double at = (a[j] - a[i]) / slope;
            if (at > 0.0 && at < 1.0) {
                double mixed[4];
                for (k = 0; k < 4; k++) {
                    mixed[k] = a[k] + at * (b[k] - a[k]);
                }
                double value = bound_greatest(mixed, &k);
                share = value < *bound ? at : share;
                *bound = value < *bound ? value : *bound;
            }
        }
    }
    return share;
}

bool bound_level_weights(const edge_view *a, const edge_view *b,
                         const edge_view *c, double weights[3], double *mx,
                         double *my) {
    double wa = b->gx * c->gy - b->gy * c->gx;
    double wb = c->gx * a->gy - c->gy * a->gx;
    double wc = a->gx * b->gy - a->gy * b->gx;
    double total = wa + wb + wc;
    if (fabs(total) < 1e-9) {
        return false;
    }
    weights[0] = wa / total;
    weights[1] = wb / total;
    weights[2] = wc / total;
    if (weights[0] < 0.0 || weights[1] < 0.0 || weights[2] < 0.0) {
        return false;
    }
    double ux = a->gx - b->gx;
    double uy = a->gy - b->gy;
    double vx = a->gx - c->gx;
    double vy = a->gy - c->gy;
    double du = b->distance - a->distance;
    double dv = c->distance - a->distance;
    double det = ux * vy - uy * vx;
    *mx = (du * vy - dv * uy) / det;
    *my = (ux * dv - vx * du) / det;
    return true;
}
