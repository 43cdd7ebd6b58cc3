/*
 * search.c - what a search for healthy vein starts from: the parts of the line,
 * the frames that may serve, and a provisional calibre.
 */
#include "assess/search.h"

#include "base/circle.h"
#include "base/constants.h"
#include "profile/median.h"

#include <math.h>

#define CALIBRE_MM 5.0
#define UPPER_QUARTILE 0.75
/* The provisional calibre of a half: what a tenth of it exceeds, but no less
 * than what the larger half tapers to (published nominal diameters fall from
 * 16 mm, common iliac, to 12 mm, common femoral). */
#define UPPER_TENTH 0.90

bl_span search_traced(const search *in, size_t part) {
    const profile *along = &in->work->profile;
    bl_span span = in->parts.pieces[part].span;
    return (bl_span){
        fmax(span.from_mm, along->points[0].position_mm),
        fmin(span.to_mm, along->points[along->count - 1].position_mm)};
}

static double upper_flatness(const workings *work, weighted *pairs) {
    const profile *along = &work->profile;
    size_t held = 0;
    for (size_t i = 0; i < along->count; i++) {
        double value = profile_flatness(&along->points[i]);
        if (!isnan(value)) {
            pairs[held++] = (weighted){
                value, profile_weight_mm(along->points, along->count, i)};
        }
    }
    return median_weighted_quantile(pairs, held, UPPER_QUARTILE);
}

/* The diameter that a tenth of the stretch between two positions exceeds. */
static double upper_diameter_mm(const workings *work, bl_span span,
                                weighted *pairs) {
    const profile *along = &work->profile;
    size_t held = 0;
    for (size_t i = profile_lower_bound(along, span.from_mm);
         i < along->count && along->points[i].position_mm <= span.to_mm; i++) {
        pairs[held++] =
            (weighted){along->points[i].equivalent_diameter_mm,
                       profile_weight_mm(along->points, along->count, i)};
    }
    return median_weighted_quantile(pairs, held, UPPER_TENTH);
}

static bl_segment provisional_segment(const search *in, bl_span span,
                                      double diameter_mm) {
    return (bl_segment){
        .span = span,
        .area_mm2 = circle_area_mm2(diameter_mm),
        .equivalent_diameter_mm = diameter_mm,
        .perimeter_mm = PI * diameter_mm,
        .flatness = in->flatness,
    };
}

/* No half is below so much of the largest of its part. */
static void bound_parts(const search *in, double halves[REFERENCE_PIECES][2]) {
    size_t end = 0;
    for (size_t i = 0; i < in->parts.count; i = end) {
        double largest = 0.0;
        do {
            /* fmax passes over NaN. */
            largest = fmax(largest, fmax(halves[end][0], halves[end][1]));
            end++;
        } while (end < in->parts.count &&
                 in->parts.begins[end] == DIVISION_CUT);
        for (size_t k = i; k < end; k++) {
            halves[k][0] = fmax(halves[k][0], TAPER_MOST * largest);
            halves[k][1] = fmax(halves[k][1], TAPER_MOST * largest);
        }
    }
}

/* The larger calibre of each half of a part; NaN where it holds no frame. */
static void measure_halves(search *in, weighted *pairs,
                           double halves[REFERENCE_PIECES][2]) {
    for (size_t i = 0; i < in->parts.count; i++) {
        bl_span all = search_traced(in, i);
        double middle = 0.5 * (all.from_mm + all.to_mm);
        halves[i][0] =
            upper_diameter_mm(in->work, (bl_span){all.from_mm, middle}, pairs);
        halves[i][1] =
            upper_diameter_mm(in->work, (bl_span){middle, all.to_mm}, pairs);
    }
    bound_parts(in, halves);
}

/* Healthy vein is no narrower than the vein caudal of it, and no more than so
 * much narrower than the vein cranial of it, but for the cava. */
