/*
 * record.c - the record of a procedure: its paragraphs in their order, and
 * beside them, in JSON, every number they are made of.
 */
#include "base/stages.h"
#include "report/assessment_json.h"
#include "report/comparison_json.h"
#include "report/plan_json.h"
#include "report/record_parts.h"

/* The part about itself. */
#define THIS "this record"

/* The paragraphs of one pullback. */
static void add_pullback(record_page *to, const char *part,
                         const bl_compared_table *of) {
    record_pullback(to, part, of);
    record_places(to, part, of);
    record_narrowings(to, part, of);
    record_trust(to, part, of);
}

static void add_made_by(text *out, const bl_source *of) {
    text words = {0};
    text_add(&words, "program boreline ");
    text_add(&words, bl_version());
    if (of->options[0] != '\0') {
        text_add(&words, ", options ");
        record_label(&words, of->options);
    }
    record_sentence_of(out, &words);
}

/* What the first pullback is called. */
static const char *first_part(const bl_record *of) {
    const char *stage = bl_study_pullback(of->before.study)->stage;
    return of->comparison != NULL ? stages_first(of->comparison)
           : stage[0] != '\0'     ? stage
                                  : "pullback";
}

static void compose(record_page *to, const bl_record *of) {
    add_pullback(to, first_part(of), &of->before);
    if (of->plan != NULL) {
        record_plan(to, &of->before, of->plan);
    }
    if (of->comparison != NULL) {
        add_pullback(to, stages_second(of->comparison), &of->after);
        record_comparison(to, of);
    }
    add_made_by(record_page_begin(to, THIS, "version"), of->before.source);
    record_sentence(record_page_begin(to, THIS, "caution"), bl_caution());
}

static bl_status write_prose(const bl_record *of,
                             void (*form)(record_page *page, text *out),
                             bl_sink sink, void *context) {
    record_page page = {.count = 0};
    text out = {0};
    compose(&page, of);
    form(&page, &out);
    record_page_free(&page);
    bl_status status = text_flush(&out, sink, context);
    text_free(&out);
    return status;
}

bl_status bl_report_record_text(const bl_record *of, bl_sink sink,
                                void *context) {
    return write_prose(of, record_page_text, sink, context);
}

bl_status bl_report_record_markdown(const bl_record *of, bl_sink sink,
                                    void *context) {
    return write_prose(of, record_page_markdown, sink, context);
}

static void recorded_json(json *to, const char *key,
                          const bl_compared_table *of) {
    json_open(to, key, '{', false);
    assessment_json_members(to, of->study, of->assessment, of->source);
    json_close(to, '{');
}

/* What there is with a second table only. */
static void after_json(json *to, const bl_record *of) {
    if (of->comparison == NULL) {
        json_string(to, "after", NULL);
        json_string(to, "comparison", NULL);
        return;
    }
    recorded_json(to, "after", &of->after);
    json_open(to, "comparison", '{', false);
    comparison_json_members(to, &of->before, of->comparison, false);
    json_close(to, '{');
}

static void record_plan_json(json *to, const bl_record *of) {
    if (of->plan == NULL) {
        json_string(to, "plan", NULL);
        return;
    }
    json_open(to, "plan", '{', false);
    plan_json_members(to, of->before.study, of->before.assessment, of->plan);
    json_close(to, '{');
}

bl_status bl_report_record_json(const bl_record *of, bl_sink sink,
                                void *context) {
    record_page page = {.count = 0};
    text out = {0};
    json to = {.out = &out};
    compose(&page, of);
    json_open(&to, NULL, '{', false);
    json_string(&to, "boreline", bl_version());
    recorded_json(&to, "before", &of->before);
    record_plan_json(&to, of);
    after_json(&to, of);
    record_page_json(&page, &to);
    json_string(&to, "caution", bl_caution());
    json_close(&to, '{');
    record_page_free(&page);
    bl_status status = text_flush(&out, sink, context);
    text_free(&out);
    return status;
}
