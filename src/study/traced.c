/*
 * traced.c - contours that were hardly traced as they stand.
 *
 * Each is measured without a fault and may be the narrowest of the pullback:
 * one coordinate with its decimal point slipped, an arc that was not closed,
 * a number for what is missing, a tracing held while the catheter went on,
 * contours whose kinds were swapped, or the last of a table that was cut.
 * Limits and reasons are in base/tracing.h.
 */
#include "base/constants.h"
#include "base/number.h"
#include "base/text.h"
#include "base/tracing.h"
#include "profile/profile.h"
#include "study/framelist.h"
#include "study/inside.h"

#include <math.h>
#include <stdlib.h>

static bl_status say(bl_study *study, size_t row, text *words) {
    bl_status status = findings_warn_text(&study->said, study->store.lines[row],
                                          study->store.rows[row].frame, words);
    return status == BL_OK ? BL_OK : message_memory(&study->message);
}

/* ----------------------------------------------------------------- strays */

static int by_line(const void *left, const void *right) {
    const stray_row *a = left;
    const stray_row *b = right;
    return a->line != b->line ? (a->line > b->line) - (a->line < b->line)
                              : b->told - a->told;
}

/* What is odd of a row; NULL when nothing is. */
static const stray_row *stray_of(const bl_study *study, size_t row) {
    const store *of = &study->store;
    uint64_t line = of->lines[row];
    size_t low = 0;
    size_t high = of->stray_count;
    while (low < high) {
        size_t middle = low + (high - low) / 2;
        if (of->strays[middle].line < line) {
            low = middle + 1;
        } else {
            high = middle;
        }
    }
    bool found = low < of->stray_count && of->strays[low].line == line;
    return found ? &of->strays[low] : NULL;
}

static bl_status say_point(bl_study *study, size_t row, const stray *odd) {
    const bl_row *of = &study->store.rows[row];
    text words = {0};
    text_format(&words,
                "point %lu of the %lu of frame %lld lies far from both points "
                "beside it: its edges are ",
                (unsigned long)odd->point + 1, (unsigned long)of->points,
                (long long)of->frame);
    text_fixed(&words, odd->times, 1);
    text_add(&words, " times the others; is a coordinate wrong? Correct it or "
                     "take the point out: area, perimeter and diameters are "
                     "wrong with it");
    return say(study, row, &words);
}

/* By the first contour, as an example. */
static bl_status say_runs(bl_study *study, const framelist *list) {
    bool one = list->count == 1;
    const stray *odd = &stray_of(study, list->first)->of;
    const bl_row *of = &study->store.rows[list->first];
    uint32_t last = (odd->point + odd->points - 1) % of->points;
    text words = {0};
    text_format(&words, "%zu contour%s several neighbouring points far %s",
                list->count, one ? " has" : "s have",
                one ? "from its course (" : "from their course (");
    framelist_write(list, &words);
    text_format(&words,
                "; points %lu to %lu of the %lu of frame %lld, whose edges "
                "there and back are ",
                (unsigned long)odd->point + 1, (unsigned long)last + 1,
                (unsigned long)of->points, (long long)of->frame);
    text_fixed(&words, odd->times, 1);
    text_add(&words, " times the others): does a value fill what was not "
                     "traced, or are coordinates wrong? Correct the points or "
                     "take them out: area, perimeter and diameters are wrong "
                     "with them");
    return say(study, list->first, &words);
}

static bl_status say_arcs(bl_study *study, const framelist *list) {
    bool one = list->count == 1;
    text words = {0};
    text_format(&words,
                "%zu contour%s two or three edges far longer than all others (",
                list->count, one ? " has" : "s have");
    framelist_write(list, &words);
    text_format(&words,
                "): %s traced in separate arcs, or points lost? Area and shape "
                "are those of what is left; trace %s whole or leave %s out",
                one ? "was it" : "were they", one ? "it" : "them",
                one ? "it" : "them");
    return say(study, list->first, &words);
}

static bl_status say_open(bl_study *study, const framelist *list) {
    bool one = list->count == 1;
    text words = {0};
    text_format(&words, "%zu contour%s one edge far longer than all others (",
                list->count, one ? " has" : "s have");
    framelist_write(list, &words);
    text_format(&words,
                "): %s traced part of the way round, or points lost? Area and "
                "shape are those of what is left; trace %s whole or leave %s "
                "out",
                one ? "was it" : "were they", one ? "it" : "them",
                one ? "it" : "them");
    return say(study, list->first, &words);
}

