/*
 * command_check.c - boreline check: what is wrong with a table.
 */
#include "cli/console.h"
#include "cli/session.h"

static bl_status write_check(const session *of, const void *what, bl_sink sink,
                             void *context) {
    return of->wanted->as == FORMAT_JSON
               ? bl_report_check_json(of->study, what, &of->source, sink,
                                      context)
               : bl_report_check_text(of->study, what, &of->source, sink,
                                      context);
}

static int check_and_write(const session *of, const bl_message *stopped) {
    bl_check *check = NULL;
    if (bl_check_study(of->study, stopped, &of->assess, of->wanted->repeats,
                       &check) != BL_OK) {
        bl_message message = {.text = "out of memory"};
        console_error(NULL, &message);
        return EXIT_WORK;
    }
    int status = session_write(of, of->wanted->output, write_check, check);
    if (status == 0 && !check->usable) {
        status = EXIT_WORK;
    }
    bl_check_free(check);
    return status;
}

static int run(const request *wanted) {
    int status = session_check_report(wanted, "'boreline plot'");
    if (status != 0) {
        return status;
    }
    session of;
    bl_message stopped;
    bl_status read;
    status = session_read(
        &of, wanted, BL_COLUMNS_ASSESS | BL_BIT(BL_COL_EQUIVALENT_DIAMETER_MM),
        SESSION_GOES_ON, &read, &stopped);
    if (status == 0 && (read == BL_ERR_FILE || read == BL_ERR_MEMORY)) {
        console_error(wanted->input, &stopped);
        status = EXIT_WORK;
    } else if (status == 0) {
        status = check_and_write(&of, read == BL_OK ? NULL : &stopped);
    }
    session_close(&of);
    return status;
}

const command command_check = {
    .name = "check",
    .bit = FOR_CHECK,
    .run = run,
    .summary = "what is wrong with a table, and whether it can be used",
    .about = "Reads the whole table and lists everything that is wrong with "
             "it, worst first, a\nline each: faults, contours that are left "
             "out, suspicious scale, gaps, jumps,\nuneven spacing, stray, "
             "missing or copied points. Then a summary. Of the same\nfinding "
             "10 are listed and the rest is counted. All in one pass: behind a "
             "missing\nspeed, rate or step, or a bad note, rows and shapes are "
             "still judged, positions\nare not; without a scale sizes are not; "
             "of a bad header row all is told, and no\nrow behind it is read. "
             "A row of fewer than 3 points far outside all others, such\nas a "
             "total, does not count in the length. Exit status 0 when assess "
             "would take\nthe table, else 1.\n",
    .examples = "  boreline check case.csv\n"
                "  boreline check case.csv --speed 1 --frame-rate 30 --json\n",
};
