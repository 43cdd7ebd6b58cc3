/*
 * edges.c - the edges of a contour, to be asked how far they are.
 *
 * Eight neighbouring edges are a block, held in arrays so that a compiler
 * makes vector code of the loop over it. For every block there is a segment
 * along its longest extent with the greatest distance of its edges from it; the
 * distance to the segment less that width is a lower bound. Eight such segments
 * are a block of the next level, and so on: a tree that needs no building
 * beyond one pass.
 *
 * The tree is searched in single precision, with widths that cover its
 * rounding: it only tells which edges may be nearest. Those are compared in
 * double precision.
 */
#include "geometry/edges.h"

#include "geometry/lanes.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

static size_t whole_blocks(size_t segments) {
    return (segments + EDGES_BLOCK - 1) / EDGES_BLOCK;
}

static bool reserve(edge_set *set, size_t points, size_t hulls) {
    if (points > set->point_capacity) {
        double *x = realloc(set->x, points * sizeof *x);
        set->x = x != NULL ? x : set->x;
        double *y = realloc(set->y, points * sizeof *y);
        set->y = y != NULL ? y : set->y;
        edge_block *blocks =
            realloc(set->blocks, points / EDGES_BLOCK * sizeof *blocks);
        set->blocks = blocks != NULL ? blocks : set->blocks;
        if (x == NULL || y == NULL || blocks == NULL) {
            return false;
        }
        set->point_capacity = points;
    }
    if (hulls > set->hull_capacity) {
        hull_block *grown = realloc(set->hulls, hulls * sizeof *grown);
        if (grown == NULL) {
            return false;
        }
        set->hulls = grown;
        set->hull_capacity = hulls;
    }
    return true;
}

void edges_free(edge_set *set) {
    free(set->x);
    free(set->y);
    free(set->blocks);
    free(set->hulls);
}

/* ----------------------------------------------------------------- loading */

/* Cosine and sine of the direction along which long edges run. Sums in lanes,
 * for vectors; the points are filled up to whole blocks. */
static void main_direction(const double *restrict x, const double *restrict y,
                           size_t count, double *c, double *s) {
    double across[EDGES_BLOCK] = {0.0};
    double along[EDGES_BLOCK] = {0.0};
    for (size_t i = 0; i < count; i += EDGES_BLOCK) {
        for (size_t k = 0; k < EDGES_BLOCK; k++) {
            double dx = x[i + k + 1] - x[i + k];
            double dy = y[i + k + 1] - y[i + k];
            double weight = dx * dx + dy * dy;
            across[k] += weight * (2.0 * dx * dy);
            along[k] += weight * (dx * dx - dy * dy);
        }
    }
    double sum = 0.0;
    double difference = 0.0;
    for (size_t k = 0; k < EDGES_BLOCK; k++) {
        sum += across[k];
        difference += along[k];
    }
    double size = sqrt(sum * sum + difference * difference);
    *c = 1.0;
    *s = 0.0;
    if (size > 0.0) { /* half the angle of (difference, sum) */
        *c = sqrt(fmax(0.0, 0.5 * (1.0 + difference / size)));
        *s = sqrt(fmax(0.0, 0.5 * (1.0 - difference / size)));
        *s = sum < 0.0 ? -*s : *s;
    }
}

static double least_of(const double of[EDGES_BLOCK]) {
    double a = lesser(of[0], of[1]);
    double b = lesser(of[2], of[3]);
    double c = lesser(of[4], of[5]);
    double d = lesser(of[6], of[7]);
    return lesser(lesser(a, b), lesser(c, d));
}

static double greatest_of(const double of[EDGES_BLOCK]) {
    double a = larger(of[0], of[1]);
    double b = larger(of[2], of[3]);
    double c = larger(of[4], of[5]);
    double d = larger(of[6], of[7]);
    return larger(larger(a, b), larger(c, d));
}

/* Turns one coordinate in place and tells its range. */
static void turn(double *restrict x, double *restrict y, size_t count, double c,
                 double s, edge_set *set) {
    double low_x[EDGES_BLOCK];
    double high_x[EDGES_BLOCK];
    double low_y[EDGES_BLOCK];
    double high_y[EDGES_BLOCK];
    for (size_t k = 0; k < EDGES_BLOCK; k++) {
        low_x[k] = HUGE_VAL;
        high_x[k] = -HUGE_VAL;
        low_y[k] = HUGE_VAL;
        high_y[k] = -HUGE_VAL;
    }
    for (size_t i = 0; i < count; i += EDGES_BLOCK) {
        for (size_t k = 0; k < EDGES_BLOCK; k++) {
            double turned_x = c * x[i + k] + s * y[i + k];
            double turned_y = c * y[i + k] - s * x[i + k];
            x[i + k] = turned_x;
            y[i + k] = turned_y;
            low_x[k] = lesser(turned_x, low_x[k]);
            high_x[k] = larger(turned_x, high_x[k]);
            low_y[k] = lesser(turned_y, low_y[k]);
            high_y[k] = larger(turned_y, high_y[k]);
        }
    }
    set->low_x = least_of(low_x);
    set->high_x = greatest_of(high_x);
    set->low_y = least_of(low_y);
    set->high_y = greatest_of(high_y);
}