static void bound_halves(const search *in, double halves[REFERENCE_PIECES][2]) {
    size_t count = in->parts.count;
    bool caudally = in->work->pullback->travel == BL_END_CAUDAL;
    for (size_t k = 1; k < count; k++) {
        size_t i = caudally ? count - 1 - k : k;
        size_t caudal = caudally ? i + 1 : i - 1;
        double least = fmin(halves[caudal][0], halves[caudal][1]);
        halves[i][0] = fmax(halves[i][0], least);
        halves[i][1] = fmax(halves[i][1], least);
    }
    double least = 0.0;
    for (size_t k = 1; k < count; k++) {
        size_t i = caudally ? k : count - 1 - k;
        size_t cranial = caudally ? i - 1 : i + 1;
        if (in->parts.begins[caudally ? i : cranial] != DIVISION_CUT) {
            bool cava = in->parts.pieces[cranial].vein == BL_VEIN_CAVA;
            least = cava ? 0.0
                         : TAPER_MOST *
                               fmax(halves[cranial][0], halves[cranial][1]);
        }
        halves[i][0] = fmax(halves[i][0], least);
        halves[i][1] = fmax(halves[i][1], least);
    }
}

static void set_provisional(search *in, weighted *pairs) {
    double halves[REFERENCE_PIECES][2];
    reference *out = &in->provisional;
    *out = (reference){.rule = BL_RULE_TAPER,
                       .piece_count = in->parts.count,
                       .travel = in->work->pullback->travel};
    measure_halves(in, pairs, halves);
    bound_halves(in, halves);
    for (size_t i = 0; i < in->parts.count; i++) {
        bl_span all = search_traced(in, i);
        double middle = 0.5 * (all.from_mm + all.to_mm);
        size_t first = 2 * i;
        out->segments[first] = provisional_segment(
            in, (bl_span){all.from_mm, middle}, halves[i][0]);
        out->segments[first + 1] =
            provisional_segment(in, (bl_span){middle, all.to_mm}, halves[i][1]);
        out->pieces[i] = (reference_piece){.piece = in->parts.pieces[i],
                                           .segments = {first, first + 1},
                                           .count = 2,
                                           .area_mm2 = UNKNOWN};
    }
    out->count = 2 * in->parts.count;
    links_join(in, out);
    reference_ends(out, UNKNOWN);
}

/* A left-out frame spoils the frames on both sides of it. What is doubted by
 * its points is told and decides nothing. */
static void mark_clear(search *in) {
    const workings *work = in->work;
    const profile *along = &work->profile;
    for (size_t i = 0; i < along->count; i++) {
        const bl_row *row = &work->rows[along->points[i].row];
        in->clear[i] = (row->measures.flags & ~(uint32_t)BL_FLAG_DOUBTED) == 0;
    }
    for (size_t i = 0; i < along->left_out_count; i++) {
        double x = work->rows[along->left_out[i]].position_mm;
        size_t next = profile_lower_bound(along, x);
        if (next < along->count) {
            in->clear[next] = false;
        }
        if (next > 0) {
            in->clear[next - 1] = false;
        }
    }
}

static bool allocate(search *in, const workings *work) {
    size_t count = work->profile.count;
    *in = (search){
        .clear = arena_alloc(work->owner, count, sizeof *in->clear),
        .full = arena_alloc(work->owner, count, sizeof *in->full),
        .wide = arena_alloc(work->owner, count, sizeof *in->wide),
        .flank = arena_alloc(work->owner, count, sizeof *in->flank),
        .healthy = arena_alloc(work->owner, count, sizeof *in->healthy),
        .taken = arena_alloc(work->owner, count, sizeof *in->taken),
        .worth = arena_alloc(work->owner, count, sizeof *in->worth),
        .start = arena_alloc(work->owner, count, sizeof *in->start),
        .total = arena_alloc(work->owner, count + 1, sizeof *in->total),
        .square = arena_alloc(work->owner, count + 1, sizeof *in->square),
        .flat = arena_alloc(work->owner, count + 1, sizeof *in->flat),
        .envelope = arena_alloc(work->owner, count, sizeof *in->envelope),
    };
    return in->clear != NULL && in->full != NULL && in->wide != NULL &&
           in->flank != NULL && in->healthy != NULL && in->taken != NULL &&
           in->worth != NULL && in->start != NULL && in->total != NULL &&
           in->square != NULL && in->flat != NULL && in->envelope != NULL;
}

