/*
 * comparison.c - two arbitrary tables of one vein, lined up and compared with
 * arbitrary options; both reports and the figure at the end.
 *
 * The first bytes are options and notes. Then come the frames of the first
 * table and those of the second, a byte that counts them before each; a frame
 * takes three: which contours it has, how far it is from the one before, how
 * wide the vein is.
 */
#include "fuzz/fuzz.h"

#include "base/text.h"
#include "support/wellformed.h"

#include <math.h>

#define CORNERS 12

static bl_status fill(void *context, const char *bytes, size_t size) {
    text *to = context;
    must(size >= 1);
    text_bytes(to, bytes, size);
    must(!to->failed);
    return BL_OK;
}

/* ------------------------------------------------------------------- tables */

/* Regular but for one corner, which may stand out or be pressed in. */
static void add_contour(text *to, unsigned frame, double position,
                        const char *kind, double radius, double corner) {
    text_format(to, "frame %u position=", frame);
    text_fixed(to, position, 3);
    text_format(to, " kind=%s\n", kind);
    for (int i = 0; i < CORNERS; i++) {
        double angle = i * 6.283185307179586 / CORNERS;
        double size = i == 0 ? radius * corner : radius;
        text_fixed(to, size * cos(angle), 3);
        text_add(to, " ");
        text_fixed(to, size * sin(angle), 3);
        text_add(to, "\n");
    }
    text_add(to, "\n");
}

static void add_frames(text *to, bites *from) {
    double position = 0.0;
    unsigned count = bite(from);
    for (unsigned frame = 0; frame < count && from->left > 0; frame++) {
        uint8_t what = bite(from);
        uint8_t step = bite(from);
        double radius = 0.05 * (1.0 + bite(from));
        double corner = (what & 0x10) != 0 ? 1.3 : (what & 0x20) != 0 ? 0.6 : 1;
        position += what >= 0xf0 ? step : 0.02 * step;
        if ((what & 1) == 0) {
            add_contour(to, frame, position, "lumen", radius, corner);
        }
        if ((what & 2) != 0) {
            add_contour(to, frame, position, "device",
                        radius * ((what & 8) != 0 ? 1.2 : 1.0), 1.0);
        }
        if ((what & 4) != 0) {
            add_contour(to, frame, position, "vessel", radius * 1.05, corner);
        }
    }
}

static void set_marks(bl_study *study, bites *from) {
    static const char *const names[] = {"a", "<&\"'>", "inguinal_ligament",
                                        "iliocaval_confluence"};
    unsigned which = bite(from);
    for (unsigned i = 0; i < 4; i++) {
        if ((which >> i & 1U) != 0) {
            text value = {0};
            text_add(&value, names[i]);
            text_add(&value, " @ ");
            text_fixed(&value, 0.5 * bite(from), 3);
            bl_status status = bl_study_set(study, "mark", text_c(&value));
            must(status == BL_OK || status == BL_ERR_ARGUMENT);
            text_free(&value);
        }
    }
    if ((which & 0x10) != 0) {
        text value = {0};
        double start = 0.5 * bite(from);
        text_fixed(&value, start, 3);
        text_add(&value, "..");
        text_fixed(&value, start + 0.1 * bite(from), 3);
        must(bl_study_set(study, "reference", text_c(&value)) == BL_OK);
        text_free(&value);
    }
    if ((which & 0x20) != 0) {
        must(bl_study_set(study, "travel", "cranial") == BL_OK);
    }
    if ((which & 0x40) != 0) {
        must(bl_study_set(study, "stage", "follow-up") == BL_OK);
    }
    if ((which & 0x80) != 0) {
        must(bl_study_set(study, "side", "left") == BL_OK);
    }
}

static bl_study *take_study(bites *from) {
    bl_study_options how = {
        .columns = BL_COLUMNS_ASSESS, .appose = true, .go_on = true};
    bl_study *study = NULL;
    text table = {0};
    must(bl_study_new(&how, &study) == BL_OK);
    set_marks(study, from);
    text_add(&table, "frame 0 position=-1\n0 0\n9 0\n9 9\n0 9\n\n");
    add_frames(&table, from);
    must(!table.failed);
    bl_status status = bl_study_feed(study, table.bytes, table.size);
    if (status == BL_OK) {
        status = bl_study_finish(study);
    }
    must(status == BL_OK);
    text_free(&table);
    return study;
}

/* ------------------------------------------------------------------ options */

static bl_compare_options take_options(bites *from, bl_nominal nominals[4]) {
    bl_compare_options out = bl_compare_defaults();
    uint8_t which = bite(from);
    out.nominals = nominals;
    out.nominal_count = which % 4U;
    for (size_t i = 0; i < out.nominal_count; i++) {
        uint8_t size = bite(from);
        nominals[i] = (bl_nominal){4.0 + 36.0 * size / 255.0,
                                   size % 3 == 0 ? (double)NAN : 10.0 + size};
    }
    if ((which & 0x10) != 0) {
        out.shift_mm = bite(from) - 100.0;
    }
    if ((which & 0x20) != 0) {
        double start = 0.5 * bite(from);
        out.treated_given = true;
        out.treated = (bl_span){start, start + 0.5 * bite(from)};
    }
    if ((which & 0x40) != 0) {
        out.edge_mm = 0.25 * bite(from);
        out.area_cv_pct = 0.25 * bite(from);
    }
    return out;
}

/* --------------------------------------------------------------- properties */

static bool is_known(bl_span of) {
    must(isnan(of.from_mm) == isnan(of.to_mm));
    must(isnan(of.from_mm) || of.from_mm <= of.to_mm);
    return !isnan(of.from_mm);
}