static bl_status say_origin(bl_study *study, const framelist *list) {
    bool one = list->count == 1;
    text words = {0};
    text_format(&words, "%zu contour%s back at a point of exactly 0,0 (",
                list->count, one ? " turns" : "s turn");
    framelist_write(list, &words);
    text_add(&words, "); if zeros fill what was not traced, leave the points "
                     "out: area and shape are wrong with them");
    return say(study, list->first, &words);
}

/* Doubts one row, at once or in its list. */
static bl_status doubt_stray(bl_study *study, size_t row, size_t number,
                             framelist lists[STRAY_COUNT]) {
    store *of = &study->store;
    const stray_row *odd = stray_of(study, row);
    if (odd == NULL) {
        return BL_OK;
    }
    of->rows[row].measures.flags |= BL_FLAG_DOUBTED;
    if (odd->told) {
        return BL_OK;
    }
    if (odd->of.what == STRAY_POINT) {
        return say_point(study, row, &odd->of);
    }
    framelist_add(&lists[odd->of.what], of->rows, row, number);
    return BL_OK;
}

/* What is said of all contours of which the same is odd. */
static bl_status say_lists(bl_study *study,
                           const framelist lists[STRAY_COUNT]) {
    static bl_status (*const saying[STRAY_COUNT])(
        bl_study *, const framelist *) = {[STRAY_RUN] = say_runs,
                                          [STRAY_EDGE] = say_open,
                                          [STRAY_EDGES] = say_arcs,
                                          [STRAY_ORIGIN] = say_origin};
    bl_status status = BL_OK;
    for (size_t i = 0; status == BL_OK && i < STRAY_COUNT; i++) {
        if (saying[i] != NULL && lists[i].count > 0) {
            status = saying[i](study, &lists[i]);
        }
    }
    return status;
}

static bl_status doubt_strays(bl_study *study) {
    store *of = &study->store;
    framelist lists[STRAY_COUNT] = {{0}};
    size_t number = 0;
    bl_status status = BL_OK;
    if (of->stray_count == 0) {
        return BL_OK;
    }
    qsort(of->strays, of->stray_count, sizeof *of->strays, by_line);
    for (size_t i = 0; status == BL_OK && i < of->count; i++) {
        if (profile_is_usable_lumen(&of->rows[i])) {
            status = doubt_stray(study, i, number++, lists);
        }
    }
    return status == BL_OK ? say_lists(study, lists) : status;
}

/* ------------------------------------------------------------------ kinds */

/* Which of a frame's contours is larger than one that it lies in, or does not
 * lie in it. A device may be within the lumen or around it. */
typedef enum kinds_pair {
    LUMEN_OVER_VESSEL,
    DEVICE_OVER_VESSEL,
    LUMEN_OUT_OF_VESSEL,
    DEVICE_OUT_OF_VESSEL,
    LUMEN_BESIDE_DEVICE,
    DEVICE_ALONE, /* no lumen is there */
    KINDS_COUNT
} kinds_pair;

static bool is_measured(const bl_row *row) {
    return (row->measures.flags & BL_FLAGS_LEFT_OUT) == 0;
}

static bool is_larger(const bl_row *inner, const bl_row *outer) {
    return inner != NULL && outer != NULL && is_measured(inner) &&
           is_measured(outer) &&
           inner->measures.area_mm2 > KIND_LARGER * outer->measures.area_mm2;
}

static double apart_mm(const bl_row *a, const bl_row *b) {
    double x = a->measures.centroid_x_mm - b->measures.centroid_x_mm;
    double y = a->measures.centroid_y_mm - b->measures.centroid_y_mm;
    return sqrt(x * x + y * y);
}

/* Further apart than circles of their perimeters that only touch. */
static bool is_beside(const bl_row *a, const bl_row *b) {
    if (a == NULL || b == NULL || !is_measured(a) || !is_measured(b)) {
        return false;
    }
    double perimeters = a->measures.perimeter_mm + b->measures.perimeter_mm;
    return apart_mm(a, b) > perimeters / (2.0 * PI);
}

/* By areas and centres. If the inner lay in the outer, what is left of the
 * outer would have its centre on the other side of the outer's, so many times
 * as far from it as the inner is larger than what is left, and no further than
 * the outer reaches. The outer counts as wider by the tolerance. */