static void take_points(edge_set *set, const double *x, const double *y,
                        size_t count) {
    size_t filled = whole_blocks(count) * EDGES_BLOCK;
    double c;
    double s;
    memcpy(set->x, x, count * sizeof *x);
    memcpy(set->y, y, count * sizeof *y);
    for (size_t i = count; i <= filled; i++) {
        set->x[i] = x[0];
        set->y[i] = y[0];
    }
    main_direction(set->x, set->y, filled, &c, &s);
    turn(set->x, set->y, filled, c, s, set);
    set->turn_x = c;
    set->turn_y = -s;
    set->x[filled] = set->x[0];
    set->y[filled] = set->y[0];
    set->count = count;
}

static inline double segment_square(double px, double py, double ux, double uy,
                                    double half) {
    double across = px * uy - py * ux;
    double beyond = fabs(px * ux + py * uy) - half;
    beyond = 0.5 * (beyond + fabs(beyond)); /* 0 beside the segment */
    return across * across + beyond * beyond;
}

/* Edges between consecutive points. What is added is nothing to an edge of any
 * length, but makes one between equal points a point with a direction. */
static void make_block(edge_block *restrict out, const double *restrict x,
                       const double *restrict y) {
    for (size_t k = 0; k < EDGES_BLOCK; k++) {
        double dx = x[k + 1] - x[k] + 1e-150;
        double dy = y[k + 1] - y[k];
        double length = sqrt(dx * dx + dy * dy);
        double inverse = 1.0 / length;
        out->x[k] = 0.5 * (x[k] + x[k + 1]);
        out->y[k] = 0.5 * (y[k] + y[k + 1]);
        out->ux[k] = dx * inverse;
        out->uy[k] = dy * inverse;
        out->half[k] = 0.5 * length;
    }
}

static void hull_of_edges(hull_block *restrict out,
                          const edge_block *restrict of, float hair) {
    for (size_t k = 0; k < EDGES_BLOCK; k++) {
        out->x[k] = (float)of->x[k];
        out->y[k] = (float)of->y[k];
        out->ux[k] = (float)of->ux[k];
        out->uy[k] = (float)of->uy[k];
        out->half[k] = (float)of->half[k];
        out->width[k] = hair;
    }
}

/* What a segment has to cover, seen from a point of it. */
typedef struct spread {
    double x; /* the point, and a direction */
    double y;
    double ux;
    double uy;
    double along[2]; /* least and greatest */
    double off[2];
} spread;

/* The direction to the farthest of some points. */
static void spread_aim(spread *of, const double *restrict x,
                       const double *restrict y, double *farthest) {
    double squares[EDGES_BLOCK];
    for (size_t j = 0; j < EDGES_BLOCK; j++) {
        double dx = x[j] - of->x;
        double dy = y[j] - of->y;
        squares[j] = dx * dx + dy * dy;
    }
    double greatest = greatest_of(squares);
    if (greatest > *farthest) {
        size_t j = 0;
        while (squares[j] < greatest) {
            j++;
        }
        double inverse = 1.0 / sqrt(greatest);
        *farthest = greatest;
        of->ux = (x[j] - of->x) * inverse;
        of->uy = (y[j] - of->y) * inverse;
    }
}

static void spread_over(spread *of, const double *restrict x,
                        const double *restrict y) {
    double along[EDGES_BLOCK];
    double off[EDGES_BLOCK];
    for (size_t j = 0; j < EDGES_BLOCK; j++) {
        double dx = x[j] - of->x;
        double dy = y[j] - of->y;
        along[j] = dx * of->ux + dy * of->uy;
        off[j] = dy * of->ux - dx * of->uy;
    }
    of->along[0] = lesser(of->along[0], least_of(along));
    of->along[1] = larger(of->along[1], greatest_of(along));
    of->off[0] = lesser(of->off[0], least_of(off));
    of->off[1] = larger(of->off[1], greatest_of(off));
}

