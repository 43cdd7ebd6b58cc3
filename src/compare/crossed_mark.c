/*
 * crossed_mark.c - confluences that the device lies across, at either end of
 * the pelvic and femoral vein: what flows in there may lie behind it.
 */
#include "base/constants.h"
#include "compare/comparing.h"

#include <math.h>
#include <string.h>

/* As far past it as figures are printed a device ends at the mark. */
#define COUNTED_MM (0.1 + EDGE_MM)

/* Where a mark lies on the axis of BEFORE, whose own goes first; NaN: neither
 * table has it. */
static double mark_at(const comparing *in, const char *name) {
    for (int which = BEFORE; which < TABLES; which++) {
        const bl_pullback *of = in->tables[which].pullback;
        for (size_t i = 0; i < of->mark_count; i++) {
            double at = of->marks[i].position_mm;
            if (strcmp(of->marks[i].name, name) == 0) {
                return which == BEFORE
                           ? at
                           : bl_alignment_before_mm(&in->out->alignment, at);
            }
        }
    }
    return (double)NAN;
}

void crossed_mark_fill(comparing *in) {
    static const struct {
        const char *mark;
        bl_end end;
    } all[] = {{"iliocaval_confluence", BL_END_CRANIAL},
               {"femoral_confluence", BL_END_CAUDAL}};
    bl_device_state *to = &in->out->device;
    bl_end high = in->tables[BEFORE].pullback->travel;
    for (size_t i = 0; i < sizeof all / sizeof all[0]; i++) {
        double at = mark_at(in, all[i].mark);
        bool beyond_high = all[i].end == high;
        double past = beyond_high ? to->span.to_mm - at : at - to->span.from_mm;
        double rest = beyond_high ? at - to->span.from_mm : to->span.to_mm - at;
        if (past > COUNTED_MM && rest > COUNTED_MM) {
            to->crossed[to->crossed_count++] =
                (bl_crossed){all[i].mark, at, all[i].end, past};
        }
    }
}

void crossed_mark_tell(comparing *in) {
    const bl_device_state *of = &in->out->device;
    for (size_t i = 0; i < of->crossed_count; i++) {
        const bl_crossed *one = &of->crossed[i];
        text *words = &in->said.draft;
        text_format(words, "The %s end of the device lies ",
                    bl_end_name(one->end));
        text_fixed(words, one->past_mm, 1);
        text_format(words, " mm past %s, ", one->mark);
        text_fixed(words, one->position_mm, 1);
        text_add(words,
                 one->end == BL_END_CAUDAL
                     ? " mm: inflow of the deep femoral vein may lie behind it "
                       "(common practice, no source)."
                     : " mm, in the cava: it may cover the inflow of the other "
                       "side (common practice, no source).");
        sentences_end(&in->said);
    }
}