static bool is_out_of(const bl_row *inner, const bl_row *outer) {
    if (inner == NULL || outer == NULL || !is_measured(inner) ||
        !is_measured(outer)) {
        return false;
    }
    double t = BL_TOLERANCE_MM;
    double perimeter = outer->measures.perimeter_mm;
    double area = inner->measures.area_mm2;
    double rest = outer->measures.area_mm2 + (perimeter + PI * t) * t - area;
    double apart = apart_mm(inner, outer);
    return is_beside(inner, outer) ||
           (apart > KIND_APART_MM &&
            apart * area > fmax(rest, 0.0) * (KIND_REACH * perimeter + t));
}

/* Doubts the frame whose rows are from `first` to before `end`. */
static void doubt_frame_kinds(store *of, size_t first, size_t end,
                              size_t number, framelist lists[KINDS_COUNT]) {
    bl_row *rows[3] = {NULL, NULL, NULL};
    for (size_t i = first; i < end; i++) {
        rows[of->rows[i].kind] = &of->rows[i];
    }
    bl_row *lumen = rows[BL_KIND_LUMEN];
    bl_row *device = rows[BL_KIND_DEVICE];
    bl_row *vessel = rows[BL_KIND_VESSEL];
    bool lumen_out = !is_larger(lumen, vessel) && is_out_of(lumen, vessel);
    bool device_out = !is_larger(device, vessel) && is_out_of(device, vessel);
    bool wrong[KINDS_COUNT] = {
        [LUMEN_OVER_VESSEL] = is_larger(lumen, vessel),
        [DEVICE_OVER_VESSEL] = is_larger(device, vessel),
        [LUMEN_OUT_OF_VESSEL] = lumen_out,
        [DEVICE_OUT_OF_VESSEL] = device_out,
        /* Which of the two was drawn elsewhere, the vessel has told. */
        [LUMEN_BESIDE_DEVICE] =
            !lumen_out && !device_out && is_beside(lumen, device),
        [DEVICE_ALONE] =
            device != NULL && lumen == NULL && device->points >= TRACED_POINTS};
    for (size_t i = 0; i < KINDS_COUNT; i++) {
        if (wrong[i]) {
            framelist_add(&lists[i], of->rows, first, number);
        }
    }
    if (wrong[LUMEN_OVER_VESSEL]) {
        lumen->measures.flags |= BL_FLAG_DOUBTED;
    }
}

static const char *cure_of(kinds_pair pair) {
    switch (pair) {
    case DEVICE_ALONE:
        return "): are these lumens called device? Then correct their kind; "
               "nothing is measured of the vein there";
    case LUMEN_OUT_OF_VESSEL:
    case DEVICE_OUT_OF_VESSEL:
    case LUMEN_BESIDE_DEVICE:
        return "): are the kinds drawn to different origins? Correct them; "
               "what is said of one in the other is wrong if they are";
    case LUMEN_OVER_VESSEL:
    case DEVICE_OVER_VESSEL:
    case KINDS_COUNT:
    default:
        return "): are the kinds swapped? Correct them; areas are those of "
               "the wrong edge if they are";
    }
}

static bl_status say_kinds(bl_study *study, const framelist *list,
                           kinds_pair pair) {
    static const char *const words_of[KINDS_COUNT] = {
        [LUMEN_OVER_VESSEL] = "lumen contour larger than the vessel contour",
        [DEVICE_OVER_VESSEL] = "device contour larger than the vessel contour",
        [LUMEN_OUT_OF_VESSEL] =
            "lumen contour that does not lie in the vessel contour",
        [DEVICE_OUT_OF_VESSEL] =
            "device contour that does not lie in the vessel contour",
        [LUMEN_BESIDE_DEVICE] = "lumen contour beside the device contour",
        [DEVICE_ALONE] = "device contour and no lumen contour"};
    bool one = list->count == 1;
    text words = {0};
    text_format(&words, "%zu frame%s a %s (", list->count,
                one ? " has" : "s have", words_of[pair]);
    framelist_write(list, &words);
    text_add(&words, cure_of(pair));
    return say(study, list->first, &words);
}