static void add_up(search *in) {
    const profile *along = &in->work->profile;
    for (size_t i = 0; i < along->count; i++) {
        const bl_profile_point *point = &along->points[i];
        double d = point->equivalent_diameter_mm;
        double flat = profile_flatness(point);
        in->total[i + 1] = in->total[i] + d;
        in->square[i + 1] = in->square[i] + d * d;
        /* Where it is unknown the frame is not healthy. */
        in->flat[i + 1] = in->flat[i] + (isnan(flat) ? 0.0 : flat);
    }
}

/* A line over the part that neither half's larger calibre lies above. What a
 * tenth of a half exceeds lies, where it tapers, a tenth behind the half's
 * cranial end. */
static void fill_envelope(search *in, size_t part) {
    const profile *along = &in->work->profile;
    const bl_segment *halves = &in->provisional.segments[2 * part];
    bool caudally = in->work->pullback->travel == BL_END_CAUDAL;
    bl_span all = search_traced(in, part);
    double half = 0.5 * (all.to_mm - all.from_mm);
    double sign = caudally ? 1.0 : -1.0;
    double cranial = halves[caudally ? 0 : 1].equivalent_diameter_mm;
    double caudal = halves[caudally ? 1 : 0].equivalent_diameter_mm;
    double fall = fmin(fmax((cranial - caudal) / half, 0.0), TAPER_PER_MM);
    double start = caudally ? all.from_mm : all.to_mm;
    double tenth = (1.0 - UPPER_TENTH) * half;
    double top = fmax(cranial + fall * tenth, caudal + fall * (half + tenth));
    for (size_t i = profile_lower_bound(along, all.from_mm);
         i < along->count && along->points[i].position_mm <= all.to_mm; i++) {
        double away = sign * (along->points[i].position_mm - start);
        in->envelope[i] = top - fall * away;
    }
}

/* Single frames are noisy, and what is sought is vein: the search looks at the
 * calibre over a few mm. */
static bl_status take_calibre(search *in, const workings *work) {
    size_t count = work->profile.count;
    double *calibre = arena_alloc(work->owner, count, sizeof *calibre);
    bl_profile_point *points = arena_alloc(work->owner, count, sizeof *points);
    bl_status status = calibre == NULL || points == NULL
                           ? BL_ERR_MEMORY
                           : workings_calibre(work, CALIBRE_MM, calibre);
    if (status != BL_OK) {
        return status;
    }
    for (size_t i = 0; i < count; i++) {
        points[i] = work->profile.points[i];
        points[i].equivalent_diameter_mm = calibre[i];
        points[i].area_mm2 = circle_area_mm2(calibre[i]);
    }
    in->points = work->profile.points;
    in->own = *work;
    in->own.profile.points = points;
    in->work = &in->own;
    return BL_OK;
}

bl_status search_start(search *in, const workings *work) {
    weighted *pairs =
        arena_alloc(work->owner, work->profile.count, sizeof *pairs);
    if (!allocate(in, work) || pairs == NULL) {
        return BL_ERR_MEMORY;
    }
    bl_status status = take_calibre(in, work);
    if (status == BL_OK) {
        status = divisions_find(work, &in->parts);
    }
    if (status != BL_OK) {
        return status;
    }
    in->flatness = upper_flatness(in->work, pairs);
    set_provisional(in, pairs);
    mark_clear(in);
    add_up(in);
    for (size_t i = 0; i < in->parts.count; i++) {
        fill_envelope(in, i);
    }
    return fullness_mark(in, in->total, in->full);
}

void search_mark_healthy(search *in, const reference *now) {
    const workings *work = in->work;
    const bl_profile_point *points = work->profile.points;
    double share = workings_diameter_share(work->options.shoulder_pct);
    for (size_t i = 0; i < work->profile.count; i++) {
        double wanted = reference_diameter_mm(now, points[i].position_mm);
        in->wide[i] = points[i].equivalent_diameter_mm >= share * wanted;
    }
    flanks_mark(in, now);
    for (size_t i = 0; i < work->profile.count; i++) {
        in->healthy[i] =
            in->clear[i] && in->full[i] && in->wide[i] && !in->flank[i] &&
            profile_flatness(&points[i]) > FLATTENED_SHARE * in->flatness;
    }
}
