/*
 * facing.c - vectors in order of direction, in blocks, and which blocks face
 * each other.
 *
 * The blocks of one half turn and the opposites of those of the other are two
 * lists in order; merging them gives the pairs.
 */
#include "geometry/facing.h"

#include "geometry/lanes.h"

#include <math.h>
#include <stdlib.h>

/* With fewer blocks a bound on two of them says little. */
#define LEAST_BLOCKS 5

void facing_free(facing *of) {
    free(of->x);
    free(of->pairs);
    *of = (facing){0};
}

bool facing_reserve(facing *of, size_t count) {
    size_t blocks = (count + FACING_WIDTH - 1) / FACING_WIDTH;
    if (blocks > of->capacity) {
        double *values = malloc(4 * blocks * sizeof *values);
        facing_pair *pairs = malloc(blocks * sizeof *pairs);
        if (values == NULL || pairs == NULL) {
            free(values);
            free(pairs);
            return false;
        }
        facing_free(of);
        of->x = values;
        of->y = values + blocks;
        of->near = values + 2 * blocks;
        of->far = values + 3 * blocks;
        of->pairs = pairs;
        of->capacity = blocks;
    }
    of->count = count;
    of->blocks = blocks;
    of->pair_count = 0;
    of->nearest = 0;
    of->furthest = 0;
    return true;
}

static inline double turn(const facing *of, size_t a, size_t b) {
    return of->x[a] * of->y[b] - of->y[a] * of->x[b];
}

/* Whether each block turns left, by less than half a turn. */
LANES_TWICE
static bool are_narrow(const facing *of) {
    const double *x = of->x;
    const double *y = of->y;
    double least[LANES] = {HUGE_VAL, HUGE_VAL, HUGE_VAL, HUGE_VAL};
    size_t i = 0;
    for (; i + LANES < of->blocks; i += LANES) {
        for (size_t lane = 0; lane < LANES; lane++) {
            size_t at = i + lane;
            least[lane] =
                lesser(x[at] * y[at + 1] - y[at] * x[at + 1], least[lane]);
        }
    }
    least[0] = lesser(turn(of, of->blocks - 1, 0), least[0]);
    for (; i + 1 < of->blocks; i++) {
        least[0] = lesser(turn(of, i, i + 1), least[0]);
    }
    return lanes_least(least) > 0.0;
}

/* The last block that starts within half a turn from the first. */
static size_t half_turn(const facing *of) {
    size_t within = 0;
    size_t beyond = of->blocks;
    while (beyond - within > 1) {
        size_t middle = within + (beyond - within) / 2;
        *(turn(of, 0, middle) >= 0.0 ? &within : &beyond) = middle;
    }
    return within;
}

bool facing_match(facing *of) {
    if (of->blocks < LEAST_BLOCKS || !are_narrow(of)) {
        return false;
    }
    const size_t half = half_turn(of);
    const size_t last = of->blocks - 1;
    const double *near = of->near;
    const double *far = of->far;
    double least = HUGE_VAL;
    double most = 0.0;
    size_t nearest = 0;
    size_t furthest = 0;
    size_t front = 0;
    size_t back = half;
    size_t count = 0;
    for (;; count++) {
        facing_pair *pair = &of->pairs[count];
        pair->front = (uint32_t)front;
        pair->back = (uint32_t)back;
        pair->near = near[front] + near[back];
        pair->far = far[front] + far[back];
        nearest = pair->near < least ? count : nearest;
        furthest = pair->far > most ? count : furthest;
        least = lesser(pair->near, least);
        most = larger(pair->far, most);
        if (back == last) {
            if (front == half) {
                break;
            }
            front++;
        } else if (front < half && turn(of, front + 1, back + 1) <= 0.0) {
            front++; /* to what comes before the opposite of the back's next */
        } else {
            back++;
        }
    }
    of->nearest = nearest;
    of->furthest = furthest;
    of->pair_count = count + 1;
    return true;
}

static size_t lesser_index(size_t a, size_t b) {
    return a < b ? a : b;
}

/* Of pairs first .. last, which are not to be given again. */
static facing_span span_of(facing *of, size_t first, size_t last) {
    const facing_pair *pair = of->pairs;
    bool from_front = first == 0 || pair[first].front != pair[first - 1].front;
    bool to_front =
        last + 1 < of->pair_count && pair[last + 1].front != pair[last].front;
    for (size_t k = first; k <= last; k++) {
        of->pairs[k].near = HUGE_VAL;
        of->pairs[k].far = 0.0;
    }
    size_t front_end = FACING_WIDTH * ((size_t)pair[last].front + 1);
    size_t back_end = FACING_WIDTH * ((size_t)pair[last].back + 1);
    return (facing_span){
        .front = FACING_WIDTH * (size_t)pair[first].front,
        .back = FACING_WIDTH * (size_t)pair[first].back,
        .front_last = lesser_index(front_end, of->count) - !to_front,
        .back_last = lesser_index(back_end, of->count) - to_front,
        .from_front = from_front,
        .to_front = to_front,
    };
}

facing_span facing_nearest(facing *of) {
    return span_of(of, of->nearest, of->nearest);
}

facing_span facing_furthest(facing *of) {
    return span_of(of, of->furthest, of->furthest);
}

bool facing_next(facing *of, double least, double most, size_t *at,
                 facing_span *out) {
    const facing_pair *pair = of->pairs;
    size_t k = *at;
    while (k < of->pair_count && pair[k].near >= least && pair[k].far < most) {
        k++;
    }
    size_t first = k;
    while (k < of->pair_count &&
           (pair[k].near < least || pair[k].far >= most)) {
        k++;
    }
    *at = k;
    if (first == k) {
        return false;
    }
    *out = span_of(of, first, k - 1);
    return true;
}
