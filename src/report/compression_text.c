/*
 * compression_text.c - compression points.
 */
#include "report/assessment_text.h"

#include "base/place.h"
#include "report/prose.h"
#include "report/source.h"

#include <math.h>

void compression_text_size(text *out, const bl_compression *of) {
    text_fixed(out, of->place.min_diameter_mm, 2);
    text_add(out, " x ");
    text_fixed(out, of->place.max_diameter_mm, 2);
    text_add(out, " mm (aspect ratio ");
    text_fixed(out, of->aspect_ratio, 2);
    text_add(out, ")");
}

void compression_text_wall(text *out, const bl_assessment *of,
                           const bl_compression *one) {
    bool expected = of->reference_from == BL_FROM_EXPECTED;
    text_add(out, expected ? "perimeter " : "perimeter kept ");
    text_fixed(out, one->perimeter_kept_pct, 0);
    text_add(out, " %, long axis ");
    text_fixed(out, one->long_axis_deg, 0);
    text_add(out, " deg");
}

void compression_text_away(text *out, const bl_compression *of) {
    text_fixed(out, fabs(of->nearest_mark->position_mm - of->place.position_mm),
               1);
    text_add(out, " mm from the mark ");
}

static void compression_line(text *out, const bl_assessment *of,
                             const bl_compression *one) {
    text_add(out, "point at ");
    text_fixed(out, one->place.position_mm, 1);
    text_add(out, " mm: ");
    compression_text_size(out, one);
    prose_next_line(out);
    text_add(out, "  ");
    compression_text_wall(out, of, one);
    text_add(out, ", ");
    place_text_stenosis(out, "area stenosis", one->place.area_stenosis_pct);
    place_text_circle(out, of);
    if (one->nearest_mark != NULL) {
        prose_next_line(out);
        text_add(out, "  ");
        compression_text_away(out, one);
        text_add(out, one->nearest_mark->name);
    }
    text_add(out, "\n");
    text words = {0};
    if (place_perimeter_is_long(one)) {
        text_add(&words, "the perimeter is ");
        place_perimeter_words(&words, of);
    }
    prose_wrapped_line(out, 2, &words);
    place_text_doubts(out, 2, &one->place, &of->worst);
}

void compression_text(text *out, const bl_assessment *of) {
    source_heading(out, "Compression");
    if (of->compression_count == 0) {
        text_add(out, "no stretch is flattened more than the reference");
        place_text_unjudged(out, of);
        text_add(out, "\n");
    }
    for (size_t i = 0; i < of->compression_count; i++) {
        if (i > 0) {
            source_heading(out, "");
        }
        compression_line(out, of, &of->compressions[i]);
    }
}
