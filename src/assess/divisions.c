/*
 * divisions.c - where the calibre of healthy vein steps.
 *
 * Veins widen at every confluence towards the heart, and disease narrows: at
 * any place healthy vein is at least as wide as the widest vein caudal of it.
 * So the running maximum of the calibre from the caudal end upwards passes
 * over every narrowing that has healthy vein caudal of it, and what steps in
 * it are confluences, or disease that goes on to the caudal end.
 *
 * That maximum is parted into straight pieces by optimal partitioning (Jackson
 * et al., IEEE Signal Process Lett 2005;12:105-8; from memory), the price of a
 * piece after Schwarz (Ann Stat 1978;6:461-4; from memory). A step is where
 * two long pieces differ where they meet; between them a short, steep one may
 * lie, as the wall of a confluence does. At the cranial end of the line a short
 * or steep piece that is wider is the next vein, of which little was traced.
 * Limits are our own measures.
 */
#include "assess/divisions.h"

#include "base/constants.h"
#include "profile/median.h"

#include <math.h>
#include <string.h>

/* The calibre is taken as the running median over so much vein. */
#define CALIBRE_MM 10.0
#define BIN_MM 1.0
#define BINS_MOST ((size_t)400)
/* Around a straight piece, as a share of the median calibre. */
#define SPREAD_SHARE 0.012
/* Two ends, and where it begins. */
#define PIECE_PARAMETERS 3.0
/* A shorter piece is the wall between two others, and so is a steep one, which
 * the median makes longer than the wall is. */
#define LONG_MM 10.0
#define WALL_MM 25.0
#define STEEP_PER_MM 0.05
/* Published nominal diameters step by 12 to 14 %: 16, 14, 12 mm. */
#define STEP_SHARE 0.05
/* What steps by more is where disease begins. */
#define CONFLUENCE_MOST 0.20
/* So much of the vein that a line ends in cranially tells it. */
#define TOLD_MM 5.0
#define PARTS_MOST ((size_t)8)
/* A longer part is cut. */
#define PIECE_MM 80.0

/* The running maximum at bins in position order, and running sums of it. */
typedef struct ceiling {
    double x_mm[BINS_MOST];
    double d_mm[BINS_MOST];
    double sums[BINS_MOST + 1][5]; /* of x, d, xx, xd, dd */
    size_t count;
    double typical_mm;
} ceiling;

/* A straight piece: bins first to before end. */
typedef struct straight {
    size_t first;
    size_t end;
    double from_mm; /* calibre at its two ends */
    double to_mm;
} straight;

/* ------------------------------------------------------------- the maximum */

static void raise_to_ceiling(ceiling *of, bl_end travel) {
    double widest = 0.0;
    for (size_t k = 0; k < of->count; k++) {
        size_t i = travel == BL_END_CAUDAL ? of->count - 1 - k : k;
        widest = fmax(widest, of->d_mm[i]);
        of->d_mm[i] = widest;
    }
}

static void fill_sums(ceiling *of) {
    for (size_t i = 0; i < of->count; i++) {
        double x = of->x_mm[i] - of->x_mm[0];
        double d = of->d_mm[i];
        const double terms[5] = {x, d, x * x, x * d, d * d};
        for (size_t k = 0; k < 5; k++) {
            of->sums[i + 1][k] = of->sums[i][k] + terms[k];
        }
    }
}

/* One frame a bin, the first in it: bins are narrower than what is sought. */
static void fill_bins(const workings *work, const double *calibre, bl_span span,
                      ceiling *out) {
    const profile *along = &work->profile;
    double width =
        fmax(BIN_MM, (span.to_mm - span.from_mm) / (double)(BINS_MOST - 1));
    double next = -HUGE_VAL;
    for (size_t i = profile_lower_bound(along, span.from_mm);
         i < along->count && out->count < BINS_MOST; i++) {
        double x = along->points[i].position_mm;
        if (x > span.to_mm) {
            break;
        }
        if (x >= next) {
            out->x_mm[out->count] = x;
            out->d_mm[out->count++] = calibre[i];
            next = x + width;
        }
    }
}

static void find_typical(ceiling *of) {
    double sorted[BINS_MOST];
    memcpy(sorted, of->d_mm, of->count * sizeof *sorted);
    of->typical_mm = median_of(sorted, of->count);
}

/* --------------------------------------------------------- straight pieces */

/* Least squares over bins first to before end: the sum of squares left, and
 * the line's values at both ends. */
