/*
 * flanks.c - the ends of what falls below the shoulder level.
 *
 * The flank of a lesion goes on above the shoulder level, at 20 % of the area
 * lost, to where nothing is lost, and nobody sees its end in noise. How far it
 * goes on is told by how steep it is below the level: a raised cosine that
 * takes 35 to 85 % needs 1.4 to 2.0 times the way from 30 to 20 % to come from
 * 20 to 5 %, and 0.6 to 0.7 times that from 50 to 20 %. One that is no deeper
 * than 30 % needs the way from its deepest place, or more. What lies nearer is
 * not taken for healthy. What is above the bounds here is our own measure.
 */
#include "assess/search.h"

#include <math.h>

#define DEEP_SHARE 0.30
#define DEEP_TIMES 2.4
#define SHALLOW_TIMES 1.3
#define NARROWING_TIMES 0.7
#define FLANK_MOST_MM 10.0
/* A flank that is less steep is no flank, but vein of another calibre. */
#define SOUGHT_MM 12.0

static double loss_at(const search *in, const reference *now, size_t i) {
    const bl_profile_point *point = &in->work->profile.points[i];
    double share = point->equivalent_diameter_mm /
                   reference_diameter_mm(now, point->position_mm);
    return 1.0 - share * share;
}

/* From the last frame below the level into what lies below it: how far the
 * flank goes on above. */
static double goes_on_mm(const search *in, const reference *now, size_t edge,
                         bool forwards) {
    const profile *along = &in->work->profile;
    double start = along->points[edge].position_mm;
    double deepest = 0.0;
    double away = 0.0;
    for (size_t i = edge; !in->wide[i] && deepest < DEEP_SHARE;) {
        double so_far = fabs(along->points[i].position_mm - start);
        double loss = loss_at(in, now, i);
        if (so_far > SOUGHT_MM) {
            break;
        }
        if (loss > deepest) {
            deepest = loss;
            away = so_far;
        }
        if (i == (forwards ? along->count - 1 : 0)) {
            break;
        }
        i = forwards ? i + 1 : i - 1;
    }
    double times = deepest >= DEEP_SHARE ? DEEP_TIMES : SHALLOW_TIMES;
    return fmin(times * away, FLANK_MOST_MM);
}

/* Marks what lies above the level beside frame `edge`, the last below it;
 * forwards: what is below lies at higher positions. */
static void mark_beside(search *in, const reference *now, size_t edge,
                        bool forwards) {
    const profile *along = &in->work->profile;
    double start = along->points[edge].position_mm;
    double most = goes_on_mm(in, now, edge, forwards);
    size_t end = forwards ? 0 : along->count - 1;
    for (size_t i = edge; i != end;) {
        i = forwards ? i - 1 : i + 1;
        if (fabs(along->points[i].position_mm - start) > most) {
            break;
        }
        in->flank[i] = true;
    }
}

void flanks_mark(search *in, const reference *now) {
    size_t count = in->work->profile.count;
    for (size_t i = 0; i < count; i++) {
        in->flank[i] = false;
    }
    for (size_t i = 1; i < count; i++) {
        if (!in->wide[i - 1] && in->wide[i]) {
            mark_beside(in, now, i - 1, false);
        } else if (in->wide[i - 1] && !in->wide[i]) {
            mark_beside(in, now, i, true);
        }
    }
}

double flanks_of_narrowing_mm(double shoulder_mm, double narrowing_mm) {
    return fmin(NARROWING_TIMES * fabs(shoulder_mm - narrowing_mm),
                FLANK_MOST_MM);
}
