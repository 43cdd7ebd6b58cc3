/*
 * inflow.c - arbitrary pullbacks held against each other as inflow veins;
 * every report and the figure at the end.
 *
 * The first bytes are how many there are and options; each vein then takes one
 * for its notes, one for its frames, and each frame three: what it is and how
 * far from the one before, how wide, how high.
 */
#include "fuzz/fuzz.h"

#include "base/text.h"
#include "support/wellformed.h"

#include <math.h>

#define VEINS_MAX 3
#define FRAMES_MAX 30

typedef struct entry {
    bl_study *study;
    bl_assessment *assessment;
    bl_source source;
    bl_message without;
} entry;

static bl_status gather(void *context, const char *bytes, size_t size) {
    text *to = context;
    must(size >= 1);
    text_bytes(to, bytes, size);
    must(!to->failed);
    return BL_OK;
}

/* ------------------------------------------------------------------ a vein */

static void add_frame(text *to, bites *from, unsigned frame, double *at_mm) {
    uint8_t what = bite(from);
    double width = 0.1 * bite(from) + 0.1;
    double height = 0.1 * bite(from) + 0.1;
    *at_mm += what >= 0xf8 ? 8.0 : 0.02 * (what & 0x7f);
    text_format(to, "frame %u position=", frame);
    text_fixed(to, *at_mm, 3);
    text_add(to, "\n0 0\n");
    text_fixed(to, width, 3);
    text_add(to, what == 0x7f ? " 1\n" : " 0\n");
    text_fixed(to, what == 0x7f ? 0.0 : width, 3);
    text_add(to, " ");
    text_fixed(to, height, 3);
    text_add(to, "\n0 ");
    text_fixed(to, what == 0x7f ? 0.0 : height, 3);
    text_add(to, "\n\n");
}

static void add_vein(text *to, bites *from) {
    uint8_t notes = bite(from);
    unsigned frames = 2 + bite(from) % FRAMES_MAX;
    double at_mm = 0.0;
    text_add(to, (notes & 1) != 0 ? "# travel = cranial\n" : "");
    text_add(to, (notes & 2) != 0 ? "# reference = 0..12\n" : "");
    text_add(to, (notes & 4) != 0 ? "# side = left\n" : "");
    text_add(to, (notes & 8) != 0 ? "# case = \"<&>\" \\\n" : "");
    text_add(to, (notes & 16) != 0 ? "# mark = femoral_confluence @ 9\n" : "");
    text_add(to, (notes & 32) != 0 ? "# mark = deep_femoral_mouth @ 22\n" : "");
    text_add(to, (notes & 68) == 64 ? "# side = right\n" : "");
    text_add(to, "frame 0 position=0\n0 0\n9 0\n9 9\n0 9\n\n");
    for (unsigned i = 1; i < frames; i++) {
        add_frame(to, from, i, &at_mm);
    }
}

/* As the program does: without a reference where none can be had. */
static bool assess(entry *of, bl_assess_options options) {
    bl_status status =
        bl_assess(of->study, &options, &of->assessment, &of->without);
    if (status == BL_ERR_REFERENCE) {
        options.reference = BL_REFERENCE_NONE;
        must(bl_assess(of->study, &options, &of->assessment, NULL) == BL_OK);
    }
    return of->assessment != NULL;
}

static bool make(entry *to, bites *from, const bl_assess_options *options) {
    bl_study_options how = {.columns = BL_COLUMNS_ASSESS};
    text table = {0};
    add_vein(&table, from);
    must(!table.failed);
    must(bl_study_new(&how, &to->study) == BL_OK);
    bl_status status = bl_study_feed(to->study, table.bytes, table.size);
    must(status == BL_OK && bl_study_finish(to->study) == BL_OK);
    text_free(&table);
    to->source = (bl_source){.file = "a/<vein> & \"more\", \xff.csv",
                             .crc32 = 7,
                             .bytes = 9,
                             .options = "--case '<&>'"};
    return assess(to, *options);
}

/* --------------------------------------------------------------- properties */

static void must_be_figures(const bl_assessment *of) {
    const bl_inflow_stretch *end = &of->inflow;
    double length = end->span.to_mm - end->span.from_mm;
    must(length >= 0.0 && end->frames >= 1);
    must(end->is_shorter == (length < of->options.inflow_mm - 1e-9));
    for (unsigned m = 0; m < BL_INFLOW_MEASURES; m++) {
        const bl_inflow_figure *one = &end->figures[m];
        must(isnan(one->value) == (one->why_not != NULL));
        must(!isnan(one->value) || isnan(one->interval.low));
        must(isnan(one->interval.low) == isnan(one->interval.high));
        must(!(one->interval.low > one->interval.high));
        must(!(one->value < 0.0));
    }
    double least = end->figures[BL_INFLOW_MIN_AREA].value;
    must(least > 0.0);
    must(!(end->figures[BL_INFLOW_NARROWED].value > length + 1e-9));
    must(!(end->figures[BL_INFLOW_MEAN_AREA].value <= 0.0));
}