/* What encloses is not smaller than what it encloses. */
static bl_status doubt_kinds(bl_study *study) {
    store *of = &study->store;
    framelist lists[KINDS_COUNT] = {{0}};
    size_t lumens = 0;
    size_t number = 0;
    for (size_t i = 0; i < of->count;) {
        size_t end = i;
        while (end < of->count && of->rows[end].frame == of->rows[i].frame) {
            lumens += of->rows[end].kind == BL_KIND_LUMEN;
            end++;
        }
        doubt_frame_kinds(of, i, end, number++, lists);
        i = end;
    }
    bl_status status = BL_OK;
    for (kinds_pair i = LUMEN_OVER_VESSEL; status == BL_OK && i < KINDS_COUNT;
         i++) {
        if (lists[i].count > 0 && (i != DEVICE_ALONE || lumens > 0)) {
            status = say_kinds(study, &lists[i], i);
        }
    }
    return status;
}

/* ------------------------------------------------------------------- held */

/* Sums over all points, to the last bit. */
static bool is_same(const bl_row *a, const bl_row *b) {
    const bl_measures *of = &a->measures;
    const bl_measures *to = &b->measures;
    return a->points == b->points && a->points >= TRACED_POINTS &&
           a->frame != b->frame && !number_differ(of->area_mm2, to->area_mm2) &&
           !number_differ(of->perimeter_mm, to->perimeter_mm) &&
           !number_differ(of->centroid_x_mm, to->centroid_x_mm) &&
           !number_differ(of->centroid_y_mm, to->centroid_y_mm);
}

static bl_status doubt_held(bl_study *study) {
    const store *of = &study->store;
    const bl_row *before = NULL;
    framelist held = {0};
    size_t number = 0;
    for (size_t i = 0; i < of->count; i++) {
        const bl_row *row = &of->rows[i];
        if (!profile_is_usable_lumen(row)) {
            continue;
        }
        if (before != NULL && is_same(before, row)) {
            framelist_add(&held, of->rows, i, number);
        }
        before = row;
        number++;
    }
    if (held.count == 0) {
        return BL_OK;
    }
    text words = {0};
    text_format(&words, "%zu contour%s the very points of the frame before (",
                held.count, held.count == 1 ? " has" : "s have");
    framelist_write(&held, &words);
    text_add(&words, "): a tracing that is held or copied does not show what "
                     "changes there; trace these frames or leave them out");
    return say(study, held.first, &words);
}

/* -------------------------------------------------------------------- cut */

/* The number of points that more than half of a kind's contours but one have,
 * if any number has more (Boyer and Moore 1991). */
static uint32_t most_points(const store *of, bl_kind kind, size_t but) {
    uint32_t found = 0;
    size_t lead = 0;
    for (size_t i = 0; i < of->count; i++) {
        const bl_row *row = &of->rows[i];
        if (i == but || row->kind != kind) {
            continue;
        }
        found = lead == 0 ? row->points : found;
        lead = row->points == found ? lead + 1 : lead - 1;
    }
    return found;
}

/* A table ends with its last line, wherever that frame belongs. */
static bl_status doubt_last(bl_study *study) {
    const store *of = &study->store;
    size_t last = 0;
    for (size_t i = 1; i < of->count; i++) {
        last = of->lines[i] > of->lines[last] ? i : last;
    }
    if (of->count == 0 || !profile_is_usable_lumen(&of->rows[last])) {
        return BL_OK;
    }
    uint32_t usual = most_points(of, of->rows[last].kind, last);
    size_t others = 0;
    size_t alike = 0;
    for (size_t i = 0; i < of->count; i++) {
        bool other = i != last && of->rows[i].kind == of->rows[last].kind;
        others += other;
        alike += other && of->rows[i].points == usual;
    }
    if (others < CUT_CONTOURS || 100 * alike < CUT_PERCENT * others ||
        usual < TRACED_POINTS || of->rows[last].points >= usual ||
        study->last_points >= usual) {
        return BL_OK;
    }
    study->store.rows[last].measures.flags |= BL_FLAG_DOUBTED;
    text words = {0};
    text_format(&words,
                "the last contour, of frame %lld, has %lu points, where %zu of "
                "the %zu others "
                "have %lu: was the table cut? Then export it again whole, or "
                "leave that contour out",
                (long long)of->rows[last].frame,
                (unsigned long)of->rows[last].points, alike, others,
                (unsigned long)usual);
    return say(study, last, &words);
}

bl_status traced_doubt(bl_study *study) {
    bl_status status = store_sort_by_frame(&study->store);
    if (status == BL_OK) {
        status = doubt_last(study);
    }
    if (status == BL_OK) {
        status = doubt_held(study);
    }
    if (status == BL_OK) {
        status = doubt_kinds(study);
    }
    return status == BL_OK ? doubt_strays(study) : status;
}