static double fit(const ceiling *of, size_t first, size_t end, straight *out) {
    double n = (double)(end - first);
    double s[5];
    for (size_t k = 0; k < 5; k++) {
        s[k] = of->sums[end][k] - of->sums[first][k];
    }
    double xx = s[2] - s[0] * s[0] / n;
    double xd = s[3] - s[0] * s[1] / n;
    double dd = s[4] - s[1] * s[1] / n;
    double slope = xx > 0.0 ? xd / xx : 0.0;
    if (out != NULL) {
        double middle = of->x_mm[0] + s[0] / n;
        *out = (straight){first, end,
                          s[1] / n + slope * (of->x_mm[first] - middle),
                          s[1] / n + slope * (of->x_mm[end - 1] - middle)};
    }
    return fmax(dd - slope * xd, 0.0);
}

/* The partition of least cost; before[i] is where the piece that ends at i
 * begins. O(bins squared). */
static void partition(const ceiling *of, size_t before[BINS_MOST + 1]) {
    double cost[BINS_MOST + 1] = {0.0};
    double spread = SPREAD_SHARE * of->typical_mm;
    double price = PIECE_PARAMETERS * log((double)of->count);
    for (size_t end = 1; end <= of->count; end++) {
        cost[end] = HUGE_VAL;
        for (size_t first = 0; first < end; first++) {
            double with = cost[first] + price +
                          fit(of, first, end, NULL) / (spread * spread);
            if (with < cost[end]) {
                cost[end] = with;
                before[end] = first;
            }
        }
    }
}

static bool is_wall(const ceiling *of, const straight *piece) {
    double length = of->x_mm[piece->end - 1] - of->x_mm[piece->first];
    double fall = fabs(piece->to_mm - piece->from_mm);
    return length < LONG_MM ||
           (length < WALL_MM && fall > STEEP_PER_MM * length);
}

/* All straight pieces, in order. */
static size_t all_pieces(const ceiling *of, straight out[BINS_MOST]) {
    size_t before[BINS_MOST + 1];
    partition(of, before);
    size_t count = 0;
    for (size_t end = of->count; end > 0; end = before[end]) {
        count++;
    }
    size_t i = count;
    for (size_t end = of->count; end > 0; end = before[end]) {
        (void)fit(of, before[end], end, &out[--i]);
    }
    return count;
}

/* Whether the cranial end of the line, which would be a wall, is what was
 * traced of the vein cranial of the last confluence: wider than the vein that
 * it is held against, the first that is no wall. */
static bool is_last_vein(const ceiling *of, const straight *all, size_t count,
                         bl_end travel) {
    bool caudally = travel == BL_END_CAUDAL;
    const straight *end = caudally ? all : all + count - 1;
    size_t i = 1;
    while (i < count && is_wall(of, caudally ? end + i : end - i)) {
        i++;
    }
    if (i == count || of->x_mm[end->end - 1] - of->x_mm[end->first] < TOLD_MM) {
        return false;
    }
    double wide_mm = caudally ? end[i].from_mm : all[count - 1 - i].to_mm;
    double least_mm = fmin(end->from_mm, end->to_mm);
    return wide_mm < (1.0 - STEP_SHARE) * least_mm;
}

/* The pieces that are no walls, in order. */
static size_t long_pieces(const ceiling *of, bl_end travel,
                          straight out[BINS_MOST]) {
    size_t count = all_pieces(of, out);
    size_t last = travel == BL_END_CAUDAL ? 0 : count - 1;
    bool is_last = is_last_vein(of, out, count, travel);
    size_t held = 0;
    for (size_t i = 0; i < count; i++) {
        if (!is_wall(of, &out[i]) || (i == last && is_last)) {
            out[held++] = out[i];
        }
    }
    return held;
}

/* -------------------------------------------------------------- the pieces */

static void add_part(divisions *to, vein_piece part, division_border begins,
                     double fall) {
    to->begins[to->count] = begins;
    to->falls[to->count] = fall;
    to->pieces[to->count++] = part;
}

/* Cuts the part at the steps of its own ceiling, as far as there is room for
 * the `rest` of the parts. */
static void add_parts(divisions *to, const ceiling *of, vein_piece piece,
                      bl_end travel, size_t rest) {
    straight parts[BINS_MOST];
    division_border begins = DIVISION_MARK;
    double begun = 0.0;
    size_t count = of->count > 1 ? long_pieces(of, travel, parts) : 0;
    for (size_t i = 1; i < count; i++) {
        double fall = fabs(parts[i - 1].to_mm - parts[i].from_mm);
        double wider = fmax(parts[i - 1].to_mm, parts[i].from_mm);
        if (fall < STEP_SHARE * wider || to->count + 1 + rest >= PARTS_MOST) {
            continue;
        }
        vein_piece part = piece;
        part.span.to_mm =
            0.5 * (of->x_mm[parts[i - 1].end - 1] + of->x_mm[parts[i].first]);
        add_part(to, part, begins, begun);
        piece.span.from_mm = part.span.to_mm;
        begins = DIVISION_STEP;
        begun = fall / wider;
    }
    add_part(to, piece, begins, begun);
}

