/*
 * record_narrowing.c - narrowings and compression points.
 */
#include "report/record_parts.h"

#include "base/limits.h"
#include "base/place.h"
#include "report/assessment_text.h"

#include <math.h>

void record_more(text *out, size_t count) {
    if (count > LIMIT_RECORD_LISTED) {
        text_format(out, " and %zu more, which --format json lists",
                    count - LIMIT_RECORD_LISTED);
    }
}

void record_more_sentence(text *out, size_t count) {
    text words = {0};
    record_more(&words, count);
    record_sentence(out, words.size > 0 ? text_c(&words) + 1 : "");
    out->failed = out->failed || words.failed;
    text_free(&words);
}

/* --------------------------------------------------------------- narrowings */

static void rule_sentence(text *out, const bl_assessment *of) {
    size_t count = of->narrowing_count;
    text words = {0};
    if (count == 0) {
        text_add(&words, "none");
    } else {
        text_format(&words, "%zu", count);
    }
    text_add(&words, " with an area stenosis of ");
    text_short(&words, of->options.threshold_pct, 2);
    text_add(&words, " % or more");
    if (count > 0) {
        text_add(&words, "; shoulders to ");
        text_short(&words, of->options.shoulder_pct, 2);
        text_add(&words, " %");
    }
    if (place_judged_in_part(of)) {
        text_add(&words, ", ");
        place_text_unjudged_words(&words, of);
    }
    record_sentence_of(out, &words);
}

static void length_sentence(text *out, const bl_narrowing *of) {
    text words = {0};
    text_span(&words, of->span);
    text_add(&words, ": ");
    narrowing_text_length(&words, of);
    record_interval(&words, of->length_interval_mm, " mm");
    text_add(&words, ", shoulders ");
    text_span(&words, of->shoulders);
    if (!isnan(of->shoulders_interval_mm.low)) {
        text_add(&words, " (95 % interval of the length between them ");
        interval_text_between(&words, of->shoulders_interval_mm, 1, " mm");
        text_add(&words, ")");
    }
    record_sentence_of(out, &words);
    narrowing_text_open(&words, of);
    record_sentence_of(out, &words);
}

static void depth_sentence(text *out, const bl_assessment *in,
                           const bl_narrowing *of) {
    text words = {0};
    text_add(&words, "least area ");
    text_fixed(&words, of->min_area_mm2, 1);
    text_add(&words, " mm2");
    record_interval(&words, of->min_area_interval_mm2, " mm2");
    text_add(&words, ", area stenosis ");
    text_fixed(&words, of->worst.area_stenosis_pct, 1);
    text_add(&words, " %");
    if (!isnan(of->area_stenosis_interval_pct.low)) {
        text_add(&words, " (95 % interval ");
        interval_text_stenosis(&words, of->area_stenosis_interval_pct);
        text_add(&words, ")");
    }
    text_add(&words, " at ");
    text_fixed(&words, of->worst.position_mm, 1);
    text_add(&words, " mm; ");
    narrowing_text_pattern(&words, of);
    text_add(&words, in->reference_from == BL_FROM_EXPECTED
                         ? ", against a circle of the expected area"
                         : "");
    record_sentence_of(out, &words);
}

/* What speaks against a place that was not spoken of before. */
static void doubt_sentence(text *out, const bl_assessment *in,
                           const bl_place *place) {
    text words = {0};
    if (place_is_doubted(place) && place->row != in->worst.row) {
        text_add(&words, "this is doubtful: ");
        place_doubt_words(&words, place);
    }
    record_sentence_of(out, &words);
}

static void narrowing_sentences(text *out, const bl_assessment *in,
                                const bl_narrowing *of) {
    text words = {0};
    length_sentence(out, of);
    depth_sentence(out, in, of);
    narrowing_text_left_out(&words, of);
    record_sentence_of(out, &words);
    doubt_sentence(out, in, &of->worst);
}

static void narrowing_list(text *out, const bl_assessment *of) {
    rule_sentence(out, of);
    for (size_t i = 0; i < of->narrowing_count && i < LIMIT_RECORD_LISTED;
         i++) {
        narrowing_sentences(out, of, &of->narrowings[i]);
    }
    record_more_sentence(out, of->narrowing_count);
}

/* -------------------------------------------------------------- compression */

static void point_sentences(text *out, const bl_assessment *in,
                            const bl_compression *of) {
    text words = {0};
    text_add(&words, "point at ");
    text_fixed(&words, of->place.position_mm, 1);
    text_add(&words, " mm");
    if (of->nearest_mark != NULL) {
        text_add(&words, ", ");
        compression_text_away(&words, of);
        record_name(&words, of->nearest_mark->name);
    }
    text_add(&words, ": ");
    compression_text_size(&words, of);
    text_add(&words, ", ");
    compression_text_wall(&words, in, of);
    text_add(&words, ", ");
    place_text_stenosis(&words, "area stenosis", of->place.area_stenosis_pct);
    record_sentence_of(out, &words);
    if (place_perimeter_is_long(of)) {
        text_add(&words, "the perimeter is ");
        place_perimeter_words(&words, in);
        record_sentence_of(out, &words);
    }
    doubt_sentence(out, in, &of->place);
}

static void compression_list(text *out, const bl_assessment *of) {
    text words = {0};
    if (of->compression_count == 0) {
        text_add(&words, "no stretch is flattened more than the reference");
        if (place_judged_in_part(of)) {
            text_add(&words, ", ");
            place_text_unjudged_words(&words, of);
        }
        record_sentence_of(out, &words);
    }
    for (size_t i = 0; i < of->compression_count && i < LIMIT_RECORD_LISTED;
         i++) {
        point_sentences(out, of, &of->compressions[i]);
    }
    record_more_sentence(out, of->compression_count);
}

void record_narrowings(record_page *to, const char *part,
                       const bl_compared_table *of) {
    if (of->assessment->reference_from != BL_FROM_NOTHING) {
        narrowing_list(record_page_begin(to, part, "narrowings"),
                       of->assessment);
        compression_list(record_page_begin(to, part, "compression"),
                         of->assessment);
    }
}
