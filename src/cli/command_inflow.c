/*
 * command_inflow.c - boreline inflow: candidate inflow veins, ranked.
 *
 * Each file is read and assessed as by `assess`, with the same options for all.
 */
#include "cli/console.h"
#include "cli/session.h"

#include <stdio.h>
#include <string.h>

/* One candidate: its own request, which is that of all but for the input. */
typedef struct entrant {
    request wanted;
    session session;
    bl_assessment *assessment;
    bl_message no_reference;
} entrant;

typedef struct field {
    entrant entrants[BL_INFLOW_MOST];
    size_t count; /* whose sessions are open */
    bl_inflow *inflow;
} field;

/* EXIT_USAGE, after saying so, when one file is named twice. */
static int check_files(const request *wanted) {
    for (size_t i = 1; i < wanted->input_count; i++) {
        for (size_t j = 0; j < i; j++) {
            if (session_is_same_file(wanted->inputs[i], wanted->inputs[j])) {
                return console_usage("%s and %s are the same file; name the "
                                     "tables of two pullbacks",
                                     wanted->inputs[j], wanted->inputs[i]);
            }
        }
    }
    return 0;
}

static int check_inputs(const request *wanted) {
    size_t standard = 0;
    request one = *wanted;
    int status = 0;
    for (size_t i = 0; i < wanted->input_count && status == 0; i++) {
        one.input = wanted->inputs[i];
        standard += strcmp(one.input, "-") == 0;
        status = session_check_outputs(&one);
    }
    if (status == 0 && standard > 1) {
        return console_usage("two files both are standard input; name one "
                             "of them");
    }
    return status == 0 ? check_files(wanted) : status;
}

/* Without a healthy stretch areas can still be told. */
static bl_status assess(entrant *of) {
    const bl_study *study = of->session.study;
    bl_assess_options options = of->session.assess;
    bl_message message;
    options.inflow_mm = of->wanted.within_mm;
    bl_status status =
        bl_assess(study, &options, &of->assessment, &of->no_reference);
    if (status == BL_ERR_REFERENCE) {
        console_warning(of->wanted.input, &of->no_reference);
        options.reference = BL_REFERENCE_NONE;
        status = bl_assess(study, &options, &of->assessment, &message);
        if (status != BL_OK) {
            of->no_reference = message;
        }
    }
    if (status != BL_OK) {
        console_error(of->wanted.input, &of->no_reference);
    }
    return status;
}

/* By other names, or copied: nothing is told apart from itself. */
static int check_contents(const field *in, const entrant *last) {
    for (const entrant *one = in->entrants; one < last; one++) {
        if (session_is_same_content(&one->session, &last->session)) {
            bl_message message = {0};
            (void)snprintf(message.text, sizeof message.text,
                           "holds the same bytes as %s; name the tables of "
                           "two pullbacks",
                           one->wanted.input);
            console_error(last->wanted.input, &message);
            return EXIT_WORK;
        }
    }
    return 0;
}

static int enter(field *in, const request *wanted, const char *path) {
    entrant *one = &in->entrants[in->count++];
    one->wanted = *wanted;
    one->wanted.input = path;
    int status = session_open(&one->session, &one->wanted, BL_COLUMNS_ASSESS,
                              SESSION_CHECKSUM);
    if (status == 0) {
        status = check_contents(in, one);
    }
    if (status != 0) {
        return status;
    }
    return assess(one) == BL_OK ? 0 : EXIT_WORK;
}

static int compare(field *in) {
    bl_inflow_input inputs[BL_INFLOW_MOST];
    bl_message message;
    for (size_t i = 0; i < in->count; i++) {
        const entrant *one = &in->entrants[i];
        bool without = one->no_reference.status == BL_ERR_REFERENCE;
        inputs[i] = (bl_inflow_input){
            .study = one->session.study,
            .assessment = one->assessment,
            .source = &one->session.source,
            .no_reference = without ? one->no_reference.text : NULL,
        };
    }
    if (bl_inflow_new(inputs, in->count, &in->inflow, &message) != BL_OK) {
        console_error(NULL, &message);
        return EXIT_WORK;
    }
    return 0;
}

