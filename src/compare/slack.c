/*
 * slack.c - how far either end of the treated stretch may lie from where two
 * profiles put it.
 *
 * Three numbers are left open together: where either end lies, each side of the
 * treated stretch going with its own, and one ratio beside it. All of them are
 * tried on a grid; those belong to the interval whose mean square of
 * differences is at most 1 + t^2 / n times the least (profile likelihood, as in
 * likeness.c, with Student's t for few n). So a second place that fits as well
 * makes the interval long instead of being passed over. Lengths between the
 * ends that no speed within PACE_LEAST to PACE_MOST makes are left out.
 */
#include "compare/slack.h"

#include "base/constants.h"

#include <math.h>
#include <stdlib.h>

#define GRID_MM 0.5
#define PLACES 101 /* 25 mm to either side */
#define SCALES 47
#define LOWEST_SCALE 0.80
#define SCALE_GRID 0.01
#define SIDE_LEAST_MM 10.0
#define SIDE_SHARE 0.6 /* of the most that a side compares anywhere */
#define INDEPENDENT_MM 5.0
#define OPEN_NUMBERS 5.0 /* two means, two places, one ratio */
/* Diameters are not traced better than to half a percent: our own. */
#define TRACED_PCT2 0.25

typedef struct grid_side {
    double square[SCALES][PLACES]; /* mean, percent^2; HUGE_VAL: too little */
    double least[SCALES];
    double compared_mm; /* most */
    double from_mm;     /* the first place */
} grid_side;

typedef struct slack_grid {
    grid_side sides[2];
    double share[2];
    double bound;
    double length_mm; /* between the ends, of AFTER */
} slack_grid;

static likeness_fit fit_side(likeness *of, int side, double u_mm, double at_mm,
                             double scale) {
    likeness_line line = {u_mm, scale, at_mm - u_mm};
    return likeness_by(of, &line, side == 0 ? LIKENESS_BELOW : LIKENESS_ABOVE);
}

static double scale_of(int i) {
    return LOWEST_SCALE + SCALE_GRID * i;
}

/* As much as is compared anywhere, millimetre for millimetre. */
static double most_on_side(likeness *of, int side, double u_mm,
                           const grid_side *in) {
    double most = 0.0;
    for (int p = 0; p < PLACES; p++) {
        likeness_fit fit =
            fit_side(of, side, u_mm, in->from_mm + GRID_MM * p, 1.0);
        most = fmax(most, fit.compared_mm);
    }
    return most;
}

static void fill_side(likeness *of, int side, double u_mm, grid_side *out) {
    out->compared_mm = most_on_side(of, side, u_mm, out);
    bool any = out->compared_mm >= SIDE_LEAST_MM;
    double least = fmax(SIDE_LEAST_MM, SIDE_SHARE * out->compared_mm);
    out->compared_mm = any ? out->compared_mm : 0.0;
    for (int s = 0; s < SCALES; s++) {
        out->least[s] = any ? HUGE_VAL : 0.0;
        for (int p = 0; any && p < PLACES; p++) {
            likeness_fit fit = fit_side(
                of, side, u_mm, out->from_mm + GRID_MM * p, scale_of(s));
            double square = fit.difference_pct * fit.difference_pct;
            out->square[s][p] = fit.compared_mm >= least ? square : HUGE_VAL;
            out->least[s] = fmin(out->least[s], out->square[s][p]);
        }
    }
}

double slack_student(double n) {
    double z = NORMAL_975;
    double z2 = z * z;
    double first = z * (z2 + 1.0) / 4.0;
    double second = z * ((5.0 * z2 + 16.0) * z2 + 3.0) / 96.0;
    double third = z * (((3.0 * z2 + 19.0) * z2 + 17.0) * z2 - 15.0) / 384.0;
    return z + (first + (second + third / n) / n) / n;
}

static double independent_count(double compared_mm) {
    return fmax(compared_mm / INDEPENDENT_MM - OPEN_NUMBERS, 3.0);
}