static void take_hull(hull_block *out, size_t k, const spread *of,
                      double more) {
    double along = 0.5 * (of->along[0] + of->along[1]);
    double off = 0.5 * (of->off[0] + of->off[1]);
    out->x[k] = (float)(of->x + along * of->ux - off * of->uy);
    out->y[k] = (float)(of->y + along * of->uy + off * of->ux);
    out->ux[k] = (float)of->ux;
    out->uy[k] = (float)of->uy;
    out->half[k] = (float)(0.5 * (of->along[1] - of->along[0]));
    out->width[k] = (float)(0.5 * (of->off[1] - of->off[0]) + more);
}

/* A segment over the edges between consecutive points. */
static void hull_over_points(hull_block *out, size_t k, const double *x,
                             const double *y, double hair) {
    spread of = {.x = x[0], .y = y[0], .ux = 1.0};
    double farthest = 0.0;
    spread_aim(&of, x + 1, y + 1, &farthest);
    spread_over(&of, x + 1, y + 1);
    take_hull(out, k, &of, hair);
}

/* A segment over those of a block. */
static void hull_over_hulls(hull_block *out, size_t k, const hull_block *below,
                            size_t count, double hair) {
    double x[2][EDGES_BLOCK];
    double y[2][EDGES_BLOCK];
    double widest = 0.0;
    for (size_t j = 0; j < EDGES_BLOCK; j++) {
        size_t i = j < count ? j : 0;
        double middle_x = (double)below->x[i];
        double middle_y = (double)below->y[i];
        double dx = (double)below->half[i] * (double)below->ux[i];
        double dy = (double)below->half[i] * (double)below->uy[i];
        x[0][j] = middle_x - dx;
        y[0][j] = middle_y - dy;
        x[1][j] = middle_x + dx;
        y[1][j] = middle_y + dy;
        widest = larger(widest, (double)below->width[i]);
    }
    spread of = {.x = x[0][0], .y = y[0][0], .ux = 1.0};
    double farthest = 0.0;
    for (int end = 0; end < 2; end++) {
        spread_aim(&of, x[end], y[end], &farthest);
    }
    for (int end = 0; end < 2; end++) {
        spread_over(&of, x[end], y[end]);
    }
    take_hull(out, k, &of, widest + hair);
}

/* Segments over the blocks of the level below. */
static void make_level(edge_set *set, int level, double hair) {
    size_t last = whole_blocks(set->held[level]) - 1;
    memset(&set->hulls[set->first[level] + last], 0, sizeof(hull_block));
    for (size_t i = 0; i < set->held[level]; i++) {
        hull_block *out = &set->hulls[set->first[level] + i / EDGES_BLOCK];
        size_t below = i * EDGES_BLOCK;
        if (level == 1) {
            hull_over_points(out, i % EDGES_BLOCK, &set->x[below],
                             &set->y[below], hair);
        } else {
            hull_over_hulls(out, i % EDGES_BLOCK,
                            &set->hulls[set->first[level - 1] + i],
                            set->held[level - 1] - below, hair);
        }
    }
}

static size_t lay_levels(edge_set *set, size_t count) {
    size_t blocks = 0;
    size_t held = count;
    set->top = -1;
    do {
        set->top++;
        set->first[set->top] = blocks;
        set->held[set->top] = held;
        held = whole_blocks(held);
        blocks += held;
    } while (held > EDGES_ROOTS);
    return blocks;
}

bool edges_load(edge_set *set, const double *x, const double *y, size_t count) {
    size_t blocks = whole_blocks(count);
    if (!reserve(set, (blocks + 1) * EDGES_BLOCK, lay_levels(set, count))) {
        return false;
    }
    take_points(set, x, y, count);
    /* Some thirty roundings of coordinates. */
    double hair = 2e-6 * larger(larger(fabs(set->low_x), fabs(set->high_x)),
                                larger(fabs(set->low_y), fabs(set->high_y)));
    for (size_t b = 0; b < blocks; b++) {
        make_block(&set->blocks[b], &set->x[b * EDGES_BLOCK],
                   &set->y[b * EDGES_BLOCK]);
        hull_of_edges(&set->hulls[b], &set->blocks[b], (float)hair);
    }
    for (int level = 1; level <= set->top; level++) {
        make_level(set, level, hair);
    }
    set->looked = 0;
    return true;
}

void edges_turn(const edge_set *set, const double *x, const double *y,
                size_t count, double *turned_x, double *turned_y) {
    double c = set->turn_x;
    double s = -set->turn_y;
    for (size_t i = 0; i < count; i++) {
        turned_x[i] = c * x[i] + s * y[i];
        turned_y[i] = c * y[i] - s * x[i];
    }
}

