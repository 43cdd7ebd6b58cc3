/*
 * command_plot.c - boreline plot: the profile as a picture.
 */
#include "cli/console.h"
#include "cli/session.h"

#include <string.h>

static int check_output(const request *wanted) {
    if (strcmp(wanted->output, "-") == 0) {
        return console_usage("plot needs the picture's name: -o FILE.png, "
                             ".svg or .pdf");
    }
    int status = session_check_picture(wanted->output);
    return status == 0 ? session_check_output(wanted, wanted->output) : status;
}

/* A profile without a reference is still worth seeing: it is where a reader
 * looks for one. Only a reference that was asked for by name must be there. */
static bl_status assess_or_draw_plain(const session *of, bl_assessment **out,
                                      bl_message *message) {
    bl_assess_options options = of->assess;
    bl_status status = bl_assess(of->study, &options, out, message);
    if (status == BL_ERR_REFERENCE &&
        options.reference == BL_REFERENCE_DEFAULT &&
        bl_study_pullback(of->study)->reference_count == 0) {
        console_warning(of->wanted->input, message);
        options.reference = BL_REFERENCE_NONE;
        status = bl_assess(of->study, &options, out, message);
    }
    return status;
}

static int run(const request *wanted) {
    int status = check_output(wanted);
    if (status != 0) {
        return status;
    }
    session of;
    status =
        session_open(&of, wanted, BL_COLUMNS_ASSESS, SESSION_KEEPS_CONTOURS);
    if (status == 0) {
        bl_assessment *assessment = NULL;
        bl_message message;
        if (assess_or_draw_plain(&of, &assessment, &message) == BL_OK) {
            session_warn(&of, assessment);
            status = session_draw(&of, assessment, NULL, wanted->output);
        } else {
            console_error(wanted->input, &message);
            status = EXIT_WORK;
        }
        bl_assessment_free(assessment);
    }
    session_close(&of);
    return status;
}

const command command_plot = {
    .name = "plot",
    .bit = FOR_PLOT,
    .run = run,
    .summary = "the diameter-versus-position profile: .png, .svg, .pdf",
    .about =
        "Draws the profile: equivalent diameter against position with the "
        "minimum to\nmaximum diameter as a band, healthy vein and threshold, "
        "narrowings, compression\npoints and marks; below it the area; beside "
        "it the cross-sections at the\nreference and at the worst place, to "
        "one scale. The ending of the output's\nname chooses the format. "
        "Where no healthy vein is found the profile is drawn\nwithout "
        "reference, so that you can choose one by eye.\n",
    .examples = "  boreline plot case.csv -o case.png\n"
                "  boreline plot case.csv -o case.pdf --size 180x135 "
                "--reference 5..15\n",
};
