/*
 * wording.c - phrases that several sentences of a plan share.
 */
#include "plan/wording.h"

#include "base/constants.h"

#include <math.h>
#include <string.h>

void wording_length(text *out, double length_mm) {
    text_fixed(out, length_mm, 1);
    text_add(out, " mm");
}

void wording_position(text *out, const planner *in, double at_mm) {
    wording_length(out, ground_position(&in->ground, at_mm));
}

void wording_size(text *out, double diameter_mm, double length_mm) {
    text_short(out, diameter_mm, 2);
    text_add(out, " x ");
    text_short(out, length_mm, 2);
    text_add(out, " mm");
}

void wording_devices(text *out, size_t count) {
    text_format(out, "%zu %s", count, count == 1 ? "device" : "devices");
}

const char *wording_end(bool caudal) {
    return bl_end_name(caudal ? BL_END_CAUDAL : BL_END_CRANIAL);
}

/* What it means to lie wholly beyond such a mark. */
static const char *beyond_words(const bl_mark *of) {
    if (strcmp(of->name, GROUND_ILIOCAVAL) == 0) {
        return ", in the cava: no iliac vein is covered there (common "
               "practice, no source)";
    }
    return strcmp(of->name, GROUND_FEMORAL) == 0
               ? ", in the femoral vein: devices end above the confluence "
                 "(common practice, no source)"
               : ", in the groin: devices bend with the hip there (common "
                 "practice, no source)";
}

void wording_beyond(text *out, const bl_mark *mark, bool caudal) {
    text_format(out, "lies wholly %s of %s, ", wording_end(caudal), mark->name);
    wording_length(out, mark->position_mm);
    text_add(out, beyond_words(mark));
}

const char *wording_keep(const planner *in, text *words) {
    const char *kept =
        words->failed ? NULL : arena_text(in->owner, words->bytes, words->size);
    text_free(words);
    return kept;
}

/* "a device of 17.2 mm or more in diameter that covers 120.8 mm or more would
 * do". */
static void add_wanted(text *out, double diameter_mm, int32_t tenths) {
    text_add(out, "a device of ");
    text_fixed(out, diameter_mm, 1);
    text_add(out, " mm or more in diameter that covers ");
    text_fixed(out, (double)tenths / SHELF_TENTHS, 1);
    text_add(out, " mm or more would do");
}

/* Why nothing on the list does. */
static void add_reason(text *out, const planner *in, const treatment *of,
                       double wanted_mm) {
    const shelf *stock = &in->stock;
    if (stock->count == 0) {
        text_add(out, "nothing on the list is in stock");
        return;
    }
    if (of->stopped) {
        text_add(out, "the search was stopped before anything was found");
        return;
    }
    if (of->fewest > 0) {
        text_add(out, "there are too few on the list");
        return;
    }
    double widest = stock->diameters[stock->diameter_count - 1];
    if (!shelf_is_wide(widest, wanted_mm)) {
        text_add(out, "the widest on the list has ");
        text_short(out, widest, 1);
        text_add(out, " mm");
        return;
    }
    text_add(out, "none on the list is both wide and long enough");
}

bl_status wording_missing(const planner *in, const treatment *of,
                          const char **out) {
    text words = {0};
    int32_t from = of->fewest > 0 ? 0 : of->reached;
    double first = fitting_at_mm(&of->site, from);
    ground_mean over = ground_mean_over(
        &in->ground, first, fitting_at_mm(&of->site, of->site.cover));
    double wanted = over.reference_mm[in->rules.by];
    if (isnan(wanted)) {
        text_add(&words, "no reference is known of the vein to be covered, and "
                         "nothing can be sized");
    } else {
        add_reason(&words, in, of, wanted);
        text_add(&words, ": from ");
        wording_position(&words, in, first);
        text_add(&words, " on ");
        add_wanted(&words, wanted, of->site.cover - from);
    }
    *out = wording_keep(in, &words);
    return *out == NULL ? BL_ERR_MEMORY : BL_OK;
}