void edges_turn_back(const edge_set *set, double *x, double *y) {
    double c = set->turn_x;
    double s = -set->turn_y;
    double turned_x = *x;
    double turned_y = *y;
    *x = c * turned_x - s * turned_y;
    *y = s * turned_x + c * turned_y;
}

/* --------------------------------------------------------------- distances */

double edges_distance(const edge_set *set, uint32_t edge, double x, double y) {
    const edge_block *of = &set->blocks[edge / EDGES_BLOCK];
    size_t k = edge % EDGES_BLOCK;
    return sqrt(segment_square(x - of->x[k], y - of->y[k], of->ux[k], of->uy[k],
                               of->half[k]));
}

edge_view edges_view(const edge_set *set, uint32_t edge, double x, double y) {
    const edge_block *of = &set->blocks[edge / EDGES_BLOCK];
    size_t k = edge % EDGES_BLOCK;
    double px = x - of->x[k];
    double py = y - of->y[k];
    double along = px * of->ux[k] + py * of->uy[k];
    along = along > of->half[k] ? of->half[k] : along;
    along = along < -of->half[k] ? -of->half[k] : along;
    double qx = px - along * of->ux[k];
    double qy = py - along * of->uy[k];
    double distance = sqrt(qx * qx + qy * qy);
    double inverse = distance > 0.0 ? 1.0 / distance : 0.0;
    return (edge_view){distance, qx * inverse, qy * inverse, edge};
}

typedef struct nearest {
    double x;
    double y;
    double least; /* square of the distance */
    float reach;  /* a hair more than the distance */
    uint32_t edge;
} nearest;

static void nearest_edge(const edge_set *set, size_t edge, nearest *found) {
    const edge_block *of = &set->blocks[edge / EDGES_BLOCK];
    size_t k = edge % EDGES_BLOCK;
    double square = segment_square(found->x - of->x[k], found->y - of->y[k],
                                   of->ux[k], of->uy[k], of->half[k]);
    if (square < found->least) {
        found->least = square;
        found->edge = (uint32_t)edge;
    }
}

static void set_reach(nearest *found) {
    found->reach = (float)sqrt(found->least) * 1.000002F;
}

/* By how much the squares of the distances to a block's segments exceed what
 * may be nearer than the reach. In vectors. */
static void block_excess(const hull_block *restrict of, float x, float y,
                         float reach, float *restrict excess) {
    for (size_t k = 0; k < EDGES_BLOCK; k++) {
        float px = x - of->x[k];
        float py = y - of->y[k];
        float across = px * of->uy[k] - py * of->ux[k];
        float beyond = fabsf(px * of->ux[k] + py * of->uy[k]) - of->half[k];
        float limit = reach + of->width[k];
        beyond = 0.5F * (beyond + fabsf(beyond)); /* 0 beside the segment */
        excess[k] = across * across + beyond * beyond - limit * limit;
    }
}

/* Bit k is set when number k is negative. In vectors. */
static unsigned negative(const float of[EDGES_BLOCK]) {
    static const uint32_t bits[EDGES_BLOCK] = {1, 2, 4, 8, 16, 32, 64, 128};
    uint32_t word[EDGES_BLOCK];
    unsigned out = 0;
    memcpy(word, of, sizeof word); /* the sign is the highest bit */
    for (size_t k = 0; k < EDGES_BLOCK; k++) {
        out |= (0U - (word[k] >> 31)) & bits[k];
    }
    return out;
}

static unsigned lowest_bit(unsigned of) {
    unsigned k = 0;
    while ((of & 1U) == 0) {
        of >>= 1;
        k++;
    }
    return k;
}

/* Only what is the nearest of the block but for rounding is looked at in
 * double precision. */
static void nearest_of_block(const edge_set *set, size_t block,
                             const float *excess, nearest *found) {
    float a = excess[0] < excess[1] ? excess[0] : excess[1];
    float b = excess[2] < excess[3] ? excess[2] : excess[3];
    float c = excess[4] < excess[5] ? excess[4] : excess[5];
    float d = excess[6] < excess[7] ? excess[6] : excess[7];
    a = a < b ? a : b;
    c = c < d ? c : d;
    a = a < c ? a : c;
    if (a >= 0.0F) {
        return;
    }
    float hair = set->hulls[block].width[0];
    float limit = a + 4.0F * hair * (found->reach + 2.0F * hair);
    for (size_t k = 0; k < EDGES_BLOCK; k++) {
        if (excess[k] <= limit) {
            nearest_edge(set, block * EDGES_BLOCK + k, found);
        }
    }
    set_reach(found);
}

