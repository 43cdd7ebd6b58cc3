/*
 * record_place.c - least area, worst place, and what is least vein by vein.
 */
#include "report/record_parts.h"

#include "base/limits.h"
#include "base/place.h"
#include "report/assessment_text.h"
#include "report/prose.h"

#include <math.h>

/* A worst place that is not known to so much is said to be so. */
#define PLACE_KNOWN_MM 2.0

void record_interval(text *out, bl_interval of, const char *unit) {
    if (!isnan(of.low)) {
        text_add(out, " (95 % interval ");
        interval_text_between(out, of, 1, unit);
        text_add(out, ")");
    }
}

/* " (95 % interval 60.2 to 64.9 %, corrected 62.9 %)". */
static void stenosis_interval(text *out, bl_interval of, double corrected_pct) {
    if (isnan(of.low)) {
        return;
    }
    text_add(out, " (95 % interval ");
    interval_text_stenosis(out, of);
    if (corrected_pct >= 0.0) {
        text_add(out, ", corrected ");
        text_fixed(out, corrected_pct, 1);
        text_add(out, " %");
    }
    text_add(out, ")");
}

static void add_where(text *out, const bl_place *place) {
    text_add(out, " at ");
    text_fixed(out, place->position_mm, 1);
    text_format(out, " mm, frame %lld", (long long)place->frame);
    if (place->vein != BL_VEIN_UNKNOWN) {
        text_add(out, ", ");
        text_add(out, bl_vein_name(place->vein));
    }
}

static void area_sentence(text *out, const bl_place *place,
                          bl_interval interval_mm2) {
    text words = {0};
    text_fixed(&words, place->area_mm2, 1);
    text_add(&words, " mm2");
    record_interval(&words, interval_mm2, " mm2");
    add_where(&words, place);
    record_sentence_of(out, &words);
    if (!isnan(place->share_of_normal_pct)) {
        place_text_share(&words, place->vein, place->share_of_normal_pct,
                         place->normal_area_mm2);
        record_sentence_of(out, &words);
    }
    place_text_diameters(&words, place);
    record_sentence_of(out, &words);
}

/* The three stenoses, each by its kind; nothing without a reference there. */
static void stenosis_sentence(text *out, const bl_assessment *of,
                              const bl_place *place, bl_interval interval_pct,
                              double corrected_pct) {
    text words = {0};
    if (isnan(place->reference_area_mm2)) {
        return;
    }
    place_text_against(&words, of, place);
    text_add(&words, ": ");
    place_text_stenosis(&words, "area stenosis", place->area_stenosis_pct);
    stenosis_interval(&words, interval_pct, corrected_pct);
    text_add(&words, ", ");
    place_text_stenosis(&words, "diameter stenosis",
                        place->diameter_stenosis_pct);
    text_add(&words, ", ");
    place_text_stenosis(&words, "minimum-diameter stenosis",
                        place->min_diameter_stenosis_pct);
    record_sentence_of(out, &words);
}

static void doubt_sentence(text *out, const bl_place *place) {
    text words = {0};
    if (place_is_doubted(place)) {
        text_add(&words, "this is doubtful: ");
        place_doubt_words(&words, place);
    }
    record_sentence_of(out, &words);
}

/* ------------------------------------------------------------------- places */

static void lowest_sentence(text *out, const bl_assessment *of) {
    text words = {0};
    text_add(&words, "single frame, ");
    place_text_lowest(&words, &of->lowest_frame);
    record_sentence_of(out, &words);
    if (of->lowest_frame.row != of->minimum.row) {
        doubt_sentence(out, &of->lowest_frame);
    }
}

/* Whether it matters where else the worst place may lie. */
static bool is_uncertain(const bl_assessment *of) {
    bl_interval where = of->intervals.worst_position_mm;
    return of->narrowing_count > 0 && where.high - where.low > PLACE_KNOWN_MM;
}

