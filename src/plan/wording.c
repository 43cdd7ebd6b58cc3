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

void wording_device(text *out, const bl_device *of) {
    text_device_size(out, of->diameter_mm, of->length_mm);
    text_add(out, " at ");
    text_span(out, of->span);
}

void wording_devices(text *out, size_t count) {
    text_format(out, "%zu %s", count, count == 1 ? "device" : "devices");
}

const char *wording_end(bool caudal) {
    return bl_end_name(caudal ? BL_END_CAUDAL : BL_END_CRANIAL);
}

void wording_end_of(text *out, const bl_plan *plan, size_t stretch,
                    bl_end end) {
    text_format(out, "the %s end", bl_end_name(end));
    if (plan->stretch_count > 1) {
        text_format(out, " of stretch %zu", stretch + 1);
    }
}

void wording_vein_beyond(text *out, const bl_mark *mark) {
    text_add(out, strcmp(mark->name, GROUND_ILIOCAVAL) == 0 ? "in the cava"
                  : strcmp(mark->name, GROUND_FEMORAL) == 0
                      ? "in the femoral vein"
                      : "in the groin");
}

/* What it means to lie wholly beyond such a mark. */
static const char *beyond_words(const bl_mark *of) {
    if (strcmp(of->name, GROUND_ILIOCAVAL) == 0) {
        return ": no iliac vein is covered there (common practice, no source)";
    }
    return strcmp(of->name, GROUND_FEMORAL) == 0
               ? ": devices end above the confluence (common practice, no "
                 "source)"
               : ": devices bend with the hip there (common practice, no "
                 "source)";
}

void wording_beyond(text *out, const bl_mark *mark, bool caudal) {
    text_format(out, "lies wholly %s of %s, ", wording_end(caudal), mark->name);
    wording_length(out, mark->position_mm);
    text_add(out, ", ");
    wording_vein_beyond(out, mark);
    text_add(out, beyond_words(mark));
}

const char *wording_keep(const planner *in, text *words) {
    const char *kept =
        words->failed ? NULL : arena_text(in->owner, words->bytes, words->size);
    text_free(words);
    return kept;
}