static void set_bound(slack_grid *of) {
    double all = of->sides[0].compared_mm + of->sides[1].compared_mm;
    double least = HUGE_VAL;
    for (int i = 0; i < 2; i++) {
        of->share[i] = all > 0.0 ? of->sides[i].compared_mm / all : 0.0;
    }
    for (int s = 0; s < SCALES; s++) {
        least = fmin(least, of->share[0] * of->sides[0].least[s] +
                                of->share[1] * of->sides[1].least[s]);
    }
    double n = independent_count(all);
    double t = slack_student(n);
    of->bound = (least + TRACED_PCT2) * (1.0 + t * t / n) - TRACED_PCT2;
}

static void widen(bl_interval *to, double value) {
    to->low = fmin(to->low, value);
    to->high = fmax(to->high, value);
}

/* All upper ends that go with one lower end. */
static void take_lower(const slack_grid *of, int s, int lower,
                       slack_found *to) {
    double a = of->sides[0].from_mm + GRID_MM * lower;
    double left = of->bound - of->share[0] * of->sides[0].square[s][lower];
    if (!(left >= of->share[1] * of->sides[1].least[s])) {
        return;
    }
    for (int p = 0; p < PLACES; p++) {
        double b = of->sides[1].from_mm + GRID_MM * p;
        double ratio = (b - a) / of->length_mm;
        if (of->share[1] * of->sides[1].square[s][p] <= left &&
            ratio >= PACE_LEAST && ratio <= PACE_MOST) {
            widen(&to->end_mm[0], a);
            widen(&to->end_mm[1], b);
            widen(&to->ratio, ratio);
        }
    }
}

/* Not told where the edge of the grid belongs to it. */
static bool is_within_grid(const bl_interval *of, const grid_side *side) {
    double to = side->from_mm + GRID_MM * (PLACES - 1);
    return of->low > side->from_mm + 0.5 * GRID_MM &&
           of->high < to - 0.5 * GRID_MM;
}

static void close_found(const slack_grid *of, const slack_place *near,
                        slack_found *to) {
    const bl_interval unknown = {UNKNOWN, UNKNOWN};
    bool told = true;
    for (int i = 0; i < 2; i++) {
        bl_interval *end = &to->end_mm[i];
        widen(end, near->at_mm[i]);
        if (is_within_grid(end, &of->sides[i])) {
            end->low -= 0.5 * GRID_MM;
            end->high += 0.5 * GRID_MM;
        } else {
            *end = unknown;
            told = false;
        }
    }
    widen(&to->ratio, (near->at_mm[1] - near->at_mm[0]) / of->length_mm);
    if (!told) {
        to->ratio = unknown;
    }
}

bl_status slack_find(likeness *of, const double end_u_mm[2],
                     const slack_place *near, slack_found *out) {
    const bl_interval none = {HUGE_VAL, -HUGE_VAL};
    *out = (slack_found){{none, none}, none};
    slack_grid *grid = calloc(1, sizeof *grid);
    if (grid == NULL) {
        return BL_ERR_MEMORY;
    }
    grid->length_mm = fmax(end_u_mm[1] - end_u_mm[0], GRID_MM);
    for (int i = 0; i < 2; i++) {
        grid->sides[i].from_mm = near->at_mm[i] - 0.5 * GRID_MM * (PLACES - 1);
        fill_side(of, i, end_u_mm[i], &grid->sides[i]);
    }
    set_bound(grid);
    for (int s = 0; s < SCALES; s++) {
        for (int p = 0; p < PLACES; p++) {
            take_lower(grid, s, p, out);
        }
    }
    close_found(grid, near, out);
    free(grid);
    return BL_OK;
}

double slack_criterion(likeness *of, const double end_u_mm[2],
                       const slack_place *place, double fitted) {
    double squares = 0.0;
    double all = 0.0;
    for (int i = 0; i < 2; i++) {
        likeness_fit fit =
            fit_side(of, i, end_u_mm[i], place->at_mm[i], place->scale);
        if (fit.compared_mm > 0.0) {
            squares +=
                fit.compared_mm * fit.difference_pct * fit.difference_pct;
            all += fit.compared_mm;
        }
    }
    double n = independent_count(all);
    return all > 0.0 ? n * log(squares / all + TRACED_PCT2) + fitted * log(n)
                     : HUGE_VAL;
}