static void nearest_below(edge_set *set, int level, size_t block,
                          nearest *found) {
    size_t first = block * EDGES_BLOCK;
    float excess[EDGES_BLOCK];
    block_excess(&set->hulls[set->first[level] + block], (float)found->x,
                 (float)found->y, found->reach, excess);
    set->looked++;
    if (level == 0) {
        nearest_of_block(set, block, excess, found);
        return;
    }
    for (unsigned near = negative(excess); near != 0; near &= near - 1) {
        size_t k = first + lowest_bit(near);
        if (k >= set->held[level]) {
            return;
        }
        nearest_below(set, level - 1, k, found);
    }
}

edge_view edges_nearest(edge_set *set, const uint32_t *hints, size_t count,
                        double x, double y) {
    nearest found = {.x = x, .y = y, .least = HUGE_VAL};
    for (size_t i = 0; i < count; i++) {
        nearest_edge(set, hints[i], &found);
    }
    set_reach(&found);
    size_t roots = whole_blocks(set->held[set->top]);
    for (size_t i = 0; i < roots; i++) {
        nearest_below(set, set->top, i, &found);
    }
    return edges_view(set, found.edge, x, y);
}

/* Those of a block and below it; counts up. */
static size_t within_below(edge_set *set, int level, size_t block,
                           const nearest *of, uint32_t *out) {
    size_t first = block * EDGES_BLOCK;
    size_t count = 0;
    float excess[EDGES_BLOCK];
    block_excess(&set->hulls[set->first[level] + block], (float)of->x,
                 (float)of->y, of->reach, excess);
    set->looked++;
    for (unsigned near = negative(excess); near != 0; near &= near - 1) {
        size_t k = first + lowest_bit(near);
        if (k >= set->held[level]) {
            break;
        }
        if (level == 0) {
            out[count++] = (uint32_t)k;
        } else {
            count += within_below(set, level - 1, k, of, out + count);
        }
    }
    return count;
}

size_t edges_within(edge_set *set, double x, double y, double reach,
                    uint32_t *out) {
    nearest of = {.x = x, .y = y, .least = reach * reach};
    size_t roots = whole_blocks(set->held[set->top]);
    size_t count = 0;
    set_reach(&of);
    for (size_t i = 0; i < roots; i++) {
        count += within_below(set, set->top, i, &of, out + count);
    }
    return count;
}

/* Whether a ray to the right crosses the edge behind a point. */
static bool crosses(const edge_set *set, size_t edge, double x, double y) {
    const edge_block *of = &set->blocks[edge / EDGES_BLOCK];
    size_t k = edge % EDGES_BLOCK;
    bool from = set->y[edge] > y;
    bool to = set->y[edge + 1] > y;
    double side = of->ux[k] * (y - of->y[k]) - of->uy[k] * (x - of->x[k]);
    return from != to && (side > 0.0) == to;
}

/* The box of what a segment stands for. */
static rectangle box_around(const hull_block *of, size_t k) {
    double half = (double)of->half[k];
    double width = (double)of->width[k];
    return (rectangle){(double)of->x[k], (double)of->y[k],
                       half * fabs((double)of->ux[k]) + width,
                       half * fabs((double)of->uy[k]) + width};
}

/* The same of all below a block. What is wholly on the right is crossed as
 * often as the line between its ends, but for an even number. */
static bool crosses_below(edge_set *set, int level, size_t block, size_t stride,
                          double x, double y) {
    size_t first = block * EDGES_BLOCK;
    size_t left = set->held[level] - first;
    bool odd = false;
    set->looked++;
    for (size_t k = 0; k < EDGES_BLOCK && k < left; k++) {
        rectangle around =
            box_around(&set->hulls[set->first[level] + block], k);
        size_t from = (first + k) * stride;
        size_t to = from + stride < set->count ? from + stride : set->count;
        if (x > around.x + around.half_x ||
            fabs(y - around.y) > around.half_y) {
            continue;
        }
        if (level == 0) {
            odd ^= crosses(set, first + k, x, y);
        } else if (x < around.x - around.half_x) {
            odd ^= (set->y[from] > y) != (set->y[to] > y);
        } else {
            odd ^= crosses_below(set, level - 1, first + k,
                                 stride / EDGES_BLOCK, x, y);
        }
    }
    return odd;
}

bool edges_inside(edge_set *set, double x, double y) {
    size_t roots = whole_blocks(set->held[set->top]);
    size_t stride = 1;
    bool odd = false;
    for (int level = 0; level < set->top; level++) {
        stride *= EDGES_BLOCK;
    }
    for (size_t i = 0; i < roots; i++) {
        odd ^= crosses_below(set, set->top, i, stride, x, y);
    }
    return odd;
}
