/*
 * assessment.c - arbitrary profiles, assessed and checked with arbitrary
 * options; every report and the figure at the end.
 *
 * The first bytes are options, notes and a label; each frame then takes four:
 * what it is, how far from the one before, how wide, how high.
 */
#include "fuzz/fuzz.h"

#include "base/text.h"
#include "support/wellformed.h"

#include <math.h>

#define FRAMES_MAX 200

/* A bl_sink that refuses when it has had enough. */
typedef struct basin {
    text held;
    size_t room;
} basin;

static bl_status fill(void *context, const char *bytes, size_t size) {
    basin *to = context;
    must(size >= 1);
    if (size > to->room) {
        to->room = 0;
        return BL_ERR_FILE;
    }
    to->room -= size;
    text_bytes(&to->held, bytes, size);
    must(!to->held.failed);
    return BL_OK;
}

/* ------------------------------------------------------------------ a table */

static void add_number(text *to, double value) {
    text_fixed(to, value, 3);
}

static void add_point(text *to, double x, double y) {
    add_number(to, x);
    text_add(to, " ");
    add_number(to, y);
    text_add(to, "\n");
}

/* A triangle, a square, one that crosses itself or one of no area. */
static void add_corners(text *to, unsigned what, double width, double height) {
    add_point(to, 0.0, 0.0);
    add_point(to, width, what == 3 ? 0.0 : what == 2 ? height : 0.0);
    if (what == 0 || what == 3) {
        add_point(to, 0.5 * width, what == 3 ? 0.0 : height);
        return;
    }
    add_point(to, width, what == 2 ? 0.0 : height);
    add_point(to, 0.0, height);
}

/* Frames mostly follow each other; few are of another kind, come back or lie
 * far off. */
static void add_frames(text *to, bites *from) {
    double position = 0.0;
    unsigned frame = 1;
    for (int i = 0; from->left > 0 && i < FRAMES_MAX; i++) {
        uint8_t what = bite(from);
        uint8_t step = bite(from);
        double width = 0.1 * bite(from);
        double height = 0.1 * bite(from);
        position += what >= 0xf8   ? -0.5 * step
                    : what >= 0xf0 ? 40.0 * step
                                   : 0.02 * step;
        frame += what == 0xff ? 0 : 1;
        text_format(to, "frame %u position=", frame);
        add_number(to, position);
        text_format(to, " kind=%s\n",
                    bl_kind_name((what & 0x1c) == 0x1c ? BL_KIND_VESSEL
                                                       : BL_KIND_LUMEN));
        add_corners(to, (what & 0x60) == 0 ? what % 4 : 1, width, height);
        text_add(to, "\n");
    }
}

/* ------------------------------------------------------------------ options */

/* Mostly in range. */
static bl_assess_options take_options(bites *from) {
    uint8_t wild = bite(from);
    uint8_t choice = bite(from);
    bl_assess_options out = {
        .threshold_pct = 0.4 * bite(from),
        .smooth_mm = 0.2 * bite(from),
        .rule = (bl_rule)(choice % BL_RULE_COUNT),
        .reference = (bl_reference_choice)(choice / BL_RULE_COUNT % 4),
        .accept_gaps = choice >= 128,
        .explain = true,
        .flow = true,
    };
    out.shoulder_pct = out.threshold_pct * bite(from) / 256.0;
    out.threshold_pct = wild == 255 ? bite_double(from) : out.threshold_pct;
    out.shoulder_pct = wild == 254 ? bite_double(from) : out.shoulder_pct;
    out.smooth_mm = wild == 253 ? bite_double(from) : out.smooth_mm;
    return out;
}

static void set(bl_study *study, const char *key, text *value) {
    bl_status status = bl_study_set(study, key, text_c(value));
    must(status == BL_OK || status == BL_ERR_ARGUMENT);
    text_free(value);
}

static void set_range(bl_study *study, bites *from) {
    text value = {0};
    double start = bite(from);
    add_number(&value, start);
    text_add(&value, "..");
    add_number(&value, start + 0.2 * bite(from));
    set(study, "reference", &value);
}

static void set_mark(bl_study *study, bites *from) {
    static const char *const names[] = {
        "iliocaval_confluence @ ", "internal_iliac_confluence @ ",
        "inguinal_ligament @ ", "femoral_confluence @ ", "<&\"'> @ "};
    text value = {0};
    text_add(&value, names[bite(from) % (sizeof names / sizeof names[0])]);
    add_number(&value, bite(from));
    set(study, "mark", &value);
}