/* What is traced of a span. */
static bl_span traced_of(const workings *work, bl_span span) {
    const profile *along = &work->profile;
    return (bl_span){
        fmax(span.from_mm, along->points[0].position_mm),
        fmin(span.to_mm, along->points[along->count - 1].position_mm)};
}

static bl_status search(const workings *work, const double *calibre,
                        vein_piece piece, size_t rest, divisions *out) {
    ceiling *of = arena_alloc(work->owner, 1, sizeof *of);
    if (of == NULL) {
        return BL_ERR_MEMORY;
    }
    *of = (ceiling){.count = 0};
    fill_bins(work, calibre, traced_of(work, piece.span), of);
    if (of->count > 0) {
        raise_to_ceiling(of, work->pullback->travel);
        fill_sums(of);
        find_typical(of);
    }
    add_parts(out, of, piece, work->pullback->travel, rest);
    return BL_OK;
}

/* Cuts one part into pieces of like length, none much over `most_mm`. */
static void cut_part(const workings *work, const divisions *parts, size_t i,
                     double most_mm, divisions *out) {
    vein_piece part = parts->pieces[i];
    bl_span traced = traced_of(work, part.span);
    double length = traced.to_mm - traced.from_mm;
    size_t pieces = (size_t)fmax(1.0, floor(length / most_mm + 0.5));
    double each = length / (double)pieces;
    for (size_t k = 0; k < pieces; k++) {
        vein_piece one = part;
        if (k > 0) {
            one.span.from_mm = traced.from_mm + (double)k * each;
        }
        if (k + 1 < pieces) {
            one.span.to_mm = traced.from_mm + (double)(k + 1) * each;
        }
        out->parts[out->count] = part.span;
        add_part(out, one, k > 0 ? DIVISION_CUT : parts->begins[i],
                 k > 0 ? 0.0 : parts->falls[i]);
    }
}

/* With PARTS_MOST parts and no more than as many cuts there is room. */
static void cut_parts(const workings *work, const divisions *parts,
                      divisions *out) {
    const profile *along = &work->profile;
    double length = along->points[along->count - 1].position_mm -
                    along->points[0].position_mm;
    double most = fmax(PIECE_MM, length / (double)PARTS_MOST);
    out->count = 0;
    for (size_t i = 0; i < parts->count; i++) {
        cut_part(work, parts, i, most, out);
    }
}

size_t divisions_marks(const divisions *of, size_t a, size_t b) {
    size_t marks = 0;
    for (size_t i = (a < b ? a : b) + 1; i <= (a < b ? b : a); i++) {
        marks += of->begins[i] == DIVISION_MARK;
    }
    return marks;
}

size_t divisions_steps_caudal(const divisions *of, size_t piece,
                              bl_end travel) {
    bool caudally = travel == BL_END_CAUDAL;
    size_t steps = 0;
    size_t i = piece;
    while (caudally ? i + 1 < of->count : i > 0) {
        size_t border = caudally ? i + 1 : i;
        if (of->begins[border] == DIVISION_MARK) {
            break;
        }
        steps += of->begins[border] == DIVISION_STEP &&
                 of->falls[border] < CONFLUENCE_MOST;
        i = caudally ? i + 1 : i - 1;
    }
    return steps;
}

bl_status divisions_find(const workings *work, divisions *out) {
    vein_piece veins[VEIN_PIECES];
    size_t count = vein_line_pieces(&work->veins, veins);
    double *calibre =
        arena_alloc(work->owner, work->profile.count, sizeof *calibre);
    bl_status status = calibre == NULL
                           ? BL_ERR_MEMORY
                           : workings_calibre(work, CALIBRE_MM, calibre);
    divisions parts = {.count = 0};
    for (size_t i = 0; status == BL_OK && i < count; i++) {
        if (veins[i].vein != BL_VEIN_UNKNOWN) {
            add_part(&parts, veins[i], DIVISION_MARK, 0.0);
        } else {
            status = search(work, calibre, veins[i], count - 1 - i, &parts);
        }
    }
    if (status == BL_OK) {
        cut_parts(work, &parts, out);
    }
    return status;
}
