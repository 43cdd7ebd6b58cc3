/*
 * record.c - a record of a small vein, alone or held against itself, whose
 * labels, marks, file name, options and devices are called anything.
 *
 * JSON is JSON; Markdown is titles and paragraphs in which no name is markup;
 * text and Markdown are UTF-8 without control characters; the words are the
 * same in all three. The first bytes say how wide frames are.
 */
#include "fuzz/fuzz.h"

#include "base/text.h"
#include "support/wellformed.h"

#define FRAMES 40
#define NAME_MOST 48

static bl_status fill(void *context, const char *bytes, size_t size) {
    must(size >= 1);
    text_bytes(context, bytes, size);
    return BL_OK;
}

/* A name of any bytes but NUL. */
static void take_name(bites *from, char to[NAME_MOST]) {
    size_t size = bite(from) % NAME_MOST;
    for (size_t i = 0; i < size; i++) {
        char c = (char)bite(from);
        to[i] = (char)(c == '\0' ? '*' : c);
    }
    to[size] = '\0';
}

/* What the notes refuse is not there. */
static void set_name(bl_study *study, const char *key, bites *from,
                     const char *behind) {
    char name[NAME_MOST];
    text value = {0};
    take_name(from, name);
    text_add(&value, name);
    text_add(&value, behind);
    bl_status status = bl_study_set(study, key, text_c(&value));
    must(status == BL_OK || status == BL_ERR_ARGUMENT);
    text_free(&value);
}

/* Rectangles a millimetre apart; where a bite is 0 one that crosses itself. */
static void feed_frames(bl_study *study, bites *from) {
    text table = {0};
    for (int i = 0; i < FRAMES; i++) {
        unsigned high = bite(from);
        text_format(&table, "frame %d position=%d\n0 0\n16 %d\n", i, i,
                    high == 0 ? 16 : 0);
        text_format(&table, "%d %u\n0 %u\n\n", high == 0 ? 8 : 16,
                    high % 16 + 1, high % 16 + 1);
    }
    must(!table.failed);
    must(bl_study_feed(study, table.bytes, table.size) == BL_OK);
    must(bl_study_finish(study) == BL_OK);
    text_free(&table);
}

static bl_study *make_study(bites *from) {
    const bl_study_options options = {.columns = BL_COLUMNS_ASSESS};
    uint8_t which = bite(from);
    bl_study *study = NULL;
    must(bl_study_new(&options, &study) == BL_OK);
    if ((which & 1) != 0) {
        must(bl_study_set(study, "reference", "0..10") == BL_OK);
    }
    if ((which & 2) != 0) {
        must(bl_study_set(study, "mark", "iliocaval_confluence @ 5") == BL_OK);
    }
    set_name(study, "case", from, "");
    set_name(study, "reader", from, "");
    set_name(study, "mark", from, " @ 12");
    feed_frames(study, from);
    return study;
}

/* A list of one device, unless its label is refused. */
static bl_stock *make_stock(bites *from) {
    char label[NAME_MOST];
    text table = {0};
    bl_stock *stock = NULL;
    take_name(from, label);
    text_add(&table, "label\tdiameter_mm\tlength_mm\n");
    text_add(&table, label);
    text_add(&table, "\t16\t20\n");
    (void)bl_stock_from_text(text_c(&table), table.size, label, &stock, NULL);
    text_free(&table);
    return stock;
}

/* How often a byte stands at the beginning of a line. */
static size_t count_lines(const text *of, char with) {
    size_t count = 0;
    for (size_t i = 0; i < of->size; i++) {
        count += of->bytes[i] == with && (i == 0 || of->bytes[i - 1] == '\n');
    }
    return count;
}

/* Paragraphs, which are told apart by a key that no string holds unescaped. */
static size_t count_paragraphs(const text *json) {
    static const char key[] = "\n      \"about\": ";
    size_t count = 0;
    for (size_t i = 0; i + sizeof key < json->size; i++) {
        count += memcmp(json->bytes + i, key, sizeof key - 1) == 0;
    }
    return count;
}

/* Whether the writing is turned around by U+202E. */
static bool is_turned(const text *of) {
    bool turned = false;
    for (size_t i = 0; i + 2 < of->size; i++) {
        turned = turned || memcmp(of->bytes + i, "\xe2\x80\xae", 3) == 0;
    }
    return turned;
}

static void must_be_a_record(const bl_record *of) {
    text plain = {0};
    text markdown = {0};
    text json = {0};
    must(bl_report_record_text(of, fill, &plain) == BL_OK);
    must(bl_report_record_markdown(of, fill, &markdown) == BL_OK);
    must(bl_report_record_json(of, fill, &json) == BL_OK);
    must(wellformed_utf8(plain.bytes, plain.size));
    must(!is_turned(&plain) && !is_turned(&markdown));
    must(wellformed_markdown(markdown.bytes, markdown.size));
    must(wellformed_json(json.bytes, json.size));
    must(count_lines(&markdown, '*') == count_paragraphs(&json));
    text_free(&plain);
    text_free(&markdown);
    text_free(&json);
}

/* The vein as the second table of itself, where it can be lined up. */
static void try_comparison(bl_record *of) {
    const bl_nominal nominal = {14.0, 30.0};
    bl_compare_options how = bl_compare_defaults();
    bl_comparison *comparison = NULL;
    how.shift_mm = 1.5;
    how.treated_given = true;
    how.treated = (bl_span){14.0, 26.0};
    how.nominals = &nominal;
    how.nominal_count = 1;
    if (bl_comparison_new(of->before.study, of->before.assessment,
                          of->before.study, of->before.assessment, &how,
                          &comparison, NULL) == BL_OK) {
        of->after = of->before;
        of->comparison = comparison;
        must_be_a_record(of);
    }
    bl_comparison_free(comparison);
}

/* Smoothing over 5 mm leaves intervals out, which take most of the time. */
static void try_record(const bl_study *study, const bl_stock *stock,
                       bites *from) {
    char file[NAME_MOST];
    char options[NAME_MOST];
    bl_assess_options how = bl_assess_defaults();
    bl_plan_options wanted = bl_plan_defaults();
    bl_assessment *assessment = NULL;
    bl_plan *plan = NULL;
    uint8_t which = bite(from);
    take_name(from, file);
    take_name(from, options);
    bl_source source = {file, 7, which % 2, options};
    how.reference = (bl_reference_choice)(which / 2 % 4);
    how.smooth_mm = which >= 224 ? 1.0 : 6.0;
    how.accept_gaps = true;
    wanted.stock = stock;
    if (bl_assess(study, &how, &assessment, NULL) == BL_OK) {
        (void)bl_plan_new(study, assessment, &wanted, &plan, NULL);
        bl_record record = {.before = {study, assessment, &source},
                            .plan = plan};
        must_be_a_record(&record);
        if ((which & 8) != 0) {
            try_comparison(&record);
        }
    }
    bl_plan_free(plan);
    bl_assessment_free(assessment);
}

int LLVMFuzzerTestOneInput(const uint8_t *bytes, size_t size) {
    bites from = {bytes, size};
    bl_study *study = make_study(&from);
    bl_stock *stock = make_stock(&from);
    try_record(study, stock, &from);
    bl_stock_free(stock);
    bl_study_free(study);
    return 0;
}