static void set_label(bl_study *study, bites *from) {
    static const char *const keys[] = {"case", "reader"};
    text value = {0};
    size_t size = bite(from) % 64;
    const char *key = keys[size % 2];
    for (size_t i = 0; i < size && from->left > 0; i++) {
        char byte = (char)bite(from);
        text_bytes(&value, &byte, 1);
    }
    set(study, key, &value);
}

static void set_notes(bl_study *study, bites *from) {
    uint8_t which = bite(from);
    for (unsigned i = 0; i < which % 4U; i++) {
        set_mark(study, from);
    }
    for (unsigned i = 0; i < which / 4U % 4U; i++) {
        set_range(study, from);
    }
    if ((which & 0x10) != 0) {
        set_label(study, from);
    }
    if ((which & 0x20) != 0) {
        must(bl_study_set(study, "travel", "cranial") == BL_OK);
    }
}

/* --------------------------------------------------------------- properties */

static void must_be_a_place(const bl_assessment *of, const bl_place *place) {
    double first = of->profile[0].position_mm;
    double last = of->profile[of->profile_count - 1].position_mm;
    must(place->position_mm >= first && place->position_mm <= last);
    must(isfinite(place->area_mm2) && place->area_mm2 > 0.0);
    must(isfinite(place->area_stenosis_pct) ==
         isfinite(place->reference_area_mm2));
    must(isfinite(place->area_stenosis_pct) ||
         of->reference_from != BL_FROM_GIVEN);
    must(!(place->area_stenosis_pct > 100.0));
}

static void must_be_a_profile(const bl_assessment *of) {
    must(of->frames == of->frames_used + of->left_out_count);
    must(of->profile_count == of->frames_used && of->profile_count >= 2);
    for (size_t i = 0; i < of->profile_count; i++) {
        const bl_profile_point *point = &of->profile[i];
        must(isfinite(point->area_mm2) && point->area_mm2 > 0.0);
        must(i == 0 || point->position_mm >= point[-1].position_mm);
        /* A part of the line may have no healthy vein in reach. */
        must(isfinite(point->reference_area_mm2) ||
             of->reference_from != BL_FROM_GIVEN);
    }
    must(isfinite(of->volume_mm3) && of->volume_mm3 >= 0.0);
    must(isfinite(of->traced_mm) && of->traced_mm >= 0.0);
}

static void must_be_narrowings(const bl_assessment *of) {
    for (size_t i = 0; i < of->narrowing_count; i++) {
        const bl_narrowing *one = &of->narrowings[i];
        must(one->shoulders.from_mm <= one->span.from_mm);
        must(one->span.from_mm <= one->span.to_mm);
        must(one->span.to_mm <= one->shoulders.to_mm);
        must(i == 0 || one[-1].span.to_mm <= one->span.from_mm);
        must_be_a_place(of, &one->worst);
        must(isfinite(one->worst.area_stenosis_pct));
        must(one->worst.position_mm >= one->span.from_mm);
        must(one->worst.position_mm <= one->span.to_mm);
        must(one->min_area_mm2 > 0.0);
        must(!(one->flattening_share < 0.0 || one->flattening_share > 1.0));
    }
    for (size_t i = 0; i < of->compression_count; i++) {
        must_be_a_place(of, &of->compressions[i].place);
        must(of->compressions[i].span.from_mm <=
             of->compressions[i].span.to_mm);
    }
}

static void must_be_veins(const bl_assessment *of) {
    double narrowed = 0.0;
    size_t frames = 0;
    for (size_t i = 0; i < of->vein_count; i++) {
        const bl_vein_row *one = &of->veins[i];
        must(one->vein != BL_VEIN_UNKNOWN && one->frames >= 1);
        must(one->span.from_mm <= one->span.to_mm && one->traced_mm >= 0.0);
        must(i == 0 || one[-1].span.to_mm <= one->span.from_mm);
        must_be_a_place(of, &one->minimum);
        must_be_a_place(of, &one->worst);
        must(one->has_reference == isfinite(one->worst.area_stenosis_pct));
        must(one->has_reference == isfinite(one->narrowed_mm));
        narrowed += one->has_reference ? one->narrowed_mm : 0.0;
        frames += one->frames;
    }
    for (size_t i = 0; i < of->narrowing_count; i++) {
        bl_span span = of->narrowings[i].span;
        narrowed -= span.to_mm - span.from_mm;
    }
    must(narrowed < 1e-6 && frames <= of->frames_used);
}