/* "Worst place at 42.7 mm (95 % interval 40.3 to 43.7 mm)". */
static void position_sentence(text *out, const bl_assessment *of) {
    text words = {0};
    text_add(&words, place_worst_name(of));
    text_add(&words, " at ");
    text_fixed(&words, of->worst.position_mm, 1);
    text_add(&words, " mm");
    if (is_uncertain(of)) {
        record_interval(&words, of->intervals.worst_position_mm, " mm");
    }
    record_sentence_of(out, &words);
}

/* Of what it is the worst. */
static void scope_sentences(text *out, const bl_assessment *of) {
    text words = {0};
    if (place_exceeds(&of->worst)) {
        record_sentence(out, "no frame lies below the reference");
    }
    if (place_judged_in_part(of)) {
        text_add(&words, "this is of ");
        place_judged_words(&words, of);
        text_add(&words, "; the rest has no reference");
        record_sentence_of(out, &words);
    }
}

static void least_words(text *out, const bl_assessment *of, bool is_worst) {
    const bl_intervals *all = &of->intervals;
    const bl_place *place = &of->minimum;
    area_sentence(out, place, all->minimum_area_mm2);
    stenosis_sentence(out, of, place,
                      is_worst ? all->worst_area_stenosis_pct
                               : all->minimum_area_stenosis_pct,
                      is_worst ? all->worst_corrected_pct : -1.0);
    doubt_sentence(out, place);
    if (is_worst) {
        position_sentence(out, of);
        scope_sentences(out, of);
    }
    lowest_sentence(out, of);
}

static void worst_words(text *out, const bl_assessment *of) {
    static const bl_interval unknown = {(double)NAN, (double)NAN};
    area_sentence(out, &of->worst, unknown);
    stenosis_sentence(out, of, &of->worst,
                      of->intervals.worst_area_stenosis_pct,
                      of->intervals.worst_corrected_pct);
    doubt_sentence(out, &of->worst);
    if (is_uncertain(of)) {
        position_sentence(out, of);
    }
    scope_sentences(out, of);
}

/* ------------------------------------------------------------ vein by vein */

static void vein_sentence(text *out, const bl_vein_row *of) {
    text words = {0};
    text_add(&words, bl_vein_name(of->vein));
    text_add(&words, ": least area ");
    text_fixed(&words, of->minimum.area_mm2, 1);
    text_add(&words, " mm2 at ");
    text_fixed(&words, of->minimum.position_mm, 1);
    text_add(&words, " mm");
    if (!isnan(of->minimum.share_of_normal_pct)) {
        text_add(&words, ", ");
        text_fixed(&words, of->minimum.share_of_normal_pct, 0);
        text_add(&words, " % of normal");
    }
    text_add(&words, place_is_doubted(&of->minimum) ? ", doubtful" : "");
    if (of->has_reference) {
        text_add(&words, "; narrowed over ");
        text_fixed(&words, of->narrowed_mm, 1);
        text_format(&words, " mm; %zu compression %s", of->compression_count,
                    of->compression_count == 1 ? "point" : "points");
    } else {
        text_add(&words, "; no reference, so nothing is called narrowed");
    }
    record_sentence_of(out, &words);
}

void record_places(record_page *to, const char *part,
                   const bl_compared_table *of) {
    const bl_assessment *in = of->assessment;
    bool any = in->reference_from != BL_FROM_NOTHING;
    bool is_worst = any && in->minimum.row == in->worst.row;
    least_words(record_page_begin(to, part, "least area"), in, is_worst);
    if (any && !is_worst) {
        worst_words(record_page_begin(to, part, place_worst_name(in)), in);
    }
    text *veins = record_page_begin(to, part, "vein by vein");
    for (size_t i = 0; i < in->vein_count && i < LIMIT_RECORD_LISTED; i++) {
        vein_sentence(veins, &in->veins[i]);
    }
    record_more_sentence(veins, in->vein_count);
}