static bl_status write_inflow(const session *of, const void *what, bl_sink sink,
                              void *context) {
    const bl_inflow *inflow = what;
    switch (of->wanted->as) {
    case FORMAT_JSON:
        return bl_report_inflow_json(inflow, sink, context);
    case FORMAT_CSV:
        return bl_report_inflow_csv(inflow, sink, context);
    case FORMAT_PLAIN:
    case FORMAT_MARKDOWN: /* of records only */
    default:
        return bl_report_inflow_text(inflow, sink, context);
    }
}

/* What a table has no room for. */
static void say_notes(const field *in) {
    console_hint(in->inflow->why);
    console_hint(in->inflow->rule);
    console_hint(bl_inflow_intervals_note());
    console_hint(bl_flow_note());
    for (size_t i = 0; i < in->inflow->warning_count; i++) {
        console_hint(in->inflow->warnings[i]);
    }
    for (size_t i = 0; i < in->count; i++) {
        session_say_origin(&in->entrants[i].session);
        session_warn(&in->entrants[i].session, in->entrants[i].assessment);
    }
}

static int draw(const field *in, const request *wanted) {
    bl_figure *figure = NULL;
    bl_status status = bl_figure_inflow(in->inflow, &wanted->size, &figure);
    return session_paint(&in->entrants[0].session, status, figure,
                         wanted->plot);
}

static int run_field(field *in, const request *wanted) {
    int status = check_inputs(wanted);
    for (size_t i = 0; i < wanted->input_count && status == 0; i++) {
        status = enter(in, wanted, wanted->inputs[i]);
    }
    if (status == 0) {
        status = compare(in);
    }
    if (status == 0 && wanted->plot != NULL) {
        status = draw(in, wanted);
    }
    const session *first = &in->entrants[0].session;
    if (status == 0 && wanted->as == FORMAT_CSV) {
        say_notes(in);
    }
    return status == 0
               ? session_write(first, wanted->output, write_inflow, in->inflow)
               : status;
}

static int run(const request *wanted) {
    field in = {.count = 0};
    int status = run_field(&in, wanted);
    bl_inflow_free(in.inflow);
    for (size_t i = 0; i < in.count; i++) {
        bl_assessment_free(in.entrants[i].assessment);
        session_close(&in.entrants[i].session);
    }
    return status;
}

const command command_inflow = {
    .name = "inflow",
    .bit = FOR_INFLOW,
    .run = run,
    .files = "FILE FILE...",
    .files_least = 2,
    .files_most = BL_INFLOW_MOST,
    .summary = "candidate inflow veins, ranked with intervals",
    .about =
        "Holds candidate inflow veins, such as the femoral and the deep "
        "femoral vein,\neach from its own pullback, against each other: least "
        "area, mean area, narrowed\nlength and flow index of the last 50 mm "
        "of each, at its caudal end (--within).\nThey are ordered by least "
        "area. One is named only where the 95 % interval of its\nleast area "
        "lies above those of all others and nothing else speaks against it;\n"
        "else the report says why none is. It is no advice to treat.\n\n"
        "Mark where each begins (femoral_confluence, deep_femoral_mouth): "
        "cranial of it\nis vein that they share. None is named by that, nor "
        "where it is not as wide in\none table as in the other, where a scale "
        "is in doubt, or across sides.\n\n"
        "Each file is assessed as by 'boreline assess', with the same options "
        "for all.\nWhere one has no healthy vein to be held against, its "
        "areas are still told.\n\n"
        "The flow index is a teaching aid, never a pressure gradient.\n",
    .examples =
        "  boreline inflow femoral.csv deep-femoral.csv\n"
        "  boreline inflow femoral.csv deep-femoral.csv --within 30 --json\n"
        "  boreline inflow femoral.csv deep-femoral.csv --plot inflow.png\n",
};
