/*
 * vein_text.c - the assessment vein by vein.
 */
#include "report/assessment_text.h"

#include "base/place.h"
#include "report/prose.h"
#include "report/source.h"

#include <math.h>

static void vein_stenosis_lines(text *out, const bl_vein_row *one) {
    prose_next_line(out);
    if (!one->has_reference) {
        text_add(out, "  no reference, so nothing is called narrowed");
        return;
    }
    text_add(out, "  reference there ");
    text_fixed(out, one->minimum.reference_area_mm2, 1);
    if (place_exceeds(&one->worst)) {
        text_add(out, " mm2; no frame lies below it");
    } else {
        text_add(out, " mm2; greatest area stenosis ");
        text_fixed(out, one->worst.area_stenosis_pct, 1);
        text_add(out, " %");
        if (one->worst.row != one->minimum.row &&
            place_is_doubted(&one->worst)) {
            prose_next_line(out);
            text_add(out, "  doubtful there");
        }
    }
    prose_next_line(out);
    text_add(out, "  narrowed over ");
    text_fixed(out, one->narrowed_mm, 1);
    text_format(out, " mm; %zu compression %s", one->compression_count,
                one->compression_count == 1 ? "point" : "points");
}

void vein_text(text *out, const bl_assessment *of) {
    for (size_t i = 0; i < of->vein_count; i++) {
        const bl_vein_row *one = &of->veins[i];
        source_heading(out, i == 0 ? "Vein by vein" : "");
        text_add(out, bl_vein_name(one->vein));
        text_add(out, ", ");
        text_span(out, one->span);
        text_add(out, ", ");
        text_fixed(out, one->traced_mm, 1);
        text_add(out, " mm traced");
        prose_next_line(out);
        text_add(out, "  least ");
        text_fixed(out, one->minimum.area_mm2, 1);
        text_add(out, " mm2 at ");
        text_fixed(out, one->minimum.position_mm, 1);
        text_format(out, " mm, frame %lld", (long long)one->minimum.frame);
        if (!isnan(one->minimum.share_of_normal_pct)) {
            text_add(out, ", ");
            text_fixed(out, one->minimum.share_of_normal_pct, 0);
            text_add(out, " % of normal");
        }
        text_add(out, place_is_doubted(&one->minimum) ? ", doubtful" : "");
        vein_stenosis_lines(out, one);
        text_add(out, "\n");
    }
}