static void must_be_a_score(const bl_candidate *of) {
    const bl_score *score = &of->score;
    bool serves = of->verdict <= BL_VERDICT_LOWER;
    must(serves == !isnan(score->total) && serves == !isnan(of->away_mm));
    must(!serves || (score->total >= 0.0 && score->total <= 1.0 + 1e-12));
    must(!serves ||
         of->segment.span.to_mm - of->segment.span.from_mm >= 10.0 - 1e-9);
    must(of->segment.frames >= 1 && of->spread_pct >= 0.0);
    must(of->segment.span.from_mm >= of->part_span.from_mm &&
         of->segment.span.to_mm <= of->part_span.to_mm);
}

static void must_be_candidates(const bl_assessment *of) {
    size_t chosen = 0;
    for (size_t i = 0; i < of->candidate_count; i++) {
        const bl_candidate *a = &of->candidates[i];
        must_be_a_score(a);
        chosen += a->verdict == BL_VERDICT_CHOSEN;
        for (size_t k = 0; k < i; k++) {
            const bl_span *b = &of->candidates[k].segment.span;
            must(a->segment.span.from_mm >= b->to_mm ||
                 b->from_mm >= a->segment.span.to_mm);
        }
    }
    must(chosen ==
         (of->reference_from == BL_FROM_FOUND ? of->segment_count : 0));
}

static void must_be_sensitive(const bl_assessment *of) {
    const bl_runner_up *next = of->runner_up;
    must(next == NULL || (of->reference_from == BL_FROM_FOUND &&
                          next->segment_count == of->segment_count));
    must(next == NULL || next->narrowed_mm >= 0.0);
    for (unsigned rule = 0; rule < BL_RULE_COUNT; rule++) {
        must(isnan(of->narrowed_by_rule_mm[rule])
                 ? of->segment_count == 0
                 : of->narrowed_by_rule_mm[rule] >= 0.0);
    }
    must(of->segment_count == 0 ||
         of->narrowings_by_rule[of->options.rule] == of->narrowing_count);
}

static void must_be_sane(const bl_assessment *of) {
    must_be_sensitive(of);
    must_be_candidates(of);
    must_be_a_profile(of);
    must_be_narrowings(of);
    must_be_veins(of);
    must_be_a_place(of, &of->minimum);
    must_be_a_place(of, &of->worst);
    must_be_a_place(of, &of->lowest_frame);
    must(of->options.reference != BL_REFERENCE_NONE || of->segment_count == 0);
    size_t serving = 0;
    for (size_t i = 0; i < of->segment_count; i++) {
        serving += of->segments[i].serves_worst;
        must(i == 0 ||
             of->segments[i].span.from_mm >= of->segments[i - 1].span.from_mm);
        must(of->segments[i].frames >= 1 && of->segments[i].area_mm2 > 0.0);
        must(of->segments[i].span.from_mm <= of->segments[i].span.to_mm);
    }
    must(serving <= 2);
    for (size_t i = 0; i < of->warning_count; i++) {
        must(of->warnings[i] != NULL && of->warnings[i][0] != '\0');
    }
    for (size_t i = 0; i < of->gap_count; i++) {
        must(of->gaps[i].to_mm - of->gaps[i].from_mm > 5.0 - 1e-9);
    }
}

/* ----------------------------------------------------------------- writing */

typedef enum output {
    MEASURES_CSV,
    MEASURES_JSON,
    CHECK_TEXT,
    CHECK_JSON,
    ASSESSMENT_TEXT,
    ASSESSMENT_JSON,
    ASSESSMENT_CSV,
    FIGURE_SVG,
    OUTPUT_COUNT
} output;

typedef struct results {
    const bl_study *study;
    const bl_check *check;
    const bl_assessment *assessment; /* NULL when it was refused */
    bl_figure_options size;
} results;

static bl_status write_figure(const results *of, const bl_source *source,
                              basin *to) {
    bl_figure *figure = NULL;
    must(bl_figure_profile(of->study, of->assessment, source, &of->size,
                           &figure) == BL_OK);
    bl_status status = bl_figure_svg(figure, fill, to);
    bl_figure_free(figure);
    return status;
}

static bl_status write_output(const results *of, output which, basin *to) {
    static const bl_source source = {"a <table> & \"more\".csv", 7, 99,
                                     "--json --case '<&>'"};
    static const bl_column columns[] = {BL_COL_FRAME, BL_COL_POSITION_MM,
                                        BL_COL_KIND, BL_COL_AREA_MM2,
                                        BL_COL_FLAGS};
    switch (which) {
    case MEASURES_CSV:
        return bl_report_measures_csv(of->study, columns, 5, 4, fill, to);
    case MEASURES_JSON:
        return bl_report_measures_json(of->study, &source, columns, 5, fill,
                                       to);
    case CHECK_TEXT:
        return bl_report_check_text(of->study, of->check, &source, fill, to);
    case CHECK_JSON:
        return bl_report_check_json(of->study, of->check, &source, fill, to);
    case ASSESSMENT_TEXT:
        return bl_report_assessment_text(of->study, of->assessment, &source,
                                         fill, to);
    case ASSESSMENT_JSON:
        return bl_report_assessment_json(of->study, of->assessment, &source,
                                         fill, to);
    case ASSESSMENT_CSV:
        return bl_report_assessment_csv(of->study, of->assessment, fill, to);
    case FIGURE_SVG:
    case OUTPUT_COUNT:
    default:
        return write_figure(of, &source, to);
    }
}

