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
    for (int k = 0; k < 4; k++) {
        double x = of->x + (k & 1 ? of->half_x : -of->half_x);
        double y = of->y + (k & 2 ? of->half_y : -of->half_y);
        out[k] = edges_distance(edges, edge, x, y);
    }
}

double bound_greatest(const double of[4], int *where) {
    *where = 0;
    for (int k = 1; k < 4; k++) {
        *where = of[k] > of[*where] ? k : *where;
    }
    return of[*where];
}

double bound_mean(const edge_set *edges, const rectangle *area,
                  const mean *of) {
    double sum[4] = {0.0};
    for (size_t i = 0; i < of->count; i++) {
        double distances[4];
        bound_corners(edges, area, of->edge[i], distances);
        for (int k = 0; k < 4; k++) {
            sum[k] += of->weight[i] * distances[k];
        }
    }
    int where;
    return bound_greatest(sum, &where);
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
