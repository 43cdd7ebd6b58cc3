/*
 * untold.c - stretches of which marks do not tell the vein, and what is
 * missing.
 *
 * Where no mark tells of veins at all nothing is parted by them, and there are
 * none.
 */
#include "assess/workings.h"

#include <math.h>

static void add_vein(text *to, const char *before, unsigned number) {
    text_add(to, before);
    text_add(to, bl_vein_name((bl_vein)(BL_VEIN_CAVA + number)));
}

/* Between borders number `before` (-1: none) and `after` (VEIN_BORDERS: none),
 * of which those between have no mark. Beyond the outermost one the next would
 * tell the nearest vein. */
static void say_why(text *to, int before, unsigned after) {
    unsigned first = before < 0 ? after - 1 : (unsigned)before + 1;
    unsigned end = after == VEIN_BORDERS ? first + 1 : after;
    text_add(to, "marks do not tell ");
    if (before < 0) {
        add_vein(to, "the ", after);
        text_add(to, " from what is cranial of it");
    } else if (after == VEIN_BORDERS) {
        add_vein(to, "the ", first);
        text_add(to, " from what is caudal of it");
    } else {
        for (unsigned i = first; i <= end; i++) {
            add_vein(to,
                     i == first ? "the "
                     : i == end ? " and the "
                                : ", the ",
                     i);
        }
        text_add(to, " apart");
    }
    for (unsigned i = first; i < end; i++) {
        text_add(to, i == first ? ", since " : " and ");
        text_add(to, vein_border_name(i));
    }
    text_add(to, end - first == 1 ? " is missing" : " are missing");
}

/* What was traced between two places that grow caudally. */
static bl_span traced_in(const workings *work, double cranial, double caudal) {
    const profile *along = &work->profile;
    bool caudally = work->veins.travel == BL_END_CAUDAL;
    double from = caudally ? cranial : -caudal;
    double to = caudally ? caudal : -cranial;
    return (bl_span){fmax(from, along->points[0].position_mm),
                     fmin(to, along->points[along->count - 1].position_mm)};
}

static bl_status add_untold(const workings *work, int before, unsigned after,
                            bl_untold *list, size_t *count) {
    const double *borders = work->veins.border_mm;
    double cranial = before < 0 ? -HUGE_VAL : borders[before];
    double caudal = after == VEIN_BORDERS ? HUGE_VAL : borders[after];
    bl_span span = traced_in(work, cranial, caudal);
    if (!(span.to_mm > span.from_mm)) {
        return BL_OK;
    }
    text words = {0};
    say_why(&words, before, after);
    const char *why =
        words.failed ? NULL : arena_text(work->owner, words.bytes, words.size);
    text_free(&words);
    list[(*count)++] = (bl_untold){span, why};
    return why != NULL ? BL_OK : BL_ERR_MEMORY;
}

/* Marks in the wrong order have been told of in reading, and tell nothing. */
static bool in_order(const vein_line *line) {
    double before = -HUGE_VAL;
    bool ordered = true;
    for (unsigned i = 0; i < VEIN_BORDERS; i++) {
        ordered = ordered && !(line->border_mm[i] < before);
        before = fmax(before, line->border_mm[i]); /* passes over NaN */
    }
    return ordered;
}

static void turn_around(bl_untold *list, size_t count) {
    for (size_t i = 0; i < count / 2; i++) {
        bl_untold first = list[i];
        list[i] = list[count - 1 - i];
        list[count - 1 - i] = first;
    }
}

bl_status untold_fill(const workings *work, bl_assessment *into) {
    bl_untold *list = arena_alloc(work->owner, VEIN_BORDERS + 1, sizeof *list);
    if (list == NULL) {
        return BL_ERR_MEMORY;
    }
    bl_status status = BL_OK;
    size_t count = 0;
    int last = -1;
    bool ordered = in_order(&work->veins);
    for (unsigned i = 0; ordered && status == BL_OK && i < VEIN_BORDERS; i++) {
        if (!isnan(work->veins.border_mm[i])) {
            if ((int)i - last > 1) {
                status = add_untold(work, last, i, list, &count);
            }
            last = (int)i;
        }
    }
    if (status == BL_OK && last >= 0 && last + 1 < VEIN_BORDERS) {
        status = add_untold(work, last, VEIN_BORDERS, list, &count);
    }
    if (work->veins.travel != BL_END_CAUDAL) {
        turn_around(list, count);
    }
    into->untold = list;
    into->untold_count = count;
    return status;
}