static bool is_wellformed(output which, const text *held) {
    bool json = which == MEASURES_JSON || which == CHECK_JSON ||
                which == ASSESSMENT_JSON;
    return which == FIGURE_SVG ? wellformed_xml(held->bytes, held->size)
           : json              ? wellformed_json(held->bytes, held->size)
                               : wellformed_utf8(held->bytes, held->size);
}

/* Into a sink that refuses on the way. */
static void try_cut(const results *of, output which, size_t room,
                    const text *whole) {
    basin cut = {.room = room};
    bl_status status = write_output(of, which, &cut);
    must(status == (whole->size <= room ? BL_OK : BL_ERR_FILE));
    must(cut.held.size <= whole->size);
    must(cut.held.size == 0 ||
         memcmp(cut.held.bytes, whole->bytes, cut.held.size) == 0);
    text_free(&cut.held);
}

/* Whole, and one of them cut short too. */
static void try_output(const results *of, output which, size_t room) {
    basin whole = {.room = SIZE_MAX};
    must(write_output(of, which, &whole) == BL_OK);
    must(whole.held.size > 0 && is_wellformed(which, &whole.held));
    if (room % OUTPUT_COUNT == (size_t)which) {
        try_cut(of, which, room, &whole.held);
    }
    text_free(&whole.held);
}

static void try_outputs(const results *of, size_t room) {
    for (int which = 0; which < OUTPUT_COUNT; which++) {
        if (which < ASSESSMENT_TEXT || of->assessment != NULL) {
            try_output(of, (output)which, room);
        }
    }
}

static void must_be_checked(const bl_check *of, const bl_study *study,
                            bl_status assessed) {
    must(of->placed || bl_study_fault_count(study) > 0);
    must(of->usable == (assessed == BL_OK));
    must(of->contours == bl_study_row_count(study));
    must(of->left_out <= of->frames && of->frames <= of->contours);
    must(of->points_least <= of->points_most);
}

/* The check, and the assessment where the table was read without a fault. */
static void try_study(const bl_study *study, const bl_assess_options *options,
                      const bl_figure_options *size, size_t room) {
    results of = {.study = study, .size = *size};
    bl_assessment *assessment = NULL;
    bl_check *check = NULL;
    bl_message message = {.status = BL_OK};
    bl_status status = BL_ERR_INPUT;
    if (bl_study_fault_count(study) == 0) {
        status = bl_assess(study, options, &assessment, &message);
        must((status == BL_OK) == (assessment != NULL));
        must(status == BL_OK ||
             (message.status == status && message.text[0] != '\0'));
    }
    must(bl_check_study(study, NULL, options, 0, &check) == BL_OK);
    must_be_checked(check, study, status);
    if (assessment != NULL) {
        must_be_sane(assessment);
    }
    of.check = check;
    of.assessment = assessment;
    try_outputs(&of, room);
    bl_assessment_free(assessment);
    bl_check_free(check);
}

int LLVMFuzzerTestOneInput(const uint8_t *bytes, size_t size) {
    bites in = {bytes, size};
    bl_assess_options options = take_options(&in);
    bl_figure_options page = {80.0 + 3.6 * bite(&in), 60.0 + 3.6 * bite(&in)};
    size_t room = 65U * bite(&in);
    bl_study_options how = {.columns = BL_COLUMNS_ASSESS |
                                       BL_BIT(BL_COL_EQUIVALENT_DIAMETER_MM),
                            .keep_contours = true,
                            .go_on = true};
    bl_study *study = NULL;
    must(bl_study_new(&how, &study) == BL_OK);
    set_notes(study, &in);
    text table = {0};
    text_add(&table, "frame 0 position=0\n0 0\n9 0\n9 9\n0 9\n\n");
    add_frames(&table, &in);
    must(!table.failed);
    bl_status status = bl_study_feed(study, table.bytes, table.size);
    if (status == BL_OK) {
        status = bl_study_finish(study);
    }
    must(status == BL_OK);
    try_study(study, &options, &page, room);
    text_free(&table);
    bl_study_free(study);
    return 0;
}