static void must_be_ordered(const bl_inflow *of) {
    for (size_t i = 1; i < of->candidate_count; i++) {
        const bl_inflow_candidate *a = &of->candidates[i - 1];
        const bl_inflow_candidate *b = &of->candidates[i];
        must(a->input.assessment->inflow.figures[0].value >=
             b->input.assessment->inflow.figures[0].value - 0.1000001);
        must(a->ranks[0] <= b->ranks[0] && a->letter != b->letter);
    }
    for (unsigned m = 0; m < BL_INFLOW_MEASURES; m++) {
        const bl_inflow_verdict *one = &of->verdicts[m];
        must(one->best <= of->candidate_count && one->words[0] != '\0');
        must(!one->told_apart || one->best < of->candidate_count);
        must(one->best == of->candidate_count ||
             of->candidates[one->best].ranks[m] == 1);
    }
    must(!of->named || of->verdicts[0].told_apart);
    must(of->why[0] != '\0');
}

/* No vein is named of tables of two sides, or with a scale in doubt. */
static void must_be_comparable(const bl_inflow *of) {
    const char *side = "";
    for (size_t i = 0; i < of->candidate_count; i++) {
        const bl_study *study = of->candidates[i].input.study;
        const char *own = bl_study_pullback(study)->side;
        must(side[0] == '\0' || own[0] == '\0' || own[0] == side[0]);
        side = own[0] == '\0' ? side : own;
        for (size_t k = 0; k < bl_study_finding_count(study); k++) {
            must(!bl_study_findings(study)[k].doubts_scale);
        }
    }
}

/* What is named does not hang on the order of the tables. */
static void must_be_named_alike(const bl_inflow *of,
                                const bl_inflow_input *inputs, size_t count) {
    bl_inflow_input turned[VEINS_MAX];
    bl_inflow *other = NULL;
    for (size_t i = 0; i < count; i++) {
        turned[i] = inputs[count - 1 - i];
    }
    must(bl_inflow_new(turned, count, &other, NULL) == BL_OK);
    must(other->named == of->named);
    must(!of->named || other->candidates[0].input.assessment ==
                           of->candidates[0].input.assessment);
    bl_inflow_free(other);
}

static void must_be_written(const bl_inflow *of,
                            const bl_figure_options *size) {
    text out = {0};
    bl_figure *figure = NULL;
    must(bl_report_inflow_json(of, gather, &out) == BL_OK);
    must(wellformed_json(out.bytes, out.size));
    out.size = 0;
    must(bl_report_inflow_csv(of, gather, &out) == BL_OK && out.size > 0);
    out.size = 0;
    must(bl_report_inflow_text(of, gather, &out) == BL_OK && out.size > 0);
    out.size = 0;
    must(bl_figure_inflow(of, size, &figure) == BL_OK);
    must(bl_figure_svg(figure, gather, &out) == BL_OK);
    must(wellformed_xml(out.bytes, out.size));
    bl_figure_free(figure);
    text_free(&out);
}

static void try_entries(const entry *entries, size_t count,
                        const bl_figure_options *size) {
    bl_inflow_input inputs[VEINS_MAX];
    bl_inflow *of = NULL;
    for (size_t i = 0; i < count; i++) {
        const char *why = entries[i].without.text;
        inputs[i] = (bl_inflow_input){
            entries[i].study, entries[i].assessment, &entries[i].source,
            entries[i].without.status == BL_ERR_REFERENCE ? why : NULL};
        must_be_figures(entries[i].assessment);
    }
    bl_status status = bl_inflow_new(inputs, count, &of, NULL);
    must(status == (count < 2 ? BL_ERR_ARGUMENT : BL_OK));
    if (of != NULL) {
        must_be_ordered(of);
        if (of->named) {
            must_be_comparable(of);
        }
        must_be_named_alike(of, inputs, count);
        must_be_written(of, size);
    }
    bl_inflow_free(of);
}

int LLVMFuzzerTestOneInput(const uint8_t *bytes, size_t size) {
    bites in = {bytes, size};
    entry entries[VEINS_MAX] = {0};
    size_t veins = 1 + bite(&in) % VEINS_MAX;
    bl_assess_options options = bl_assess_defaults();
    options.accept_gaps = true;
    options.smooth_mm = 0.05 * bite(&in);
    options.inflow_mm = 5.0 + 0.5 * bite(&in);
    options.area_cv_pct = bite(&in) % 20;
    bl_figure_options page = {80.0 + bite(&in), 60.0 + bite(&in)};
    size_t made = 0;
    size_t count = 0;
    while (made < veins) {
        count += make(&entries[made++], &in, &options);
    }
    /* All of them, or there is nothing to compare. */
    if (count == veins) {
        try_entries(entries, count, &page);
    }
    for (size_t i = 0; i < made; i++) {
        bl_assessment_free(entries[i].assessment);
        bl_study_free(entries[i].study);
    }
    return 0;
}
