/*
 * command_assess.c - boreline assess: reference, stenosis, narrowings.
 */
#include "cli/console.h"
#include "cli/session.h"

static bl_status write_assessment(const session *of, const void *what,
                                  bl_sink sink, void *context) {
    const bl_assessment *assessment = what;
    switch (of->wanted->as) {
    case FORMAT_JSON:
        return bl_report_assessment_json(of->study, assessment, &of->source,
                                         sink, context);
    case FORMAT_CSV:
        return bl_report_assessment_csv(of->study, assessment, sink, context);
    case FORMAT_PLAIN:
    case FORMAT_MARKDOWN:
    default:
        return bl_report_assessment_text(of->study, assessment, &of->source,
                                         sink, context);
    }
}

/* A table has no room for what its numbers were held against. */
static void say_normals(const session *of) {
    console_note(of->wanted->input,
                 "normal areas: ", bl_normals_source(of->assess.expected));
}

static int assess_and_write(const session *of) {
    const request *wanted = of->wanted;
    bl_assessment *assessment = NULL;
    bl_message message;
    if (bl_assess(of->study, &of->assess, &assessment, &message) != BL_OK) {
        console_error(wanted->input, &message);
        return EXIT_WORK;
    }
    int status = 0;
    if (wanted->plot != NULL) {
        status = session_draw(of, assessment, NULL, wanted->plot);
    }
    if (wanted->as == FORMAT_CSV) {
        session_say_origin(of);
        say_normals(of);
        if (of->assess.flow) {
            console_hint(bl_flow_note());
        }
        session_warn(of, assessment);
        if (assessment->narrowing_count == 0) {
            /* Else it stands in each row. */
            console_hint(bl_caution());
        }
    }
    if (status == 0) {
        status =
            session_write(of, wanted->output, write_assessment, assessment);
    }
    bl_assessment_free(assessment);
    return status;
}

static int run(const request *wanted) {
    int status = session_check_outputs(wanted);
    if (status != 0) {
        return status;
    }
    session of;
    status = session_open(&of, wanted, BL_COLUMNS_ASSESS,
                          wanted->plot != NULL ? SESSION_KEEPS_CONTOURS
                                               : SESSION_PLAIN);
    if (status == 0) {
        status = assess_and_write(&of);
    }
    session_close(&of);
    return status;
}

const command command_assess = {
    .name = "assess",
    .bit = FOR_ASSESS,
    .run = run,
    .summary = "reference, area stenosis, narrowed lengths, compression points",
    .about =
        "Holds the pullback against healthy vein and reports where it is "
        "narrowed, how\nseverely and over what length, and where it is pressed "
        "flat. Healthy vein is\nwhat you name with --reference (one stretch, "
        "or one at each end), else what\nthe table's notes name, else what a "
        "search finds (--reference find). With\n--reference expected it is "
        "the published normal area of each vein that marks\ntell, and not of "
        "this person.\n\nArea stenosis is (reference area "
        "- area) / reference area. 50 % by diameter is\n75 % by area: every "
        "percentage printed names its kind, and the absolute area\nstands "
        "beside it. The profile is smoothed by a running median of 1 mm; the\n"
        "lowest single frame is reported beside the smoothed minimum. 95 % "
        "intervals come\n"
        "from resampling: the report says what they contain and what they do "
        "not.\n\n"
        "Breathing makes an ungated pullback ripple. Where that is found the "
        "report says\nwhere, how strongly, and what least area and reference "
        "would be without it;\n--steady assesses the profile without it and "
        "shows what was traced beside it.\n",
    .examples =
        "  boreline assess case.csv\n"
        "  boreline assess case.csv --reference 5..15 --reference 185..195 "
        "\\\n      --plot case.png\n"
        "  boreline assess case.csv --json -o case.json\n",
};
