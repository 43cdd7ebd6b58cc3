/*
 * explained.c - what a search for healthy vein looked at, in words and JSON.
 */
#include "report/explained.h"

#include <math.h>

static const char indent[] = "               ";

static void add_number(text *out, const char *before, double value,
                       unsigned decimals, const char *after) {
    text_add(out, before);
    text_fixed(out, value, decimals);
    text_add(out, after);
}

static void part_line(text *out, const bl_candidate *of) {
    text_add(out, indent);
    text_add(out, "part ");
    text_span(out, of->part_span);
    if (of->segment.vein != BL_VEIN_UNKNOWN) {
        text_add(out, ", ");
        text_add(out, bl_vein_name(of->segment.vein));
    }
    text_add(out, "\n");
}

static void figure_lines(text *out, const bl_candidate *of) {
    const bl_segment *segment = &of->segment;
    text_add(out, indent);
    text_format(out, "    %zu %s, ", segment->frames,
                segment->frames == 1 ? "frame" : "frames");
    add_number(out, "", segment->area_mm2, 1, " mm2");
    if (!isnan(segment->share_of_normal_pct)) {
        add_number(out, " (", segment->share_of_normal_pct, 0, " % of normal)");
    }
    add_number(out, ", diameter ", segment->equivalent_diameter_mm, 2, " mm\n");
    text_add(out, indent);
    add_number(out, "    spread ", of->spread_pct, 1, " %");
    if (!isnan(segment->flatness)) {
        add_number(out, ", least over perimeter diameter ", segment->flatness,
                   2, "");
    }
    if (!isnan(of->away_mm)) {
        add_number(out, ", ", of->away_mm, 1, " mm away");
    }
    text_add(out, "\n");
}

static void score_lines(text *out, const bl_score *of) {
    text_add(out, indent);
    add_number(out, "    score ", of->total, 2, ": ");
    add_number(out, "calibre ", of->calibre, 2, ", ");
    add_number(out, "steadiness ", of->steadiness, 2, ",\n");
    text_add(out, indent);
    add_number(out, "      roundness ", of->roundness, 2, ", ");
    add_number(out, "length ", of->length, 2, ", ");
    add_number(out, "nearness ", of->nearness, 2, "\n");
}

static void candidate_lines(text *out, const bl_candidate *of) {
    bl_span span = of->segment.span;
    bool scored = !isnan(of->score.total);
    text_add(out, indent);
    text_add(out, "  ");
    text_span(out, span);
    add_number(out, ", ", span.to_mm - span.from_mm, 1, " mm long: ");
    text_add(out, bl_verdict_name(of->verdict));
    if (scored) {
        text_add(out, " (");
        text_add(out, bl_end_name(of->segment.where));
        text_add(out, ")");
    }
    text_add(out, "\n");
    figure_lines(out, of);
    if (scored) {
        score_lines(out, &of->score);
    }
}

void explained_text(text *out, const bl_assessment *of) {
    text_add(out, "Candidates     ");
    if (of->reference_from != BL_FROM_FOUND) {
        text_add(out, "none: healthy vein was not searched (--reference find "
                      "does)\n");
        return;
    }
    text_add(out, "what the search looked at; the score and its parts run from "
                  "0\n");
    text_add(out, indent);
    text_add(out, "to 1, 'away' is from where nearness counts\n");
    for (size_t i = 0; i < of->candidate_count; i++) {
        const bl_candidate *one = &of->candidates[i];
        if (i == 0 || one->part != of->candidates[i - 1].part) {
            part_line(out, one);
        }
        candidate_lines(out, one);
    }
    text_add(out, indent);
    text_format(out,
                "not listed: %zu more that could serve, %zu that could not\n",
                of->more_candidates, of->more_rejected);
}

/* -------------------------------------------------------------------- JSON */

static void score_json(json *to, const bl_score *of) {
    json_open(to, "score", '{', true);
    json_number(to, "total", of->total);
    json_number(to, "calibre", of->calibre);
    json_number(to, "steadiness", of->steadiness);
    json_number(to, "roundness", of->roundness);
    json_number(to, "length", of->length);
    json_number(to, "nearness", of->nearness);
    json_close(to, '{');
}

static void candidate_json(json *to, const bl_candidate *of) {
    const bl_segment *segment = &of->segment;
    bool scored = !isnan(of->score.total);
    json_open(to, NULL, '{', false);
    json_integer(to, "part", (int64_t)of->part);
    json_number(to, "part_from_mm", of->part_span.from_mm);
    json_number(to, "part_to_mm", of->part_span.to_mm);
    json_string(to, "vein",
                segment->vein == BL_VEIN_UNKNOWN ? NULL
                                                 : bl_vein_name(segment->vein));
    json_string(to, "verdict", bl_verdict_name(of->verdict));
    json_string(to, "where", scored ? bl_end_name(segment->where) : NULL);
    json_number(to, "from_mm", segment->span.from_mm);
    json_number(to, "to_mm", segment->span.to_mm);
    json_number(to, "length_mm", segment->span.to_mm - segment->span.from_mm);
    json_integer(to, "frames", (int64_t)segment->frames);
    json_number(to, "area_mm2", segment->area_mm2);
    json_number(to, "equivalent_diameter_mm", segment->equivalent_diameter_mm);
    json_number(to, "diameter_cv_pct", of->spread_pct);
    json_number(to, "flatness", segment->flatness);
    json_number(to, "away_mm", of->away_mm);
    json_number(to, "normal_area_mm2", segment->normal_area_mm2);
    json_number(to, "share_of_normal_pct", segment->share_of_normal_pct);
    if (scored) {
        score_json(to, &of->score);
    } else {
        json_string(to, "score", NULL);
    }
    json_close(to, '{');
}

void explained_json(json *to, const bl_assessment *of) {
    json_open(to, "candidates", '[', false);
    for (size_t i = 0; i < of->candidate_count; i++) {
        candidate_json(to, &of->candidates[i]);
    }
    json_close(to, '[');
    json_integer(to, "more_candidates", (int64_t)of->more_candidates);
    json_integer(to, "more_rejected", (int64_t)of->more_rejected);
}