static void must_be_a_residual(const bl_residual *of) {
    must(isnan(of->area_stenosis_pct) == isnan(of->position_mm));
    must(isnan(of->area_stenosis_pct) ||
         fabs(of->area_stenosis_pct -
              100.0 * (1.0 - of->area_mm2 / of->denominator_mm2)) < 1e-6);
}

static void must_be_a_device(const bl_device_state *of) {
    must(of->traced || (of->unapposed_count == 0 && of->overlap_count == 0));
    must(of->against_lumen <= of->apposition_frames);
    must(of->apposition_frames + of->outside_count <= of->frames);
    must(!(of->symmetry_index < 0.0 || of->symmetry_index > 1.0));
    must(!(of->tissue_inside_pct < -1e-9 || of->tissue_inside_pct > 100.0));
    for (size_t i = 0; i < of->unapposed_count; i++) {
        const bl_unapposed *one = &of->unapposed[i];
        must(is_known(one->span) && one->frames >= 1);
        must(one->max_gap_mm > of->gap_tolerance_mm);
        must(one->widest_arc_deg >= 0.0 && one->widest_arc_deg <= 360.0);
        must(i == 0 || one[-1].span.to_mm <= one->span.from_mm);
    }
    for (size_t i = 0; i < of->overlap_count; i++) {
        must(is_known(of->overlaps[i].span));
    }
}

static void must_be_sane(const bl_comparison *of) {
    must(is_known(of->treated) == (of->treated_from != BL_TREATED_NOWHERE));
    must(of->alignment.knot_count >= 1 && isfinite(of->alignment.shift_mm));
    must(of->alignment.how != NULL && of->alignment.how[0] != '\0');
    must_be_a_residual(&of->before_reference_residual);
    must_be_a_residual(&of->after_reference_residual);
    must_be_a_residual(&of->nominal_residual);
    must_be_a_device(&of->device);
    for (size_t i = 0; i < of->edge_count; i++) {
        must(is_known(of->edges[i].span) && of->edges[i].traced_mm >= 0.0);
    }
    for (size_t i = 0; i < of->untreated_count; i++) {
        must(is_known(of->untreated[i].span));
    }
    for (size_t i = 0; i < of->series_count; i++) {
        must(i == 0 ||
             of->series[i].position_mm >= of->series[i - 1].position_mm);
    }
    for (size_t i = 0; i < of->warning_count; i++) {
        must(of->warnings[i] != NULL && of->warnings[i][0] != '\0');
    }
    for (size_t i = 0; i < of->cannot_count; i++) {
        must(of->cannot[i] != NULL && of->cannot[i][0] != '\0');
    }
}

/* ----------------------------------------------------------------- writing */

static void try_outputs(const bl_compared_table *before,
                        const bl_compared_table *after, const bl_comparison *of,
                        const bl_figure_options *size) {
    text report = {0};
    must(bl_report_comparison_text(before, after, of, fill, &report) == BL_OK);
    must(wellformed_utf8(report.bytes, report.size));
    text_free(&report);
    text json = {0};
    must(bl_report_comparison_json(before, after, of, fill, &json) == BL_OK);
    must(wellformed_json(json.bytes, json.size));
    text_free(&json);
    bl_figure *figure = NULL;
    text svg = {0};
    must(bl_figure_comparison(before, after, of, size, &figure) == BL_OK);
    must(bl_figure_svg(figure, fill, &svg) == BL_OK);
    must(wellformed_xml(svg.bytes, svg.size));
    bl_figure_free(figure);
    text_free(&svg);
}

static bl_assessment *take_assessment(const bl_study *of, uint8_t choice) {
    bl_assess_options options = bl_assess_defaults();
    bl_assessment *out = NULL;
    bl_message message;
    options.accept_gaps = true;
    options.reference = (bl_reference_choice)(choice % 4);
    if (bl_study_fault_count(of) > 0 ||
        bl_assess(of, &options, &out, &message) != BL_OK) {
        return NULL;
    }
    return out;
}

int LLVMFuzzerTestOneInput(const uint8_t *bytes, size_t size) {
    static const bl_source source = {"a <table> & \"more\".csv", 7, 99,
                                     "--json --case '<&>'"};
    bites in = {bytes, size};
    bl_nominal nominals[4];
    bl_figure_options page = {80.0 + bite(&in), 60.0 + bite(&in)};
    uint8_t choice = bite(&in);
    bl_compare_options options = take_options(&in, nominals);
    bl_study *studies[2] = {take_study(&in), NULL};
    studies[1] = take_study(&in);
    bl_assessment *before = take_assessment(studies[0], choice);
    bl_assessment *after = take_assessment(studies[1], choice / 4);
    bl_comparison *got = NULL;
    bl_message message = {.status = BL_OK};
    if (before != NULL && after != NULL) {
        bl_status status = bl_comparison_new(studies[0], before, studies[1],
                                             after, &options, &got, &message);
        must((status == BL_OK) == (got != NULL));
        must(status == BL_OK ||
             (message.status == status && message.text[0] != '\0'));
    }
    if (got != NULL) {
        bl_compared_table tables[] = {{studies[0], before, &source},
                                      {studies[1], after, &source}};
        must_be_sane(got);
        try_outputs(&tables[0], &tables[1], got, &page);
    }
    bl_comparison_free(got);
    bl_assessment_free(after);
    bl_assessment_free(before);
    bl_study_free(studies[1]);
    bl_study_free(studies[0]);
    return 0;
}
